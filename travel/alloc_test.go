package travel_test

import (
	"testing"

	"lowslung/solid"
	"lowslung/travel"
)

// The kernels allocate nothing: a sweep, a search over thousands of builds or a run over rocks must not feed the garbage
// collector once a step.
func TestKernelsAllocateNothing(t *testing.T) {
	m := &solid.Model{}
	m.Axles[solid.Rear] = solid.Axle{Present: true, Path: "rear", Near: solid.Vec{X: -154, Z: 14}}
	add := func(from, to solid.Vec) {
		near := m.Axles[solid.Rear].Near
		for _, side := range []solid.Side{solid.Left, solid.Right} {
			m.Links = append(m.Links, solid.Link{Axle: solid.Rear, Side: side, From: from, To: to, Length: near.Add(to).Sub(from).Norm()})
			from, to = from.Flip(), to.Flip()
		}
	}
	add(solid.Vec{X: -44, Y: 31, Z: 8}, solid.Vec{X: 6, Y: 42, Z: -4})
	add(solid.Vec{X: -38, Y: 24, Z: 34}, solid.Vec{X: 2, Y: 8, Z: 26})
	top := solid.Anchor{Link: -1, At: solid.Vec{X: -140, Y: 46, Z: 88}}
	m.Shocks = []solid.Shock{
		{Axle: solid.Rear, Top: top, Bottom: solid.Anchor{Carrier: solid.OnRear, Link: -1, At: solid.Vec{Y: 50, Z: 9}}},
		{Axle: solid.Rear, Top: top, Bottom: solid.Anchor{Link: 0, Along: 70, Rise: 6}},
	}
	var from, to [4]solid.Vec
	var length [4]float64
	for i, l := range m.Links {
		from[i], to[i], length[i] = l.From, l.To, l.Length
	}
	link := travel.NewLinkage(from, to, length)
	start := travel.Pose{X: -154, Z: 14}
	solver := travel.NewSolver(link, start)
	mover := travel.NewMover(m, solid.Rear)
	if !mover.Solved {
		t.Fatal("the linkage does not close")
	}

	var keep float64 // so that nothing is optimised away
	n := 0
	next := func() (z, roll float64) { // never the same pose twice running
		n++
		return 14 + float64(n%21-10), float64(n%13-6) * 0.03
	}
	for _, c := range []struct {
		what string
		f    func()
	}{
		{"a warm pose", func() {
			if solver.Solve(next()) != travel.Reached {
				t.Fatal("not reached")
			}
			keep += solver.Pose().X
		}},
		{"a cold pose", func() {
			solver.Start(start)
			if solver.Solve(next()) != travel.Reached {
				t.Fatal("not reached")
			}
			keep += solver.Pose().X
		}},
		{"a pose that is out of reach", func() {
			solver.Start(start)
			if solver.Solve(300, 0) == travel.Reached {
				t.Fatal("reached")
			}
		}},
		{"the residual", func() { keep += link.Residual(start) }},
		{"rates of motion and play", func() {
			sys := link.SystemAt(start)
			heave, _ := sys.Heave()
			roll, _ := sys.Roll()
			slop, _ := sys.Slop(0.1)
			keep += heave.Origin.X + roll.Omega.Z + slop[1]
		}},
		{"moving an axle", func() {
			if !mover.To(next()) {
				t.Fatal("not reached")
			}
			keep += mover.At().X
		}},
		{"shocks, one of them on a link", func() {
			heave, roll, _, _ := mover.Rates()
			for i := range m.Shocks {
				s := travel.StrutAt(m, &m.Shocks[i], mover.At(), heave, roll)
				keep += s.Length + s.PerHeave + s.PerRoll
			}
		}},
	} {
		if got := testing.AllocsPerRun(500, c.f); got != 0 {
			t.Errorf("%s: %g allocations, want none", c.what, got)
		}
	}
	if keep != keep {
		t.Error("not a number")
	}
}
