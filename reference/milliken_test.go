package reference

import (
	"testing"

	"lowslung/solid"
	"lowslung/travel"
)

// Olley's notes in W. F. & D. L. Milliken, Chassis Design: Principles and Analysis, SAE 2002: an axle whose roll axis slopes by
// 0.349 and which rolls by 0.0333 rad steers by their product, 0.01162 rad; print gives 0.0115, so the printed figure is good
// to 1.1 %.
//
// Lower links that run straight ahead at that slope, upper links that meet in a point: the axle rolls about the line through
// that point along the lower links (Gillespie ch. 7, memory).
func TestOlleyAxleSteer(t *testing.T) {
	const slope, roll = 0.349, 0.0333
	links := pair("lower", vec{X: 110, Y: 55, Z: 50 + 100*slope}, vec{X: 10, Y: 55, Z: 50})
	links = append(links, pair("upper", vec{X: 90, Y: 45, Z: 95}, vec{X: 10, Y: 15, Z: 95})...)
	b := textbook(links, ahead(links, 300))
	m := b.model()
	a := travelOf(t, m, travel.Options{})
	r := a.Axles.Rear.Design.Rates
	within(t, "roll steer of the axis", r.RollSteerDegPerDeg, slope, 1e-11)
	within(t, "product", r.RollSteerDegPerDeg*roll, 0.01162, 5e-6)
	within(t, "product, as printed", r.RollSteerDegPerDeg*roll, 0.0115, 0.0115*0.011)

	// The same as a finite roll. The axle is symmetric, so steer is an odd function of roll and the difference to the product is
	// of third order: a few times roll³ = 4e-5.
	mv := travel.NewMover(m, solid.Rear)
	z := mv.At().Z
	if !mv.To(z, roll) {
		t.Fatal("cannot roll the axle")
	}
	within(t, "steer of a finite roll", mv.At().Steer, slope*roll, 3*roll*roll*roll)
}
