package steer

import (
	"encoding/json"
	"fmt"
	"io/fs"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"lowslung/finding"
	"lowslung/rig"
	"lowslung/solid"
	"lowslung/travel"
)

// example resolves a demo rig, or a patch of one written here.
func example(t testing.TB, name, patch string) *solid.Model {
	t.Helper()
	files := os.DirFS("../examples")
	file := name + ".rig.yaml"
	src := func(n string) ([]byte, error) {
		if n == "it.rig.yaml" {
			return []byte("lowslung: 1\nbase: " + name + ".rig.yaml\n" + patch), nil
		}
		return fs.ReadFile(files, n)
	}
	if patch != "" {
		file = "it.rig.yaml"
	}
	b, err := rig.Load(src, file)
	if err != nil {
		t.Fatal(err)
	}
	m, err := solid.Resolve(b)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func ask(t testing.TB, m *solid.Model, o Options) Answer {
	t.Helper()
	a, err := Assess(m, o)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := json.Marshal(a); err != nil {
		t.Fatalf("an answer that is no number: %v", err)
	}
	return a
}

func find(a Answer, code string) *finding.Finding {
	for i := range a.Findings {
		if a.Findings[i].Code == code {
			return &a.Findings[i]
		}
	}
	return nil
}

func within(t testing.TB, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.12g, want %.12g ± %.1g", what, got, want, tol)
	}
}

var demos = []string{"bramble", "bramble-portal", "gully"}

// The demo rigs reach their lock on both sides without a dead centre, and what the answer says of a lock is what the sweep says at
// that servo angle.
func TestDemoRigsReachTheirLock(t *testing.T) {
	for _, name := range demos {
		m := example(t, name, "")
		a := ask(t, m, Options{})
		for side, k := range map[string]*Lock{"left": &a.Locks.Left, "right": &a.Locks.Right} {
			if k.SetBy != byStop {
				t.Errorf("%s, %s: set by %s", name, side, k.SetBy)
			}
			within(t, name+" "+side+" lock", k.InnerDeg, m.Steer.Lock/deg, 1e-7)
			one := ask(t, m, Options{Servo: travel.Span{From: k.ServoDeg, To: k.ServoDeg, Step: 1}})
			if len(one.Sweep) != 1 {
				t.Fatalf("%s: servo %g not reached", name, k.ServoDeg)
			}
			p := one.Sweep[0]
			inner, outer := p.LeftDeg, p.RightDeg
			if side == "right" {
				inner, outer = -p.RightDeg, -p.LeftDeg
			}
			within(t, name+" inner in the sweep", inner, k.InnerDeg, 1e-7)
			within(t, name+" outer in the sweep", outer, k.OuterDeg, 1e-7)
			within(t, name+" left knuckle in the sweep", p.LeftKnuckleDeg, k.LeftKnuckleDeg, 1e-7)
			within(t, name+" right knuckle in the sweep", p.RightKnuckleDeg, k.RightKnuckleDeg, 1e-7)
			// The wheel's axis turned about the kingpin by the knuckle's angle (Rodrigues) heads where the wheel does, but for the axle's
			// own pitch, which is a few degrees and tilts the kingpin with it.
			for i, turned := range [2][2]float64{{p.LeftKnuckleDeg, p.LeftDeg}, {p.RightKnuckleDeg, p.RightDeg}} {
				pin, y := m.Steer.Upper[i].Sub(m.Steer.Lower[i]).Unit(), solid.Vec{Y: 1}
				s, c := math.Sincos(turned[0] * deg)
				axis := y.Scale(c).Add(pin.Cross(y).Scale(s)).Along(pin, pin.Dot(y)*(1-c))
				within(t, name+" heading by the knuckle", math.Atan2(-axis.X, axis.Y)/deg, turned[1], 3)
			}
			within(t, name+" circle in the sweep", *p.TurningCircleMM, *k.TurningCircleMM, 1e-6)
		}
		if f := find(a, "steer/binds-in-travel"); f != nil {
			t.Errorf("%s: %s", name, f.Sentence)
		}
	}
}

