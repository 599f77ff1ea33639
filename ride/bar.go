package ride

import (
	"math"

	"lowslung/solid"
)

// shear is the shear modulus of a material, MPa; 0 when there is no figure for it. Shigley's Mechanical Engineering Design, table A-5
// (from memory); stainless for "steel", as solid has it.
func shear(material string) float64 {
	return map[string]float64{
		"spring steel": 79300, "alloy steel": 79300, "steel": 73100, "aluminium 6061": 26900, "aluminium 7075": 26900, "titanium": 42400, "brass": 40100,
	}[material]
}

// barRate is the force at each arm's end over how far the two ends move apart, N/mm: a wire of diameter d twists over its span l and its two
// arms a bend. The energy of force F at both ends, in opposite directions, is that of torque F·a in the span and of two cantilevers:
//
//	δ/F = a²·l/(G·J) + 2·a³/(3·E·I),   J = π·d⁴/32,  I = π·d⁴/64
//
// Castigliano's theorem (Shigley, §4-8, from memory); δ is the sum of what both ends move.
func barRate(d, l, a, e, g float64) float64 {
	j, i := math.Pi*d*d*d*d/32, math.Pi*d*d*d*d/64
	return 1 / (a*a*l/(g*j) + 2*a*a*a/(3*e*i))
}

// rateOf is barRate of a bar of the model; why says in words what it lacks when ok is false.
func rateOf(b *solid.Bar) (k float64, why string, ok bool) {
	mat, known := solid.MaterialOf(b.Material)
	g := shear(b.Material)
	switch {
	case b.Wire == 0 || b.Span == 0 || b.Arm == 0:
		return 0, "it lacks wire, span or arm", false
	case !known || g == 0:
		return 0, "the shear modulus of " + b.Material + " is not known", false
	case !b.Hung:
		return 0, "it lacks from, a hole of the axle or of a link with a mirror twin, where its drop links are", false
	}
	return barRate(b.Wire, b.Span, b.Arm, mat.E, g), "", true
}
