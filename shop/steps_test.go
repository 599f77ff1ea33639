package shop_test

import (
	"math"
	"strings"
	"testing"

	"lowslung/draw"
	"lowslung/examples"
	"lowslung/quantity"
	"lowslung/shop"
	"lowslung/solid"
)

func demo(t testing.TB, file string) *solid.Model {
	t.Helper()
	text, err := examples.Files.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return model(t, string(text))
}

func steps(t testing.TB, m *solid.Model, units quantity.System) shop.Work {
	t.Helper()
	w, err := shop.StepsOf(m, shop.StepOptions{Units: units})
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func each(w *shop.Work, f func(stage string, s *shop.WorkStep)) {
	for i := range w.Stages {
		for k := range w.Stages[i].Steps {
			f(w.Stages[i].Title, &w.Stages[i].Steps[k])
		}
	}
}

// The numbers to check are those that the document and handbooks give.
func TestStepsSayWhatToCheck(t *testing.T) {
	m := demo(t, "bramble-portal.rig.yaml")
	w := steps(t, m, quantity.Metric)
	found := map[string]float64{}
	n := 0
	each(&w, func(stage string, s *shop.WorkStep) {
		if n++; s.Number != n {
			t.Errorf("step %d has the number %d", n, s.Number)
		}
		for _, c := range s.Checks {
			if c.Value != nil {
				found[stage+"|"+s.About+"|"+c.What] = *c.Value
			}
		}
	})
	if n != w.Steps {
		t.Errorf("%d steps, told %d", n, w.Steps)
	}
	loads := 0.0
	for what, v := range found {
		if strings.Contains(what, "||front ") || strings.Contains(what, "||rear ") {
			loads += v
		}
	}
	mass := found["On the board, before it is plugged in||whole rig"]
	if math.Abs(loads-mass) > 0.5 { // four loads carry the weight
		t.Errorf("loads of %.1f g under a weight of %.1f g", loads, mass)
	}
	for what, want := range map[string]float64{
		// 105 mm of rod, two ends of 11, 4 turns of M3 (0.5 mm, ISO 261) out: 127 + 2; the demo's document adds them up
		"Rear suspension|links/rear upper|eye to eye": 105 + 22 + 4*0.5,
		// module 25.4/32 = 0.79375, 14 and 54 teeth; module 0.6, 18, 30 and 36 teeth: m(z₁ + z₂)/2
		"Chassis and gearbox|chassis/parts/spur|spur to pinion, shaft to shaft":              0.79375 * 68 / 2,
		"Chassis and gearbox|chassis/parts/idler|idler to top gear, shaft to shaft":          0.6 * 48 / 2,
		"Chassis and gearbox|chassis/parts/output gear|output gear to idler, shaft to shaft": 0.6 * 66 / 2,
		"Front suspension|shocks/front|eye to eye, fully open":                               90,
	} {
		if v, ok := found[what]; !ok || math.Abs(v-want) > 1e-6 {
			t.Errorf("%s: %g (%v), expected %g", what, v, ok, want)
		}
	}
}

// Nothing is bolted on before it is made up, no wheel goes on before its axle hangs, nothing is plugged in before the rig was measured.
func TestStepsAreInOrder(t *testing.T) {
	for _, file := range []string{"bramble.rig.yaml", "bramble-portal.rig.yaml", "gully.rig.yaml"} {
		w := steps(t, demo(t, file), quantity.Metric)
		at := map[string]int{}
		care := ""
		each(&w, func(stage string, s *shop.WorkStep) {
			for _, begin := range []string{"Make up rear lower", "Bolt rear lower", "Hang the shock rear", "Fit rear tyre", "Weigh it", "Plug battery", "First run"} {
				if strings.HasPrefix(s.Do, begin) {
					at[begin] = s.Number
				}
			}
			care += strings.Join(s.Care, " ")
		})
		before := func(a, b string) {
			if at[a] == 0 || at[b] == 0 || at[a] >= at[b] {
				t.Errorf("%s: %q is step %d, %q step %d", file, a, at[a], b, at[b])
			}
		}
		before("Make up rear lower", "Bolt rear lower")
		before("Bolt rear lower", "Hang the shock rear")
		before("Hang the shock rear", "Fit rear tyre")
		before("Fit rear tyre", "Weigh it")
		before("Weigh it", "Plug battery")
		before("Plug battery", "First run")
		for _, word := range []string{"polarity", "spinning tyres", "under load", "hot"} {
			if !strings.Contains(care, word) {
				t.Errorf("%s: no caution about %q", file, word)
			}
		}
	}
}

// A name from outside cannot become markup, on any paper.
func TestStepsOnPaper(t *testing.T) {
	m := model(t, `lowslung: 1
name: "<b>Bold</b> *name*"
chassis: {parts: {belly: {made: true, material: carbon}, "<script>alert(1)</script>": {on: belly}}}
`)
	w := steps(t, m, quantity.US)
	page, err := w.HTML()
	if err != nil {
		t.Fatal(err)
	}
	html := string(page)
	for _, bad := range []string{"<script", "<b>Bold", "http://", "https://", "src="} {
		if strings.Contains(html, bad) {
			t.Errorf("the page has %q in it", bad)
		}
	}
	if n := strings.Count(html, `<input type="checkbox">`); n != w.Steps+checksOf(&w) {
		t.Errorf("%d boxes for %d steps and %d checks", n, w.Steps, checksOf(&w))
	}
	md := w.Markdown()
	if strings.Contains(md, "<script") || !strings.Contains(md, `# &lt;b>Bold&lt;/b> \*name\*: order of work`) || strings.Count(md, "- [ ]") != w.Steps+checksOf(&w) {
		t.Errorf("Markdown:\n%s", md)
	}
	if !strings.Contains(html, "carbon dust harms the lungs") {
		t.Error("no caution about carbon dust")
	}
	a, err := w.PDF(draw.Letter, "", "", 0)
	if err != nil {
		t.Fatal(err)
	}
	b, _ := w.PDF(draw.Letter, "", "", 0)
	if string(a) != string(b) || !strings.HasPrefix(string(a), "%PDF-") {
		t.Error("the PDF is none, or differs from one time to the next")
	}
}

func checksOf(w *shop.Work) (n int) {
	each(w, func(_ string, s *shop.WorkStep) { n += len(s.Checks) })
	return n
}

// A rig of one part, and one that says nothing, still give an answer.
func TestStepsOfLittle(t *testing.T) {
	w := steps(t, model(t, "lowslung: 1\n"), quantity.Metric)
	if len(w.Findings) != 0 || w.Steps != 0 {
		t.Errorf("%d steps of nothing: %+v", w.Steps, w.Stages)
	}
	w = steps(t, model(t, "lowslung: 1\nchassis: {parts: {lonely: {mass: 3}}}\n"), quantity.Metric)
	if len(w.Rest) != 1 || w.Rest[0] != "lonely" {
		t.Errorf("in no step: %v", w.Rest)
	}
}

func BenchmarkSteps(b *testing.B) {
	m := demo(b, "bramble-portal.rig.yaml")
	b.ReportAllocs()
	for b.Loop() {
		if _, err := shop.StepsOf(m, shop.StepOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}
