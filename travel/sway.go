package travel

import (
	"math"
	"slices"

	"lowslung/solid"
)

// For search: how far an axle can be off when some of its links are a little longer or shorter than they are, with certainty.
//
// Around a pose q₀ = (x, y, ψ, θ) of links L₀ take all poses within radii ρ of it and all heaves within ζ. There the Jacobian is J = J₀ + E with
// |E| ≤ Δ, and with Y = J₀⁻¹ and M = |Y|·Δ every solution u of J·u = v has |u| ≤ b for any b ≥ |Y·v| + M·b (all of it by components). So the
// rates dq/dL and dq/dz are bounded by numbers wherever the pose stays inside; and when Σ |dq/dLᵢ|·|ΔLᵢ| ≤ ρ the pose cannot leave: it follows
// the links in one piece, and no two assembly modes meet, since b bounds M too. (The theorem of Newton and Kantorovich in this form: J. M. Ortega,
// W. C. Rheinboldt, Iterative Solution of Nonlinear Equations in Several Variables (1970), §12.6, from memory; bounds as in R. E. Moore, Interval
// Analysis (1966), from memory.) Rounding is some 10⁻¹³ of what is bounded; every bound is widened by 10⁻⁶ of itself for it.

// A Sway is how far an axle moves, at most, for each mm that a group of links gets longer together, at one heave above the design pose.
type Sway struct {
	OK    bool
	Go    [4]float64 // of the axle's origin, mm per mm, for each group
	Turn  [4]float64 // of the axle, rad per mm
	Ahead [4]float64 // of the origin along x, mm per mm

	nod [4]span // of the pinion angle, rad per mm
}

// A span is a number that is no further from mid than off.
type span struct{ mid, off float64 }

func (a span) most() float64 { return math.Abs(a.mid) + a.off }

// A Throng is linkages that differ from a mover's only in the lengths of some links, each group by no more than its half width.
type Throng struct {
	Groups [][]int   // positions among the axle's four links, of those that change together
	Half   []float64 // mm, for each group

	Near, Design Sway
	Poses        []Sway // of the grid, heave by heave

	lift []span     // dz/dL of the design pose, for each group
	nod  [4]float64 // rad per mm: how much more the pinion angle changes at one pose of the grid than at another, at most; infinite when not known
}

