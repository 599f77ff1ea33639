package rocks

import (
	"fmt"
	"math"
	"testing"

	"lowslung/examples"
	"lowslung/ride"
	"lowslung/rig"
	"lowslung/solid"
)

func demo(t testing.TB, name string) *solid.Model {
	t.Helper()
	return loaded(t, examples.Files.ReadFile, name)
}

func loaded(t testing.TB, read func(string) ([]byte, error), name string) *solid.Model {
	t.Helper()
	b, err := rig.Load(read, name)
	if err != nil {
		t.Fatal(err)
	}
	m, err := solid.Resolve(b)
	if err != nil {
		t.Fatal(err)
	}
	return ride.Stand(m)
}

func machineOf(t testing.TB, m *solid.Model, o *Options) *machine {
	t.Helper()
	r, lacking := compile(m, o)
	if lacking != nil {
		t.Fatal(lacking.Sentence)
	}
	return r
}

// demoOn is the demo rig set down before an obstacle.
func demoOn(t testing.TB, name string, size float64) *work {
	t.Helper()
	k, err := obstacleOf(name)
	if err != nil {
		t.Fatal(err)
	}
	r := machineOf(t, demo(t, "bramble-portal.rig.yaml"), &Options{})
	c := k.lay(size, 1)
	w := newWork(r, c.rock, usualStep)
	w.set(-c.start*r.radius-r.base/2, 0)
	return w
}

// A plain rig, made so that paper can follow it: links so long and level that an axle goes straight up and down and rolls about its middle, upright
// shocks as stiff as their stops, all weight in the chassis, tyres of 114 mm with a narrow tread.
type plain struct {
	mass    float64 // g
	high    float64 // of the centre of mass above the axles, mm
	ahead   float64 // of the middle of the wheelbase, mm
	half    float64 // half track, mm
	rate    float64 // of each spring, N/mm
	tyre    float64 // radial rate, N/mm
	side    float64 // lateral rate, N/mm
	width   float64 // of a tyre, mm
	rod     float64 // y at which the chassis' eyes of the transverse rods are, mm
	free    string  // axles that nothing drives: "", "front", "both"
	shocked string  // further keys of the shocks
}

func usual() plain {
	return plain{mass: 3000, high: 20, half: 100, rate: 2, tyre: 60, side: 60, width: 8, rod: 4000}
}

const (
	plainBase   = 300.0
	plainRadius = 57.0
)

func (p plain) text() string {
	axle := func(name string, x float64) string {
		return fmt.Sprintf(`
%[1]s:
  near: [%[2]v, 0, 0]
  parts:
    %[1]s axle:
      kind: axle
      mass: 100
      holes: {low: {at: [0, 40, 0], pair: true}, top: {at: [0, 0, 40]}, rod: {at: [0, 0, 0]}, shock: {at: [0, 60, 0], pair: true}}
    %[1]s tyre: {kind: tyre, pair: true, mass: 50, at: [0, %[3]v, 0], tyre: {diameter: 114, width: %[4]v, rate: %[5]v, lateral_rate: %[6]v}}
`, name, x, p.half, p.width, p.tyre, p.side)
	}
	link := func(name, eye string) string {
		return fmt.Sprintf("  %[1]s %[2]s: {axle: %[1]s, pair: %[3]v, from: frame/%[1]s %[2]s, to: %[1]s axle/%[2]s, length: 4000}\n", name, eye, eye == "low")
	}
	shock := func(name string) string {
		return fmt.Sprintf("  %[1]s: {axle: %[1]s, pair: true, top: frame/%[1]s shock, bottom: %[1]s axle/shock, open: 120, closed: 60, set: 100, springs: [{rate: %[2]v}], collar: 0%[3]s}\n", name, p.rate, p.shocked)
	}
	holes := func(name string, x, back float64) string {
		return fmt.Sprintf("        %[1]s low: {at: [%[2]v, 40, 0], pair: true}\n        %[1]s top: {at: [%[2]v, 0, 40]}\n        %[1]s rod: {at: [%[3]v, %[4]v, 0]}\n        %[1]s shock: {at: [%[3]v, 60, 100], pair: true}\n", name, back, x, p.rod)
	}
	rods := func(name string) string {
		return fmt.Sprintf("  %[1]s rod: {axle: %[1]s, from: frame/%[1]s rod, to: %[1]s axle/rod, length: 4000}\n", name)
	}
	drive := ""
	switch p.free {
	case "front":
		drive = "drive: {stages: [[pinion, spur]], rear: {ring: 30, pinion: 10}}\n"
	}
	return fmt.Sprintf(`lowslung: 1
chassis:
  parts:
    frame:
      kind: frame
      mass: %v
      cg: [%v, 0, %v]
      holes:
%s%s    pinion: {kind: gear, mass: 1, gear: {teeth: 12}}
    spur: {kind: gear, mass: 1, gear: {teeth: 48}}
%s%slinks:
%s%s%s%s%s%sshocks:
%s%s%s`, p.mass, p.ahead, p.high, holes("front", 150, -3850), holes("rear", -150, 3850), axle("front", 150), axle("rear", -150),
		link("front", "low"), link("front", "top"), rods("front"), link("rear", "low"), link("rear", "top"), rods("rear"), shock("front"), shock("rear"), drive)
}

func (p plain) machine(t testing.TB, o *Options) *machine {
	t.Helper()
	m := loaded(t, func(string) ([]byte, error) { return []byte(p.text()), nil }, "plain.rig.yaml")
	r := machineOf(t, m, o)
	r.skin = skin{} // its links are 4 m long
	return r
}

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s is %.7g, expected %.7g ± %g", what, got, want, tol)
	}
}
