package shop

import (
	"fmt"
	"math"
	"slices"

	"lowslung/draw"
	"lowslung/mates"
	"lowslung/quantity"
	"lowslung/rig"
	"lowslung/solid"
)

// bendGauges draws every bent link as it should come out, to lay the rod on: one drawing for each of the two ways in which it is bent.
func (w *templating) bendGauges() {
	if !slices.ContainsFunc(w.b.Doc.Links, func(e rig.Entry[rig.Link]) bool { return len(e.Value.Bend) > 0 }) {
		return
	}
	cut := CutOf(w.b, w.m)
	for i := range cut.Links {
		l := &cut.Links[i]
		if len(l.Bends) == 0 || l.EyeToEyeMM == nil {
			continue
		}
		side, word := w.sideOf(l.Name)
		for _, way := range []struct {
			view, up string
			off      func(b *CutBend) float64
		}{
			{"from the side", "up", func(b *CutBend) float64 { return b.RiseMM }},
			{"from above", word, func(b *CutBend) float64 { return side * b.SideMM }},
		} {
			bent := false
			line := []draw.Point{{}}
			for k := range l.Bends {
				off := way.off(&l.Bends[k])
				bent = bent || off != 0
				line = append(line, draw.Pt(l.Bends[k].AlongMM, off))
			}
			if !bent {
				continue
			}
			line = append(line, draw.Pt(*l.EyeToEyeMM, 0))
			w.gauge(l, line, way.view, way.up)
		}
	}
}

// sideOf is the sign of a bend's "side" on a drawing from above with the chassis eye at the left, and the car's way that is up there: a rear link runs
// backwards, so what is left of the car is down.
func (w *templating) sideOf(name string) (float64, string) {
	line := course(w.m, name, 1)
	if len(line) < 2 {
		return 1, "left"
	}
	e := line[len(line)-1].Sub(line[0]).Unit()
	n, _, _ := solid.Across(e)
	s := n.Cross(e)
	sign := 1.0
	if s.Y < -0.5 || math.Abs(s.Y) <= 0.5 && s.X < 0 { // as solid.Link.Course has it
		sign = -1
	}
	return sign, wayWord(s)
}

func (w *templating) gauge(l *CutLink, line []draw.Point, from, up string) {
	t := Template{
		Kind: "bend gauge", Title: l.Name + ", bend gauge " + from, Of: l.Name, Path: l.Path, View: from, Make: 1, Twin: "none", words: []string{"to the axle", up},
		Assumes: []string{fmt.Sprintf("The rod bends round %s mm, measured to its middle line.", draw.Short(l.Bends[0].RadiusMM, 1))},
	}
	if l.Mirrored {
		t.Twin, t.Assumes = "turn over", append(t.Assumes, "Drawn for the left link; turn the sheet over for the right one.")
	}
	half := 3.0
	if l.DiameterMM != nil {
		half = *l.DiameterMM / 2
	}
	r := l.Bends[0].RadiusMM
	t.lines = append(t.lines,
		templateLine{"outline", bentLine(line, r, half), draw.Pen(0.35), "edge of the rod"},
		templateLine{"outline", bentLine(line, r, -half), draw.Pen(0.35), "edge of the rod"},
		templateLine{"centre", bentLine(line, r, 0), draw.Pen(0.18).Coloured(draw.Green).Dashed(4, 1, 0.6, 1), "middle line"},
	)
	last := len(line) - 1
	t.Holes = []TemplateHole{
		{Name: "chassis eye", Why: "centre mark only", at: line[0]}, {Name: "axle eye", Why: "centre mark only", at: line[last]},
	}
	t.marks = append(t.marks, draw.Dim{A: line[0], B: line[last], Off: -half - 14, Text: draw.Short(*l.EyeToEyeMM, 2) + " eye to eye"})
	for k := 1; k < last; k++ {
		in, out := line[k].Minus(line[k-1]), line[k+1].Minus(line[k])
		turn := math.Atan2(in.X*out.Y-in.Y*out.X, in.X*out.X+in.Y*out.Y)
		if math.Abs(turn) > 1e-3 {
			t.words = append(t.words, fmt.Sprintf("bend %d: %s°", k, draw.Short(math.Abs(turn)*180/math.Pi, 1)))
		}
	}
	w.out.Templates = append(w.out.Templates, t)
}

