package travel

import (
	"math"

	"lowslung/solid"
)

// For search: the same axle with other links, thousands of times a second.

// Relink takes over the links of the mover's model after they have changed, and finds the axle's pose at near's height from a guess, the
// pose there of a linkage much like it. It reports false, with the mover in no state to be used, when that does not lead to the same
// assembly mode: then NewMover finds out.
func (mv *Mover) Relink(guess Pose) bool {
	if mv.four == nil {
		return false
	}
	l, n := mv.four, 0
	for i := range mv.Model.Links {
		k := &mv.Model.Links[i]
		if k.Axle != mv.End {
			continue
		}
		if n == 4 {
			return false
		}
		mv.Links[n] = *k
		l.cx[n], l.cy[n], l.cz[n] = k.From.X, k.From.Y, k.From.Z
		l.ax[n], l.ay[n], l.az[n] = k.To.X, k.To.Y, k.To.Z
		l.half[n] = k.Length * k.Length / 2
		n++
	}
	s := &mv.solver
	s.Start(guess)
	near := mv.Model.Axles[mv.End].Near
	if n != 4 || s.Solve(near.Z, 0) != Reached || leaps(guess, s.pose) || s.det*mv.sign <= 0 || !s.wellPosed() {
		return false
	}
	mv.least = fullReach * math.Abs(s.det)
	mv.at, mv.Solved = s.pose, true
	return true
}

// Assemble is NewMover for an axle that four links fix; nil when they do not, or do not close.
func Assemble(m *solid.Model, end solid.End) *Mover {
	mv := &Mover{Model: m, End: end, steps: 12}
	for i := range m.Links {
		if m.Links[i].Axle == end {
			mv.Links = append(mv.Links, m.Links[i])
		}
	}
	a := &m.Axles[end]
	mv.at = Pose{X: a.Near.X, Y: a.Near.Y, Z: a.Near.Z}
	mv.Design = mv.at
	if len(mv.Links) != 4 || !mv.close() {
		return nil
	}
	mv.Solved = true
	return mv
}

// Settle moves the axle to its design pose, as StandOf does, and says what put it there; ok is false when the links do not let it.
func (mv *Mover) Settle() (ok bool) {
	notes := mv.settleDesign()
	return len(notes) == 0 && mv.Solved
}

// SettleFrom is Settle when the design pose is about where guess says.
func (mv *Mover) SettleFrom(guess Pose) (ok bool) {
	if mv.settleFlat(guess) {
		return true
	}
	if mv.Solved && mv.hasSet() {
		mv.stepTo(guess.Z, 0)
		mv.solver.Start(mv.at)
	}
	return mv.Settle()
}

// A Walk is room to go over a grid of poses in. One goroutine each; it allocates only when the grid grows.
type Walk struct {
	col, mid []Solver // of each roll, at the heave visited last and at the middle heave
	lost     []bool   // the column is off its chain
	run      []int    // poses of it in a row, up to the last, and no more than are of use
	grid     [][4]float64
	there    []bool
	old      [][4]float64 // the grid gone over before, of a linkage that may be much like this one
	was      []bool
}

