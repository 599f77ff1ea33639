package search

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"lowslung/channel"
	"lowslung/quantity"
	"lowslung/ride"
	"lowslung/rig"
	"lowslung/rocks"
	"lowslung/solid"
	"lowslung/travel"
)

// links is a search section over the rear links that is large enough for several pieces.
const links = `  vary:
    rear lower rod:   {change: links/rear lower/rod/item, kind: rod, thread: M3}
    rear lower end:   {change: links/rear lower/ends/1, kind: rod end, named: end-m3}
    rear lower turns: {change: links/rear lower/turns, from: 0, to: 12, step: 1}
    rear upper rod:   {change: links/rear upper/rod/item, kind: rod, thread: M3}
    rear upper turns: {change: links/rear upper/turns, from: 0, to: 12, step: 1}
  wants:
    wheelbase: {about: 312, within: 4}
    rear pinion angle: {from: 2, to: 14}
  prefer: {price: lower, rear pinion angle: middle, rear pinion angle swing: lower}
`

// A run that is killed, again and again, and taken up from its last checkpoint ends at the answer of one that was left alone.
func TestKilledAndTakenUpAgain(t *testing.T) {
	b := over(t, "bramble-portal.rig.yaml", links)
	want, err := Run(context.Background(), b, Options{Lean: true, Workers: 2, Builds: 1})
	if err != nil {
		t.Fatal(err)
	}
	r := seeded(t)
	var state []byte
	kills := 0
	for {
		ctx, kill := context.WithCancel(context.Background())
		left := 1 + r.IntN(6)
		o := Options{Lean: true, Builds: 1, Workers: 1 + r.IntN(3), Resume: state, Checkpoint: func(s []byte) { state = s }}
		o.Progress = func(Progress) {
			if left--; left == 0 {
				kill()
			}
		}
		got, err := Run(ctx, b, o)
		kill()
		if err == nil {
			got.Name = want.Name
			if !reflect.DeepEqual(got, want) {
				t.Errorf("after %d kills:\n%s\nleft alone:\n%s", kills, brief(got), brief(want))
			}
			break
		}
		if !errors.Is(err, context.Canceled) || state == nil {
			t.Fatal(err)
		}
		if kills++; kills > 500 {
			t.Fatal("the run does not get on")
		}
	}
	if kills < 3 {
		t.Errorf("only %d kills: the space is too small to say much", kills)
	}
}

func brief(a Answer) string {
	a.Choices, a.Now, a.Wants = nil, nil, nil
	for i := range a.Builds {
		a.Builds[i].Numbers = nil
	}
	text, _ := json.MarshalIndent(a, "", " ")
	return string(text)
}

// Progress never goes back, ends with everything settled, and tells the best build so far.
func TestProgress(t *testing.T) {
	last, calls := Progress{}, 0
	_, err := Run(context.Background(), over(t, "bramble-portal.rig.yaml", links), Options{Lean: true, Builds: 1, Workers: 2, Progress: func(p Progress) {
		if p.Evaluated+p.Cut < last.Evaluated+last.Cut || p.Space != last.Space && calls > 0 {
			t.Errorf("from %+v to %+v", last, p)
		}
		last, calls = p, calls+1
	}})
	if err != nil || calls < 3 || last.Done() != 1 || last.Found == 0 || len(last.Best) != 3 || last.Best[1].Name != "rear pinion angle, from its middle" {
		t.Errorf("%v, %d calls, the last %+v", err, calls, last)
	}
}

// The answer is the same, to the bit, with any number of workers.
func TestWorkersDoNotMatter(t *testing.T) {
	for _, base := range []string{"bramble-portal.rig.yaml", "bramble.rig.yaml"} {
		b := over(t, base, links)
		one, err := Run(context.Background(), b, Options{Lean: true, Builds: 2, Workers: 1})
		if err != nil {
			t.Fatal(err)
		}
		for _, n := range []int{2, 3} {
			if got, err := Run(context.Background(), b, Options{Lean: true, Builds: 2, Workers: n}); err != nil || !reflect.DeepEqual(got, one) {
				t.Errorf("%s with %d workers (%v):\n%s\nwith one:\n%s", base, n, err, brief(got), brief(one))
			}
		}
	}
}

