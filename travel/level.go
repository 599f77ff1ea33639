package travel

import (
	"math"
	"slices"

	"lowslung/solid"
)

// How the height of an axle that stands on its shocks follows the lengths of its links.

// level bounds dz/dL of a design pose that is its own mirror image: with the shocks as one more link of the length that they should have, three
// equations hold x, θ and z. Nil when the axle, or its shocks, are not such.
func (t *Throng) level(mv *Mover, p Pose) []span {
	var c patch
	if !c.at(mv.four, p) || !c.even(p, t.Groups) {
		return nil
	}
	turn := p.Turn()
	var d, e [3]solid.Vec
	n := 0
	for i := range 4 {
		if c.inv[0][i] != 0 || c.inv[3][i] != 0 {
			d[n], e[n] = c.d[i], c.e[i]
			n++
		}
	}
	var first *solid.Shock
	for i := range mv.Model.Shocks {
		if mv.wanted(i) <= 0 {
			continue
		}
		k := &mv.Model.Shocks[i]
		if k.Bottom.Link >= 0 || k.Top.Link >= 0 || k.Top.Carrier != solid.OnChassis || k.Bottom.Carrier == solid.OnChassis {
			return nil
		}
		switch {
		case first == nil:
			first = k
			e[2] = turn.Mul(k.Bottom.At)
			d[2] = p.Origin().Add(e[2]).Sub(k.Top.At)
		case k.Bottom.At != first.Bottom.At.Flip() || k.Top.At != first.Top.At.Flip():
			return nil
		}
	}
	if n != 2 || first == nil {
		return nil
	}
	// Columns x, θ, z; θ turns about y, as the pose does: ∂e/∂θ = ŷ × e.
	var j, y, m [3][3]float64
	for i := range 3 {
		j[i] = [3]float64{d[i].X, d[i].Dot(solid.Vec{Y: 1}.Cross(e[i])), d[i].Z}
	}
	det := j[0][0]*(j[1][1]*j[2][2]-j[1][2]*j[2][1]) - j[0][1]*(j[1][0]*j[2][2]-j[1][2]*j[2][0]) + j[0][2]*(j[1][0]*j[2][1]-j[1][1]*j[2][0])
	if math.Abs(det) < 1e-9 {
		return nil
	}
	for a := range 3 {
		for b := range 3 {
			p, q, r, s := (b+1)%3, (b+2)%3, (a+1)%3, (a+2)%3
			y[a][b] = (j[p][r]*j[q][s] - j[p][s]*j[q][r]) / det
		}
	}
	row := func(g int) (out [3]float64) { // the group's links, as rows
		at := 0
		for i := range 4 {
			if c.inv[0][i] == 0 && c.inv[3][i] == 0 {
				continue
			}
			if slices.Contains(t.Groups[g], i) {
				out[at] = c.sys.Len[i]
			}
			at++
		}
		return out
	}
	var rho [3]float64
	for g := range t.Groups {
		for a := range 3 {
			sum := 0.0
			for b, v := range row(g) {
				sum += y[a][b] * v
			}
			rho[a] += 1.35 * math.Abs(sum) * t.Half[g]
		}
	}
	lift := make([]span, len(t.Groups))
	for range tries {
		for i := range 3 {
			size := e[i].Norm()
			de := size * rho[1]
			dd := math.Hypot(rho[0], rho[2]) + de
			m[i] = [3]float64{dd, dd*size + (d[i].Norm()+dd)*de, dd}
		}
		var need [3]float64
		for g := range t.Groups {
			v := row(g)
			var base, mid [3]float64
			for a := range 3 {
				sum := 0.0
				for b := range 3 {
					sum += y[a][b] * v[b]
					if v[b] != 0 {
						base[a] += math.Abs(y[a][b]) * t.Half[g]
					}
				}
				mid[a] = sum
				base[a] += math.Abs(sum)
			}
			b := base
			step := func(b [3]float64) [3]float64 {
				out := base
				for a := range 3 {
					for i := range 3 {
						for k := range 3 {
							out[a] += math.Abs(y[a][i]) * m[i][k] * b[k]
						}
					}
				}
				return out
			}
			for range 12 {
				b = step(b)
			}
			for a := range 3 {
				b[a] *= 1.001
			}
			for a, v := range step(b) {
				if !(v <= b[a]*(1+1e-12)) {
					return nil
				}
				need[a] += b[a] * t.Half[g]
			}
			lift[g] = span{mid[2], b[2]*widen - math.Abs(mid[2])}
		}
		if need[0] <= rho[0] && need[1] <= rho[1] && need[2] <= rho[2] {
			return lift
		}
		for a := range 3 {
			rho[a] = max(rho[a], need[a]*1.1)
		}
	}
	return nil
}

// rise bounds |dz/dL| of the design pose for one group: the shocks that should have a length keep its mean,
//
//	s_L + s_z·dz/dL = 0,  s_L = mean u·(dr/dL),  s_z = mean u·(dr/dz)
//
// with u along each shock and r its eye on the axle. It is 0 when no shock decides, and infinite when nothing is known.
func (t *Throng) rise(mv *Mover, c *patch, p Pose, u0, u, uDev, up0, up, upDev [4]float64) float64 {
	if !mv.wants() {
		return 0
	}
	var byLength, byHeave, offLength, offHeave, n float64
	for i := range mv.Model.Shocks {
		if mv.wanted(i) <= 0 {
			continue
		}
		k := &mv.Model.Shocks[i]
		bottom, top := &k.Bottom, &k.Top
		if bottom.Carrier == solid.OnChassis && bottom.Link < 0 {
			bottom, top = top, bottom
		}
		if bottom.Link >= 0 || top.Link >= 0 || top.Carrier != solid.OnChassis || bottom.Carrier == solid.OnChassis {
			return math.Inf(1)
		}
		turn := p.Turn()
		e := turn.Mul(bottom.At)
		at := p.Origin().Add(e)
		d := at.Sub(top.At)
		length, size := d.Norm(), e.Norm()
		// Bounds over the patch of how far the eye and the direction are from those at q₀.
		moved := c.went + size*c.turned
		if length <= 2*moved {
			return math.Inf(1)
		}
		dir, swung := d.Scale(1/length), moved/(length-moved)
		omega := func(q [4]float64) solid.Vec { return c.sys.steer.Scale(q[2]).Along(c.sys.spin, q[3]) }
		speed := func(q [4]float64, z float64) solid.Vec {
			return solid.Vec{X: q[0], Y: q[1], Z: z}.Add(omega(q).Cross(e))
		}
		// |Δv| ≤ |Δ(x′, y′)| + |Δω||e| + |ω||Δe|, the spin axis turning by no more than the steer.
		off := func(b, dev [4]float64) float64 {
			return math.Hypot(dev[0], dev[1]) + (dev[2]+dev[3]+b[3]*c.turned)*size + (b[2]+b[3])*size*c.turned
		}
		most := func(b [4]float64, z float64) float64 {
			return math.Hypot(math.Hypot(b[0], b[1]), z) + (b[2]+b[3])*size
		}
		byLength += dir.Dot(speed(u0, 0))
		byHeave += dir.Dot(speed(up0, 1))
		offLength += off(u, uDev) + swung*most(u, 0)
		offHeave += off(up, upDev) + swung*most(up, 1)
		n++
	}
	if n == 0 {
		return 0
	}
	under := (math.Abs(byHeave) - offHeave) / n
	if under <= 1e-3 {
		return math.Inf(1)
	}
	return (math.Abs(byLength) + offLength) / n / under * widen
}
