package solid

import (
	"math"
	"testing"
)

// Pieces of an outline are convex, cover its area exactly, and no two of them hold the same point.
func checkPieces(t *testing.T, outline [][2]float64, pieces [][][2]float64) {
	t.Helper()
	sum := 0.0
	for _, p := range pieces {
		if !convexRing(clean(p)) {
			t.Fatalf("a piece that is not convex: %v of %v", p, outline)
		}
		sum += area2(p)
	}
	if want := math.Abs(area2(outline)); math.Abs(sum-want) > 1e-9*want {
		t.Fatalf("pieces of %g mm², outline of %g: %v", sum/2, want/2, outline)
	}
}

func inRing(p [][2]float64, x, y float64) bool {
	in := false
	for i, a := range p {
		b := p[(i+1)%len(p)]
		if (a[1] > y) != (b[1] > y) && x < a[0]+(y-a[1])/(b[1]-a[1])*(b[0]-a[0]) {
			in = !in
		}
	}
	return in
}

func TestOutlinesSplit(t *testing.T) {
	for name, c := range map[string]struct {
		outline [][2]float64
		most    int // pieces
		whole   bool
	}{
		"square":                 {[][2]float64{{0, 0}, {10, 0}, {10, 10}, {0, 10}}, 1, true},
		"clockwise":              {[][2]float64{{0, 10}, {10, 10}, {10, 0}, {0, 0}}, 1, true},
		"corners on a line":      {[][2]float64{{0, 0}, {5, 0}, {10, 0}, {10, 10}, {10, 10}, {0, 10}, {0, 5}}, 1, true},
		"L":                      {[][2]float64{{0, 0}, {40, 0}, {40, 10}, {12, 10}, {12, 30}, {0, 30}}, 2, true},
		"L the other way round":  {[][2]float64{{0, 30}, {12, 30}, {12, 10}, {40, 10}, {40, 0}, {0, 0}}, 2, true},
		"U":                      {[][2]float64{{0, 0}, {30, 0}, {30, 30}, {20, 30}, {20, 10}, {10, 10}, {10, 30}, {0, 30}}, 3, true},
		"slot cut in from aside": {[][2]float64{{0, 0}, {30, 0}, {30, 14}, {10, 14}, {10, 16}, {30, 16}, {30, 30}, {0, 30}}, 3, true},
		"bow tie":                {[][2]float64{{0, 0}, {10, 10}, {10, 0}, {0, 10}}, 1, false},
		"pentagram":              {[][2]float64{{0, 10}, {6, -8}, {-9.5, 3}, {9.5, 3}, {-6, -8}}, 1, false},
		"no area":                {[][2]float64{{0, 0}, {10, 0}, {5, 0}}, 0, false},
		"two corners":            {[][2]float64{{0, 0}, {10, 0}}, 0, false},
	} {
		pieces, whole := SplitOutline(c.outline)
		if whole != c.whole || len(pieces) > c.most || c.most > 0 && len(pieces) == 0 {
			t.Errorf("%s: %d pieces, whole %v; expected at most %d, %v", name, len(pieces), whole, c.most, c.whole)
			continue
		}
		if whole {
			checkPieces(t, c.outline, pieces)
		}
	}
}

// Star-shaped outlines with any number of teeth, against a test of single points.
func TestOutlinesAgainstPoints(t *testing.T) {
	r := seedOf(t)
	for range 300 {
		n := 3 + r.IntN(60)
		var p [][2]float64
		for i := range n {
			s, c := math.Sincos(2 * math.Pi * (float64(i) + 0.8*r.Float64()) / float64(n))
			rho := 5 + 45*r.Float64()
			p = append(p, [2]float64{rho * c, rho * s})
		}
		if n < 5 { // the middle may lie outside, and then the teeth may cross
			continue
		}
		pieces, whole := SplitOutline(p)
		if !whole {
			t.Fatalf("not split: %v", p)
		}
		checkPieces(t, p, pieces)
		for range 200 {
			x, y := 100*(r.Float64()-0.5), 100*(r.Float64()-0.5)
			held := 0
			for _, q := range pieces {
				if inRing(q, x, y) {
					held++
				}
			}
			if want := inRing(p, x, y); held > 1 || (held == 1) != want {
				t.Fatalf("the point %g, %g is in %d pieces, in the outline: %v", x, y, held, want)
			}
		}
	}
}

func TestLargeOutlinesStayQuick(t *testing.T) {
	var p [][2]float64
	for i := range 200_000 {
		s, c := math.Sincos(2 * math.Pi * float64(i) / 200_000)
		rho := 40 + float64(i%2)
		p = append(p, [2]float64{rho * c, rho * s})
	}
	pieces, whole := SplitOutline(p)
	if whole || len(pieces) != 1 || math.Abs(area2(pieces[0])/2-math.Pi*41*41) > 1 {
		t.Errorf("%d pieces, whole %v", len(pieces), whole)
	}
}

// A non-convex plate is measured piece by piece: a ball in the notch of an L is nearer to its inner corner than to its convex outline.
func TestNotchesCount(t *testing.T) {
	s := Shape{Kind: Prism, Frame: Frame{R: Identity}, Size: Vec{Z: 4}, Outline: [][2]float64{{0, 0}, {40, 0}, {40, 10}, {10, 10}, {10, 40}, {0, 40}}}
	ball := PieceOf(Line(Vec{18, 16, 0}, Vec{18, 16, 0}, 2))
	pieces, _ := s.Pieces()
	best := math.Inf(1)
	for i := range pieces {
		g := Apart(&pieces[i], &ball, math.Inf(1), nil)
		best = min(best, g.Distance)
	}
	if math.Abs(best-4) > 1e-9 {
		t.Errorf("%g mm from the notch, expected 4", best)
	}
}
