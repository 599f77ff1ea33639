package shop

import (
	"cmp"
	"math"
	"slices"

	"lowslung/draw"
	"lowslung/solid"
)

// A view looks at a part square to a plane: right and up are the ways of the paper, toward the way to who looks. right × up = toward.
type view struct {
	right, up, toward solid.Vec
	name              string // where from
	words             [2]string
}

func (v *view) at(p solid.Vec) draw.Point { return draw.Pt(p.Dot(v.right), p.Dot(v.up)) }

// viewAlong looks along an axis, from the side that a builder would hold the part at: the left, above (below for a skid), the front or behind.
func viewAlong(axis solid.Vec, skid, behind bool) view {
	z, x := solid.Vec{Z: 1}, solid.Vec{X: 1}
	toward := axis
	flip := false
	switch {
	case math.Abs(axis.Y) >= max(math.Abs(axis.X), math.Abs(axis.Z)):
		flip = axis.Y < 0
	case math.Abs(axis.Z) >= math.Abs(axis.X):
		flip = axis.Z < 0 != skid
	default:
		flip = axis.X < 0 != behind
	}
	if flip {
		toward = toward.Scale(-1)
	}
	v := view{toward: toward}
	if math.Abs(toward.Z) > 0.9 { // forward to the left, as in a view from the left
		v.right = x.Scale(-1)
		v.right = v.right.Sub(toward.Scale(v.right.Dot(toward))).Unit()
		v.up = toward.Cross(v.right)
	} else {
		v.up = z.Sub(toward.Scale(z.Dot(toward))).Unit()
		v.right = v.up.Cross(toward)
	}
	for _, n := range []struct {
		way  solid.Vec
		name string
	}{
		{solid.Vec{Y: 1}, "from the left"}, {solid.Vec{Y: -1}, "from the right"}, {z, "from above"}, {solid.Vec{Z: -1}, "from below"}, {x, "from the front"}, {solid.Vec{X: -1}, "from behind"},
	} {
		if d := n.way.Dot(toward); d > math.Cos(0.5*math.Pi/180) {
			v.name = n.name
		} else if d > 0.7 && v.name == "" {
			v.name = n.name + ", square to the bolts"
		}
	}
	if v.name == "" {
		v.name = "square to the bolts"
	}
	v.words = [2]string{wayWord(v.right), wayWord(v.up)}
	return v
}

// wayWord is a direction of the car in one word.
func wayWord(d solid.Vec) string {
	best, word := 0.0, ""
	for _, n := range []struct {
		v float64
		w string
	}{{d.X, "forward"}, {-d.X, "back"}, {d.Y, "left"}, {-d.Y, "right"}, {d.Z, "up"}, {-d.Z, "down"}} {
		if n.v > best+1e-9 {
			best, word = n.v, n.w
		}
	}
	return word
}

// mirrored is the view of the mirror twin from the other side.
func (v view) mirrored() view {
	out := view{right: v.right.Flip().Scale(-1), up: v.up.Flip(), toward: v.toward.Flip(), name: v.name}
	switch v.name {
	case "from the left":
		out.name = "from the right"
	case "from the left, square to the bolts":
		out.name = "from the right, square to the bolts"
	}
	out.words = [2]string{wayWord(out.right), wayWord(out.up)}
	return out
}

// A shadow is a shape's outline in a view, with how far it reaches along the line of sight.
type shadow struct {
	path     draw.Path
	ring     []draw.Point
	from, to float64
}

// shadows of a shape: one, but for outlines that are taken apart. Round things seen along their axis are circles, plates seen flat their own outline.
func shadows(s *solid.Shape, v *view) (out []shadow) {
	f := &s.Frame
	x, y, z := f.Turn(solid.Vec{X: 1}), f.Turn(solid.Vec{Y: 1}), f.Turn(solid.Vec{Z: 1})
	along := func(d solid.Vec) bool { return math.Abs(d.Dot(v.toward)) > 1-1e-9 }
	one := func(p draw.Path) {
		if pts := p.Points(0.01); len(pts) > 0 && len(pts[0]) > 2 {
			from, to := reach(s, v.toward)
			out = append(out, shadow{p, pts[0], from, to})
		}
	}
	switch {
	case s.Kind == solid.Cylinder && along(x), s.Kind == solid.Disc && along(y):
		one(draw.Circle(v.at(f.At), max(s.Size.Y, s.Size.Z)/2))
		if s.Kind == solid.Disc {
			out = nil
			one(draw.Circle(v.at(f.At), s.Size.X/2))
		}
	case s.Kind == solid.Capsule:
		a, b := v.at(f.At.Along(x, s.Size.X/2)), v.at(f.At.Along(x, -s.Size.X/2))
		if a.Minus(b).Norm() < 1e-9 {
			one(draw.Circle(a, s.Size.Y/2))
		} else {
			one(draw.Slot(a, b, s.Size.Y/2))
		}
	case s.Kind == solid.Prism && along(z):
		var ring []draw.Point
		for _, c := range s.Outline {
			ring = append(ring, v.at(f.Apply(solid.Vec{X: c[0], Y: c[1]})))
		}
		one(draw.Polygon(ring...))
	case s.Kind == solid.Meshed:
		if s.Mesh != nil {
			pts := make([]draw.Point, len(s.Mesh.Points))
			for i, p := range s.Mesh.Points {
				pts[i] = v.at(f.Apply(p))
			}
			one(draw.Polygon(around(pts)...))
		}
	default:
		var pts []draw.Point
		for _, q := range corners(s) {
			pts = append(pts, v.at(f.Apply(q)))
		}
		one(draw.Polygon(around(pts)...))
	}
	return out
}

