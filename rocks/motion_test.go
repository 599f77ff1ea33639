package rocks

import (
	"math"
	"math/rand/v2"
	"testing"

	"lowslung/solid"
)

const seed = 20261128

// shaken is the demo rig in the air, with every velocity at random.
func shaken(t testing.TB, h float64) *work {
	t.Helper()
	t.Logf("seed %d", seed)
	r := machineOf(t, demo(t, "bramble-portal.rig.yaml"), &Options{})
	w := newWork(r, terrain{}, h)
	w.plain, w.grip = true, -1
	rng := rand.New(rand.NewPCG(seed, 1))
	for i := range 3 {
		w.s.u[i] = 800 * (rng.Float64() - 0.5)
		w.s.u[3+i] = 6 * (rng.Float64() - 0.5)
	}
	for i := 6; i < 10; i += 2 {
		w.s.u[i], w.s.u[i+1] = 200*(rng.Float64()-0.5), 3*(rng.Float64()-0.5)
	}
	w.s.u[10] = 20 * (rng.Float64() - 0.5)
	return w
}

// points are places of all masses, world frame, for a slow twin: the bodies cut into six points each, that have their mass, centre and tensor.
func (w *work) points() (out []struct {
	m float64
	p solid.Vec
}) {
	add := func(l *lump, place func(solid.Vec) solid.Vec) {
		// A tensor's own axes: three pairs of points along them; Jacobi's rotations find the axes.
		axes, in := principal(full(l.i))
		sum := (in[0] + in[1] + in[2]) / 2
		for k := range 3 {
			d := math.Sqrt(max(0, 3*(sum-in[k])/l.mass)) // Σ m·x² of a pair of a sixth of the mass each is m/3·d²
			for _, s := range []float64{d, -d} {
				out = append(out, struct {
					m float64
					p solid.Vec
				}{l.mass / 6, w.world(place(l.at.Along(axes[k], s)))})
			}
		}
	}
	add(&w.rig.chassis, func(v solid.Vec) solid.Vec { return v })
	for e := range w.ax {
		x := &w.ax[e]
		add(&w.rig.axles[e].body, func(v solid.Vec) solid.Vec { return x.p.Add(x.r.Mul(v)) })
		for k := range x.law.Hung() {
			m, p, _ := x.law.Hanging(k)
			out = append(out, struct {
				m float64
				p solid.Vec
			}{m / 1000, w.world(p)})
		}
	}
	return out
}

// principal are the axes of a symmetric matrix and what it is along them (Jacobi; Golub & Van Loan, §8.5).
func principal(a solid.Mat) (axes [3]solid.Vec, in [3]float64) {
	v := solid.Identity
	for range 60 {
		for _, pq := range [3][2]int{{0, 1}, {0, 2}, {1, 2}} {
			p, q := pq[0], pq[1]
			if math.Abs(a[3*p+q]) < 1e-18 {
				continue
			}
			t := math.Atan2(2*a[3*p+q], a[3*p+p]-a[3*q+q]) / 2
			s, c := math.Sincos(t)
			r := solid.Identity
			r[3*p+p], r[3*q+q], r[3*p+q], r[3*q+p] = c, c, -s, s
			rt := solid.Mat{r[0], r[3], r[6], r[1], r[4], r[7], r[2], r[5], r[8]}
			a = rt.Times(&a)
			a = a.Times(&r)
			v = v.Times(&r)
		}
	}
	for k := range 3 {
		axes[k], in[k] = solid.Vec{X: v[k], Y: v[3+k], Z: v[6+k]}, a[4*k]
	}
	return axes, in
}

