package ride

import (
	"math"
	"testing"

	"lowslung/solid"
)

// Springs in series: 0.8 and 1.6 N/mm are 0.533333 N/mm (handbook, k = k₁k₂/(k₁ + k₂)). The softer of two binds first at its own force; from then
// on the other one is alone; at last nothing gives.
func TestSpringsInSeries(t *testing.T) {
	c := stack([]solid.Spring{{Rate: 1.6}, {Rate: 0.8}}, hard)
	_, f, k := c.at(3)
	near(t, "rate", k, 0.533333, 5e-7)
	near(t, "force at 3 mm", f, 1.6, 1e-12)

	c = stack([]solid.Spring{{Rate: 1.6, Travel: 10}, {Rate: 0.8, Travel: 5}}, hard)
	for _, at := range []struct{ x, f, k float64 }{
		{0, 0, 0}, {-3, 0, 0},
		{4, 4 * 0.8 * 1.6 / 2.4, 0.8 * 1.6 / 2.4},
		{5 + 4/1.6, 4, 0.8 * 1.6 / 2.4}, // 0.8 N/mm has given its 5 mm at 4 N
		{5 + 6, 6 * 1.6, 1.6},           // then 1.6 N/mm alone: it has given 6 mm
		{15.01, 16 + 0.01*hard, hard},   // both coil on coil at 16 N
	} {
		_, f, k := c.at(at.x)
		near(t, "force", f, at.f, 1e-9)
		near(t, "slope", k, at.k, 1e-9)
	}
	near(t, "where all have bound", bound([]solid.Spring{{Rate: 1.6, Travel: 10}, {Rate: 0.8, Travel: 5}}), 15, 0)
	for f := 0.5; f < 20; f += 0.5 { // the inverse
		_, got, _ := c.at(c.through(f))
		near(t, "force through its own inverse", got, f, 1e-9)
	}
}

// Force is the slope of the energy along every curve, across its corners: integrated by the trapezium, which is exact between them.
func TestCurvesEnergy(t *testing.T) {
	for _, c := range []curve{
		stack([]solid.Spring{{Rate: 1.6, Travel: 10}, {Rate: 0.8, Travel: 5}, {Rate: 0.3, Travel: 4}}, hard),
		rising([]solid.Press{{By: 2, Load: 2.5}, {By: 5, Load: 8}, {By: 6, Load: 12}}),
	} {
		const step = 1.0 / 1024
		sum, last := 0.0, 0.0
		for x := step; x < 25; x += step {
			e, f, _ := c.at(x)
			if f < last {
				t.Fatalf("the force falls at %v", x)
			}
			sum += step * (f + last) / 2
			if math.Abs(e-sum) > 1e-3*(1+sum) { // a corner inside a step is worth step²·slope/8
				t.Fatalf("energy at %v is %v, the forces say %v", x, e, sum)
			}
			last = f
		}
	}
}

// A shock between its stops: preloaded by the collar, springs above and below the piston, dead stops.
func TestShockForce(t *testing.T) {
	m := &solid.Shock{Open: 100, Closed: 70, Collar: 5}
	s := strut{model: m, stroke: 30, outer: stack([]solid.Spring{{Rate: 0.2}}, hard)}
	s.above, s.slack[0] = stack([]solid.Spring{{Rate: 1}}, hard), 12 // 12 mm free in a chamber of 30 − c
	s.below, s.slack[1] = stack([]solid.Spring{{Rate: 0.5}}, hard), 8
	for _, at := range []struct{ c, f float64 }{
		{0, 0.2*5 - 0.5*8},                  // open: preload of the collar less the spring that pulls
		{8, 0.2 * 13},                       // that one has just come free
		{18, 0.2 * 23},                      // the one above is about to touch
		{28, 0.2*33 + 1*10},                 // and pushes
		{-0.01, 0.2*4.99 - 0.5*8.01 - 5},    // over-extended: the stop pulls back, 0.01 · 500
		{30.01, 0.2*35.01 + 1*12.01 + 5.00}, // closed
	} {
		_, f, _ := s.push(at.c, 0, hard)
		near(t, "push", f, at.f, 1e-9)
	}
	const h = 1e-6
	for c := -1.0; c < 32; c += 0.37 {
		e1, _, _ := s.push(c+h, 2, hard)
		e0, _, _ := s.push(c-h, 2, hard)
		_, f, _ := s.push(c, 2, hard)
		near(t, "slope of the energy", (e1-e0)/(2*h), f, 1e-5*(1+math.Abs(f)))
	}
}

