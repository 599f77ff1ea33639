package solid

import (
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"
)

// seedOf prints the seed of a randomised test and takes it from LOWSLUNG_SEED when that is set.
func seedOf(t testing.TB) *rand.Rand {
	seed := rand.Uint64()
	if s := os.Getenv("LOWSLUNG_SEED"); s != "" {
		v, err := strconv.ParseUint(s, 10, 64)
		if err != nil {
			t.Fatalf("LOWSLUNG_SEED: %v", err)
		}
		seed = v
	}
	t.Logf("seed: LOWSLUNG_SEED=%d", seed)
	return rand.New(rand.NewPCG(seed, 1))
}

var hullKinds = []ShapeKind{Box, Cylinder, Prism, Capsule, Disc}

// anyShape is a shape of a rig's size in any place.
func anyShape(r *rand.Rand, kind ShapeKind) Shape {
	size := func() float64 { return 1 + 60*r.Float64()*r.Float64() }
	s := Shape{Kind: kind, Size: Vec{size(), size(), size()}, Frame: Frame{
		At: Vec{40 * r.NormFloat64(), 40 * r.NormFloat64(), 40 * r.NormFloat64()},
		R:  Turned(2*math.Pi*r.Float64(), math.Pi*(r.Float64()-0.5), 2*math.Pi*r.Float64()), Flip: r.IntN(2) == 0,
	}}
	switch kind {
	case Cylinder, Capsule:
		s.Size.Z = s.Size.Y
	case Disc:
		s.Size.Z = s.Size.X
	case Prism:
		s.Outline = convexOutline([][2]float64{{-size(), -size()}, {size(), -size()}, {size(), size()}, {-size(), size()}})
	}
	return s
}

func hullOf(t testing.TB, s Shape) Hull {
	list, whole := s.Hulls()
	if len(list) != 1 || !whole {
		t.Fatalf("kind %d comes as %d hulls, whole %v", s.Kind, len(list), whole)
	}
	return list[0]
}

