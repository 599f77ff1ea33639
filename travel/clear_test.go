package travel

import (
	"io/fs"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"lowslung/finding"
	"lowslung/rig"
	"lowslung/solid"
)

// demo is one of the demo rigs.
func demo(t testing.TB, name string) *solid.Model {
	t.Helper()
	files := os.DirFS("../examples")
	b, err := rig.Load(func(n string) ([]byte, error) { return fs.ReadFile(files, n) }, name+".rig.yaml")
	if err != nil {
		t.Fatal(err)
	}
	m, err := solid.Resolve(b)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

var demos = []string{"bramble", "gully", "bramble-portal"}

// sprung is fourLink with upright shocks of 60 mm at the design pose that leave about 20 mm either way, and bodies.
func sprung(bodies ...solid.Body) *solid.Model {
	m := fourLink()
	for _, s := range []solid.Side{solid.Left, solid.Right} {
		y := 60 * float64(s)
		m.Shocks = append(m.Shocks, solid.Shock{Name: "rear", Path: "shocks/rear", Side: s, Axle: solid.Rear, Open: 80, Closed: 40, Width: 1,
			Top:    solid.Anchor{Link: -1, At: solid.Vec{X: -154, Y: y, Z: 74}, Hole: "tower/shock"},
			Bottom: solid.Anchor{Carrier: solid.OnRear, Link: -1, At: solid.Vec{Y: y}, Hole: "axle/shock"}})
	}
	m.Bodies = bodies
	return m
}

func body(name string, carrier solid.Carrier, shapes ...solid.Shape) solid.Body {
	path := "chassis/parts/" + name
	if carrier != solid.OnChassis {
		path = solid.End(carrier-1).String() + "/parts/" + name
	}
	return solid.Body{Name: name, Path: path, Carrier: carrier, Shapes: shapes}
}

func ballAt(at solid.Vec, d float64) solid.Shape {
	return solid.Shape{Kind: solid.Capsule, Frame: solid.Frame{At: at, R: solid.Identity}, Size: solid.Vec{Y: d, Z: d}}
}

func boxAt(at solid.Vec, x, y, z float64) solid.Shape {
	return solid.Shape{Kind: solid.Box, Frame: solid.Frame{At: at, R: solid.Identity}, Size: solid.Vec{X: x, Y: y, Z: z}}
}

func findingOf(list []finding.Finding, code string) *finding.Finding {
	for i := range list {
		if list[i].Code == code {
			return &list[i]
		}
	}
	return nil
}

// A ball on the axle's origin under a level plate: the gap is a matter of heave alone, so the first contact is known exactly, and with
// it the end of bump.
func TestFirstContactByHand(t *testing.T) {
	const plate, thick, ball = 36.0, 2.0, 12.0 // height of the plate's middle, its thickness, the ball's diameter
	m := sprung(body("floor", solid.OnChassis, boxAt(solid.Vec{X: -154, Z: plate}, 40, 4, thick)),
		body("housing", solid.OnRear, ballAt(solid.Vec{}, ball)))
	a, err := Assess(m, Options{Axle: "rear"})
	if err != nil {
		t.Fatal(err)
	}
	want := plate - thick/2 - ball/2 - 14 // the axle stands at z 14
	var k *Clearance
	for i := range a.Clearances {
		if strings.Contains(a.Clearances[i].A+a.Clearances[i].B, "floor") && strings.Contains(a.Clearances[i].A+a.Clearances[i].B, "housing") {
			k = &a.Clearances[i]
		}
	}
	if k == nil || !k.Touching || k.GapMM != 0 || math.Abs(k.HeaveMM-want) > 2*clearTouch || k.RollDeg != 0 || k.LeftMM != k.RightMM {
		t.Fatalf("%+v, expected contact at heave %g", k, want)
	}
	if at := (solid.Vec{X: k.AtA[0], Y: k.AtA[1], Z: k.AtA[2]}); math.Abs(at.Z-(plate-thick/2)) > 0.02 || math.Abs(at.Y) > 0.02 {
		t.Errorf("contact at %v", at)
	}
	f := findingOf(a.Findings, "travel/contact")
	if f == nil || f.Level != finding.Stop || !strings.Contains(f.Sentence, "both rear wheels up by 15.0 mm") || len(f.About) != 2 || f.Cure == "" {
		t.Errorf("finding %+v", f)
	}
	if l := a.Axles.Rear.Limits; math.Abs(l.BumpMM-want) > 2*reachTol || l.BumpEndedBy != "the floor touches the housing" {
		t.Errorf("bump %.3f until %s, expected %g until they touch", l.BumpMM, l.BumpEndedBy, want)
	}
	for _, g := range a.Axles.Rear.Limits.Gains {
		if g.Way == "bump" && (len(g.Needs) == 0 || g.Needs[0].EndedBy != "the floor touches the housing" || math.Abs(g.Needs[0].By-wishMore) > 0.02) {
			t.Errorf("5 mm more bump takes %+v", g.Needs)
		}
	}
	if findingOf(a.Findings, "travel/stopped-by-contact") != nil {
		t.Error("contact is told twice")
	}
	p, err := Pull(m, StandOf(m), PullOptions{Axle: "rear", Left: 40, Right: 40})
	if err != nil || math.Abs(p.Left-want) > 2*reachTol || p.StoppedBy != "the floor touches the housing" {
		t.Errorf("pulled to %.3f, %q, %v; expected %g", p.Left, p.StoppedBy, err, want)
	}
}

// The same with a tyre is a thing to watch; and so is contact that takes one wheel up and the other down.
func TestContactLevels(t *testing.T) {
	tyre := func(y float64) solid.Shape {
		return solid.Shape{Kind: solid.Disc, Frame: solid.Frame{At: solid.Vec{Y: y}, R: solid.Identity}, Size: solid.Vec{X: 114, Y: 40, Z: 114}}
	}
	assess := func(m *solid.Model) (Answer, *finding.Finding) {
		t.Helper()
		a, err := Assess(m, Options{Axle: "rear"})
		if err != nil {
			t.Fatal(err)
		}
		return a, findingOf(a.Findings, "travel/contact")
	}
	left, right := body("tyre", solid.OnRear, tyre(100)), body("tyre", solid.OnRear, tyre(-100))
	left.Side, right.Side = solid.Left, solid.Right
	wide := body("wing", solid.OnChassis, boxAt(solid.Vec{X: -154, Z: 14 + 57 + 12 + 1}, 60, 240, 2))
	_, f := assess(sprung(wide, left, right))
	if f == nil || f.Level != finding.Watch || !strings.Contains(f.Sentence, "both rear wheels up by 12.0 mm") || !strings.HasSuffix(f.Sentence, "The other side does so too.") {
		t.Errorf("tyres on a wing 12 mm above: %+v", f)
	}
	// 30 mm above the left tyre's outer edge, which bump alone does not reach and articulation does.
	a, f := assess(sprung(body("arch", solid.OnChassis, boxAt(solid.Vec{X: -154, Y: 95, Z: 14 + 57 + 26 + 1}, 60, 70, 2)), body("peg", solid.OnRear, ballAt(solid.Vec{Y: 105, Z: 52}, 10))))
	if f == nil || f.Level != finding.Watch || strings.Contains(f.Sentence, "both") {
		t.Fatalf("contact in articulation: %+v", f)
	}
	if k := a.Clearances[0]; !k.Touching || k.LeftMM < 20 || k.LeftMM <= k.RightMM+5 {
		t.Errorf("contact in articulation %+v", k)
	}
	// Out of the shocks' travel it does not count.
	if _, f = assess(sprung(body("roof", solid.OnChassis, boxAt(solid.Vec{X: -154, Z: 14 + 32}, 40, 4, 2)), body("housing", solid.OnRear, ballAt(solid.Vec{}, 12)))); f != nil {
		t.Errorf("contact at 25 mm with 20 mm of travel: %+v", f)
	}
	// Without shocks nothing says how far the axle goes: the grid asked for is looked at, and contact is a thing to watch.
	free := sprung(body("floor", solid.OnChassis, boxAt(solid.Vec{X: -154, Z: 36}, 40, 4, 2)), body("housing", solid.OnRear, ballAt(solid.Vec{}, 12)))
	free.Shocks = nil
	if _, f = assess(free); f == nil || f.Level != finding.Watch {
		t.Errorf("contact without shocks: %+v", f)
	}
	a, err := Assess(free, Options{Axle: "rear", Heave: Span{-10, 10, 5}, Roll: Span{-1, 1, 1}})
	if f = findingOf(a.Findings, "travel/contact"); f != nil || err != nil {
		t.Errorf("contact beyond the grid asked for, without shocks: %+v", f)
	}
}

// Near misses: a gap below 1 mm is watched, one above is told, and nothing at all is fine.
func TestGapLevels(t *testing.T) {
	for _, c := range []struct {
		gap  float64 // at full bump, 20 mm
		code string
		want string
	}{{0.6, "travel/close", "comes within 0.6 mm"}, {2.4, "travel/clear", "nearer than 2.4 mm"}, {30, "travel/clear", "nothing comes nearer than 5.0 mm"}} {
		m := sprung(body("floor", solid.OnChassis, boxAt(solid.Vec{X: -154, Z: 14 + 6 + 20 + c.gap + 1}, 40, 4, 2)), body("housing", solid.OnRear, ballAt(solid.Vec{}, 12)))
		for i := range m.Shocks { // the links carry the axle to the rear as it rises, so the shocks lean: end bump at 20 mm exactly
			mv := NewMover(m, solid.Rear)
			mv.To(mv.Design.Z+20, 0)
			m.Shocks[i].Closed = mv.strut(&m.Shocks[i])
		}
		a, err := Assess(m, Options{Axle: "rear"})
		if err != nil {
			t.Fatal(err)
		}
		f := findingOf(a.Findings, c.code)
		if f == nil || !strings.Contains(f.Sentence, c.want) {
			t.Errorf("gap %g: %+v, expected %q", c.gap, a.Findings, c.want)
		}
	}
}

func TestWhatIsNotMeasured(t *testing.T) {
	// Overlapping boxes at the design pose are a matter of the drawing.
	m := sprung(body("tower", solid.OnChassis, boxAt(solid.Vec{X: -154, Z: 14}, 10, 10, 10), boxAt(solid.Vec{X: -154, Z: 36}, 40, 4, 2)),
		body("axle", solid.OnRear, ballAt(solid.Vec{}, 12)))
	a, err := Assess(m, Options{Axle: "rear"})
	if err != nil {
		t.Fatal(err)
	}
	f := findingOf(a.Findings, "travel/drawn-in")
	if f == nil || f.Level != finding.Note || !strings.Contains(f.Sentence, "the tower and the axle") {
		t.Errorf("drawn in: %+v", f)
	}
	// Another piece of the same body that is not drawn in still counts.
	if k := findingOf(a.Findings, "travel/contact"); k == nil || !strings.Contains(k.Sentence, "up by 15.0 mm") {
		t.Errorf("the tower's plate: %+v", k)
	}
	if last := a.Clearances[len(a.Clearances)-1]; !last.DrawnIn || last.Touching {
		t.Errorf("%+v", last)
	}
	// Parts that mates join.
	m = sprung(body("floor", solid.OnChassis, boxAt(solid.Vec{X: -154, Z: 36}, 40, 4, 2)), body("housing", solid.OnRear, ballAt(solid.Vec{}, 12)))
	m.Doc = &rig.Document{Mates: rig.Map[[]rig.Ref]{{Name: "held", Value: []rig.Ref{{Text: "floor/pin"}, {Text: "housing/hole"}}}}}
	if a, _ = Assess(m, Options{Axle: "rear"}); findingOf(a.Findings, "travel/contact") != nil {
		t.Error("mated parts touch")
	}
	// A link is in its bracket, but may hit another corner of the part it is on.
	m = sprung()
	for i := range m.Links {
		m.Links[i].Width, m.Links[i].FromHole, m.Links[i].ToHole = 6, "belly/"+m.Links[i].Name, "axle/"+m.Links[i].Name
	}
	lower := &m.Links[0]
	belly := body("belly", solid.OnChassis, boxAt(lower.From, 10, 10, 16))
	m.Bodies = []solid.Body{belly}
	if a, _ = Assess(m, Options{Axle: "rear"}); findingOf(a.Findings, "travel/contact") != nil || findingOf(a.Findings, "travel/drawn-in") != nil || findingOf(a.Findings, "travel/close") != nil {
		t.Errorf("a link in its own bracket: %+v", a.Findings)
	}
	e := solid.Vec{X: -154, Z: 14}.Add(lower.To).Sub(lower.From).Unit()
	at := lower.From.Along(e, 60)
	at.Z += 3 + 5 + 2.5 // the link is 3 thick to the side, the block 5
	m.Bodies[0].Shapes = append(m.Bodies[0].Shapes, boxAt(at, 10, 10, 10))
	a, _ = Assess(m, Options{Axle: "rear"})
	if k := findingOf(a.Findings, "travel/contact"); k == nil || k.Level != finding.Stop || !strings.Contains(k.Sentence, "the left lower link") {
		t.Errorf("a link against another corner of its own part: %+v", a.Findings)
	}
	// Two links that meet in one eye, and a shock on its link.
	m = sprung()
	for i := range m.Links {
		m.Links[i].Width = 6
	}
	m.Links[2].To, m.Links[3].To = m.Links[1].To, m.Links[1].To
	m.Links[1].ToHole, m.Links[3].ToHole = "axle/upper", "axle/upper"
	m.Shocks[0].Bottom, m.Shocks[0].Width = solid.Anchor{Link: 0, Along: 70}, 16
	c := NewClearances(m, StandOf(m).Stance())
	for i := range c.pairs {
		a, b := c.things[c.pairs[i].a], c.things[c.pairs[i].b]
		if a.kind == aLink && b.kind == aLink && a.index == 1 && b.index == 3 || a.kind == aLink && b.kind == aShock && a.index == 0 && b.index == 0 {
			t.Errorf("%s is measured against %s", a.Name, b.Name)
		}
	}
	if !slices.ContainsFunc(c.pairs, func(p thingPair) bool {
		a, b := c.things[p.a], c.things[p.b]
		return a.kind == aLink && b.kind == aShock && a.index == 1 && b.index == 0
	}) {
		t.Error("a shock on one link is not measured against another")
	}
}

func TestTooManyShapesAreSaid(t *testing.T) {
	var many []solid.Shape
	for i := range 500 {
		many = append(many, boxAt(solid.Vec{X: float64(i)}, 1, 1, 1))
	}
	m := sprung(body("rough", solid.OnChassis, many...), body("rougher", solid.OnRear, many...))
	a, err := Assess(m, Options{Axle: "rear"})
	if err != nil || findingOf(a.Findings, "travel/too-many-shapes") == nil || len(a.Clearances) != 0 {
		t.Errorf("%v %+v", err, a.Findings)
	}
	m = sprung(body("bow", solid.OnChassis, solid.Shape{Kind: solid.Prism, Frame: solid.Frame{R: solid.Identity}, Size: solid.Vec{Z: 2}, Outline: [][2]float64{{0, 0}, {10, 10}, {10, 0}, {0, 10}}}))
	a, _ = Assess(m, Options{Axle: "rear"})
	if f := findingOf(a.Findings, "travel/outline"); f == nil || f.About[0] != "chassis/parts/bow" {
		t.Errorf("a plate that crosses itself: %+v", a.Findings)
	}
}

// Bends: the middle line goes through each bend, rise up and side to the left whichever way the link points.
func TestBentLinksAreChains(t *testing.T) {
	for _, end := range []solid.Vec{{X: 100, Y: 3, Z: -10}, {X: -100, Y: -3, Z: -10}, {X: 70, Y: 30}, {X: -70, Y: 30}} {
		l := solid.Link{Width: 6, Bends: []solid.Vec{{X: 30, Y: 4, Z: 9}, {X: 60, Y: 4, Z: 9}}}
		pts := l.Course(end, nil)
		if len(pts) != 4 || pts[0] != l.From || pts[3] != end {
			t.Fatalf("%v", pts)
		}
		e := end.Unit()
		for _, p := range pts[1:3] {
			off := p.Along(e, -p.Dot(e))
			if off.Y < 0 || off.Z < 0 || math.Abs(off.Norm()-math.Hypot(4, 9)) > 1e-9 {
				t.Errorf("towards %v the bend is off the line by %v", end, off)
			}
		}
	}
	m := sprung(body("bar", solid.OnChassis, boxAt(solid.Vec{}, 1, 1, 1)))
	for i := range m.Links {
		m.Links[i].Width = 6
	}
	m.Links[0].Bends = []solid.Vec{{X: 50, Z: 12}}
	st := StandOf(m)
	c := NewClearances(m, st.Stance())
	ws := c.Workspace()
	ws.place(st.Stance())
	for i := range c.things {
		if th := &c.things[i]; th.kind == aLink && th.index == 0 {
			if th.count != 2 {
				t.Fatalf("%d capsules for one bend", th.count)
			}
			length := 0.0
			for k := th.first; k < th.first+2; k++ {
				length += 2 * ws.pieces[k].Hull.U.Norm()
			}
			l := m.Links[0].Length
			if want := math.Hypot(50, 12) + math.Hypot(l-50, 12) - map[int8]float64{0: 0, 1: eyeZone, 2: eyeZone}[th.cut]; math.Abs(length-want) > 1e-6 {
				t.Errorf("cut %d: %g long, expected %g", th.cut, length, want)
			}
		}
	}
}

// The least clearance is a number that a target can name: 3 mm between a peg and a housing that rises 20 mm to within 3 mm of it, worked out on paper as in
// TestContact; 5 mm when nothing is as near, 0 in contact.
func TestLeastClearance(t *testing.T) {
	for _, k := range []struct{ plate, want float64 }{{14 + 6 + 20 + 3, 3}, {14 + 6 + 20 + 30, 5}, {14 + 6 + 15, 0}} {
		m := sprung(body("floor", solid.OnChassis, boxAt(solid.Vec{X: -154, Z: k.plate + 1}, 4, 4, 2)), body("housing", solid.OnRear, ballAt(solid.Vec{}, 12)))
		a, err := Assess(m, Options{Axle: "rear"})
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(*a.LeastClearanceMM-k.want) > 0.1 {
			t.Errorf("plate at %g: least clearance %s, expected %g", k.plate, mm(*a.LeastClearanceMM, 0), k.want)
		}
		said := false
		for _, v := range a.Numbers() {
			said = said || v.Channel.Name == "least clearance"
		}
		if !said {
			t.Error("it is not among the numbers")
		}
	}
}
