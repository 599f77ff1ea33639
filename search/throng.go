package search

import (
	"context"
	"math"
	"slices"

	"lowslung/solid"
	"lowslung/travel"
)

// Bounds over groups of lengths. Where links come in many lengths between the same eyes, a whole box of combinations is judged by the one in its
// middle: travel.Throng bounds how far any other of the box can be from it, at every pose, and with that each number is known between two. When
// every want is met, or missed, by the whole of that, the box is counted at once; when not, it is cut in two, down to single combinations. What
// could be on the front, or be nearest to a want that it misses alone, is always judged by itself, so the answer is the same to the last count.

const (
	halfWide    = 0.35 // mm: half of how much one link's length may vary in a box that is tried at its design pose; bounds say too little beyond
	halfMove    = 0.16 // mm: the same over the travel
	boxesAtOnce = 8    // that a worker takes
	mostLong    = 48   // classes of one link in a box
	fewOpen     = 64   // combinations of a box that could be on the front, of which each is looked at
	worthIt     = 12.0 // combinations in the mean box below which boxes are not worth their bounds
)

// A box is combinations of an axle: of each component, the classes from one up to another.
type box struct{ from, to []int }

func (x *box) count() int {
	n := 1
	for i := range x.from {
		n *= x.to[i] - x.from[i]
	}
	return n
}

func (x *box) middle(out []int) {
	for i := range x.from {
		out[i] = (x.from[i] + x.to[i] - 1) / 2
	}
}

// halves are the box cut in two where it is longest.
func (x *box) halves() (a, b box) {
	long := 0
	for i := range x.from {
		if x.to[i]-x.from[i] > x.to[long]-x.from[long] {
			long = i
		}
	}
	a = box{slices.Clone(x.from), slices.Clone(x.to)}
	b = box{slices.Clone(x.from), slices.Clone(x.to)}
	mid := (x.from[long] + x.to[long]) / 2
	a.to[long], b.from[long] = mid, mid
	return a, b
}

// A spread is what a class of a component is that matters for boxes.
type spread struct {
	length float64
	weight int64         // variants
	swing  [2][2]float64 // least and most of what the rod ends allow, for each end
	price  int64         // least that a variant costs, whatever else is taken: the more is taken of an item, the more the next one costs
	fresh  int64
}

// boxes is how an axle is cut into boxes; nil when that is not worth while, or cannot be bounded.
type boxes struct {
	ax     *axle
	end    solid.End
	chunks [][][2]int // of each component, ranges of classes
	total  int        // boxes
	groups [][]int    // positions of links among the axle's four
	of     []int      // which component each group is
	spread [][]spread
	swing  bool   // the swing of the pinion angle is wanted
	limit  [4]int // component that each of the four links is, −1 for none
}

// boxesOf cuts the outer axle of a meeting.
func (mt *meeting) boxesOf() *boxes {
	s, end := mt.s, mt.inner.Other()
	ax := &mt.f.axles[end]
	if !ax.present || ax.kinds < 64 {
		return nil
	}
	for i := range s.wants {
		w := &s.wants[i]
		if (w.stage == frontDesign+stage(end) || w.stage == frontTravel+stage(end)) && w.need == byNumber && !bounded(w.number%ofAxle) {
			return nil
		}
	}
	for i := range mt.f.m.Shocks {
		if k := &mt.f.m.Shocks[i]; k.Axle == end && (k.Top.Link >= 0 || k.Bottom.Link >= 0) {
			return nil
		}
	}
	var at []int
	for i := range mt.f.m.Links {
		if mt.f.m.Links[i].Axle == end {
			at = append(at, i)
		}
	}
	if len(at) != 4 {
		return nil
	}
	swing := slices.ContainsFunc(s.wants, func(w want) bool { return w.number == axleNumber(end, pinionSwing) })
	out := &boxes{swing: swing, ax: ax, end: end, total: 1, limit: [4]int{-1, -1, -1, -1}}
	for p := range ax.parts {
		c := &ax.parts[p]
		chunks := c.chunks()
		out.chunks = append(out.chunks, chunks)
		out.total *= len(chunks)
		out.spread = append(out.spread, mt.f.stock.spreads(c))
		if c.shock {
			continue
		}
		var group []int
		for n, i := range at {
			if i >= c.first && i < c.first+c.count {
				group = append(group, n)
				out.limit[n] = p
			}
		}
		out.groups, out.of = append(out.groups, group), append(out.of, p)
	}
	if len(out.groups) == 0 || float64(ax.kinds)/float64(out.total) < worthIt {
		return nil
	}
	return out
}

