package rocks

import (
	"math"

	"lowslung/ride"
	"lowslung/solid"
	"lowslung/travel"
)

// A state is where everything is and how fast it moves.
type state struct {
	x      solid.Vec // chassis origin, world, mm
	r      solid.Mat // chassis frame to world
	z, phi [2]float64
	u      row        // velocities, mm/s and rad/s
	turn   [4]float64 // of each wheel about its axis against its housing, rad
	steer  float64    // of the front wheels, rad, positive to the left
	t      float64    // s
}

// A wheel in the chassis frame.
type wheel struct {
	c    solid.Vec    // centre
	d    [2]solid.Vec // its motion per unit of heave and of roll
	axis solid.Vec    // to the left
	g    row          // spin against the housing: s = g·u
}

// An end is an axle at its pose.
type end struct {
	law  *ride.AxleLaws
	p    solid.Vec
	r    solid.Mat
	v, w [2]solid.Vec
	bend [3]travel.Bend
}

// A work is one goroutine's bench: a rig in a state over a terrain.
type work struct {
	rig  *machine
	rock terrain
	up   solid.Vec // against gravity, world
	s    state
	n    int     // velocities in use
	h    float64 // step, s

	ax     [2]end
	wheels [4]wheel
	m      [size]row
	bias   row

	list   []contact
	marks  []mark // of the tyres, from the step before
	fresh  []mark
	bodies []bristle // of each ball that may touch, from the step before
	asleep []int     // steps for which a ball that is far from rock need not be looked at
	drive  driver
	moved  [2]solid.Vec // of the ball at hand per unit of its axle's heave and roll
	grip   float64
	coast  bool // hands off, nothing drives or resists rolling
	plain  bool // no grip, no resistance, no motor: for tests of the mechanics
	steps  int  // taken
	rough  int  // steps whose forces did not settle
	ended  int  // times an axle came to the end of its links
	worst  float64
	out    outcome
}

// An outcome is what a step's forces came to.
type outcome struct {
	load    [4]float64 // N, of each tyre, along the rock's normals
	pull    [4]float64 // N, along the rock the way the wheel drives
	slip    [4]float64 // mm/s of the tread past the rock; the largest of a tyre's places
	grip    [4]float64 // share of its grip that a tyre uses
	belly   float64    // N that chassis, axles and links bear
	at      [4]solid.Vec
	touched [4]bool
}

func newWork(r *machine, rock terrain, h float64) *work {
	w := &work{rig: r, rock: rock, up: solid.Vec{Z: 1}, n: r.free, h: h}
	for e := range w.ax {
		w.ax[e].law = r.laws.Axle(solid.End(e))
		w.ax[e].law.Reset()
	}
	w.list = make([]contact, 0, 64)
	w.marks, w.fresh = make([]mark, 0, 32), make([]mark, 0, 32)
	balls := len(r.skin.chassis) + len(r.skin.axles[0]) + len(r.skin.axles[1]) + linkBalls*len(r.skin.links)
	w.bodies, w.asleep = make([]bristle, balls), make([]int, balls)
	w.drive = newDriver(r)
	st := &r.stand
	w.s = state{x: st.At, r: st.Turn, z: st.Z, phi: st.Phi}
	w.look()
	return w
}

// look brings the axles and the wheels to the state.
func (w *work) look() {
	s := &w.s
	for e := range w.ax {
		x := &w.ax[e]
		if !x.law.To(s.z[e], s.phi[e]) {
			s.z[e], s.phi[e] = x.law.Reached()
			s.u[6+2*e], s.u[7+2*e] = 0, 0
			w.ended++
		}
		x.p, x.r = x.law.Pose()
		x.v, x.w = x.law.Motion()
		x.bend = x.law.Bends()
		a := &w.rig.axles[e]
		for side := range 2 {
			wh := &w.wheels[2*e+side]
			wh.c, wh.d = x.law.Point(a.tyres[side].At)
			axis := solid.Vec{Y: 1}
			if e == 0 {
				sin, cos := math.Sincos(s.steer)
				axis = solid.Vec{X: -sin, Y: cos}
			}
			wh.axis = x.r.Mul(axis)
			wh.g = a.from[side]
			if a.ratio > 0 {
				pin := x.law.Pinion()
				for k := range 2 {
					wh.g[6+2*e+k] -= w.rig.laws.Turns() * x.w[k].Dot(pin) / a.ratio
				}
			}
		}
	}
}

func (w *work) world(c solid.Vec) solid.Vec { return w.s.x.Add(w.s.r.Mul(c)) }

