package ride

import (
	"cmp"
	"math"
	"slices"

	"lowslung/solid"
)

// Angles of approach, departure and breakover, in side view, with real shapes and the tyres at their loaded radii (ISO 612, 6.10 to 6.12, from
// memory): the steepest plane that touches the front tyres ahead, the rear ones behind, without touching anything else first; and the angle
// between the two planes under front and rear tyres that meet at the lowest part between them.

// An outline is one convex piece in the world.
type outline struct {
	name string
	path string
	hull solid.Hull
	on   solid.Carrier // or onLink
}

// onLink is for links, which belong to chassis and axle both.
const onLink solid.Carrier = -1

// A clearing is what the three angles are, and what sets each.
type clearing struct {
	approach, departure, breakover float64 // rad
	front, rear, middle            *outline
	apex                           solid.Vec   // where the two planes of breakover meet, world, mm; of its middle, when there is one
	low                            [3]float64  // lowest point of chassis, front and rear axle (without tyres) above the ground, mm
	lowBy                          [3]*outline // nil when there is no shape
}

// outlines are all shapes but tyres, and links as bars, placed in the world.
func (w *work) outlines() (list []outline) {
	m := w.mc.model
	frames := [3]solid.Frame{{At: w.at.x, R: w.at.r}}
	for i := range w.mo {
		own := solid.Frame{At: w.mo[i].p, R: w.mo[i].r}
		frames[i+1] = frames[0].Then(&own)
	}
	for i := range m.Bodies {
		b := &m.Bodies[i]
		for k := range b.Shapes {
			if b.Shapes[k].Kind == solid.Disc {
				continue
			}
			hulls, _ := b.Shapes[k].Hulls()
			for n := range hulls {
				list = append(list, outline{b.Name, b.Path, hulls[n].Placed(&frames[b.Carrier]), b.Carrier})
			}
		}
	}
	for i := range m.Links {
		l := &m.Links[i]
		from, to := w.world(l.From), w.world(w.mo[l.Axle].fixed(l.To).at)
		if len(l.Bends) == 0 {
			list = append(list, outline{l.Name, l.Path, solid.Line(from, to, l.Width/2), onLink})
		}
	}
	return list
}

// clear measures the angles where the bench stands.
func (w *work) clear() (c clearing) {
	list := w.outlines()
	at := [2]solid.Vec{w.hub(0), w.hub(1)}
	c.approach, c.front = steepest(list, at[0], 1)
	c.departure, c.rear = steepest(list, at[1], -1)
	c.breakover, c.apex, c.middle = crest(list, at[0], at[1])
	for i := range list {
		h := list[i].hull.Support(solid.Vec{Z: -1}).Z
		if k := list[i].on; k != onLink && (c.lowBy[k] == nil || h < c.low[k]) {
			c.low[k], c.lowBy[k] = h, &list[i]
		}
	}
	return c
}

// hub is the middle between an axle's wheel centres, world, mm; its height is the loaded radius.
func (w *work) hub(i int) solid.Vec {
	a := &w.mc.axles[i]
	l, r := w.mo[i].fixed(a.wheels[0].at).at, w.mo[i].fixed(a.wheels[1].at).at
	return w.world(l.Add(r).Scale(0.5))
}

// steepest is the angle of the first plane, turned up from the ground about the tyre with centre c, that touches a piece; 90° when none is met.
func steepest(list []outline, c solid.Vec, ahead float64) (angle float64, by *outline) {
	room := func(t float64) (least float64, at *outline) {
		s, k := math.Sincos(t)
		n := solid.Vec{X: -ahead * s, Z: k}
		least = math.Inf(1)
		for i := range list {
			p := list[i].hull.Support(n.Scale(-1))
			if r := p.Sub(c).Dot(n) + c.Z; r < least {
				least, at = r, &list[i]
			}
		}
		return least, at
	}
	for t := 0.0; t < 90; t++ {
		if r, at := room((t + 1) * deg); r < 0 {
			lo, hi := t*deg, (t+1)*deg
			for range 30 {
				mid := (lo + hi) / 2
				if r, o := room(mid); r < 0 {
					hi, at = mid, o
				} else {
					lo = mid
				}
			}
			return lo, at
		}
	}
	return math.Pi / 2, nil
}

// crest is the least angle, over all points between the tyres, between the two planes through it that touch the front and the rear tyre from
// below. Along a straight edge it has one minimum (points of equal angle lie on a convex arc), found by golden section.
func crest(list []outline, f, r solid.Vec) (angle float64, apex solid.Vec, by *outline) {
	angle = math.Pi
	at := func(p solid.Vec) float64 {
		if p.X >= f.X || p.X <= r.X {
			return math.Pi
		}
		return flank(p, f, 1) + flank(p, r, -1)
	}
	// Nothing of a piece is better than the best place at the height of its lowest point, so the low pieces are looked at first and most of
	// the others not at all.
	order := make([]int, len(list))
	low := make([]float64, len(list))
	for i := range list {
		order[i], low[i] = i, list[i].hull.Support(solid.Vec{Z: -1}).Z
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(low[a], low[b]) })
	const fan = 2 * deg
	for _, i := range order {
		if least, _ := golden(func(t float64) float64 { return at(solid.Vec{X: r.X + t*(f.X-r.X), Z: low[i]}) }); least >= angle {
			break
		}
		var last solid.Vec
		for n := -40; n <= 40; n++ {
			s, c := math.Sincos(float64(n) * fan)
			p := list[i].hull.Support(solid.Vec{X: s, Z: -c})
			if n > -40 && p != last {
				if a, t := golden(func(t float64) float64 { return at(last.Along(p.Sub(last), t)) }); a < angle {
					angle, apex, by = a, last.Along(p.Sub(last), t), &list[i]
				}
			}
			last = p
		}
	}
	return angle, apex, by
}

