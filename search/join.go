package search

import (
	"math"
	"slices"
	"sort"

	"lowslung/solid"
)

// Going through a frame: every combination of classes of one axle stands at its design pose once (a half). The axle with fewer of them is
// worked out first and kept; the other is gone through in pieces, and each of its halves meets those of the first.

// A half is one combination of classes of one axle.
type half struct {
	record
	classes []int
	subs    []int // which swing of the rod ends, of each class; nil for all together
	shared  *half // the half that this one is a part of, which goes over the travel for all of them
	weight  int64 // combinations of variants that it stands for
	first   int   // want failed first at the design pose
	fails   int   // wants failed there; 2 is two or more
	miss    float64
	tFirst  int // the same over the travel
	tFails  int
	tMiss   float64
	bundles []bundle
}

// A tally is what came out of a part of the space.
type tally struct {
	Evaluated int64   `json:"evaluated"`
	Done      int64   `json:"done"`
	Rejected  []int64 `json:"rejected"`
	Only      []only  `json:"only"`
	front     front
	kept      []member // that pass all that is cheap, when whole builds are asked
	Passed    int64    `json:"passed"` // how many combinations those are
}

// An only is how many combinations fail one want alone, and how far the nearest of them misses it.
type only struct {
	Count int64   `json:"n"`
	By    float64 `json:"by"`
}

func newTally(s *space) *tally {
	t := &tally{Rejected: make([]int64, len(s.wants)), Only: make([]only, len(s.wants))}
	for i := range t.Only {
		t.Only[i].By = never
	}
	return t
}

const never = 1e300 // further than anything misses; JSON has no infinity

func (t *tally) only(want int, n int64, miss float64) {
	t.Only[want].Count += n
	t.Only[want].By = min(t.Only[want].By, miss)
}

func (t *tally) add(o *tally) {
	t.Evaluated += o.Evaluated
	t.Done += o.Done
	t.Passed += o.Passed
	for i := range t.Rejected {
		t.Rejected[i] += o.Rejected[i]
		t.Only[i].Count += o.Only[i].Count
		t.Only[i].By = min(t.Only[i].By, o.Only[i].By)
	}
	for i := range o.front.list {
		t.front.offer(o.front.list[i].Cost, o.front.list[i].Rank)
	}
	t.kept = append(t.kept, o.kept...)
}

// digits are the classes of combination n: reflected, so that from one to the next only one component changes, by one step.
func digits(n int64, ax *axle, out []int) {
	odd := int64(0)
	place := ax.kinds
	for i := range ax.parts {
		size := int64(len(ax.parts[i].classes))
		place /= size
		d := n / place % size
		if odd%2 == 1 {
			out[i] = int(size - 1 - d)
		} else {
			out[i] = int(d)
		}
		odd += d
	}
}

// dress puts a combination of classes on a bench.
func (ax *axle) dress(b *bench, classes []int) (weight int64) {
	weight = 1
	for i := range ax.parts {
		c := &ax.parts[i]
		n := 0
		for _, one := range c.classes[classes[i]] {
			n += len(one.variants)
		}
		weight *= int64(n)
		c.fit(b, &c.variants[c.classes[classes[i]][0].variants[0]])
	}
	return weight
}

// parts calls do with each part of a half: its combinations of rod ends that swing alike.
func (h *half) parts(ax *axle, do func(*half)) {
	sizes := make([]int, len(ax.parts))
	total := 1
	for i := range sizes {
		sizes[i] = len(ax.parts[i].classes[h.classes[i]])
		total *= sizes[i]
	}
	for n := range total {
		one := *h
		one.subs, one.shared, one.weight = split(int64(n), sizes), h, 1
		for i, k := range one.subs {
			one.weight *= int64(len(ax.parts[i].classes[h.classes[i]][k].variants))
		}
		do(&one)
	}
}

