package server

import (
	"bytes"
	"encoding/binary"
	"math"
	"net/url"
	"testing"

	"lowslung/form"
	"lowslung/store"
)

// A mesh is brought in, read by a part, drawn by its own triangles, weighed by its volume, and taken out again when nothing names it.
func TestMeshesOfTheWorkshop(t *testing.T) {
	s := openShop(t)
	block, err := form.Stack(form.Layer{Rings: []form.Ring{form.Rectangle(0, 0, 40, 20)}, Height: 5})
	if err != nil {
		t.Fatal(err)
	}
	bring := func(file string, data []byte) *reply {
		return s.do("POST", "/api/meshes?file="+url.QueryEscape(file), data, "Content-Type", "application/octet-stream")
	}
	var came Imported
	bring("own skid.stl", block.STL("x")).want(200).into(&came)
	if came.File != "own skid.stl" || came.Result != store.Added {
		t.Errorf("%+v", came)
	}
	bring("own skid.3mf", block.ThreeMF("x", "")).want(200).into(&came)
	bring("skid.stl", []byte("nothing of the kind")).problem(422, "")
	bring("skid.obj", block.STL("x")).problem(422, "")
	text := "lowslung: 1\nbase: bramble.rig.yaml\nname: meshed\nchassis: {parts: {belly: {mass: null, infill: 100 %, cg: null, shape: [{mesh: own skid.stl}]}}}\n"
	var made Rig
	s.do("POST", "/api/rigs", map[string]string{"file": "meshed.rig.yaml", "text": text}).want(201).into(&made)
	var st Stage
	s.do("GET", "/api/rigs/"+made.ID+"/stage", nil).want(200).into(&st)
	found := false
	for _, b := range st.Bodies {
		if b.Name != "belly" {
			continue
		}
		found = true
		if len(b.Shapes) != 1 || b.Shapes[0].Kind != "mesh" {
			t.Fatalf("%+v", b.Shapes)
		}
		// Gauss: a sixth of the sum of the triangles' triple products is the volume, 40·20·5 mm³.
		volume := 0.0
		for data := bytes.NewReader(b.Shapes[0].Triangles); data.Len() > 0; {
			var p [3][3]float32
			if err := binary.Read(data, binary.LittleEndian, &p); err != nil {
				t.Fatal(err)
			}
			x := func(i, k int) float64 { return float64(p[i][k]) }
			volume += (x(0, 0)*(x(1, 1)*x(2, 2)-x(1, 2)*x(2, 1)) + x(0, 1)*(x(1, 2)*x(2, 0)-x(1, 0)*x(2, 2)) + x(0, 2)*(x(1, 0)*x(2, 1)-x(1, 1)*x(2, 0))) / 6
		}
		if math.Abs(volume-40*20*5) > 1e-3 {
			t.Errorf("the triangles enclose %g mm³", volume)
		}
	}
	if !found {
		t.Error("no belly on the stage")
	}
	var parts struct{ Assemblies []Assembly }
	s.do("GET", "/api/rigs/"+made.ID+"/parts", nil).want(200).into(&parts)
	for _, a := range parts.Assemblies {
		for _, p := range a.Parts {
			if want := 4 * 1.41; p.Name == "belly" && (p.MassG == nil || math.Abs(*p.MassG-want) > 1e-6) { // 4 cm³ of POM
				t.Errorf("the belly weighs %v g, by hand %g", p.MassG, want)
			}
		}
	}
	var list struct{ Meshes []Mesh }
	s.do("GET", "/api/meshes", nil).want(200).into(&list)
	if len(list.Meshes) != 2 || list.Meshes[1].File != "own skid.stl" || len(list.Meshes[1].Users) != 1 || len(list.Meshes[0].Users) != 0 {
		t.Errorf("%+v", list.Meshes)
	}
	s.do("DELETE", "/api/meshes?file=own+skid.stl", nil).problem(409, "")
	s.do("DELETE", "/api/meshes?file=own+skid.3mf", nil).want(204)
	s.do("DELETE", "/api/meshes?file=own+skid.3mf", nil).problem(404, "")
}
