package search

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"testing"

	"lowslung/channel"
	"lowslung/mates"
	"lowslung/rig"
	"lowslung/solid"
	"lowslung/travel"
)

// files are the example documents with others beside them.
func files(more map[string]string) rig.Source {
	return func(name string) ([]byte, error) {
		if text, ok := more[name]; ok {
			return []byte(text), nil
		}
		return os.ReadFile("../examples/" + name)
	}
}

// over loads an example with another search section.
func over(t testing.TB, base, section string) *rig.Build {
	t.Helper()
	without := "lowslung: 1\nbase: " + base + "\ntargets: null\n"
	if base == "bramble-portal.rig.yaml" {
		without += "search: null\n"
	}
	b, err := rig.Load(files(map[string]string{
		"without.rig.yaml": without,
		"with.rig.yaml":    "lowslung: 1\nbase: without.rig.yaml\nsearch:\n" + section,
	}), "with.rig.yaml")
	if err != nil {
		t.Fatalf("%v\n%s", err, section)
	}
	return b
}

// seeded is a random source whose seed is printed, and taken from the environment.
func seeded(t testing.TB) *rand.Rand {
	seed := rand.Uint64()
	if text := os.Getenv("LOWSLUNG_SEED"); text != "" {
		seed, _ = strconv.ParseUint(text, 10, 64)
	}
	t.Logf("LOWSLUNG_SEED=%d", seed)
	return rand.New(rand.NewPCG(seed, 1))
}

// pool is what the random spaces draw their choices from.
var pool = []string{ // with several ways to the same length, and items that the drawer has too few of for two links
	"    lower rod: {change: links/rear lower/rod/item, among: [rod-st5-80, rod-al6-85, rod-al6-90, rod-ti6-90]}\n",
	"    lower turns: {change: links/rear lower/turns, among: [0, 1, 4, 8]}\n",
	"    lower ends: {change: links/rear lower/ends, among: [[end-m3-long, end-m3-short], [end-m3-flat, end-m3-long], [end-m3-short, end-m3-short]]}\n",
	"    upper rod: {change: links/rear upper/rod/item, among: [rod-al6-95, rod-al6-100, rod-al6-85, rod-al6-90]}\n",
	"    upper end: {change: links/rear upper/ends/1, among: [end-m3-flat, end-m3-long, end-m3-steel]}\n",
	"    upper turns: {change: links/rear upper/turns, among: [0, 8]}\n",
	"    rear shock: {change: shocks/rear, among: [{item: shock-100, set: 86}, {item: shock-80, set: 66}, {set: 78}]}\n",
	"    shock hole: {change: shocks/front/top, holes_of: front tower}\n",
	"    front lower rod: {change: links/front lower/rod/item, among: [rod-st5-85, rod-al6-75, rod-al6-85]}\n",
	"    front lower ends: {change: links/front lower/ends, among: [[end-m3-short, end-m3-short], [end-m3-short, end-m3-long]]}\n",
	"    front lower turns: {change: links/front lower/turns, among: [0, 2, 4, 8]}\n",
	"    front upper: {change: links/front upper/ends/0, among: [end-m3-long, end-m3-flat]}\n",
	"    front upper turns: {change: links/front upper/turns, among: [1, 3]}\n",
	"    both lower: {change: links/front transverse/turns, among: [1, 2]}\n",
	"    tyres: {change: rear/parts/rear tyre/item, also: [front/parts/front tyre/item], among: [tyre-127-soft]}\n",
	"    belly holes: {change: chassis/parts/belly/holes/rear lower/at, among: [[-42, 17, 9]]}\n",
}

