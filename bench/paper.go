package bench

import (
	"fmt"
	"math"

	"lowslung/draw"
)

// The bench sheet on paper.

// Paper is what the sheet says of where it comes from, and what it goes on.
type Paper struct {
	Format draw.Format
	Hash   string // first digits of the hash of the document's text
	Date   string
	Unix   int64 // of the file, s since 1970 UTC
}

// PDF is the sheet with a line for each reading, and a drawing of how the rig is set up.
func (s *Sheet) PDF(on Paper) ([]byte, error) {
	p := &paper{sheet: draw.Sheet{Format: on.Format, Document: s.Name, Date: on.Date, Hash: on.Hash}}
	p.turn()
	for i := range s.Stages {
		p.stage(&s.Stages[i])
	}
	p.paragraph(sheetNote, 0, draw.Sans, 3, draw.Grey)
	draw.Number(p.pages)
	return draw.PDF(&draw.Document{Title: s.Name + ": bench sheet", Subject: "Bench sheet", Pages: p.pages, Unix: on.Unix})
}

type paper struct {
	sheet draw.Sheet
	pages []*draw.Drawing
	room  draw.Box
	y     float64 // top of what is still free, mm
}

func (p *paper) turn() {
	p.pages = append(p.pages, p.sheet.Page("Bench sheet"))
	p.room = p.sheet.Room()
	p.y = p.room.Max.Y
}

func (p *paper) page() *draw.Drawing { return p.pages[len(p.pages)-1] }

// need turns the page when less than high mm are left.
func (p *paper) need(high float64) {
	if p.y-high < p.room.Min.Y {
		p.turn()
	}
}

func (p *paper) paragraph(s string, in float64, face draw.Face, size float64, c draw.Colour) {
	pitch := size * 1.32
	for _, line := range draw.Wrap(s, face, size, p.room.W()-in) {
		p.need(pitch)
		p.page().Write("text", draw.Text{At: draw.Pt(p.room.Min.X+in, p.y-size), S: line, Size: size, Face: face, Colour: c})
		p.y -= pitch
	}
}

const (
	rowHigh     = 6.4  // mm
	pictureHigh = 42.0 // mm
	blankWide   = 34.0 // mm, for the reading
)

func (p *paper) stage(st *Stage) {
	high := 14.0 + 4.2*float64(len(st.Care)+2*len(st.Do))
	if st.Picture != "" {
		high += pictureHigh
	}
	p.need(min(high+3*rowHigh, p.room.H()-1))
	p.y -= 2
	p.page().Write("text", draw.Text{At: draw.Pt(p.room.Min.X, p.y-4.6), S: st.Title, Size: 4.6, Face: draw.Bold})
	p.y -= 6.4
	p.page().Stroke("text", draw.Line(draw.Pt(p.room.Min.X, p.y), draw.Pt(p.room.Max.X, p.y)), draw.Pen(0.35))
	p.y -= 1.6
	for _, c := range st.Care {
		p.paragraph("Take care: "+c+".", 0, draw.Sans, 3, draw.Red)
	}
	for _, d := range st.Do {
		p.paragraph(d, 0, draw.Sans, 3, draw.Grey)
	}
	if st.Picture != "" {
		p.y -= 1
		p.picture(st.Picture)
		p.y -= pictureHigh
	}
	p.y -= 1.5
	for i := range st.Rows {
		p.row(&st.Rows[i])
	}
	p.y -= 2
}

func (p *paper) row(r *Row) {
	p.need(rowHigh)
	d, y := p.page(), p.y-4.4
	left, right := p.room.Min.X, p.room.Max.X
	d.Write("text", draw.Text{At: draw.Pt(left+7, y), S: fmt.Sprint(r.Number), Size: 3.2, Anchor: draw.End, Colour: draw.Grey})
	what := r.What
	if r.Volts != "" {
		what += ", at " + r.Volts
	}
	d.Write("text", draw.Text{At: draw.Pt(left+10, y), S: draw.Fit(what, draw.Sans, 3.2, right-left-blankWide-26), Size: 3.2})
	d.Stroke("lines", draw.Line(draw.Pt(right-blankWide-12, y-1), draw.Pt(right-12, y-1)), draw.Pen(0.18))
	d.Write("text", draw.Text{At: draw.Pt(right-10, y), S: r.Unit, Size: 3.2, Colour: draw.Grey})
	p.y -= rowHigh
}

