package search

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"lowslung/balance"
	"lowslung/channel"
	"lowslung/check"
	"lowslung/drive"
	"lowslung/finding"
	"lowslung/ride"
	"lowslung/rig"
	"lowslung/rocks"
	"lowslung/solid"
	"lowslung/steer"
	"lowslung/travel"
)

// Asking: wants and preferences on numbers that only a whole build has (balance, ride, drive, steer) are asked last, of the builds that
// pass everything cheap, best first. A build that another is no worse than in everything preferred, when that one has passed, is not asked.

// picksOf are the values of all choices that combination rank stands for.
func (s *space) picksOf(rank int64) []int {
	picks := make([]int, len(s.choices))
	for i, n := range split(rank/s.each, s.sizesOf(s.framing)) {
		picks[s.framing[i]] = n
	}
	rank %= s.each
	for end, n := range [2]int64{rank / s.sizes[solid.Rear], rank % s.sizes[solid.Rear]} {
		var mine []owned
		var sizes []int
		for _, g := range s.owners() {
			part := component{shock: s.choices[g.choices[0]].paths[0][0] == "shocks", name: s.choices[g.choices[0]].paths[0][1]}
			if part.place(s.m) != solid.End(end) {
				continue
			}
			total := 1
			for _, k := range s.sizesOf(g.choices) {
				total *= k
			}
			mine, sizes = append(mine, g), append(sizes, total)
		}
		for i, v := range split(n, sizes) {
			for k, pick := range split(int64(v), s.sizesOf(mine[i].choices)) {
				picks[mine[i].choices[k]] = pick
			}
		}
	}
	return picks
}

// patch is what a combination changes in the document; nil when it is the build as it is.
func (s *space) patch(m member, adds ...adding) *rig.Node {
	picks := s.picksOf(m.Rank)
	tree := s.set(s.set(s.b.Tree, m, picks, true), m, picks, false)
	for _, a := range adds {
		tree = rig.Merge(tree, a.patch)
	}
	return rig.PatchOf(s.b.Tree, tree)
}

// framed is what those of a combination's changes are that concern more than one link or shock.
func (s *space) framed(m member) *rig.Node {
	return rig.PatchOf(s.b.Tree, s.set(s.b.Tree, m, s.picksOf(m.Rank), true))
}

// set is a tree with the values of a combination for the choices that make frames, or for those that do not.
func (s *space) set(tree *rig.Node, m member, picks []int, framing bool) *rig.Node {
	for i := range s.choices {
		if c := &s.choices[i]; (c.owner == "") == framing {
			tree = s.choose(tree, m, i, picks[i])
		}
	}
	return tree
}

// choose is a tree with the value of a combination for one choice.
func (s *space) choose(tree *rig.Node, m member, i, pick int) *rig.Node {
	c := &s.choices[i]
	if k := slices.Index(s.free, i); k >= 0 && m.Fine != nil && m.Fine[k] >= 0 {
		return c.write(tree, s.b.Full(), c.free.node(m.Fine[k], c.place))
	}
	if pick > 0 {
		return c.write(tree, s.b.Full(), c.values[pick])
	}
	return tree
}

// build is the build that a patch makes, resolved.
func (s *space) build(patch *rig.Node) (*rig.Build, *solid.Model, error) {
	if patch == nil {
		return s.b, s.m, nil
	}
	b, err := s.b.With(patch)
	if err != nil {
		return nil, nil, err
	}
	m, err := solid.Resolve(b)
	return b, m, err
}

// words are the questions that have to be asked of a whole build.
func (s *space) words() []string {
	var out []string
	see := func(c *channel.Channel) {
		if !slices.Contains(out, c.Word) {
			out = append(out, c.Word)
		}
	}
	for i := range s.wants {
		if s.wants[i].stage == asking && s.wants[i].need == byNumber {
			see(s.wants[i].ch)
		}
	}
	for i := range s.prefers {
		if s.prefers[i].number < 0 {
			see(s.prefers[i].ch)
		}
	}
	slices.Sort(out) // balance, drive, ride, rocks, steer, travel
	return out
}

