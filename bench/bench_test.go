package bench

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"

	"lowslung/quantity"
	"lowslung/ride"
	"lowslung/rig"
	"lowslung/solid"
)

func assess(t testing.TB, m *solid.Model, o Options) Answer {
	t.Helper()
	a, err := Assess(m, o)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func has(a *Answer, code string) bool {
	for _, f := range a.Findings {
		if f.Code == code {
			return true
		}
	}
	return false
}

// reading of the simulated list, by kind and place.
func reading(t testing.TB, list rig.Map[rig.Reading], of, at, side string) *rig.Reading {
	t.Helper()
	for i := range list {
		if r := &list[i].Value; r.Of == of && r.At == at && r.Side == side {
			return r
		}
	}
	t.Fatalf("no %s at %s %s", of, at, side)
	return nil
}

func value(t testing.TB, r *rig.Reading) float64 {
	t.Helper()
	k, _ := r.KindOf()
	v, err := r.Is.In(k.Dim)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func write2(r *rig.Reading, v float64) {
	k, _ := r.KindOf()
	r.Is.Text = fmt.Sprintf("%.9g %s", k.Dim.In(v, k.Dim.Bare), k.Dim.Bare)
}

// Of rigs whose inputs are off by what is taken as usual, measured with the errors that the readings say: the bands of the numbers hold the
// true value in 95 of 100, and χ² has the mean and the tail that it should. The limits are binomial, and for the mean normal, at 4 standard
// deviations: a right program fails once in 16,000.
func TestBandsHoldTheTruth(t *testing.T) {
	m := load(t, "bramble.rig.yaml")
	list := standing(m)
	seed := uint64(20)
	const rigs = 40
	in, all, low, sum := 0, 0, 0, 0.0
	b := &bench{m: m, in: inputsOf(m, nil, true), cares: cares()}
	freedom := 0
	for n := range rigs {
		r := rand.New(rand.NewPCG(seed, uint64(n)))
		x := drawn(m, r)
		truth := b.at(newTrial(m, nil), x, false)
		a := assess(t, m, Options{Readings: simulated(t, m, list, x, r.NormFloat64)})
		sum += a.Agreement.ChiSquare
		freedom = a.Agreement.Freedom
		if a.Agreement.Chance < fair {
			low++
		}
		if a.Without != nil {
			continue // a reading was left out by chance: the bands are those of the others
		}
		for i, c := range b.cares {
			if slices.Contains([]string{"centre of mass height", "wheelbase", "rear pinion angle"}, c.name) { // one each of statics, lengths, angles
				k := a.Numbers[slices.IndexFunc(a.Numbers, func(k Known) bool { return k.Name == c.name })]
				d := quantity.DimLength
				if strings.Contains(c.name, "angle") {
					d = quantity.DimAngle
				}
				all++
				if math.Abs(d.In(truth.cares[i], k.Unit)-k.Is) <= k.After {
					in++
				}
			}
		}
	}
	share := float64(in) / float64(all)
	// Numbers of one rig hang together, so as many independent cases as rigs are counted on.
	if room := 4 * math.Sqrt(0.95*0.05/rigs); math.Abs(share-0.95) > room {
		t.Errorf("seed %d: %d of %d bands hold the truth, want 95 %% within %.1f %%", seed, in, all, 100*room)
	}
	if mean, room := sum/rigs, 4*math.Sqrt(2*float64(freedom)/rigs); math.Abs(mean-float64(freedom)) > room {
		t.Errorf("seed %d: χ² is %.2f on average, want %d within %.2f", seed, mean, freedom, room)
	}
	if room := fair*rigs + 4*math.Sqrt(fair*(1-fair)*rigs); float64(low) > room {
		t.Errorf("seed %d: %d of %d true models are called strained, want at most %.0f", seed, low, rigs, room)
	}
}

// A reading that is off by ten times its uncertainty is found among the others, left out, and the corrections are as if it had not been there.
func TestMisfitIsFound(t *testing.T) {
	m := load(t, "bramble-portal.rig.yaml")
	for n, of := range []struct{ of, at, side string }{{"wheel load", "rear left", ""}, {"shock length", "front", "right"}, {"mass", "", ""}, {"wheelbase", "", "left"}} {
		r := rand.New(rand.NewPCG(4, uint64(n)))
		list := simulated(t, m, standing(m), drawn(m, r), r.NormFloat64)
		at := slices.IndexFunc(list, func(e rig.Entry[rig.Reading]) bool {
			return e.Value.Of == of.of && e.Value.At == of.at && e.Value.Side == of.side
		})
		bad := &list[at].Value
		k, _ := bad.KindOf()
		half, _ := within(bad, k, value(t, bad))
		write2(bad, value(t, bad)+10*half)
		a := assess(t, m, Options{Readings: list})
		if !has(&a, "bench/misfit") || a.Readings[at].Fits || !a.Readings[at].Used || a.Without == nil || a.Without.Verdict != "agrees" {
			t.Fatalf("%v: not found: %+v", of, a.Findings)
		}
		for i := range a.Readings {
			if i != at && !a.Readings[i].Fits {
				t.Errorf("%v: %s does not fit either", of, a.Readings[i].Text)
			}
		}
		without := assess(t, m, Options{Readings: slices.Delete(slices.Clone(list), at, at+1)})
		if math.Abs(without.Agreement.ChiSquare-a.Without.ChiSquare) > 1e-6 || len(without.Corrections) != len(a.Corrections) {
			t.Errorf("%v: χ² without it %g with %d corrections, and %g with %d when it never was", of, a.Without.ChiSquare, len(a.Corrections), without.Agreement.ChiSquare, len(without.Corrections))
		}
	}
}

// The order of the readings, the names of them and the units that they are written in change nothing but the order of the list.
func TestOrderAndUnitsDoNotMatter(t *testing.T) {
	m := load(t, "gully.rig.yaml")
	r := rand.New(rand.NewPCG(5, 6))
	list := simulated(t, m, standing(m), drawn(m, r), r.NormFloat64)
	first := assess(t, m, Options{Readings: list, Base: "a.rig.yaml"})
	other := slices.Clone(list)
	slices.Reverse(other)
	for i := range other {
		e := &other[i]
		k, _ := e.Value.KindOf()
		symbol := map[*quantity.Dimension]string{quantity.DimMass: "oz", quantity.DimLength: "in", quantity.DimAngle: "rad"}[k.Dim]
		e.Value.Is.Text = fmt.Sprintf("%.15g %s", k.Dim.In(value(t, &e.Value), symbol), symbol)
		e.Name = fmt.Sprint("r", i)
	}
	second := assess(t, m, Options{Readings: other, Base: "a.rig.yaml"})
	near(t, "χ²", second.Agreement.ChiSquare, first.Agreement.ChiSquare, 1e-7)
	if first.Patch != second.Patch {
		t.Errorf("another order of readings makes another document:\n%s\n%s", first.Patch, second.Patch)
	}
	for i := range first.Numbers {
		near(t, first.Numbers[i].Name, second.Numbers[i].Is, first.Numbers[i].Is, 1e-7)
		near(t, first.Numbers[i].Name, second.Numbers[i].After, first.Numbers[i].After, 1e-5)
	}
	us := assess(t, m, Options{Readings: list, Units: quantity.US, Base: "a.rig.yaml"})
	for i := range us.Readings {
		near(t, "ratio", *us.Readings[i].Ratio, *first.Readings[i].Ratio, 1e-9)
	}
	if us.Patch != first.Patch {
		t.Error("the units that are printed change the document of corrections")
	}
	again, _ := json.Marshal(assess(t, m, Options{Readings: list, Base: "a.rig.yaml"}))
	if one, _ := json.Marshal(first); string(one) != string(again) {
		t.Error("the same readings give another answer")
	}
}

// Nothing measured: what to measure is told, and how well the numbers are known anyway; nothing is corrected.
func TestNoReadings(t *testing.T) {
	a := assess(t, load(t, "bramble.rig.yaml"), Options{Base: "a.rig.yaml"})
	if !has(&a, "bench/no-readings") || a.Agreement != nil || len(a.Corrections) != 0 || a.Patch != "" {
		t.Errorf("%+v", a.Findings)
	}
	if len(a.Next) < 5 || a.Next[0].Gain < 0.5 {
		t.Errorf("what to measure first: %+v", a.Next)
	}
	for _, k := range a.Numbers {
		if k.Before != k.After && math.Abs(k.Before-k.After) > 1e-9*k.Before || k.Was != k.Is {
			t.Errorf("%s: %+v", k.Name, k)
		}
	}
}

// What next promises is what happens: the reading taken, the band is as narrow as foretold.
func TestNextKeepsItsPromise(t *testing.T) {
	m := load(t, "bramble.rig.yaml")
	before := assess(t, m, Options{})
	for _, n := range before.Next[:4] {
		for _, r := range possible(m, nil) {
			if r.Of != n.Of || r.At != n.At || r.Side != n.Side {
				continue
			}
			a := assess(t, m, Options{Readings: simulated(t, m, []rig.Reading{r}, nil, none)})
			k := a.Numbers[slices.IndexFunc(a.Numbers, func(k Known) bool { return k.Name == n.Number })]
			near(t, n.Number+" by the "+n.What, k.After, n.After, 1e-3)
		}
	}
}

// Slips of the pen: grams for ounces, inches for mm, the sign of the gauge, two scales that changed places, all of the left with all of the right.
func TestSlipsAreSuspected(t *testing.T) {
	m := load(t, "bramble-portal.rig.yaml")
	fresh := func() rig.Map[rig.Reading] {
		r := rand.New(rand.NewPCG(11, 12))
		x := drawn(m, r)
		return simulated(t, m, standing(m), x, r.NormFloat64)
	}
	swap := func(list rig.Map[rig.Reading], a, b string) {
		p, q := reading(t, list, "wheel load", a, ""), reading(t, list, "wheel load", b, "")
		p.Is, q.Is = q.Is, p.Is
	}
	for _, c := range []struct {
		kind  string
		spoil func(list rig.Map[rig.Reading])
	}{
		{"unit", func(l rig.Map[rig.Reading]) {
			r := reading(t, l, "wheel load", "front left", "")
			write2(r, value(t, r)/28.349523125)
		}},
		{"unit", func(l rig.Map[rig.Reading]) {
			r := reading(t, l, "wheelbase", "", "left")
			write2(r, value(t, r)/25.4)
		}},
		{"decimal", func(l rig.Map[rig.Reading]) {
			r := reading(t, l, "mass", "", "")
			write2(r, value(t, r)/10)
		}},
		{"sign", func(l rig.Map[rig.Reading]) {
			r := reading(t, l, "pinion angle", "rear", "")
			write2(r, -value(t, r))
		}},
		{"swapped", func(l rig.Map[rig.Reading]) { swap(l, "front left", "rear left") }},
		{"front and rear", func(l rig.Map[rig.Reading]) { swap(l, "front left", "rear left"); swap(l, "front right", "rear right") }},
	} {
		list := fresh()
		if a := assess(t, m, Options{Readings: list}); len(a.Suspects) > 0 || a.Without != nil {
			t.Fatalf("good readings are suspected: %+v", a.Suspects)
		}
		c.spoil(list)
		a := assess(t, m, Options{Readings: list})
		if len(a.Suspects) != 1 || a.Suspects[0].Kind != c.kind {
			t.Errorf("%s: found %+v", c.kind, a.Suspects)
			continue
		}
		if !has(&a, "bench/slip") && !has(&a, "bench/swapped") {
			t.Errorf("%s: no finding", c.kind)
		}
	}
}

// The corrections as a document: it loads, what it says is what was found, and the rig read exactly then agrees as well as the fit did. What
// it cannot hold (twins that differ) it says.
func TestPatchIsTheRigAsMeasured(t *testing.T) {
	for _, name := range []string{"bramble.rig.yaml", "bramble-portal.rig.yaml", "gully.rig.yaml"} {
		m := load(t, name)
		r := rand.New(rand.NewPCG(9, 9))
		in := inputsOf(m, nil, true)
		x := drawn(m, r)
		for j := range in { // twins alike, so that the document can hold all
			for k := range in[:j] {
				if p, q := &in[j].to, &in[k].to; in[j].path == in[k].path && p.kind == q.kind && p.kind != nowhere && p.axis == q.axis && (p.kind == atLink || p.kind == atCollar) {
					x[j] = x[k]
				}
			}
		}
		list := simulated(t, m, standing(m), x, none)
		a := assess(t, m, Options{Readings: list, Base: name})
		if a.Patch == "" {
			t.Fatalf("%s: no document", name)
		}
		b, err := rig.Load(func(n string) ([]byte, error) {
			if n == "measured.rig.yaml" {
				return []byte(a.Patch), nil
			}
			return os.ReadFile("../examples/" + n)
		}, "measured.rig.yaml")
		if err != nil {
			t.Fatalf("%s: the document does not load: %v\n%s", name, err, a.Patch)
		}
		b.Doc.Readings = nil
		m2, err := solid.Resolve(b)
		if err != nil {
			t.Fatal(err)
		}
		after := assess(t, ride.Stand(m2), Options{Readings: list})
		sum, was, is := 0.0, 0.0, 0.0
		for i := range after.Readings {
			s := after.Readings[i].Within / normal95
			d := (*after.Readings[i].Predicted - *a.Readings[i].Fitted) / s
			sum += d * d
			was += *a.Readings[i].Difference / s * (*a.Readings[i].Difference / s)
			is += *after.Readings[i].Difference / s * (*after.Readings[i].Difference / s)
		}
		n := float64(len(list))
		if math.Sqrt(sum/n) > 0.7 || is > was/10 {
			t.Errorf("%s: predictions of the document are %.2f standard deviations from those of the fit; differences %.1f → %.1f", name, math.Sqrt(sum/n), was, is)
		}
	}
}

// ISO 10392 clause 6, centre of mass by lifting an axle: W 25.0 N, wheelbase 300 mm, 13.75 N at the rear level, wheels of 57 mm, centre of mass
// 80 mm high: 14.447610 N at 20° (recomputed: z = r + L(F′ − F)/(W tan θ)).
func TestRaisedLoad(t *testing.T) {
	kg := 25.0 / newton
	m := &solid.Model{Name: "cart"}
	for end, x := range []float64{300, 0} {
		m.Axles[end] = solid.Axle{Present: true, Near: solid.Vec{X: x, Z: 57}, TyreRadius: 57, HalfTrack: 100, PinionAxis: solid.Vec{X: 1}}
		for k, at := range []solid.Vec{{X: 40, Y: 40}, {X: 40, Y: -40}, {Y: 30, Z: 30}, {Y: -30, Z: 30}} {
			from := solid.Vec{X: x, Z: 57}.Add(at).Add(solid.Vec{X: -100, Y: []float64{20, -20, -25, 25}[k]})
			l := solid.Link{Name: fmt.Sprint(end, k), Axle: solid.End(end), From: from, To: at}
			l.Length = solid.Vec{X: x, Z: 57}.Add(at).Sub(from).Norm()
			m.Links = append(m.Links, l)
		}
		m.Axles[end].Wheels = []solid.Wheel{{Side: solid.Left, At: solid.Vec{Y: 100}, Radius: 57}, {Side: solid.Right, At: solid.Vec{Y: -100}, Radius: 57}}
	}
	m.Bodies = []solid.Body{{Name: "box", Path: "chassis/parts/box", Mass: kg, HasMass: true, CG: solid.Vec{X: 135, Z: 80}}} // 13.75/25 of it on the rear
	s := newTrial(m, nil).look()
	if s.mass != kg || math.Abs(s.raised(solid.Rear, 0, 0)*newton-13.75) > 1e-6 {
		t.Fatalf("level: %g kg, %g N at the rear", s.mass, s.raised(solid.Rear, 0, 0)*newton)
	}
	got := s.raised(solid.Rear, 20*deg, 0) * newton
	if math.Abs(got-14.447610) > 1e-6 {
		t.Errorf("raised by 20°: %.6f N at the rear, want 14.447610", got)
	}
	// The same by the height of the blocks: sin 20° of the wheelbase.
	near(t, "on blocks", s.raised(solid.Rear, 0, 300*math.Sin(20*deg))*newton, 14.447610, 1e-7)
	// And turned about: with the front on the scale.
	near(t, "front on the scale", s.raised(solid.Front, 20*deg, 0)*newton, 11.25+25*23*math.Tan(20*deg)/300, 1e-9)
	if v := s.raised(solid.Rear, 0, 301); !math.IsNaN(v) {
		t.Errorf("blocks higher than the rig is long: %g", v)
	}
}

// A rig without springs, weights or tyres is held against what can be predicted, and says what cannot.
func TestLittleIsKnown(t *testing.T) {
	m := load(t, "bramble.rig.yaml")
	bare := *m
	bare.Rest = nil
	bare.Bodies = nil
	for i := range bare.Axles {
		bare.Axles[i].Wheels, bare.Axles[i].TyreRadius = nil, 0
	}
	a := assess(t, &bare, Options{Readings: rig.Map[rig.Reading]{
		{Name: "w", Value: rig.Reading{Of: "wheel load", At: "front left", Is: rig.Quantity{Text: "700 g"}}},
		{Name: "l", Value: rig.Reading{Of: "link length", At: "rear lower", Side: "left", Is: rig.Quantity{Text: "108.1"}}},
	}})
	if !has(&a, "bench/unpredicted") || a.Agreement == nil || a.Agreement.Freedom != 1 {
		t.Errorf("%+v", a.Findings)
	}
	other := assess(t, m, Options{Readings: rig.Map[rig.Reading]{
		{Name: "w", Value: rig.Reading{Of: "mass", Is: rig.Quantity{Text: "2700 g"}, Build: "another rig"}},
		{Name: "v", Value: rig.Reading{Of: "mass", Is: rig.Quantity{Text: "2700 g"}, Aside: true}},
		{Name: "u", Value: rig.Reading{Of: "mass", Is: rig.Quantity{Text: "2700 g"}, Build: m.Name}},
	}})
	if !has(&other, "bench/other-build") || !has(&other, "bench/aside") || other.Agreement.Freedom != 1 {
		t.Errorf("%+v", other.Findings)
	}
}
