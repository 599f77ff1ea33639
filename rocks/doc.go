// Package rocks answers: what will it climb?
//
// In: a solid.Model and Options (an obstacle with its size, the grip, the driver's speed and most throttle, a map of heights, another build).
// Out: an Answer with runs over obstacles, instant by instant, where and why each ended, and the largest size of each obstacle that was
// cleared. Lengths mm, speeds mm/s and m/s, angles degrees in answers and rad in kernels, forces N, torques N·mm, times s.
//
// The rig moves in as many freedoms as it has: six of the chassis, heave and roll of each axle (its links hold the rest, exactly, through
// travel's mover), and the turn of what the drive line leaves free. Springs, bars, dampers and tyres are ride's, the motor is drive's.
// Kernels: motion.go (mass and what speed adds to it), terrain.go (distance from rock), ring.go (a tyre against rock), contact.go
// (grip with true sticking), step.go (the implicit step), driver.go (motor and hands).
//
// Everything here is an estimate and says so. The grip of rubber on rock above all: no text can be cited for it, 0.5 to 1.0 is an assumption.
package rocks
