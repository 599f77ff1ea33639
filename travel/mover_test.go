package travel

import (
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"testing"

	"lowslung/finding"
	"lowslung/solid"
)

// seedOf prints the seed of a randomised test and takes it from LOWSLUNG_SEED when that is set.
func seedOf(t testing.TB) *rand.Rand {
	seed := rand.Uint64()
	if s := os.Getenv("LOWSLUNG_SEED"); s != "" {
		v, err := strconv.ParseUint(s, 10, 64)
		if err != nil {
			t.Fatalf("LOWSLUNG_SEED: %v", err)
		}
		seed = v
	}
	t.Logf("seed: LOWSLUNG_SEED=%d", seed)
	return rand.New(rand.NewPCG(seed, 1))
}

// fourLink is a triangulated four-link rear axle standing at (−154, 0, 14), built so that it closes there.
func fourLink() *solid.Model {
	m := &solid.Model{Name: "four links"}
	m.Axles[solid.Rear] = solid.Axle{Present: true, Path: "rear", Near: solid.Vec{X: -154, Z: 14}, TyreRadius: 57, HalfTrack: 100, PinionAxis: solid.Vec{X: 1}, Traction: 1}
	at := solid.Vec{X: -154, Z: 14}
	add := func(name string, side solid.Side, from, to solid.Vec) {
		m.Links = append(m.Links, solid.Link{Name: name, Path: "links/" + name, Side: side, Axle: solid.Rear, From: from, To: to, Length: at.Add(to).Sub(from).Norm()})
	}
	for _, s := range []solid.Side{solid.Left, solid.Right} {
		y := float64(s)
		add("lower", s, solid.Vec{X: -44, Y: 31 * y, Z: 8}, solid.Vec{X: 6, Y: 42 * y, Z: -4})
		add("upper", s, solid.Vec{X: -38, Y: 28 * y, Z: 34}, solid.Vec{X: 2, Y: 8 * y, Z: 26})
	}
	return m
}

func TestRatesAreTheDerivativesOfThePose(t *testing.T) {
	rng := seedOf(t)
	m := fourLink()
	mv := NewMover(m, solid.Rear)
	for range 200 {
		z, roll := 14+40*(rng.Float64()-0.5), 0.5*(rng.Float64()-0.5)
		mv.Jump(mv.Design)
		if !mv.To(z, roll) {
			t.Fatalf("not reached: z %g roll %g", z, roll)
		}
		heave, rollRate, _, ok := mv.Rates()
		if !ok {
			t.Fatal("no rates")
		}
		const h = 1e-4
		for k, want := range []Rate{heave, rollRate} {
			dz, dr := h, 0.0
			if k == 1 {
				dz, dr = 0, h/angleScale
			}
			p := mv.At()
			mv.To(z+dz, roll+dr)
			b := mv.At()
			mv.Jump(p)
			mv.To(z-dz, roll-dr)
			a := mv.At()
			mv.Jump(p)
			d := 1 / (2 * (dz + dr))
			for name, pair := range map[string][2]float64{
				"x": {(b.X - a.X) * d, want.Origin.X}, "y": {(b.Y - a.Y) * d, want.Origin.Y},
				"steer": {(b.Steer - a.Steer) * d, want.Steer}, "spin": {(b.Spin - a.Spin) * d, want.Spin},
			} {
				// central differences of step h carry an error of h² times the third derivative, plus 1e-12/h of rounding
				if math.Abs(pair[0]-pair[1]) > 1e-6*(1+math.Abs(pair[0])) {
					t.Fatalf("rate %d of %s: differences say %.9g, Rates says %.9g", k, name, pair[0], pair[1])
				}
			}
		}
	}
}

