package rocks

import (
	"math"

	"lowslung/solid"
)

// Grip. Where rubber meets rock a bristle b is bent along the rock by how far the two have moved past each other, and pulls back with its spring and a
// little damping, F = −k·b − c·ḃ, never with more than μ·N; what is more lets it slide along. So a rig on a side slope stands still for ever, as it should: no
// speed is needed for a force. While the wheel rolls, rubber leaves the patch and fresh rubber enters it unbent: b fades over half the patch's length a,
// ḃ = v − |v_r|·b/a, which is the brush model's relaxation (Pacejka, Tire and Vehicle Dynamics, ch. 3 and 7, from memory), with a = √(2Rδ − δ²).
// k is the tyre's rate along the ground, which ride has too.

const (
	tread     = 0 // kinds of contact
	housing   = 1
	underside = 2
	onLink    = 3

	linkBalls = 3    // along a link
	margin    = 3.0  // mm before touching from which a contact is looked at
	sideDamp  = 0.15 // damping of a bristle against the mass of a corner, of critical: an assumption
)

// A bristle is the bend of what is in the patch, world, mm.
type bristle struct {
	b  solid.Vec
	on bool
}

// A mark is a tyre's bristle with what tells it again.
type mark struct {
	wheel, group int
	at           solid.Vec
	b            solid.Vec
}

// A contact for one step.
type contact struct {
	kind, wheel, group, ball int
	n, t1, t2                solid.Vec // chassis frame
	at                       solid.Vec // on the rock, chassis frame
	jn, j1, j2               row
	depth                    float64
	k, c                     float64 // skin: N/mm and N·s/mm
	mu, kt, ct               float64
	b1, b2                   float64 // bend along t1, t2, mm
	fade                     float64 // 1/(1 + h·|v_r|/a)
	alpha                    float64 // share of the bristle's pull that grip allows
	f1, f2, load             float64
}

// rows fills a contact's rows for a point q of the chassis frame that moves with d per unit of an axle's heave and roll.
func (c *contact) rows(q solid.Vec, e int, d *[2]solid.Vec) {
	for _, one := range []struct {
		t solid.Vec
		j *row
	}{{c.n, &c.jn}, {c.t1, &c.j1}, {c.t2, &c.j2}} {
		*one.j = row{}
		j, t := one.j, one.t
		j[0], j[1], j[2] = t.X, t.Y, t.Z
		o := q.Cross(t)
		j[3], j[4], j[5] = o.X, o.Y, o.Z
		if d != nil {
			j[6+2*e], j[7+2*e] = t.Dot(d[0]), t.Dot(d[1])
		}
	}
}

// meet lists every contact at the state.
func (w *work) meet() {
	w.list = w.list[:0]
	var found [touches]touch
	for i := range w.wheels {
		r := w.ring(i)
		for g := range w.rock {
			for k := range r.touch(&w.rock[g], margin, &found) {
				w.tyre(i, g, &found[k])
			}
		}
	}
	base := 0
	base = w.balls(w.rig.skin.chassis, -1, base)
	for e := range w.ax {
		base = w.balls(w.rig.skin.axles[e], e, base)
	}
	for l := range w.rig.skin.links {
		w.link(l, base)
		base += linkBalls
	}
}

func (w *work) tyre(i, g int, t *touch) {
	e := i / 2
	a, wh := &w.rig.axles[e], &w.wheels[i]
	c := contact{kind: tread, wheel: i, group: g, ball: -1, depth: t.depth, mu: a.mu, kt: a.tyres[i%2].Side, alpha: 1}
	if w.grip >= 0 && w.plain {
		c.mu = w.grip
	}
	c.n = w.s.r.MulT(t.n)
	c.at = w.s.r.MulT(t.at.Sub(w.s.x))
	c.t1 = wh.axis.Cross(c.n)
	if c.t1.Norm() < 1e-6 {
		c.t1 = c.n.Cross(solid.Vec{X: 1})
	}
	c.t1 = c.t1.Unit()
	c.t2 = c.n.Cross(c.t1)
	roll := wh.axis.Cross(c.at.Sub(wh.c)) // of the tread per rad of spin
	s1, s2 := roll.Dot(c.t1), roll.Dot(c.t2)
	corner := w.rig.mass / 4000
	c.c = a.damp
	c.ct = 2 * sideDamp * math.Sqrt(c.kt*corner)
	pressed := max(t.depth, 0.05)
	patch := max(2, math.Sqrt(2*a.tyres[i%2].Radius*pressed-pressed*pressed))
	c.fade = 1 / (1 + w.h*math.Abs(wh.g.dot(&w.s.u))*math.Hypot(s1, s2)/patch)
	b := solid.Vec{}
	for k := range w.marks {
		m := &w.marks[k]
		if m.wheel == i && m.group == g && m.at.Sub(t.at).Norm() < 15 {
			b = m.b
			break
		}
	}
	b = w.s.r.MulT(b)
	c.b1, c.b2 = b.Dot(c.t1), b.Dot(c.t2)
	// The patch stays behind by the bend, and the rock's force goes through the patch.
	ax := &w.ax[e]
	q := c.at.Along(c.t1, -c.b1).Along(c.t2, -c.b2)
	arm := q.Sub(ax.p)
	d := [2]solid.Vec{ax.v[0].Add(ax.w[0].Cross(arm)), ax.v[1].Add(ax.w[1].Cross(arm))}
	c.rows(q, e, &d)
	for i := range w.n {
		c.j1[i] += s1 * wh.g[i]
		c.j2[i] += s2 * wh.g[i]
	}
	w.list = append(w.list, c)
}

