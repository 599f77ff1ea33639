package drive

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"lowslung/channel"
	"lowslung/finding"
)

const (
	toothEnough = 1.5 // strength over stress that an estimate wants: common practice for hobby gears
	evenly      = 1.2 // least contact ratio of smooth gears: handbooks
)

func sortPinions(list []Pinion) {
	slices.SortStableFunc(list, func(a, b Pinion) int { return cmp.Compare(a.Teeth, b.Teeth) })
}

func sortMargins(list []Margin) {
	slices.SortStableFunc(list, func(a, b Margin) int { return cmp.Compare(a.Margin, b.Margin) })
}

func (l *line) judge(a *Answer, o Options) {
	add := func(f finding.Finding) { a.Findings = append(a.Findings, f) }
	if !l.driven[0] && !l.driven[1] && len(a.Findings) == 0 {
		add(finding.New(finding.Stop, "drive/no-path", "No axle has a path to the motor: write front or rear under drive with ring and pinion.").For("drive"))
	}
	if l.driven[0] && l.driven[1] {
		// Without over-drive both axles are meant to turn alike; what is left is a difference in tyres or teeth.
		wheel := [2]float64{l.axle[0] / max(l.radius[0], 1), l.axle[1] / max(l.radius[1], 1)}
		if lead := wheel[1]/wheel[0] - 1; l.radius[0] > 0 && l.radius[1] > 0 && math.Abs(lead) > 0.002 {
			who := "front"
			if lead < 0 {
				who = "rear"
			}
			level := finding.Note
			if math.Abs(lead) > 0.25 {
				level = finding.Watch
			}
			add(finding.New(level, "drive/over-drive", "The %s wheels run %.1f %% faster than the others: the drive line winds up by that on ground that grips.", who, 100*math.Abs(lead)).For("drive"))
		}
	}
	for _, p := range a.Points {
		if p.Name == "wheel slip" && p.LimitedBy != "" {
			add(finding.New(finding.Watch, "drive/limited", "The wheels do not get to slip: the %s ends it at %.0f A, with %.0f %% of the torque that grip would take (estimate).",
				p.LimitedBy, p.CurrentA, 100*p.WheelTorqueNMM/slipTorque(l)).For("drive").CuredBy("a smaller pinion, or a %s for more current", p.LimitedBy))
		}
		if p.Name == "45° climb" && !p.Reached && p.LimitedBy != "grip" {
			add(finding.New(finding.Stop, "drive/no-climb", "It does not hold itself on 45°: the %s ends it at %.0f A.", p.LimitedBy, p.CurrentA).For("drive").CuredBy("a smaller pinion"))
		}
	}
	for _, w := range a.Weak {
		if w.Margin < 1 {
			add(finding.New(finding.Stop, "drive/breaks", "%s breaks before the wheels slip: %s %.0f MPa, and it holds %.0f MPa (estimate).", upper(w.Part), w.What, w.Stress, w.Holds).
				CuredBy("a smaller pinion, a wider or tougher gear, or less current"))
		} else if w.Margin < toothEnough {
			add(finding.New(finding.Watch, "drive/weak", "%s is the weak one: %s %.0f MPa of the %.0f MPa it holds (estimate).", upper(w.Part), w.What, w.Stress, w.Holds))
		}
		break
	}
	for _, p := range a.Pinions {
		if !p.Fitted {
			continue
		}
		if p.ContactRatio < evenly {
			add(finding.New(finding.Watch, "drive/contact-ratio", "Pinion and spur have a contact ratio of %.2f; below %.1f they run rough.", p.ContactRatio, evenly).For("drive/stages"))
		}
	}
	if n := len(a.Heat); n > 0 {
		hot := 0.0
		for _, h := range a.Heat {
			hot = max(hot, h.WindingC)
		}
		level, text := finding.Note, "Over the run profile the winding comes to about %.0f °C (estimate: one thermal resistance of %.1f K/W, %.0f °C air)."
		if hot > warmLimit {
			level, text = finding.Watch, "Over the run profile the winding comes to about %.0f °C, too hot to last (estimate: one thermal resistance of %.1f K/W, %.0f °C air)."
		}
		add(finding.New(level, "drive/heat", text, hot, usualToAir, air).For("drive/motor"))
	}
	if f, ok := advice(a.Pinions, l.motor); ok {
		add(f)
	}
	if l.motor != nil {
		add(finding.New(finding.Note, "drive/cautions",
			"Packs: never charge unattended, stop at 3.2 V a cell, store at half charge. First run with the wheels off the ground and fingers clear; motors get hot enough to burn."))
	}
	a.Findings = append(a.Findings, channel.Judge(l.m.Doc, a.Numbers(), o.Units)...)
}

func slipTorque(l *line) float64 { return l.grip * l.mass * 9.80665 * l.rolls() }

// advice names the pinion that goes fastest while the wheels can still be made to slip within the current limit, its teeth hold with the
// margin wanted, and it goes on the shaft.
func advice(list []Pinion, m *Motor) (finding.Finding, bool) {
	if m == nil {
		return finding.Finding{}, false
	}
	best := -1
	for i, p := range list {
		if !p.Fits || p.SlipCurrentA == nil || p.SpeedMPerS == nil || *p.SlipCurrentA > min(m.Limit, m.Stall()) {
			continue
		}
		if p.ToothMargin != nil && *p.ToothMargin < toothEnough {
			continue
		}
		if best < 0 || p.Teeth > list[best].Teeth {
			best = i
		}
	}
	if best < 0 {
		return finding.New(finding.Watch, "drive/no-pinion", "No pinion of the bin both goes on this motor and spur and lets the wheels slip within the current limit with teeth that hold."), len(list) > 1
	}
	p := list[best]
	name := fmt.Sprintf("%d teeth", p.Teeth)
	if p.Item != "" {
		name += " (" + p.Item + ")"
	}
	text := fmt.Sprintf("Of the pinions that go on, %s is the fastest that still makes the wheels slip within the current limit: %.1f m/s without load, %.0f A at slip", name, *p.SpeedMPerS, *p.SlipCurrentA)
	if p.ToothMargin != nil {
		text += fmt.Sprintf(", teeth at %.1f times their stress", *p.ToothMargin)
	}
	if p.Fitted {
		return finding.Finding{Code: "drive/pinion", Level: finding.OK, Sentence: text + "; it is the one fitted (estimate)."}, true
	}
	f := finding.Finding{Code: "drive/pinion", Level: finding.Note, Sentence: text + " (estimate)."}
	if math.Abs(p.MoveMM) > 0.01 {
		f.Sentence += fmt.Sprintf(" The motor moves %.2f mm for it.", p.MoveMM)
	}
	return f, true
}

func upper(s string) string {
	if s == "" || s[0] < 'a' || s[0] > 'z' {
		return s
	}
	return string(s[0]-'a'+'A') + s[1:]
}
