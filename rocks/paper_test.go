package rocks

import (
	"math"
	"testing"

	"lowslung/ride"
	"lowslung/solid"
)

// Against closed forms that paper gives.

// clears says whether the rig gets over an obstacle.
func clears(r *machine, name string, size float64, o *Options) trip {
	k, err := obstacleOf(name)
	if err != nil {
		panic(err)
	}
	c := k.lay(size, o.Seed)
	w := newWork(r, c.rock, o.step())
	return w.ride(&c, o, false)
}

// The slope limit is atan μ when every wheel drives: 26.565°, 38.660°, 45° (any text of statics). The weight sits in the middle and low, so that nothing
// tips. Within 1°: the wheels must roll, which takes 0.05 of the weight from nobody, but they bounce a little.
func TestSlopeLimit(t *testing.T) {
	for _, c := range []struct{ mu, limit float64 }{{0.5, 26.5651}, {0.8, 38.6598}, {1, 45}} {
		r := usual().machine(t, &Options{Grip: c.mu})
		if got := clears(r, "climb", c.limit-1, &Options{}); got.verdict != through {
			t.Errorf("grip %g: 1° less than atan μ is not climbed: %s %s", c.mu, got.verdict, got.why)
		}
		if got := clears(r, "climb", c.limit+1, &Options{}); got.verdict == through || got.why != "no grip" {
			t.Errorf("grip %g: 1° more than atan μ: %s %s, expected no grip", c.mu, got.verdict, got.why)
		}
		if got := clears(r, "side slope", c.limit-1, &Options{}); got.verdict != through {
			t.Errorf("grip %g: side slope 1° less than atan μ: %s %s", c.mu, got.verdict, got.why)
		}
	}
}

// Both axles at the friction limit, front wheels at a vertical face, chassis level: μ²(L + r − b) + μr − b = 0, which for L 300, r 57, b 150 is
// μ = 0.72464 (derived in design notes; the measure is Thüer, Krebs & Siegwart, IROS 2006). A little less stalls where it meets the face, a little more lifts the
// front wheels. With 4 % to either side: tyres give and the chassis noses up a little before anything slips.
func TestVerticalFace(t *testing.T) {
	const mu = 0.7246377
	rises := func(grip float64) float64 {
		p := usual()
		p.tyre, p.side, p.rate = 400, 400, 8 // nearly rigid
		r := p.machine(t, &Options{Grip: grip})
		f, b := r.axles[0].tyres[0].Radius, r.base
		near(t, "radius", f, plainRadius, 1e-9)
		near(t, "wheelbase", b, plainBase, 0.1)
		c := course{rock: terrain{ground(), shelf(0, 400)}, start: 1.05, finish: 1e9}
		w := newWork(r, c.rock, 0.0005)
		w.drive.want, w.drive.most = 100, 1
		w.set(-c.start*r.radius-r.base/2, 0)
		high, z0 := 0.0, 0.0
		for i := range 8000 {
			w.drive.off = i < 400
			w.step()
			z := w.world(w.ax[0].p).Z
			if i <= 400 {
				z0 = z
			}
			high = max(high, z-z0)
		}
		return high
	}
	if got := rises(0.96 * mu); got > 4 {
		t.Errorf("with 4 %% less than the limit the front axle rises by %.1f mm, expected it to stay", got)
	}
	if got := rises(1.04 * mu); got < 25 {
		t.Errorf("with 4 %% more than the limit the front axle rises by %.1f mm, expected it to climb", got)
	}
}

// A wheel on a step: the torque that lifts a wheel of radius r with load V over an edge of height h is V·√(2rh − h²) (Halliday, Resnick & Walker,
// Fundamentals of Physics, ch. 12; with r 0.5, h 0.1, V 100 it is 30). The rear wheels have no grip here, so that they do not push. V is the front's load by
// moments about the rear contact, W·b/(L + x).
func TestTorqueOverStep(t *testing.T) {
	near(t, "the book's own case", 100*math.Sqrt(2*0.5*0.1-0.1*0.1), 30, 1e-9)
	p := usual()
	p.tyre, p.side, p.rate = 400, 400, 8
	r := p.machine(t, &Options{Grip: 4})
	r.axles[1].mu = 0
	const h = 12.0
	c := course{rock: terrain{ground(), one(block(solid.Vec{X: 1500, Z: h - 200}, solid.Vec{X: 3000, Y: 3000, Z: 400}, solid.Identity, 0.5))}, start: 1.2, finish: 1e9}
	w := newWork(r, c.rock, 0.0005)
	w.drive.want, w.drive.most = 15, 0.08 // creeping
	w.set(-c.start*r.radius-r.base/2, 0)
	torque := 0.0
	for i := range 24000 {
		w.drive.off = i < 400
		w.step()
		floor := 0.0
		for k := range w.list {
			if c := &w.list[k]; c.wheel < 2 && c.group == 0 {
				floor += c.load
			}
		}
		if floor == 0 {
			torque = w.drive.torque
			break
		}
	}
	x := math.Sqrt(2*plainRadius*h - h*h)
	b := plainBase / 2
	v := r.mass * gravity / 1000 * b / (plainBase + x)
	near(t, "torque as the wheels leave the floor, N·mm", torque, v*x, 0.05*v*x) // the edge is rounded by 0.5 mm, and the wheel creeps
}

