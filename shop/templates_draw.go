package shop

import (
	"fmt"
	"math"

	"lowslung/draw"
	"lowslung/finding"
)

const (
	wordSize = 2.7
	rowPitch = 3.6
	tableW   = 136.0 // mm

	mostLabels    = 300  // marks of one template whose numbers are put where they cover least; of more than a page can take they stand beside each
	mostTemplates = 1000 // in one document: more than a rig has, and as many as can be made while one waits
)

// Drawing is the template with its words, dimensions and table, at true size, on a sheet just large enough. The 50 mm rule stands under it when it goes out
// alone; on a page the page has it.
func (t *Template) Drawing(p *Paper, rule bool) *draw.Drawing {
	d := draw.New(t.Title, 0, 0)
	layers(d)
	d.Layer("holes", "Holes", draw.Red)
	d.Layer("beside", "Other pieces of the part", draw.Grey)
	all, edge := t.draw(d, p)
	t.measures(d, p, all, edge)
	t.labels(d, all)
	b := d.Bounds()
	if b.Min.X > b.Max.X {
		b = draw.Box{}
	}
	t.head(d, b)
	b = d.Bounds()
	low := t.table(d, p, b)
	if rule {
		d.Rule(draw.Pt(b.Min.X, low-12))
	}
	b = d.Bounds().Grown(4)
	out := draw.New(t.Title, b.W(), b.H())
	out.Layers = d.Layers
	out.Put(d, draw.Placement{At: b.Min.Times(-1)}, nil)
	return out
}

// draw puts the lines and holes down and tells how far they reach: all of them, and the outline.
func (t *Template) draw(d *draw.Drawing, p *Paper) (all, edge draw.Box) {
	all, edge = draw.Nothing(), draw.Nothing()
	for _, l := range t.lines {
		b := l.path.Bounds()
		all = all.With(b.Min).With(b.Max)
		if l.layer == "outline" {
			edge = edge.With(b.Min).With(b.Max)
		}
		d.Add(draw.Item{Layer: l.layer, Path: l.path, Style: l.style, Note: l.note})
	}
	cross := draw.Pen(0.13).Coloured(draw.Green)
	for i := range t.Holes {
		h := &t.Holes[i]
		r := h.DiameterMM / 2
		half := draw.Pt(math.Cos(h.turn), math.Sin(h.turn)).Times(h.LengthMM / 2)
		if r > 0 {
			path := draw.Circle(h.at, r)
			if h.LengthMM > 0 {
				path = draw.Slot(h.at.Minus(half), h.at.Plus(half), r)
			}
			d.Add(draw.Item{Layer: "holes", Path: path, Style: draw.Pen(0.25).Coloured(draw.Red), Note: h.Name + ": " + h.Why})
			b := path.Bounds()
			all = all.With(b.Min).With(b.Max)
		}
		for _, c := range []draw.Point{h.at.Minus(half), h.at.Plus(half)} {
			d.Stroke("centre", draw.Line(c.Minus(draw.Pt(r+2, 0)), c.Plus(draw.Pt(r+2, 0))), cross)
			d.Stroke("centre", draw.Line(c.Minus(draw.Pt(0, r+2)), c.Plus(draw.Pt(0, r+2))), cross)
			all = all.With(c)
			if h.LengthMM == 0 {
				break
			}
		}
	}
	return all, edge
}

// measures are the dimensions to hold a calliper to: the outline both ways, and the holes furthest apart both ways.
func (t *Template) measures(d *draw.Drawing, p *Paper, all, edge draw.Box) {
	say := func(m draw.Dim) {
		if m.Text == "" {
			m.Text = p.label(m.Value())
		}
		d.Measure("dimensions", m)
	}
	for _, m := range t.marks {
		say(m)
	}
	if t.Kind == "bend gauge" || t.Kind == "spacers" {
		return
	}
	if edge.Min.X < edge.Max.X {
		say(draw.Dim{Kind: draw.Across, A: edge.Min, B: draw.Pt(edge.Max.X, edge.Min.Y), Off: all.Min.Y - edge.Min.Y - 8})
		say(draw.Dim{Kind: draw.Upright, A: draw.Pt(edge.Max.X, edge.Min.Y), B: edge.Max, Off: all.Max.X - edge.Max.X + 8})
	}
	if len(t.Holes) < 2 {
		return
	}
	left, right, low, high := t.Holes[0].at, t.Holes[0].at, t.Holes[0].at, t.Holes[0].at
	const tie = 0.05 // of two as far out, the one nearer to the dimension line
	for i := range t.Holes {
		q := t.Holes[i].at
		if q.X < left.X-tie || q.X < left.X+tie && q.Y > left.Y {
			left = q
		}
		if q.X > right.X+tie || q.X > right.X-tie && q.Y > right.Y {
			right = q
		}
		if q.Y < low.Y-tie || q.Y < low.Y+tie && q.X < low.X {
			low = q
		}
		if q.Y > high.Y+tie || q.Y > high.Y-tie && q.X < high.X {
			high = q
		}
	}
	if right.X-left.X > 0.5 {
		say(draw.Dim{Kind: draw.Across, A: left, B: right, Off: all.Max.Y - left.Y + 8})
	}
	if high.Y-low.Y > 0.5 {
		say(draw.Dim{Kind: draw.Upright, A: low, B: high, Off: all.Min.X - low.X - 8})
	}
}

