package solid

import "math"

// Course is the link's middle line when its axle eye is at end: eye, bends, eye, appended to out. Chassis frame, mm.
//
// A bend lies along from the chassis eye, rise in the plane of link and chassis z, and side square to both: to the left, or, for a link
// that runs across the car, to the front.
func (l *Link) Course(end Vec, out []Vec) []Vec {
	out = append(out, l.From)
	if len(l.Bends) > 0 {
		e := end.Sub(l.From).Unit()
		n, _, _ := Across(e)
		s := n.Cross(e)
		if s.Y < -0.5 || math.Abs(s.Y) <= 0.5 && s.X < 0 {
			s = s.Scale(-1)
		}
		for _, b := range l.Bends {
			out = append(out, l.From.Along(e, b.X).Along(s, b.Y).Along(n, b.Z))
		}
	}
	return append(out, end)
}
