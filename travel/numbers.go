package travel

import (
	"lowslung/channel"
	"lowslung/solid"
)

// Numbers are the answer's numbers for the catalogue, in program units.
func (a *Answer) Numbers() []channel.Value {
	var out []channel.Value
	if base := a.wheelbase(); base != nil {
		out = append(out, channel.Of("wheelbase", *base))
	}
	if a.BellyClearanceMM != nil {
		out = append(out, channel.Of("belly clearance", *a.BellyClearanceMM))
	}
	if a.LeastClearanceMM != nil {
		out = append(out, channel.Of("least clearance", *a.LeastClearanceMM))
	}
	for _, one := range []struct {
		name string
		ax   *Axle
	}{{"front", a.Axles.Front}, {"rear", a.Axles.Rear}} {
		if one.ax == nil || !one.ax.Design.Solved {
			continue
		}
		out = append(out, one.ax.numbers(one.name)...)
	}
	return out
}

// Numbers are those of the catalogue that the design pose alone settles: what a sweep would add is left out. An axle that its links do not
// hold has none.
func (s *Stand) Numbers(m *solid.Model) []channel.Value {
	a := Answer{BellyClearanceMM: s.bellyClearance()}
	for end, into := range map[solid.End]**Axle{solid.Front: &a.Axles.Front, solid.Rear: &a.Axles.Rear} {
		if s.Movers[end] != nil {
			*into = &Axle{Design: designOf(m, s, end), room: NoRoom()}
		}
	}
	return a.Numbers()
}

func (a *Answer) wheelbase() *float64 {
	for _, ax := range []*Axle{a.Axles.Front, a.Axles.Rear} {
		if ax != nil && ax.Design.WheelbaseMM != nil && ax.Design.Solved {
			return ax.Design.WheelbaseMM
		}
	}
	return nil
}

func (ax *Axle) numbers(name string) []channel.Value {
	out := []channel.Value{
		channel.Of(name+" pinion angle", ax.Design.PinionAngleDeg*deg),
		channel.Of(name+" out of square", ax.Design.SteerDeg*deg),
		channel.Of(name+" off centre", ax.Design.YMM),
	}
	if len(ax.Poses) > 0 {
		lo, hi := ax.Poses[0].PinionAngleDeg, ax.Poses[0].PinionAngleDeg
		for i := range ax.Poses {
			lo, hi = min(lo, ax.Poses[i].PinionAngleDeg), max(hi, ax.Poses[i].PinionAngleDeg)
		}
		out = append(out, channel.Of(name+" pinion angle swing", (hi-lo)*deg))
	}
	room := ax.room.numbers(name)
	r := ax.Design.Rates
	if r == nil {
		return append(out, room...)
	}
	add := func(channelName string, v *float64, factor float64) {
		if v != nil {
			out = append(out, channel.Of(name+" "+channelName, *v*factor))
		}
	}
	add("side slope", &r.SideSlope, 1)
	add("anti-squat", r.AntiSquatPct, 0.01)
	add("anti-lift", r.AntiLiftPct, 0.01)
	add("roll centre height", r.RollCenterHeightMM, 1)
	add("roll axis", &r.RollAxisDeg, deg)
	add("roll steer", &r.RollSteerDegPerDeg, 1)
	add("sideways play", r.PlayLateralMM, 1)
	return append(out, room...)
}
