package rocks

import (
	"math"

	"lowslung/solid"
)

// Motion. Velocities u: chassis origin and turn (both in the chassis frame), then heave and roll rate of front and rear axle, then what the
// drive line leaves free. A point c of the chassis frame that an axle carries moves by v + ω × c + Σ c,ₖ·q̇ₖ. Over one step the chassis frame is held still:
// its turn is put into u afterwards, so that momentum is kept while nothing pushes.
//
//	M·u̇ + b = Σ forces,   M = Σ m·Jᵥᵀ·Jᵥ + J_ωᵀ·I·J_ω,   b = Σ m·Jᵥᵀ·a₀ + J_ωᵀ·(I·α₀ + ω × I·ω)
//
// with a₀, α₀ what accelerations are when u does not change: a₀ = ω × (ω × c) + 2·ω × ċ + Σ c,ₖₗ·q̇ₖ·q̇ₗ − g, α₀ = ω × Σ wₖ·q̇ₖ + Σ wₖ,ₗ·q̇ₖ·q̇ₗ. (Featherstone, Rigid Body
// Dynamics Algorithms, ch. 6, and Haug, Computer-Aided Kinematics and Dynamics of Mechanical Systems I, from memory.) A wheel is the axle's
// as if it did not turn, plus its spin s = G·u about its axis a: energy I·s·(a·ω) + ½·I·s². Mass is in N·s²/mm, so kg/1000.

// size is the most freedoms: 10, and four of a drive line that leaves every wheel alone.
const size = 14

type row [size]float64

func (j *row) dot(u *row) float64 {
	sum := 0.0
	for i := range j {
		sum += j[i] * u[i]
	}
	return sum
}

func vel(u *row) solid.Vec  { return solid.Vec{X: u[0], Y: u[1], Z: u[2]} }
func spin(u *row) solid.Vec { return solid.Vec{X: u[3], Y: u[4], Z: u[5]} }

// A lump is a rigid body: mass N·s²/mm, centre mm, tensor about it N·mm·s².
type lump struct {
	mass float64
	at   solid.Vec
	i    solid.Sym
}

func full(t solid.Sym) solid.Mat {
	return solid.Mat{t[0], t[3], t[4], t[3], t[1], t[5], t[4], t[5], t[2]}
}

// mass fills M and the bias b, gravity g (mm/s², chassis frame) included, at the poses the axles have been brought to.
func (w *work) mass(g solid.Vec) {
	for i := range w.n {
		w.m[i] = row{}
	}
	w.bias = row{}
	u := &w.s.u
	om := spin(u)
	c := &w.rig.chassis
	w.point(c.mass, c.at, -1, nil, om.Cross(om.Cross(c.at)).Sub(g))
	w.turning(&c.i, -1, nil, om, solid.Vec{})
	for e := range 2 {
		ax := &w.ax[e]
		qz, qf := u[6+2*e], u[7+2*e]
		body := &w.rig.axles[e].body
		r := ax.r.Mul(body.at)
		d := [2]solid.Vec{ax.v[0].Add(ax.w[0].Cross(r)), ax.v[1].Add(ax.w[1].Cross(r))}
		at := ax.p.Add(r)
		dot := d[0].Scale(qz).Along(d[1], qf)
		turned := ax.w[0].Scale(qz).Along(ax.w[1], qf) // of the axle against the chassis
		bendV, bendW := solid.Vec{}, solid.Vec{}
		for k, q := range [3]float64{qz * qz, 2 * qz * qf, qf * qf} {
			bendV = bendV.Along(ax.bend[k].Origin, q)
			bendW = bendW.Along(ax.bend[k].Omega, q)
		}
		bendW = bendW.Along(ax.w[0].Cross(ax.w[1]), qz*qf) // ∂w_φ/∂z is ∂w_z/∂φ + w_z × w_φ
		// c,ₖₗ q̇q̇ = v,ₖₗ q̇q̇ + (w,ₖₗ q̇q̇) × r + Ω × (Ω × r), Ω = Σ wₖ q̇ₖ
		a0 := om.Cross(om.Cross(at)).Along(om.Cross(dot), 2).Add(bendV).Add(bendW.Cross(r)).Add(turned.Cross(turned.Cross(r))).Sub(g)
		w.point(body.mass, at, e, &d, a0)
		tensor := body.i.Turned(&ax.r)
		alpha := om.Cross(turned).Add(bendW)
		w.turning(&tensor, e, &ax.w, om.Add(turned), alpha)
		for k := range ax.law.Hung() {
			m, p, dp := ax.law.Hanging(k)
			v := dp[0].Scale(qz).Along(dp[1], qf)
			w.point(m/1000, p, e, &dp, om.Cross(om.Cross(p)).Along(om.Cross(v), 2).Sub(g))
		}
		for side := range 2 {
			w.rotor(2*e+side, om.Add(turned), alpha)
		}
	}
	if f := w.rig.motorFree; f >= 0 {
		w.m[f][f] += w.rig.rotor
	}
}

