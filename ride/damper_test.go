package ride

import (
	"math"
	"testing"

	"lowslung/solid"
)

// The orifice equation Q = C_d·A·√(2Δp/ρ): Merritt, Hydraulic Control Systems (1967), §3.4, gives for C_d = 0.625 and hydraulic oil of 0.78e-4 lb·s²/in⁴ the
// rule Q = 100·A·√Δp in in³/s, in² and psi (from memory). So 1 mm² under 100 psi passes 100/25.4²·10 in³/s = 1.550 in³/s; √(2/0.78e-4)·0.625 is 100.08. Our oil is of
// another density, which the flow takes by its root.
func TestOrificeAgainstMerritt(t *testing.T) {
	const (
		inch = 25.4
		psi  = 6.894757e-3                                                          // N/mm²
		rho  = 0.78e-4 * 0.45359237 * 386.0886 / (inch * inch * inch * inch) * inch // kg/mm³: lb·s²/in⁴ is 386.0886 lb/in³
	)
	one := solid.OneWay{Holes: 1, Hole: math.Sqrt(4 / math.Pi)} // 1 mm²
	d := solid.Damper{Discharge: 0.625}
	oil := 400.0
	k := rush(&d, one, oil) // N·s²/mm⁸: Δp = k·Q², with the density in kg/m³·1e-12 = N·s²/mm⁴
	q := math.Sqrt(100*psi/k) / (inch * inch * inch) * math.Sqrt(oilDensity(oil)*1e-9/rho)
	near(t, "flow, in³/s", q, 100/(inch*inch)*math.Sqrt(100), 1.5e-3)
	d.Discharge = 0
	near(t, "without a coefficient", rush(&d, one, oil)/k, 1.12*2*0.625*0.625, 1e-12)
}

// Slow it is free flow, fast it is the orifice alone: F = c·v below, F = A_p³·ρ·v²/(2·C_d²·A_h²) above. Where the two are alike it packs: for one group of holes
// without a gap at v = c·2·C_d²·A_h²/(A_p³·ρ), with twice the force of free flow.
func TestFreeFlowAndPack(t *testing.T) {
	d := solid.Damper{Oil: 100, Bore: 12, Rod: 3, Holes: 3, Hole: 1.3, Length: 2.5, Discharge: 0.7}
	a, hole, rho := math.Pi/4*(144-9), 3*math.Pi/4*1.69, 964e-12
	c, _ := strokeRate(&d, 100, closing)
	pack := a * a * a * rho / (2 * 0.49 * hole * hole)
	v, ok := packsFrom(&d, 100, closing)
	if !ok {
		t.Fatal("never packs")
	}
	near(t, "packs from", v, c/pack, 1e-9*v)
	near(t, "force there", dampingForce(&d, 100, v, closing), 2*c*v, 1e-9*c*v)
	near(t, "slow", dampingForce(&d, 100, v*1e-6, closing)/(c*v*1e-6), 1, 2e-6)
	near(t, "fast", dampingForce(&d, 100, v*1e7, closing)/(pack*v*v*1e14), 1, 2e-7)
	// Thinner oil is freer when slow, and packs sooner: the pack branch does not care for it (but for the density).
	if thin, _ := packsFrom(&d, 50, closing); !(thin < v) {
		t.Errorf("packs from %v with 50 cSt, from %v with 100 cSt", thin, v)
	}
	// A gap that passes more than the holes never lets the force double.
	d.Gap = 0.5
	if v, ok := packsFrom(&d, 100, closing); ok {
		t.Errorf("packs from %v past a gap", v)
	}
}

// Holes behind a valve are there on one stroke only: the other has the rate of the damper without them, and the mean of both is what damps a swing, since
// over a circle of frequency ω and amplitude X each stroke takes half of π·c·ω·X².
func TestValvedHoles(t *testing.T) {
	d := solid.Damper{Oil: 350, Bore: 10, Rod: 3, Holes: 2, Hole: 1.2, Length: 2.4, Gap: 0.05}
	plain, _ := dampingRate(&d, 350)
	in0, out0 := dampingForce(&d, 350, 200, closing), dampingForce(&d, 350, 200, opening)
	near(t, "without valves both strokes are alike", in0, out0, 0)
	d.Valved[closing] = solid.OneWay{Holes: 2, Hole: 1.2}
	in, _ := strokeRate(&d, 350, closing)
	out, _ := strokeRate(&d, 350, opening)
	near(t, "opening", out, plain, 1e-15)
	near(t, "opening, fast", dampingForce(&d, 350, 200, opening), out0, 1e-12)
	same := d
	same.Holes, same.Valved = 4, [2]solid.OneWay{}
	four, _ := dampingRate(&same, 350)
	near(t, "closing, as four plain holes", in, four, 1e-15)
	near(t, "closing, fast", dampingForce(&d, 350, 200, closing), dampingForce(&same, 350, 200, closing), 1e-9)
	both, _ := dampingRate(&d, 350)
	work := 0.0 // over a circle, by a sum of 2000 pieces
	const n, w, x = 2000, 3.0, 4.0
	for i := range n {
		v := x * w * math.Cos(2*math.Pi*(float64(i)+0.5)/n)
		c := in
		if v < 0 {
			c = out
		}
		work += c * v * v * 2 * math.Pi / w / n
	}
	near(t, "of a swing", work/(math.Pi*both*w*x*x), 1, 1e-9)
	// Valves alone, closing: nothing passes while it opens.
	d.Holes, d.Gap = 0, 0
	if _, ok := dampingRate(&d, 350); ok {
		t.Error("a piston that passes no oil one way is no damper")
	}
}

// The oil in such holes stays in layers: at 1 m/s the Reynolds number v·d/ν of the demo's thinnest oil and widest holes is far below the 2300 at which pipe flow
// breaks up (Reynolds; any handbook), so the first branch holds at every speed.
func TestOilStaysLaminar(t *testing.T) {
	d := solid.Damper{Bore: 12, Rod: 3.5, Holes: 3, Hole: 1.3, Length: 2.5}
	const nu, speed = 100.0, 1000.0
	v := speed * pistonArea(&d) / (3 * math.Pi / 4 * d.Hole * d.Hole)
	if re := v * d.Hole / nu; re > 2300/4 {
		t.Errorf("Reynolds number %v", re)
	}
}
