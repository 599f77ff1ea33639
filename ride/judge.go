package ride

import (
	"fmt"
	"math"
	"strings"

	"lowslung/channel"
	"lowslung/finding"
	"lowslung/quantity"
	"lowslung/solid"
	"lowslung/travel"
)

const (
	// offSet is how far a shock may stand from its set length before it is worth a finding, mm: what a rule on the kitchen table tells.
	offSet = 2.0
	// leans is the roll of the chassis standing level that is worth a finding, degrees: a builder sees it against the edge of a table.
	leans = 0.5
)

func mm(v float64, u quantity.System) string { return quantity.DimLength.Format(v, u) }

func degrees(v float64) string { return quantity.DimAngle.Format(v*deg, quantity.Metric) }

func force(v float64, u quantity.System) string { return quantity.DimForce.Format(v, u) }

// noRest says that there is no stance, and what would have carried the rig.
func (w *work) noRest(out outcome, o Options) finding.Finding {
	why := fmt.Sprintf("the search came to a standstill after %d steps, %s out of balance", w.steps, force(w.unrest(), o.Units))
	if out == fell {
		why = "it rolls over, or sinks further than any rig of this size could"
	}
	var carry []string
	for i := range w.mc.axles {
		for n := range w.mc.axles[i].struts {
			s := w.shock(&w.mc.axles[i].struts[n], w.mo[i].length[n].at)
			if s.At == onClosed || s.At == onOpen || s.At == onNothing {
				carry = append(carry, fmt.Sprintf("%s %s on %s", s.Name, s.Side, s.At))
			}
		}
	}
	text := "It does not come to rest on its springs standing level: " + why + "."
	if len(carry) > 0 {
		text += " Last seen: " + strings.Join(carry, ", ") + "."
	}
	return finding.New(finding.Stop, "ride/no-rest", "%s", text).For("shocks").CuredBy("check springs, open, closed and collar of the shocks, and the places of the heavy parts")
}

func (a *Answer) judge(w *work, springs *[2]springing, o Options) {
	add := func(f finding.Finding) { a.Findings = append(a.Findings, f) }
	a.judgeStance(w, o, add)
	a.judgeShocks(w, o, add)
	a.judgePlace(w, o, add)
	a.judgeTips(w, o, add)
	for i := range springs {
		if math.IsNaN(springs[i].zeta) {
			add(finding.New(finding.Note, "ride/no-damping", "The damping of the %s axle is not known: its shocks need oil, bore, rod and a piston with holes, diameter and thickness.", solid.End(i)).For("shocks"))
		}
	}
	if a.Torque != nil && w.mc.model.Doc.Drive.Turns == "" {
		add(finding.New(finding.Note, "ride/turns-assumed", "The drive shafts are taken to turn clockwise seen from behind when it drives forward; if yours turn the other way, read left for right where the drive holds it on a slope.").
			For("drive").CuredBy("roll it forward, look at a shaft from behind, and write turns under drive"))
	}
	if w.mc.model.Doc != nil {
		a.Findings = append(a.Findings, channel.Judge(w.mc.model.Doc, a.Numbers(), o.Units)...)
	}
}

func (a *Answer) judgeStance(w *work, o Options, add func(finding.Finding)) {
	s := a.Stance
	if s.BellyN > 0 {
		add(finding.New(finding.Stop, "ride/belly-on-ground", "Standing level the belly rests on the ground and carries %s of the %s.", force(s.BellyN, o.Units), force(s.MassKG*newton, o.Units)).
			For("chassis").CuredBy("stiffer springs, more collar, longer shocks or higher shock holes"))
	}
	for i, name := range wheelNames {
		if w.load[i] <= 0 {
			add(finding.New(finding.Stop, "ride/wheel-off", "Standing level the %s wheel does not touch the ground.", name).CuredBy("check collars and springs left and right, and the places of the heavy parts"))
		}
	}
	if s.BellyN == 0 {
		sag := ""
		for i, end := range []string{"front", "rear"} {
			if mean, share, ok := w.sag(i); ok {
				sag += fmt.Sprintf(", %s shocks %s in (%.0f %% of their stroke)", end, mm(mean, o.Units), share*100)
			}
		}
		add(finding.New(finding.OK, "ride/stance", "On its springs it stands with the belly %s above the ground, nose %s%s.", mm(s.BellyClearanceMM, o.Units), updown(s.ChassisPitchDeg), sag).For("shocks"))
	}
	if math.Abs(s.ChassisRollDeg) >= leans {
		side, other := "right", "left"
		if s.ChassisRollDeg < 0 {
			side, other = other, side
		}
		f := finding.New(finding.Watch, "ride/leans", "Standing level it leans %s to the %s: the %s wheels carry %s more than the others.",
			degrees(math.Abs(s.ChassisRollDeg)), side, side, force(math.Abs(w.load[0]+w.load[2]-w.load[1]-w.load[3]), o.Units)).For("shocks")
		if turn, ok := w.level(s.ChassisRollDeg); ok {
			f = f.CuredBy("move weight to the %s, or screw the %s collars %s further down than the %s ones", other, side, mm(turn, o.Units), other)
		} else {
			f = f.CuredBy("move weight to the %s", other)
		}
		add(f)
	}
}

