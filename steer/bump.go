package steer

import (
	"math"

	"lowslung/solid"
	"lowslung/travel"
)

// Bump and roll steer: the servo held at its middle while the axle goes over the grid of travel.

// bumpRates is how fast the wheels steer per mm of heave and per rad of roll at the design pose, mean of both; ok is false when the
// links do not fix the axle.
func (b *bench) bumpRates(mv *travel.Mover) (heave, roll float64, ok bool) {
	mv.Jump(mv.Design)
	h, r, _, ok := mv.Rates()
	if !ok {
		return 0, 0, false
	}
	mean := func(move travel.Rate) float64 {
		d := b.l.steerRates(&b.v, b.pose, b.mid, b.l.PerMove(b.pose, 0, b.mid, move), move)
		return (d[left] + d[right]) / 2
	}
	return mean(h), mean(r), true
}

// bumps sweeps the grid. ends are both locks at ride height: the linkage must reach their servo angles everywhere.
func (b *bench) bumps(mv *travel.Mover, o *Options, ends *[2]end) *Bumps {
	if mv == nil || !mv.Solved {
		return nil
	}
	heave, roll, ok := b.bumpRates(mv)
	if !ok {
		return nil
	}
	out := &Bumps{ServoOn: "nothing", PerHeave: heave / deg, PerRoll: roll, Poses: []Bump{}, LeastTransDeg: 90}
	if b.l.horned {
		out.ServoOn = "chassis"
		if b.l.carrier == solid.OnFront {
			out.ServoOn = "axle"
		}
	}
	rolls := o.Roll.Values()
	for i := range rolls {
		rolls[i] *= deg
	}
	start := b.mean(b.pose, b.mid)
	shocks := b.shocks()
	lo, hi := math.Inf(1), math.Inf(-1)
	out.MissedByTravel = mv.Grid(o.Heave.Values(), rolls, func(h, r float64, p travel.Pose) {
		beyond := b.beyond(shocks, p)
		if s, fault := b.l.At(p, 0, b.mid); fault == Fits {
			d := b.l.steer(&b.v, p, s)
			change := (d[left]+d[right])/2 - start
			if r == 0 && !beyond {
				lo, hi = min(lo, change), max(hi, change)
			}
			out.Poses = append(out.Poses, Bump{HeaveMM: h, RollDeg: r / deg, LeftDeg: d[left] / deg, RightDeg: d[right] / deg,
				ChangeDeg: change / deg, AxleSteerDeg: (p.Steer - b.pose.Steer) / deg, BeyondShocks: beyond})
		}
		if !beyond {
			out.Tried++
			out.hold(b, h, r, p, ends)
		}
	})
	if hi > lo {
		out.SwingDeg = (hi - lo) / deg
	}
	return out
}

// shocks are those of the front axle whose ends are known and that are within them at ride height: no use stopping at the others.
func (b *bench) shocks() []*solid.Shock {
	var out []*solid.Shock
	for i := range b.m.Shocks {
		if s := &b.m.Shocks[i]; s.Axle == solid.Front && !b.beyond([]*solid.Shock{s}, b.pose) {
			out = append(out, s)
		}
	}
	return out
}

// beyond says whether a pose asks more of a shock than it has.
func (b *bench) beyond(list []*solid.Shock, p travel.Pose) bool {
	for _, s := range list {
		n := travel.StrutAt(b.m, s, p, travel.Rate{}, travel.Rate{}).Length
		if s.Closed > 0 && n < s.Closed || s.Open > 0 && n > s.Open {
			return true
		}
	}
	return false
}

func (b *bench) mean(p travel.Pose, s State) float64 {
	d := b.l.steer(&b.v, p, s)
	return (d[left] + d[right]) / 2
}

// hold keeps the worst transmission angle of a pose over the servo's middle and both ends.
func (u *Bumps) hold(b *bench, heave, roll float64, p travel.Pose, ends *[2]end) {
	stuck := false
	for _, at := range []struct {
		servo float64
		near  State
	}{{0, b.mid}, {ends[left].servo, ends[left].state}, {ends[right].servo, ends[right].state}} {
		least := 0.0
		s, fault := b.l.At(p, at.servo, at.near)
		if fault == Fits {
			least = min(transmission(s.Drag), transmission(s.Tie))
		} else {
			stuck = true
		}
		if least < u.LeastTransDeg {
			u.LeastTransDeg, u.LeastHeaveMM, u.LeastRollDeg, u.LeastServoDeg = least, heave, roll/deg, at.servo/deg
		}
	}
	if stuck {
		u.Stuck++
	}
}
