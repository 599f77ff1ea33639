package sheet

import "lowslung/quantity"

// readings are the numbers that a builder can check with a scale, a rule and a protractor, with room to write beside them.
func (w *writer) readings() []Block {
	t := &Table{Columns: []Column{{Title: "Number", Share: 2}, {Title: "Worked out", Num: true}, {Title: "Read off", Share: 1.4}, {Title: "How", Share: 3}}}
	row := func(what, is, how string) { t.Rows = append(t.Rows, Row{Cells: []string{what, is, "", how}}) }
	named := func(name, how string) {
		for i := range w.number {
			if n := &w.number[i]; n.Channel.Name == name && n.Value != nil {
				row(name, n.Channel.Format(*n.Value, w.u), how)
			}
		}
	}
	named("mass", "whole rig on the kitchen scale, pack in")
	if s := w.a.Ride.Stance; s != nil {
		c := &s.CornerLoadsN
		for _, k := range []struct {
			name string
			n    float64
		}{{"front left wheel", c.FrontLeft}, {"front right wheel", c.FrontRight}, {"rear left wheel", c.RearLeft}, {"rear right wheel", c.RearRight}} {
			row(k.name, w.in(quantity.DimMass, k.n/quantity.Gravity*1000), "one wheel on the scale, the others level with it")
		}
	}
	named("wheelbase", "hub to hub, mean of both sides")
	named("standing clearance", "ground to belly plane, midway between the axles")
	if s := w.a.Ride.Stance; s != nil {
		row("front pinion, against the chassis", w.deg(s.Axles.Front.PinionAngleDeg), "protractor on the pinion housing, less that on the belly; positive up")
		row("rear pinion, against the chassis", w.deg(s.Axles.Rear.PinionAngleDeg), "the same behind")
		for i := range s.Shocks {
			k := &s.Shocks[i]
			name := k.Name + " shock, eye to eye"
			if k.Side != "" {
				name = k.Side + " " + name
			}
			row(name, w.mm(k.LengthMM), "bounce it once and let it settle")
		}
	}
	named("flexed tip angle left", "tilt board, left side down, a batten under the tyres; catch the rig")
	named("flexed tip angle right", "the same the other way")
	if t.Rows == nil {
		return nil
	}
	return []Block{{Table: t}}
}