// labels number the holes and say how wide to drill, each where it covers the least of what is there.
func (t *Template) labels(d *draw.Drawing, all draw.Box) {
	var taken []draw.Box
	for i := range t.Holes {
		r := t.Holes[i].DiameterMM/2 + t.Holes[i].LengthMM/2 + 1
		taken = append(taken, draw.Box{Min: t.Holes[i].at, Max: t.Holes[i].at}.Grown(r))
	}
	edges := t.edges()
	for i := range d.Items {
		if m := d.Items[i].Dim; m != nil {
			for _, part := range m.Parts("") {
				if part.Text != nil {
					taken = append(taken, part.Text.Bounds().Grown(0.4))
				} else if part.Style.Stroke != draw.None {
					edges = dotted(edges, part.Path)
				}
			}
		}
	}
	for i := range t.Holes {
		h := &t.Holes[i]
		text := fmt.Sprint(h.Number)
		if h.DiameterMM > 0 {
			text += "  Ø " + draw.Short(h.DiameterMM, 2)
		}
		wide, r := draw.Width(text, draw.Sans, wordSize), h.DiameterMM/2
		best, cost := draw.Box{}, math.Inf(1)
		far := false
		dists, ways := []float64{r + 1.2, r + 4.5, r + 8, r + 12}, 8
		if len(t.Holes) > mostLabels {
			dists, ways = dists[:1], 1
		}
		for _, dist := range dists {
			for k := range ways {
				a := math.Pi/4 + float64(k)*math.Pi/4
				way := draw.Pt(math.Cos(a), math.Sin(a))
				c := h.at.Plus(way.Times(dist)).Plus(draw.Pt(way.X*wide/2, way.Y*wordSize/2))
				box := draw.Box{Min: c.Minus(draw.Pt(wide/2, wordSize*0.45)), Max: c.Plus(draw.Pt(wide/2, wordSize*0.45))}
				e := dist - r + 0.1*float64(k)
				if ways > 1 {
					for n := range taken {
						if n != i && taken[n].Meets(box) {
							e += 100
						}
					}
					for _, q := range edges {
						if box.Holds(q) {
							e += 4
							break
						}
					}
				}
				if e < cost-1e-9 {
					best, cost, far = box, e, dist > r+2
				}
			}
		}
		if far {
			way := best.Middle().Minus(h.at).Unit()
			d.Stroke("words", draw.Line(h.at.Plus(way.Times(r+0.3)), nearest(best, h.at)), draw.Pen(0.13).Coloured(draw.Grey))
		}
		d.Write("words", draw.Text{At: best.Middle(), S: text, Size: wordSize, Anchor: draw.Middle, Centre: true, Back: true})
		taken = append(taken, best.Grown(0.4))
	}
}

// edges are points of the outline, a mm apart or less.
func (t *Template) edges() (out []draw.Point) {
	for _, l := range t.lines {
		if l.layer == "outline" {
			out = dotted(out, l.path)
		}
	}
	return out
}

// dotted appends points of a path, a mm apart or less.
func dotted(out []draw.Point, p draw.Path) []draw.Point {
	const most = 20_000 // of a mesh with many corners, part has to do
	for _, ring := range p.Points(0.2) {
		for i, a := range ring {
			b := ring[(i+1)%len(ring)]
			n := min(int(b.Minus(a).Norm())+1, 400)
			if len(out) > most {
				return out
			}
			for k := range n {
				out = append(out, a.Plus(b.Minus(a).Times(float64(k)/float64(n))))
			}
		}
	}
	return out
}

