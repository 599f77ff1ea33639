package travel

import (
	"math"

	"lowslung/solid"
)

// A Rate is the velocity of an axle per unit of a drive motion (heave in mm, or roll in rad): of its origin, its steer and
// spin angles, and its angular velocity. Found from the same 4×4 system as the pose, so it is exact, also for parallel links:
//
//	J·(x′, y′, ψ′, θ′) = −∂f/∂z   per heave,   ∂fᵢ/∂z = dᵢz
//	J·(x′, y′, ψ′, θ′) = −∂f/∂φ   per roll,    ∂fᵢ/∂φ = dᵢ·(u × R·aᵢ),  u = (cos ψ, sin ψ, 0)
//	ω = ψ′·ẑ + φ′·u + θ′·w
type Rate struct {
	Origin solid.Vec // mm per mm, or mm per rad
	Steer  float64   // rad per mm, or rad per rad
	Spin   float64
	Omega  solid.Vec // angular velocity, chassis frame, rad per mm or rad per rad
}

// At is the velocity of the axle-fixed point that is at q in the chassis frame while the axle is at pose p.
func (r Rate) At(p Pose, q solid.Vec) solid.Vec {
	return r.Origin.Add(r.Omega.Cross(q.Sub(p.Origin())))
}

// A System is the linear system of a linkage at one pose: rows are links, columns x, y, ψ, θ.
type System struct {
	J       [4][4]float64 // ∂fᵢ/∂(x, y, ψ, θ), mm and mm²/rad
	Z       [4]float64    // ∂fᵢ/∂z, mm
	Phi     [4]float64    // ∂fᵢ/∂φ, mm²/rad
	Len     [4]float64    // |dᵢ|, mm
	steer   solid.Vec     // ẑ, u and w of the pose
	roll    solid.Vec
	spin    solid.Vec
	factors [4][4]float64 // LU with row order, after factor
	order   [4]int
	ok      bool
}

// SystemAt sets up the linear system at pose p.
func (l *Linkage) SystemAt(p Pose) System {
	var s System
	r := p.Turn()
	sp, cp := math.Sincos(p.Steer)
	s.steer = solid.Vec{Z: 1}
	s.roll = solid.Vec{X: cp, Y: sp}
	s.spin = r.Mul(solid.Vec{Y: 1})
	for i := range 4 {
		e := r.Mul(solid.Vec{X: l.ax[i], Y: l.ay[i], Z: l.az[i]})
		d := p.Origin().Add(e).Sub(solid.Vec{X: l.cx[i], Y: l.cy[i], Z: l.cz[i]})
		s.J[i] = [4]float64{d.X, d.Y, d.Dot(s.steer.Cross(e)), d.Dot(s.spin.Cross(e))}
		s.Z[i] = d.Z
		s.Phi[i] = d.Dot(s.roll.Cross(e))
		s.Len[i] = d.Norm()
	}
	s.factor()
	return s
}

// factor is LU decomposition with partial pivoting (Golub & Van Loan, Matrix Computations, §3.4).
func (s *System) factor() {
	s.factors = s.J
	s.order = [4]int{0, 1, 2, 3}
	a := &s.factors
	s.ok = true
	for k := range 4 {
		p := k
		for i := k + 1; i < 4; i++ {
			if math.Abs(a[i][k]) > math.Abs(a[p][k]) {
				p = i
			}
		}
		a[k], a[p] = a[p], a[k]
		s.order[k], s.order[p] = s.order[p], s.order[k]
		if math.Abs(a[k][k]) < 1e-9 {
			s.ok = false
			return
		}
		for i := k + 1; i < 4; i++ {
			a[i][k] /= a[k][k]
			for j := k + 1; j < 4; j++ {
				a[i][j] -= a[i][k] * a[k][j]
			}
		}
	}
}

// Solve finds q with J·q = b; ok is false when the links do not fix the pose.
func (s *System) Solve(b [4]float64) (q [4]float64, ok bool) {
	if !s.ok {
		return q, false
	}
	for i := range 4 {
		q[i] = b[s.order[i]]
		for j := range i {
			q[i] -= s.factors[i][j] * q[j]
		}
	}
	for i := 3; i >= 0; i-- {
		for j := i + 1; j < 4; j++ {
			q[i] -= s.factors[i][j] * q[j]
		}
		q[i] /= s.factors[i][i]
	}
	return q, true
}

// Heave is the motion per mm of heave at constant roll.
func (s *System) Heave() (Rate, bool) {
	q, ok := s.Solve(neg(s.Z))
	return Rate{
		Origin: solid.Vec{X: q[0], Y: q[1], Z: 1}, Steer: q[2], Spin: q[3],
		Omega: s.steer.Scale(q[2]).Along(s.spin, q[3]),
	}, ok
}

// Roll is the motion per rad of roll at constant heave.
func (s *System) Roll() (Rate, bool) {
	q, ok := s.Solve(neg(s.Phi))
	return Rate{
		Origin: solid.Vec{X: q[0], Y: q[1]}, Steer: q[2], Spin: q[3],
		Omega: s.steer.Scale(q[2]).Along(s.spin, q[3]).Add(s.roll),
	}, ok
}

// Slop is how far the axle can move when each link may be longer or shorter by slop, mm, the worst of all combinations:
// Σᵢ |∂q/∂Lᵢ|·slop with ∂fᵢ/∂Lᵢ = −Lᵢ. Forward and sideways in mm, steer and spin in rad.
func (s *System) Slop(slop float64) (out [4]float64, ok bool) {
	for i := range 4 {
		var b [4]float64
		b[i] = s.Len[i] * slop
		q, fine := s.Solve(b)
		if !fine {
			return out, false
		}
		for k := range 4 {
			out[k] += math.Abs(q[k])
		}
	}
	return out, true
}

func neg(a [4]float64) [4]float64 { return [4]float64{-a[0], -a[1], -a[2], -a[3]} }