func TestShockRatesAreTheDerivativesOfItsLength(t *testing.T) {
	rng := seedOf(t)
	m := fourLink()
	m.Shocks = []solid.Shock{
		{Name: "axle", Axle: solid.Rear, Side: solid.Left, Top: solid.Anchor{Link: -1, At: solid.Vec{X: -120, Y: 38, Z: 96}},
			Bottom: solid.Anchor{Carrier: solid.OnRear, Link: -1, At: solid.Vec{X: -4, Y: 52, Z: 9}}},
		{Name: "link", Axle: solid.Rear, Side: solid.Left, Top: solid.Anchor{Link: -1, At: solid.Vec{X: -90, Y: 38, Z: 96}},
			Bottom: solid.Anchor{Link: 0, Along: 71, Rise: 7}},
	}
	mv := NewMover(m, solid.Rear)
	for range 100 {
		mv.Jump(mv.Design)
		z, roll := 14+30*(rng.Float64()-0.5), 0.4*(rng.Float64()-0.5)
		mv.To(z, roll)
		hr, rr, _, _ := mv.Rates()
		for i := range m.Shocks {
			s := &m.Shocks[i]
			got := StrutAt(m, s, mv.At(), hr, rr)
			const h = 1e-4
			p := mv.At()
			length := func(z, roll float64) float64 {
				mv.To(z, roll)
				l := mv.strut(s)
				mv.Jump(p)
				return l
			}
			perHeave := (length(z+h, roll) - length(z-h, roll)) / (2 * h)
			perRoll := (length(z, roll+h/100) - length(z, roll-h/100)) / (2 * h / 100)
			if math.Abs(perHeave-got.PerHeave) > 1e-6 || math.Abs(perRoll-got.PerRoll) > 1e-4 {
				t.Fatalf("%s: differences say %.9g, %.9g; StrutAt says %.9g, %.9g", s.Name, perHeave, perRoll, got.PerHeave, got.PerRoll)
			}
		}
	}
}

func TestSlopIsWhatALongerLinkDoes(t *testing.T) {
	m := fourLink()
	mv := NewMover(m, solid.Rear)
	_, _, sys, _ := mv.Rates()
	got, ok := sys.Slop(0.1)
	if !ok {
		t.Fatal("no slop")
	}
	var want [4]float64
	for i := range m.Links {
		const h = 1e-4
		side := [2]Pose{}
		for k, d := range []float64{-h, h} {
			c := fourLink()
			c.Links[i].Length += d
			side[k] = NewMover(c, solid.Rear).At()
		}
		want[0] += math.Abs(side[1].X-side[0].X) / (2 * h) * 0.1
		want[1] += math.Abs(side[1].Y-side[0].Y) / (2 * h) * 0.1
		want[2] += math.Abs(side[1].Steer-side[0].Steer) / (2 * h) * 0.1
		want[3] += math.Abs(side[1].Spin-side[0].Spin) / (2 * h) * 0.1
	}
	for k := range want {
		if math.Abs(got[k]-want[k]) > 1e-6*(1+want[k]) {
			t.Errorf("motion %d: links made longer one by one say %.9g, Slop says %.9g", k, want[k], got[k])
		}
	}
}

func sentences(t *testing.T, m *solid.Model) []finding.Finding {
	t.Helper()
	a, err := Assess(m, Options{Axle: "rear"})
	if err != nil {
		t.Fatal(err)
	}
	return a.Findings
}

func wantFinding(t *testing.T, list []finding.Finding, level finding.Level, code, part string) {
	t.Helper()
	for _, f := range list {
		if f.Code == code && f.Level == level && strings.Contains(f.Sentence, part) {
			return
		}
	}
	t.Errorf("no %s %s with %q among:", level, code, part)
	for _, f := range list {
		t.Logf("  %s %s %s", f.Level, f.Code, f.Sentence)
	}
}