// Whole builds are asked in batches, so the workers do not matter there either.
func TestWorkersDoNotMatterWhenAsking(t *testing.T) {
	section := `  vary:
    rear lower turns: {change: links/rear lower/turns, from: 8, to: 12, step: 1}
    rear upper turns: {change: links/rear upper/turns, from: 0, to: 8, step: 2}
  wants:
    wheelbase: {from: 305, to: 315}
    static stability factor: {from: %.6f}
  prefer: {rear pinion angle: lower, flexed tip angle left: higher}
`
	b := over(t, "bramble-portal.rig.yaml", fmt.Sprintf(section, 0.0))
	free := asks(t, b, Options{Lean: true, Workers: 1})
	_, m, err := free.s.build(free.s.patch(free.all.front.list[0]))
	if err != nil {
		t.Fatal(err)
	}
	values, err := free.s.numbersOf("balance", ride.Stand(m))
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range values {
		if v.Channel.Name == "static stability factor" {
			b = over(t, "bramble-portal.rig.yaml", fmt.Sprintf(section, v.Value)) // what the first of the front just has
		}
	}
	one := asks(t, b, Options{Lean: true, Workers: 1})
	if k := len(one.s.wants) - 1; len(one.all.front.list) == 0 || one.all.Rejected[k] == 0 {
		t.Errorf("expected builds, and some that %s rejects: %v", one.s.wants[k].name(), one.all.Rejected)
	}
	three := asks(t, b, Options{Lean: true, Workers: 3})
	if !reflect.DeepEqual(one.all, three.all) {
		t.Errorf("%+v\nwith one:\n%+v", three.all, one.all)
	}
}

// Asking loses nothing either: each combination's document, asked by itself, gives the same counts and the same front. Collars and springs
// move no axle while searching, and cost the same; only whole builds tell them apart.
func TestAskingLosesNothing(t *testing.T) {
	b := over(t, "bramble-portal.rig.yaml", `  vary:
    collar: {change: shocks/rear/collar, from: 0, to: 6, step: 2}
    spring: {change: shocks/rear/springs/0/item, kind: spring, named: spring-65}
    rear lower turns: {change: links/rear lower/turns, among: [10, 12]}
    tyres: {change: front/parts/front tyre/item, also: [rear/parts/rear tyre/item], among: [tyre-114-hard]}
  wants:
    wheelbase: {from: 309, to: 312}
    rear sag: {from: 40 %, to: 60 %}
    tip angle left: {from: 48}
  prefer: {rear ride frequency: lower, standing clearance: higher, rear pinion angle: lower}
`)
	r := asks(t, b, Options{Lean: true, Workers: 2})
	s := r.s
	rejected := map[string]int64{}
	var slow front
	for rank := range s.size {
		one := member{Rank: rank}
		build, m, err := s.build(s.patch(one))
		if err != nil {
			t.Fatal(err, build)
		}
		_, base, err := s.build(s.framed(one))
		if err != nil {
			t.Fatal(err)
		}
		set, err := travel.Assess(asSearched(base, m), travel.Options{Heave: s.spans[0], Roll: s.spans[1]})
		if err != nil {
			t.Fatal(err)
		}
		known := map[string]float64{}
		for _, v := range set.Numbers() {
			known[v.Channel.Name] = v.Value
		}
		m = ride.Stand(m)
		for _, word := range []string{"balance", "ride"} {
			list, err := s.numbersOf(word, m)
			if err != nil {
				t.Fatal(err)
			}
			for _, v := range list {
				known[v.Channel.Name] = v.Value
			}
		}
		fell := ""
		for i := range s.wants {
			w := &s.wants[i]
			if w.need == byNumber && fell == "" && w.missed(known[w.ch.Name]) > 0 {
				fell = w.name()
			}
		}
		if fell != "" {
			rejected[fell]++
			continue
		}
		var c []float64
		for i := range s.prefers {
			c = append(c, s.prefers[i].rounded(known[s.prefers[i].ch.Name]))
		}
		slow.offer(member{Cost: c, Rank: rank})
	}
	slow.ordered()
	total := int64(0)
	for i := range s.wants {
		total += r.all.Rejected[i]
		if got, want := r.all.Rejected[i], rejected[s.wants[i].name()]; got != want {
			t.Errorf("%s rejects %d, one by one %d", s.wants[i].name(), got, want)
		}
	}
	if len(rejected) < 2 || len(slow.list) < 2 || total == s.size {
		t.Errorf("%v of %d rejected, %d on the front: the space tests too little", rejected, s.size, len(slow.list))
	}
	if fmt.Sprint(ranks(r.all.front)) != fmt.Sprint(ranks(slow)) {
		t.Errorf("front %v, one by one %v", ranks(r.all.front), ranks(slow))
	}
}

