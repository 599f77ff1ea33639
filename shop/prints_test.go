package shop_test

import (
	"math"
	"strings"
	"testing"

	"lowslung/examples"
	"lowslung/form"
	"lowslung/quantity"
	"lowslung/rig"
	"lowslung/shop"
	"lowslung/solid"
)

func model(t testing.TB, text string) *solid.Model {
	t.Helper()
	return modelWith(t, text, nil)
}

// modelWith has files beside the document and the examples.
func modelWith(t testing.TB, text string, files map[string][]byte) *solid.Model {
	t.Helper()
	b, err := rig.Load(func(name string) ([]byte, error) {
		if name == "it.rig.yaml" {
			return []byte(text), nil
		}
		if data, ok := files[name]; ok {
			return data, nil
		}
		return examples.Files.ReadFile(name)
	}, "it.rig.yaml")
	if err != nil {
		t.Fatal(err)
	}
	m, err := solid.Resolve(b)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func prints(t testing.TB, m *solid.Model, o shop.PrintOptions) shop.Prints {
	t.Helper()
	a, err := shop.PrintsOf(m, o)
	if err != nil {
		t.Fatal(err)
	}
	for i := range a.Prints {
		if err := a.Prints[i].Mesh.Check(); err != nil {
			t.Errorf("%s: %v", a.Prints[i].Name, err)
		}
	}
	return a
}

func named(t testing.TB, a shop.Prints, name string) *shop.Print {
	t.Helper()
	for i := range a.Prints {
		if a.Prints[i].Name == name {
			return &a.Prints[i]
		}
	}
	t.Fatalf("no %s", name)
	return nil
}

// The gauge follows the document: its length, whatever unit it is written in, and the bolts of its holes.
func TestLengthGaugeFollowsTheLink(t *testing.T) {
	m := model(t, `lowslung: 1
chassis: {parts: {belly: {holes: {a: {at: [0, 20, 8], bolt: M4, axis: [0, 1, 0], pair: true}}}}}
rear: {near: [-150, 0, 0], parts: {axle: {holes: {b: {at: [10, 40, 0], axis: [0, 1, 0], pair: true}}}}}
links: {arm: {axle: rear, pair: true, from: belly/a, to: axle/b, length: 4.5 in}}
`)
	g := named(t, prints(t, m, shop.PrintOptions{Tolerance: 0.35}), "length-gauge-arm")
	if long := g.Measure[0].SizeMM; math.Abs(long-114.3) > 1e-9 { // 4.5 · 25.4
		t.Errorf("%g mm from hole to hole, expected 114.3", long)
	}
	if a, b := g.Measure[1].SizeMM, g.Measure[2].SizeMM; math.Abs(a-4.35) > 1e-9 || math.Abs(b-3.35) > 1e-9 || !strings.Contains(strings.Join(g.Assumes, " "), "where the holes name none") {
		t.Errorf("holes of %g and %g mm for M4 and no name, with 0.35: %v", a, b, g.Assumes)
	}
	// 4 mm thick: a bar with round ends less holes and window, weighed against its outline by hand to within the chords
	wide := 4.35 + 10
	window := form.Point{4.35/2 + 5 + (wide/2 - 5), 114.3 - (4.35/2 + 5 + (wide/2 - 5))}
	r := wide/2 - 5
	area := 114.3*wide + math.Pi*wide*wide/4 - math.Pi/4*(4.35*4.35+3.35*3.35) - (window[1]-window[0])*2*r - math.Pi*r*r
	if want := 4 * area; math.Abs(g.VolumeMM3/want-1) > 2e-3 || math.Abs(g.MassG-want*1.27e-3) > 0.02 {
		t.Errorf("%.1f mm³ and %.2f g, expected %.1f and %.2f", g.VolumeMM3, g.MassG, want, want*1.27e-3)
	}
}

func TestPrintsSayWhatIsMissing(t *testing.T) {
	m := model(t, `lowslung: 1
chassis: {parts: {belly: {holes: {a: {at: [0, 20, 8], pair: true}, top: {at: [0, 30, 80], pair: true}}}, pack: {kind: battery}}}
rear: {near: [-150, 0, 0], parts: {axle: {holes: {b: {at: [10, 40, 0], pair: true}}}}}
links: {arm: {axle: rear, pair: true, from: belly/a, to: axle/b, length: 114}}
shocks: {rear: {axle: rear, pair: true, top: belly/top, bottom: axle/b}}
`)
	a := prints(t, m, shop.PrintOptions{})
	if len(a.Prints) != 1 {
		t.Errorf("%d prints, expected the length gauge alone", len(a.Prints))
	}
	all := ""
	for _, f := range a.Findings {
		all += f.Code + " " + f.Sentence + "\n"
	}
	for _, want := range []string{"No pinion gauge for the rear axle", "No spacer for the shock rear", "No battery tray for pack", "No ride-height block"} {
		if !strings.Contains(all, "shop/no-print "+want) {
			t.Errorf("nothing says %q in\n%s", want, all)
		}
	}
}

// A guide shows the holes of both cheeks once, one drill for each thread (ISO 273 fine: M3 3.2, M4 4.3; print).
func TestDrillGuide(t *testing.T) {
	m := model(t, `lowslung: 1
chassis:
  parts:
    plate:
      kind: plate
      holes:
        a: {at: [0, 20, 8], bolt: M3, axis: [0, 1, 0], pair: true}
        b: {at: [30, 22, 8], bolt: M4, axis: [0, -2, 0], pair: true}
        up: {at: [5, 12, 0], bolt: M3, axis: [0, 0, 1], pair: true}
        odd: {at: [9, 1, 3], bolt: M3, axis: [1, 1, 0]}
    motor: {kind: motor, ports: {face: {type: pattern, circle: 25, holes: 2}}}
`)
	a := prints(t, m, shop.PrintOptions{Tolerance: -1})
	across, up := named(t, a, "drill-guide-plate-across"), named(t, a, "drill-guide-plate-upright")
	if len(a.Prints) != 2 || len(across.Measure) != 1 || math.Abs(across.Measure[0].SizeMM-30) > 1e-9 || len(up.Measure) != 1 || math.Abs(up.Measure[0].SizeMM-24) > 1e-9 {
		t.Errorf("%d guides, %v and %v", len(a.Prints), across.Measure, up.Measure)
	}
	// box of the holes with 6 mm of rim, less a corner of 4 mm, less the holes
	l, h := 3.2/2+6+30+4.3/2+6, 4.3+12
	want := 6 * (l*h - 8 - math.Pi/4*(3.2*3.2+4.3*4.3))
	if math.Abs(across.VolumeMM3/want-1) > 2e-3 {
		t.Errorf("%.1f mm³, expected %.1f", across.VolumeMM3, want)
	}
}

func TestPrintOptions(t *testing.T) {
	for _, c := range []struct {
		tolerance string
		lengths   []string
		want      string
	}{
		{"2 mm", nil, "tolerance: found 2 mm, expected 0 to 1 mm"},
		{"-0.1", nil, "tolerance: found -0.1, expected 0 to 1 mm"},
		{"3 g", nil, "tolerance: "},
		{"", []string{"5"}, "length: found 5, expected 15 mm to 1000 mm"},
		{"", make([]string, 21), "length: found 21, expected at most 20"},
	} {
		if _, err := shop.ParsePrintOptions(c.tolerance, c.lengths, quantity.Metric); err == nil || !strings.HasPrefix(err.Error(), c.want) {
			t.Errorf("%q %q: %v", c.tolerance, c.lengths, err)
		}
	}
	o, err := shop.ParsePrintOptions("0", []string{"4 in"}, quantity.US)
	if err != nil || o.Lengths[0] != 101.6 {
		t.Fatalf("%+v %v", o, err)
	}
	a := prints(t, model(t, "lowslung: 1\n"), o)
	if g := named(t, a, "length-gauge-101-6"); a.ToleranceMM != 0 || g.Measure[1].SizeMM != 3 || !strings.Contains(g.Use, "4.000 in") {
		t.Errorf("%g mm of tolerance, %v, %s", a.ToleranceMM, g.Measure, g.Use)
	}
}

// The same build gives the same bytes.
func TestPrintsAreReproducible(t *testing.T) {
	text, err := examples.Files.ReadFile("bramble-portal.rig.yaml")
	if err != nil {
		t.Fatal(err)
	}
	m := model(t, string(text))
	a, b := prints(t, m, shop.PrintOptions{}), prints(t, m, shop.PrintOptions{})
	for i := range a.Prints {
		if string(a.Prints[i].STL()) != string(b.Prints[i].STL()) || string(a.Prints[i].ThreeMF()) != string(b.Prints[i].ThreeMF()) {
			t.Errorf("%s differs", a.Prints[i].Name)
		}
	}
}

func BenchmarkPrints(b *testing.B) {
	text, err := examples.Files.ReadFile("bramble-portal.rig.yaml")
	if err != nil {
		b.Fatal(err)
	}
	m := model(b, string(text))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := shop.PrintsOf(m, shop.PrintOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}
