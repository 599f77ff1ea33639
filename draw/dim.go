package draw

import (
	"math"
	"strconv"
	"strings"
)

// Measured is what a dimension measures.
type Measured int8

// What a dimension measures.
const (
	Between  Measured = iota // the distance from A to B
	Across                   // its part along x
	Upright                  // its part along y
	Radius                   // of a circle round A through B
	Diameter                 // of a circle round A through B
	Angle                    // at At, counter-clockwise from A to B
)

// A Dim is a dimension: drawn by the back ends as ISO 129-1 has it (from memory), extension lines, arrows, and the value over the line.
type Dim struct {
	Kind  Measured
	A, B  Point
	At    Point   // of an angle: its apex
	Off   float64 // distance of the dimension line: to the left of A→B, above for Across, right for Upright; an angle's radius
	Text  string  // instead of the value
	Scale float64 // mm on the sheet for a mm of the thing; 0 is 1
	Size  float64 // of the text; 0 is 2.8 mm

	turn float64 // that Put has given it: the ways of Across and Upright
}

func (m *Dim) scale() float64 {
	if m.Scale == 0 {
		return 1
	}
	return m.Scale
}

// Value is what it measures: mm of the thing, or rad.
func (m *Dim) Value() float64 {
	v := m.B.Minus(m.A)
	sin, cos := math.Sincos(m.turn)
	switch m.Kind {
	case Across:
		return math.Abs(v.X*cos+v.Y*sin) / m.scale()
	case Upright:
		return math.Abs(v.Y*cos-v.X*sin) / m.scale()
	case Diameter:
		return 2 * v.Norm() / m.scale()
	case Angle:
		a, b := m.A.Minus(m.At), m.B.Minus(m.At)
		return math.Mod(math.Atan2(b.Y, b.X)-math.Atan2(a.Y, a.X)+4*math.Pi, 2*math.Pi)
	}
	return v.Norm() / m.scale()
}

// Label is the text that stands at it.
func (m *Dim) Label() string {
	if m.Text != "" {
		return m.Text
	}
	switch m.Kind {
	case Radius:
		return "R " + Short(m.Value(), 2)
	case Diameter:
		return "Ø " + Short(m.Value(), 2)
	case Angle:
		return Short(m.Value()*180/math.Pi, 1) + "°"
	}
	return Short(m.Value(), 2)
}