// section makes a random search section: some choices, some wants about where the builds of the space are, some preferences.
func section(r *rand.Rand, near []channel.Value) string {
	var b strings.Builder
	b.WriteString("  vary:\n")
	for _, i := range r.Perm(len(pool))[:2+r.IntN(6)] {
		b.WriteString(pool[i])
	}
	value := func(name string) float64 {
		for _, v := range near {
			if v.Channel.Name == name {
				return v.Value
			}
		}
		return 0
	}
	wants := []string{"wheelbase", "rear pinion angle", "front pinion angle", "rear anti-squat", "front anti-lift", "belly clearance", "rear roll steer", "rear pinion angle swing",
		"rear shaft room", "rear rod end room", "rear roll centre height", "rear side slope", "rear bump stroke", "front sideways play", "rear shaft joint angle"}
	spread := map[string]float64{"wheelbase": 8, "rear pinion angle": 0.15, "front pinion angle": 0.15, "rear anti-squat": 0.4, "front anti-lift": 0.4, "belly clearance": 5, "rear roll steer": 0.05,
		"rear pinion angle swing": 0.1, "rear shaft room": 5, "rear rod end room": 0.1, "rear roll centre height": 10, "rear side slope": 0.3, "rear bump stroke": 5, "front sideways play": 0.1, "rear shaft joint angle": 0.1}
	if r.IntN(3) == 0 { // the wheelbase alone: what is counted by sums
		wants = wants[:1]
	}
	b.WriteString("  wants:\n")
	written := map[string]bool{}
	for _, i := range r.Perm(len(wants))[:min(len(wants), 1+r.IntN(4))] {
		n, v := wants[i], value(wants[i])
		lo, hi := v-r.Float64()*spread[n], v+r.Float64()*spread[n]
		c := channel.Must(n)
		unit := c.Dim.Bare
		from, to := c.Dim.In(lo, unit), c.Dim.In(hi, unit)
		fmt.Fprintf(&b, "    %s: {from: %.4f, to: %.4f}\n", n, from, to)
		written[n] = true
	}
	for _, n := range []string{"wheelbase", "rear pinion angle", "front pinion angle"} { // in place of the targets, so that something passes
		if !written[n] {
			c := channel.Must(n)
			v := c.Dim.In(value(n), c.Dim.Bare)
			fmt.Fprintf(&b, "    %s: {from: %.4f, to: %.4f}\n", n, v-20, v+20)
		}
	}
	if r.IntN(3) == 0 {
		fmt.Fprintf(&b, "    price: {to: %.2f}\n", r.Float64()*30)
	}
	if r.IntN(4) == 0 {
		fmt.Fprintf(&b, "    new parts: {to: %d}\n", 2+r.IntN(6))
	}
	prefers := []string{"price: lower", "new parts: lower", "rear pinion angle swing: lower", "wheelbase: middle", "rear anti-squat: higher", "belly clearance: higher", "front pinion angle: lower", "rear rod end room: higher"}
	b.WriteString("  prefer:\n")
	for _, i := range r.Perm(len(prefers))[:1+r.IntN(3)] {
		fmt.Fprintf(&b, "    %s\n", prefers[i])
	}
	return b.String()
}

