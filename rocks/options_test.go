package rocks

import (
	"strings"
	"testing"

	"lowslung/channel"
	"lowslung/finding"
	"lowslung/quantity"
)

func TestOptions(t *testing.T) {
	o, err := ParseOptions("ledge", "2 in", "", "0.7", "0.5", "80 %", quantity.Metric)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "size", o.Size, 50.8, 1e-9)
	near(t, "grip", o.Grip, 0.7, 0)
	near(t, "speed", o.Speed, 0.5, 1e-12)
	near(t, "throttle", o.Throttle, 0.8, 1e-12)
	o, err = ParseOptions("side slope", "", "30", "", "", "", quantity.Metric)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "angle", o.Size, 30, 1e-9)
}

func TestBadOptions(t *testing.T) {
	for _, c := range []struct{ name, height, angle, grip, speed, throttle, want string }{
		{"wall", "", "", "", "", "", `obstacle: found "wall", expected one of ledge, climb`},
		{"ledge", "9 m", "", "", "", "", "height: found 9 m, expected 5 mm to 250 mm"},
		{"ledge", "", "30", "", "", "", `found angle for the obstacle "ledge", expected height`},
		{"climb", "30", "", "", "", "", `found height for the obstacle "climb", expected angle`},
		{"", "30", "", "", "", "", "found height without an obstacle"},
		{"", "", "", "sticky", "", "", "grip:"},
		{"", "", "", "9", "", "", "grip: found 9, expected 0.05 to 3"},
		{"", "", "", "", "90 m/s", "", "speed: found 90 m/s"},
		{"", "", "", "", "", "200 %", "throttle: found 200 %"},
	} {
		if _, err := ParseOptions(c.name, c.height, c.angle, c.grip, c.speed, c.throttle, quantity.Metric); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%+v: found %v", c, err)
		}
	}
	if _, err := Assess(demo(t, "bramble.rig.yaml"), Options{Obstacle: "wall"}); err == nil {
		t.Error("an obstacle that there is not is no error")
	}
}

// Every obstacle has its number in the catalogue.
func TestNamesOfNumbers(t *testing.T) {
	for i := range obstacles {
		k := &obstacles[i]
		c, ok := channel.Find(channels[k.name])
		if !ok || c.Word != "rocks" || !c.Estimated() {
			t.Errorf("%s: found no number of the catalogue for it that says it is an estimate", k.name)
			continue
		}
		if want := quantity.DimLength; (c.Dim == want) == k.angle {
			t.Errorf("%s: its number has the dimension %s", k.name, c.Dim.Name)
		}
		if got := Needed([]string{c.Name, "mass"}); len(got) != 1 || got[0] != k.name {
			t.Errorf("%s: the target %q needs %v", k.name, c.Name, got)
		}
		if k.usual < k.least || k.usual > k.most || k.stride < k.fine {
			t.Errorf("%s: its sizes do not fit each other", k.name)
		}
	}
}

func codes(list []finding.Finding) map[string]finding.Finding {
	out := map[string]finding.Finding{}
	for _, f := range list {
		out[f.Code] = f
	}
	return out
}

func TestFindings(t *testing.T) {
	m := demo(t, "bramble-portal.rig.yaml")
	a, _ := Assess(m, Options{Obstacle: "ledge", Size: 30})
	c := codes(a.Findings)
	if f, ok := c["rocks/grip-assumed"]; !ok || !strings.Contains(f.Sentence, "assumption") || !strings.Contains(f.Sentence, "estimate") {
		t.Errorf("nothing says that the grip is an assumption: %v", a.Findings)
	}
	if c["rocks/through"].Level != finding.OK {
		t.Errorf("a ledge of 30 mm: %v", a.Findings)
	}
	a, _ = Assess(m, Options{Obstacle: "ledge", Size: 150})
	if codes(a.Findings)["rocks/ended"].Level != finding.Watch {
		t.Errorf("a ledge of 150 mm: %v", a.Findings)
	}
	p := usual()
	plain := p.machine(t, &Options{}).model
	a, _ = Assess(plain, Options{Obstacle: "climb", Size: 30})
	c = codes(a.Findings)
	for _, code := range []string{"rocks/no-drive", "rocks/damping", "rocks/buried"} {
		if _, ok := c[code]; !ok {
			t.Errorf("a rig without drive and dampers, its links in the ground, lacks %s: %v", code, a.Findings)
		}
	}
	bare := *m
	bare.Shocks = nil
	a, _ = Assess(&bare, Options{})
	if c = codes(a.Findings); len(a.Limits) != 0 || a.Grip != nil || c["rocks/lacking"].Level != finding.Note {
		t.Errorf("a rig without shocks: %v", a.Findings)
	}
}

// Every end has its finding, with the level that it deserves.
func TestFindingsOfEnds(t *testing.T) {
	r := machineOf(t, demo(t, "bramble-portal.rig.yaml"), &Options{})
	for _, c := range []struct {
		outcome verdict
		why     string
		code    string
		level   finding.Level
	}{
		{rolled, "left", "rocks/rolls", finding.Watch},
		{stalled, "no torque", "rocks/no-torque", finding.Watch},
		{stalled, "belly aground", "rocks/aground", finding.Watch},
		{stalled, "link aground", "rocks/aground", finding.Watch},
		{lost, "", "rocks/lost", finding.Note},
		{stalled, "no grip", "", ""},
	} {
		tr := trip{verdict: c.outcome, why: c.why, seconds: 3.2, at: 40}
		a := Answer{Grip: &Grip{Front: 0.8, Rear: 0.8}, Limits: []Limit{{Obstacle: "ledge", Unit: "mm", Cleared: 50, Next: r.ended(52, &tr, quantity.Metric, nil)}}}
		a.judge(r, &Options{})
		got := codes(a.Findings)
		if c.code == "" {
			if len(got) != 1 {
				t.Errorf("want of grip is what one expects, and says nothing more: %v", a.Findings)
			}
			continue
		}
		if f := got[c.code]; f.Level != c.level || !strings.Contains(f.Sentence, "52 mm") {
			t.Errorf("%s, %s: %v", c.outcome, c.why, a.Findings)
		}
	}
	a := Answer{Grip: &Grip{}, Run: &Run{Obstacle: "map", Ended: Ended{Outcome: "through"}, RoughShare: 0.05, linksEnd: 2, buried: 3}}
	a.judge(r, &Options{})
	got := codes(a.Findings)
	for _, code := range []string{"rocks/through", "rocks/rough", "rocks/links-end", "rocks/buried"} {
		if _, ok := got[code]; !ok {
			t.Errorf("%s is not said: %v", code, a.Findings)
		}
	}
}

// A run that leaves all numbers says so instead of answering with them.
func TestLostIsSaid(t *testing.T) {
	w := demoOn(t, "ledge", 40)
	w.s.u[0] = 1e6
	if !w.lost() {
		t.Error("a rig at 1 km/s is not taken to be lost")
	}
	k, _ := obstacleOf("ledge")
	c := k.lay(40, 0)
	w = newWork(machineOf(t, demo(t, "bramble-portal.rig.yaml"), &Options{}), c.rock, usualStep)
	w.rig.chassis.mass = -1 // no machine: the step's matrix is not definite
	if tr := w.ride(&c, &Options{}, true); tr.verdict != lost && tr.rough == 0 {
		t.Errorf("a machine without sense: %s %s, with %d rough steps", tr.verdict, tr.why, tr.rough)
	}
}
