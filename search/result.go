package search

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"lowslung/channel"
	"lowslung/check"
	"lowslung/finding"
	"lowslung/mates"
	"lowslung/quantity"
	"lowslung/ride"
	"lowslung/rig"
	"lowslung/solid"
	"lowslung/tolerance"
	"lowslung/travel"
)

// The answer: the best compromises of the front, each worked out in full and held against what the search had of it.

func (r *runner) answer(ctx context.Context) (Answer, error) {
	s, t := r.s, r.all
	t.front.ordered()
	a := Answer{
		Name: s.m.Name, Space: s.size, Evaluated: t.Evaluated, Cut: s.size - t.Evaluated, Choices: []Choice{}, Wants: []Want{}, Prefers: []Prefer{},
		Builds: []Build{}, Rejected: map[string]int64{}, Front: len(t.front.list), Findings: r.notes,
	}
	if a.Cut < 0 { // pairs of halves and halves alone were both judged
		a.Evaluated, a.Cut = s.size, 0
	}
	for i := range s.choices {
		c := &s.choices[i]
		one := Choice{Name: c.name, Change: c.texts, Values: []string{}, Between: c.free != nil}
		for _, v := range c.values {
			one.Values = append(one.Values, v.Line())
		}
		a.Choices = append(a.Choices, one)
	}
	for i := range s.wants {
		w := &s.wants[i]
		a.Wants = append(a.Wants, w.answer(s.currency, r.o.Units))
		if t.Rejected[i] > 0 {
			a.Rejected[w.name()] += t.Rejected[i]
		}
	}
	for i := range s.prefers {
		a.Prefers = append(a.Prefers, Prefer{Name: s.prefers[i].ch.Name, Way: s.prefers[i].way})
	}
	a.Loosen = r.loosen()
	now, err := r.whole(nil, s.m)
	if err != nil {
		return a, err
	}
	a.Now = r.shown(now)
	before, from := now.values, "the build as it is"
	for i, m := range r.best() {
		if err := ctx.Err(); err != nil {
			return a, err
		}
		b, values, err := r.found(m, r.adds, i+1, now)
		if err != nil {
			return a, err
		}
		b.Trade = s.trade(before, values, from, r.o.Units)
		before, from = values, fmt.Sprintf("build %d", i+1)
		a.Builds = append(a.Builds, b)
		r.report("check")
	}
	a.Findings = append(a.Findings, r.judge(&a)...)
	if a.Findings == nil {
		a.Findings = []finding.Finding{}
	}
	finding.Sort(a.Findings)
	return a, nil
}

// best are the members of the front that are worked out: the best compromise first, each number's best among them.
func (r *runner) best() []member {
	order := r.compromises()
	if r.o.Builds < 0 || len(order) <= r.o.Builds {
		return order
	}
	spread := r.s.spread(order)
	out := make([]member, 0, r.o.Builds)
	for pass := range 2 { // what is nearly the same as one that is told waits till the others are
		for _, m := range order {
			if len(out) == r.o.Builds {
				break
			}
			same := slices.ContainsFunc(out, func(o member) bool { return m.near(&o, spread) })
			taken := slices.ContainsFunc(out, func(o member) bool { return m.order(&o) == 0 })
			if !taken && same == (pass == 1) {
				out = append(out, m)
			}
		}
	}
	at := len(out) - 1
	for i := 0; i < len(r.s.prefers) && at > 0; i++ {
		lo := slices.MinFunc(order, func(a, b member) int { return cmp.Compare(a.Cost[i], b.Cost[i]) }).Cost[i]
		if slices.ContainsFunc(out, func(m member) bool { return m.Cost[i] == lo }) {
			continue
		}
		k := slices.IndexFunc(order, func(m member) bool { return m.Cost[i] == lo })
		out[at] = order[k]
		at--
	}
	return out
}

// spread is how far apart the preferred numbers of a list are.
func (s *space) spread(list []member) []float64 {
	out := make([]float64, len(s.prefers))
	for i := range out {
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, m := range list {
			if c := m.Cost[i]; c < worst {
				lo, hi = min(lo, c), max(hi, c)
			}
		}
		out[i] = max(0, hi-lo)
	}
	return out
}

