package travel

import "math"

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

const (
	tightest = 0.5 // strain beyond which bounds say little
	tries    = 6
)

// byLength is the right hand side of a group: its links get longer by 1 mm each, L·1, within half a width.
func (t *Throng) byLength(c *patch, g int) (v0, dv [4]float64) {
	for _, i := range t.Groups[g] {
		v0[i], dv[i] = c.sys.Len[i], t.Half[g]
	}
	return v0, dv
}

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

// det is the determinant of the system's matrix.
func det(s *System) float64 {
	out := 1.0
	for i := range 4 {
		out *= s.factors[i][i]
	}
	return out
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
