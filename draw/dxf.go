package draw

import (
	"fmt"
	"math"
	"strings"
)

// DXF is the drawing as an R12 file (AC1009), millimetres, for laser, mill and drawing program. Lines, arcs and circles stay what they are; curves become
// polylines that miss them by at most 0.005 mm. Lengths, radii and diameters are dimensions, each with its picture in a block, so that a program that cannot draw
// them shows them as they are on paper; angles are lines and words. Fillings are left out but for arrow heads, and so is clipping. Layer names are written in the
// letters that R12 allows.
func DXF(d *Drawing) []byte {
	w := dxf{names: layerNames(d)}
	w.head(d)
	w.blocks(d)
	w.tag(0, "SECTION")
	w.tag(2, "ENTITIES")
	n := 0
	for k := range d.Items {
		i := &d.Items[k]
		switch {
		case i.Dim != nil && i.Dim.Kind != Angle:
			n++
			w.on(i.Layer)
			w.dimension(i.Dim, n)
		case i.Dim != nil:
			w.drawn(i)
		default:
			w.item(i)
		}
	}
	w.tag(0, "ENDSEC")
	w.tag(0, "EOF")
	return []byte(w.b.String())
}

type dxf struct {
	b     strings.Builder
	names []layerName
	layer string
}

type layerName struct{ ours, theirs string }

// layerNames makes names of at most 31 capitals, digits, -, _ and $, each once.
func layerNames(d *Drawing) []layerName {
	var out []layerName
	used := map[string]bool{"0": true}
	for _, l := range d.Layers {
		n := strings.Map(func(r rune) rune {
			switch {
			case r >= 'a' && r <= 'z':
				return r - 'a' + 'A'
			case r >= 'A' && r <= 'Z', r >= '0' && r <= '9', r == '-', r == '$':
				return r
			}
			return '_'
		}, Clean(l.Name))
		if n == "" {
			n = "LAYER"
		}
		n = n[:min(len(n), 27)]
		one := n
		for k := 2; used[one]; k++ {
			one = fmt.Sprintf("%s_%d", n, k)
		}
		used[one] = true
		out = append(out, layerName{l.Name, one})
	}
	return out
}

func (w *dxf) tag(code int, v any) {
	if f, ok := v.(float64); ok {
		v = dec(f)
	}
	fmt.Fprintf(&w.b, "%3d\n%v\n", code, v)
}

// dec is a decimal number to a millionth that is always seen to be one.
func dec(f float64) string {
	s := Short(f, 6)
	if !strings.Contains(s, ".") {
		s += ".0"
	}
	return s
}

func (w *dxf) point(code int, p Point) {
	w.tag(code, p.X)
	w.tag(code+10, p.Y)
}

func (w *dxf) head(d *Drawing) {
	w.tag(999, "lowslung, units: mm")
	w.tag(0, "SECTION")
	w.tag(2, "HEADER")
	w.tag(9, "$ACADVER")
	w.tag(1, "AC1009")
	w.tag(9, "$DWGCODEPAGE")
	w.tag(3, "ANSI_1252")
	w.tag(9, "$INSUNITS") // 4 is mm
	w.tag(70, 4)
	w.tag(9, "$MEASUREMENT") // 1 is metric
	w.tag(70, 1)
	w.tag(9, "$LUNITS") // decimal
	w.tag(70, 2)
	w.tag(9, "$EXTMIN")
	w.point(10, Pt(0, 0))
	w.tag(9, "$EXTMAX")
	w.point(10, Pt(d.W, d.H))
	w.tag(9, "$LIMMIN")
	w.point(10, Pt(0, 0))
	w.tag(9, "$LIMMAX")
	w.point(10, Pt(d.W, d.H))
	w.tag(0, "ENDSEC")

	w.tag(0, "SECTION")
	w.tag(2, "TABLES")
	w.tag(0, "TABLE")
	w.tag(2, "LTYPE")
	w.tag(70, 2)
	w.ltype("CONTINUOUS", "Solid line")
	w.ltype("DASHED", "Dashed", 3, -1.5)
	w.tag(0, "ENDTAB")
	w.tag(0, "TABLE")
	w.tag(2, "LAYER")
	w.tag(70, len(w.names)+1)
	w.layerRow("0", 7)
	for i, n := range w.names {
		w.layerRow(n.theirs, index(d.Layers[i].Colour))
	}
	w.tag(0, "ENDTAB")
	w.tag(0, "TABLE")
	w.tag(2, "STYLE")
	w.tag(70, 1)
	w.tag(0, "STYLE")
	w.tag(2, "STANDARD")
	w.tag(70, 0)
	w.tag(40, 0.0)
	w.tag(41, 1.0)
	w.tag(50, 0.0)
	w.tag(71, 0)
	w.tag(42, 2.5)
	w.tag(3, "txt")
	w.tag(4, "")
	w.tag(0, "ENDTAB")
	w.tag(0, "TABLE")
	w.tag(2, "DIMSTYLE")
	w.tag(70, 1)
	w.tag(0, "DIMSTYLE")
	w.tag(2, "STANDARD")
	w.tag(70, 0)
	w.tag(0, "ENDTAB")
	w.tag(0, "ENDSEC")
}

