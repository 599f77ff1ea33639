package travel

import (
	"math"
	"testing"

	"lowslung/solid"
)

// Second derivatives of the pose against central differences of the rates, over the demo axles' reach.
func TestBendsAreTheSlopeOfTheRates(t *testing.T) {
	const dz, dr = 1e-3, 1e-5 // mm, rad
	for _, name := range demos {
		m := demo(t, name)
		for _, end := range []solid.End{solid.Front, solid.Rear} {
			mv := NewMover(m, end)
			home := mv.At()
			for _, to := range [][2]float64{{0, 0}, {12, 0.2}, {-12, -0.2}, {5, -0.3}} {
				if !mv.To(home.Z+to[0], to[1]) {
					t.Fatalf("%s, %s axle: %v not reached", name, end, to)
				}
				p := mv.At()
				heave, roll, sys, _ := mv.Rates()
				got, ok := mv.Bends(&heave, &roll, &sys)
				if !ok {
					t.Fatalf("%s, %s axle: no second derivatives", name, end)
				}
				side := func(z, r float64) (h, o Rate) {
					mv.Jump(p)
					if !mv.To(p.Z+z, p.Roll+r) {
						t.Fatal("not reached")
					}
					h, o, _, _ = mv.Rates()
					return h, o
				}
				diff := func(a, b Rate, h float64) Bend {
					return Bend{a.Origin.Sub(b.Origin).Scale(1 / (2 * h)), a.Omega.Sub(b.Omega).Scale(1 / (2 * h))}
				}
				h1, _ := side(dz, 0)
				h0, _ := side(-dz, 0)
				g1, r1 := side(0, dr)
				g0, r0 := side(0, -dr)
				want := [3]Bend{diff(h1, h0, dz), diff(g1, g0, dr), diff(r1, r0, dr)}
				for n := range want {
					scale := 1 + want[n].Origin.Norm() + want[n].Omega.Norm()
					if off := math.Max(got[n].Origin.Sub(want[n].Origin).Norm(), got[n].Omega.Sub(want[n].Omega).Norm()); off > 2e-5*scale {
						t.Errorf("%s, %s axle at %v, derivative %d: %+v, differences say %+v", name, end, to, n, got[n], want[n])
					}
				}
				mv.Jump(p)
			}
		}
	}
}
