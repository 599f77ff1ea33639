// Package travel answers: what do the axles do from full droop to full bump and in articulation?
//
// In: a solid.Model and Options (which axle, the grid of heave and roll). Out: an Answer with a pose for each point of the
// grid, the rates of motion for each heave, and findings. Lengths are mm, angles degrees in answers and rad in kernels.
//
// The chassis stands still; an axle moves against it. Its pose is p = (x, y, z), the axle origin in the chassis frame, and
// R = Rz(ψ)·Rx(φ)·Ry(θ) with steer ψ, roll φ and spin θ about the wheel axis. Heave z and roll φ are given; four links fix the
// other four: |p + R·aᵢ − cᵢ| = Lᵢ. Kernels: newton.go (the pose), rate.go (exact rates of motion), anchor.go (shocks).
package travel
