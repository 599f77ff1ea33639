package shop

import (
	"bytes"
	"fmt"
	"html/template"
	"strings"

	"lowslung/draw"
)

// The order of work on paper: Markdown, one HTML file, PDF; each with boxes to tick.

// Markdown is the list with boxes as many readers of Markdown show them.
func (w *Work) Markdown() string {
	var b strings.Builder
	text := strings.NewReplacer("\n", " ", "<", "&lt;", "*", "\\*", "_", "\\_", "`", "\\`", "[", "\\[", "|", "\\|")
	fmt.Fprintf(&b, "# %s: order of work\n", text.Replace(w.Name))
	for _, f := range w.Findings {
		fmt.Fprintf(&b, "\n> **Solve first:** %s\n", text.Replace(f.Sentence))
	}
	if len(w.Tools) > 0 {
		fmt.Fprintf(&b, "\nLay out: %s.\n", text.Replace(strings.Join(w.Tools, ", ")))
	}
	for _, st := range w.Stages {
		fmt.Fprintf(&b, "\n## %s\n\n", st.Title)
		for i := range st.Steps {
			s := &st.Steps[i]
			fmt.Fprintf(&b, "- [ ] **%d.** %s\n", s.Number, text.Replace(s.Do))
			if len(s.Tools) > 0 {
				fmt.Fprintf(&b, "  - With %s.\n", text.Replace(strings.Join(s.Tools, ", ")))
			}
			for _, n := range s.Notes {
				fmt.Fprintf(&b, "  - %s.\n", text.Replace(n))
			}
			for k := range s.Checks {
				fmt.Fprintf(&b, "  - [ ] check %s\n", text.Replace(s.Checks[k].String()))
			}
			for _, c := range s.Care {
				fmt.Fprintf(&b, "  - **Take care:** %s.\n", text.Replace(c))
			}
		}
	}
	if len(w.Rest) > 0 {
		fmt.Fprintf(&b, "\nIn no step, since no mate, link or place ties them to another part: %s.\n", text.Replace(strings.Join(w.Rest, ", ")))
	}
	fmt.Fprintf(&b, "\n%s\n", workNote)
	return b.String()
}

const workNote = "Numbers to check are the model's: those of springs, tyres and travel are estimates for a hobby build. Where a maker's instructions say otherwise, they come first."

