package balance

import "lowslung/channel"

// Numbers are the answer's numbers for the catalogue, in program units.
func (a *Answer) Numbers() []channel.Value {
	if a.MassKG == 0 {
		return nil
	}
	out := []channel.Value{channel.Of("mass", a.MassKG), channel.Of("sprung mass", a.SprungMassKG)}
	add := func(name string, v *float64, factor float64) {
		if v != nil {
			out = append(out, channel.Of(name, *v*factor))
		}
	}
	add("centre of mass height", a.CenterOfMassHeightMM, 1)
	add("front share", a.FrontShare, 1)
	add("static stability factor", a.StaticStability, 1)
	if a.TipSideDeg != nil {
		add("tip angle left", &a.TipSideDeg.Left, deg)
		add("tip angle right", &a.TipSideDeg.Right, deg)
	}
	add("tip angle nose up", a.TipNoseUpDeg, deg)
	add("tip angle nose down", a.TipNoseDownDeg, deg)
	return out
}
