package draw

import (
	"fmt"
	"math"
	"strings"
)

// A Format is a paper.
type Format struct {
	Name string
	W, H float64 // upright, mm
}

// Papers: ISO 216 A4, and US Letter, 8.5 × 11 in (ANSI/ASME Y14.1 A).
var (
	A4     = Format{"A4", 210, 297}
	Letter = Format{"Letter", 215.9, 279.4}
)

// ParseFormat reads "a4" or "letter".
func ParseFormat(s string) (Format, error) {
	switch strings.ToLower(strings.TrimSpace(s)) {
	case "a4":
		return A4, nil
	case "letter":
		return Letter, nil
	}
	return Format{}, fmt.Errorf("paper: found %q, expected a4 or letter", s)
}

// Across is the paper laid on its side.
func (f Format) Across() Format { return Format{f.Name, f.H, f.W} }

// A Sheet is what all pages of one document have in common.
type Sheet struct {
	Format   Format
	Document string // name of the rig
	Hash     string // of its text, to match a sheet with a revision
	Date     string // of the document, as it is to be read
	Scale    string // "1:1"
	Rule     bool   // a 50 mm rule both ways on every page, to measure the print by
	Note     string // one line over the title block, such as how to print
}

const (
	// Margin is what is left white at every edge: common printers reach that far.
	Margin   = 10.0
	block    = 21.0 // height of the title block, mm
	ruleRoom = 10.0 // beside the room, for the upright rule
)

// Room is what a page has for its drawing.
func (s *Sheet) Room() Box {
	b := Box{Pt(Margin+2, Margin+block+2), Pt(s.Format.W-Margin-2, s.Format.H-Margin-2)}
	if s.Note != "" {
		b.Min.Y += 5
	}
	if s.Rule {
		b.Max.X -= ruleRoom
	}
	return b
}

// Page is a page with its frame, its title block and its rules, and an empty room.
func (s *Sheet) Page(title string) *Drawing {
	d := New(title, s.Format.W, s.Format.H)
	d.Layer("frame", "Frame and title block", Grey)
	d.Layer("rule", "50 mm rules to check the print", Blue)
	x, y, w := Margin, Margin, s.Format.W-2*Margin
	d.Stroke("frame", Rect(x, y, w, s.Format.H-2*Margin), Pen(0.35))
	d.Stroke("frame", Line(Pt(x, y+block), Pt(x+w, y+block)), Pen(0.35))
	left := x + 2
	if s.Rule {
		left = x + 60
		d.Stroke("frame", Line(Pt(left, y), Pt(left, y+block)), Pen(0.18))
		d.rule(Pt(x+5, y+11), false)
		d.Write("rule", Text{At: Pt(x+5, y+3.5), S: "50 mm: measure both rules first", Size: 2.9})
		d.rule(Pt(x+w-3.4, y+block+6), true)
		left += 2
	}
	right := x + w - 48
	d.Stroke("frame", Line(Pt(right, y), Pt(right, y+block)), Pen(0.18))
	room := right - left - 2
	d.Write("frame", Text{At: Pt(left, y+14.3), S: Fit(title, Bold, 4.2, room), Size: 4.2, Face: Bold})
	d.Write("frame", Text{At: Pt(left, y+8.6), S: Fit(s.Document, Sans, 3.2, room), Size: 3.2})
	d.Write("frame", Text{At: Pt(left, y+3.5), S: Fit("lowslung, "+s.Format.Name, Sans, 2.6, room), Size: 2.6, Colour: Grey})
	for n, row := range [][2]string{{"scale", s.Scale}, {"date", s.Date}, {"revision", s.Hash}} {
		if row[1] == "" {
			continue
		}
		at := y + block - 5 - float64(n)*4.6
		d.Write("frame", Text{At: Pt(right+2, at), S: row[0], Size: 2.6, Colour: Grey})
		d.Write("frame", Text{At: Pt(right+16, at), S: Fit(row[1], Sans, 2.9, 30), Size: 2.9})
	}
	if s.Note != "" {
		d.Write("frame", Text{At: Pt(x+2, y+block+2), S: Fit(s.Note, Sans, 2.9, w-4-ruleRoom), Size: 2.9})
	}
	return d
}

// Number writes which page of how many each is.
func Number(pages []*Drawing) {
	for n, d := range pages {
		d.Write("frame", Text{At: Pt(d.W-Margin-46, Margin+2.2), S: fmt.Sprintf("page %d of %d", n+1, len(pages)), Size: 2.9})
	}
}

// Rule draws a 50 mm rule at a point, for a drawing that goes out without a page.
func (d *Drawing) Rule(at Point) {
	d.Layer("rule", "50 mm rule to check the print", Blue)
	d.rule(at, false)
	d.Write("rule", Text{At: at.Plus(Pt(53, 0)), S: "50 mm", Size: 2.9})
}

// rule is 50 mm with a stroke for every mm, from a point to the right or upwards.
func (d *Drawing) rule(at Point, up bool) {
	along, out := Pt(1, 0), Pt(0, 1)
	turn := 0.0
	if up {
		along, out, turn = Pt(0, 1), Pt(-1, 0), math.Pi/2
	}
	d.Add(Item{Layer: "rule", Path: Line(at, at.Plus(along.Times(50))), Style: Pen(0.25), Note: "50 mm"})
	for k := 0; k <= 50; k++ {
		long := 1.6
		if k%10 == 0 {
			long = 3.2
			d.Write("rule", Text{At: at.Plus(along.Times(float64(k))).Plus(out.Times(3.7)), S: fmt.Sprint(k), Size: 2.2, Anchor: Middle, Turn: turn})
		} else if k%5 == 0 {
			long = 2.4
		}
		p := at.Plus(along.Times(float64(k)))
		d.Stroke("rule", Line(p, p.Plus(out.Times(long))), Pen(0.13))
	}
}
