package draw

import "math"

// A Point is a place on the sheet, mm.
type Point struct{ X, Y float64 }

// Pt is a point.
func Pt(x, y float64) Point { return Point{x, y} }

// Plus is p + q.
func (p Point) Plus(q Point) Point { return Point{p.X + q.X, p.Y + q.Y} }

// Minus is p − q.
func (p Point) Minus(q Point) Point { return Point{p.X - q.X, p.Y - q.Y} }

// Times is k·p.
func (p Point) Times(k float64) Point { return Point{p.X * k, p.Y * k} }

// Norm is the length of p.
func (p Point) Norm() float64 { return math.Hypot(p.X, p.Y) }

// Unit is p at length 1; (1, 0) for no length.
func (p Point) Unit() Point {
	n := p.Norm()
	if n == 0 {
		return Point{1, 0}
	}
	return p.Times(1 / n)
}

// Left is p turned by a quarter to the left.
func (p Point) Left() Point { return Point{-p.Y, p.X} }

// Polar is the point at distance r and angle a from p.
func (p Point) Polar(r, a float64) Point { return Point{p.X + r*math.Cos(a), p.Y + r*math.Sin(a)} }

// Verb is what a segment of a path does.
type Verb int8

// The verbs.
const (
	MoveTo  Verb = iota // lift the pen and go to To
	LineTo              // straight to To
	ArcTo               // round Centre from angle From by Sweep; a path may begin with it
	CurveTo             // cubic Bézier by C1 and C2 to To
	Close               // straight back to where the pen was last put down
)

// A Seg is one segment of a path.
type Seg struct {
	Verb        Verb
	To          Point // where it ends; for ArcTo too
	C1, C2      Point // CurveTo
	Centre      Point // ArcTo
	R           float64
	From, Sweep float64 // rad, counter-clockwise; a full circle is 2π
}

// A Path is what a pen draws. Filled by the non-zero rule: a hole runs the other way round.
type Path []Seg

// Line is a straight line.
func Line(a, b Point) Path { return Path{{Verb: MoveTo, To: a}, {Verb: LineTo, To: b}} }

// Polyline joins the points.
func Polyline(points ...Point) Path {
	var p Path
	for i, q := range points {
		v := LineTo
		if i == 0 {
			v = MoveTo
		}
		p = append(p, Seg{Verb: v, To: q})
	}
	return p
}

// Polygon joins the points and closes.
func Polygon(points ...Point) Path {
	if len(points) == 0 {
		return nil
	}
	return append(Polyline(points...), Seg{Verb: Close, To: points[0]})
}

// Rect is an upright rectangle by its lower left corner.
func Rect(x, y, w, h float64) Path {
	return Polygon(Pt(x, y), Pt(x+w, y), Pt(x+w, y+h), Pt(x, y+h))
}

// Circle is a full circle, counter-clockwise.
func Circle(c Point, r float64) Path {
	start := Pt(c.X+r, c.Y)
	return Path{
		{Verb: MoveTo, To: start}, {Verb: ArcTo, To: start, Centre: c, R: r, Sweep: 2 * math.Pi}, {Verb: Close, To: start},
	}
}

// Arc is part of a circle.
func Arc(c Point, r, from, sweep float64) Path {
	return Path{{Verb: MoveTo, To: c.Polar(r, from)}, {Verb: ArcTo, To: c.Polar(r, from+sweep), Centre: c, R: r, From: from, Sweep: sweep}}
}

// Slot is the outline of a hole as long as the way from a to b, with round ends of radius r.
func Slot(a, b Point, r float64) Path {
	d := b.Minus(a).Unit()
	n := d.Left().Times(r)
	turn := math.Atan2(n.Y, n.X)
	start := a.Plus(n)
	return Path{
		{Verb: MoveTo, To: start},
		{Verb: ArcTo, To: a.Minus(n), Centre: a, R: r, From: turn, Sweep: math.Pi},
		{Verb: LineTo, To: b.Minus(n)},
		{Verb: ArcTo, To: b.Plus(n), Centre: b, R: r, From: turn - math.Pi, Sweep: math.Pi},
		{Verb: Close, To: start},
	}
}

