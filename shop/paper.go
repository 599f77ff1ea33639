package shop

import (
	"fmt"

	"lowslung/draw"
	"lowslung/quantity"
)

// Paper is what every drawing of the shop says of where it comes from, and what it goes on.
type Paper struct {
	Format   draw.Format // draw.A4 or draw.Letter
	Units    quantity.System
	Document string // name of the build
	Hash     string // first digits of the hash of its text
	Date     string // of its text
	Unix     int64  // the same for the file's own date, s since 1970 UTC
}

const (
	printNote = "Print at 100 %, never fitted to the page. Measure both rules before you drill or cut."
)

func (p *Paper) sheet() draw.Sheet {
	f := p.Format
	if f.W == 0 {
		f = draw.A4
	}
	return draw.Sheet{Format: f, Document: p.Document, Hash: p.Hash, Date: p.Date, Scale: "1:1", Rule: true, Note: printNote}
}

// label is a length as it stands at a dimension line: without its unit, which the note gives.
func (p *Paper) label(mm float64) string {
	if p.Units == quantity.US {
		return draw.Short(mm/25.4, 3)
	}
	return draw.Short(mm, 2)
}

// long is a length with its unit.
func (p *Paper) long(mm float64) string {
	if p.Units == quantity.US {
		return draw.Short(mm/25.4, 3) + " in"
	}
	return draw.Short(mm, 2) + " mm"
}

func (p *Paper) unit() string {
	if p.Units == quantity.US {
		return "Lengths in inches."
	}
	return "Lengths in mm."
}

// document binds the pages.
func (p *Paper) document(title string, pages []*draw.Drawing) *draw.Document {
	draw.Number(pages)
	return &draw.Document{Title: fmt.Sprintf("%s, %s", title, draw.Clean(p.Document)), Subject: "revision " + p.Hash, Pages: pages, Unix: p.Unix, TrueSize: true}
}
