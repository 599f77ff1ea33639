package server

import (
	"testing"

	"lowslung/quantity"
	"lowslung/ride"
)

// Over HTTP ride says what the question says, for every demo rig and for the options of the command.
func TestRideIsTheQuestion(t *testing.T) {
	s := openShop(t)
	for _, file := range demoFiles {
		_, m := model(t, file)
		o, err := ride.ParseOptions("7.5", "25", "2.5 in", "", "0.4", quantity.US)
		if err != nil {
			t.Fatal(err)
		}
		a, err := ride.Assess(m, o)
		if err != nil {
			t.Fatal(err)
		}
		at := "/api/rigs/" + s.find(file).ID + "/ride"
		posed, err := ride.Assess(m, ride.Options{Poses: true, Units: quantity.Metric})
		if err != nil {
			t.Fatal(err)
		}
		wantJSON(t, s.do("GET", at+"?poses=true&units=metric", nil), posed)
		wantJSON(t, s.do("GET", at+"?step=7.5&ramp=25&height=2.5+in&damping=0.4&units=us", nil), a)
		for _, bad := range []string{"?step=0.01", "?ramp=60", "?height=2+kg", "?sag=1.5", "?damping=x", "?height=60&sag=30+%25"} {
			s.do("GET", at+bad, nil).problem(422, "")
		}
	}
}
