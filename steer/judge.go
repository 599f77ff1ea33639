package steer

import (
	"fmt"
	"math"
	"strings"

	"lowslung/finding"
	"lowslung/quantity"
	"lowslung/solid"
	"lowslung/travel"
)

// What the numbers mean for the builder. Limits are ours, from what a builder sees on the ground, where no source is named.
const (
	offWatch          = 1.0  // degrees off straight ahead with the servo at its middle
	toeWatch          = 2.0  // degrees
	shortOfLock       = 0.5  // degrees
	unequalWatch      = 2.0  // degrees between left and right lock
	ackermannWatch    = 8.0  // degrees at the outer wheel
	bumpWatch         = 0.1  // degrees per mm
	rollWatch         = 0.3  // degrees per degree
	transmissionWatch = 20.0 // degrees; handbooks of linkages ask for 40 and more in machines that run all day (from memory)
)

func torqueText(v float64, u quantity.System) string { return quantity.DimTorque.Format(v, u) }

// lacking says what the document would have to have for the rest of the answer.
func (b *bench) lacking(st *travel.Stand, faulty bool) []finding.Finding {
	s, front := &b.m.Steer, &b.m.Axles[solid.Front]
	var out []finding.Finding
	note := func(code, format string, args ...any) {
		out = append(out, finding.New(finding.Note, code, format, args...).For(s.Path))
	}
	var miss []string
	for _, one := range []struct {
		have bool
		key  string
	}{{st.Movers[solid.Front] != nil, "front"}, {s.HasKingpin, "steer/kingpin"}, {s.HasArm, "steer/arm"}} {
		if !one.have {
			miss = append(miss, strings.TrimPrefix(one.key, "steer/"))
		}
	}
	if len(miss) > 0 {
		note("steer/lacks", "Steer lacks %s, so nothing is said about wheel angles.", strings.Join(miss, " and "))
		return out
	}
	miss = nil
	for _, one := range []struct {
		have bool
		key  string
	}{{s.HasDrag, "drag_link"}, {s.HasServo, "servo"}, {s.HasHorn || !s.HasServo && b.hornWritten(), "horn"}} {
		if !one.have {
			miss = append(miss, one.key)
		}
	}
	switch {
	case len(miss) > 0:
		note("steer/lacks-servo", "Steer lacks %s, so the wheels are turned by hand here: nothing is said about the servo or about steering over bumps.", strings.Join(miss, " and "))
	case b.l != nil && b.l.horned && s.HornTravel == 0:
		note("steer/servo-travel-assumed", "The servo is taken to turn %s to either side: write travel under horn when it does not.", degrees(usualTravel))
	}
	if s.HornTravel > mostTravel {
		out = append(out, finding.New(finding.Watch, "steer/servo-travel-large", "The servo's travel to one side is %s; it is followed to %s only.", degrees(s.HornTravel), degrees(mostTravel)).
			For(path("horn", "travel")).CuredBy("write the travel to one side, in degrees"))
	}
	if s.Lock == 0 && b.l != nil {
		note("steer/no-lock", "No stop is known, so the wheels are taken to turn as far as the linkage lets them: write lock, the inner wheel's angle at its stop.")
	}
	if front.TyreRadius > 0 && front.TyreWidth == 0 {
		note("steer/no-tyre-width", "The front tyre has no width, so there is no estimate of the servo's torque, and the turning circle is that of the tread's middle.")
	}
	if b.base == 0 && b.l != nil {
		note("steer/no-wheelbase", "Ackermann and turning circle need both axles with near, and a tyre with its diameter on each.")
	}
	if s.Carrier == solid.OnRear && s.HasServo {
		out = append(out, finding.New(finding.Watch, "steer/servo-on-rear-axle",
			"The servo sits on the rear axle; it is taken to stand still there while the front axle moves.").For(s.ServoPath, path("servo")))
	}
	return out
}

func (b *bench) hornWritten() bool {
	return b.m.Doc != nil && b.m.Doc.Steer != nil && b.m.Doc.Steer.Horn != nil
}

func (b *bench) judge(st *travel.Stand, a *Answer, o *Options, ends *[2]end) []finding.Finding {
	out := b.judgeMiddle(a, o.Units)
	out = append(out, b.judgeLocks(st, a, ends, o.Units)...)
	out = append(out, b.judgeDragEnd(o.Units)...)
	out = append(out, b.judgeAckermann(st, a, o.Units)...)
	out = append(out, b.judgeBumps(st, a, o.Units)...)
	out = append(out, judgeServo(b, a, o.Units)...)
	if b.pin.caster < 0 {
		out = append(out, finding.New(finding.Note, "steer/caster-negative",
			"The kingpins lean forward by %s at ride height: the wheels do not come back to straight ahead by themselves. Turning the pinion up takes as much off the caster.",
			degrees(-b.pin.caster)).For(path("kingpin")))
	}
	return out
}

