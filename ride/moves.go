package ride

import (
	"lowslung/solid"
	"lowslung/travel"
)

// An axle's motion to second order in its two unknowns q₀ = z (heave, mm) and q₁ = φ (roll, rad), in the chassis frame.
//
//	c(q) = p + R·a          a point a of the axle, r = R·a
//	c,ₖ  = vₖ + ωₖ × r       vₖ, ωₖ from the links' linear system (travel.Rate), exact
//	c,ₖₗ = vₖ,ₗ + ωₖ,ₗ × r + ωₖ × (ωₗ × r)      vₖ,ₗ and ωₖ,ₗ from the same system (travel.Bend), exact
//
// A length L = |d| between two such points has L,ₖ = u·d,ₖ and L,ₖₗ = u·d,ₖₗ + (d,ₖ·d,ₗ − L,ₖL,ₗ)/L with u = d/L. Only for a hole on a link is the
// second derivative a central difference. Second derivatives enter the curvature of the energy, never a force.

// seconds indexes second derivatives: zz, zφ, φφ.
var seconds = [3][2]int{{0, 0}, {0, 1}, {1, 1}}

// A scalar is a length that depends on an axle's unknowns.
type scalar struct {
	at float64
	d  [2]float64
	dd [3]float64
}

// A place is a point in the chassis frame that depends on an axle's unknowns.
type place struct {
	at solid.Vec
	d  [2]solid.Vec
	dd [3]solid.Vec
}

// moves is an axle at one pose.
type moves struct {
	p    solid.Vec
	r    solid.Mat
	v, w [2]solid.Vec
	bend [3]travel.Bend

	length []scalar // of each shock
	twist  []scalar // of each bar: left drop-link eye less right one, chassis z
	hung   []place  // of each hanging weight
}

func newMoves(a *axle) moves {
	return moves{length: make([]scalar, len(a.struts)), twist: make([]scalar, len(a.bars)), hung: make([]place, len(a.hung))}
}

// look brings the axle to z, φ and fills mo; false when the links do not let it there. With second it fills second derivatives too; an
// axle that needs least squares for its pose is left without them, which costs steps of the solver, not accuracy.
func (a *axle) look(m *solid.Model, z, phi float64, second bool, mo *moves) bool {
	if !a.mv.To(z, phi) {
		return false
	}
	heave, roll, sys, ok := a.mv.Rates()
	if !ok {
		return false
	}
	a.read(&heave, &roll, mo)
	mo.bend = [3]travel.Bend{}
	if second && a.fast {
		mo.bend, _ = a.mv.Bends(&heave, &roll, &sys)
	}
	a.measure(m, second, mo)
	return true
}

// read takes the pose reached and its rates of motion.
func (a *axle) read(heave, roll *travel.Rate, mo *moves) {
	p := a.mv.At()
	mo.p, mo.r = p.Origin(), p.Turn()
	mo.v = [2]solid.Vec{heave.Origin, roll.Origin}
	mo.w = [2]solid.Vec{heave.Omega, roll.Omega}
}

// measure works out the lengths of shocks, the twist of bars and what hangs on links.
func (a *axle) measure(m *solid.Model, second bool, mo *moves) {
	for i := range a.struts {
		s := a.struts[i].model
		top, bottom := mo.anchor(m, &s.Top, second), mo.anchor(m, &s.Bottom, second)
		mo.length[i] = apart(&top, &bottom, second)
	}
	for i := range a.bars {
		eyes := &a.bars[i].model.Eyes
		left, right := mo.anchor(m, &eyes[0], second), mo.anchor(m, &eyes[1], second)
		t := &mo.twist[i]
		t.at = left.at.Z - right.at.Z
		for k := range t.d {
			t.d[k] = left.d[k].Z - right.d[k].Z
		}
		for k := range t.dd {
			t.dd[k] = left.dd[k].Z - right.dd[k].Z
		}
	}
	for i := range a.hung {
		mo.hung[i] = mo.anchor(m, &a.hung[i].anchor, second)
	}
}

// anchor is where a shock's or a drop link's eye is.
func (mo *moves) anchor(m *solid.Model, a *solid.Anchor, second bool) (out place) {
	switch {
	case a.Link >= 0:
		return mo.onLink(&m.Links[a.Link], a, second)
	case a.Carrier == solid.OnChassis:
		out.at = a.At
		return out
	}
	return mo.fixed(a.At)
}

// onLink is a hole on a link: a function f of where the link's axle eye E is, so that at,ₖₗ = f′E,ₖₗ + f″(E,ₖ, E,ₗ).
func (mo *moves) onLink(l *solid.Link, a *solid.Anchor, second bool) (out place) {
	eye := mo.fixed(l.To)
	out.at, out.d = travel.OnLink(l, *a, eye.at, eye.d)
	if !second {
		return out
	}
	const by = 1e-3 // mm that the eye is moved to either side
	for i, kl := range seconds {
		_, first := travel.OnLink(l, *a, eye.at, [2]solid.Vec{eye.dd[i]})
		dir := eye.d[kl[1]]
		n := dir.Norm()
		out.dd[i] = first[0]
		if n == 0 {
			continue
		}
		_, plus := travel.OnLink(l, *a, eye.at.Along(dir, by/n), [2]solid.Vec{eye.d[kl[0]]})
		_, minus := travel.OnLink(l, *a, eye.at.Along(dir, -by/n), [2]solid.Vec{eye.d[kl[0]]})
		out.dd[i] = first[0].Add(plus[0].Sub(minus[0]).Scale(n / (2 * by)))
	}
	return out
}

// apart is the distance between two places.
func apart(a, b *place, second bool) (s scalar) {
	d := a.at.Sub(b.at)
	s.at = d.Norm()
	if s.at < 1e-9 {
		return s
	}
	u := d.Scale(1 / s.at)
	var v [2]solid.Vec
	for k := range v {
		v[k] = a.d[k].Sub(b.d[k])
		s.d[k] = u.Dot(v[k])
	}
	if second {
		for i, kl := range seconds {
			s.dd[i] = u.Dot(a.dd[i].Sub(b.dd[i])) + (v[kl[0]].Dot(v[kl[1]])-s.d[kl[0]]*s.d[kl[1]])/s.at
		}
	}
	return s
}

// fixed is a point of the axle body, axle frame, in the chassis frame.
func (mo *moves) fixed(a solid.Vec) (out place) {
	out = mo.direction(a)
	out.at = mo.p.Add(out.at)
	for k := range out.d {
		out.d[k] = mo.v[k].Add(out.d[k])
	}
	for i := range out.dd {
		out.dd[i] = mo.bend[i].Origin.Add(out.dd[i])
	}
	return out
}

// direction is a direction of the axle body in the chassis frame.
func (mo *moves) direction(a solid.Vec) (out place) {
	r := mo.r.Mul(a)
	out.at = r
	for k := range out.d {
		out.d[k] = mo.w[k].Cross(r)
	}
	for i, kl := range seconds {
		out.dd[i] = mo.bend[i].Omega.Cross(r).Add(mo.w[kl[0]].Cross(out.d[kl[1]]))
	}
	return out
}
