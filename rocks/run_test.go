package rocks

import (
	"encoding/json"
	"math"
	"reflect"
	"testing"

	"lowslung/solid"
)

// Same rig, same rock, same bits, whatever was run before.
func TestSameRunToTheBit(t *testing.T) {
	m := demo(t, "gully.rig.yaml")
	o := Options{Obstacle: "boulders", Size: 70, Seed: 5, Frames: true}
	one, err := Assess(m, o)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Assess(m, Options{Obstacle: "ledge", Size: 90}); err != nil {
		t.Fatal(err)
	}
	two, _ := Assess(m, o)
	a, _ := json.Marshal(one)
	b, _ := json.Marshal(two)
	if string(a) != string(b) {
		t.Error("two runs of the same rig over the same boulders differ")
	}
	if other, _ := Assess(m, Options{Obstacle: "boulders", Size: 70, Seed: 6, Frames: true}); reflect.DeepEqual(other.Run.Frames, one.Run.Frames) {
		t.Error("another seed gives the same run")
	}
}

// A mirrored rig on mirrored rock gives the mirrored run: the plain rig with its transverse rods on the other side, over blocks that lie on the other side.
func TestMirroredRun(t *testing.T) {
	run := func(side float64) []solid.Vec {
		p := usual()
		p.rod *= side
		r := p.machine(t, &Options{Grip: 0.8})
		turn := solid.Turned(0.3*side, 0.2, 0.4*side)
		rock := terrain{ground(), one(block(solid.Vec{X: 40, Y: 95 * side, Z: 5}, solid.Vec{X: 120, Y: 80, Z: 50}, turn, 5)), one(block(solid.Vec{X: 300, Y: -80 * side, Z: 0}, solid.Vec{X: 150, Y: 90, Z: 60}, turn, 5))}
		w := newWork(r, rock, 1e-3)
		w.set(-250, 0)
		var out []solid.Vec
		for i := range 2600 {
			w.drive.off = i < 300
			w.step()
			if i%100 == 0 {
				out = append(out, w.s.x)
			}
		}
		return out
	}
	left, right := run(1), run(-1)
	worst, moved := 0.0, 0.0
	for i := range left {
		worst = max(worst, left[i].Sub(right[i].Flip()).Norm())
		moved = max(moved, math.Abs(left[i].Y))
	}
	if moved < 0.5 {
		t.Fatalf("the run is straight, %.3f mm to the side: it shows nothing", moved)
	}
	if worst > 1e-4 {
		t.Errorf("the mirrored run is off by %.3g mm, expected rounding: less than 1e-4", worst)
	}
}

// What is cleared was cleared, what ended it did not: the search tells of runs that were made.
func TestLimitsAreRuns(t *testing.T) {
	m := demo(t, "bramble-portal.rig.yaml")
	a, err := Assess(m, Options{Only: []string{"ledge", "side slope"}})
	if err != nil {
		t.Fatal(err)
	}
	if len(a.Limits) != 2 || a.Grip.From != "document" {
		t.Fatalf("found %d limits with grip from %s, expected 2 from the document", len(a.Limits), a.Grip.From)
	}
	for _, l := range a.Limits {
		k, _ := obstacleOf(l.Obstacle)
		if l.Cleared <= 0 || !(l.Next.Size > l.Cleared) || l.Next.Size-l.Cleared > k.fine*1.001 {
			t.Errorf("%s: cleared %g, next %g, expected them %g apart", l.Obstacle, l.Cleared, l.Next.Size, k.fine)
		}
		for size, want := range map[float64]string{l.Cleared: "through", l.Next.Size: l.Next.Outcome} {
			b, err := Assess(m, Options{Obstacle: l.Obstacle, Size: size})
			if err != nil || b.Run.Ended.Outcome != want {
				t.Errorf("%s of %g: %s, the search had %s", l.Obstacle, size, b.Run.Ended.Outcome, want)
			}
		}
	}
	if n := len(a.Numbers()); n != 2 {
		t.Errorf("found %d numbers, expected 2", n)
	}
}

// More grip climbs no lower, a ledge and a slope both.
func TestMoreGripClimbsHigher(t *testing.T) {
	m := demo(t, "bramble.rig.yaml")
	for _, name := range []string{"ledge", "climb"} {
		last := 0.0
		for _, g := range []float64{0.4, 0.6, 0.9} {
			a, err := Assess(m, Options{Only: []string{name}, Grip: g})
			if err != nil {
				t.Fatal(err)
			}
			if c := a.Limits[0].Cleared; c < last {
				t.Errorf("%s: grip %g clears %g, less grip cleared %g", name, g, c, last)
			} else {
				last = c
			}
		}
	}
}

// Without grip it does not climb, without torque it says so, and on its belly too.
func TestWhyItEnds(t *testing.T) {
	m := demo(t, "bramble-portal.rig.yaml")
	see := func(o Options) Ended {
		a, err := Assess(m, o)
		if err != nil {
			t.Fatal(err)
		}
		return a.Run.Ended
	}
	if e := see(Options{Obstacle: "climb", Size: 30, Grip: 0.3}); e.Why != "no grip" && e.Why != "back" {
		t.Errorf("30° at a grip of 0.3: %s, %s", e.Outcome, e.Why)
	}
	weak := machineOf(t, m, &Options{Grip: 1})
	weak.line.Limit = 4 // A
	if e := clears(weak, "climb", 35, &Options{}); e.verdict != stalled || e.why != "no torque" {
		t.Errorf("35° with 4 A: %s, %s, expected no torque", e.verdict, e.why)
	}
	if e := see(Options{Obstacle: "side slope", Size: 60, Grip: 2}); e.Outcome != "rolled" || e.Why != "left" {
		t.Errorf("side slope of 60° with its left side down: %s, %s, expected a roll to the left", e.Outcome, e.Why)
	}
	if e := see(Options{Obstacle: "climb", Size: 74, Grip: 3}); e.Outcome == "through" {
		t.Errorf("74° is climbed")
	}
}
