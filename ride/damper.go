package ride

import (
	"math"

	"lowslung/solid"
)

// Dampers: oil through the holes of a piston, and past it.
//
// Slow flow through n round holes of diameter d and length l (Hagen and Poiseuille), and beside it through a concentric gap h round a piston
// of diameter D (flow between parallel plates; Rao, Mechanical Vibrations, dashpot, from memory):
//
//	Q = G·Δp,   G_holes = n·π·d⁴/(128·μ·l),   G_gap = π·D·h³/(12·μ·l),   c = A_p²/(G_holes + G_gap)
//
// which for holes alone is c = 8πμl(A_p/A_h)²/n. Faster, the oil must also be brought to speed at every hole: Δp gains m·ρ·(Q/(n·A_h))² with
// m = 1.12 (the end correction of capillary viscometers, after Hagenbach; from memory). That part grows with the square of the speed and does
// not care for the oil; it is an estimate for holes as short as these.

const (
	endCorrection = 1.12
	// oilReference is the temperature that the viscosity on a bottle is for, °C.
	oilReference = 25.0
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

// flows are the conductances of holes and gap at viscosity 1: G·μ, mm³. ok is false when the damper lacks what they need.
func flows(d *solid.Damper) (holes, gap float64, ok bool) {
	if d.Bore <= 0 || d.Length <= 0 || d.Rod >= d.Bore {
		return 0, 0, false
	}
	if d.Holes > 0 && d.Hole > 0 {
		holes = float64(d.Holes) * math.Pi * math.Pow(d.Hole, 4) / (128 * d.Length)
	}
	if d.Gap > 0 {
		gap = math.Pi * d.Bore * math.Pow(d.Gap, 3) / (12 * d.Length)
	}
	return holes, gap, holes+gap > 0
}

// dampingRate is c for slow motion with oil of nu mm²/s, N·s/mm.
func dampingRate(d *solid.Damper, nu float64) (c float64, ok bool) {
	holes, gap, ok := flows(d)
	if !ok || nu <= 0 {
		return 0, false
	}
	a := pistonArea(d)
	return viscous(nu) * a * a / (holes + gap), true
}

// dampingForce is the force at speed v, mm/s, N, with the oil brought to speed in the holes.
func dampingForce(d *solid.Damper, nu, v float64) float64 {
	holes, gap, ok := flows(d)
	if !ok || nu <= 0 {
		return 0
	}
	a, mu := pistonArea(d), viscous(nu)
	c := mu * a * a / (holes + gap)
	if holes == 0 {
		return c * v
	}
	one := float64(d.Holes) * math.Pi / 4 * d.Hole * d.Hole
	k := endCorrection * oilDensity(nu) * 1e-12 / (one * one) // Δp = μ/holes·Q + k·Q²
	q := a * v
	through := func(p float64) (flow, slope float64) {
		b := mu / holes
		root := math.Sqrt(b*b + 4*k*p)
		return 2*p/(b+root) + gap/mu*p, 1/root + gap/mu
	}
	p := c * v / a // too little: Newton on a concave function from its left comes down on it
	for range 50 {
		flow, slope := through(p)
		step := (q - flow) / slope
		p += step
		if math.Abs(step) <= 1e-12*p {
			break
		}
	}
	return p * a
}

// oilFor is the viscosity, mm²/s at 25 °C, that makes slow damping c, N·s/mm: c grows with μ = ν·ρ(ν), so a few rounds settle it.
func oilFor(d *solid.Damper, c float64) (nu float64, ok bool) {
	holes, gap, ok := flows(d)
	if !ok || c <= 0 {
		return 0, false
	}
	a := pistonArea(d)
	mu := c * (holes + gap) / (a * a)
	nu = mu / (970 * 1e-12)
	for range 20 {
		nu = mu / (oilDensity(nu) * 1e-12)
	}
	return nu, true
}
