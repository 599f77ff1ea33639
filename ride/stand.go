package ride

import (
	"math"

	"lowslung/solid"
)

// stand puts the rig on level ground as travel stands it, and lets it come to rest.
func (w *work) stand() outcome {
	w.place()
	for i := range w.ground {
		w.ground[i] = level
	}
	w.pull = solid.Vec{Z: -newton}
	w.holds, w.feet = w.holds[:0], [4]foot{}
	if !w.evaluate(false) {
		return stalled
	}
	w.roll()
	w.plant(false)
	return w.settle(limits{turn: 1, shift: 120, steps: 200, late: stalled})
}

// place is where set, ride_height or near puts it, on the ground: front tyre's lowest point at the origin's height, the chassis pitched as its ground says.
func (w *work) place() {
	st := w.mc.stand
	g := &st.Ground
	f, u := g.Forward, g.Up
	w.at.r = solid.Mat{f.X, f.Y, f.Z, 0, 1, 0, u.X, u.Y, u.Z}
	w.at.x = w.at.r.Mul(g.Point).Scale(-1)
	for i := range w.mc.axles {
		mv := w.mc.axles[i].mv
		w.at.z[i], w.at.phi[i] = mv.Design.Z, mv.Design.Roll
		mv.Jump(mv.Design)
	}
}

// settle searches for rest, finds feet and shares of the load anew there, and searches again until neither moves a force by 2 mN, the weight
// of a fifth of a gram, any more. How far the shares go towards the loads follows from how they answered the time before (Aitken's relaxation
// for vectors: Irons & Tuck, A version of the Aitken accelerator for computer iteration, 1969, from memory): two wheels that are both about to
// lift would throw the load to and fro.
func (w *work) settle(lim limits) outcome {
	const rounds = 25
	wrong := 0.0
	w.datum = w.at.x
	if !w.evaluate(false) {
		return stalled
	}
	var last shares
	by := 1.0
	for n := range rounds {
		if out := w.rest(lim); out != atRest {
			return out
		}
		off := w.unshared()
		if n > 0 {
			num, den := 0.0, 0.0
			for i := range off {
				was, now := last[i]*w.bearing(i), off[i]*w.bearing(i)
				num += was * (now - was)
				den += (now - was) * (now - was)
			}
			if den > 0 {
				most := 1.5
				if n > 10 {
					most = 0.3 // it has been going to and fro
				}
				by = max(0.1, min(most, -by*num/den))
			}
		}
		last = off
		w.share(&off, by)
		w.plant(w.driven)
		if !w.evaluate(false) {
			return stalled
		}
		wrong = w.unrest()
		for i := range off {
			wrong = max(wrong, math.Abs(off[i])*w.bearing(i))
		}
		if wrong < 2e-3 {
			w.at.square()
			return atRest
		}
	}
	if wrong < 0.03 { // 3 g: a wheel that lifts at this very place keeps touching and lifting from round to round
		return atRest
	}
	return stalled
}
