package travel

import (
	"math"
	"os"
	"testing"

	"lowslung/rig"
	"lowslung/solid"
)

// demoModel is an example rig.
func demoModel(t testing.TB, name string) *solid.Model {
	t.Helper()
	b, err := rig.Load(func(n string) ([]byte, error) { return os.ReadFile("../examples/" + n) }, name)
	if err != nil {
		t.Fatal(err)
	}
	m, err := solid.Resolve(b)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func apartBy(a, b Pose) float64 {
	return max(math.Abs(a.X-b.X), math.Abs(a.Y-b.Y), math.Abs(a.Z-b.Z), angleScale*math.Abs(a.Steer-b.Steer), angleScale*math.Abs(a.Roll-b.Roll), angleScale*math.Abs(a.Spin-b.Spin))
}

// Over comes to the poses that Grid comes to, in any order of heave and roll, also where the links end.
func TestOverIsGrid(t *testing.T) {
	for _, c := range []struct{ heave, roll Span }{
		{Span{-25, 25, 2.5}, Span{-15, 15, 7.5}}, {Span{-60, 60, 5}, Span{-40, 40, 10}}, {Span{0, 30, 3}, Span{0, 15, 5}}, {Span{5, 5, 1}, Span{-10, -10, 1}},
	} {
		heaves, rolls := c.heave.Values(), c.roll.Values()
		for i := range rolls {
			rolls[i] *= deg
		}
		for _, name := range []string{"bramble.rig.yaml", "bramble-portal.rig.yaml", "gully.rig.yaml"} {
			m := demoModel(t, name)
			for end := solid.Front; end <= solid.Rear; end++ {
				mv := NewMover(m, end)
				if !mv.Solved || !mv.Settle() {
					t.Fatalf("%s, %s: does not stand", name, end)
				}
				type at struct{ heave, roll float64 }
				grid := map[at]Pose{}
				mv.Grid(heaves, rolls, func(h, r float64, p Pose) { grid[at{h, r}] = p })
				var w Walk
				seen, worst := 0, 0.0
				mv.Over(heaves, rolls, &w, func(i, k int, s *Solver) bool {
					p, there := grid[at{heaves[i], rolls[k]}]
					if there != (s != nil) {
						t.Errorf("%s, %s, heave %g, roll %g: there %v, on the grid %v", name, end, heaves[i], rolls[k]/deg, s != nil, there)
					}
					if seen++; s != nil && there {
						worst = max(worst, apartBy(s.Pose(), p))
						if turn := p.Turn(); apartTurn(turn, s.Turn()) > 1e-9 {
							t.Errorf("%s, %s, heave %g: the turn is off", name, end, heaves[i])
						}
					}
					return true
				})
				if seen != len(heaves)*len(rolls) || worst > 1e-8 {
					t.Errorf("%s, %s: %d poses, the worst %g mm off", name, end, seen, worst)
				}
			}
		}
	}
}

func apartTurn(a, b solid.Mat) (worst float64) {
	for i := range a {
		worst = max(worst, math.Abs(a[i]-b[i]))
	}
	return worst
}

// A mover whose links were changed stands where a new one does.
func TestRelinkIsANewMover(t *testing.T) {
	m := demoModel(t, "bramble-portal.rig.yaml")
	for end := solid.Front; end <= solid.Rear; end++ {
		own := *m
		own.Links = append([]solid.Link(nil), m.Links...)
		mv := NewMover(&own, end)
		near := mv.At()
		if !mv.Settle() {
			t.Fatal("does not stand")
		}
		design := mv.Design
		for n := range 40 {
			for i := range own.Links {
				own.Links[i].Length = m.Links[i].Length + 0.1*float64(n%7)*math.Cos(float64(n+i/2)) // twins alike
			}
			if !mv.Relink(near) || !mv.SettleFrom(design) {
				t.Fatalf("%s, change %d: not found", end, n)
			}
			near, design = mv.solverNear(), mv.Design
			fresh := NewMover(&own, end)
			if !fresh.Settle() || apartBy(fresh.Design, mv.Design) > 1e-8 {
				t.Errorf("%s, change %d: %+v, a new mover %+v", end, n, mv.Design, fresh.Design)
			}
		}
	}
}

// solverNear is where the axle is at near's height, for the next guess.
func (mv *Mover) solverNear() Pose {
	fresh := NewMover(mv.Model, mv.End)
	return fresh.At()
}

// Going over the travel allocates nothing.
func TestOverAllocatesNothing(t *testing.T) {
	m := demoModel(t, "bramble-portal.rig.yaml")
	mv := NewMover(m, solid.Rear)
	mv.Settle()
	heaves, rolls := usualHeave.Values(), []float64{0, 5 * deg, 10 * deg}
	var w Walk
	sum := 0.0
	visit := func(_, _ int, s *Solver) bool { sum += s.Origin().X; return true }
	mv.Over(heaves, rolls, &w, visit)
	if n := testing.AllocsPerRun(20, func() { mv.Over(heaves, rolls, &w, visit) }); n != 0 {
		t.Errorf("%g allocations, expected none", n)
	}
}
