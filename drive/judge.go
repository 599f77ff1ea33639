package drive

import (
	"math"

	"lowslung/channel"
	"lowslung/finding"
	"lowslung/quantity"
	"lowslung/solid"
)

const (
	toothEnough = 1.5  // strength over stress that an estimate wants: common practice for hobby gears
	evenly      = 1.2  // least contact ratio of smooth gears: handbooks
	apartLimit  = 25.0 // % that one axle may run ahead before it wears tyres more than it helps: an assumption
	whirl       = 0.7  // share of the first critical speed that a shaft should stay below: common practice
)

func (l *line) judge(a *Answer, o Options) {
	add := func(f finding.Finding) { a.Findings = append(a.Findings, f) }
	l.judgeAxles(a, o, add)
	for _, p := range a.Points {
		cure := "a smaller pinion, or a " + p.LimitedBy + " for more"
		if p.LimitedBy == "slipper" { // it holds the same torque behind any pinion
			cure = "set the slipper tighter"
		}
		switch {
		case p.Name == "wheel slip" && !p.Reached:
			add(finding.New(finding.Watch, "drive/limited", "The wheels do not get to slip: the %s ends it at %.0f A in the motor, with %.0f %% of the torque that grip would take (estimate).",
				p.LimitedBy, p.CurrentA, 100*p.WheelTorqueNMM/l.slip(0).sum()).For("drive").CuredBy("%s", cure))
		case p.Name == "wheel slip" && p.PackV < a.Motor.CutOffV:
			add(finding.New(finding.Watch, "drive/sag", "At wheel slip with full throttle the pack gives %.1f V, below the %.1f V at which controllers cut off (estimate).", p.PackV, a.Motor.CutOffV).
				For("drive/battery").CuredBy("a pack with less inner resistance, or a smaller pinion"))
		case p.Name == "45° climb" && !p.Reached && p.LimitedBy != "grip":
			add(finding.New(finding.Stop, "drive/no-climb", "It does not hold itself on 45°: the %s ends it at %.0f A in the motor (estimate).", p.LimitedBy, p.CurrentA).For("drive").CuredBy("%s", cure))
		}
	}
	if len(a.Weak) > 0 {
		w := a.Weak[0]
		what := finding.Sentence(w.Part) + " is the first to give way"
		load := w.What + " at " + quantity.Fixed(w.Stress, 0) + " MPa of the " + quantity.Fixed(w.Holds, 0) + " MPa it holds"
		if w.Holds == 0 {
			load = w.What + " " + quantity.DimTorque.Format(w.Torque, o.Units) + ", " + quantity.Fixed(1/w.Margin, 2) + " times what it is made for"
		}
		switch {
		case w.Margin < 1:
			add(finding.New(finding.Stop, "drive/breaks", "%s, before the wheels slip: %s (estimate, the whole rig on one axle).", what, load).CuredBy("a thicker or tougher part, a slipper, or less current"))
		case w.Margin < toothEnough:
			add(finding.New(finding.Watch, "drive/weak", "%s: %s (estimate, the whole rig on one axle).", what, load).CuredBy("a thicker or tougher part, a slipper, or less current"))
		}
	}
	for _, s := range a.Stages {
		for _, mesh := range s.Meshes {
			if c := mesh.ContactRatio; c != nil && *c < evenly {
				add(finding.New(finding.Watch, "drive/contact-ratio", "%s and %s have a contact ratio of %.2f; below %.1f they run rough.", finding.Sentence(mesh.From), mesh.To, *c, evenly).For("drive/stages"))
			}
		}
	}
	for _, s := range a.Shafts {
		if s.RPM != nil && s.CriticalRPM != nil && *s.RPM > whirl**s.CriticalRPM {
			add(finding.New(finding.Watch, "drive/whirl", "The %s drive shaft turns %.0f rpm without load, and whips from about %.0f rpm (a plain round shaft of that size).", s.Shaft, *s.RPM, *s.CriticalRPM).
				For("shafts/" + s.Shaft).CuredBy("a shorter or thicker shaft, or less speed"))
		}
	}
	l.judgeHeat(a, add)
	if f, ok := l.advice(a, o); ok {
		add(f)
	}
	a.Findings = append(a.Findings, channel.Judge(l.m.Doc, a.Numbers(), o.Units)...)
}

func (l *line) judgeAxles(a *Answer, o Options, add func(finding.Finding)) {
	if w := a.WindUp; w != nil && math.Abs(w.LeadPct) > sameLead {
		who, other := "front", "rear"
		if w.LeadPct < 0 {
			who, other = other, who
		}
		level := finding.Note
		if math.Abs(w.LeadPct) > apartLimit {
			level = finding.Watch
		}
		if w.Frees {
			add(finding.New(finding.Note, "drive/over-drive", "The %s wheels run %.1f %% ahead of the others; the %s axle is one-way and is overrun, so it does not push until the %s wheels slip.", who, math.Abs(w.LeadPct), other, who).For("drive"))
		} else {
			f := finding.New(level, "drive/over-drive", "The %s wheels run %.1f %% ahead of the others: on ground that grips, tyres slip %.0f mm for each metre, and the drive line winds up until they do.", who, math.Abs(w.LeadPct), w.MMPerM).For("drive")
			if w.TorqueNMM != nil {
				f.Sentence = f.Sentence[:len(f.Sentence)-1] + ", with up to " + quantity.DimTorque.Format(*w.TorqueNMM, o.Units) + " between the axles (estimate)."
			}
			add(f)
		}
	}
	for _, e := range l.driven() {
		if l.ends[e].diff == "open" {
			add(finding.New(finding.Note, "drive/open", "The %s axle has an open differential: with one wheel in the air it gives nothing.", solid.End(e)).For("drive/" + solid.End(e).String()).CuredBy("a locked one for rock"))
		}
	}
}

func (l *line) judgeHeat(a *Answer, add func(finding.Finding)) {
	if len(a.Heat) == 0 {
		return
	}
	hot := 0.0
	for _, h := range a.Heat {
		hot = max(hot, h.WindingC)
	}
	if hot > hotLimit {
		text := quantity.Fixed(hot, 0) + " °C"
		if hot > 400 {
			text = "more than it can live through"
		}
		add(finding.New(finding.Watch, "drive/heat", "Over the run profile the winding comes to %s, above %.0f °C, where magnets and lacquer suffer (estimate: %.1f K/W to %.0f °C air).", text, hotLimit, l.motor.ToAir, air).
			For("drive/motor").CuredBy("a smaller pinion, pauses, or a larger motor"))
		return
	}
	add(finding.New(finding.OK, "drive/heat", "Over the run profile the winding comes to about %.0f °C (estimate: %.1f K/W to %.0f °C air).", hot, l.motor.ToAir, air).For("drive/motor"))
}