// set puts the rig down: chassis over the place, upright against the rock's own up, as low as its tyres and skin allow.
func (w *work) set(x, y float64) {
	f, _ := w.ax[0].law.Pose()
	b, _ := w.ax[1].law.Pose()
	at := w.s.r.Mul(f.Add(b).Scale(0.5))
	w.s.x.X, w.s.x.Y = x-at.X, y-at.Y
	z0 := 0.0
	for i := range w.wheels {
		c := w.world(w.wheels[i].c)
		for _, d := range []float64{-0.7, 0, 0.7} {
			if z, ok := w.rock.under(c.X+d*w.rig.radius, c.Y); ok {
				z0 = max(z0, z)
			}
		}
	}
	w.s.x.Z += z0 + 2*w.rig.radius
	for range 200 { // down by the least gap, which is a distance and cannot be passed
		if gap := w.gap(); gap > 0.01 {
			w.s.x.Z -= gap
		} else {
			break
		}
	}
}

// buried puts every ball that is in rock where the rig was set down to sleep for good: a link drawn through the ground says nothing of what it would
// touch. It counts them.
func (w *work) buried() (n int) {
	const deep = 4.0 // mm
	w.meet()
	for i := range w.list {
		if c := &w.list[i]; c.kind != tread && c.depth > deep {
			w.asleep[c.ball] = math.MaxInt
			n++
		}
	}
	return n
}

// lost says that the state is none any more.
func (w *work) lost() bool {
	s := &w.s
	sum := s.x.X + s.x.Y + s.x.Z
	for _, v := range s.u {
		sum += v
	}
	return math.IsNaN(sum) || vel(&s.u).Norm() > 3e4
}

// gap is how far the nearest tyre or ball is from rock, mm, at most most.
func (w *work) gap() float64 {
	const most = 60.0
	gap := most
	for i := range w.wheels {
		r := w.ring(i)
		for g := range w.rock {
			for k := range samples {
				p, _ := r.point(circle[k][1], circle[k][0])
				d, _ := w.rock[g].distance(p, most+w.rig.radius)
				gap = min(gap, d-r.crown)
			}
			var t [touches]touch
			if n := r.touch(&w.rock[g], 20, &t); n > 0 {
				gap = min(gap, -t[0].depth)
			}
		}
	}
	for _, b := range w.rig.skin.chassis {
		p := w.world(b.at)
		for g := range w.rock {
			d, _ := w.rock[g].distance(p, most+w.rig.radius)
			gap = min(gap, d-b.radius)
		}
	}
	return gap
}

func (w *work) ring(i int) ring {
	t := &w.rig.axles[i/2].tyres[i%2]
	wh := &w.wheels[i]
	r := ring{c: w.world(wh.c), a: w.s.r.Mul(wh.axis), radius: t.Radius - t.Crown, crown: t.Crown}
	r.e1 = solid.Vec{Z: 1}
	r.e1 = r.e1.Along(r.a, -r.e1.Dot(r.a))
	if r.e1.Norm() < 1e-3 {
		r.e1 = solid.Vec{X: 1}
		r.e1 = r.e1.Along(r.a, -r.e1.Dot(r.a))
	}
	r.e1 = r.e1.Unit()
	r.e2 = r.a.Cross(r.e1)
	return r
}

// energy of motion, of height and of what is bent, N·mm.
func (w *work) energy() (kinetic, high, bent float64) {
	w.mass(solid.Vec{})
	u := &w.s.u
	for i := range w.n {
		kinetic += u[i] * w.m[i].dot(u) / 2
	}
	mass, c := w.center()
	for e := range w.ax {
		law := w.ax[e].law
		for i := range law.Shocks() {
			length, _ := law.Shock(i)
			e, _, _ := law.Push(i, length)
			bent += e
		}
		for i := range law.Bars() {
			t, _, k := law.Bar(i)
			bent += k * t * t / 2
		}
	}
	w.meet()
	for i := range w.list {
		c := &w.list[i]
		if c.depth <= 0 {
			continue
		}
		if c.kind == tread {
			e, _, _ := w.ax[c.wheel/2].law.Press(c.wheel%2, c.depth)
			bent += e
		} else {
			bent += c.k * c.depth * c.depth / 2
		}
		bent += c.kt * (c.b1*c.b1 + c.b2*c.b2) / 2
	}
	return kinetic, mass * gravity * w.world(c).Dot(w.up), bent
}

// center is the mass, N·s²/mm, and its centre, chassis frame.
func (w *work) center() (mass float64, at solid.Vec) {
	add := func(m float64, p solid.Vec) { mass += m; at = at.Along(p, m) }
	add(w.rig.chassis.mass, w.rig.chassis.at)
	for e := range w.ax {
		b := &w.rig.axles[e].body
		add(b.mass, w.ax[e].p.Add(w.ax[e].r.Mul(b.at)))
		for k := range w.ax[e].law.Hung() {
			m, p, _ := w.ax[e].law.Hanging(k)
			add(m/1000, p)
		}
	}
	return mass, at.Scale(1 / mass)
}
