package reference

import (
	"math"
	"testing"

	"lowslung/quantity"
)

// ISO 10392, Road vehicles: determination of centre of gravity, clause 6 (axle-lift method; recomputed): lift the front axle
// so that the wheelbase stands at θ, weigh the rear axle before (F) and after (F′), then the centre of mass is at
// z = r + L(F′ − F)/(W tan θ) above the ground. W 25.0 N, L 300, r 57, F 13.75, F′ 14.447610 N, θ 20° gives 80.000.
//
// The program has no lifting table, but blocks below the front wheels are the same thing as front wheels that are larger by the
// height of the block: the contact is then straight below the wheel centre, as it is on a table.
func TestCentreHeightByAxleLift(t *testing.T) {
	const base, radius, height, weightN = 300.0, 57.0, 80.0, 25.0
	tilt := 20 * deg
	b := standing(base, radius, 100, 135, height)
	b.weights[0].kg = weightN / (quantity.Gravity / 1000)

	m := b.model()
	rear := func() float64 {
		a := balanceOf(t, m)
		if a.CornerLoadsN == nil {
			t.Fatal("no corner loads")
		}
		return a.CornerLoadsN.RearLeft + a.CornerLoadsN.RearRight
	}
	level := rear()
	m.Axles[0].TyreRadius = radius + base*math.Sin(tilt)
	lifted := rear()

	within(t, "rear axle, level, N", level, 13.75, 1e-9)
	within(t, "rear axle, front lifted, N", lifted, 14.447610, 5e-7)
	within(t, "height by the axle-lift formula", radius+base*(lifted-level)/(weightN*math.Tan(tilt)), height, 1e-7)

	a := balanceOf(t, m)
	given(t, "pitch of the chassis, nose up", a.GroundPitchDeg, -20, 1e-9)
	given(t, "wheelbase along the ground", a.WheelbaseMM, base*math.Cos(tilt), 1e-9)
}
