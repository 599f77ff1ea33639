package draw

import "math"

// An Axis of a chart.
type Axis struct {
	Title    string  // with its unit: "heave, mm"
	From, To float64 // both 0: as the lines need
}

// A Series is one line of a chart. NaN breaks it.
type Series struct {
	Name  string
	X, Y  []float64
	Style Style // a zero style takes the next of six that differ in dash as well as in colour
	Dots  bool  // a dot for every point, instead of a line
}

// A Mark is one point with a word at it.
type Mark struct {
	X, Y float64
	Text string
}

// A Chart is lines over axes.
type Chart struct {
	Title string
	X, Y  Axis
	Lines []Series
	Marks []Mark
}

var lineStyles = [6]Style{
	{Stroke: Blue, Width: 0.5},
	{Stroke: Red, Width: 0.5, Dash: []float64{3, 1.2}},
	{Stroke: Green, Width: 0.5, Dash: []float64{0.5, 1.2}},
	{Stroke: Black, Width: 0.35, Dash: []float64{5, 1.2, 0.5, 1.2}},
	{Stroke: RGB(120, 60, 150), Width: 0.35},
	{Stroke: RGB(150, 95, 0), Width: 0.35, Dash: []float64{1.5, 1}},
}

// Draw puts the chart into a box of the drawing.
func (c *Chart) Draw(d *Drawing, layer string, box Box) {
	const size = 2.6
	top := box.Max.Y
	if c.Title != "" {
		d.Write(layer, Text{At: Pt(box.Min.X, top-3.2), S: Fit(c.Title, Bold, 3.2, box.W()), Size: 3.2, Face: Bold})
		top -= 5.5
	}
	top = c.legend(d, layer, box, top)
	x0, x1 := c.span(c.X, func(s *Series) []float64 { return s.X }, func(m Mark) float64 { return m.X })
	y0, y1 := c.span(c.Y, func(s *Series) []float64 { return s.Y }, func(m Mark) float64 { return m.Y })
	ys := Ticks(y0, y1, max(2, int((top-box.Min.Y)/9)))
	wide := 0.0
	for _, y := range ys {
		wide = max(wide, Width(tick(y, ys), Sans, size))
	}
	in := Box{Pt(box.Min.X+wide+7, box.Min.Y+9.5), Pt(box.Max.X-3, top-1.5)}
	xs := Ticks(x0, x1, max(2, int(in.W()/16)))
	px := func(v float64) float64 { return in.Min.X + (v-x0)/(x1-x0)*in.W() }
	py := func(v float64) float64 { return in.Min.Y + (v-y0)/(y1-y0)*in.H() }
	for _, y := range ys {
		d.Stroke(layer, Line(Pt(in.Min.X, py(y)), Pt(in.Max.X, py(y))), Pen(0.13).Coloured(Pale))
		d.Write(layer, Text{At: Pt(in.Min.X-1.2, py(y)), S: tick(y, ys), Size: size, Anchor: End, Centre: true})
	}
	for _, x := range xs {
		d.Stroke(layer, Line(Pt(px(x), in.Min.Y), Pt(px(x), in.Max.Y)), Pen(0.13).Coloured(Pale))
		d.Write(layer, Text{At: Pt(px(x), in.Min.Y-3.2), S: tick(x, xs), Size: size, Anchor: Middle})
	}
	if y0 < 0 && y1 > 0 {
		d.Stroke(layer, Line(Pt(in.Min.X, py(0)), Pt(in.Max.X, py(0))), Pen(0.18).Coloured(Grey))
	}
	d.Stroke(layer, Rect(in.Min.X, in.Min.Y, in.W(), in.H()), Pen(0.25).Coloured(Grey))
	d.Write(layer, Text{At: Pt(in.Middle().X, box.Min.Y+1.2), S: Fit(c.X.Title, Sans, size, in.W()), Size: size, Anchor: Middle})
	d.Write(layer, Text{At: Pt(box.Min.X+2.4, in.Middle().Y), S: Fit(c.Y.Title, Sans, size, in.H()), Size: size, Anchor: Middle, Turn: math.Pi / 2})
	for k := range c.Lines {
		s := &c.Lines[k]
		c.line(d, layer, s, c.style(k), in, px, py)
	}
	for _, m := range c.Marks {
		p := Pt(px(m.X), py(m.Y))
		if !in.Grown(0.01).Holds(p) {
			continue
		}
		d.Stroke(layer, Circle(p, 0.9), Pen(0.25).Filled(White))
		anchor, off := Start, 1.6
		if p.X+off+Width(m.Text, Sans, size) > in.Max.X {
			anchor, off = End, -1.6
		}
		d.Write(layer, Text{At: p.Plus(Pt(off, 1)), S: m.Text, Size: size, Anchor: anchor, Back: true})
	}
}

