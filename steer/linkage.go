package steer

import (
	"math"

	"lowslung/solid"
	"lowslung/travel"
)

// The linkage kernel. All of it is in the axle frame, mm and rad; nothing here allocates.

// left and right index the pairs.
const (
	left  = 0
	right = 1
)

// A Linkage is the two knuckles with what joins them, and the servo's horn. It is constant after Compile and may be shared.
type Linkage struct {
	tie     [2]circle // tie-rod eyes about their kingpins
	rod     float64   // tie rod, eye to eye
	tieSide [2]float64
	hub     [2]circle // wheel centres
	spindle [2]circle // wheel axes: unit vectors to the left, so that "eye" is a direction
	pin     [2]solid.Vec
	foot    [2]solid.Vec // lower point of each kingpin

	horned   bool // horn, servo and drag link are known; otherwise the input is the left knuckle's own angle
	carrier  solid.Carrier
	horn     circle // drag link's near eye, in the carrier's frame
	on       solid.DragEnd
	drag     circle // far eye on a knuckle
	dragLen  float64
	dragSide float64
	share    float64    // far eye on the tie rod: how far along from the left
	beside   [2]float64 // and how far off it, along the directions of tieFrame
}

// A State is the linkage at one moment.
type State struct {
	Knuckle [2]float64 // turn about the kingpins, left and right, rad, positive to the left
	// Sines of the transmission angles: of the rod against the motion of the eye it pulls. 1 pulls square, 0 is a dead centre.
	Drag float64 // drag link at its far eye; 1 without a horn
	Tie  float64 // tie rod at the knuckle it pulls along
	// Horn is that of the drag link against the horn's own motion, with a sign: where it passes 0 the wheels turn back.
	Horn float64
}

// Fault says why a state cannot be.
type Fault uint8

// Faults.
const (
	Fits Fault = iota
	DragOut
	TieOut
)

// near is the drag link's near eye in the axle frame for a servo angle, rad, with the axle at pose p, and its rate per rad of servo.
func (l *Linkage) near(p travel.Pose, servo float64) (eye, rate solid.Vec) {
	eye, rate = l.horn.at(servo), l.horn.rate(servo)
	if l.carrier == solid.OnFront {
		return eye, rate
	}
	r := p.Turn()
	return r.MulT(eye.Sub(p.Origin())), r.MulT(rate)
}

// At is the state for a servo angle, rad, with the axle at pose p. Without a horn the angle is the left knuckle's own. from is a
// neighbouring state, the start for a drag link that pulls on the tie rod; the closed forms need none.
func (l *Linkage) At(p travel.Pose, servo float64, from State) (State, Fault) {
	if !l.horned {
		s := State{Drag: 1, Horn: 1}
		s.Knuckle[left] = servo
		return l.follow(s, left)
	}
	q, dq := l.near(p, servo)
	s, fault := l.pulled(q, from)
	if fault != Fits {
		return s, fault
	}
	s.Horn = l.far(s).Sub(q).Dot(dq) / (l.dragLen * l.horn.radius)
	return s, Fits
}

// pulled is the state with the drag link's near eye at q.
func (l *Linkage) pulled(q solid.Vec, from State) (State, Fault) {
	if l.on == solid.OnTieRod {
		return l.pulledTie(q, from)
	}
	lead := left
	if l.on == solid.OnRightKnuckle {
		lead = right
	}
	var s State
	a, ok := l.drag.reach(q, l.dragLen, l.dragSide)
	if !ok {
		return from, DragOut
	}
	s.Knuckle[lead] = a
	s.Drag = math.Abs(l.drag.at(a).Sub(q).Dot(l.drag.rate(a))) / (l.dragLen * l.drag.radius)
	return l.follow(s, lead)
}

