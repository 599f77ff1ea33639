package steer

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"
	"time"

	"lowslung/solid"
	"lowslung/travel"
)

// dice is a seeded source; the seed is printed, and taken from LOWSLUNG_SEED when that is set.
func dice(t testing.TB) *rand.Rand {
	t.Helper()
	seed := uint64(time.Now().UnixNano())
	if text := os.Getenv("LOWSLUNG_SEED"); text != "" {
		v, err := strconv.ParseUint(text, 10, 64)
		if err != nil {
			t.Fatalf("LOWSLUNG_SEED: found %q, expected a whole number", text)
		}
		seed = v
	}
	t.Logf("LOWSLUNG_SEED=%d", seed)
	return rand.New(rand.NewPCG(seed, 1))
}

type vec = solid.Vec

func about(r *rand.Rand, v, w float64) float64 { return v + w*(2*r.Float64()-1) }

func nearby(r *rand.Rand, v vec, w float64) vec {
	return vec{X: about(r, v.X, w), Y: about(r, v.Y, w), Z: about(r, v.Z, w)}
}

// model is a front axle alone, held by nothing, with a steer block drawn here.
func model(s solid.Steer) *solid.Model {
	s.Present, s.Path, s.HasKingpin, s.HasArm = true, "steer", true, true
	m := &solid.Model{Name: "drawn", Steer: s}
	m.Axles[solid.Front] = solid.Axle{Present: true, Path: "front", TyreRadius: 57, TyreWidth: 42, HalfTrack: 100, PinionAxis: vec{X: -1}}
	return m
}

func pairOf(v vec) [2]vec { return [2]vec{v, v.Flip()} }

// upright is a block with upright kingpins 100 apart and arms 25 long, straight ahead: a parallelogram with its tie rod.
func upright() solid.Steer {
	return solid.Steer{Upper: pairOf(vec{Y: 50, Z: 10}), Lower: pairOf(vec{Y: 50, Z: -10}), Arm: pairOf(vec{X: 25, Y: 50, Z: 3})}
}

// drawn is a steer block at random with a servo somewhere, its drag link on the given end.
func drawn(r *rand.Rand, on solid.DragEnd, carrier solid.Carrier) solid.Steer {
	u, l := nearby(r, vec{Y: 77, Z: 13}, 4), nearby(r, vec{Y: 80, Z: -13}, 3)
	s := solid.Steer{Upper: pairOf(u), Lower: pairOf(l), Arm: pairOf(nearby(r, vec{X: 21, Y: 82, Z: 3}, 4)), HasDrag: true, DragOn: on, DragSet: true,
		HasServo: true, HasHorn: true, Carrier: carrier, HornTravel: 40 * deg}
	s.HornAt = nearby(r, vec{X: 34, Y: 8, Z: 40}, 6)
	s.HornAxis = nearby(r, vec{X: 1}, 0.2).Unit()
	s.HornEye = s.HornAt.Add(nearby(r, vec{X: 2, Z: -22}, 3))
	switch on {
	case solid.OnLeftKnuckle:
		s.DragTo = nearby(r, vec{X: 22, Y: 84, Z: 12}, 4)
		s.HornAt.Y, s.HornEye.Y = -s.HornAt.Y, -s.HornEye.Y
	case solid.OnRightKnuckle:
		s.DragTo = nearby(r, vec{X: 22, Y: -84, Z: 12}, 4)
	default:
		s.DragTo = nearby(r, vec{X: 22, Y: -50, Z: 8}, 5)
	}
	if r.IntN(2) == 0 {
		s.TieRod = s.Arm[0].Sub(s.Arm[1]).Norm() + about(r, 0, 1)
	}
	return s
}

// linkageOf compiles a block, which must go together.
func linkageOf(t testing.TB, m *solid.Model) (*Linkage, *travel.Stand) {
	t.Helper()
	st := travel.StandOf(m)
	l, bad := Compile(m, st, 0)
	if l == nil || len(bad) > 0 {
		t.Fatalf("not put together: %v", bad)
	}
	return l, st
}

