package sheet

import (
	"math"
	"strings"

	"lowslung/channel"
	"lowslung/draw"
	"lowslung/solid"
)

// A Figure is a drawing or a plot at its size on paper.
type Figure struct {
	Title   string // below it
	Alt     string // what it shows, for those who do not see it
	Drawing *draw.Drawing
}

// figureWide is the widest a figure is, mm: what both papers have between their margins.
const (
	figureWide = 180.0
	figureGap  = 4.0 // between two side by side
)

// scales of a drawing: sheet over rig. ISO 5455 has 1:1, 1:2, 1:5, 1:10; those between are common practice.
var scales = []float64{1, 1.0 / 2, 1.0 / 2.5, 1.0 / 3, 1.0 / 4, 1.0 / 5, 1.0 / 7.5, 1.0 / 10, 1.0 / 15, 1.0 / 20, 1.0 / 50, 1.0 / 100}

// sideView is the drawing that a sheet begins with.
func (w *writer) sideView() []Block {
	scale, why := w.scale()
	if why != "" {
		return []Block{{Text: why}}
	}
	return []Block{{Figure: w.side(scale)}}
}

// otherViews are the view from above and, with a plot of what the axles do beside it, the one from behind.
func (w *writer) otherViews() []Block {
	var out []Block
	wide := plotWide
	if scale, why := w.scale(); why == "" {
		rear := w.rear(scale)
		out = append(out, Block{Figure: w.top(scale)}, Block{Figure: rear})
		if room := figureWide - figureGap - rear.Drawing.W; room >= 60 {
			wide = min(wide, room)
		}
	}
	if f := w.pinions(wide); f != nil {
		out = append(out, Block{Figure: f})
	}
	return out
}

// scale is the largest of the usual scales at which the side view fits; all views have the same. Why says why there is no drawing.
func (w *writer) scale() (scale float64, why string) {
	shapes := 0
	for i := range w.b.Model.Bodies {
		shapes += len(w.b.Model.Bodies[i].Shapes)
	}
	if shapes == 0 {
		return 0, "No drawing: no part has a shape yet."
	}
	long := w.view(solid.Vec{X: -1}, solid.Vec{Z: 1}).reach()
	for _, s := range scales {
		if long.W()*s <= figureWide-24 && long.H()*s <= 110 {
			return s, ""
		}
	}
	return 0, "No drawing: the rig is larger than a drawing holds; look for a length with a slipped unit."
}

// view is a projection of the rig as it stands, without a place on a sheet yet. Right is a direction of the chassis frame, and so is up.
func (w *writer) view(right, up solid.Vec) *view {
	v := &view{w: w, frames: w.stand.Stance(), scale: 1, groundKnown: w.stand.Ground.Known}
	g := &w.stand.Ground
	turn := func(d solid.Vec) solid.Vec { return d }
	if g.Known { // square to the ground instead of to the chassis
		turn = func(d solid.Vec) solid.Vec {
			return g.Forward.Scale(d.X).Add(g.Up.Scale(d.Z)).Along(solid.Vec{Y: 1}, d.Y)
		}
	}
	v.right, v.up = turn(right), turn(up)
	v.near = v.right.Cross(v.up)
	if g.Known {
		v.ground = g.Point.Dot(v.up)
	}
	return v
}

// on puts the view on a new sheet with room around the rig.
func (v *view) on(name string, scale, left, below, rightRoom, above float64) draw.Box {
	box := v.reach()
	v.scale = scale
	v.d = draw.New(name, left+box.W()*scale+rightRoom, below+box.H()*scale+above)
	v.d.Layer("rig", "The rig as it stands", draw.Grey)
	v.d.Layer("links", "Links", draw.Blue)
	v.d.Layer("dimensions", "Dimensions", draw.Black)
	v.zero = draw.Pt(left-box.Min.X*scale, below-box.Min.Y*scale)
	return draw.Box{Min: draw.Pt(left, below), Max: draw.Pt(left+box.W()*scale, below+box.H()*scale)}
}