// follow turns the other knuckle to where the tie rod puts it.
func (l *Linkage) follow(s State, lead int) (State, Fault) {
	other := 1 - lead
	t := l.tie[lead].at(s.Knuckle[lead])
	b, ok := l.tie[other].reach(t, l.rod, l.tieSide[other])
	if !ok {
		return s, TieOut
	}
	s.Knuckle[other] = b
	s.Tie = math.Abs(l.tie[other].at(b).Sub(t).Dot(l.tie[other].rate(b))) / (l.rod * l.tie[other].radius)
	return s, Fits
}

// far is the drag link's far eye.
func (l *Linkage) far(s State) solid.Vec {
	switch l.on {
	case solid.OnLeftKnuckle:
		return l.drag.at(s.Knuckle[left])
	case solid.OnRightKnuckle:
		return l.drag.at(s.Knuckle[right])
	}
	e, _ := l.onTie(s.Knuckle)
	return e
}

// onTie is the far eye on the tie rod and its rate per rad of the left knuckle. The rod does not turn about itself: its eye keeps
// its place along e, from the left end to the right, and beside it along n (forward as nearly as may be) and b = e × n.
//
//	(t_r − t_l)·(t_r′ b′ − t_l′) = 0   ⟹   b′ = e·t_l′/e·t_r′
func (l *Linkage) onTie(k [2]float64) (eye, rate solid.Vec) {
	tl, tr := l.tie[left].at(k[left]), l.tie[right].at(k[right])
	dl, dr := l.tie[left].rate(k[left]), l.tie[right].rate(k[right])
	e := tr.Sub(tl).Unit()
	follow := 0.0
	if den := e.Dot(dr); den != 0 {
		follow = e.Dot(dl) / den
	}
	dr = dr.Scale(follow)
	de := dr.Sub(dl).Scale(1 / l.rod)
	x := solid.Vec{X: 1}
	p := x.Along(e, -e.X)
	size := p.Norm()
	if size < 1e-9 { // a tie rod that points forward has no place beside it that means anything
		return tl.Along(tr.Sub(tl), l.share), dl.Along(dr.Sub(dl), l.share)
	}
	n := p.Scale(1 / size)
	dp := e.Scale(-de.X).Along(de, -e.X)
	dn := dp.Along(n, -n.Dot(dp)).Scale(1 / size)
	b := e.Cross(n)
	db := de.Cross(n).Add(e.Cross(dn))
	eye = tl.Along(tr.Sub(tl), l.share).Along(n, l.beside[0]).Along(b, l.beside[1])
	rate = dl.Along(dr.Sub(dl), l.share).Along(dn, l.beside[0]).Along(db, l.beside[1])
	return eye, rate
}

// pulledTie solves g(a) = ½(|eye(a) − q|² − L²) = 0 for the left knuckle's angle a by Newton with the analytic derivative
// g′ = (eye − q)·eye′, steps cut to 0.2 rad. The sign of g′ is that of the assembly mode; a step that loses it has met the dead
// centre.
func (l *Linkage) pulledTie(q solid.Vec, from State) (State, Fault) {
	s := from
	for range 60 {
		var fault Fault
		if s, fault = l.follow(s, left); fault != Fits {
			return from, fault
		}
		eye, rate := l.onTie(s.Knuckle)
		d := eye.Sub(q)
		slope := d.Dot(rate)
		speed := rate.Norm()
		if !(slope*l.dragSide > 1e-12*l.dragLen*speed) {
			return from, DragOut
		}
		step := (d.Dot(d) - l.dragLen*l.dragLen) / (2 * slope)
		if math.Abs(step) < 1e-14 {
			s.Drag = math.Abs(slope) / (l.dragLen * speed)
			return s, Fits
		}
		s.Knuckle[left] -= max(-0.2, min(0.2, step))
		if math.Abs(step) < 1e-9 { // the error left is its square
			s, fault = l.follow(s, left)
			s.Drag = math.Abs(slope) / (l.dragLen * speed)
			return s, fault
		}
	}
	return from, DragOut
}
