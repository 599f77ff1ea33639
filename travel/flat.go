package travel

import (
	"math"

	"lowslung/solid"
)

// Flat poses: at zero roll an axle whose links are mirrored in pairs stays its own mirror image, y = ψ = 0, and one link of each pair is left to
// find x and θ: the kernel of newton.go with two unknowns.

// pairs are the first links of two mirrored pairs, and their twins.
func (l *Linkage) pairs() (rows, twins [2]int, ok bool) {
	n := 0
	for i := range 4 {
		for j := i + 1; j < 4; j++ {
			if l.cx[i] == l.cx[j] && l.cy[i] == -l.cy[j] && l.cz[i] == l.cz[j] && l.ax[i] == l.ax[j] && l.ay[i] == -l.ay[j] && l.az[i] == l.az[j] && l.half[i] == l.half[j] {
				if n == 2 {
					return rows, twins, false // alike in more than pairs
				}
				rows[n], twins[n] = i, j
				n++
			}
		}
	}
	return rows, twins, n == 2 && rows[0] != rows[1] && twins[0] != twins[1] && rows[1] != twins[0]
}

// flatly is how an axle moves that stands flat: the links that decide, and the sign of the determinant.
type flatly struct {
	i, k int
	sign float64
}

// flat says that an axle on these links stands flat at a pose, and how it moves then.
func (l *Linkage) flat(p *Pose) (f flatly, ok bool) {
	if p.Roll != 0 || math.Abs(p.Y) > 1e-9 || math.Abs(p.Steer) > 1e-11 {
		return f, false
	}
	rows, twins, ok := l.pairs()
	order := [4]int{rows[0], twins[0], rows[1], twins[1]}
	f = flatly{i: rows[0], k: rows[1], sign: -1}
	for a := range order {
		for b := range a {
			if order[b] > order[a] {
				f.sign = -f.sign
			}
		}
	}
	return f, ok
}

// solveFlat is Solve at zero roll for a flat pose. With d = (x + bₓ − cₓ, a_y − c_y, z + b_z − c_z) and b = Ry(θ)·a, the equations are
// f = ½(|d|² − L²) with ∂f/∂x = dₓ and ∂f/∂θ = dₓ·b_z − d_z·bₓ. The determinant is that of all four equations. In sums and differences of twins
// they fall apart into (x, θ) and (y, ψ): with the rows in the order link, twin, link, twin it is −4·det(x, θ)·det(y, ψ).
func (s *Solver) solveFlat(z float64, f *flatly) Status {
	l := s.link
	i, k := f.i, f.k
	x, spin, st, ct := s.pose.X, s.pose.Spin, s.st, s.ct
	yi, yk := l.ay[i]-l.cy[i], l.ay[k]-l.cy[k]
	fi, fk := 0.5*yi*yi-l.half[i], 0.5*yk*yk-l.half[k]
	zi, zk := z-l.cz[i], z-l.cz[k]
	for n := 1; n <= 12; n++ {
		s.Iterations = n
		bxi, bzi := ct*l.ax[i]+st*l.az[i], ct*l.az[i]-st*l.ax[i]
		bxk, bzk := ct*l.ax[k]+st*l.az[k], ct*l.az[k]-st*l.ax[k]
		dxi, dzi := x+bxi-l.cx[i], zi+bzi
		dxk, dzk := x+bxk-l.cx[k], zk+bzk
		gi, gk := 0.5*(dxi*dxi+dzi*dzi)+fi, 0.5*(dxk*dxk+dzk*dzk)+fk
		ti, tk := dxi*bzi-dzi*bxi, dxk*bzk-dzk*bxk
		det := dxi*tk - dxk*ti
		// ∂f/∂y = d_y, ∂f/∂ψ = d_y·bₓ − dₓ·a_y
		side := yi*(yk*bxk-dxk*l.ay[k]) - yk*(yi*bxi-dxi*l.ay[i])
		s.det = f.sign * 4 * det * side
		if !(math.Abs(det) > 1e-300) {
			return Singular
		}
		qx, qt := (gk*ti-gi*tk)/det, (gi*dxk-gk*dxi)/det
		step := max(math.Abs(qx), angleScale*math.Abs(qt))
		if !(step <= stepLimit) {
			return Lost
		}
		x += qx
		spin += qt
		st, ct = advance(st, ct, qt)
		if step < stepDone {
			s.last = step
			s.pose.X, s.pose.Y, s.pose.Z, s.pose.Steer, s.pose.Spin = x, 0, z, 0, spin
			s.ss, s.cs, s.st, s.ct = 0, 1, st, ct
			return Reached
		}
	}
	return Lost
}

