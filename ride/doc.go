// Package ride answers: how does the rig sit and move on its springs?
//
// In: a solid.Model and Options (steps of the tables, a damping ratio or a ride height that is wanted). Out: an Answer with the stance
// (heights, pitch, sag, loads, rates, frequency, damping), the tilt board in four directions beside the rigid value, a wheel on the ramp,
// two wheels on blocks, the drive's twist on a slope, angles of approach, departure and breakover, dampers, and what collar, spring or oil
// would give what is wanted. Lengths mm, forces N, angles degrees in answers and rad in kernels.
//
// The rig stands where its energy is least: weight, springs, anti-roll bars and tyres. Unknowns are the chassis (place and turn) and
// each axle's heave z and roll φ against the chassis; everything else of an axle's pose follows from its links, exactly, through travel's
// mover. Kernels: curve.go (springs in series), bar.go (anti-roll bar), moves.go (an axle's motion to second order), energy.go
// (energy, its gradient by virtual work, its curvature), newton.go (the minimum), hold.go (what keeps wheels in their place),
// damper.go (oil through holes).
package ride
