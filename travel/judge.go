package travel

import (
	"fmt"
	"math"
	"strings"

	"lowslung/channel"
	"lowslung/finding"
	"lowslung/quantity"
	"lowslung/solid"
)

// What the numbers mean for the builder.

const (
	// Sideways play with 0.1 mm of slop in every link, mm. A transverse rod or well spread links give a few tenths; limits are
	// ours, from the effect a builder sees on a wheel, not from a source.
	playWatch = 2.0
	playStop  = 10.0
	// lengthMatters is the smallest error of a link's length worth a finding, mm: one turn of an M3 rod end is 0.5 mm.
	lengthMatters = 1.0
)

func mm(v float64, u quantity.System) string { return quantity.DimLength.Format(v, u) }

func degrees(v float64) string { return quantity.DimAngle.Format(v*deg, quantity.Metric) }

// judge looks at one axle.
func judge(m *solid.Model, st *Stand, end solid.End, ax *Axle, o Options) []finding.Finding {
	mv, path := st.Movers[end], m.Axles[end].Path
	out := judgeLinks(mv, end, o.Units)
	if !mv.Solved {
		return out
	}
	if mv.Source == ByNear {
		out = append(out, finding.New(finding.Note, "travel/design-from-near",
			"The %s axle is taken to sit at the height of near, z %s: neither a shock's set nor ride_height says otherwise.", end, mm(mv.Design.Z, o.Units)).
			For(path).CuredBy("measure a shock eye to eye at ride height and write it as set"))
	}
	if ax.Design.Rates != nil {
		out = append(out, judgePlay(ax.Design.Rates, end, path, o.Units)...)
	}
	if n := len(ax.Unreached); n > 0 {
		out = append(out, finding.New(finding.Note, "travel/full-reach",
			"The links are at full reach at %d of %d points of the %s axle's grid.", n, n+len(ax.Poses), end).For(path))
	}
	out = append(out, judgeShocks(m, mv, end, o)...)
	return append(out, judgeLimits(m, mv, ax, o)...)
}

// judgeLinks says whether the links hold the axle, by their number and by what they leave loose.
func judgeLinks(mv *Mover, end solid.End, units quantity.System) []finding.Finding {
	n, path := mv.Count(), end.String()
	stretch := mv.Stretch()
	switch {
	case n == 0:
		return []finding.Finding{finding.New(finding.Note, "travel/no-links",
			"No links hold the %s axle, so travel has nothing to say about it: write links with axle: %s.", end, end).For(path)}
	case n < 4:
		return []finding.Finding{finding.New(finding.Stop, "travel/too-few-links",
			"Only %s the %s axle, and four are needed: it is free to %s.", holdsWords(n), end, strings.Join(mv.Loose(), ", and to ")).
			For(path).CuredBy("add %s, such as a transverse rod or an upper link", links(4-n))}
	case n > 4:
		worst, at := worstOf(stretch)
		f := finding.New(finding.Watch, "travel/too-many-links",
			"%d links hold the %s axle where four do: it binds unless they give; at ride height %s is out by %s.",
			n, end, nameOf(&mv.Links[at]), mm(worst, units))
		if worst < closeEnough {
			f = finding.New(finding.Watch, "travel/too-many-links",
				"%d links hold the %s axle where four do: it binds unless they give, though they all fit at ride height.", n, end)
		}
		return []finding.Finding{f.For(path, mv.Links[at].Path).CuredBy("leave out one link, or give one end rubber or a slot")}
	case !mv.Solved:
		worst, at := worstOf(stretch)
		word := "short"
		if stretch[at] < 0 {
			word = "long"
		}
		return []finding.Finding{finding.New(finding.Stop, "travel/links-do-not-close",
			"The four links of the %s axle cannot be put together near z %s: at the best fit %s is %s too %s.",
			end, mm(mv.At().Z, units), nameOf(&mv.Links[at]), mm(worst, units), word).
			For(path, mv.Links[at].Path).CuredBy("change that link's length or its holes, or correct near")}
	}
	if loose := mv.Loose(); len(loose) > 0 {
		return []finding.Finding{finding.New(finding.Stop, "travel/nothing-holds",
			"Nothing holds the %s axle against one motion: it is free to %s.", end, strings.Join(loose, ", and to ")).
			For(path).CuredBy("spread or angle the upper links in plan view, or fit a transverse rod")}
	}
	return nil
}

