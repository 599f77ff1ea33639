package reference

import (
	"fmt"
	"math"
	"testing"

	"lowslung/solid"
	"lowslung/travel"
)

// Cases that are solved on paper.

// Three equal parallel links let the axle only shift, never turn, and a transverse rod then decides how far. Links l forward from
// the axle, rod w to the left from frame to axle, heave z:
//
//	(x − l)² + y² + z² = l²   and   x² + (y + w)² + z² = w²   give   x = −w·y/l,
//	y = (−w + √(w² − (1 + w²/l²)·z²))/(1 + w²/l²)
func TestParallelLinksNeverTurn(t *testing.T) {
	const l, w = 100.0, 84.0
	links := pair("lower", vec{X: 110, Y: 55, Z: 45}, vec{X: 10, Y: 55, Z: 45})
	links = append(links, eye{"upper", vec{X: 95, Y: 8, Z: 90}, vec{X: -5, Y: 8, Z: 90}}, eye{"transverse", vec{X: -12, Y: -42, Z: 75}, vec{X: -12, Y: 42, Z: 75}})
	b := textbook(links, ahead(links, 300))
	a := travelOf(t, b.model(), travel.Options{Roll: travel.Span{Step: 1}})
	for name, ax := range map[string]*travel.Axle{"rear": a.Axles.Rear, "front": a.Axles.Front} {
		s, start := 1.0, -150.0
		if name == "front" {
			s, start = -1, 150
		}
		if len(ax.Poses) != 11 || len(ax.Unreached) != 0 {
			t.Fatalf("%s: %d poses, %d unreached", name, len(ax.Poses), len(ax.Unreached))
		}
		for _, p := range ax.Poses {
			what := fmt.Sprintf("%s, heave %g", name, p.HeaveMM)
			k := 1 + w*w/(l*l)
			y := (-w + math.Sqrt(w*w-k*p.HeaveMM*p.HeaveMM)) / k
			within(t, what+", y", p.YMM, y, 1e-8)
			within(t, what+", x", p.XMM, start-s*w*y/l, 1e-8)
			within(t, what+", z", p.ZMM, 27+p.HeaveMM, 1e-12)
			within(t, what+", steer", p.SteerDeg, 0, 1e-8)
			within(t, what+", pinion change", p.PinionChangeDeg, 0, 1e-8)
			within(t, what+", pinion angle", p.PinionAngleDeg, 0, 1e-8)
		}
		for _, r := range ax.Rates {
			// It turns about nothing, so there is no instant centre; t = −dx/dz by implicit differentiation.
			if r.InstantCenterXMM != nil && math.Abs(*r.InstantCenterXMM) < 1e8 {
				t.Errorf("%s, heave %g: instant centre at x %g mm for an axle that never turns", name, r.HeaveMM, *r.InstantCenterXMM)
			}
			k := 1 + w*w/(l*l)
			dy := -r.HeaveMM / math.Sqrt(w*w-k*r.HeaveMM*r.HeaveMM)
			within(t, fmt.Sprintf("%s, heave %g, side slope", name, r.HeaveMM), r.SideSlope, w/l*dy, 1e-10)
		}
	}
}

// A symmetric rig that does not roll does not steer and does not go sideways; rolled to the left and to the right it is its own
// mirror image.
func TestSymmetricRigStaysInTheMiddle(t *testing.T) {
	d := chance(t)
	all := layouts()
	for i := range 24 {
		l := all[[]int{0, 2, 3}[i%3]]
		m := d.rig(l, l, false)
		a := travelOf(t, m, travel.Options{Heave: travel.Span{From: -15, To: 15, Step: 5}, Roll: travel.Span{From: -8, To: 8, Step: 8}})
		for _, ax := range []*travel.Axle{a.Axles.Front, a.Axles.Rear} {
			at := map[[2]float64]*travel.AxlePose{}
			for k := range ax.Poses {
				at[[2]float64{ax.Poses[k].HeaveMM, ax.Poses[k].RollDeg}] = &ax.Poses[k]
			}
			if len(at) != 21 {
				t.Fatalf("%s: %d poses of 21", m.Name, len(at))
			}
			for h := -15.0; h <= 15; h += 5 {
				mid, up, down := at[[2]float64{h, 0}], at[[2]float64{h, 8}], at[[2]float64{h, -8}]
				what := fmt.Sprintf("%s, heave %g", m.Name, h)
				within(t, what+", y", mid.YMM, 0, 1e-7)
				within(t, what+", steer", mid.SteerDeg, 0, 1e-7)
				within(t, what+", y, rolled", up.YMM, -down.YMM, 1e-7)
				within(t, what+", x, rolled", up.XMM, down.XMM, 1e-7)
				within(t, what+", steer, rolled", up.SteerDeg, -down.SteerDeg, 1e-7)
				within(t, what+", pinion, rolled", up.PinionAngleDeg, down.PinionAngleDeg, 1e-7)
				for k, s := range mid.Shocks {
					within(t, what+", shock "+s.Side, s.LengthMM, mid.Shocks[k^1].LengthMM, 1e-7)
					within(t, what+", shock in roll "+s.Side, up.Shocks[k].LengthMM, down.Shocks[k^1].LengthMM, 1e-7)
				}
			}
		}
	}
}

