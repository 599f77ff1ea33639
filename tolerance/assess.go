package tolerance

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"lowslung/channel"
	"lowslung/finding"
	"lowslung/quantity"
	"lowslung/solid"
	"lowslung/travel"
)

const (
	usualSamples = 1000
	mostSamples  = 200_000
	named        = 3 // inputs told for each number
)

// beside are numbers that say the same as another one, or are about play already.
var beside = map[string]bool{"side slope": true, "roll axis": true, "sideways play": true}

// Assess answers the question. The error is one of use: a number of samples that makes no sense, errors below zero.
func Assess(m *solid.Model, o Options) (Answer, error) {
	if o.Samples == 0 {
		o.Samples = usualSamples
	}
	if o.Samples < 100 || o.Samples > mostSamples {
		return Answer{}, fmt.Errorf("samples: found %d, expected 100 to %d", o.Samples, mostSamples)
	}
	if o.Seed == 0 {
		o.Seed = 1
	}
	e := ErrorsOf(m.Doc)
	if o.Errors != nil {
		e = *o.Errors
	}
	for _, v := range []float64{e.Drilled, e.Printed, e.Length, e.Turns, e.Play, e.Set, e.Tyre} {
		if !(v >= 0) || v > 100 {
			return Answer{}, fmt.Errorf("errors: found %g, expected 0 to 100", v)
		}
	}
	a := Answer{Name: m.Name, Samples: o.Samples, Seed: o.Seed, Assumed: []Assumed{}, Bands: []Band{}, Measure: []Matter{}, Findings: []finding.Finding{}}
	in, groups := inputsOf(m, e)
	if m.Doc != nil {
		a.Assumed = e.assumed(in, m.Doc.Errors, o.Units)
	} else {
		a.Assumed = e.assumed(in, nil, o.Units)
	}
	values := travel.StandOf(m).Numbers(m)
	var wanted []*channel.Channel
	var at []float64
	for _, v := range values {
		if beside[strings.TrimPrefix(strings.TrimPrefix(v.Channel.Name, "front "), "rear ")] || math.IsNaN(v.Value) || math.IsInf(v.Value, 0) {
			continue
		}
		wanted, at = append(wanted, v.Channel), append(at, v.Value)
	}
	if len(wanted) == 0 {
		a.Samples = 0
		a.Findings = append(a.Findings, finding.New(finding.Note, "search/no-bands",
			"No band can be worked out: the links hold no axle at a design pose.").CuredBy("see what travel says of the links"))
		return a, nil
	}
	lists, lost := spread(m, in, wanted, o.Samples, o.Seed)
	a.Lost = lost
	per := slopes(m, in, wanted, at)
	total := make([]float64, len(groups))
	bent := []string{}
	for c, ch := range wanted {
		share, half := shares(in, per[c], len(groups))
		for g := range share {
			total[g] += share[g]
		}
		if len(lists[c]) < 2 {
			continue
		}
		slices.Sort(lists[c])
		from, to := quantile(lists[c], 0.025), quantile(lists[c], 0.975)
		a.Bands = append(a.Bands, band(ch, at[c], from, to, half, matters(groups, share, ch.Name), o.Units))
		if d := math.Abs((to-from)/2 - half); d > 0.2*half && half > 0 && lost < o.Samples/20 {
			bent = append(bent, ch.Name)
		}
	}
	a.judge(groups, total, bent, lost)
	return a, nil
}

// judge says what to measure first, and what spoils the bands.
func (a *Answer) judge(groups []group, total []float64, bent []string, lost int) {
	sum := 0.0
	for _, t := range total {
		sum += t
	}
	if sum > 0 {
		for g := range total {
			total[g] /= sum
		}
		a.Measure = matters(groups, total, "the bands taken together")
	}
	if lost > 0 {
		level := finding.Note
		if 50*lost > a.Samples {
			level = finding.Watch
		}
		a.Findings = append(a.Findings, finding.New(level, "search/bands-lost",
			"In %d of %d builds tried, each a little off everywhere, the links did not go together, or did not come to ride height.", lost, a.Samples).
			CuredBy("keep away from full reach: see the limits that travel gives"))
	}
	if len(bent) > 0 {
		a.Findings = append(a.Findings, finding.New(finding.Note, "search/bands-bend",
			"Linear propagation misses the sampled band by more than a fifth for %s: these numbers bend within their band; go by the samples.", list(bent)))
	}
	finding.Sort(a.Findings)
}

// shares are each group's share of the variance, and half the 95 % band, from the changes per standard deviation: σ² = Σ(∂f/∂xᵢ·σᵢ)²
// (JCGM 100:2008, 5.1.2, inputs independent), half = 1.960·σ.
func shares(in []input, per []float64, groups int) (share []float64, half float64) {
	share = make([]float64, groups)
	sum := 0.0
	for i := range in {
		v := per[i] * per[i]
		share[in[i].group] += v
		sum += v
	}
	if sum > 0 {
		for g := range share {
			share[g] /= sum
		}
	}
	return share, normal95 * math.Sqrt(sum)
}

func matters(groups []group, share []float64, of string) []Matter {
	order := make([]int, len(groups))
	for g := range order {
		order[g] = g
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch d := share[a] - share[b]; {
		case d > 1e-9: // twins are alike but for rounding: keep the order of the document
			return -1
		case d < -1e-9:
			return 1
		}
		return 0
	})
	out := []Matter{}
	for _, g := range order[:min(named, len(order))] {
		if share[g] < 1e-6 {
			break
		}
		out = append(out, Matter{What: groups[g].what, Path: groups[g].path, Share: share[g],
			Text: fmt.Sprintf("measure the %s better: it makes %s %% of the spread of %s", groups[g].what, quantity.Fixed(100*share[g], 0), of)})
	}
	return out
}

func band(c *channel.Channel, at, from, to, half float64, m []Matter, units quantity.System) Band {
	unit := c.Dim.Shown(units).Symbol
	in := func(v float64) float64 { return c.Dim.In(v, unit) }
	return Band{
		Name: c.Name, Value: in(at), From: in(from), To: in(to), Linear: in(half), Unit: unit, Matters: m,
		ValueText: digits(c, at, to-from, units), FromText: digits(c, from, to-from, units), ToText: digits(c, to, to-from, units),
	}
}

// digits prints a value of a band, with as many digits as show two figures of its width, and no fewer than the catalogue asks for.
func digits(c *channel.Channel, v, width float64, units quantity.System) string {
	n := c.Digits
	if w := c.Dim.In(width, c.Dim.Shown(units).Symbol); w > 0 {
		n = max(n, min(4, 1-int(math.Floor(math.Log10(w)))))
	}
	return c.Dim.FormatDigits(v, units, n)
}

// quantile of a sorted list, linear between neighbours (Hyndman & Fan, The American Statistician 50 (1996) 361, definition 7).
func quantile(sorted []float64, p float64) float64 {
	h := p * float64(len(sorted)-1)
	i := int(h)
	if i+1 >= len(sorted) {
		return sorted[len(sorted)-1]
	}
	return sorted[i] + (h-float64(i))*(sorted[i+1]-sorted[i])
}

func list(names []string) string {
	if len(names) == 1 {
		return names[0]
	}
	out := names[0]
	for _, n := range names[1 : len(names)-1] {
		out += ", " + n
	}
	return out + " and " + names[len(names)-1]
}
