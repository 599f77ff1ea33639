package shop

import (
	"math"
	"testing"
)

// Tubes and rods of Shigley's Mechanical Engineering Design, 10th edition, §4-12 and §4-13 (formulas read in print, digits recomputed): tube 20 × 14, l 1500,
// E 207 GPa, Sy 300 MPa with end conditions 1, 2, 4 and ¼; rod Ø6 of 7075-T6 (71.7 GPa, 503 MPa) of 110 (Euler) and 70 (Johnson); the slenderness
// at which one takes over from the other, for 7075-T6, 53.0445. Johnson's term has 4π² below, not 2π².
func TestColumnsAgainstShigley(t *testing.T) {
	tube := column{20, 14, 1500, 207e3, 300}
	for _, c := range []struct {
		what      string
		b         column
		c, want   float64
		slenderly bool
	}{
		{"tube, pinned", tube, 1, 5419.18, true},
		{"tube, C 2", tube, 2, 10838.37, true},
		{"tube, C 4", tube, 4, 21676.74, true},
		{"tube, free end", tube, 0.25, 1354.80, true},
		{"rod of 110", column{6, 0, 110, 71.7e3, 503}, 1, 3720.56, true},
		{"rod of 70", column{6, 0, 70, 71.7e3, 503}, 1, 8718.19, false},
	} {
		got, euler := c.b.buckles(c.c)
		if math.Abs(got-c.want) > 0.006 || euler != c.slenderly {
			t.Errorf("%s: %.4f N, Euler %v, expected %.2f", c.what, got, euler, c.want)
		}
	}
	if v := (&column{6, 0, 110, 71.7e3, 503}).change(1); math.Abs(v-53.0445) > 5e-5 {
		t.Errorf("Johnson gives way to Euler at %.5f, expected 53.0445", v)
	}
	// At the change-over both give half the yield load (Shigley fig. 4-19).
	b := column{6, 0, 0, 71.7e3, 503}
	b.L = b.change(1) * 6 / 4
	for _, l := range []float64{b.L * (1 - 1e-9), b.L * (1 + 1e-9)} {
		x := b
		x.L = l
		if p, _ := x.buckles(1); math.Abs(p/(x.area()*x.Sy/2)-1) > 1e-7 {
			t.Errorf("at the change-over %.3f N, expected half of %.3f", p, x.area()*x.Sy)
		}
	}
}

// 50 N across the middle of 110 mm (Shigley table A-9, case 5; recomputed): Ø6 of 7075 64.8409 MPa and 0.303957 mm, tube 6 × 4 of 6061 (68.9 GPa)
// 80.8017 MPa and 0.394171 mm.
func TestStrikesAgainstShigley(t *testing.T) {
	for _, c := range []struct {
		b       column
		s, give float64
	}{
		{column{6, 0, 110, 71.7e3, 503}, 64.8409, 0.303957},
		{column{6, 4, 110, 68.9e3, 276}, 80.8017, 0.394171},
	} {
		if s, y := c.b.struck(50); math.Abs(s-c.s) > 6e-5 || math.Abs(y-c.give) > 6e-7 {
			t.Errorf("%+v: %.5f MPa and %.7f mm, expected %.4f and %.6f", c.b, s, y, c.s, c.give)
		}
	}
}

// A bent bar against the slow twin: the bow under a push is solved by summing up the bending that each bend of it causes anew, and the push at which the
// edge yields is found by halving. In the limits: a straight one yields at Euler's load or at A·Sy, whichever is less; a short one with a
// large bend at 1/(1/A + e·c/I)·Sy.
func TestBentBarsAgainstTheSlowTwin(t *testing.T) {
	for _, b := range []column{{6, 0, 110, 71.7e3, 503}, {6, 4, 90, 68.9e3, 276}, {5, 0, 100, 193e3, 190}, {8, 0, 40, 113.8e3, 880}} {
		pe := math.Pi * math.Pi * b.E * b.second() / (b.L * b.L)
		for _, e := range []float64{0.5, 3, 8, 15} {
			yields := func(p float64) bool {
				bow := e
				for range 100000 { // the half sine grows by P/Pe of itself at each turn
					next := e + bow*p/pe
					if math.Abs(next-bow) < 1e-13*bow {
						break
					}
					bow = next
				}
				return p/b.area()+p*bow*b.D/2/b.second() > b.Sy
			}
			lo, hi := 0.0, pe*(1-1e-6)
			for range 200 {
				if mid := (lo + hi) / 2; yields(mid) {
					hi = mid
				} else {
					lo = mid
				}
			}
			if got := b.yields(e); math.Abs(got/lo-1) > 1e-6 {
				t.Errorf("%+v bent by %g: %.6f N, the twin says %.6f", b, e, got, lo)
			}
		}
		if got, want := b.yields(0), min(pe, b.area()*b.Sy); math.Abs(got/want-1) > 1e-9 {
			t.Errorf("%+v straight: %.4f N, expected %.4f", b, got, want)
		}
	}
	short := column{8, 0, 1, 113.8e3, 880}
	if got, want := short.yields(10), short.Sy/(1/short.area()+10*4/short.second()); math.Abs(got/want-1) > 1e-3 {
		t.Errorf("a short one: %.3f N, expected %.3f", got, want)
	}
}

// Stress areas of ISO 898-1, table 3 (print): M3 5.03, M4 8.78, M5 14.2 mm².
func TestStressAreas(t *testing.T) {
	for _, c := range []struct{ d, p, want, by float64 }{{3, 0.5, 5.031, 0.0006}, {4, 0.7, 8.779, 0.0006}, {5, 0.8, 14.2, 0.05}} {
		if got := stressArea(c.d, c.p); math.Abs(got-c.want) > c.by {
			t.Errorf("M%g: %.4f mm², expected %g", c.d, got, c.want)
		}
	}
}
