package solid

import (
	"errors"
	"io/fs"
	"math"
	"strings"
	"testing"

	"lowslung/rig"
)

func loaded(t *testing.T, files map[string]string) (*Model, error) {
	t.Helper()
	b, err := rig.Load(func(name string) ([]byte, error) {
		if text, ok := files[name]; ok {
			return []byte(text), nil
		}
		return nil, fs.ErrNotExist
	}, "it.rig.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return Resolve(b)
}

// A mesh in a document: found beside the file that names it, scaled, placed and turned, mirrored for the twin, and weighed.
func TestMeshesFromDocuments(t *testing.T) {
	m, err := loaded(t, map[string]string{
		"it.rig.yaml": `lowslung: 1
bins: [shelf/parts.bin.yaml]
chassis:
  parts:
    case: {mass: 30, shape: [{mesh: stl/case.stl, at: [10, 0, 5], turn: [0, 0, 90]}]}
    ear: {item: ear, pair: true, at: [0, 40, 0]}
`,
		"shelf/parts.bin.yaml": "lowslung: 1\nitems:\n  ear: {kind: mount, material: aluminium 6061, shape: [{mesh: ear.stl, scale: 25.4}]}\n",
		"stl/case.stl":         string(binaryOf(boxTriangles(30, 20, 10))),
		"shelf/ear.stl":        string(textOf(boxTriangles(1, 1, 0.5))),
	})
	if err != nil {
		t.Fatal(err)
	}
	box, left, right := &m.Bodies[0], &m.Bodies[1], &m.Bodies[2]
	pieces, _ := box.Shapes[0].Pieces()
	if b := pieces[0].Bound; !near(b.Lo, Vec{0, -15, 0}, 1e-6) || !near(b.Hi, Vec{20, 15, 10}, 1e-6) {
		t.Errorf("case from %v to %v", b.Lo, b.Hi)
	}
	if !near(box.CG, Vec{10, 0, 5}, 1e-6) || math.Abs(box.Inertia[0]-30e-3*(900+100)/12) > 1e-6 {
		t.Errorf("centre %v, tensor %v", box.CG, box.Inertia)
	}
	volume := math.Pow(25.4, 3) / 2
	if want := 2700 * volume * 1e-9; math.Abs(left.Guess-want) > 0.01*want || left.HasMass {
		t.Errorf("estimate %g kg, expected %g", left.Guess, want)
	}
	if left.Shapes[0].Mesh != right.Shapes[0].Mesh || right.CG.Y != -40 || !right.Shapes[0].Frame.Flip {
		t.Errorf("twins at %v and %v do not share a mesh", left.CG, right.CG)
	}
}

func TestMeshMistakesHaveAPlace(t *testing.T) {
	files := map[string]string{
		"it.rig.yaml": "lowslung: 1\nchassis:\n  parts:\n    case: {shape: [{mesh: a.stl}]}\n    lid: {pair: true, shape: [{mesh: a.stl}, {mesh: b.stl}]}\n",
		"a.stl":       string(binaryOf(boxTriangles(1, 1, 1))[:400]),
		"b.stl":       string(binaryOf(boxTriangles(1, 1, 1)[1:])),
	}
	_, err := loaded(t, files)
	var list rig.Diagnostics
	if !errors.As(err, &list) || len(list) != 1 || list[0].String() != `it.rig.yaml:4:20: found in the mesh "a.stl" a binary STL that claims 12 triangles (684 bytes) in a file of 400 bytes: it is cut off, or no STL; expected the whole file` {
		t.Errorf("%v", err)
	}
	files["a.stl"] = string(binaryOf(boxTriangles(1, 1, 1)))
	m, err := loaded(t, files)
	if err != nil {
		t.Fatal(err)
	}
	notes := 0
	for _, f := range m.Findings {
		if f.Code == "rig/open-mesh" {
			notes++
			if !strings.Contains(f.Sentence, `"b.stl"`) || f.About[0] != "chassis/parts/lid" {
				t.Errorf("%+v", f)
			}
		}
	}
	if notes != 1 {
		t.Errorf("%d notes about an open mesh, expected one", notes)
	}
}