func ranks(f front) (out []int64) {
	for _, m := range f.list {
		out = append(out, m.Rank)
	}
	slices.Sort(out)
	return out
}

// asks goes through a space and asks what is left, without working the answer out.
func asks(t testing.TB, b *rig.Build, o Options) *runner {
	t.Helper()
	r := runs(t, b, o)
	if r.s.asked {
		if err := r.ask(context.Background()); err != nil {
			t.Fatal(err)
		}
	}
	for _, n := range r.notes {
		t.Errorf("%s: %s", n.Code, n.Sentence)
	}
	r.all.front.ordered()
	return r
}

// Pareto's laws on random points: nothing on the front is beaten by anything, everything else is beaten by something on the front, and the
// order of offering does not matter.
func TestFrontLaws(t *testing.T) {
	r := seeded(t)
	for range 200 {
		n, dims := 1+r.IntN(60), 1+r.IntN(4)
		points := make([]member, n)
		for i := range points {
			c := make([]float64, dims)
			for k := range c {
				c[k] = float64(r.IntN(6)) // many that are equal
			}
			points[i] = member{Cost: c, Rank: int64(i)}
		}
		var f, g front
		for _, p := range points {
			f.offer(p)
		}
		for _, i := range r.Perm(n) {
			g.offer(points[i])
		}
		f.ordered()
		g.ordered()
		if !reflect.DeepEqual(f.list, g.list) {
			t.Fatalf("the order of offering changes the front: %v, %v", f.list, g.list)
		}
		on := map[int64]bool{}
		for _, m := range f.list {
			on[m.Rank] = true
		}
		no := func(a, b []float64) (noWorse, some bool) { // the definition, written out
			noWorse = true
			for k := range a {
				noWorse = noWorse && a[k] <= b[k]
				some = some || a[k] < b[k]
			}
			return noWorse, some
		}
		for _, p := range points {
			beaten := false
			for _, q := range points {
				noWorse, better := no(q.Cost, p.Cost)
				beaten = beaten || noWorse && (better || q.Rank < p.Rank)
			}
			if beaten == on[p.Rank] {
				t.Fatalf("point %v is beaten: %v, on the front: %v", p, beaten, on[p.Rank])
			}
		}
	}
}