// judge holds the numbers of one axle against the wants of a stage.
func (s *space) judge(r *record, st stage, end solid.End) (first, fails int, miss float64) {
	first = -1
	fail := func(i int, by float64) {
		if first < 0 {
			first, miss = i, by
		}
		fails++
	}
	for i := range s.wants {
		w := &s.wants[i]
		if w.stage != st {
			continue
		}
		switch w.need {
		case linksClose:
			if !r.closes {
				return i, 2, 0
			}
		case heightReached:
			if !r.reached {
				return i, 2, 0
			}
		case travelReached:
			if !r.travels {
				fail(i, 0)
			}
		default:
			if by := w.missed(r.v[w.number%ofAxle]); by > 0 {
				fail(i, by)
			}
		}
	}
	return first, min(fails, 2), miss
}

// missed is miss, but that what a part itself asks for is not asked where it is not known.
func (w *want) missed(v float64) float64 {
	if w.by == "parts" && math.IsNaN(v) {
		return 0
	}
	return w.miss(v)
}

// stand works a half out at its design pose.
func (s *space) stand(b *bench, ax *axle, h *half) {
	h.weight = ax.dress(b, h.classes)
	b.stand(&h.record)
	h.first, h.fails, h.miss = s.judge(&h.record, frontDesign+stage(b.end), b.end)
	h.tFails = -1
}

// travel goes over the travel of a part of the half that is on the bench.
func (s *space) travel(b *bench, ax *axle, h *half) {
	if h.tFails >= 0 {
		return
	}
	all := h.shared
	if !all.travelled {
		b.travel(&all.record)
	}
	h.record = all.record
	h.v[rodEndRoom] = b.swingRoom(ax, h)
	h.tFirst, h.tFails, h.tMiss = s.judge(&h.record, frontTravel+stage(b.end), b.end)
}

// swingRoom is the least swing that the rod ends of a part have left; NaN when none is known.
func (b *bench) swingRoom(ax *axle, h *half) float64 {
	room := math.NaN()
	for n, i := range b.links {
		l := &b.m.Links[i]
		swing := l.Swing
		for p := range ax.parts {
			if c := &ax.parts[p]; !c.shock && i >= c.first && i < c.first+c.count {
				swing = c.classes[h.classes[p]][h.subs[p]].swing
			}
		}
		for e, bolt := range [2]solid.Vec{l.FromBolt, l.ToBolt} {
			if most := h.swings[2*n+e]; swing[e] > 0 && !bolt.IsZero() && most >= 0 {
				room = least(room, swing[e]-math.Asin(min(1, most)))
			}
		}
	}
	return room
}

// A meeting is a frame with the halves of one axle worked out, for the halves of the other to meet.
type meeting struct {
	s      *space
	f      *frame
	inner  solid.End
	zero   []*half       // of the inner axle: that fail nothing at the design pose, by x
	one    []*half       // that fail one want
	sums   []int64       // of the weights in zero, up to each
	fine   []int64       // the same of those that pass over their travel too
	failed map[int]int64 // weights of those that fail, by the first want they fail
	all    int64
	wide   int  // want of the wheelbase, −1 when there is none
	lone   bool // nothing else is wanted of both axles together, or of money
	paid   bool // something is wanted of money
	byCost bool
	byNew  bool
	fixed  sums // of what is on the chassis
}

type sums struct{ mass, mx, mz float64 }

func (s *space) meeting(f *frame) *meeting {
	mt := &meeting{s: s, f: f, inner: solid.Rear, failed: map[int]int64{}, wide: -1, lone: true}
	if f.axles[solid.Front].kinds < f.axles[solid.Rear].kinds {
		mt.inner = solid.Front
	}
	for i := range s.wants {
		switch w := &s.wants[i]; {
		case w.number == wheelbase:
			mt.wide = i
		case w.stage == money:
			mt.paid, mt.lone = true, false
		case w.stage == together:
			mt.lone = false
		}
	}
	for i := range s.prefers {
		mt.byCost = mt.byCost || s.prefers[i].number == price
		mt.byNew = mt.byNew || s.prefers[i].number == newParts
	}
	for i := range f.m.Bodies {
		if b := &f.m.Bodies[i]; b.HasMass && b.Carrier == solid.OnChassis {
			mt.fixed.mass += b.Mass
			mt.fixed.mx += b.Mass * b.CG.X
			mt.fixed.mz += b.Mass * b.CG.Z
		}
	}
	steered(f.m, solid.OnChassis, func(mass float64, at solid.Vec) {
		mt.fixed.mass += mass
		mt.fixed.mx += mass * at.X
		mt.fixed.mz += mass * at.Z
	})
	return mt
}

