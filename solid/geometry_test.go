package solid

import (
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

func near(a, b Vec, tol float64) bool { return a.Sub(b).Norm() <= tol }

// The wheel axis of an axle turned by steer and roll, ISO 8855 angles, written out by hand.
func TestAxleTurnShowsRollAndSteerAsABuilderSeesThem(t *testing.T) {
	const steer, roll, spin = 0.2, -0.3, 0.7
	r := AxleTurn(steer, roll, spin)
	got := r.Mul(Vec{Y: 1})
	want := Vec{-math.Sin(steer) * math.Cos(roll), math.Cos(steer) * math.Cos(roll), math.Sin(roll)}
	if !near(got, want, 1e-15) {
		t.Errorf("wheel axis %v, expected %v", got, want)
	}
	z := Turned(0, 0, steer)
	x := Turned(roll, 0, 0)
	y := Turned(0, spin, 0)
	zx := z.Times(&x)
	zxy := zx.Times(&y)
	for i := range zxy {
		if math.Abs(zxy[i]-r[i]) > 1e-15 {
			t.Fatalf("AxleTurn is not Rz·Rx·Ry at %d: %g, %g", i, r[i], zxy[i])
		}
	}
}

func TestTurnedIsYawAfterPitchAfterRoll(t *testing.T) {
	r := Turned(0, math.Pi/2, 0) // nose down by a right angle: forward becomes down
	if got := r.Mul(Vec{X: 1}); !near(got, Vec{Z: -1}, 1e-15) {
		t.Errorf("positive pitch turns forward to %v, expected down", got)
	}
	r = Turned(math.Pi/2, 0, 0) // positive roll lifts the left side
	if got := r.Mul(Vec{Y: 1}); !near(got, Vec{Z: 1}, 1e-15) {
		t.Errorf("positive roll turns left to %v, expected up", got)
	}
	r = Turned(math.Pi/2, 0, math.Pi/2)
	if got := r.Mul(Vec{Y: 1}); !near(got, Vec{Z: 1}, 1e-15) {
		t.Errorf("roll then yaw turns left to %v, expected up", got)
	}
}

func TestFramesChainWithMirrors(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	v := func() Vec { return Vec{rng.NormFloat64(), rng.NormFloat64(), rng.NormFloat64()} }
	for range 100 {
		a := Frame{At: v(), R: Turned(rng.Float64(), rng.Float64(), rng.Float64()), Flip: rng.IntN(2) == 0}
		b := Frame{At: v(), R: Turned(rng.Float64(), rng.Float64(), rng.Float64()), Flip: rng.IntN(2) == 0}
		ab := a.Then(&b)
		p := v()
		if got, want := ab.Apply(p), a.Apply(b.Apply(p)); !near(got, want, 1e-13) {
			t.Fatalf("a.Then(b) puts a point at %v, one after the other at %v", got, want)
		}
	}
}

// Mass properties against points thrown evenly into each shape: an independent integration.
func TestPropertiesAgainstThrownPoints(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	shapes := map[string]Shape{
		"box":                       {Kind: Box, Size: Vec{30, 20, 10}},
		"cylinder":                  {Kind: Cylinder, Size: Vec{40, 16, 16}},
		"disc":                      {Kind: Disc, Size: Vec{60, 22, 60}},
		"capsule":                   {Kind: Capsule, Size: Vec{40, 12, 12}},
		"prism":                     {Kind: Prism, Size: Vec{Z: 4}, Outline: [][2]float64{{0, 0}, {40, 0}, {40, 10}, {12, 10}, {12, 30}, {0, 30}}},
		"prism the other way round": {Kind: Prism, Size: Vec{Z: 4}, Outline: [][2]float64{{0, 30}, {12, 30}, {12, 10}, {40, 10}, {40, 0}, {0, 0}}},
	}
	inside := func(s *Shape, p Vec) bool {
		switch s.Kind {
		case Box:
			return math.Abs(p.X) < s.Size.X/2 && math.Abs(p.Y) < s.Size.Y/2 && math.Abs(p.Z) < s.Size.Z/2
		case Cylinder:
			return math.Abs(p.X) < s.Size.X/2 && math.Hypot(p.Y, p.Z) < s.Size.Y/2
		case Disc:
			return math.Abs(p.Y) < s.Size.Y/2 && math.Hypot(p.X, p.Z) < s.Size.X/2
		case Capsule:
			x := max(-s.Size.X/2, min(s.Size.X/2, p.X))
			return p.Sub(Vec{X: x}).Norm() < s.Size.Y/2
		}
		return math.Abs(p.Z) < s.Size.Z/2 && (p.X > 0 && p.X < 12 && p.Y > 0 && p.Y < 30 || p.X > 0 && p.X < 40 && p.Y > 0 && p.Y < 10)
	}
	place := Frame{At: Vec{5, -3, 8}, R: Turned(0.3, -0.5, 0.8)}
	for _, name := range slices.Sorted(maps.Keys(shapes)) { // in one order, so that each has its own throws every time
		s := shapes[name]
		const n, half = 400_000, 45.0
		hits := 0.0
		var sum Vec
		var points []Vec
		for range n {
			p := Vec{(2*rng.Float64() - 1) * half, (2*rng.Float64() - 1) * half, (2*rng.Float64() - 1) * half}
			if inside(&s, p) {
				q := place.Apply(p)
				hits++
				sum = sum.Add(q)
				points = append(points, q)
			}
		}
		volume := hits / n * math.Pow(2*half, 3)
		middle := sum.Scale(1 / hits)
		var tensor Sym
		for _, q := range points {
			tensor = tensor.Plus(Steiner(volume/hits, q.Sub(middle)))
		}
		s.Frame = place
		gotMiddle, gotVolume, gotTensor := properties([]Shape{s})
		if math.Abs(gotVolume/volume-1) > 0.05 {
			t.Errorf("%s: volume %.0f mm³, thrown points say %.0f", name, gotVolume, volume)
		}
		if !near(gotMiddle, middle, 0.5) {
			t.Errorf("%s: middle %v, thrown points say %v", name, gotMiddle, middle)
		}
		size := tensor[0] + tensor[1] + tensor[2]
		for k := range tensor { // per unit volume, so that the volume's own scatter does not count
			if a, b := gotTensor[k]/gotVolume, tensor[k]/volume; math.Abs(a-b) > 0.015*size/volume {
				t.Errorf("%s: tensor component %d per volume %.1f, thrown points say %.1f", name, k, a, b)
			}
		}
	}
}

func TestLinkPointIsPerpendicularInThePlaneOfChassisZ(t *testing.T) {
	l := Link{From: Vec{1, 2, 3}}
	end := Vec{60, 40, -20}
	at := l.Point(end, 30, 5)
	e := end.Sub(l.From).Unit()
	off := at.Sub(l.From.Along(e, 30))
	if math.Abs(off.Norm()-5) > 1e-12 || math.Abs(off.Dot(e)) > 1e-12 || off.Z < 0 {
		t.Errorf("rise goes %v", off)
	}
	if v := e.Cross(Vec{Z: 1}).Dot(off); math.Abs(v) > 1e-12 {
		t.Errorf("rise leaves the plane of link and chassis z by %g", v)
	}
	up := l.Point(Vec{1, 2, 90}, 30, 5) // a link on end still has a place for its hole
	if math.IsNaN(up.X) || math.Abs(up.Z-33) > 1e-12 {
		t.Errorf("on a link that stands on end: %v", up)
	}
}