func (w *dxf) ltype(name, title string, dashes ...float64) {
	w.tag(0, "LTYPE")
	w.tag(2, name)
	w.tag(70, 0)
	w.tag(3, title)
	w.tag(72, 65)
	w.tag(73, len(dashes))
	sum := 0.0
	for _, l := range dashes {
		sum += math.Abs(l)
	}
	w.tag(40, sum)
	for _, l := range dashes {
		w.tag(49, l)
	}
}

func (w *dxf) layerRow(name string, colour int) {
	w.tag(0, "LAYER")
	w.tag(2, name)
	w.tag(70, 0)
	w.tag(62, colour)
	w.tag(6, "CONTINUOUS")
}

// index is the nearest of the format's nine numbered colours; black is 7, which is black on white and white on black.
func index(c Colour) int {
	r, g, b := c.rgb()
	best, at := math.MaxInt, 7
	for _, k := range []struct {
		i       int
		r, g, b int
	}{{7, 0, 0, 0}, {1, 200, 30, 30}, {2, 200, 200, 0}, {3, 30, 150, 60}, {4, 0, 180, 180}, {5, 30, 80, 180}, {6, 180, 0, 180}, {8, 110, 110, 110}, {9, 200, 200, 200}} {
		dr, dg, db := int(r)-k.r, int(g)-k.g, int(b)-k.b
		if e := dr*dr + dg*dg + db*db; e < best {
			best, at = e, k.i
		}
	}
	return at
}

func (w *dxf) start(kind, line string) {
	w.tag(0, kind)
	w.tag(8, w.layer)
	if line != "" {
		w.tag(6, line)
	}
}

// on chooses a layer of the drawing.
func (w *dxf) on(layer string) {
	w.layer = "0"
	for _, n := range w.names {
		if n.ours == layer {
			w.layer = n.theirs
		}
	}
}

// drawn writes a dimension as lines and words.
func (w *dxf) drawn(i *Item) {
	parts := i.Dim.Parts(i.Layer)
	for k := range parts {
		w.item(&parts[k])
	}
}

// blocks holds the pictures of the dimensions, *D1 and on.
func (w *dxf) blocks(d *Drawing) {
	w.tag(0, "SECTION")
	w.tag(2, "BLOCKS")
	n := 0
	for k := range d.Items {
		i := &d.Items[k]
		if i.Dim == nil || i.Dim.Kind == Angle {
			continue
		}
		n++
		w.tag(0, "BLOCK")
		w.tag(8, "0")
		w.tag(2, fmt.Sprintf("*D%d", n))
		w.tag(70, 1) // has no name of its own
		w.point(10, Pt(0, 0))
		w.tag(3, fmt.Sprintf("*D%d", n))
		w.tag(1, "")
		w.drawn(i)
		w.tag(0, "ENDBLK")
		w.tag(8, "0")
	}
	w.tag(0, "ENDSEC")
}

// dimension is a length, radius or diameter whose picture is block n. Its points are those of the format: 13 and 14 what is measured between, 10 the dimension line's end there;
// of a radius 10 the middle and 15 the rim, of a diameter 15 the rim and 10 the point across from it.
func (w *dxf) dimension(m *Dim, n int) {
	w.start("DIMENSION", "")
	w.tag(2, fmt.Sprintf("*D%d", n))
	label := Point{}
	for _, p := range m.Parts("") {
		if p.Text != nil {
			b := p.Text.Bounds()
			label = b.Min.Plus(b.Max).Times(0.5)
		}
	}
	switch m.Kind {
	case Radius:
		w.point(10, m.A)
		w.point(11, label)
		w.tag(70, 4)
		w.tag(1, dxfText(Clean(m.Label())))
		w.point(15, m.B)
		w.tag(40, 0.0)
	case Diameter:
		w.point(10, m.A.Times(2).Minus(m.B))
		w.point(11, label)
		w.tag(70, 3)
		w.tag(1, dxfText(Clean(m.Label())))
		w.point(15, m.B)
		w.tag(40, 0.0)
	default:
		along, _, b := m.line()
		w.point(10, b)
		w.point(11, label)
		w.tag(70, 0)
		w.tag(1, dxfText(Clean(m.Label())))
		w.point(13, m.A)
		w.point(14, m.B)
		w.tag(50, degrees(math.Atan2(along.Y, along.X)))
	}
	w.tag(3, "STANDARD")
}

func (w *dxf) item(i *Item) {
	w.on(i.Layer)
	if i.Text != nil {
		w.text(i.Text)
		return
	}
	line := ""
	if len(i.Style.Dash) > 0 {
		line = "DASHED"
	}
	if i.Style.Stroke == None {
		w.solid(i)
		return
	}
	if c, r, ok := i.Path.circle(); ok {
		w.start("CIRCLE", line)
		w.point(10, c)
		w.tag(40, r)
		return
	}
	for _, run := range runs(i.Path) {
		w.run(run, line)
	}
}

