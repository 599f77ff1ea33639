package travel

import (
	"math"

	"lowslung/solid"
)

// Shocks: the place of their eyes, their length, lean and motion ratio at a pose.

// eye is where an anchor is in the chassis frame, and its velocity per unit of the given rates.
func eye(m *solid.Model, a solid.Anchor, p Pose, rates [2]Rate) (at solid.Vec, v [2]solid.Vec) {
	switch {
	case a.Link >= 0:
		return onLink(&m.Links[a.Link], a, p, rates)
	case a.Carrier == solid.OnChassis:
		return a.At, v
	}
	at = p.Place(a.At)
	for k := range rates {
		v[k] = rates[k].At(p, at)
	}
	return at, v
}

// onLink places a hole on a link and differentiates it.
func onLink(l *solid.Link, a solid.Anchor, p Pose, rates [2]Rate) (at solid.Vec, v [2]solid.Vec) {
	end := p.Place(l.To)
	return OnLink(l, a, end, [2]solid.Vec{rates[0].At(p, end), rates[1].At(p, end)})
}

// OnLink is where a hole on a link is (solid.Across says how), chassis frame, mm, and its velocities when the link's axle eye is at end and
// moves with ve. It differentiates exactly e = d/|d|, m = b − (b·e)e, n = m/|m|, at = from + along·e + rise·n.
func OnLink(l *solid.Link, a solid.Anchor, end solid.Vec, ve [2]solid.Vec) (at solid.Vec, v [2]solid.Vec) {
	d := end.Sub(l.From)
	length := d.Norm()
	if length < 1e-9 { // both eyes in one place: no direction to go along
		return l.From, v
	}
	e := d.Scale(1 / length)
	n, b, size := solid.Across(e)
	at = l.From.Along(e, a.Along).Along(n, a.Rise)
	for k := range ve {
		de := ve[k].Along(e, -ve[k].Dot(e)).Scale(1 / length)
		dm := e.Scale(-b.Dot(de)).Along(de, -b.Dot(e))
		dn := dm.Along(n, -dm.Dot(n)).Scale(1 / size)
		v[k] = de.Scale(a.Along).Along(dn, a.Rise)
	}
	return at, v
}

// A Strut is a shock's state at a pose.
type Strut struct {
	Top, Bottom solid.Vec // eyes in the chassis frame, mm
	Length      float64   // eye to eye, mm
	PerHeave    float64   // dL/dz, mm per mm
	PerRoll     float64   // dL/dφ, mm per rad
}

// StrutAt works out a shock at pose p of its axle, with the axle's rates per heave and per roll there.
func StrutAt(m *solid.Model, s *solid.Shock, p Pose, heave, roll Rate) Strut {
	rates := [2]Rate{heave, roll}
	top, vt := eye(m, s.Top, p, rates)
	bottom, vb := eye(m, s.Bottom, p, rates)
	d := top.Sub(bottom)
	length := d.Norm()
	out := Strut{Top: top, Bottom: bottom, Length: length}
	if length > 1e-9 {
		u := d.Scale(1 / length)
		out.PerHeave = u.Dot(vt[0].Sub(vb[0]))
		out.PerRoll = u.Dot(vt[1].Sub(vb[1]))
	}
	return out
}

// Lean is how far a shock leans from upright: in the side view, positive when its top is further forward; in the front
// view, positive when its top is nearer the centreline. Rad. A shock in the middle leans positive to the left.
func (s Strut) Lean(side solid.Side) (sideView, frontView float64) {
	d := s.Top.Sub(s.Bottom)
	inward := d.Y
	switch {
	case side == solid.Left, side == solid.Single && s.Bottom.Y > 0:
		inward = -d.Y
	}
	return math.Atan2(d.X, d.Z), math.Atan2(inward, d.Z)
}
