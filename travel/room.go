package travel

import (
	"math"

	"lowslung/channel"
	"lowslung/solid"
)

// What is left of shocks, shafts and rod ends over the poses swept: the smallest margins of the stops (stop.go). A pose counts when the
// axle's shocks allow it, so that a grid wider than the travel does not ask a shaft for what no shock lets happen.

// A Room is the least that is left on one axle; +Inf where the document gives no limit, or no pose counted.
type Room struct {
	Bump, Droop float64 // of the shocks at the design pose, mm: until the first is closed, until the first is open
	Joint       float64 // largest joint angle of the axle's shafts, rad; −Inf without a shaft
	JointRoom   float64 // joint limit less joint angle, rad
	Shaft       float64 // until a shaft bottoms or has only the overlap left that it must keep, mm
	RodEnd      float64 // allowed swing less swing, rad
}

// NoRoom is a Room that nothing has been taken off yet.
func NoRoom() Room {
	inf := math.Inf(1)
	return Room{Bump: inf, Droop: inf, Joint: -inf, JointRoom: inf, Shaft: inf, RodEnd: inf}
}

// shockPlay is what a shock may be beyond its stroke and still count as in it, mm: rounding.
const shockPlay = 1e-9

// A roomer takes poses off a Room.
type roomer struct {
	m      *solid.Model
	end    solid.End
	stops  []Stop
	margin []float64
	room   Room
}

func newRoomer(m *solid.Model, end solid.End) *roomer {
	r := &roomer{m: m, end: end, stops: stopsOf(m, end), room: NoRoom()}
	r.margin = make([]float64, len(r.stops))
	return r
}

// design takes the design pose.
func (r *roomer) design(p Pose) {
	margins(r.m, r.stops, p, r.margin)
	for i, s := range r.stops {
		switch s.Kind {
		case ShockClosed:
			r.room.Bump = min(r.room.Bump, r.margin[i])
		case ShockOpen:
			r.room.Droop = min(r.room.Droop, r.margin[i])
		}
	}
}

// pose takes one pose of the sweep.
func (r *roomer) pose(p Pose) {
	margins(r.m, r.stops, p, r.margin)
	for i, s := range r.stops {
		if (s.Kind == ShockClosed || s.Kind == ShockOpen) && r.margin[i] < -shockPlay {
			return
		}
	}
	for i, s := range r.stops {
		switch s.Kind {
		case ShaftIn, ShaftOut:
			r.room.Shaft = min(r.room.Shaft, r.margin[i])
		case ShaftJoint:
			r.room.JointRoom = min(r.room.JointRoom, r.margin[i])
		case RodEnd:
			r.room.RodEnd = min(r.room.RodEnd, r.margin[i])
		}
	}
	for i := range r.m.Shafts {
		if k := &r.m.Shafts[i]; k.Axle == r.end {
			s := ShaftAt(k, p)
			r.room.Joint = max(r.room.Joint, s.Joint[0], s.Joint[1])
		}
	}
}

// numbers are those that are known.
func (r *Room) numbers(name string) []channel.Value {
	var out []channel.Value
	for _, one := range []struct {
		name  string
		value float64
	}{
		{"bump stroke", r.Bump}, {"droop stroke", r.Droop}, {"shaft joint angle", r.Joint}, {"shaft joint room", r.JointRoom},
		{"shaft room", r.Shaft}, {"rod end room", r.RodEnd},
	} {
		if !math.IsInf(one.value, 0) {
			out = append(out, channel.Of(name+" "+one.name, one.value))
		}
	}
	return out
}
