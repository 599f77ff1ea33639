package steer

import (
	"fmt"
	"math"

	"lowslung/quantity"
	"lowslung/solid"
	"lowslung/travel"
)

// What would cure a finding, worked out by asking the same question of an altered steer block.

// servoFor is the servo angle at which the inner wheel of one lock has an angle, degrees both: by halving between the middle and there.
func (b *bench) servoFor(k *Lock, inner float64) float64 {
	side := 1.0
	if (k.ServoDeg > 0) != (b.leftward() > 0) {
		side = -1
	}
	lo, hi, s := 0.0, k.ServoDeg*deg, b.mid
	for range 40 {
		mid := (lo + hi) / 2
		next, fault := b.l.At(b.pose, mid, s)
		if fault == Fits && b.innerOf(next, side) < inner*deg {
			lo, s = mid, next
		} else {
			hi = mid
		}
	}
	return lo / deg
}

// reachLock works out the horn that would reach the wanted lock on both sides with this servo's travel.
func (b *bench) reachLock(st *travel.Stand, ends *[2]end, u quantity.System) string {
	for i := range ends {
		if ends[i].setBy == byDrag || ends[i].setBy == byTie {
			return "cure the dead centre first: it comes before the stop"
		}
	}
	if !b.l.horned {
		return "check lock"
	}
	radius := b.m.Steer.HornRadius()
	with := func(f float64) bool { // whether a horn f times as long reaches the stop to both sides
		c := b.altered(st, func(s *solid.Steer) {
			s.HornEye = s.HornAt.Add(s.HornEye.Sub(s.HornAt).Scale(f))
			s.Drag = 0
		})
		if c == nil {
			return false
		}
		return c.end(1).setBy == byStop && c.end(-1).setBy == byStop
	}
	if with(1.5) {
		lo, hi := 1.0, 1.5
		for hi-lo > 1e-3 {
			if mid := (lo + hi) / 2; with(mid) {
				hi = mid
			} else {
				lo = mid
			}
		}
		return fmt.Sprintf("a horn of %s instead of %s reaches it, square to the drag link (the servo then needs more torque), or move the drag link's eye nearer to the kingpin", mm(radius*hi, u), mm(radius, u))
	}
	return "use a longer horn or a servo that turns further, or move the drag link's eye nearer to the kingpin"
}

// levelLink is how far up the servo would have to go, mm, for the wheels not to steer with heave at ride height, the drag link
// refitted: by the secant rule, within 40 mm.
func (b *bench) levelLink(st *travel.Stand) (float64, bool) {
	mv := st.Movers[solid.Front]
	at := func(dz float64) (float64, bool) {
		c := b.altered(st, func(s *solid.Steer) {
			up := solid.Vec{Z: dz}
			s.HornAt, s.HornEye, s.Drag = s.HornAt.Add(up), s.HornEye.Add(up), 0
		})
		if c == nil || c.m.Steer.Carrier != solid.OnChassis {
			return 0, false
		}
		heave, _, ok := c.bumpRates(mv)
		return heave, ok
	}
	x0, x1 := 0.0, 4.0
	y0, ok0 := at(x0)
	y1, ok1 := at(x1)
	for range 20 {
		if !ok0 || !ok1 || y1 == y0 {
			return 0, false
		}
		x2 := x1 - y1*(x1-x0)/(y1-y0)
		if math.IsNaN(x2) || math.Abs(x2) > 40 {
			return 0, false
		}
		x0, y0, ok0 = x1, y1, ok1
		x1 = x2
		if y1, ok1 = at(x1); ok1 && math.Abs(x1-x0) < 1e-3 {
			return x1, true
		}
	}
	return 0, false
}

// armFor is how far out the tie-rod eyes would have to be for the outer wheel to meet the Ackermann relation at lock, mm: by halving,
// within 20 mm either way.
func (b *bench) armFor(st *travel.Stand) (float64, bool) {
	at := func(dy float64) (float64, bool) {
		c := b.altered(st, func(s *solid.Steer) {
			s.Arm[left].Y += dy
			s.Arm[right].Y -= dy
			s.TieRod = 0
		})
		if c == nil {
			return 0, false
		}
		sum := 0.0
		for _, side := range []float64{1, -1} {
			t := c.turn(c.end(side).state)
			if t.off == nil {
				return 0, false
			}
			sum += *t.off
		}
		return sum, true
	}
	start, ok := at(0)
	if !ok {
		return 0, false
	}
	for _, way := range []float64{1, -1} {
		for lo, hi := 0.0, 2.0; hi <= 20; lo, hi = hi, hi+2 {
			v, ok := at(way * hi)
			if !ok {
				break
			}
			if v*start > 0 {
				continue
			}
			for hi-lo > 0.05 {
				mid := (lo + hi) / 2
				if v, ok := at(way * mid); ok && v*start > 0 {
					lo = mid
				} else {
					hi = mid
				}
			}
			return way * hi, true
		}
	}
	return 0, false
}