// Distances that are worked out by hand, with the two nearest points where they are unique.
func TestDistancesByHand(t *testing.T) {
	turned := func(roll, pitch, yaw float64, at Vec) Frame { return Frame{At: at, R: Turned(roll, pitch, yaw)} }
	plain := func(at Vec) Frame { return Frame{At: at, R: Identity} }
	box := func(f Frame, x, y, z float64) Shape { return Shape{Kind: Box, Frame: f, Size: Vec{x, y, z}} }
	rod := func(f Frame, length, d float64) Shape {
		return Shape{Kind: Cylinder, Frame: f, Size: Vec{length, d, d}}
	}
	bar := func(f Frame, length, d float64) Shape { return Shape{Kind: Capsule, Frame: f, Size: Vec{length, d, d}} }
	tyre := func(f Frame, d, w float64) Shape { return Shape{Kind: Disc, Frame: f, Size: Vec{d, w, d}} }
	ball := func(at Vec, d float64) Shape { return bar(plain(at), 0, d) }
	none := Vec{math.NaN(), 0, 0}
	right := math.Pi / 2
	for name, c := range map[string]struct {
		a, b     Shape
		want     float64
		atA, atB Vec
	}{
		"two balls":              {ball(Vec{}, 10), ball(Vec{X: 30, Y: 40}, 4), 50 - 5 - 2, Vec{3, 4, 0}, Vec{28.8, 38.4, 0}},
		"ball and face":          {box(plain(Vec{}), 20, 20, 20), ball(Vec{X: 3, Y: -2, Z: 25}, 6), 25 - 10 - 3, Vec{3, -2, 10}, Vec{3, -2, 22}},
		"ball and edge":          {box(plain(Vec{}), 20, 20, 20), ball(Vec{X: 13, Y: 1, Z: 14}, 2), 5 - 1, Vec{10, 1, 10}, Vec{12.4, 1, 13.2}},
		"ball and corner":        {box(plain(Vec{}), 20, 20, 20), ball(Vec{X: 12, Y: 13, Z: 16}, 2), 7 - 1, Vec{10, 10, 10}, Vec{10 + 12.0/7, 10 + 18.0/7, 10 + 36.0/7}},
		"two boxes face to face": {box(plain(Vec{}), 20, 20, 20), box(plain(Vec{X: 23}), 4, 8, 6), 23 - 10 - 2, none, none},
		"box on its edge":        {box(plain(Vec{}), 20, 20, 20), box(turned(right/2, 0, 0, Vec{Z: 40}), 4, 10, 10), 40 - 10 - 5*math.Sqrt2, none, none},
		"crossing bars": {
			bar(plain(Vec{}), 100, 6), bar(turned(0, 0, right, Vec{X: 20, Y: -10, Z: 11}), 100, 8),
			11 - 3 - 4, Vec{20, 0, 3}, Vec{20, 0, 7},
		},
		"parallel bars":       {bar(plain(Vec{}), 100, 6), bar(plain(Vec{X: 5, Y: 3, Z: 4}), 100, 2), 5 - 3 - 1, none, none},
		"bars end to end":     {bar(plain(Vec{}), 100, 6), bar(plain(Vec{X: 120}), 20, 4), 120 - 50 - 10 - 3 - 2, Vec{53, 0, 0}, Vec{108, 0, 0}},
		"rod over a face":     {box(plain(Vec{}), 40, 40, 10), rod(turned(0, 0, 0.3, Vec{Z: 20}), 10, 8), 20 - 5 - 4, none, none},
		"rod on end":          {box(plain(Vec{}), 40, 40, 10), rod(turned(0, right, 0, Vec{Z: 30}), 20, 8), 30 - 5 - 10, none, none},
		"rod's rim and ball":  {rod(plain(Vec{}), 20, 12), ball(Vec{X: 13, Y: 10}, 2), 5 - 1, Vec{10, 6, 0}, Vec{12.4, 9.2, 0}},
		"two rods' rims":      {rod(plain(Vec{}), 20, 12), rod(plain(Vec{X: 26, Y: 18}), 20, 12), math.Hypot(6, 6), Vec{10, 6, 0}, Vec{16, 12, 0}},
		"rod leaning over":    {box(plain(Vec{}), 400, 400, 10), rod(turned(0, 0.5, 0, Vec{Z: 60}), 40, 20), 60 - 5 - 20*math.Sin(0.5) - 10*math.Cos(0.5), none, none},
		"tyre above ground":   {box(plain(Vec{}), 400, 400, 10), tyre(plain(Vec{Z: 70}), 120, 44), 70 - 5 - 60, none, none},
		"tyre's side":         {box(plain(Vec{}), 400, 400, 10), tyre(turned(right, 0, 0, Vec{Z: 70}), 120, 44), 70 - 5 - 22, none, none},
		"tyre's shoulder":     {tyre(plain(Vec{}), 120, 40), ball(Vec{X: 52 + 12, Y: 12 + 16}, 4), 20 - 8 - 2, Vec{52 + 4.8, 12 + 6.4, 0}, Vec{64 - 1.2, 28 - 1.6, 0}},
		"narrow tyre's":       {tyre(plain(Vec{}), 60, 12), ball(Vec{X: 27 + 3, Y: 3 + 4}, 2), 5 - 3 - 1, Vec{27 + 1.8, 3 + 2.4, 0}, Vec{30 - 0.6, 7 - 0.8, 0}},
		"plate's corner":      {Shape{Kind: Prism, Frame: plain(Vec{}), Size: Vec{Z: 4}, Outline: [][2]float64{{-10, -10}, {10, -10}, {0, 10}}}, ball(Vec{Y: 12, Z: 4}, 2), math.Hypot(2, 2) - 1, Vec{0, 10, 2}, Vec{0, 12 - math.Sqrt2/2, 4 - math.Sqrt2/2}},
		"overlapping by a mm": {bar(plain(Vec{}), 100, 6), bar(turned(0, 0, right, Vec{Z: 4}), 100, 4), 4 - 3 - 2, Vec{0, 0, 3}, Vec{0, 0, 2}},
		"just touching":       {box(plain(Vec{}), 20, 20, 20), ball(Vec{Z: 13}, 6), 0, Vec{0, 0, 10}, Vec{0, 0, 10}},
	} {
		a, b := hullOf(t, c.a), hullOf(t, c.b)
		g := Between(&a, &b, math.Inf(1), nil)
		if math.Abs(g.Distance-c.want) > 1e-9 || g.Beyond || g.Deep || g.Slack > 1e-7 {
			t.Errorf("%s: %+v, expected %.12f", name, g, c.want)
		}
		if !math.IsNaN(c.atA.X) && (!near(g.AtA, c.atA, 1e-5) || !near(g.AtB, c.atB, 1e-5)) {
			t.Errorf("%s: nearest points %v and %v, expected %v and %v", name, g.AtA, g.AtB, c.atA, c.atB)
		}
	}
}

