package ride

import (
	"math"

	"lowslung/solid"
)

// The least energy near a posture, by Newton's method with a line search.
//
// The step solves (H + λD²)·d = −g, with λ the least of 0, then a growing series, at which Cholesky's factors exist; D weighs angles as
// lengths at 100 mm. A step is cut to what the rig could sensibly do, then halved until the energy has fallen by a fair share of what the slope
// promises (Armijo; Nocedal & Wright, Numerical Optimization, alg. 3.1 and §3.4, from memory). So the energy falls at every step, and a
// minimum is found, never a saddle. Where a contact opens or a stop is met the slope of a force jumps, not the force; the same steps do.

// An outcome is how a search for rest ended.
type outcome uint8

const (
	atRest  outcome = iota
	fell            // it rolls over, or nothing holds it up
	stalled         // the search came to a standstill before rest: told, never passed over
)

const (
	arm       = 100.0 // mm that an angle is weighed with
	slow      = 6     // Newton steps after which they are tried longer
	restForce = 1e-7  // N (and N·mm per 100 mm): at rest
)

// limits of one search, from where it starts.
type limits struct {
	turn  float64 // rad of the chassis: beyond it has fallen over
	shift float64 // mm
	steps int     // of Newton
	late  outcome // what more steps mean: near a tip the energy falls slowly for long
}

// rest searches from the present posture, which has been evaluated. Energy and forces are those at the end.
func (w *work) rest(lim limits) outcome {
	start := w.at
	for n := 0; ; n++ {
		if w.trail != nil {
			w.trail = append(w.trail, w.energy)
		}
		if w.unrest() < restForce {
			return atRest
		}
		if n == lim.steps {
			return lim.late
		}
		if !w.evaluate(true) {
			return stalled
		}
		w.steps++
		d, slope, ok := w.step()
		if !ok {
			return stalled
		}
		from, e0, g0 := w.at, w.energy, w.unrest()
		t := 1.0
		for !w.falls(&from, &d, t, slope, e0, g0) {
			if t /= 2; t < 1e-9 {
				w.at = from
				w.evaluate(false)
				if g0 < 1e3*restForce { // as near as rounding lets it come
					return atRest
				}
				return stalled
			}
		}
		if n >= slow && t == 1 {
			w.lengthen(&from, &d, slope, e0)
		}
		if w.at.apart(&start, lim) {
			return fell
		}
	}
}

// lengthen doubles the step t·d from 1 on as long as that lowers the energy further. Just beyond a tip there is a long and all but level
// slope where rest has been a moment ago, and Newton's steps are short on it.
func (w *work) lengthen(from *posture, d *row, slope, e0 float64) {
	for t := 2.0; t <= 64; t *= 2 {
		best, e := w.at, w.energy
		w.at = from.moved(d, t)
		if !w.evaluate(false) || w.energy >= e || w.energy-e0 > 1e-4*t*slope {
			w.at = best
			w.evaluate(false)
			return
		}
	}
}

// falls takes the step t·d and says whether the energy has fallen by a fair share of what the slope promises. Where the fall is too small
// for the energy to tell, the forces decide.
func (w *work) falls(from *posture, d *row, t, slope, e0, g0 float64) bool {
	w.at = from.moved(d, t)
	if !w.evaluate(false) {
		return false
	}
	return w.energy-e0 <= 1e-4*t*slope || math.Abs(t*slope) < 1e-11*(1+math.Abs(e0)) && w.unrest() <= g0
}

// unrest is the largest force out of balance, N; moments count per 100 mm.
func (w *work) unrest() float64 {
	worst := 0.0
	for i, g := range w.grad {
		if !w.locked[i] {
			worst = max(worst, math.Abs(g)/weigh(i))
		}
	}
	return worst
}

// weigh is the length, mm, by which a unit of an unknown is weighed.
func weigh(i int) float64 {
	if i >= 3 && i <= 5 || i == 7 || i == 9 {
		return arm
	}
	return 1
}

