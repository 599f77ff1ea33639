package form

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"testing"

	"lowslung/solid"
)

func must(t *testing.T, layers ...Layer) *Mesh {
	t.Helper()
	m, err := Stack(layers...)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func close(a, b, by float64) bool { return math.Abs(a-b) <= by }

// Volumes in closed form: areas of polygons times heights, added up over the layers.
func TestVolumesInClosedForm(t *testing.T) {
	gon := func(d float64, n int) float64 { return float64(n) / 2 * d * d / 4 * math.Sin(2*math.Pi/float64(n)) }
	hole := Circle(0, 0, 10)
	for name, c := range map[string]struct {
		layers []Layer
		want   float64
	}{
		"box":          {[]Layer{{[]Ring{Rectangle(3, -4, 30, 20)}, 5}}, 30 * 20 * 5},
		"clockwise":    {[]Layer{{[]Ring{{{0, 0}, {0, 1}, {1, 1}, {1, 0}}}, 2}}, 2},
		"round hole":   {[]Layer{{[]Ring{Rectangle(0, 0, 30, 20), hole}, 5}}, (600 - gon(10, len(hole))) * 5},
		"pin in hole":  {[]Layer{{[]Ring{Rectangle(0, 0, 30, 20), hole, Rectangle(0, 0, 2, 2)}, 5}}, (604 - gon(10, len(hole))) * 5},
		"two apart":    {[]Layer{{[]Ring{Rectangle(0, 0, 2, 2), Rectangle(10, 0, 2, 2)}, 5}}, 40},
		"step":         {[]Layer{{[]Ring{Rectangle(0, 0, 30, 20)}, 5}, {[]Ring{Rectangle(0, 0, 10, 10)}, 3}}, 3000 + 300},
		"overhang":     {[]Layer{{[]Ring{Rectangle(0, 0, 10, 10)}, 3}, {[]Ring{Rectangle(0, 0, 30, 20)}, 5}}, 3000 + 300},
		"tray":         {[]Layer{{[]Ring{Rectangle(0, 0, 30, 20), Rectangle(5, 0, 4, 8)}, 2}, {[]Ring{Rectangle(0, 0, 30, 20), Rectangle(0, 0, 26, 16)}, 8}}, (600-32)*2 + (600-26*16)*8},
		"pins on":      {[]Layer{{[]Ring{Rectangle(0, 0, 30, 20)}, 2}, {[]Ring{hole, Circle(13, 0, 2)}, 8}}, 1200 + 8*(gon(10, len(hole))+gon(2, len(Circle(0, 0, 2))))},
		"l":            {[]Layer{{[]Ring{{{0, 0}, {20, 0}, {20, 4}, {4, 4}, {4, 30}, {0, 30}}}, 5}}, 5 * (80 + 104)},
		"on straights": {[]Layer{{[]Ring{{{0, 0}, {5, 0}, {10, 0}, {10, 10}, {5, 10}, {0, 10}}}, 1}}, 100},
	} {
		m, err := Stack(c.layers...)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if v, _ := m.Volume(); !close(v, c.want, 2e-5*c.want) { // the grid of 1 µm moves the corners of circles
			t.Errorf("%s: %.6f mm³, expected %.6f", name, v, c.want)
		}
	}
}

// The middle of an L of two boxes: by their middles and volumes.
func TestMiddleOfAnL(t *testing.T) {
	m := must(t, Layer{[]Ring{{{0, 0}, {20, 0}, {20, 4}, {4, 4}, {4, 30}, {0, 30}}}, 6})
	_, at := m.Volume()
	a, b := 20*4.0, 4*26.0
	want := solid.Vec{X: (a*10 + b*2) / (a + b), Y: (a*2 + b*17) / (a + b), Z: 3}
	if at.Sub(want).Norm() > 1e-9 {
		t.Errorf("%v, expected %v", at, want)
	}
}

func TestChordsStayNearTheirArc(t *testing.T) {
	for _, d := range []float64{0.5, 3.2, 12, 120} {
		r := Circle(0, 0, d)
		worst := 0.0
		for i, p := range r {
			q := r[(i+1)%len(r)]
			if !close(math.Hypot(p[0], p[1]), d/2, 1e-12) {
				t.Errorf("corner off the circle")
			}
			worst = max(worst, d/2-math.Hypot((p[0]+q[0])/2, (p[1]+q[1])/2))
		}
		if worst > Flat+1e-12 || len(r) < 12 {
			t.Errorf("Ø%g: chords %.4f mm off, %d corners", d, worst, len(r))
		}
	}
}

func seed(t testing.TB) *rand.Rand {
	n := rand.Uint64()
	if s := os.Getenv("LOWSLUNG_SEED"); s != "" {
		n, _ = strconv.ParseUint(s, 10, 64)
	}
	t.Logf("LOWSLUNG_SEED=%d", n)
	return rand.New(rand.NewPCG(n, 1))
}

// A star with random radii is simple, whatever they are.
func star(r *rand.Rand, x, y, size float64, n int) Ring {
	out := make(Ring, n)
	for i := range out {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		k := size * (0.15 + 0.85*r.Float64())
		out[i] = Point{x + k*c, y + k*s}
	}
	return out
}

func area(r Ring) (a float64) {
	for i, p := range r {
		q := r[(i+1)%len(r)]
		a += (p[0]*q[1] - q[0]*p[1]) / 2
	}
	return math.Abs(a)
}

// Random outlines with random holes in several layers: closed, with the area that Green's theorem gives, and no triangle twice over another
// (areas of all tops add up to the area that is open to above, so that nothing is covered twice).
func TestRandomStacks(t *testing.T) {
	r := seed(t)
	for try := range 400 {
		outer := star(r, 0, 0, 100, 12+r.IntN(120))
		// Holes in a grid of fields inside the smallest radius, 15 mm, and one field each, so that they stay apart.
		var holes []Ring
		for k := range 9 {
			x, y := float64(k%3-1)*6.5, float64(k/3-1)*6.5
			if r.IntN(3) > 0 {
				holes = append(holes, star(r, x, y, 3.1, 3+r.IntN(20)))
			}
		}
		cut := r.IntN(len(holes) + 1)
		a := Layer{append([]Ring{outer}, holes[:cut]...), 1 + 5*r.Float64()}
		b := Layer{append([]Ring{outer}, holes[cut:]...), 1 + 5*r.Float64()}
		m, err := Stack(a, b)
		if err != nil {
			t.Fatalf("try %d: %v\n%v", try, err, outer)
		}
		want := 0.0
		for _, l := range []Layer{a, b} {
			h := math.Round(l.Height*1000) / 1000
			for i, ring := range l.Rings {
				if i == 0 {
					want += area(ring) * h
				} else {
					want -= area(ring) * h
				}
			}
		}
		if v, _ := m.Volume(); !close(v, want, 1e-3*want+0.5) {
			t.Errorf("try %d: %.3f mm³, expected %.3f", try, v, want)
		}
	}
}

func TestStackErrors(t *testing.T) {
	for name, c := range map[string]struct {
		layers []Layer
		want   string
	}{
		"nothing":        {nil, "found no layer"},
		"no ring":        {[]Layer{{nil, 1}}, "found no ring"},
		"no height":      {[]Layer{{[]Ring{Rectangle(0, 0, 1, 1)}, 0}}, "found a layer 0 mm high"},
		"nan height":     {[]Layer{{[]Ring{Rectangle(0, 0, 1, 1)}, math.NaN()}}, "NaN mm high"},
		"nan corner":     {[]Layer{{[]Ring{{{0, 0}, {math.NaN(), 0}, {1, 1}}}, 1}}, "corner 2 at (NaN, 0)"},
		"no area":        {[]Layer{{[]Ring{{{0, 0}, {1, 0}, {2, 0}}}, 1}}, "without an area"},
		"bow tie":        {[]Layer{{[]Ring{{{0, 0}, {9, 8}, {9, 0}, {0, 10}}}, 1}}, "cross or touch"},
		"spike":          {[]Layer{{[]Ring{{{0, 0}, {9, 0}, {9, 9}, {9, 4}, {0, 4}}}, 1}}, "cross or touch"},
		"holes touch":    {[]Layer{{[]Ring{Rectangle(0, 0, 30, 20), Rectangle(-2, 0, 4, 4), Rectangle(2, 0, 4, 4)}, 1}}, "cross or touch"},
		"hole outside":   {[]Layer{{[]Ring{Rectangle(0, 0, 30, 20), Rectangle(15, 0, 4, 4)}, 1}}, "cross or touch"},
		"layers cross":   {[]Layer{{[]Ring{Rectangle(0, 0, 30, 20)}, 1}, {[]Ring{Rectangle(10, 0, 30, 10)}, 1}}, "between layer 2 and the one below"},
		"hole and edge":  {[]Layer{{[]Ring{Rectangle(0, 0, 30, 20), Rectangle(0, 0, 4, 4)}, 1}, {[]Ring{Rectangle(0, 0, 4, 4)}, 1}}, "closed surface"},
		"corners, many":  {[]Layer{{[]Ring{star(rand.New(rand.NewPCG(1, 1)), 0, 0, 1000, MostCorners+1)}, 1}}, "expected at most"},
		"a whole planet": {[]Layer{{[]Ring{Rectangle(0, 0, 1e9, 1)}, 1}}, "coordinates below 10 m"},
	} {
		_, err := Stack(c.layers...)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, expected %q in it", name, err, c.want)
		}
	}
}

