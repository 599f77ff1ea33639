package server

import (
	"testing"

	"lowslung/quantity"
	"lowslung/rocks"
)

// Over HTTP rocks says what the question says: one run with every instant, a limit, two builds, a map.
func TestRocksIsTheQuestion(t *testing.T) {
	s := openShop(t)
	_, m := model(t, "gully.rig.yaml")
	_, other := model(t, "bramble.rig.yaml")
	at := "/api/rigs/" + s.find("gully.rig.yaml").ID + "/rocks"
	o, err := rocks.ParseOptions("boulders", "1.5 in", "", "0.7", "0.4", "70 %", quantity.US)
	if err != nil {
		t.Fatal(err)
	}
	o.Frames, o.Seed = true, 3
	a, err := rocks.Assess(m, o)
	if err != nil || len(a.Run.Frames) < 10 {
		t.Fatal(err, a.Run)
	}
	wantJSON(t, s.do("GET", at+"?obstacle=boulders&height=1.5+in&grip=0.7&speed=0.4&throttle=70+%25&seed=3&frames=true&units=us", nil), a)
	o, _ = rocks.ParseOptions("climb", "", "25", "", "", "", quantity.Metric)
	o.Against = other
	if a, err = rocks.Assess(m, o); err != nil {
		t.Fatal(err)
	}
	wantJSON(t, s.do("GET", at+"?obstacle=climb&angle=25&units=metric&against="+s.find("bramble.rig.yaml").ID, nil), a)
	text := "cell 100 mm\n"
	for range 14 {
		text += "0 0 0 0 0 0 0 0\n"
	}
	o = rocks.Options{Units: quantity.Metric}
	if o.Map, err = rocks.ParseMap(text); err != nil {
		t.Fatal(err)
	}
	if a, err = rocks.Assess(m, o); err != nil {
		t.Fatal(err)
	}
	wantJSON(t, s.do("POST", at+"/map?units=metric", map[string]any{"map": text}), a)
	for _, bad := range []string{"?obstacle=wall", "?height=30", "?obstacle=ledge&height=2+kg", "?obstacle=ledge&angle=20", "?grip=0", "?speed=x", "?throttle=9"} {
		s.do("GET", at+bad, nil).problem(422, "")
	}
	s.do("POST", at+"/map", map[string]any{"map": "nothing"}).problem(422, "")
	s.do("POST", at+"/map", map[string]any{"map": "cell 20\n0 0\n0 0\n"}).problem(422, "")
}
