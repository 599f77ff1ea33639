package draw

import "slices"

// A Colour is opaque 0xFFRRGGBB; 0 is none.
type Colour uint32

// Colours that a back end without colour (DXF) has names for.
const (
	None  Colour = 0
	Black Colour = 0xFF000000
	White Colour = 0xFFFFFFFF
	Grey  Colour = 0xFF6B6B6B
	Pale  Colour = 0xFFD0D0D0
	Red   Colour = 0xFFB3261E
	Blue  Colour = 0xFF1F5FA8
	Green Colour = 0xFF2A7A3B
)

// RGB is a colour.
func RGB(r, g, b uint8) Colour { return 0xFF000000 | Colour(r)<<16 | Colour(g)<<8 | Colour(b) }

func (c Colour) rgb() (r, g, b uint8) { return uint8(c >> 16), uint8(c >> 8), uint8(c) }

// A Style says how a path is drawn. The zero style draws nothing.
type Style struct {
	Stroke Colour
	Width  float64   // of the pen, mm
	Dash   []float64 // lengths on, off, …, mm; empty is solid
	Fill   Colour
}

// Pen is a solid black line of a width in mm. ISO 128: 0.18, 0.25, 0.35, 0.5, 0.7.
func Pen(width float64) Style { return Style{Stroke: Black, Width: width} }

// Coloured is the style with another line colour.
func (s Style) Coloured(c Colour) Style {
	s.Stroke = c
	return s
}

// Dashed is the style with dashes.
func (s Style) Dashed(on ...float64) Style {
	s.Dash = on
	return s
}

// Filled is the style with a filling.
func (s Style) Filled(c Colour) Style {
	s.Fill = c
	return s
}

// Solid is a filling without a line.
func Solid(c Colour) Style { return Style{Fill: c} }

// A Layer groups what belongs together: SVG groups, PDF optional content, DXF layers.
type Layer struct {
	Name   string
	Title  string // what is on it, in words
	Colour Colour // in DXF
}

// An Item is one entry of the list: a path, a text or a dimension.
type Item struct {
	Layer string
	Path  Path
	Style Style // of the path
	Text  *Text
	Dim   *Dim
	Clip  *Box   // shown inside of it only; nil: everywhere. DXF shows all
	Link  string // http, https or #place; others are left out
	Note  string // what it is, for whoever points at it (SVG title)
}

// A Drawing is a list of items on a sheet, in order: the later covers the earlier.
type Drawing struct {
	Name   string
	W, H   float64 // sheet, mm
	Layers []Layer
	Items  []Item
}

// New is an empty drawing on a sheet of w by h mm.
func New(name string, w, h float64) *Drawing { return &Drawing{Name: name, W: w, H: h} }

// Layer says what a layer is; a layer that nothing was said about appears with its first item.
func (d *Drawing) Layer(name, title string, c Colour) {
	for i := range d.Layers {
		if d.Layers[i].Name == name {
			d.Layers[i] = Layer{name, title, c}
			return
		}
	}
	d.Layers = append(d.Layers, Layer{name, title, c})
}

// Add appends an item.
func (d *Drawing) Add(i Item) {
	if !slices.ContainsFunc(d.Layers, func(l Layer) bool { return l.Name == i.Layer }) {
		d.Layers = append(d.Layers, Layer{Name: i.Layer, Colour: Black})
	}
	d.Items = append(d.Items, i)
}

// Stroke appends a path.
func (d *Drawing) Stroke(layer string, p Path, s Style) { d.Add(Item{Layer: layer, Path: p, Style: s}) }

// Write appends a text.
func (d *Drawing) Write(layer string, t Text) { d.Add(Item{Layer: layer, Text: &t}) }

// Measure appends a dimension.
func (d *Drawing) Measure(layer string, m Dim) { d.Add(Item{Layer: layer, Dim: &m}) }

// Put appends what is on another drawing, placed, and clipped if clip is not nil (in the coordinates of d).
func (d *Drawing) Put(other *Drawing, t Placement, clip *Box) {
	for _, l := range other.Layers {
		if !slices.ContainsFunc(d.Layers, func(m Layer) bool { return m.Name == l.Name }) {
			d.Layers = append(d.Layers, l)
		}
	}
	for i := range other.Items {
		it := other.Items[i].placed(t)
		if clip != nil {
			if !it.Bounds().Meets(*clip) {
				continue
			}
			it.Clip = clip
		}
		d.Items = append(d.Items, it)
	}
}

func (i Item) placed(t Placement) Item {
	i.Path = i.Path.Placed(t)
	if i.Style.Width > 0 {
		i.Style.Width *= t.scale()
	}
	if i.Text != nil {
		x := *i.Text
		x.At = t.Apply(x.At)
		x.Size *= t.scale()
		x.Turn += t.Turn
		i.Text = &x
	}
	if i.Dim != nil {
		x := *i.Dim
		x.A, x.B, x.At = t.Apply(x.A), t.Apply(x.B), t.Apply(x.At)
		x.Off *= t.scale()
		if t.Flip && x.Kind == Between {
			x.Off = -x.Off
		}
		x.Scale = x.scale() * t.scale()
		x.turn += t.Turn
		i.Dim = &x
	}
	if i.Clip != nil {
		b := Nothing().With(t.Apply(i.Clip.Min)).With(t.Apply(i.Clip.Max))
		i.Clip = &b
	}
	return i
}

// Bounds of an item, lines at no width.
func (i *Item) Bounds() Box {
	switch {
	case i.Text != nil:
		return i.Text.Bounds()
	case i.Dim != nil:
		out := Nothing()
		for _, p := range i.Dim.Parts(i.Layer) {
			b := p.Bounds()
			out = out.With(b.Min).With(b.Max)
		}
		return out
	}
	return i.Path.Bounds()
}

// Bounds of all that is on it.
func (d *Drawing) Bounds() Box {
	out := Nothing()
	for i := range d.Items {
		b := d.Items[i].Bounds()
		if b.Min.X <= b.Max.X {
			out = out.With(b.Min).With(b.Max)
		}
	}
	return out
}

// flat calls f for every item with dimensions taken apart into paths and texts.
func (d *Drawing) flat(f func(i *Item)) {
	for k := range d.Items {
		i := &d.Items[k]
		if i.Dim == nil {
			f(i)
			continue
		}
		parts := i.Dim.Parts(i.Layer)
		for p := range parts {
			parts[p].Clip, parts[p].Link, parts[p].Note = i.Clip, i.Link, i.Note
			f(&parts[p])
		}
	}
}
