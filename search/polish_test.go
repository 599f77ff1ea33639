package search

import (
	"context"
	"errors"
	"fmt"
	"math"
	"reflect"
	"slices"
	"testing"

	"lowslung/ride"
	"lowslung/rig"
	"lowslung/solid"
	"lowslung/travel"
)

// polished goes through a space and solves what lies between, without working the answer out.
func polished(t testing.TB, b *rig.Build, o Options) *runner {
	t.Helper()
	r := runs(t, b, o)
	if r.s.asked {
		if err := r.ask(context.Background()); err != nil {
			t.Fatal(err)
		}
	}
	if err := r.polish(context.Background()); err != nil {
		t.Fatal(err)
	}
	r.all.front.ordered()
	return r
}

// least is the least cost of each preferred number on the front.
func (f *front) least(i int) float64 {
	out := math.Inf(1)
	for _, m := range f.list {
		out = min(out, m.Cost[i])
	}
	return out
}

// A choice of any value ends where going through every value of its lattice ends: the same search with the lattice written out as a step.
func TestPolishedIsBestOfTheLattice(t *testing.T) {
	for name, c := range map[string]struct{ vary, change, span, step, rest string }{
		"turns": {"    rod: {change: links/rear lower/rod/item, among: [rod-al6-85, rod-al6-90]}\n", "links/rear lower/turns", "from: 0, to: 12", "0.02",
			"  wants:\n    wheelbase: {from: 306, to: 314}\n    rear pinion angle: {from: 2, to: 12}\n  prefer: {rear pinion angle: middle, rear pinion angle swing: lower}\n"},
		"both ends alike": {"    upper: {change: links/rear upper/turns, among: [0, 4, 8]}\n", "links/rear lower/turns", "from: 4, to: 12, also: [links/front lower/turns]", "0.02",
			"  wants:\n    wheelbase: {from: 306, to: 322}\n    rear pinion angle: {from: 0, to: 20}\n    front pinion angle: {from: -20, to: 20}\n  prefer: {wheelbase: middle, rear pinion angle: middle}\n"},
		"weight of the pack": {"", "chassis/parts/battery/mass", "from: 100, to: 300", "0.5",
			"  wants:\n    rear anti-squat: {from: 43.5 %, to: 47.7 %}\n    wheelbase: {from: 290, to: 320}\n    rear pinion angle: {from: 0, to: 30}\n    front pinion angle: {from: -20, to: 20}\n  prefer: {rear anti-squat: middle}\n"},
	} {
		free := over(t, "bramble-portal.rig.yaml", "  vary:\n"+c.vary+fmt.Sprintf("    any: {change: %s, %s}\n", c.change, c.span)+c.rest)
		stepped := over(t, "bramble-portal.rig.yaml", "  vary:\n"+c.vary+fmt.Sprintf("    any: {change: %s, %s, step: %s}\n", c.change, c.span, c.step)+c.rest)
		steps := runs(t, free, Options{Lean: true})
		got, want := polished(t, free, Options{Lean: true}), runs(t, stepped, Options{Lean: true})
		if got.s.choices[got.s.free[0]].free.step != atof(c.step) {
			t.Fatalf("%s: the lattice has the step %g, the test goes through %s", name, got.s.choices[got.s.free[0]].free.step, c.step)
		}
		solved := false
		for i := range got.s.prefers {
			a, b, before := got.all.front.least(i), want.all.front.least(i), steps.all.front.least(i)
			t.Logf("%s: %s %.6g on its steps, %.6g polished, %.6g by every value", name, got.s.prefers[i].ch.Name, before, a, b)
			solved = solved || a < before-1e-4
			// Another rod, or another hole, can come nearer to a middle by less than half of what a place of the lattice makes.
			half := map[string]float64{"wheelbase": 0.012, "rear pinion angle": 2e-4, "rear anti-squat": 6e-5}[got.s.prefers[i].ch.Name]
			if math.Abs(a-b) > half+2e-6*max(1, math.Abs(b)) {
				t.Errorf("%s: best %s is %g, by every value %g", name, got.s.prefers[i].ch.Name, a, b)
			}
		}
		if !solved {
			t.Errorf("%s: nothing was bettered, the test says nothing", name)
		}
		never := func(kind string, list []member) { // worse than where it began
			for _, m := range list {
				if !slices.ContainsFunc(got.all.front.list, func(o member) bool {
					return !slices.ContainsFunc(zip(o.Cost, m.Cost), func(d float64) bool { return d > 0 })
				}) {
					t.Errorf("%s: nothing polished is as good as %s %v", name, kind, m)
				}
			}
		}
		never("what the steps gave", steps.all.front.list)
	}
}

