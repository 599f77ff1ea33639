package travel

import (
	"math"

	"lowslung/solid"
)

// The pose kernel: Newton on (x, y, ψ, θ) for four distance links, heave z and roll φ given.
//
//	fᵢ = ½(|dᵢ|² − Lᵢ²),  dᵢ = p + R·aᵢ − cᵢ,  R = Rz(ψ)·Rx(φ)·Ry(θ)
//	∂fᵢ/∂x = dᵢx,  ∂fᵢ/∂y = dᵢy,  ∂fᵢ/∂ψ = dᵢ·(ẑ × R·aᵢ),  ∂fᵢ/∂θ = dᵢ·(w × R·aᵢ),  w = R·ŷ (wheel axis)
//
// Units mm and rad. Source: distance constraints and their Jacobian as in Haug, Computer-Aided Kinematics and Dynamics of
// Mechanical Systems I (1989), ch. 9 (from memory); the elimination of z and φ is ours.

// A Pose is where an axle is: origin in the chassis frame, mm, and its angles, rad.
type Pose struct {
	X, Y, Z float64
	Steer   float64 // ψ, positive turns left
	Roll    float64 // φ, positive lifts the left wheel
	Spin    float64 // θ about the wheel axis; positive drops a nose that points forward
}

// Turn is the rotation of the axle frame against the chassis frame.
func (p Pose) Turn() solid.Mat { return solid.AxleTurn(p.Steer, p.Roll, p.Spin) }

// Place puts a point of the axle frame into the chassis frame.
func (p Pose) Place(a solid.Vec) solid.Vec {
	r := p.Turn()
	return r.Mul(a).Add(solid.Vec{X: p.X, Y: p.Y, Z: p.Z})
}

// Origin is the axle origin in the chassis frame.
func (p Pose) Origin() solid.Vec { return solid.Vec{X: p.X, Y: p.Y, Z: p.Z} }

// A Linkage is four distance links between chassis eyes and axle eyes. Immutable after NewLinkage.
type Linkage struct {
	cx, cy, cz [4]float64 // chassis eyes, chassis frame, mm
	ax, ay, az [4]float64 // axle eyes, axle frame, mm
	half       [4]float64 // ½L², mm²
}

// NewLinkage compiles four links; lengths in mm.
func NewLinkage(chassis, axle [4]solid.Vec, length [4]float64) *Linkage {
	l := new(Linkage)
	for i := range 4 {
		l.cx[i], l.cy[i], l.cz[i] = chassis[i].X, chassis[i].Y, chassis[i].Z
		l.ax[i], l.ay[i], l.az[i] = axle[i].X, axle[i].Y, axle[i].Z
		l.half[i] = length[i] * length[i] / 2
	}
	return l
}

// Status is how a solve ended.
type Status uint8

// Ways for a solve to end.
const (
	Reached  Status = iota // converged
	Lost                   // no convergence: out of reach, or the start too far away
	Singular               // the links do not fix the pose: the Jacobian has no inverse
)

const (
	angleScale = 100.0 // mm per rad, to weigh angles against lengths in step sizes
	stepDone   = 2e-5  // mm: the error after a Newton step this small is its square over a link length, below 1e-11
	stepLimit  = 60.0  // mm: a larger step is cut, so that a far start does not leap
	iterations = 40
)

// A Solver holds the last pose of one linkage: the start of the next solve. One goroutine each.
type Solver struct {
	link *Linkage
	pose Pose
	// sines and cosines of steer, roll and spin
	ss, cs, sr, cr, st, ct float64
	det                    float64 // determinant of the last Jacobian, mm⁴·mm⁴/rad²: its sign tells assembly modes apart
	last                   float64 // size of the last Newton step, mm
	Iterations             int     // Newton steps of the last solve
	most                   int     // Newton steps before a solve is given up; 0 is the usual
}

// NewSolver makes a solver that starts from pose p.
func NewSolver(l *Linkage, p Pose) Solver {
	s := Solver{link: l}
	s.Start(p)
	return s
}