func asItIs(t testing.TB, name string) []channel.Value {
	t.Helper()
	b, err := rig.Load(files(nil), name)
	if err != nil {
		t.Fatal(err)
	}
	m, err := solid.Resolve(b)
	if err != nil {
		t.Fatal(err)
	}
	a, err := travel.Assess(m, travel.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return a.Numbers()
}

// Brute force and the search that cuts give the same front, the same counts under each want, and the same want to loosen.
func TestCutsLoseNothing(t *testing.T) {
	r := seeded(t)
	spaces := 200
	if testing.Short() {
		spaces = 20
	}
	found, rejected, evaluated, all := 0, 0, int64(0), int64(0)
	for n := range spaces {
		base := []string{"bramble-portal.rig.yaml", "bramble.rig.yaml"}[n%2]
		text := section(r, asItIs2(t, base))
		b := over(t, base, text)
		quick := runs(t, b, Options{Lean: true, Workers: 2})
		slow := runs(t, b, Options{Lean: true, Brute: true, Workers: 1})
		same(t, text, quick, slow)
		found += len(quick.all.front.list)
		evaluated += quick.all.Evaluated
		all += quick.s.size
		for _, k := range quick.all.Rejected {
			if k > 0 {
				rejected++
			}
		}
		if t.Failed() {
			return
		}
	}
	t.Logf("%d builds on %d fronts, %.1f wants that reject a space, %d of %d combinations judged one by one", found, spaces, float64(rejected)/float64(spaces), evaluated, all)
	if found < spaces/2 || rejected < spaces {
		t.Errorf("the random spaces are too easy or too hard to say much: %d builds, %d rejecting wants", found, rejected)
	}
}

var remembered = map[string][]channel.Value{}

func asItIs2(t testing.TB, name string) []channel.Value {
	if remembered[name] == nil {
		remembered[name] = asItIs(t, name)
	}
	return remembered[name]
}

// runs goes through a space without working the answer out.
func runs(t testing.TB, b *rig.Build, o Options) *runner {
	t.Helper()
	s, err := open(b, &o)
	if err != nil {
		t.Fatal(err)
	}
	r := &runner{s: s, o: o, all: newTally(s)}
	if err := r.frames(context.Background()); err != nil {
		t.Fatal(err)
	}
	r.all.front.ordered()
	return r
}

func same(t *testing.T, text string, a, b *runner) {
	t.Helper()
	bad := func(format string, args ...any) { t.Errorf(format+"\n%s", append(args, text)...) }
	sum := int64(0)
	for i := range a.all.Rejected {
		sum += a.all.Rejected[i]
		if a.all.Rejected[i] != b.all.Rejected[i] {
			bad("%q rejects %d and %d", a.s.wants[i].name(), a.all.Rejected[i], b.all.Rejected[i])
		}
		x, y := a.all.Only[i], b.all.Only[i]
		if x.Count != y.Count || math.Abs(x.By-y.By) > 1e-7*max(1, math.Abs(x.By)) {
			bad("%q alone rejects %+v and %+v", a.s.wants[i].name(), x, y)
		}
	}
	if sum > a.s.size || a.all.Done != a.s.size || b.all.Done != b.s.size {
		bad("%d rejected and %d, %d done of %d", sum, a.all.Done, b.all.Done, a.s.size)
	}
	if len(a.all.front.list) != len(b.all.front.list) {
		bad("%d and %d builds on the front", len(a.all.front.list), len(b.all.front.list))
		return
	}
	for i, m := range a.all.front.list {
		o := b.all.front.list[i]
		if m.Rank != o.Rank {
			bad("front %d: combination %d at %v and %d at %v", i, m.Rank, m.Cost, o.Rank, o.Cost)
			return
		}
	}
}

// A compiled combination has the numbers of its document, loaded, resolved and asked in full.
func TestCompiledIsTheDocument(t *testing.T) {
	r := seeded(t)
	checked := 0
	for range 40 {
		base := []string{"bramble-portal.rig.yaml", "bramble.rig.yaml"}[r.IntN(2)]
		b := over(t, base, section(r, asItIs2(t, base)))
		o := Options{Lean: true}
		s, err := open(b, &o)
		if err != nil {
			t.Fatal(err)
		}
		for i := range s.need {
			s.need[i] = true
		}
		for range 6 {
			checked += compiled(t, s, &o, r.Int64N(s.size))
		}
		if t.Failed() {
			return
		}
	}
	if checked < 200 {
		t.Errorf("only %d numbers were compared", checked)
	}
	t.Logf("%d numbers compared", checked)
}

// compiled compares one combination and says how many numbers were compared.
func compiled(t *testing.T, s *space, o *Options, rank int64) int {
	t.Helper()
	f, err := s.frame(int(rank / s.each))
	if err != nil {
		t.Fatal(err)
	}
	_, m, err := s.build(s.patch(member{Rank: rank}))
	if f.bad != "" {
		if err == nil {
			t.Errorf("the frame of combination %d does not load (%s), its document does", rank, f.bad)
		}
		return 0
	}
	within := rank % s.each
	halves := [2]single{}
	for end, n := range [2]int64{within / s.sizes[solid.Rear], within % s.sizes[solid.Rear]} {
		halves[end] = s.singles(f, solid.End(end), n, n+1)[0]
	}
	if bad := halves[0].bad || halves[1].bad; bad != (err != nil) {
		t.Errorf("combination %d goes together: %v; its document loads: %v", rank, !bad, err)
		return 0
	} else if bad {
		return 0
	}
	mt := s.meeting(f)
	n := mt.joint(&halves[0].half, &halves[1].half)
	x, y := f.stock.bundleOf(&f.axles[0], halves[0].picks), f.stock.bundleOf(&f.axles[1], halves[1].picks)
	p, q := f.stock.both(&x, &y)
	n[price-wheelbase], n[newParts-wheelbase] = float64(p)/cents, float64(q)
	_, base, err := s.build(s.framed(member{Rank: rank}))
	if err != nil {
		t.Fatal(err)
	}
	m = asSearched(base, m)
	a, err := travel.Assess(m, travel.Options{Heave: o.Heave, Roll: o.Roll})
	if err != nil {
		t.Fatal(err)
	}
	values := a.Numbers()
	j, err := mates.Assess(m, mates.Options{Against: s.m, Travel: &a})
	if err != nil {
		t.Fatal(err)
	}
	count := 0
	for _, list := range [][]mates.Piece{j.Bought, j.Made} {
		for _, piece := range list {
			count += piece.Count
		}
	}
	values = append(values, channel.Of("price", j.Price), channel.Of("new parts", float64(count)))
	known := map[string]float64{}
	for _, v := range values {
		known[v.Channel.Name] = v.Value
	}
	compared := 0
	for i := range cheapNumbers {
		ours := value(&halves[0].half, &halves[1].half, &n, i)
		theirs, ok := known[cheapName(i)]
		if !ok {
			if !math.IsNaN(ours) {
				t.Errorf("combination %d: %s is %g, the document has none", rank, cheapName(i), ours)
			}
			continue
		}
		if !(math.Abs(ours-theirs) <= 1e-9*max(1, math.Abs(theirs))) {
			t.Errorf("combination %d: %s is %.12g, the document's %.12g, off by %.2g", rank, cheapName(i), ours, theirs, ours-theirs)
		}
		compared++
	}
	return compared
}