// What is written is read back as it was, by the readers for foreign files, and the same solid is written as the same bytes.
func TestFilesAreReadBack(t *testing.T) {
	m := must(t, Layer{[]Ring{Rounded(0, 0, 80, 40, 5), Circle(-20, 0, 3.4), Circle(20, 0, 3.4)}, 2}, Layer{[]Ring{Rounded(0, 0, 80, 40, 5), Rounded(0, 0, 76, 36, 3)}, 6.123})
	v, at := m.Volume()
	lo, hi := m.Size()
	for name, data := range map[string][]byte{"stl": m.STL("tray"), "3mf": m.ThreeMF("tray <&>", "lay the pack in")} {
		got, err := solid.ReadMesh(data, 1)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if !got.Closed || len(got.Triangles) != len(m.Triangles) || len(got.Points) != len(m.Points) || !close(got.Volume, v, 1e-6*v) || got.Middle.Sub(at).Norm() > 1e-5 ||
			got.Bound.Lo.Sub(lo).Norm() > 1e-5 || got.Bound.Hi.Sub(hi).Norm() > 1e-5 {
			t.Errorf("%s: closed %v, %d triangles, %d corners, %.4f mm³ about %v, expected %d, %d, %.4f about %v", name, got.Closed, len(got.Triangles), len(got.Points), got.Volume, got.Middle, len(m.Triangles), len(m.Points), v, at)
		}
	}
	again := must(t, Layer{[]Ring{Rounded(0, 0, 80, 40, 5), Circle(-20, 0, 3.4), Circle(20, 0, 3.4)}, 2}, Layer{[]Ring{Rounded(0, 0, 80, 40, 5), Rounded(0, 0, 76, 36, 3)}, 6.123})
	if string(again.STL("x")) != string(m.STL("x")) || string(again.ThreeMF("x", "y")) != string(m.ThreeMF("x", "y")) {
		t.Error("the same solid gives other bytes")
	}
	if strings.HasPrefix(string(m.STL("solid")), "solid") {
		t.Error("a binary STL that begins like one of text")
	}
}