func zip(a, b []float64) []float64 {
	out := make([]float64, len(a))
	for i := range a {
		out[i] = a[i] - b[i]
	}
	return out
}

func atof(text string) (v float64) {
	fmt.Sscan(text, &v)
	return v
}

// With two choices of any value no neighbour on the lattice is better in everything preferred, each judged as its own document.
func TestPolishedHasNoBetterNeighbour(t *testing.T) {
	b := over(t, "bramble-portal.rig.yaml", `  vary:
    rod: {change: links/rear lower/rod/item, among: [rod-al6-85, rod-al6-90]}
    lower: {change: links/rear lower/turns, from: 0, to: 12}
    upper: {change: links/rear upper/turns, from: 0, to: 12}
  wants:
    wheelbase: {from: 309, to: 315}
    rear pinion angle: {from: 2, to: 12}
  prefer: {rear pinion angle: middle, wheelbase: middle}
`)
	r := polished(t, b, Options{Lean: true})
	s := r.s
	tested := 0
	for _, m := range r.all.front.list {
		if m.Fine == nil {
			continue
		}
		p := &polisher{r: r, picks: s.picksOf(m.Rank)}
		for _, d := range directions(len(s.free)) {
			at, ok := s.step(m.Fine, d, 1)
			if !ok {
				continue
			}
			v := p.verdict(member{Rank: m.Rank, Fine: at})
			if v == nil || v.fails > 0 {
				continue
			}
			tested++
			less, more := false, false
			for i, c := range v.cost {
				less, more = less || c < m.Cost[i], more || c > m.Cost[i]
			}
			if less && !more {
				t.Errorf("%v at %v has the better neighbour %v at %v", m.Fine, m.Cost, at, v.cost)
			}
			// The same place as a document.
			_, model, err := s.build(s.patch(member{Rank: m.Rank, Fine: at}))
			if err != nil {
				t.Fatal(err)
			}
			a, err := travel.Assess(asSearched(s.m, model), travel.Options{Heave: s.spans[0], Roll: s.spans[1]})
			if err != nil {
				t.Fatal(err)
			}
			for i := range s.prefers {
				for _, n := range a.Numbers() {
					if n.Channel == s.prefers[i].ch && math.Abs(s.prefers[i].rounded(n.Value)-v.cost[i]) > 2e-6 {
						t.Errorf("%v: %s costs %g, its document %g", at, n.Channel.Name, v.cost[i], s.prefers[i].rounded(n.Value))
					}
				}
			}
		}
	}
	if best := r.all.front.list[0].Cost; tested < 8 || best[0] > 1e-3 {
		t.Errorf("%d neighbours; the best pinion angle is %g rad from its middle, expected one that is solved", tested, best[0])
	}
}

// A want that no step meets is solved from the combination that misses it by least.
func TestPolishedBetweenTheSteps(t *testing.T) {
	for _, brute := range []bool{false, true} {
		b := over(t, "bramble-portal.rig.yaml", `  vary:
    rod: {change: links/rear lower/rod/item, among: [rod-al6-85, rod-al6-90]}
    lower: {change: links/rear lower/turns, from: 0, to: 12}
  wants:
    wheelbase: {from: 311.000, to: 311.02}
    rear pinion angle: {from: 0, to: 20}
`)
		if r := runs(t, b, Options{Lean: true, Brute: brute}); len(r.all.front.list) != 0 {
			t.Fatalf("the steps meet it: %v", r.all.front.list)
		}
		r := polished(t, b, Options{Lean: true, Brute: brute})
		if len(r.all.front.list) == 0 {
			t.Fatal("nothing found between")
		}
		_, m, err := r.s.build(r.s.patch(r.all.front.list[0]))
		if err != nil {
			t.Fatal(err)
		}
		a, err := travel.Assess(asSearched(r.s.m, m), travel.Options{})
		if err != nil {
			t.Fatal(err)
		}
		for _, v := range a.Numbers() {
			if v.Channel.Name == "wheelbase" && (v.Value < 311 || v.Value > 311.02) {
				t.Errorf("the wheelbase is %.4f mm, wanted 311.000 to 311.020", v.Value)
			}
		}
	}
}

