package steer

import (
	"math"

	"lowslung/solid"
)

// What both wheels together do in a turn.

// leastTurn is the mean steer angle below which nothing is said about a turn: rounding and toe would decide it. rad.
const leastTurn = 0.5 * deg

// innerOuter tells the wheels apart: the inner one is on the side that the wheels turn to. Angles without sign, rad; ok is false
// near straight ahead or when the wheels turn against each other.
func innerOuter(d [2]float64) (inner, outer float64, ok bool) {
	mean := (d[left] + d[right]) / 2
	inner, outer = d[left], d[right]
	if mean < 0 {
		inner, outer = -d[right], -d[left]
	}
	return inner, outer, math.Abs(mean) >= leastTurn && inner > 0 && outer > 0
}

// idealOuter is what the Ackermann relation asks of the outer wheel, rad: cot δo − cot δi = w/L with w the kingpin track, here that
// between the kingpins' axes on the ground, and L the wheelbase. (Gillespie, Fundamentals of Vehicle Dynamics, 1992, ch. 8, from
// memory.) The lines through both contacts square to the wheels then meet on the rear axle's line, for a trail of nothing.
func idealOuter(inner, track, base float64) float64 {
	return math.Atan2(1, 1/math.Tan(inner)+track/base)
}

// ackermann is how much further the outer wheel turns than the relation asks, rad, and the share of the difference between the
// wheels that there is of the one asked for: 1 meets it, 0 is parallel.
func ackermann(inner, outer, track, base float64) (ideal, off, share float64) {
	ideal = idealOuter(inner, track, base)
	return ideal, outer - ideal, (inner - outer) / (inner - ideal)
}

// plane is the ground seen from above with the rear axle's contact line: forward x, left y, mm.
type plane struct {
	rear, along solid.Vec // a point of that line, and its direction to the left
}

func (v *view) flat(q solid.Vec) solid.Vec { return solid.Vec{X: q.Dot(v.forward), Y: q.Dot(v.left)} }

func planCross(a, b solid.Vec) float64 { return a.X*b.Y - a.Y*b.X }

// circle is the kerb-to-kerb turning circle, mm. Each front wheel asks for a centre where the line through its contact square to its
// heading meets the rear axle's; the rig is taken to turn about the middle between the two. The outer edge of the tread that is
// furthest from it describes the circle. contact and axis are those of both wheels, seen from above, width is the tread's.
func (g *plane) circle(contact, axis [2]solid.Vec, width float64) (diameter float64, ok bool) {
	t := 0.0
	for i := range contact {
		den := planCross(g.along, axis[i])
		if math.Abs(den) < 1e-6 {
			return 0, false
		}
		t += planCross(contact[i].Sub(g.rear), axis[i]) / den / 2
	}
	centre := g.rear.Along(g.along, t)
	for i := range contact {
		for _, side := range []float64{-0.5, 0.5} {
			diameter = max(diameter, 2*contact[i].Along(axis[i].Unit(), side*width).Sub(centre).Norm())
		}
	}
	return diameter, true
}