// picture is a small drawing of how the rig is set up, not to scale.
func (p *paper) picture(kind string) {
	d := p.page()
	at := func(x, y float64) draw.Point { return draw.Pt(p.room.Min.X+x, p.y-pictureHigh+y) }
	word := func(x, y float64, s string, a draw.Anchor) {
		d.Write("text", draw.Text{At: at(x, y), S: s, Size: 2.8, Anchor: a, Colour: draw.Blue})
	}
	thin, thick := draw.Pen(0.25), draw.Pen(0.5)
	arrow := func(x0, y0, x1, y1 float64) {
		a, b := at(x0, y0), at(x1, y1)
		u := b.Minus(a).Unit()
		d.Stroke("lines", draw.Line(a, b), draw.Pen(0.35).Coloured(draw.Blue))
		tip := draw.Polygon(b, b.Minus(u.Times(2.4)).Plus(u.Left().Times(0.8)), b.Minus(u.Times(2.4)).Minus(u.Left().Times(0.8)))
		d.Stroke("lines", tip, draw.Solid(draw.Blue))
	}
	switch kind {
	case "scales": // seen from above, forward to the right
		d.Stroke("lines", draw.Rect(at(52, 15).X, at(52, 15).Y, 66, 12), thin)
		for _, w := range []struct {
			x, y float64
			name string
			up   bool
		}{{105, 30, "front left", true}, {105, 4, "front right", false}, {45, 30, "rear left", true}, {45, 4, "rear right", false}} {
			d.Stroke("lines", draw.Rect(at(w.x-4, w.y-2.5).X, at(w.x-4, w.y-2.5).Y, 28, 13), thin.Coloured(draw.Blue).Dashed(1.5, 1))
			d.Stroke("lines", draw.Rect(at(w.x, w.y).X, at(w.x, w.y).Y, 20, 8), thick)
			word(w.x+28, w.y+3, w.name, draw.Start)
		}
		d.Stroke("lines", draw.Line(at(115, 12), at(115, 30)), thin)
		d.Stroke("lines", draw.Line(at(55, 12), at(55, 30)), thin)
		arrow(122, 21, 136, 21)
		word(138, 20, "forward", draw.Start)
		word(10, 20, "one scale under each wheel", draw.Start)
	case "gauge": // seen from the left, forward to the left
		for _, x := range []float64{40, 118} {
			d.Stroke("lines", draw.Circle(at(x, 14), 12), thick)
			d.Stroke("lines", draw.Circle(at(x, 14), 1), thin)
		}
		d.Stroke("lines", draw.Line(at(20, 2), at(140, 2)), thin)
		d.Stroke("lines", draw.Polygon(at(58, 19), at(100, 19), at(104, 25), at(54, 25)), thin)
		d.Stroke("lines", draw.Line(at(40, 14), at(66, 22)), thin.Dashed(2, 1))
		d.Stroke("lines", draw.Line(at(118, 14), at(92, 22)), thin.Dashed(2, 1))
		d.Stroke("lines", draw.Rect(at(73, 15.2).X, at(73, 15.2).Y, 11, 3.6), thin.Coloured(draw.Blue))
		word(79, 10.5, "gauge zeroed here", draw.Middle)
		arrow(40, 34, 48, 18.5)
		word(38, 35.5, "gauge along the pinion shaft", draw.Middle)
		d.Stroke("lines", draw.Line(at(124, 16), at(110, 36)), thin)
		word(126, 33, "shock, eye to eye", draw.Start)
		d.Stroke("lines", draw.Line(at(40, 14), at(118, 14)), thin.Coloured(draw.Blue).Dashed(4, 1, 0.5, 1))
		word(79, 4, "wheelbase, centre to centre", draw.Middle)
	case "raised": // seen from the left: the rear on the scale, the front on blocks
		const tip, radius, base, hub = 15 * math.Pi / 180, 8.0, 72.0, 13.0
		sin, cos := math.Sincos(tip)
		turn := func(x, y float64) draw.Point { return at(124-x*cos+y*sin, hub+x*sin+y*cos) } // x forward of the rear hub, y up, on the rig
		d.Stroke("lines", draw.Rect(at(112, 1).X, at(112, 1).Y, 24, 4), thin.Coloured(draw.Blue))
		d.Stroke("lines", draw.Circle(at(124, hub), radius), thick)
		front := turn(base, 0)
		d.Stroke("lines", draw.Circle(front, radius), thick)
		low := at(0, 1).Y
		d.Stroke("lines", draw.Rect(front.X-9, low, 18, front.Y-radius-low), thin)
		d.Stroke("lines", draw.Polygon(turn(18, 4), turn(54, 4), turn(58, 9), turn(14, 9)), thin)
		d.Stroke("lines", draw.Line(at(20, 1), at(152, 1)), thin)
		d.Stroke("lines", draw.Line(at(124, hub), at(70, hub)), thin.Dashed(2, 1))
		d.Stroke("lines", draw.Line(at(124, hub), turn(56, 0)), thin.Dashed(2, 1))
		word(84, 15.5, "angle", draw.Start)
		word(140, 3.2, "both rear wheels on one scale", draw.Start)
		word(front.X-p.room.Min.X-12, 6, "blocks", draw.End)
		word(104, 31, "shocks blocked, wheels free to turn", draw.Start)
	}
}
