package reference

import (
	"math"
	"testing"

	"lowslung/solid"
)

// standing is a rig with a single weight on plain links.
func standing(base, radius, halfTrack, ahead, height float64) *bench {
	return &bench{
		base: base, radius: radius, halfTrack: halfTrack,
		rear: plainLinks(solid.Rear, base, radius), front: plainLinks(solid.Front, base, radius),
		weights: []weight{{2.5, vec{X: ahead, Z: height}}}, traction: [2]float64{0.5, 0.5}, origin: vec{X: base / 2, Z: 30},
	}
}

// Static stability factor T/2h and the tilt table's angle atan(T/2h). National Highway Traffic Safety Administration, measured
// vehicle inertial parameters (SAE 1999-01-1336): class means T 1.446 m, h 0.519 m; recomputed. The lengths are taken as mm:
// both numbers have no unit. The other rows are exact: h = T/2/SSF.
func TestStaticStability(t *testing.T) {
	for _, c := range []struct{ track, height, factor, angle, tolFactor float64 }{
		{1446, 519, 1.393064, 54.3276, 5e-7},
		{200, 100, 1.00, 45, 1e-12},
		{200, 100 / 1.3, 1.30, 52.4314, 1e-12},
		{200, 100 / 1.4, 1.40, 54.4623, 1e-12},
	} {
		radius := c.height * 0.6
		a := balanceOf(t, standing(3*c.height, radius, c.track/2, 1.5*c.height, c.height).model())
		given(t, "static stability factor", a.StaticStability, c.factor, c.tolFactor)
		if a.TipSideDeg == nil {
			t.Fatal("no tip angle to the side")
		}
		within(t, "tip angle left", a.TipSideDeg.Left, c.angle, 5e-5)
		within(t, "tip angle right", a.TipSideDeg.Right, c.angle, 5e-5)
	}
}

// A centre of mass off the middle by y: atan((T/2 ∓ y)/h), derived.
func TestTippingOffTheMiddle(t *testing.T) {
	b := standing(300, 57, 100, 150, 80)
	b.weights = []weight{{2, vec{X: 150, Y: 12, Z: 70}}, {0.5, vec{X: 150, Y: 2, Z: 120}}} // y 10, z 80
	a := balanceOf(t, b.model())
	within(t, "tip angle left", a.TipSideDeg.Left, math.Atan2(90, 80)/deg, 1e-9)
	within(t, "tip angle right", a.TipSideDeg.Right, math.Atan2(110, 80)/deg, 1e-9)
}

// Climbing and descending: the rig tips when the weight's line passes the lower contact point. Exact; the argument is that of
// the Cambridge University Engineering Department hand-out "Climbing an inclined plane". L 300, h 80, centre 180 ahead of the
// rear contact: atan(180/80) and atan(120/80).
func TestNoseUpAndDown(t *testing.T) {
	a := balanceOf(t, standing(300, 57, 100, 180, 80).model())
	given(t, "nose up", a.TipNoseUpDeg, 66.0375, 5e-5)
	given(t, "nose down", a.TipNoseDownDeg, 56.3099, 5e-5)
	given(t, "front share", a.FrontShare, 180.0/300, 1e-12)
	given(t, "height", a.CenterOfMassHeightMM, 80, 1e-9)
}