func (w *writer) scaleText(scale float64) string { return "1:" + draw.Short(1/scale, 1) }

// named is a number of the catalogue as text; "" when this build does not have it.
func (w *writer) named(name string) string {
	for i := range w.number {
		if n := &w.number[i]; n.Channel.Name == name && n.Value != nil {
			return n.Channel.Format(*n.Value, w.u)
		}
	}
	_ = channel.Must(name) // a name that is in no catalogue is a programmer's mistake
	return ""
}

// weight is the centre of mass, drawn as a quartered circle.
func (v *view) weight() (draw.Point, bool) {
	b := &v.w.a.Balance
	if b.MassKG <= 0 || len(b.CenterOfMassMM) < 3 {
		return draw.Point{}, false
	}
	c := b.CenterOfMassMM
	p := v.pt(solid.Vec{X: c[0], Y: c[1], Z: c[2]})
	const r = 2.2
	v.d.Stroke("dimensions", draw.Circle(p, r), draw.Pen(0.25).Filled(draw.White))
	for _, from := range []float64{0, math.Pi} {
		quarter := draw.Path{{Verb: draw.MoveTo, To: p}, {Verb: draw.LineTo, To: p.Polar(r, from)},
			{Verb: draw.ArcTo, To: p.Polar(r, from+math.Pi/2), Centre: p, R: r, From: from, Sweep: math.Pi / 2}, {Verb: draw.Close, To: p}}
		v.d.Stroke("dimensions", quarter, draw.Solid(draw.Black))
	}
	return p, true
}

// floor is the ground line.
func (v *view) floor(box draw.Box) float64 {
	y := v.zero.Y + v.scale*v.ground
	if v.groundKnown {
		v.d.Stroke("rig", draw.Line(draw.Pt(box.Min.X-6, y), draw.Pt(box.Max.X+6, y)), draw.Pen(0.5))
	}
	return y
}

// side is the view from the left: the front is on the left, as in a workshop manual (ISO 128, first angle, from memory).
func (w *writer) side(scale float64) *Figure {
	v := w.view(solid.Vec{X: -1}, solid.Vec{Z: 1})
	m := w.b.Model
	calls := w.sideCalls()
	above := 5 + float64(rowsFor(calls, figureWide))*calloutTall
	box := v.on("Side view", scale, 12, 13, 12, above)
	v.paint()
	floor := v.floor(box)
	list := w.sideCallouts(v)
	if at, ok := v.weight(); ok {
		value := w.named("centre of mass height")
		if value != "" {
			value += " up"
		}
		if s := w.named("front share"); s != "" {
			value += ", " + s + " in front"
		}
		list = append(list, callout{at, "centre of mass", value})
	}
	if text := w.named("wheelbase"); text != "" && v.groundKnown {
		a, b := v.pt(w.stand.Ground.Contact[solid.Front]), v.pt(w.stand.Ground.Contact[solid.Rear])
		v.d.Measure("dimensions", draw.Dim{Kind: draw.Across, A: a, B: b, Off: -8, Text: text})
	}
	if text := w.named("belly clearance"); text != "" && v.groundKnown {
		g := &w.stand.Ground
		mid := g.Contact[solid.Front].Add(g.Contact[solid.Rear]).Scale(0.5)
		belly := solid.Vec{X: mid.X} // the belly plane is z = 0 of the chassis frame
		x := v.pt(belly).X
		v.d.Stroke("dimensions", draw.Line(draw.Pt(x-9, v.pt(belly).Y), draw.Pt(x+9, v.pt(belly).Y)), draw.Pen(0.18))
		v.d.Measure("dimensions", draw.Dim{Kind: draw.Upright, A: draw.Pt(x, floor), B: v.pt(belly), Text: text})
	}
	for _, end := range axles {
		if a := &m.Axles[end]; a.Present && len(a.Wheels) > 0 {
			k := &a.Wheels[0]
			at := v.pt(v.frames.Place(solid.CarrierOf(end), k.At))
			v.d.Stroke("dimensions", draw.Line(at.Minus(draw.Pt(1.5, 0)), at.Plus(draw.Pt(1.5, 0))), draw.Pen(0.18))
			v.d.Stroke("dimensions", draw.Line(at.Minus(draw.Pt(0, 1.5)), at.Plus(draw.Pt(0, 1.5))), draw.Pen(0.18))
			if end == solid.Front || k.Radius != radiusOf(&m.Axles[solid.Front]) {
				angle := 130 * math.Pi / 180
				if end == solid.Rear {
					angle = math.Pi - angle
				}
				list = append(list, callout{at.Polar(k.Radius*scale, angle), end.String() + " tyre, free", "Ø " + w.mm(2*k.Radius)})
			}
		}
	}
	callouts(v.d, list, 2, v.d.W-2, box.Max.Y+4, false)
	return &Figure{Title: "Side view from the left, " + w.scaleText(scale) + "; links blue, shocks red, drive shafts green, body and tyres as lines" + w.dashed(), Drawing: v.d, Alt: "The rig from its left side, front on the left, as it stands: " + spoken(list)}
}

