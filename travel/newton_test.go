package travel

import (
	"math"
	"testing"

	"lowslung/solid"
)

func bench4() (*Linkage, Pose) {
	ch := [4]solid.Vec{{X: -44, Y: 31, Z: 8}, {X: -44, Y: -31, Z: 8}, {X: -38, Y: 24, Z: 34}, {X: -38, Y: -24, Z: 34}}
	ax := [4]solid.Vec{{X: 6, Y: 42, Z: -4}, {X: 6, Y: -42, Z: -4}, {X: 2, Y: 18, Z: 26}, {X: 2, Y: -18, Z: 26}}
	p := Pose{X: -154, Z: 14}
	var ln [4]float64
	for i := range 4 {
		ln[i] = p.Place(ax[i]).Sub(ch[i]).Norm()
	}
	return NewLinkage(ch, ax, ln), p
}

func TestSolveComesBack(t *testing.T) {
	l, p := bench4()
	s := NewSolver(l, p)
	for i := 0; i < 1000; i++ {
		z := 14 + 20*math.Sin(float64(i)*0.05)
		phi := 0.2 * math.Sin(float64(i)*0.031)
		if st := s.Solve(z, phi); st != Reached {
			t.Fatal(i, st)
		}
		if r := l.Residual(s.Pose()); r > 1e-9 {
			t.Fatal(i, r, s.Iterations)
		}
	}
	s.Solve(14, 0)
	q := s.Pose()
	if math.Abs(q.X-p.X) > 1e-9 || math.Abs(q.Spin) > 1e-11 {
		t.Fatal(q)
	}
}

func BenchmarkPoseWarm(b *testing.B) {
	l, p := bench4()
	s := NewSolver(l, p)
	b.ReportAllocs()
	n := 0
	it := 0
	for b.Loop() {
		n++
		k := n % 80
		if k > 40 {
			k = 80 - k
		}
		s.Solve(14-10+0.5*float64(k), 0.1)
		it += s.Iterations
	}
	b.ReportMetric(float64(it)/float64(n), "iter/op")
}

func BenchmarkPoseCold(b *testing.B) {
	l, p := bench4()
	s := NewSolver(l, p)
	b.ReportAllocs()
	n, it := 0, 0
	for b.Loop() {
		n++
		s.Start(p)
		s.Solve(14-10+0.5*float64(n%41), 0.1)
		it += s.Iterations
	}
	b.ReportMetric(float64(it)/float64(n), "iter/op")
}
