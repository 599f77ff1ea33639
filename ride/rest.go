package ride

import (
	"lowslung/quantity"
	"lowslung/solid"
)

// Stand is the model standing on its springs and tyres: a copy with Rest, which travel.StandOf brings the axles to, and with it every question. Where the
// document lacks what that takes (both axles, weights, springs, tyres), or the rig does not come to rest, the copy has no Rest, and the axles stay where set,
// ride_height or near put them; Assess says what is lacking. Stand a changed copy again: what it stood on before does not count.
func Stand(m *solid.Model) *solid.Model {
	out, _ := StandOn(m)
	return out
}

// StandOn is Stand with what each wheel then carries, N: front left, front right, rear left, rear right. The loads are nil when it has no Rest.
func StandOn(m *solid.Model) (*solid.Model, *[4]float64) {
	out := *m
	out.Rest = nil
	r, lacking := compile(m, quantity.Metric)
	if lacking != nil {
		return &out, nil
	}
	w := newWork(r)
	if w.stand() != atRest {
		return &out, nil
	}
	out.Rest = w.resting()
	load := w.load
	return &out, &load
}

// resting is where the bench is, as travel takes it up.
func (w *work) resting() *solid.Rest {
	up := solid.Vec{X: w.at.r[6], Y: w.at.r[7], Z: w.at.r[8]} // of the ground, in the chassis frame: the third row of a turn
	out := &solid.Rest{Z: w.at.z, Roll: w.at.phi, Lean: up.Y}
	out.Lengths = make([]float64, 0, len(w.mc.model.Shocks))
	for i := range w.mo {
		out.Radius[i] = w.world(w.mo[i].p).Z
	}
	seen := [2]int{}
	for i := range w.mc.model.Shocks { // struts are each axle's shocks in the model's order
		end := w.mc.model.Shocks[i].Axle
		out.Lengths = append(out.Lengths, w.mo[end].length[seen[end]].at)
		seen[end]++
	}
	return out
}
