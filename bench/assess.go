package bench

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"lowslung/channel"
	"lowslung/finding"
	"lowslung/quantity"
	"lowslung/rig"
	"lowslung/solid"
)

const (
	fair     = 0.05  // chance below which agreement is strained
	poor     = 0.001 // chance below which there is none
	slight   = 0.1   // of an input's standard deviation: corrections below are not told
	grossly  = 8.0   // normalized residual of a reading that is grossly off
	mostLost = 3     // readings left out of the corrections at most
)

// Assess answers the question. The error is one of use: a reading that names nothing of this rig, or a value that is none.
func Assess(m *solid.Model, o Options) (Answer, error) {
	a := Answer{Name: m.Name, Readings: []Reading{}, Suspects: []Suspect{}, Corrections: []Correction{}, Numbers: []Known{}, Alike: []Alike{}, Next: []Next{}, Findings: []finding.Finding{}}
	motors := motorsOf(m)
	b := &bench{m: m, motors: motors, cares: cares(), units: o.Units}
	b.in = inputsOf(m, motors, m.Rest != nil)
	list, err := readingsOf(m, &o)
	if err != nil {
		return Answer{}, err
	}
	for i := range list {
		b.probes = append(b.probes, probeOf(m, motors, &list[i].Reading))
		if r := &list[i]; r.Of == "tilt angle" && !r.Aside {
			b.flex = true
		}
	}
	taken := len(b.probes)
	b.probes = append(b.probes, b.candidates(list)...)
	t := newTrial(m, motors)
	zero := make([]float64, len(b.in))
	here := b.at(t, zero, b.flex)
	probes, cares := b.slopes(zero, here)

	used := a.predict(b, list, here, probes, o.Units)
	prior := &fit{solution: b.unread(), x: zero, view: here, slopes: probes, cares: cares, settled: true}
	best := prior
	if len(used) > 0 {
		all, err := b.screen(used, here, probes, cares)
		if err != nil {
			return Answer{}, err
		}
		a.suspect(b, all, o.Units)
		if best, err = a.misfits(b, all, here, probes, cares); err != nil {
			return Answer{}, err
		}
		a.after(b, best)
		a.correct(b, best, o)
		a.alike(b, best)
	}
	a.known(b, prior, best, o.Units)
	a.next(b, best, taken, o.Units)
	a.judge(b, best, list, o)
	finding.Sort(a.Findings)
	return a, nil
}

// A taken reading is one of the document or of a table.
type takenReading struct {
	rig.Reading
	name  string
	table bool
}

// readingsOf are the document's readings and those besides.
func readingsOf(m *solid.Model, o *Options) ([]takenReading, error) {
	var out []takenReading
	if m.Doc != nil {
		for i := range m.Doc.Readings {
			e := &m.Doc.Readings[i]
			if _, again := o.Readings.Get(e.Name); !again {
				out = append(out, takenReading{e.Value, e.Name, false})
			}
		}
	}
	for i := range o.Readings {
		e := &o.Readings[i]
		out = append(out, takenReading{e.Value, e.Name, true})
	}
	for i := range out {
		k, ok := out[i].KindOf()
		if !ok {
			return nil, fmt.Errorf("reading %q: found %q, expected a kind of reading", out[i].name, out[i].Of)
		}
		if _, err := out[i].Is.In(k.Dim); err != nil {
			return nil, fmt.Errorf("reading %q: %w", out[i].name, err)
		}
	}
	return out, nil
}

// sameBuild says that a reading was taken of this build: of its name, or of one that goes on after a comma.
func sameBuild(written, name string) bool {
	return written == "" || written == name || strings.HasPrefix(name, written+",")
}

// within is how far a reading may be off, and whether that is only usual.
func within(r *rig.Reading, k *rig.ReadingKind, value float64) (half float64, usual bool) {
	if r.Within != nil {
		if v, err := r.Within.In(k.Dim); err == nil && v > 0 {
			return v, false
		}
	}
	if k.Share > 0 {
		return max(k.Share*math.Abs(value), 1e-9), true
	}
	return k.Within, true
}

