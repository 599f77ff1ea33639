package travel

// Grid visits a grid of heave, mm, and roll, rad, against the design pose, outward from it so that every pose is reached from its
// neighbour, and calls at for each one reached. It says how many were not. The mover ends at its design pose.
func (mv *Mover) Grid(heaves, rolls []float64, at func(heave, roll float64, p Pose)) (missed int) {
	starts, reached := fan(mv, mv.Design, heaves, func(h float64) (float64, float64) { return mv.Design.Z + h, mv.Design.Roll })
	for i, h := range heaves {
		if !reached[i] {
			missed += len(rolls)
			continue
		}
		row, there := fan(mv, starts[i], rolls, func(r float64) (float64, float64) { return starts[i].Z, mv.Design.Roll + r })
		for k, r := range rolls {
			if there[k] {
				at(h, r, row[k])
			} else {
				missed++
			}
		}
	}
	mv.Jump(mv.Design)
	return missed
}