func TestThreeLinksLeaveAMotionFree(t *testing.T) {
	m := fourLink()
	m.Links = m.Links[:3] // one upper gone: the axle may turn about the lowers' axle eyes
	wantFinding(t, sentences(t, m), finding.Stop, "travel/too-few-links", "three links hold the rear axle")
	m.Links = m.Links[:2]
	wantFinding(t, sentences(t, m), finding.Stop, "travel/too-few-links", "two links hold")
	m.Links = m.Links[:1]
	wantFinding(t, sentences(t, m), finding.Stop, "travel/too-few-links", "one link holds")
	m.Links = nil
	wantFinding(t, sentences(t, m), finding.Note, "travel/no-links", "No links hold the rear axle")
}

func TestTheMissingTransverseRodIsNamed(t *testing.T) {
	m := fourLink()
	// Lowers and one upper, all in planes along x: nothing holds the axle sideways.
	m.Links = nil
	at := solid.Vec{X: -154, Z: 14}
	for _, k := range []struct{ from, to solid.Vec }{
		{solid.Vec{X: -44, Y: 40, Z: 8}, solid.Vec{X: 6, Y: 40, Z: -4}},
		{solid.Vec{X: -44, Y: -40, Z: 8}, solid.Vec{X: 6, Y: -40, Z: -4}},
		{solid.Vec{X: -38, Z: 34}, solid.Vec{X: 2, Z: 26}},
	} {
		m.Links = append(m.Links, solid.Link{Name: "k", Axle: solid.Rear, From: k.from, To: k.to, Length: at.Add(k.to).Sub(k.from).Norm()})
	}
	wantFinding(t, sentences(t, m), finding.Stop, "travel/too-few-links", "free to move sideways")
}

func TestParallelLinksHoldNothingSideways(t *testing.T) {
	m := fourLink()
	at := solid.Vec{X: -154, Z: 14}
	for i := range m.Links {
		l := &m.Links[i]
		l.To.Y = l.From.Y
		l.Length = at.Add(l.To).Sub(l.From).Norm()
	}
	list := sentences(t, m)
	wantFinding(t, list, finding.Stop, "travel/nothing-holds", "free to move sideways")
}

func TestNearlyParallelLinksAreSaidToHoldNothing(t *testing.T) {
	m := fourLink()
	at := solid.Vec{X: -154, Z: 14}
	for i := range m.Links {
		l := &m.Links[i]
		l.To.Y = l.From.Y * 0.995
		l.Length = at.Add(l.To).Sub(l.From).Norm()
	}
	wantFinding(t, sentences(t, m), finding.Stop, "travel/sideways-play", "Nothing holds the rear axle sideways")
}

func TestFifthLinkBindsByWhatItIsOut(t *testing.T) {
	m := fourLink()
	at := solid.Vec{X: -154, Z: 14}
	from, to := solid.Vec{X: -40, Z: 60}, solid.Vec{X: 0, Z: 40}
	fifth := solid.Link{Name: "fifth", Path: "links/fifth", Axle: solid.Rear, From: from, To: to, Length: at.Add(to).Sub(from).Norm()}
	m.Links = append(m.Links, fifth)
	wantFinding(t, sentences(t, m), finding.Watch, "travel/too-many-links", "they all fit at ride height")
	m.Links[4].Length += 2
	list := sentences(t, m)
	wantFinding(t, list, finding.Watch, "travel/too-many-links", "5 links hold the rear axle where four do")
	a, _ := Assess(m, Options{Axle: "rear"})
	sum := 0.0
	for _, l := range a.Axles.Rear.Design.Links {
		sum += math.Abs(l.StretchMM)
	}
	if sum < 0.5 {
		t.Errorf("a fifth link 2 mm too long stretches the links by only %.3f mm in all", sum)
	}
}

func TestLinksThatDoNotClose(t *testing.T) {
	m := fourLink()
	m.Links[2].Length = 30 // both on one side far too short: no pose has these lengths
	m.Links[0].Length = 200
	wantFinding(t, sentences(t, m), finding.Stop, "travel/links-do-not-close", "cannot be put together")
}