// Check finds a mesh that was damaged.
func TestCheckFindsDamage(t *testing.T) {
	whole := func() *Mesh {
		return must(t, Layer{[]Ring{Rectangle(0, 0, 3, 3), Circle(0, 0, 1)}, 1})
	}
	for name, harm := range map[string]func(*Mesh){
		"a hole": func(m *Mesh) { m.Triangles = m.Triangles[1:] },
		"turned": func(m *Mesh) { m.Triangles[3][0], m.Triangles[3][1] = m.Triangles[3][1], m.Triangles[3][0] },
		"twice":  func(m *Mesh) { m.Triangles = append(m.Triangles, m.Triangles[0]) },
		"flat":   func(m *Mesh) { m.Triangles[0][1] = m.Triangles[0][0] },
		"all inside out": func(m *Mesh) {
			for i := range m.Triangles {
				t := &m.Triangles[i]
				t[0], t[1] = t[1], t[0]
			}
		},
	} {
		m := whole()
		harm(m)
		if m.Check() == nil {
			t.Errorf("%s: not found", name)
		}
	}
}

// Whatever the corners: a closed solid or an error.
func FuzzStack(f *testing.F) {
	f.Add([]byte{0, 0, 90, 0, 90, 90, 0, 90, 255, 255, 30, 30, 60, 30, 45, 60}, 3.0)
	f.Add([]byte{0, 0, 9, 9, 9, 0, 0, 9}, 1.0)
	f.Fuzz(func(t *testing.T, data []byte, height float64) {
		l := Layer{Height: height}
		var ring Ring
		for i := 0; i+1 < min(len(data), 400); i += 2 {
			if data[i] == 255 {
				l.Rings, ring = append(l.Rings, ring), nil
				continue
			}
			ring = append(ring, Point{float64(data[i]), float64(data[i+1])})
		}
		l.Rings = append(l.Rings, ring)
		m, err := Stack(l)
		if err != nil {
			if err == errTriangles {
				t.Fatalf("sound rings that cannot be cut: %v", fmt.Sprint(l.Rings))
			}
			return
		}
		if err := m.Check(); err != nil {
			t.Fatal(err)
		}
	})
}

func BenchmarkStack(b *testing.B) {
	rings := []Ring{Rounded(0, 0, 120, 60, 6)}
	for k := range 12 {
		rings = append(rings, Circle(float64(k%6-3)*18+8, float64(k/6)*24-12, 3.4))
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Stack(Layer{rings, 4}); err != nil {
			b.Fatal(err)
		}
	}
}