func (b *bench) judgeMiddle(a *Answer, u quantity.System) []finding.Finding {
	var out []finding.Finding
	c, s := a.Middle, &b.m.Steer
	if mean := (c.LeftDeg + c.RightDeg) / 2; math.Abs(mean) > offWatch && b.l.horned {
		q, _ := b.l.near(b.pose, 0)
		fits := s.DragTo.Sub(q).Norm()
		out = append(out, finding.New(finding.Watch, "steer/off-centre",
			"With the servo at its middle the wheels point %s to the %s.", degrees(math.Abs(mean)*deg), sideOf(mean)).
			For(path("drag_link")).CuredBy("set the drag link to %s eye to eye: it is %s", mm(fits, u), mm(b.l.dragLen, u)))
	}
	if math.Abs(c.ToeInDeg) > toeWatch {
		word := "towards each other (toe-in)"
		if c.ToeInDeg < 0 {
			word = "away from each other (toe-out)"
		}
		out = append(out, finding.New(finding.Watch, "steer/toe", "With the servo at its middle the wheels' fronts point %s by %s together.",
			word, degrees(math.Abs(c.ToeInDeg)*deg)).
			For(path("tie_rod")).CuredBy("set the tie rod to %s for wheels side by side: it is %s", mm(s.Arm[right].Sub(s.Arm[left]).Norm(), u), mm(b.l.rod, u)))
	}
	return out
}

func sideOf(angle float64) string {
	if angle < 0 {
		return "right"
	}
	return "left"
}

func (b *bench) judgeLocks(st *travel.Stand, a *Answer, ends *[2]end, u quantity.System) []finding.Finding {
	var out []finding.Finding
	lock := b.m.Steer.Lock / deg
	short := math.Inf(1)
	for _, one := range []struct {
		side string
		k    *Lock
	}{{"left", &a.Locks.Left}, {"right", &a.Locks.Right}} {
		k := one.k
		switch k.SetBy {
		case byDrag, byTie:
			out = append(out, finding.New(finding.Stop, "steer/over-centre",
				"Steering %s, the %s comes to its dead centre at %s of servo, with the inner wheel at %s: beyond it the linkage jams or snaps over.",
				one.side, strings.TrimSuffix(k.SetBy, " over-centre"), degrees(math.Abs(k.ServoDeg)*deg), degrees(k.InnerDeg*deg)).
				For(path("drag_link"), path("arm"), path("horn")).CuredBy("shorten the horn, move the eye on the knuckle further from the kingpin, or set the servo's end points before it"))
		case byHorn:
			out = append(out, finding.New(finding.Watch, "steer/horn-over-centre",
				"Steering %s, the horn comes in line with the drag link at %s of servo, with the inner wheel at %s: further servo travel turns the wheels back.",
				one.side, degrees(math.Abs(k.ServoDeg)*deg), degrees(k.InnerDeg*deg)).
				For(path("horn"), path("drag_link")).CuredBy("mount the horn so that it stands square to the drag link with the wheels straight ahead"))
		}
		if lock > 0 && k.InnerDeg < lock-shortOfLock {
			short = min(short, k.InnerDeg)
		}
	}
	if !math.IsInf(short, 1) {
		f := finding.New(finding.Watch, "steer/lock-not-reached", "The inner wheel turns %s, not the %s of lock: left %s (%s), right %s (%s).",
			degrees(short*deg), degrees(lock*deg), degrees(a.Locks.Left.InnerDeg*deg), a.Locks.Left.SetBy, degrees(a.Locks.Right.InnerDeg*deg), a.Locks.Right.SetBy).
			For(path("lock"), path("horn"))
		out = append(out, f.CuredBy("%s", b.reachLock(st, ends, u)))
	}
	if d := a.Locks.Left.InnerDeg - a.Locks.Right.InnerDeg; math.Abs(d) > unequalWatch {
		more, less := &a.Locks.Left, &a.Locks.Right
		if d < 0 {
			more, less = less, more
		}
		out = append(out, finding.New(finding.Watch, "steer/locks-unequal", "The inner wheel turns %s to the left and %s to the right: %s sets the one, %s the other.",
			degrees(a.Locks.Left.InnerDeg*deg), degrees(a.Locks.Right.InnerDeg*deg), a.Locks.Left.SetBy, a.Locks.Right.SetBy).
			For(path("horn"), path("drag_link")).CuredBy("stand the horn square to the drag link with the wheels straight ahead, or set the end point of the larger side to %s of servo", degrees(math.Abs(b.servoFor(more, less.InnerDeg))*deg)))
	}
	if worst, where := leastOf(a.Locks); worst < transmissionWatch && a.Locks.Left.SetBy != byDrag && a.Locks.Left.SetBy != byTie && a.Locks.Right.SetBy != byDrag && a.Locks.Right.SetBy != byTie {
		out = append(out, finding.New(finding.Watch, "steer/near-over-centre", "At lock the %s pulls at only %s to the way its eye goes (0° is over-centre, 90° pulls square): play and flex can carry it over.",
			where, degrees(worst*deg)).For(path("drag_link"), path("arm")).CuredBy("turn the arm so that it stands squarer to the rod, or take less lock"))
	}
	if f, ok := b.endPoints(a); ok {
		out = append(out, f)
	}
	return out
}

