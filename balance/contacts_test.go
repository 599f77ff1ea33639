package balance

import (
	"math"
	"testing"

	"lowslung/solid"
	"lowslung/travel"
)

// An axle that stands to one side or a little steered has its contact points there: loads and tip angles by hand.
func TestContactsFollowTheAxles(t *testing.T) {
	m := &solid.Model{}
	m.Axles[solid.Front] = solid.Axle{Present: true, HalfTrack: 100}
	m.Axles[solid.Rear] = solid.Axle{Present: true, HalfTrack: 100}
	psi := 0.03
	st := &travel.Stand{Ground: travel.Ground{Known: true, Up: solid.Vec{Z: 1}, Forward: solid.Vec{X: 1}, Contact: [2]solid.Vec{{X: 300}, {}}}}
	st.Movers[solid.Front] = &travel.Mover{Design: travel.Pose{X: 300, Y: 4, Z: 50}}
	st.Movers[solid.Rear] = &travel.Mover{Design: travel.Pose{Y: 0, Z: 50, Steer: psi}}
	b := newBase(m, st)

	// Front contacts at (300, 104) and (300, −96); rear ones at ±100·(−sin ψ, cos ψ).
	c := solid.Vec{X: 150, Y: 4, Z: 80}
	k := b.loads(c)
	near := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 1e-12 {
			t.Errorf("%s: got %.15g, want %.15g", what, got, want)
		}
	}
	near("front left against right", k.FrontLeft, k.FrontRight) // the centre is in the middle of the front axle
	near("moment about x", k.FrontLeft*104-k.FrontRight*96+(k.RearLeft-k.RearRight)*100*math.Cos(psi), 4)
	near("moment about y", (k.FrontLeft+k.FrontRight)*300-(k.RearLeft-k.RearRight)*100*math.Sin(psi), 150)
	near("sum", k.FrontLeft+k.FrontRight+k.RearLeft+k.RearRight, 1)

	left, right, up, down := b.tips(solid.Vec{X: 150, Z: 80})
	near("nose down", down, math.Atan(150.0/80))
	near("nose up", up, math.Atan(150*math.Cos(psi)/80)) // the rear contact line passes the origin, turned by ψ
	// The distance from a line is twice a triangle's area over its base.
	s, cs := 100*math.Sin(psi), 100*math.Cos(psi)
	far := func(ax, ay, bx, by float64) float64 {
		return math.Abs(ax*(by-0)+bx*(0-ay)+150*(ay-by)) / math.Hypot(bx-ax, by-ay)
	}
	near("left", left, math.Atan(far(300, 104, -s, cs)/80))
	near("right", right, math.Atan(far(300, -96, s, -cs)/80))
}
