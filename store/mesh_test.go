package store

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// boxSTL is a closed box as an STL of text, from the origin: its volume is the product of its sides.
func boxSTL(x, y, z float64) []byte {
	var b bytes.Buffer
	b.WriteString("solid box\n")
	corner := func(i int) [3]float64 { return [3]float64{x * float64(i&1), y * float64(i>>1&1), z * float64(i>>2&1)} }
	for _, q := range [6][4]int{{0, 2, 3, 1}, {4, 5, 7, 6}, {0, 1, 5, 4}, {2, 6, 7, 3}, {0, 4, 6, 2}, {1, 3, 7, 5}} {
		for _, t := range [2][3]int{{q[0], q[1], q[2]}, {q[0], q[2], q[3]}} {
			b.WriteString("facet normal 0 0 0\nouter loop\n")
			for _, i := range t {
				p := corner(i)
				fmt.Fprintf(&b, "vertex %g %g %g\n", p[0], p[1], p[2])
			}
			b.WriteString("endloop\nendfacet\n")
		}
	}
	b.WriteString("endsolid box\n")
	return b.Bytes()
}

const meshedText = "lowslung: 1\nname: meshed\nchassis: {parts: {skid: {kind: skid, material: POM, infill: 50 %, shape: [{mesh: stl/skid.stl}]}}}\n"

// A workshop holds meshes: brought in with or before the document that names them, read by it, carried by export, backup and restore, kept for the revisions that were saved with them.
func TestMeshesInTheWorkshop(t *testing.T) {
	folder := t.TempDir()
	s := openAt(t, folder)
	small, large := boxSTL(40, 30, 5), boxSTL(40, 30, 10)
	out, err := s.Import(t.Context(), []Text{{"meshed.rig.yaml", []byte(meshedText)}, {"stl/skid.stl", small}}, "test")
	if err != nil {
		t.Fatal(explain(err))
	}
	for _, o := range out {
		if o.Result != Added {
			t.Errorf("%+v", o)
		}
	}
	grams := func() float64 {
		t.Helper()
		v := 0.0
		if err := s.Look(t.Context(), func(v2 Snapshot) error {
			l, err := v2.Load("meshed.rig.yaml")
			if err == nil {
				v = l.Model.Bodies[0].Mass * 1000
				if l.Texts["stl/skid.stl"] != nil {
					t.Error("a mesh among the texts")
				}
			}
			return err
		}); err != nil {
			t.Fatal(explain(err))
		}
		return v
	}
	// volume × density × infill, by hand: 40·30·5 mm³ of POM at 1.41 g/cm³, half of it (the density: data sheets)
	if got, want := grams(), 40*30*5*1.41e-3/2; math.Abs(got-want) > 1e-6*want {
		t.Errorf("%g g, by hand %g", got, want)
	}
	if out, err = s.Import(t.Context(), []Text{{"stl/skid.stl", small}}, "test"); err != nil || out[0].Result != Same {
		t.Errorf("the same again: %+v, %v", out, explain(err))
	}
	if out, err = s.Import(t.Context(), []Text{{"stl/skid.stl", large}}, "test"); err != nil || out[0].Result != Changed {
		t.Errorf("another: %+v, %v", out, explain(err))
	}
	if got, want := grams(), 40*30*10*1.41e-3/2; math.Abs(got-want) > 1e-6*want {
		t.Errorf("the model is of the mesh as it was: %g g, by hand %g", got, want)
	}
	list, err := s.Meshes(t.Context())
	if err != nil || len(list) != 1 || list[0].File != "stl/skid.stl" || list[0].Bytes != len(large) || !slices.Equal(list[0].Users, []string{"meshed.rig.yaml"}) {
		t.Errorf("%+v, %v", list, err)
	}
	wantSound(t, s)
	// Refused: in use; another case of the name; no mesh; too large; a document's name given to create.
	var bad *Error
	if err := s.RemoveMesh(t.Context(), "stl/skid.stl"); !errors.As(err, &bad) || bad.Code != InUse || !slices.Equal(bad.Broken, []string{"meshed.rig.yaml"}) {
		t.Errorf("taken out although in use: %v", err)
	}
	for want, text := range map[string]Text{
		"differ by upper and lower case": {"STL/skid.stl", small},
		"found in \"b.stl\"":             {"b.stl", []byte("solid nothing of the kind")},
		"a 3MF that is no whole zip":     {"b.3mf", []byte("PK\x03\x04")},
		"expected at most 64 MiB":        {"big.stl", make([]byte, MaxMeshBytes+1)},
	} {
		if _, err := s.Import(t.Context(), []Text{text}, "test"); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, expected %q", text.Name, err, want)
		}
	}
	if _, err := s.Create(t.Context(), "x.stl", small, "test"); err == nil || !strings.Contains(err.Error(), "meshes are imported") {
		t.Errorf("created as a document: %v", err)
	}
	// A mesh that the document cannot be read with any more is refused with the document told.
	if _, err := s.Import(t.Context(), []Text{{"stl/skid.stl", []byte("solid x\nendsolid x\n")}}, "test"); err == nil {
		t.Error("an empty mesh was taken")
	}
	// Export, and back in elsewhere; backup and restore.
	for _, files := range [][]string{nil, {"meshed.rig.yaml"}} {
		texts, err := s.Export(t.Context(), files...)
		if err != nil || len(texts) != 2 || texts[1].Name != "stl/skid.stl" || !bytes.Equal(texts[1].Body, large) {
			t.Fatalf("exported %d files, %v", len(texts), err)
		}
		var zip bytes.Buffer
		if err := WriteZip(&zip, texts); err != nil {
			t.Fatal(err)
		}
		back, err := ReadZip(zip.Bytes())
		if err != nil {
			t.Fatal(explain(err))
		}
		other := openAt(t, t.TempDir())
		if _, err := other.Import(t.Context(), back, "test"); err != nil {
			t.Error(explain(err))
		}
		wantSound(t, other)
		plain := t.TempDir()
		if err := WriteFolder(plain, texts, false); err != nil {
			t.Fatal(explain(err))
		}
		if read, err := ReadFolder(plain); err != nil || len(read) != 2 {
			t.Errorf("read %d files of a folder, %v", len(read), err)
		}
	}
	backup := filepath.Join(t.TempDir(), "b.db")
	if err := s.Backup(t.Context(), backup); err != nil {
		t.Fatal(explain(err))
	}
	var d Document
	if err := s.Look(t.Context(), func(v Snapshot) (err error) { d, err = v.Named("meshed.rig.yaml"); return err }); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Save(t.Context(), d.ID, d.Version(), []byte("lowslung: 1\nname: plain\n"), "without"); err != nil {
		t.Fatal(explain(err))
	}
	if err := s.RemoveMesh(t.Context(), "stl/skid.stl"); err != nil {
		t.Fatal(explain(err))
	}
	if err := s.RemoveMesh(t.Context(), "stl/skid.stl"); CodeOf(err) != NotFound {
		t.Errorf("taken out twice: %v", err)
	}
	wantSound(t, s) // the earlier revisions load with the mesh of their time
	if _, err := s.db.Exec("UPDATE mesh SET file = 'other.stl'"); err == nil {
		t.Error("the name of a mesh was changed in place")
	}
	if _, err := Restore(t.Context(), folder, backup); err != nil {
		t.Fatal(explain(err))
	}
	if list, err = s.Meshes(t.Context()); err != nil || len(list) != 1 {
		t.Errorf("after a restore %+v, %v", list, err)
	}
}
