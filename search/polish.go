package search

import (
	"context"
	"math"
	"slices"
	"strconv"

	"lowslung/finding"
	"lowslung/quantity"
	"lowslung/solid"
)

// Polishing: choices that take any value between two are gone through in a dozen steps like all others, and then solved. From each build
// worth making, and from the one that misses each want by least, a pattern search goes on along those choices alone, on a lattice finer than
// what is made by hand. What it ends with is never worse than where it began, and no neighbour on the lattice is better.
//
// Method: exploratory and pattern moves with a step that is halved, R. Hooke and T. A. Jeeves, "Direct search solution of numerical and
// statistical problems", J. ACM 8 (1961), with diagonals of two choices among the moves; from memory.

const (
	mostPolished = 24  // builds of the front that are polished: the best compromises
	mostAsked    = 150 // whole builds asked from one start
)

// A start is where a pattern search begins, and what it wants.
type start struct {
	member
	aim  int // preferred number to better at any price of the others; −1 to better some and worsen none
	near int // want that it misses alone, −1 for none
	miss float64
}

// A place on the lattice, judged.
type spot struct {
	member
	ok    bool
	miss  float64 // of the want that is missed alone, where that is what the start misses; never otherwise
	short bool    // whole builds could not be asked as often as it took
}

// A polisher follows one start. One goroutine each.
type polisher struct {
	r     *runner
	words []string
	start start
	from  []float64 // cost at the start; nil when it misses a want
	asked int

	picks  []int
	framed string // what of the values between makes the frame that is held
	f      *frame
	mt     *meeting
	bench  [2]*bench
	seen   map[string]spot
}

// polish solves what may take any value, and puts what it finds on the front.
func (r *runner) polish(ctx context.Context) error {
	s := r.s
	if len(s.free) == 0 {
		return nil
	}
	r.scale = s.scales(r.all.front.list)
	starts, left := r.starts()
	words := s.words()
	before := slices.Clone(r.all.front.list)
	short := false
	err := ordered(ctx, r.o.Workers, 0, len(starts), func(_, i int) *spot {
		p := &polisher{r: r, words: words, start: starts[i], seen: map[string]spot{}, picks: s.picksOf(starts[i].Rank)}
		return p.run(ctx)
	}, func(_ int, got *spot) error {
		if got != nil {
			r.all.front.offer(got.member)
			short = short || got.short
		}
		r.report("polish")
		return nil
	})
	if err != nil {
		r.all.front = front{list: before} // a checkpoint is of what the steps gave
		return err
	}
	solved := 0
	for i := range r.all.front.list {
		if r.all.front.list[i].Fine != nil {
			solved++
		}
	}
	var names []string
	for _, i := range s.free {
		names = append(names, strconv.Quote(s.choices[i].name))
	}
	text := "Any value of %s will do: of %d builds worth making %d are solved between the steps that the search went through; on those alone %d would be worth making."
	r.notes = append(r.notes, finding.New(finding.Note, "search/polished", text, join(names), len(r.all.front.list), solved, len(before)).For("search"))
	if left > 0 {
		r.notes = append(r.notes, finding.New(finding.Note, "search/not-all-polished",
			"The %d best compromises and the best in each number were polished; %d other builds worth making stand where the steps put them.", mostPolished, left).For("search"))
	}
	if short {
		r.notes = append(r.notes, finding.New(finding.Watch, "search/polish-cut-short", "Whole builds were asked %d times from one build and no more: a better value between may be missing.", mostAsked).
			CuredBy("write a step for some of the choices, or narrow them").For("search"))
	}
	return nil
}

// scales say how much of one preferred number counts as much as how much of another: the width of what is wanted of it, or its spread on the
// front, or its size.
func (s *space) scales(list []member) []float64 {
	out := s.spread(list)
	for i := range out {
		switch w := s.prefers[i].width; {
		case w > 0:
			out[i] = w
		case out[i] == 0 && len(list) > 0 && list[0].Cost[i] != 0:
			out[i] = math.Abs(list[0].Cost[i])
		case out[i] == 0:
			out[i] = 1
		}
	}
	return out
}