func updown(pitch float64) string {
	switch {
	case math.Abs(pitch) < 0.05:
		return "level"
	case pitch > 0:
		return degrees(pitch) + " down"
	}
	return degrees(-pitch) + " up"
}

// sag is the mean stroke used of an axle's shocks, mm, and its share; ok is false when none has both lengths.
func (w *work) sag(i int) (mean, share float64, ok bool) {
	n := 0.0
	for k := range w.mc.axles[i].struts {
		s := &w.mc.axles[i].struts[k]
		if math.IsInf(s.stroke, 1) {
			continue
		}
		c := s.model.Open - w.mo[i].length[k].at
		mean, share, n = mean+c, share+c/s.stroke, n+1
	}
	if n == 0 {
		return 0, 0, false
	}
	return mean / n, share / n, true
}

// level is how much further down the collars of the low side would have to be for the chassis to stand level across, mm.
func (w *work) level(roll float64) (float64, bool) {
	home := w.save()
	defer func() {
		w.right = 0
		w.restore(&home)
	}()
	at, was := 0.0, roll // by how much, and the roll there
	by := 1.0
	for range 8 {
		w.right = by
		if w.stand() != atRest {
			return 0, false
		}
		now, _ := w.attitude()
		now /= deg
		if math.Abs(now) < 1e-3 {
			return math.Abs(by), math.Abs(by) < 30
		}
		if now == was {
			return 0, false
		}
		at, was, by = by, now, by-now*(by-at)/(now-was) // secant
	}
	return 0, false
}

func (a *Answer) judgeShocks(w *work, o Options, add func(finding.Finding)) {
	for i := range w.mc.axles {
		ax := &w.mc.axles[i]
		for n := range ax.struts {
			s := &ax.struts[n]
			st := w.shock(s, w.mo[i].length[n].at)
			name := strings.TrimSpace(st.Name + " " + st.Side)
			f := finding.Finding{}
			switch {
			case st.At == onClosed && !s.sprung:
				f = finding.New(finding.Stop, "ride/on-stops", "The %s shock has no spring: it stands fully closed, and its stop carries %s.", name, force(st.ForceN, o.Units)).CuredBy("write springs, with rate, on that shock")
			case st.At == onClosed:
				f = finding.New(finding.Stop, "ride/bottomed", "Standing still the %s shock is bottomed: its stop carries part of the %s on it.", name, force(st.ForceN, o.Units)).CuredBy("a stiffer spring, or more collar")
			case st.At == onCoils:
				f = finding.New(finding.Stop, "ride/coil-bind", "Standing still the coils of the %s shock's springs touch: there is no travel left to bump.", name).CuredBy("a longer or stiffer spring, or less collar")
			case st.At == onOpen:
				f = finding.New(finding.Watch, "ride/topped-out", "Standing still the %s shock is fully open and held by its stop with %s: there is no droop left.", name, force(-w.stop(s, w.mo[i].length[n].at), o.Units)).CuredBy("a softer spring, or less collar")
			default:
				continue
			}
			add(f.For(s.model.Path))
		}
	}
}

// stop is the force of the stop fully open, N, negative: it holds the shock together.
func (w *work) stop(s *strut, length float64) float64 { return min(0, s.model.Open-length) * w.mc.hard }