// bentLine runs beside a line with corners, off mm to its left, its corners round with radius r on the line itself.
func bentLine(line []draw.Point, r, off float64) draw.Path {
	in := line[1].Minus(line[0]).Unit()
	out := draw.Path{{Verb: draw.MoveTo, To: line[0].Plus(in.Left().Times(off))}}
	for k := 1; k+1 < len(line); k++ {
		in = line[k].Minus(line[k-1]).Unit()
		next := line[k+1].Minus(line[k]).Unit()
		turn := math.Atan2(in.X*next.Y-in.Y*next.X, in.X*next.X+in.Y*next.Y)
		if math.Abs(turn) < 1e-9 {
			continue
		}
		side := 1.0 // of the centre
		if turn < 0 {
			side = -1
		}
		tangent := r * math.Tan(math.Abs(turn)/2)
		from, to := line[k].Minus(in.Times(tangent)), line[k].Plus(next.Times(tangent))
		centre := from.Plus(in.Left().Times(side * r))
		a := from.Plus(in.Left().Times(off)).Minus(centre)
		out = append(out,
			draw.Seg{Verb: draw.LineTo, To: from.Plus(in.Left().Times(off))},
			draw.Seg{Verb: draw.ArcTo, To: to.Plus(next.Left().Times(off)), Centre: centre, R: a.Norm(), From: math.Atan2(a.Y, a.X), Sweep: turn},
		)
	}
	last := len(line) - 1
	in = line[last].Minus(line[last-1]).Unit()
	return append(out, draw.Seg{Verb: draw.LineTo, To: line[last].Plus(in.Left().Times(off))})
}

// spacers draws the rings that go beside the balls of rod ends where the slot is wider than the ball.
func (w *templating) spacers() {
	type ring struct {
		bolt  string
		thick float64
		count int
		where []string
	}
	var rings []ring
	beside := func(end, bolt string, slot *quantity.Length, n int, where string) {
		item, ok := w.b.Item(end)
		if !ok || item.End == nil || item.End.Width == nil || slot == nil {
			return
		}
		each := float64(*slot-*item.End.Width) / 2
		if each < 0.15 { // the bolt pulls the slot together: common practice
			return
		}
		at := slices.IndexFunc(rings, func(r ring) bool { return r.bolt == bolt && math.Abs(r.thick-each) < 0.01 })
		if at < 0 {
			rings = append(rings, ring{bolt: bolt, thick: each})
			at = len(rings) - 1
		}
		rings[at].count += n
		rings[at].where = append(rings[at].where, where)
	}
	for i := range w.b.Doc.Links {
		e := &w.b.Doc.Links[i]
		n := 2
		if e.Value.Pair {
			n = 4
		}
		for k, ref := range []rig.Ref{e.Value.From, e.Value.To} {
			if hole := w.hole(ref); k < len(e.Value.Ends) && hole != nil {
				beside(e.Value.Ends[k], hole.Bolt, hole.Slot, n, e.Name+" at "+ref.Text)
			}
		}
	}
	for _, s := range w.b.Doc.SteerBolts() {
		end := w.b.Doc.EndOf(s.Rod, s.End)
		bolt := s.EyeBolt.Bolt
		if item, ok := w.b.Item(end); ok && bolt == "" && item.End != nil {
			bolt = item.End.Bolt
		}
		beside(end, bolt, s.Slot, 2, s.Rod+" at the "+s.Where)
	}
	for _, r := range rings {
		_, bore, _, ok := mates.ClearanceHoles(rig.TidyThread(r.bolt))
		d, known := rig.ThreadSize(r.bolt)
		if !ok || !known {
			continue
		}
		t := Template{
			Kind: "spacers", Title: fmt.Sprintf("spacers %s thick, %s", draw.Short(r.thick, 2), r.bolt), Of: "spacers", Path: "links", View: "flat", Make: r.count, Twin: "none",
			Assumes: []string{fmt.Sprintf("%s mm thick, for %s.", draw.Short(r.thick, 2), joined(r.where)), "Twice the bolt across: enough to bear on, clear of the swing of most balls. Try it through the whole swing."},
		}
		for k := range min(r.count, 12) {
			c := draw.Pt(float64(k%6)*(2*d+5), -float64(k/6)*(2*d+5))
			t.lines = append(t.lines, templateLine{"outline", draw.Circle(c, d), draw.Pen(0.35), "spacer"})
			t.Holes = append(t.Holes, TemplateHole{Name: fmt.Sprintf("spacer %d", k+1), Bolt: r.bolt, DiameterMM: bore, Why: "clearance hole for " + r.bolt + ", ISO 273 medium", at: c})
		}
		w.out.Templates = append(w.out.Templates, t)
	}
}

func joined(list []string) string {
	if len(list) > 6 {
		return fmt.Sprintf("%s and %d more", joined(list[:5]), len(list)-5)
	}
	out := ""
	for i, s := range list {
		if i > 0 {
			out += ", "
		}
		out += s
	}
	return out
}

// hole is what the document says of an eye's hole.
func (w *templating) hole(ref rig.Ref) *rig.Hole {
	name, hole := ref.Split()
	b := w.bodyOf(name)
	if b == nil {
		return nil
	}
	p := w.part(b)
	if p == nil {
		return nil
	}
	if h, ok := p.Holes.Get(hole); ok {
		return h
	}
	return nil
}
