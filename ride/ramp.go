package ride

import (
	"math"

	"lowslung/solid"
)

// A wheel on the ramp, and two on blocks. The rig has rolled there and is held.

// A climb is one front wheel up the ramp until another lifts.
type climb struct {
	rows  []step
	along float64 // from the ramp's foot along it to where the tyre touches, mm
	high  float64 // of that place above the ground, mm
	which int     // the wheel that lifts; −1 when none does
	why   outcome
}

// A step is the rig at rest at one place of the way.
type step struct {
	by    float64 // distance along the ramp, or height of the blocks, mm
	load  [4]float64
	roll  float64    // of the chassis, rad
	phi   [2]float64 // of the axles against the chassis, rad
	belly float64    // N
	pose  *Pose      // nil when not asked for
}

func (w *work) stepAt(by float64) step {
	roll, _ := w.attitude()
	return step{by: by, load: w.load, roll: roll, phi: w.at.phi, belly: w.bellyN, pose: w.pose()}
}

const (
	strideRamp  = 8.0 // mm
	strideBlock = 4.0 // mm
)

// climb drives wheel i (0 or 1, the front ones) up a ramp of the given slope, rad, from level, where the bench rests at m. The ramp comes
// to the rig: u is how far its foot has come since it touched the tyre.
func (w *work) climb(i int, slope, base float64, m *mark, keep int) (out climb) {
	w.restore(m)
	out.which = -1
	s, c := math.Sincos(slope)
	ramp := plane{n: solid.Vec{X: -s, Z: c}, forward: solid.Vec{X: c, Z: s}, left: solid.Vec{Y: 1}}
	// Where the foot is when the ramp takes the wheel as level ground does: both pressed in alike.
	end := i / 2
	wh := &w.mc.axles[end].wheels[i%2]
	mid := w.world(w.mo[end].fixed(wh.at).at)
	foot := mid.X + mid.Z*(1-c)/s
	p := &path{w: w, lim: limits{turn: 0.6, shift: 200, steps: 80, late: fell}}
	p.set = func(u float64) {
		ramp.o = solid.Vec{X: foot - u}
		w.ground[i] = ramp
	}
	p.done = func() float64 { return w.lightestBut(i, -1) }
	along := func() float64 { return w.touch(i).Sub(ramp.o).Dot(ramp.forward) }
	before, at := w.save(), 0.0
	p.set(0)
	w.roll()
	w.plant(false)
	for n := 0; ; n++ {
		u := float64(n) * strideRamp
		end := p.walk(at, u, &before)
		if end != atRest || p.done() <= 0 {
			u, out.why = p.when(at, u, &before, 1e-2, end)
			p.set(u)
			w.evaluate(false)
			out.along = along()
			out.high = out.along * s
			out.which = w.lightest(i, -1)
			if keep > 0 {
				out.rows = append(out.rows, w.stepAt(out.along))
			}
			return out
		}
		before, at = w.save(), u
		if keep > 0 && n%keep == 0 {
			out.rows = append(out.rows, w.stepAt(along()))
		}
		if along() > 2*base {
			out.along = along()
			out.high = out.along * s
			return out
		}
	}
}

// lightestBut is the least lightness of all wheels but two.
func (w *work) lightestBut(i, k int) float64 { return w.lightness(w.lightest(i, k)) }

// lightest is the wheel with the least load of all but two.
func (w *work) lightest(i, k int) int {
	best := -1
	for n := range w.load {
		if n != i && n != k && (best < 0 || w.lightness(n) < w.lightness(best)) {
			best = n
		}
	}
	return best
}

// A crossing is two opposite corners raised until a wheel lifts.
type crossing struct {
	rows  []step
	high  float64 // of the blocks when the first wheel lifts, mm
	which int     // that wheel; −1 when none does
	twist float64 // of the axles against each other then, rad
	why   outcome
}

// cross raises wheels i and k on level blocks, from level, where the bench rests at m.
func (w *work) cross(i, k int, m *mark, keep int) (out crossing) {
	w.restore(m)
	out.which = -1
	p := &path{w: w, lim: limits{turn: 0.6, shift: 200, steps: 80, late: fell}}
	p.set = func(u float64) {
		for _, n := range [2]int{i, k} {
			w.ground[n] = level
			w.ground[n].o.Z = u
		}
	}
	p.done = func() float64 { return w.lightestBut(-1, -1) }
	before, at := w.save(), 0.0
	if keep > 0 {
		out.rows = append(out.rows, w.stepAt(0))
	}
	for n := 1; ; n++ {
		u := float64(n) * strideBlock
		end := p.walk(at, u, &before)
		if end != atRest || p.done() <= 0 {
			out.high, out.why = p.when(at, u, &before, 1e-2, end)
			out.which = w.lightest(-1, -1)
			out.twist = w.at.phi[0] - w.at.phi[1]
			if keep > 0 {
				out.rows = append(out.rows, w.stepAt(out.high))
			}
			return out
		}
		before, at = w.save(), u
		if keep > 0 && n%keep == 0 {
			out.rows = append(out.rows, w.stepAt(u))
		}
		if u > 400 {
			out.high, out.twist = u, w.at.phi[0]-w.at.phi[1]
			return out
		}
	}
}