// bounded says that the number of an axle can be bounded over a box.
func bounded(n int) bool {
	switch n {
	case pinionAngle, bumpStroke, droopStroke, pinionSwing, shaftJoint, shaftJointRoom, shaftRoom, rodEndRoom:
		return true
	}
	return false
}

// chunks are ranges of classes that differ in nothing but a little length.
func (c *component) chunks() (out [][2]int) {
	first := func(k int) *variant { return &c.variants[c.classes[k][0].variants[0]] }
	from := 0
	for k := 1; k <= len(c.classes); k++ {
		if k < len(c.classes) && !c.shock && k-from < mostLong && sameEyes(first(from).links, first(k).links) &&
			first(k).links[0].Length-first(from).links[0].Length <= 2*halfWide {
			continue
		}
		out = append(out, [2]int{from, k})
		from = k
	}
	return out
}

func sameEyes(a, b []solid.Link) bool {
	for i := range a {
		x, y := &a[i], &b[i]
		if x.From != y.From || x.To != y.To || x.FromBolt != y.FromBolt || x.ToBolt != y.ToBolt {
			return false
		}
	}
	return true
}

// spreads are what matters of each class of a component.
func (k *stock) spreads(c *component) []spread {
	out := make([]spread, len(c.classes))
	for i, class := range c.classes {
		one := &out[i]
		if !c.shock {
			one.length = c.variants[class[0].variants[0]].links[0].Length
		}
		one.price, one.fresh = math.MaxInt64, math.MaxInt64
		for e := range 2 {
			one.swing[e] = [2]float64{math.Inf(1), math.Inf(-1)}
		}
		for _, sub := range class {
			for e, v := range sub.swing {
				one.swing[e] = [2]float64{min(one.swing[e][0], v), max(one.swing[e][1], v)}
			}
			one.weight += int64(len(sub.variants))
			for _, n := range sub.variants {
				price, fresh := k.alone(c.variants[n].items)
				one.price, one.fresh = min(one.price, price), min(one.fresh, fresh)
			}
		}
	}
	return out
}

// alone is what items cost when nothing else that varies takes any of them. A slot's cost is convex in how many are taken, so what several take
// together costs no less than the sum of this.
func (k *stock) alone(items []int) (price, fresh int64) {
	for i, at := range items {
		if slices.Contains(items[:i], at) {
			continue
		}
		n := 0
		for _, other := range items[i:] {
			if other == at {
				n++
			}
		}
		p0, q0 := k.slots[at].cost(0)
		p, q := k.slots[at].cost(n)
		price, fresh = price+p-p0, fresh+q-q0
	}
	return price, fresh
}

// least is the least of the same for the bundles of a half.
func (k *stock) least(list []bundle) (price, fresh int64) {
	if len(list) == 0 {
		return 0, 0
	}
	price, fresh = math.MaxInt64, math.MaxInt64
	for i := range list {
		a, b := list[i].price, list[i].fresh
		for j, n := range list[i].used {
			o := &k.slots[k.contest[j]]
			p0, q0 := o.cost(0)
			p, q := o.cost(int(n))
			a, b = a+p-p0, b+q-q0
		}
		price, fresh = min(price, a), min(fresh, b)
	}
	return price, fresh
}

// box is box number n.
func (b *boxes) box(n int) box {
	out := box{make([]int, len(b.chunks)), make([]int, len(b.chunks))}
	for i := len(b.chunks) - 1; i >= 0; i-- {
		k := b.chunks[i][n%len(b.chunks[i])]
		n /= len(b.chunks[i])
		out.from[i], out.to[i] = k[0], k[1]
	}
	return out
}

// A swarm goes through boxes. One goroutine each.
type swarm struct {
	mt   *meeting
	b    *boxes
	t    *tally
	base *tally // what a few combinations of each box gave: what others are held against
	on   *bench

	classes []int
	off     []float64
}

