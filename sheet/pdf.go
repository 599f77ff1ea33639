package sheet

import (
	"strconv"

	"lowslung/draw"
	"lowslung/finding"
)

// The PDF: sections set down pages from top to bottom. Nothing is scaled, so the drawings are at the scale they name.

// Measures of the type, mm.
const (
	bodySize  = 3.2
	bodyPitch = 4.5
	cellSize  = 2.75
	cellPitch = 3.7
	cellPad   = 0.6 // over and under a row
	colGap    = 3.0
)

// PDF is the sheet on its paper, with fonts embedded and text that can be selected. Unix is the date written into the file.
func (s *Sheet) PDF(unix int64) ([]byte, error) {
	c := newComposer(s)
	c.all()
	title := s.Title
	if s.Subtitle != "" {
		title += ", " + s.Subtitle
	}
	return draw.PDF(&draw.Document{Title: title, Subject: "Set-up sheet", Pages: c.pages, Unix: unix})
}

func newComposer(s *Sheet) *composer {
	f := draw.A4
	if s.Paper == Letter {
		f = draw.Letter
	}
	return &composer{s: s, format: f, left: (f.W - figureWide) / 2, top: f.H - 15, bottom: 19}
}

// all sets the whole sheet.
func (c *composer) all() {
	c.turn()
	c.head()
	for i := range c.s.Sections {
		c.section(&c.s.Sections[i])
	}
	for i, p := range c.pages {
		c.foot(p, i+1)
	}
}

// A composer sets blocks on pages.
type composer struct {
	s                 *Sheet
	format            draw.Format
	left, top, bottom float64
	pages             []*draw.Drawing
	d                 *draw.Drawing
	y                 float64 // where the next thing begins, from below
	fresh             bool    // nothing is on the page yet
}

// turn begins a new page.
func (c *composer) turn() {
	c.d = draw.New("Page "+strconv.Itoa(len(c.pages)+1), c.format.W, c.format.H)
	c.d.Layer("sheet", "Text and tables", draw.Black)
	c.pages = append(c.pages, c.d)
	c.y, c.fresh = c.top, true
}

// need turns the page unless there is room for so many mm.
func (c *composer) need(tall float64) {
	if c.y-tall < c.bottom && !c.fresh {
		c.turn()
	}
}

func (c *composer) right() float64 { return c.left + figureWide }

func (c *composer) text(x, y float64, s string, size float64, f draw.Face, ink draw.Colour, a draw.Anchor) {
	c.d.Write("sheet", draw.Text{At: draw.Pt(x, y), S: s, Size: size, Face: f, Colour: ink, Anchor: a})
	c.fresh = false
}

func (c *composer) rule(y, width float64, ink draw.Colour) {
	c.d.Stroke("sheet", draw.Line(draw.Pt(c.left, y), draw.Pt(c.right(), y)), draw.Pen(width).Coloured(ink))
}

func (c *composer) head() {
	for _, line := range draw.Wrap(c.s.Title, draw.Bold, 7, figureWide) {
		c.text(c.left, c.y-6, line, 7, draw.Bold, draw.Black, draw.Start)
		c.y -= 8.4
	}
	if c.s.Subtitle != "" {
		c.paragraph(c.s.Subtitle, 4, 5.4, draw.Grey, figureWide, 0)
	}
	c.y -= 1.5
	for _, f := range c.s.Facts {
		c.text(c.left, c.y-3, f.Name, cellSize, draw.Sans, draw.Grey, draw.Start)
		for _, v := range f.Values {
			c.paragraph(v, cellSize, cellPitch, draw.Black, figureWide-26, 26)
		}
	}
	c.y -= 2
	c.rule(c.y, 0.7, draw.Black)
	c.y -= 1
}

// paragraph sets wrapped text, page after page if need be.
func (c *composer) paragraph(s string, size, pitch float64, ink draw.Colour, width, indent float64) {
	for _, line := range draw.Wrap(s, draw.Sans, size, width) {
		c.need(pitch)
		c.text(c.left+indent, c.y-pitch*0.75, line, size, draw.Sans, ink, draw.Start)
		c.y -= pitch
	}
}

func (c *composer) section(x *Section) {
	runs := figureRuns(x.Blocks)
	if len(runs) == 0 {
		return
	}
	c.need(13.5 + c.first(&runs[0])) // no heading without what it heads
	if !c.fresh {
		c.y -= 5
	}
	c.text(c.left, c.y-4.6, x.Title, 4.6, draw.Bold, draw.Black, draw.Start)
	c.y -= 6.4
	c.rule(c.y, 0.25, draw.Grey)
	c.y -= 1.6
	for i := range runs {
		c.run(&runs[i])
	}
}