func TestBadAndPartialSteering(t *testing.T) {
	for _, c := range []struct {
		name, patch string
		want        string // a code that must be there
		level       finding.Level
		middle      bool // whether wheel angles come out all the same
	}{
		{"no steer", "steer: null\n", "steer/no-steer", finding.Note, false},
		{"no kingpin", "steer: {kingpin: null}\n", "steer/lacks", finding.Note, false},
		{"no arm", "steer: {arm: null}\n", "steer/lacks", finding.Note, false},
		{"no horn", "steer: {horn: null}\n", "steer/lacks-servo", finding.Note, true},
		{"no servo", "steer: {servo: null}\n", "steer/lacks-servo", finding.Note, true},
		{"no drag link", "steer: {drag_link: null}\n", "steer/lacks-servo", finding.Note, true},
		{"no travel", "steer: {horn: {travel: null}}\n", "steer/servo-travel-assumed", finding.Note, true},
		{"no lock", "steer: {lock: null}\n", "steer/no-lock", finding.Note, true},
		{"kingpin lies down", "steer: {kingpin: {upper: [0, 95, 3], lower: [0, 70, -3]}}\n", "steer/kingpin-lies-down", finding.Stop, false},
		{"right kingpin", "steer: {kingpin: {upper: [0, -80, 13], lower: [0, -80, -13]}}\n", "steer/kingpin-on-the-right", finding.Stop, false},
		{"arm on the kingpin", "steer: {arm: [0, 80.2, 4]}\n", "steer/arm-on-kingpin", finding.Stop, false},
		{"drag link's eye on the kingpin", "steer: {drag_link: {to: [0.1, -80, 4]}}\n", "steer/arm-on-kingpin", finding.Stop, true},
		{"arms meet in the middle", "steer: {arm: [20, 0, 4]}\n", "steer/no-tie-rod", finding.Stop, false},
		{"horn without an arm", "steer: {horn: {eye: [60, 10, 0]}}\n", "steer/horn-without-arm", finding.Stop, true},
		{"tie rod too long", "steer: {tie_rod: 230}\n", "steer/tie-rod-does-not-fit", finding.Stop, false},
		{"tie rod off", "steer: {tie_rod: 170}\n", "steer/toe", finding.Watch, true},
		{"drag link too long", "steer: {drag_link: {length: 160, rod: null, ends: null, turns: null}}\n", "steer/drag-link-does-not-fit", finding.Stop, true},
		{"drag link off", "steer: {drag_link: {length: 104, rod: null, ends: null, turns: null}}\n", "steer/off-centre", finding.Watch, true},
		{"horn in line with the drag link", "steer: {horn: {eye: [24, -9, -5]}, drag_link: {rod: null, ends: null, turns: null}}\n", "steer/horn-over-centre", finding.Watch, true},
		{"horn far too long", "steer: {horn: {eye: [24, 10, -60]}, lock: null}\n", "steer/over-centre", finding.Stop, true},
		{"short horn", "steer: {horn: {eye: [24, 10, -12]}}\n", "steer/lock-not-reached", finding.Watch, true},
		{"eye in the middle", "steer: {drag_link: {to: [20, -20, 8]}}\n", "steer/drag-link-on", finding.Watch, true},
		{"weak servo", "chassis: {parts: {servo: {servo: {torque: 0.2 N·m}}}}\n", "steer/servo-weak", finding.Watch, true},
		{"steep drag link", "steer: {drag_link: {to: [20, -83, -8]}}\n", "steer/bump-steer", finding.Watch, true},
	} {
		a := ask(t, example(t, "bramble", c.patch), Options{})
		f := find(a, c.want)
		if f == nil {
			var have []string
			for _, f := range a.Findings {
				have = append(have, f.Code)
			}
			t.Errorf("%s: no %s among %v", c.name, c.want, have)
			continue
		}
		if f.Level != c.level {
			t.Errorf("%s: level %s, expected %s", c.name, f.Level, c.level)
		}
		if f.Level == finding.Stop && f.Cure == "" {
			t.Errorf("%s: %q has no cure", c.name, f.Sentence)
		}
		if (a.Middle != nil) != c.middle || (a.Locks != nil) != c.middle {
			t.Errorf("%s: middle %v, locks %v", c.name, a.Middle, a.Locks)
		}
		if strings.Contains(f.Sentence+f.Cure, "NaN") || strings.Contains(f.Sentence+f.Cure, "Inf") {
			t.Errorf("%s: %s", c.name, f.Sentence)
		}
	}
}