// judgePlace holds the stance, which every question uses, against what is written of the height.
func (a *Answer) judgePlace(w *work, o Options, add func(finding.Finding)) {
	low, has := w.toSet()
	if has && max(math.Abs(low[0]), math.Abs(low[1])) > offSet {
		set, ok := w.settings(w.toSet)
		for i := range low {
			if math.Abs(low[i]) <= offSet {
				continue
			}
			end := solid.End(i)
			word := "shorter"
			if low[i] < 0 {
				word = "longer"
			}
			f := finding.New(finding.Note, "ride/off-set", "You wrote set %s for the %s shocks; on their springs they stand %s %s, and every question takes them there.",
				mm(w.setOf(i), o.Units), end, mm(math.Abs(low[i]), o.Units), word)
			if ok {
				f = f.CuredBy("%s", set[i].words(o))
			} else {
				f = f.CuredBy("no collar puts them there: measure set again, or the springs")
			}
			add(f.For("shocks"))
		}
	}
	for i := range w.mo {
		mv := w.mc.axles[i].mv
		if off := w.at.z[i] - mv.Design.Z; mv.Source == travel.ByRide && math.Abs(off) > offSet && !(has && math.Abs(low[i]) > offSet) {
			word := "higher"
			if off < 0 {
				word = "lower"
			}
			add(finding.New(finding.Note, "ride/off-design", "On its springs the %s axle sits %s %s against the chassis than ride_height says, and every question takes it there.", mv.End, mm(math.Abs(off), o.Units), word).
				For(w.mc.model.Axles[i].Path))
		}
	}
}

// setOf is the mean set length written on axle i, mm.
func (w *work) setOf(i int) float64 {
	sum, n := 0.0, 0.0
	for k := range w.mc.axles[i].struts {
		if s := w.mc.axles[i].struts[k].model; s.Set > 0 {
			sum, n = sum+s.Set, n+1
		}
	}
	return sum / n
}

// words are a setting as a cure.
func (s *setting) words(o Options) string {
	var list []string
	if s.collar >= 0 {
		turn := "down"
		if s.change < 0 {
			turn = "up"
		}
		list = append(list, fmt.Sprintf("screw the collar %s %s, to %s", mm(math.Abs(s.change), o.Units), turn, mm(s.collar, o.Units)))
	}
	if s.rate > 0 {
		text := "fit springs of " + quantity.DimRate.Format(s.rate, o.Units)
		if s.item != "" {
			text += fmt.Sprintf(" (nearest in the bins: %s, %s)", s.item, quantity.DimRate.Format(s.itemK, o.Units))
		}
		list = append(list, text)
	}
	return strings.Join(list, ", or ")
}

// judgeTips tells how much sooner it tips than if nothing gave: for the worse side, and for the worse end.
func (a *Answer) judgeTips(w *work, o Options, add func(finding.Finding)) {
	t := a.Tilt
	all := [4]*Tilting{&t.LeftDown, &t.RightDown, &t.NoseUp, &t.NoseDown}
	least := math.Inf(1)
	for pair := range 2 {
		worst, most := -1, 0.5 // degrees
		for i := 2 * pair; i < 2*pair+2; i++ {
			if all[i].TipDeg == nil {
				continue
			}
			if pair == 0 {
				least = min(least, *all[i].TipDeg)
			}
			if lost := all[i].RigidDeg - *all[i].TipDeg; lost > most {
				worst, most = i, lost
			}
		}
		if worst < 0 {
			continue
		}
		one := all[worst]
		text := fmt.Sprintf("On its springs it tips %s at %s, %s sooner than if nothing gave", ways[worst].verb, degrees(*one.TipDeg), degrees(most))
		if one.LockedTipDeg != nil {
			text += fmt.Sprintf(": its tyres cost %s, its springs %s", degrees(one.RigidDeg-*one.LockedTipDeg), degrees(*one.LockedTipDeg-*one.TipDeg))
			if n := len(one.Sweep); n > 0 {
				text += fmt.Sprintf(" (the chassis has leaned %s by then)", degrees(one.Sweep[n-1].LeanDeg))
			}
		}
		add(finding.New(finding.Note, "ride/tips-sooner", "%s.", text).For("shocks"))
	}
	grip, from := math.Inf(1), ""
	for i := range w.mc.axles {
		for n := range w.mc.axles[i].wheels {
			if g := w.mc.axles[i].wheels[n].model.Grip; g > 0 && g < grip {
				grip, from = g, w.mc.axles[i].wheels[n].model.Path
			}
		}
	}
	if slide := math.Atan(grip) / deg; slide < least && !math.IsInf(least, 1) {
		add(finding.New(finding.Note, "ride/slides-first", "With the tyres' grip of %.2f, an assumption, it slides sideways at %s, before it tips at %s.", grip, degrees(slide), degrees(least)).For(from))
	}
}
