package search

import (
	"context"
	"math"

	"lowslung/solid"
)

// The slow and obvious twin of through: each combination is judged by itself, over its whole travel, against every want.

// single is one combination of variants of one axle.
type single struct {
	half
	picks []int
	bad   bool
}

func (s *space) singles(f *frame, end solid.End, from, to int64) []single {
	ax := &f.axles[end]
	if !ax.present {
		return []single{{half: s.blank(end)}}
	}
	b := newBench(f.m, end, s.heaves, s.rolls, &s.need)
	sizes := make([]int, len(ax.parts))
	for i := range sizes {
		sizes[i] = len(ax.parts[i].variants)
	}
	to = min(to, ax.variants)
	out := make([]single, 0, max(0, to-from))
	for n := from; n < to; n++ {
		out = append(out, b.single(ax, split(n, sizes)))
	}
	return out
}

// single works out one combination of variants.
func (b *bench) single(ax *axle, picks []int) single {
	one := single{picks: picks}
	for i := range ax.parts {
		v := &ax.parts[i].variants[picks[i]]
		if one.bad = one.bad || v.bad; !v.bad {
			ax.parts[i].fit(b, v)
		}
	}
	if one.bad {
		return one
	}
	if b.stand(&one.record); one.reached {
		b.travel(&one.record)
		one.v[rodEndRoom] = b.ownSwing(&one.record)
	}
	return one
}

func (r *runner) brute(ctx context.Context, f *frame) error {
	s := r.s
	mt := s.meeting(f)
	in, out := &f.axles[mt.inner], &f.axles[mt.inner.Other()]
	inner := s.singles(f, mt.inner, 0, in.variants)
	pieces := int((out.variants + piece - 1) / piece)
	return ordered(ctx, r.o.Workers, r.next, pieces, func(_, i int) *tally {
		t := newTally(s)
		for _, one := range s.singles(f, mt.inner.Other(), int64(i)*piece, int64(i+1)*piece) {
			for k := range inner {
				front, rear := &one, &inner[k]
				if mt.inner == solid.Front {
					front, rear = rear, front
				}
				mt.judgeSingle(t, front, rear)
			}
		}
		return t
	}, r.take)
}

// A verdict is what is held against one combination.
type verdict struct {
	first int // want failed first, −1 for none
	fails int // wants failed
	miss  float64
	cost  []float64 // of what is preferred, as far as it is cheap
	rank  int64
}

// verdict holds one combination, which goes together, against every want that is cheap.
func (mt *meeting) verdict(front, rear *single) verdict {
	s, k := mt.s, &mt.f.stock
	n := mt.joint(&front.half, &rear.half)
	x, y := k.bundleOf(&mt.f.axles[solid.Front], front.picks), k.bundleOf(&mt.f.axles[solid.Rear], rear.picks)
	p, q := k.both(&x, &y)
	n[price-wheelbase], n[newParts-wheelbase] = float64(p)/cents, float64(q)
	if k.mixed {
		n[price-wheelbase] = math.NaN()
	}
	out := verdict{first: -1, rank: int64(mt.f.index)*s.each + x.rank*s.sizes[solid.Rear] + y.rank}
	fail := func(i, n int, by float64) {
		if out.first < 0 {
			out.first, out.miss = i, by
		}
		out.fails += n
	}
	for i := range s.wants {
		w := &s.wants[i]
		r := &front.record
		if w.end == solid.Rear {
			r = &rear.record
		}
		switch {
		case w.stage == asking, w.need == goesTogether:
		case w.need == linksClose:
			if !r.closes {
				fail(i, 2, 0)
			}
		case w.need == heightReached:
			if !r.reached {
				fail(i, 2, 0)
			}
		case w.need == travelReached:
			if r.reached && !r.travels {
				fail(i, 1, 0)
			}
		default:
			if by := w.missed(value(&front.half, &rear.half, &n, w.number)); by > 0 {
				fail(i, 1, by)
			}
		}
	}
	if out.fails == 0 {
		out.cost = make([]float64, len(s.prefers))
		for i := range s.prefers {
			out.cost[i] = s.prefers[i].rounded(value(&front.half, &rear.half, &n, s.prefers[i].number))
		}
	}
	return out
}

// judgeSingle judges one combination.
func (mt *meeting) judgeSingle(t *tally, front, rear *single) {
	t.Evaluated++
	t.Done++
	if front.bad || rear.bad {
		t.Rejected[0]++
		return
	}
	v := mt.verdict(front, rear)
	switch {
	case v.fails > 0:
		t.Rejected[v.first]++
		if v.fails == 1 {
			t.only(v.first, 1, v.miss, v.rank)
		}
	case mt.s.asked:
		t.kept = append(t.kept, member{Cost: v.cost, Rank: v.rank, Count: 1})
		t.Passed++
	default:
		t.front.offer(member{Cost: v.cost, Rank: v.rank})
	}
}

// ownSwing is the least swing left with the rod ends that are on the bench.
func (b *bench) ownSwing(r *record) float64 {
	room := math.NaN()
	for n, i := range b.links {
		for e, limit := range b.m.Links[i].Swing {
			if most := r.swings[2*n+e]; limit > 0 && most >= 0 {
				room = least(room, limit-math.Asin(min(1, most)))
			}
		}
	}
	return room
}
