// Package steer answers: what do the front wheels do at lock and over bumps?
//
// In: a solid.Model and Options (servo angles, the grid of heave and roll). Out: an Answer with the wheels' steer angles over the
// servo's angle, the Ackermann relation and the turning circle at both locks and what sets them, kingpin geometry, bump and roll
// steer with the servo held, the torque that the servo needs to turn the wheels on the spot (an estimate), and findings. Lengths
// are mm, torques N·mm, angles degrees in answers and rad in kernels.
//
// The linkage is solved in the axle frame: horn angle → drag link (a distance in space) → knuckle on its inclined kingpin → tie
// rod (a distance in space) → the other knuckle. A horn on the chassis is carried into the axle frame by the axle's exact pose
// (package travel), which is how the wheels come to steer over bumps. Kernels: circle.go, linkage.go, rate.go. Steer angles are
// those of ISO 8855: of the wheel plane against the direction forward, about the ground's normal, positive to the left.
package steer