// nearest is the point of a box nearest to q.
func nearest(b draw.Box, q draw.Point) draw.Point {
	return draw.Pt(min(max(q.X, b.Min.X), b.Max.X), min(max(q.Y, b.Min.Y), b.Max.Y))
}

// head writes what it is over the picture.
func (t *Template) head(d *draw.Drawing, b draw.Box) {
	y := b.Max.Y + 5
	lines := []string{t.makeWords()}
	for _, a := range t.Assumes {
		lines = append(lines, draw.Wrap(a, draw.Sans, wordSize, max(b.W(), tableW))...)
	}
	for i := len(lines) - 1; i >= 0; i-- {
		d.Write("words", draw.Text{At: draw.Pt(b.Min.X, y), S: lines[i], Size: wordSize})
		y += rowPitch
	}
	y += 1.2
	d.Write("words", draw.Text{At: draw.Pt(b.Min.X, y), S: draw.Fit(t.Title, draw.Bold, 4, max(b.W(), tableW)), Size: 4, Face: draw.Bold})
}

func (t *Template) makeWords() string {
	s := fmt.Sprintf("Make %d.", t.Make)
	switch {
	case t.Kind == "motor mount":
		s = "Both ends of each slot are marked: the motor slides between them."
	case t.Twin == "turn over" && t.Make == 2:
		s = "Make 2: the left one by this sheet, the right one with the sheet turned over."
	case t.Twin == "turn over":
		s = "Both sides of the part: the left one by this sheet, the right one with the sheet turned over."
	case t.Twin == "this":
		s = "The right one, drawn mirrored: do not turn the sheet over."
	}
	if t.Kind == "bend gauge" {
		s = "Lay the bent rod on it: both edges have to be covered all along."
		for _, w := range t.words[2:] {
			s += " " + finding.Sentence(w) + "."
		}
	}
	return s
}

// table lists the holes under the picture, beside the arrows that say which way is which.
func (t *Template) table(d *draw.Drawing, p *Paper, b draw.Box) float64 {
	x, y := b.Min.X, b.Min.Y-6
	pen := draw.Pen(0.25)
	o := draw.Pt(x+1, y-9)
	for i, way := range []draw.Point{{X: 1}, {Y: 1}} {
		if i >= len(t.words) {
			break
		}
		tip := o.Plus(way.Times(8))
		d.Stroke("words", draw.Line(o, tip), pen)
		n := way.Left().Times(0.7)
		d.Stroke("words", draw.Polygon(tip.Plus(way.Times(1.6)), tip.Plus(n), tip.Minus(n)), draw.Solid(draw.Black))
		at := tip.Plus(draw.Pt(2.4, 0))
		d.Write("words", draw.Text{At: at, S: t.words[i], Size: wordSize, Centre: true})
	}
	low := o.Y - 2
	if len(t.Holes) == 0 || t.Kind == "spacers" || t.Kind == "bend gauge" {
		return low
	}
	x += 36
	cols := []float64{0, 6, 48, 74, 88}
	row := func(cells ...string) {
		for i, c := range cells {
			w := tableW - 36 - cols[i]
			if i+1 < len(cols) {
				w = cols[i+1] - cols[i] - 1
			}
			d.Write("words", draw.Text{At: draw.Pt(x+cols[i], y), S: draw.Fit(c, draw.Sans, wordSize, w), Size: wordSize})
		}
		y -= rowPitch
	}
	from := "from hole 1"
	for _, l := range t.lines {
		if l.layer == "outline" {
			from = "from the edge"
		}
	}
	row("", "hole", "drill", t.words[0], t.words[1])
	d.Write("words", draw.Text{At: draw.Pt(x+cols[3], y+rowPitch*2), S: from, Size: wordSize, Colour: draw.Grey})
	d.Stroke("words", draw.Line(draw.Pt(x, y+rowPitch-1), draw.Pt(x+tableW-36, y+rowPitch-1)), draw.Pen(0.13))
	y -= 0.8
	for i := range t.Holes {
		h := &t.Holes[i]
		name := h.Name
		if h.Side != "" {
			name += ", " + h.Side
		}
		drill := "centre mark"
		if h.DiameterMM > 0 {
			drill = "Ø " + draw.Short(h.DiameterMM, 2)
			if h.Bolt != "" {
				drill = h.Bolt + ": " + drill
			}
			if h.LengthMM > 0 {
				drill += " × " + draw.Short(h.LengthMM, 2)
			}
		}
		row(fmt.Sprint(h.Number), name, drill, p.label(h.AcrossMM), p.label(h.UpMM))
	}
	return min(low, y+1)
}