// near says that two builds are alike in everything preferred, to a twentieth of the spread.
func (m *member) near(o *member, spread []float64) bool {
	for i, c := range m.Cost {
		if math.Abs(c-o.Cost[i]) > spread[i]/20 {
			return false
		}
	}
	return true
}

// compromises is the front with the best compromise first: the least sum of how far each number is from the best, against its spread.
func (r *runner) compromises() []member {
	list := r.all.front.list
	if len(list) == 0 {
		return nil
	}
	lo, hi := slices.Clone(list[0].Cost), slices.Clone(list[0].Cost)
	for _, m := range list {
		for i, c := range m.Cost {
			lo[i], hi[i] = min(lo[i], c), max(hi[i], c)
		}
	}
	score := func(m member) (sum float64) {
		for i, c := range m.Cost {
			if hi[i] > lo[i] {
				sum += (c - lo[i]) / (hi[i] - lo[i])
			}
		}
		return sum
	}
	order := slices.Clone(list)
	slices.SortStableFunc(order, func(a, b member) int {
		return cmp.Compare(score(a), score(b))
	})
	return order
}

// A whole is a build worked out in full.
type whole struct {
	values   []channel.Value
	currency string // of its price
	findings []finding.Finding
}

// whole asks every question of a build; patch is nil for the build as it is.
func (r *runner) whole(b *rig.Build, m *solid.Model) (whole, error) {
	o := check.Options{Units: r.o.Units, Thorough: r.s.long()}
	o.Travel.Heave, o.Travel.Roll = r.o.Heave, r.o.Roll
	c, err := check.Assess(m, o)
	if err != nil {
		return whole{}, err
	}
	w := whole{values: c.Numbers(), currency: r.s.currency, findings: c.Findings}
	if b == nil {
		return w, nil
	}
	j, err := mates.Assess(m, mates.Options{Against: r.s.m, Travel: &c.Travel})
	if err != nil {
		return w, err
	}
	count := 0
	for _, list := range [][]mates.Piece{j.Bought, j.Made} {
		for _, p := range list {
			count += p.Count
		}
	}
	w.values = append(w.values, channel.Of("new parts", float64(count)))
	if j.Currency != "" || j.Price == 0 {
		w.values = append(w.values, channel.Of("price", j.Price))
		w.currency = cmp.Or(j.Currency, w.currency)
	}
	return w, nil
}

func (r *runner) shown(w whole) []Number {
	out := []Number{}
	for _, v := range w.values {
		out = append(out, shown(v.Channel, v.Value, w.currency, r.o.Units))
	}
	return out
}

// found works one member of the front out.
func (r *runner) found(m member, adds []adding, n int, now whole) (Build, []channel.Value, error) {
	s := r.s
	patch := s.patch(m)
	b, model, err := s.build(patch)
	if err != nil {
		return Build{}, nil, fmt.Errorf("build %d does not load: %w", n, err)
	}
	bare, err := r.whole(b, model)
	if err != nil {
		return Build{}, nil, err
	}
	out := Build{Numbers: r.shown(bare), Changes: rig.Diff(s.b.Tree, b.Tree), Adds: []string{}, Findings: []finding.Finding{}, Robust: []Band{}}
	_, base, err := s.build(s.framed(m))
	if err != nil {
		return Build{}, nil, fmt.Errorf("build %d does not load: %w", n, err)
	}
	plain, err := travel.Assess(asSearched(base, model), travel.Options{Heave: r.o.Heave, Roll: r.o.Roll})
	if err != nil {
		return Build{}, nil, err
	}
	out.Findings = append(out.Findings, r.agrees(m, plain.Numbers(), bare.values)...)
	tree := b.Tree
	for _, add := range adds {
		tree = rig.Merge(tree, add.patch)
		out.Adds = append(out.Adds, add.words)
	}
	full := bare
	if len(adds) > 0 {
		patch = rig.PatchOf(s.b.Tree, tree)
		if b, model, err = s.build(patch); err != nil {
			return Build{}, nil, fmt.Errorf("build %d does not load with what it lacks: %w", n, err)
		}
		if full, err = r.whole(b, model); err != nil {
			return Build{}, nil, err
		}
		out.Changes = rig.Diff(s.b.Tree, b.Tree)
	}
	for _, f := range full.findings {
		if f.Level == finding.Stop || f.Level == finding.Watch && !slices.ContainsFunc(now.findings, func(g finding.Finding) bool { return g.Code == f.Code && slices.Equal(g.About, f.About) }) {
			out.Findings = append(out.Findings, f)
		}
	}
	name := s.m.Name
	if name == "" {
		name = s.b.File
	}
	out.Patch = Write(s.b.File, fmt.Sprintf("%s, build %d of the search", name, n), patch)
	if out.Robust, err = r.robust(model); err != nil {
		return Build{}, nil, err
	}
	return out, bare.values, nil
}