// settleFlat is Settle for a flat pose near guess, where mirrored shocks say how high the axle stands: their eyes are one more link, of the length that
// they should have, and three equations hold x, θ and z. False, with the mover where it was, when that is not how it is.
func (mv *Mover) settleFlat(guess Pose) bool {
	if !mv.Solved || mv.four == nil {
		return false
	}
	f, ok := mv.four.flat(&guess)
	if !ok {
		return false
	}
	var shock *solid.Shock
	for i := range mv.Model.Shocks {
		k := &mv.Model.Shocks[i]
		switch {
		case k.Axle != mv.End || k.Set <= 0:
		case k.Bottom.Link >= 0 || k.Top.Link >= 0 || k.Top.Carrier != solid.OnChassis || k.Bottom.Carrier == solid.OnChassis:
			return false
		case shock == nil:
			shock = k
		case k.Set != shock.Set || k.Bottom.At != shock.Bottom.At.Flip() || k.Top.At != shock.Top.At.Flip():
			return false
		}
	}
	if shock == nil {
		return false
	}
	l := mv.four
	ax, az := [3]float64{l.ax[f.i], l.ax[f.k], shock.Bottom.At.X}, [3]float64{l.az[f.i], l.az[f.k], shock.Bottom.At.Z}
	cx, cz := [3]float64{l.cx[f.i], l.cx[f.k], shock.Top.At.X}, [3]float64{l.cz[f.i], l.cz[f.k], shock.Top.At.Z}
	across := [3]float64{l.ay[f.i] - l.cy[f.i], l.ay[f.k] - l.cy[f.k], shock.Bottom.At.Y - shock.Top.At.Y}
	half := [3]float64{l.half[f.i], l.half[f.k], shock.Set * shock.Set / 2}
	x, z, spin := guess.X, guess.Z, guess.Spin
	st, ct := math.Sincos(spin)
	for range 12 {
		var g, jx, jt, jz [3]float64
		for n := range 3 {
			bx, bz := ct*ax[n]+st*az[n], ct*az[n]-st*ax[n]
			dx, dz := x+bx-cx[n], z+bz-cz[n]
			g[n] = 0.5*(dx*dx+dz*dz+across[n]*across[n]) - half[n]
			jx[n], jt[n], jz[n] = dx, dx*bz-dz*bx, dz
		}
		m0, m1, m2 := jt[1]*jz[2]-jt[2]*jz[1], jt[2]*jz[0]-jt[0]*jz[2], jt[0]*jz[1]-jt[1]*jz[0]
		det := jx[0]*m0 + jx[1]*m1 + jx[2]*m2
		if !(math.Abs(det) > 1e-300) {
			return false
		}
		qx := -(g[0]*m0 + g[1]*m1 + g[2]*m2) / det
		qt := -(jx[0]*(g[1]*jz[2]-g[2]*jz[1]) + jx[1]*(g[2]*jz[0]-g[0]*jz[2]) + jx[2]*(g[0]*jz[1]-g[1]*jz[0])) / det
		qz := -(jx[0]*(jt[1]*g[2]-jt[2]*g[1]) + jx[1]*(jt[2]*g[0]-jt[0]*g[2]) + jx[2]*(jt[0]*g[1]-jt[1]*g[0])) / det
		step := max(math.Abs(qx), math.Abs(qz), angleScale*math.Abs(qt))
		if !(step <= stepLimit/4) {
			return false
		}
		x, z, spin = x+qx, z+qz, spin+qt
		st, ct = advance(st, ct, qt)
		if step >= stepDone/4 {
			continue
		}
		s := &mv.solver
		before := s.pose
		s.pose = Pose{X: x, Z: z, Spin: spin}
		s.ss, s.cs, s.sr, s.cr, s.st, s.ct = 0, 1, 0, 1, st, ct
		if s.solveFlat(z, &f) != Reached || s.det*mv.sign <= mv.least || leaps(mv.at, s.pose) {
			s.Start(before)
			return false
		}
		mv.wantSet()
		mv.at, mv.Design, mv.Source = s.pose, s.pose, BySet
		return true
	}
	return false
}
