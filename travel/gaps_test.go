package travel

import (
	"math"
	"testing"

	"lowslung/solid"
)

// Gaps at a pose: a plate over the rear housing is as much nearer as the wheels go up together, worked out on paper; and with both axles moved, a peg on the front
// axle and one on the rear are measured where both are, which moving one axle at a time never shows.
func TestGapsAtAPose(t *testing.T) {
	plate := 14.0 + 6 + 20 // bottom, with the housing's top at 14 + 6 at rest
	m := sprung(body("floor", solid.OnChassis, boxAt(solid.Vec{X: -154, Z: plate + 1}, 4, 4, 2)), body("housing", solid.OnRear, ballAt(solid.Vec{}, 12)))
	m.Axles[solid.Rear].HalfTrack = 100
	st := StandOf(m)
	for _, up := range []float64{0, 16, 17.5, 19, 20.5} {
		list, err := Gaps(m, st, Bumps{{}, {up, up}})
		if err != nil {
			t.Fatal(err)
		}
		want := 20 - up
		switch {
		case want >= 5:
			if len(list) != 0 {
				t.Errorf("%g mm up: %+v, expected nothing below 5 mm", up, list)
			}
		case len(list) != 1:
			t.Errorf("%g mm up: %+v, expected one gap", up, list)
		case math.Abs(list[0].GapMM-max(0, want)) > 0.02 || list[0].Touching != (want <= 0):
			t.Errorf("%g mm up: %+v, expected %g", up, list[0], want)
		}
	}
	if st.Movers[solid.Rear].At() != st.Movers[solid.Rear].Design {
		t.Error("the mover is not put back")
	}
	for _, bad := range []Bumps{{{5, 5}, {}}, {{}, {900, 0}}, {{}, {math.NaN(), 0}}} {
		if _, err := Gaps(m, st, bad); err == nil {
			t.Errorf("%v is no mistake", bad)
		}
	}
}

func TestParseBumps(t *testing.T) {
	if b, err := ParseBumps(" 10, -5,0,2.5"); err != nil || b != (Bumps{{10, -5}, {0, 2.5}}) {
		t.Errorf("%v, %v", b, err)
	}
	for _, text := range []string{"1", "1,2,3", "1,2,3,x", "1,2,3,NaN", "1,2,3,4,5"} {
		if _, err := ParseBumps(text); err == nil {
			t.Errorf("%q is read", text)
		}
	}
}

// With both axles moved: balls on long arms of either axle meet in the middle of the rig. The distance of their centres, each placed by its own axle's pose, less their radii.
func TestGapsWithBothAxlesMoved(t *testing.T) {
	m := whole()
	back := func(v solid.Vec) solid.Vec { return solid.Vec{X: -v.X, Y: v.Y, Z: v.Z} }
	m.Axles[solid.Front].Near = back(m.Axles[solid.Rear].Near)
	for _, l := range m.Links[:len(m.Links):len(m.Links)] { // the rear axle's links, facing the other way
		l.Axle, l.From, l.To = solid.Front, back(l.From), back(l.To)
		m.Links = append(m.Links, l)
	}
	front, rear := solid.Vec{X: -150, Y: 40, Z: -7}, solid.Vec{X: 148, Y: 40, Z: -2}
	m.Bodies = append(m.Bodies, body("front ball", solid.OnFront, ballAt(front, 6)), body("rear ball", solid.OnRear, ballAt(rear, 6)))
	st := StandOf(m)
	seen := 0
	for _, b := range []Bumps{{}, {{1, 1}, {}}, {{}, {1, 1}}, {{1, 0.5}, {-0.5, 0.5}}, {{-1, -1}, {0.5, 0.5}}, {{-5, -5}, {5, 5}}} {
		var at [2]solid.Vec
		for end, q := range []solid.Vec{front, rear} {
			mv := NewMover(m, solid.End(end))
			mv.Jump(st.Movers[end].Design)
			if !mv.To(st.Movers[end].Design.Z+(b[end][0]+b[end][1])/2, math.Asin((b[end][0]-b[end][1])/200)) {
				t.Fatal("out of reach")
			}
			at[end] = mv.At().Place(q)
		}
		want := at[0].Sub(at[1]).Norm() - 6
		list, err := Gaps(m, st, b)
		if err != nil {
			t.Fatal(err)
		}
		got := math.Inf(1)
		for _, g := range list {
			if g.A == "the front ball" && g.B == "the rear ball" {
				got = g.GapMM
			}
		}
		if want < clearShown {
			seen++
			if math.Abs(got-max(0, want)) > 1e-6 {
				t.Errorf("%v: %g mm, by hand %g", b, got, want)
			}
		} else if !math.IsInf(got, 1) {
			t.Errorf("%v: %g mm is told, by hand it is %g", b, got, want)
		}
	}
	if seen < 4 {
		t.Errorf("only %d of the poses bring them near: the test says little", seen)
	}
}
