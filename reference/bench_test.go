package reference

import (
	"math"
	"testing"

	"lowslung/rig"
	"lowslung/solid"
	"lowslung/travel"
)

// Benchmarks of what a builder waits for; report/ prints them as one table. Kernels alone are timed beside their code.

const demo = "bramble-portal.rig.yaml" // a base, a patch and a bin

// sweepPoints are 41 × 41 points of heave (mm) and roll (rad), row by row, every other row backwards.
func sweepPoints(z float64) [][2]float64 {
	var out [][2]float64
	for i := range 41 {
		for k := range 41 {
			if i%2 == 1 {
				k = 40 - k
			}
			out = append(out, [2]float64{z + float64(i-20), float64(k-20) * deg})
		}
	}
	return out
}

// BenchmarkSciPySweep sweeps one axle over 41 × 41 points, and reports beside it how long scipy.optimize.fsolve takes over the same
// points of the same axle with the same unknowns and an analytic Jacobian, from one run on one machine.
func BenchmarkSciPySweep(b *testing.B) {
	_, m := modelOf(b, fromFolder("../examples"), demo)
	mv := travel.NewMover(m, solid.Rear)
	if !mv.Solved {
		b.Fatal("the rear axle does not close")
	}
	p := mv.At()
	points := sweepPoints(p.Z)
	var c, a [4]vec
	var ln [4]float64
	for i, l := range mv.Links {
		c[i], a[i], ln[i] = l.From, l.To, l.Length
	}
	question := struct {
		Chassis [4][3]float64 `json:"chassis"`
		Axle    [4][3]float64 `json:"axle"`
		Length  [4]float64    `json:"length"`
		Start   [4]float64    `json:"start"`
		Points  [][2]float64  `json:"points"`
		Repeat  int           `json:"repeat"`
	}{Length: ln, Start: [4]float64{p.X, p.Y, p.Steer, p.Spin}, Points: points, Repeat: 5}
	for i := range 4 {
		question.Chassis[i], question.Axle[i] = three(c[i]), three(a[i])
	}
	var theirs struct {
		Best  float64      `json:"best"`
		Poses [][4]float64 `json:"poses"`
	}
	twin(b, "sweep.py", question, &theirs)

	link := travel.NewLinkage(c, a, ln)
	solver := travel.NewSolver(link, p)
	b.ReportAllocs()
	n := 0
	for b.Loop() {
		n++
		solver.Start(p)
		for i, to := range points {
			if solver.Solve(to[0], to[1]) != travel.Reached {
				b.Fatalf("point %d not reached", i)
			}
		}
	}
	ours := b.Elapsed().Seconds() / float64(n) / float64(len(points))
	scipy := theirs.Best / float64(len(points))
	b.ReportMetric(ours*1e9, "ns/pose")
	b.ReportMetric(scipy*1e9, "scipy-ns/pose")
	b.ReportMetric(scipy/ours, "times-faster")

	// Both did the same work.
	solver.Start(p)
	for i, to := range points {
		solver.Solve(to[0], to[1])
		q, w := solver.Pose(), theirs.Poses[i]
		if off := math.Max(math.Hypot(q.X-w[0], q.Y-w[1]), 100*math.Hypot(q.Steer-w[2], q.Spin-w[3])); !(off < 1e-6) {
			b.Fatalf("point %d: %g mm apart", i, off)
		}
	}
}

// BenchmarkGrid41 answers travel for one axle on 41 × 41 points, rates, shocks and findings included.
func BenchmarkGrid41(b *testing.B) {
	_, m := modelOf(b, fromFolder("../examples"), demo)
	o := travel.Options{Axle: "rear", Heave: travel.Span{From: -20, To: 20, Step: 1}, Roll: travel.Span{From: -20, To: 20, Step: 1}}
	b.ReportAllocs()
	for b.Loop() {
		a, err := travel.Assess(m, o)
		if err != nil {
			b.Fatal(err)
		}
		if n := len(a.Axles.Rear.Poses) + len(a.Axles.Rear.Unreached); n != 41*41 {
			b.Fatalf("%d points", n)
		}
	}
}

// BenchmarkLoadAndResolve goes from text to a model: three files merged, checked, placed.
func BenchmarkLoadAndResolve(b *testing.B) {
	src := fromFolder("../examples")
	b.ReportAllocs()
	for b.Loop() {
		build, err := rig.Load(src, demo)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := solid.Resolve(build); err != nil {
			b.Fatal(err)
		}
	}
}