const widen = 1 + 1e-6

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
	var rows [2]int
	n := 0
	var seen [4]bool
	for i := range 4 {
		if seen[i] {
			continue
		}
		twin := -1
		for j := i + 1; j < 4; j++ {
			l := c.link
			if !seen[j] && l.cx[i] == l.cx[j] && l.cy[i] == -l.cy[j] && l.cz[i] == l.cz[j] && l.ax[i] == l.ax[j] && l.ay[i] == -l.ay[j] && l.az[i] == l.az[j] && l.half[i] == l.half[j] {
				twin = j
				break
			}
		}
		if twin < 0 || n == 2 {
			return false
		}
		for _, g := range groups {
			if slices.Contains(g, i) != slices.Contains(g, twin) {
				return false
			}
		}
		seen[i], seen[twin] = true, true
		rows[n] = i
		n++
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

// byLength is the right hand side of a group: its links get longer by 1 mm each, L·1, within half a width.
func (t *Throng) byLength(c *patch, g int) (v0, dv [4]float64) {
	for _, i := range t.Groups[g] {
		v0[i], dv[i] = c.sys.Len[i], t.Half[g]
	}
	return v0, dv
}

func (c *patch) byHeave() (v0, dv [4]float64) {
	for i := range 4 {
		v0[i], dv[i] = -c.sys.Z[i], c.far[i]
	}
	return v0, dv
}

const (
	tightest = 0.5 // strain beyond which bounds say little
	tries    = 6
)

// enclose finds how the axle sways about a pose of the mover's linkage. Lift bounds how the heave changes with each group; nil at the design pose,
// where it is worked out from the shocks that should have a length, and returned.
func (t *Throng) enclose(mv *Mover, p Pose, lift []span, least float64) (s Sway, found []span) {
	var c patch
	if !c.at(mv.four, p) {
		return s, nil
	}
	whole := &c // for what is not even: the axle must be held that way too
	both := c
	even := both.even(p, t.Groups)
	if even {
		both, c = c, both
		whole = &both
	}
	found = make([]span, len(t.Groups))
	h0, _ := c.byHeave()
	up := c.times(h0)
	var rho [4]float64
	zeta := 0.0
	for g := range t.Groups { // as if nothing changed, and a third more
		v0, _ := t.byLength(&c, g)
		u, z := c.times(v0), 0.3
		if lift != nil {
			z = lift[g].most()
		}
		for j := range 4 {
			rho[j] += 1.35 * (math.Abs(u[j]) + math.Abs(up[j])*z) * t.Half[g]
		}
		zeta += z * t.Half[g] * widen
	}
	for range tries {
		if c.spread(rho, zeta); even {
			whole.spread(rho, zeta)
		}
		strain := whole.strain()
		if strain > tightest {
			return Sway{}, nil
		}
		h0, dh := c.byHeave()
		up0, up, upDev, ok := c.bound(h0, dh)
		if !ok {
			return Sway{}, nil
		}
		s = Sway{OK: true}
		var need [4]float64
		needZ := 0.0
		for g := range t.Groups {
			v0, dv := t.byLength(&c, g)
			u0, u, uDev, ok := c.bound(v0, dv)
			if !ok {
				return Sway{}, nil
			}
			if lift != nil {
				found[g] = lift[g]
			} else if found[g].off = t.rise(mv, &c, p, u0, u, uDev, up0, up, upDev); math.IsInf(found[g].off, 1) {
				return Sway{}, nil
			}
			z := found[g].most()
			// θ′ + θ_z·dz/dL: its middle, and how far off.
			s.nod[g] = span{u0[3] + up0[3]*found[g].mid, uDev[3] + upDev[3]*z + math.Abs(up0[3])*found[g].off}
			var b [4]float64
			for j := range 4 {
				b[j] = u[j] + up[j]*z
				need[j] += b[j] * t.Half[g]
			}
			needZ += z * t.Half[g]
			s.Go[g] = math.Hypot(math.Hypot(b[0], b[1]), z) * widen
			s.Turn[g] = (b[2] + b[3]) * widen
			s.Ahead[g] = b[0] * widen
		}
		inside := lift != nil || needZ <= zeta
		for j := range 4 {
			inside = inside && need[j] <= rho[j]+1e-9
		}
		if inside {
			s.nods(mv, p, len(t.Groups), rho[3])
			// |det J| is at least |det J₀|·(1 − strain)⁴: far from where the mover would stop.
			s.OK = math.Abs(det(&c.sys))*math.Pow(1-strain, 4) > 8*least
			return s, found
		}
		for j := range 4 {
			rho[j] = max(rho[j], need[j]*1.1)
		}
		if even {
			rho[1], rho[2] = 0, 0
		}
		if lift == nil {
			zeta = max(zeta, needZ*1.1)
		}
	}
	return Sway{}, nil
}

// nods turns rates of spin into rates of the pinion angle, asin z with z = a_z·cos φ·cos θ − a_x·cos φ·sin θ + a_y·sin φ. The derivative by θ is
// z_θ/√(1−z²), and that of it by θ no more than (1 + |z|)/(1 − z²)^1.5, z being taken at its largest.
func (s *Sway) nods(mv *Mover, p Pose, n int, rho float64) {
	a := mv.Model.Axles[mv.End].PinionAxis
	st, ct := math.Sincos(p.Spin)
	sr, cr := math.Sincos(p.Roll)
	z := cr*(a.Z*ct-a.X*st) + a.Y*sr
	by := -cr * (a.Z*st + a.X*ct)
	far := math.Abs(z) + rho
	if far > 0.95 {
		for g := range n {
			s.nod[g] = span{0, math.Inf(1)}
		}
		return
	}
	slope, bend := by/math.Sqrt(1-z*z), (1+far)/math.Pow(1-far*far, 1.5)
	for g := range n {
		one := s.nod[g]
		s.nod[g] = span{one.mid * slope, one.off*(math.Abs(slope)+bend*rho) + math.Abs(one.mid)*bend*rho}
	}
}

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

// times is Y·v.
func (c *patch) times(v [4]float64) (u [4]float64) {
	for j := range 4 {
		for k := range 4 {
			u[j] += c.inv[j][k] * v[k]
		}
	}
	return u
}

// det is the determinant of the system's matrix.
func det(s *System) float64 {
	out := 1.0
	for i := range 4 {
		out *= s.factors[i][i]
	}
	return out
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

// Stands works the sways out about the mover's pose at near's height and its design pose. It reports false when they are not certain. The mover must
// be settled, and held by four links.
func (t *Throng) Stands(mv *Mover, near Pose) bool {
	if mv.four == nil {
		return false
	}
	still := make([]span, len(t.Groups))
	if t.Near, _ = t.enclose(mv, near, still, mv.least); !t.Near.OK {
		return false
	}
	t.lift = still
	if mv.wants() {
		t.lift = t.level(mv, mv.Design)
	}
	t.Design, t.lift = t.enclose(mv, mv.Design, t.lift, mv.least)
	return t.Design.OK
}

// Moves works the sways out about the poses of a grid of heaves, mm, and rolls, rad, for which matters says that they do, nil for all, and in any case
// of the two with the pinion highest and lowest. Stands must have
// said that there is something to work with. The mover is left at its design pose.
func (t *Throng) Moves(mv *Mover, heaves, rolls []float64, w *Walk, matters func(i, k int, s *Solver) bool) {
	t.Poses = make([]Sway, len(heaves)*len(rolls))
	axis := mv.Model.Axles[mv.End].PinionAxis
	list := make([]Pose, len(t.Poses))
	wanted := make([]uint8, len(t.Poses)) // 1 where the axle is, 2 where it matters too
	high, low, top, bottom := math.Inf(-1), math.Inf(1), 0, 0
	mv.Over(heaves, rolls, w, func(i, k int, s *Solver) bool {
		if s == nil {
			return true
		}
		at := i*len(rolls) + k
		list[at], wanted[at] = s.Pose(), 1
		if matters == nil || matters(i, k, s) {
			wanted[at] = 2
		}
		turn := s.Turn()
		z := turn.Mul(axis).Z
		if z > high {
			high, top = z, at
		}
		if z < low {
			low, bottom = z, at
		}
		return true
	})
	var lo, hi, off [4]float64
	for g := range lo {
		lo[g], hi[g] = math.Inf(1), math.Inf(-1)
	}
	for at, want := range wanted {
		one := &t.Poses[at]
		switch {
		case want == 0:
			continue
		case want == 2 || at == top || at == bottom:
			*one, _ = t.enclose(mv, list[at], t.lift, mv.least)
		}
		for g := range t.Groups {
			if !one.OK {
				off[g] = math.Inf(1)
				continue
			}
			lo[g], hi[g], off[g] = min(lo[g], one.nod[g].mid), max(hi[g], one.nod[g].mid), max(off[g], one.nod[g].off)
		}
	}
	for g := range t.Groups {
		t.nod[g] = (hi[g] - lo[g] + 2*off[g]) * widen
	}
	mv.Jump(mv.Design)
}

// Nod is the change of the pinion angle, rad, when each group gets longer by some mm: it is no further from mid than off.
func (s *Sway) Nod(by []float64) (mid, off float64) {
	for g, d := range by {
		mid += s.nod[g].mid * d
		off += s.nod[g].off * math.Abs(d)
	}
	return mid, off
}

// Apart is how far the difference of the pinion angle between this pose and another of the grid can change at most, rad, when each group is longer or
// shorter by no more than off, mm.
func (s *Sway) Apart(o *Sway, off []float64) (apart float64) {
	for g, d := range off {
		apart += (math.Abs(s.nod[g].mid-o.nod[g].mid) + s.nod[g].off + o.nod[g].off) * d
	}
	return apart
}

// Nod is how much the swing of the pinion angle over the grid can be off at most, rad, when each group is longer or shorter by no more than off, mm:
// where the angle is largest and where it is least it changes by nearly the same.
func (t *Throng) Nod(off []float64) (nod float64) {
	for g, d := range off {
		nod += t.nod[g] * d
	}
	return nod
}

// By is how far the axle is at most from where it is at a pose with this sway, when each group is longer or shorter by no more than off, mm: its
// origin, mm, its turn, rad, and its origin along x, mm.
func (s *Sway) By(off []float64) (shift, turn, ahead float64) {
	for g, d := range off {
		shift += s.Go[g] * d
		turn += s.Turn[g] * d
		ahead += s.Ahead[g] * d
	}
	return shift, turn, ahead
}