// An upright parallelogram turned by a is worked on paper: both wheels turn by a, and the tie rod, which stays across, meets the way
// of the eye it pulls at 90° − a.
func TestParallelogramOnPaper(t *testing.T) {
	l, _ := linkageOf(t, model(upright()))
	for a := -89.0; a <= 89; a += 1 {
		s, fault := l.At(travel.Pose{}, a*deg, State{})
		if fault != Fits {
			t.Fatalf("%g°: fault %d", a, fault)
		}
		within(t, fmt.Sprintf("right wheel at %g°", a), s.Knuckle[right]/deg, a, 1e-9)
		within(t, fmt.Sprintf("transmission at %g°", a), transmission(s.Tie), 90-math.Abs(a), 1e-6)
	}
}

// A servo square to everything, on paper: horn axis forward, horn of r hanging down, drag link of L level and across to an arm of
// R straight ahead of an upright right kingpin. The eye of the horn is at (0, r sin θ, −r cos θ) from its centre, so that
//
//	(R cos a − R)² + (−L + R sin a·… )² …
//
// is solved here by halving for the distance L itself, an independent way to the root.
func TestDragLinkByHalving(t *testing.T) {
	const R, r, L = 24.0, 20.0, 70.0
	s := upright()
	s.HasDrag, s.HasServo, s.HasHorn, s.DragOn, s.Carrier = true, true, true, solid.OnRightKnuckle, solid.OnFront
	s.DragTo = vec{X: R, Y: -50, Z: 5}
	s.HornEye = vec{X: R, Y: -50 + L, Z: 5}
	s.HornAt = s.HornEye.Add(vec{Z: r})
	s.HornAxis = vec{X: 1}
	l, _ := linkageOf(t, model(s))
	for theta := -40.0; theta <= 40; theta += 5 {
		sin, cos := math.Sincos(theta * deg)
		q := vec{X: R, Y: -50 + L + r*sin, Z: 5 + r*(1-cos)}
		off := func(a float64) float64 {
			return vec{X: R * math.Cos(a), Y: -50 + R*math.Sin(a), Z: 5}.Sub(q).Norm() - L
		}
		lo, hi := -1.2, 1.2 // off falls with a: the eye goes left, towards the horn
		for range 200 {
			if mid := (lo + hi) / 2; off(mid) > 0 {
				lo = mid
			} else {
				hi = mid
			}
		}
		got, fault := l.At(travel.Pose{}, theta*deg, State{})
		if fault != Fits {
			t.Fatalf("servo %g°: fault %d", theta, fault)
		}
		within(t, fmt.Sprintf("right knuckle at servo %g°", theta), got.Knuckle[right], lo, 1e-12)
		within(t, fmt.Sprintf("left knuckle at servo %g°", theta), got.Knuckle[left], lo, 1e-12) // parallelogram
	}
}

// A planar trapezium against its own planar solution: the other arm by the two triangles on the diagonal, law of cosines.
func TestTrapeziumByTriangles(t *testing.T) {
	r := dice(t)
	for range 200 {
		x, y := about(r, 0, 1), about(r, 0, 6)
		x = math.Copysign(15+10*math.Abs(x), x) // ahead of the axle or behind it
		s := upright()
		s.Arm = pairOf(vec{X: x, Y: 50 + y, Z: 3})
		l, _ := linkageOf(t, model(s))
		arm, rod := math.Hypot(x, y), 2*(50+y)
		for a := -35.0; a <= 35; a += 7 {
			sin, cos := math.Sincos(a * deg)
			tx, ty := x*cos-y*sin, 50+x*sin+y*cos // left eye
			dx, dy := tx, ty+50                   // from the right kingpin to it
			f := math.Hypot(dx, dy)
			inside := math.Acos((f*f + arm*arm - rod*rod) / (2 * f * arm))
			start := math.Atan2(-y, x) // of the right arm, straight ahead
			want := math.Inf(1)
			for _, side := range []float64{-1, 1} {
				if b := math.Remainder(math.Atan2(dy, dx)+side*inside-start, 2*math.Pi); math.Abs(b-a*deg) < math.Abs(want-a*deg) {
					want = b
				}
			}
			st, fault := l.At(travel.Pose{}, a*deg, State{})
			if math.IsNaN(inside) { // the triangle does not close
				if fault != TieOut {
					t.Errorf("arm (%g, %g), %g°: fault %d, expected %d", x, y, a, fault, TieOut)
				}
				continue
			}
			if fault != Fits {
				t.Fatalf("arm (%g, %g), %g°: fault %d", x, y, a, fault)
			}
			within(t, fmt.Sprintf("arm (%g, %g), %g°", x, y, a), st.Knuckle[right], want, 1e-10)
		}
	}
}

