package rocks

import (
	"math"

	"lowslung/solid"
)

// A tyre against rock. The tyre is a torus: a ball of the crown's radius ρ carried round a ring of radius R − ρ about the wheel's axis. It is pressed in
// by δ = ρ − f(θ) where the ring's distance f from the rock is least, along the rock's normal there. f′ = n·ring′(θ) is known with f, so that a
// change of its sign from − to + between two samples brackets a least distance, and halving with secants (the Illinois rule of false position; Dahlquist &
// Björck, Numerical Methods, §6.4, from memory) finds it. For a plane it is known in closed form.

const (
	samples = 48 // round the ring, over a map of heights; a third of them over convex stones
	touches = 2  // places at which one tyre may touch one group
)

// A touch is one place where tyre and rock are nearest.
type touch struct {
	angle float64   // θ on the ring, rad
	depth float64   // pressed in, mm; negative before it touches
	n     solid.Vec // out of the rock, unit
	at    solid.Vec // on the rock, mm
}

// A ring is a tyre's ring in the world.
type ring struct {
	c, a   solid.Vec // centre and axis
	e1, e2 solid.Vec // unit vectors of its plane
	radius float64   // R − ρ, mm
	crown  float64   // ρ, mm
}

var circle = func() (out [samples][2]float64) {
	for i := range out {
		out[i][1], out[i][0] = math.Sincos(float64(i) * 2 * math.Pi / samples)
	}
	return out
}()

func (r *ring) point(sin, cos float64) (p, along solid.Vec) {
	return r.c.Along(r.e1, r.radius*cos).Along(r.e2, r.radius*sin), r.e2.Scale(cos).Along(r.e1, -sin)
}

// touch finds where the tyre is within margin of the group, the deepest first; it returns how many.
func (r *ring) touch(g *group, margin float64, out *[touches]touch) int {
	reach := r.crown + margin
	if !g.near(r.c, r.radius+reach) {
		return 0
	}
	if g.field == nil && len(g.stones) == 1 && g.stones[0].plane {
		return r.plane(&g.stones[0], margin, out)
	}
	var f, df [samples]float64
	any, stride := false, 3
	if g.field != nil {
		if stride = 1; g.field.cell >= 15 {
			stride = 2
		}
	}
	gap := float64(stride) * 2 * math.Pi / samples
	half := r.radius * gap // how far a sample's neighbourhood reaches
	for i := 0; i < samples; i += stride {
		p, along := r.point(circle[i][1], circle[i][0])
		d, n := g.distance(p, reach+half)
		f[i], df[i] = d, n.Dot(along)
		any = any || d < reach+half
	}
	if !any {
		return 0
	}
	found := 0
	for i := 0; i < samples; i += stride {
		k := (i + stride) % samples
		if min(f[i], f[k]) > reach+half || !(df[i] <= 0 && df[k] > 0) {
			continue
		}
		t, ok := r.least(g, float64(i)*2*math.Pi/samples, gap, df[i], df[k], reach)
		if !ok {
			continue
		}
		at := found
		for at > 0 && out[at-1].depth < t.depth {
			at--
		}
		if at >= touches {
			continue
		}
		found = min(found+1, touches)
		copy(out[at+1:found], out[at:found-1])
		out[at] = t
	}
	return found
}

// plane is the closed form: the ring's point furthest against n.
func (r *ring) plane(s *stone, margin float64, out *[touches]touch) int {
	x, y := s.n.Dot(r.e1), s.n.Dot(r.e2)
	size := math.Hypot(x, y)
	if size < 1e-9 { // the wheel lies flat: any point will do
		x, y, size = 1, 0, 1
	}
	p, _ := r.point(-y/size, -x/size)
	d, n := s.distance(p)
	if d >= r.crown+margin {
		return 0
	}
	out[0] = touch{angle: math.Atan2(-y, -x), depth: r.crown - d, n: n, at: p.Along(n, -d)}
	return 1
}

// least is where between a sample and the next f′ changes its sign.
func (r *ring) least(g *group, from, gap, lo, hi, reach float64) (t touch, ok bool) {
	a, b := from, from+gap
	side := 0
	for range 30 {
		m := (a*hi - b*lo) / (hi - lo)
		sin, cos := math.Sincos(m)
		p, along := r.point(sin, cos)
		d, n := g.distance(p, reach+r.radius)
		v := n.Dot(along)
		t = touch{angle: m, depth: r.crown - d, n: n, at: p.Along(n, -d)}
		if math.Abs(v) < 1e-7 || b-a < 1e-7 {
			break
		}
		if v > 0 {
			b, hi = m, v
			if side == 1 {
				lo /= 2
			}
			side = 1
		} else {
			a, lo = m, v
			if side == -1 {
				hi /= 2
			}
			side = -1
		}
	}
	return t, r.crown-t.depth < reach
}
