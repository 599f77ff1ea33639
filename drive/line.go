package drive

import "lowslung/solid"

// A Line is the drive line for who lets it turn: rocks. Ratios are true, and the motor may be missing.
type Line struct {
	Motor   *Motor     // nil when the document does not say enough of motor and pack
	Gearbox float64    // motor turns per turn of the transfer case's shaft
	Limit   float64    // motor current that motor, controller, pack and slipper allow, A
	By      string     // what sets it
	Brake   float64    // share of its time for which the controller shorts the winding with the throttle shut, 0…1
	Ends    [2]LineEnd // front, rear
}

// A LineEnd is one axle behind the transfer case.
type LineEnd struct {
	Driven     bool
	Final      float64 // turns of the drive shaft per turn of its wheels: ring and pinion, portal
	Over       float64 // turns of the shaft to this axle per turn of the transfer case's
	Efficiency float64 // of everything from motor to wheels
	Diff       string  // locked, open, one-way
}

// LineOf is the model's drive line; false when the document has none whose ratios are known.
func LineOf(m *solid.Model) (Line, bool) {
	if m.Doc == nil || m.Doc.Drive == nil {
		return Line{}, false
	}
	l := compile(m)
	if !l.whole || len(l.driven()) == 0 {
		return Line{}, false
	}
	out := Line{Motor: l.motor, Gearbox: l.gearbox}
	if l.motor != nil {
		out.Limit, out.By, _ = l.limit()
	}
	if cp := l.part(l.doc.Controller); cp != nil && cp.Controller != nil && cp.Controller.DragBrake != nil {
		out.Brake = float64(*cp.Controller.DragBrake)
	}
	for e := range l.ends {
		x := &l.ends[e]
		out.Ends[e] = LineEnd{Driven: x.driven, Final: x.final, Over: x.over, Diff: x.diff}
		if x.driven {
			out.Ends[e].Efficiency = l.eta(e)
		}
	}
	return out, true
}