// inBoxes goes through a frame in boxes. They are taken in rounds, each twice as long as all before it, of boxes from everywhere; what a round has found
// is what the boxes of the next are held against. So what is judged does not depend on the number of workers.
func (r *runner) inBoxes(ctx context.Context, mt *meeting, b *boxes) error {
	n := (b.total + boxesAtOnce - 1) / boxesAtOnce
	if r.base == nil { // the middle of every box, for the first round to be held against; nothing of it is counted
		base := newTally(r.s)
		err := ordered(ctx, r.o.Workers, 0, n, func(_, i int) *tally { return mt.sampled(b, i*boxesAtOnce, (i+1)*boxesAtOnce) },
			func(_ int, t *tally) error { base.learn(t); return nil })
		if err != nil {
			return err
		}
		r.base = base
	}
	for r.next < n {
		end := n
		for end/2 > r.next && end > 64 {
			end /= 2
		}
		base := r.base
		err := ordered(ctx, r.o.Workers, r.next, end, func(_, i int) *tally { return mt.boxed(b, base, i*boxesAtOnce, (i+1)*boxesAtOnce) }, r.take)
		if err != nil {
			return err
		}
		r.base = newTally(r.s)
		r.base.learn(base)
		r.base.learn(r.all)
	}
	return nil
}

// learn takes over what is best of another tally, and counts nothing.
func (t *tally) learn(o *tally) {
	for i := range o.Only {
		t.Only[i].near(o.Only[i].By, o.Only[i].Rank)
	}
	for _, m := range o.front.list {
		t.front.offer(m)
	}
}