// Every number of the catalogue can be wanted, and preferred: with the want about the value that some build has, there is such a build; with
// one that none can have, there is none, and that want is among those that reject.
func TestWantsOnEveryNumber(t *testing.T) {
	section := `  vary:
    rear lower turns: {change: links/rear lower/turns, among: [2, 4]}
    front lower turns: {change: links/front lower/turns, among: [2, 3]}
  wants:
    %s: {from: %s, to: %s}
  prefer: {%s: higher}
`
	plain := over(t, "bramble-portal.rig.yaml", fmt.Sprintf(section, "wheelbase", "0", "1000", "price"))
	all, err := Run(context.Background(), plain, Options{Lean: true, Builds: -1})
	if err != nil || len(all.Builds) == 0 {
		t.Fatalf("%v, %d builds", err, len(all.Builds))
	}
	have := map[string]Number{}
	for _, n := range all.Builds[0].Numbers {
		have[n.Name] = n
	}
	long, err := ride.Assess(ride.Stand(asBuilt(t)), ride.Options{}) // what check asks of ride only when a target names it
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range long.Numbers() {
		if _, ok := have[v.Channel.Name]; !ok {
			have[v.Channel.Name] = shown(v.Channel, v.Value, "", quantity.Metric)
		}
	}
	climbs, err := rocks.Assess(ride.Stand(asBuilt(t)), rocks.Options{Only: []string{"climb"}})
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range climbs.Numbers() {
		have[v.Channel.Name] = shown(v.Channel, v.Value, "", quantity.Metric)
	}
	near := func(n Number, v float64) string {
		if n.Name == "price" { // the document writes it bare
			n.Unit = ""
		}
		return strings.TrimSpace(fmt.Sprintf("%.6f %s", v, n.Unit))
	}
	for _, c := range channel.All() {
		n, ok := have[c.Name]
		if c.Word == "rocks" && !ok {
			continue // each of them takes runs; one stands for all
		}
		if !ok {
			t.Errorf("no build has %s", c.Name)
			continue
		}
		if testing.Short() && cheapIndex(c.Name) < 0 {
			continue
		}
		wide := 0.3*math.Abs(n.Value) + 2
		r := asks(t, over(t, "bramble-portal.rig.yaml", fmt.Sprintf(section, c.Name, near(n, n.Value-wide), near(n, n.Value+wide), c.Name)), Options{Lean: true})
		if len(r.all.front.list) == 0 {
			t.Errorf("%s about %s: %v", c.Name, n.Text, r.all.Rejected)
		}
		far := n.Value + 1e4
		if strings.HasSuffix(c.Name, "shaft joint angle") { // together with its room it is the limit of the joint, or the two contradict each other
			far = n.Value + 10
		}
		r = asks(t, over(t, "bramble-portal.rig.yaml", fmt.Sprintf(section, c.Name, near(n, far), near(n, 2e4), c.Name)), Options{Lean: true})
		i := slices.IndexFunc(r.s.wants, func(w want) bool { return w.ch != nil && w.ch.Name == c.Name })
		if len(r.all.front.list) != 0 || r.all.Rejected[i] != r.s.size || r.all.Only[i].Count != r.s.size {
			t.Errorf("%s of %s: %d builds, rejected %v of %d", c.Name, near(n, far), len(r.all.front.list), r.all.Rejected, r.s.size)
		}
	}
}

func asBuilt(t testing.TB) *solid.Model {
	t.Helper()
	b, err := rig.Load(files(nil), "bramble-portal.rig.yaml")
	if err != nil {
		t.Fatal(err)
	}
	m, err := solid.Resolve(b)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// Targets count as wants, unless their level is watch; a want takes the place of a target.
func TestTargetsAreWants(t *testing.T) {
	load := func(targets, wants string) Answer {
		t.Helper()
		b, err := rig.Load(files(map[string]string{
			"without.rig.yaml": "lowslung: 1\nbase: bramble-portal.rig.yaml\ntargets: null\nsearch: null\n",
			"with.rig.yaml": "lowslung: 1\nbase: without.rig.yaml\ntargets: {" + targets + "}\nsearch:\n  vary:\n    rear lower turns: {change: links/rear lower/turns, from: 0, to: 12, step: 1}\n  wants: {" +
				wants + "}\n",
		}), "with.rig.yaml")
		if err != nil {
			t.Fatal(err)
		}
		a, err := Run(context.Background(), b, Options{Lean: true})
		if err != nil {
			t.Fatal(err)
		}
		return a
	}
	if a := load("wheelbase: {from: 308}", ""); a.Rejected["wheelbase"] == 0 || len(a.Builds) == 0 {
		t.Errorf("a target rejects nothing: %v", a.Rejected)
	}
	if a := load("wheelbase: {from: 308, level: watch}", ""); a.Rejected["wheelbase"] != 0 {
		t.Errorf("a target to watch rejects: %v", a.Rejected)
	}
	if a := load("wheelbase: {from: 400}", "wheelbase: {from: 308}"); a.Rejected["wheelbase"] == 0 || len(a.Builds) == 0 {
		t.Errorf("a want does not take the place of a target: %v", a.Rejected)
	}
}