// Start sets the pose from which the next solve starts.
func (s *Solver) Start(p Pose) {
	s.pose = p
	s.ss, s.cs = math.Sincos(p.Steer)
	s.sr, s.cr = math.Sincos(p.Roll)
	s.st, s.ct = math.Sincos(p.Spin)
}

// Pose is the pose reached last.
func (s *Solver) Pose() Pose { return s.pose }

// Solve finds the pose at heave z, mm, and roll φ, rad, starting from the pose reached last. It allocates nothing.
func (s *Solver) Solve(z, roll float64) Status {
	if roll != s.pose.Roll {
		s.pose.Roll = roll
		s.sr, s.cr = math.Sincos(roll)
	}
	s.pose.Z = z
	l := s.link
	x, y := s.pose.X, s.pose.Y
	ss, cs, sr, cr, st, ct := s.ss, s.cs, s.sr, s.cr, s.st, s.ct
	steer, spin := s.pose.Steer, s.pose.Spin
	status := Lost
	most := iterations
	if s.most > 0 {
		most = s.most
	}
	for n := 1; n <= most; n++ {
		s.Iterations = n
		var f, jx, jy, js, jt [4]float64
		for i := range 4 {
			ax, ay, az := l.ax[i], l.ay[i], l.az[i]
			bx := ct*ax + st*az // Ry(θ)·a
			bz := ct*az - st*ax
			ey := cr*ay - sr*bz // Rx(φ)·…
			ez := sr*ay + cr*bz
			rx := cs*bx - ss*ey // Rz(ψ)·…
			ry := ss*bx + cs*ey
			dx := x + rx - l.cx[i]
			dy := y + ry - l.cy[i]
			dz := z + ez - l.cz[i]
			f[i] = 0.5*(dx*dx+dy*dy+dz*dz) - l.half[i]
			jx[i], jy[i] = dx, dy
			js[i] = dy*rx - dx*ry
			// ∂(R·a)/∂θ = Rz·Rx·(bz, 0, −bx)
			u, v := bz, sr*bx
			jt[i] = dx*(cs*u-ss*v) + dy*(ss*u+cs*v) - dz*cr*bx
		}
		// Solve J·q = −f by 2×2 minors of the column pairs (x, y) and (ψ, θ): Laplace expansion, no branches.
		a0 := jx[0]*jy[1] - jx[1]*jy[0]
		a1 := jx[0]*jy[2] - jx[2]*jy[0]
		a2 := jx[0]*jy[3] - jx[3]*jy[0]
		a3 := jx[1]*jy[2] - jx[2]*jy[1]
		a4 := jx[1]*jy[3] - jx[3]*jy[1]
		a5 := jx[2]*jy[3] - jx[3]*jy[2]
		b0 := js[0]*jt[1] - js[1]*jt[0]
		b1 := js[0]*jt[2] - js[2]*jt[0]
		b2 := js[0]*jt[3] - js[3]*jt[0]
		b3 := js[1]*jt[2] - js[2]*jt[1]
		b4 := js[1]*jt[3] - js[3]*jt[1]
		b5 := js[2]*jt[3] - js[3]*jt[2]
		det := a0*b5 - a1*b4 + a2*b3 + a3*b2 - a4*b1 + a5*b0
		s.det = det
		if !(math.Abs(det) > 1e-300) {
			status = Singular
			break
		}
		inv := -1 / det
		// Cramer: column k replaced by f, expanded along f.
		qx := inv * (f[0]*(jy[1]*b5-jy[2]*b4+jy[3]*b3) - f[1]*(jy[0]*b5-jy[2]*b2+jy[3]*b1) +
			f[2]*(jy[0]*b4-jy[1]*b2+jy[3]*b0) - f[3]*(jy[0]*b3-jy[1]*b1+jy[2]*b0))
		qy := -inv * (f[0]*(jx[1]*b5-jx[2]*b4+jx[3]*b3) - f[1]*(jx[0]*b5-jx[2]*b2+jx[3]*b1) +
			f[2]*(jx[0]*b4-jx[1]*b2+jx[3]*b0) - f[3]*(jx[0]*b3-jx[1]*b1+jx[2]*b0))
		qs := inv * (f[0]*(jt[1]*a5-jt[2]*a4+jt[3]*a3) - f[1]*(jt[0]*a5-jt[2]*a2+jt[3]*a1) +
			f[2]*(jt[0]*a4-jt[1]*a2+jt[3]*a0) - f[3]*(jt[0]*a3-jt[1]*a1+jt[2]*a0))
		qt := -inv * (f[0]*(js[1]*a5-js[2]*a4+js[3]*a3) - f[1]*(js[0]*a5-js[2]*a2+js[3]*a1) +
			f[2]*(js[0]*a4-js[1]*a2+js[3]*a0) - f[3]*(js[0]*a3-js[1]*a1+js[2]*a0))
		step := max(math.Abs(qx), math.Abs(qy), angleScale*math.Abs(qs), angleScale*math.Abs(qt))
		if !(step <= stepLimit) { // too far, or not a number
			if math.IsInf(step, 0) || math.IsNaN(step) {
				status = Singular
				break
			}
			cut := stepLimit / step
			qx, qy, qs, qt = qx*cut, qy*cut, qs*cut, qt*cut
		}
		x += qx
		y += qy
		steer += qs
		spin += qt
		ss, cs = advance(ss, cs, qs)
		st, ct = advance(st, ct, qt)
		if step < stepDone {
			s.last = step
			status = Reached
			break
		}
	}
	s.pose.X, s.pose.Y, s.pose.Steer, s.pose.Spin = x, y, steer, spin
	if status == Reached {
		s.ss, s.cs, s.st, s.ct = ss, cs, st, ct
	} else {
		s.ss, s.cs = math.Sincos(steer)
		s.st, s.ct = math.Sincos(spin)
	}
	return status
}