// scattered is which box is taken when, so that any few that follow each other are from everywhere.
func (b *boxes) scattered(n int) int {
	step := int(0.6180339887 * float64(b.total))
	for step > 1 && gcd(step, b.total) != 1 {
		step--
	}
	return int(int64(n) * int64(max(1, step)) % int64(b.total))
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// boxed lets all combinations of some boxes meet the inner axle's.
func (mt *meeting) boxed(b *boxes, base *tally, from, to int) *tally {
	w := &swarm{mt: mt, b: b, t: newTally(mt.s), base: base, on: newBench(mt.f.m, b.end, mt.s.heaves, mt.s.rolls, &mt.s.need),
		classes: make([]int, len(b.ax.parts)), off: make([]float64, len(b.groups))}
	for n := from; n < min(to, b.total); n++ {
		w.bounds(b.box(b.scattered(n)))
	}
	return w.t
}

// sampled judges the middle of some boxes.
func (mt *meeting) sampled(b *boxes, from, to int) *tally {
	w := &swarm{mt: mt, b: b, t: newTally(mt.s), on: newBench(mt.f.m, b.end, mt.s.heaves, mt.s.rolls, &mt.s.need), classes: make([]int, len(b.ax.parts))}
	for n := from; n < min(to, b.total); n++ {
		x := b.box(n)
		x.middle(w.classes)
		w.alone()
	}
	return w.t
}

// alone judges one combination of classes by itself.
func (w *swarm) alone() {
	h := half{classes: w.classes}
	if w.mt.s.stand(w.on, w.b.ax, &h); h.fails > 1 {
		w.mt.meet(w.t, w.on, w.b.ax, &h)
	} else {
		h.parts(w.b.ax, func(part *half) { w.mt.meet(w.t, w.on, w.b.ax, part) })
	}
	w.t.Done += h.weight * w.mt.all
}

// each judges a box one by one.
func (w *swarm) each(x box) {
	var walk func(i int)
	walk = func(i int) {
		if i == len(x.from) {
			w.alone()
			return
		}
		for k := x.from[i]; k < x.to[i]; k++ {
			w.classes[i] = k
			walk(i + 1)
		}
	}
	walk(0)
}

// middle puts the box's middle on the bench, standing.
func (w *swarm) middle(x *box) (h half) {
	x.middle(w.classes)
	h = half{classes: slices.Clone(w.classes)}
	w.mt.s.stand(w.on, w.b.ax, &h)
	return h
}

// lengths is how far the lengths of each group are from the middle's at most, mm.
func (w *swarm) lengths(x *box, off []float64) {
	for g, p := range w.b.of {
		list := w.b.spread[p]
		mid := list[(x.from[p]+x.to[p]-1)/2].length
		off[g] = max(mid-list[x.from[p]].length, list[x.to[p]-1].length-mid)
	}
}

// bounds judges a box with bounds of its own; smaller ones where there are none.
func (w *swarm) bounds(x box) {
	if x.count() < 6 {
		w.each(x)
		return
	}
	h := w.middle(&x)
	if h.reached {
		th := travel.Throng{Groups: w.b.groups, Half: make([]float64, len(w.b.groups))}
		w.lengths(&x, th.Half)
		rolls := w.on.rolls
		even := w.on.even && w.on.symmetric(&h.record)
		if even {
			rolls = w.on.half
		}
		if th.Stands(w.on.mv, w.on.near) {
			k := known{box: &x, h: &h, top: -1}
			copy(w.off, th.Half)
			switch out := w.atDesign(&k, &th); {
			case out == settled:
				w.t.Evaluated++
				w.t.Done += k.weight * w.mt.all
				return
			case out == moving && slices.Max(th.Half) <= halfMove, x.count() < fewOpen:
				th.Moves(w.on.mv, w.on.heaves, rolls, &w.on.walk, w.matters(&th, rolls))
				w.within(x, &h, &th, even)
				return
			}
		}
	}
	a, b := x.halves()
	w.bounds(a)
	w.bounds(b)
}

// matters says which poses of the grid bounds are needed of: those that the shocks may allow somewhere in the box, and those that are reached from them
// first; all, where the swing of the pinion angle over all of them is wanted.
func (w *swarm) matters(th *travel.Throng, rolls []float64) func(i, j int, s *travel.Solver) bool {
	if w.b.swing {
		return nil
	}
	b := w.on
	shift, turn, _ := th.Design.By(th.Half)
	mh, mr := travel.NearestZero(b.heaves), travel.NearestZero(rolls)
	clear(b.in)
	return func(i, j int, s *travel.Solver) bool {
		m, p := s.Turn(), s.Origin()
		at := i*len(rolls) + j
		b.in[at] = true
		for _, n := range b.shocks {
			sh := &b.m.Shocks[n]
			length, by := b.shockLength(sh, &m, p), 2*(shift+turn*onAxle(sh)) // about: bounds that turn out to be needed are asked for again
			b.in[at] = b.in[at] && !(sh.Closed > 0 && length-sh.Closed < -by || sh.Open > 0 && sh.Open-length < -by)
		}
		inner, outer := inward(i, j, mh, mr, len(rolls))
		return b.in[at] || !outer || b.in[inner]
	}
}

// within judges a box by its middle, which is on the bench, with the bounds of a box around it.
func (w *swarm) within(x box, h *half, th *travel.Throng, even bool) {
	w.lengths(&x, w.off)
	k := known{box: &x, h: h, top: -1}
	switch w.settle(&k, th, even) {
	case settled:
		w.t.Evaluated++
		w.t.Done += k.weight * w.mt.all
		return
	case unbounded:
		a, b := x.halves()
		w.bounds(a)
		w.bounds(b)
		return
	case singly:
		w.each(x)
		return
	}
	if x.count() < 6 {
		w.each(x)
		return
	}
	a, b := x.halves()
	for _, one := range []box{a, b} {
		if one.count() < 6 {
			w.each(one)
			continue
		}
		h := w.middle(&one)
		w.within(one, &h, th, even)
	}
}

// An outcome is what came of judging a box at once.
type outcome uint8

const (
	settled   outcome = iota
	undecided         // some want is met by some of the box and missed by others, or may be
	unbounded         // the bounds do not reach as far
	singly            // all of it must be judged one by one
	moving            // the travel decides
)

// known is what is known of a box.
type known struct {
	box    *box
	h      *half
	weight int64
	lo, hi [ofAxle]float64
	ahead  float64 // of x, mm

	group                    half // the box as one
	from, to, oneFrom, oneTo int  // its partners

	top, bottom int     // poses of the grid in which the pinion points highest and lowest; −1 when not known
	swing       float64 // between them, rad
}

// between holds a number known between two against a want: met, missed by at least so much, or neither is certain.
func (w *want) between(lo, hi float64) (met, missed bool, by float64) {
	if math.IsNaN(lo) || math.IsNaN(hi) {
		if w.by == "parts" {
			return true, false, 0
		}
		return false, true, math.Inf(1)
	}
	const sure = 1e-7 // more than what is lost between two ways to the same pose
	switch {
	case lo >= w.in.From+sure && hi <= w.in.To-sure:
		return true, false, 0
	case hi < w.in.From-sure:
		return false, true, w.in.From - hi
	case lo > w.in.To+sure:
		return false, true, lo - w.in.To
	}
	return false, false, 0
}

// hold holds what is known against the wants of a stage; certain is false when that leaves the first want that is missed, or how many are, open.
func (s *space) hold(k *known, st stage) (first, fails int, by float64, certain bool) {
	first = -1
	for i := range s.wants {
		w := &s.wants[i]
		if w.stage != st || w.need != byNumber {
			continue // the bounds say that links close, that the height is reached, and the travel
		}
		n := w.number % ofAxle
		met, missed, miss := w.between(k.lo[n], k.hi[n])
		switch {
		case missed:
			if fails++; first < 0 {
				first, by = i, miss
			}
		case !met && fails < 2:
			return first, fails, by, false
		}
	}
	return first, min(fails, 2), by, true
}

// atDesign counts a box at once, if what is known of its design pose is enough for that.
func (w *swarm) atDesign(k *known, th *travel.Throng) outcome {
	mt, s, h, end := w.mt, w.mt.s, k.h, w.b.end
	if !h.reached {
		return unbounded
	}
	k.weight = 1
	for p := range w.b.spread {
		n := int64(0)
		for c := k.box.from[p]; c < k.box.to[p]; c++ {
			n += w.b.spread[p][c].weight
		}
		k.weight *= n
	}
	w.standing(k, th)
	first, fails, by, certain := s.hold(k, frontDesign+stage(end))
	if !certain {
		return undecided
	}
	k.group = half{classes: h.classes, weight: k.weight, first: first, fails: fails, miss: by, tFirst: -1}
	if fails > 1 {
		mt.meet(w.t, w.on, w.b.ax, &k.group)
		w.t.Evaluated--
		return settled
	}
	if !mt.lone || mt.paid {
		return undecided
	}
	// The same partners for all of the box.
	x := h.pose.X
	window := func(list []*half) (int, int, bool) {
		a, b := mt.window(list, x-k.ahead)
		c, d := mt.window(list, x+k.ahead)
		return a, b, a == c && b == d
	}
	var sure, sureOne bool
	k.from, k.to, sure = window(mt.zero)
	k.oneFrom, k.oneTo, sureOne = window(mt.one)
	if !sure || !sureOne {
		return undecided
	}
	if fails == 1 && !slices.ContainsFunc(mt.zero[k.from:k.to], passes) { // fails another with every partner, whatever its travel
		mt.counted(w.t, &k.group)
		return settled
	}
	return moving
}

// passes says that a half meets what is wanted of its travel.
func passes(h *half) bool { return h.tFails == 0 }

// settle counts a box at once, if it can.
func (w *swarm) settle(k *known, th *travel.Throng, even bool) outcome {
	if out := w.atDesign(k, th); out != moving {
		return out
	}
	if out := w.travelling(k, th, even); out != settled {
		return out
	}
	mt, s, group := w.mt, w.mt.s, &k.group
	from, to, certain := k.from, k.to, false
	if group.tFirst, group.tFails, group.tMiss, certain = s.hold(k, frontTravel+stage(w.b.end)); !certain {
		return undecided
	}
	if s.asked && group.fails+group.tFails == 0 && slices.ContainsFunc(mt.zero[from:to], passes) {
		return singly // whole builds are asked of all of them
	}
	if w.near(k, group, from, to) {
		return undecided
	}
	var open []*half
	if group.fails+group.tFails == 0 {
		for _, o := range mt.zero[from:to] {
			if o.tFails == 0 && !w.beaten(k, o) {
				open = append(open, o)
			}
		}
		if len(open) > 0 && k.box.count() > fewOpen {
			return unbounded // narrower bounds first
		}
	}
	mt.together(w.t, group, from, to, k.oneFrom, k.oneTo)
	if len(open) > 0 {
		w.offer(k, th, open)
	}
	return settled
}

// near says that a combination of the box could be nearer to a want that it misses alone than one that is known.
func (w *swarm) near(k *known, g *half, from, to int) bool {
	mt, s := w.mt, w.mt.s
	far := func(want int, by float64) bool { return by-1e-7 > w.base.Only[want].By || by-1e-7 > w.t.Only[want].By }
	for _, other := range mt.zero[from:to] {
		if g.fails+g.tFails+other.tFails == 1 {
			if g.fails == 1 && !far(g.first, g.miss) || g.tFails == 1 && !far(g.tFirst, g.tMiss) {
				return true
			}
		}
	}
	if g.fails+g.tFails > 0 || mt.wide < 0 {
		return false
	}
	// Those that miss the wheelbase alone.
	close := func(i, by int) bool {
		for ; i >= 0 && i < len(mt.zero); i += by {
			if o := mt.zero[i]; o.tFails == 0 {
				front, rear := mt.roles(k.h, o)
				return !far(mt.wide, s.wants[mt.wide].miss(front.pose.X-rear.pose.X)-k.ahead)
			}
		}
		return false
	}
	return close(from-1, -1) || close(to, 1)
}

// offer brings what could be on the front of a box that meets every want: of each combination it is known how good it can be at best, and only
// those that nothing found so far is better than are judged.
func (w *swarm) offer(k *known, th *travel.Throng, open []*half) {
	mt := w.mt
	by := make([]float64, len(w.b.groups))
	middle := make([]float64, len(by))
	for g, p := range w.b.of {
		middle[g] = w.b.spread[p][k.h.classes[p]].length
	}
	one := known{box: &box{make([]int, len(w.classes)), make([]int, len(w.classes))}, h: k.h, lo: k.lo, hi: k.hi, ahead: k.ahead}
	var walk func(i int)
	walk = func(i int) {
		if i < len(w.classes) {
			for c := k.box.from[i]; c < k.box.to[i]; c++ {
				one.box.from[i], one.box.to[i] = c, c+1
				walk(i + 1)
			}
			return
		}
		for g, p := range w.b.of {
			by[g] = w.b.spread[p][one.box.from[p]].length - middle[g]
		}
		w.nearer(&one, k, th, by)
		var h *half
		for _, o := range open {
			if w.beaten(&one, o) {
				continue
			}
			if h == nil {
				h = &half{classes: one.box.from}
				mt.s.stand(w.on, w.b.ax, h)
				w.t.Evaluated++
			}
			h.parts(w.b.ax, func(part *half) {
				mt.s.travel(w.on, w.b.ax, part)
				front, rear := mt.roles(part, o)
				n := mt.joint(front, rear)
				mt.pay(w.t, front, rear, &n, -1, 0, 0, true)
			})
		}
	}
	walk(0)
}

// nearer bounds the pinion angle and its swing of one combination of a box, whose links are by mm longer than the middle's. The swing is at least
// the difference of the two poses that make the middle's.
func (w *swarm) nearer(one, k *known, th *travel.Throng, by []float64) {
	mid, off := th.Design.Nod(by)
	v := k.h.v[pinionAngle] + mid
	one.lo[pinionAngle], one.hi[pinionAngle] = max(k.lo[pinionAngle], v-off-1e-9), min(k.hi[pinionAngle], v+off+1e-9)
	if k.top >= 0 {
		up, upOff := th.Poses[k.top].Nod(by)
		down, downOff := th.Poses[k.bottom].Nod(by)
		one.lo[pinionSwing] = max(k.lo[pinionSwing], k.swing+up-down-upOff-downOff-1e-9)
	}
}

// counted takes a box over that fails one want at its design pose, and another with every partner.
func (mt *meeting) counted(t *tally, g *half) {
	zero := mt.sums[len(mt.zero)]
	if mt.inner == solid.Rear && g.fails > 0 {
		t.Rejected[g.first] += g.weight * mt.all
		return
	}
	for first, weight := range mt.failed {
		t.Rejected[first] += g.weight * weight
	}
	if g.fails > 0 {
		t.Rejected[g.first] += g.weight * zero
	}
}

// rankWith is a combination of a box with a partner.
func (mt *meeting) rankWith(g, other *half) int64 {
	front, rear := mt.roles(g, other)
	return mt.rank(front, rear)
}

// together counts a box with all its partners, as meet and pair count one combination.
func (mt *meeting) together(t *tally, g *half, from, to, oneFrom, oneTo int) {
	mt.counted(t, g)
	zero := mt.sums[len(mt.zero)]
	if g.fails == 1 {
		for _, other := range mt.zero[from:to] {
			if g.tFails+other.tFails == 0 {
				t.Only[g.first].Count += g.weight * other.weight
			}
		}
		return
	}
	for _, other := range mt.one[oneFrom:oneTo] {
		if g.tFails+other.tFails == 0 {
			t.only(other.first, g.weight*other.weight, other.miss, mt.rankWith(g, other))
		}
	}
	for _, other := range mt.zero[from:to] {
		if g.tFails+other.tFails == 0 {
			continue
		}
		front, rear := mt.roles(g, other)
		first := front.tFirst
		if front.tFails == 0 {
			first = rear.tFirst
		}
		weight := g.weight * other.weight
		t.Rejected[first] += weight
		switch {
		case g.tFails+other.tFails > 1:
		case other.tFails == 1:
			t.only(first, weight, other.tMiss, mt.rankWith(g, other))
		default:
			t.Only[first].Count += weight
		}
	}
	outside := zero - (mt.sums[to] - mt.sums[from])
	if outside == 0 {
		return
	}
	t.Rejected[mt.wide] += g.weight * outside
	if n := len(mt.zero); g.tFails == 0 {
		t.Only[mt.wide].Count += g.weight * (mt.fine[n] - (mt.fine[to] - mt.fine[from]))
	}
}

// beaten says that something found is better than the best that a pair of the box and a partner could be.
func (w *swarm) beaten(k *known, other *half) bool {
	s, mt := w.mt.s, w.mt
	var cost [mostPrefers]float64
	for i := range s.prefers {
		p := &s.prefers[i]
		lo, hi := math.NaN(), math.NaN()
		switch n := p.number; {
		case n < 0:
		case n < wheelbase && solid.End(n/ofAxle) == w.b.end:
			if lo, hi = k.lo[n%ofAxle], k.hi[n%ofAxle]; !bounded(n % ofAxle) {
				lo, hi = math.Inf(-1), math.Inf(1)
			}
		case n < wheelbase:
			lo, hi = other.v[n%ofAxle], other.v[n%ofAxle]
		case n == wheelbase:
			front, rear := mt.roles(k.h, other)
			v := front.pose.X - rear.pose.X
			lo, hi = v-k.ahead, v+k.ahead
		case n == price || n == newParts:
			lo = w.money(k, other, n)
			hi = math.Inf(1)
		default:
			lo, hi = math.Inf(-1), math.Inf(1)
		}
		cost[i] = p.least(lo, hi)
	}
	c := cost[:len(s.prefers)]
	better := func(f *front) bool {
		return slices.ContainsFunc(f.list, func(m member) bool {
			less := false
			for i := range c {
				if m.Cost[i] > c[i] {
					return false
				}
				less = less || m.Cost[i] < c[i]
			}
			return less
		})
	}
	return better(&w.t.front) || better(&w.base.front)
}

// least is the least cost of a number between two.
func (p *prefer) least(lo, hi float64) float64 {
	if math.IsNaN(lo) || math.IsNaN(hi) {
		return worst
	}
	c := lo
	switch {
	case p.way == "higher":
		c = -hi
	case p.way == "middle" && lo <= p.middle && p.middle <= hi:
		c = 0
	case p.way == "middle":
		c = min(math.Abs(lo-p.middle), math.Abs(hi-p.middle))
	}
	if math.IsInf(c, -1) {
		return -worst
	}
	return math.Round(c*1e6) / 1e6 // rises with c, as that of each number between does
}

// money is the least that a pair of the box and a partner can cost, or the fewest new parts it takes.
func (w *swarm) money(k *known, other *half, number int) float64 {
	stock := &w.mt.f.stock
	if stock.mixed {
		return math.NaN()
	}
	sum, fresh := stock.price, stock.fresh
	for p := range w.b.spread {
		a, b := int64(math.MaxInt64), int64(math.MaxInt64)
		for c := k.box.from[p]; c < k.box.to[p]; c++ {
			a, b = min(a, w.b.spread[p][c].price), min(b, w.b.spread[p][c].fresh)
		}
		sum, fresh = sum+a, fresh+b
	}
	a, b := stock.least(other.bundles)
	sum, fresh = sum+a, fresh+b
	for _, at := range stock.contest {
		p, q := stock.slots[at].cost(0)
		sum, fresh = sum+p, fresh+q
	}
	if number == price {
		return float64(sum) / cents
	}
	return float64(fresh)
}
