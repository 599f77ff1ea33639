package ride

import (
	"math"

	"lowslung/solid"
)

// Energy of the rig and its derivatives.
//
// Unknowns (10): chassis origin X, world frame; turn of the chassis R, changed by R ← R·exp(ω); heave z and roll φ of the front, then of the
// rear axle. A point c of the chassis frame is at P = X + R·c. Along a fixed direction t (t′ = Rᵀt in the chassis frame) it moves by
//
//	∂(t·P)/∂X = t,   ∂/∂ω = c × t′,   ∂/∂qₖ = t′·c,ₖ
//	∂²/∂ωᵢ∂ωⱼ = ½(t′ᵢcⱼ + t′ⱼcᵢ) − δᵢⱼ t′·c,   ∂²/∂ω∂qₖ = c,ₖ × t′,   ∂²/∂qₖ∂qₗ = t′·c,ₖₗ
//
// so a force enters the gradient by virtual work, and every term of the curvature is exact but for the differences of moves.go. A term f(s)
// of a length s adds f′·∂s to the gradient and f″·∂s∂sᵀ + f′·∂²s to the curvature.
//
// Tyre: a torus of radius r (free) and crown ρ (tread across) about the wheel's axis a. Its lowest point is h = (r − ρ)√(1 − (a·n)²) + ρ below
// the wheel's centre, n square to the ground, so it is pressed in by δ = h − n·(C − O) and pushes with its curve at δ when δ > 0. Its force
// goes through the foot (hold.go), a distance o aside of that point: within a search δ therefore has −n·o more, o turning with the axle.

const size = 10

type row [size]float64

// A posture is where everything is.
type posture struct {
	x      solid.Vec  // chassis origin, world, mm
	r      solid.Mat  // chassis frame to world
	z, phi [2]float64 // of the axles, mm and rad
}

// A plane is the ground under a wheel.
type plane struct {
	o       solid.Vec // a point of it
	n       solid.Vec // unit normal
	forward solid.Vec // unit vector along it, the way the rig looks
	left    solid.Vec // unit vector along it
}

var level = plane{n: solid.Vec{Z: 1}, forward: solid.Vec{X: 1}, left: solid.Vec{Y: 1}}

// terms of the energy, so that a test can look at each alone.
type terms uint8

const (
	byWeight terms = 1 << iota
	byShocks
	byBars
	byTyres
	byHolds
	byBelly
	byAll terms = 1<<iota - 1
)

// A work is one goroutine's bench: a posture, what acts on it, and the derivatives there. Wheels count front left, front right, rear left, rear
// right.
type work struct {
	mc     *machine
	at     posture
	pull   solid.Vec // weight of 1 kg, N, world frame
	ground [4]plane
	holds  []hold
	feet   [4]foot
	locked [size]bool
	floor  bool // the belly may rest on the ground z = 0
	driven bool // the drive shafts are held, so that their torque turns the axles
	only   terms
	collar [2]float64 // mm that the collars of each axle are screwed down further than the document says
	right  float64    // mm more on the right side's

	mo    [2]moves
	datum solid.Vec // where the weight's energy is zero

	energy float64 // N·mm
	grad   row     // N, and N·mm per rad
	hess   [size]row
	load   [4]float64 // square to the ground, N
	gap    [4]float64 // how far the tyre is above the ground, mm; negative when pressed in
	bellyN float64    // what the belly carries, N
	steps  int        // Newton steps so far
	trail  []float64  // energies of accepted steps, kept when not nil
}

func newWork(mc *machine) *work {
	w := &work{mc: mc, only: byAll, floor: len(mc.belly) > 0}
	for i := range w.mo {
		w.mo[i] = newMoves(&mc.axles[i])
	}
	w.holds = make([]hold, 0, 4)
	for i := range w.ground {
		w.ground[i] = level
	}
	w.pull = solid.Vec{Z: -newton}
	return w
}