// Over goes over a grid of heave, mm, and roll, rad, against the design pose, as Grid does and to the same poses: each is started from
// where its neighbours in heave lead to (polynomial of up to fifth order), and reached as Grid reaches it when that fails. At each pose it
// calls visit with the indices of heave and roll, and a solver that is there, or nil where the links do not let the axle be; a visit that
// returns false ends it. Heaves and rolls are evenly spaced. The mover ends anywhere.
func (mv *Mover) Over(heaves, rolls []float64, w *Walk, visit func(i, k int, s *Solver) bool) {
	nh, nr := len(heaves), len(rolls)
	if mv.four == nil {
		mv.slowOver(heaves, rolls, visit)
		return
	}
	if len(w.col) < nr {
		w.col, w.mid, w.lost, w.run = make([]Solver, nr), make([]Solver, nr), make([]bool, nr), make([]int, nr)
	}
	if len(w.grid) != nh*nr {
		w.grid, w.there = make([][4]float64, nh*nr), make([]bool, nh*nr)
		w.old, w.was = make([][4]float64, nh*nr), make([]bool, nh*nr)
	}
	w.old, w.grid = w.grid, w.old
	w.was, w.there = w.there, w.was
	mh, mr := NearestZero(heaves), NearestZero(rolls)
	clear(w.there)
	z0 := mv.Design.Z
	how, flat := mv.four.flat(&mv.Design)
	for pass := range 2 {
		from, to, by := mh, nh, 1
		if pass == 1 {
			from, to, by = mh-1, -1, -1
			copy(w.col, w.mid)
		}
		for k := range nr {
			w.lost[k] = pass == 0 || !w.there[mh*nr+k]
			w.run[k] = 0
			for pass == 1 && w.run[k] < len(ahead)+1 && mh+w.run[k] < nh && w.there[(mh+w.run[k])*nr+k] {
				w.run[k]++
			}
		}
		for i := from; i != to; i += by {
			z := z0 + heaves[i]
			for n := range nr { // outward from the middle roll, to one side, then to the other
				k := mr + n
				if k >= nr {
					k = nr - 1 - n
				}
				s := &w.col[k]
				in := k - 1 // that Grid comes from
				if k < mr {
					in = k + 1
				}
				open := k == mr || w.there[i*nr+in]
				ok := false
				switch {
				case !open:
				case w.lost[k]:
					ok = i == mh && k != mr && w.like(mv, s, i*nr+k, i*nr+in, z, rolls[k])
				case flat && rolls[k] == 0:
					ok = w.chain(mv, s, i, k, nr, by, z, &how)
				default:
					ok = w.chain(mv, s, i, k, nr, by, z, nil)
				}
				if open && !ok {
					ok = mv.across(w, i, k, mh, mr, nr, by, heaves, rolls)
				}
				if w.lost[k] = !ok; !ok {
					w.run[k] = 0
				}
				if ok {
					w.run[k] = min(w.run[k]+1, len(ahead)+1)
					w.there[i*nr+k] = true
					w.grid[i*nr+k] = [4]float64{s.pose.X, s.pose.Y, s.pose.Steer, s.pose.Spin}
				} else {
					s = nil
				}
				if !visit(i, k, s) {
					return
				}
			}
			if i == mh && pass == 0 {
				copy(w.mid, w.col)
			}
		}
	}
}

// slowOver is Over for linkages that need least squares, in the same order.
func (mv *Mover) slowOver(heaves, rolls []float64, visit func(i, k int, s *Solver) bool) {
	nr := len(rolls)
	mh, mr := NearestZero(heaves), NearestZero(rolls)
	poses := make(map[int]Pose, len(heaves)*nr)
	starts, reached := fan(mv, mv.Design, heaves, func(h float64) (float64, float64) { return mv.Design.Z + h, mv.Design.Roll })
	for i := range heaves {
		if !reached[i] {
			continue
		}
		row, there := fan(mv, starts[i], rolls, func(r float64) (float64, float64) { return starts[i].Z, r })
		for k := range rolls {
			if there[k] {
				poses[i*nr+k] = row[k]
			}
		}
	}
	for n := range heaves {
		i := mh + n
		if i >= len(heaves) {
			i = len(heaves) - 1 - n
		}
		for o := range rolls {
			k := mr + o
			if k >= nr {
				k = nr - 1 - o
			}
			var s *Solver
			if p, ok := poses[i*nr+k]; ok {
				at := NewSolver(nil, p)
				s = &at
			}
			if !visit(i, k, s) {
				return
			}
		}
	}
}

// ahead are the weights of the last poses in the step to the next, for 2 to 6 of them: Newton's forward differences of evenly spaced values,
// of first to fifth order, less the last value itself.
var ahead = [5][6]float64{{1, -1}, {2, -3, 1}, {3, -6, 4, -1}, {4, -10, 10, -5, 1}, {5, -15, 20, -15, 6, -1}}

