package rocks

import (
	"math"
	"math/rand/v2"
	"testing"

	"lowslung/solid"
)

// hills is a field of heights that changes from point to point by as much as the cell is wide, at most.
func hills(rng *rand.Rand) *field {
	f := &field{x: -60, y: -50, cell: 12, nx: 14, ny: 11}
	for range f.nx * f.ny {
		f.z = append(f.z, 18*(rng.Float64()-0.5))
	}
	f.cover()
	return f
}

// Distances against a slow twin: the least over many points of the surface; and the normal against the distance's own slope.
func TestDistances(t *testing.T) {
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 2))
	turn := solid.Turned(0.4, -0.3, 1.1)
	box := block(solid.Vec{X: 5, Y: -8, Z: 3}, solid.Vec{X: 60, Y: 30, Z: 20}, turn, 4)
	f := hills(rng)
	groups := map[string]*group{"box": {stones: []stone{box}}, "plane": {stones: []stone{below(solid.Vec{Z: 2}, solid.Vec{X: 0.2, Y: -0.1, Z: 1})}}, "field": {field: f}}
	for name, g := range groups {
		for range 300 {
			p := solid.Vec{X: 80 * (rng.Float64() - 0.5), Y: 70 * (rng.Float64() - 0.5), Z: 12 + 30*rng.Float64()}
			d, n := g.distance(p, 200)
			if d < 0.5 {
				continue
			}
			near(t, name+": size of the normal", n.Norm(), 1, 1e-9)
			// Straight to the surface along the normal: there the distance is 0, and on the way it falls as fast as one goes.
			on, _ := g.distance(p.Along(n, -d), 200)
			near(t, name+": distance where the normal ends", on, 0, 2e-6)
			const h = 1e-4
			up, _ := g.distance(p.Along(n, h), 200)
			near(t, name+": slope along the normal", (up-d)/h, 1, 1e-3)
		}
	}
	for range 25 {
		p := solid.Vec{X: 60 * (rng.Float64() - 0.5), Y: 50 * (rng.Float64() - 0.5), Z: 10 + 15*rng.Float64()}
		want := math.Inf(1)
		for x := p.X - 30; x <= p.X+30; x += 0.4 {
			for y := p.Y - 30; y <= p.Y+30; y += 0.4 {
				z, _ := f.height(x, y)
				want = min(want, p.Sub(solid.Vec{X: x, Y: y, Z: z}).Norm())
			}
		}
		if short, _ := f.distance(p, 20); want < 19.8 && short >= 20 || want > 20.1 && short < 20 {
			t.Errorf("field: %.4f mm away, within a reach of 20 mm it says %.4f", want, short)
		}
		got, _ := f.distance(p, 200)
		if got > want+1e-9 || got < want-0.1 {
			t.Errorf("field: %.4f mm away, by looking everywhere %.4f", got, want)
		}
	}
}

// Where a tyre touches, against trying its ring all round.
func TestRingAgainstAllRound(t *testing.T) {
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 3))
	f := hills(rng)
	shapes := []group{{stones: []stone{block(solid.Vec{X: 60, Z: -10}, solid.Vec{X: 100, Y: 200, Z: 40}, solid.Turned(0.1, 0.2, 0.3), 2)}}, ground(), {field: f}}
	hit := 0
	for range 200 {
		r := ring{c: solid.Vec{X: 40 * (rng.Float64() - 0.5), Y: 20 * (rng.Float64() - 0.5), Z: 45 + 20*rng.Float64()}, a: solid.Vec{X: rng.Float64() - 0.5, Y: 2, Z: rng.Float64() - 0.5}.Unit(), radius: 35, crown: 20}
		r.e1 = solid.Vec{Z: 1}.Along(r.a, -r.a.Z).Unit()
		r.e2 = r.a.Cross(r.e1)
		for s := range shapes {
			var out [touches]touch
			n := r.touch(&shapes[s], 5, &out)
			best := math.Inf(1)
			for i := range 3600 {
				sin, cos := math.Sincos(float64(i) * math.Pi / 1800)
				p, _ := r.point(sin, cos)
				d, _ := shapes[s].distance(p, 200)
				best = min(best, d)
			}
			if best > r.crown+4.9 || best < 3 { // out of reach, or the ring itself in rock, as never in a run
				continue
			}
			hit++
			if n == 0 {
				t.Errorf("shape %d: no touch, all round it comes to %.4f mm", s, best-r.crown)
				continue
			}
			slack := 2e-4
			if s == 2 { // among hills two places may be nearly as deep, and samples may miss the deeper by a little
				slack = 0.5
			}
			near(t, "depth, mm", out[0].depth, r.crown-best, slack)
		}
	}
	if hit < 100 {
		t.Fatalf("only %d touches, expected more", hit)
	}
}

// A rig set down stands on its tyres or its belly, in nothing.
func TestSetDown(t *testing.T) {
	for i := range obstacles {
		k := &obstacles[i]
		w := demoOn(t, k.name, k.usual)
		if g := w.gap(); g < -0.05 || g > 0.5 {
			t.Errorf("%s: set down with a gap of %.3f mm, expected about 0", k.name, g)
		}
		if n := w.buried(); n > 0 {
			t.Errorf("%s: %d points are in rock", k.name, n)
		}
	}
}