// corners are points of a shape in its own frame whose convex outline is the shape's: all of them, or, of a rim, many.
func corners(s *solid.Shape) (out []solid.Vec) {
	x, y, z := s.Size.X/2, s.Size.Y/2, s.Size.Z/2
	const rim = 720
	switch s.Kind {
	case solid.Box:
		for _, c := range [8][3]float64{{1, 1, 1}, {1, 1, -1}, {1, -1, 1}, {1, -1, -1}, {-1, 1, 1}, {-1, 1, -1}, {-1, -1, 1}, {-1, -1, -1}} {
			out = append(out, solid.Vec{X: c[0] * x, Y: c[1] * y, Z: c[2] * z})
		}
	case solid.Prism:
		for _, p := range s.Outline {
			out = append(out, solid.Vec{X: p[0], Y: p[1], Z: z}, solid.Vec{X: p[0], Y: p[1], Z: -z})
		}
	case solid.Cylinder: // along x
		for k := range rim {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / rim)
			out = append(out, solid.Vec{X: x, Y: y * cos, Z: y * sin}, solid.Vec{X: -x, Y: y * cos, Z: y * sin})
		}
	case solid.Disc: // a tyre, along y; its edges are drawn sharp
		for k := range rim {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / rim)
			out = append(out, solid.Vec{X: x * cos, Y: y, Z: x * sin}, solid.Vec{X: x * cos, Y: -y, Z: x * sin})
		}
	}
	return out
}

// reach is how far a shape goes along a direction.
func reach(s *solid.Shape, d solid.Vec) (from, to float64) {
	from, to = math.Inf(1), math.Inf(-1)
	take := func(p solid.Vec) {
		from, to = min(from, p.Dot(d)), max(to, p.Dot(d))
	}
	if s.Kind == solid.Meshed && s.Mesh != nil {
		for _, p := range s.Mesh.Points {
			take(s.Frame.Apply(p))
		}
		return from, to
	}
	hulls, _ := s.Hulls()
	for i := range hulls {
		take(hulls[i].Support(d))
		take(hulls[i].Support(d.Scale(-1)))
	}
	return from, to
}

// around is the convex outline of points, counter-clockwise (Andrew's monotone chain), points closer than a millionth of a mm as one.
func around(pts []draw.Point) []draw.Point {
	pts = sorted(pts)
	if len(pts) < 3 {
		return pts
	}
	var out []draw.Point
	for pass := range 2 {
		start := len(out)
		for i := range pts {
			p := pts[i]
			if pass == 1 {
				p = pts[len(pts)-1-i]
			}
			for len(out) >= start+2 {
				a, b := out[len(out)-2], out[len(out)-1]
				if (b.X-a.X)*(p.Y-a.Y)-(b.Y-a.Y)*(p.X-a.X) > 1e-9 {
					break
				}
				out = out[:len(out)-1]
			}
			out = append(out, p)
		}
		out = out[:len(out)-1]
	}
	return out
}

// sorted is the points from left to right on a grid of a millionth of a mm, so that corners found twice are one, each once.
func sorted(pts []draw.Point) []draw.Point {
	pts = slices.Clone(pts)
	for i, p := range pts {
		pts[i] = draw.Pt(math.Round(p.X*1e6)/1e6, math.Round(p.Y*1e6)/1e6)
	}
	slices.SortFunc(pts, func(a, b draw.Point) int {
		if c := cmp.Compare(a.X, b.X); c != 0 {
			return c
		}
		return cmp.Compare(a.Y, b.Y)
	})
	return slices.Compact(pts)
}

// holds says that a point is in a ring, or within tol mm of its edge.
func holds(ring []draw.Point, p draw.Point, tol float64) bool {
	in := false
	for i := range ring {
		a, b := ring[i], ring[(i+1)%len(ring)]
		if a.Y > p.Y != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			in = !in
		}
		d := b.Minus(a)
		t := 0.0
		if n := d.X*d.X + d.Y*d.Y; n > 0 {
			t = min(max(((p.X-a.X)*d.X+(p.Y-a.Y)*d.Y)/n, 0), 1)
		}
		if p.Minus(a.Plus(d.Times(t))).Norm() <= tol {
			return true
		}
	}
	return in
}