// long says that a number is wanted or preferred that ride does not work out when asked in brief.
func (s *space) long() bool {
	for i := range s.wants {
		if c := s.wants[i].ch; c != nil && slices.Contains(longer, c.Name) {
			return true
		}
	}
	return slices.ContainsFunc(s.prefers, func(p prefer) bool { return slices.Contains(longer, p.ch.Name) })
}

var longer = []string{"ramp travel index", "approach angle", "departure angle", "breakover angle"}

// numbersOf asks one question of a build.
func (s *space) numbersOf(word string, m *solid.Model) ([]channel.Value, error) {
	switch word {
	case "travel": // numbers of it that are not cheap
		a, err := travel.Assess(m, travel.Options{Heave: s.spans[0], Roll: s.spans[1]})
		return a.Numbers(), err
	case "balance":
		a, err := balance.Assess(m, balance.Options{})
		return a.Numbers(), err
	case "steer":
		a, err := steer.Assess(m, steer.Options{})
		return a.Numbers(), err
	case "drive":
		a, err := drive.Assess(m, drive.Options{})
		return a.Numbers(), err
	case "ride":
		a, err := ride.Assess(m, ride.Options{Brief: !s.long()})
		return a.Numbers(), err
	case "rocks":
		a, err := rocks.Assess(m, rocks.Options{Only: rocks.Needed(s.names())})
		return a.Numbers(), err
	}
	return nil, fmt.Errorf("found the question %q, expected balance, drive, ride, rocks, steer or travel", word)
}

// names are those of all numbers wanted or preferred.
func (s *space) names() (out []string) {
	for i := range s.wants {
		if c := s.wants[i].ch; c != nil {
			out = append(out, c.Name)
		}
	}
	for i := range s.prefers {
		out = append(out, s.prefers[i].ch.Name)
	}
	return out
}

// An inquiry is what whole builds said.
type inquiry struct {
	member
	first int // want failed first, −1 for none
	fails int
	miss  float64
	err   error
}

// asking asks one build; an error counts as everything failed, and is told.
func (r *runner) inquire(words []string, m member) inquiry {
	s := r.s
	out := inquiry{member: m, first: -1}
	out.Cost = slices.Clone(m.Cost)
	_, model, err := s.build(s.patch(m))
	if err != nil {
		out.err = err
		return out
	}
	known := map[string]float64{}
	if len(words) > 0 {
		model = ride.Stand(model)
	}
	for _, w := range words {
		list, err := s.numbersOf(w, model)
		if err != nil {
			out.err = err
			return out
		}
		for _, v := range list {
			known[v.Channel.Name] = v.Value
		}
		// A want that fails twice over needs no more questions.
		if out.judge(s, known, words, w); out.fails > 1 {
			return out
		}
	}
	if out.fails == 0 && s.whole {
		out.first, out.fails, out.err = r.wholly(m)
	}
	for i := range s.prefers {
		if p := &s.prefers[i]; p.number < 0 {
			v, ok := known[p.ch.Name]
			if out.Cost[i] = worst; ok {
				out.Cost[i] = p.rounded(v)
			}
		}
	}
	return out
}

// wholly asks the whole build, standing on its own springs and with what it lacks added: whether it still meets every want there, and whether
// anything stops that does not stop in the build as it is. It says which want it fails first, −1 for none.
func (r *runner) wholly(m member) (first, fails int, err error) {
	s := r.s
	_, model, err := s.build(s.patch(m, r.adds...))
	if err != nil {
		return -1, 0, err
	}
	model = ride.Stand(model)
	// Travel is where most of it shows, and the quicker to ask.
	t, err := travel.Assess(model, travel.Options{Heave: r.o.Heave, Roll: r.o.Roll})
	if err != nil {
		return -1, 0, err
	}
	for i := range s.wants {
		w := &s.wants[i]
		if w.number < 0 || w.number >= price {
			continue
		}
		for _, v := range t.Numbers() {
			if v.Channel == w.ch && w.missed(v.Value) > 0 {
				return i, 1, nil
			}
		}
	}
	stops := len(s.wants) - 1
	if r.stopsAmong(t.Findings) {
		return stops, 1, nil
	}
	c, err := check.Assess(model, check.Options{})
	if err == nil && r.stopsAmong(c.Findings) {
		return stops, 1, nil
	}
	return -1, 0, err
}

