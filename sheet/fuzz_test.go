package sheet

import (
	"io/fs"
	"os"
	"strings"
	"testing"

	"lowslung/rig"
	"lowslung/solid"
)

// FuzzSheet puts any document that loads on a sheet of every format, by itself and against the demo rig: no panic, no number that is not one, and
// no mark of HTML that a name has brought along.
func FuzzSheet(f *testing.F) {
	files := map[string][]byte{}
	for _, name := range []string{"bramble.rig.yaml", "bramble-portal.rig.yaml", "gully.rig.yaml", "club-shelf.bin.yaml"} {
		text, err := os.ReadFile("../examples/" + name)
		if err != nil {
			f.Fatal(err)
		}
		files[name] = text
		if strings.HasSuffix(name, ".rig.yaml") {
			f.Add(text)
		}
	}
	f.Add([]byte("lowslung: 1\nname: \"<script>|=1\\u202e\"\nchassis: {parts: {\"<i>a\": {mass: 1, shape: [{box: [1, 2, 3]}]}}}\n"))
	f.Add([]byte("lowslung: 1\nrear: {near: [0, 0, 0], parts: {t: {kind: tyre, pair: true, at: [0, 50, 0], tyre: {diameter: 100}}}}\n"))
	against := load(f, "bramble.rig.yaml")
	f.Fuzz(func(t *testing.T, text []byte) {
		b, err := rig.Load(func(name string) ([]byte, error) {
			if name == "it.rig.yaml" {
				return text, nil
			}
			if known, ok := files[name]; ok {
				return known, nil
			}
			return nil, fs.ErrNotExist
		}, "it.rig.yaml")
		if err != nil {
			return
		}
		m, err := solid.Resolve(b)
		if err != nil {
			return
		}
		s, err := Assess(&Build{Name: m.Name, Tree: b.Tree, Model: m}, Options{Against: against, Units: 1})
		if err != nil {
			t.Fatal(err)
		}
		for _, format := range Formats {
			out, err := s.Write(format, 0)
			if err != nil {
				t.Fatalf("%s: %v", format, err)
			}
			if format != "pdf" && strings.Contains(string(out), "NaN") && !strings.Contains(string(text), "NaN") {
				t.Fatalf("%s holds a number that is none", format)
			}
			if format == "html" && strings.Contains(string(out), "<script") {
				t.Fatal("a name became a script")
			}
		}
	})
}