// dashed says what the dashed lines are.
func (w *writer) dashed() string {
	if w.o.Against == nil {
		return ""
	}
	return "; dashed: tyres and links of " + w.o.Against.Name
}

// spoken lists callouts in words.
func spoken(list []callout) string {
	var out []string
	for _, c := range list {
		out = append(out, c.name+" "+c.value)
	}
	if out == nil {
		return "without numbers."
	}
	return strings.Join(out, "; ") + "."
}

// sideCallouts are pinions and shocks.
func (w *writer) sideCallouts(v *view) []callout {
	m := w.b.Model
	var list []callout
	for _, end := range axles {
		if a := &m.Axles[end]; a.Present && a.HasPinion {
			if text := w.named(end.String() + " pinion angle"); text != "" {
				frame := &v.frames[end]
				at := v.pt(frame.Apply(a.Pinion))
				tip := v.pt(frame.Apply(a.Pinion.Along(a.PinionAxis, 36)))
				v.d.Stroke("dimensions", draw.Line(at, tip), draw.Pen(0.25).Dashed(4, 1, 0.5, 1))
				list = append(list, callout{at, end.String() + " pinion", text + " up"})
			}
		}
	}
	done := map[string]bool{}
	for i := range m.Shocks {
		k := &m.Shocks[i]
		if done[k.Name] {
			continue
		}
		done[k.Name] = true
		top, bottom := v.frames.PlaceAnchor(m, k.Top), v.frames.PlaceAnchor(m, k.Bottom)
		list = append(list, callout{v.pt(top.Scale(0.7).Along(bottom, 0.3)), k.Name + " shock", w.mm(top.Sub(bottom).Norm())})
	}
	return list
}

// sideCalls are stand-ins for counting rows before the view has its place.
func (w *writer) sideCalls() []callout {
	list := make([]callout, 0, 8)
	for range w.doc().Shocks {
		list = append(list, callout{name: "a shock of some name", value: "100.0 mm"})
	}
	return append(list, callout{value: "93.3 mm up, 51.3 % in front"}, callout{name: "front tyre, free"}, callout{name: "rear tyre, free"}, callout{name: "front pinion"}, callout{name: "rear pinion"})
}

