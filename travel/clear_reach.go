package travel

import (
	"cmp"
	"math"
	"slices"

	"lowslung/solid"
)

// Clearances over all that an axle can reach. The region that the stops leave in the (left bump, right bump) plane is looked at on rays
// from the design pose to its boundary; what comes near is then followed downhill, from the nearest looks with the left wheel higher, with the right one, and with both alike; and
// what touches is followed from the design pose to where it first does. Rays and steps are their own mirror images, so that a rig and its mirror image are searched alike.

const (
	clearRays   = 24   // rays to the boundary, evenly spread: half of those that the boundary is traced on
	clearStep   = 9.0  // mm of wheel travel between two looks on a ray
	clearShown  = 5.0  // mm: pairs that stay further apart are not told
	clearFollow = 9.0  // mm: pairs that are further apart at every look are not followed downhill
	clearLeast  = 0.5  // mm of wheel travel: the last step downhill
	clearTouch  = 1e-3 // mm: nearer is contact, when a pair is followed to it
	clearStride = 0.02 // mm of wheel travel: the least step on the way there
	clearMost   = 200  // pairs that are followed; a rig has some thirty, and what is beyond stays as it was looked at
	usualHalf   = 100  // mm: half a track for an axle without tyres, to have a plane of wheel bumps
)

// An approach is the nearest that a pair comes on one axle's travel.
type approach struct {
	Gap
	end         solid.End
	pose        Pose
	level       float64 // roll at the design pose, rad
	left, right float64 // wheel bumps, mm
	touches     bool
	starts      [3]*approach // the nearest looks with the right wheel higher, both alike, and the left one higher
	together    bool         // it touches with both wheels moving alike, too
}

// A clearer looks at one axle's clearances.
type clearer struct {
	*tracer
	c      *Clearances
	ws     *ClearWorkspace
	stance solid.Stance // the other axle at its design pose
	pairs  []int        // that this axle moves
	found  []approach
	where  map[int]int // pair to its place in found
	// The heave, mm, and roll, rad, against the design pose that are looked at besides what the stops leave.
	heave, roll [2]float64
}

func newClearer(t *tracer, c *Clearances, st *Stand) *clearer {
	all := [2]float64{math.Inf(-1), math.Inf(1)}
	k := &clearer{tracer: t, c: c, ws: c.Workspace(), stance: *st.Stance(), where: map[int]int{}, heave: all, roll: all}
	k.pairs = c.movedBy(t.mv.End)
	return k
}

// movedBy lists the pairs that an axle moves, with the wheels straight ahead.
func (c *Clearances) movedBy(end solid.End) []int {
	out := make([]int, 0, len(c.pairs))
	for i := range c.pairs {
		p := &c.pairs[i]
		if !p.atLock && (c.things[p.a].moves[end] || c.things[p.b].moves[end]) {
			out = append(out, i)
		}
	}
	return out
}

// look measures at the mover's pose and keeps what is nearer than before.
func (k *clearer) look(left, right float64) {
	k.stance[k.mv.End] = k.mv.at.Frame()
	for _, g := range k.c.among(k.pairs, &k.stance, k.ws, clearFollow) {
		k.keep(g, left, right)
	}
}

func (k *clearer) keep(g Gap, left, right float64) {
	if g.Joined && g.Distance > 0 {
		return // how near its own bracket's block it comes says nothing
	}
	one := approach{Gap: g, end: k.mv.End, level: k.mv.Design.Roll, pose: k.mv.at, left: left, right: right, touches: g.Distance <= 0}
	i, ok := k.where[g.pair]
	if !ok {
		i = len(k.found)
		k.where[g.pair] = i
		k.found = append(k.found, one)
	}
	a := &k.found[i]
	if s := &a.starts[one.side()]; *s == nil || one.nearer(*s) {
		*s = &one
	}
	if one.nearer(a) {
		one.starts = a.starts
		*a = one
	}
}

// side is 0 with the right wheel higher, 2 with the left one, and 1 with both alike.
func (a *approach) side() int {
	switch d := a.left - a.right; {
	case d < -1e-9:
		return 0
	case d > 1e-9:
		return 2
	}
	return 1
}

// nearer is what is kept of two looks at a pair: the smaller gap, the earlier look when it is the same but for rounding, or of two in contact the one nearer to the design pose.
func (a *approach) nearer(b *approach) bool {
	if a.touches && b.touches {
		return max(math.Abs(a.left), math.Abs(a.right)) < max(math.Abs(b.left), math.Abs(b.right))
	}
	return a.touches || !b.touches && a.Distance < b.Distance-1e-6
}

