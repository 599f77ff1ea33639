package rocks

import (
	"math"

	"lowslung/solid"
)

// One step of h seconds: implicit Euler (Hairer & Wanner, Solving Ordinary Differential Equations II, §IV.3; contacts as in Anitescu & Potra, 1997,
// both from memory). Every force is a law of where it is and how fast it moves at the end of the step, along its row j of the motion as it is at
// the beginning:
//
//	M·(u⁺ − u) = h·(Σ j·F(s₀ + h·j·u⁺, j·u⁺) − b)
//
// Newton's method on u⁺ makes of each force its slope: (M + h·Σ (h·k + c)·j·jᵀ)·u⁺ = M·u + h·(Σ j·F̃ − b). Grip is limited by μ·N: its bristle's slope is
// scaled by the share α = μN/|k·b + c·v| that grip allows, found anew each round, so that sliding settles with the rest. What is stiff is damped by the
// method and needs no small step; energy is never made of nothing, and a test holds it to that.

const (
	rounds = 30
	still  = 2e-3 // N: forces that move less from round to round have settled
)

func (w *work) step() {
	h := w.h
	s := &w.s
	w.hands()
	w.meet()
	g := s.r.MulT(w.up.Scale(-gravity))
	w.mass(g)
	var base [size]row // M and what does not change from round to round
	var rhs row
	for i := range w.n {
		base[i] = w.m[i]
		rhs[i] = w.m[i].dot(&s.u) - h*w.bias[i]
	}
	u := s.u
	done := false
	var last float64
	for round := range rounds {
		a, b := base, rhs
		moved := w.forces(&a, &b, &u)
		if round > 0 && moved < still {
			done = true
			break
		}
		next, ok := solve(&a, &b, w.n)
		if !ok {
			break
		}
		u = next
		last = moved
	}
	if !done {
		w.rough++
		w.worst = max(w.worst, last)
	}
	w.steps++
	s.u = u
	w.tell()
	w.remember()
	// On to the end of the step; then the chassis frame's turn is put into u.
	om := spin(&u)
	s.x = s.x.Add(s.r.Mul(vel(&u)).Scale(h))
	turn := exp(om.Scale(h))
	s.r = s.r.Times(&turn)
	if w.steps%64 == 0 {
		square(&s.r)
	}
	v := turn.MulT(vel(&u))
	s.u[0], s.u[1], s.u[2] = v.X, v.Y, v.Z
	for e := range 2 {
		s.z[e] += h * u[6+2*e]
		s.phi[e] += h * u[7+2*e]
	}
	for i := range w.wheels {
		s.turn[i] += h * w.wheels[i].g.dot(&u)
	}
	s.t += h
	w.look()
}

func (w *work) hands() {
	if w.plain || w.coast {
		return
	}
	s := &w.s
	v := s.r.Mul(vel(&s.u))
	heading := math.Atan2(s.r[3], s.r[0])
	_, c := w.mid()
	w.drive.hands(w.h, v.X, c.Y, heading, s.u[5], &s.steer)
}

// mid is the middle between the axles, chassis frame and world.
func (w *work) mid() (c, p solid.Vec) {
	c = w.ax[0].p.Add(w.ax[1].p).Scale(0.5)
	return c, w.world(c)
}

