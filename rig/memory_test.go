package rig

import (
	"fmt"
	"io/fs"
	"reflect"
	"strings"
	"sync"
	"testing"
)

// Loading through a memory gives what loading gives, mistakes and places included, also when texts change in between.
func TestMemoryIsTransparent(t *testing.T) {
	texts := map[string]string{
		"a.rig.yaml": string(Starter("A")),
		"b.rig.yaml": "lowslung: 1\nbase: a.rig.yaml\nname: B\nbins: [c.bin.yaml]\nchassis: {parts: {battery: {item: pack}}}\n",
		"c.bin.yaml": "lowslung: 1\nitems: {pack: {kind: battery, mass: 120}}\n",
	}
	var mu sync.Mutex
	src := func(name string) ([]byte, error) {
		mu.Lock()
		defer mu.Unlock()
		text, ok := texts[name]
		if !ok {
			return nil, fs.ErrNotExist
		}
		return []byte(text), nil
	}
	var m Memory
	same := func(what string) {
		t.Helper()
		for _, file := range []string{"a.rig.yaml", "b.rig.yaml"} {
			for range 2 {
				got, gotErr := m.Load(src, file)
				want, wantErr := Load(src, file)
				if fmt.Sprint(gotErr) != fmt.Sprint(wantErr) {
					t.Fatalf("%s, %s: found %v, expected %v", what, file, gotErr, wantErr)
				}
				if wantErr == nil && (!reflect.DeepEqual(got.Doc, want.Doc) || !reflect.DeepEqual(got.Tree, want.Tree) || !reflect.DeepEqual(got.Files, want.Files)) {
					t.Fatalf("%s, %s: a build from memory differs", what, file)
				}
			}
		}
	}
	same("at first")
	texts["c.bin.yaml"] = "lowslung: 1\nitems: {pack: {kind: battery, mass: 3 mm}}\n"
	same("with a mistake in the bin")
	texts["c.bin.yaml"] = "lowslung: 1\nitems: {pack: {kind: battery, mass: 130}}\n"
	same("with another bin")
	texts["a.rig.yaml"] = "lowslung: 1\nname: [\n"
	same("with a base that is no YAML")
	texts["a.rig.yaml"] = string(Starter("A2"))
	same("with another base")

	var wg sync.WaitGroup
	for range 8 {
		wg.Go(func() {
			for range 20 {
				if _, err := m.Load(src, "b.rig.yaml"); err != nil {
					t.Error(err)
				}
			}
		})
	}
	wg.Wait()
}

// A memory forgets before it grows without end.
func TestMemoryForgets(t *testing.T) {
	var m Memory
	filler := "# " + strings.Repeat("x", 100<<10) + "\n"
	for i := range 100 {
		text := fmt.Appendf(nil, "lowslung: 1\nname: n%d\n%s", i, filler)
		if _, err := m.Load(func(string) ([]byte, error) { return text, nil }, "a.rig.yaml"); err != nil {
			t.Fatal(err)
		}
		if m.bytes > memoryBytes || len(m.trees) > 1+memoryBytes/len(filler) {
			t.Fatalf("remembers %d trees of %d bytes", len(m.trees), m.bytes)
		}
	}
}