// top is the view from above, front on the left.
func (w *writer) top(scale float64) *Figure {
	v := w.view(solid.Vec{X: -1}, solid.Vec{Y: -1})
	v.groundKnown = false
	m := w.b.Model
	var over, under []callout
	done := map[string]bool{}
	links := func() {
		over, under = nil, nil
		clear(done)
		for i := range m.Links {
			l := &m.Links[i]
			if done[l.Name] {
				continue
			}
			done[l.Name] = true
			mid := l.From.Add(v.frames.Place(solid.CarrierOf(l.Axle), l.To)).Scale(0.5)
			c := callout{v.pt(mid), l.Name, w.mm(l.Length)}
			if l.Side == solid.Left {
				c.value = "2 × " + c.value
				under = append(under, c)
			} else {
				over = append(over, c)
			}
		}
	}
	v.zero = draw.Pt(0, 0)
	links()
	below, above := 4+float64(rowsFor(under, figureWide-4))*calloutTall, 4+float64(rowsFor(over, figureWide-4))*calloutTall
	box := v.on("Top view", scale, 12, below+3, 12, above+3)
	v.paint()
	links()
	v.weight()
	for _, end := range axles {
		a := &m.Axles[end]
		if !a.Present || a.HalfTrack == 0 {
			continue
		}
		frame := &v.frames[end]
		l, r := v.pt(frame.Apply(solid.Vec{Y: a.HalfTrack})), v.pt(frame.Apply(solid.Vec{Y: -a.HalfTrack}))
		off := box.Max.X + 5 - l.X
		if end == solid.Front {
			off = box.Min.X - 5 - l.X
		}
		v.d.Measure("dimensions", draw.Dim{Kind: draw.Upright, A: l, B: r, Off: off, Text: w.mm(2 * a.HalfTrack)})
	}
	callouts(v.d, over, 2, v.d.W-2, box.Max.Y+3, false)
	callouts(v.d, under, 2, v.d.W-2, box.Min.Y-3, true)
	return &Figure{Title: "Top view, front on the left, " + w.scaleText(scale) + "; links eye to eye, track between wheel centres" + w.dashed(), Drawing: v.d,
		Alt: "The rig from above, front on the left. Links eye to eye: " + spoken(append(over, under...))}
}

// rear is the view from behind.
func (w *writer) rear(scale float64) *Figure {
	v := w.view(solid.Vec{Y: -1}, solid.Vec{Z: 1})
	m := w.b.Model
	box := v.on("Rear view", scale, 6, 13, 6, 10)
	v.paint()
	floor := v.floor(box)
	v.weight()
	a := &m.Axles[solid.Rear]
	alt := "The rig from behind."
	if a.Present && a.HalfTrack > 0 && v.groundKnown {
		frame := &v.frames[solid.Rear]
		l, r := v.pt(frame.Apply(solid.Vec{Y: a.HalfTrack})), v.pt(frame.Apply(solid.Vec{Y: -a.HalfTrack}))
		v.d.Measure("dimensions", draw.Dim{Kind: draw.Across, A: draw.Pt(l.X, floor), B: draw.Pt(r.X, floor), Off: -8, Text: w.mm(2 * a.HalfTrack)})
		alt += " Rear track " + w.mm(2*a.HalfTrack) + "."
		if a.TyreWidth > 0 {
			y := l.Y + a.Wheels[0].Radius*scale
			half := a.TyreWidth / 2 * scale
			v.d.Measure("dimensions", draw.Dim{Kind: draw.Across, A: draw.Pt(l.X-half, y), B: draw.Pt(l.X+half, y), Off: box.Max.Y + 3 - y, Text: w.mm(a.TyreWidth)})
		}
	}
	if s := w.a.Ride.Stance; s != nil && s.Axles.Rear.ClearanceMM != nil && v.groundKnown {
		c := *s.Axles.Rear.ClearanceMM
		x := v.pt(v.frames[solid.Rear].Apply(solid.Vec{Y: -5})).X
		v.d.Measure("dimensions", draw.Dim{Kind: draw.Upright, A: draw.Pt(x, floor), B: draw.Pt(x, floor+c*scale), Text: w.mm(c)})
		alt += " Under the axle " + w.mm(c) + "."
	}
	return &Figure{Title: "Rear view, " + w.scaleText(scale), Alt: alt, Drawing: v.d}
}

// radiusOf is the free radius of an axle's first tyre, mm; 0 without one.
func radiusOf(a *solid.Axle) float64 {
	if len(a.Wheels) == 0 {
		return 0
	}
	return a.Wheels[0].Radius
}