// The four corner loads carry the weight and its moments about both contact lines, whatever splits them left and right.
func TestCornerLoadsBalanceTheWeight(t *testing.T) {
	for i, m := range chance(t).rigs(16) {
		a := balanceOf(t, m)
		c := a.CornerLoadsN
		if c == nil {
			t.Fatalf("rig %d: no corner loads", i)
		}
		what := fmt.Sprintf("rig %d, %s", i, m.Name)
		weight := a.MassKG * 9.80665
		within(t, what+", sum", c.FrontLeft+c.FrontRight+c.RearLeft+c.RearRight, weight, 1e-9)
		given(t, what+", front share", a.FrontShare, (c.FrontLeft+c.FrontRight)/weight, 1e-9)
		st := travel.StandOf(m)
		g := &st.Ground
		var moment vec // of the contact forces about the chassis origin
		for end := range solid.End(2) {
			p := st.Movers[end].Design
			for k, n := range [2]float64{[2]float64{c.FrontLeft, c.RearLeft}[end], [2]float64{c.FrontRight, c.RearRight}[end]} {
				centre := p.Place(vec{Y: float64(1-2*k) * m.Axles[end].HalfTrack})
				down := centre.Along(g.Up, -g.Height(centre))
				moment = moment.Add(down.Cross(g.Up.Scale(n)))
			}
		}
		at := xyz(a.CenterOfMassMM[0], a.CenterOfMassMM[1], a.CenterOfMassMM[2])
		want := at.Cross(g.Up.Scale(weight))
		for k, d := range [3]float64{moment.X - want.X, moment.Y - want.Y, moment.Z - want.Z} {
			within(t, fmt.Sprintf("%s, moment about %c, N·mm", what, "xyz"[k]), d, 0, 1e-6)
		}
	}
}

// An axle that is pulled further than its links reach stays together, at the place where small steps along the same way come to
// their end as well, and not in another way of assembling the same links. At full reach ways of assembling meet, and a step that
// ends there by chance may leave on the wrong side: one pull in a hundred may differ.
func TestPulledBeyondReach(t *testing.T) {
	d := chance(t)
	all := layouts()
	pulls, beyond, off := 0, 0, 0
	for i := range 200 {
		one := d.drawn(all[i%len(all)], solid.End(i/len(all)%2), i/(2*len(all))%2 == 1, false)
		mv := travel.NewMover(one.model, one.hold.end)
		if !mv.Solved {
			t.Fatalf("linkage %d (%s): not assembled", i, one.what)
		}
		home := mv.At()
		for range 6 {
			up := d.about(0, 1)
			z, roll := home.Z+math.Copysign(40+110*math.Abs(up), up), d.about(0, 0.6)
			mv.Jump(home)
			if !mv.To(z, roll) {
				beyond++
			}
			if r := one.link.Residual(mv.At()); !(r <= 1e-9) {
				t.Errorf("linkage %d (%s): residual %g mm where it stopped", i, one.what, r)
			}
			pulls++
			end := walk(one.link, home, z, roll)
			if math.Abs(end.Z-mv.At().Z) > 0.5 || apart(end.Turn(), mv.At().Turn()) > 0.3 {
				off++
				t.Logf("linkage %d (%s): pulled to z %.1f mm, roll %.3f rad it came to %+v, in small steps to %+v", i, one.what, z, roll, mv.At(), end)
			}
		}
	}
	if beyond < pulls/3 || off > pulls/100 {
		t.Errorf("%d pulls, %d beyond reach, %d of them ended elsewhere than in small steps", pulls, beyond, off)
	}
}

// walk goes straight to heave z and roll in 2000 small steps, as far as the links let it.
func walk(l *travel.Linkage, home travel.Pose, z, roll float64) travel.Pose {
	s := travel.NewSolver(l, home)
	last := home
	const n = 2000
	for k := 1; k <= n; k++ {
		f := float64(k) / n
		if s.Solve(home.Z+f*(z-home.Z), home.Roll+f*(roll-home.Roll)) != travel.Reached {
			break
		}
		p := s.Pose()
		if p.Origin().Sub(last.Origin()).Norm() > 8 || apart(p.Turn(), last.Turn()) > 0.15 {
			break // it leapt
		}
		last = p
	}
	return last
}
