package reference

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"lowslung/solid"
	"lowslung/travel"
)

// The pose kernel beside a plain one in C, cpose/pose.c, compiled here and now by gcc -O2 -march=native: the same equations, the same
// unknowns, the same start and the same stopping rule. What it is for is the ratio of the times; that both find the same poses is a
// check of both.

// cSolver is the C program at work on one linkage and one sweep.
type cSolver struct {
	in  io.WriteCloser
	out *bufio.Reader
}

// compiled builds the C program and hands it a linkage, a start and a sweep of heights and rolls.
func compiled(t testing.TB, c, a [4]vec, length [4]float64, start travel.Pose, sweep [][2]float64) *cSolver {
	t.Helper()
	const source = "cpose/pose.c"
	if _, err := os.ReadFile(source); err != nil { // read here as well, so that go test knows what its cached result rests on
		t.Fatal(err)
	}
	program := filepath.Join(t.TempDir(), "pose")
	if text, err := exec.Command("gcc", "-O2", "-march=native", "-Wall", "-Wextra", "-Werror", "-o", program, source, "-lm").CombinedOutput(); err != nil {
		t.Fatalf("gcc %s: %v; on Debian: apt-get install gcc libc6-dev\n%s", source, err, text)
	}
	cmd := exec.Command(program)
	in, err := cmd.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	cmd.Stderr = os.Stderr
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		in.Close()
		if err := cmd.Wait(); err != nil {
			t.Errorf("pose.c: %v", err)
		}
	})
	var task bytes.Buffer
	for _, v := range append(c[:], a[:]...) {
		fmt.Fprintf(&task, "%.17g %.17g %.17g\n", v.X, v.Y, v.Z)
	}
	for _, l := range length {
		fmt.Fprintf(&task, "%.17g\n", l)
	}
	fmt.Fprintf(&task, "%.17g %.17g %.17g %.17g\n%d\n", start.X, start.Y, start.Steer, start.Spin, len(sweep))
	for _, to := range sweep {
		fmt.Fprintf(&task, "%.17g %.17g\n", to[0], to[1])
	}
	if _, err := in.Write(task.Bytes()); err != nil {
		t.Fatal(err)
	}
	return &cSolver{in, bufio.NewReader(out)}
}

// poses are x, y, steer, spin of the whole sweep, and the Newton steps each took.
func (s *cSolver) poses(t testing.TB, count int) (out [][4]float64, steps []int) {
	t.Helper()
	fmt.Fprintln(s.in, "poses")
	out, steps = make([][4]float64, count), make([]int, count)
	for i := range out {
		p := &out[i]
		if _, err := fmt.Fscan(s.out, &p[0], &p[1], &p[2], &p[3], &steps[i]); err != nil {
			t.Fatalf("pose.c: %v", err)
		}
	}
	return out, steps
}

// time is how long so many sweeps take in C, by its own clock, and how many Newton steps that was.
func (s *cSolver) time(t testing.TB, sweeps int) (took time.Duration, steps int) {
	t.Helper()
	fmt.Fprintln(s.in, "time", sweeps)
	var ns int64
	if _, err := fmt.Fscan(s.out, &ns, &steps); err != nil {
		t.Fatalf("pose.c: %v", err)
	}
	return time.Duration(ns), steps
}

// warm is the linkage and the sweep of travel's BenchmarkPoseWarm: 20 mm up and down in steps of 0.5 mm at 0.1 rad of roll.
func warm() (c, a [4]vec, length [4]float64, start travel.Pose, sweep [][2]float64) {
	c = [4]vec{{X: -44, Y: 31, Z: 8}, {X: -44, Y: -31, Z: 8}, {X: -38, Y: 24, Z: 34}, {X: -38, Y: -24, Z: 34}}
	a = [4]vec{{X: 6, Y: 42, Z: -4}, {X: 6, Y: -42, Z: -4}, {X: 2, Y: 18, Z: 26}, {X: 2, Y: -18, Z: 26}}
	start = travel.Pose{X: -154, Z: 14}
	for i := range length {
		length[i] = start.Place(a[i]).Sub(c[i]).Norm()
	}
	for n := range 80 {
		sweep = append(sweep, [2]float64{14 - 10 + 0.5*float64(min(n, 80-n)), 0.1})
	}
	return c, a, length, start, sweep
}