// Workers do not matter, nor does a kill, and whole builds are asked of what is solved.
func TestPolishedWhole(t *testing.T) {
	b := over(t, "bramble-portal.rig.yaml", `  vary:
    lower: {change: links/rear lower/turns, from: 4, to: 12}
    upper: {change: links/rear upper/turns, among: [2, 4]}
  wants:
    wheelbase: {from: 307, to: 314}
    rear pinion angle: {from: 2, to: 12}
    static stability factor: {from: 1.05}
  prefer: {rear pinion angle: middle}
`)
	want, err := Run(context.Background(), b, Options{Workers: 1, Builds: 2})
	if err != nil {
		t.Fatal(err)
	}
	if len(want.Builds) == 0 || !slices.ContainsFunc(want.Choices, func(c Choice) bool { return c.Between }) {
		t.Fatalf("%+v", want)
	}
	for _, f := range want.Findings {
		if f.Code == "search/disagrees" || f.Code == "search/polish-cut-short" {
			t.Error(f.Sentence)
		}
	}
	var state []byte
	for kills := 0; ; kills++ {
		ctx, kill := context.WithCancel(context.Background())
		o := Options{Workers: 3, Builds: 2, Resume: state, Checkpoint: func(s []byte) { state = s }}
		n := 0
		o.Progress = func(p Progress) {
			if p.Step == "polish" && kills < 3 {
				if n++; n > kills {
					kill()
				}
			}
		}
		got, err := Run(ctx, b, o)
		kill()
		if errors.Is(err, context.Canceled) && kills < 10 {
			continue
		}
		if err != nil || kills < 3 {
			t.Fatal(kills, err)
		}
		if !reflect.DeepEqual(got, want) {
			t.Errorf("killed and with other workers:\n%s\nleft alone:\n%s", brief(got), brief(want))
		}
		return
	}
}

func TestScale(t *testing.T) {
	for _, c := range []struct {
		from, to, step float64
		most           int
	}{{0, 12, 0.02, 600}, {80, 110, 0.05, 600}, {4, 12, 0.02, 400}, {-5, 5, 0.02, 500}, {0, 1, 0.002, 500}, {0, 0.7, 0.001, 700}, {100, 1100, 2, 500}} {
		s := scaleOf(c.from, c.to, "mm")
		if math.Abs(s.step-c.step) > 1e-12 || s.most != c.most || s.at(0) != c.from || s.at(s.most) != c.to || s.near(c.to+9) != s.most || s.near(c.from+3.2*c.step) != 3 {
			t.Errorf("%g to %g: %+v, expected the step %g and %d of them", c.from, c.to, *s, c.step, c.most)
		}
	}
}

// A softer spring stands lower while searching too: with other springs and collars, the design pose is that of the build standing on its own, to
// what the moved weight makes.
func TestStandsOnItsSprings(t *testing.T) {
	b := over(t, "bramble-portal.rig.yaml", `  vary:
    collar: {change: shocks/rear/collar, from: 0, to: 6, step: 2}
    spring: {change: shocks/rear/springs/0/item, kind: spring, named: spring-65}
    hole: {change: shocks/front/top, holes_of: front tower}
`)
	o := Options{Lean: true}
	s, err := open(b, &o)
	if err != nil {
		t.Fatal(err)
	}
	lo, hi, off := math.Inf(1), math.Inf(-1), 0.0
	for rank := range s.size {
		f, err := s.frame(0)
		if err != nil {
			t.Fatal(err)
		}
		picks := split(rank, []int{int(s.sizes[0]), int(s.sizes[1])})
		_, m, err := s.build(s.patch(member{Rank: rank}))
		if err != nil {
			t.Fatal(err)
		}
		m = ride.Stand(m)
		if m.Rest == nil {
			t.Fatalf("combination %d does not stand", rank)
		}
		stand := travel.StandOf(m)
		for end := solid.Front; end <= solid.Rear; end++ {
			one := s.singles(f, end, int64(picks[end]), int64(picks[end])+1)[0]
			z := stand.Movers[end].Design.Z
			off = max(off, math.Abs(one.pose.Z-z))
			if end == solid.Rear {
				lo, hi = min(lo, z), max(hi, z)
			}
		}
	}
	t.Logf("rear axles from %.2f to %.2f mm, the search at most %.3f mm off", lo, hi, off)
	if hi-lo < 3 || off > 0.3 {
		t.Errorf("heights of the rear axle from %.2f to %.2f mm, expected some spread; the search is %.3f mm off, expected below 0.3", lo, hi, off)
	}
}