// predict lists the readings with what the model says as it is written, and those that count.
func (a *Answer) predict(b *bench, list []takenReading, here view, probes *mat.Dense, units quantity.System) []observed {
	var used []observed
	for i := range list {
		r, p := &list[i], &b.probes[i]
		k, _ := r.KindOf()
		value, _ := r.Is.In(k.Dim)
		half, usual := within(&r.Reading, k, value)
		unit := k.Dim.Shown(units).Symbol
		in := func(v float64) float64 { return k.Dim.In(v, unit) }
		out := Reading{Name: r.name, Text: p.text, Of: r.Of, At: r.At, Side: r.Side, From: "document", When: r.When, How: r.How,
			Unit: unit, Value: in(value), Within: in(half), Usual: usual,
			ValueText: shown(k.Dim, value, half, units), WithinText: shown(k.Dim, half, half, units)}
		if r.table {
			out.From = "table"
		}
		switch f := here.probes[i]; {
		case math.IsNaN(f):
			out.Why = "the model cannot predict it: " + p.lack
		default:
			sigma := half / normal95
			spread := math.Sqrt(b.before(mat.Row(nil, i, probes)))
			all := math.Hypot(spread, sigma)
			out.Predicted, out.Spread, out.Difference, out.Ratio = ptr(in(f)), ptr(in(spread*normal95)), ptr(in(value-f)), ptr((value-f)/(normal95*all))
			out.PredictedText, out.DifferenceText = shown(k.Dim, f, half, units), plus(shown(k.Dim, value-f, half, units))
			switch {
			case r.Aside:
				out.Why = "it is set aside in the document"
			case !sameBuild(r.Build, a.Name):
				out.Why = fmt.Sprintf("it is of another build, %q", r.Build)
			default:
				out.Used, out.Fits = true, true
				used = append(used, observed{i, value, sigma})
			}
		}
		a.Readings = append(a.Readings, out)
	}
	return used
}

func ptr(v float64) *float64 { return &v }

// shown prints a value with as many digits as show two figures of how far it may be off.
func shown(d *quantity.Dimension, v, half float64, units quantity.System) string {
	digits := 0
	if w := math.Abs(d.In(half, d.Shown(units).Symbol)); w > 0 {
		digits = max(0, min(5, 1-int(math.Floor(math.Log10(w)*(1+1e-12)))))
	}
	return d.FormatDigits(v, units, digits)
}

func plus(text string) string {
	if strings.HasPrefix(text, "-") {
		return text
	}
	return "+" + text
}

// unread is the solution without any reading: the usual errors.
func (b *bench) unread() *solution {
	n := len(b.in)
	s := &solution{x: make([]float64, n), cov: mat.NewDense(max(n, 1), max(n, 1), nil), q: mat.NewDense(1, 1, nil)}
	for j := range n {
		s.cov.Set(j, j, b.in[j].sigma*b.in[j].sigma)
	}
	return s
}

// agreement judges the least sum by the χ² distribution with as many degrees of freedom as there are readings: the inputs take none away,
// since each brings its usual error as an observation of its own.
func agreement(f *fit) *Agreement {
	g := &Agreement{ChiSquare: f.chi2, Freedom: f.freedom, Chance: 1}
	if f.freedom > 0 {
		g.Chance = distuv.ChiSquared{K: float64(f.freedom)}.Survival(f.chi2)
	}
	n := readings(len(f.used))
	switch {
	case g.Chance >= fair:
		g.Verdict = "agrees"
		g.Text = fmt.Sprintf("The model agrees with %s: what is left between them is what such errors of making and measuring lead to.", n)
	case g.Chance >= poor:
		g.Verdict = "strained"
		g.Text = fmt.Sprintf("The model agrees badly with %s: pure chance makes differences as large in %s of 100 cases.", n, quantity.Fixed(100*g.Chance, 1))
	default:
		g.Verdict = "disagrees"
		g.Text = fmt.Sprintf("The model does not agree with %s: usual errors of making and measuring do not lead to such differences.", n)
	}
	return g
}