// The two distances hold and nothing jumps, over the whole servo travel of linkages at random, on moved axles.
func TestDistancesHold(t *testing.T) {
	r := dice(t)
	states := 0
	for i := range 300 {
		m := model(drawn(r, solid.DragEnd(i%3), solid.Carrier(i/3%2)))
		l, st := linkageOf(t, m)
		if !l.horned {
			t.Fatalf("%d: no servo", i)
		}
		p := st.Movers[solid.Front].Design
		p.X, p.Z, p.Roll, p.Steer, p.Spin = p.X+about(r, 0, 1), p.Z+about(r, 0, 4), about(r, 0, 0.08), about(r, 0, 0.02), about(r, 0, 0.05)
		s, _ := l.At(st.Movers[solid.Front].Design, 0, State{})
		s, fault := l.At(p, 0, s)
		for th := 0.0; th < 30*deg && fault == Fits; th += deg {
			before := s
			if s, fault = l.At(p, th, s); fault != Fits {
				break
			}
			states++
			q, _ := l.near(p, th)
			within(t, "drag link, mm", l.far(s).Sub(q).Norm(), l.dragLen, 1e-9)
			within(t, "tie rod, mm", l.tie[0].at(s.Knuckle[0]).Sub(l.tie[1].at(s.Knuckle[1])).Norm(), l.rod, 1e-9)
			if th > 0 && math.Abs(s.Knuckle[0]-before.Knuckle[0]) > 12*deg && s.Drag > 0.25 && s.Tie > 0.25 {
				t.Errorf("%d: knuckle leaps from %g° to %g°", i, before.Knuckle[0]/deg, s.Knuckle[0]/deg)
			}
		}
	}
	if states < 5000 {
		t.Errorf("only %d states were looked at", states)
	}
}

// A drag link whose eye is the very end of the tie rod does what it does on that knuckle.
func TestTieRodEndIsTheKnuckle(t *testing.T) {
	r := dice(t)
	for i := range 100 {
		k := drawn(r, solid.OnRightKnuckle, solid.Carrier(i%2))
		k.TieRod = 0
		k.DragTo = k.Arm[right]
		e := k
		e.DragOn = solid.OnTieRod
		on, st := linkageOf(t, model(k))
		tie, _ := linkageOf(t, model(e))
		p := st.Movers[solid.Front].Design
		s := State{}
		for th := 0.0; th < 35*deg; th += deg {
			a, f1 := on.At(p, th, State{})
			b, f2 := tie.At(p, th, s)
			if f1 != Fits || f2 != Fits || a.Drag < 0.2 || a.Tie < 0.2 {
				break
			}
			s = b
			for side := range a.Knuckle {
				within(t, fmt.Sprintf("%d, servo %g°, knuckle %d", i, th/deg, side), b.Knuckle[side], a.Knuckle[side], 1e-9)
			}
			x, y := on.PerServo(p, th, a), tie.PerServo(p, th, b)
			within(t, "rate", y[left], x[left], 1e-7*(1+math.Abs(x[left])))
		}
	}
}

