package reference

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"lowslung/solid"
)

// Distances between convex shapes against the Flexible Collision Library (FCL, BSD licence; Debian 12's libfcl-dev 0.7.0) on 10,000
// random pairs of every combination of shapes. FCL is asked twice, since it has two solvers: its own (GJK in double precision, with
// closed forms for some pairs) and libccd's. A tyre is FCL's cylinder with the rounding taken off the distance.

// fclVersion is the library that these tolerances were argued for.
const fclVersion = "FCL 0.7.0"

// fcl compiles fcl/distance.cpp and hands it the pairs.
func fcl(t *testing.T, pairs string) []string {
	t.Helper()
	const hint = "on Debian: apt-get install --no-install-recommends g++ libfcl-dev libeigen3-dev libccd-dev"
	if _, err := os.ReadFile("fcl/distance.cpp"); err != nil { // so that go test knows what its cached result rests on
		t.Fatal(err)
	}
	program := filepath.Join(t.TempDir(), "distance")
	build := exec.Command("g++", "-O1", "-std=c++17", "-I/usr/include/eigen3", "fcl/distance.cpp", "-o", program, "-lfcl", "-lccd")
	if out, err := build.CombinedOutput(); err != nil {
		t.Fatalf("g++: %v (%s)\n%s", err, hint, out)
	}
	cmd := exec.Command(program)
	var out, complaint bytes.Buffer
	cmd.Stdin, cmd.Stdout, cmd.Stderr = strings.NewReader(pairs), &out, &complaint
	if err := cmd.Run(); err != nil {
		t.Fatalf("%v\n%s", err, complaint.String())
	}
	return strings.Split(strings.TrimSpace(out.String()), "\n")
}

// forFCL writes a shape as the program reads it, and its rounding.
func forFCL(b *strings.Builder, s *solid.Shape) (round float64) {
	// FCL's cylinders lie along their z. None of these shapes knows its mirror image from itself, so that Flip does not matter.
	place := func(x, y, z solid.Vec) {
		f := solid.Frame{R: s.Frame.R}
		x, y, z = f.Turn(x), f.Turn(y), f.Turn(z)
		fmt.Fprintf(b, "%.17g %.17g %.17g", s.Frame.At.X, s.Frame.At.Y, s.Frame.At.Z)
		for _, v := range []float64{x.X, y.X, z.X, x.Y, y.Y, z.Y, x.Z, y.Z, z.Z} {
			fmt.Fprintf(b, " %.17g", v)
		}
		b.WriteByte('\n')
	}
	ex, ey, ez := solid.Vec{X: 1}, solid.Vec{Y: 1}, solid.Vec{Z: 1}
	switch s.Kind {
	case solid.Box:
		fmt.Fprintf(b, "box %.17g %.17g %.17g ", s.Size.X, s.Size.Y, s.Size.Z)
		place(ex, ey, ez)
	case solid.Cylinder:
		fmt.Fprintf(b, "cylinder %.17g %.17g ", s.Size.Y/2, s.Size.X)
		place(ey, ez, ex)
	case solid.Capsule:
		fmt.Fprintf(b, "capsule %.17g %.17g ", s.Size.Y/2, s.Size.X)
		place(ey, ez, ex)
	case solid.Disc:
		round = solid.Shoulder(s.Size.Y)
		fmt.Fprintf(b, "cylinder %.17g %.17g ", s.Size.X/2-round, s.Size.Y-2*round)
		place(ez, ex, ey)
	case solid.Prism:
		n := len(s.Outline)
		fmt.Fprintf(b, "hull %d", 2*n)
		for _, z := range []float64{-s.Size.Z / 2, s.Size.Z / 2} {
			for _, p := range s.Outline {
				v := s.Frame.Apply(solid.Vec{X: p[0], Y: p[1], Z: z})
				fmt.Fprintf(b, " %.17g %.17g %.17g", v.X, v.Y, v.Z)
			}
		}
		fmt.Fprintf(b, " %d %d", n+2, n)
		for i := range n {
			fmt.Fprintf(b, " %d", n-1-i)
		}
		fmt.Fprintf(b, " %d", n)
		for i := range n {
			fmt.Fprintf(b, " %d", n+i)
		}
		for i := range n {
			j := (i + 1) % n
			fmt.Fprintf(b, " 4 %d %d %d %d", i, j, n+j, n+i)
		}
		b.WriteByte('\n')
	}
	return round
}