// Kinetic energy by the mass matrix is that of points whose velocities come from moving everything a little to and fro.
func TestMassAgainstMovedPoints(t *testing.T) {
	w := shaken(t, 1e-3)
	w.s.u[10] = 0 // wheels as part of their axles: points do not turn about them
	for e := range w.ax {
		for k := range 2 { // and no twist of the shafts
			w.wheels[2*e].g[6+2*e+k], w.wheels[2*e+1].g[6+2*e+k] = 0, 0
		}
	}
	w.mass(solid.Vec{})
	got := 0.0
	for i := range w.n {
		got += w.s.u[i] * w.m[i].dot(&w.s.u) / 2
	}
	start := w.s
	at := func(h float64) []struct {
		m float64
		p solid.Vec
	} {
		w.s = start
		u := &start.u
		turn := exp(spin(u).Scale(h))
		w.s.x = start.x.Add(start.r.Mul(vel(u)).Scale(h))
		w.s.r = start.r.Times(&turn)
		for e := range 2 {
			w.s.z[e] += h * u[6+2*e]
			w.s.phi[e] += h * u[7+2*e]
		}
		w.look()
		return w.points()
	}
	const h = 1e-5
	plus, minus := at(h), at(-h)
	want := 0.0
	for i := range plus {
		v := plus[i].p.Sub(minus[i].p).Scale(1 / (2 * h))
		want += plus[i].m * v.Dot(v) / 2
	}
	if want < 100 {
		t.Fatalf("the rig hardly moves: %g N·mm", want)
	}
	near(t, "kinetic energy, N·mm", got, want, 1e-5*want)
}

// In the air without weight momentum stays, and energy is not made: implicit Euler takes some, less with a smaller step. Turn is kept to 5·10⁻⁴: the motor's
// rotor turns without a direction of its own, which leaves that much out.
func TestMomentumInTheAir(t *testing.T) {
	type state struct {
		p, l   solid.Vec
		energy float64
	}
	see := func(w *work) state {
		w.mass(solid.Vec{})
		var out state
		mu := func(i int) float64 { return w.m[i].dot(&w.s.u) }
		p := solid.Vec{X: mu(0), Y: mu(1), Z: mu(2)}
		l := solid.Vec{X: mu(3), Y: mu(4), Z: mu(5)} // about the chassis origin
		out.p = w.s.r.Mul(p)
		_, c := w.center()
		out.l = w.s.r.Mul(l.Sub(c.Cross(p)))
		k, _, bent := w.energy()
		out.energy = k + bent
		return out
	}
	var lost, turned [2]float64 // shares
	for n, h := range []float64{1e-4, 5e-5} {
		w := shaken(t, h)
		w.up = solid.Vec{} // no weight
		before := see(w)
		for range int(0.1 / h) {
			w.step()
		}
		after := see(w)
		near(t, "momentum lost, share", after.p.Sub(before.p).Norm()/before.p.Norm(), 0, 1e-4)
		lost[n] = (before.energy - after.energy) / before.energy
		turned[n] = after.l.Sub(before.l).Norm() / before.l.Norm()
		t.Logf("h %g s: energy lost %.3g, turn lost %.3g, momentum lost %.3g", h, lost[n], turned[n], after.p.Sub(before.p).Norm()/before.p.Norm())
	}
	if !(lost[0] > 0 && lost[0] < 0.15 && lost[1] > 0 && lost[1] < 0.7*lost[0]) {
		t.Errorf("energy lost in 0.1 s: %.3g, with half the step %.3g; expected some, less than 0.15, and about half of it", lost[0], lost[1])
	}
	near(t, "turn lost, share", max(turned[0], turned[1]), 0, 5e-4)
}

// A fall: every point of a rig that does nothing else goes g·t²/2, with the half step g·h·t/2 that the method is ahead.
func TestFreeFall(t *testing.T) {
	r := machineOf(t, demo(t, "bramble-portal.rig.yaml"), &Options{})
	w := newWork(r, terrain{}, 1e-3)
	w.plain = true
	_, c := w.center()
	z := w.world(c).Z
	for range 200 {
		w.step()
	}
	_, c = w.center()
	near(t, "fall in 0.2 s, mm", z-w.world(c).Z, gravity*0.2*(0.2+1e-3)/2, 0.02)
	near(t, "speed after 0.2 s, mm/s", -w.s.r.Mul(vel(&w.s.u)).Z, gravity*0.2, 12)
}