// flank is how steeply the plane through p falls towards a tyre, which it touches from below: the tyre's middle is at c, as high as its radius, ahead of p (1) or behind (−1). π
// within the tyre's round.
func flank(p, c solid.Vec, ahead float64) float64 {
	dx, dz := ahead*(c.X-p.X), c.Z-p.Z
	far := math.Hypot(dx, dz)
	if far <= c.Z {
		return math.Pi
	}
	return math.Asin(c.Z/far) - math.Atan2(dz, dx)
}

// ridge is where the two planes of the breakover angle meet, and where they come to the ground behind and ahead of it: the sharpest ridge that the rig stands over without touching
// it; nil when nothing is between the tyres.
func (c *clearing) ridge(f, r solid.Vec) *Ridge {
	if c.middle == nil || c.apex.Z <= 0 {
		return nil
	}
	foot := func(at solid.Vec, ahead float64) (float64, bool) {
		t := flank(c.apex, at, ahead)
		return c.apex.X + ahead*c.apex.Z/math.Tan(t), t > 0 && t < math.Pi/2
	}
	front, ok1 := foot(f, 1)
	rear, ok2 := foot(r, -1)
	if !ok1 || !ok2 {
		return nil
	}
	return &Ridge{ApexMM: []float64{round(c.apex.X, 1e4), round(c.apex.Z, 1e4)}, FrontMM: round(front, 1e4), RearMM: round(rear, 1e4)}
}

// golden is the least value of f on [0, 1], and where.
func golden(f func(float64) float64) (least, where float64) {
	const g = 0.6180339887498949
	lo, hi := 0.0, 1.0
	a, b := hi-g*(hi-lo), lo+g*(hi-lo)
	fa, fb := f(a), f(b)
	best, at := math.Inf(1), 0.0
	keep := func(v, x float64) {
		if v < best {
			best, at = v, x
		}
	}
	keep(f(0), 0)
	keep(f(1), 1)
	keep(fa, a)
	keep(fb, b)
	for range 24 {
		if fa < fb {
			hi, b, fb = b, a, fa
			a = hi - g*(hi-lo)
			fa = f(a)
			keep(fa, a)
		} else {
			lo, a, fa = a, b, fb
			b = lo + g*(hi-lo)
			fb = f(b)
			keep(fb, b)
		}
	}
	return best, at
}

// squat puts the bench where both axles are bumped until a shock is closed, level side to side, tyres as they are; false when no shock's closed
// length is known.
func (w *work) squat() bool {
	high := [2]float64{w.hub(0).Z, w.hub(1).Z}
	for i := range w.mo {
		if !w.bump(i) {
			return false
		}
	}
	// Chassis level across, pitched so that the hubs keep their heights.
	mid := func(i int) solid.Vec {
		a := &w.mc.axles[i]
		return w.mo[i].fixed(a.wheels[0].at).at.Add(w.mo[i].fixed(a.wheels[1].at).at).Scale(0.5)
	}
	f, r := mid(0), mid(1)
	dx, dz := f.X-r.X, f.Z-r.Z
	far := math.Hypot(dx, dz)
	if far < math.Abs(high[0]-high[1]) {
		return false
	}
	pitch := math.Atan2(dz, dx) - math.Asin((high[0]-high[1])/far)
	w.at.r = solid.Turned(0, pitch, 0)
	w.at.x = solid.Vec{}
	w.at.x = solid.Vec{Z: high[1] - w.world(r).Z}
	return true
}

// bump moves axle i up at zero roll until its first shock is closed.
func (w *work) bump(i int) bool {
	a := &w.mc.axles[i]
	left := func() float64 {
		least := math.Inf(1)
		for n := range a.struts {
			if c := a.struts[n].model.Closed; c > 0 {
				least = min(least, w.mo[i].length[n].at-c)
			}
		}
		return least
	}
	z := w.at.z[i]
	for range 60 {
		if !a.look(w.mc.model, z, 0, false, &w.mo[i]) {
			return false
		}
		room := left()
		if math.IsInf(room, 1) {
			return false
		}
		if math.Abs(room) < 1e-6 {
			w.at.z[i], w.at.phi[i] = z, 0
			return true
		}
		slope := 0.0
		for n := range a.struts {
			slope = min(slope, w.mo[i].length[n].d[0])
		}
		if slope > -0.05 {
			return false
		}
		z -= max(-10, min(10, room/slope))
	}
	return false
}