func (d *dice) shape(kind solid.ShapeKind) solid.Shape {
	size := func() float64 { return 2 + 60*d.Float64()*d.Float64() }
	s := solid.Shape{Kind: kind, Size: solid.Vec{X: size(), Y: size(), Z: size()}, Frame: solid.Frame{
		At: solid.Vec{X: 40 * d.NormFloat64(), Y: 40 * d.NormFloat64(), Z: 40 * d.NormFloat64()},
		R:  solid.Turned(2*math.Pi*d.Float64(), math.Pi*(d.Float64()-0.5), 2*math.Pi*d.Float64()),
	}}
	switch kind {
	case solid.Cylinder, solid.Capsule:
		s.Size.Z = s.Size.Y
	case solid.Disc:
		s.Size.X += 20
		s.Size.Z = s.Size.X
	case solid.Prism:
		n := 3 + d.IntN(6)
		rx, ry := size(), size()
		for i := range n {
			sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.7*d.Float64()) / float64(n))
			s.Outline = append(s.Outline, [2]float64{rx * cos, ry * sin})
		}
	}
	return s
}

func TestDistancesAgainstFCL(t *testing.T) {
	const pairs = 10_000
	d := chance(t)
	kinds := []solid.ShapeKind{solid.Box, solid.Cylinder, solid.Prism, solid.Capsule, solid.Disc}
	names := []string{"box", "cylinder", "plate", "capsule", "tyre"}
	type pair struct {
		a, b   int
		ours   solid.Gap
		round  float64 // what FCL was not told
		sa, sb solid.Shape
	}
	var question strings.Builder
	fmt.Fprintln(&question, pairs)
	list := make([]pair, pairs)
	for i := range list {
		p := &list[i]
		p.a, p.b = i%len(kinds), i/len(kinds)%len(kinds)
		p.sa, p.sb = d.shape(kinds[p.a]), d.shape(kinds[p.b])
		ha, _ := p.sa.Hulls()
		hb, _ := p.sb.Hulls()
		p.ours = solid.Between(&ha[0], &hb[0], math.Inf(1), nil)
		p.round = forFCL(&question, &p.sa) + forFCL(&question, &p.sb)
		fmt.Fprintf(&question, "%.17g\n", p.round)
	}
	answer := fcl(t, question.String())
	if answer[0] != fclVersion || len(answer) != pairs+1 {
		t.Fatalf("%d lines from %s, expected %d from %s: argue the tolerances again", len(answer), answer[0], pairs+1, fclVersion)
	}
	// Both of FCL's answers are distances between two points of the shapes, so neither is less than the distance, and the smaller one is
	// the better. Both stop at 1e-9 of what they look at, which for curved shapes leaves some 1e-7 of the distance; in rare cases one
	// of them stops much too early, and the other does not. Ours must be as good as the better one to 1e-6 mm, and never worse.
	const tol = 1e-6
	met, early := 0, 0
	for i := range list {
		p := &list[i]
		var own, ccd float64
		if _, err := fmt.Sscan(answer[i+1], &own, &ccd); err != nil {
			t.Fatal(err)
		}
		what := fmt.Sprintf("pair %d, %s and %s: ours %+v, FCL's own solver %.9f, libccd %.9f\n%+v\n%+v", i, names[p.a], names[p.b], p.ours, own, ccd, p.sa, p.sb)
		if math.Abs(own-ccd) > tol {
			early++
		}
		switch {
		case p.ours.Distance+p.round > tol && !p.ours.Deep:
			best := min(own, ccd)
			if best == -1 || math.Abs(p.ours.Distance-best) > tol {
				t.Errorf("%s", what)
			}
			if p.ours.Slack > 1e-7 {
				t.Errorf("%s: not known to 1e-7", what)
			}
		case p.ours.Distance+p.round < -tol || p.ours.Deep:
			met++
			if min(own, ccd) >= tol {
				t.Errorf("%s: ours touch", what)
			}
		}
	}
	if met < pairs/100 || early > pairs/1000 {
		t.Errorf("%d pairs meet and on %d FCL's two solvers differ: this does not say much", met, early)
	}
	t.Logf("%d pairs, %d of them meet; FCL's two solvers differ on %d", pairs, met, early)
}
