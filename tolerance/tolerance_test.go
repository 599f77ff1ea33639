package tolerance_test

import (
	"encoding/json"
	"math"
	"os"
	"runtime"
	"strings"
	"testing"

	"lowslung/ride"
	"lowslung/rig"
	"lowslung/solid"
	"lowslung/tolerance"
	"lowslung/travel"
)

func load(t testing.TB, name string) *solid.Model {
	t.Helper()
	b, err := rig.Load(func(n string) ([]byte, error) { return os.ReadFile("../examples/" + n) }, name)
	if err != nil {
		t.Fatal(err)
	}
	m, err := solid.Resolve(b)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func assess(t testing.TB, m *solid.Model, o tolerance.Options) map[string]tolerance.Band {
	t.Helper()
	a, err := tolerance.Assess(m, o)
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]tolerance.Band{}
	for _, b := range a.Bands {
		out[b.Name] = b
	}
	return out
}

// lever is an axle that three links along x and one along y hold, all level: what each length does is a lever of its own.
func lever(apart, up float64) *solid.Model {
	m := &solid.Model{Name: "lever"}
	near := solid.Vec{X: -150}
	m.Axles[solid.Rear] = solid.Axle{Present: true, Path: "rear", Near: near, PinionAxis: solid.Vec{X: 1}}
	add := func(name string, from, to solid.Vec) {
		m.Links = append(m.Links, solid.Link{Name: name, Path: "links/" + name, Axle: solid.Rear, From: from, To: to, Length: near.Add(to).Sub(from).Norm()})
	}
	add("lower left", solid.Vec{X: -40, Y: apart / 2}, solid.Vec{Y: apart / 2})
	add("lower right", solid.Vec{X: -40, Y: -apart / 2}, solid.Vec{Y: -apart / 2})
	add("upper", solid.Vec{X: -50, Z: up}, solid.Vec{Z: up})
	add("transverse", solid.Vec{X: -150, Y: 60}, solid.Vec{Y: -60})
	return m
}

// Closed form. With L off by σ independently: the axle is off centre by σ (the transverse link alone), out of square by σ·√2/b (the two
// lower links, b apart), and the pinion turns by σ·√(1 + ½)/h (the upper link, and the mean of the lower ones, h below it). Derived.
func TestLever(t *testing.T) {
	const half, b, h = 0.25, 90.0, 38.0
	got := assess(t, lever(b, h), tolerance.Options{Samples: 8000, Errors: &tolerance.Errors{Length: half}})
	for name, want := range map[string]float64{
		"rear off centre":    half,
		"rear out of square": half * math.Sqrt2 / b * 180 / math.Pi,
		"rear pinion angle":  half * math.Sqrt(1.5) / h * 180 / math.Pi,
	} {
		band, ok := got[name]
		if !ok {
			t.Fatalf("no band for %s", name)
		}
		if math.Abs(band.Linear-want) > 2e-3*want {
			t.Errorf("%s: linear ±%g %s, closed form ±%g", name, band.Linear, band.Unit, want)
		}
		if s := (band.To - band.From) / 2; math.Abs(s-want) > 0.03*want { // 8000 samples know a 2.5 % quantile to about 1 %
			t.Errorf("%s: sampled ±%g %s, closed form ±%g", name, s, band.Unit, want)
		}
	}
	for name, want := range map[string]map[string]float64{
		"rear off centre":    {"length of the link transverse": 1},
		"rear out of square": {"length of the link lower left": 0.5, "length of the link lower right": 0.5},
		"rear pinion angle":  {"length of the link upper": 2.0 / 3, "length of the link lower left": 1.0 / 6, "length of the link lower right": 1.0 / 6},
	} {
		for _, m := range got[name].Matters {
			if share, ok := want[m.What]; m.Share > 0.01 && (!ok || math.Abs(m.Share-share) > 0.01) {
				t.Errorf("%s: %s has the share %g, closed form %g", name, m.What, m.Share, share)
			}
		}
		if len(got[name].Matters) < len(want) {
			t.Errorf("%s: found %v", name, got[name].Matters)
		}
	}
}

