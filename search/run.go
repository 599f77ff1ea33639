package search

import (
	"context"
	"errors"
	"fmt"
	"math"
	"runtime"
	"slices"

	"lowslung/finding"
	"lowslung/mates"
	"lowslung/quantity"
	"lowslung/rig"
	"lowslung/solid"
	"lowslung/travel"
)

const (
	usualMost  = 1e9
	mostFrames = 4096 // documents that are resolved in full
	wholeUpTo  = 5e6  // combinations of which the builds that are best are checked as a whole before they stand
	piece      = 512  // combinations of one axle that a worker takes at a time
)

// Usual grid: 21 heaves, 5 rolls.
var (
	usualHeave = travel.Span{From: -25, To: 25, Step: 2.5} // mm
	usualRoll  = travel.Span{From: -15, To: 15, Step: 7.5} // degrees
)

// Run answers the question for a build whose document has a search: section. The error is one of use (rig.Diagnostics when it has a place
// in the document), or the context's; a search that finds nothing is an answer.
func Run(ctx context.Context, b *rig.Build, o Options) (Answer, error) {
	s, err := open(b, &o)
	if err != nil {
		return Answer{}, err
	}
	r := &runner{s: s, o: o, all: newTally(s)}
	if o.Resume != nil {
		if err := r.resume(o.Resume); err != nil {
			return Answer{}, unfit{err}
		}
	}
	r.adds = s.additions()
	if err := r.frames(ctx); err != nil {
		r.save()
		return Answer{}, err
	}
	if s.asked {
		if err := r.ask(ctx); err != nil {
			r.save()
			return Answer{}, err
		}
	}
	if err := r.polish(ctx); err != nil {
		r.save()
		return Answer{}, err
	}
	return r.answer(ctx)
}

// Size is how many combinations the document's search section makes, without going through any.
func Size(b *rig.Build) (int64, error) {
	s, err := open(b, &Options{Most: math.Inf(1)})
	if err != nil {
		return 0, err
	}
	return s.size, nil
}

// open reads the search section and compiles what is the same for every combination.
func open(b *rig.Build, o *Options) (*space, error) {
	if b.Doc.Search == nil {
		return nil, errors.New("found no search section in the document, expected search: with what may change")
	}
	if err := o.fill(); err != nil {
		return nil, err
	}
	m, err := solid.Resolve(b)
	if err != nil {
		return nil, err
	}
	s := &space{b: b, m: m, had: mates.Needs(m), currency: Currency(b, m), sizes: [2]int64{1, 1}, frames: 1}
	var bad, more rig.Diagnostics
	s.choices, bad = choicesOf(b)
	s.wants, s.prefers, more = wantsOf(m, s.currency)
	if bad = append(bad, more...); len(bad) > 0 {
		return nil, bad
	}
	if len(s.prefers) > mostPrefers {
		return nil, fmt.Errorf("found %d preferred numbers, expected at most %d", len(s.prefers), mostPrefers)
	}
	s.heaves, s.rolls, s.spans = o.Heave.Values(), o.Roll.Values(), [2]travel.Span{o.Heave, o.Roll}
	for i := range s.rolls {
		s.rolls[i] *= math.Pi / 180
	}
	for i := range s.wants {
		w := &s.wants[i]
		if w.number >= 0 {
			s.need[w.number] = true
		}
		s.asked = s.asked || w.stage == asking && w.need == byNumber
	}
	for i := range s.prefers {
		if s.prefers[i].number < 0 {
			s.asked = true
			continue
		}
		s.need[s.prefers[i].number] = true
	}
	for i := range s.choices {
		if s.choices[i].free != nil {
			s.free = append(s.free, i)
		}
	}
	if err := s.measure(o); err != nil {
		return nil, err
	}
	if s.whole = !o.Lean && (s.asked || s.size <= wholeUpTo); s.whole {
		s.asked = true
	} else {
		s.wants = s.wants[:len(s.wants)-1]
	}
	return s, nil
}