// Exact rates against central differences: per rad of servo, and per mm of heave and rad of roll with the servo held.
func TestRatesAgainstDifferences(t *testing.T) {
	r := dice(t)
	checked := 0
	for i := range 200 {
		m := model(drawn(r, solid.DragEnd(i%3), solid.OnChassis))
		l, st := linkageOf(t, m)
		v := viewOf(&st.Ground)
		p := st.Movers[solid.Front].Design
		mid, _ := l.At(p, 0, State{})
		th := about(r, 0, 15) * deg
		s, fault := walkTo(l, p, th, mid)
		if fault != Fits || s.Drag < 0.4 || s.Tie < 0.4 {
			continue
		}
		checked++
		at := func(p travel.Pose, th float64) [2]float64 {
			n, fault := l.At(p, th, s)
			if fault != Fits {
				t.Fatalf("%d: fault %d", i, fault)
			}
			return l.steer(&v, p, n)
		}
		const h = 1e-4
		a, b := at(p, th-h), at(p, th+h)
		rate := l.steerRates(&v, p, s, l.PerServo(p, th, s), travel.Rate{})
		for side := range rate {
			within(t, fmt.Sprintf("%d: steer per servo, wheel %d", i, side), rate[side], (b[side]-a[side])/(2*h), 2e-6*(1+math.Abs(rate[side])))
		}
		// A motion of the axle at random: origin along dx, and ψ, φ, θ at rates; ω = ψ′ẑ + φ′u + θ′w as travel has it.
		dx, dpsi, dphi, dtheta := nearby(r, vec{}, 1), about(r, 0, 0.01), about(r, 0, 0.01), about(r, 0, 0.01)
		turn := p.Turn()
		sp, cp := math.Sincos(p.Steer)
		move := travel.Rate{Origin: dx, Steer: dpsi, Spin: dtheta, Omega: vec{Z: dpsi}.Along(vec{X: cp, Y: sp}, dphi).Along(turn.Mul(vec{Y: 1}), dtheta)}
		to := func(k float64) travel.Pose {
			return travel.Pose{X: p.X + k*dx.X, Y: p.Y + k*dx.Y, Z: p.Z + k*dx.Z, Steer: p.Steer + k*dpsi, Roll: p.Roll + k*dphi, Spin: p.Spin + k*dtheta}
		}
		const k = 1e-3
		a, b = at(to(-k), th), at(to(k), th)
		rate = l.steerRates(&v, p, s, l.PerMove(p, th, s, move), move)
		for side := range rate {
			within(t, fmt.Sprintf("%d: steer per move, wheel %d", i, side), rate[side], (b[side]-a[side])/(2*k), 2e-6*(1+math.Abs(rate[side])))
		}
	}
	if checked < 100 {
		t.Errorf("only %d linkages were looked at", checked)
	}
}

func walkTo(l *Linkage, p travel.Pose, th float64, s State) (State, Fault) {
	var fault Fault
	for n := 1.0; n <= 20; n++ {
		if s, fault = l.At(p, th*n/20, s); fault != Fits {
			return s, fault
		}
	}
	return s, fault
}

// A rig and its mirror image do the same mirrored: left for right, angles with the other sign.
func TestMirrorImage(t *testing.T) {
	r := dice(t)
	for i := range 100 {
		k := drawn(r, solid.DragEnd(i%3), solid.Carrier(i/3%2))
		if k.DragOn == solid.OnTieRod {
			k.TieRod = 0 // the left knuckle is the one to start from, so that with toe the mirror image starts elsewhere
		}
		f := k
		f.DragTo, f.HornAt, f.HornEye = k.DragTo.Flip(), k.HornAt.Flip(), k.HornEye.Flip()
		f.HornAxis = k.HornAxis.Flip().Scale(-1) // a turn seen in a mirror goes the other way about the mirrored axis
		if k.DragOn == solid.OnLeftKnuckle {
			f.DragOn = solid.OnRightKnuckle
		} else if k.DragOn == solid.OnRightKnuckle {
			f.DragOn = solid.OnLeftKnuckle
		}
		one, st := linkageOf(t, model(k))
		two, _ := linkageOf(t, model(f))
		v := viewOf(&st.Ground)
		p := st.Movers[solid.Front].Design
		q := p
		p.Roll, p.Steer, p.Y = 0.05, 0.01, 1
		q.Roll, q.Steer, q.Y = -0.05, -0.01, -1
		s, fault1 := one.At(p, 0, State{})
		u, fault2 := two.At(q, 0, State{})
		for th := 0.0; th < 30*deg && fault1 == Fits && fault2 == Fits; th += 2 * deg {
			s, fault1 = one.At(p, th, s)
			u, fault2 = two.At(q, th, u)
			if (fault1 == Fits) != (fault2 == Fits) {
				t.Errorf("%d: fault %d, its mirror image %d", i, fault1, fault2)
			}
			if fault1 != Fits || s.Drag < 0.1 || s.Tie < 0.1 {
				break
			}
			a, b := one.steer(&v, p, s), two.steer(&v, q, u)
			within(t, fmt.Sprintf("%d: left", i), a[left], -b[right], 1e-8)
			within(t, fmt.Sprintf("%d: right", i), a[right], -b[left], 1e-8)
		}
	}
}

