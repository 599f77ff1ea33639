package solid

// A Rest is where a rig stands on its springs and tyres, as ride works it out (ride.Stand). Travel takes both axles there, and with it every question does. It
// holds for the model that it was worked out of: whoever changes springs or weights in a copy has that stood anew. With other links, holes or shocks travel takes it that
// each axle's shocks keep the mean of their lengths, which is so as long as the springs carry what they did.
type Rest struct {
	Z, Roll [2]float64 // of each axle against the chassis: its origin's height, mm, and its roll, rad
	Radius  [2]float64 // of each axle's origin above the ground, square to it, mm: its tyres are pressed in
	Lengths []float64  // of each shock of the model, eye to eye, mm
	Lean    float64    // y of the ground's unit normal in the chassis frame, the sine of the chassis' roll: positive with the left side up
}
