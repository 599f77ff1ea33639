package search

import (
	"slices"

	"lowslung/travel"
)

// Judging a box: by its middle, by halves, or one by one.

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
