package steer

import (
	"math"
	"strings"

	"lowslung/finding"
	"lowslung/quantity"
	"lowslung/solid"
	"lowslung/travel"
)

const (
	deg = math.Pi / 180
	// leastArm is the shortest arm that can turn anything, mm: below it an eye sits on its axis.
	leastArm = 0.5
	// flat is the least share of a kingpin's length that must be upright: one that leans by more than 60° is no kingpin.
	flat = 0.5
	// usualTravel is taken when the horn's travel is not given: common practice for a servo on an ordinary receiver.
	usualTravel = 45 * deg
	// mostTravel is as far as a servo is followed to one side: beyond half a turn a horn says nothing new.
	mostTravel = 170 * deg
)

func path(keys ...string) string { return "steer/" + strings.Join(keys, "/") }

func mm(v float64, u quantity.System) string { return quantity.DimLength.Format(v, u) }

func degrees(v float64) string { return quantity.DimAngle.Format(v, quantity.Metric) }

// Compile makes the linkage of a model that stands at its design pose. It is nil when the document lacks what it takes, or when it
// cannot be put together; the findings say which.
func Compile(m *solid.Model, st *travel.Stand, units quantity.System) (*Linkage, []finding.Finding) {
	s := &m.Steer
	pin, bad := pins(s)
	if len(bad) > 0 || !s.HasKingpin || !s.HasArm || st.Movers[solid.Front] == nil {
		return nil, bad
	}
	l := &Linkage{pin: pin, foot: s.Lower, rod: s.TieRod}
	for i := range l.tie {
		l.tie[i] = circleAbout(s.Lower[i], pin[i], s.Arm[i])
		l.hub[i] = circleAbout(s.Lower[i], pin[i], solid.Vec{Y: m.Axles[solid.Front].HalfTrack * float64(1-2*i)})
		l.spindle[i] = circleAbout(solid.Vec{}, pin[i], solid.Vec{Y: 1})
	}
	if l.tie[left].radius < leastArm {
		return nil, []finding.Finding{finding.New(finding.Stop, "steer/arm-on-kingpin",
			"The tie-rod eye is %s from the kingpin's axis, so it turns nothing.", mm(l.tie[left].radius, units)).
			For(path("arm"), path("kingpin")).CuredBy("measure the eye's place on the knuckle again: it stands off the kingpin by the length of the steering arm")}
	}
	apart := s.Arm[right].Sub(s.Arm[left]).Norm()
	if l.rod == 0 {
		l.rod = apart
	}
	if apart < leastArm || l.rod < leastArm {
		return nil, []finding.Finding{finding.New(finding.Stop, "steer/no-tie-rod",
			"The tie-rod eyes of the two knuckles are %s apart, so there is no room for a tie rod.", mm(apart, units)).
			For(path("arm")).CuredBy("write the left eye, with y above 0")}
	}
	var fits [2]bool
	for i := range l.tie {
		l.tieSide[i], fits[i] = l.tie[i].nearest(l.tie[1-i].at(0), l.rod)
	}
	if !fits[left] || !fits[right] {
		least, most := l.tie[right].span(l.tie[left].at(0))
		return nil, []finding.Finding{finding.New(finding.Stop, "steer/tie-rod-does-not-fit",
			"The tie rod is %s eye to eye; with the left wheel straight ahead the other knuckle can be reached from %s to %s, and the arms are %s apart.",
			mm(l.rod, units), mm(least, units), mm(most, units), mm(apart, units)).
			For(path("tie_rod"), path("arm")).CuredBy("set the tie rod to %s, or leave tie_rod out", mm(apart, units))}
	}
	return l, l.fit(m, st, units)
}

// pins are the kingpins' directions, upward, with what is wrong with them.
func pins(s *solid.Steer) (pin [2]solid.Vec, bad []finding.Finding) {
	if !s.HasKingpin {
		return pin, nil
	}
	for i := range pin {
		pin[i] = s.Upper[i].Sub(s.Lower[i]).Unit()
		if pin[i].Z < 0 {
			pin[i] = pin[i].Scale(-1)
		}
	}
	if pin[left].Z < flat {
		return pin, []finding.Finding{finding.New(finding.Stop, "steer/kingpin-lies-down",
			"The kingpin leans by %s from upright, which is no axis to steer about.", degrees(math.Acos(min(1, pin[left].Z)))).
			For(path("kingpin")).CuredBy("measure its upper and lower point again, in the axle frame: forward, left, up")}
	}
	if s.Upper[left].Y+s.Lower[left].Y <= 0 {
		return pin, []finding.Finding{finding.New(finding.Stop, "steer/kingpin-on-the-right",
			"The kingpin is on the centreline or to the right of it; the left one is expected, and the right one is its mirror image.").
			For(path("kingpin")).CuredBy("write the left kingpin's points, with y above 0, and the left arm")}
	}
	return pin, nil
}