// only measures one pair at the mover's pose.
func (k *clearer) only(pair int) Gap {
	k.stance[k.mv.End] = k.mv.at.Frame()
	return k.c.one(pair, &k.stance, k.ws, math.Inf(1))
}

// one measures one pair and moves nothing but its two things.
func (c *Clearances) one(pair int, s *solid.Stance, ws *ClearWorkspace, limit float64) Gap {
	p := &c.pairs[pair]
	for _, i := range [2]int32{p.a, p.b} {
		ws.placeThing(int(i), s)
	}
	ws.placed = false
	g, _ := c.nearest(ws, p, limit)
	g.pair = pair
	return g
}

// over looks at the whole region within a boundary.
func (k *clearer) over(ring []Reach) []approach {
	defer k.mv.Jump(k.mv.Design)
	k.mv.Jump(k.mv.Design)
	k.look(0, 0)
	for i, r := range ring {
		const step = 2 * math.Pi / clearRays
		switch angle := math.Atan2(r.Right, r.Left); {
		case math.Abs(math.Remainder(angle, step)) < 1e-6:
			k.ray(r)
		case r.Stop != ring[(i+1)%len(ring)].Stop || r.Stop != ring[(i+len(ring)-1)%len(ring)].Stop: // a corner of the region, where most pairs are nearest
			k.mv.Jump(r.Pose)
			k.look(r.Left, r.Right)
		}
	}
	slices.SortStableFunc(k.found, func(a, b approach) int { return cmp.Compare(a.Distance, b.Distance) })
	for i := range k.found[:min(len(k.found), clearMost)] {
		a := &k.found[i]
		for _, b := range a.starts {
			if b == nil || a.touches {
				continue
			}
			if k.downhill(b); b.touches || b.Distance < a.Distance-1e-6 {
				*a = *b
			}
		}
	}
	for i := range k.found[:min(len(k.found), clearMost)] {
		if a := &k.found[i]; a.touches {
			k.first(a, ring)
		}
	}
	k.found = slices.DeleteFunc(k.found, func(a approach) bool { return a.Distance >= clearShown })
	return k.found
}

func (k *clearer) ray(r Reach) {
	n := int(math.Ceil(max(math.Abs(r.Left), math.Abs(r.Right)) / clearStep))
	k.mv.Jump(k.mv.Design)
	for i := 1; i <= n; i++ {
		left, right := r.Left*float64(i)/float64(n), r.Right*float64(i)/float64(n)
		if i == n {
			k.mv.Jump(r.Pose)
		} else if !k.goTo(left, right) {
			return
		}
		k.look(left, right)
	}
}

func (k *clearer) goTo(left, right float64) bool {
	z, roll, ok := k.target(left, right)
	return ok && k.mv.To(z, roll)
}

// within says that no stop is passed at the mover's pose, nor the grid asked for.
func (k *clearer) within() bool {
	const rounding = 1e-9
	p := &k.mv.at
	h, r := p.Z-k.mv.Design.Z, p.Roll-k.mv.Design.Roll
	if h < k.heave[0]-rounding || h > k.heave[1]+rounding || r < k.roll[0]-rounding || r > k.roll[1]+rounding {
		return false
	}
	k.margins(k.mv.at)
	_, v := worstMargin(k.room, k.skip)
	return v >= 0
}

// downhill follows a pair to where it is nearest: steps along left, right, both together and one against the other, the best of them, halved when none
// gains, and never out of the region.
func (k *clearer) downhill(a *approach) {
	for step := clearStep / 2; step >= clearLeast; {
		best, from := *a, a.pose
		for _, d := range [8][2]float64{{1, 0}, {-1, 0}, {0, 1}, {0, -1}, {1, 1}, {-1, -1}, {1, -1}, {-1, 1}} {
			left, right := a.left+step*d[0], a.right+step*d[1]
			k.mv.Jump(from)
			if !k.goTo(left, right) {
				continue
			}
			if g := k.only(a.pair); g.Distance < best.Distance && k.within() {
				best.Gap, best.pose, best.left, best.right, best.touches = g, k.mv.at, left, right, g.Distance <= 0
			}
		}
		switch {
		case best.Distance < a.Distance-1e-3:
			if *a = best; a.touches {
				return
			}
		default:
			step /= 2
		}
	}
}

// first follows a pair that touches from the design pose to where it first does: with both wheels moving alike when it touches so, or
// else straight to where it was found.
func (k *clearer) first(a *approach, ring []Reach) {
	for _, way := range [2]float64{1, -1} {
		end := alike(ring, way)
		if k.advance(a, end.Left, end.Right) {
			a.together = true
			return
		}
	}
	k.advance(a, a.left, a.right)
}

