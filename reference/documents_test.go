package reference

import (
	"encoding/json"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"

	"lowslung/balance"
	"lowslung/rig"
	"lowslung/solid"
	"lowslung/travel"
)

// Whole documents, from text to answers, against a second reading of the same files (python/document.py merges bases, fills in
// items, multiplies frames, mirrors twins and adds up lengths by itself) and a second mechanics (python/rig_twin.py). Only the
// reading of YAML is shared, with the library that does it.

// fromFolder reads the files of a folder.
func fromFolder(dir string) rig.Source {
	return func(name string) ([]byte, error) { return os.ReadFile(filepath.Join(dir, name)) }
}

func modelOf(t testing.TB, src rig.Source, name string) (*rig.Build, *solid.Model) {
	t.Helper()
	b, err := rig.Load(src, name)
	if err != nil {
		t.Fatal(err)
	}
	m, err := solid.Resolve(b)
	if err != nil {
		t.Fatal(err)
	}
	return b, m
}

type question struct {
	Files map[string]any `json:"files"`
	Name  string         `json:"name"`
	Heave []float64      `json:"heave"`
	Roll  []float64      `json:"roll"`
	Share [2]float64     `json:"share"`
}

type second struct {
	Links []struct {
		Name, Side string
		Eye, Far   [3]float64
		Length     float64
	} `json:"links"`
	Front   secondAxle    `json:"front"`
	Rear    secondAxle    `json:"rear"`
	Balance secondBalance `json:"balance"`
	Belly   float64       `json:"belly"`
}

type secondAxle struct {
	secondPose
	Source     string        `json:"source"`
	Slope      float64       `json:"slope"`
	Anti       float64       `json:"anti"`
	RollCentre float64       `json:"roll_centre"`
	Rest       *[2]float64   `json:"rest"`
	Play       [2]float64    `json:"play"`
	Swings     []*float64    `json:"swings"`
	Grid       []*secondPose `json:"grid"`
}

type secondPose struct {
	Origin     [3]float64   `json:"origin"`
	Turn       solid.Mat    `json:"turn"`
	Steer      float64      `json:"steer"`
	Pinion     float64      `json:"pinion"`
	Shocks     []float64    `json:"shocks"`
	Lean       []float64    `json:"lean"`
	Shafts     [][3]float64 `json:"shafts"` // length, mm; joint angles at gearbox and axle, rad
	Left       float64      `json:"left"`
	Right      float64      `json:"right"`
	Closing    []float64    `json:"closing"` // per mm of heave
	Rolling    []float64    `json:"rolling"` // per degree of roll
	ClosingOff []float64    `json:"closing_spread"`
	RollingOff []float64    `json:"rolling_spread"`
}

type secondBalance struct {
	Mass        float64                          `json:"mass"`
	Sprung      float64                          `json:"sprung"`
	At          [3]float64                       `json:"at"`
	Inertia     [9]float64                       `json:"inertia"`
	Height      float64                          `json:"height"`
	Base        float64                          `json:"base"`
	Pitch       float64                          `json:"pitch"`
	Loads       [4]float64                       `json:"loads"`
	Tips        [4]float64                       `json:"tips"`
	Factor      float64                          `json:"factor"`
	Sensitivity map[string]map[string][4]float64 `json:"sensitivity"`
}

// documents are the demo rigs, the starting point of a new one, and two that say everything about frames that can be said.
func documents(t testing.TB) map[string]rig.Source {
	t.Helper()
	list, err := filepath.Glob("../examples/*.rig.yaml")
	if err != nil || len(list) < 2 {
		t.Fatalf("found %d rigs in ../examples (%v), expected the demo rigs", len(list), err)
	}
	out := map[string]rig.Source{}
	for _, path := range list {
		out[filepath.Base(path)] = fromFolder("../examples")
	}
	for _, name := range []string{"knot-base.rig.yaml", "knot.rig.yaml"} {
		out[name] = fromFolder("testdata")
	}
	out["starter.rig.yaml"] = func(name string) ([]byte, error) {
		if name != "starter.rig.yaml" {
			return nil, fs.ErrNotExist
		}
		return rig.Starter("Starter"), nil
	}
	return out
}