// A Placement puts one drawing's coordinates into another's: first mirrored (x ↦ −x) if Flip, then scaled, turned and moved.
type Placement struct {
	Flip  bool
	Scale float64 // 0 is 1
	Turn  float64 // rad
	At    Point
}

func (t Placement) scale() float64 {
	if t.Scale == 0 {
		return 1
	}
	return t.Scale
}

// Apply places a point.
func (t Placement) Apply(p Point) Point {
	if t.Flip {
		p.X = -p.X
	}
	sin, cos := math.Sincos(t.Turn)
	k := t.scale()
	return Point{t.At.X + k*(cos*p.X-sin*p.Y), t.At.Y + k*(sin*p.X+cos*p.Y)}
}

// Placed is the path under a placement.
func (p Path) Placed(t Placement) Path {
	out := make(Path, len(p))
	for i, s := range p {
		s.To, s.C1, s.C2, s.Centre = t.Apply(s.To), t.Apply(s.C1), t.Apply(s.C2), t.Apply(s.Centre)
		s.R *= t.scale()
		if t.Flip {
			s.From, s.Sweep = math.Pi-s.From, -s.Sweep
		}
		s.From += t.Turn
		out[i] = s
	}
	return out
}

// circle says that the path is one full circle.
func (p Path) circle() (c Point, r float64, ok bool) {
	if len(p) < 2 || len(p) > 3 || p[0].Verb != MoveTo || p[1].Verb != ArcTo || len(p) == 3 && p[2].Verb != Close {
		return Point{}, 0, false
	}
	return p[1].Centre, p[1].R, math.Abs(p[1].Sweep) >= 2*math.Pi-1e-9
}

// curves is the path with its arcs as cubic curves of at most an eighth of a circle each, which miss the circle by less than 4·10⁻⁶ of its radius
// (control points at 4/3·tan(sweep/4); Goldapp, Approximation of circular arcs by cubic polynomials, 1991, from memory).
func (p Path) curves() Path {
	var out Path
	for _, s := range p {
		if s.Verb != ArcTo {
			out = append(out, s)
			continue
		}
		n := int(math.Ceil(math.Abs(s.Sweep)/(math.Pi/4) - 1e-9))
		n = min(max(n, 1), 64)
		step := s.Sweep / float64(n)
		k := 4. / 3 * math.Tan(step/4) * s.R
		for i := range n {
			a, b := s.From+float64(i)*step, s.From+float64(i+1)*step
			from, to := s.Centre.Polar(s.R, a), s.Centre.Polar(s.R, b)
			if i == n-1 {
				to = s.To
			}
			out = append(out, Seg{
				Verb: CurveTo, To: to,
				C1: from.Plus(Pt(-math.Sin(a), math.Cos(a)).Times(k)), C2: s.Centre.Polar(s.R, b).Minus(Pt(-math.Sin(b), math.Cos(b)).Times(k)),
			})
		}
	}
	return out
}

// flat is the path as strings of points that leave it by no more than tol mm; closed says which of them close.
func (p Path) flat(tol float64) (lines [][]Point, closed []bool) {
	var at Point
	add := func(q Point) {
		if len(lines) == 0 {
			lines, closed = append(lines, nil), append(closed, false)
		}
		k := len(lines) - 1
		if n := len(lines[k]); n == 0 || lines[k][n-1].Minus(q).Norm() > 1e-9 {
			lines[k] = append(lines[k], q)
		}
		at = q
	}
	for _, s := range p {
		switch s.Verb {
		case MoveTo:
			lines, closed = append(lines, nil), append(closed, false)
			add(s.To)
		case LineTo:
			add(s.To)
		case ArcTo:
			step := math.Pi / 4
			if s.R > tol {
				step = min(step, 2*math.Acos(1-tol/s.R)) // sagitta of a chord
			}
			n := min(int(math.Ceil(math.Abs(s.Sweep)/step)), 2000)
			add(s.Centre.Polar(s.R, s.From))
			for i := 1; i < n; i++ {
				add(s.Centre.Polar(s.R, s.From+s.Sweep*float64(i)/float64(n)))
			}
			add(s.To)
		case CurveTo:
			// A cubic leaves the chord of one of n even steps by at most √3/18·… of its second differences; 1/8 of their largest is on the safe side.
			a, b := at.Minus(s.C1.Times(2)).Plus(s.C2), s.C1.Minus(s.C2.Times(2)).Plus(s.To)
			n := min(max(int(math.Ceil(math.Sqrt(6*max(a.Norm(), b.Norm())/(8*tol)))), 1), 500)
			from := at
			for i := 1; i < n; i++ {
				t := float64(i) / float64(n)
				u := 1 - t
				add(from.Times(u * u * u).Plus(s.C1.Times(3 * u * u * t)).Plus(s.C2.Times(3 * u * t * t)).Plus(s.To.Times(t * t * t)))
			}
			add(s.To)
		case Close:
			if k := len(lines) - 1; k >= 0 && len(lines[k]) > 0 {
				closed[k] = true
				at = lines[k][0]
				if n := len(lines[k]); n > 1 && lines[k][n-1].Minus(at).Norm() < 1e-9 {
					lines[k] = lines[k][:n-1]
				}
			}
		}
	}
	return lines, closed
}