// Short is a number with at most so many decimals, none that say nothing.
func Short(v float64, digits int) string {
	s := strconv.FormatFloat(v, 'f', digits, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}

const (
	arrowLong = 2.4  // mm
	arrowHalf = 0.42 // half its width
	extGap    = 0.7  // between the thing and its extension line
	extOver   = 1.2  // of the extension line over the dimension line
	dimPen    = 0.18
)

// Parts is the dimension as paths and texts.
func (m *Dim) Parts(layer string) []Item {
	p := parts{layer: layer, size: m.Size}
	if p.size == 0 {
		p.size = 2.8
	}
	switch m.Kind {
	case Radius, Diameter:
		p.round(m)
	case Angle:
		p.angle(m)
	default:
		p.linear(m)
	}
	return p.out
}

type parts struct {
	layer string
	size  float64
	out   []Item
}

func (p *parts) line(q Path) {
	p.out = append(p.out, Item{Layer: p.layer, Path: q, Style: Pen(dimPen)})
}

// arrow has its tip at q and looks along way.
func (p *parts) arrow(q, way Point) {
	back := q.Minus(way.Times(arrowLong))
	n := way.Left().Times(arrowHalf)
	p.out = append(p.out, Item{Layer: p.layer, Path: Polygon(q, back.Plus(n), back.Minus(n)), Style: Solid(Black)})
}

func (p *parts) text(at Point, turn float64, a Anchor, s string) {
	p.out = append(p.out, Item{Layer: p.layer, Text: &Text{At: at, S: s, Size: p.size, Anchor: a, Turn: turn, Back: true}})
}

// line is the dimension line of a length: which way it runs, and its ends beside A and B.
func (m *Dim) line() (along, a, b Point) {
	along = m.B.Minus(m.A).Unit()
	switch m.Kind {
	case Across:
		along = Pt(math.Cos(m.turn), math.Sin(m.turn))
		if m.B.Minus(m.A).dot(along) < 0 {
			along = along.Times(-1)
		}
	case Upright:
		along = Pt(-math.Sin(m.turn), math.Cos(m.turn))
		if m.B.Minus(m.A).dot(along) < 0 {
			along = along.Times(-1)
		}
	}
	out := along.Left() // the way from the thing to the dimension line
	off := m.Off
	switch m.Kind {
	case Across: // above, whichever way A→B runs
		if out.dot(Pt(-math.Sin(m.turn), math.Cos(m.turn))) < 0 {
			off = -off
		}
	case Upright: // to the right
		if out.dot(Pt(math.Cos(m.turn), math.Sin(m.turn))) < 0 {
			off = -off
		}
	}
	// Off is measured from A; B's extension line is longer or shorter by how much further it lies.
	a = m.A.Plus(out.Times(off))
	return along, a, a.Plus(along.Times(m.B.Minus(m.A).dot(along)))
}

func (p *parts) linear(m *Dim) {
	along, a, b := m.line()
	for _, e := range [][2]Point{{m.A, a}, {m.B, b}} {
		way := e[1].Minus(e[0])
		if n := way.Norm(); n > extGap {
			u := way.Times(1 / n)
			p.line(Line(e[0].Plus(u.Times(extGap)), e[1].Plus(u.Times(extOver))))
		}
	}
	long := b.Minus(a).Norm()
	label := m.Label()
	wide := Width(label, Sans, p.size)
	turn, readable := upright(along)
	up := Pt(-math.Sin(turn), math.Cos(turn)).Times(0.9)
	switch {
	case long >= wide+2*arrowLong+1:
		p.line(Line(a, b))
		p.arrow(a, along.Times(-1))
		p.arrow(b, along)
		p.text(a.Plus(b).Times(0.5).Plus(up), turn, Middle, label)
	default: // arrows from outside; the text between them if it has room there, or beyond B
		p.line(Line(a.Minus(along.Times(arrowLong+2)), b.Plus(along.Times(arrowLong+2))))
		p.arrow(a, along)
		p.arrow(b, along.Times(-1))
		if long >= wide+0.6 {
			p.text(a.Plus(b).Times(0.5).Plus(up), turn, Middle, label)
			break
		}
		at, anchor := b.Plus(along.Times(arrowLong+2.6)), Start
		if !readable {
			anchor = End
		}
		p.text(at.Minus(up.Times(1.0/0.9*p.size*capital/2)), turn, anchor, label)
	}
}

// upright is the turn at which text along the way is read from below or from the right, and whether it then runs the same way.
func upright(way Point) (turn float64, same bool) {
	turn = math.Atan2(way.Y, way.X)
	if turn > math.Pi/2+1e-9 {
		return turn - math.Pi, false
	}
	if turn <= -math.Pi/2+1e-9 {
		return turn + math.Pi, false
	}
	return turn, true
}

// round draws a leader from the rim outwards with the value at its end.
func (p *parts) round(m *Dim) {
	way := m.B.Minus(m.A).Unit()
	far := m.B.Plus(way.Times(max(math.Abs(m.Off), arrowLong+1)))
	if m.Kind == Radius {
		p.line(Line(m.A, far))
	} else {
		p.line(Line(m.B, far))
	}
	p.arrow(m.B, way.Times(-1))
	anchor, flat := Start, Pt(1.2, 0)
	if way.X < 0 {
		anchor, flat = End, Pt(-1.2, 0)
	}
	p.line(Line(far, far.Plus(flat)))
	p.text(far.Plus(flat.Times(1.4)).Minus(Pt(0, p.size*capital/2)), 0, anchor, m.Label())
}

func (p *parts) angle(m *Dim) {
	a, b := m.A.Minus(m.At), m.B.Minus(m.At)
	r := math.Abs(m.Off)
	if r == 0 {
		r = min(a.Norm(), b.Norm())
	}
	from, sweep := math.Atan2(a.Y, a.X), m.Value()
	for _, leg := range []Point{a, b} {
		u := leg.Unit()
		if n := leg.Norm(); n+extGap < r {
			p.line(Line(m.At.Plus(u.Times(n+extGap)), m.At.Plus(u.Times(r+extOver))))
		}
	}
	p.line(Arc(m.At, r, from, sweep))
	label := m.Label()
	tipA, tipB := m.At.Polar(r, from), m.At.Polar(r, from+sweep)
	tanA, tanB := Pt(math.Sin(from), -math.Cos(from)), Pt(-math.Sin(from+sweep), math.Cos(from+sweep))
	if r*sweep < 3*arrowLong { // arrows from outside
		p.line(Arc(m.At, r, from-(arrowLong+2)/r, (arrowLong+2)/r))
		p.line(Arc(m.At, r, from+sweep, (arrowLong+2)/r))
		tanA, tanB = tanA.Times(-1), tanB.Times(-1)
	}
	p.arrow(tipA, tanA)
	p.arrow(tipB, tanB)
	mid := m.At.Polar(r+0.8+p.size*0.5+Width(label, Sans, p.size)/2*math.Abs(math.Cos(from+sweep/2)), from+sweep/2)
	p.out = append(p.out, Item{Layer: p.layer, Text: &Text{At: mid, S: label, Size: p.size, Anchor: Middle, Centre: true, Back: true}})
}

func (p Point) dot(q Point) float64 { return p.X*q.X + p.Y*q.Y }