// Document is the templates as pages: how to print and what to take care of first, then small ones together, large ones on several pages.
func (t *Templates) Document(p Paper) (*draw.Document, error) {
	if n := len(t.Templates); n > mostTemplates {
		return nil, fmt.Errorf("found %d templates, expected at most %d in one document: ask for some parts by name", n, mostTemplates)
	}
	s := p.sheet()
	room := s.Room()
	type placed struct {
		one *draw.Drawing
		at  draw.Point
	}
	type page struct {
		title string
		list  []placed
		tiles []*draw.Drawing
	}
	var plan []page
	var x, y, tall float64
	where := make([]int, len(t.Templates)) // which of plan
	open := false
	for i := range t.Templates {
		one := t.Templates[i].Drawing(&p, false)
		if one.W > room.W() || one.H > room.H() {
			open = false
			tiles, err := s.Tile(t.Templates[i].Title, one)
			if err != nil {
				return nil, err
			}
			plan = append(plan, page{tiles: tiles})
			where[i] = len(plan) - 1
			continue
		}
		if open && x+one.W > room.Max.X+0.01 { // a new row
			x, y = room.Min.X, y-tall
			tall = 0
		}
		if !open || y-one.H < room.Min.Y-0.01 {
			plan = append(plan, page{title: t.Templates[i].Title})
			x, y, tall, open = room.Min.X, room.Max.Y, 0, true
		} else {
			plan[len(plan)-1].title += "; " + t.Templates[i].Title
		}
		k := &plan[len(plan)-1]
		k.list = append(k.list, placed{one, draw.Pt(x, y-one.H)})
		where[i] = len(plan) - 1
		x, tall = x+one.W, max(tall, one.H)
	}
	var body []*draw.Drawing
	first := make([]int, len(plan)) // page of each, from 0
	for i, k := range plan {
		first[i] = len(body)
		if k.tiles != nil {
			body = append(body, k.tiles...)
			continue
		}
		d := s.Page(k.title)
		for _, it := range k.list {
			d.Put(it.one, draw.Placement{At: it.at}, nil)
		}
		body = append(body, d)
	}
	for i := range where {
		where[i] = first[where[i]]
	}
	return p.document("Templates", append(t.cover(&s, where), body...)), nil
}

// cover says how to print, what to take care of, and what is where.
func (t *Templates) cover(s *draw.Sheet, where []int) (pages []*draw.Drawing) {
	room := s.Room()
	d := s.Page("Templates: read first")
	layers(d)
	pages = append(pages, d)
	y := notes(d, room.Min.X, room.Max.Y-6, room.W(), t.Cautions) - 4
	d.Write("words", draw.Text{At: draw.Pt(room.Min.X, y), S: "What is where", Size: 4, Face: draw.Bold})
	y -= 6
	const rows = 3.8
	// The index may itself need more pages, which moves what it lists.
	perFirst, perNext := int((y-room.Min.Y)/rows), int((room.H()-8)/rows)
	covers := 1
	for n := len(where) - perFirst; n > 0; n -= perNext {
		covers++
	}
	for i := range where {
		if y < room.Min.Y {
			d = s.Page("Templates: what is where")
			layers(d)
			pages = append(pages, d)
			y = room.Max.Y - 6
		}
		k := &t.Templates[i]
		d.Write("words", draw.Text{At: draw.Pt(room.Min.X, y), S: draw.Fit(k.Title, draw.Sans, 3, room.W()-66), Size: 3})
		d.Write("words", draw.Text{At: draw.Pt(room.Max.X-62, y), S: fmt.Sprintf("%s × %s mm", draw.Short(k.WidthMM, 1), draw.Short(k.HeightMM, 1)), Size: 3})
		d.Write("words", draw.Text{At: draw.Pt(room.Max.X, y), S: fmt.Sprintf("page %d", where[i]+covers+1), Size: 3, Anchor: draw.End})
		y -= rows
	}
	return pages
}
