package check

import (
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"testing"
	"time"

	"lowslung/rig"
	"lowslung/solid"
)

// FuzzCheck puts any text through the whole way: no panic, no hang, no number that is not one in any answer (JSON has no word
// for NaN, so encoding fails on it).
func FuzzCheck(f *testing.F) {
	shelf, err := os.ReadFile("../examples/club-shelf.bin.yaml")
	if err != nil {
		f.Fatal(err)
	}
	for _, name := range []string{"bramble", "bramble-portal", "gully"} {
		text, err := os.ReadFile("../examples/" + name + ".rig.yaml")
		if err != nil {
			f.Fatal(err)
		}
		f.Add(text)
	}
	f.Add(rig.Starter("fuzz"))
	f.Add([]byte(`lowslung: 1
chassis: {parts: {a: {mass: 1, holes: {h: {at: [1, 2, 3]}, k: {at: [0, 0, 0]}}}}}
rear: {near: [-100, 0, 0], parts: {b: {kind: axle, holes: {h: {at: [1, 2, 3]}, k: {at: [4, 5, 6]}}}}}
links: {l: {axle: rear, from: a/h, to: b/h, length: 10}, m: {axle: rear, from: a/k, to: b/k, length: 1e300}}
`))
	base, err := os.ReadFile("../examples/bramble.rig.yaml")
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		src := func(name string) ([]byte, error) {
			switch name {
			case "it.rig.yaml":
				return text, nil
			case "club-shelf.bin.yaml":
				return shelf, nil
			case "bramble.rig.yaml":
				return base, nil
			}
			return nil, fs.ErrNotExist
		}
		started := time.Now()
		b, err := rig.Load(src, "it.rig.yaml")
		if err != nil {
			var list rig.Diagnostics
			if errors.As(err, &list) && len(list) == 0 {
				t.Fatal("an error without a diagnostic")
			}
			return
		}
		m, err := solid.Resolve(b)
		if err != nil {
			return
		}
		a, err := Assess(m, Options{})
		if err != nil {
			t.Fatalf("a document that loads is refused: %v", err)
		}
		if _, err := json.Marshal(a); err != nil {
			t.Fatalf("an answer that is no number: %v", err)
		}
		if d := time.Since(started); d > 20*time.Second {
			t.Fatalf("took %v", d)
		}
	})
}
