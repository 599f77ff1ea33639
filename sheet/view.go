package sheet

import (
	"cmp"
	"math"
	"slices"

	"lowslung/draw"
	"lowslung/solid"
)

// Views: the rig as it stands, projected square to the ground. Shapes are convex pieces, and the outline of a convex piece seen from far
// away is the polygon of its furthest points in every direction of the picture. The nearer piece covers the further one.

// A view is one projection onto a drawing.
type view struct {
	d           *draw.Drawing
	w           *writer
	right, up   solid.Vec // of the picture, unit vectors in the chassis frame
	near        solid.Vec // towards the reader
	scale       float64   // mm on the sheet per mm of the rig
	zero        draw.Point
	frames      *solid.Stance
	ground      float64 // height of the ground along up, mm; meaningless when it is not known
	groundKnown bool
}

// pt is where a point of the chassis frame is on the sheet.
func (v *view) pt(p solid.Vec) draw.Point {
	return draw.Pt(v.zero.X+v.scale*p.Dot(v.right), v.zero.Y+v.scale*p.Dot(v.up))
}

// Inks of the views. The back ends know no others, so that a dark page can turn each into its own.
const (
	inkLink   = draw.Blue
	inkShock  = draw.Red
	inkShaft  = draw.Green
	inkPart   = draw.Colour(0xFF6E7672)
	inkShell  = draw.Colour(0xFFA3ABA7)
	inkOther  = draw.Colour(0xFFB0418A) // the build that this one is held against
	fillPart  = draw.Colour(0xFFECEFEC)
	fillAxle  = draw.Colour(0xFFDCE3E8)
	fillPower = draw.Colour(0xFFF2EAD6)
	fillLink  = draw.Colour(0xFFCBDCF2)
	fillShock = draw.Colour(0xFFF6D8D4)
	fillShaft = draw.Colour(0xFFD6E8DA)
)

const tyrePen = 0.35

// A sight is one outline with how near it is.
type sight struct {
	path  draw.Path
	style draw.Style
	near  float64
	note  string
}

// styleOf says how a part is drawn. Shell and tyres are lines only, so that what matters is seen through them.
func styleOf(b *solid.Body) draw.Style {
	switch b.Kind {
	case "body":
		return draw.Style{Stroke: inkShell, Width: 0.13}
	case "tyre", "wheel":
		return draw.Pen(tyrePen)
	case "motor", "battery", "controller", "receiver", "servo":
		return draw.Style{Stroke: inkPart, Width: 0.15, Fill: fillPower}
	}
	if b.Carrier != solid.OnChassis {
		return draw.Style{Stroke: inkPart, Width: 0.18, Fill: fillAxle}
	}
	return draw.Style{Stroke: inkPart, Width: 0.15, Fill: fillPart}
}

// paint draws every part, link, shock and shaft.
func (v *view) paint() {
	m := v.w.b.Model
	var list []sight
	add := func(h *solid.Hull, s draw.Style, note string) {
		if p := v.outline(h, s.Width == tyrePen); p != nil {
			list = append(list, sight{p, s, (h.Support(v.near).Dot(v.near) - h.Support(v.near.Scale(-1)).Dot(v.near.Scale(-1))) / 2, note})
		}
	}
	for i := range m.Bodies {
		b := &m.Bodies[i]
		at := v.frame(b.Carrier)
		for k := range b.Shapes {
			for _, h := range hullsOf(&b.Shapes[k]) {
				placed := h.Placed(at)
				add(&placed, styleOf(b), b.Name)
			}
		}
	}
	for i := range m.Links {
		l := &m.Links[i]
		course := l.Course(v.frames.Place(solid.CarrierOf(l.Axle), l.To), nil)
		for k := 1; k < len(course); k++ {
			h := solid.Line(course[k-1], course[k], l.Width/2)
			add(&h, draw.Style{Stroke: inkLink, Width: 0.2, Fill: fillLink}, l.Name+" link")
		}
	}
	if k, ok := m.Steer.Span(); ok && k.Width > 0 {
		h := solid.Line(v.frames.Place(k.On[0], k.At[0]), v.frames.Place(k.On[1], k.At[1]), k.Width/2)
		add(&h, draw.Style{Stroke: inkLink, Width: 0.2, Fill: fillLink}, k.Name)
	}
	for i := range m.Shocks {
		k := &m.Shocks[i]
		h := solid.Line(v.frames.PlaceAnchor(m, k.Top), v.frames.PlaceAnchor(m, k.Bottom), k.Width/2)
		add(&h, draw.Style{Stroke: inkShock, Width: 0.2, Fill: fillShock}, k.Name+" shock")
	}
	for i := range m.Shafts {
		k := &m.Shafts[i]
		h := solid.Line(k.From, v.frames.Place(solid.CarrierOf(k.Axle), k.To), k.Width/2)
		add(&h, draw.Style{Stroke: inkShaft, Width: 0.2, Fill: fillShaft}, k.Name+" shaft")
	}
	slices.SortStableFunc(list, func(a, b sight) int { return cmp.Compare(a.near, b.near) })
	for _, lines := range []bool{false, true} { // what is only lines lies over what is filled
		for _, s := range list {
			if (s.style.Fill == draw.None) == lines {
				v.d.Add(draw.Item{Layer: "rig", Path: s.path, Style: s.style, Note: s.note})
			}
		}
	}
	v.other()
	// Links and their eyes once more, thin, so that a hidden one can be followed.
	for i := range m.Links {
		l := &m.Links[i]
		course := l.Course(v.frames.Place(solid.CarrierOf(l.Axle), l.To), nil)
		var line []draw.Point
		for _, p := range course {
			line = append(line, v.pt(p))
		}
		v.d.Stroke("links", draw.Polyline(line...), draw.Pen(0.25).Coloured(inkLink).Dashed(2, 0.8))
		for _, p := range []draw.Point{line[0], line[len(line)-1]} {
			v.d.Stroke("links", draw.Circle(p, 0.75), draw.Pen(0.25).Coloured(inkLink).Filled(draw.White))
		}
	}
}

