package reference

import (
	"math"
	"strconv"
	"testing"

	readings "lowslung/bench"
	"lowslung/rig"
	"lowslung/solid"
)

// Readings of a skew linkage against SciPy: scipy.optimize.least_squares (Levenberg–Marquardt of MINPACK) over all 29 unknowns at once, every
// linkage solved by scipy.optimize (python/bench_twin.py). The pinion was read most of a degree from where the document has it, so
// that what bends counts.
func TestReadingsAgainstSciPy(t *testing.T) {
	near := solid.Vec{X: -154, Z: 14}
	m := &solid.Model{Name: "skew"}
	m.Axles[solid.Rear] = solid.Axle{Present: true, Path: "rear", Near: near, TyreRadius: 58, HasRide: true, Ride: 44, PinionAxis: solid.Vec{X: 0.96, Z: 0.28}}
	// Usual errors (tolerance.Usual), standard deviations: drilled holes 0.1 mm, lengths 0.25 mm with 0.1 mm of play in two ends, ride height 0.5 mm.
	const k95 = 1.959963984540054
	q := map[string]any{"tyre": 58.0, "ride": 44.0, "origin": three(near), "turn": [9]float64{1, 0, 0, 0, 1, 0, 0, 0, 1}, "pinion": [3]float64{0.96, 0, 0.28},
		"sigma": map[string]float64{"hole": 0.1 / k95, "length": math.Hypot(0.25/k95, 0.1/math.Sqrt(6)), "ride": 0.5 / k95}}
	var chassis, axle [4][3]float64
	var length [4]float64
	for i, l := range []struct{ from, to solid.Vec }{
		{solid.Vec{X: -44, Y: 31, Z: 8}, solid.Vec{X: 6, Y: 42, Z: -4}}, {solid.Vec{X: -41, Y: -29, Z: 9}, solid.Vec{X: 7, Y: -44, Z: -3}},
		{solid.Vec{X: -38, Y: 24, Z: 34}, solid.Vec{X: 2, Y: 9, Z: 26}}, {solid.Vec{X: -36, Y: -25, Z: 33}, solid.Vec{X: 1, Y: -11, Z: 28}},
	} {
		length[i] = near.Add(l.to).Sub(l.from).Norm()
		m.Links = append(m.Links, solid.Link{Name: string(rune('a' + i)), Path: "links/" + string(rune('a'+i)), Axle: solid.Rear, From: l.from, To: l.to, Length: length[i]})
		chassis[i], axle[i] = three(l.from), three(l.to)
	}
	angle := math.Asin(0.28)/deg + 0.6
	lengths := []float64{length[0] + 0.2, length[1] - 0.15, length[2] + 0.25}
	within := []float64{0.4, 0.2, 0.2, 0.25}
	q["chassis"], q["axle"], q["length"], q["angle"], q["lengths"], q["within"] = chassis, axle, length, angle, lengths, within
	var want struct {
		Chi2, Angle, After float64
		X, SD              []float64
	}
	twin(t, "bench_twin.py", q, &want)

	number := func(v float64) string { return strconv.FormatFloat(v, 'g', 17, 64) }
	read := rig.Map[rig.Reading]{{Name: "angle", Value: rig.Reading{Of: "pinion angle", At: "rear", Is: rig.Quantity{Text: number(angle)}, Within: &rig.Quantity{Text: number(within[0])}}}}
	for i, v := range lengths {
		name := string(rune('a' + i))
		read = append(read, rig.Entry[rig.Reading]{Name: name, Value: rig.Reading{Of: "link length", At: name, Is: rig.Quantity{Text: number(v)}, Within: &rig.Quantity{Text: number(within[i+1])}}})
	}
	a, err := readings.Assess(m, readings.Options{Readings: read})
	if err != nil {
		t.Fatal(err)
	}
	if a.Without != nil {
		t.Fatalf("a reading was left out: %+v", a.Findings)
	}
	if d := math.Abs(a.Agreement.ChiSquare - want.Chi2); d > 2e-4*want.Chi2 {
		t.Errorf("χ² is %.6f, SciPy's %.6f", a.Agreement.ChiSquare, want.Chi2)
	}
	for _, k := range a.Numbers {
		if k.Name != "rear pinion angle" {
			continue
		}
		if math.Abs(k.Is-want.Angle) > 1e-3 || math.Abs(k.After-want.After) > 2e-3*want.After {
			t.Errorf("pinion angle %.5f° ± %.5f°, SciPy %.5f° ± %.5f°", k.Is, k.After, want.Angle, want.After)
		}
		t.Logf("χ² %.6f, SciPy %.6f; pinion angle %.5f° ± %.5f°, SciPy %.5f° ± %.5f°", a.Agreement.ChiSquare, want.Chi2, k.Is, k.After, want.Angle, want.After)
	}
	compared := 0
	for _, c := range a.Corrections {
		for i := range 4 {
			if c.What == "length of the link "+string(rune('a'+i)) {
				compared++
				if math.Abs(c.Sigmas-want.X[24+i]) > 2e-3 || math.Abs(c.After/c.Before-want.SD[24+i]) > 1e-3 {
					t.Errorf("link %c is off by %.5f standard deviations, known to %.5f of before; SciPy %.5f, %.5f", 'a'+i, c.Sigmas, c.After/c.Before, want.X[24+i], want.SD[24+i])
				}
			}
		}
		if c.Path == "rear/ride_height" {
			compared++
			if math.Abs(c.Sigmas-want.X[28]) > 2e-3 {
				t.Errorf("ride height is off by %.5f standard deviations, SciPy %.5f", c.Sigmas, want.X[28])
			}
		}
	}
	if compared < 3 {
		t.Errorf("only %d corrections could be compared: %+v", compared, a.Corrections)
	}
}

// BenchmarkBench is the whole question on the demo: 16 readings, 196 inputs, the one that does not fit left out.
func BenchmarkBench(b *testing.B) {
	_, m := modelOf(b, fromFolder("../examples"), "bramble-bench.rig.yaml")
	b.ReportAllocs()
	for b.Loop() {
		if a, err := readings.Assess(m, readings.Options{Base: "bramble-bench.rig.yaml"}); err != nil || a.Without == nil {
			b.Fatal(err)
		}
	}
}
