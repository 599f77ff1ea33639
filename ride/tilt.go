package ride

import (
	"math"

	"lowslung/solid"
)

// The tilt board: level ground is turned in steps, no wheel sliding, until the rig tips. (As the tilt-table test of SAE J2180 does with
// full-size vehicles, from memory.)

// A way is one of the four directions.
type way struct {
	name  string
	down  solid.Vec // the way that becomes downhill, in the ground
	upper [2]int    // wheels that are on the upper side
	verb  string
}

var ways = [4]way{
	{"left_down", solid.Vec{Y: 1}, [2]int{1, 3}, "over its left wheels"},
	{"right_down", solid.Vec{Y: -1}, [2]int{0, 2}, "over its right wheels"},
	{"nose_up", solid.Vec{X: -1}, [2]int{0, 1}, "backwards"},
	{"nose_down", solid.Vec{X: 1}, [2]int{2, 3}, "forwards"},
}

const mostTilt = 85 // degrees

// A leaning is one tilt.
type leaning struct {
	light float64 // angle at which the first wheel goes light, rad; NaN when it tips first
	which int     // that wheel
	tip   float64 // rad; NaN when it did not tip as far as the board was turned
	why   outcome // atRest when both upper wheels had gone light, fell when it rolled on before
}

// A lean is the rig at rest on the board at one angle.
type lean struct {
	angle       float64 // rad
	load        [4]float64
	roll, pitch float64    // of the chassis against the board, rad
	along       [4]float64 // force along the board on each wheel, N
	phi         [2]float64
	pose        *Pose // nil when not asked for
}

func (w *work) lean(angle float64) (l lean) {
	l.angle, l.load, l.phi = angle, w.load, w.at.phi
	l.roll, l.pitch = w.attitude()
	for i := range l.along {
		l.along[i] = w.bears(i).Norm()
	}
	l.pose = w.pose()
	return l
}

// attitude is roll and pitch of the chassis in the world, rad: ISO 8855, positive lifts the left side, positive drops the nose.
func (w *work) attitude() (roll, pitch float64) {
	r := &w.at.r
	return math.Atan2(r[7], r[8]), -math.Asin(max(-1, min(1, r[6])))
}

// tilt turns the board from level, where the bench rests at m, by step (rad) until the rig tips, and shows see each rest, the level one first.
// Beyond most (rad) it goes no further. The bench ends at the last rest before the tip.
func (w *work) tilt(d *way, m *mark, step, most float64, see func(angle float64)) (out leaning) {
	const fine = 4e-4 // rad, 0.02°
	out.light = math.NaN()
	if !w.restore(m) {
		out.why = stalled
		return out
	}
	w.plant(w.driven)
	p := &path{w: w, lim: limits{turn: 0.4, shift: 80, steps: 80, late: fell}}
	p.set = func(u float64) {
		s, c := math.Sincos(u)
		w.pull = d.down.Scale(newton*s).Along(solid.Vec{Z: 1}, -newton*c)
	}
	tips := func() float64 { return max(w.lightness(d.upper[0]), w.lightness(d.upper[1])) }
	lightest := func() float64 { return w.lightestBut(-1, -1) }
	if see != nil {
		w.evaluate(false)
		see(0)
	}
	before, at := w.save(), 0.0
	for n := 1; ; n++ {
		u := float64(n) * step
		if u > most+fine {
			out.tip, out.why = math.NaN(), atRest
			return out
		}
		end := p.walk(at, u, &before)
		if math.IsNaN(out.light) && (end != atRest || lightest() <= 0) {
			// On this step the first wheel goes light, or it tips with all of them on the ground.
			after := w.save()
			p.done = lightest
			lo, why := p.when(at, u, &before, fine, end)
			if i := w.lightest(-1, -1); w.lightness(i) < 0.02*w.mc.mass*newton {
				out.light, out.which = lo, i
			}
			if why != atRest { // it tips there and then
				out.tip, out.why = lo, why
				return out
			}
			if end == atRest {
				w.restore(&after)
			} else { // it tips further on in this step
				before, at = w.save(), lo
			}
		}
		if end != atRest || tips() <= 0 {
			p.done = tips
			out.tip, out.why = p.when(at, u, &before, fine, end)
			return out
		}
		before, at = w.save(), u
		if see != nil {
			see(u)
		}
	}
}

// rigid is the angle at which the rig would tip on the board if nothing gave, from where it stands: d/h with d the level distance of the
// centre of mass from the line through the two lower contact points (statics; as balance has it).
func (w *work) rigid(d *way) float64 {
	c := w.center()
	lower := [2]int{}
	n := 0
	for i := range w.load {
		if i != d.upper[0] && i != d.upper[1] {
			lower[n] = i
			n++
		}
	}
	a, b := w.touch(lower[0]), w.touch(lower[1])
	line := b.Sub(a)
	line.Z = 0
	out := solid.Vec{X: line.Y, Y: -line.X}.Unit() // level, square to the line
	if out.Dot(d.down) < 0 {
		out = out.Scale(-1)
	}
	return math.Atan2(a.Sub(c).Dot(out), c.Z)
}

// center is the centre of mass in the world, mm.
func (w *work) center() (c solid.Vec) {
	add := func(mass float64, p solid.Vec) { c = c.Along(w.world(p), mass/w.mc.mass) }
	add(w.mc.chassis.mass, w.mc.chassis.at)
	for i := range w.mo {
		a, mo := &w.mc.axles[i], &w.mo[i]
		add(a.body.mass, mo.fixed(a.body.at).at)
		for k := range a.hung {
			add(a.hung[k].mass, mo.hung[k].at)
		}
	}
	return c
}