// take takes over the inner axle's halves.
func (mt *meeting) take(list []half) {
	for i := range list {
		h := &list[i]
		mt.all += h.weight
		switch h.fails {
		case 0:
			mt.zero = append(mt.zero, h)
			continue
		case 1:
			mt.one = append(mt.one, h)
		}
		mt.failed[h.first] += h.weight
	}
	for _, l := range [][]*half{mt.zero, mt.one} {
		slices.SortStableFunc(l, func(a, b *half) int {
			switch {
			case a.pose.X < b.pose.X:
				return -1
			case a.pose.X > b.pose.X:
				return 1
			}
			return 0
		})
	}
	for _, l := range [][]*half{mt.zero, mt.one} { // all at once, since workers share them
		for _, h := range l {
			if h.tFails < 2 {
				mt.bundles(h, mt.inner)
			}
		}
	}
	mt.sums, mt.fine = make([]int64, len(mt.zero)+1), make([]int64, len(mt.zero)+1)
	for i, h := range mt.zero {
		mt.sums[i+1], mt.fine[i+1] = mt.sums[i]+h.weight, mt.fine[i]
		if h.tFails == 0 {
			mt.fine[i+1] += h.weight
		}
	}
}

// window is which of a sorted list of inner halves make a wheelbase that is wanted with an outer one at x.
func (mt *meeting) window(list []*half, x float64) (from, to int) {
	if mt.wide < 0 {
		return 0, len(list)
	}
	in := mt.s.wants[mt.wide].in
	lo, hi := x-in.To-rounding, x-in.From+rounding // the inner axle is the rear one
	if mt.inner == solid.Front {
		lo, hi = x+in.From-rounding, x+in.To+rounding
	}
	from = sort.Search(len(list), func(i int) bool { return list[i].pose.X >= lo })
	to = sort.Search(len(list), func(i int) bool { return list[i].pose.X > hi })
	return from, max(from, to)
}

// meet lets an outer half, which is on the bench, meet all inner ones.
func (mt *meeting) meet(t *tally, b *bench, ax *axle, h *half) {
	zero := mt.sums[len(mt.zero)]
	t.Evaluated++
	if mt.inner == solid.Rear && h.fails > 0 {
		t.Rejected[h.first] += h.weight * mt.all
	} else {
		for first, weight := range mt.failed {
			t.Rejected[first] += h.weight * weight
		}
		if h.fails > 0 {
			t.Rejected[h.first] += h.weight * zero
		}
	}
	if h.fails > 1 {
		return
	}
	from, to := mt.window(mt.zero, h.pose.X)
	if h.fails == 1 {
		for _, other := range mt.zero[from:to] {
			mt.pair(t, b, ax, h, other, true)
		}
		return
	}
	oneFrom, oneTo := mt.window(mt.one, h.pose.X)
	for _, other := range mt.one[oneFrom:oneTo] {
		mt.pair(t, b, ax, h, other, true)
	}
	for _, other := range mt.zero[from:to] {
		mt.pair(t, b, ax, h, other, false)
	}
	outside := zero - (mt.sums[to] - mt.sums[from])
	if outside == 0 {
		return
	}
	t.Rejected[mt.wide] += h.weight * outside
	if mt.lone {
		mt.alone(t, b, ax, h, from, to)
		return
	}
	for i, other := range mt.zero {
		if i < from || i >= to {
			mt.pair(t, b, ax, h, other, true)
		}
	}
}