// balls looks at the balls of one carrier; it returns the number of the next carrier's first.
func (w *work) balls(list []ball, e, base int) int {
	for i := range list {
		if n := &w.asleep[base+i]; *n > 0 {
			if *n < math.MaxInt {
				*n--
			}
			continue
		}
		b := &list[i]
		at := b.at
		if e >= 0 {
			at = w.ax[e].p.Add(w.ax[e].r.Mul(b.at))
		}
		kind := underside
		if e >= 0 {
			kind = housing
		}
		w.ball(kind, base+i, at, b.radius, e)
	}
	return base + len(list)
}

func (w *work) link(l, base int) {
	k := &w.rig.skin.links[l]
	e := int(k.Axle)
	var to solid.Vec
	var d [2]solid.Vec
	placed := false
	for i := range linkBalls {
		if n := &w.asleep[base+i]; *n > 0 {
			if *n < math.MaxInt {
				*n--
			}
			continue
		}
		if !placed {
			to, d = w.ax[e].law.Point(k.To)
			placed = true
		}
		t := float64(i+1) / (linkBalls + 1)
		at := k.From.Scale(1-t).Along(to, t)
		w.moved = [2]solid.Vec{d[0].Scale(t), d[1].Scale(t)}
		w.ball(onLink, base+i, at, k.Width/2, e)
	}
}

// ball adds a contact when the ball is near rock; otherwise it sleeps for as long as it cannot come there at 4 m/s.
func (w *work) ball(kind, id int, at solid.Vec, radius float64, e int) {
	const fast = 4000.0 // mm/s
	p := w.world(at)
	near := math.Inf(1)
	for g := range w.rock {
		if f := w.rock[g].field; f != nil { // what is above the roof needs no search
			if up := min(p.Z-f.above(p.X, p.Y), window) - radius; up > margin {
				near = min(near, up)
				continue
			}
		}
		gap, n := w.rock[g].distance(p, radius+60)
		gap -= radius
		near = min(near, gap)
		if gap > margin {
			continue
		}
		c := contact{kind: kind, wheel: -1, group: g, ball: id, depth: -gap, k: bodyRate, c: bodyDamp, mu: bodyGrip, kt: bodySide, fade: 1, alpha: 1}
		c.n = w.s.r.MulT(n)
		q := at.Along(c.n, -radius-gap)
		c.at = q
		c.t1 = c.n.Cross(solid.Vec{Y: 1})
		if c.t1.Norm() < 0.1 {
			c.t1 = c.n.Cross(solid.Vec{X: 1})
		}
		c.t1 = c.t1.Unit()
		c.t2 = c.n.Cross(c.t1)
		c.ct = bodyDamp
		switch kind {
		case underside:
			c.rows(q, 0, nil)
		case housing:
			ax := &w.ax[e]
			arm := q.Sub(ax.p)
			w.moved = [2]solid.Vec{ax.v[0].Add(ax.w[0].Cross(arm)), ax.v[1].Add(ax.w[1].Cross(arm))}
			c.rows(q, e, &w.moved)
		default: // a link moves as the share of its axle eye says, all across
			c.rows(q, e, &w.moved)
		}
		if m := &w.bodies[id]; m.on {
			b := w.s.r.MulT(m.b)
			c.b1, c.b2 = b.Dot(c.t1), b.Dot(c.t2)
		}
		w.list = append(w.list, c)
	}
	w.bodies[id].on = false
	if near > margin {
		w.asleep[id] = int(min((near-margin)/(fast*w.h), 200))
	}
}

// press is the contact's force along the normal pressed in by in with rate against closing, and its slopes.
func (w *work) press(c *contact, in, rate float64) (f, k, cc float64) {
	if in <= 0 {
		return 0, 0, 0
	}
	if c.kind == tread {
		_, f, k = w.ax[c.wheel/2].law.Press(c.wheel%2, in)
	} else {
		f, k = c.k*in, c.k
	}
	cc = c.c * min(1, in/0.2) // damping comes in with the patch
	f += cc * rate
	if f <= 0 {
		return 0, 0, 0
	}
	return f, k, cc
}

// remember keeps the bristles for the next step.
func (w *work) remember() {
	w.fresh = w.fresh[:0]
	for i := range w.list {
		c := &w.list[i]
		if c.load <= 0 {
			continue
		}
		// The bend is what the force left of it: sliding drags the patch along.
		b1 := c.alpha * c.fade * (c.b1 + w.h*c.j1.dot(&w.s.u))
		b2 := c.alpha * c.fade * (c.b2 + w.h*c.j2.dot(&w.s.u))
		b := w.s.r.Mul(c.t1.Scale(b1).Along(c.t2, b2))
		if c.kind == tread {
			w.fresh = append(w.fresh, mark{c.wheel, c.group, w.world(c.at), b})
			continue
		}
		w.bodies[c.ball] = bristle{b, true}
	}
	w.marks, w.fresh = w.fresh, w.marks
}