// Rolling down without resistance: a = g·sin α·m/(m + ΣI/R²), each wheel's inertia and the rotor's behind it (any text of mechanics).
func TestRollDown(t *testing.T) {
	const slope = 12.0
	p := usual()
	p.ahead = 0
	r := p.machine(t, &Options{Grip: 1})
	sin, cos := math.Sincos(slope * deg)
	w := newWork(r, terrain{ground()}, 5e-4)
	w.plain = true
	w.grip = 1
	w.up = solid.Vec{X: -sin, Z: cos} // downhill is forward
	for range 1000 {
		w.step()
	}
	v0, t0 := w.s.u[0], w.s.t
	for range 1000 {
		w.step()
	}
	a := (w.s.u[0] - v0) / (w.s.t - t0)
	m := r.mass / 1000
	in := r.rotor
	for e := range r.axles {
		in += r.axles[e].spin[0] + r.axles[e].spin[1]
	}
	load := r.mass * gravity / 1000 / 4
	rad := plainRadius - load*cos/p.tyre // pressed in, it rolls on less
	near(t, "rolls down with mm/s²", a, gravity*sin*m/(m+in/(rad*rad)), 0.01*gravity*sin)
}

// Sliding sideways: a = g·(sin α − μ·cos α).
func TestSlideDown(t *testing.T) {
	const slope, mu = 35.0, 0.4
	r := usual().machine(t, &Options{Grip: mu})
	sin, cos := math.Sincos(slope * deg)
	w := newWork(r, terrain{ground()}, 5e-4)
	w.plain, w.grip = true, mu
	w.up = solid.Vec{Y: -sin, Z: cos}
	for range 600 {
		w.step()
	}
	v0, t0 := w.s.r.Mul(vel(&w.s.u)).Y, w.s.t
	for range 800 {
		w.step()
	}
	a := (w.s.r.Mul(vel(&w.s.u)).Y - v0) / (w.s.t - t0)
	near(t, "slides with mm/s²", a, gravity*(sin-mu*cos), 0.01*gravity)
}

// Left on a side slope below its grip, its wheels held, the rig stands: no creep in 20 s.
func TestStandsStill(t *testing.T) {
	w := demoOn(t, "side slope", 30)
	w.rig.rotor, w.drive.lock = 1e6, 0 // a drive that does not turn, and hands off the wheel
	w.up = solid.Vec{Y: -math.Sin(30 * deg), Z: math.Cos(30 * deg)}
	for range 3000 {
		w.step()
	}
	at := w.s
	for range 20000 {
		w.step()
	}
	if d := w.s.x.Sub(at.x); math.Abs(d.Y) > 1e-3 {
		t.Errorf("in 20 s on a side slope of 30° the rig creeps %.4g mm down, expected less than 1 µm", d.Y)
	}
}

