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

// A mark is a hole before it is put on a drawing.
type mark struct {
	hole TemplateHole
	at   solid.Vec // carrier's frame
	axis solid.Vec
}

// body makes the templates of one part: one view for every way that its holes look.
func (w *templating) body(b *solid.Body) {
	var marks []mark
	unknown := 0
	for i := range b.Holes {
		h := &b.Holes[i]
		if h.Axis.IsZero() {
			unknown++
			continue
		}
		one := TemplateHole{Name: h.Name, Side: h.Side.String(), Bolt: h.Bolt}
		one.DiameterMM, one.Why = holeFor(h.Bolt)
		marks = append(marks, mark{one, h.At, h.Axis})
	}
	if unknown > 0 {
		w.out.Findings = append(w.out.Findings, finding.New(finding.Note, "shop/no-axis",
			`the part %q has %d holes without an "axis", which no template can show`, b.Name, unknown).For(b.Path).CuredBy(`say which way the bolt goes: axis: [0, 1, 0] for one that runs across the car`))
	}
	marks = append(marks, w.ports(b)...)
	if len(marks) == 0 || b.Kind == "motor" { // a motor is bought with its holes; what it is screwed to has a template of its own
		return
	}
	var ways []solid.Vec
	for _, k := range marks {
		if !slices.ContainsFunc(ways, func(a solid.Vec) bool { return math.Abs(a.Dot(k.axis)) > math.Cos(2*math.Pi/180) }) {
			ways = append(ways, k.axis)
		}
	}
	skid := b.Kind == "skid"
	if skid && !slices.ContainsFunc(ways, func(a solid.Vec) bool { return math.Abs(a.Z) > 0.99 }) {
		ways = append(ways, solid.Vec{Z: 1}) // a belly from below is what one marks out on
	}
	for _, way := range ways {
		v := viewAlong(way, skid, b.Carrier == solid.OnRear)
		w.side(b, v, marks)
	}
}

// holeFor is the hole for a bolt.
func holeFor(bolt string) (float64, string) {
	if bolt == "" {
		return 0, "no bolt is named: centre mark only"
	}
	if _, d, _, ok := mates.ClearanceHoles(rig.TidyThread(bolt)); ok {
		return d, "clearance hole for " + bolt + ", ISO 273 medium"
	}
	if d, ok := rig.ThreadSize(bolt); ok {
		return round2(1.1 * d), "a tenth more than the bolt: " + bolt + " is not in our table of ISO 273"
	}
	return 0, "centre mark only: the bolt " + bolt + " is not known"
}

// ports are the holes that a part has for other things: bearing seats, pins, threads, clearance holes, and the places of shafts.
func (w *templating) ports(b *solid.Body) (out []mark) {
	part := w.part(b)
	if part == nil {
		return nil
	}
	for i := range part.Ports {
		e := &part.Ports[i]
		p := &e.Value
		if p.At == nil || p.Axis == nil {
			continue
		}
		h := TemplateHole{Name: e.Name}
		switch p.Type {
		case "seat":
			size, ok := bearingOuter(p.Bearing)
			if !ok {
				continue
			}
			h.DiameterMM, h.Why = size, "seat of the bearing "+p.Bearing+": ream to fit, this is its nominal size"
		case "clearance hole", "pin hole":
			if p.Diameter == nil {
				continue
			}
			h.DiameterMM, h.Why = float64(*p.Diameter), "as the document has it"
		case "female thread":
			d, ok := rig.ThreadSize(p.Thread)
			pitch, known := rig.Pitch(p.Thread)
			if !ok || !known {
				continue
			}
			h.Bolt, h.DiameterMM, h.Why = p.Thread, round2(d-pitch), "to tap "+p.Thread+": diameter less pitch, common practice"
		case "shaft":
			h.Why = "axis of the shaft: centre mark only"
		default:
			continue
		}
		at := solid.Vec{X: float64(p.At[0]), Y: float64(p.At[1]), Z: float64(p.At[2])}
		axis := solid.Vec{X: p.Axis[0], Y: p.Axis[1], Z: p.Axis[2]}.Unit()
		out = append(out, mark{h, b.Frame.Apply(at), b.Frame.Turn(axis)})
	}
	return out
}

func bearingOuter(size string) (float64, bool) {
	var bore, outer, wide float64
	n, _ := fmt.Sscanf(size, "%gx%gx%g", &bore, &outer, &wide)
	return outer, n == 3 && outer > 0
}

// part is what the document says of a body.
func (w *templating) part(b *solid.Body) *rig.Part {
	sets := []struct {
		name  string
		parts rig.Map[rig.Part]
	}{{"chassis", w.b.Doc.Chassis.Parts}}
	if a := w.b.Doc.Front; a != nil {
		sets = append(sets, struct {
			name  string
			parts rig.Map[rig.Part]
		}{"front", a.Parts})
	}
	if a := w.b.Doc.Rear; a != nil {
		sets = append(sets, struct {
			name  string
			parts rig.Map[rig.Part]
		}{"rear", a.Parts})
	}
	for _, a := range sets {
		for i := range a.parts {
			if b.Path == a.name+"/parts/"+a.parts[i].Name {
				return &a.parts[i].Value
			}
		}
	}
	return nil
}