func TestDocumentsAgainstSecondReading(t *testing.T) {
	heave := travel.Span{From: -15, To: 15, Step: 5}
	roll := travel.Span{From: -12, To: 12, Step: 6}
	var asked []question
	var models []*solid.Model
	for name, src := range documents(t) {
		b, m := modelOf(t, src, name)
		q := question{Files: map[string]any{}, Name: name, Heave: heave.Values(), Share: [2]float64{m.Axles[0].Traction, m.Axles[1].Traction}}
		for _, v := range roll.Values() {
			q.Roll = append(q.Roll, v*deg)
		}
		for _, file := range b.Files {
			text, err := src(file)
			if err != nil {
				t.Fatal(err)
			}
			converted, err := yaml.YAMLToJSON(text)
			if err != nil {
				t.Fatal(err)
			}
			q.Files[file] = json.RawMessage(converted)
		}
		asked, models = append(asked, q), append(models, m)
	}
	var answers []second
	twin(t, "rig_twin.py", map[string]any{"documents": asked}, &answers)
	for i, m := range models {
		t.Run(asked[i].Name, func(t *testing.T) {
			compareDocument(t, m, &answers[i], heave, roll)
		})
	}
}

func compareDocument(t *testing.T, m *solid.Model, w *second, heave, roll travel.Span) {
	worst := tally{}
	if len(m.Links) != len(w.Links) {
		t.Fatalf("%d links, twin has %d", len(m.Links), len(w.Links))
	}
	for i, l := range m.Links {
		k := &w.Links[i]
		if l.Name != k.Name || l.Side.String() != k.Side {
			t.Fatalf("link %d is %s %v, twin has %s %s", i, l.Name, l.Side, k.Name, k.Side)
		}
		what := l.Name + " " + l.Side.String()
		for n := range 3 {
			worst.hold(t, "eye, mm", what, three(l.From)[n], k.Eye[n], 1e-10)
			worst.hold(t, "eye, mm", what, three(l.To)[n], k.Far[n], 1e-10)
		}
		worst.hold(t, "length, mm", what, l.Length, k.Length, 1e-10)
	}
	a := travelOf(t, m, travel.Options{Heave: heave, Roll: roll})
	compareAxle(t, worst, "front", a.Axles.Front, &w.Front, heave, roll)
	compareAxle(t, worst, "rear", a.Axles.Rear, &w.Rear, heave, roll)
	given(t, "belly clearance", a.BellyClearanceMM, w.Belly, 1e-6)
	compareBalance(t, worst, m, &w.Balance)
	t.Logf("largest differences %v", worst)
}

