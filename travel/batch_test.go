package travel

import (
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"runtime"
	"strings"
	"testing"

	"lowslung/solid"
)

// fuses says whether the compiler turns x·y + z into one rounding: then lanes and Solver agree only to rounding.
func fuses(x, y, z float64) bool { return x*y+z != 0 }

var (
	eps        = math.Ldexp(1, -30)
	sameRounds = !fuses(1+eps, 1-eps, -1) // 1 − ε² rounds to 1
)

// randomLinkage is four links around a rig's usual places, now and then one that is nearly or wholly singular.
func randomLinkage(r *rand.Rand) (*Linkage, Pose) {
	any := func(at, by float64) float64 { return at + by*(2*r.Float64()-1) }
	p := Pose{X: any(-154, 20), Z: any(14, 6), Steer: any(0, 0.05), Spin: any(0, 0.1)}
	var from, to [4]solid.Vec
	var length [4]float64
	for i := range 4 {
		side := float64(1 - 2*(i%2))
		from[i] = solid.Vec{X: any(-42, 12), Y: side * any(26, 14), Z: any(8+26*float64(i/2), 8)}
		to[i] = solid.Vec{X: any(4, 8), Y: side * any(30, 25), Z: any(-4+30*float64(i/2), 6)}
	}
	switch r.IntN(8) {
	case 0: // all links parallel and square to the axle: nothing holds it sideways
		for i := range 4 {
			from[i].Y = to[i].Y
		}
		p.Steer, p.Spin = 0, 0
	case 1: // two links are one and the same
		from[1], to[1] = from[0], to[0]
	}
	for i := range 4 {
		length[i] = p.Place(to[i]).Sub(from[i]).Norm()
	}
	return NewLinkage(from, to, length), p
}

// Every lane ends as Solver ends on the same linkage and the same walk: the same status, the same number of steps and the same pose,
// within 1e-9 mm where it is reached, and to the last bit where the compiler rounds each operation by itself. Heaves go far out of reach,
// so that lanes get lost and come back, and lanes are emptied and filled in between.
func TestBatchEqualsSolver(t *testing.T) {
	seed := uint64(20260711)
	t.Logf("seed %d; lanes share instructions: %v; every operation rounds: %v", seed, vectors, sameRounds)
	r := rand.New(rand.NewPCG(seed, 8))
	var ends [3]int
	for round := range 400 {
		var b Batch
		var alone [Lanes]Solver
		for n := range Lanes {
			l, p := randomLinkage(r)
			b.Set(n, l, p)
			alone[n] = NewSolver(l, p)
		}
		away := -1
		if round%3 == 0 {
			away = r.IntN(Lanes)
			b.Drop(away)
		}
		reach := []float64{4, 25, 400}[round%3]
		for step := range 24 {
			z, roll := 14+reach*(2*r.Float64()-1), 0.3*(2*r.Float64()-1)
			if step%5 == 0 {
				roll = 0
			}
			mask := b.Solve(z, roll)
			for n := range Lanes {
				if n == away {
					if mask>>n&1 != 0 || b.Status(n) != Lost {
						t.Fatalf("round %d: the empty lane %d ended %v", round, n, b.Status(n))
					}
					continue
				}
				s := &alone[n]
				want, got := s.Solve(z, roll), b.Status(n)
				ends[want]++
				if got != want || (mask>>n&1 == 1) != (want == Reached) {
					t.Fatalf("round %d, step %d, lane %d: ended %v (mask %08b), alone %v", round, step, n, got, mask, want)
				}
				p, q := s.Pose(), b.Pose(n)
				if sameRounds && (p != q && !(p != p && q != q) || b.det[n] != s.det && s.det == s.det || int(b.steps[n]) != s.Iterations) {
					t.Fatalf("round %d, step %d, lane %d, status %v: %+v, det %g, %d steps; alone %+v, det %g, %d steps",
						round, step, n, want, q, b.det[n], b.steps[n], p, s.det, s.Iterations)
				}
				if want == Reached && !(math.Abs(p.X-q.X) < 1e-9 && math.Abs(p.Y-q.Y) < 1e-9 && math.Abs(p.Steer-q.Steer) < 1e-11 && math.Abs(p.Spin-q.Spin) < 1e-11) {
					t.Fatalf("round %d, step %d, lane %d: %+v, alone %+v", round, step, n, q, p)
				}
				if !sameRounds { // rounding may send the two apart once they are lost: start level again
					s.Start(q)
				}
			}
		}
	}
	t.Logf("reached %d, lost %d, singular %d", ends[Reached], ends[Lost], ends[Singular])
	if ends[Reached] < 1000 || ends[Lost] < 100 || ends[Singular] < 20 {
		t.Error("too few of one kind for the test to mean something")
	}
}

