package solid

import (
	"math"

	"lowslung/rig"
)

// shapeOf places a document's shape in the carrier's frame, f being the part's frame there.
func shapeOf(s *rig.Shape, f *Frame) Shape {
	own := Frame{At: vecOr(s.At), R: turn(s.Turn)}
	out := Shape{}
	switch {
	case s.Box != nil:
		out.Kind, out.Size = Box, vec(*s.Box)
	case s.Cylinder != nil:
		out.Kind, out.Size = Cylinder, Vec{float64(s.Cylinder.Length), float64(s.Cylinder.Diameter), float64(s.Cylinder.Diameter)}
		if s.Cylinder.Axis != nil {
			along := alongX(dir(s.Cylinder.Axis))
			own.R = own.R.Times(&along)
		}
	case s.Plate != nil:
		out.Kind, out.Size = Prism, Vec{Z: float64(s.Plate.Thickness)}
		for _, p := range s.Plate.Outline {
			out.Outline = append(out.Outline, [2]float64{float64(p[0]), float64(p[1])})
		}
	case s.Capsule != nil:
		a, b := vec(s.Capsule.From), vec(s.Capsule.To)
		d := b.Sub(a)
		out.Kind, out.Size = Capsule, Vec{d.Norm(), float64(s.Capsule.Diameter), float64(s.Capsule.Diameter)}
		along := alongX(d.Unit())
		mid := Frame{At: a.Add(b).Scale(0.5), R: along}
		own = own.Then(&mid)
	}
	out.Frame = f.Then(&own)
	return out
}

// capsule is a round-ended bar between two points of the carrier's frame.
func capsule(a, b Vec, diameter float64) Shape {
	d := b.Sub(a)
	return Shape{Kind: Capsule, Size: Vec{d.Norm(), diameter, diameter}, Frame: Frame{At: a.Add(b).Scale(0.5), R: alongX(d.Unit())}}
}

// alongX is a rotation that takes the x axis to the unit vector d.
func alongX(d Vec) Mat {
	if d.IsZero() {
		return Identity
	}
	side := Vec{Z: 1}.Cross(d)
	if side.Norm() < 1e-9 {
		side = Vec{Y: 1}
	}
	side = side.Unit()
	up := d.Cross(side)
	return Mat{d.X, side.X, up.X, d.Y, side.Y, up.Y, d.Z, side.Z, up.Z}
}

// properties of a set of shapes taken as one solid of even density, overlaps counted twice: middle (mm), volume (mm³), and the
// tensor per unit density about the middle (mm⁵). Solid box, cylinder and capsule: Meriam & Kraige, Engineering Mechanics:
// Dynamics, table D/4 (from memory); prism by its polygon's area integrals (Green's theorem).
func properties(shapes []Shape) (middle Vec, volume float64, tensor Sym) {
	type one struct {
		v  float64
		at Vec
		i  Sym
	}
	list := make([]one, 0, len(shapes))
	for i := range shapes {
		v, c, t := shapes[i].own()
		at := shapes[i].Frame.Apply(c)
		r := shapes[i].Frame.R
		if shapes[i].Frame.Flip {
			t[3], t[5] = -t[3], -t[5]
		}
		list = append(list, one{v, at, t.Turned(&r)})
		volume += v
		middle = middle.Along(at, v)
	}
	if volume == 0 {
		return Vec{}, 0, Sym{}
	}
	middle = middle.Scale(1 / volume)
	for _, o := range list {
		tensor = tensor.Plus(o.i).Plus(Steiner(o.v, o.at.Sub(middle)))
	}
	return middle, volume, tensor
}

// own is a shape's volume, middle and tensor per unit density about that middle, in its own frame.
func (s *Shape) own() (v float64, c Vec, t Sym) {
	x, y, z := s.Size.X, s.Size.Y, s.Size.Z
	switch s.Kind {
	case Box:
		v = x * y * z
		t = Sym{v * (y*y + z*z) / 12, v * (x*x + z*z) / 12, v * (x*x + y*y) / 12}
	case Cylinder:
		r := y / 2
		v = math.Pi * r * r * x
		t = Sym{v * r * r / 2, v * (3*r*r + x*x) / 12, v * (3*r*r + x*x) / 12}
	case Disc: // a tyre and its wheel: as a solid cylinder about y
		r := x / 2
		v = math.Pi * r * r * y
		t = Sym{v * (3*r*r + y*y) / 12, v * r * r / 2, v * (3*r*r + y*y) / 12}
	case Capsule:
		r := y / 2
		bar, ball := math.Pi*r*r*x, 4*math.Pi*r*r*r/3
		v = bar + ball
		// two half balls, each with its middle 3r/8 beyond the bar's end
		across := bar*(3*r*r+x*x)/12 + ball*(2*r*r/5+x*x/4+3*x*r/8)
		t = Sym{bar*r*r/2 + ball*2*r*r/5, across, across}
	case Prism:
		return prism(s.Outline, z)
	case Meshed:
		return s.Mesh.Volume, s.Mesh.Middle, s.Mesh.Tensor
	}
	return v, c, t
}

// prism integrates over a polygon: area A = ½Σ(xᵢyⱼ − xⱼyᵢ), with its first and second moments, extruded by h.
func prism(outline [][2]float64, h float64) (v float64, c Vec, t Sym) {
	var a, mx, my, ixx, iyy, ixy float64
	for i := range outline {
		p, q := outline[i], outline[(i+1)%len(outline)]
		k := p[0]*q[1] - q[0]*p[1]
		a += k / 2
		mx += k * (p[0] + q[0]) / 6
		my += k * (p[1] + q[1]) / 6
		ixx += k * (p[1]*p[1] + p[1]*q[1] + q[1]*q[1]) / 12
		iyy += k * (p[0]*p[0] + p[0]*q[0] + q[0]*q[0]) / 12
		ixy += k * (p[0]*q[1] + 2*p[0]*p[1] + 2*q[0]*q[1] + q[0]*p[1]) / 24
	}
	if a == 0 {
		return 0, Vec{}, Sym{}
	}
	if a < 0 {
		a, mx, my, ixx, iyy, ixy = -a, -mx, -my, -ixx, -iyy, -ixy
	}
	cx, cy := mx/a, my/a
	ixx -= a * cy * cy
	iyy -= a * cx * cx
	ixy -= a * cx * cy
	return a * h, Vec{X: cx, Y: cy}, Sym{ixx*h + a*h*h*h/12, iyy*h + a*h*h*h/12, (ixx + iyy) * h, -ixy * h}
}