// What a finding says would cure it does.
func TestCuresCure(t *testing.T) {
	st := func(m *solid.Model) *travel.Stand { return travel.StandOf(m) }
	const fit = "rod: null, ends: null, turns: null" // the drag link that fits
	m := example(t, "bramble", "steer: {drag_link: {to: [20, -83, -8], "+fit+"}}\n")
	s := st(m)
	l, _ := Compile(m, s, 0)
	b := newBench(m, s, l)
	dz, ok := b.levelLink(s)
	if !ok {
		t.Fatal("no height of the servo without bump steer was found")
	}
	at := example(t, "bramble", fmt.Sprintf("chassis: {parts: {servo: {at: [164, 2, %.6f]}}}\nsteer: {drag_link: {to: [20, -83, -8], "+fit+"}}\n", 53+dz))
	within(t, "bump steer with the servo moved, °/mm", ask(t, at, Options{}).Bumps.PerHeave, 0, 1e-5)

	m = example(t, "bramble", "steer: {horn: {eye: [24, 10, -17]}, drag_link: {"+fit+"}}\n")
	a := ask(t, m, Options{})
	var radius, was float64
	if f := find(a, "steer/lock-not-reached"); f == nil {
		t.Fatal("a horn of 17 mm reaches the lock")
	} else if _, err := fmt.Sscanf(f.Cure, "a horn of %f mm instead of %f mm", &radius, &was); err != nil {
		t.Fatalf("%v in %q", err, f.Cure)
	}
	within(t, "horn before", was, 17, 1e-9)
	for r, reached := range map[float64]bool{radius + 0.1: true, radius - 0.2: false} {
		a = ask(t, example(t, "bramble", fmt.Sprintf("steer: {horn: {eye: [24, 10, %g]}, drag_link: {"+fit+"}}\n", -r)), Options{})
		if got := a.Locks.Left.SetBy == byStop && a.Locks.Right.SetBy == byStop; got != reached {
			t.Errorf("horn of %.2f mm: lock reached %v, expected %v", r, got, reached)
		}
	}

	m = example(t, "bramble", "steer: {arm: [20, 74, 4], tie_rod: null}\n")
	s = st(m)
	l, _ = Compile(m, s, 0)
	b = newBench(m, s, l)
	dy, ok := b.armFor(s)
	if !ok || dy <= 0 {
		t.Fatalf("arms that lean inward ahead of the axle: %g mm, %v", dy, ok)
	}
	a = ask(t, example(t, "bramble", fmt.Sprintf("steer: {arm: [20, %g, 4], tie_rod: null}\n", 74+dy)), Options{})
	within(t, "Ackermann error with the arms moved", *meanOf(a.Locks.Left.AckermannOffDeg, a.Locks.Right.AckermannOffDeg), 0, 0.05)

	m = example(t, "bramble", "steer: {drag_link: {length: 104, rod: null, ends: null, turns: null}}\n")
	a = ask(t, m, Options{})
	var fits float64
	if _, err := fmt.Sscanf(find(a, "steer/off-centre").Cure, "set the drag link to %f mm", &fits); err != nil {
		t.Fatal(err)
	}
	a = ask(t, example(t, "bramble", fmt.Sprintf("steer: {drag_link: {length: %g, rod: null, ends: null, turns: null}}\n", fits)), Options{})
	within(t, "steer angle with the drag link set", (a.Middle.LeftDeg+a.Middle.RightDeg)/2, 0, 0.3) // printed to 0.1 mm
}