// Step refuses what Mover refuses, and leaves that lane where it was, in good order for the next step.
func TestBatchStepsAsMoverSteps(t *testing.T) {
	m := &solid.Model{}
	near := solid.Vec{X: -154, Z: 14}
	m.Axles[solid.Rear] = solid.Axle{Present: true, Path: "rear", Near: near}
	add := func(from, to solid.Vec) {
		for range 2 {
			m.Links = append(m.Links, solid.Link{Axle: solid.Rear, From: from, To: to, Length: near.Add(to).Sub(from).Norm()})
			from, to = from.Flip(), to.Flip()
		}
	}
	add(solid.Vec{X: -44, Y: 31, Z: 8}, solid.Vec{X: 6, Y: 42, Z: -4})
	add(solid.Vec{X: -38, Y: 24, Z: 34}, solid.Vec{X: 2, Y: 8, Z: 26})
	mv := NewMover(m, solid.Rear)
	var b Batch
	for n := range Lanes {
		if !b.SetMover(n, mv) {
			t.Fatal("four links do not fix the pose")
		}
	}
	there, not := 0, 0
	for i := range 200 {
		z := 14 + 90*math.Sin(float64(i)) // far beyond the links' reach now and then, and farther than one step may go
		before := b.Pose(0)
		want := mv.stepTo(z, 0.1)
		if !want {
			mv.solver.Start(mv.at)
		}
		got := b.Step(z, 0.1)
		if got != 0 && got != 0xff {
			t.Fatalf("%g mm: equal lanes ended differently, %08b", z, got)
		}
		if (got != 0) != want {
			t.Fatalf("%g mm: %v, mover %v", z, got != 0, want)
		}
		if want {
			there++
		} else {
			not++
			if p := b.Pose(0); p.X != before.X || p.Spin != before.Spin {
				t.Fatalf("%g mm: the lane moved to %+v from %+v", z, p, before)
			}
		}
		if p := b.Pose(3); math.Abs(p.X-mv.at.X) > 1e-9 || math.Abs(p.Spin-mv.at.Spin) > 1e-11 {
			t.Fatalf("%g mm: %+v, mover %+v", z, p, mv.at)
		}
	}
	if there < 20 || not < 20 {
		t.Errorf("%d steps taken and %d refused: too few of one kind", there, not)
	}
	m.Links = m.Links[:3]
	if b.SetMover(0, NewMover(m, solid.Rear)) || b.Used()&1 != 0 {
		t.Error("three links were taken for four")
	}
}

func TestBatchAllocatesNothing(t *testing.T) {
	b := benchBatch()
	n := 0
	if got := testing.AllocsPerRun(200, func() {
		n++
		b.Step(14+float64(n%21-10), 0.1)
		b.Solve(14+float64(n%7)*100, 0)
	}); got != 0 {
		t.Errorf("%g allocations, want none", got)
	}
}

// The other build is tested as well: this test runs the tests above once more with GOEXPERIMENT=simd.
func TestBatchWithVectors(t *testing.T) {
	if runtime.GOARCH != "amd64" || vectors {
		t.Skip("vectors are for amd64, and this may be their build already")
	}
	if testing.Short() {
		t.Skip("builds the package once more")
	}
	cmd := exec.Command("go", "test", "-run", "^TestBatch", "-v", ".")
	cmd.Env = append(os.Environ(), "GOEXPERIMENT=simd")
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("GOEXPERIMENT=simd go test: %v\n%s", err, out)
	}
	if !strings.Contains(string(out), "lanes share instructions: true") {
		t.Skip("this processor has no AVX-512: the vector kernel was built, and fell back")
	}
}

// benchBatch is the bench linkage eight times over, each with other eyes by up to a millimetre: what a search has side by side.
func benchBatch() *Batch {
	r := rand.New(rand.NewPCG(1, 2))
	b := new(Batch)
	for n := range Lanes {
		l, p := bench4()
		var from, to [4]solid.Vec
		var length [4]float64
		for i := range 4 {
			from[i] = solid.Vec{X: l.cx[i] + r.Float64(), Y: l.cy[i] + r.Float64(), Z: l.cz[i] + r.Float64()}
			to[i] = solid.Vec{X: l.ax[i] + r.Float64(), Y: l.ay[i] + r.Float64(), Z: l.az[i] + r.Float64()}
			length[i] = p.Place(to[i]).Sub(from[i]).Norm()
		}
		b.Set(n, NewLinkage(from, to, length), p)
	}
	return b
}

// The walk of BenchmarkPoseWarm, a pose of each lane a step.
func BenchmarkBatchWarm(b *testing.B) {
	batch := benchBatch()
	b.ReportAllocs()
	n := 0
	for b.Loop() {
		n++
		k := n % 80
		if k > 40 {
			k = 80 - k
		}
		if batch.Solve(14-10+0.5*float64(k), 0.1) != 0xff {
			b.Fatal("a lane got lost")
		}
	}
	perPose(b, n)
}

// The walk of a search: 21 heaves by 5 rolls, by turns, the next build starting from the design pose.
func BenchmarkBatchSweep(b *testing.B) {
	batch := benchBatch()
	var start [Lanes]Pose
	for k := range Lanes {
		start[k] = batch.Pose(k)
	}
	n := 0
	for b.Loop() {
		for k := range Lanes {
			batch.Start(k, start[k])
		}
		n += sweep21(func(z, roll float64) {
			if batch.Solve(z, roll) != 0xff {
				b.Fatal("a lane got lost")
			}
		})
	}
	perPose(b, n)
}

// The same walk with one linkage alone.
func BenchmarkPoseSweep(b *testing.B) {
	l, p := bench4()
	s := NewSolver(l, p)
	n := 0
	for b.Loop() {
		s.Start(p)
		n += sweep21(func(z, roll float64) {
			if s.Solve(z, roll) != Reached {
				b.Fatal("lost")
			}
		})
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(n), "ns/pose")
}

func sweep21(solve func(z, roll float64)) int {
	for j := range 5 {
		for i := range 21 {
			z := float64(i) - 10
			if j%2 == 1 {
				z = -z
			}
			solve(14+z, float64(j-2)*0.08)
		}
	}
	return 21 * 5
}

func perPose(b *testing.B, steps int) {
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(steps*Lanes), "ns/pose")
}
