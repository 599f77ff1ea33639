package travel

import "lowslung/solid"

// A Bend is a second derivative of an axle's pose: of its origin, and of its angular velocity.
type Bend struct {
	Origin solid.Vec // ∂v/∂q, mm per mm², mm·rad or rad²
	Omega  solid.Vec // ∂ω/∂q, chassis frame
}

// Bends are the second derivatives at the pose reached last: heave along heave, heave along roll, roll along roll, from the rates there and
// their system. Every link keeps its length, so for the eye e = R·a of link i, with dᵢ from eye to eye and velocities V = v + ω × e,
//
//	dᵢ·∂Vₖ/∂qₗ + Vₖ·Vₗ = 0,   ∂Vₖ/∂qₗ = (x″, y″, 0) + (ψ″ẑ + θ″w + β) × e + ωₖ × (ωₗ × e),   β = φₖψₗ ẑ×u + θₖ ωₗ×w
//
// which is the system of the rates again with another right-hand side: J·(x″, y″, ψ″, θ″) = −(Vₖ·Vₗ + dᵢ·(β × e + ωₖ × (ωₗ × e))). Exact,
// like the rates. (Acceleration of constrained mechanisms: Haug, Computer-Aided Kinematics and Dynamics of Mechanical Systems I, §3.6, from memory.)
// ok is false when four links do not settle the axle.
func (mv *Mover) Bends(heave, roll *Rate, sys *System) (out [3]Bend, ok bool) {
	if mv.four == nil || !sys.ok {
		return out, false
	}
	r := mv.at.Turn()
	rates := [2]*Rate{heave, roll}
	phi := [2]float64{0, 1}
	for n, kl := range [3][2]int{{0, 0}, {0, 1}, {1, 1}} {
		k, l := rates[kl[0]], rates[kl[1]]
		beta := solid.Vec{Z: 1}.Cross(sys.roll).Scale(phi[kl[0]]*l.Steer).Along(l.Omega.Cross(sys.spin), k.Spin)
		var b [4]float64
		for i := range 4 {
			e := r.Mul(solid.Vec{X: mv.four.ax[i], Y: mv.four.ay[i], Z: mv.four.az[i]})
			d := solid.Vec{X: sys.J[i][0], Y: sys.J[i][1], Z: sys.Z[i]}
			vk, vl := k.Origin.Add(k.Omega.Cross(e)), l.Origin.Add(l.Omega.Cross(e))
			b[i] = -(vk.Dot(vl) + d.Dot(beta.Cross(e).Add(k.Omega.Cross(l.Omega.Cross(e)))))
		}
		q, fine := sys.Solve(b)
		if !fine {
			return out, false
		}
		out[n] = Bend{Origin: solid.Vec{X: q[0], Y: q[1]}, Omega: beta.Along(solid.Vec{Z: 1}, q[2]).Along(sys.spin, q[3])}
	}
	return out, true
}
