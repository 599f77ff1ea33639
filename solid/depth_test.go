package solid

import (
	"math"
	"testing"
)

func TestDepthsByHand(t *testing.T) {
	box := func(at Vec, x, y, z float64) Hull {
		s := Shape{Kind: Box, Frame: Frame{At: at, R: Identity}, Size: Vec{x, y, z}}
		h, _ := s.Hulls()
		return h[0]
	}
	turned := box(Vec{}, 10, 10, 10)
	f := Frame{At: Vec{Z: 5 + 5*math.Sqrt2 - 1}, R: Turned(math.Pi/4, 0, 0)}
	turned = turned.Placed(&f)
	for name, c := range map[string]struct {
		a, b Hull
		want float64
	}{
		"box in box, out at the side": {box(Vec{}, 20, 20, 20), box(Vec{X: 9, Y: 1}, 4, 4, 4), 10 - 7},
		"box on its edge, 1 mm in":    {box(Vec{}, 40, 40, 10), turned, 1},
		"ball in box":                 {box(Vec{}, 20, 20, 20), Line(Vec{Z: 11}, Vec{Z: 11}, 3), 2},
		"balls in one place":          {Line(Vec{}, Vec{}, 3), Line(Vec{}, Vec{}, 4), 7},
		"bars that cross":             {Line(Vec{X: -9}, Vec{X: 9}, 3), Line(Vec{Y: -9, Z: 2}, Vec{Y: 9, Z: 2}, 4), 5},
		"apart":                       {Line(Vec{}, Vec{}, 3), Line(Vec{X: 9}, Vec{X: 9}, 4), 0},
	} {
		got, dir := Depth(&c.a, &c.b)
		if math.Abs(got-c.want) > 1e-3 || math.Abs(dir.Norm()-1) > 1e-9 {
			t.Errorf("%s: %g along %v, expected %g", name, got, dir, c.want)
		}
	}
}

// Moving B by the depth undoes the overlap; where roundings alone overlap the depth is known from the distance.
func TestDepthsUndoOverlaps(t *testing.T) {
	r := seedOf(t)
	n := 0
	for n < 500 {
		a, b := hullOf(t, anyShape(r, hullKinds[r.IntN(5)])), hullOf(t, anyShape(r, hullKinds[r.IntN(5)]))
		b.At = a.At.Add(Vec{8 * r.NormFloat64(), 8 * r.NormFloat64(), 8 * r.NormFloat64()})
		g := Between(&a, &b, math.Inf(1), nil)
		if !g.Touching() {
			continue
		}
		n++
		depth, dir := Depth(&a, &b)
		if depth < -g.Distance-1e-6 {
			t.Fatalf("depth %g, but the roundings overlap by %g", depth, -g.Distance)
		}
		if !g.Deep && depth > -g.Distance+1e-6 {
			t.Fatalf("depth %g, known to be %g", depth, -g.Distance)
		}
		b.At = b.At.Along(dir, depth+1e-6)
		if k := Between(&a, &b, math.Inf(1), nil); k.Distance < -1e-6 {
			t.Fatalf("moved by %g along %v: %+v", depth, dir, k)
		}
	}
}