// evaluate works out energy and gradient at the posture, with second the curvature too; false when a linkage is beyond its reach.
func (w *work) evaluate(second bool) bool {
	for i := range w.mo {
		if !w.mc.axles[i].look(w.mc.model, w.at.z[i], w.at.phi[i], second, &w.mo[i]) {
			return false
		}
	}
	w.energy, w.grad, w.bellyN = 0, row{}, 0
	if second {
		w.hess = [size]row{}
	}
	if w.only&byWeight != 0 {
		w.weight(second)
	}
	if w.only&(byShocks|byBars) != 0 {
		w.springs(second)
	}
	if w.only&byTyres != 0 {
		w.tyres(second)
	}
	if w.only&byHolds != 0 {
		w.hold(second)
	}
	if w.only&byBelly != 0 && w.floor {
		w.belly(second)
	}
	return !math.IsNaN(w.energy) && !math.IsInf(w.energy, 0)
}

// along is the gradient of t·P for a point, or of t·d for a direction (free is then true: the chassis origin does not move it). The place is
// in the chassis frame, tb = Rᵀt; axle is −1 for what is fixed to the chassis.
func along(t, tb solid.Vec, p *place, axle int, free bool) (j row) {
	if !free {
		j[0], j[1], j[2] = t.X, t.Y, t.Z
	}
	o := p.at.Cross(tb)
	j[3], j[4], j[5] = o.X, o.Y, o.Z
	if axle >= 0 {
		j[6+2*axle], j[7+2*axle] = tb.Dot(p.d[0]), tb.Dot(p.d[1])
	}
	return j
}

// curve adds f times the second derivative of t·P (or of t·d) to the curvature.
func (w *work) curve(f float64, tb solid.Vec, p *place, axle int) {
	h := &w.hess
	c := p.at
	dot := f * tb.Dot(c)
	h[3][3] += f*tb.X*c.X - dot
	h[4][4] += f*tb.Y*c.Y - dot
	h[5][5] += f*tb.Z*c.Z - dot
	xy, xz, yz := f*(tb.X*c.Y+tb.Y*c.X)/2, f*(tb.X*c.Z+tb.Z*c.X)/2, f*(tb.Y*c.Z+tb.Z*c.Y)/2
	h[3][4] += xy
	h[4][3] += xy
	h[3][5] += xz
	h[5][3] += xz
	h[4][5] += yz
	h[5][4] += yz
	if axle < 0 {
		return
	}
	for k := range 2 {
		o := p.d[k].Cross(tb).Scale(f)
		i := 6 + 2*axle + k
		h[3][i] += o.X
		h[i][3] += o.X
		h[4][i] += o.Y
		h[i][4] += o.Y
		h[5][i] += o.Z
		h[i][5] += o.Z
	}
	w.inner(axle, f*tb.Dot(p.dd[0]), f*tb.Dot(p.dd[1]), f*tb.Dot(p.dd[2]))
}

// inner adds to an axle's own 2×2 block.
func (w *work) inner(axle int, zz, zp, pp float64) {
	h, i := &w.hess, 6+2*axle
	h[i][i] += zz
	h[i][i+1] += zp
	h[i+1][i] += zp
	h[i+1][i+1] += pp
}

// outer adds k·j·jᵀ to the curvature.
func (w *work) outer(k float64, j *row) {
	if k == 0 {
		return
	}
	for i := range j {
		if j[i] == 0 {
			continue
		}
		f := k * j[i]
		r := &w.hess[i]
		for l := range j {
			r[l] += f * j[l]
		}
	}
}

func (w *work) push(f float64, j *row) {
	for i := range j {
		w.grad[i] += f * j[i]
	}
}

// world puts a chassis-frame point into the world.
func (w *work) world(c solid.Vec) solid.Vec { return w.at.x.Add(w.at.r.Mul(c)) }

// weight: E = −Σ m·g·(P − datum).
func (w *work) weight(second bool) {
	tb := w.at.r.MulT(w.pull)
	one := func(mass float64, p *place, axle int) {
		if mass == 0 {
			return
		}
		j := along(w.pull, tb, p, axle, false)
		w.energy -= mass * w.pull.Dot(w.world(p.at).Sub(w.datum))
		w.push(-mass, &j)
		if second {
			w.curve(-mass, tb, p, axle)
		}
	}
	c := place{at: w.mc.chassis.at}
	one(w.mc.chassis.mass, &c, -1)
	for i := range w.mo {
		a, mo := &w.mc.axles[i], &w.mo[i]
		p := mo.fixed(a.body.at)
		one(a.body.mass, &p, i)
		for k := range a.hung {
			one(a.hung[k].mass, &mo.hung[k], i)
		}
	}
}