func compareAxle(t *testing.T, worst tally, name string, ax *travel.Axle, w *secondAxle, heave, roll travel.Span) {
	t.Helper()
	d := &ax.Design
	if d.Source != w.Source || !d.Solved {
		t.Errorf("%s: design pose by %q, solved %v; twin: by %q", name, d.Source, d.Solved, w.Source)
	}
	worst.hold(t, "design x, mm", name, d.XMM, w.Origin[0], 1e-6)
	worst.hold(t, "design y, mm", name, d.YMM, w.Origin[1], 1e-6)
	worst.hold(t, "design z, mm", name, d.ZMM, w.Origin[2], 1e-6)
	worst.hold(t, "design pinion, °", name, d.PinionAngleDeg, w.Pinion/deg, 1e-6)
	if d.Rates == nil {
		t.Fatalf("%s: no rates at the design pose", name)
	}
	worst.hold(t, "side slope by link forces", name, d.Rates.SideSlope, w.Slope, 1e-8)
	anti := d.Rates.AntiSquatPct
	if name == "front" {
		anti = d.Rates.AntiLiftPct
	}
	if anti == nil {
		t.Fatalf("%s: no anti-squat or anti-lift", name)
	}
	worst.hold(t, "anti-squat by link forces, %", name, *anti, w.Anti, 1e-6)
	if d.Rates.RollCenterHeightMM == nil {
		t.Fatalf("%s: no roll centre", name)
	}
	worst.hold(t, "roll centre by link forces, mm", name, *d.Rates.RollCenterHeightMM, w.RollCentre, 1e-6)
	if d.Rates.PlayLateralMM == nil || d.Rates.PlaySteerDeg == nil || (d.Rates.InstantCenterXMM == nil) != (w.Rest == nil) {
		t.Fatalf("%s: no play, or an instant centre in one program only", name)
	}
	worst.hold(t, "sideways play, mm", name, *d.Rates.PlayLateralMM, w.Play[0], 1e-6)
	worst.hold(t, "steering play, °", name, *d.Rates.PlaySteerDeg, w.Play[1]/deg, 1e-6)
	if w.Rest != nil { // far away when the axle hardly turns: then good to the rate's 1e-9 over it, which is the distance
		far := 1e-7 * (1 + math.Hypot(w.Rest[0], w.Rest[1])/100) * (1 + math.Hypot(w.Rest[0], w.Rest[1])/100)
		worst.hold(t, "instant centre, mm", name, *d.Rates.InstantCenterXMM, w.Rest[0], far)
		worst.hold(t, "instant centre, mm", name, *d.Rates.InstantCenterZMM, w.Rest[1], far)
	}
	compareSwings(t, worst, name, ax, w)

	at := map[[2]float64]*travel.AxlePose{}
	for i := range ax.Poses {
		at[[2]float64{ax.Poses[i].HeaveMM, ax.Poses[i].RollDeg}] = &ax.Poses[i]
	}
	n := 0
	for _, h := range heave.Values() {
		for _, r := range roll.Values() {
			want, got := w.Grid[n], at[[2]float64{h, r}]
			n++
			what := fmt.Sprintf("%s, heave %g, roll %g", name, h, r)
			if want == nil || got == nil {
				if (want == nil) != (got == nil) {
					t.Errorf("%s: reached here: %v, by the twin: %v", what, got != nil, want != nil)
				}
				continue
			}
			worst.hold(t, "x, mm", what, got.XMM, want.Origin[0], 1e-6)
			worst.hold(t, "y, mm", what, got.YMM, want.Origin[1], 1e-6)
			worst.hold(t, "z, mm", what, got.ZMM, want.Origin[2], 1e-6)
			p := travel.Pose{Steer: got.SteerDeg * deg, Roll: got.RollDeg * deg, Spin: got.SpinDeg * deg}
			worst.hold(t, "turn, °", what, apart(p.Turn(), want.Turn)/deg, 0, 1e-6)
			worst.hold(t, "steer, °", what, got.SteerDeg, want.Steer/deg, 1e-6)
			worst.hold(t, "pinion, °", what, got.PinionAngleDeg, want.Pinion/deg, 1e-6)
			worst.hold(t, "pinion change, °", what, got.PinionChangeDeg, (want.Pinion-w.Pinion)/deg, 1e-6)
			given(t, what+", left wheel", got.LeftWheelZMM, want.Left, 1e-6)
			given(t, what+", right wheel", got.RightWheelZMM, want.Right, 1e-6)
			if len(got.Shafts) != len(want.Shafts) {
				t.Fatalf("%s: %d shafts, twin has %d", what, len(got.Shafts), len(want.Shafts))
			}
			for k, s := range got.Shafts {
				worst.hold(t, "shaft, mm", what, s.LengthMM, want.Shafts[k][0], 1e-6)
				worst.hold(t, "joint, °", what, s.GearboxJointDeg, want.Shafts[k][1]/deg, 1e-6)
				worst.hold(t, "joint, °", what, s.AxleJointDeg, want.Shafts[k][2]/deg, 1e-6)
			}
			for k, s := range got.Shocks {
				worst.hold(t, "shock, mm", what, s.LengthMM, want.Shocks[k], 1e-6)
				worst.hold(t, "shock lean, °", what, s.LeanSideDeg, want.Lean[k]/deg, 1e-6)
				worst.hold(t, "motion ratio", what, s.MotionRatio, want.Closing[k], 1e-8+want.ClosingOff[k]/50)
				worst.hold(t, "shock per roll, mm/°", what, s.RollRateMMPerDeg, want.Rolling[k], 1e-8+want.RollingOff[k]/50)
			}
		}
	}
}

