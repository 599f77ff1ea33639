package shop

import (
	"fmt"
	"math"
	"strings"

	"lowslung/draw"
	"lowslung/rig"
)

// Drawings of the cut list: every link at 1:1 where the paper is wide enough, with what to set it to, what to cut, how deep to tap, and for a bent one
// the straight rod with the marks.

const (
	rowTall  = 45.0 // a straight link, mm of paper
	bendTall = 27.0 // the straight rod of a bent one on top of that
)

// Document is the cut list as pages.
func (c *Cut) Document(p Paper) *draw.Document {
	s := p.sheet()
	s.Note = p.unit() + " Drawn at 1:1 where nothing else is said: print at 100 %."
	s.Scale = "as said"
	room := s.Room()
	var pages []*draw.Drawing
	top := 0.0
	fresh := func() {
		d := s.Page("Links to make")
		layers(d)
		pages = append(pages, d)
		top = room.Max.Y
	}
	for i := range c.Links {
		l := &c.Links[i]
		tall := l.tall()
		if pages == nil || top-tall < room.Min.Y {
			fresh()
		}
		l.draw(pages[len(pages)-1], &p, draw.Box{Min: draw.Pt(room.Min.X, top-tall), Max: draw.Pt(room.Max.X, top)})
		top -= tall
	}
	need := 6 + 3.6*float64(len(c.Assumes)+len(c.Cautions))*1.8
	if pages == nil || top-need < room.Min.Y {
		fresh()
	}
	notes(pages[len(pages)-1], room.Min.X, top-5, room.W(), append(append([]string(nil), c.Cautions...), c.Assumes...))
	return p.document("Links to make", pages)
}

func layers(d *draw.Drawing) {
	d.Layer("outline", "Outlines", draw.Black)
	d.Layer("centre", "Centre lines and marks", draw.Green)
	d.Layer("thread", "Threads", draw.Blue)
	d.Layer("dimensions", "Dimensions", draw.Grey)
	d.Layer("words", "Words", draw.Grey)
}

// notes are short paragraphs with a dash before each; the answer is where they end.
func notes(d *draw.Drawing, x, y, w float64, list []string) float64 {
	for _, n := range list {
		d.Write("words", draw.Text{At: draw.Pt(x, y), S: "–", Size: 2.8})
		y = d.Paragraph("words", draw.Text{At: draw.Pt(x+3, y), S: n, Size: 2.8}, w-3, 3.6)
		y--
	}
	return y
}

func (c *CutLink) tall() float64 {
	h := rowTall
	if len(c.Bends) > 0 {
		h += 3.6*float64(len(c.Bends)) + c.deep()
		if c.CutMM != nil && len(c.Ends) == 2 {
			h += bendTall
		}
	}
	return h
}

// deep is how far the bends leave the straight line, mm of the link.
func (c *CutLink) deep() float64 {
	v := 0.0
	for _, b := range c.Bends {
		v = max(v, math.Hypot(b.RiseMM, b.SideMM))
	}
	return v
}

// words is what stands over a link's drawing: its name and count, the rod, the ends.
func (c *CutLink) words(p *Paper) (head, rod, ends string) {
	head = fmt.Sprintf("%s: make %d", c.Name, c.Count)
	if c.Mirrored {
		head += ", one of them mirrored (the left one is drawn)"
	}
	var parts []string
	switch {
	case c.RodTitle != "":
		parts = append(parts, c.RodTitle)
	case c.RodItem != "":
		parts = append(parts, "rod "+c.RodItem)
	}
	if c.DiameterMM != nil {
		tube := "Ø " + p.long(*c.DiameterMM)
		if c.BoreMM != nil {
			tube += ", bore " + p.long(*c.BoreMM)
		}
		parts = append(parts, tube)
	}
	if c.Material != "" {
		parts = append(parts, c.Material)
	}
	if len(c.Missing) > 0 {
		parts = append(parts, "the document does not say: "+strings.Join(c.Missing, ", "))
	}
	return head, strings.Join(parts, "; "), c.endWords(p)
}

// endWords says which rod ends, how far out they are and how deep to tap.
func (c *CutLink) endWords(p *Paper) string {
	if len(c.Ends) != 2 {
		return ""
	}
	one := func(e *CutEnd) string {
		s := e.Title
		if s == "" {
			s = e.Item
		}
		if e.Turns != nil {
			s += ", " + draw.Short(*e.Turns, 2) + " turns out"
		}
		if e.ThreadMM != nil {
			s += fmt.Sprintf(", tap %s %s deep", c.Thread, p.long(*e.ThreadMM))
		}
		return s
	}
	a, b := one(&c.Ends[0]), one(&c.Ends[1])
	if a == b {
		return "both ends: " + a
	}
	return c.EndNames[0] + " end: " + a + "; " + c.EndNames[1] + " end: " + b
}

// shrink is the scale that a link goes on the paper at: 1, or the largest of 1:2, 1:5, 1:10.
func shrink(long, room float64) (float64, string) {
	for _, s := range []float64{1, 2, 5} {
		if long/s <= room {
			return 1 / s, fmt.Sprintf("1:%g", s)
		}
	}
	return room / long, "not to scale"
}