var workPage = template.Must(template.New("work").Parse(`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{{.Name}}: order of work</title>
<style>
:root { color-scheme: light dark; --ink: #1c1b19; --soft: #5c5850; --line: #d5d0c6; --paper: #fffefb; --care: #8a1f17; }
@media (prefers-color-scheme: dark) { :root { --ink: #ece8df; --soft: #b0aa9d; --line: #46423a; --paper: #1d1c1a; --care: #ff9b8f; } }
body { font: 16px/1.45 system-ui, sans-serif; color: var(--ink); background: var(--paper); max-width: 46rem; margin: 0 auto; padding: 1.2rem; }
h1 { font-size: 1.5rem; margin: 0 0 .4rem; } h2 { font-size: 1.1rem; margin: 1.6rem 0 .3rem; border-bottom: 2px solid var(--ink); }
ol { list-style: none; margin: 0; padding: 0; } li.step { padding: .5rem 0; border-bottom: 1px solid var(--line); break-inside: avoid; }
label { display: grid; grid-template-columns: 1.3rem 2.2rem 1fr; gap: .4rem; align-items: start; }
label.check { grid-template-columns: 1.3rem 1fr auto; margin: .15rem 0 .15rem 4.3rem; }
label.check b { white-space: nowrap; } label.check input[type="text"] { width: 5.5rem; }
input[type="checkbox"] { width: 1.1rem; height: 1.1rem; margin: .15rem 0 0; }
p { margin: .2rem 0 .2rem 4.3rem; } p.soft, .foot { color: var(--soft); font-size: .92rem; } p.care { color: var(--care); } .top { margin-left: 0; }
.n { color: var(--soft); font-variant-numeric: tabular-nums; text-align: right; }
@media (max-width: 30rem) { p, label.check { margin-left: 1.7rem; } }
@media print { body { font-size: 10.5pt; max-width: none; padding: 0; } :root { --ink: #000; --soft: #444; --line: #bbb; --paper: #fff; --care: #000; } h2 { break-after: avoid; } p.care::before { content: "⚠ "; } }
</style>
</head>
<body>
<main>
<h1>{{.Name}}: order of work</h1>
{{range .Findings}}<p class="care top"><b>Solve first:</b> {{.Sentence}}</p>
{{end}}{{if .Tools}}<p class="soft top">Lay out: {{range $i, $t := .Tools}}{{if $i}}, {{end}}{{$t}}{{end}}.</p>
{{end}}{{range .Stages}}<section>
<h2>{{.Title}}</h2>
<ol>
{{range .Steps}}<li class="step"><label><input type="checkbox"><span class="n">{{.Number}}.</span><span>{{.Do}}</span></label>
{{if .Tools}}<p class="soft">With {{range $i, $t := .Tools}}{{if $i}}, {{end}}{{$t}}{{end}}.</p>
{{end}}{{range .Notes}}<p class="soft">{{.}}.</p>
{{end}}{{range .Checks}}<label class="check"><input type="checkbox"><span>{{.What}}</span><b>{{.Want}}</b></label>
{{end}}{{range .Care}}<p class="care">{{.}}.</p>
{{end}}</li>
{{end}}</ol>
</section>
{{end}}{{if .Rest}}<p class="soft top">In no step, since no mate, link or place ties them to another part: {{range $i, $t := .Rest}}{{if $i}}, {{end}}{{$t}}{{end}}.</p>
{{end}}<p class="foot top">{{.Note}}</p>
</main>
</body>
</html>
`))

// HTML is one file that needs nothing else, to read on a phone beside the vice or to print.
func (w *Work) HTML() ([]byte, error) {
	var b bytes.Buffer
	err := workPage.Execute(&b, struct {
		*Work
		Note string
	}{w, workNote})
	return b.Bytes(), err
}

// PDF is the list on paper, with boxes to tick by pencil. Date and hash are printed when they are not empty.
func (w *Work) PDF(format draw.Format, date, hash string, unix int64) ([]byte, error) {
	p := &workPaper{sheet: draw.Sheet{Format: format, Document: w.Name, Date: date, Hash: hash}}
	p.turn()
	for _, f := range w.Findings {
		p.paragraph("Solve first: "+f.Sentence, 0, draw.Bold, 3.4, draw.Red)
	}
	if len(w.Tools) > 0 {
		p.paragraph("Lay out: "+strings.Join(w.Tools, ", ")+".", 0, draw.Sans, 3.2, draw.Black)
	}
	for _, st := range w.Stages {
		p.heading(st.Title)
		for i := range st.Steps {
			p.step(&st.Steps[i])
		}
	}
	if len(w.Rest) > 0 {
		p.paragraph("In no step, since no mate, link or place ties them to another part: "+strings.Join(w.Rest, ", ")+".", 0, draw.Sans, 3, draw.Grey)
	}
	p.paragraph(workNote, 0, draw.Sans, 3, draw.Grey)
	draw.Number(p.pages)
	return draw.PDF(&draw.Document{Title: w.Name + ": order of work", Subject: "Order of work", Pages: p.pages, Unix: unix})
}

// A workPaper fills pages from the top.
type workPaper struct {
	sheet draw.Sheet
	pages []*draw.Drawing
	room  draw.Box
	y     float64 // top of what is still free, mm
}

func (p *workPaper) turn() {
	p.pages = append(p.pages, p.sheet.Page("Order of work"))
	p.room = p.sheet.Room()
	p.y = p.room.Max.Y
}

func (p *workPaper) page() *draw.Drawing { return p.pages[len(p.pages)-1] }