func readings(n int) string {
	if n == 1 {
		return "the one reading"
	}
	return fmt.Sprintf("the %d readings", n)
}

// tooFar is the normalized residual that the largest of m readings keeps below in 95 of 100 cases when nothing is wrong: the normal quantile
// of 1 − 0.05/(2m) (Bonferroni's inequality).
func tooFar(m int) float64 {
	return distuv.UnitNormal.Quantile(1 - 0.05/(2*float64(max(m, 1))))
}

// misfits leaves out the reading with the largest normalized residual as long as it is too large, one at a time, and puts one back that
// fits once another is out: two readings that say nearly the same of the rig may be blamed for each other. What is grossly off is left out by
// the straight-line fit at the document as it is, so that it does not drag the search to where the rig does not go together.
func (a *Answer) misfits(b *bench, all *fit, here view, probes, cares *mat.Dense) (*fit, error) {
	used, out := all.used, []observed{}
	gross := all
	for len(out) < mostLost {
		worst, size := gross.worst()
		if size <= max(grossly, tooFar(len(used))) || len(used) < 3 {
			break
		}
		out = append(out, used[worst])
		used = slices.Delete(slices.Clone(used), worst, worst+1)
		var err error
		if gross, err = b.screen(used, here, probes, cares); err != nil {
			return nil, err
		}
	}
	best, err := b.fit(used, here, probes, cares)
	if err != nil {
		return nil, err
	}
	if len(out) == 0 {
		a.Agreement = agreement(best)
	} else {
		a.Agreement = agreement(all)
	}
	for range 2 * mostLost {
		limit := tooFar(len(all.used))
		if back := slices.IndexFunc(out, func(o observed) bool { return math.Abs(b.outside(best, o)) <= limit }); back >= 0 && len(out) > 1 {
			used = append(slices.Clone(best.used), out[back])
			slices.SortFunc(used, func(p, q observed) int { return p.probe - q.probe })
			out = slices.Delete(slices.Clone(out), back, back+1)
		} else if worst, size := best.worst(); size > limit && len(best.used) >= 3 && len(out) < mostLost {
			out = append(out, best.used[worst])
			used = slices.Delete(slices.Clone(best.used), worst, worst+1)
		} else {
			break
		}
		if best, err = b.fit(used, here, probes, cares); err != nil {
			return nil, err
		}
	}
	for _, o := range out {
		r, p := &a.Readings[o.probe], &b.probes[o.probe]
		r.Fits = false
		f := best.view.probes[o.probe]
		half := normal95 * math.Sqrt(along(mat.Row(nil, o.probe, best.slopes), best.cov))
		a.Findings = append(a.Findings, finding.New(finding.Watch, "bench/misfit",
			"%s does not fit the others: %s was read, and by the others it is %s within %s; that is %s standard deviations apart, and in 19 of 20 sets of readings none is more than %s.",
			finding.Sentence(p.text), r.ValueText, shown(p.dim, f, half, b.units), shown(p.dim, half, half, b.units),
			quantity.Fixed(math.Abs(b.outside(best, o)), 1), quantity.Fixed(tooFar(len(all.used)), 1)).
			For("readings/"+r.Name).CuredBy("measure it again; until then the corrections leave it out"))
	}
	if len(out) > 0 {
		a.Without = agreement(best)
	}
	return best, nil
}

// worst is the reading with the largest normalized residual; the first of those that are alike.
func (f *fit) worst() (at int, size float64) {
	at = -1
	for i, o := range f.used {
		if w := math.Abs(f.normalized(i, o.sigma)); w > size+1e-9 {
			at, size = i, w
		}
	}
	return at, size
}