func judgePlay(r *Rates, end solid.End, path string, units quantity.System) []finding.Finding {
	if r.PlayLateralMM == nil || *r.PlayLateralMM < playWatch {
		return nil
	}
	level, text := finding.Watch, "Little holds the %s axle sideways: with %s of slop in every link it moves %s sideways."
	if *r.PlayLateralMM > playStop {
		level, text = finding.Stop, "Nothing holds the %s axle sideways: with %s of slop in every link it moves %s sideways."
	}
	return []finding.Finding{finding.New(level, "travel/sideways-play", text, end, mm(UsualSlop, units), mm(*r.PlayLateralMM, units)).
		For(path).CuredBy("spread or angle the upper links more in plan view, or fit a transverse rod")}
}

// judgeShocks says how much stroke each shock has left at the design pose. Of a pair it looks at
// the twin with less room: on an axle that is not symmetric they differ.
func judgeShocks(m *solid.Model, mv *Mover, end solid.End, o Options) []finding.Finding {
	var out []finding.Finding
	for i := range m.Shocks {
		s := &m.Shocks[i]
		if s.Axle != end || s.Side == solid.Right || s.Open == 0 || s.Closed == 0 {
			continue
		}
		mv.Jump(mv.Design)
		s, name := mv.tighter(i)
		now := mv.strut(s)
		slack := 0.01
		if mv.Source == BySprings {
			slack = pressed // it rests on that end, which ride says
		}
		if now < s.Closed-slack || now > s.Open+slack {
			what := fmt.Sprintf("longer than fully open (%s)", mm(s.Open, o.Units))
			if now < s.Closed {
				what = fmt.Sprintf("shorter than fully closed (%s)", mm(s.Closed, o.Units))
			}
			out = append(out, finding.New(finding.Stop, "travel/shock-out-of-range",
				"At ride height the %s shock would have to be %s, which is %s.", name, mm(now, o.Units), what).
				For(s.Path).CuredBy("use other shock holes, a shock of another length, or another ride height"))
			continue
		}
		text := fmt.Sprintf("The %s shock at ride height has %s of stroke left to bump and %s to droop.", name, mm(max(0, now-s.Closed), o.Units), mm(max(0, s.Open-now), o.Units))
		out = append(out, finding.Finding{Code: "travel/shock-stroke", Level: finding.Note, Sentence: text}.For(s.Path))
	}
	mv.Jump(mv.Design)
	return out
}

// tighter is the twin of shock i that has less room to its nearer end, and its name: with the side when that matters.
func (mv *Mover) tighter(i int) (*solid.Shock, string) {
	s := &mv.Model.Shocks[i]
	if s.Side != solid.Left || i+1 == len(mv.Model.Shocks) {
		return s, s.Name
	}
	t := &mv.Model.Shocks[i+1]
	if t.Path != s.Path {
		return s, s.Name
	}
	a, b := mv.strut(s), mv.strut(t)
	if math.Abs(a-b) < 0.05 {
		return s, s.Name
	}
	if min(b-t.Closed, t.Open-b) < min(a-s.Closed, s.Open-a) {
		s = t
	}
	return s, s.Name + " " + s.Side.String()
}

func (mv *Mover) strut(s *solid.Shock) float64 {
	return StrutAt(mv.Model, s, mv.at, Rate{}, Rate{}).Length
}

// judgeTargets holds the numbers against the targets, and works out which link lengths would meet the missed ones.
func judgeTargets(m *solid.Model, st *Stand, a *Answer, o Options) []finding.Finding {
	if m.Doc == nil {
		return nil
	}
	out := channel.Judge(m.Doc, a.Numbers(), o.Units)
	missed := map[string]finding.Level{}
	for _, f := range out {
		if f.Level != finding.OK {
			missed[strings.TrimPrefix(f.About[0], "targets/")] = f.Level
		}
	}
	for _, end := range []solid.End{solid.Rear, solid.Front} {
		pinion, base := missed[end.String()+" pinion angle"], missed["wheelbase"]
		if pinion == "" && base == "" || st.Movers[end] == nil || !st.Movers[end].Solved {
			continue
		}
		if pinion == "" && end == solid.Front && missed["rear pinion angle"] != "" {
			continue // the rear axle is off in both: it is the one to move
		}
		level := pinion
		if base == finding.Stop || level == "" {
			level = base
		}
		out = append(out, wishLengths(m, st, end, level, o)...)
	}
	return out
}

