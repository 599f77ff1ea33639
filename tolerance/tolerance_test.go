package tolerance_test

import (
	"math"
	"os"
	"strings"
	"testing"

	"lowslung/rig"
	"lowslung/solid"
	"lowslung/tolerance"
)

func load(t testing.TB, name string) *solid.Model {
	t.Helper()
	b, err := rig.Load(func(n string) ([]byte, error) { return os.ReadFile("../examples/" + n) }, name)
	if err != nil {
		t.Fatal(err)
	}
	m, err := solid.Resolve(b)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func TestX(t *testing.T) {
	a, err := tolerance.Assess(load(t, "bramble-portal.rig.yaml"), tolerance.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range a.Assumed {
		t.Log(x.Text, x.Inputs)
	}
	for _, b := range a.Bands {
		t.Log(b.Name, b.Text, (b.To-b.From)/2, b.Linear)
		for _, m := range b.Matters {
			t.Log("    ", m.Text)
		}
	}
	t.Log(a.Measure, a.Findings, a.Lost)
	_ = math.Pi
	_ = os.Args
	_ = strings.Join
}

func BenchmarkBands(b *testing.B) {
	m := load(b, "bramble-portal.rig.yaml")
	for b.Loop() {
		if _, err := tolerance.Assess(m, tolerance.Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