// What must hold of any rig: no error, no band; twice the error, twice the linear band; a rig with mirror twins is as often out of square
// to the left as to the right; left and right twins matter alike.
func TestLawsOfBands(t *testing.T) {
	m := load(t, "bramble.rig.yaml")
	none := assess(t, m, tolerance.Options{Samples: 100, Errors: &tolerance.Errors{}})
	e := tolerance.ErrorsOf(nil)
	once := assess(t, m, tolerance.Options{Samples: 4000, Errors: &e})
	e2 := tolerance.Errors{Drilled: 2 * e.Drilled, Printed: 2 * e.Printed, Length: 2 * e.Length, Turns: 2 * e.Turns, Play: 2 * e.Play, Set: 2 * e.Set, Tyre: 2 * e.Tyre}
	twice := assess(t, m, tolerance.Options{Samples: 100, Errors: &e2})
	if len(once) < 10 {
		t.Fatalf("%d bands", len(once))
	}
	for name, b := range once {
		if z := none[name]; z.From != z.To || math.Abs(z.From-b.Value) > 1e-9 || z.Linear != 0 {
			t.Errorf("%s without errors: %+v", name, z)
		}
		if !(b.From < b.Value && b.Value < b.To) {
			t.Errorf("%s: the value %g is not within %g to %g", name, b.Value, b.From, b.To)
		}
		if d := twice[name].Linear / b.Linear; math.Abs(d-2) > 0.05 {
			t.Errorf("%s: twice the errors make %.3f times the band", name, d)
		}
		if s := (b.To - b.From) / 2; math.Abs(s-b.Linear) > 0.1*b.Linear {
			t.Errorf("%s: sampled ±%g, linear ±%g", name, s, b.Linear)
		}
	}
	q := once["rear out of square"]
	if math.Abs(q.From+q.To) > 0.1*(q.To-q.From) || q.To < 0.1 {
		t.Errorf("out of square from %g to %g°", q.From, q.To)
	}
	if a, b := q.Matters[0], q.Matters[1]; math.Abs(a.Share-b.Share) > 1e-6 || strings.Replace(a.What, "left", "right", 1) != b.What {
		t.Errorf("twins do not matter alike: %+v, %+v", a, b)
	}
}

// The same seed gives the same bytes, however many processors there are; another seed another band.
func TestSeed(t *testing.T) {
	m := load(t, "bramble-portal.rig.yaml")
	text := func(seed uint64) string {
		a, err := tolerance.Assess(m, tolerance.Options{Samples: 150, Seed: seed})
		if err != nil {
			t.Fatal(err)
		}
		out, _ := json.Marshal(a.Bands)
		return string(out)
	}
	before := runtime.GOMAXPROCS(1)
	one := text(7)
	runtime.GOMAXPROCS(3)
	three := text(7)
	runtime.GOMAXPROCS(before)
	if one != three {
		t.Error("the answer depends on the number of processors")
	}
	if one == text(8) {
		t.Error("the answer does not depend on the seed")
	}
}

// The document's errors section takes the place of what is assumed, and the answer says so; a printed part has printed holes.
func TestErrorsOfTheDocument(t *testing.T) {
	m := load(t, "bramble-portal.rig.yaml")
	find := func() map[string]tolerance.Assumed {
		a, err := tolerance.Assess(m, tolerance.Options{Samples: 100})
		if err != nil {
			t.Fatal(err)
		}
		out := map[string]tolerance.Assumed{}
		for _, s := range a.Assumed {
			out[s.Key] = s
		}
		return out
	}
	// Holes of the printed belly: two pairs of the rear links, one pair and a single one in front: 7 of 3 directions each.
	if s := find()["printed"]; s.Inputs != 7*3 || s.PlusMinus != 0.2 || s.From != "assumed" {
		t.Errorf("printed: %+v", s)
	}
	b, err := rig.Load(func(n string) ([]byte, error) {
		text, err := os.ReadFile("../examples/" + n)
		if n == "bramble-portal.rig.yaml" {
			text = append(text, "\nerrors: {printed: 0.5 mm, turns: 0, length: 0.01 in}\n"...)
		}
		return text, err
	}, "bramble-portal.rig.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if m, err = solid.Resolve(b); err != nil {
		t.Fatal(err)
	}
	got := find()
	if s := got["printed"]; s.PlusMinus != 0.5 || s.From != "document" {
		t.Errorf("printed: %+v", s)
	}
	if s := got["turns"]; s.PlusMinus != 0 || s.From != "document" {
		t.Errorf("turns: %+v", s)
	}
	if s := got["length"]; math.Abs(s.PlusMinus-0.254) > 1e-12 || s.From != "document" {
		t.Errorf("length: %+v", s)
	}
	if s := got["drilled"]; s.PlusMinus != 0.1 || s.From != "assumed" {
		t.Errorf("drilled: %+v", s)
	}
}

