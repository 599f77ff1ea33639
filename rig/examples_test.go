package rig

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// examples reads the demonstration documents and bins; a checkout without them fails.
func examples(t testing.TB) map[string][]byte {
	t.Helper()
	files, err := filepath.Glob("../examples/*.yaml")
	if err != nil || len(files) == 0 {
		t.Fatalf("no examples found: %v", err)
	}
	out := map[string][]byte{}
	for _, f := range files {
		text, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		out[filepath.Base(f)] = text
	}
	return out
}

func isBin(name string) bool { return strings.HasSuffix(name, ".bin.yaml") }

// dir reads files of a folder.
func dir(folder string) Source {
	return func(name string) ([]byte, error) { return os.ReadFile(filepath.Join(folder, filepath.FromSlash(name))) }
}

func TestExamplesLoad(t *testing.T) {
	rigs := 0
	for name := range examples(t) {
		if isBin(name) {
			continue
		}
		rigs++
		if _, err := Load(dir("../examples"), name); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	if rigs == 0 {
		t.Error("no example rig")
	}
}

func TestStarterLoads(t *testing.T) {
	for _, name := range []string{"Bramble", "A: \"b\" # c", "", "true", "12", "two\nlines", `back\slash`, "'", "- x", "Ünïcode ½", " padded "} {
		b, err := Load(files{"s.rig.yaml": string(Starter(name))}.read, "s.rig.yaml")
		if err != nil {
			t.Errorf("%q: %v", name, err)
			continue
		}
		want := name
		if want == "" {
			want = "My rig"
		}
		if b.Doc.Name != want {
			t.Errorf("name %q is read as %q", name, b.Doc.Name)
		}
	}
}