func leastOf(k *Locks) (float64, string) {
	if k.Left.TransmissionDeg < k.Right.TransmissionDeg {
		return k.Left.TransmissionDeg, k.Left.Weakest
	}
	return k.Right.TransmissionDeg, k.Right.Weakest
}

// endPoints suggests how much of the servo's travel to use.
func (b *bench) endPoints(a *Answer) (finding.Finding, bool) {
	l, r := a.Locks.Left.ServoShare, a.Locks.Right.ServoShare
	if l == nil && r == nil {
		return finding.Finding{}, false
	}
	text := func(v *float64) string {
		if v == nil {
			return "all"
		}
		return fmt.Sprintf("%.0f %%", 100**v)
	}
	least := 1.0
	for _, v := range []*float64{l, r} {
		if v != nil {
			least = min(least, *v)
		}
	}
	return finding.New(finding.Note, "steer/end-points",
		"The stop is reached with %s of the servo's travel to the left and %s to the right: set the end points there, or a dual rate of %.0f %%, so that the servo does not push against the stop.",
		text(l), text(r), math.Floor(100*least)).For(path("lock"), path("horn", "travel")), true
}

// judgeDragEnd says what the drag link was taken to pull on when that was not written and is not plain.
func (b *bench) judgeDragEnd(u quantity.System) []finding.Finding {
	s := &b.m.Steer
	if !b.l.horned || s.DragSet {
		return nil
	}
	i := left
	if b.l.on == solid.OnRightKnuckle {
		i = right
	}
	if math.Abs(s.DragTo.Y) > 0.6*math.Abs(s.Arm[i].Y) {
		return nil
	}
	side := [2]string{"left", "right"}[i]
	return []finding.Finding{finding.New(finding.Watch, "steer/drag-link-on",
		"The drag link's eye is %s from the kingpin and nearer to the middle of the axle; it is taken to be part of the %s knuckle.", mm(b.l.drag.radius, u), side).
		For(path("drag_link")).CuredBy("write on: tie rod under drag_link when it sits on the tie rod, or on: %s when it is right", side)}
}

func (b *bench) judgeAckermann(st *travel.Stand, a *Answer, u quantity.System) []finding.Finding {
	off, pct := meanOf(a.Locks.Left.AckermannOffDeg, a.Locks.Right.AckermannOffDeg), meanOf(a.Locks.Left.AckermannPct, a.Locks.Right.AckermannPct)
	if off == nil || pct == nil {
		return nil
	}
	base := fmt.Sprintf("kingpin track %s on the ground, wheelbase %s", mm(b.pin.track, u), mm(b.base, u))
	if math.Abs(*off) <= ackermannWatch {
		return []finding.Finding{finding.New(finding.OK, "steer/ackermann", "At lock the outer wheel is %s off what Ackermann asks, %.0f %% of it (%s).",
			degrees(math.Abs(*off)*deg), *pct, base).For(path("arm"))}
	}
	word := "too far"
	if *off < 0 {
		word = "too little"
	}
	f := finding.New(finding.Watch, "steer/ackermann", "At lock the outer wheel turns %s %s for the inner one: %.0f %% Ackermann (%s), so the front tyres scrub in a turn.",
		degrees(math.Abs(*off)*deg), word, *pct, base).For(path("arm"))
	if dy, ok := b.armFor(st); ok {
		way := "outward"
		if dy < 0 {
			way = "inward"
		}
		return []finding.Finding{f.CuredBy("move the tie-rod eyes %s %s, and refit the tie rod", mm(math.Abs(dy), u), way)}
	}
	return []finding.Finding{f.CuredBy("with the tie rod ahead of the axle its eyes belong further out, behind the axle further in")}
}
