package server

import (
	"strings"
	"testing"
	"time"

	"lowslung/quantity"
	"lowslung/sheet"
	"lowslung/store"
)

// Over HTTP a sheet is what the package writes, in every format, with the type that goes with it.
func TestSheetIsTheQuestion(t *testing.T) {
	s := openShop(t)
	rig, other := s.find("bramble-portal.rig.yaml"), s.find("bramble.rig.yaml")
	build := func(file string) *sheet.Build {
		b, m := model(t, file)
		out := &sheet.Build{Name: m.Name, Revision: 1, Tree: b.Tree, Model: m}
		err := s.store.Look(t.Context(), func(v store.Snapshot) error {
			l, err := v.Load(file)
			if err != nil {
				return err
			}
			for _, f := range l.Build.Files {
				out.Files = append(out.Files, sheet.File{Name: f, Hash: store.HashOf(l.Texts[f]).String()})
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
		id, err := number(s.find(file).ID)
		if err != nil {
			t.Fatal(err)
		}
		d, err := s.store.Document(t.Context(), id)
		if err != nil {
			t.Fatal(err)
		}
		out.Date = d.SavedAt.Local().Format(time.DateOnly)
		return out
	}
	made, err := sheet.Assess(build("bramble-portal.rig.yaml"), sheet.Options{Against: build("bramble.rig.yaml"), Units: quantity.US, Paper: sheet.Letter, Sections: sheet.SectionNames()})
	if err != nil {
		t.Fatal(err)
	}
	for format, kind := range map[string]string{"html": "text/html; charset=utf-8", "md": "text/markdown; charset=utf-8", "csv": "text/csv; charset=utf-8", "pdf": "application/pdf"} {
		r := s.do("GET", "/api/rigs/"+rig.ID+"/sheet?sections=all&units=us&paper=letter&format="+format+"&against="+other.ID, nil).want(200)
		got := r.Raw
		if r.Header.Get("Content-Type") != kind || !strings.Contains(r.Header.Get("Content-Disposition"), `filename="bramble-portal.`+format+`"`) {
			t.Errorf("%s: %v", format, r.Header)
		}
		if format == "pdf" { // it holds the time of saving
			if !strings.HasPrefix(string(got), "%PDF-1.") {
				t.Errorf("no PDF: %.20q", got)
			}
			continue
		}
		want, err := made.Write(format, 0)
		if err != nil {
			t.Fatal(err)
		}
		if string(got) != string(want) {
			t.Errorf("%s is another than the package's: %d and %d bytes", format, len(got), len(want))
		}
	}
	at := "/api/rigs/" + rig.ID + "/sheet"
	s.do("GET", at+"?sections=key,nothing", nil).problem(422, "")
	s.do("GET", at+"?format=docx", nil).problem(422, "")
	s.do("GET", at+"?paper=a3", nil).problem(422, "")
	s.do("GET", at+"?against=999", nil).problem(404, "")
}

// A sheet may be framed by the workbench and by nobody else, and nothing in it runs or loads; other formats are as strict as the rest.
func TestSheetIsFramedByTheWorkbenchAlone(t *testing.T) {
	s := openShop(t)
	at := "/api/rigs/" + s.find("bramble.rig.yaml").ID + "/sheet?sections=cautions"
	h := s.do("GET", at, nil).Header
	csp := h.Values("Content-Security-Policy")
	if len(csp) != 1 || h.Get("X-Frame-Options") != "SAMEORIGIN" {
		t.Fatalf("policy %q, %q", csp, h.Get("X-Frame-Options"))
	}
	for _, want := range []string{"default-src 'none'", "frame-ancestors 'self'", "sandbox", "base-uri 'none'"} {
		if !strings.Contains(csp[0], want) {
			t.Errorf("found policy %q, expected %q", csp[0], want)
		}
	}
	if strings.Contains(csp[0], "script-src") || strings.Contains(csp[0], "allow-") {
		t.Errorf("found policy %q, which lets something run", csp[0])
	}
	if h := s.do("GET", at+"&format=md", nil).Header; h.Get("X-Frame-Options") != "DENY" || !strings.Contains(h.Get("Content-Security-Policy"), "frame-ancestors 'none'") {
		t.Errorf("Markdown: %v", h)
	}
}

func TestFileNamesArePlain(t *testing.T) {
	for file, want := range map[string]string{"bramble.rig.yaml": "bramble", "a/Böse \"Datei\".rig.yaml": "b-se-datei", "…": "sheet", "../x\r\ny.rig.yaml": "x-y"} {
		if got := plainName(file); got != want {
			t.Errorf("%q is %q, expected %q", file, got, want)
		}
	}
}