// solid writes filled triangles and four-cornered pieces; white ones hide what is under them and mean nothing here.
func (w *dxf) solid(i *Item) {
	lines, _ := i.Path.flat(0.005)
	if i.Style.Fill == None || i.Style.Fill == White || len(lines) != 1 || len(lines[0]) < 3 || len(lines[0]) > 4 {
		return
	}
	p := lines[0]
	w.start("SOLID", "")
	w.point(10, p[0])
	w.point(11, p[1])
	w.point(12, p[len(p)-1]) // the third and fourth corner stand crosswise
	w.point(13, p[2])
}

// runs is the path cut where the pen is lifted.
func runs(p Path) []Path {
	var out []Path
	for _, s := range p {
		if s.Verb == MoveTo || len(out) == 0 {
			out = append(out, nil)
		}
		out[len(out)-1] = append(out[len(out)-1], s)
	}
	return out
}

func (w *dxf) run(p Path, line string) {
	if len(p) == 2 && p[0].Verb == MoveTo {
		switch s := p[1]; s.Verb {
		case LineTo:
			w.start("LINE", line)
			w.point(10, p[0].To)
			w.point(11, s.To)
			return
		case ArcTo:
			from, to := s.From, s.From+s.Sweep
			if s.Sweep < 0 {
				from, to = to, from
			}
			w.start("ARC", line)
			w.point(10, s.Centre)
			w.tag(40, s.R)
			w.tag(50, degrees(from))
			w.tag(51, degrees(to))
			return
		}
	}
	type vertex struct {
		at    Point
		bulge float64
	}
	var all []vertex
	closed := 0
	for _, s := range p {
		switch s.Verb {
		case ArcTo: // a bulge is the tangent of a quarter of the angle, and takes less than a full turn
			if len(all) == 0 {
				all = append(all, vertex{at: s.Centre.Polar(s.R, s.From)})
			}
			n := max(int(math.Ceil(math.Abs(s.Sweep)/math.Pi-1e-9)), 1)
			for k := 1; k <= n; k++ {
				all[len(all)-1].bulge = math.Tan(s.Sweep / float64(n) / 4)
				to := s.Centre.Polar(s.R, s.From+s.Sweep*float64(k)/float64(n))
				if k == n {
					to = s.To
				}
				all = append(all, vertex{at: to})
			}
		case CurveTo:
			from := s.To
			if len(all) > 0 {
				from = all[len(all)-1].at
			}
			lines, _ := Path{{Verb: MoveTo, To: from}, s}.flat(0.005)
			for _, q := range lines[0][1:] {
				all = append(all, vertex{at: q})
			}
		case Close:
			closed = 1
		default:
			all = append(all, vertex{at: s.To})
		}
	}
	if n := len(all); closed == 1 && n > 1 && all[n-1].at.Minus(all[0].at).Norm() < 1e-6 {
		all = all[:n-1]
	}
	if len(all) < 2 {
		return
	}
	w.start("POLYLINE", line)
	w.tag(66, 1)
	w.point(10, Pt(0, 0))
	w.tag(70, closed)
	for _, v := range all {
		w.start("VERTEX", "")
		w.point(10, v.at)
		if v.bulge != 0 {
			w.tag(42, v.bulge)
		}
	}
	w.start("SEQEND", "")
}

func degrees(a float64) float64 {
	return math.Mod(math.Mod(a*180/math.Pi, 360)+360, 360)
}

func (w *dxf) text(t *Text) {
	s := dxfText(Clean(t.S))
	if s == "" {
		return
	}
	w.start("TEXT", "")
	w.point(10, t.origin())
	w.tag(40, t.Size*capital)
	w.tag(1, s)
	if t.Turn != 0 {
		w.tag(50, degrees(t.Turn))
	}
	w.tag(72, int(t.Anchor))
	up := 0
	if t.Centre {
		up = 2
	}
	if t.Anchor != Start || up != 0 {
		w.point(11, t.At)
	}
	w.tag(73, up)
}

// dxfText writes Ø, ° and ± as R12 spells them, Latin letters in its code page, others as \U+ with four hex digits, and the signs that mean something to it
// twice or with a blank.
func dxfText(s string) string {
	var b strings.Builder
	n := 0
	for _, r := range s {
		if n++; n > 240 || b.Len() > 240 { // R12 ends a text at 255 bytes
			break
		}
		switch {
		case r == '%':
			b.WriteString("%%%")
		case r == '^':
			b.WriteString("^ ")
		case r == 'Ø':
			b.WriteString("%%c")
		case r == '°':
			b.WriteString("%%d")
		case r == '±':
			b.WriteString("%%p")
		case r < 0x80:
			b.WriteRune(r)
		case r >= 0xA0 && r <= 0xFF:
			b.WriteByte(byte(r))
		case r <= 0xFFFF:
			fmt.Fprintf(&b, "\\U+%04X", r)
		default:
			b.WriteString("\\U+25A1")
		}
	}
	return b.String()
}
