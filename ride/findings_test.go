package ride

import (
	"strings"
	"testing"

	"lowslung/finding"
	"lowslung/solid"
)

// Each finding, out of a document that deserves it.
func TestFindings(t *testing.T) {
	for _, c := range []struct {
		base, patch, code string
		level             finding.Level
		says              string
	}{
		{"bramble", "", "ride/stance", finding.OK, "belly 67"},
		{"bramble", "", "ride/leans", finding.Watch, "to the right"},
		{"bramble", "", "ride/tips-sooner", finding.Note, "its tyres cost"},
		{"bramble", "", "ride/turns-assumed", finding.Note, "clockwise"},
		{"bramble-portal", "", "ride/slides-first", finding.Note, "0.85"},
		{"bramble", "shocks: {front: {springs: [{rate: 0.05}]}}", "ride/bottomed", finding.Stop, "front left"},
		{"bramble", "shocks: {front: {springs: [{rate: 2}], collar: 0}}", "ride/off-set", finding.Note, "longer"},
		{"bramble", "shocks: {front: {springs: [{rate: 0.2, free: 30, solid: 20}]}}", "ride/coil-bind", finding.Stop, "coils"},
		{"bramble", "shocks: {rear: {collar: 40}}", "ride/topped-out", finding.Watch, "rear left"},
		{"bramble", "shocks: {front: {springs: []}}", "ride/lacking", finding.Note, "fully closed at 66.0 mm"},
		{"bramble", "shocks: {front: {above_piston: [{rate: 0.3}]}}", "ride/spring-without-place", finding.Note, "above_piston springs of the front shock"},
		{"bramble", "shocks: {rear: {set: null}}\nride_height: 60", "ride/off-design", finding.Note, "ride_height"},
		{"bramble", "shocks: {rear: {oil: null}}", "ride/no-damping", finding.Note, "rear"},
		{"bramble", "front: {parts: {front tyre: {tyre: {rate: null, lateral_rate: null}}}}", "ride/stiff-tyre", finding.Note, "56.2"},
		{"bramble", "front: {parts: {front tyre: {tyre: {lateral_rate: null}}}}", "ride/lateral-rate", finding.Note, "1.30 N/mm"},
		{"gully", "bars: {rear: {from: null}}", "ride/bar-not-used", finding.Note, "drop links"},
		{"gully", "bars: {rear: {material: POM}}", "ride/bar-not-used", finding.Note, "POM"},
		// A belly that hangs 70 mm lower rests on the ground.
		{"bramble", "chassis: {parts: {anchor: {mass: 1, shape: [{box: [60, 60, 4], at: [0, 0, -70]}]}}}", "ride/belly-on-ground", finding.Stop, "carries"},
		// A lead ball far out to the left: over it goes.
		{"bramble", "chassis: {parts: {ball: {mass: 3000, at: [0, 400, 50]}}}", "ride/no-rest", finding.Stop, "does not come to rest"},
		{"bramble", "targets: {ramp travel index: {from: 2000}, breakover angle: {from: 10}}", "ride/target", finding.Stop, "Ramp travel index is 131"},
	} {
		patch := c.patch
		if !strings.Contains(patch, "targets") {
			patch += "\ntargets: null"
		}
		a, err := Assess(written(t, "lowslung: 1\nbase: "+c.base+".rig.yaml\n"+patch), Options{})
		if err != nil {
			t.Fatal(err)
		}
		found := false
		for _, f := range a.Findings {
			found = found || f.Code == c.code && f.Level == c.level && strings.Contains(f.Sentence, c.says)
		}
		if !found {
			t.Errorf("%s with %q: expected %s, %s, with %q in it, among:", c.base, c.patch, c.code, c.level, c.says)
			for _, f := range a.Findings {
				t.Log("  ", f.Level, f.Code, f.Sentence)
			}
		}
	}
}

// Shocks of a pair that differ: one without a spring stands on its stop, and longer bodies on one diagonal lift a wheel of the other.
func TestShocksThatDiffer(t *testing.T) {
	m := *modelOf(t, "gully.rig.yaml")
	m.Bars = nil
	for _, c := range []struct {
		code   string
		change func(s *solid.Shock)
	}{
		{"ride/on-stops", func(s *solid.Shock) {
			if s.Axle == solid.Front && s.Side == solid.Left {
				s.Springs = nil
			}
		}},
		{"ride/wheel-off", func(s *solid.Shock) {
			s.Springs, s.Collar = []solid.Spring{{Rate: 3}}, 0
			if (s.Axle == solid.Front) == (s.Side == solid.Left) {
				s.Open, s.Closed = s.Open+25, s.Closed+25 // the wrong bodies
			}
		}},
	} {
		m.Shocks = append([]solid.Shock(nil), modelOf(t, "gully.rig.yaml").Shocks...)
		for i := range m.Shocks {
			c.change(&m.Shocks[i])
		}
		a, err := Assess(&m, Options{Brief: true})
		if err != nil || a.Stance == nil {
			t.Fatal(err, a.Findings)
		}
		found := false
		for _, f := range a.Findings {
			found = found || f.Code == c.code && f.Level == finding.Stop
		}
		if !found {
			t.Errorf("expected %s among %+v; loads %+v", c.code, a.Findings, a.Stance.CornerLoadsN)
		}
	}
}