// measure works out how large the space is and holds it against its limits.
func (s *space) measure(o *Options) error {
	size, frames := 1.0, 1.0
	largest := 0
	for i := range s.choices {
		c := &s.choices[i]
		n := float64(len(c.values))
		size *= n
		if len(c.values) > len(s.choices[largest].values) {
			largest = i
		}
		if c.owner == "" {
			frames *= n
			s.framing = append(s.framing, i)
			continue
		}
		end := solid.Rear
		part := component{shock: c.paths[0][0] == "shocks", name: c.paths[0][1]}
		if end = part.place(s.m); part.count == 0 {
			return fmt.Errorf("found no %s in the model, expected what %q changes", c.owner, c.name)
		}
		s.sizes[end] *= int64(len(c.values))
	}
	limit := o.Most
	if limit == 0 {
		if limit = usualMost; s.b.Doc.Search.Most != nil {
			limit = *s.b.Doc.Search.Most
		}
	}
	at := s.b.Doc.Search.Place
	advice := fmt.Sprintf("take values out of %q, which has %d, or narrow other choices", s.choices[largest].name, len(s.choices[largest].values))
	if size > min(limit, 1e15) {
		return rig.Diagnostics{rig.Diagnostic{Code: "space-too-large", Place: at, Text: fmt.Sprintf("found %.4g combinations, expected at most %.4g; %s, or write a larger most under search", size, limit, advice)}}
	}
	if frames > mostFrames {
		return rig.Diagnostics{rig.Diagnostic{Code: "space-too-large", Place: at, Text: fmt.Sprintf(
			"found %.4g combinations of choices that do not concern one link or shock alone, each of which makes a document of its own, expected at most %d; %s", frames, mostFrames, advice)}}
	}
	s.size, s.frames = int64(size), int(frames)
	s.each = s.sizes[0] * s.sizes[1]
	if s.size < 2 {
		return rig.Diagnostics{rig.Diagnostic{Code: "empty-space", Place: at, Text: "found one combination, the build as it is, expected choices with more than one value"}}
	}
	return nil
}

func (o *Options) fill() error {
	if o.Heave == (travel.Span{}) {
		o.Heave = usualHeave
	}
	if o.Roll == (travel.Span{}) {
		o.Roll = usualRoll
	}
	if err := o.Heave.Check(); err != nil {
		return fmt.Errorf("heave: %w", err)
	}
	if err := o.Roll.Check(); err != nil {
		return fmt.Errorf("roll: %w", err)
	}
	if o.Roll.From < -80 || o.Roll.To > 80 {
		return fmt.Errorf("roll: found %s, expected degrees between -80 and 80", o.Roll)
	}
	if o.Builds == 0 {
		o.Builds = 6
	}
	if o.Asked == 0 {
		o.Asked = 5000
	}
	if o.Workers <= 0 {
		o.Workers = runtime.GOMAXPROCS(0)
	}
	return nil
}

// A runner carries one run through its steps.
type runner struct {
	s     *space
	o     Options
	all   *tally
	frame int // that is gone through
	next  int // piece of it that comes next
	since int // pieces since the last checkpoint
	notes []finding.Finding
	front front // of builds that have been asked
	adds  []adding
	base  *tally          // what boxes are held against, since the last round
	scale []float64       // of what is preferred, for polishing
	stops map[string]bool // what stops in the build as it is
}

// frames goes through all frames.
func (r *runner) frames(ctx context.Context) error {
	for r.frame < r.s.frames {
		f, err := r.s.frame(r.frame)
		if err != nil {
			return err
		}
		switch {
		case f.bad != "":
			r.all.Rejected[0] += r.s.each
			r.all.Evaluated++
			r.all.Done += r.s.each
		case r.o.Brute:
			err = r.brute(ctx, f)
		default:
			err = r.through(ctx, f)
		}
		if err != nil {
			return err
		}
		r.frame, r.next, r.base = r.frame+1, 0, nil
		r.report("travel")
	}
	return nil
}

// through goes through one frame.
func (r *runner) through(ctx context.Context, f *frame) error {
	s := r.s
	mt := s.meeting(f)
	in, out := &f.axles[mt.inner], &f.axles[mt.inner.Other()]
	var list []half
	pieces := func(n int64) int { return int((n + piece - 1) / piece) }
	err := ordered(ctx, r.o.Workers, 0, max(1, pieces(in.kinds)), func(_, i int) []half { return s.halves(f, mt.inner, int64(i)*piece) },
		func(_ int, part []half) error { list = append(list, part...); return nil })
	if err != nil {
		return err
	}
	mt.take(list)
	if r.next == 0 { // once for the frame: what does not go together
		r.all.Rejected[0] += s.each - in.good*out.good
		r.all.Done += s.each - in.good*out.good
	}
	boxes := mt.boxesOf()
	if boxes == nil {
		return ordered(ctx, r.o.Workers, r.next, pieces(out.kinds), func(_, i int) *tally { return mt.piece(int64(i) * piece) }, r.take)
	}
	return r.inBoxes(ctx, mt, boxes)
}