// forces adds every force, as a line about the velocities u, to a and b; it says how far the largest contact force moved since the round before, N.
func (w *work) forces(a *[size]row, b, u *row) (moved float64) {
	h := w.h
	for e := range w.ax {
		ax := &w.ax[e]
		i := 6 + 2*e
		for k := range ax.law.Shocks() {
			length, d := ax.law.Shock(k)
			rate := d[0]*u[i] + d[1]*u[i+1]
			_, f, kk := ax.law.Push(k, length+h*rate)
			df, c := 0.0, 0.0
			if !w.plain {
				df, c = w.rig.drags[e][k].at(-rate)
			}
			w.pair(a, b, i, d, f+df, h*kk+c, rate)
		}
		for k := range ax.law.Bars() {
			twist, d, kk := ax.law.Bar(k)
			rate := d[0]*u[i] + d[1]*u[i+1]
			w.pair(a, b, i, d, -kk*(twist+h*rate), h*kk, rate)
		}
	}
	for n := range w.list {
		c := &w.list[n]
		sn := c.jn.dot(u)
		load, k, cc := w.press(c, c.depth-h*sn, -sn)
		was, w1, w2 := c.load, c.f1, c.f2
		c.load, c.f1, c.f2 = load, 0, 0
		if load > 0 {
			w.along(a, b, &c.jn, load, h*k+cc, sn)
			if c.mu > 0 {
				s1, s2 := c.j1.dot(u), c.j2.dot(u)
				k := c.kt * c.fade
				t1, t2 := k*(c.b1+h*s1)+c.ct*s1, k*(c.b2+h*s2)+c.ct*s2
				c.alpha = 1
				if size := math.Hypot(t1, t2); size > c.mu*load {
					c.alpha = c.mu * load / size
				}
				c.f1, c.f2 = -c.alpha*t1, -c.alpha*t2
				slope := c.alpha * (h*k + c.ct)
				w.along(a, b, &c.j1, c.f1, slope, s1)
				w.along(a, b, &c.j2, c.f2, slope, s2)
			}
		}
		moved = max(moved, math.Abs(load-was), math.Abs(c.f1-w1), math.Abs(c.f2-w2))
	}
	if w.plain || w.coast {
		return moved
	}
	if m := w.rig.motorFree; m >= 0 {
		s := u[m]
		t, i := w.drive.pull(s)
		by := 1e-3 * max(1, math.Abs(s))
		t2, _ := w.drive.pull(s + by)
		slope := max(0, (t-t2)/by)
		w.drive.torque, w.drive.current = t, i
		a[m][m] += h * slope
		b[m] += h * (t + slope*s)
	}
	for i := range w.wheels { // rolling resistance
		load := 0.0
		for n := range w.list {
			if w.list[n].wheel == i {
				load += w.list[n].load
			}
		}
		if load == 0 {
			continue
		}
		g := &w.wheels[i].g
		s := g.dot(u)
		slope := rolling * load * w.rig.axles[i/2].tyres[i%2].Radius / max(math.Abs(s), 0.3)
		w.along(a, b, g, -slope*s, slope, s)
	}
	return moved
}

// along adds a force f along row j that falls by slope per unit of s = j·u.
func (w *work) along(a *[size]row, b, j *row, f, slope, s float64) {
	h := w.h
	f += slope * s
	slope *= h
	f *= h
	for p := range w.n {
		if j[p] == 0 {
			continue
		}
		b[p] += f * j[p]
		x := slope * j[p]
		r := &a[p]
		for q := range p + 1 { // solve reads what is on and below the diagonal
			r[q] += x * j[q]
		}
	}
}

// pair is along for a row with entries at i and i+1 only.
func (w *work) pair(a *[size]row, b *row, i int, d [2]float64, f, slope, s float64) {
	h := w.h
	f = h * (f + slope*s)
	slope *= h
	b[i] += f * d[0]
	b[i+1] += f * d[1]
	a[i][i] += slope * d[0] * d[0]
	a[i+1][i] += slope * d[0] * d[1]
	a[i+1][i+1] += slope * d[1] * d[1]
}

// solve is A·x = b for a symmetric positive definite A, of which it reads what is on and below the diagonal, by Cholesky's decomposition A = L·D·Lᵀ (Golub & Van Loan, Matrix Computations, §4.1).
func solve(a *[size]row, b *row, n int) (x row, ok bool) {
	var d [size]float64
	for j := range n {
		v := a[j][j]
		for k := range j {
			v -= a[j][k] * a[j][k] * d[k]
		}
		if !(v > 0) {
			return x, false
		}
		d[j] = v
		for i := j + 1; i < n; i++ {
			v := a[i][j]
			for k := range j {
				v -= a[i][k] * a[j][k] * d[k]
			}
			a[i][j] = v / d[j]
		}
	}
	for i := range n {
		v := b[i]
		for k := range i {
			v -= a[i][k] * x[k]
		}
		x[i] = v
	}
	for i := range n {
		x[i] /= d[i]
	}
	for i := n - 1; i >= 0; i-- {
		for k := i + 1; k < n; k++ {
			x[i] -= a[k][i] * x[k]
		}
	}
	return x, true
}

// tell sums up what the step's forces came to.
func (w *work) tell() {
	o := &w.out
	*o = outcome{}
	var cap [4]float64
	var used [4]float64
	for i := range w.list {
		c := &w.list[i]
		if c.load <= 0 {
			continue
		}
		if c.kind != tread {
			o.belly += c.load
			continue
		}
		n := c.wheel
		if c.load > o.load[n] || !o.touched[n] {
			o.at[n] = w.world(c.at)
		}
		o.touched[n] = true
		o.load[n] += c.load
		o.pull[n] += c.f1
		used[n] += math.Hypot(c.f1, c.f2)
		cap[n] += c.mu * c.load
		if c.alpha < 1 {
			o.slip[n] = max(o.slip[n], math.Hypot(c.j1.dot(&w.s.u), c.j2.dot(&w.s.u)))
		}
	}
	for n := range o.grip {
		if cap[n] > 0 {
			o.grip[n] = used[n] / cap[n]
		}
	}
}
