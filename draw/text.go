package draw

import (
	"math"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// Anchor is which part of a line of text lies at its point.
type Anchor int8

// Anchors.
const (
	Start Anchor = iota
	Middle
	End
)

// Face is a typeface.
type Face int8

// Faces: the Go fonts by Bigelow & Holmes (BSD), embedded in what needs it.
const (
	Sans Face = iota
	Bold
	Mono
)

// A Text is one line.
type Text struct {
	At     Point
	S      string
	Size   float64 // em, mm
	Anchor Anchor
	Centre bool    // At is half way up the capitals, not on the line they stand on
	Turn   float64 // rad
	Face   Face
	Colour Colour // 0 is black
	Back   bool   // white behind it, so that it can be read over lines
}

func (t *Text) colour() Colour {
	if t.Colour == None {
		return Black
	}
	return t.Colour
}

// capital is the height of capitals and digits of an em, of the Go fonts.
const capital = 0.723

// origin is where the line of text starts, Clean and Anchor and Centre worked in.
func (t *Text) origin() Point {
	back, down := 0.0, 0.0
	w := Width(t.S, t.Face, t.Size)
	switch t.Anchor {
	case Middle:
		back = w / 2
	case End:
		back = w
	}
	if t.Centre {
		down = t.Size * capital / 2
	}
	along := Pt(math.Cos(t.Turn), math.Sin(t.Turn))
	return t.At.Minus(along.Times(back)).Minus(along.Left().Times(down))
}

// corners of the line of text, from its start counter-clockwise.
func (t *Text) corners() [4]Point {
	along := Pt(math.Cos(t.Turn), math.Sin(t.Turn))
	o, w := t.origin(), Width(t.S, t.Face, t.Size)
	low, high := along.Left().Times(-0.22*t.Size), along.Left().Times(0.78*t.Size)
	return [4]Point{o.Plus(low), o.Plus(along.Times(w)).Plus(low), o.Plus(along.Times(w)).Plus(high), o.Plus(high)}
}

// Bounds of the line of text.
func (t *Text) Bounds() Box {
	out := Nothing()
	for _, c := range t.corners() {
		out = out.With(c)
	}
	return out
}

type typeface struct {
	name string
	ttf  []byte
	font *sfnt.Font
	em   fixed.Int26_6
}

var faces = sync.OnceValue(func() [3]typeface {
	out := [3]typeface{{name: "Go", ttf: goregular.TTF}, {name: "Go Bold", ttf: gobold.TTF}, {name: "Go Mono", ttf: gomono.TTF}}
	for i := range out {
		f, err := sfnt.Parse(out[i].ttf)
		if err != nil {
			panic(err) // the font is compiled in
		}
		out[i].font, out[i].em = f, fixed.I(int(f.UnitsPerEm()))
	}
	return out
})

func (f Face) face() *typeface {
	all := faces()
	return &all[f]
}

// Width of a line of text, mm.
func Width(s string, f Face, size float64) float64 {
	t := f.face()
	var b sfnt.Buffer
	var sum fixed.Int26_6
	for _, r := range shown(s) {
		g, _ := t.font.GlyphIndex(&b, r)
		a, err := t.font.GlyphAdvance(&b, g, t.em, font.HintingNone)
		if err == nil {
			sum += a
		}
	}
	return float64(sum) / float64(t.em) * size
}

// longest is the most characters of one line of text; more than anyone reads, less than would hurt.
const longest = 2000

// Clean makes foreign text fit for paper: one line, no control or direction characters, not endless.
func Clean(s string) string {
	var b strings.Builder
	n, gap := 0, false
	for _, r := range s {
		switch {
		case r == utf8.RuneError || unicode.Is(unicode.Co, r) || unicode.Is(unicode.Cs, r):
			r = '\uFFFD'
		case unicode.IsSpace(r) || unicode.IsControl(r):
			gap = b.Len() > 0
			continue
		case unicode.Is(unicode.Cf, r):
			continue
		}
		if gap {
			b.WriteByte(' ')
			gap = false
		}
		b.WriteRune(r)
		if n++; n >= longest {
			b.WriteRune('…')
			break
		}
	}
	return b.String()
}

// shown is the text as the fonts can show it: cleaned, what they lack as □.
func shown(s string) string {
	f := faces()[Sans].font
	var buf sfnt.Buffer
	return strings.Map(func(r rune) rune {
		if g, err := f.GlyphIndex(&buf, r); err != nil || g == 0 || r > 0xFFFF {
			return '□'
		}
		return r
	}, Clean(s))
}

// Fit is the text, shortened with … to be no wider than width mm.
func Fit(s string, f Face, size, width float64) string {
	s = Clean(s)
	if Width(s, f, size) <= width {
		return s
	}
	runes := []rune(s)
	lo, hi := 0, len(runes)
	for lo < hi {
		mid := (lo + hi + 1) / 2
		if Width(string(runes[:mid])+"…", f, size) <= width {
			lo = mid
		} else {
			hi = mid - 1
		}
	}
	if lo == 0 && Width("…", f, size) > width {
		return ""
	}
	return strings.TrimRight(string(runes[:lo]), " ") + "…"
}

// Wrap breaks the text into lines no wider than width mm, between words where it can.
func Wrap(s string, f Face, size, width float64) []string {
	var out []string
	line := ""
	for _, word := range strings.Fields(Clean(s)) {
		long := word
		if line != "" {
			long = line + " " + word
		}
		if Width(long, f, size) <= width {
			line = long
			continue
		}
		if line != "" {
			out = append(out, line)
		}
		for Width(word, f, size) > width { // a word wider than the line
			n := 0
			for k := range word {
				if k > 0 && Width(word[:k], f, size) > width {
					break
				}
				n = k
			}
			if n == 0 {
				break
			}
			out = append(out, word[:n])
			word = word[n:]
		}
		line = word
	}
	if line != "" {
		out = append(out, line)
	}
	return out
}

// Paragraph writes wrapped text downwards from its first line's left end and tells the y of the line after the last.
func (d *Drawing) Paragraph(layer string, t Text, width, pitch float64) float64 {
	for _, line := range Wrap(t.S, t.Face, t.Size, width) {
		one := t
		one.S = line
		d.Write(layer, one)
		t.At.Y -= pitch
	}
	return t.At.Y
}