// Any steer block, however wild, gets an answer without a number that is none.
func TestWildSteering(t *testing.T) {
	base := example(t, "bramble", "")
	seed := uint64(20)
	rng := rand.New(rand.NewPCG(seed, 1))
	sizes := []float64{0, 1e-9, 0.3, 5, 30, 100, 1e5}
	some := func(v float64) float64 {
		if rng.IntN(3) > 0 {
			return v
		}
		return (2*rng.Float64() - 1) * sizes[rng.IntN(len(sizes))]
	}
	wild := func(v solid.Vec) solid.Vec { return solid.Vec{X: some(v.X), Y: some(v.Y), Z: some(v.Z)} }
	for i := range 600 {
		m := *base
		s := &m.Steer
		u, l, a := wild(s.Upper[0]), wild(s.Lower[0]), wild(s.Arm[0])
		s.Upper, s.Lower, s.Arm = [2]solid.Vec{u, u.Flip()}, [2]solid.Vec{l, l.Flip()}, [2]solid.Vec{a, a.Flip()}
		s.DragTo, s.HornAt, s.HornEye = wild(s.DragTo), wild(s.HornAt), wild(s.HornEye)
		s.HornAxis = wild(s.HornAxis).Unit()
		s.DragOn = solid.DragEnd(rng.IntN(3))
		s.Carrier = solid.Carrier(rng.IntN(3))
		s.TieRod, s.Drag, s.HornTravel, s.Lock = math.Abs(some(0)), math.Abs(some(0)), math.Abs(some(0.7)), math.Abs(some(0.6))
		ans, err := Assess(&m, Options{})
		if err != nil {
			t.Fatalf("%d: %v", i, err)
		}
		if _, err := json.Marshal(ans); err != nil {
			t.Fatalf("seed %d, %d: %v\n%+v", seed, i, err, m.Steer)
		}
	}
}

func TestOptions(t *testing.T) {
	for text, want := range map[string]string{
		"up": "servo: found", "-200:200:10": "servo: found -200:200:10, expected degrees", "10:-10:1": "ends before it starts",
		"-170:170:0.01": "expected at most",
	} {
		if _, err := ParseOptions(text, "", "", 0); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: said %v, expected %q in it", text, err, want)
		}
	}
	if _, err := ParseOptions("", "-100:100:0.5", "-40:40:0.2", 0); err == nil || !strings.Contains(err.Error(), "poses") {
		t.Errorf("a grid of 160 000 poses: %v", err)
	}
	m := example(t, "bramble", "")
	o, err := ParseOptions("-40:40:5", "-10:10:10", "0", 0)
	if err != nil {
		t.Fatal(err)
	}
	a := ask(t, m, o)
	if len(a.Sweep) != 17 || a.Sweep[0].ServoDeg != -40 || math.Abs(a.Sweep[16].ServoDeg-40) > 1e-12 || len(a.Bumps.Poses) != 3 {
		t.Errorf("%d servo angles, %d poses", len(a.Sweep), len(a.Bumps.Poses))
	}
}

