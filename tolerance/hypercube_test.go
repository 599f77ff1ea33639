package tolerance

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// Each input has exactly one point in each slice of equal probability, and no two inputs go through them in the same order.
func TestHypercubeFillsEverySlice(t *testing.T) {
	const n = 250
	cube := hypercube(6, n, rand.New(rand.NewPCG(4, 5)))
	for i, row := range cube {
		seen := make([]bool, n)
		for _, u := range row {
			if k := int(u * n); u <= 0 || u >= 1 || seen[k] {
				t.Fatalf("input %d: %g is outside, or in a slice that has a point already", i, u)
			} else {
				seen[k] = true
			}
		}
		if i > 0 && slices.Equal(row, cube[0]) {
			t.Errorf("inputs 0 and %d go together", i)
		}
	}
}

// The distributions against their closed forms: 95 of 100 of a normal error within plus or minus a; the sum of two rectangular ones of
// half width a/2 is a triangle with variance a²/6.
func TestDistributions(t *testing.T) {
	const n, a = 200_000, 0.3
	for _, k := range []kind{drilled, play} {
		in := input{kind: k, half: a}
		sum, square, inside := 0.0, 0.0, 0
		for i := range n {
			v := in.at((float64(i) + 0.5) / n)
			sum += v
			square += v * v
			if math.Abs(v) <= a*(1+1e-12) {
				inside++
			}
		}
		sigma, share := a/1.9599639845, 0.95 // quantile: any table of the normal distribution
		if k == play {
			sigma, share = a/math.Sqrt(6), 1
		}
		if math.Abs(sum/n) > 1e-12 || math.Abs(math.Sqrt(square/n)-sigma) > 1e-4*sigma || math.Abs(in.sigma()-sigma) > 1e-9*sigma {
			t.Errorf("%v: mean %g, deviation %g and %g, expected 0 and %g", k, sum/n, math.Sqrt(square/n), in.sigma(), sigma)
		}
		if math.Abs(float64(inside)/n-share) > 1e-5 {
			t.Errorf("%v: %g within, expected %g", k, float64(inside)/n, share)
		}
	}
	rect := rand.New(rand.NewPCG(1, 1)) // the triangle against two dice of its own
	sum := make([]float64, 100_001)
	for i := range sum {
		sum[i] = a/2*(2*rect.Float64()-1) + a/2*(2*rect.Float64()-1)
	}
	slices.Sort(sum)
	tri := input{kind: play, half: a}
	for _, p := range []float64{0.025, 0.3, 0.5, 0.9, 0.975} {
		if got, want := tri.at(p), quantile(sum, p); math.Abs(got-want) > 0.004 {
			t.Errorf("quantile %g: %g, two rectangles added %g", p, got, want)
		}
	}
}