func (r *runner) stopsAmong(list []finding.Finding) bool {
	for i := range list {
		if f := &list[i]; f.Level == finding.Stop && !r.stops[stopKey(f)] {
			return true
		}
	}
	return false
}

// stopKey tells stops apart.
func stopKey(f *finding.Finding) string { return f.Code + " " + strings.Join(f.About, " ") }

// judge holds what is known against the wants of the questions asked so far.
func (q *inquiry) judge(s *space, known map[string]float64, words []string, upTo string) {
	q.first, q.fails, q.miss = -1, 0, 0
	for i := range s.wants {
		w := &s.wants[i]
		if w.stage != asking || w.need != byNumber || slices.Index(words, w.ch.Word) > slices.Index(words, upTo) {
			continue
		}
		by := never
		if v, ok := known[w.ch.Name]; ok {
			by = w.miss(v)
		}
		if by > 0 {
			if q.first < 0 {
				q.first, q.miss = i, by
			}
			q.fails++
		}
	}
}

const batch = 32 // builds asked at once, so that which are asked does not depend on the number of workers

// ask asks the builds that are left.
func (r *runner) ask(ctx context.Context) error {
	s, words := r.s, r.s.words()
	if s.whole {
		now, err := check.Assess(s.m, check.Options{})
		if err != nil {
			return err
		}
		r.stops = map[string]bool{}
		for i := range now.Findings {
			if f := &now.Findings[i]; f.Level == finding.Stop {
				r.stops[stopKey(f)] = true
			}
		}
	}
	r.all.orderKept()
	list := r.all.kept
	cheap := true
	for i := range s.prefers {
		cheap = cheap && s.prefers[i].number >= 0
	}
	asked := 0
	for at := 0; at < len(list) && asked < r.o.Asked; {
		var now []member
		for ; at < len(list) && len(now) < batch && asked+len(now) < r.o.Asked; at++ {
			if !cheap || !r.front.beaten(&list[at]) {
				now = append(now, list[at])
			}
		}
		err := ordered(ctx, r.o.Workers, 0, len(now), func(_, i int) inquiry { return r.inquire(words, now[i]) }, func(_ int, q inquiry) error {
			r.all.Evaluated++
			switch {
			case q.err != nil:
				r.notes = append(r.notes, finding.New(finding.Watch, "search/not-asked", "One combination could not be asked: %v", q.err))
			case q.fails == 0:
				r.front.offer(q.member)
			default:
				r.all.Rejected[q.first] += q.Count
				if q.fails == 1 {
					r.all.only(q.first, q.Count, q.miss, q.Rank)
				}
			}
			return nil
		})
		if err != nil {
			return err
		}
		asked += len(now)
		r.report("ask")
	}
	left := 0
	if asked >= r.o.Asked {
		left = len(list) - asked
	}
	if left > 0 || r.all.Passed > int64(mostKept) {
		r.notes = append(r.notes, finding.New(finding.Watch, "search/not-all-asked",
			"The wants that are cheap to judge leave %d combinations; the slow questions (%v) were asked of the %d that are best in what is preferred, so a build that only these questions would tell apart may be missing.", r.all.Passed, words, asked).
			CuredBy("narrow the wants on travel, wheelbase or price, or take values out of choices"))
	}
	r.all.front, r.front = r.front, front{}
	return nil
}