// starts are the builds of the front, each to be bettered as a whole and the best of each number in that number, and the combinations that miss
// one want by least.
func (r *runner) starts() (out []start, left int) {
	s := r.s
	best := r.compromises()
	for i, m := range best {
		if i == mostPolished {
			left = len(best) - i
			break
		}
		out = append(out, start{member: m, aim: -1, near: -1})
	}
	for i := range s.prefers {
		list := slices.Clone(best)
		slices.SortStableFunc(list, func(a, b member) int {
			switch {
			case a.Cost[i] < b.Cost[i]:
				return -1
			case a.Cost[i] > b.Cost[i]:
				return 1
			}
			return 0
		})
		for _, m := range list[:min(3, len(list))] {
			out = append(out, start{member: m, aim: i, near: -1})
		}
	}
	for i, o := range r.all.Only {
		if o.Count == 0 || o.By >= never/2 || s.wants[i].need != byNumber || s.wants[i].number < 0 {
			continue
		}
		for aim := -1; aim < len(s.prefers); aim++ {
			out = append(out, start{member: member{Rank: o.Rank}, aim: aim, near: i, miss: o.By})
		}
	}
	return out, left
}

// run follows the start as far as it leads; nil when that is nowhere better.
func (p *polisher) run(ctx context.Context) *spot {
	s := p.r.s
	at := make([]int, len(s.free))
	whole := 1
	for k, i := range s.free {
		c := &s.choices[i]
		at[k] = c.free.near(c.value(p.picks[i]))
		whole = max(whole, c.free.most)
	}
	now := spot{member: p.start.member, ok: p.start.near < 0, miss: p.start.miss}
	if p.from = p.start.Cost; !now.ok {
		p.from = nil
	}
	moved := false
	size := 1
	for size*begins < whole { // about half of the step it was begun in
		size *= 2
	}
	moves := directions(len(s.free))
	for ; size > 0 && ctx.Err() == nil; size /= 2 {
		for better := true; better && ctx.Err() == nil; {
			better = false
			base := slices.Clone(at)
			for _, d := range moves {
				next, ok := s.step(at, d, size)
				if !ok {
					continue
				}
				if one := p.judge(next, &now); p.better(&one, &now) {
					at, now, better, moved = next, one, true, true
				}
			}
			for better { // on along where that led
				d := make([]int, len(at))
				for k := range d {
					d[k] = at[k] - base[k]
				}
				next, ok := s.step(at, d, 1)
				if !ok {
					break
				}
				one := p.judge(next, &now)
				if !p.better(&one, &now) {
					break
				}
				base, at, now = at, next, one
			}
		}
	}
	if !moved || !now.ok {
		return nil
	}
	now.short = p.asked >= mostAsked
	return &now
}

// directions are the moves tried: each choice by itself, and each two together.
func directions(n int) (out [][]int) {
	for i := range n {
		for _, a := range []int{1, -1} {
			d := make([]int, n)
			d[i] = a
			out = append(out, d)
		}
	}
	for i := range n {
		for j := range i {
			for _, a := range []int{1, -1} {
				for _, b := range []int{1, -1} {
					d := make([]int, n)
					d[i], d[j] = a, b
					out = append(out, d)
				}
			}
		}
	}
	return out
}

// step is a place some steps away, kept within what is allowed; false when that is no other.
func (s *space) step(at, d []int, size int) ([]int, bool) {
	out := slices.Clone(at)
	for k, i := range s.free {
		out[k] = max(0, min(s.choices[i].free.most, at[k]+size*d[k]))
	}
	return out, !slices.Equal(out, at)
}

