package ride

import (
	"math"

	"lowslung/solid"
)

// Dampers: oil through the holes of a piston, and past it.
//
// Two branches. Slow oil flows freely: through n round holes of diameter d and length l (Hagen and Poiseuille), and beside them through a concentric gap
// h round a piston of diameter D (flow between parallel plates; Rao, Mechanical Vibrations, dashpot, from memory):
//
//	Q = G·Δp,   G_holes = n·π·d⁴/(128·μ·l),   G_gap = π·D·h³/(12·μ·l),   c = A_p²/(G_holes + G_gap)
//
// which for holes alone is c = 8πμl(A_p/A_h)²/n. Fast oil must also be brought to speed at every hole, and the holes no longer pass it freely: the
// piston packs. That takes what the orifice equation says (Merritt, Hydraulic Control Systems, §3.4, from memory), on top of the first branch:
//
//	Q = C_d·A_h·√(2Δp/ρ),   so   Δp = m·ρ·(Q/A_h)²   with m = 1/(2·C_d²)
//
// It grows with the square of the speed and does not care for the oil's thickness. Without a discharge coefficient m is 1.12, which is C_d = 0.67 (the end
// correction of capillary viscometers, after Hagenbach; from memory); sharp-edged holes have 0.6, rounded ones up to 0.8: an estimate for holes as short
// as these. Holes behind a valve count in their direction only.

const (
	endCorrection = 1.12
	// fastest is the speed, mm/s, beyond which no shock of this size is ever moved: 20 m/s is a fall of 20 m.
	fastest = 20000.0
	// oilReference is the temperature that the viscosity on a bottle is for, °C.
	oilReference = 25.0
)

// A stroke is the way a shock moves.
type stroke int

const (
	closing stroke = iota
	opening
)

// oilDensity is the density of silicone oil, kg/m³, by its viscosity, mm²/s: 960 at 50, 964 at 100, 970 from 350 on, ±5 (from memory); between them
// over the logarithm.
func oilDensity(nu float64) float64 {
	knots := [...][2]float64{{50, 960}, {100, 964}, {350, 970}}
	if nu <= knots[0][0] {
		return knots[0][1]
	}
	for i := 1; i < len(knots); i++ {
		if a, b := knots[i-1], knots[i]; nu <= b[0] {
			return a[1] + (b[1]-a[1])*math.Log(nu/a[0])/math.Log(b[0]/a[0])
		}
	}
	return knots[len(knots)-1][1]
}

// oilAt is the viscosity at t °C of silicone oil that has nu at 25 °C: log₁₀ ν = 763.1/(273 + t) − 2.559 + log₁₀ ν₂₅, a formula in common use for
// polydimethylsiloxane between −25 and 250 °C (from memory): an estimate.
func oilAt(nu, t float64) float64 {
	return nu * math.Pow(10, 763.1/(273+t)-763.1/(273+oilReference))
}

// viscous is the dynamic viscosity, N·s/mm², of oil with nu mm²/s.
func viscous(nu float64) float64 { return nu * 1e-6 * oilDensity(nu) * 1e-6 }

// pistonArea is what pushes oil through the piston, mm²: the bore less the rod, in both directions.
func pistonArea(d *solid.Damper) float64 { return math.Pi / 4 * (d.Bore*d.Bore - d.Rod*d.Rod) }

// holesOpen are the groups of holes that pass oil on this stroke; one that is not there has no holes.
func holesOpen(d *solid.Damper, s stroke) [2]solid.OneWay {
	return [2]solid.OneWay{{Holes: d.Holes, Hole: d.Hole}, d.Valved[s]}
}

// easy is the conductance of a group of holes at viscosity 1, G·μ, mm³.
func easy(g solid.OneWay, length float64) float64 {
	if g.Holes <= 0 || g.Hole <= 0 {
		return 0
	}
	return float64(g.Holes) * math.Pi * math.Pow(g.Hole, 4) / (128 * length)
}

// flows are the conductances of holes and gap at viscosity 1: G·μ, mm³. ok is false when the damper lacks what they need.
func flows(d *solid.Damper, s stroke) (holes, gap float64, ok bool) {
	if d.Bore <= 0 || d.Length <= 0 || d.Rod >= d.Bore {
		return 0, 0, false
	}
	for _, g := range holesOpen(d, s) {
		holes += easy(g, d.Length)
	}
	if d.Gap > 0 {
		gap = math.Pi * d.Bore * math.Pow(d.Gap, 3) / (12 * d.Length)
	}
	return holes, gap, holes+gap > 0
}

