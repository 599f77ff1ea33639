package rocks

import (
	"fmt"
	"math"

	"lowslung/quantity"
	"lowslung/solid"
)

// A Coasting is a rig that was let go, at two instants.
type Coasting struct {
	Rest     Frame   // after it had time to settle, level
	From, To Frame   // on the slope
	Speed    float64 // gained between them, mm/s down the slope
	Seconds  float64 // between them
}

// Coast sets the rig down on a level plane, lets it settle, and tilts the plane nose down at once: wheels free to turn, hands off, no rolling resistance, no
// twist of the shafts. It is what can be held against a general multibody program. Slope in degrees, times in s from the tilt on.
func Coast(m *solid.Model, slope, settle, from, to, step float64) (c Coasting, err error) {
	r, lacking := compile(m, &Options{Units: quantity.Metric})
	if lacking != nil {
		return c, fmt.Errorf("coast: %s", lacking.Sentence)
	}
	r.rotor = 0
	for e := range r.axles {
		r.axles[e].ratio = 0
	}
	w := newWork(r, terrain{ground()}, step)
	w.coast = true
	w.set(0, 0)
	for w.s.t < settle {
		w.step()
	}
	c.Rest = w.frame()
	sin, cos := math.Sincos(slope * deg)
	w.up = solid.Vec{X: -sin, Z: cos}
	begin, v := w.s.t, 0.0
	for w.s.t < begin+to {
		before := w.s.t
		w.step()
		if before < begin+from && w.s.t >= begin+from {
			c.From, v, c.Seconds = w.frame(), w.s.r.Mul(vel(&w.s.u)).X, w.s.t
		}
	}
	c.To, c.Speed, c.Seconds = w.frame(), w.s.r.Mul(vel(&w.s.u)).X-v, w.s.t-c.Seconds
	return c, nil
}
