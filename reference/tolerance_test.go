package reference

import (
	"math"
	"testing"

	"lowslung/solid"
	"lowslung/tolerance"
)

// Bands of a skew linkage against SciPy: scipy.stats.qmc's Latin hypercube, scipy.stats' distributions, every sampled linkage solved by
// scipy.optimize (python/tolerance_twin.py). With n samples drawn at random a deviation is known to 1/√(2n), 1.3 %, and a 2.5 % quantile
// to √(0.025·0.975/n)/φ(1.96), 4.9 % of σ or 2.5 % of the half width; allowed are 4 % and 6 % of the half width, between two samples.
func TestBandsAgainstSciPy(t *testing.T) {
	const samples = 3000
	e := tolerance.Errors{Drilled: 0.15, Length: 0.3, Play: 0.2, Set: 0.6, Tyre: 0.4}
	near := solid.Vec{X: -154, Z: 14}
	m := &solid.Model{Name: "skew"}
	m.Axles[solid.Rear] = solid.Axle{
		Present: true, Path: "rear", Near: near, TyreRadius: 58, HasRide: true, Ride: 44, PinionAxis: solid.Vec{X: 0.96, Z: 0.28},
	}
	q := map[string]any{"samples": samples, "seed": 7, "tyre": 58.0, "ride": 44.0, "origin": three(near), "turn": [9]float64{1, 0, 0, 0, 1, 0, 0, 0, 1},
		"pinion": [3]float64{0.96, 0, 0.28}, "errors": map[string]float64{"drilled": e.Drilled, "length": e.Length, "play": e.Play, "set": e.Set, "tyre": e.Tyre}}
	var chassis, axle [4][3]float64
	var length [4]float64
	for i, l := range []struct{ from, to solid.Vec }{
		{solid.Vec{X: -44, Y: 31, Z: 8}, solid.Vec{X: 6, Y: 42, Z: -4}}, {solid.Vec{X: -41, Y: -29, Z: 9}, solid.Vec{X: 7, Y: -44, Z: -3}},
		{solid.Vec{X: -38, Y: 24, Z: 34}, solid.Vec{X: 2, Y: 9, Z: 26}}, {solid.Vec{X: -36, Y: -25, Z: 33}, solid.Vec{X: 1, Y: -11, Z: 28}},
	} {
		length[i] = near.Add(l.to).Sub(l.from).Norm()
		m.Links = append(m.Links, solid.Link{Name: string(rune('a' + i)), Axle: solid.Rear, From: l.from, To: l.to, Length: length[i]})
		chassis[i], axle[i] = three(l.from), three(l.to)
	}
	q["chassis"], q["axle"], q["length"] = chassis, axle, length
	var want struct {
		Deviation [3]float64 `json:"deviation"`
		From      [3]float64 `json:"from"`
		To        [3]float64 `json:"to"`
	}
	twin(t, "tolerance_twin.py", q, &want)
	a, err := tolerance.Assess(m, tolerance.Options{Samples: samples, Seed: 3, Errors: &e})
	if err != nil {
		t.Fatal(err)
	}
	for k, name := range []string{"rear pinion angle", "rear out of square", "rear off centre"} {
		i := -1
		for n := range a.Bands {
			if a.Bands[n].Name == name {
				i = n
			}
		}
		if i < 0 {
			t.Fatalf("no band for %s in %+v", name, a.Bands)
		}
		b := a.Bands[i]
		half := 1.959964 * want.Deviation[k]
		if math.Abs(b.Linear-half) > 0.04*half {
			t.Errorf("%s: linear ±%g %s, SciPy's samples deviate by %g, ±%g", name, b.Linear, b.Unit, want.Deviation[k], half)
		}
		if math.Abs(b.From-want.From[k]) > 0.06*half || math.Abs(b.To-want.To[k]) > 0.06*half {
			t.Errorf("%s: %g to %g %s, SciPy %g to %g", name, b.From, b.To, b.Unit, want.From[k], want.To[k])
		}
		t.Logf("%s: %.4f to %.4f %s, SciPy %.4f to %.4f; linear ±%.4f, SciPy ±%.4f", name, b.From, b.To, b.Unit, want.From[k], want.To[k], b.Linear, half)
	}
}
