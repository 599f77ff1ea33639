package steer

import (
	"math"

	"lowslung/solid"
	"lowslung/travel"
)

// A view is the ground's directions in the chassis frame: what steer angles are measured in.
type view struct{ up, forward, left solid.Vec }

// viewOf takes the ground under the design pose, or the chassis' own plane where no ground is known.
func viewOf(g *travel.Ground) view {
	v := view{up: g.Up, forward: g.Forward}
	v.left = v.up.Cross(v.forward)
	return v
}

// steer is the ISO 8855 steer angle of a wheel whose axis (to the left) is n: the trace of the wheel plane on the ground, n × up,
// against forward about up. Since (n × up)·left = −n·forward and (n × up)·forward = n·left, δ = atan2(−n·forward, n·left).
func (v *view) steer(n solid.Vec) float64 { return math.Atan2(-n.Dot(v.forward), n.Dot(v.left)) }

// steerRate is dδ for a motion dn of the wheel axis: (X·Y′ − Y·X′)/(X² + Y²) with Y = −n·forward, X = n·left.
func (v *view) steerRate(n, dn solid.Vec) float64 {
	x, y := n.Dot(v.left), -n.Dot(v.forward)
	return ratio(-x*dn.Dot(v.forward)-y*dn.Dot(v.left), x*x+y*y)
}

// steer is the steer angles of both wheels, rad, in a state with the axle at pose p.
func (l *Linkage) steer(v *view, p travel.Pose, s State) (out [2]float64) {
	r := p.Turn()
	for i := range out {
		out[i] = v.steer(r.Mul(l.spindle[i].at(s.Knuckle[i])))
	}
	return out
}

// steerRates is how fast both wheels steer when the knuckles turn at rate k and the axle moves by move.
func (l *Linkage) steerRates(v *view, p travel.Pose, s State, k [2]float64, move travel.Rate) (out [2]float64) {
	r := p.Turn()
	for i := range out {
		n := r.Mul(l.spindle[i].at(s.Knuckle[i]))
		dn := move.Omega.Cross(n).Add(r.Mul(l.spindle[i].rate(s.Knuckle[i])).Scale(k[i]))
		out[i] = v.steerRate(n, dn)
	}
	return out
}

// Wheel is where a wheel stands in the axle frame, steered: its centre and its axis (a unit vector to the left). side is
// solid.Left or solid.Right.
func (l *Linkage) Wheel(side solid.Side, s State) (centre, axis solid.Vec) {
	i := left
	if side == solid.Right {
		i = right
	}
	return l.hub[i].at(s.Knuckle[i]), l.spindle[i].at(s.Knuckle[i])
}

// contact is where a wheel of radius r touches the ground, chassis frame: the lowest point of its middle plane's circle. n is its
// axis there.
func (l *Linkage) contact(v *view, p travel.Pose, s State, side int, r float64) (at, n solid.Vec) {
	turn := p.Turn()
	n = turn.Mul(l.spindle[side].at(s.Knuckle[side]))
	down := n.Scale(v.up.Dot(n)).Sub(v.up).Unit()
	return p.Origin().Add(turn.Mul(l.hub[side].at(s.Knuckle[side]))).Along(down, r), n
}

// Knuckle is what carries everything on a knuckle from straight ahead to where it is in a state, in the axle frame: a turn about its
// kingpin.
func (l *Linkage) Knuckle(side solid.Side, s State) solid.Frame {
	i := left
	if side == solid.Right {
		i = right
	}
	r := rodrigues(l.pin[i], s.Knuckle[i])
	return solid.Frame{At: l.foot[i].Sub(r.Mul(l.foot[i])), R: r}
}

// TieRod is what carries the tie rod from straight ahead, where it lies from arm to arm, to where it is in a state, in the axle frame: its left eye goes along, and it
// turns the shortest way.
func (l *Linkage) TieRod(s State) solid.Frame {
	from, to := l.tie[left].at(0), l.tie[left].at(s.Knuckle[left])
	e, f := l.tie[right].at(0).Sub(from).Unit(), l.tie[right].at(s.Knuckle[right]).Sub(to).Unit()
	r := solid.Identity
	if k := e.Cross(f); k.Norm() > 1e-12 {
		r = rodrigues(k.Unit(), math.Atan2(k.Norm(), e.Dot(f)))
	}
	return solid.Frame{At: to.Sub(r.Mul(from)), R: r}
}

// rodrigues is the turn by a, rad, about the unit vector k.
func rodrigues(k solid.Vec, a float64) solid.Mat {
	sin, c := math.Sincos(a)
	v := 1 - c
	return solid.Mat{
		c + v*k.X*k.X, v*k.X*k.Y - sin*k.Z, v*k.X*k.Z + sin*k.Y,
		v*k.Y*k.X + sin*k.Z, c + v*k.Y*k.Y, v*k.Y*k.Z - sin*k.X,
		v*k.Z*k.X - sin*k.Y, v*k.Z*k.Y + sin*k.X, c + v*k.Z*k.Z,
	}
}