// A bar of wire d 2, span 80, arms 20: 1557.0519 N·mm/rad, so 3.892630 N/mm between the arms' ends in torsion alone (G 79.3 GPa; Shigley, ch. 3),
// 3.451839 with the arms' bending (E 207 GPa; energy method, derived).
func TestAntiRollBar(t *testing.T) {
	steel, _ := solid.MaterialOf("spring steel")
	g := shear("spring steel")
	near(t, "torsion alone", barRate(2, 80, 20, math.Inf(1), g), 3.892630, 5e-7)
	near(t, "with the arms", barRate(2, 80, 20, steel.E, g), 3.451839, 5e-7)
	near(t, "torsion in N·mm/rad", barRate(2, 80, 20, math.Inf(1), g)*20*20, 1557.0519, 5e-5)
}

// Holes: c = 8πμl(A_p/A_h)²/n. Bore 12, rod 3, two holes Ø1.2 × 2.5, 350 cSt at 970 kg/m³: 93.74157 N·s/m; with a concentric gap of 0.05 in parallel
// 93.38130 (Hagen–Poiseuille; Rao, Mechanical Vibrations; digits derived).
func TestDamper(t *testing.T) {
	d := solid.Damper{Oil: 350, Bore: 12, Rod: 3, Holes: 2, Hole: 1.2, Length: 2.5}
	c, ok := dampingRate(&d, d.Oil)
	near(t, "holes", c*1000, 93.74157, 5e-6)
	near(t, "force at 1 mm/s", dampingForce(&d, d.Oil, 1, closing)*1000, 93.74157, 1)
	d.Gap = 0.05
	c2, _ := dampingRate(&d, d.Oil)
	near(t, "holes and gap", c2*1000, 93.38130, 5e-6)
	d.Holes = 0
	c3, _ := dampingRate(&d, d.Oil)
	near(t, "conductances add", 1/c+1/c3, 1/c2, 1e-9)
	if !ok {
		t.Error("holes alone are a damper")
	}
	if _, ok := dampingRate(&solid.Damper{Oil: 350, Bore: 12, Length: 2.5}, 350); ok {
		t.Error("a piston without holes or gap is none")
	}
}

// Faster than slow: what it takes to bring the oil to speed, Δp = m·ρ·v² at m = 1.12, comes on top of the laminar part, each at its own flow; the two
// branches share the pressure and add up their flows.
func TestDampersCurve(t *testing.T) {
	d := solid.Damper{Oil: 350, Bore: 10, Rod: 3, Holes: 2, Hole: 1.2, Length: 2.4, Gap: 0.05}
	a := math.Pi / 4 * 91
	mu := 350e-6 * 970 * 1e-6
	for _, v := range []float64{0.1, 10, 100, 1000} {
		p := dampingForce(&d, 350, v, opening) / a
		// Flow through one hole by trying: the pressure it takes, laminar and inertial, must be p.
		lo, hi := 0.0, a*v
		for range 200 {
			q := (lo + hi) / 2
			one := math.Pi / 4 * 1.44
			if 128*mu*2.4/(math.Pi*math.Pow(1.2, 4))*q+1.12*970e-12*(q/one)*(q/one) < p {
				lo = q
			} else {
				hi = q
			}
		}
		gap := math.Pi * 10 * math.Pow(0.05, 3) / (12 * mu * 2.4) * p
		near(t, "flow", (2*lo+gap)/(a*v), 1, 1e-9)
	}
}

// Oil is what was published of it: densities at 50, 100 and 350 mm²/s and beyond, 25 °C where nothing changes, thicker in the cold; and the oil
// for a rate gives that rate.
func TestOil(t *testing.T) {
	for _, at := range [][2]float64{{50, 960}, {100, 964}, {350, 970}, {1000, 970}, {20, 960}} {
		near(t, "density", oilDensity(at[0]), at[1], 1e-9)
	}
	near(t, "viscosity at 25 °C", oilAt(350, 25), 350, 1e-9)
	if cold, warm := oilAt(350, 0), oilAt(350, 40); !(cold > 350 && warm < 350) {
		t.Errorf("viscosity at 0 °C %v, at 40 °C %v", cold, warm)
	}
	near(t, "the published line's slope: log₁₀ over 1/T", (math.Log10(oilAt(1, 0))-math.Log10(oilAt(1, 100)))/(1/273.0-1/373.0), 763.1, 1e-6)
	d := solid.Damper{Bore: 10, Rod: 3, Holes: 3, Hole: 1.1, Length: 2.4, Gap: 0.05}
	for _, nu := range []float64{30, 75, 100, 220, 350, 900} {
		c, _ := dampingRate(&d, nu)
		back, ok := oilFor(&d, c)
		if !ok {
			t.Fatal("no oil")
		}
		near(t, "oil for its own rate", back, nu, 1e-6*nu)
	}
}

// Ratios as they are counted on the bench: 30 on 8 is 3.75 turns; portal gears of 16 above and 20 below make it 1.25 times that.
func TestRatio(t *testing.T) {
	near(t, "ring and pinion", ratioOf(30, 8, nil), 3.75, 0)
	near(t, "with portals", ratioOf(27, 8, []int{16, 20}), 27.0/8*20/16, 1e-15)
}