// Optimality proves itself: the planes through the two nearest points, square to the line between them, must have all of A on the one
// side and all of B on the other. No distance is computed here but that between the two planes.
func proven(t *testing.T, what string, a, b *Hull, g Gap, tol float64) {
	t.Helper()
	if g.Distance <= 0 {
		return
	}
	u := g.AtB.Sub(g.AtA)
	d := u.Norm()
	if math.Abs(d-g.Distance) > tol {
		t.Fatalf("%s: points %.9f apart, distance %.9f", what, d, g.Distance)
	}
	u = u.Scale(1 / d)
	endA := a.far(u).Dot(u) + a.Round
	endB := b.far(u.Scale(-1)).Dot(u) - b.Round
	if endB-endA < d-tol || math.Abs(g.AtA.Dot(u)-endA) > tol || math.Abs(g.AtB.Dot(u)-endB) > tol {
		t.Fatalf("%s: the planes through the nearest points are %.9f apart, the points %.9f; A ends at %.9f and has its point at %.9f, B at %.9f and %.9f\n%+v\n%+v",
			what, endB-endA, d, endA, g.AtA.Dot(u), endB, g.AtB.Dot(u), a, b)
	}
}

func TestDistancesProveThemselves(t *testing.T) {
	r := seedOf(t)
	for range 2000 {
		for _, ka := range hullKinds {
			for _, kb := range hullKinds {
				a, b := hullOf(t, anyShape(r, ka)), hullOf(t, anyShape(r, kb))
				g := Between(&a, &b, math.Inf(1), nil)
				if g.Slack > 1e-7 {
					t.Fatalf("slack %g\n%+v\n%+v", g.Slack, a, b)
				}
				// A distance d that is known to 1e-8 leaves the direction between the points open by √(2·1e-8/d), and over the 100 mm
				// that these pieces reach at most the planes move by as much.
				if g.Distance > 0.1 {
					proven(t, "pair", &a, &b, g, 1e-6+100*math.Sqrt(2e-8/(g.Distance+a.Round+b.Round)))
				}
			}
		}
	}
}

