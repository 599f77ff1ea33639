package server

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"lowslung/draw"
	orders "lowslung/shop"
)

// Over HTTP the drawings are those of the commands, byte for byte, but for the date and the hash, which are the revision's.
func TestDrawingsAreTheCommands(t *testing.T) {
	s := openShop(t)
	for _, file := range demoFiles {
		b, m := model(t, file)
		at := "/api/rigs/" + s.find(file).ID + "/shop/"
		cut := orders.CutOf(b, m)
		wantJSON(t, s.do("GET", at+"cut", nil), cut)
		o, err := orders.ParseTemplateOptions(nil, "both")
		if err != nil {
			t.Fatal(err)
		}
		ts, err := orders.TemplatesOf(b, m, o)
		if err != nil {
			t.Fatal(err)
		}
		wantJSON(t, s.do("GET", at+"templates?twins=both", nil), ts)
		k := &ts.Templates[0]
		r := s.do("GET", at+"templates/"+k.Name+"?twins=both&format=dxf", nil)
		if want := draw.DXF(k.Drawing(&orders.Paper{}, true)); r.Status != 200 || !bytes.Equal(r.Raw, want) || r.Header.Get("Content-Type") != dxfType {
			t.Errorf("%s: status %d, %d bytes, want %d", k.Name, r.Status, len(r.Raw), len(want))
		}
		r = s.do("GET", at+"templates/"+k.Name+"?twins=both", nil)
		if want := draw.SVG(k.Drawing(&orders.Paper{}, true)); r.Status != 200 || !bytes.Equal(r.Raw, want) || r.Header.Get("Content-Type") != svgType {
			t.Errorf("%s: status %d, %d bytes, want %d", k.Name, r.Status, len(r.Raw), len(want))
		}
		for path, begins := range map[string]string{
			"cut/paper": "%PDF-", "cut/paper?format=svg": "PK", "templates/paper?paper=letter": "%PDF-", "templates/paper?format=dxf": "PK", "cut/pages/1?paper=letter&units=us": "<svg",
		} {
			if r := s.do("GET", at+path, nil); r.Status != 200 || !strings.HasPrefix(string(r.Raw), begins) || r.Header.Get("Content-Disposition") == "" {
				t.Errorf("%s: status %d, %.20q", path, r.Status, r.Raw)
			}
		}
		if r := s.do("GET", at+"cut/pages/1", nil); r.Header.Get("X-Pages") != fmt.Sprint(len(cut.Document(orders.Paper{}).Pages)) {
			t.Errorf("pages: %q", r.Header.Get("X-Pages"))
		}
		for _, bad := range []string{"cut/pages/99", "cut/paper?format=gif", "cut/paper?paper=a0", "templates?part=bonnet", "templates/no-such-template", "templates?twins=left"} {
			s.do("GET", at+bad, nil).problem(422, "")
		}
	}
}