// side draws one side of a part.
func (w *templating) side(b *solid.Body, v view, marks []mark) {
	t := Template{
		Kind: "holes", Title: b.Name + ", " + v.name, Of: b.Name, Path: b.Path, View: v.name, Make: 1, Twin: "none", words: v.words[:],
	}
	across := math.Abs(v.toward.Y) > 0.5 // a view from the side shows the holes of that side
	twin := b.Side == solid.Left
	var seen []mark
	for _, k := range marks {
		if across && k.hole.Side == solid.Right.String() {
			twin = true
			continue
		}
		seen = append(seen, k)
	}
	square := false
	var carry []bool
	var shapes []shadow
	for i := range b.Shapes {
		shapes = append(shapes, shadows(&b.Shapes[i], &v)...)
	}
	carry = make([]bool, len(shapes))
	const mostPairs = 200_000 // holes times pieces: a part of more is shown with all its pieces alike
	crowded := len(seen)*len(shapes) > mostPairs
	for _, k := range seen {
		at := v.at(k.at)
		if math.Abs(k.axis.Dot(v.toward)) < math.Cos(2*math.Pi/180) {
			if math.Abs(k.axis.Dot(v.toward)) < 0.02 && b.Kind == "skid" { // runs across the drawing
				d := draw.Pt(k.axis.Dot(v.right), k.axis.Dot(v.up)).Unit().Times(7)
				t.lines = append(t.lines, templateLine{"centre", draw.Line(at.Minus(d), at.Plus(d)), draw.Pen(0.18).Coloured(draw.Green).Dashed(4, 1, 0.6, 1), k.hole.Name})
			}
			continue
		}
		square = true
		h := k.hole
		h.at = at
		t.Holes = append(t.Holes, h)
		best, gap := -1, 30.0 // mm: a hole further off belongs to a bracket that is not drawn
		for i := range shapes {
			if crowded {
				break
			}
			if !holds(shapes[i].ring, at, 1.5) {
				continue
			}
			z := k.at.Dot(v.toward)
			if g := max(shapes[i].from-z, z-shapes[i].to, 0); g < gap {
				best, gap = i, g
			}
		}
		if best >= 0 {
			carry[best] = true
		}
	}
	if !square && b.Kind != "skid" {
		return
	}
	if !square || crowded { // a belly from below: the outline is all of it
		for i := range carry {
			carry[i] = true
		}
	}
	if w.meshed(b) {
		t.Assumes = append(t.Assumes, "The part is a mesh: its outline here is the convex one round it.")
	}
	for i, s := range shapes {
		hidden := false // the same piece on the other side, behind this one
		for k, o := range shapes {
			if crowded || carry[i] {
				break
			}
			hidden = hidden || carry[k] && alike(o, s)
		}
		if hidden {
			continue
		}
		l := templateLine{"outline", s.path, draw.Pen(0.35), ""}
		if !carry[i] {
			l = templateLine{"beside", s.path, draw.Pen(0.18).Coloured(draw.Grey).Dashed(1.5, 1), "another piece of the part"}
		}
		t.lines = append(t.lines, l)
	}
	if len(shapes) == 0 {
		t.Assumes = append(t.Assumes, `The document gives the part no "shape", so there is no outline: places count from hole 1.`)
	}
	if b.Side == solid.Left && !w.o.Twins {
		t.Make = 2
	}
	w.twins(&t, twin, v)
}

// alike says that two pieces look the same from here.
func alike(a, b shadow) bool {
	p, q := a.path.Bounds(), b.path.Bounds()
	return p.Min.Minus(q.Min).Norm() < 0.01 && p.Max.Minus(q.Max).Norm() < 0.01
}

func (w *templating) meshed(b *solid.Body) bool {
	return slices.ContainsFunc(b.Shapes, func(s solid.Shape) bool { return s.Kind == solid.Meshed })
}

// twins puts the template on the list, and its mirror image when both are wanted.
func (w *templating) twins(t *Template, twin bool, v view) {
	if !twin {
		w.out.Templates = append(w.out.Templates, *t)
		return
	}
	if !w.o.Twins {
		t.Twin = "turn over"
		w.out.Templates = append(w.out.Templates, *t)
		return
	}
	left := *t
	left.Title = t.Of + ", left, " + t.View
	w.out.Templates = append(w.out.Templates, left)
	other := *t
	m := v.mirrored()
	other.View, other.Title, other.Twin, other.words = m.name, t.Of+", right, "+m.name, "this", m.words[:]
	other.lines, other.Holes = nil, nil
	flip := draw.Placement{Flip: true}
	for _, l := range t.lines {
		l.path = l.path.Placed(flip)
		other.lines = append(other.lines, l)
	}
	for _, h := range t.Holes {
		h.at, h.turn = flip.Apply(h.at), math.Pi-h.turn
		if h.Side == "left" {
			h.Side = "right"
		}
		other.Holes = append(other.Holes, h)
	}
	w.out.Templates = append(w.out.Templates, other)
}