// tried is how many builds, each off in every hole, length and turn at once, tell how robust one is.
const tried = 200

// robust is how far the numbers that are wanted or preferred spread under the usual errors of making.
func (r *runner) robust(m *solid.Model) ([]Band, error) {
	t, err := tolerance.Assess(ride.Stand(m), tolerance.Options{Samples: tried, Units: r.o.Units})
	out := []Band{}
	for _, b := range t.Bands {
		matters := slices.ContainsFunc(r.s.wants, func(w want) bool { return w.ch != nil && w.by != "parts" && w.ch.Name == b.Name }) ||
			slices.ContainsFunc(r.s.prefers, func(p prefer) bool { return p.ch.Name == b.Name })
		if matters {
			out = append(out, Band{Name: b.Name, From: b.From, To: b.To, Unit: b.Unit, Text: b.FromText + " to " + b.ToText})
		}
	}
	return out, err
}

// agrees holds what the search had of a build against the build itself: the same numbers by another way. Plain are those of travel where it
// stood while searching.
func (r *runner) agrees(m member, plain, whole []channel.Value) (out []finding.Finding) {
	for i := range r.s.prefers {
		p := &r.s.prefers[i]
		list := plain
		if p.number < 0 || p.number >= price {
			list = whole
		}
		k := slices.IndexFunc(list, func(v channel.Value) bool { return v.Channel == p.ch })
		v := math.NaN()
		if k >= 0 {
			v = list[k].Value
		}
		if c := p.rounded(v); math.Abs(c-m.Cost[i]) > 1e-5*max(1, math.Abs(c)) {
			out = append(out, finding.New(finding.Stop, "search/disagrees",
				"The search had %s at %g, the build itself has %g: one of them is wrong; please report the document.", p.ch.Name, m.Cost[i], c))
		}
	}
	return out
}

// loosen is the want that alone keeps out the most.
func (r *runner) loosen() *Loosen {
	best := -1
	for i, o := range r.all.Only {
		if o.Count > 0 && (best < 0 || o.Count > r.all.Only[best].Count) {
			best = i
		}
	}
	if best < 0 {
		return nil
	}
	w, o := &r.s.wants[best], r.all.Only[best]
	out := &Loosen{Want: w.name(), Gains: o.Count}
	gains := "at most "
	if !r.s.asked || w.stage == asking {
		gains = ""
	}
	if w.need != byNumber || o.By >= never/2 {
		out.Text = fmt.Sprintf("%s%d combinations fail nothing but %q.", finding.Sentence(gains), o.Count, w.name())
		return out
	}
	out.Unit = unitOf(w.ch, r.s.currency, r.o.Units)
	out.By = in(w.ch, o.By, r.o.Units) - in(w.ch, 0, r.o.Units)
	by := w.ch.Dim.FormatDigits(o.By, r.o.Units, w.ch.Digits+2)
	if isMoney(w.ch) { // to the smallest coin, as it is paid
		by = Format(w.ch, o.By, r.s.currency, r.o.Units)
	}
	out.Text = fmt.Sprintf("%s%d combinations fail nothing but %s, the nearest by %s.", finding.Sentence(gains), o.Count, w.name(), by)
	return out
}

