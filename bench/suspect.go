package bench

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"lowslung/finding"
	"lowslung/quantity"
)

// A slip is what may have happened to one reading: the value that was meant is the value written times factor, or what turns it into.
type slip struct {
	kind  string
	dim   *quantity.Dimension
	meant func(v float64) float64
	text  string
}

func times(f float64) func(float64) float64 { return func(v float64) float64 { return v * f } }

// slips are the gross mistakes that are common at a bench. Factors are exact (NIST SP 811, appendix B).
var slips = []slip{
	{"unit", quantity.DimMass, times(28.349523125), "it was read in oz and written in g"},
	{"unit", quantity.DimMass, times(1 / 28.349523125), "it was read in g and written in oz"},
	{"unit", quantity.DimMass, times(453.59237), "it was read in lb and written in g"},
	{"unit", quantity.DimMass, times(1000), "it was read in kg and written in g"},
	{"unit", quantity.DimMass, times(1e-3), "it was read in g and written in kg"},
	{"unit", quantity.DimLength, times(25.4), "it was read in inches and written in mm"},
	{"unit", quantity.DimLength, times(1 / 25.4), "it was read in mm and written in inches"},
	{"unit", quantity.DimLength, times(10), "it was read in cm and written in mm"},
	{"unit", quantity.DimAngle, times(180 / math.Pi), "it was read in rad and written in degrees"},
	{"decimal", nil, times(10), "the point is one place too far left"},
	{"decimal", nil, times(0.1), "the point is one place too far right"},
	{"twice", nil, times(2), "half of the thing was measured: one of two, or a radius"},
	{"twice", nil, times(0.5), "twice the thing was measured: both of two, or a diameter"},
	{"sign", quantity.DimAngle, times(-1), "the gauge was read with the other sign"},
	{"upright", quantity.DimAngle, func(v float64) float64 { return math.Pi/2 - v }, "the gauge was read from upright, not from level"},
}

// suspect looks for a slip that would cure a bad difference: of one reading, of two of a kind that changed places, or of all wheels at once.
// What a reading would have to be follows from the fit without fitting anew: with r the differences over σ at the start and Q their weight
// after the fit, the least sum is rᵀQr for any r.
func (a *Answer) suspect(b *bench, f *fit, units quantity.System) {
	m := len(f.used)
	s := f.system(b)
	r := make([]float64, m)
	for i := range m {
		r[i] = s.y[i] / s.sigma[i]
	}
	sum := func(r []float64) float64 {
		v := mat.NewVecDense(m, r)
		return mat.Inner(v, f.q, v)
	}
	now := sum(r)
	limit := tooFar(m)
	if _, worst := f.worst(); worst <= limit && agreement(f).Chance >= fair {
		return
	}
	enough := distuv.ChiSquared{K: float64(m)}.Quantile(1 - poor)
	type cure struct {
		at   []int
		kind string
		text string
		sum  float64
	}
	var best *cure
	try := func(c cure, r []float64) {
		if c.sum = sum(r); now-c.sum > 12 && c.sum < enough && (best == nil || c.sum < best.sum-1e-9) {
			best = &c
		}
	}
	for i, o := range f.used {
		p := &b.probes[o.probe]
		if w := math.Abs(f.normalized(i, o.sigma)); w <= limit {
			continue
		}
		for _, sl := range slips {
			if sl.dim != nil && sl.dim != p.dim {
				continue
			}
			meant := sl.meant(o.value)
			other := slices.Clone(r)
			other[i] += (meant - o.value) / o.sigma
			try(cure{at: []int{i}, kind: sl.kind, text: fmt.Sprintf("%s may be a slip: %s; that would make it %s, which fits",
				finding.Sentence(p.text), sl.text, shown(p.dim, meant, o.sigma*normal95, units))}, other)
		}
	}
	// Two that changed places.
	swapped := func(pairs [][2]int) []float64 {
		other := slices.Clone(r)
		for _, k := range pairs {
			i, j := k[0], k[1]
			d := f.used[j].value - f.used[i].value
			other[i] += d / f.used[i].sigma
			other[j] -= d / f.used[j].sigma
		}
		return other
	}
	for i := range m {
		for j := i + 1; j < m; j++ {
			p, q := &b.probes[f.used[i].probe], &b.probes[f.used[j].probe]
			if p.of != q.of || math.Abs(f.used[i].value-f.used[j].value) < 2*f.used[i].sigma {
				continue
			}
			try(cure{at: []int{i, j}, kind: "swapped", text: fmt.Sprintf("%s and %s may have changed places: the other way round they fit", finding.Sentence(p.text), q.text)}, swapped([][2]int{{i, j}}))
		}
	}
	wheel := func(at string) int {
		return slices.IndexFunc(f.used, func(o observed) bool { p := &b.probes[o.probe]; return p.of == "wheel load" && p.at == at })
	}
	fl, fr, rl, rr := wheel("front left"), wheel("front right"), wheel("rear left"), wheel("rear right")
	if fl >= 0 && fr >= 0 && rl >= 0 && rr >= 0 {
		try(cure{at: []int{fl, fr, rl, rr}, kind: "left and right", text: "the scales on the left and on the right may have changed places: the other way round all four wheel loads fit"},
			swapped([][2]int{{fl, fr}, {rl, rr}}))
		try(cure{at: []int{fl, fr, rl, rr}, kind: "front and rear", text: "the scales at the front and at the rear may have changed places: the other way round all four wheel loads fit"},
			swapped([][2]int{{fl, rl}, {fr, rr}}))
	}
	if best == nil {
		return
	}
	out := Suspect{Readings: []string{}, Kind: best.kind, Text: best.text, Before: now, After: best.sum}
	var about []string
	for _, i := range best.at {
		name := a.Readings[f.used[i].probe].Name
		out.Readings = append(out.Readings, name)
		about = append(about, "readings/"+name)
	}
	a.Suspects = append(a.Suspects, out)
	code := "bench/slip"
	if best.kind == "swapped" || best.kind == "left and right" || best.kind == "front and rear" {
		code = "bench/swapped"
	}
	a.Findings = append(a.Findings, finding.New(finding.Watch, code, "%s.", finding.Sentence(best.text)).For(about...).
		CuredBy("look at the reading again; nothing was changed"))
}