// wishLengths is each link's length with the axle put where the targets want it at its present height: wheelbase and pinion
// angle at the middle of their ranges, no roll, no steer, centred. The distance between the eyes there is the length.
func wishLengths(m *solid.Model, st *Stand, end solid.End, level finding.Level, o Options) []finding.Finding {
	mv, a := st.Movers[end], &m.Axles[end]
	p := mv.Design
	p.Y, p.Steer, p.Roll = 0, 0, 0
	var aims []string
	if r, ok := rangeOf(m, "wheelbase"); ok && st.Movers[end.Other()] != nil {
		x := st.Movers[end.Other()].Design.X
		if end == solid.Rear {
			p.X = x - r.Middle()
		} else {
			p.X = x + r.Middle()
		}
		aims = append(aims, "wheelbase "+mm(r.Middle(), o.Units))
	}
	if r, ok := rangeOf(m, end.String()+" pinion angle"); ok {
		p.Spin = spinFor(a.PinionAxis, r.Middle())
		aims = append(aims, end.String()+" pinion angle "+degrees(r.Middle()/deg))
	}
	var out []finding.Finding
	seen := map[string]bool{}
	for i := range mv.Links {
		l := &mv.Links[i]
		want := p.Place(l.To).Sub(l.From).Norm()
		off := want - l.Length
		if seen[l.Name] || math.Abs(off) < lengthMatters {
			continue
		}
		seen[l.Name] = true
		code, word, lv := "travel/link-too-short", "short", level
		if off < 0 {
			code, word = "travel/link-too-long", "long"
		}
		out = append(out, finding.New(lv, code, "The %s link is %s too %s: it is %s eye to eye, and %s asks for %s at this height.",
			l.Name, mm(math.Abs(off), o.Units), word, mm(l.Length, o.Units), strings.Join(aims, " with "), mm(want, o.Units)).
			For(l.Path).CuredBy("make %s %s eye to eye, or choose holes that are %s %s", l.Name, mm(want, o.Units), mm(math.Abs(off), o.Units), nearer(off)))
	}
	return out
}

func nearer(off float64) string {
	if off > 0 {
		return "nearer together"
	}
	return "further apart"
}

func rangeOf(m *solid.Model, name string) (channel.Range, bool) {
	t, ok := m.Doc.Targets.Get(name)
	if !ok {
		return channel.Range{}, false
	}
	r, bad := channel.Must(name).RangeOf(t)
	return r, len(bad) == 0
}

// spinFor is the spin that gives a pinion shaft along axis the elevation alpha: −sin θ·a_x + cos θ·a_z = sin α, the solution
// nearest zero.
func spinFor(axis solid.Vec, alpha float64) float64 {
	rho := math.Hypot(axis.X, axis.Z)
	if rho == 0 {
		return 0
	}
	shift := math.Atan2(axis.X, axis.Z)
	open := math.Acos(max(-1, min(1, math.Sin(alpha)/rho)))
	a, b := math.Remainder(open-shift, 2*math.Pi), math.Remainder(-open-shift, 2*math.Pi)
	if math.Abs(a) < math.Abs(b) {
		return a
	}
	return b
}

func worstOf(stretch []float64) (worst float64, at int) {
	for i, s := range stretch {
		if math.Abs(s) > worst {
			worst, at = math.Abs(s), i
		}
	}
	return worst, at
}

func nameOf(l *solid.Link) string {
	if l.Side == solid.Single {
		return l.Name
	}
	return l.Name + " " + l.Side.String()
}

func holdsWords(n int) string {
	if n == 1 {
		return "one link holds"
	}
	return links(n) + " hold"
}

func links(n int) string {
	switch n {
	case 1:
		return "one link"
	case 2:
		return "two links"
	case 3:
		return "three links"
	}
	return fmt.Sprintf("%d links", n)
}
