package search

import (
	"math"

	"lowslung/solid"
)

// What a box counts for, as meet and pair count single combinations.

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
