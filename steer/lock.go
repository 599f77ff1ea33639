package steer

import "math"

// How far the wheels go to one side, and what ends it.

// Words for what ends the steering.
const (
	byStop   = "lock stop"
	byTravel = "servo travel"
	byDrag   = "drag link over-centre"
	byTie    = "tie rod over-centre"
	byHorn   = "horn over-centre"
	bySearch = "end of the search"
)

// An end is one end of the steering.
type end struct {
	servo   float64 // rad
	state   State
	setBy   string
	least   float64 // smallest transmission angle on the way, degrees
	weakest string
	torque  float64 // largest torque at the servo on the way, N·mm, and where
	at      float64
}

// lookStep is how far the servo goes between two looks, rad. Where something ends the way it is found to 1e-9 rad.
const lookStep = 1 * deg

// leftward is the sign of the servo angle that turns the wheels left.
func (b *bench) leftward() float64 {
	if b.ratio(0, b.mid) < 0 {
		return -1
	}
	return 1
}

// end goes from the middle to one side: side +1 turns left, −1 right.
func (b *bench) end(side float64) end {
	dir := side * b.leftward()
	e := end{state: b.mid, least: 90, weakest: "tie rod"}
	e.look(b)
	lo := e
	for t := 0.0; t < b.reach; {
		next := min(b.reach, t+lookStep)
		s, why := b.try(dir*next, lo.state, side)
		if why == "" {
			t = next
			lo.servo, lo.state = dir*t, s
			lo.look(b)
			continue
		}
		hi := next
		for hi-t > 1e-9 {
			mid := (t + hi) / 2
			if s, w := b.try(dir*mid, lo.state, side); w == "" {
				t = mid
				lo.servo, lo.state = dir*t, s
			} else {
				hi, why = mid, w
			}
		}
		if why == byStop { // exactly there
			if s, w := b.l.At(b.pose, dir*hi, lo.state); w == Fits {
				lo.servo, lo.state = dir*hi, s
			}
		}
		lo.setBy = why
		if why == byStop || why == byHorn {
			lo.look(b)
		} else {
			lo.weigh(b)
		}
		return lo
	}
	lo.setBy = byTravel
	if !b.l.horned {
		lo.setBy = bySearch
	}
	return lo
}

// try is the state at a servo angle, and what is against it.
func (b *bench) try(servo float64, from State, side float64) (State, string) {
	s, fault := b.l.At(b.pose, servo, from)
	switch {
	case fault == DragOut:
		return s, byDrag
	case fault == TieOut:
		return s, byTie
	case s.Horn*b.h0 <= 0:
		return s, byHorn
	case b.m.Steer.Lock > 0 && b.innerOf(s, side) >= b.m.Steer.Lock:
		return s, byStop
	}
	return s, ""
}

// innerOf is the steer angle of the wheel on the side turned to, positive that way.
func (b *bench) innerOf(s State, side float64) float64 {
	d := b.l.steer(&b.v, b.pose, s)
	if side > 0 {
		return d[left]
	}
	return -d[right]
}

// look keeps the worst of a state on the way.
func (e *end) look(b *bench) {
	e.weigh(b)
	if b.load.known && b.l.horned {
		if v := b.torque(e.servo, e.state); v > e.torque {
			e.torque, e.at = v, e.servo
		}
	}
}

func (e *end) weigh(b *bench) {
	if v := transmission(e.state.Tie); v < e.least {
		e.least, e.weakest = v, "tie rod"
	}
	if v := transmission(e.state.Drag); b.l.horned && v < e.least {
		e.least, e.weakest = v, "drag link"
	}
}

// lock tells an end. side is +1 for left.
func (b *bench) lock(e *end, side float64) Lock {
	t := b.turn(e.state)
	d := b.l.steer(&b.v, b.pose, e.state)
	k := Lock{
		ServoDeg: e.servo / deg, SetBy: e.setBy, InnerDeg: side * d[left] / deg, OuterDeg: side * d[right] / deg,
		LeftKnuckleDeg: e.state.Knuckle[left] / deg, RightKnuckleDeg: e.state.Knuckle[right] / deg,
		IdealOuterDeg: t.ideal, AckermannOffDeg: t.off, AckermannPct: t.pct, TurningCircleMM: t.circle,
		TransmissionDeg: e.least, Weakest: e.weakest,
	}
	if side < 0 {
		k.InnerDeg, k.OuterDeg = k.OuterDeg, k.InnerDeg
	}
	if e.setBy == byStop && b.l.horned {
		share := math.Abs(e.servo) / b.reach
		k.ServoShare = &share
	}
	return k
}