// A Box is an upright rectangle, mm.
type Box struct{ Min, Max Point }

// W is its width.
func (b Box) W() float64 { return b.Max.X - b.Min.X }

// H is its height.
func (b Box) H() float64 { return b.Max.Y - b.Min.Y }

// Middle of it.
func (b Box) Middle() Point { return b.Min.Plus(b.Max).Times(0.5) }

// Grown by m on every side.
func (b Box) Grown(m float64) Box {
	return Box{b.Min.Minus(Pt(m, m)), b.Max.Plus(Pt(m, m))}
}

// With holds q as well.
func (b Box) With(q Point) Box {
	return Box{Pt(min(b.Min.X, q.X), min(b.Min.Y, q.Y)), Pt(max(b.Max.X, q.X), max(b.Max.Y, q.Y))}
}

// Meets says that the two have something in common.
func (b Box) Meets(c Box) bool {
	return b.Min.X <= c.Max.X && c.Min.X <= b.Max.X && b.Min.Y <= c.Max.Y && c.Min.Y <= b.Max.Y
}

// Holds says that q is in it.
func (b Box) Holds(q Point) bool {
	return q.X >= b.Min.X && q.X <= b.Max.X && q.Y >= b.Min.Y && q.Y <= b.Max.Y
}

// Nothing is a box that holds nothing; With makes it one that does.
func Nothing() Box {
	inf := math.Inf(1)
	return Box{Pt(inf, inf), Pt(-inf, -inf)}
}

// Bounds of the path, of curves to a hundredth of a mm.
func (p Path) Bounds() Box {
	out := Nothing()
	lines, _ := p.flat(0.01)
	for _, l := range lines {
		for _, q := range l {
			out = out.With(q)
		}
	}
	for _, s := range p {
		if s.Verb != ArcTo {
			continue
		}
		from, to := s.From, s.From+s.Sweep
		if s.Sweep < 0 {
			from, to = to, from
		}
		for k := math.Ceil(from / (math.Pi / 2)); k*math.Pi/2 <= to; k++ { // right, top, left, bottom, where the arc passes them
			out = out.With(s.Centre.Polar(s.R, k*math.Pi/2))
		}
	}
	return out
}

// Length of the path, mm, by its own formulas for lines and arcs.
func (p Path) Length() (sum float64) {
	for i, s := range p {
		switch s.Verb {
		case ArcTo:
			sum += s.R * math.Abs(s.Sweep)
		case LineTo, Close:
			if i > 0 {
				sum += s.To.Minus(p[i-1].To).Norm()
			}
		case CurveTo:
			lines, _ := Path{{Verb: MoveTo, To: p[i-1].To}, s}.flat(1e-4)
			for k := 1; k < len(lines[0]); k++ {
				sum += lines[0][k].Minus(lines[0][k-1]).Norm()
			}
		}
	}
	return sum
}

// Points is the path as strings of points that leave it by no more than tol mm.
func (p Path) Points(tol float64) [][]Point {
	lines, _ := p.flat(tol)
	return lines
}