func (c *CutLink) draw(d *draw.Drawing, p *Paper, box draw.Box) {
	head, rod, ends := c.words(p)
	d.Stroke("words", draw.Line(draw.Pt(box.Min.X, box.Max.Y), box.Max), draw.Pen(0.13).Coloured(draw.Pale))
	d.Write("words", draw.Text{At: draw.Pt(box.Min.X, box.Max.Y-5), S: draw.Fit(head, draw.Bold, 3.8, box.W()-18), Size: 3.8, Face: draw.Bold})
	y := box.Max.Y - 5.9
	for _, line := range []string{rod, ends} {
		if y -= 3.6; line != "" {
			d.Write("words", draw.Text{At: draw.Pt(box.Min.X, y), S: draw.Fit(line, draw.Sans, 2.8, box.W()), Size: 2.8})
		}
	}
	for k, b := range c.Bends {
		mark := ""
		if b.MarkMM != nil {
			mark = fmt.Sprintf(" at %s from the chassis end of the rod", p.long(*b.MarkMM))
		}
		y -= 3.6
		d.Write("words", draw.Text{At: draw.Pt(box.Min.X, y), Size: 2.8, S: draw.Fit(fmt.Sprintf("bend %d%s: %s° %s, round %s", k+1, mark, draw.Short(b.AngleDeg, 1), b.Towards, p.long(b.RadiusMM)), draw.Sans, 2.8, box.W())})
	}
	if c.EyeToEyeMM == nil {
		return
	}
	k, scale := shrink(*c.EyeToEyeMM+14, box.W()-4)
	d.Write("words", draw.Text{At: draw.Pt(box.Max.X, box.Max.Y-5), S: scale, Size: 3.2, Anchor: draw.End})
	x0 := box.Min.X + (box.W()-*c.EyeToEyeMM*k)/2
	o := draw.Pt(x0, y-13.5-c.deep()*k)
	c.side(d, p, o, k)
	if len(c.Bends) > 0 && c.CutMM != nil && len(c.Ends) == 2 {
		long := *c.CutMM * k
		c.straight(d, p, draw.Pt(box.Min.X+(box.W()-long)/2, o.Y-31), k)
	}
}

// line is the middle line in the plane of the first bend, mm of the link: (along, off).
func (c *CutLink) line() []draw.Point {
	out := []draw.Point{{}}
	var way [2]float64
	for _, b := range c.Bends {
		n := math.Hypot(b.RiseMM, b.SideMM)
		if n > 0 && way == [2]float64{} {
			way = [2]float64{b.RiseMM / n, b.SideMM / n}
			if way[0] < 0 || way[0] == 0 && way[1] < 0 { // up stays up
				way[0], way[1] = -way[0], -way[1]
			}
		}
		out = append(out, draw.Pt(b.AlongMM, b.RiseMM*way[0]+b.SideMM*way[1]))
	}
	return append(out, draw.Pt(*c.EyeToEyeMM, 0))
}

// side draws the link from the side with its eyes at o and to the right of it.
func (c *CutLink) side(d *draw.Drawing, p *Paper, o draw.Point, k float64) {
	mid := c.line()
	for i := range mid {
		mid[i] = o.Plus(mid[i].Times(k))
	}
	a, b := mid[0], mid[len(mid)-1]
	r := 3.0
	if c.DiameterMM != nil {
		r = *c.DiameterMM / 2
	}
	d.Stroke("centre", draw.Line(a.Minus(draw.Pt(7*k, 0)), b.Plus(draw.Pt(7*k, 0))), draw.Pen(0.13).Coloured(draw.Green).Dashed(6, 1, 1, 1))
	for _, e := range []draw.Point{a, b} {
		d.Stroke("centre", draw.Line(e.Minus(draw.Pt(0, 6*k)), e.Plus(draw.Pt(0, 6*k))), draw.Pen(0.13).Coloured(draw.Green).Dashed(3, 1, 1, 1))
		d.Stroke("outline", draw.Circle(e, 4.2*k), draw.Pen(0.35).Filled(draw.White))
		d.Stroke("outline", draw.Circle(e, 1.5*k), draw.Pen(0.25))
	}
	in, out := mid[1].Minus(a).Unit(), b.Minus(mid[len(mid)-2]).Unit()
	from, to := a.Plus(in.Times(6*k)), b.Minus(out.Times(6*k))
	if len(c.Ends) == 2 {
		gap := func(e *CutEnd) float64 {
			if e.OutMM == nil {
				return e.AddsMM
			}
			return e.AddsMM + *e.OutMM
		}
		from, to = a.Plus(in.Times(gap(&c.Ends[0])*k)), b.Minus(out.Times(gap(&c.Ends[1])*k))
		for i, one := range []struct{ eye, way, face draw.Point }{{a, in, from}, {b, out.Times(-1), to}} {
			e := &c.Ends[i]
			d.Stroke("outline", bar([]draw.Point{one.eye.Plus(one.way.Times(3.8 * k)), one.eye.Plus(one.way.Times(e.AddsMM * k))}, 2.3*k), draw.Pen(0.25).Filled(draw.White))
			d.Stroke("thread", bar([]draw.Point{one.eye.Plus(one.way.Times(e.AddsMM * k)), one.face}, 1.5*k), draw.Pen(0.18).Coloured(draw.Blue))
		}
	}
	rod := append([]draw.Point{from}, mid[1:len(mid)-1]...)
	rod = append(rod, to)
	d.Stroke("outline", bar(rod, r*k), draw.Pen(0.35).Filled(draw.White))
	c.threads(d, from, in, to, out, k)
	up, down := 8+c.deep()*k, 8.0
	if len(c.Bends) > 0 && mid[1].Y < o.Y {
		up, down = 8, 8+c.deep()*k
	}
	d.Measure("dimensions", draw.Dim{A: a, B: b, Off: up, Text: p.label(*c.EyeToEyeMM) + " eye to eye", Scale: k})
	if len(c.Ends) != 2 {
		return
	}
	if len(c.Bends) == 0 && c.CutMM != nil {
		d.Measure("dimensions", draw.Dim{A: from, B: to, Off: -down - 7, Text: p.label(*c.CutMM) + " rod", Scale: k})
		if t := c.Ends[0].ThreadMM; t != nil {
			d.Measure("dimensions", draw.Dim{A: from, B: from.Plus(in.Times(*t * k)), Off: -down, Text: p.label(*t), Scale: k})
		}
		if t := c.Ends[1].ThreadMM; t != nil {
			d.Measure("dimensions", draw.Dim{A: to.Minus(out.Times(*t * k)), B: to, Off: -down, Text: p.label(*t), Scale: k})
		}
	}
	for _, one := range [][2]draw.Point{{a, from}, {to, b}} {
		d.Measure("dimensions", draw.Dim{Kind: draw.Across, A: one[0], B: one[1], Off: -(one[0].Y - o.Y) - down - 7, Text: p.label(one[1].Minus(one[0]).Norm() / k), Scale: k})
	}
}

