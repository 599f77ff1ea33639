package rocks

import (
	"math"

	"lowslung/solid"
)

// Rock is made of convex solids in groups. Within a group only the nearest counts, so that pieces that lie side by side make one smooth floor; a
// wheel may touch several groups at once, as at the foot of a ledge.

// A stone is one convex solid: everything below a plane, or a box whose edges are rounded.
type stone struct {
	plane bool
	at    solid.Vec // a point of the plane, or the box' centre, mm
	n     solid.Vec // the plane's unit normal, out of the rock
	r     solid.Mat // box axes to world
	half  solid.Vec // box, half of each length less round, mm
	round float64   // mm
	reach float64   // radius of a ball about at that holds the box, mm
}

// A group of stones, or a field of heights.
type group struct {
	stones []stone
	field  *field
}

// A terrain is all that the rig drives over.
type terrain []group

func below(at, n solid.Vec) stone { return stone{plane: true, at: at, n: n.Unit()} }

// block is a box by centre, full lengths, turn and the radius of its edges.
func block(at, size solid.Vec, r solid.Mat, round float64) stone {
	half := solid.Vec{X: size.X/2 - round, Y: size.Y/2 - round, Z: size.Z/2 - round}
	return stone{at: at, r: r, half: half, round: round, reach: half.Norm() + round}
}

// distance is how far p is from the stone, negative inside, and the unit normal there, out of the rock.
func (s *stone) distance(p solid.Vec) (d float64, n solid.Vec) {
	if s.plane {
		return p.Sub(s.at).Dot(s.n), s.n
	}
	q := s.r.MulT(p.Sub(s.at))
	ex, ey, ez := math.Abs(q.X)-s.half.X, math.Abs(q.Y)-s.half.Y, math.Abs(q.Z)-s.half.Z
	if ex <= 0 && ey <= 0 && ez <= 0 { // inside the core: out by the nearest face
		switch {
		case ez >= ex && ez >= ey:
			d, n = ez, solid.Vec{Z: math.Copysign(1, q.Z)}
		case ex >= ey:
			d, n = ex, solid.Vec{X: math.Copysign(1, q.X)}
		default:
			d, n = ey, solid.Vec{Y: math.Copysign(1, q.Y)}
		}
		return d - s.round, s.r.Mul(n)
	}
	o := solid.Vec{X: math.Copysign(max(ex, 0), q.X), Y: math.Copysign(max(ey, 0), q.Y), Z: math.Copysign(max(ez, 0), q.Z)}
	d = o.Norm()
	return d - s.round, s.r.Mul(o.Scale(1 / d))
}

// near is false when nothing of the group comes within reach of p; true may be too careful.
func (g *group) near(p solid.Vec, reach float64) bool {
	if g.field != nil {
		return g.field.near(p, reach)
	}
	for i := range g.stones {
		s := &g.stones[i]
		if s.plane {
			if p.Sub(s.at).Dot(s.n) < reach {
				return true
			}
			continue
		}
		if d := p.Sub(s.at); d.Dot(d) < (s.reach+reach)*(s.reach+reach) {
			return true
		}
	}
	return false
}

// distance is how far p is from the group, and the normal there. Beyond reach it is reach or more, and the normal does not matter.
func (g *group) distance(p solid.Vec, reach float64) (d float64, n solid.Vec) {
	if g.field != nil {
		return g.field.distance(p, reach)
	}
	d = math.Inf(1)
	for i := range g.stones {
		s := &g.stones[i]
		if !s.plane {
			c := p.Sub(s.at)
			if far := s.reach + min(d, reach); c.Dot(c) >= far*far {
				d = min(d, max(reach, c.Norm()-s.reach))
				continue
			}
		}
		if e, m := s.distance(p); e < d {
			d, n = e, m
		}
	}
	return d, n
}

// under is the height of the rock under a place, seen from far above, and whether there is any: for setting the rig down. A ball is let down from
// above to the surface, in steps of its distance, which cannot pass through; a map says its height.
func (t terrain) under(x, y float64) (z float64, ok bool) {
	if len(t) == 1 && t[0].field != nil {
		z, _ = t[0].field.height(x, y)
		return z, true
	}
	z = 1e4
	for range 400 {
		d := math.Inf(1)
		for i := range t {
			e, _ := t[i].distance(solid.Vec{X: x, Y: y, Z: z}, math.Inf(1))
			d = min(d, e)
		}
		if d < 1e-3 {
			return z, true
		}
		if z -= d; z < -1e5 {
			break
		}
	}
	return z, z > -1e5
}