// take takes over what came out of a piece.
func (r *runner) take(i int, t *tally) error {
	r.all.add(t)
	r.all.trim()
	r.next = i + 1
	if r.since++; r.since >= 16 {
		r.save()
	}
	r.report("travel")
	return nil
}

// mostKept is how many builds are kept for asking; the best by what is preferred and cheap.
const mostKept = 100_000

func (t *tally) trim() {
	if len(t.kept) > 2*mostKept {
		t.orderKept()
		t.kept = slices.Clip(t.kept[:mostKept])
	}
}

func (t *tally) orderKept() {
	f := front{list: t.kept}
	f.ordered()
}

// halves works out a piece of the inner axle's halves.
func (s *space) halves(f *frame, end solid.End, from int64) []half {
	ax := &f.axles[end]
	if !ax.present {
		return []half{s.blank(end)}
	}
	b := newBench(f.m, end, s.heaves, s.rolls, &s.need)
	var out []half
	for n := from; n < min(from+piece, ax.kinds); n++ {
		h := half{classes: make([]int, len(ax.parts))}
		digits(n, ax, h.classes)
		if s.stand(b, ax, &h); h.fails > 1 {
			out = append(out, half{weight: h.weight, first: h.first, fails: h.fails}) // never met again
			continue
		}
		h.parts(ax, func(part *half) {
			s.travel(b, ax, part)
			part.shared = nil
			out = append(out, *part)
		})
	}
	return out
}

// blank stands for an axle that is not in the document.
func (s *space) blank(end solid.End) half {
	h := half{weight: 1, first: -1, tFirst: -1}
	for i := range h.v {
		h.v[i] = math.NaN()
	}
	return h
}

// piece lets a piece of the outer axle's halves meet the inner ones.
func (mt *meeting) piece(from int64) *tally {
	s := mt.s
	end := mt.inner.Other()
	ax := &mt.f.axles[end]
	t := newTally(s)
	if !ax.present {
		h := s.blank(end)
		mt.meet(t, nil, ax, &h)
		t.Done = mt.all
		return t
	}
	b := newBench(mt.f.m, end, s.heaves, s.rolls, &s.need)
	classes := make([]int, len(ax.parts))
	for n := from; n < min(from+piece, ax.kinds); n++ {
		h := half{classes: classes}
		digits(n, ax, classes)
		if s.stand(b, ax, &h); h.fails > 1 {
			mt.meet(t, b, ax, &h)
		} else {
			h.parts(ax, func(part *half) { mt.meet(t, b, ax, part) })
		}
		t.Done += h.weight * mt.all
	}
	return t
}

// report tells how far the run is.
func (r *runner) report(step string) {
	if r.o.Progress == nil {
		return
	}
	p := Progress{Space: r.s.size, Evaluated: r.all.Evaluated, Cut: max(0, r.all.Done-r.all.Evaluated), Step: step, Found: len(r.all.front.list), Best: []Number{}}
	list := r.all.front.list
	if r.s.asked && r.front.list != nil {
		list = r.front.list
	}
	if p.Found = len(list); p.Found > 0 {
		best := &list[0]
		for i := range list {
			if slices.Compare(list[i].Cost, best.Cost) < 0 {
				best = &list[i]
			}
		}
		p.Best = r.s.told(best, r.o.Units)
	}
	r.o.Progress(p)
}

// told are the preferred numbers of a member of the front; of one that is best in its middle, how far it is from there.
func (s *space) told(m *member, u quantity.System) []Number {
	out := []Number{}
	for i := range s.prefers {
		p, c := &s.prefers[i], m.Cost[i]
		if c >= worst {
			continue
		}
		if p.way == "higher" {
			c = -c
		}
		n := shown(p.ch, c, s.currency, u)
		if p.way == "middle" {
			n.Name += ", from its middle"
		}
		out = append(out, n)
	}
	return out
}
