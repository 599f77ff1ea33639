package draw

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"math"

	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/vector"
)

// mostPixels bounds the memory that a picture takes: 4 bytes each, and as much again while it is drawn.
const mostPixels = 64e6

// PNG is the drawing on white, at so many dots per inch; the file says so, and prints at true size.
func PNG(d *Drawing, dpi float64) ([]byte, error) {
	k := dpi / 25.4
	w, h := int(math.Ceil(d.W*k-1e-6)), int(math.Ceil(d.H*k-1e-6))
	if !(w > 0 && h > 0) || float64(w)*float64(h) > mostPixels {
		return nil, fmt.Errorf("PNG: found %g × %g mm at %g dots per inch, expected more than none and at most %g million pixels: ask for fewer dots per inch", d.W, d.H, dpi, mostPixels/1e6)
	}
	c := canvas{img: image.NewRGBA(image.Rect(0, 0, w, h)), k: k, h: d.H}
	draw.Draw(c.img, c.img.Bounds(), image.White, image.Point{}, draw.Src)
	d.flat(c.item)
	var b bytes.Buffer
	enc := png.Encoder{CompressionLevel: png.BestCompression}
	if err := enc.Encode(&b, c.img); err != nil {
		return nil, fmt.Errorf("PNG: %w", err)
	}
	return withDots(b.Bytes(), dpi), nil
}

type canvas struct {
	img *image.RGBA
	k   float64 // pixels for a mm
	h   float64 // mm
}

func (c *canvas) at(p Point) (x, y float64) { return p.X * c.k, (c.h - p.Y) * c.k }

func (c *canvas) item(i *Item) {
	clip := c.img.Bounds()
	if b := i.Clip; b != nil {
		x0, y0 := c.at(Pt(b.Min.X, b.Max.Y))
		x1, y1 := c.at(Pt(b.Max.X, b.Min.Y))
		clip = clip.Intersect(image.Rect(int(math.Round(x0)), int(math.Round(y0)), int(math.Round(x1)), int(math.Round(y1))))
	}
	if i.Text != nil {
		if i.Text.Back {
			q := i.Text.corners()
			c.fill([][]Point{q[:]}, White, clip)
		}
		c.fill(glyphs(i.Text), i.Text.colour(), clip)
		return
	}
	lines, closed := i.Path.flat(0.05 / c.k)
	if i.Style.Fill != None {
		c.fill(lines, i.Style.Fill, clip)
	}
	if i.Style.Stroke != None {
		half := max(i.Style.Width, 0.7/c.k) / 2
		for n, l := range lines {
			if closed[n] && len(l) > 1 {
				l = append(l[:len(l):len(l)], l[0])
			}
			for _, bit := range dashes(l, i.Style.Dash) {
				c.fill(outline(bit, half), i.Style.Stroke, clip)
			}
		}
	}
}

// fill fills closed rings by the non-zero rule.
func (c *canvas) fill(rings [][]Point, colour Colour, clip image.Rectangle) {
	box := Nothing()
	for _, r := range rings {
		for _, p := range r {
			x, y := c.at(p)
			box = box.With(Pt(x, y))
		}
	}
	if !(box.Min.X <= box.Max.X) {
		return
	}
	clamp := func(v float64) int { return int(min(max(v, -1e6), 1e6)) }
	part := image.Rect(clamp(math.Floor(box.Min.X)), clamp(math.Floor(box.Min.Y)), clamp(math.Ceil(box.Max.X))+1, clamp(math.Ceil(box.Max.Y))+1).Intersect(clip)
	if part.Empty() {
		return
	}
	r := vector.NewRasterizer(part.Dx(), part.Dy())
	for _, ring := range rings {
		for n, p := range ring {
			x, y := c.at(p)
			x, y = x-float64(part.Min.X), y-float64(part.Min.Y)
			if n == 0 {
				r.MoveTo(float32(x), float32(y))
			} else {
				r.LineTo(float32(x), float32(y))
			}
		}
		r.ClosePath()
	}
	red, green, blue := colour.rgb()
	r.Draw(c.img, part, image.NewUniform(color.RGBA{red, green, blue, 255}), image.Point{})
}

// outline is a string of points as wide as a pen: a piece for every step and a round for every corner, all turning the same way, so that they add up.
func outline(line []Point, half float64) (out [][]Point) {
	for n, p := range line {
		ring := make([]Point, 12)
		for k := range ring {
			ring[k] = p.Polar(half, float64(k)*math.Pi/6)
		}
		out = append(out, ring)
		if n > 0 {
			a := line[n-1]
			s := p.Minus(a).Unit().Left().Times(half)
			out = append(out, []Point{a.Minus(s), p.Minus(s), p.Plus(s), a.Plus(s)})
		}
	}
	return out
}

// dashes cuts a string of points.
func dashes(line []Point, dash []float64) [][]Point {
	sum := 0.0
	for _, l := range dash {
		sum += l
	}
	if sum < 0.05 {
		return [][]Point{line}
	}
	var out [][]Point
	on, k, left := true, 0, dash[0]
	cur := []Point{line[0]}
	for n := 1; n < len(line); n++ {
		a, b := line[n-1], line[n]
		long := b.Minus(a).Norm()
		u := b.Minus(a).Unit()
		for at := 0.0; ; {
			if long-at <= left {
				left -= long - at
				if on {
					cur = append(cur, b)
				}
				break
			}
			at += left
			p := a.Plus(u.Times(at))
			if on {
				out = append(out, append(cur, p))
			}
			on = !on
			cur = []Point{p}
			k++
			left = dash[k%len(dash)]
		}
	}
	if on && len(cur) > 1 {
		out = append(out, cur)
	}
	return out
}

// glyphs is a line of text as rings.
func glyphs(t *Text) (out [][]Point) {
	face := t.Face.face()
	var buf sfnt.Buffer
	k := t.Size / float64(face.em)
	at := 0.0
	place := Placement{Turn: t.Turn, At: t.origin()}
	for _, r := range shown(t.S) {
		g, _ := face.font.GlyphIndex(&buf, r)
		segs, err := face.font.LoadGlyph(&buf, g, face.em, nil)
		if err == nil {
			var p Path
			var last Point
			for _, s := range segs {
				pt := func(i int) Point { return Pt(at+float64(s.Args[i].X)*k, -float64(s.Args[i].Y)*k) }
				switch s.Op {
				case sfnt.SegmentOpMoveTo:
					p = append(p, Seg{Verb: MoveTo, To: pt(0)})
					last = pt(0)
				case sfnt.SegmentOpLineTo:
					p = append(p, Seg{Verb: LineTo, To: pt(0)})
					last = pt(0)
				case sfnt.SegmentOpQuadTo: // raised to a cubic
					q, to := pt(0), pt(1)
					p = append(p, Seg{Verb: CurveTo, C1: last.Plus(q.Minus(last).Times(2. / 3)), C2: to.Plus(q.Minus(to).Times(2. / 3)), To: to})
					last = to
				case sfnt.SegmentOpCubeTo:
					p = append(p, Seg{Verb: CurveTo, C1: pt(0), C2: pt(1), To: pt(2)})
					last = pt(2)
				}
			}
			lines, _ := p.Placed(place).flat(t.Size / 400)
			out = append(out, lines...)
		}
		if a, err := face.font.GlyphAdvance(&buf, g, face.em, 0); err == nil {
			at += float64(a) * k
		}
	}
	return out
}
