package reference

import (
	"bufio"
	"bytes"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"

	"lowslung/form"
	"lowslung/shop"
	"lowslung/solid"
)

// Printable helpers read back by others: 3MF by lib3mf 1.8.1 (Debian's lib3mf-dev, the consortium's own library, BSD licence) in its strict mode, which
// also says whether a mesh is manifold and oriented; STL by three's STLLoader; and weighed by MuJoCo, which takes a mesh for a solid of even
// density and refuses one that does not close. Dimensions are measured on the corners that three read, in ways of this test's own.

const (
	lib3mfVersion = "lib3mf 1.8.1"
	printTol      = 0.05 // mm, what a helper's dimensions must keep
	fileTol       = 1e-4 // mm: single precision at some 300 mm
)

type readPrint struct {
	name    string
	mesh    *form.Mesh
	stl     string
	mf      string
	measure func(t *testing.T, what string, corners []solid.Vec)
}

func TestPrintsReadByOthers(t *testing.T) {
	dir := t.TempDir()
	var list []readPrint
	add := func(name string, mesh *form.Mesh, stl, mf []byte, measure func(*testing.T, string, []solid.Vec)) {
		r := readPrint{name, mesh, filepath.Join(dir, name+".stl"), filepath.Join(dir, name+".3mf"), measure}
		for file, data := range map[string][]byte{r.stl: stl, r.mf: mf} {
			if err := os.WriteFile(file, data, 0o600); err != nil {
				t.Fatal(err)
			}
		}
		list = append(list, r)
	}
	kinds := map[string]int{}
	for _, file := range []string{"bramble.rig.yaml", "bramble-portal.rig.yaml", "gully.rig.yaml"} {
		_, m := modelOf(t, fromFolder("../examples"), file)
		a, err := shop.PrintsOf(m, shop.PrintOptions{Lengths: []float64{30, 112.5}})
		if err != nil {
			t.Fatal(err)
		}
		for i := range a.Prints {
			p := &a.Prints[i]
			kinds[p.Kind]++
			add(file+" "+p.Name, p.Mesh, p.STL(), p.ThreeMF(), measuring(m, p))
		}
	}
	for _, k := range []string{shop.LengthGauge, shop.PinionGauge, shop.ShockHolder, shop.DrillGuide, shop.BatteryTray, shop.RideBlock} {
		if kinds[k] == 0 {
			t.Errorf("the demo rigs have no %s", k)
		}
	}
	// Outlines of no use, with more holes and corners than a helper has.
	d := chance(t)
	for k := range 20 {
		outer := form.Ring{}
		n := 20 + d.IntN(200)
		for i := range n {
			s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			r := 60 + 60*d.Float64()
			outer = append(outer, form.Point{r * c, r * s})
		}
		lower, upper := []form.Ring{outer}, []form.Ring{outer}
		for i := range 25 {
			h := form.Circle(float64(i%5-2)*16, float64(i/5-2)*16, 2+12*d.Float64())
			if d.IntN(2) == 0 {
				lower = append(lower, h)
			}
			if d.IntN(2) == 0 {
				upper = append(upper, h)
			}
		}
		mesh, err := form.Stack(form.Layer{Rings: lower, Height: 1 + 9*d.Float64()}, form.Layer{Rings: upper, Height: 1 + 9*d.Float64()})
		if err != nil {
			t.Fatal(err)
		}
		name := fmt.Sprintf("random %d", k)
		add(name, mesh, mesh.STL(name), mesh.ThreeMF(name, ""), nil)
	}
	byLib3mf(t, list)
	byThree(t, list)
	byMuJoCo(t, list)
	t.Logf("%d solids: %v and 20 random ones", len(list), kinds)
}