// The rig tips where ride says that it does on its springs: a board is tilted so slowly that nothing swings, and at the tip angle it goes over. And a rig
// without give at the static stability factor's angle, atan(T/2h).
func TestTipsWhereRideSays(t *testing.T) {
	tips := func(r *machine, angle float64) bool {
		w := newWork(r, terrain{ground()}, 1e-3)
		w.drive.lock = 0
		for i := range 9000 { // up in 4 s, then wait
			x := min(1, float64(i)/4000)
			sin, cos := math.Sincos(angle * deg * x * x * (3 - 2*x))
			w.up = solid.Vec{Y: -sin, Z: cos}
			w.step()
			if math.Abs(w.s.r[7]) > 0.5 {
				return true
			}
		}
		return false
	}
	about := func(what string, r *machine, want, within float64) {
		t.Helper()
		if tips(r, want-within) {
			t.Errorf("the %s tips at %.2f°, expected to stand until %.2f° ± %g", what, want-within, want, within)
		}
		if !tips(r, want+within) {
			t.Errorf("the %s stands at %.2f°, expected to tip at %.2f° ± %g", what, want+within, want, within)
		}
	}
	m := demo(t, "bramble.rig.yaml")
	a, err := ride.Assess(m, ride.Options{Brief: true})
	if err != nil || a.Tilt == nil || a.Tilt.LeftDown.TipDeg == nil {
		t.Fatal("ride has no tip angle of the demo rig")
	}
	want := *a.Tilt.LeftDown.TipDeg
	about("demo rig", machineOf(t, m, &Options{Grip: 3}), want, 0.5)
	p := usual()
	p.high, p.rate, p.tyre = 60, 50, 400
	r := p.machine(t, &Options{Grip: 3})
	w := newWork(r, terrain{ground()}, 1e-3)
	_, c := w.center()
	// Tyres give 0.01 mm; what they give sideways, 0.04 mm, is nothing beside the half track.
	about("plain rig", r, math.Atan(p.half/w.world(c).Z)/deg, 0.5)
}

// A coasting rig's energy never grows: dropped askew among boulders, with throttle shut and no brake, motion, height and what is bent add up to less
// from step to step, by more than rounding allows.
func TestEnergyNeverGrows(t *testing.T) {
	w := demoOn(t, "boulders", 70)
	w.plain, w.grip = true, 0.8
	w.s.x = w.s.x.Add(solid.Vec{X: 350, Y: 15, Z: 120})
	turn := solid.Turned(0.2, -0.15, 0.1)
	w.s.r = turn.Times(&w.s.r)
	w.look()
	k, h, b := w.energy()
	before, top := k+h+b, k+h+b
	floor := 0.0
	for i := range 3000 {
		w.step()
		k, h, b := w.energy()
		e := k + h + b
		// What the bend of tyres takes in when a patch is lost is never given back; between steps rows are followed along curved rock, which may give up to
		// 0.2 % of what was there.
		if e > before+2e-3*top {
			t.Fatalf("step %d: energy grows from %.4f to %.4f N·mm", i, before, e)
		}
		before = e
		floor = min(floor, e)
	}
	if !(before < top) {
		t.Errorf("energy went from %.3f to %.3f N·mm, expected less", top, before)
	}
}

// Half the step, the same run: where it is after 2 s over a ledge differs by less than 2 mm, and by about half as much again with half of that.
func TestHalfTheStep(t *testing.T) {
	where := func(h float64) solid.Vec {
		r := machineOf(t, demo(t, "bramble-portal.rig.yaml"), &Options{Grip: 0.9})
		k, _ := obstacleOf("ledge")
		c := k.lay(40, 0)
		w := newWork(r, c.rock, h)
		w.drive.want = 300
		w.set(-c.start*r.radius-r.base/2, 0)
		for w.s.t < 2.4 {
			w.drive.off = w.s.t < settling-1e-9
			w.step()
		}
		return w.s.x
	}
	a, b, c := where(2e-3), where(1e-3), where(5e-4)
	d1, d2 := a.Sub(b).Norm(), b.Sub(c).Norm()
	t.Logf("2 to 1 ms: %.3f mm, 1 to 0.5 ms: %.3f mm", d1, d2)
	if d2 > 2 || d2 > d1 {
		t.Errorf("halving the step moves the rig by %.3f mm, then by %.3f mm; expected less than 2 mm, and falling", d1, d2)
	}
}

// And the same limits, where grip decides: half the step moves none by more than the fineness of its search.
func TestHalfTheStepSameLimits(t *testing.T) {
	m := demo(t, "bramble-portal.rig.yaml")
	o := Options{Only: []string{"ledge", "climb", "side slope"}}
	a, err := Assess(m, o)
	if err != nil {
		t.Fatal(err)
	}
	o.Step = usualStep / 2
	b, err := Assess(m, o)
	if err != nil {
		t.Fatal(err)
	}
	for i := range a.Limits {
		k, _ := obstacleOf(a.Limits[i].Obstacle)
		near(t, k.name+" with half the step", b.Limits[i].Cleared, a.Limits[i].Cleared, k.fine)
	}
}