func TestDistancesAreSymmetricAndMoveWithThePieces(t *testing.T) {
	r := seedOf(t)
	for range 4000 {
		sa, sb := anyShape(r, hullKinds[r.IntN(5)]), anyShape(r, hullKinds[r.IntN(5)])
		a, b := hullOf(t, sa), hullOf(t, sb)
		g := Between(&a, &b, math.Inf(1), nil)
		if h := Between(&b, &a, math.Inf(1), nil); math.Abs(h.Distance-g.Distance) > 1e-7 || h.Deep != g.Deep {
			t.Fatalf("from A to B %+v, from B to A %+v", g, h)
		}
		move := Frame{At: Vec{10, -20, 5}, R: Turned(r.Float64(), r.Float64(), 6*r.Float64()), Flip: true}
		ma, mb := a.Placed(&move), b.Placed(&move)
		h := Between(&ma, &mb, math.Inf(1), nil)
		if math.Abs(h.Distance-g.Distance) > 1e-7 || h.Deep != g.Deep {
			t.Fatalf("%+v, moved and mirrored together %+v", g, h)
		}
		sa.Frame, sb.Frame = move.Then(&sa.Frame), move.Then(&sb.Frame)
		fa, fb := hullOf(t, sa), hullOf(t, sb)
		if k := Between(&fa, &fb, math.Inf(1), nil); math.Abs(k.Distance-h.Distance) > 1e-7 {
			t.Fatalf("hulls moved %+v, shapes moved %+v", h, k)
		}
		axis := Vec{r.NormFloat64(), r.NormFloat64(), r.NormFloat64()}
		for range 2 {
			if k := Between(&a, &b, math.Inf(1), &axis); math.Abs(k.Distance-g.Distance) > 1e-7 || k.Deep != g.Deep {
				t.Fatalf("%+v, from another direction %+v", g, k)
			}
		}
		limit := g.Distance * 2 * r.Float64()
		k := Between(&a, &b, limit, nil)
		switch {
		case k.Beyond && (g.Distance <= limit || k.Distance > g.Distance+1e-9 || k.Distance <= limit):
			t.Fatalf("beyond %g: %+v, but it is %+v", limit, k, g)
		case !k.Beyond && math.Abs(k.Distance-g.Distance) > 1e-7:
			t.Fatalf("with the limit %g %+v, without %+v", limit, k, g)
		}
	}
}

// Faces, axes and edges that are parallel, or nearly so, and pieces of very different sizes: what searches of this kind are known to
// stumble over.
func TestDistancesOfAwkwardPairs(t *testing.T) {
	r := seedOf(t)
	awkward := func(kind ShapeKind) Shape {
		s := anyShape(r, kind)
		quarter := func() float64 { return float64(r.IntN(4)) * math.Pi / 2 }
		grid := func() float64 { return float64(r.IntN(20)-10) * 5 }
		size := func() float64 { return []float64{0.1, 1, 5, 10, 10, 20, 400}[r.IntN(7)] }
		s.Frame.At, s.Frame.R = Vec{grid(), grid(), grid()}, Turned(quarter(), quarter(), quarter())
		if r.IntN(3) == 0 {
			e := math.Pow(10, -3-9*r.Float64())
			tilt := Turned(e*r.NormFloat64(), e*r.NormFloat64(), e*r.NormFloat64())
			s.Frame.R = s.Frame.R.Times(&tilt)
		}
		s.Size = Vec{size(), size(), size()}
		switch kind {
		case Cylinder, Capsule:
			s.Size.Z = s.Size.Y
		case Disc:
			s.Size.Z = s.Size.X
		}
		return s
	}
	for range 2000 {
		for _, ka := range hullKinds {
			for _, kb := range hullKinds {
				a, b := hullOf(t, awkward(ka)), hullOf(t, awkward(kb))
				g := Between(&a, &b, math.Inf(1), nil)
				axis := Vec{r.NormFloat64(), r.NormFloat64(), r.NormFloat64()}
				h := Between(&a, &b, math.Inf(1), &axis)
				// Cores that touch are known less well: the direction between them is all rounding. 400 mm long and 1e-6 apart, they
				// are measured to a few 1e-6.
				tol := 5e-7 // each within its slack, and the slack of rounded shapes that nearly touch comes to a few 1e-7
				if g.Deep || h.Deep || min(g.Distance, h.Distance)+a.Round+b.Round < 1e-4 {
					tol = 1e-5
				}
				if math.Abs(h.Distance-g.Distance) > tol || math.IsNaN(g.Distance) || g.Slack > tol {
					t.Fatalf("%+v, from another direction %+v\n%+v\n%+v", g, h, a, b)
				}
			}
		}
	}
}