func byLib3mf(t *testing.T, list []readPrint) {
	t.Helper()
	const hint = "on Debian: apt-get install --no-install-recommends g++ lib3mf-dev"
	if _, err := os.ReadFile("lib3mf/read.cpp"); err != nil { // so that go test knows what its cached result rests on
		t.Fatal(err)
	}
	program := filepath.Join(t.TempDir(), "read")
	if out, err := exec.Command("g++", "-O1", "-I/usr/include/lib3mf", "lib3mf/read.cpp", "-o", program, "-l3MF").CombinedOutput(); err != nil {
		t.Fatalf("g++: %v (%s)\n%s", err, hint, out)
	}
	files := make([]string, len(list))
	for i := range list {
		files[i] = list[i].mf
	}
	var out, complaint bytes.Buffer
	cmd := exec.Command(program, files...)
	cmd.Stdout, cmd.Stderr = &out, &complaint
	if err := cmd.Run(); err != nil {
		t.Fatalf("%v\n%s", err, complaint.String())
	}
	in := bufio.NewReader(&out)
	if version, _ := in.ReadString('\n'); version != lib3mfVersion+"\n" {
		t.Fatalf("found %q, expected %s", version, lib3mfVersion)
	}
	for _, r := range list {
		var unit, items, warnings, whole, corners, triangles int
		if _, err := fmt.Fscanln(in, &unit, &items, &warnings, &whole, &corners, &triangles); err != nil {
			t.Fatal(err)
		}
		if unit != 1 || items != 1 || warnings != 0 || whole != 1 || corners != len(r.mesh.Points) || triangles != len(r.mesh.Triangles) {
			t.Errorf("%s: unit %d, %d items, %d warnings, manifold %d, %d corners, %d triangles, expected millimetres, 1, 0, 1, %d and %d",
				r.name, unit, items, warnings, whole, corners, triangles, len(r.mesh.Points), len(r.mesh.Triangles))
		}
		for i := range corners {
			var p solid.Vec
			if _, err := fmt.Fscanln(in, &p.X, &p.Y, &p.Z); err != nil {
				t.Fatal(err)
			}
			if p.Sub(r.mesh.Points[i]).Norm() > fileTol {
				t.Errorf("%s: corner %d at %v, expected %v", r.name, i, p, r.mesh.Points[i])
			}
		}
		for i := range triangles {
			var k [3]int
			if _, err := fmt.Fscanln(in, &k[0], &k[1], &k[2]); err != nil {
				t.Fatal(err)
			}
			if k != r.mesh.Triangles[i] {
				t.Errorf("%s: triangle %d is %v, expected %v", r.name, i, k, r.mesh.Triangles[i])
			}
		}
	}
}

func byThree(t *testing.T, list []readPrint) {
	t.Helper()
	files := make([]string, len(list))
	for i := range list {
		files[i] = list[i].stl
	}
	var answer []struct {
		Triangles int
		Lo, Hi    [3]float64
		Corners   []float64
	}
	byNode(t, "three", "three", "stl.mjs", files, &answer)
	for i, r := range list {
		a := &answer[i]
		lo, hi := r.mesh.Size()
		if a.Triangles != len(r.mesh.Triangles) || lo.Sub(solid.Vec{X: a.Lo[0], Y: a.Lo[1], Z: a.Lo[2]}).Norm() > fileTol || hi.Sub(solid.Vec{X: a.Hi[0], Y: a.Hi[1], Z: a.Hi[2]}).Norm() > fileTol {
			t.Errorf("%s: %d triangles from %v to %v, expected %d from %v to %v", r.name, a.Triangles, a.Lo, a.Hi, len(r.mesh.Triangles), lo, hi)
		}
		if r.measure == nil {
			continue
		}
		corners := make([]solid.Vec, len(a.Corners)/3)
		for k := range corners {
			corners[k] = solid.Vec{X: a.Corners[3*k], Y: a.Corners[3*k+1], Z: a.Corners[3*k+2]}
		}
		r.measure(t, r.name, corners)
	}
}

func byMuJoCo(t *testing.T, list []readPrint) {
	t.Helper()
	files := make([]string, len(list))
	for i := range list {
		files[i] = list[i].stl
	}
	var answer struct {
		Version string
		Meshes  []struct {
			Volume float64
			At     [3]float64
		}
	}
	mujoco(t, "weigh.mjs", files, &answer)
	for i, r := range list {
		v, at := r.mesh.Volume()
		a := &answer.Meshes[i]
		if math.Abs(a.Volume/v-1) > 1e-5 || at.Sub(solid.Vec{X: a.At[0], Y: a.At[1], Z: a.At[2]}).Norm() > 1e-3 {
			t.Errorf("%s: MuJoCo %s weighs %.3f mm³ about %v, expected %.3f about %v", r.name, answer.Version, a.Volume, a.At, v, at)
		}
	}
}

