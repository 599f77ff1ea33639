package steer

import (
	"fmt"
	"math"

	"lowslung/finding"
	"lowslung/quantity"
	"lowslung/travel"
)

func (b *bench) judgeBumps(st *travel.Stand, a *Answer, u quantity.System) []finding.Finding {
	k := a.Bumps
	if k == nil || k.ServoOn != "chassis" {
		return nil
	}
	var out []finding.Finding
	unit := quantity.DimLength.Shown(u).Symbol
	per := quantity.Fixed(k.PerHeave/quantity.DimLength.In(1, unit), 3-quantity.DimLength.Shown(u).Digits/2)
	rates := fmt.Sprintf("%s° per %s at ride height, %s over the shocks' travel", per, unit, degrees(k.SwingDeg*deg))
	if math.Abs(k.PerHeave) > bumpWatch {
		f := finding.New(finding.Watch, "steer/bump-steer", "With the servo held the front wheels steer over bumps: %s.", rates).For(path("drag_link"), path("horn"))
		if dz, ok := b.levelLink(st); ok {
			word := "higher"
			if dz < 0 {
				word = "lower"
			}
			f = f.CuredBy("put the servo's horn %s %s, or the eye at the axle as much the other way, and refit the drag link: it then goes with the axle at ride height", mm(math.Abs(dz), u), word)
		} else {
			f = f.CuredBy("lay the drag link along the transverse rod and make it as long, or move the servo to the axle")
		}
		out = append(out, f)
	} else {
		level, much := finding.OK, "hardly steer"
		if math.Abs(k.PerHeave) > bumpWatch/2 {
			level, much = finding.Note, "steer a little"
		}
		out = append(out, finding.New(level, "steer/bump-steer", "With the servo held the front wheels %s over bumps: %s.", much, rates).For(path("drag_link")))
	}
	if math.Abs(k.PerRoll) > rollWatch {
		out = append(out, finding.New(finding.Watch, "steer/roll-steer", "With the servo held the front wheels steer %s° for each degree the axle rolls, %s with its left wheel up.",
			quantity.Fixed(math.Abs(k.PerRoll), 2), "to the "+sideOf(k.PerRoll)).
			For(path("drag_link"), path("horn")).CuredBy("bring the drag link to the height of the transverse rod, or of the axle's roll centre where there is none, or move the servo to the axle"))
	}
	if k.Stuck > 0 {
		out = append(out, finding.New(finding.Stop, "steer/binds-in-travel",
			"At %d of %d points of the axle's travel the linkage does not let the servo go to the lock of ride height; the worst at heave %s, roll %s, servo %s.",
			k.Stuck, k.Tried, mm(k.LeastHeaveMM, u), degrees(k.LeastRollDeg*deg), degrees(k.LeastServoDeg*deg)).
			For(path("drag_link"), path("arm")).CuredBy("take less lock, shorten the horn, or move the eye on the knuckle further from the kingpin"))
	}
	return out
}

func judgeServo(b *bench, a *Answer, u quantity.System) []finding.Finding {
	s := a.Servo
	if s == nil {
		return nil
	}
	var out []finding.Finding
	from := fmt.Sprintf("friction %s from the tyre's grip", quantity.Fixed(s.Friction, 2))
	if s.FrictionFrom == "assumed" {
		from = fmt.Sprintf("friction %s assumed", quantity.Fixed(s.Friction, 2))
	}
	text := fmt.Sprintf("Estimate: to turn both wheels on the spot the servo needs up to %s (%s, %s on the two wheels)",
		torqueText(s.NeededNMM, u), from, quantity.DimForce.Format(s.LeftLoadN+s.RightLoadN, u))
	switch {
	case s.Margin == nil:
		out = append(out, finding.New(finding.Note, "steer/servo-torque", "%s; its rating is not known.", text).For(path("servo")))
	case *s.Margin < 1:
		out = append(out, finding.New(finding.Watch, "steer/servo-weak", "%s; it is rated %s, stalled: it will not turn them without rolling.", text, torqueText(*s.RatedNMM, u)).
			For(b.m.Steer.ServoPath).CuredBy("take a servo of at least %s, a shorter horn, or less scrub radius", torqueText(s.NeededNMM, u)))
	default:
		out = append(out, finding.New(finding.OK, "steer/servo-torque", "%s; it is rated %s, stalled: %s times that.", text, torqueText(*s.RatedNMM, u), quantity.Fixed(*s.Margin, 1)).For(b.m.Steer.ServoPath))
	}
	return out
}
