package rocks

import (
	"fmt"

	"lowslung/channel"
	"lowslung/finding"
	"lowslung/quantity"
)

// sentence says how a run ended.
func (t *trip) sentence(units quantity.System) string {
	length := func(v float64) string {
		return quantity.DimLength.FormatDigits(v, units, 0+map[quantity.System]int{quantity.US: 1}[units])
	}
	where := "before the obstacle"
	switch {
	case t.at > 1:
		where = length(t.at) + " past where it begins"
	case t.at > -1:
		where = "where it begins"
	}
	after := fmt.Sprintf("after %s s, its front axle %s", quantity.Fixed(t.seconds, 1), where)
	switch t.verdict {
	case through:
		return fmt.Sprintf("Through in %s s.", quantity.Fixed(t.seconds, 1))
	case rolled:
		over := map[string]string{"left": "onto its left side", "right": "onto its right side", "backwards": "over backwards", "forwards": "over its nose"}[t.why]
		return fmt.Sprintf("Rolled %s %s.", over, after)
	case lost:
		return fmt.Sprintf("The calculation lost the rig after %s s: nothing can be said of this run.", quantity.Fixed(t.seconds, 1))
	case astray:
		if t.why == "back" {
			return fmt.Sprintf("Slid back down %s.", after)
		}
		return fmt.Sprintf("Left the line sideways %s.", after)
	}
	why := map[string]string{
		"no grip": "the wheels turn and find no grip", "no torque": "the motor turns the wheels no further",
		"belly aground": "the belly is aground", "axle aground": "an axle's housing is aground", "link aground": "a link is aground", "time": "it got no further in time",
	}[t.why]
	return fmt.Sprintf("Stalled %s: %s.", after, why)
}

// judge turns numbers into findings.
func (a *Answer) judge(r *machine, o *Options) {
	say := func(f finding.Finding) { a.Findings = append(a.Findings, f) }
	say(finding.New(finding.Note, "rocks/grip-assumed",
		"All of this is an estimate: it takes a grip of %s in front and %s behind, and nobody can cite the grip of rubber on rock; 0.5 to 1.0 is an assumption. Look how the answer changes with it.",
		quantity.Fixed(a.Grip.Front, 2), quantity.Fixed(a.Grip.Rear, 2)).CuredBy("pull the rig along the rock with a scale, wheels locked: pull over weight is its grip there"))
	for i := range a.Limits {
		l := &a.Limits[i]
		k, _ := obstacleOf(l.Obstacle)
		at := k.size(l.Next.Size, o.Units)
		if l.rough {
			say(finding.New(finding.Note, "rocks/rough", "On the %s the forces of more than 1 %% of the steps did not settle in some run: take that limit with a grain of salt.", k.name))
		}
		switch {
		case l.Next.Outcome == string(lost):
			say(finding.New(finding.Note, "rocks/lost", "On the %s the calculation lost the rig at %s: that limit is where the calculation ends, not the rig.", k.name, at))
		case l.Next.Outcome == string(rolled):
			say(finding.New(finding.Watch, "rocks/rolls", "On the %s it ends in a roll: %s is cleared, and at %s: %s", k.name, k.size(l.Cleared, o.Units), at, lower(l.Next.Sentence)).
				CuredBy("weight lower, a wider track, or softer anti-roll; or know where to stop"))
		case l.Next.Why == "no torque":
			say(finding.New(finding.Watch, "rocks/no-torque", "On the %s it ends for want of torque, not of grip: %s is cleared, and at %s: %s", k.name, k.size(l.Cleared, o.Units), at, lower(l.Next.Sentence)).
				For("drive").CuredBy("lower gears: see drive for what each pinion would give"))
		case l.Next.Why == "belly aground" || l.Next.Why == "link aground" || l.Next.Why == "axle aground":
			say(finding.New(finding.Watch, "rocks/aground", "On the %s it ends aground: %s is cleared, and at %s: %s", k.name, k.size(l.Cleared, o.Units), at, lower(l.Next.Sentence)).
				CuredBy("more ride height, a smoother belly, higher or bent links"))
		}
	}
	if r.model.Doc != nil {
		a.Findings = append(a.Findings, channel.Judge(r.model.Doc, a.Numbers(), o.Units)...)
	}
	if run := a.Run; run != nil {
		what := run.Obstacle
		if k, err := obstacleOf(run.Obstacle); err == nil {
			what += " of " + k.size(run.Ended.Size, o.Units)
		}
		switch {
		case run.Ended.Outcome == string(through):
			say(finding.New(finding.OK, "rocks/through", "On the %s: %s", what, lower(run.Ended.Sentence)))
		default:
			say(finding.New(finding.Watch, "rocks/ended", "On the %s: %s", what, lower(run.Ended.Sentence)))
		}
		if run.RoughShare > 0.01 {
			say(finding.New(finding.Note, "rocks/rough", "In %s of its steps the forces of this run did not settle: take its numbers with a grain of salt.", quantity.DimShare.FormatDigits(run.RoughShare, o.Units, 0)))
		}
		if run.buried > 0 {
			say(finding.New(finding.Note, "rocks/buried", "Where it is set down, %d points of its links and housings are in the rock already: they are left out. Look at the places of links (see travel).", run.buried).For("links"))
		}
		if run.linksEnd > 0 {
			say(finding.New(finding.Watch, "rocks/links-end", "An axle came to the end of its links in this run, before a shock stopped it (see travel).").For("links").CuredBy("shocks that are fully open, or fully closed, before the links are straight"))
		}
	}
}

// lower is a sentence that goes on after a colon.
func lower(s string) string {
	if s == "" {
		return s
	}
	if c := s[0]; c >= 'A' && c <= 'Z' {
		return string(c-'A'+'a') + s[1:]
	}
	return s
}
