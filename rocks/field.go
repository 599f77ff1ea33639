package rocks

import (
	"math"

	"lowslung/solid"
)

// A field is a map of heights on a square grid: two triangles to each cell, level beyond its edges.
type field struct {
	x, y   float64 // of the first point, mm
	cell   float64 // mm
	nx, ny int
	z      []float64 // nx across (along x) in each of ny rows, mm
	high   float64
	roof   []float64 // of each point the highest within window about it, mm
}

// window is how far a roof reaches to all sides, mm.
const window = 80.0

// cover works out high and roof: along x, then along y.
func (f *field) cover() {
	n := int(math.Ceil(window/f.cell)) + 1
	f.high = math.Inf(-1)
	line := make([]float64, len(f.z))
	f.roof = make([]float64, len(f.z))
	most := func(from, into []float64, at func(i, k int) int, nx, ny int) {
		for k := range ny {
			for i := range nx {
				top := math.Inf(-1)
				for j := max(0, i-n); j <= min(nx-1, i+n); j++ {
					top = max(top, from[at(j, k)])
				}
				into[at(i, k)] = top
			}
		}
	}
	most(f.z, line, func(i, k int) int { return k*f.nx + i }, f.nx, f.ny)
	most(line, f.roof, func(k, i int) int { return k*f.nx + i }, f.ny, f.nx)
	for _, z := range f.z {
		f.high = max(f.high, z)
	}
}

// above is a height that nothing of the field within window of a place comes over.
func (f *field) above(x, y float64) float64 {
	i, k := int((x-f.x)/f.cell), int((y-f.y)/f.cell)
	return f.roof[min(max(k, 0), f.ny-1)*f.nx+min(max(i, 0), f.nx-1)]
}

func (f *field) at(i, k int) solid.Vec {
	ci, ck := min(max(i, 0), f.nx-1), min(max(k, 0), f.ny-1)
	return solid.Vec{X: f.x + float64(i)*f.cell, Y: f.y + float64(k)*f.cell, Z: f.z[ck*f.nx+ci]}
}

func (f *field) near(p solid.Vec, reach float64) bool {
	if reach <= window {
		return p.Z-reach < f.above(p.X, p.Y)
	}
	return p.Z-reach < f.high
}

// height is that of the surface at a place, and its unit normal.
func (f *field) height(x, y float64) (z float64, n solid.Vec) {
	u, v := (x-f.x)/f.cell, (y-f.y)/f.cell
	i, k := int(math.Floor(u)), int(math.Floor(v))
	u, v = u-float64(i), v-float64(k)
	a, b, c, d := f.at(i, k), f.at(i+1, k), f.at(i, k+1), f.at(i+1, k+1)
	var gx, gy float64
	if u+v <= 1 {
		gx, gy = b.Z-a.Z, c.Z-a.Z
		z = a.Z + u*gx + v*gy
	} else {
		gx, gy = d.Z-c.Z, d.Z-b.Z
		z = d.Z - (1-u)*gx - (1-v)*gy
	}
	return z, solid.Vec{X: -gx / f.cell, Y: -gy / f.cell, Z: 1}.Unit()
}

// distance is how far p is from the surface, negative below it, exactly up to reach. Cells are looked at from the nearest outwards, and those whose
// highest point is too far are passed over.
func (f *field) distance(p solid.Vec, reach float64) (float64, solid.Vec) {
	if p.Z-f.high >= reach {
		return p.Z - f.high, solid.Vec{Z: 1}
	}
	if reach <= window {
		if d := p.Z - f.above(p.X, p.Y); d >= reach {
			return d, solid.Vec{Z: 1}
		}
	}
	z, n := f.height(p.X, p.Y)
	best := min(reach, math.Abs(p.Z-z)) // straight down is one way there
	i0, k0 := int(math.Floor((p.X-f.x)/f.cell)), int(math.Floor((p.Y-f.y)/f.cell))
	at := solid.Vec{X: p.X, Y: p.Y, Z: z}
	found := math.Abs(p.Z-z) <= reach
	for ring := 0; float64(ring-1)*f.cell < best; ring++ {
		for k := k0 - ring; k <= k0+ring; k++ {
			step := 1
			if k != k0-ring && k != k0+ring {
				step = max(1, 2*ring)
			}
			for i := i0 - ring; i <= i0+ring; i += step {
				x, y := f.x+float64(i)*f.cell, f.y+float64(k)*f.cell
				dx, dy := max(x-p.X, p.X-x-f.cell, 0), max(y-p.Y, p.Y-y-f.cell, 0)
				if dx*dx+dy*dy >= best*best {
					continue
				}
				a, b, c, d := f.at(i, k), f.at(i+1, k), f.at(i, k+1), f.at(i+1, k+1)
				dz := max(min(a.Z, b.Z, c.Z, d.Z)-p.Z, p.Z-max(a.Z, b.Z, c.Z, d.Z), 0)
				if dx*dx+dy*dy+dz*dz >= best*best {
					continue
				}
				for _, t := range [2][3]solid.Vec{{a, b, c}, {d, c, b}} {
					q := nearest(p, &t)
					if e := q.Sub(p).Norm(); e < best {
						best, at, found = e, q, true
					}
				}
			}
		}
	}
	if !found {
		return reach, n
	}
	below := p.Z < z
	if off := p.Sub(at); off.Norm() > 1e-6 {
		if n = off.Unit(); below {
			n = n.Scale(-1)
		}
	}
	if below {
		best = -best
	}
	return best, n
}

// nearest is the point of a triangle nearest to p (Ericson, Real-Time Collision Detection, §5.1.5, from memory).
func nearest(p solid.Vec, t *[3]solid.Vec) solid.Vec {
	a, b, c := t[0], t[1], t[2]
	ab, ac, ap := b.Sub(a), c.Sub(a), p.Sub(a)
	d1, d2 := ab.Dot(ap), ac.Dot(ap)
	if d1 <= 0 && d2 <= 0 {
		return a
	}
	bp := p.Sub(b)
	d3, d4 := ab.Dot(bp), ac.Dot(bp)
	if d3 >= 0 && d4 <= d3 {
		return b
	}
	if vc := d1*d4 - d3*d2; vc <= 0 && d1 >= 0 && d3 <= 0 {
		return a.Along(ab, d1/(d1-d3))
	}
	cp := p.Sub(c)
	d5, d6 := ab.Dot(cp), ac.Dot(cp)
	if d6 >= 0 && d5 <= d6 {
		return c
	}
	vb := d5*d2 - d1*d6
	if vb <= 0 && d2 >= 0 && d6 <= 0 {
		return a.Along(ac, d2/(d2-d6))
	}
	va := d3*d6 - d5*d4
	if va <= 0 && d4-d3 >= 0 && d5-d6 >= 0 {
		return b.Along(c.Sub(b), (d4-d3)/((d4-d3)+(d5-d6)))
	}
	vc := d1*d4 - d3*d2
	s := 1 / (va + vb + vc)
	return a.Along(ab, vb*s).Along(ac, vc*s)
}
