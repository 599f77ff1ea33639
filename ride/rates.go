package ride

import (
	"math"

	"lowslung/solid"
)

// Rates about the stance, from the curvature of the energy.

// A springing is how an axle is sprung where the rig stands.
type springing struct {
	wheel   float64 // N/mm at each wheel: half of d²E/dz² of shocks and bars
	tyre    float64 // N/mm, one tyre, mean of both
	roll    float64 // N·mm per rad: d²E/dφ² of shocks and bars
	tyres   float64 // N·mm per rad: what the two tyres do against roll of the axle
	both    float64 // N·mm per rad: the two in series
	sprung  float64 // kg carried by the springs of this axle
	ride    float64 // N/mm of the axle: springs and tyres in series
	hz      float64 // √(ride/sprung)/2π; 0 when nothing springs
	damping float64 // N·s/mm of the axle, slow; NaN when a damper is not known
	zeta    float64 // c/(2√(k·m)); NaN then
}

// springings measures both axles where the bench rests, standing level.
func (w *work) springings() (out [2]springing) {
	only := w.only
	w.only = byShocks | byBars
	w.evaluate(true)
	h := w.hess
	w.only = only
	w.evaluate(false)
	for i := range out {
		o, a := &out[i], &w.mc.axles[i]
		k := 6 + 2*i
		o.wheel, o.roll = h[k][k]/2, h[k+1][k+1]
		carried := -a.body.mass
		for _, p := range a.hung {
			carried -= p.mass // the half that hangs on a link; the other half is the chassis'
		}
		for n := range a.wheels {
			wh := &a.wheels[n]
			_, _, kt := wh.load.at(-w.gap[2*i+n])
			o.tyre += kt / 2
			o.tyres += kt * wh.at.Y * wh.at.Y
			carried += w.load[2*i+n] / newton
		}
		o.sprung = carried
		o.both = series(o.roll, o.tyres)
		o.ride = series(2*o.wheel, 2*o.tyre)
		if o.ride > 0 && o.sprung > 0 {
			o.hz = math.Sqrt(o.ride*1000/o.sprung) / (2 * math.Pi)
		}
		o.damping = w.dampingAt(i, func(d *solid.Damper) float64 { return d.Oil })
		o.zeta = o.damping * 1000 / (2 * math.Sqrt(o.ride*1000*o.sprung))
	}
	return out
}

// dampingAt is the damping of axle i in heave, N·s/mm: Σ c·(dL/dz)². NaN when one of its dampers is not known.
func (w *work) dampingAt(i int, oil func(*solid.Damper) float64) (c float64) {
	for n := range w.mc.axles[i].struts {
		s := w.mc.axles[i].struts[n].model
		one, ok := dampingRate(&s.Damper, oil(&s.Damper))
		if !ok {
			return math.NaN()
		}
		d := w.mo[i].length[n].d[0]
		c += one * d * d
	}
	return c
}

// series is two rates one behind the other.
func series(a, b float64) float64 {
	if a <= 0 || b <= 0 {
		return 0
	}
	return a * b / (a + b)
}

// oilWanted is the oil, mm²/s, that gives axle i the damping ratio zeta: the same in all of its shocks.
func (w *work) oilWanted(i int, s *springing, zeta float64) (nu float64, ok bool) {
	c := zeta * 2 * math.Sqrt(s.ride*1000*s.sprung) / 1000
	unit := 0.0 // damping of the axle per unit of viscosity
	for n := range w.mc.axles[i].struts {
		one, fine := dampingRate(&w.mc.axles[i].struts[n].model.Damper, 350)
		if !fine {
			return 0, false
		}
		d := w.mo[i].length[n].d[0]
		unit += one * d * d / viscous(350)
	}
	if !(unit > 0) || !(c > 0) {
		return 0, false
	}
	return oilOf(c / unit), true
}