// alone counts the combinations of an outer half that fail the wheelbase only, when there is nothing else to fail but the travel.
func (mt *meeting) alone(t *tally, b *bench, ax *axle, h *half, from, to int) {
	n := len(mt.zero)
	if mt.fine[n]-(mt.fine[to]-mt.fine[from]) == 0 {
		return
	}
	if mt.s.travel(b, ax, h); h.tFails > 0 {
		return
	}
	t.Only[mt.wide].Count += h.weight * (mt.fine[n] - (mt.fine[to] - mt.fine[from]))
	near := func(i, by int) {
		for ; i >= 0 && i < n; i += by {
			if o := mt.zero[i]; o.tFails == 0 {
				front, rear := mt.roles(h, o)
				t.Only[mt.wide].By = min(t.Only[mt.wide].By, mt.s.wants[mt.wide].miss(front.pose.X-rear.pose.X))
				return
			}
		}
	}
	near(from-1, -1)
	near(to, 1)
}

func (mt *meeting) roles(outer, inner *half) (front, rear *half) {
	if mt.inner == solid.Rear {
		return outer, inner
	}
	return inner, outer
}

// pair judges an outer half with an inner one, which together fail at most one want so far. Counted says that they have been counted among
// the rejected already.
func (mt *meeting) pair(t *tally, b *bench, ax *axle, outer, inner *half, counted bool) {
	s := mt.s
	t.Evaluated++
	front, rear := mt.roles(outer, inner)
	weight := outer.weight * inner.weight
	first, fails, miss := -1, 0, 0.0
	fail := func(want, n int, by float64) {
		if n > 0 && first < 0 {
			first, miss = want, by
		}
		fails += n
	}
	fail(front.first, front.fails, front.miss)
	fail(rear.first, rear.fails, rear.miss)
	n := mt.joint(front, rear)
	for i := range s.wants {
		w := &s.wants[i]
		if w.stage != together {
			continue
		}
		if by := w.missed(n[w.number-wheelbase]); by > 0 {
			if fail(i, 1, by); fails > 1 {
				break
			}
		}
	}
	if fails <= 1 {
		s.travel(b, ax, outer)
		fail(front.tFirst, front.tFails, front.tMiss)
		fail(rear.tFirst, rear.tFails, rear.tMiss)
	}
	if fails > 1 {
		if !counted {
			t.Rejected[first] += weight
		}
		return
	}
	if fails == 1 && !mt.paid {
		if !counted {
			t.Rejected[first] += weight
		}
		t.only(first, weight, miss)
		return
	}
	mt.pay(t, front, rear, &n, first, fails, miss, counted)
}

// pay goes through what the variants of a pair cost.
func (mt *meeting) pay(t *tally, front, rear *half, n *[cheapNumbers - wheelbase]float64, first, fails int, miss float64, counted bool) {
	s, k := mt.s, &mt.f.stock
	var cost [mostPrefers]float64
	c := cost[:len(s.prefers)]
	for i := range s.prefers {
		c[i] = s.prefers[i].rounded(value(front, rear, n, s.prefers[i].number))
	}
	ours, theirs := mt.bundles(front, solid.Front), mt.bundles(rear, solid.Rear)
	for i := range ours {
		for j := range theirs {
			x, y := &ours[i], &theirs[j]
			f, bad, by := first, fails, miss
			p, q := k.both(x, y)
			n[price-wheelbase], n[newParts-wheelbase] = float64(p)/cents, float64(q)
			if k.mixed {
				n[price-wheelbase] = math.NaN()
			}
			weight := x.count * y.count
			for w := range s.wants {
				if o := &s.wants[w]; o.stage == money {
					if m := o.missed(n[o.number-wheelbase]); m > 0 {
						if f < 0 {
							f, by = w, m
						}
						bad++
					}
				}
			}
			if bad > 0 {
				if !counted {
					t.Rejected[f] += weight
				}
				if bad == 1 {
					t.only(f, weight, by)
				}
				continue
			}
			for l := range s.prefers {
				if at := s.prefers[l].number; at >= price {
					c[l] = s.prefers[l].rounded(n[at-wheelbase])
				}
			}
			rank := int64(mt.f.index)*s.each + x.rank*s.sizes[solid.Rear] + y.rank
			if s.asked {
				t.kept = append(t.kept, member{Cost: slices.Clone(c), Rank: rank, Count: weight})
				t.Passed += weight
				t.trim()
			} else {
				t.front.offer(c, rank)
			}
		}
	}
}

