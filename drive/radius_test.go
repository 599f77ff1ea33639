package drive

import (
	"math"
	"testing"

	"lowslung/solid"
)

// The rolling radius on paper: not pressed in it is the free one; a little, it is a third of the way to the loaded one (series of sin φ/φ and cos φ: r_e/r = 1 − φ²/6, r_s/r = 1 − φ²/2);
// pressed in to half the radius, φ is π/3 and sin φ/φ = 0.8269933; and the tread's arc over the patch is as long as the way that the wheel goes while it turns by that arc's angle.
func TestRollingRadius(t *testing.T) {
	for _, k := range []struct{ free, loaded, want, tol float64 }{
		{60, 60, 60, 0}, {60, 61, 60, 0}, {60, 60 - 0.03, 60 - 0.01, 2e-6}, {60, 30, 60 * 0.8269933431326881, 1e-9}, {0, 0, 0, 0},
	} {
		if got := rollingRadius(k.free, k.loaded); math.Abs(got-k.want) > k.tol {
			t.Errorf("free %g, loaded %g: %.9f, expected %.9f", k.free, k.loaded, got, k.want)
		}
	}
	// Slowly: the patch is swept in small turns; a point of the tread at angle a from straight down is r_s/cos a from the middle, and runs back under it with r_s·d(tan a).
	const free, loaded, n = 60.0, 54.0, 200000
	phi, way := math.Acos(loaded/free), 0.0
	for i := range n {
		a, b := -phi+2*phi*float64(i)/n, -phi+2*phi*float64(i+1)/n
		way += loaded * (math.Tan(b) - math.Tan(a))
	}
	if got := rollingRadius(free, loaded); math.Abs(got-way/(2*phi)) > 1e-6 {
		t.Errorf("%.9f, swept %.9f", got, way/(2*phi))
	}
}

// Without a stance both are as the document has the tyre; with one they are those of the tyre as it is pressed in, wheels at the axle's origin or off it.
func TestRadiiOfAStance(t *testing.T) {
	m := &solid.Model{}
	m.Axles[0] = solid.Axle{TyreRadius: 58, Wheels: []solid.Wheel{{Radius: 60, At: solid.Vec{Z: -2}}}}
	if a, b := radii(m, 0); a != 58 || b != 58 {
		t.Errorf("%g, %g", a, b)
	}
	m.Rest = &solid.Rest{Radius: [2]float64{57, 0}}
	if a, b := radii(m, 0); a != 55 || math.Abs(b-rollingRadius(60, 55)) > 1e-12 || b <= a || b >= 60 {
		t.Errorf("%g, %g", a, b)
	}
}