// advance turns the sine and cosine of an angle by δ, |δ| ≤ stepLimit/angleScale = 0.6 rad: Taylor series, exact to 1e-16: to δ⁷
// below 0.02 rad, to δ¹⁷ beyond. The pair is pulled back to unit length, so that errors do not pile up over many solves.
func advance(s, c, d float64) (float64, float64) {
	d2 := d * d
	sd := d * (1 - d2*(1.0/6-d2*(1.0/120-d2*(1.0/5040))))
	cd := 1 - d2*(0.5-d2*(1.0/24-d2*(1.0/720)))
	if d2 > smallTurn*smallTurn {
		sd = d * (1 - d2*(f3-d2*(f5-d2*(f7-d2*(f9-d2*(f11-d2*(f13-d2*(f15-d2*f17))))))))
		cd = 1 - d2*(f2-d2*(f4-d2*(f6-d2*(f8-d2*(f10-d2*(f12-d2*(f14-d2*f16)))))))
	}
	s, c = s*cd+c*sd, c*cd-s*sd
	fix := 1.5 - 0.5*(s*s+c*c)
	return s * fix, c * fix
}

const (
	smallTurn = 0.02 // rad

	// one over the factorials of the series
	f2, f3, f4, f5 = 1.0 / 2, f2 / 3, f3 / 4, f4 / 5
	f6, f7, f8, f9 = f5 / 6, f6 / 7, f7 / 8, f8 / 9
	f10, f11, f12  = f9 / 10, f10 / 11, f11 / 12
	f13, f14, f15  = f12 / 13, f13 / 14, f14 / 15
	f16, f17       = f15 / 16, f16 / 17
)

// Residual is the largest | |p + R·aᵢ − cᵢ| − Lᵢ | of the pose, mm.
func (l *Linkage) Residual(p Pose) float64 {
	r := p.Turn()
	worst := 0.0
	for i := range 4 {
		e := r.Mul(solid.Vec{X: l.ax[i], Y: l.ay[i], Z: l.az[i]})
		dx, dy, dz := p.X+e.X-l.cx[i], p.Y+e.Y-l.cy[i], p.Z+e.Z-l.cz[i]
		worst = max(worst, math.Abs(math.Sqrt(dx*dx+dy*dy+dz*dz)-math.Sqrt(2*l.half[i])))
	}
	return worst
}