// fit adds horn and drag link when the document has them. A drag link that cannot be put on leaves the linkage without a servo.
func (l *Linkage) fit(m *solid.Model, st *travel.Stand, units quantity.System) []finding.Finding {
	s := &m.Steer
	if !s.HasHorn || !s.HasDrag {
		return nil
	}
	if s.HornRadius() < leastArm {
		return []finding.Finding{finding.New(finding.Stop, "steer/horn-without-arm",
			"The drag-link eye is %s from the axis of the servo's output, so the servo moves nothing.", mm(s.HornRadius(), units)).
			For(path("horn")).CuredBy("measure the horn again: centre of the output, direction of its shaft, and the eye, all in the servo's frame")}
	}
	at, axis, eye := s.HornAt, s.HornAxis, s.HornEye
	l.carrier = s.Carrier
	if s.Carrier == solid.OnRear {
		f := solid.Frame{R: solid.Identity}
		if mv := st.Movers[solid.Rear]; mv != nil {
			f = mv.Design.Frame()
		}
		at, axis, eye, l.carrier = f.Apply(at), f.Turn(axis), f.Apply(eye), solid.OnChassis
	}
	l.horn = circleAbout(at, axis, eye)
	l.on = s.DragOn
	p := st.Movers[solid.Front].Design
	q, _ := l.near(p, 0)
	l.dragLen = s.Drag
	if l.dragLen == 0 {
		l.dragLen = s.DragTo.Sub(q).Norm()
	}
	if l.dragLen < leastArm {
		return []finding.Finding{finding.New(finding.Stop, "steer/no-drag-link",
			"The drag link's two eyes are in the same place, so there is no room for a drag link.").
			For(path("drag_link"), path("horn")).CuredBy("check drag_link and horn, and where the servo sits")}
	}
	if l.on == solid.OnTieRod {
		return l.fitTie(s, q, p, units)
	}
	i := left
	if l.on == solid.OnRightKnuckle {
		i = right
	}
	l.drag = circleAbout(s.Lower[i], l.pin[i], s.DragTo)
	if l.drag.radius < leastArm {
		return []finding.Finding{finding.New(finding.Stop, "steer/arm-on-kingpin",
			"The drag-link eye is %s from the kingpin's axis, so it turns nothing.", mm(l.drag.radius, units)).
			For(path("drag_link"), path("kingpin")).CuredBy("measure the eye's place on the knuckle again")}
	}
	var ok bool
	if l.dragSide, ok = l.drag.nearest(q, l.dragLen); !ok {
		least, most := l.drag.span(q)
		return []finding.Finding{l.doesNotFit(s, q, least, most, units)}
	}
	return l.assemble(p, State{})
}

// fitTie places the far eye on the tie rod: how far along, and how far beside it.
func (l *Linkage) fitTie(s *solid.Steer, q solid.Vec, p travel.Pose, units quantity.System) []finding.Finding {
	tl, tr := l.tie[left].at(0), l.tie[right].at(0)
	e := tr.Sub(tl).Unit()
	d := s.DragTo.Sub(tl)
	l.share = d.Dot(e) / tr.Sub(tl).Norm()
	off := d.Along(e, -d.Dot(e))
	if x := (solid.Vec{X: 1}).Along(e, -e.X); x.Norm() >= 1e-9 {
		n := x.Unit()
		l.beside = [2]float64{off.Dot(n), off.Dot(e.Cross(n))}
	}
	start, fault := l.follow(State{}, left)
	if fault != Fits {
		start = State{}
	}
	eye, rate := l.onTie(start.Knuckle)
	l.dragSide = 1
	if eye.Sub(q).Dot(rate) < 0 {
		l.dragSide = -1
	}
	if rate.Norm() < 1e-9 {
		least := eye.Sub(q).Norm()
		return []finding.Finding{l.doesNotFit(s, q, least, least, units)}
	}
	bad := l.assemble(p, start)
	if !l.horned {
		least, most := l.tieSpan(q, start)
		return []finding.Finding{l.doesNotFit(s, q, least, most, units)}
	}
	return bad
}

// tieSpan is the least and greatest distance of an eye on the tie rod from q, to a degree of the left knuckle.
func (l *Linkage) tieSpan(q solid.Vec, start State) (least, most float64) {
	least, most = math.Inf(1), 0
	for a := -80; a <= 80; a++ {
		s := start
		s.Knuckle[left] = float64(a) * deg
		if s, fault := l.follow(s, left); fault == Fits {
			eye, _ := l.onTie(s.Knuckle)
			d := eye.Sub(q).Norm()
			least, most = min(least, d), max(most, d)
		}
	}
	return min(least, most), most
}

// assemble takes the horn into use when the linkage goes together with the servo at its middle.
func (l *Linkage) assemble(p travel.Pose, start State) []finding.Finding {
	l.horned = true
	if _, fault := l.At(p, 0, start); fault != Fits {
		l.horned = false
		if fault == TieOut {
			return []finding.Finding{finding.New(finding.Stop, "steer/tie-rod-does-not-fit",
				"With the servo at its middle the drag link turns one knuckle so far that the tie rod does not reach the other.").
				For(path("drag_link"), path("tie_rod")).CuredBy("check the drag link's length, or leave it out to have the one that fits")}
		}
	}
	return nil
}

func (l *Linkage) doesNotFit(s *solid.Steer, q solid.Vec, least, most float64, units quantity.System) finding.Finding {
	return finding.New(finding.Stop, "steer/drag-link-does-not-fit",
		"The drag link is %s eye to eye; with the servo at its middle its far eye can be reached from %s to %s.",
		mm(l.dragLen, units), mm(least, units), mm(most, units)).
		For(path("drag_link"), path("horn")).CuredBy("set it to %s, which keeps the wheels straight ahead, or turn the horn on its spline", mm(s.DragTo.Sub(q).Norm(), units))
}
