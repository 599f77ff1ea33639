package travel

import (
	"fmt"
	"math"

	"lowslung/solid"
)

// What can stop an axle: each stop has a margin that is positive while there is room and zero where it stops.

// StopKind is the kind of a stop.
type StopKind uint8

// Kinds of stops.
const (
	ShockClosed StopKind = iota
	ShockOpen
	ShaftIn    // bottomed
	ShaftOut   // spline overlap lost
	ShaftJoint // a joint at its limit
	RodEnd     // a rod end at its allowed swing
	LinkReach  // the links do not go further
	BodyGap    // two bodies touch
	noStop
)

// code is the stable word of a kind.
func (k StopKind) code() string {
	return [...]string{"shock-closed", "shock-open", "shaft-bottomed", "shaft-apart", "shaft-joint", "rod-end", "full-reach", "contact", ""}[k]
}

// A Stop is one thing that can stop an axle.
type Stop struct {
	Kind  StopKind
	Index int         // of the shock, shaft or link in the model
	End   int         // of a rod end: 0 chassis, 1 axle; of a shaft joint: 0 gearbox, 1 axle
	pair  [2]touching // of a contact: the two bodies
}

// touching is one of two bodies that meet.
type touching struct{ name, path string }

// angular says that the margin is an angle, rad; otherwise it is a length, mm.
func (s Stop) angular() bool { return s.Kind == ShaftJoint || s.Kind == RodEnd }

// stopsOf lists what the document gives limits for on one axle.
func stopsOf(m *solid.Model, end solid.End) []Stop {
	var out []Stop
	for i := range m.Shocks {
		if s := &m.Shocks[i]; s.Axle == end {
			if s.Closed > 0 {
				out = append(out, Stop{Kind: ShockClosed, Index: i})
			}
			if s.Open > 0 {
				out = append(out, Stop{Kind: ShockOpen, Index: i})
			}
		}
	}
	for i := range m.Shafts {
		k := &m.Shafts[i]
		if k.Axle != end {
			continue
		}
		if k.Closed > 0 {
			out = append(out, Stop{Kind: ShaftIn, Index: i})
		}
		if k.Open > 0 {
			out = append(out, Stop{Kind: ShaftOut, Index: i})
		}
		if k.Limit > 0 {
			out = append(out, Stop{Kind: ShaftJoint, Index: i}, Stop{Kind: ShaftJoint, Index: i, End: 1})
		}
	}
	for i := range m.Links {
		l := &m.Links[i]
		for k, allowed := range l.Swing {
			bolt := l.FromBolt
			if k == 1 {
				bolt = l.ToBolt
			}
			if l.Axle == end && allowed > 0 && !bolt.IsZero() {
				out = append(out, Stop{Kind: RodEnd, Index: i, End: k})
			}
		}
	}
	return out
}

// margins works out each stop's margin at pose p into out, which has the length of stops.
func margins(m *solid.Model, stops []Stop, p Pose, out []float64) {
	// A shock, a shaft and a link have several stops in a row: each is worked out once.
	last, lastShaft := -1, ShaftPose{}
	shock, length := -1, 0.0
	link, swing := -1, [2]float64{}
	turn := p.Turn()
	for i, s := range stops {
		switch s.Kind {
		case ShockClosed, ShockOpen:
			if shock != s.Index {
				shock, length = s.Index, lengthAt(m, s.Index, p)
			}
			if s.Kind == ShockClosed {
				out[i] = length - m.Shocks[s.Index].Closed
			} else {
				out[i] = m.Shocks[s.Index].Open - length
			}
		case ShaftIn, ShaftOut, ShaftJoint:
			k := &m.Shafts[s.Index]
			if last != s.Index {
				last, lastShaft = s.Index, ShaftAt(k, p)
			}
			in, apart, _ := lastShaft.Room(k)
			switch s.Kind {
			case ShaftIn:
				out[i] = in
			case ShaftOut:
				out[i] = apart
			default:
				out[i] = k.Limit - lastShaft.Joint[s.End]
			}
		case RodEnd:
			l := &m.Links[s.Index]
			if link != s.Index {
				link, swing = s.Index, swingOf(l, &turn, p.Origin())
			}
			out[i] = l.Swing[s.End] - swing[s.End]
		}
	}
}

func lengthAt(m *solid.Model, shock int, p Pose) float64 {
	return StrutAt(m, &m.Shocks[shock], p, Rate{}, Rate{}).Length
}

func sided(name string, side solid.Side) string {
	if side == solid.Single {
		return name
	}
	return side.String() + " " + name
}

// words says what stops, as the end of a sentence that begins with "until".
func (s Stop) words(m *solid.Model) string {
	switch s.Kind {
	case ShockClosed, ShockOpen:
		k := &m.Shocks[s.Index]
		state := "closed"
		if s.Kind == ShockOpen {
			state = "open"
		}
		return fmt.Sprintf("the %s shock is fully %s", sided(k.Name, k.Side), state)
	case ShaftIn:
		return fmt.Sprintf("the %s shaft bottoms", m.Shafts[s.Index].Name)
	case ShaftOut:
		return fmt.Sprintf("the %s shaft has only the overlap left that it must keep", m.Shafts[s.Index].Name)
	case ShaftJoint:
		return fmt.Sprintf("the %s shaft's %s joint is at its %s", m.Shafts[s.Index].Name, [2]string{"gearbox", "axle"}[s.End], degrees(m.Shafts[s.Index].Limit/deg))
	case RodEnd:
		l := &m.Links[s.Index]
		return fmt.Sprintf("the %s link's %s rod end is at its %s of swing", sided(l.Name, l.Side), [2]string{"chassis", "axle"}[s.End], degrees(l.Swing[s.End]/deg))
	case BodyGap:
		return fmt.Sprintf("%s touches %s", s.pair[0].name, s.pair[1].name)
	case LinkReach:
		return "the links are at full reach"
	}
	return "nothing stops it here"
}

// about is the stop's path in the document.
func (s Stop) about(m *solid.Model) []string {
	switch s.Kind {
	case ShockClosed, ShockOpen:
		return []string{m.Shocks[s.Index].Path}
	case ShaftIn, ShaftOut, ShaftJoint:
		return []string{m.Shafts[s.Index].Path}
	case RodEnd:
		return []string{m.Links[s.Index].Path}
	case BodyGap:
		return []string{s.pair[0].path, s.pair[1].path}
	}
	return nil
}

// shown is a margin or an excess in the stop's own unit: mm or degrees.
func (s Stop) shown(v float64) (float64, string) {
	if s.angular() {
		return v / deg, "°"
	}
	return v, "mm"
}

func worstMargin(list []float64, skip []bool) (at int, value float64) {
	at, value = -1, math.Inf(1)
	for i, v := range list {
		if !skip[i] && v < value {
			at, value = i, v
		}
	}
	return at, value
}