func (c *Chart) style(k int) Style {
	if s := c.Lines[k].Style; s.Stroke != None {
		return s
	}
	return lineStyles[k%len(lineStyles)]
}

// legend names the lines over the chart, as many to a row as go, and tells where it ends.
func (c *Chart) legend(d *Drawing, layer string, box Box, top float64) float64 {
	if len(c.Lines) < 2 {
		return top
	}
	x := box.Min.X
	for k := range c.Lines {
		name := Fit(c.Lines[k].Name, Sans, 2.6, box.W()-10)
		w := 9 + Width(name, Sans, 2.6) + 4
		if x > box.Min.X && x+w > box.Max.X {
			x, top = box.Min.X, top-4
		}
		d.Stroke(layer, Line(Pt(x, top-2), Pt(x+7.5, top-2)), c.style(k))
		d.Write(layer, Text{At: Pt(x+9, top-2), S: name, Size: 2.6, Centre: true})
		x += w
	}
	return top - 4
}

func (c *Chart) span(a Axis, of func(*Series) []float64, at func(Mark) float64) (from, to float64) {
	if a.From != a.To {
		return a.From, a.To
	}
	from, to = math.Inf(1), math.Inf(-1)
	take := func(v float64) {
		if !math.IsNaN(v) && !math.IsInf(v, 0) {
			from, to = min(from, v), max(to, v)
		}
	}
	for k := range c.Lines {
		for _, v := range of(&c.Lines[k]) {
			take(v)
		}
	}
	for _, m := range c.Marks {
		take(at(m))
	}
	if from > to {
		return 0, 1
	}
	if from == to {
		half := max(math.Abs(from)*0.05, 0.5)
		return from - half, to + half
	}
	ts := Ticks(from, to, 5) // out to whole ticks
	if len(ts) > 1 {
		s := ts[1] - ts[0]
		from, to = math.Floor(from/s+1e-9)*s, math.Ceil(to/s-1e-9)*s
	}
	return from, to
}

// line draws one series, cut at the edges of the chart by its clip.
func (c *Chart) line(d *Drawing, layer string, s *Series, st Style, in Box, px, py func(float64) float64) {
	clip := in
	var run Path
	flush := func() {
		if len(run) > 1 {
			d.Add(Item{Layer: layer, Path: run, Style: st, Clip: &clip, Note: s.Name})
		}
		run = nil
	}
	for k := range min(len(s.X), len(s.Y)) {
		p := Pt(px(s.X[k]), py(s.Y[k]))
		if math.IsNaN(p.X+p.Y) || math.IsInf(p.X+p.Y, 0) {
			flush()
			continue
		}
		if s.Dots {
			if in.Grown(0.01).Holds(p) {
				d.Add(Item{Layer: layer, Path: Circle(p, 0.7), Style: Solid(st.Stroke), Note: s.Name})
			}
			continue
		}
		v := LineTo
		if run == nil {
			v = MoveTo
		}
		run = append(run, Seg{Verb: v, To: p})
	}
	flush()
}

// Ticks are round numbers (1, 2 or 5 times a power of ten apart) from a to b, about n of them.
func Ticks(a, b float64, n int) []float64 {
	if !(b > a) || n < 1 || math.IsInf(b-a, 0) {
		return nil
	}
	raw := (b - a) / float64(n)
	p := math.Pow(10, math.Floor(math.Log10(raw)))
	s := 10 * p
	for _, k := range []float64{1, 2, 5} {
		if k*p >= raw*(1-1e-9) {
			s = k * p
			break
		}
	}
	var out []float64
	for k := math.Ceil(a/s - 1e-9); k*s <= b+1e-9*s && len(out) < 1000; k++ {
		out = append(out, k*s)
	}
	return out
}

// tick is a tick's number with as many decimals as its neighbours need.
func tick(v float64, all []float64) string {
	digits := 0
	if len(all) > 1 {
		digits = max(0, int(math.Ceil(-math.Log10(all[1]-all[0])-1e-9)))
	}
	return Short(v, min(digits, 9))
}
