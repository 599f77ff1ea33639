package travel

import "lowslung/solid"

// AtDesign is one axle at its design pose, told as Pull tells it: what a page draws before anyone pulls. An axle that its links
// do not hold is where near puts it, without rates. The axle must be in the document.
func AtDesign(m *solid.Model, st *Stand, end solid.End) Pulled {
	mv := st.Movers[end]
	mv.Jump(mv.Design)
	h := &hand{tracer: newTracer(m, mv), end: end}
	return h.done(st)
}

// RollAxis is the line about which the axle rolls at the pose reached last: through point, on the centreline below or above
// the axle's origin, chassis frame, along a unit vector that points forward. From the motion per rad of roll (v, ω), with v
// that of the axle's origin: the point of the axle plane that does not move sideways is at z + v_y/ω_x, and the line leans by
// ω_z/ω_x (mechanics as for the roll centre height). ok is false when the links do not fix the axle.
func (mv *Mover) RollAxis() (point, forward solid.Vec, ok bool) {
	_, roll, _, ok := mv.Rates()
	if !ok || roll.Omega.X == 0 {
		return point, forward, false
	}
	point = solid.Vec{X: mv.at.X, Y: 0, Z: mv.at.Z + roll.At(mv.at, solid.Vec{X: mv.at.X, Z: mv.at.Z}).Y/roll.Omega.X}
	return point, solid.Vec{X: 1, Z: roll.Omega.Z / roll.Omega.X}.Unit(), true
}
