package steer

import (
	"math"

	"lowslung/solid"
	"lowslung/travel"
)

// Rates: how fast the knuckles turn when the drag link's near eye moves. With e the far eye, q the near one, t the tie-rod eyes:
//
//	(e − q)·(e′a′ − q′) = 0                a′ of the knuckle that the drag link pulls
//	(t_r − t_l)·(t_r′ b′ − t_l′ a′) = 0    b′ of the other
//
// Exact derivatives of the two distances.

// turning is the rate of both knuckles for a motion dq of the near eye in the axle frame; zero at a dead centre, where it has no
// value.
func (l *Linkage) turning(s State, q, dq solid.Vec) [2]float64 {
	d := l.far(s).Sub(q)
	if l.on == solid.OnTieRod {
		_, rate := l.onTie(s.Knuckle)
		return l.following(s, left, ratio(d.Dot(dq), d.Dot(rate)))
	}
	lead := left
	if l.on == solid.OnRightKnuckle {
		lead = right
	}
	return l.following(s, lead, ratio(d.Dot(dq), d.Dot(l.drag.rate(s.Knuckle[lead]))))
}

// following is both knuckles' rates when the lead one turns at rate v.
func (l *Linkage) following(s State, lead int, v float64) (out [2]float64) {
	other := 1 - lead
	d := l.tie[other].at(s.Knuckle[other]).Sub(l.tie[lead].at(s.Knuckle[lead]))
	out[lead] = v
	out[other] = ratio(d.Dot(l.tie[lead].rate(s.Knuckle[lead]))*v, d.Dot(l.tie[other].rate(s.Knuckle[other])))
	return out
}

// PerServo is the rate of both knuckles per rad of servo.
func (l *Linkage) PerServo(p travel.Pose, servo float64, s State) [2]float64 {
	if !l.horned {
		return l.following(s, left, 1)
	}
	q, dq := l.near(p, servo)
	return l.turning(s, q, dq)
}

// PerMove is the rate of both knuckles per unit of a motion of the axle with the servo held: the near eye, at rest on the chassis,
// moves in the axle frame against what the axle does at its place.
func (l *Linkage) PerMove(p travel.Pose, servo float64, s State, move travel.Rate) [2]float64 {
	if !l.horned || l.carrier == solid.OnFront {
		return [2]float64{}
	}
	q, _ := l.near(p, servo)
	r := p.Turn()
	return l.turning(s, q, r.MulT(move.At(p, l.horn.at(servo))).Scale(-1))
}

// ratio is a/b, and 0 where b is nothing.
func ratio(a, b float64) float64 {
	if v := a / b; !math.IsNaN(v) && !math.IsInf(v, 0) {
		return v
	}
	return 0
}