// point adds a mass at c.
func (w *work) point(mass float64, c solid.Vec, e int, d *[2]solid.Vec, a0 solid.Vec) {
	m := &w.m
	for i := range 3 {
		m[i][i] += mass
	}
	x, y, z := mass*c.X, mass*c.Y, mass*c.Z
	add := func(i, j int, v float64) { m[i][j] += v; m[j][i] += v }
	// −[c]×: v + ω × c
	add(0, 4, z)
	add(0, 5, -y)
	add(1, 3, -z)
	add(1, 5, x)
	add(2, 3, y)
	add(2, 4, -x)
	m[3][3] += y*c.Y + z*c.Z
	m[4][4] += x*c.X + z*c.Z
	m[5][5] += x*c.X + y*c.Y
	add(3, 4, -x*c.Y)
	add(3, 5, -x*c.Z)
	add(4, 5, -y*c.Z)
	b := &w.bias
	f := a0.Scale(mass)
	t := c.Cross(f)
	b[0], b[1], b[2] = b[0]+f.X, b[1]+f.Y, b[2]+f.Z
	b[3], b[4], b[5] = b[3]+t.X, b[4]+t.Y, b[5]+t.Z
	if d == nil {
		return
	}
	for k := range 2 {
		i := 6 + 2*e + k
		v := d[k].Scale(mass)
		l := c.Cross(v)
		add(0, i, v.X)
		add(1, i, v.Y)
		add(2, i, v.Z)
		add(3, i, l.X)
		add(4, i, l.Y)
		add(5, i, l.Z)
		m[i][i] += v.Dot(d[k])
		b[i] += d[k].Dot(f)
	}
	i := 6 + 2*e
	add(i, i+1, mass*d[0].Dot(d[1]))
}

// turning adds a tensor, chassis frame, of a body that turns with om.
func (w *work) turning(t *solid.Sym, e int, wk *[2]solid.Vec, om, alpha solid.Vec) {
	i := full(*t)
	m := &w.m
	for a := range 3 {
		for b := range 3 {
			m[3+a][3+b] += i[3*a+b]
		}
	}
	tau := i.Mul(alpha).Add(om.Cross(i.Mul(om)))
	b := &w.bias
	b[3], b[4], b[5] = b[3]+tau.X, b[4]+tau.Y, b[5]+tau.Z
	if wk == nil {
		return
	}
	for k := range 2 {
		c := 6 + 2*e + k
		v := i.Mul(wk[k])
		for a, x := range [3]float64{v.X, v.Y, v.Z} {
			m[3+a][c] += x
			m[c][3+a] += x
		}
		m[c][c] += v.Dot(wk[k])
		b[c] += wk[k].Dot(tau)
	}
	c := 6 + 2*e
	x := i.Mul(wk[0]).Dot(wk[1])
	m[c][c+1] += x
	m[c+1][c] += x
}

// rotor adds the spin of wheel i.
func (w *work) rotor(i int, om, alpha solid.Vec) {
	e := i / 2
	in := w.rig.axles[e].spin[i%2]
	if in == 0 {
		return
	}
	wh := &w.wheels[i]
	a := wh.axis
	var along row // a·ω
	along[3], along[4], along[5] = a.X, a.Y, a.Z
	along[6+2*e], along[7+2*e] = a.Dot(w.ax[e].w[0]), a.Dot(w.ax[e].w[1])
	g := &wh.g
	for p := range w.n {
		if along[p] == 0 && g[p] == 0 {
			continue
		}
		for q := range w.n {
			w.m[p][q] += in * (along[p]*g[q] + g[p]*along[q] + g[p]*g[q])
		}
	}
	s := g.dot(&w.s.u)
	tau := om.Cross(a).Scale(in * s)
	w.bias[3], w.bias[4], w.bias[5] = w.bias[3]+tau.X, w.bias[4]+tau.Y, w.bias[5]+tau.Z
	for k := range 2 {
		w.bias[6+2*e+k] += w.ax[e].w[k].Dot(tau)
	}
	if back := in * a.Dot(alpha); back != 0 {
		for p := range w.n {
			w.bias[p] += g[p] * back
		}
	}
}

// exp is the turn by a vector.
func exp(v solid.Vec) solid.Mat {
	t := v.Norm()
	if t < 1e-12 {
		return solid.Identity
	}
	a := v.Scale(1 / t)
	s, c := math.Sincos(t)
	k := 1 - c
	return solid.Mat{
		c + a.X*a.X*k, a.X*a.Y*k - a.Z*s, a.X*a.Z*k + a.Y*s,
		a.Y*a.X*k + a.Z*s, c + a.Y*a.Y*k, a.Y*a.Z*k - a.X*s,
		a.Z*a.X*k - a.Y*s, a.Z*a.Y*k + a.X*s, c + a.Z*a.Z*k,
	}
}

// square makes a turn a turn again after many products (Gram and Schmidt).
func square(m *solid.Mat) {
	x := solid.Vec{X: m[0], Y: m[3], Z: m[6]}.Unit()
	y := solid.Vec{X: m[1], Y: m[4], Z: m[7]}
	y = y.Along(x, -x.Dot(y)).Unit()
	z := x.Cross(y)
	*m = solid.Mat{x.X, y.X, z.X, x.Y, y.Y, z.Y, x.Z, y.Z, z.Z}
}
