package travel

import (
	"math"
	"testing"

	"lowslung/solid"
)

// turnTheCrosses turns the input yoke in n steps and follows the two crosses in space: each cross has two square arms, one in each
// yoke. It returns slowest and fastest output speed over the input's, by central differences of the output angle.
func turnTheCrosses(g, s, b solid.Vec, phase float64, n int) (slow, fast float64) {
	across := func(d solid.Vec) (u, v solid.Vec) {
		u = d.Cross(solid.Vec{X: 0.3, Y: -0.7, Z: 0.65}).Unit()
		return u, d.Cross(u)
	}
	u, v := across(g)
	p, q := across(b)
	output := func(theta float64) float64 {
		arm := u.Scale(math.Cos(theta)).Along(v, math.Sin(theta))
		e1 := arm.Cross(s).Unit() // the shaft yoke's arm is square to both
		sp, cp := math.Sincos(phase)
		e2 := e1.Scale(cp).Along(s.Cross(e1), sp)
		out := e2.Cross(b).Unit()
		return math.Atan2(out.Dot(q), out.Dot(p))
	}
	slow, fast = math.Inf(1), 0
	const h = 1e-5
	for i := range n {
		t := 2 * math.Pi * float64(i) / float64(n)
		speed := math.Abs(math.Remainder(output(t+h)-output(t-h), math.Pi)) / (2 * h)
		slow, fast = min(slow, speed), max(fast, speed)
	}
	return slow, fast
}

func TestEvennessIsWhatTurningTheCrossesShows(t *testing.T) {
	rng := seedOf(t)
	for range 60 { // looking every 0.1° misses the extremes by less than 1e-5 of them
		v := func(spread float64) solid.Vec {
			return solid.Vec{X: 1, Y: spread * rng.NormFloat64(), Z: spread * rng.NormFloat64()}.Unit()
		}
		g, s, b := v(0.15), v(0.15), v(0.15) // joints of up to about 45°
		phase := 2 * math.Pi * rng.Float64()
		slow, fast := turnTheCrosses(g, s, b, phase, 3600)
		got := Evenness(angleBetween(g, s), angleBetween(s, b), phase-twistOf(g, s, b))
		if math.Abs(got-slow) > 1e-5*slow || math.Abs(1/got-fast) > 1e-5*fast {
			t.Fatalf("turning the crosses: %.7f to %.7f; Evenness: %.7f to %.7f", slow, fast, got, 1/got)
		}
	}
}

// Speed variation of one joint: Machinery's Handbook, universal joints (from memory; digits recomputed from cos β).
func TestOneJoint(t *testing.T) {
	for _, c := range []struct{ deg, low, high float64 }{
		{5, .996195, 1.003820}, {10, .984808, 1.015427}, {15, .965926, 1.035276}, {20, .939693, 1.064178}, {25, .906308, 1.103378},
		{30, .866025, 1.154701}, {35, .819152, 1.220775}, {40, .766044, 1.305407}, {45, .707107, 1.414214},
	} {
		got := Evenness(c.deg*deg, 0, 1.234)
		if math.Abs(got-c.low) > 1e-6 || math.Abs(1/got-c.high) > 1e-6 {
			t.Errorf("%g°: %.6f to %.6f, handbook %.6f to %.6f", c.deg, got, 1/got, c.low, c.high)
		}
	}
}

// Two joints: the equivalent single joint. Exact compositions as computed for the same cases independently of this program; the usual
// approximation θ_eq⁴ = θ₁⁴ + θ₂⁴ − 2θ₁²θ₂²cos 2Δ is near them.
func TestTwoJoints(t *testing.T) {
	for _, c := range []struct{ b1, b2, off, exact, rule float64 }{
		{20, 15, 0, 13.384, 13.229}, {20, 20, 90, 27.991, 28.284}, {20, 20, 30, 20.005, 20.000}, {10, 10, 15, 7.204, 7.195},
	} {
		got := math.Acos(Evenness(c.b1*deg, c.b2*deg, c.off*deg)) / deg
		if math.Abs(got-c.exact) > 6e-4 {
			t.Errorf("(%g°, %g°, %g°): equivalent angle %.4f°, expected %.3f°", c.b1, c.b2, c.off, got, c.exact)
		}
		a, b := math.Pow(c.b1, 2), math.Pow(c.b2, 2)
		if rule := math.Pow(a*a+b*b-2*a*b*math.Cos(2*c.off*deg), 0.25); math.Abs(rule-c.rule) > 1e-3 || math.Abs(rule-got) > 0.02*got {
			t.Errorf("the rule of thumb gives %.3f°", rule)
		}
	}
}

func TestShaftByHand(t *testing.T) {
	k := &solid.Shaft{From: solid.Vec{X: -30, Z: 20}, FromAxis: solid.Vec{X: -1}, To: solid.Vec{X: 40}, ToAxis: solid.Vec{X: 1},
		Closed: 90, Open: 120, Overlap: 10, Limit: 30 * deg}
	s := ShaftAt(k, Pose{X: -150, Z: -10})
	// from (−30, 20) to (−110, −10): 80 back and 30 down
	if want := math.Hypot(80, 30); math.Abs(s.Length-want) > 1e-12 {
		t.Errorf("length %g, by hand %g", s.Length, want)
	}
	for k, got := range s.Joint {
		if want := math.Atan2(30, 80); math.Abs(got-want) > 1e-12 {
			t.Errorf("joint %d: %g rad, by hand %g", k, got, want)
		}
	}
	if s.Even < 1-1e-12 {
		t.Errorf("equal joints in one plane and in phase turn unevenly: %g", s.Even)
	}
	in, out, joint := s.Room(k)
	if math.Abs(in-(math.Hypot(80, 30)-90)) > 1e-12 || math.Abs(out-(110-math.Hypot(80, 30))) > 1e-12 || math.Abs(joint-(30*deg-math.Atan2(30, 80))) > 1e-12 {
		t.Errorf("room %g, %g, %g", in, out, joint)
	}
}

func TestSwingOfALink(t *testing.T) {
	l := &solid.Link{From: solid.Vec{}, To: solid.Vec{}, FromBolt: solid.Vec{Y: 1}, ToBolt: solid.Vec{Y: 1}}
	s := SwingAt(l, Pose{X: 100, Y: 100 * math.Tan(12*deg), Roll: 9 * deg})
	if math.Abs(s[0]-12*deg) > 1e-12 {
		t.Errorf("chassis end swings %g°, by hand 12°", s[0]/deg)
	}
	if want := math.Asin(math.Sin(12*deg) * math.Cos(9*deg)); math.Abs(s[1]-want) > 1e-12 {
		t.Errorf("axle end swings %g°, by hand %g°", s[1]/deg, want/deg)
	}
}
