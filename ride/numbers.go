package ride

import "lowslung/channel"

// Numbers are the answer's numbers for the catalogue, in program units.
func (a *Answer) Numbers() []channel.Value {
	if a.Stance == nil {
		return nil
	}
	var out []channel.Value
	put := func(name string, v float64) { out = append(out, channel.Of(name, v)) }
	maybe := func(name string, v *float64, factor float64) {
		if v != nil {
			put(name, *v*factor)
		}
	}
	s := a.Stance
	put("standing clearance", s.BellyClearanceMM)
	put("chassis pitch", s.ChassisPitchDeg*deg)
	put("chassis roll", s.ChassisRollDeg*deg)
	for _, one := range []struct {
		name string
		ax   *StanceAxle
	}{{"front", &s.Axles.Front}, {"rear", &s.Axles.Rear}} {
		put(one.name+" ride height", one.ax.RideHeightMM)
		maybe(one.name+" sag", s.sagOf(one.name), 1)
		put(one.name+" wheel rate", one.ax.WheelRate)
		maybe(one.name+" ride frequency", one.ax.FrequencyHz, 1)
		maybe(one.name+" damping ratio", one.ax.DampingRatio, 1)
	}
	maybe("front roll stiffness share", s.FrontRollShare, 1)
	if t := a.Tilt; t != nil {
		maybe("flexed tip angle left", t.LeftDown.TipDeg, deg)
		maybe("flexed tip angle right", t.RightDown.TipDeg, deg)
		maybe("flexed tip angle nose up", t.NoseUp.TipDeg, deg)
		maybe("flexed tip angle nose down", t.NoseDown.TipDeg, deg)
	}
	if r := a.Ramp; r != nil {
		put("ramp travel index", r.Index)
	}
	if v := a.Angles; v != nil {
		put("approach angle", v.Standing.ApproachDeg*deg)
		put("departure angle", v.Standing.DepartureDeg*deg)
		put("breakover angle", v.Standing.BreakoverDeg*deg)
	}
	return out
}

// sagOf is the mean share of the stroke that an axle's shocks have used; nil when none has both lengths.
func (s *Stance) sagOf(axle string) *float64 {
	sum, n := 0.0, 0
	for i := range s.Shocks {
		if s.Shocks[i].axle == axle && s.Shocks[i].SagShare != nil {
			sum += *s.Shocks[i].SagShare
			n++
		}
	}
	if n == 0 {
		return nil
	}
	mean := sum / float64(n)
	return &mean
}