// chain goes on along heave in one column, from where the poses before lead to; where those are few, from where the linkage gone over last was there.
// Flat is how a flat pose moves, nil when it is none.
func (w *Walk) chain(mv *Mover, s *Solver, i, k, nr, by int, z float64, flat *flatly) bool {
	before := s.pose
	n, j := w.run[k], i*nr+k
	var d [4]float64
	switch prev := j - by*nr; {
	case n == len(ahead)+1: // written out: this is where the time goes
		a, b, c, e, f, g := &w.grid[prev], &w.grid[prev-by*nr], &w.grid[prev-2*by*nr], &w.grid[prev-3*by*nr], &w.grid[prev-4*by*nr], &w.grid[prev-5*by*nr]
		for m := range d {
			d[m] = 5*a[m] - 15*b[m] + 20*c[m] - 15*e[m] + 6*f[m] - g[m]
		}
	case n > 0 && n < 4 && w.was[j] && w.was[prev]:
		for m := range d {
			d[m] = w.old[j][m] - w.old[prev][m]
		}
	case n > 1:
		for q, c := range ahead[n-2][:n] {
			at := &w.grid[prev-q*by*nr]
			for m := range d {
				d[m] += c * at[m]
			}
		}
	}
	if flat != nil {
		s.pose.X += d[0]
		s.pose.Spin += d[3]
		s.st, s.ct = advance(s.st, s.ct, d[3])
		if s.solveFlat(z, flat) == Reached {
			return s.det*mv.sign > mv.least && !leaps(before, s.pose)
		}
		s.Start(before)
	} else {
		s.nudge(d)
	}
	return s.Solve(z, s.pose.Roll) == Reached && s.det*mv.sign > mv.least && !leaps(before, s.pose)
}

// like starts a column at the design height: from its neighbour nearer the middle, moved as the linkage gone over last was.
func (w *Walk) like(mv *Mover, s *Solver, j, in int, z, roll float64) bool {
	if !w.was[j] || !w.was[in] || !w.there[in] {
		return false
	}
	p := Pose{Z: z, Roll: roll}
	to := [4]*float64{&p.X, &p.Y, &p.Steer, &p.Spin}
	for m, v := range to {
		*v = w.grid[in][m] + w.old[j][m] - w.old[in][m]
	}
	near := Pose{X: w.grid[in][0], Y: w.grid[in][1], Steer: w.grid[in][2], Spin: w.grid[in][3]}
	*s = NewSolver(mv.four, p)
	s.most = mv.steps
	return s.Solve(z, roll) == Reached && s.det*mv.sign > mv.least && !leaps(near, s.pose)
}

// across reaches a pose as Grid does: along heave at the roll nearest zero, and from there in roll.
func (mv *Mover) across(w *Walk, i, k, mh, mr, nr, by int, heaves, rolls []float64) bool {
	switch {
	case k == mr && i == mh:
		mv.Jump(mv.Design)
	case k == mr:
		j := (i-by)*nr + k
		if !w.there[j] {
			return false
		}
		g := &w.grid[j]
		mv.Jump(Pose{X: g[0], Y: g[1], Z: mv.Design.Z + heaves[i-by], Steer: g[2], Roll: rolls[k], Spin: g[3]})
	default:
		in := k - 1
		if k < mr {
			in = k + 1
		}
		if !w.there[i*nr+in] {
			return false
		}
		mv.solver, mv.at = w.col[in], w.col[in].pose
	}
	if !mv.To(mv.Design.Z+heaves[i], rolls[k]) {
		return false
	}
	w.col[k] = mv.solver
	return true
}

// nudge moves the start of the next solve: x, y, mm, steer and spin, rad.
func (s *Solver) nudge(d [4]float64) {
	s.pose.X += d[0]
	s.pose.Y += d[1]
	s.pose.Steer += d[2]
	s.pose.Spin += d[3]
	s.ss, s.cs = advance(s.ss, s.cs, d[2])
	s.st, s.ct = advance(s.st, s.ct, d[3])
}

// NearestZero is the index of the value nearest zero, the first of equals: where a grid is begun.
func NearestZero(values []float64) int {
	mid := 0
	for i, v := range values {
		if math.Abs(v) < math.Abs(values[mid]) {
			mid = i
		}
	}
	return mid
}

// Origin is the axle origin of the pose reached last, chassis frame, mm.
func (s *Solver) Origin() solid.Vec { return solid.Vec{X: s.pose.X, Y: s.pose.Y, Z: s.pose.Z} }

// Turn is the rotation of the pose reached last, entry by entry as solid.AxleTurn has it, without working out angles again.
func (s *Solver) Turn() solid.Mat {
	return solid.Mat{
		s.cs*s.ct - s.ss*s.sr*s.st, -s.ss * s.cr, s.cs*s.st + s.ss*s.sr*s.ct,
		s.ss*s.ct + s.cs*s.sr*s.st, s.cs * s.cr, s.ss*s.st - s.cs*s.sr*s.ct,
		-s.cr * s.st, s.sr, s.cr * s.ct,
	}
}
