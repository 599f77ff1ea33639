package travel

import (
	"math"
	"testing"

	"lowslung/solid"
)

// A flat solve ends where Solve ends, with its determinant, sign and all.
func TestFlatIsSolve(t *testing.T) {
	flat := 0
	for _, name := range []string{"bramble.rig.yaml", "bramble-portal.rig.yaml", "gully.rig.yaml"} {
		m := demoModel(t, name)
		for end := solid.Front; end <= solid.Rear; end++ {
			mv := NewMover(m, end)
			if !mv.Solved || !mv.Settle() || mv.four == nil {
				continue
			}
			how, ok := mv.four.flat(&mv.Design)
			if !ok {
				continue
			}
			flat++
			for turn := range 2 { // the links in another order, which turns the determinant's sign
				l := *mv.four
				if turn == 1 {
					for _, v := range []*[4]float64{&l.cx, &l.cy, &l.cz, &l.ax, &l.ay, &l.az, &l.half} {
						v[1], v[2] = v[2], v[1]
					}
					if how, ok = l.flat(&mv.Design); !ok {
						t.Fatalf("%s, %s: not flat in another order", name, end)
					}
				}
				a, b := NewSolver(&l, mv.Design), NewSolver(&l, mv.Design)
				for h := -25.0; h <= 25; h += 0.5 {
					if a.Solve(mv.Design.Z+h, 0) != Reached || b.solveFlat(mv.Design.Z+h, &how) != Reached {
						t.Fatalf("%s, %s, heave %g: not reached", name, end, h)
					}
					if d := apartBy(a.Pose(), b.Pose()); d > 1e-8 || math.Abs(a.det-b.det) > 1e-6*math.Abs(a.det) {
						t.Errorf("%s, %s, heave %g: %.3g mm apart, determinants %.9g and %.9g", name, end, h, d, a.det, b.det)
					}
				}
			}
		}
	}
	if flat < 2 {
		t.Errorf("only %d axles stand flat", flat)
	}
}

// A flat settle comes to where Settle comes, whatever length the shocks should have.
func TestFlatSettles(t *testing.T) {
	flat := 0
	for _, name := range []string{"bramble.rig.yaml", "bramble-portal.rig.yaml", "gully.rig.yaml"} {
		for end := solid.Front; end <= solid.Rear; end++ {
			for by := -6.0; by <= 6; by += 1.5 {
				m := demoModel(t, name)
				for i := range m.Shocks {
					if k := &m.Shocks[i]; k.Set > 0 {
						k.Set += by
					}
				}
				mv := Assemble(m, end)
				if mv == nil {
					continue
				}
				near := mv.At()
				if !mv.Settle() {
					t.Fatalf("%s, %s: does not settle", name, end)
				}
				want := mv.Design
				mv.Jump(near)
				mv.Design = Pose{}
				if !mv.settleFlat(near) {
					continue
				}
				flat++
				if d := apartBy(mv.Design, want); d > 1e-7 || mv.Source != BySet || mv.At() != mv.Design {
					t.Errorf("%s, %s, shocks %g mm longer: %.3g mm from where it settles", name, end, by, d)
				}
			}
		}
	}
	if flat < 10 {
		t.Errorf("only %d settled flat", flat)
	}
}