// threads draws the tapped holes in both ends of the rod.
func (c *CutLink) threads(d *draw.Drawing, from, in, to, out draw.Point, k float64) {
	if len(c.Ends) != 2 {
		return
	}
	half, ok := threadHalf(c.Thread)
	if !ok {
		return
	}
	for i, one := range []struct{ face, way draw.Point }{{from, in}, {to, out.Times(-1)}} {
		if t := c.Ends[i].ThreadMM; t != nil {
			d.Stroke("thread", bar([]draw.Point{one.face, one.face.Plus(one.way.Times(*t * k))}, half*k), draw.Pen(0.18).Coloured(draw.Blue).Dashed(1.5, 0.8))
		}
	}
}

// straight draws the rod before it is bent, with a line across it in the middle of every bend.
func (c *CutLink) straight(d *draw.Drawing, p *Paper, o draw.Point, k float64) {
	r := 3.0
	if c.DiameterMM != nil {
		r = *c.DiameterMM / 2
	}
	end := o.Plus(draw.Pt(*c.CutMM*k, 0))
	d.Stroke("outline", bar([]draw.Point{o, end}, r*k), draw.Pen(0.35))
	c.threads(d, o, draw.Pt(1, 0), end, draw.Pt(1, 0), k)
	d.Write("words", draw.Text{At: draw.Pt(o.X-2, o.Y), S: "chassis", Size: 2.6, Anchor: draw.End, Centre: true})
	for i, b := range c.Bends {
		if b.MarkMM == nil {
			continue
		}
		at := o.Plus(draw.Pt(*b.MarkMM*k, 0))
		d.Stroke("centre", draw.Line(at.Minus(draw.Pt(0, r*k+1.5)), at.Plus(draw.Pt(0, r*k+1.5))), draw.Pen(0.25).Coloured(draw.Green))
		d.Measure("dimensions", draw.Dim{A: o, B: at, Off: r*k + 4 + 5*float64(i), Text: p.label(*b.MarkMM), Scale: k})
	}
	d.Measure("dimensions", draw.Dim{A: o, B: end, Off: -r*k - 7, Text: p.label(*c.CutMM) + " rod, straight", Scale: k})
}

// bar is the outline of a bar of half a width along a line with corners, its ends square.
func bar(line []draw.Point, half float64) draw.Path {
	n := len(line)
	left, right := make([]draw.Point, n), make([]draw.Point, n)
	for i, q := range line {
		in, out := line[max(i, 1)].Minus(line[max(i, 1)-1]).Unit(), line[min(i+1, n-1)].Minus(line[min(i, n-2)]).Unit()
		w := in.Left().Plus(out.Left())
		if l := w.Norm(); l > 1e-9 {
			w = w.Times(2 * half / (l * l)) // the corner where both edges meet
		}
		left[i], right[n-1-i] = q.Plus(w), q.Minus(w)
	}
	return draw.Polygon(append(left, right...)...)
}

func threadHalf(thread string) (float64, bool) {
	d, ok := rig.ThreadSize(thread)
	return d / 2, ok
}
