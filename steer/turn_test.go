package steer

import (
	"fmt"
	"math"
	"testing"

	"lowslung/solid"
)

// The Ackermann relation from its construction: with the inner wheel at δi the centre lies on the rear axle's line, L/tan δi inside of
// the inner kingpin; the outer kingpin is w further out.
func TestIdealOuterByConstruction(t *testing.T) {
	for _, w := range []float64{120, 160, 200} {
		for _, base := range []float64{250, 312, 400} {
			for inner := 1.0; inner < 89; inner++ {
				x := base / math.Tan(inner*deg)
				want := math.Atan(base / (x + w))
				within(t, fmt.Sprintf("track %g, wheelbase %g, inner %g°", w, base, inner), idealOuter(inner*deg, w, base), want, 1e-14)
			}
		}
	}
	// A table of a wheelbase of twice the kingpin track, worked by hand from tables of cotangents: cot 45° = 1, 1.5 = cot 33.690°;
	// cot 30° = 1.73205, 2.23205 = cot 24.133°.
	within(t, "45°", idealOuter(45*deg, 1, 2)/deg, 33.690, 5e-4)
	within(t, "30°", idealOuter(30*deg, 1, 2)/deg, 24.133, 5e-4)
}

func TestAckermannShare(t *testing.T) {
	ideal := idealOuter(30*deg, 160, 312)
	for share, outer := range map[float64]float64{1: ideal, 0: 30 * deg, 0.5: (30*deg + ideal) / 2, -0.5: 30*deg + (30*deg-ideal)/2} {
		_, off, got := ackermann(30*deg, outer, 160, 312)
		within(t, fmt.Sprintf("share %g", share), got, share, 1e-12)
		within(t, fmt.Sprintf("error at share %g", share), off, outer-ideal, 1e-14)
	}
}

// Small angles of an upright trapezium on paper. Arms of r at α to straight ahead, inward behind the axle or outward ahead of it, kingpin
// track w, tie rod ℓ = w ∓ 2r sin α. Lengths to the second order in δ:
//
//	cos α·(δi − δo) = sin α·δ² + 2rδ² sin²α/ℓ   (behind)   ⟹   δi − δo = δ²·tan α·w/ℓ,
//
// while Ackermann asks for δ²·w/L: the share is L·tan α/ℓ. Arms that point at the middle of the rear axle, tan α = w/2L, the rule of
// thumb, so give w/2ℓ, about half; all of it takes tan α = ℓ/L.
func TestTrapeziumAtSmallAngles(t *testing.T) {
	const base, half, arm = 312.0, 80.0, 22.0
	for name, way := range map[string]float64{"behind the axle": -1, "ahead of the axle": 1} {
		for _, alpha := range []float64{5 * deg, math.Atan(half / base), 25 * deg} {
			s := upright()
			s.Upper, s.Lower = pairOf(vec{Y: half, Z: 10}), pairOf(vec{Y: half, Z: -10})
			s.Arm = pairOf(vec{X: way * arm * math.Cos(alpha), Y: half + way*arm*math.Sin(alpha)})
			l, st := linkageOf(t, model(s))
			v := viewOf(&st.Ground)
			p := st.Movers[solid.Front].Design
			const small = 0.2 * deg
			share := 0.0
			for _, d := range []float64{small, -small} { // what is of the third order goes out in the mean of both sides
				state, fault := l.At(p, d, State{})
				if fault != Fits {
					t.Fatalf("%s: fault %d", name, fault)
				}
				got := l.steer(&v, p, state)
				inner, outer := got[left], got[right]
				if d < 0 {
					inner, outer = -got[right], -got[left]
				}
				_, _, one := ackermann(inner, outer, 2*half, base)
				share += one / 2
			}
			rod := 2*half + 2*way*arm*math.Sin(alpha)
			within(t, fmt.Sprintf("%s, arms at %.1f°", name, alpha/deg), share, base*math.Tan(alpha)/rod, 2e-3)
		}
	}
}

