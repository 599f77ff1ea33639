package sheet

import (
	"bytes"
	_ "embed"
	"html/template"
	"regexp"
	"strings"

	"lowslung/draw"
	"lowslung/finding"
)

// The page's colours, light and dark, and the rest of its style.
var (
	//go:embed light.css
	light string
	//go:embed dark.css
	dark string
	//go:embed sheet.css
	layout string
)

// styles are dark where the reader's system is, or where whoever shows the sheet says so, and light on paper.
var styles = ":root { color-scheme: light dark;\n" + light + "}\n@media (prefers-color-scheme: dark) { :root:not([data-look='light']) {\n" + dark +
	"} }\n:root[data-look='light'] { color-scheme: light; }\n:root[data-look='dark'] { color-scheme: dark;\n" + dark + "}\n@media print { :root, :root[data-look] { color-scheme: light;\n" + light + "} }\n" + layout

//go:embed sheet.tmpl.html
var page string

var pageTemplate = template.Must(template.New("sheet").Funcs(template.FuncMap{
	"style":  func() template.CSS { return template.CSS(styles) },
	"cure":   func(f finding.Finding) string { return cureOf(&f) },
	"figure": func(f *Figure) template.HTML { return inlineSVG(f) },
	"wide":   func(f *Figure) bool { return f.Drawing.W > plotWide+20 },
	"minus":  minus,
	"column": func(t *Table, i int) Column { return t.Columns[i] },
	"join":   strings.Join,
	"pairs":  figureRuns,
}).Parse(page))

// HTML is the sheet as one file: no script, no font, no picture and no style from anywhere else. It reads on a phone, in the dark, by a
// screen reader, and prints.
func (s *Sheet) HTML() ([]byte, error) {
	var b bytes.Buffer
	err := pageTemplate.Execute(&b, s)
	return b.Bytes(), err
}

// A run is blocks that belong side by side: figures, or one block of another kind.
type run struct {
	Figures []*Figure
	Block   *Block
}

func figureRuns(blocks []Block) []run {
	var out []run
	for i := range blocks {
		k := &blocks[i]
		if k.Figure == nil {
			out = append(out, run{Block: k})
			continue
		}
		if n := len(out); n == 0 || out[n-1].Figures == nil {
			out = append(out, run{})
		}
		out[len(out)-1].Figures = append(out[len(out)-1].Figures, k.Figure)
	}
	return out
}

// minus sets a number with a true minus sign; text stays as it is.
func minus(c Column, s string) string {
	if c.Num && len(s) > 1 && s[0] == '-' && s[1] >= '0' && s[1] <= '9' {
		return "−" + s[1:]
	}
	return s
}

var svgHead = regexp.MustCompile(`^<svg [^>]*(viewBox="[^"]*")[^>]*>\n<title>[^<]*</title>\n`)

// inlineSVG is a figure's drawing as part of the page: as wide as there is room, named by what it shows.
func inlineSVG(f *Figure) template.HTML {
	svg := string(draw.SVG(f.Drawing)) // escapes all text that it holds
	head := `<svg role="img" aria-label="` + template.HTMLEscapeString(draw.Clean(f.Alt)) + `" `
	return template.HTML(svgHead.ReplaceAllStringFunc(svg, func(m string) string {
		return head + svgHead.FindStringSubmatch(m)[1] + ">\n"
	}))
}
