package bench

import (
	"bytes"
	"encoding/csv"
	"slices"
	"strings"
	"testing"

	"lowslung/draw"
	"lowslung/quantity"
	"lowslung/rig"
)

// Every kind of reading has its stage, and a rig that has everything is asked for all of them.
func TestSheetAsksForEveryKind(t *testing.T) {
	s := SheetOf(load(t, "bramble.rig.yaml"), quantity.Metric)
	asked := map[string]bool{}
	n := 0
	for _, st := range s.Stages {
		if len(st.Care) == 0 || len(st.Do) == 0 {
			t.Errorf("%s: nothing of how, or of what can hurt", st.Title)
		}
		for _, r := range st.Rows {
			n++
			asked[r.Of] = true
			if r.Number != n || r.Unit == "" || r.What == "" {
				t.Errorf("row %d: %+v", n, r)
			}
		}
	}
	for _, k := range rig.ReadingKinds() {
		if k.Of != "axle load" && !asked[k.Of] { // both wheels are asked for one by one
			t.Errorf("nothing asks for %s", k.Of)
		}
	}
	if s.Count != n {
		t.Errorf("%d readings counted, %d listed", s.Count, n)
	}
}

// The table of the sheet, filled in with what the model says, is read back, loads, and agrees.
func TestSheetIsReadBack(t *testing.T) {
	m := load(t, "gully.rig.yaml")
	s := SheetOf(m, quantity.Metric)
	rows, err := csv.NewReader(bytes.NewReader(s.CSV())).ReadAll()
	if err != nil || len(rows) != s.Count+1 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	empty, err := ReadTable("sheet.csv", s.CSV())
	if err != nil || len(empty) != 0 {
		t.Fatalf("an empty sheet: %v, %v", empty, err)
	}
	is := slices.Index(rows[0], "is")
	for _, r := range rows[1:] {
		r[is] = "1"
		if r[1] == "tilt angle" {
			r[is] = "" // takes long to predict
		}
	}
	var text bytes.Buffer
	w := csv.NewWriter(&text)
	if err := w.WriteAll(rows); err != nil {
		t.Fatal(err)
	}
	list, err := ReadTable("sheet.csv", text.Bytes())
	if err != nil {
		t.Fatal(err)
	}
	motors := motorsOf(m)
	b := &bench{m: m, motors: motors}
	for i := range list {
		b.probes = append(b.probes, probeOf(m, motors, &list[i].Value))
	}
	v := b.at(newTrial(m, motors), nil, false)
	for i := range list {
		write2(&list[i].Value, v.probes[i])
	}
	a := assess(t, m, Options{Readings: list})
	if a.Agreement == nil || a.Agreement.Freedom != len(list) || a.Agreement.ChiSquare > 1e-6 {
		t.Errorf("%+v of %d readings", a.Agreement, len(list))
	}
}

func TestSheetOnPaper(t *testing.T) {
	s := SheetOf(load(t, "bramble.rig.yaml"), quantity.US)
	for _, f := range []draw.Format{draw.A4, draw.Letter} {
		pdf, err := s.PDF(Paper{Format: f, Date: "2026-01-02", Hash: "abc"})
		again, _ := s.PDF(Paper{Format: f, Date: "2026-01-02", Hash: "abc"})
		if err != nil || !bytes.HasPrefix(pdf, []byte("%PDF-")) || !bytes.Equal(pdf, again) {
			t.Errorf("%s: %d bytes, %v", f.Name, len(pdf), err)
		}
	}
	if md := s.Markdown(); !strings.Contains(md, "Load on the front left wheel | | oz |") || !strings.Contains(md, "**Take care:**") {
		t.Error(md)
	}
	if empty := SheetOf(load(t, "bramble.rig.yaml"), 0); empty.Count == 0 {
		t.Error("nothing to measure on the demo")
	}
}