// first is the height of the first piece of a block that may not be parted from its heading.
func (c *composer) first(r *run) float64 {
	switch {
	case r.Figures != nil:
		first := c.rows(r.Figures)[0]
		return first.tall + first.said
	case r.Block.Table != nil:
		return c.measure(r.Block.Table).opening()
	case r.Block.Findings != nil:
		return 3 * bodyPitch
	case r.Block.List != nil:
		return bodyPitch * float64(len(draw.Wrap(r.Block.List[0], draw.Sans, bodySize, figureWide-5)))
	}
	return 2 * bodyPitch
}

func (c *composer) run(r *run) {
	switch {
	case r.Figures != nil:
		c.figures(r.Figures)
	case r.Block.Table != nil:
		c.table(r.Block.Table)
	case r.Block.Findings != nil:
		c.findings(r.Block.Findings)
	case r.Block.List != nil:
		for _, t := range r.Block.List {
			c.need(bodyPitch * float64(len(draw.Wrap(t, draw.Sans, bodySize, figureWide-5))))
			c.text(c.left+1, c.y-bodyPitch*0.75, "•", bodySize, draw.Sans, draw.Black, draw.Start)
			c.paragraph(t, bodySize, bodyPitch, draw.Black, figureWide-5, 5)
			c.y -= 0.8
		}
	default:
		c.paragraph(r.Block.Text, bodySize, bodyPitch, draw.Grey, figureWide, 0)
		c.y -= 1
	}
}

// Inks of the levels, as the workbench has them.
var levelInk = map[finding.Level]draw.Colour{
	finding.Stop: draw.RGB(0xa1, 0x22, 0x1a), finding.Watch: draw.RGB(0x75, 0x46, 0), finding.Note: draw.RGB(0x3a, 0x4f, 0x61), finding.OK: draw.RGB(0x1c, 0x63, 0x37),
}

func (c *composer) findings(list []finding.Finding) {
	const indent = 13.0
	for i := range list {
		f := &list[i]
		lines := draw.Wrap(f.Sentence, draw.Sans, bodySize, figureWide-indent)
		cure := ""
		if t := cureOf(f); t != "" {
			cure = "→ " + t
		}
		c.need(bodyPitch * float64(len(lines)+len(draw.Wrap(cure, draw.Sans, bodySize, figureWide-indent))))
		c.text(c.left, c.y-bodyPitch*0.75, string(f.Level), bodySize, draw.Bold, levelInk[f.Level], draw.Start)
		c.paragraph(f.Sentence, bodySize, bodyPitch, draw.Black, figureWide-indent, indent)
		c.paragraph(cure, bodySize, bodyPitch, draw.Grey, figureWide-indent, indent)
		c.y -= 1
	}
}

// A shelf is figures side by side.
type shelf struct {
	list []*Figure
	tall float64 // of the drawings
	said float64 // of the captions under them
}

func (c *composer) rows(list []*Figure) []shelf {
	const gap = figureGap
	var out []shelf
	x := 0.0
	for _, f := range list {
		if len(out) == 0 || x+gap+f.Drawing.W > figureWide+1e-9 {
			out, x = append(out, shelf{}), -gap
		}
		s := &out[len(out)-1]
		s.list = append(s.list, f)
		s.tall = max(s.tall, f.Drawing.H)
		s.said = max(s.said, 3+cellPitch*float64(len(caption(f))))
		x += gap + f.Drawing.W
	}
	return out
}

func (c *composer) figures(list []*Figure) {
	for _, s := range c.rows(list) {
		c.need(s.tall + s.said)
		sum := 0.0
		for _, f := range s.list {
			sum += f.Drawing.W
		}
		gap := 0.0
		x := c.left + (figureWide-sum)/2
		if len(s.list) > 1 {
			x, gap = c.left, (figureWide-sum)/float64(len(s.list)-1)
		}
		for _, f := range s.list {
			c.d.Put(f.Drawing, draw.Placement{At: draw.Pt(x, c.y-s.tall)}, nil)
			for n, line := range caption(f) {
				c.text(x+1, c.y-s.tall-3.4-cellPitch*float64(n), line, cellSize, draw.Sans, draw.Grey, draw.Start)
			}
			x += f.Drawing.W + gap
		}
		c.y -= s.tall + s.said
	}
}

// caption of a figure, broken to its width.
func caption(f *Figure) []string { return draw.Wrap(f.Title, draw.Sans, cellSize, f.Drawing.W-2) }

// foot says on every page what it belongs to.
func (c *composer) foot(p *draw.Drawing, n int) {
	c.d = p
	c.rule(13.5, 0.18, draw.Grey)
	page := "page " + strconv.Itoa(n) + " of " + strconv.Itoa(len(c.pages))
	c.text(c.right(), 9.6, page, cellSize, draw.Sans, draw.Grey, draw.End)
	what := c.s.Title
	if c.s.document != "" {
		what += "   document " + c.s.document
	}
	c.text(c.left, 9.6, draw.Fit(what, draw.Sans, cellSize, figureWide-30), cellSize, draw.Sans, draw.Grey, draw.Start)
}
