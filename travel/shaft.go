package travel

import (
	"math"

	"lowslung/solid"
)

// Drive shafts at a pose: length, joint angles, and how evenly they turn.

// A ShaftPose is a drive shaft's state at one pose of its axle.
type ShaftPose struct {
	Gearbox, Axle solid.Vec  // joint centres, chassis frame, mm
	Length        float64    // joint centre to joint centre, mm
	Joint         [2]float64 // angle of the gearbox joint and of the axle joint, rad; 0 is straight
	Twist         float64    // angle about the shaft from the plane of the first joint to that of the second, rad, −π/2…π/2
	Even          float64    // smallest speed over the mean, cos of the equivalent joint angle: 1 turns evenly
}

// ShaftAt works out a shaft at pose p of its axle. g points out of the gearbox, s from gearbox to axle, a out of the axle; the joint
// angles are those between g and s and between s and −a. Speeds: see Unevenness.
func ShaftAt(k *solid.Shaft, p Pose) ShaftPose {
	r := p.Turn()
	out := ShaftPose{Gearbox: k.From, Axle: r.Mul(k.To).Add(p.Origin())}
	d := out.Axle.Sub(out.Gearbox)
	out.Length = d.Norm()
	s := d.Unit()
	into := r.Mul(k.ToAxis).Scale(-1)
	out.Joint = [2]float64{angleBetween(k.FromAxis, s), angleBetween(s, into)}
	out.Twist = twistOf(k.FromAxis, s, into)
	out.Even = 1
	if !k.CV {
		out.Even = Evenness(out.Joint[0], out.Joint[1], k.Phase-out.Twist)
	}
	return out
}

func angleBetween(a, b solid.Vec) float64 { return math.Atan2(a.Cross(b).Norm(), a.Dot(b)) }

// twistOf is the angle about s from the plane (g, s) to the plane (s, b), brought into −π/2…π/2: a joint's plane has no sense.
// It is 0 where a joint is straight and so has no plane.
func twistOf(g, s, b solid.Vec) float64 {
	n1, n2 := g.Cross(s), s.Cross(b)
	if n1.Norm() < 1e-9 || n2.Norm() < 1e-9 {
		return 0
	}
	t := math.Atan2(n1.Cross(n2).Dot(s), n1.Dot(n2))
	return math.Remainder(t, math.Pi)
}

// Evenness of two cardan joints with angles b1 and b2, rad, whose yokes on the shaft stand off apart from the position in which
// equal angles cancel (yoke phase less the twist between the joints' planes): slowest over mean speed, between 0 and 1; fastest over
// mean is its inverse.
//
// Each joint maps the direction of one cross arm to the next: (cos θ, sin θ) → (cos θ, cos β·sin θ) up to size. The shaft turns the
// direction by off, the second joint maps it back. Of the 2×2 product the speed is det/|M·v|², so its extremes are σ_min/σ_max and its
// inverse. With off = 0 that is cos β₁/cos β₂, the known result for joints in one plane; a single joint gives cos β (Machinery's
// Handbook, universal joints; the product form is ours, checked by turning the crosses in space step by step).
func Evenness(b1, b2, off float64) float64 {
	s, c := math.Sincos(off)
	c1, c2 := math.Cos(b1), math.Cos(b2)
	// M = [0 1; c2 0]·Rot(off)·[1 0; 0 c1]
	m00, m01 := s, c*c1
	m10, m11 := c*c2, -s*c1*c2
	sum := m00*m00 + m01*m01 + m10*m10 + m11*m11 // σ₁² + σ₂²
	det := math.Abs(m00*m11 - m01*m10)           // σ₁·σ₂
	large := math.Sqrt((sum + math.Sqrt(max(0, sum*sum-4*det*det))) / 2)
	if large == 0 {
		return 0
	}
	return det / (large * large)
}

// Room is what a shaft has left: to bottoming, to losing the spline overlap it must keep, and to its joint limit at the worse joint.
// A side that the document says nothing about is +Inf.
func (s *ShaftPose) Room(k *solid.Shaft) (in, out, joint float64) {
	in, out, joint = math.Inf(1), math.Inf(1), math.Inf(1)
	if k.Closed > 0 {
		in = s.Length - k.Closed
	}
	if k.Open > 0 {
		out = k.Open - k.Overlap - s.Length
	}
	if k.Limit > 0 {
		joint = k.Limit - max(s.Joint[0], s.Joint[1])
	}
	return in, out, joint
}

// SwingAt is how far a link's two ends swing from square to their bolts at pose p, rad, chassis end first: asin|l·b|. An end whose bolt
// has no direction is 0.
func SwingAt(l *solid.Link, p Pose) [2]float64 {
	r := p.Turn()
	return swingOf(l, &r, p.Origin())
}

func swingOf(l *solid.Link, r *solid.Mat, origin solid.Vec) [2]float64 {
	d := r.Mul(l.To).Add(origin).Sub(l.From).Unit()
	swing := func(bolt solid.Vec) float64 { return math.Asin(min(1, math.Abs(d.Dot(bolt)))) }
	return [2]float64{swing(l.FromBolt), swing(r.Mul(l.ToBolt))}
}
