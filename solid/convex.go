package solid

import "math"

// Convex pieces, for distances: every shape as hulls, each a core that is easy to look at from any direction and a radius by which the
// core is rounded. A capsule is a line and its radius; a tyre is a flat cylinder and the radius of its shoulders.

// Core is the kind of a hull's core.
type Core uint8

// Kinds of cores.
const (
	CoreLine     Core = iota // At ± U; U may be zero: a point
	CoreBox                  // At ± U ± V ± W
	CoreCylinder             // axis U (a unit vector), Half to both sides, radius Radius
	CorePrism                // outline in the plane of U and V (unit vectors) through At, ± W
	CoreTriangle             // corners At, At + U, At + V
)

// A Hull is a convex piece: everything within Round of its core, in whatever frame it was placed in. Lengths mm.
type Hull struct {
	Core    Core
	At      Vec
	U, V, W Vec          // as the core says
	Half    float64      // cylinder
	Radius  float64      // cylinder
	Round   float64      // ≥ 0
	Outline [][2]float64 // prism: a convex outline, shared between copies and never changed
}

// Shoulder is the radius taken for a tyre's edges, mm: a quarter of its width, at most 8 mm. An assumption: no maker's drawing gives
// it; common practice for tyres of this size.
func Shoulder(width float64) float64 { return min(8, width/4) }

// Line is the hull of a round bar between two points.
func Line(a, b Vec, radius float64) Hull {
	return Hull{Core: CoreLine, At: a.Add(b).Scale(0.5), U: b.Sub(a).Scale(0.5), Round: radius}
}

// Hulls is the shape as convex pieces in the carrier's frame; none for a mesh. Whole is false when an outline crosses itself or has
// more corners than are split: then its convex outline stands for it.
func (s *Shape) Hulls() (list []Hull, whole bool) {
	f := &s.Frame
	x, y, z := f.Turn(Vec{X: 1}), f.Turn(Vec{Y: 1}), f.Turn(Vec{Z: 1})
	h := Hull{At: f.At}
	switch s.Kind {
	case Box:
		h.Core, h.U, h.V, h.W = CoreBox, x.Scale(s.Size.X/2), y.Scale(s.Size.Y/2), z.Scale(s.Size.Z/2)
	case Cylinder:
		h.Core, h.U, h.Half, h.Radius = CoreCylinder, x, s.Size.X/2, s.Size.Y/2
	case Capsule:
		h.Core, h.U, h.Round = CoreLine, x.Scale(s.Size.X/2), s.Size.Y/2
	case Disc:
		h.Round = min(Shoulder(s.Size.Y), s.Size.X/2)
		h.Core, h.U, h.Half, h.Radius = CoreCylinder, y, s.Size.Y/2-h.Round, s.Size.X/2-h.Round
	case Prism:
		pieces, ok := SplitOutline(s.Outline)
		h.Core, h.U, h.V, h.W = CorePrism, x, y, z.Scale(s.Size.Z/2)
		for _, p := range pieces {
			h.Outline = p
			list = append(list, h)
		}
		return list, ok
	case Meshed:
		return nil, true
	}
	return []Hull{h}, true
}

// Placed is the hull moved by f.
func (h *Hull) Placed(f *Frame) Hull {
	out := *h
	out.At = f.Apply(h.At)
	out.U = f.Turn(h.U)
	if h.Core != CoreLine && h.Core != CoreCylinder {
		out.V = f.Turn(h.V)
		if h.Core != CoreTriangle {
			out.W = f.Turn(h.W)
		}
	}
	return out
}

// far is the core's point furthest along d, which need not be a unit vector.
func (h *Hull) far(d Vec) Vec {
	switch h.Core {
	case CoreLine:
		if d.Dot(h.U) < 0 {
			return h.At.Sub(h.U)
		}
		return h.At.Add(h.U)
	case CoreBox:
		p := h.At
		if d.Dot(h.U) < 0 {
			p = p.Sub(h.U)
		} else {
			p = p.Add(h.U)
		}
		if d.Dot(h.V) < 0 {
			p = p.Sub(h.V)
		} else {
			p = p.Add(h.V)
		}
		if d.Dot(h.W) < 0 {
			return p.Sub(h.W)
		}
		return p.Add(h.W)
	case CoreCylinder:
		k := d.Dot(h.U)
		p := h.At.Along(h.U, math.Copysign(h.Half, k))
		off := d.Along(h.U, -k)
		off = off.Along(h.U, -off.Dot(h.U)) // once more: along the axis the first difference is all rounding
		if n := off.Norm(); n > 0 {
			p = p.Along(off, h.Radius/n)
		}
		return p
	case CorePrism:
		x, y := d.Dot(h.U), d.Dot(h.V)
		best, at := math.Inf(-1), 0
		for i := range h.Outline {
			if v := x*h.Outline[i][0] + y*h.Outline[i][1]; v > best {
				best, at = v, i
			}
		}
		p := h.At.Along(h.U, h.Outline[at][0]).Along(h.V, h.Outline[at][1])
		if d.Dot(h.W) < 0 {
			return p.Sub(h.W)
		}
		return p.Add(h.W)
	}
	u, v := d.Dot(h.U), d.Dot(h.V)
	switch {
	case u > 0 && u >= v:
		return h.At.Add(h.U)
	case v > 0:
		return h.At.Add(h.V)
	}
	return h.At
}