// compareSwings looks at the rod ends at the design pose; those whose bolt has no direction are not told.
func compareSwings(t *testing.T, worst tally, name string, ax *travel.Axle, w *secondAxle) {
	t.Helper()
	told := 0
	for k, want := range w.Swings {
		link := &ax.Design.Links[k/2]
		end := []string{"chassis", "axle"}[k%2]
		for _, r := range ax.RodEnds {
			if r.Link == link.Name && r.Side == link.Side && r.End == end {
				told++
				if want == nil {
					t.Errorf("%s %s, %s end: a swing without a bolt", link.Name, link.Side, end)
					continue
				}
				worst.hold(t, "rod end, °", name+" "+link.Name, r.DesignDeg, *want/deg, 1e-6)
			}
		}
	}
	if told != len(ax.RodEnds) {
		t.Errorf("%s: %d rod ends, %d of them compared", name, len(ax.RodEnds), told)
	}
}

func compareBalance(t *testing.T, worst tally, m *solid.Model, w *secondBalance) {
	t.Helper()
	b := balanceOf(t, m)
	worst.hold(t, "mass, kg", "balance", b.MassKG, w.Mass, 1e-12)
	worst.hold(t, "sprung mass, kg", "balance", b.SprungMassKG, w.Sprung, 1e-12)
	for k := range 3 {
		worst.hold(t, "centre of mass, mm", "balance", b.CenterOfMassMM[k], w.At[k], 1e-7)
	}
	for k, at := range [6]int{0, 4, 8, 1, 2, 5} { // xx, yy, zz, xy, xz, yz
		worst.hold(t, "inertia, kg·mm²", fmt.Sprintf("balance %d", k), b.InertiaKGMM2[k], w.Inertia[at], 1e-6*w.Inertia[8])
	}
	given(t, "height", b.CenterOfMassHeightMM, w.Height, 1e-6)
	given(t, "wheelbase", b.WheelbaseMM, w.Base, 1e-6)
	given(t, "pitch", b.GroundPitchDeg, w.Pitch/deg, 1e-7)
	given(t, "static stability factor", b.StaticStability, w.Factor, 1e-8)
	if b.CornerLoadsN == nil || b.TipSideDeg == nil {
		t.Fatal("no loads or tip angles")
	}
	c := b.CornerLoadsN
	for k, v := range [4]float64{c.FrontLeft, c.FrontRight, c.RearLeft, c.RearRight} {
		worst.hold(t, "corner load, N", fmt.Sprintf("wheel %d", k), v, w.Loads[k], 1e-7)
	}
	given(t, "front share", b.FrontShare, (w.Loads[0]+w.Loads[1])/(w.Mass*9.80665), 1e-8)
	// Tip angles of the twin are found by halving until non-negative loads (NNLS, residual 1e-9 of 100 mm) no longer exist.
	const tip = 1e-5 // degrees
	for k, v := range [4]float64{b.TipSideDeg.Left, b.TipSideDeg.Right, *b.TipNoseUpDeg, *b.TipNoseDownDeg} {
		worst.hold(t, "tip angle, °", fmt.Sprintf("edge %d", k), v, w.Tips[k]/deg, tip)
	}
	seen := 0
	for _, s := range b.Sensitivity {
		want, ok := w.Sensitivity[strings.Replace(s.Path, "/parts/", "/", 1)]
		if !ok {
			continue
		}
		seen++
		for key, got := range map[string]balance.Angles{"add_10_g": s.Add10G, "forward_5_mm": s.Forward5MM, "down_5_mm": s.Down5MM, "left_5_mm": s.Left5MM} {
			v, ok := want[key]
			if !ok { // a pair keeps its middle
				v = [4]float64{}
			}
			for k, x := range [4]float64{got.Left, got.Right, got.NoseUp, got.NoseDown} {
				worst.hold(t, "sensitivity, °", s.Path+" "+key, x, v[k]/deg, 2*tip)
			}
		}
	}
	if seen != len(w.Sensitivity) {
		t.Errorf("%d of %d parts found among the sensitivities", seen, len(w.Sensitivity))
	}
}