// The turning circle by construction with ruler and compasses: wheels that meet the Ackermann relation turn about one point, that of
// the inner wheel's line and the rear axle's. Kingpins above the middle of the treads, so that the lines go through both.
func TestTurningCircleByConstruction(t *testing.T) {
	const base, half, width = 312.0, 100.0, 44.0
	for inner := 5.0; inner < 60; inner += 5 {
		outer := idealOuter(inner*deg, 2*half, base)
		axis := func(a float64) vec { return vec{X: -math.Sin(a), Y: math.Cos(a)} }
		g := plane{along: vec{Y: 1}}
		got, ok := g.circle([2]vec{{X: base, Y: half}, {X: base, Y: -half}}, [2]vec{axis(inner * deg), axis(outer)}, width)
		centre := half + base/math.Tan(inner*deg) // left of the centreline
		want := 2 * (math.Hypot(base, centre+half) + width/2)
		if !ok {
			t.Fatalf("inner %g°: no circle", inner)
		}
		within(t, fmt.Sprintf("inner %g°", inner), got, want, 1e-9)
		// Turned right the same, and with a rear axle that is not square: the centre goes along its line.
		got, _ = g.circle([2]vec{{X: base, Y: half}, {X: base, Y: -half}}, [2]vec{axis(-outer), axis(-inner * deg)}, width)
		within(t, fmt.Sprintf("right, inner %g°", inner), got, want, 1e-9)
	}
	g := plane{along: vec{Y: 1}}
	if d, ok := g.circle([2]vec{{X: 312, Y: 100}, {X: 312, Y: -100}}, [2]vec{{Y: 1}, {Y: 1}}, 40); ok {
		t.Errorf("straight ahead: a circle of %g mm", d)
	}
}

// The whole rig against a construction of its own from what the answer says: wheel angles, kingpins and scrub radius, upright pins.
func TestTurningCircleOfBramble(t *testing.T) {
	m := example(t, "bramble", "")
	a := ask(t, m, Options{})
	front, base := &m.Axles[solid.Front], 312.0 // wheelbase to 0.1 mm, printed by travel
	k, lock := a.Kingpin, a.Locks.Left
	centre, outerAt := 0.0, vec{}
	for i, d := range []float64{lock.InnerDeg, lock.OuterDeg} {
		sin, cos := math.Sincos(d * deg)
		// The kingpin passes the wheel's own height at y = ±80 (it leans in the side view alone, by the pinion's angle); the hub is 21 mm
		// further out along the wheel's axis, its contact straight below.
		out := float64(1-2*i) * (front.HalfTrack - m.Steer.Lower[0].Y)
		hub := vec{X: base - out*sin, Y: float64(1-2*i)*m.Steer.Lower[0].Y + out*cos}
		centre += (hub.Y + hub.X/math.Tan(d*deg)) / 2
		outerAt = hub.Along(vec{X: sin, Y: -cos}, front.TyreWidth/2)
	}
	want := 2 * outerAt.Sub(vec{Y: centre}).Norm()
	within(t, "turning circle", *lock.TurningCircleMM, want, 8) // caster moves the contacts by some tenths, the wheelbase is rounded
	within(t, "scrub radius", *k.ScrubRadiusMM, 21, 1e-6)
}

// Kingpin geometry by hand: lower ball at height h above the ground and y out, the axis leaning by λ inward and τ to the rear.
func TestKingpinGeometryByHand(t *testing.T) {
	const h, half, radius, y = 45.0, 100.0, 57.0, 82.0
	lambda, tau := 8*deg, 5*deg
	low := vec{Y: y, Z: h - radius}
	up := low.Add(vec{X: -30 * math.Tan(tau), Y: -30 * math.Tan(lambda), Z: 30})
	s := upright()
	s.Upper, s.Lower = pairOf(up), pairOf(low)
	m := model(s)
	m.Axles[solid.Front].TyreRadius = radius
	a := ask(t, m, Options{})
	within(t, "inclination", a.Kingpin.InclinationDeg, 8, 1e-10)
	within(t, "caster", a.Kingpin.CasterDeg, 5, 1e-10)
	out := y + h*math.Tan(lambda) // where the axis meets the ground
	within(t, "scrub radius", *a.Kingpin.ScrubRadiusMM, half-out, 1e-9)
	within(t, "trail", *a.Kingpin.TrailMM, h*math.Tan(tau), 1e-9)
	within(t, "track", *a.Kingpin.TrackMM, 2*out, 1e-9)
}