// The slow and obvious twin: from a point of one, the nearest of the other, and back again, until neither moves (Cheney & Goldstein,
// Proximity maps for convex sets, Proceedings of the AMS 10, 1959). The nearest point of each kind is written down directly.
func TestDistancesAgainstAlternatingProjections(t *testing.T) {
	r := seedOf(t)
	n := 0
	for n < 1500 {
		sa, sb := anyShape(r, hullKinds[r.IntN(5)]), anyShape(r, hullKinds[r.IntN(5)])
		a, b := hullOf(t, sa), hullOf(t, sb)
		g := Between(&a, &b, math.Inf(1), nil)
		p := sa.Frame.At
		var q Vec
		for range 20000 {
			q = nearestOf(&sb, p)
			next := nearestOf(&sa, q)
			if next.Sub(p).Norm() < 1e-12 {
				break
			}
			p = next
		}
		slow := p.Sub(q).Norm()
		// The alternation comes from above, and slowly where the faces are nearly parallel.
		if fast := max(g.Distance, 0); fast > slow+1e-6 || slow-fast > 2e-3 {
			t.Fatalf("distance %.9f, alternating projections say %.9f\n%+v\n%+v", g.Distance, slow, sa, sb)
		}
		n++
	}
}

// nearestOf is the shape's point nearest q.
func nearestOf(s *Shape, q Vec) Vec {
	back := s.Frame.Inverse()
	p := back.Apply(q)
	clamp := func(v, half float64) float64 { return max(-half, min(half, v)) }
	round := func(core, p Vec, radius float64) Vec {
		d := p.Sub(core)
		if n := d.Norm(); n > radius {
			return core.Along(d, radius/n)
		}
		return p
	}
	flat := func(along, u, v, half, radius float64) (x, y, z float64) {
		if n := math.Hypot(u, v); n > radius {
			u, v = u*radius/n, v*radius/n
		}
		return clamp(along, half), u, v
	}
	switch s.Kind {
	case Box:
		p = Vec{clamp(p.X, s.Size.X/2), clamp(p.Y, s.Size.Y/2), clamp(p.Z, s.Size.Z/2)}
	case Cylinder:
		p.X, p.Y, p.Z = flat(p.X, p.Y, p.Z, s.Size.X/2, s.Size.Y/2)
	case Capsule:
		p = round(Vec{X: clamp(p.X, s.Size.X/2)}, p, s.Size.Y/2)
	case Disc:
		e := min(Shoulder(s.Size.Y), s.Size.X/2)
		var core Vec
		core.Y, core.X, core.Z = flat(p.Y, p.X, p.Z, s.Size.Y/2-e, s.Size.X/2-e)
		p = round(core, p, e)
	case Prism:
		x, y := nearestInRing(s.Outline, p.X, p.Y)
		p = Vec{x, y, clamp(p.Z, s.Size.Z/2)}
	}
	return s.Frame.Apply(p)
}

func nearestInRing(ring [][2]float64, x, y float64) (float64, float64) {
	inside, best := true, math.Inf(1)
	bx, by := x, y
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		ex, ey := b[0]-a[0], b[1]-a[1]
		if ex*(y-a[1])-ey*(x-a[0]) < 0 {
			inside = false
		}
		k := max(0, min(1, ((x-a[0])*ex+(y-a[1])*ey)/(ex*ex+ey*ey)))
		px, py := a[0]+k*ex, a[1]+k*ey
		if d := math.Hypot(px-x, py-y); d < best {
			best, bx, by = d, px, py
		}
	}
	if inside {
		return x, y
	}
	return bx, by
}

func TestBoundsHoldTheirPieces(t *testing.T) {
	r := seedOf(t)
	for range 500 {
		for _, k := range hullKinds {
			h := hullOf(t, anyShape(r, k))
			b := h.Bound()
			for _, axis := range []Vec{{X: 1}, {Y: 1}, {Z: 1}, {X: -1}, {Y: -1}, {Z: -1}} {
				end := h.far(axis).Dot(axis) + h.Round
				edge := max(b.Lo.Dot(axis), b.Hi.Dot(axis))
				if math.Abs(end-edge) > 1e-9 {
					t.Fatalf("kind %d ends at %g along %v, its bound at %g", k, end, axis, edge)
				}
			}
		}
	}
}

