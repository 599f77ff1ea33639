package search

import (
	"context"
)

// Going through boxes in rounds.

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