func TestAxleStopsAtFullReachWithoutAJump(t *testing.T) {
	m := fourLink()
	mv := NewMover(m, solid.Rear)
	if mv.To(14-400, 0) {
		t.Fatal("reached 400 mm of droop with links of 110 mm")
	}
	p := mv.At()
	if r := mv.four.Residual(p); r > 1e-9 {
		t.Errorf("stopped at a pose with residual %g mm", r)
	}
	if math.Abs(p.Y) > 1e-6 || math.Abs(p.Steer) > 1e-6 {
		t.Errorf("a symmetric rig left the middle on its way: %+v", p)
	}
	// and the way back ends where it began
	if !mv.To(14, 0) || math.Abs(mv.At().X+154) > 1e-8 || math.Abs(mv.At().Spin) > 1e-9 {
		t.Errorf("came back to %+v", mv.At())
	}
}

func TestDesignPoseMeetsSetLength(t *testing.T) {
	m := fourLink()
	m.Shocks = []solid.Shock{{Name: "rear", Path: "shocks/rear", Axle: solid.Rear, Side: solid.Left, Open: 110, Closed: 70, Set: 92,
		Top: solid.Anchor{Link: -1, At: solid.Vec{X: -120, Y: 38, Z: 96}}, Bottom: solid.Anchor{Carrier: solid.OnRear, Link: -1, At: solid.Vec{X: -4, Y: 52, Z: 9}}}}
	st := StandOf(m)
	mv := st.Movers[solid.Rear]
	if mv.Source != BySet {
		t.Fatalf("source %q", mv.Source)
	}
	mv.Jump(mv.Design)
	if got := mv.strut(&m.Shocks[0]); math.Abs(got-92) > 1e-8 {
		t.Errorf("shock is %.9f mm at the design pose, set says 92", got)
	}
}

func TestRideHeightPutsTheBellyThere(t *testing.T) {
	m := fourLink()
	m.Axles[solid.Rear].HasRide, m.Axles[solid.Rear].Ride = true, 50
	st := StandOf(m)
	if mv := st.Movers[solid.Rear]; mv.Source != ByRide || math.Abs(mv.Design.Z-(57-50)) > 1e-9 {
		t.Errorf("by %q at z %g, expected ride_height at 7", mv.Source, mv.Design.Z)
	}
}

func TestPullStopsWhereTheShockDoes(t *testing.T) {
	m := fourLink()
	m.Shocks = []solid.Shock{{Name: "rear", Path: "shocks/rear", Axle: solid.Rear, Side: solid.Left, Open: 104, Closed: 84, Set: 94,
		Top: solid.Anchor{Link: -1, At: solid.Vec{X: -120, Y: 38, Z: 96}}, Bottom: solid.Anchor{Carrier: solid.OnRear, Link: -1, At: solid.Vec{X: -4, Y: 52, Z: 9}}}}
	st := StandOf(m)
	free, err := Pull(m, st, PullOptions{Axle: "rear", Left: 3, Right: -2})
	if err != nil || free.StoppedBy != "" || math.Abs(free.Left-3) > 1e-9 || math.Abs(free.Right+2) > 1e-9 {
		t.Fatalf("a small pull: %+v, %v", free, err)
	}
	up := 100 * math.Sin(free.Pose.Roll)
	if z := st.Movers[solid.Rear].Design.Z; math.Abs(free.Pose.Z+up-z-3) > 1e-9 || math.Abs(free.Pose.Z-up-z+2) > 1e-9 {
		t.Errorf("wheel bumps do not belong to the pose %+v", free.Pose)
	}
	far, err := Pull(m, st, PullOptions{Axle: "rear", Left: 60, Right: 0})
	if err != nil || !strings.Contains(far.StoppedBy, "left rear shock is fully closed") {
		t.Fatalf("a far pull: stopped by %q, %v", far.StoppedBy, err)
	}
	if l := far.Struts[0].Length; l < 84 || l > 84.01 {
		t.Errorf("stopped with the shock at %.4f mm, closed is 84", l)
	}
}