// outside is how far a reading that a fit did not use is from what the fit says of it, over the standard deviation of that difference.
func (b *bench) outside(f *fit, o observed) float64 {
	return (o.value - f.view.probes[o.probe]) / math.Sqrt(o.sigma*o.sigma+along(mat.Row(nil, o.probe, f.slopes), f.cov))
}

// after tells what the corrected model says of each reading.
func (a *Answer) after(b *bench, f *fit) {
	for i := range a.Readings {
		r, p := &a.Readings[i], &b.probes[i]
		if v := f.view.probes[i]; r.Predicted != nil && !math.IsNaN(v) {
			r.Fitted = ptr(p.dim.In(v, r.Unit))
		}
	}
	for i, o := range f.used {
		r := &a.Readings[o.probe]
		if q := f.q.At(i, i); q >= 1e-9 {
			r.Normalized = ptr(f.normalized(i, o.sigma))
			r.Leverage = ptr(1 - q)
		} else {
			r.Leverage = ptr(1)
		}
	}
}

// correct lists what is most probably off.
func (a *Answer) correct(b *bench, f *fit, o Options) {
	type one struct {
		j    int
		size float64
	}
	var order []one
	for j := range b.in {
		if s := math.Abs(f.x[j]) / b.in[j].sigma; s >= slight {
			order = append(order, one{j, s})
		} else {
			a.Small++
		}
	}
	slices.SortStableFunc(order, func(p, q one) int {
		switch {
		case p.size > q.size+1e-9:
			return -1
		case p.size < q.size-1e-9:
			return 1
		}
		return 0
	})
	held, patch := b.patch(f.x)
	for _, k := range order {
		in, by := &b.in[k.j], f.x[k.j]
		unit := in.dim.Shown(o.Units).Symbol
		conv := func(v float64) float64 { return in.dim.In(v, unit) }
		before, after := math.Abs(in.size(normal95*in.sigma)), math.Abs(in.size(normal95*math.Sqrt(max(0, f.cov.At(k.j, k.j)))))
		c := Correction{What: in.what, Path: in.path, Unit: unit, Written: conv(in.written), Change: conv(in.size(by)), Before: conv(before), After: conv(after),
			Sigmas: by / in.sigma, Held: held[k.j],
			WrittenText: shown(in.dim, in.written, after, o.Units), ChangeText: plus(shown(in.dim, in.size(by), after, o.Units)),
			BeforeText: shown(in.dim, before, after, o.Units), AfterText: shown(in.dim, after, after, o.Units)}
		a.Corrections = append(a.Corrections, c)
	}
	if o.Base != "" && patch != nil {
		a.Patch = write(o.Base, a.Name, patch)
	}
}

// known tells how well the numbers are known before and after.
func (a *Answer) known(b *bench, prior, best *fit, units quantity.System) {
	for i, c := range b.cares {
		was, is := prior.view.cares[i], best.view.cares[i]
		if math.IsNaN(was) || math.IsNaN(is) {
			continue
		}
		ch := channel.Must(c.name)
		before := normal95 * math.Sqrt(b.before(mat.Row(nil, i, prior.cares)))
		after := normal95 * math.Sqrt(max(0, along(mat.Row(nil, i, best.cares), best.cov)))
		unit := ch.Dim.Shown(units).Symbol
		in := func(v float64) float64 { return ch.Dim.In(v, unit) }
		a.Numbers = append(a.Numbers, Known{Name: c.name, Unit: unit, Was: in(was), Is: in(is), Before: in(before), After: in(after),
			WasText: shown(ch.Dim, was, after, units), IsText: shown(ch.Dim, is, after, units), BeforeText: shown(ch.Dim, before, after, units), AfterText: shown(ch.Dim, after, after, units)})
	}
}
