package steer

import (
	"math"

	"lowslung/channel"
)

// Numbers are the answer's numbers for the catalogue, in program units.
func (a *Answer) Numbers() []channel.Value {
	var out []channel.Value
	put := func(name string, v *float64, factor float64) {
		if v != nil {
			out = append(out, channel.Of(name, *v*factor))
		}
	}
	if k := a.Locks; k != nil {
		put("steer lock left", &k.Left.InnerDeg, deg)
		put("steer lock right", &k.Right.InnerDeg, deg)
		put("least clearance at lock", k.LeastClearanceMM, 1)
		put("outer wheel at left lock", &k.Left.OuterDeg, deg)
		put("outer wheel at right lock", &k.Right.OuterDeg, deg)
		put("ackermann at lock", meanOf(k.Left.AckermannPct, k.Right.AckermannPct), 0.01)
		put("ackermann error at lock", meanOf(k.Left.AckermannOffDeg, k.Right.AckermannOffDeg), deg)
		put("turning circle", worse(k.Left.TurningCircleMM, k.Right.TurningCircleMM), 1)
		least := min(k.Left.TransmissionDeg, k.Right.TransmissionDeg)
		put("transmission angle", &least, deg)
	}
	if c := a.Middle; c != nil {
		put("toe-in", &c.ToeInDeg, deg)
	}
	if k := a.Kingpin; k != nil {
		put("kingpin inclination", &k.InclinationDeg, deg)
		put("caster", &k.CasterDeg, deg)
		put("scrub radius", k.ScrubRadiusMM, 1)
		put("caster trail", k.TrailMM, 1)
	}
	if u := a.Bumps; u != nil && u.ServoOn == "chassis" {
		bump := math.Abs(u.PerHeave)
		put("bump steer", &bump, 1)
		put("bump steer swing", &u.SwingDeg, deg)
		put("wheel roll steer", &u.PerRoll, 1)
	}
	if s := a.Servo; s != nil {
		put("servo torque needed", &s.NeededNMM, 1)
		put("servo margin", s.Margin, 1)
	}
	return out
}

func meanOf(a, b *float64) *float64 {
	if a == nil || b == nil {
		return nil
	}
	v := (*a + *b) / 2
	return &v
}

func worse(a, b *float64) *float64 {
	if a == nil || b == nil {
		return nil
	}
	v := max(*a, *b)
	return &v
}