func BenchmarkAssess(b *testing.B) {
	for _, name := range demos {
		m := example(b, name, "")
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Assess(m, Options{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func span(at float64) travel.Span { return travel.Span{From: at, To: at, Step: 1} }

// The horn is written in the servo's frame: Bramble's servo is not turned; turned left by a right angle, its x points left.
func TestHornIsPlacedInTheServosFrame(t *testing.T) {
	s := example(t, "bramble", "").Steer
	straight := [3]solid.Vec{{X: 164 + 22, Y: 2 + 10, Z: 53}, {X: 1}, {X: 164 + 24, Y: 2 + 10, Z: 53 - 22}}
	s90 := example(t, "bramble", "chassis: {parts: {servo: {turn: [0, 0, 90]}}}\n").Steer
	turned := [3]solid.Vec{{X: 164 - 10, Y: 2 + 22, Z: 53}, {Y: 1}, {X: 164 - 10, Y: 2 + 24, Z: 53 - 22}}
	for i, want := range [][3]solid.Vec{straight, turned} {
		got := []solid.Steer{s, s90}[i]
		for k, v := range []solid.Vec{got.HornAt, got.HornAxis, got.HornEye} {
			if v.Sub(want[k]).Norm() > 1e-9 {
				t.Errorf("servo %d, point %d: %v, expected %v", i, k, v, want[k])
			}
		}
	}
	within(t, "working length of the horn", s.HornRadius(), 22, 1e-12)
	within(t, "rating", s.Torque, 20*98.0665, 1e-9) // kgf·cm
	if s.Carrier != solid.OnChassis || s.DragOn != solid.OnRightKnuckle || s.DragSet {
		t.Errorf("carrier %d, drag link on %d, written %v", s.Carrier, s.DragOn, s.DragSet)
	}
	if g := example(t, "gully", "").Steer; g.Carrier != solid.OnFront {
		t.Errorf("Gully's servo is on carrier %d, expected the front axle", g.Carrier)
	}
}

// A longer tie rod ahead of the axle pushes the eyes outward, and with them the fronts of the wheels: toe-out. Behind it toe-in.
func TestToeSigns(t *testing.T) {
	for arm, sign := range map[string]float64{"[20, 83, 4]": -1, "[-20, 77, 4]": 1} {
		a := ask(t, example(t, "bramble", "steer: {arm: "+arm+", tie_rod: "+map[float64]string{-1: "168", 1: "156"}[sign]+"}\n"), Options{})
		// Each eye is 1 mm out, so that both arms of 20 turn by about 1/20 rad.
		within(t, "toe-in with the arm at "+arm, a.Middle.ToeInDeg, sign*2/20.0/deg, 0.6)
	}
}

// The share of the servo's travel, and which poses the shocks do not allow, against travel's own answer.
func TestSharesAndShocks(t *testing.T) {
	m := example(t, "bramble", "")
	a := ask(t, m, Options{})
	within(t, "share left", *a.Locks.Left.ServoShare, math.Abs(a.Locks.Left.ServoDeg)/42, 1e-9) // travel: 42
	within(t, "share right", *a.Locks.Right.ServoShare, math.Abs(a.Locks.Right.ServoDeg)/42, 1e-9)
	tr, err := travel.Assess(m, travel.Options{Axle: "front"})
	if err != nil {
		t.Fatal(err)
	}
	poses := tr.Axles.Front.Poses
	if len(poses) != len(a.Bumps.Poses) {
		t.Fatalf("%d poses, travel has %d", len(a.Bumps.Poses), len(poses))
	}
	atRide := 0.0
	for _, p := range poses {
		if p.HeaveMM == 0 && p.RollDeg == 0 {
			atRide = p.SteerDeg
		}
	}
	allowed := 0
	lo, hi := math.Inf(1), math.Inf(-1)
	for i, p := range poses {
		q := a.Bumps.Poses[i]
		beyond := false
		for _, s := range p.Shocks {
			beyond = beyond || *s.StrokeLeftMM < 0 || *s.DroopLeftMM < 0
		}
		if q.HeaveMM != p.HeaveMM || math.Abs(q.RollDeg-p.RollDeg) > 1e-12 || q.BeyondShocks != beyond {
			t.Errorf("pose %d: heave %g, roll %g, beyond the shocks %v; travel has %g, %g, %v", i, q.HeaveMM, q.RollDeg, q.BeyondShocks, p.HeaveMM, p.RollDeg, beyond)
		}
		within(t, "axle steer", q.AxleSteerDeg, p.SteerDeg-atRide, 1e-9)
		if !beyond {
			allowed++
		}
		if !beyond && q.RollDeg == 0 {
			lo, hi = min(lo, q.ChangeDeg), max(hi, q.ChangeDeg)
		}
	}
	if allowed == 0 || allowed == len(poses) || a.Bumps.Tried != allowed {
		t.Errorf("%d of %d poses allowed, %d tried", allowed, len(poses), a.Bumps.Tried)
	}
	within(t, "swing", a.Bumps.SwingDeg, hi-lo, 1e-12)
}