// better says that a is better than b, as the start wants it.
func (p *polisher) better(a, b *spot) bool {
	switch {
	case !a.ok && !b.ok:
		return a.miss < b.miss
	case a.ok != b.ok:
		return a.ok
	}
	x, y := a.Cost, b.Cost
	if i := p.start.aim; i >= 0 && x[i] != y[i] {
		return x[i] < y[i]
	}
	gain := 0.0
	for i := range x {
		if p.start.aim < 0 && p.from != nil && x[i] > p.from[i] {
			return false // worse than where it began
		}
		gain += (y[i] - x[i]) / p.r.scale[i]
	}
	return gain > 1e-9
}

// judge judges a place; one that cannot be better than the present one is not asked whole.
func (p *polisher) judge(at []int, now *spot) spot {
	key := string(fixed(int64s(at)...))
	if one, ok := p.seen[key]; ok {
		return one
	}
	one := spot{member: member{Rank: p.start.Rank, Fine: at}, miss: never}
	v := p.verdict(one.member)
	switch {
	case v == nil:
	case v.fails == 0:
		one.ok, one.Cost = true, v.cost
		if p.r.s.asked {
			if p.cheap() && now.ok && !p.better(&one, now) {
				break
			}
			if p.asked >= mostAsked {
				one.ok = false
				break
			}
			p.asked++
			q := p.r.inquire(p.words, one.member)
			one.ok, one.member = q.err == nil && q.fails == 0, q.member
		}
	case v.fails == 1 && v.first == p.start.near:
		one.miss = v.miss
	}
	p.seen[key] = one
	return one
}

// cheap says that everything preferred is.
func (p *polisher) cheap() bool {
	return !slices.ContainsFunc(p.r.s.prefers, func(q prefer) bool { return q.number < 0 })
}

func int64s(list []int) []int64 {
	out := make([]int64, len(list))
	for i, v := range list {
		out[i] = int64(v)
	}
	return out
}

// verdict judges a combination by all that is cheap; nil when it does not go together.
func (p *polisher) verdict(m member) *verdict {
	if !p.frame(m) {
		return nil
	}
	var halves [2]single
	for end := solid.Front; end <= solid.Rear; end++ {
		ax := &p.f.axles[end]
		if !ax.present {
			halves[end] = single{half: p.r.s.blank(end)}
			continue
		}
		picks := make([]int, len(ax.parts))
		for i := range ax.parts {
			c := &ax.parts[i]
			tree := p.f.build.Tree
			for _, k := range c.choices {
				tree = p.r.s.choose(tree, m, k, p.picks[k])
			}
			v := p.r.s.variant(p.f, c, tree)
			c.variants, picks[i] = append(c.variants[:1], v), 1
		}
		if halves[end] = p.bench[end].single(ax, picks); halves[end].bad {
			return nil
		}
	}
	p.f.stock.end(p.r.s, p.f)
	v := p.mt.verdict(&halves[0], &halves[1])
	return &v
}

// frame holds the frame of a combination: its own when the values between make one.
func (p *polisher) frame(m member) bool {
	s := p.r.s
	key := ""
	for k, i := range s.free {
		if s.choices[i].owner == "" {
			key += string(fixed(int64(m.Fine[k])))
		}
	}
	if p.f != nil && p.framed == key {
		return p.f.bad == ""
	}
	p.framed = key
	p.f = s.frameOf(int(m.Rank/s.each), s.framed(m))
	if p.f.bad != "" {
		return false
	}
	for _, g := range s.owners() {
		end, c, err := s.named(p.f, g.owner, g.choices)
		if err != nil {
			p.f.bad = err.Error()
			return false
		}
		c.variants = []variant{s.variant(p.f, &c, p.f.build.Tree)}
		p.f.axles[end].put(c)
	}
	p.mt = s.meeting(p.f)
	for end := range p.bench {
		p.bench[end] = newBench(p.f.m, solid.End(end), s.heaves, s.rolls, &s.need)
	}
	return true
}

// value is value n of the choice in the unit of its scale; the middle of the scale for one in another unit.
func (c *choice) value(n int) float64 {
	v, unit, err := quantity.Split(c.values[n].Text)
	if err != nil || unit != c.free.unit {
		return (c.free.from + c.free.to) / 2
	}
	return v
}