// step is the Newton step, cut to sensible size, and the slope of the energy along it (negative).
func (w *work) step() (d row, slope float64, ok bool) {
	var a [size]row
	var b row
	biggest := 0.0
	for i := range a {
		for k := range a[i] {
			a[i][k] = w.hess[i][k] / (weigh(i) * weigh(k))
		}
		b[i] = -w.grad[i] / weigh(i)
		if w.locked[i] {
			a[i] = row{}
			b[i] = 0
		}
	}
	for i := range a {
		if w.locked[i] {
			for k := range a {
				a[k][i] = 0
			}
			a[i][i] = 1
			continue
		}
		biggest = max(biggest, math.Abs(a[i][i]))
	}
	shift := 0.0
	for {
		if d, ok = cholesky(&a, &b, shift); ok {
			break
		}
		if shift = max(10*shift, 1e-6*biggest, 1e-9); !(shift < 1e9*max(biggest, 1)) {
			return d, 0, false
		}
	}
	// No step larger than 15 mm, or 0.15 rad.
	worst := 0.0
	for i := range d {
		worst = max(worst, math.Abs(d[i])/15)
	}
	for i := range d {
		if worst > 1 {
			d[i] /= worst
		}
		slope -= b[i] * d[i]
		d[i] /= weigh(i)
	}
	return d, slope, slope < 0
}

// cholesky solves (A + shift·1)·x = b; false when the matrix is not positive definite. (Golub & Van Loan, Matrix Computations, §4.2.)
func cholesky(a *[size]row, b *row, shift float64) (x row, ok bool) {
	var l [size]row
	for i := range size {
		for k := 0; k <= i; k++ {
			s := a[i][k]
			if i == k {
				s += shift
			}
			for n := range k {
				s -= l[i][n] * l[k][n]
			}
			if i != k {
				l[i][k] = s / l[k][k]
				continue
			}
			if !(s > 1e-12*(math.Abs(a[i][i])+shift)) || math.IsInf(s, 0) {
				return x, false
			}
			l[i][i] = math.Sqrt(s)
		}
	}
	for i := range size {
		s := b[i]
		for n := range i {
			s -= l[i][n] * x[n]
		}
		x[i] = s / l[i][i]
	}
	for i := size - 1; i >= 0; i-- {
		s := x[i]
		for n := i + 1; n < size; n++ {
			s -= l[n][i] * x[n]
		}
		x[i] = s / l[i][i]
	}
	return x, true
}

// moved is the posture changed by t·d.
func (p *posture) moved(d *row, t float64) posture {
	out := *p
	out.x = p.x.Add(solid.Vec{X: t * d[0], Y: t * d[1], Z: t * d[2]})
	turn := exp(solid.Vec{X: t * d[3], Y: t * d[4], Z: t * d[5]})
	out.r = p.r.Times(&turn)
	out.z[0] += t * d[6]
	out.phi[0] += t * d[7]
	out.z[1] += t * d[8]
	out.phi[1] += t * d[9]
	return out
}

// exp is the rotation by |o| about o (Rodrigues).
func exp(o solid.Vec) solid.Mat {
	t := o.Norm()
	s, c := 1.0, 0.5 // sin t/t, (1 − cos t)/t²
	if t > 1e-4 {
		s, c = math.Sin(t)/t, (1-math.Cos(t))/(t*t)
	} else {
		s, c = 1-t*t/6, 0.5-t*t/24
	}
	x, y, z := o.X, o.Y, o.Z
	return solid.Mat{
		1 - c*(y*y+z*z), c*x*y - s*z, c*x*z + s*y,
		c*x*y + s*z, 1 - c*(x*x+z*z), c*y*z - s*x,
		c*x*z - s*y, c*y*z + s*x, 1 - c*(x*x+y*y),
	}
}

// apart says that the chassis has left where it started: turned or shifted beyond the limits.
func (p *posture) apart(q *posture, lim limits) bool {
	trace := 0.0
	for i := range p.r {
		trace += p.r[i] * q.r[i]
	}
	return math.Acos(max(-1, min(1, (trace-1)/2))) > lim.turn || p.x.Sub(q.x).Norm() > lim.shift
}

// square pulls a rotation back to one after many small turns: the third row from the first two, Gram and Schmidt.
func (p *posture) square() {
	a := solid.Vec{X: p.r[0], Y: p.r[1], Z: p.r[2]}.Unit()
	b := solid.Vec{X: p.r[3], Y: p.r[4], Z: p.r[5]}
	b = b.Along(a, -a.Dot(b)).Unit()
	c := a.Cross(b)
	p.r = solid.Mat{a.X, a.Y, a.Z, b.X, b.Y, b.Z, c.X, c.Y, c.Z}
}
