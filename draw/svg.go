package draw

import (
	"fmt"
	"math"
	"strings"
)

// SVG is the drawing at true size: width and height in mm, one unit of the view box a mm. Text is text; its width is that of the fonts used on
// paper, whichever fonts the reader has.
func SVG(d *Drawing) []byte {
	w := svg{h: d.H}
	fmt.Fprintf(&w.b, `<svg xmlns="http://www.w3.org/2000/svg" width="%smm" height="%smm" viewBox="0 0 %s %s" role="img">`+"\n", num(d.W), num(d.H), num(d.W), num(d.H))
	fmt.Fprintf(&w.b, "<title>%s</title>\n", escape(Clean(d.Name)))
	layer := "\x00"
	d.flat(func(i *Item) {
		if i.Layer != layer {
			if layer != "\x00" {
				w.b.WriteString("</g>\n")
			}
			layer = i.Layer
			fmt.Fprintf(&w.b, "<g data-layer=\"%s\">\n", escape(Clean(layer)))
		}
		w.item(i)
	})
	if layer != "\x00" {
		w.b.WriteString("</g>\n")
	}
	w.b.WriteString("</svg>\n")
	return []byte(w.b.String())
}

type svg struct {
	b strings.Builder
	h float64
}

// num is a number of mm to a ten thousandth.
func num(v float64) string { return Short(v, 4) }

var escaper = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;", "'", "&#39;")

func escape(s string) string { return escaper.Replace(s) }

func (w *svg) xy(p Point) string { return num(p.X) + " " + num(w.h-p.Y) }

func hex(c Colour) string {
	r, g, b := c.rgb()
	return fmt.Sprintf("#%02x%02x%02x", r, g, b)
}

func (w *svg) item(i *Item) {
	if c := i.Clip; c != nil { // an svg inside an svg shows nothing outside itself, and needs no name
		box := fmt.Sprintf("%s %s %s %s", num(c.Min.X), num(w.h-c.Max.Y), num(c.W()), num(c.H()))
		f := strings.Fields(box)
		fmt.Fprintf(&w.b, `<svg x="%s" y="%s" width="%s" height="%s" viewBox="%s" overflow="hidden">`, f[0], f[1], f[2], f[3], box)
		defer w.b.WriteString("</svg>\n")
	}
	link := safeLink(i.Link)
	if link != "" {
		fmt.Fprintf(&w.b, `<a href="%s">`, escape(link))
		defer w.b.WriteString("</a>\n")
	}
	note := ""
	if i.Note != "" {
		note = "<title>" + escape(Clean(i.Note)) + "</title>"
	}
	if i.Text != nil {
		w.text(i.Text, note)
		return
	}
	if len(i.Path) == 0 || i.Style.Stroke == None && i.Style.Fill == None {
		return
	}
	if c, r, ok := i.Path.circle(); ok {
		fmt.Fprintf(&w.b, `<circle cx="%s" cy="%s" r="%s"%s>%s</circle>`+"\n", num(c.X), num(w.h-c.Y), num(r), style(i.Style), note)
		return
	}
	fmt.Fprintf(&w.b, `<path d="%s"%s>%s</path>`+"\n", w.path(i.Path), style(i.Style), note)
}

func style(s Style) string {
	out := ` fill="none"`
	if s.Fill != None {
		out = ` fill="` + hex(s.Fill) + `"`
	}
	if s.Stroke != None {
		out += fmt.Sprintf(` stroke="%s" stroke-width="%s" stroke-linejoin="round" stroke-linecap="round"`, hex(s.Stroke), num(s.Width))
		if len(s.Dash) > 0 {
			var all []string
			for _, l := range s.Dash {
				all = append(all, num(l))
			}
			out += ` stroke-dasharray="` + strings.Join(all, " ") + `"`
		}
	}
	return out
}

func (w *svg) path(p Path) string {
	var b strings.Builder
	down := false
	for _, s := range p {
		if b.Len() > 0 {
			b.WriteByte(' ')
		}
		switch s.Verb {
		case MoveTo:
			b.WriteString("M" + w.xy(s.To))
		case LineTo:
			b.WriteString("L" + w.xy(s.To))
		case CurveTo:
			b.WriteString("C" + w.xy(s.C1) + " " + w.xy(s.C2) + " " + w.xy(s.To))
		case ArcTo:
			if !down {
				b.WriteString("M" + w.xy(s.Centre.Polar(s.R, s.From)) + " ")
			}
			sweep := 0 // y points down in SVG: counter-clockwise for us is 0
			if s.Sweep < 0 {
				sweep = 1
			}
			n := int(math.Ceil(math.Abs(s.Sweep)/(math.Pi*0.75) - 1e-9)) // an SVG arc is none when it ends where it starts
			for k := 1; k <= n; k++ {
				to := s.Centre.Polar(s.R, s.From+s.Sweep*float64(k)/float64(n))
				if k == n {
					to = s.To
				}
				fmt.Fprintf(&b, "A%s %s 0 0 %d %s", num(s.R), num(s.R), sweep, w.xy(to))
				if k < n {
					b.WriteByte(' ')
				}
			}
		case Close:
			b.WriteByte('Z')
		}
		down = true
	}
	return b.String()
}

func (w *svg) text(t *Text, note string) {
	s := Clean(t.S)
	if s == "" {
		return
	}
	if t.Back {
		c := t.corners()
		fmt.Fprintf(&w.b, `<path d="%s" fill="#ffffff"></path>`+"\n", w.path(Polygon(c[:]...)))
	}
	o := t.origin()
	face := `sans-serif`
	switch t.Face {
	case Bold:
		face = `sans-serif" font-weight="bold`
	case Mono:
		face = `monospace`
	}
	turn, long := "", ""
	if t.Turn != 0 {
		turn = fmt.Sprintf(` transform="rotate(%s %s %s)"`, num(-t.Turn*180/math.Pi), num(o.X), num(w.h-o.Y))
	}
	if shown(s) == s {
		long = fmt.Sprintf(` textLength="%s" lengthAdjust="spacingAndGlyphs"`, num(Width(s, t.Face, t.Size)))
	}
	fmt.Fprintf(&w.b, `<text x="%s" y="%s" font-family="%s" font-size="%s" fill="%s"%s%s>%s%s</text>`+"\n",
		num(o.X), num(w.h-o.Y), face, num(t.Size), hex(t.colour()), long, turn, note, escape(s))
}

// safeLink lets through what leads to a page or to a place on this one, and nothing that runs.
func safeLink(s string) string {
	s = Clean(s)
	if strings.HasPrefix(s, "https://") || strings.HasPrefix(s, "http://") || strings.HasPrefix(s, "#") {
		return s
	}
	return ""
}