func TestFramesUndo(t *testing.T) {
	r := seedOf(t)
	for range 100 {
		f := anyShape(r, Box).Frame
		back := f.Inverse()
		p := Vec{r.NormFloat64(), r.NormFloat64(), r.NormFloat64()}
		if q := back.Apply(f.Apply(p)); !near(p, q, 1e-12) {
			t.Fatalf("%v comes back as %v", p, q)
		}
	}
}

// Whatever is put in, an answer comes out: no NaN, no hang, no panic.
func FuzzBetween(f *testing.F) {
	f.Add(uint8(0), uint8(1), 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 0.1, 0.2, 0.3, 7.0, 8.0, 9.0)
	f.Add(uint8(4), uint8(4), 0.0, 0.0, 0.0, 1e5, 1e-9, 1e5, 0.0, 0.0, 0.0, 1e-9, 1e5, 0.0)
	f.Fuzz(func(t *testing.T, ka, kb uint8, x, y, z, ax, ay, az, roll, pitch, yaw, bx, by, bz float64) {
		ok := func(list ...float64) bool {
			for _, v := range list {
				if !(math.Abs(v) <= 1e5) {
					return false
				}
			}
			return true
		}
		if !ok(x, y, z, ax, ay, az, roll, pitch, yaw, bx, by, bz) {
			return
		}
		shape := func(k uint8, f Frame, x, y, z float64) Shape {
			x, y, z = math.Abs(x), math.Abs(y), math.Abs(z)
			s := Shape{Kind: hullKinds[int(k)%len(hullKinds)], Frame: f, Size: Vec{x, y, z}}
			if s.Kind == Prism {
				s.Outline = [][2]float64{{-x, -y}, {x, -y}, {0, y}, {x / 3, -y / 2}}
			}
			return s
		}
		a, b := shape(ka, Frame{R: Identity}, ax, ay, az), shape(kb, Frame{At: Vec{x, y, z}, R: Turned(roll, pitch, yaw)}, bx, by, bz)
		la, _ := a.Pieces()
		lb, _ := b.Pieces()
		for i := range la {
			for j := range lb {
				g := Apart(&la[i], &lb[j], 1e6, nil)
				for _, v := range []float64{g.Distance, g.Slack, g.AtA.X, g.AtA.Y, g.AtA.Z, g.AtB.X, g.AtB.Y, g.AtB.Z} {
					if math.IsNaN(v) || math.IsInf(v, 0) {
						t.Fatalf("%+v", g)
					}
				}
			}
		}
	})
}

func TestDistancesTakeNoMemory(t *testing.T) {
	r := seedOf(t)
	var a, b [5]Hull
	for i, k := range hullKinds {
		a[i], b[i] = hullOf(t, anyShape(r, k)), hullOf(t, anyShape(r, k))
	}
	var axis Vec
	if n := testing.AllocsPerRun(100, func() {
		for i := range a {
			for j := range b {
				Between(&a[i], &b[j], math.Inf(1), &axis)
			}
		}
	}); n != 0 {
		t.Errorf("%v allocations", n)
	}
}

func BenchmarkBetween(bench *testing.B) {
	r := rand.New(rand.NewPCG(7, 7))
	names := []string{"box", "cylinder", "plate", "capsule", "tyre"}
	for i, ka := range hullKinds {
		for j := i; j < len(hullKinds); j++ {
			bench.Run(names[i]+"-"+names[j], func(bench *testing.B) {
				var a, b [256]Hull
				for k := range a {
					a[k], b[k] = hullOf(bench, anyShape(r, ka)), hullOf(bench, anyShape(r, hullKinds[j]))
				}
				bench.ResetTimer()
				for k := 0; bench.Loop(); k++ {
					Between(&a[k%256], &b[k%256], math.Inf(1), nil)
				}
			})
		}
	}
}