// A Bound is a box along the axes of whatever frame it was taken in, mm.
type Bound struct{ Lo, Hi Vec }

// Bound is the smallest box along the axes that holds the hull.
func (h *Hull) Bound() Bound {
	var e Vec // half extents about At
	switch h.Core {
	case CoreLine:
		e = Vec{math.Abs(h.U.X), math.Abs(h.U.Y), math.Abs(h.U.Z)}
	case CoreBox:
		e = Vec{
			math.Abs(h.U.X) + math.Abs(h.V.X) + math.Abs(h.W.X),
			math.Abs(h.U.Y) + math.Abs(h.V.Y) + math.Abs(h.W.Y),
			math.Abs(h.U.Z) + math.Abs(h.V.Z) + math.Abs(h.W.Z),
		}
	case CoreCylinder:
		e = Vec{
			h.Half*math.Abs(h.U.X) + h.Radius*math.Sqrt(max(0, 1-h.U.X*h.U.X)),
			h.Half*math.Abs(h.U.Y) + h.Radius*math.Sqrt(max(0, 1-h.U.Y*h.U.Y)),
			h.Half*math.Abs(h.U.Z) + h.Radius*math.Sqrt(max(0, 1-h.U.Z*h.U.Z)),
		}
	default:
		r := Vec{h.Round, h.Round, h.Round}
		lo := Vec{h.far(Vec{X: -1}).X, h.far(Vec{Y: -1}).Y, h.far(Vec{Z: -1}).Z}
		hi := Vec{h.far(Vec{X: 1}).X, h.far(Vec{Y: 1}).Y, h.far(Vec{Z: 1}).Z}
		return Bound{lo.Sub(r), hi.Add(r)}
	}
	e.X, e.Y, e.Z = e.X+h.Round, e.Y+h.Round, e.Z+h.Round
	return Bound{h.At.Sub(e), h.At.Add(e)}
}

// Nothing is the bound of no point: what With starts from.
var Nothing = Bound{Vec{math.Inf(1), math.Inf(1), math.Inf(1)}, Vec{math.Inf(-1), math.Inf(-1), math.Inf(-1)}}

// With is the smallest bound around both.
func (b Bound) With(o Bound) Bound {
	return Bound{
		Vec{min(b.Lo.X, o.Lo.X), min(b.Lo.Y, o.Lo.Y), min(b.Lo.Z, o.Lo.Z)},
		Vec{max(b.Hi.X, o.Hi.X), max(b.Hi.Y, o.Hi.Y), max(b.Hi.Z, o.Hi.Z)},
	}
}

// Apart says that the two are further from each other than d along one of the axes.
func (b *Bound) Apart(o *Bound, d float64) bool {
	return b.Lo.X-o.Hi.X > d || o.Lo.X-b.Hi.X > d || b.Lo.Y-o.Hi.Y > d || o.Lo.Y-b.Hi.Y > d || b.Lo.Z-o.Hi.Z > d || o.Lo.Z-b.Hi.Z > d
}

// gap is the distance between two bounds, mm; 0 when they meet.
func (b *Bound) gap(o *Bound) float64 {
	dx := max(0, b.Lo.X-o.Hi.X, o.Lo.X-b.Hi.X)
	dy := max(0, b.Lo.Y-o.Hi.Y, o.Lo.Y-b.Hi.Y)
	dz := max(0, b.Lo.Z-o.Hi.Z, o.Lo.Z-b.Hi.Z)
	return math.Sqrt(dx*dx + dy*dy + dz*dz)
}

// Placed is a bound around the bound moved by f.
func (b *Bound) Placed(f *Frame) Bound {
	c, e := b.Lo.Add(b.Hi).Scale(0.5), b.Hi.Sub(b.Lo).Scale(0.5)
	h := Hull{Core: CoreBox, At: f.Apply(c), U: f.Turn(Vec{X: e.X}), V: f.Turn(Vec{Y: e.Y}), W: f.Turn(Vec{Z: e.Z})}
	return h.Bound()
}

// Inverse is the placement that undoes f: with F the mirror diag(1, −1, 1), inner = F·Rᵀ·(outer − At) = F·Rᵀ·F·F·outer − F·Rᵀ·At.
func (f *Frame) Inverse() Frame {
	r := Mat{f.R[0], f.R[3], f.R[6], f.R[1], f.R[4], f.R[7], f.R[2], f.R[5], f.R[8]}
	at := r.Mul(f.At).Scale(-1)
	if f.Flip {
		return Frame{At: at.Flip(), R: mirrored(&r), Flip: true}
	}
	return Frame{At: at, R: r}
}
