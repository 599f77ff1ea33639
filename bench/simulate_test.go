package bench

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"lowslung/ride"
	"lowslung/rig"
	"lowslung/solid"
)

func load(t testing.TB, name string) *solid.Model {
	t.Helper()
	b, err := rig.Load(func(n string) ([]byte, error) { return os.ReadFile("../examples/" + n) }, name)
	if err != nil {
		t.Fatal(err)
	}
	b.Doc.Readings = nil
	m, err := solid.Resolve(b)
	if err != nil {
		t.Fatal(err)
	}
	return ride.Stand(m)
}

// standing are the readings that one takes of a rig on four scales.
func standing(m *solid.Model) []rig.Reading {
	wanted := map[string]bool{"mass": true, "wheel load": true, "ride height": true, "wheelbase": true, "shock length": true, "pinion angle": true, "raised load": true}
	var out []rig.Reading
	for _, r := range possible(m, nil) {
		if wanted[r.Of] && !(r.Of == "wheelbase" && r.Side == "") {
			out = append(out, r)
		}
	}
	return out
}

// simulated are readings of a rig whose inputs are off by x, each with an error of its own; scale 0 reads exactly.
func simulated(t testing.TB, m *solid.Model, list []rig.Reading, x []float64, noise func() float64) rig.Map[rig.Reading] {
	t.Helper()
	b := &bench{m: m, in: inputsOf(m, nil, m.Rest != nil)}
	for i := range list {
		b.probes = append(b.probes, probeOf(m, nil, &list[i]))
	}
	v := b.at(newTrial(m, nil), x, false)
	var out rig.Map[rig.Reading]
	for i := range list {
		r := list[i]
		k, _ := r.KindOf()
		half, _ := within(&r, k, v.probes[i])
		value := v.probes[i] + noise()*half/normal95
		if math.IsNaN(value) {
			t.Fatalf("%v cannot be predicted", r)
		}
		unit := k.Dim.Bare
		r.Is = rig.Quantity{Text: fmt.Sprintf("%.9g %s", k.Dim.In(value, unit), unit)}
		out = append(out, rig.Entry[rig.Reading]{Name: fmt.Sprintf("%d %s %s %s", i, r.Of, r.At, r.Side), Value: r})
	}
	return out
}

func drawn(m *solid.Model, r *rand.Rand) []float64 {
	in := inputsOf(m, nil, m.Rest != nil)
	x := make([]float64, len(in))
	for j := range x {
		x[j] = in[j].sigma * r.NormFloat64()
	}
	return x
}

func none() float64 { return 0 }

// Readings that are exactly what the model says: nothing to correct, and the sum is 0.
func TestExactReadingsChangeNothing(t *testing.T) {
	m := load(t, "bramble.rig.yaml")
	a, err := Assess(m, Options{Readings: simulated(t, m, standing(m), nil, none), Base: "x.rig.yaml"})
	if err != nil {
		t.Fatal(err)
	}
	if a.Agreement.ChiSquare > 1e-6 || len(a.Corrections) != 0 || a.Patch != "" || a.Agreement.Verdict != "agrees" {
		t.Errorf("exact readings: %+v, %d corrections, patch %q", a.Agreement, len(a.Corrections), a.Patch)
	}
	for _, n := range a.Numbers {
		if math.Abs(n.Is-n.Was) > 1e-6 || !(n.After < n.Before*(1+1e-9)) {
			t.Errorf("%s: %+v", n.Name, n)
		}
	}
}
