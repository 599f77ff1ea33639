package shop

import (
	"fmt"
	"math"
	"slices"

	"lowslung/draw"
	"lowslung/finding"
	"lowslung/mates"
	"lowslung/rig"
	"lowslung/solid"
)

// motorMount draws the slots that the motor's screws slide in: at every distance of axes that the document's slot allows, the screws of the motor's face stand
// in them.
func (w *templating) motorMount() {
	d := w.b.Doc.Drive
	if d == nil || d.Slot == nil || len(d.Stages) == 0 || len(d.Stages[0]) < 2 {
		return
	}
	missing := func(what string) {
		w.out.Findings = append(w.out.Findings, finding.New(finding.Note, "shop/no-motor-mount", "the slots of the motor mount cannot be drawn: %s", what).For("drive/slot"))
	}
	motor, spur := w.bodyOf(d.Motor), w.bodyOf(d.Stages[0][1])
	if motor == nil || spur == nil {
		missing("motor or spur have no place")
		return
	}
	part := w.part(motor)
	if part == nil {
		return
	}
	var face *rig.Port
	name := ""
	axis := solid.Vec{X: 1}
	for i := range part.Ports {
		switch p := &part.Ports[i].Value; {
		case p.Type == "pattern" && p.Circle != nil && p.Holes > 0 && p.Holes <= 24:
			face, name = p, part.Ports[i].Name
		case p.Type == "shaft" && p.Axis != nil:
			axis = solid.Vec{X: p.Axis[0], Y: p.Axis[1], Z: p.Axis[2]}.Unit()
		}
	}
	if face == nil {
		missing(fmt.Sprintf(`the motor %q has no port of type pattern with "circle" and "holes"`, d.Motor))
		return
	}
	v := viewAlong(motor.Frame.Turn(axis), false, false)
	m, s := v.at(motor.Frame.At), v.at(spur.Frame.At)
	now := m.Minus(s).Norm()
	if now < 1e-6 {
		missing("motor and spur stand on the same axis")
		return
	}
	u := m.Minus(s).Unit()
	t := Template{
		Kind: "motor mount", Title: "motor mount, " + v.name, Of: "motor mount", Path: "drive/slot", View: v.name, Make: 1, Twin: "none", words: v.words[:],
		Assumes: []string{
			"One of the motor's screws stands straight above its shaft, the others evenly round it.",
			"The opening for the motor's boss is not in the document: measure yours, and slot it by the same length.",
		},
	}
	from, to := float64(d.Slot.From), float64(d.Slot.To)
	wide, why := holeFor(face.Thread)
	if _, _, _, ok := mates.ClearanceHoles(rig.TidyThread(face.Thread)); !ok {
		t.Assumes = append(t.Assumes, "The thread of the motor's face is not known, so the slots are centre lines only.")
	}
	mid := s.Plus(u.Times((from + to) / 2))
	for k := range face.Holes {
		a := math.Pi/2 + 2*math.Pi*float64(k)/float64(face.Holes)
		t.Holes = append(t.Holes, TemplateHole{
			Name: fmt.Sprintf("%s %d", name, k+1), Bolt: face.Thread, DiameterMM: wide, LengthMM: round2(to - from), Why: why, at: mid.Polar(float64(*face.Circle)/2, a), turn: math.Atan2(u.Y, u.X),
		})
	}
	t.Holes = append(t.Holes,
		TemplateHole{Name: "motor shaft, nearest", Why: "centre mark only", at: s.Plus(u.Times(from))},
		TemplateHole{Name: "motor shaft, furthest", Why: "centre mark only", at: s.Plus(u.Times(to))},
		TemplateHole{Name: "spur axis", Why: "centre mark only", at: s},
	)
	t.lines = append(t.lines, templateLine{"centre", draw.Line(s.Minus(u.Times(6)), s.Plus(u.Times(to+6))), draw.Pen(0.18).Coloured(draw.Green).Dashed(4, 1, 0.6, 1), "line of axes"})
	if plate := w.mountOf(d.Motor + "/" + name); plate != nil {
		t.Path = plate.Path
		for i := range plate.Shapes {
			for _, sh := range shadows(&plate.Shapes[i], &v) {
				l := templateLine{"beside", sh.path, draw.Pen(0.18).Coloured(draw.Grey).Dashed(1.5, 1), "another piece of " + plate.Name}
				if holds(sh.ring, m, 0) {
					l = templateLine{"outline", sh.path, draw.Pen(0.35), plate.Name}
				}
				t.lines = append(t.lines, l)
			}
		}
	}
	t.marks = append(t.marks, draw.Dim{A: s, B: s.Plus(u.Times(to)), Off: 0})
	w.out.Templates = append(w.out.Templates, t)
}

// bodyOf is the body of a name, the left one of twins.
func (w *templating) bodyOf(name string) *solid.Body {
	for i := range w.m.Bodies {
		if b := &w.m.Bodies[i]; b.Name == name && b.Side != solid.Right {
			return b
		}
	}
	return nil
}

// mountOf is the part that a port is mated to.
func (w *templating) mountOf(port string) *solid.Body {
	for i := range w.b.Doc.Mates {
		list := w.b.Doc.Mates[i].Value
		k := slices.IndexFunc(list, func(r rig.Ref) bool { return r.Text == port })
		if k < 0 || len(list) != 2 {
			continue
		}
		name, _ := list[1-k].Split()
		return w.bodyOf(name)
	}
	return nil
}