// strokeRate is c of one stroke for slow motion with oil of nu mm²/s, N·s/mm: the free-flow branch.
func strokeRate(d *solid.Damper, nu float64, s stroke) (c float64, ok bool) {
	holes, gap, ok := flows(d, s)
	if !ok || nu <= 0 {
		return 0, false
	}
	a := pistonArea(d)
	return viscous(nu) * a * a / (holes + gap), true
}

// dampingRate is c for slow motion to and fro, N·s/mm: the mean of both strokes takes the same energy from every swing.
func dampingRate(d *solid.Damper, nu float64) (c float64, ok bool) {
	in, ok1 := strokeRate(d, nu, closing)
	out, ok2 := strokeRate(d, nu, opening)
	return (in + out) / 2, ok1 && ok2
}

// rush is m·ρ/A_h² of a group of holes, N·s²/mm⁸: Δp of the pack branch over the flow squared.
func rush(d *solid.Damper, g solid.OneWay, nu float64) float64 {
	m := endCorrection
	if d.Discharge > 0 {
		m = 1 / (2 * d.Discharge * d.Discharge)
	}
	area := float64(g.Holes) * math.Pi / 4 * g.Hole * g.Hole
	return m * oilDensity(nu) * 1e-12 / (area * area)
}

// through is the flow, mm³/s, at the pressure p, N/mm², and its slope: in each group of holes Δp = μ/G·Q + k·Q², past the piston Δp = μ/G·Q.
func through(d *solid.Damper, nu, p float64, s stroke) (flow, slope float64) {
	mu := viscous(nu)
	for _, g := range holesOpen(d, s) {
		if e := easy(g, d.Length); e > 0 {
			b, k := mu/e, rush(d, g, nu)
			root := math.Sqrt(b*b + 4*k*p)
			flow, slope = flow+2*p/(b+root), slope+1/root
		}
	}
	_, gap, _ := flows(d, s)
	return flow + gap/mu*p, slope + gap/mu
}

// dampingForce is the force of a stroke at speed v, mm/s, N: both branches.
func dampingForce(d *solid.Damper, nu, v float64, s stroke) float64 {
	c, ok := strokeRate(d, nu, s)
	if !ok {
		return 0
	}
	a := pistonArea(d)
	p := c * v / a // too little: Newton on a concave function from its left comes down on it
	for range 60 {
		flow, slope := through(d, nu, p, s)
		step := (a*v - flow) / slope
		p += step
		if math.Abs(step) <= 1e-12*p {
			break
		}
	}
	return p * a
}

// packsFrom is the speed of a stroke, mm/s, from which the damper packs: where it pushes twice as hard as free flow would, since there the pack branch
// has come to be as large as the other. ok is false when it never does, at any speed a shock is moved with. Each path passes less than it would freely by a
// share that only falls with pressure, so halving on the logarithm of p finds the place.
func packsFrom(d *solid.Damper, nu float64, s stroke) (v float64, ok bool) {
	holes, gap, ok := flows(d, s)
	if !ok || nu <= 0 || gap >= holes {
		return 0, false
	}
	mu := viscous(nu)
	share := func(p float64) float64 {
		flow, _ := through(d, nu, p, s)
		return flow * mu / ((holes + gap) * p)
	}
	lo, hi := 1e-12, 1e-12
	for share(hi) > 0.5 {
		if hi *= 10; hi > 1e12 {
			return 0, false
		}
	}
	for range 100 {
		if mid := math.Sqrt(lo * hi); share(mid) > 0.5 {
			lo = mid
		} else {
			hi = mid
		}
	}
	flow, _ := through(d, nu, hi, s)
	v = flow / pistonArea(d)
	return v, v <= fastest
}

// oilFor is the viscosity, mm²/s at 25 °C, that makes slow damping c, N·s/mm: c grows with μ = ν·ρ(ν), so a few rounds settle it.
func oilFor(d *solid.Damper, c float64) (nu float64, ok bool) {
	one, ok := dampingRate(d, 350)
	if !ok || c <= 0 {
		return 0, false
	}
	return oilOf(c / one * viscous(350)), true
}

// oilOf is the oil, mm²/s, whose dynamic viscosity is mu, N·s/mm².
func oilOf(mu float64) (nu float64) {
	nu = mu / (970 * 1e-12)
	for range 20 {
		nu = mu / (oilDensity(nu) * 1e-12)
	}
	return nu
}
