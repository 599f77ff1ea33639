package travel

import (
	"math"
	"slices"

	"lowslung/solid"
)

// A patch of poses about one: what bounds the rates in it.
type patch struct {
	link   *Linkage
	sys    System
	e, d   [4]solid.Vec
	size   [4]float64    // |e|
	inv    [4][4]float64 // Y
	m      [4][4]float64 // |Y|·Δ
	over   [4][4]float64 // about (1 − M)⁻¹
	held   bool          // it is one: every bound is tried all the same
	far    [4]float64    // how far each link's axle eye is from where it is at q₀, mm
	went   float64       // of the origin, mm
	turned float64       // rad
}

func (c *patch) at(l *Linkage, p Pose) bool {
	c.link, c.sys = l, l.SystemAt(p)
	r := p.Turn()
	for i := range 4 {
		c.e[i] = r.Mul(solid.Vec{X: l.ax[i], Y: l.ay[i], Z: l.az[i]})
		c.d[i] = p.Origin().Add(c.e[i]).Sub(solid.Vec{X: l.cx[i], Y: l.cy[i], Z: l.cz[i]})
		c.size[i] = c.e[i].Norm()
	}
	for k := range 4 {
		var unit [4]float64
		unit[k] = 1
		col, ok := c.sys.Solve(unit)
		if !ok {
			return false
		}
		for j := range 4 {
			c.inv[j][k] = col[j]
		}
	}
	return true
}

// even makes the patch one of poses that are their own mirror image, when the pose is one and the links are mirrored in pairs, each of which changes
// together: y and ψ stay 0, and one equation of each pair is left for x and θ. False when it is not so.
func (c *patch) even(p Pose, groups [][]int) bool {
	if p.Roll != 0 || math.Abs(p.Y) > 1e-9 || math.Abs(p.Steer) > 1e-11 {
		return false
	}
	rows, twins, ok := c.link.pairs()
	if !ok {
		return false
	}
	for _, g := range groups {
		for n, i := range rows {
			if slices.Contains(g, i) != slices.Contains(g, twins[n]) {
				return false
			}
		}
	}
	a, b := c.sys.J[rows[0]], c.sys.J[rows[1]]
	d := a[0]*b[3] - a[3]*b[0]
	if math.Abs(d) < 1e-9 {
		return false
	}
	c.inv = [4][4]float64{}
	c.inv[0][rows[0]], c.inv[0][rows[1]] = b[3]/d, -a[3]/d
	c.inv[3][rows[0]], c.inv[3][rows[1]] = -b[0]/d, a[0]/d
	return true
}

// spread bounds the Jacobian within radii ρ of the pose, mm and rad, and heaves within ζ, mm.
//
//	|Δe| ≤ |a|·(|Δψ| + |Δθ|),  |Δd| ≤ |Δp| + |Δe|,  |Δ(d·(ẑ×e))| ≤ |Δd||e| + (|d| + |Δd|)|Δe|,
//	|Δ(d·(w×e))| ≤ |Δd||e| + (|d| + |Δd|)(|Δψ||e| + |Δe|)
func (c *patch) spread(rho [4]float64, zeta float64) {
	c.turned = rho[2] + rho[3]
	c.went = math.Hypot(math.Hypot(rho[0], rho[1]), zeta)
	var delta [4][4]float64
	for i := range 4 {
		de := c.size[i] * c.turned
		dd := c.went + de
		c.far[i] = dd
		long := c.sys.Len[i] + dd
		delta[i] = [4]float64{dd, dd, dd*c.size[i] + long*de, dd*c.size[i] + long*(rho[2]*c.size[i]+de)}
	}
	for j := range 4 {
		for k := range 4 {
			c.m[j][k] = 0
			for i := range 4 {
				c.m[j][k] += math.Abs(c.inv[j][i]) * delta[i][k]
			}
		}
	}
	c.invert()
}

// bound bounds the solutions u of J·u = v, |v − v₀| ≤ dv: |u| ≤ b and |u − Y·v₀| ≤ dev. False when there is no such b.
func (c *patch) bound(v0, dv [4]float64) (u0, b, dev [4]float64, ok bool) {
	var base [4]float64
	u0 = c.times(v0)
	for j := range 4 {
		for k := range 4 {
			base[j] += math.Abs(c.inv[j][k]) * dv[k]
		}
		dev[j] = base[j]
		base[j] += math.Abs(u0[j]) + 1e-15
	}
	b, ok = c.above(base)
	for j := range 4 {
		for k := range 4 {
			dev[j] += c.m[j][k] * b[k]
		}
	}
	return u0, b, dev, ok
}

// above is some b with b ≥ base + M·b: (1 − M)⁻¹·base and a little more, tried.
func (c *patch) above(base [4]float64) (b [4]float64, ok bool) {
	if !c.held {
		return b, false
	}
	for j := range 4 {
		for k := range 4 {
			b[j] += c.over[j][k] * base[k]
		}
		b[j] *= widen
	}
	for j := range 4 {
		sum := base[j]
		for k := range 4 {
			sum += c.m[j][k] * b[k]
		}
		if !(sum <= b[j]) {
			return b, false
		}
	}
	return b, true
}

// invert works (1 − M)⁻¹ out, by elimination without pivots: M is small, and what is not held shows.
func (c *patch) invert() {
	var a [4][4]float64
	c.over = [4][4]float64{}
	for j := range 4 {
		for k := range 4 {
			a[j][k] = -c.m[j][k]
		}
		a[j][j]++
		c.over[j][j] = 1
	}
	for k := range 4 {
		if c.held = a[k][k] > 1e-3; !c.held {
			return
		}
		inv := 1 / a[k][k]
		for n := range 4 {
			a[k][n] *= inv
			c.over[k][n] *= inv
		}
		for j := range 4 {
			if f := a[j][k]; j != k && f != 0 {
				for n := range 4 {
					a[j][n] -= f * a[k][n]
					c.over[j][n] -= f * c.over[k][n]
				}
			}
		}
	}
}

// strain is a bound of the eigenvalues of M: below 1, the Jacobian can be inverted everywhere in the patch. 1 when none is found.
func (c *patch) strain() float64 {
	base := [4]float64{1, 1, 1 / angleScale, 1 / angleScale}
	b, ok := c.above(base)
	if !ok {
		return 1
	}
	most := 0.0
	for j := range 4 {
		most = max(most, 1-base[j]/b[j])
	}
	return most
}

// times is Y·v.
func (c *patch) times(v [4]float64) (u [4]float64) {
	for j := range 4 {
		for k := range 4 {
			u[j] += c.inv[j][k] * v[k]
		}
	}
	return u
}

func (c *patch) byHeave() (v0, dv [4]float64) {
	for i := range 4 {
		v0[i], dv[i] = -c.sys.Z[i], c.far[i]
	}
	return v0, dv
}