func lowered(s string) string { return strings.ToLower(s[:1]) + s[1:] }

// trade is what a build gives and takes against another in what is preferred, in words.
func (s *space) trade(before, after []channel.Value, from string, u quantity.System) string {
	get := func(list []channel.Value, c *channel.Channel) (float64, bool) {
		for _, v := range list {
			if v.Channel == c {
				return v.Value, true
			}
		}
		return 0, c.Word == "search" // the build as it is needs nothing new
	}
	var gains, costs []string
	for i := range s.prefers {
		p := &s.prefers[i]
		x, okX := get(before, p.ch)
		y, okY := get(after, p.ch)
		if !okX || !okY || p.rounded(x) == p.rounded(y) || p.ch.Format(math.Abs(y-x), u) == p.ch.Format(0, u) {
			continue
		}
		word := "more"
		if y < x {
			word = "less"
		}
		text := fmt.Sprintf("%s %s %s", p.ch.Format(math.Abs(y-x), u), word, p.ch.Name)
		if p.number == price {
			text = fmt.Sprintf("%s %s", Format(p.ch, math.Abs(y-x), cmp.Or(s.currency, "to pay"), u), word)
		}
		if p.cost(y) < p.cost(x) {
			gains = append(gains, text)
		} else {
			costs = append(costs, text)
		}
	}
	switch {
	case len(gains) == 0 && len(costs) == 0:
		return "The same as " + from + " in what is preferred."
	case len(costs) == 0:
		return "Against " + from + ": better by " + join(gains) + "."
	case len(gains) == 0:
		return "Against " + from + ": it takes " + join(costs) + "."
	}
	return "Against " + from + ": better by " + join(gains) + ", for " + join(costs) + "."
}

func join(list []string) string {
	if len(list) < 2 {
		return strings.Join(list, "")
	}
	return strings.Join(list[:len(list)-1], ", ") + " and " + list[len(list)-1]
}

// judge says what came out.
func (r *runner) judge(a *Answer) (out []finding.Finding) {
	s := r.s
	if len(a.Builds) == 0 {
		most, n := "", int64(0)
		for i := range s.wants {
			if c := a.Rejected[s.wants[i].name()]; c > n {
				most, n = s.wants[i].name(), c
			}
		}
		f := finding.New(finding.Stop, "search/none", "None of %d combinations meets everything wanted; most, %d, fall to %q first.", a.Space, n, most).For("search")
		if a.Loosen != nil {
			f = f.CuredBy("loosen %q: %s", a.Loosen.Want, lowered(strings.TrimSuffix(a.Loosen.Text, ".")))
		} else {
			f = f.CuredBy("let more change under vary, or want less of %q; every combination fails at least two wants", most)
		}
		return append(out, f)
	}
	text := "%d of %d combinations are worth making: no other beats one of them in everything preferred."
	if slices.ContainsFunc(r.all.front.list, func(m member) bool { return m.Fine != nil }) {
		text = "%d builds are worth making, from %d combinations and what lies between them: no other found beats one of them in everything preferred."
	}
	out = append(out, finding.New(finding.OK, "search/found", text, a.Front, a.Space).For("search"))
	if a.Loosen != nil {
		out = append(out, finding.New(finding.Note, "search/loosen", "Loosening %q would let in the most: %s", a.Loosen.Want, lowered(a.Loosen.Text)).For("search"))
	}
	for _, words := range a.Builds[0].Adds {
		out = append(out, finding.New(finding.Note, "search/adds", "Every build found also adds what the document forgets: %s.", words))
	}
	for i := range a.Builds {
		for _, f := range a.Builds[i].Findings {
			if f.Level == finding.Stop {
				one := finding.New(finding.Watch, "search/still-stops", "Build %d still has a stop: %s", i+1, f.Sentence).For(f.About...)
				if f.Cure != "" {
					one = one.CuredBy("%s", f.Cure)
				}
				out = append(out, one)
			}
		}
	}
	return out
}