// alike is the boundary point with both wheels up (way 1) or down together.
func alike(ring []Reach, way float64) Reach {
	best := Reach{}
	off := math.Inf(1)
	for _, r := range ring {
		if d := math.Abs(math.Remainder(math.Atan2(r.Right, r.Left)-math.Atan2(way, way), 2*math.Pi)); d < off {
			off, best = d, r
		}
	}
	if off > 1e-6 { // the ring always has the direction itself; without a ring there is none
		return Reach{}
	}
	return best
}

// advance goes from the design pose towards a pair of wheel bumps, each time by as much as the gap leaves: what an axle carries goes
// at most about twice as far as its wheels do. (Conservative advancement: Mirtich & Canny 1995, from memory.)
func (k *clearer) advance(a *approach, left, right float64) bool {
	size := max(math.Abs(left), math.Abs(right))
	if size == 0 {
		return false
	}
	k.mv.Jump(k.mv.Design)
	free, at := 0.0, k.mv.at // the last place without contact
	for t := 0.0; ; {
		g := k.only(a.pair)
		if g.Distance <= clearTouch {
			a.Gap, a.pose, a.left, a.right = g, k.mv.at, t*left, t*right
			for (t-free)*size > clearTouch && g.Distance < 0 { // the least step went past it
				mid := (free + t) / 2
				k.mv.Jump(at)
				if !k.goTo(mid*left, mid*right) {
					break
				}
				if h := k.only(a.pair); h.Distance > 0 {
					free, at = mid, k.mv.at
				} else {
					t, a.Gap, a.pose, a.left, a.right = mid, h, k.mv.at, mid*left, mid*right
				}
			}
			a.Distance = min(a.Distance, 0)
			return true
		}
		if t >= 1 {
			return false
		}
		free, at = t, k.mv.at
		t = min(1, t+max(g.Distance/2, clearStride)/size)
		if !k.goTo(t*left, t*right) {
			return false
		}
	}
}

// contactAmong is what a tracer asks at each pose: the deepest of these pairs that touches.
func (k *clearer) contactAmong(pairs []int) func(Pose, bool) (Stop, float64, bool) {
	return func(p Pose, deep bool) (Stop, float64, bool) {
		k.stance[k.mv.End] = p.Frame()
		worst := Gap{Distance: math.Inf(1)}
		for _, i := range pairs {
			if g := k.c.one(i, &k.stance, k.ws, 0); g.A != nil && g.Distance < worst.Distance {
				worst = g
			}
		}
		return k.stop(&worst, deep)
	}
}

// touching is what a tracer asks at each pose when nothing is known beforehand: whether any pair at all touches.
func (t *tracer) touching(st *Stand) func(Pose, bool) (Stop, float64, bool) {
	k := newClearer(t, st.Clearances(t.m), st)
	return func(p Pose, deep bool) (Stop, float64, bool) {
		k.stance[t.mv.End] = p.Frame()
		if list := k.c.among(k.pairs, &k.stance, k.ws, 0); len(list) > 0 {
			return k.stop(&list[0], deep)
		}
		return Stop{Kind: noStop}, 0, false
	}
}

// stop is a gap as a stop; false when it is none. How deep it is in is only worked out when asked for, mm: of the pieces that overlap
// the deepest counts, by the least move that parts them; 0 for meshes, of which it is not known.
func (k *clearer) stop(g *Gap, deep bool) (Stop, float64, bool) {
	if g.A == nil || g.Distance > 0 {
		return Stop{Kind: noStop}, 0, false
	}
	in := 0.0
	if deep {
		p := &k.c.pairs[g.pair]
		b := &k.c.things[p.b]
		k.c.each(k.ws, p, 0, func(axis int, _ *solid.Gap) {
			n := axis - int(p.axis)
			one, two := &k.ws.pieces[k.c.things[p.a].first+n/b.count], &k.ws.pieces[b.first+n%b.count]
			if !k.c.drawn[axis] && one.Mesh == nil && two.Mesh == nil {
				d, _ := solid.Depth(&one.Hull, &two.Hull)
				in = max(in, d)
			}
		})
	}
	return Stop{Kind: BodyGap, pair: [2]touching{{g.A.Name, g.A.Path}, {g.B.Name, g.B.Path}}}, in, true
}

// touchingPairs are the pairs that touch somewhere.
func touchingPairs(list []approach) (out []int) {
	for i := range list {
		if list[i].touches {
			out = append(out, list[i].pair)
		}
	}
	return out
}

// Clearances of the rig that stands there, with its design poses; made when first asked for.
func (s *Stand) Clearances(m *solid.Model) *Clearances {
	if s.clear == nil {
		s.clear = NewClearances(m, s.Stance())
	}
	return s.clear
}
