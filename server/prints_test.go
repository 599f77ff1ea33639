package server

import (
	"strings"
	"testing"

	"lowslung/quantity"
	orders "lowslung/shop"
	"lowslung/solid"
)

// Over HTTP the helpers are those of the command, and each file reads back as the solid it is.
func TestPrintsAreTheCommands(t *testing.T) {
	s := openShop(t)
	for _, file := range demoFiles {
		_, m := model(t, file)
		o, err := orders.ParsePrintOptions("0.3", []string{"4 in"}, quantity.US)
		if err != nil {
			t.Fatal(err)
		}
		a, err := orders.PrintsOf(m, o)
		if err != nil {
			t.Fatal(err)
		}
		at := "/api/rigs/" + s.find(file).ID + "/shop/prints"
		q := "?tolerance=0.3&length=4+in&units=us"
		wantJSON(t, s.do("GET", at+q, nil), a)
		p := &a.Prints[0]
		for format, want := range map[string][]byte{"stl": p.STL(), "3mf": p.ThreeMF()} {
			r := s.do("GET", at+"/"+p.Name+q+"&format="+format, nil)
			if r.Status != 200 || string(r.Raw) != string(want) || r.Header.Get("Content-Type") != "model/"+format || r.Header.Get("Content-Disposition") != `attachment; filename="`+p.Name+"."+format+`"` {
				t.Errorf("%s as %s: status %d, %d bytes, %v", p.Name, format, r.Status, len(r.Raw), r.Header)
			}
			if mesh, err := solid.ReadMesh(r.Raw, 1); err != nil || !mesh.Closed {
				t.Errorf("%s as %s: %v", p.Name, format, err)
			}
		}
		for _, bad := range []string{"?tolerance=9", "?length=2+kg", "/no-such-helper", "/" + p.Name + "?format=obj"} {
			s.do("GET", at+bad, nil).problem(422, "")
		}
	}
}

// The order of work is the command's, and comes on paper.
func TestStepsAreTheCommands(t *testing.T) {
	s := openShop(t)
	_, m := model(t, "bramble-portal.rig.yaml")
	_, base := model(t, "bramble.rig.yaml")
	w, err := orders.StepsOf(m, orders.StepOptions{Against: base, Units: quantity.US})
	if err != nil {
		t.Fatal(err)
	}
	at := "/api/rigs/" + s.find("bramble-portal.rig.yaml").ID + "/shop/steps"
	wantJSON(t, s.do("GET", at+"?units=us", nil), w)
	page, err := w.HTML()
	if err != nil {
		t.Fatal(err)
	}
	for format, want := range map[string]string{"html": string(page), "md": w.Markdown(), "pdf": "%PDF-"} {
		r := s.do("GET", at+"/paper?units=us&format="+format, nil).want(200)
		if !strings.HasPrefix(string(r.Raw), want) || r.Header.Get("Content-Disposition") != `attachment; filename="steps.`+format+`"` {
			t.Errorf("%s: %d bytes, %v", format, len(r.Raw), r.Header)
		}
	}
	s.do("GET", at+"/paper?format=doc", nil).problem(422, "")
	s.do("GET", at+"?against=99", nil).problem(404, "")
}

// What the links stand is the command's answer.
func TestStrengthIsTheCommands(t *testing.T) {
	s := openShop(t)
	for _, file := range demoFiles {
		_, m := model(t, file)
		at := "/api/rigs/" + s.find(file).ID + "/shop/strength"
		wantJSON(t, s.do("GET", at+"?strike=20+lbf&units=us", nil), orders.StrengthOf(m, orders.StrengthOptions{Strike: 20 * 4.4482216152605, Units: quantity.US}))
		s.do("GET", at+"?strike=0", nil).problem(422, "")
		s.do("GET", at+"?push=5+mm", nil).problem(422, "")
	}
}
