package ride

import (
	"encoding/json"
	"math"
	"testing"
	"time"

	"lowslung/finding"
	"lowslung/solid"
)

// Rigs that make no sense: every number of the demo rigs that ride reads, thrown. No panic, no number that is none, no search that does not end;
// and where there is no stance, a finding says so.
func TestStrangeRigs(t *testing.T) {
	r := dice(t)
	var slowest time.Duration
	stood := 0
	rounds := 60
	if testing.Short() {
		rounds = 10
	}
	for n := range rounds * len(demos) {
		m := *modelOf(t, demos[n%len(demos)])
		throw := func(v *float64) { // often as it was, at times scaled by anything, at times 0
			switch r.IntN(5) {
			case 0:
				*v *= math.Exp(3 * r.NormFloat64())
			case 1:
				if r.IntN(4) == 0 {
					*v = 0
				}
			}
		}
		m.Shocks = append([]solid.Shock(nil), m.Shocks...)
		for i := range m.Shocks {
			s := &m.Shocks[i]
			s.Springs = append([]solid.Spring(nil), s.Springs...)
			for k := range s.Springs {
				throw(&s.Springs[k].Rate)
				throw(&s.Springs[k].Travel)
			}
			throw(&s.Open)
			throw(&s.Closed)
			throw(&s.Collar)
			throw(&s.Mass)
			throw(&s.Damper.Oil)
			throw(&s.Damper.Hole)
			throw(&s.Damper.Rod)
			throw(&s.Damper.Discharge)
			s.Damper.Valved[r.IntN(2)] = solid.OneWay{Holes: r.IntN(3)}
			throw(&s.Damper.Valved[0].Hole)
		}
		m.Bodies = append([]solid.Body(nil), m.Bodies...)
		for i := range m.Bodies {
			if r.IntN(8) == 0 {
				throw(&m.Bodies[i].Mass)
				throw(&m.Bodies[i].CG.X)
				throw(&m.Bodies[i].CG.Y)
				throw(&m.Bodies[i].CG.Z)
			}
		}
		for end := range m.Axles {
			w := append([]solid.Wheel(nil), m.Axles[end].Wheels...)
			for i := range w {
				throw(&w[i].Rate)
				throw(&w[i].Lateral)
				throw(&w[i].Width)
				if r.IntN(6) == 0 {
					throw(&w[i].Radius)
				}
			}
			m.Axles[end].Wheels = w
		}
		m.Bars = append([]solid.Bar(nil), m.Bars...)
		for i := range m.Bars {
			throw(&m.Bars[i].Wire)
			throw(&m.Bars[i].Arm)
		}
		o := Options{Height: 40 + 60*r.Float64(), Zeta: r.Float64()}
		started := time.Now()
		a, err := Assess(&m, o)
		slowest = max(slowest, time.Since(started))
		if err != nil {
			t.Fatal(err)
		}
		if _, err := json.Marshal(a); err != nil {
			for name, part := range map[string]any{"stance": a.Stance, "tilt": a.Tilt, "ramp": a.Ramp, "cross-axle": a.CrossAxle, "torque": a.Torque, "damping": a.Damping, "angles": a.Angles, "wish": a.Wish} {
				if _, err := json.Marshal(part); err != nil {
					t.Errorf("an answer that is no number: %v in %s: %+v", err, name, part)
				}
			}
		}
		switch {
		case a.Stance != nil:
			stood++
			sum := a.Stance.BellyN
			for _, l := range []float64{a.Stance.CornerLoadsN.FrontLeft, a.Stance.CornerLoadsN.FrontRight, a.Stance.CornerLoadsN.RearLeft, a.Stance.CornerLoadsN.RearRight} {
				sum += l
			}
			if w := a.Stance.MassKG * newton; math.Abs(sum-w) > 1e-3*w+1e-3 {
				t.Errorf("wheels and belly carry %v N of %v N", sum, w)
			}
		case len(a.Findings) == 0 || finding.Worst(a.Findings) == finding.OK:
			t.Error("neither a stance nor a word")
		}
	}
	t.Logf("%d of %d stood; slowest %v", stood, rounds*len(demos), slowest)
	if slowest > 20*time.Second {
		t.Errorf("the slowest took %v", slowest)
	}
}
