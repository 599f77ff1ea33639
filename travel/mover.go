package travel

import (
	"math"

	"lowslung/solid"
)

// A Mover moves one axle of a model along its links. It remembers the last pose; one goroutine each.
type Mover struct {
	Model *solid.Model
	End   solid.End
	Links []solid.Link // of this axle

	four   *Linkage // the fast way, when four links fix the pose; nil otherwise
	solver Solver
	sign   float64 // of the Jacobian's determinant in this assembly mode
	least  float64 // size of the determinant at which the links are taken to be at full reach
	at     Pose
	now    settled // the slow way's last state
	steps  int     // Newton steps of one step of assembling before a shorter one is tried; 0 is the usual

	want []float64 // lengths that shocks should have at the design pose, by their number in the model, mm

	Design Pose
	Source string // what put the design pose there
	Solved bool   // the links close at the design pose, within closeEnough
}

const (
	closeEnough = 1e-6 // mm: a least-squares stretch below this is rounding
	leapSpin    = 0.35 // rad, largest turn in one step before the step is halved
	leapShift   = 20.0 // mm, largest shift
	leastStep   = 1e-4 // mm or s·rad: no smaller steps are tried
	// fullReach is the share of the determinant's size as assembled below which the axle stops. The determinant falls with the root of
	// the distance left to full reach, so this costs well under 0.001 mm, and keeps away from where two assembly modes meet.
	fullReach = 2e-3
)

// NewMover starts from near, zero roll. It finds the pose there by continuation: first the lengths that near itself would
// need, then in steps to the real ones, so that the assembly mode is the one the builder drew.
func NewMover(m *solid.Model, end solid.End) *Mover {
	mv := &Mover{Model: m, End: end}
	for i := range m.Links {
		if m.Links[i].Axle == end {
			mv.Links = append(mv.Links, m.Links[i])
		}
	}
	a := &m.Axles[end]
	mv.at = Pose{X: a.Near.X, Y: a.Near.Y, Z: a.Near.Z}
	mv.Design = mv.at
	mv.assemble()
	return mv
}

// Count is the number of links on the axle.
func (mv *Mover) Count() int { return len(mv.Links) }

// Loose lists the motions that no link holds, in words, at the pose reached last.
func (mv *Mover) Loose() []string {
	if mv.four != nil {
		return nil
	}
	out := make([]string, 0, len(mv.now.loose))
	for _, d := range mv.now.loose {
		out = append(out, motionName(d))
	}
	return out
}

// Stretch is the stretch of each link at the pose reached last, mm; zero on the fast way.
func (mv *Mover) Stretch() []float64 {
	if mv.four != nil || len(mv.now.stretch) == 0 {
		return make([]float64, len(mv.Links))
	}
	return mv.now.stretch
}

// WorstStretch is the largest size in Stretch, mm.
func (mv *Mover) WorstStretch() float64 {
	worst := 0.0
	if mv.four == nil {
		for _, s := range mv.now.stretch {
			worst = max(worst, math.Abs(s))
		}
	}
	return worst
}

// At is the pose reached last.
func (mv *Mover) At() Pose { return mv.at }

// assemble finds the pose at near's height and decides between the fast and the slow way.
func (mv *Mover) assemble() {
	if len(mv.Links) == 4 && mv.close() {
		mv.Solved = true
		return
	}
	mv.four = nil
	mv.now = relax(mv.Links, mv.at, mv.at.Z, 0)
	mv.at = mv.now.pose
	mv.Solved = len(mv.Links) >= 4 && mv.now.ok && mv.WorstStretch() < closeEnough
	if len(mv.Links) > 4 && mv.now.ok {
		mv.Solved = true // over-located: it is together, with the stretch that the answer tells
	}
}

// close assembles four links at near's height by continuation in the lengths. False when they do not close or do not fix
// the pose.
func (mv *Mover) close() bool {
	start := mv.at
	var from, to [4]solid.Vec
	var want, have, mid [4]float64
	for i, l := range mv.Links {
		from[i], to[i], want[i] = l.From, l.To, l.Length
		have[i] = start.Place(l.To).Sub(l.From).Norm()
	}
	pose, t, step := start, 0.0, 0.25
	var sign float64
	on := NewLinkage(from, to, want)
	f, flat := on.flat(&pose)
	s := NewSolver(on, pose)
	s.most = mv.steps
	for t < 1 {
		next := min(1, t+step)
		for i := range mid {
			mid[i] = have[i] + next*(want[i]-have[i])
			on.half[i] = mid[i] * mid[i] / 2
		}
		s.Start(pose)
		status := Lost
		if flat {
			status = s.solveFlat(start.Z, &f)
		} else {
			status = s.Solve(start.Z, 0)
		}
		ok := status == Reached && !leaps(pose, s.Pose()) && s.wellPosed()
		if ok && sign != 0 && s.det*sign < 0 {
			ok = false
		}
		if !ok {
			if step /= 2; step < 1e-4 {
				return false
			}
			continue
		}
		sign, mv.least = math.Copysign(1, s.det), fullReach*math.Abs(s.det)
		pose, t = s.Pose(), next
		step = min(0.25, 2*step)
	}
	for i, v := range want {
		on.half[i] = v * v / 2
	}
	mv.four = on
	mv.solver = NewSolver(on, pose)
	mv.solver.most = mv.steps
	mv.sign = sign
	mv.at = pose
	return true
}

