package rig

import (
	"io/fs"
	"strings"
	"testing"
)

// Meshes are read beside the text that names them, each once, and not at all when they are too large.
func TestMeshesAreReadOnce(t *testing.T) {
	reads := map[string]int{}
	large := make([]byte, MaxMeshBytes+1)
	src := func(name string) ([]byte, error) {
		reads[name]++
		switch name {
		case "rigs/it.rig.yaml":
			return []byte(`lowslung: 1
base: ../base.rig.yaml
bins: [../shelf/bin.bin.yaml]
chassis: {parts: {a: {shape: [{mesh: near.stl}, {mesh: ./near.stl, scale: 2}]}, c: {item: x, pair: true}}}
`), nil
		case "base.rig.yaml":
			return []byte("lowslung: 1\nchassis: {parts: {b: {shape: [{mesh: base.stl}]}}}\n"), nil
		case "shelf/bin.bin.yaml":
			return []byte("lowslung: 1\nitems: {x: {shape: [{mesh: x.stl}]}, unused: {shape: [{mesh: unused.stl}]}}\n"), nil
		case "rigs/near.stl", "base.stl", "shelf/x.stl":
			return []byte(name), nil
		case "large.rig.yaml":
			return []byte("lowslung: 1\nchassis: {parts: {a: {shape: [{mesh: large.stl}]}}}\n"), nil
		case "large.stl":
			return large, nil
		}
		return nil, fs.ErrNotExist
	}
	b, err := Load(src, "rigs/it.rig.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range []string{"rigs/near.stl", "base.stl", "shelf/x.stl"} {
		if reads[file] != 1 || string(b.Meshes[file]) != file {
			t.Errorf("%s: read %d times, %q", file, reads[file], b.Meshes[file])
		}
	}
	if len(b.Meshes) != 3 || len(b.Files) != 3 {
		t.Errorf("meshes %d, files %v", len(b.Meshes), b.Files)
	}
	a, _ := b.Doc.Chassis.Parts.Get("b")
	if file, data, ok := b.Mesh(&a.Shape[0]); !ok || file != "base.stl" || len(data) == 0 {
		t.Errorf("%q %v", file, ok)
	}
	if _, err := Load(src, "large.rig.yaml"); err == nil || !strings.Contains(err.Error(), `found 64 MiB in "large.stl", expected at most 64 MiB`) {
		t.Errorf("%v", err)
	}
}
