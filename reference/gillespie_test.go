package reference

import (
	"math"
	"testing"

	"lowslung/solid"
	"lowslung/travel"
)

// T. D. Gillespie, Fundamentals of Vehicle Dynamics, SAE 1992, ch. 7: anti-squat of a solid drive axle, the roll centre of
// four links and of a transverse rod. Formulas from memory; digits derived: exact ratios of the inputs, and agreed by a
// balance of the link forces.

// rearLinks, from the ground below the rear wheel centre: lower axle (10, ±60, 45) frame (110, ±40, 60); upper axle
// (10, ±15, 85) frame (90, ±45, 85).
func rearLinks() []eye {
	out := pair("lower", vec{X: 110, Y: 40, Z: 60}, vec{X: 10, Y: 60, Z: 45})
	return append(out, pair("upper", vec{X: 90, Y: 45, Z: 85}, vec{X: 10, Y: 15, Z: 85})...)
}

// ahead mirrors links of a rear axle into those of a front axle at x = base.
func ahead(eyes []eye, base float64) []eye {
	out := make([]eye, len(eyes))
	for i, e := range eyes {
		e.chassis.X, e.axle.X = base-e.chassis.X, base-e.axle.X
		out[i] = e
	}
	return out
}

func TestSideViewOfFourLinks(t *testing.T) {
	b := textbook(rearLinks(), ahead(rearLinks(), 300))
	a := travelOf(t, b.model(), travel.Options{Roll: travel.Span{Step: 1}})
	if a.Axles.Rear.Design.Rates == nil || a.Axles.Front.Design.Rates == nil {
		t.Fatal("no rates at the design pose")
	}
	r, f := a.Axles.Rear.Design.Rates, a.Axles.Front.Design.Rates

	// The links' lines in side view meet at (830/3, 85) from the ground below the rear wheel centre.
	const icx, icz = 830.0 / 3, 85.0
	given(t, "rear instant centre x", r.InstantCenterXMM, icx-150, 1e-8)
	given(t, "rear instant centre z", r.InstantCenterZMM, icz-30, 1e-8)
	within(t, "rear side slope", r.SideSlope, icz/icx, 1e-11)
	within(t, "rear side slope, as tabulated", r.SideSlope, 0.3072289, 5e-8)
	given(t, "anti-squat, half share", r.AntiSquatPct, 57.6054, 5e-5)
	if r.AntiLiftPct != nil {
		t.Error("a rear axle has anti-squat, not anti-lift")
	}

	given(t, "front instant centre x", f.InstantCenterXMM, 300-icx-150, 1e-8)
	given(t, "front instant centre z", f.InstantCenterZMM, icz-30, 1e-8)
	within(t, "front side slope", f.SideSlope, icz/icx, 1e-11)
	given(t, "anti-lift, half share", f.AntiLiftPct, 57.6054, 5e-5)

	b.traction = [2]float64{0, 1}
	a = travelOf(t, b.model(), travel.Options{})
	given(t, "anti-squat, rear drive", a.Axles.Rear.Design.Rates.AntiSquatPct, 115.2108, 5e-5)
}

// With the differential on the chassis the drive torque is not reacted in the housing: the line to the wheel centre counts
// instead of the one to the contact point: 100·(85 − 57)/(830/3)·300/80. The program has solid axles only, so this checks the
// rates of motion it is made of: the velocity of the wheel centre per unit of heave.
func TestPathOfTheWheelCentre(t *testing.T) {
	b := textbook(rearLinks(), ahead(rearLinks(), 300))
	mv := travel.NewMover(b.model(), solid.Rear)
	heave, _, _, ok := mv.Rates()
	if !ok {
		t.Fatal("no rates")
	}
	p := mv.At()
	v := heave.At(p, p.Origin())
	within(t, "anti-squat by the wheel centre", 100*(-v.X/v.Z)*300/80, 37.9518, 5e-5)
	within(t, "the wheel centre's heave", v.Z, 1, 1e-14)
}

// The lower links meet in plan at (310, 0, 90), the upper ones at (−30, 0, 85); the axle rolls about the line through both.
func TestRollCentreOfFourLinks(t *testing.T) {
	const slope = 5.0 / 340
	b := textbook(rearLinks(), ahead(rearLinks(), 300))
	a := travelOf(t, b.model(), travel.Options{})
	r, f := a.Axles.Rear.Design.Rates, a.Axles.Front.Design.Rates
	given(t, "rear roll centre", r.RollCenterHeightMM, 85+30*slope, 1e-8)
	given(t, "rear roll centre, as tabulated", r.RollCenterHeightMM, 85.441176, 5e-7)
	within(t, "rear roll axis", r.RollAxisDeg, math.Atan(slope)/deg, 1e-9)
	within(t, "rear roll steer", r.RollSteerDegPerDeg, 0.01470588, 5e-9)
	given(t, "front roll centre", f.RollCenterHeightMM, 85+30*slope, 1e-8)
	within(t, "front roll axis falls forward", f.RollAxisDeg, -math.Atan(slope)/deg, 1e-9)
	within(t, "front roll steer", f.RollSteerDegPerDeg, -slope, 1e-11)
}

// A transverse rod from axle (50, 70) to frame (−50, 80), y and z, with links that run straight ahead: the roll centre is where
// the rod crosses the middle, 75 above the ground.
func TestRollCentreOfTransverseRod(t *testing.T) {
	links := pair("lower", vec{X: 110, Y: 60, Z: 45}, vec{X: 10, Y: 60, Z: 45})
	links = append(links, eye{"upper", vec{X: 90, Z: 85}, vec{X: 10, Z: 85}}, eye{"transverse", vec{Y: -50, Z: 80}, vec{Y: 50, Z: 70}})
	b := textbook(links, ahead(links, 300))
	a := travelOf(t, b.model(), travel.Options{})
	for name, r := range map[string]*travel.Rates{"rear": a.Axles.Rear.Design.Rates, "front": a.Axles.Front.Design.Rates} {
		given(t, name+" roll centre", r.RollCenterHeightMM, 75, 1e-9)
		within(t, name+" roll axis", r.RollAxisDeg, 0, 1e-10)
		within(t, name+" roll steer", r.RollSteerDegPerDeg, 0, 1e-12)
	}
}
