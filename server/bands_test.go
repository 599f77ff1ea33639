package server

import (
	"testing"

	"lowslung/quantity"
	"lowslung/tolerance"
)

// Over HTTP the bands are what the command prints.
func TestBandsAreTheQuestion(t *testing.T) {
	s := openShop(t)
	for _, file := range demoFiles {
		_, m := model(t, file)
		a, err := tolerance.Assess(m, tolerance.Options{Samples: 120, Seed: 5, Units: quantity.US})
		if err != nil {
			t.Fatal(err)
		}
		at := "/api/rigs/" + s.find(file).ID + "/search/bands"
		wantJSON(t, s.do("GET", at+"?samples=120&seed=5&units=us", nil), a)
		for _, bad := range []string{"?samples=5", "?samples=50000", "?seed=-1"} {
			s.do("GET", at+bad, nil).problem(422, "")
		}
	}
}