// samePoses holds both sweeps together: 1e-9 mm and 1e-9 rad, and as many Newton steps in the sum but for the few that stop at the
// limit itself.
func samePoses(t testing.TB, c, a [4]vec, length [4]float64, start travel.Pose, sweep [][2]float64, what string) float64 {
	t.Helper()
	theirs, steps := compiled(t, c, a, length, start, sweep).poses(t, len(sweep))
	solver := travel.NewSolver(travel.NewLinkage(c, a, length), start)
	worst, ours, all := 0.0, 0, 0
	for i, to := range sweep {
		if st := solver.Solve(to[0], to[1]); st != travel.Reached || steps[i] == 0 {
			t.Fatalf("%s, point %d: status %v here, %d steps in C", what, i, st, steps[i])
		}
		p, w := solver.Pose(), theirs[i]
		off := max(math.Abs(p.X-w[0]), math.Abs(p.Y-w[1]), math.Abs(p.Steer-w[2]), math.Abs(p.Spin-w[3]))
		if worst = max(worst, off); !(off <= 1e-9) {
			t.Errorf("%s, point %d: %g mm or rad apart", what, i, off)
		}
		ours, all = ours+solver.Iterations, all+steps[i]
	}
	if d := ours - all; d > len(sweep)/20 || -d > len(sweep)/20 {
		t.Errorf("%s: %d Newton steps here, %d in C: they do not stop by the same rule", what, ours, all)
	}
	return worst
}

func TestPosesAgainstC(t *testing.T) {
	c, a, length, start, sweep := warm()
	worst := samePoses(t, c, a, length, start, sweep, "the sweep that is timed")
	for _, file := range []string{"bramble.rig.yaml", "bramble-portal.rig.yaml", "gully.rig.yaml"} {
		_, m := modelOf(t, fromFolder("../examples"), file)
		for _, end := range []solid.End{solid.Front, solid.Rear} {
			mv := travel.NewMover(m, end)
			for i, l := range mv.Links {
				c[i], a[i], length[i] = l.From, l.To, l.Length
			}
			p := mv.At()
			var near [][2]float64 // the points of the sweep within 12 mm and 12°, which every axle reaches
			for _, to := range sweepPoints(p.Z) {
				if math.Abs(to[0]-p.Z) <= 12 && math.Abs(to[1]) <= 12*deg {
					near = append(near, to)
				}
			}
			worst = max(worst, samePoses(t, c, a, length, p, near, fmt.Sprintf("%s, %s axle", file, end)))
		}
	}
	t.Logf("at most %.1g mm or rad apart", worst)
}

// BenchmarkCSweep times both over the same sweep, a block of ours and a block of the C program's by turns, so that both meet the same
// machine, and reports the fastest block of each and their ratio.
func BenchmarkCSweep(b *testing.B) {
	c, a, length, start, sweep := warm()
	samePoses(b, c, a, length, start, sweep, "the sweep that is timed")
	theirs := compiled(b, c, a, length, start, sweep)
	solver := travel.NewSolver(travel.NewLinkage(c, a, length), start)
	const sweeps = 100 // a block: 8000 poses, some ms
	poses := float64(sweeps * len(sweep))
	ours, inC := math.Inf(1), math.Inf(1)
	for b.Loop() {
		begin := time.Now()
		for range sweeps {
			for _, to := range sweep {
				if solver.Solve(to[0], to[1]) != travel.Reached {
					b.Fatal("not reached")
				}
			}
		}
		ours = min(ours, float64(time.Since(begin).Nanoseconds())/poses)
		took, _ := theirs.time(b, sweeps)
		inC = min(inC, float64(took.Nanoseconds())/poses)
	}
	b.ReportMetric(ours, "ns/pose")
	b.ReportMetric(inC, "c-ns/pose")
	b.ReportMetric(ours/inC, "of-c")
}