// A servo on the axle does not steer it over bumps, whatever the axle does.
func TestServoOnTheAxleHoldsOverBumps(t *testing.T) {
	m := example(t, "gully", "")
	a := ask(t, m, Options{})
	for _, q := range a.Bumps.Poses {
		within(t, fmt.Sprintf("change at heave %g, roll %g", q.HeaveMM, q.RollDeg), q.ChangeDeg, q.AxleSteerDeg, 0.06) // but for roll and spin seen from above
	}
	if a.Bumps.ServoOn != "axle" || find(a, "steer/bump-steer") != nil {
		t.Errorf("servo on %s, bump steer judged: %v", a.Bumps.ServoOn, find(a, "steer/bump-steer"))
	}
}

func TestKernelAllocatesNothing(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for on := range solid.DragEnd(3) {
		l, st := linkageOf(t, model(drawn(r, on, solid.OnChassis)))
		p := st.Movers[solid.Front].Design
		s, _ := l.At(p, 0, State{})
		if n := testing.AllocsPerRun(100, func() {
			s, _ = l.At(p, 0.1, s)
			l.PerServo(p, 0.1, s)
			l.PerMove(p, 0.1, s, travel.Rate{Origin: vec{Z: 1}})
		}); n != 0 {
			t.Errorf("drag link on %d: %g allocations", on, n)
		}
	}
}

func BenchmarkState(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 1))
	for name, on := range map[string]solid.DragEnd{"knuckle": solid.OnRightKnuckle, "tie rod": solid.OnTieRod} {
		l, st := linkageOf(b, model(drawn(r, on, solid.OnChassis)))
		p := st.Movers[solid.Front].Design
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			s, _ := l.At(p, 0, State{})
			th := 0.0
			for b.Loop() {
				th = 0.1 - th
				s, _ = l.At(p, th, s)
			}
		})
	}
}

// The turn of a whole knuckle takes each of its points where its own circle has it.
func TestKnuckleCarriesItsPoints(t *testing.T) {
	r := dice(t)
	for range 50 {
		l, _ := linkageOf(t, model(drawn(r, solid.OnRightKnuckle, solid.OnFront)))
		s := State{Knuckle: [2]float64{about(r, 0, 0.7), about(r, 0, 0.7)}}
		for i, side := range []solid.Side{solid.Left, solid.Right} {
			f := l.Knuckle(side, s)
			hub, axis := l.Wheel(side, s)
			for what, d := range map[string]vec{
				"wheel centre": f.Apply(l.hub[i].at(0)).Sub(hub), "wheel axis": f.Turn(vec{Y: 1}).Sub(axis),
				"tie-rod eye": f.Apply(l.tie[i].at(0)).Sub(l.tie[i].at(s.Knuckle[i])), "kingpin": f.Apply(l.foot[i]).Sub(l.foot[i]),
			} {
				within(t, what, d.Norm(), 0, 1e-11)
			}
		}
	}
}
