package ride

import (
	"math"
	"testing"

	"lowslung/solid"
)

// Approach on paper: the tangent from a point ahead under a wheel of radius R goes up at atan2(dz, dx) + asin(R/d), seen from the wheel's
// centre. Departure is the same in the mirror.
func TestApproachOnPaper(t *testing.T) {
	c := solid.Vec{X: 100, Z: 50}
	tip := solid.Vec{X: 190, Z: 30}
	list := []outline{
		{name: "bumper", hull: solid.Line(tip.Add(solid.Vec{Y: -20}), tip.Add(solid.Vec{Y: 20}), 0)},
		{name: "roof", hull: solid.Line(solid.Vec{X: -100, Z: 150}, solid.Vec{X: 180, Z: 150}, 5)},
	}
	want := math.Atan2(tip.Z-c.Z, tip.X-c.X) + math.Asin(50/math.Hypot(tip.X-c.X, tip.Z-c.Z))
	got, by := steepest(list, c, 1)
	near(t, "approach", got/deg, want/deg, 1e-6)
	if by == nil || by.name != "bumper" {
		t.Errorf("by %+v, expected the bumper", by)
	}
	for i := range list {
		list[i].hull.At.X *= -1
		list[i].hull.U.X *= -1
	}
	c.X *= -1
	got, _ = steepest(list, c, -1)
	near(t, "departure", got/deg, want/deg, 1e-6)
	// Nothing ahead of the tyre: straight up.
	if got, by := steepest(list, solid.Vec{X: 100, Z: 50}, 1); got != math.Pi/2 || by != nil {
		t.Errorf("found %v° by %v, expected 90° by nothing", got/deg, by)
	}
}

// Breakover on paper: over a flat belly h above the ground the worst place is its middle, where each plane falls by
// asin(R/d) − atan((R − h)/(L/2)), d from there to a wheel's centre. With a short belly, or none in the middle, it is the nearest corner.
func TestBreakoverOnPaper(t *testing.T) {
	f, r := solid.Vec{X: 150, Z: 55}, solid.Vec{X: -150, Z: 55}
	box := func(from, to, h float64) outline {
		mid := solid.Vec{X: (from + to) / 2, Z: h + 10}
		return outline{name: "belly", hull: solid.Hull{Core: solid.CoreBox, At: mid, U: solid.Vec{X: (to - from) / 2}, V: solid.Vec{Y: 30}, W: solid.Vec{Z: 10}}}
	}
	at := func(x, h float64) float64 {
		sum := 0.0
		for _, d := range []float64{150 - x, 150 + x} {
			sum += math.Asin(55/math.Hypot(d, 55-h)) - math.Atan2(55-h, d)
		}
		return sum
	}
	high := box(-140, 140, 120)
	high.name = "roof"
	got, apex, by := crest([]outline{high, box(-40, 40, 60)}, f, r)
	near(t, "long belly", got/deg, at(0, 60)/deg, 1e-6)
	if by == nil || by.name != "belly" {
		t.Errorf("by %+v, expected the belly", by)
	}
	near(t, "its middle", apex.X, 0, 1e-3)
	near(t, "its underside", apex.Z, 60, 1e-9)
	// The ridge there: each flank is as far from the wheel's middle as the tyre's radius, by the formula of a point and a line.
	c := clearing{breakover: got, apex: apex, middle: by}
	ridge := c.ridge(f, r)
	if ridge == nil {
		t.Fatal("no ridge")
	}
	for _, k := range []struct {
		foot float64
		hub  solid.Vec
	}{{ridge.FrontMM, f}, {ridge.RearMM, r}} {
		dx, dz := ridge.ApexMM[0]-k.foot, ridge.ApexMM[1]
		near(t, "flank from the wheel's middle", math.Abs(dx*k.hub.Z-dz*(k.hub.X-k.foot))/math.Hypot(dx, dz), 55, 1e-3)
	}
	if c.middle = nil; c.ridge(f, r) != nil {
		t.Error("a ridge under nothing")
	}
	got, _, _ = crest([]outline{box(30, 60, 60)}, f, r)
	near(t, "belly ahead", got/deg, at(30, 60)/deg, 1e-6)
	// A round bar: its lowest point is not its worst one, but on so flat a curve nearly.
	got, _, _ = crest([]outline{{name: "slider", hull: solid.Line(solid.Vec{Y: -30, Z: 64}, solid.Vec{Y: 30, Z: 64}, 4)}}, f, r)
	near(t, "round bar", got/deg, at(0, 60)/deg, 0.05)
}

// The index as it is published: 62 inches along the ramp on a wheelbase of 94 inches are 659.57 (an encyclopaedia prints 659; common practice).
func TestRampTravelIndex(t *testing.T) {
	near(t, "index", rampIndex(62*25.4, 94*25.4), 659.57, 5e-3)
	// And what the climb measures is that distance: the ramp's foot to where the tyre touches, so height over sine of the slope.
	w := newWork(machineOf(t, modelOf(t, "bramble.rig.yaml")))
	w.stand()
	level := w.save()
	for _, slope := range []float64{15, 20, 30} {
		w.restore(&level)
		c := w.climb(0, slope*deg, 312, &level, 0)
		p := w.touch(0)
		near(t, "height where it touches", p.Z, c.high, 1e-6)
		near(t, "and along the ramp", c.along, p.Z/math.Sin(slope*deg), 1e-6)
		if c.which != 2 {
			t.Errorf("on %v° wheel %d lifts, expected the rear left one", slope, c.which)
		}
	}
}