// mostPrefers is how many numbers can be preferred at once.
const mostPrefers = 8

// value is one cheap number of a pair; NaN for one that is asked of whole builds.
func value(front, rear *half, n *[cheapNumbers - wheelbase]float64, number int) float64 {
	switch {
	case number < 0:
		return math.NaN()
	case number < ofAxle:
		return front.v[number]
	case number < wheelbase:
		return rear.v[number-ofAxle]
	}
	return n[number-wheelbase]
}

func (mt *meeting) bundles(h *half, end solid.End) []bundle {
	if h.bundles == nil {
		prune := !mt.paid && !mt.s.asked
		h.bundles = mt.f.stock.bundles(&mt.f.axles[end], h.classes, h.subs, mt.s.asked, prune, mt.byCost, mt.byNew)
	}
	return h.bundles
}

// joint works out the numbers of both axles together, as travel has them.
func (mt *meeting) joint(front, rear *half) (n [cheapNumbers - wheelbase]float64) {
	for i := range n {
		n[i] = math.NaN()
	}
	if !front.reached || !rear.reached {
		return n
	}
	m := mt.f.m
	n[0] = front.pose.X - rear.pose.X
	rf, rr := m.Axles[solid.Front].TyreRadius, m.Axles[solid.Rear].TyreRadius
	dx, dz := n[0], front.pose.Z-rear.pose.Z
	far := math.Hypot(dx, dz)
	if rf == 0 || rr == 0 || far == 0 || math.Abs(rf-rr) >= far || dx <= 0 {
		return n
	}
	sin, cos := math.Sincos(math.Atan2(dz, dx) - math.Asin((rf-rr)/far))
	over := func(x, z float64) float64 { // height above the ground
		px, pz := rear.pose.X+sin*rr, rear.pose.Z-cos*rr
		return -(x-px)*sin + (z-pz)*cos
	}
	n[bellyClearance-wheelbase] = over((front.pose.X+rear.pose.X)/2, 0)
	slope := func(h *half, r float64) float64 {
		vx, vz := h.ox-h.wy*r*cos, h.oz-h.wy*r*sin
		return (vx*cos + vz*sin) / (-vx*sin + vz*cos)
	}
	tf, tr := math.NaN(), math.NaN()
	if front.known {
		tf = slope(front, rf)
		n[frontSlope-wheelbase] = tf
	}
	if rear.known {
		tr = -slope(rear, rr)
		n[rearSlope-wheelbase] = tr
	}
	mass := mt.fixed.mass + front.mass + rear.mass
	height := over((mt.fixed.mx+front.mx+rear.mx)/mass, (mt.fixed.mz+front.mz+rear.mz)/mass)
	if !(mass > 0) || !(height > 0) {
		return n
	}
	base := math.Hypot(front.pose.X+sin*rf-rear.pose.X-sin*rr, front.pose.Z-cos*rf-rear.pose.Z+cos*rr)
	for _, one := range []struct {
		end solid.End
		at  int
		t   float64
	}{{solid.Front, antiLift, tf}, {solid.Rear, antiSquat, tr}} {
		if share := m.Axles[one.end].Traction; share > 0 {
			n[one.at-wheelbase] = share * one.t * base / height
		}
	}
	return n
}
