package server

import (
	"testing"

	"lowslung/drive"
	"lowslung/quantity"
)

// Over HTTP drive says what the question says, for every demo rig and for the options of the command.
func TestDriveIsTheQuestion(t *testing.T) {
	s := openShop(t)
	for _, file := range demoFiles {
		_, m := model(t, file)
		o, err := drive.ParseOptions("40 mm", quantity.US)
		if err != nil {
			t.Fatal(err)
		}
		a, err := drive.Assess(m, o)
		if err != nil {
			t.Fatal(err)
		}
		at := "/api/rigs/" + s.find(file).ID + "/drive"
		wantJSON(t, s.do("GET", at+"?ledge=40+mm&units=us", nil), a)
		s.do("GET", at+"?ledge=-3", nil).problem(422, "")
		s.do("GET", at+"?ledge=2+kg", nil).problem(422, "")
	}
}
