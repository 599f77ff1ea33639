package travel

import "math"

// Lanes is how many linkages a Batch solves side by side: eight doubles fill one 512-bit register.
const Lanes = 8

// A Batch solves up to eight linkages side by side at one heave and roll: the kernel of newton.go with an array of lanes for every
// quantity. Built with GOEXPERIMENT=simd on amd64 with AVX-512 the lanes share each instruction; anywhere else they are solved one after
// the other. Both do the same operations in the same order without fused multiply-adds, so a lane's pose, status and determinant are those
// of Solver to the last bit, whatever the build and whatever the machine: a search may be taken up again on another one.
//
// A lane that is done, lost or singular is left as it is while the others go on. One goroutine each; nothing is allocated.
type Batch struct {
	cx, cy, cz [4][Lanes]float64 // chassis eyes, chassis frame, mm
	ax, ay, az [4][Lanes]float64 // axle eyes, axle frame, mm
	half       [4][Lanes]float64 // ½L², mm²

	x, y, steer, spin [Lanes]float64 // pose reached last, mm and rad
	ss, cs, st, ct    [Lanes]float64 // sines and cosines of steer and spin
	z, roll, sr, cr   float64        // of all lanes
	det               [Lanes]float64 // determinant of each lane's last Jacobian
	steps             [Lanes]uint8   // Newton steps of the last solve
	used              uint8          // bit n: lane n has a linkage
	reached, singular uint8          // bit n: how lane n's last solve ended

	link  [Lanes]*Linkage
	guard [Lanes]guard
}

// guard is what Step holds against a pose, as Mover does.
type guard struct{ sign, least float64 }

// Set puts a linkage into a lane, to start from pose p. Heave and roll of p do not matter: Solve sets them.
func (b *Batch) Set(lane int, l *Linkage, p Pose) {
	for i := range 4 {
		b.cx[i][lane], b.cy[i][lane], b.cz[i][lane] = l.cx[i], l.cy[i], l.cz[i]
		b.ax[i][lane], b.ay[i][lane], b.az[i][lane] = l.ax[i], l.ay[i], l.az[i]
		b.half[i][lane] = l.half[i]
	}
	b.link[lane], b.guard[lane] = l, guard{}
	b.used |= 1 << lane
	b.Start(lane, p)
}

// SetMover puts the linkage of a mover into a lane, at the pose that the mover is at, with its guard against other assembly modes. It
// reports false, and leaves the lane empty, when the mover's axle is not held by exactly four links.
func (b *Batch) SetMover(lane int, mv *Mover) bool {
	if mv.four == nil {
		b.Drop(lane)
		return false
	}
	b.Set(lane, mv.four, mv.at)
	b.guard[lane] = guard{mv.sign, mv.least}
	return true
}

// Drop empties a lane: it is not solved any more.
func (b *Batch) Drop(lane int) { b.used &^= 1 << lane }

// Used has bit n set when lane n has a linkage.
func (b *Batch) Used() uint8 { return b.used }

// Start sets the pose from which a lane's next solve starts.
func (b *Batch) Start(lane int, p Pose) {
	b.x[lane], b.y[lane], b.steer[lane], b.spin[lane] = p.X, p.Y, p.Steer, p.Spin
	b.ss[lane], b.cs[lane] = math.Sincos(p.Steer)
	b.st[lane], b.ct[lane] = math.Sincos(p.Spin)
}

// Pose is the pose that a lane reached last.
func (b *Batch) Pose(lane int) Pose {
	return Pose{X: b.x[lane], Y: b.y[lane], Z: b.z, Steer: b.steer[lane], Roll: b.roll, Spin: b.spin[lane]}
}

// Status is how a lane's last solve ended; Lost for an empty lane.
func (b *Batch) Status(lane int) Status {
	switch bit := uint8(1) << lane; {
	case b.used&bit == 0:
		return Lost
	case b.reached&bit != 0:
		return Reached
	case b.singular&bit != 0:
		return Singular
	}
	return Lost
}

// Solve finds every lane's pose at heave z, mm, and roll φ, rad, each starting from the pose it reached last. Bit n of the result is set
// when lane n converged.
func (b *Batch) Solve(z, roll float64) uint8 {
	b.z = z
	if roll != b.roll || b.cr == 0 {
		b.roll = roll
		b.sr, b.cr = math.Sincos(roll)
	}
	b.reached, b.singular = 0, 0
	if vectors {
		b.solveVectors()
	} else {
		b.solvePlain()
	}
	return b.reached
}

// Step is Solve as Mover steps: a lane counts as there only when it converged, in its own assembly mode, short of full reach, and not by a
// leap. A lane that is not stays at the pose it had, so that a Mover can take over from there in smaller steps.
func (b *Batch) Step(z, roll float64) uint8 {
	x, y, steer, spin := b.x, b.y, b.steer, b.spin
	ss, cs, st, ct := b.ss, b.cs, b.st, b.ct
	there := b.Solve(z, roll)
	for n := range Lanes {
		bit := uint8(1) << n
		if b.used&bit == 0 {
			continue
		}
		g := b.guard[n]
		if there&bit != 0 && b.det[n]*g.sign > g.least &&
			!leaps(Pose{X: x[n], Y: y[n], Steer: steer[n], Spin: spin[n]}, b.Pose(n)) {
			continue
		}
		there &^= bit
		b.x[n], b.y[n], b.steer[n], b.spin[n] = x[n], y[n], steer[n], spin[n]
		b.ss[n], b.cs[n], b.st[n], b.ct[n] = ss[n], cs[n], st[n], ct[n]
	}
	return there
}

// solvePlain is the twin in plain Go: the scalar kernel, lane after lane. Not faster than Solver: it is the fallback and the oracle.
func (b *Batch) solvePlain() {
	for n := range Lanes {
		bit := uint8(1) << n
		if b.used&bit == 0 {
			continue
		}
		s := Solver{
			link: b.link[n], pose: Pose{X: b.x[n], Y: b.y[n], Steer: b.steer[n], Roll: b.roll, Spin: b.spin[n]},
			ss: b.ss[n], cs: b.cs[n], sr: b.sr, cr: b.cr, st: b.st[n], ct: b.ct[n],
		}
		switch s.Solve(b.z, b.roll) {
		case Reached:
			b.reached |= bit
		case Singular:
			b.singular |= bit
		}
		b.x[n], b.y[n], b.steer[n], b.spin[n] = s.pose.X, s.pose.Y, s.pose.Steer, s.pose.Spin
		b.ss[n], b.cs[n], b.st[n], b.ct[n] = s.ss, s.cs, s.st, s.ct
		b.det[n], b.steps[n] = s.det, uint8(s.Iterations)
	}
}