// Bad use is an error; a rig whose links hold nothing is a finding; one at the edge of its reach says how often it fell apart.
func TestBandsThatCannotBe(t *testing.T) {
	m := lever(90, 38)
	for _, o := range []tolerance.Options{{Samples: 5}, {Samples: 1 << 30}, {Errors: &tolerance.Errors{Length: -1}}, {Errors: &tolerance.Errors{Play: math.NaN()}}} {
		if _, err := tolerance.Assess(m, o); err == nil || !strings.Contains(err.Error(), "expected") {
			t.Errorf("%+v: %v", o, err)
		}
	}
	m.Axles[solid.Rear].TyreRadius = 50
	m.Axles[solid.Rear].HasRide, m.Axles[solid.Rear].Ride = true, 50-109.9 // z 109.9 mm: the lower links are 110 long
	a, err := tolerance.Assess(m, tolerance.Options{})
	if err != nil || len(a.Findings) == 0 || !strings.HasPrefix(a.Findings[0].Code, "search/") {
		t.Errorf("at full reach: %v, %+v", err, a.Findings)
	}
	m.Links = nil
	a, err = tolerance.Assess(m, tolerance.Options{})
	if err != nil || len(a.Bands) != 0 || len(a.Findings) != 1 || a.Findings[0].Code != "search/no-bands" {
		t.Errorf("no links: %v, %+v", err, a)
	}
}

func BenchmarkBands(b *testing.B) {
	m := load(b, "bramble-portal.rig.yaml")
	for b.Loop() {
		if _, err := tolerance.Assess(m, tolerance.Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

// On springs the tyres' radius and the length of the shocks as they stand are what is off in height. Derived: the belly plane midway between the axles goes up by half
// of each axle's tyre, so half a millimetre of either, independently, makes √2/2 of it; and a shock that stands longer lets the chassis up by its length over the
// motion ratio, a quarter of the rig for each of four shocks.
func TestBandsOnTheSprings(t *testing.T) {
	m := ride.Stand(load(t, "bramble.rig.yaml"))
	if m.Rest == nil {
		t.Fatal("it does not stand on its springs")
	}
	half := func(e tolerance.Errors) float64 {
		b := assess(t, m, tolerance.Options{Samples: 2000, Errors: &e})["belly clearance"]
		return (b.To - b.From) / 2
	}
	if got := half(tolerance.Errors{Tyre: 0.5}); math.Abs(got-0.5*math.Sqrt2/2) > 0.02 {
		t.Errorf("the belly's band for tyres off by 0.5 mm is ±%.3f mm, expected ±%.3f", got, 0.5*math.Sqrt2/2)
	}
	tr, err := travel.Assess(m, travel.Options{})
	if err != nil {
		t.Fatal(err)
	}
	want := 0.0
	for _, ax := range []*travel.Axle{tr.Axles.Front, tr.Axles.Rear} {
		for _, p := range ax.Poses {
			if p.HeaveMM == 0 && p.RollDeg == 0 {
				r := (p.Shocks[0].MotionRatio + p.Shocks[1].MotionRatio) / 2
				want += 2 * math.Pow(0.5/r/4, 2)
			}
		}
	}
	if got := half(tolerance.Errors{Set: 0.5}); math.Abs(got-math.Sqrt(want)) > 0.05*math.Sqrt(want) {
		t.Errorf("the belly's band for shocks off by 0.5 mm is ±%.3f mm, expected ±%.3f", got, math.Sqrt(want))
	}
}
