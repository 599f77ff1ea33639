package ride

import "math"

// The drive's twist: on a slope, nose up, the drive holds the wheels through its shafts, and the shafts' torque rolls the chassis against the
// axles. Beside it the same slope with the wheels held against their axles, where no torque goes through the shafts.

// A twist is the rig on one slope, held by its drive.
type twist struct {
	lean
	force float64    // along the slope on all wheels, N, uphill
	shaft [2]float64 // torque in the shafts, N·mm, positive in the way that drives forward
	plain lean       // the same slope without torque in the shafts
}

// A twisting is all slopes.
type twisting struct {
	rows []twist
	leaning
}

// twisted turns the board nose up with the drive holding, from level, where the bench rests at m, and then without.
func (w *work) twisted(m *mark, step, most float64, keep int) (out twisting) {
	held := *m
	held.driven = true
	n := 0
	out.leaning = w.tilt(&ways[2], &held, step, most, func(angle float64) {
		if n++; (n-1)%keep != 0 {
			return
		}
		t := twist{lean: w.lean(angle)}
		for i := range w.ground {
			f := w.bears(i)
			t.force += f.Dot(w.ground[i].forward)
			if a := &w.mc.axles[i/2]; a.ratio > 0 { // the ground's torque on the wheel is f·spin; the shaft's is against it
				t.shaft[i/2] -= f.Dot(w.feet[i].spin) / a.ratio
			}
		}
		out.rows = append(out.rows, t)
	})
	n = 0
	w.tilt(&ways[2], m, step, most, func(angle float64) {
		if n++; (n-1)%keep == 0 && (n-1)/keep < len(out.rows) {
			out.rows[(n-1)/keep].plain = w.lean(angle)
		}
	})
	last := 0
	for last < len(out.rows) && (last == 0 || out.rows[last].plain.angle > 0) {
		last++
	}
	out.rows = out.rows[:last]
	return out
}

// geared says that there is a ratio on either axle, so that there is anything to say.
func (r *machine) geared() bool { return r.axles[0].ratio > 0 || r.axles[1].ratio > 0 }

// nan is nil for a number that does not exist.
func nan(v float64) *float64 {
	if math.IsNaN(v) {
		return nil
	}
	return &v
}