// wellPosed says whether the last Jacobian was far from singular: its determinant against the product of its columns' sizes.
func (s *Solver) wellPosed() bool {
	sys := s.link.SystemAt(s.pose)
	size := 1.0
	for i := range 4 {
		row := 0.0
		for k := range 4 {
			v := sys.J[i][k]
			if k > 1 {
				v /= angleScale
			}
			row += v * v
		}
		size *= math.Sqrt(row)
	}
	return math.Abs(s.det)/(angleScale*angleScale) > 1e-7*size
}

func leaps(a, b Pose) bool {
	far := func(d, most float64) bool { return d > most || d < -most }
	return far(a.Spin-b.Spin, leapSpin) || far(a.Steer-b.Steer, leapSpin) || far(a.X-b.X, leapShift) || far(a.Y-b.Y, leapShift)
}

// To moves the axle to heave z, mm, and roll φ, rad, in as many steps as it takes to stay in the same assembly mode. When
// the links do not let it, it stays at the last pose that it reached on the way and reports false.
func (mv *Mover) To(z, roll float64) bool {
	if mv.four == nil {
		return mv.slowTo(z, roll)
	}
	z0, r0 := mv.at.Z, mv.at.Roll
	t, step := 0.0, 1.0
	for t < 1 {
		next := min(1, t+step)
		if mv.stepTo(z0+next*(z-z0), r0+next*(roll-r0)) {
			t = next
			step *= 2
			continue
		}
		mv.solver.Start(mv.at)
		step /= 2
		if step*max(math.Abs(z-z0), angleScale*math.Abs(roll-r0)) < leastStep {
			return false
		}
	}
	return true
}

func (mv *Mover) stepTo(z, roll float64) bool {
	if mv.solver.Solve(z, roll) != Reached || mv.solver.det*mv.sign <= mv.least || leaps(mv.at, mv.solver.Pose()) {
		return false
	}
	mv.at = mv.solver.Pose()
	return true
}

// slowTo is To for linkages that need least squares. An over-located axle is reached with whatever stretch it takes; a
// linkage of four that has come to its full reach is not.
func (mv *Mover) slowTo(z, roll float64) bool {
	s := relax(mv.Links, mv.at, z, roll)
	if !s.ok || leaps(mv.at, s.pose) {
		return false
	}
	before := mv.now
	mv.now = s
	if len(mv.Links) <= 4 && mv.WorstStretch() > closeEnough {
		mv.now = before
		return false
	}
	mv.at = s.pose
	return true
}

// Jump puts the mover back at a pose it has reached before.
func (mv *Mover) Jump(p Pose) {
	mv.at = p
	if mv.four != nil {
		mv.solver.Start(p)
		return
	}
	mv.now = relax(mv.Links, p, p.Z, p.Roll)
}

// Rates are the rates of motion at the pose reached last; ok is false when four links do not fix it.
func (mv *Mover) Rates() (heave, roll Rate, sys System, ok bool) {
	if mv.four == nil {
		return mv.slowRates()
	}
	sys = mv.four.SystemAt(mv.at)
	heave, ok1 := sys.Heave()
	roll, ok2 := sys.Roll()
	return heave, roll, sys, ok1 && ok2
}

// slowRates are central differences of the least-squares pose, for over-located linkages only: an estimate good to about
// 1e-6, and marked as such by the System not being ok.
func (mv *Mover) slowRates() (heave, roll Rate, sys System, ok bool) {
	if len(mv.Links) < 4 || !mv.now.ok {
		return heave, roll, sys, false
	}
	const dz, dr = 1e-3, 1e-5 // mm, rad
	p := mv.at
	diff := func(z, r, h float64) (Rate, bool) {
		a := relax(mv.Links, p, p.Z-z, p.Roll-r)
		b := relax(mv.Links, p, p.Z+z, p.Roll+r)
		d := 1 / (2 * h)
		out := Rate{
			Origin: b.pose.Origin().Sub(a.pose.Origin()).Scale(d),
			Steer:  (b.pose.Steer - a.pose.Steer) * d, Spin: (b.pose.Spin - a.pose.Spin) * d,
		}
		turn := p.Turn()
		sp, cp := math.Sincos(p.Steer)
		out.Omega = solid.Vec{Z: out.Steer}.Along(turn.Mul(solid.Vec{Y: 1}), out.Spin)
		if r != 0 {
			out.Omega = out.Omega.Add(solid.Vec{X: cp, Y: sp})
		}
		return out, a.ok && b.ok
	}
	heave, ok1 := diff(dz, 0, dz)
	roll, ok2 := diff(0, dr, dr)
	return heave, roll, sys, ok1 && ok2
}