// need turns the page when less than high mm are left.
func (p *workPaper) need(high float64) {
	if p.y-high < p.room.Min.Y {
		p.turn()
	}
}

func (p *workPaper) heading(title string) {
	p.need(24) // with its first step
	p.y -= 3
	p.page().Write("text", draw.Text{At: draw.Pt(p.room.Min.X, p.y-4.6), S: title, Size: 4.6, Face: draw.Bold})
	p.y -= 6.4
	p.page().Stroke("text", draw.Line(draw.Pt(p.room.Min.X, p.y), draw.Pt(p.room.Max.X, p.y)), draw.Pen(0.35))
	p.y -= 1.6
}

// paragraph writes text from in mm off the left edge, over pages when it must.
func (p *workPaper) paragraph(s string, in float64, face draw.Face, size float64, c draw.Colour) {
	pitch := size * 1.32
	for _, line := range draw.Wrap(s, face, size, p.room.W()-in) {
		p.need(pitch)
		p.page().Write("text", draw.Text{At: draw.Pt(p.room.Min.X+in, p.y-size), S: line, Size: size, Face: face, Colour: c})
		p.y -= pitch
	}
}

func (p *workPaper) box(in, size float64) {
	p.page().Stroke("boxes", draw.Rect(p.room.Min.X+in, p.y-size-0.4, size, size), draw.Pen(0.25))
}

const stepIn = 15.0 // mm, where the text of a step begins

func (p *workPaper) step(s *WorkStep) {
	// A step stays together when it fits on a page: its height is counted first.
	lines := func(text string, in, size float64) float64 {
		return float64(len(draw.Wrap(text, draw.Sans, size, p.room.W()-in))) * size * 1.32
	}
	high := lines(s.Do, stepIn, 3.5) + 2
	for _, n := range append(append([]string{}, s.Notes...), s.Care...) {
		high += lines(n+".", stepIn, 3)
	}
	if len(s.Tools) > 0 {
		high += lines("With "+strings.Join(s.Tools, ", ")+".", stepIn, 3)
	}
	high += 4.8 * float64(len(s.Checks))
	if high < p.room.H() {
		p.need(high)
	}
	p.box(0, 3.8)
	p.page().Write("text", draw.Text{At: draw.Pt(p.room.Min.X+stepIn-2.5, p.y-3.5), S: fmt.Sprint(s.Number), Size: 3.5, Anchor: draw.End, Colour: draw.Grey})
	p.paragraph(s.Do, stepIn, draw.Sans, 3.5, draw.Black)
	if len(s.Tools) > 0 {
		p.paragraph("With "+strings.Join(s.Tools, ", ")+".", stepIn, draw.Sans, 3, draw.Grey)
	}
	for _, n := range s.Notes {
		p.paragraph(n+".", stepIn, draw.Sans, 3, draw.Grey)
	}
	for k := range s.Checks {
		c := &s.Checks[k]
		p.need(4.8)
		p.box(stepIn, 3.2)
		wide := draw.Width(c.Want, draw.Bold, 3.2)
		d := p.page()
		d.Write("text", draw.Text{At: draw.Pt(p.room.Min.X+stepIn+5, p.y-3.2), S: draw.Fit(c.What, draw.Sans, 3.2, p.room.W()-stepIn-7-wide-26), Size: 3.2})
		d.Write("text", draw.Text{At: draw.Pt(p.room.Max.X-26, p.y-3.2), S: c.Want, Size: 3.2, Face: draw.Bold, Anchor: draw.End})
		d.Stroke("boxes", draw.Line(draw.Pt(p.room.Max.X-23, p.y-3.9), draw.Pt(p.room.Max.X, p.y-3.9)), draw.Pen(0.18)) // for what was measured
		p.y -= 4.8
	}
	for _, c := range s.Care {
		p.paragraph("Take care: "+c+".", stepIn, draw.Sans, 3, draw.Red)
	}
	p.y -= 2
}