// around is the middle and the width of the corners within reach of a place, from their extremes.
func around(corners []solid.Vec, x, y, reach float64) (mx, my, wide float64, n int) {
	lo, hi := solid.Vec{X: math.Inf(1), Y: math.Inf(1)}, solid.Vec{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, p := range corners {
		if math.Hypot(p.X-x, p.Y-y) <= reach {
			lo, hi = solid.Vec{X: min(lo.X, p.X), Y: min(lo.Y, p.Y)}, solid.Vec{X: max(hi.X, p.X), Y: max(hi.Y, p.Y)}
			n++
		}
	}
	return (lo.X + hi.X) / 2, (lo.Y + hi.Y) / 2, max(hi.X-lo.X, hi.Y-lo.Y), n
}

// measuring measures a helper as one would with a calliper, against the document.
func measuring(m *solid.Model, p *shop.Print) func(*testing.T, string, []solid.Vec) {
	return func(t *testing.T, what string, corners []solid.Vec) {
		t.Helper()
		check := func(name string, got, want float64) {
			t.Helper()
			if !(math.Abs(got-want) <= printTol) {
				t.Errorf("%s: %s measured %.4f mm, expected %.4f", what, name, got, want)
			}
		}
		size := func(axis func(solid.Vec) float64) float64 {
			lo, hi := math.Inf(1), math.Inf(-1)
			for _, c := range corners {
				lo, hi = min(lo, axis(c)), max(hi, axis(c))
			}
			return hi - lo
		}
		height := size(func(v solid.Vec) float64 { return v.Z })
		switch p.Kind {
		case shop.LengthGauge:
			long := p.Measure[0].SizeMM
			if len(p.For) > 0 { // the length is the document's, not the helper's own word
				switch p.For[0] {
				case "steer/tie_rod":
					long = m.Steer.TieRod
				case "steer/drag_link":
					long = m.Steer.Drag
				default:
					k := slices.IndexFunc(m.Links, func(l solid.Link) bool { return l.Path == p.For[0] })
					long = m.Links[k].Length
				}
			}
			x0, y0, d0, _ := around(corners, 0, 0, 2.5)
			x1, y1, d1, _ := around(corners, long, 0, 2.5)
			check("hole to hole", math.Hypot(x1-x0, y1-y0), long)
			check("first hole", d0, 3+0.2) // M3 bolts in all demo rigs, 0.2 mm of tolerance
			check("second hole", d1, 3+0.2)
		case shop.ShockHolder:
			k := slices.IndexFunc(m.Shocks, func(s solid.Shock) bool { return s.Path == p.For[0] })
			check("height", height, p.Measure[0].SizeMM)
			inner := math.Inf(1)
			for _, c := range corners {
				inner = min(inner, math.Hypot(c.X, c.Y))
			}
			check("bore", 2*inner, m.Shocks[k].Damper.Rod+0.2)
		case shop.RideBlock:
			check("height", size(func(v solid.Vec) float64 { return v.Y }), p.Measure[0].SizeMM)
		case shop.PinionGauge:
			// The upper edge: the highest corners at both ends.
			low, high := math.Inf(-1), math.Inf(-1)
			for _, c := range corners {
				if c.X < 1 {
					low = max(low, c.Y)
				}
				if c.X > 59 {
					high = max(high, c.Y)
				}
			}
			check("high end", high, p.Measure[0].SizeMM)
			check("low end", low, p.Measure[1].SizeMM)
		case shop.DrillGuide:
			parts := map[string]bool{}
			for i := range m.Bodies {
				b := &m.Bodies[i]
				if b.Path != p.For[0] || parts[b.Path] {
					continue
				}
				parts[b.Path] = true
				for k := range b.Holes { // each hole of the document, in the part's own frame, is one in the guide; these parts stand unturned
					h := &b.Holes[k]
					if math.Abs(h.Axis.Y) < 0.99 || b.Frame.R != solid.Identity {
						continue
					}
					at := h.At.Sub(b.Frame.At)
					x, y, d, n := around(corners, at.X, at.Z, 2.5)
					if n == 0 {
						t.Errorf("%s: no hole at (%.1f, %.1f) for %s", what, at.X, at.Z, h.Name)
						continue
					}
					check(h.Name+" forward", x, at.X)
					check(h.Name+" up", y, at.Z)
					check(h.Name+" drill", d, 3.2+0.2) // ISO 273 fine for M3: 3.2 (print)
				}
			}
		case shop.BatteryTray:
			// Inside at the top of the lip: the innermost corners there.
			k := slices.IndexFunc(m.Bodies, func(b solid.Body) bool { return b.Path == p.For[0] })
			s := m.Bodies[k].Shapes[0].Size
			inX, inY := math.Inf(1), math.Inf(1)
			for _, c := range corners {
				if c.Z > height-0.01 {
					inX = min(inX, math.Abs(c.X))
					if c.X < 0 {
						inY = min(inY, math.Abs(c.Y))
					}
				}
			}
			check("inside, long", 2*inX, max(s.X, s.Y)+1.2)
			check("inside, wide", 2*inY, min(s.X, s.Y)+1.2)
		}
	}
}