// The friction moment of a round patch under even pressure, by adding up small pieces: ∫ μp·|r − e| dA. The formula is the root of the
// mean square of |r − e|, so it is never less; √(9/8) = 1.0607 times as much for a patch that turns about its middle, and 1.1013 times
// at the most, for e of 0.65 radii (summed up once with NumPy).
func TestScrubMomentAgainstSum(t *testing.T) {
	const mu, load, width = 0.8, 7.0, 44.0
	for _, offset := range []float64{0, 5, 11, 22, 44, 200} {
		sum, n := 0.0, 0.0
		const steps = 600
		for i := range steps {
			for k := range steps {
				x, y := (float64(i)+0.5)/steps*width-width/2, (float64(k)+0.5)/steps*width-width/2
				if x*x+y*y <= width*width/4 {
					sum += math.Hypot(x-offset, y)
					n++
				}
			}
		}
		exact := mu * load * sum / n
		got := scrubMoment(mu, load, width, offset)
		if got < exact*0.9999 || got > exact*1.1015 {
			t.Errorf("offset %g: %g N·mm, adding up says %g", offset, got, exact)
		}
	}
	within(t, "about its middle", scrubMoment(1, 1, 3, 0)/(3.0/3), math.Sqrt(9.0/8), 1e-12) // ∫ gives μWB/3 = (2/3)μWR
	// Printed: a van's front wheel, 1200 kg of its 2400 kg axle load, patch 250 mm, offset 25 mm, friction 0.58: 594 N·m (Barton &
	// Fieldhouse, Automotive Chassis Engineering, 2018, example E2.1), with √(a²/9 + d²), the mean distance about the middle.
	got := scrubMoment(0.58, 1200*9.81, 250, 25) / 1000
	if got < 594 || got > 1.0607*594 {
		t.Errorf("the van's wheel: %g N·m, printed 594", got)
	}
}

// The servo's torque by virtual work: the work of the servo over a small turn is that of both tyres.
func TestServoTorqueIsVirtualWork(t *testing.T) {
	m := example(t, "bramble", "")
	a := ask(t, m, Options{})
	s := a.Servo
	if s == nil || s.FrictionFrom != "tyre grip" || s.Friction != 0.85 {
		t.Fatalf("servo: %+v", s)
	}
	within(t, "moments", s.KingpinsNMM, 0.85*(s.LeftLoadN+s.RightLoadN)*math.Sqrt(44*44/8.0+s.OffsetMM*s.OffsetMM), 1e-9)
	const h = 0.01 // degrees
	for _, p := range a.Sweep {
		if p.PastStop {
			continue
		}
		at := func(servo float64) Point {
			return ask(t, m, Options{Servo: span(servo)}).Sweep[0]
		}
		lo, hi := at(p.ServoDeg-h), at(p.ServoDeg+h)
		share := s.LeftLoadN / (s.LeftLoadN + s.RightLoadN)
		want := s.KingpinsNMM * (share*(hi.LeftDeg-lo.LeftDeg) + (1-share)*(hi.RightDeg-lo.RightDeg)) / (2 * h)
		within(t, fmt.Sprintf("servo %g°", p.ServoDeg), *p.ServoTorqueNMM, math.Abs(want), 0.006*math.Abs(want)) // caster: about the pin, and about the vertical
		if *p.ServoTorqueNMM > s.NeededNMM+1e-9 {
			t.Errorf("servo %g°: needs %g N·mm, the largest is said to be %g", p.ServoDeg, *p.ServoTorqueNMM, s.NeededNMM)
		}
	}
	within(t, "margin", *s.Margin, 20*9.80665*10/s.NeededNMM, 1e-9) // 20 kgf·cm
}