// springs: shocks and anti-roll bars, which act inside the rig.
func (w *work) springs(second bool) {
	for i := range w.mo {
		a, mo := &w.mc.axles[i], &w.mo[i]
		add := func(e, f, k float64, s *scalar) { // E(s) with E′ = f and E″ = k
			w.energy += e
			w.grad[6+2*i] += f * s.d[0]
			w.grad[7+2*i] += f * s.d[1]
			if second {
				w.inner(i, k*s.d[0]*s.d[0]+f*s.dd[0], k*s.d[0]*s.d[1]+f*s.dd[1], k*s.d[1]*s.d[1]+f*s.dd[2])
			}
		}
		if w.only&byShocks != 0 {
			for n := range a.struts {
				s := &a.struts[n]
				e, f, k := s.push(s.model.Open-mo.length[n].at, w.down(s), w.mc.hard)
				add(e, -f, k, &mo.length[n])
			}
		}
		if w.only&byBars != 0 {
			for n := range a.bars {
				t, k := &mo.twist[n], a.bars[n].k
				add(k*t.at*t.at/2, k*t.at, k, t)
			}
		}
	}
}

// down is how far the shock's collar is screwed down further than the document says, mm.
func (w *work) down(s *strut) float64 {
	if s.model.Side == solid.Right {
		return w.collar[s.model.Axle] + w.right
	}
	return w.collar[s.model.Axle]
}

// tyres: one-sided, square to the ground under each.
func (w *work) tyres(second bool) {
	for i := range w.ground {
		end := i / 2
		mo, wh, g := &w.mo[end], &w.mc.axles[end].wheels[i%2], &w.ground[i]
		nb := w.at.r.MulT(g.n)
		c := mo.fixed(wh.at)
		axis := mo.direction(solid.Vec{Y: 1})
		lean := axis.at.Dot(nb) // sine of the lean
		root := math.Sqrt(max(1-lean*lean, 1e-12))
		height := g.n.Dot(w.world(c.at).Sub(g.o))
		aside := mo.direction(w.feet[i].aside)
		in := (wh.radius-wh.crown)*root + wh.crown - height - aside.at.Dot(nb)
		w.gap[i] = -in
		e, f, k := wh.load.at(in)
		w.load[i] = f
		if f == 0 && k == 0 {
			continue
		}
		w.energy += e
		jc := along(g.n, nb, &c, end, false)
		ja := along(g.n, nb, &axis, end, true)
		jo := along(g.n, nb, &aside, end, true)
		bend := -(wh.radius - wh.crown) * lean / root // ∂h/∂(a·n)
		var j row
		for n := range j {
			j[n] = bend*ja[n] - jc[n] - jo[n]
		}
		w.push(f, &j)
		if second {
			w.outer(k, &j)
			w.outer(-f*(wh.radius-wh.crown)/(root*root*root), &ja)
			w.curve(f*bend, nb, &axis, end)
			w.curve(-f, nb, &c, end)
			w.curve(-f, nb, &aside, end)
		}
	}
}

// belly: dead stops of the chassis' lowest points on the ground z = 0, without friction.
func (w *work) belly(second bool) {
	up := solid.Vec{Z: 1}
	tb := w.at.r.MulT(up)
	for _, b := range w.mc.belly {
		in := -(w.at.x.Z + tb.Dot(b))
		if in <= 0 {
			continue
		}
		p := place{at: b}
		j := along(up, tb, &p, -1, false)
		f := w.mc.hard * in
		w.bellyN += f
		w.energy += f * in / 2
		w.push(-f, &j)
		if second {
			w.outer(w.mc.hard, &j)
			w.curve(-f, tb, &p, -1)
		}
	}
}
