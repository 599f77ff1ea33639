package solid

// A Rest is where a rig stands on its springs and tyres, as ride works it out (ride.Stand). Travel takes both axles there, and with it every question does. It
// holds for the model that it was worked out of: whoever changes lengths, springs or weights in a copy has that stood anew, or takes it that the axles keep
// their height against the chassis.
type Rest struct {
	Z, Roll [2]float64 // of each axle against the chassis: its origin's height, mm, and its roll, rad
	Radius  [2]float64 // of each axle's origin above the ground, square to it, mm: its tyres are pressed in
	Lean    float64    // y of the ground's unit normal in the chassis frame, the sine of the chassis' roll: positive with the left side up
}