// other draws tyres and links of the build that this one is held against, laid over by the chassis frame.
func (v *view) other() {
	k := v.w.o.Against
	if k == nil {
		return
	}
	pen := draw.Pen(0.2).Coloured(inkOther).Dashed(1.6, 0.9)
	stance := v.w.standOther.Stance()
	for i := range k.Model.Bodies {
		b := &k.Model.Bodies[i]
		if b.Kind != "tyre" && b.Kind != "wheel" {
			continue
		}
		at := &solid.Frame{R: solid.Identity}
		if b.Carrier != solid.OnChassis {
			at = &stance[b.Carrier-1]
		}
		for n := range b.Shapes {
			for _, h := range hullsOf(&b.Shapes[n]) {
				placed := h.Placed(at)
				if p := v.outline(&placed, false); p != nil {
					v.d.Add(draw.Item{Layer: "other", Path: p, Style: pen, Note: b.Name + " of " + k.Name})
				}
			}
		}
	}
	for i := range k.Model.Links {
		l := &k.Model.Links[i]
		var line []draw.Point
		for _, p := range l.Course(stance.Place(solid.CarrierOf(l.Axle), l.To), nil) {
			line = append(line, v.pt(p))
		}
		v.d.Add(draw.Item{Layer: "other", Path: draw.Polyline(line...), Style: pen, Note: l.Name + " link of " + k.Name})
	}
}

func (v *view) frame(c solid.Carrier) *solid.Frame {
	if c == solid.OnChassis {
		return &solid.Frame{R: solid.Identity}
	}
	return &v.frames[c-1]
}

// hullsOf are the convex pieces of a shape; a mesh, which may have any number of triangles, is drawn as the box around it.
func hullsOf(s *solid.Shape) []solid.Hull {
	if s.Kind == solid.Meshed {
		b := &s.Mesh.Bound
		mid := solid.Frame{At: b.Lo.Add(b.Hi).Scale(0.5), R: solid.Identity}
		s = &solid.Shape{Kind: solid.Box, Frame: s.Frame.Then(&mid), Size: b.Hi.Sub(b.Lo)}
	}
	list, _ := s.Hulls()
	return list
}

// outline is the silhouette of a hull: its furthest points in 120 directions of the picture, each corner once.
//
// What stands on the ground is pressed flat there, as a tyre is.
func (v *view) outline(h *solid.Hull, onGround bool) draw.Path {
	const n = 120
	const same = 1e-3 // mm on the sheet
	var points []draw.Point
	for k := range n {
		sin, cos := math.Sincos((float64(k) + 0.31) * 2 * math.Pi / n) // never along an edge of a box that stands straight
		p := v.pt(h.Support(v.right.Scale(cos).Along(v.up, sin)))
		if onGround && v.groundKnown {
			p.Y = max(p.Y, v.zero.Y+v.scale*v.ground)
		}
		if len(points) == 0 || p.Minus(points[len(points)-1]).Norm() > same {
			points = append(points, p)
		}
	}
	for len(points) > 1 && points[0].Minus(points[len(points)-1]).Norm() <= same {
		points = points[:len(points)-1]
	}
	if len(points) < 3 {
		return nil
	}
	return draw.Polygon(points...)
}

// reach is how far the rig goes in the directions of the picture, mm from the chassis frame's origin.
func (v *view) reach() draw.Box {
	m := v.w.b.Model
	out := draw.Nothing()
	add := func(h *solid.Hull) {
		for _, way := range []solid.Vec{v.right, v.right.Scale(-1), v.up, v.up.Scale(-1)} {
			p := h.Support(way)
			out = out.With(draw.Pt(p.Dot(v.right), p.Dot(v.up)))
		}
	}
	for i := range m.Bodies {
		b := &m.Bodies[i]
		for k := range b.Shapes {
			for _, h := range hullsOf(&b.Shapes[k]) {
				placed := h.Placed(v.frame(b.Carrier))
				add(&placed)
			}
		}
	}
	for i := range m.Links {
		h := solid.Line(m.Links[i].From, v.frames.Place(solid.CarrierOf(m.Links[i].Axle), m.Links[i].To), m.Links[i].Width/2)
		add(&h)
	}
	for i := range m.Shocks {
		h := solid.Line(v.frames.PlaceAnchor(m, m.Shocks[i].Top), v.frames.PlaceAnchor(m, m.Shocks[i].Bottom), m.Shocks[i].Width/2)
		add(&h)
	}
	if v.groundKnown {
		out = out.With(draw.Pt(out.Min.X, v.ground))
	}
	return out
}
