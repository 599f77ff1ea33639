package steer

import (
	"math"

	"lowslung/solid"
)

// A circle is the way of an eye that turns about a line:
//
//	eye(a) = m + u·cos a + w·sin a,   m the eye's foot on the line,  u = eye(0) − m,  w = axis × u
//
// Lengths mm, a in rad, right-handed about axis (Rodrigues' formula). For a kingpin axis that points up, a is positive to the left.
type circle struct {
	middle, u, w solid.Vec
	radius       float64 // |u| = |w|, mm
}

// circleAbout is the circle of an eye about the line through point along axis, a unit vector.
func circleAbout(point, axis, eye solid.Vec) circle {
	v := eye.Sub(point)
	along := v.Dot(axis)
	u := v.Along(axis, -along)
	return circle{middle: point.Along(axis, along), u: u, w: axis.Cross(u), radius: u.Norm()}
}

// at is the eye at angle a.
func (c *circle) at(a float64) solid.Vec {
	s, k := math.Sincos(a)
	return solid.Vec{X: c.middle.X + k*c.u.X + s*c.w.X, Y: c.middle.Y + k*c.u.Y + s*c.w.Y, Z: c.middle.Z + k*c.u.Z + s*c.w.Z}
}

// rate is d eye/da at angle a, mm per rad.
func (c *circle) rate(a float64) solid.Vec {
	s, k := math.Sincos(a)
	return solid.Vec{X: k*c.w.X - s*c.u.X, Y: k*c.w.Y - s*c.u.Y, Z: k*c.w.Z - s*c.u.Z}
}

// reach turns the eye to distance l from the point q. With n = m − q,
//
//	|eye(a) − q|² = l²   ⟺   A cos a + B sin a = C,   A = n·u,  B = n·w,  C = (l² − |n|² − r²)/2
//	a = φ ∓ acos(C/√(A² + B²)),   φ = atan2(B, A)
//
// two solutions, told apart by the sign of (eye − q)·eye′ = B cos a − A sin a: side +1 takes φ − acos, side −1 takes φ + acos. That
// sign changes only where the rod and the eye's motion are square to each other, so a linkage that moves without passing such a
// dead centre keeps its side. ok is false when l is out of reach, or when q lies on the line, so that every a is as far away.
// Exact; a in (−π, π]. (Freudenstein's equation in space: Hartenberg & Denavit, Kinematic Synthesis of Linkages, 1964, ch. 12,
// from memory.)
func (c *circle) reach(q solid.Vec, l, side float64) (a float64, ok bool) {
	n := c.middle.Sub(q)
	A, B := n.Dot(c.u), n.Dot(c.w)
	big := math.Hypot(A, B)
	C := (l*l - n.Dot(n) - c.radius*c.radius) / 2
	if !(big > 1e-9*(1+c.radius*c.radius)) || !(math.Abs(C) <= big) {
		return 0, false
	}
	return math.Remainder(math.Atan2(B, A)-side*math.Acos(C/big), 2*math.Pi), true
}

// span is the least and the greatest distance of the circle from q.
func (c *circle) span(q solid.Vec) (least, most float64) {
	n := c.middle.Sub(q)
	mid, big := n.Dot(n)+c.radius*c.radius, math.Hypot(n.Dot(c.u), n.Dot(c.w))
	return math.Sqrt(max(0, mid-2*big)), math.Sqrt(mid + 2*big)
}

// nearest is the side whose solution is the smaller turn away from a = 0, where the builder drew it.
func (c *circle) nearest(q solid.Vec, l float64) (side float64, ok bool) {
	plus, ok := c.reach(q, l, 1)
	if !ok {
		return 0, false
	}
	minus, _ := c.reach(q, l, -1)
	if math.Abs(plus) <= math.Abs(minus) {
		return 1, true
	}
	return -1, true
}
