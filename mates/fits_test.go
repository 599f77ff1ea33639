package mates

import (
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"lowslung/finding"
	"lowslung/quantity"
)

func seed(t *testing.T) *rand.Rand {
	n := uint64(time.Now().UnixNano())
	if s := os.Getenv("LOWSLUNG_SEED"); s != "" {
		n, _ = strconv.ParseUint(s, 10, 64)
	}
	t.Logf("LOWSLUNG_SEED=%d", n)
	return rand.New(rand.NewPCG(n, 7))
}

// anyPort is a port of any type, near enough to others of its like that many pairs go together.
func anyPort(r *rand.Rand) Port {
	near := func(list ...float64) float64 {
		return list[r.IntN(len(list))] + []float64{0, 0, 0, 0.01, -0.02, 0.04, 0.1, -0.14, 0.2}[r.IntN(9)]
	}
	p := Port{Type: []string{"shaft", "bore", "gear", "seat", "bearing", "journal", "pin", "pin hole", "male thread", "female thread", "clearance hole", "pattern", "spline", "hex", "plug", "cells"}[r.IntN(16)]}
	p.Diameter, p.Length, p.Width, p.Circle = near(3, 5), near(6, 12), near(12, 17), near(16, 25)
	p.Thread, p.Plug = []string{"M2", "M3", "M4", "4-40", ""}[r.IntN(5)], []string{"4 mm round", "blade", ""}[r.IntN(3)]
	p.Holes, p.Flat, p.Blind, p.Source, p.Motor = 1+r.IntN(4), r.IntN(4) == 0, r.IntN(4) == 0, r.IntN(2) == 0, r.IntN(4) == 0
	p.From = float64(1 + r.IntN(4))
	if p.To = p.From; !p.Source {
		p.To += float64(r.IntN(3))
	}
	p.Bore, p.Outer, p.Thick = near(3, 5), near(10, 11), near(3, 4)
	p.Teeth, p.Module, p.Pressure = 10+r.IntN(50), []float64{0.5, 25.4 / 48, 0.52917, 0}[r.IntN(4)], 20*math.Pi/180
	if p.Type == "pattern" && r.IntN(2) == 0 {
		p.Grid, p.Circle = [2]float64{near(49.5, 28), near(10)}, 0
	}
	p.Material = []string{"steel", "POM", ""}[r.IntN(3)]
	if p.Type == "male thread" {
		p.Width = []float64{0, 2, 5}[r.IntN(3)]
	}
	return p
}

// What the rules join is always found by keys and spans, whichever side one looks from.
func TestSpansMissNothing(t *testing.T) {
	r := seed(t)
	joined, looked := 0, 0
	for range 200_000 {
		a, b := anyPort(r), anyPort(r)
		if _, _, ok := Meet(&a, &b); ok {
			joined++
			if !found(a.Spans(), &b) || !found(b.Spans(), &a) {
				t.Fatalf("these go together and are not found:\n%+v\n%+v", a, b)
			}
		} else if found(a.Spans(), &b) {
			looked++
		}
	}
	if joined < 2000 {
		t.Errorf("only %d pairs went together", joined)
	}
	t.Logf("%d went together, %d more were looked at", joined, looked)
}

// Fittings of every port of the demo rigs are what going through all items of the bin gives.
func TestFittingsAreAllThereAre(t *testing.T) {
	for _, base := range []string{"bramble", "bramble-portal", "gully"} {
		m := load(t, "lowslung: 1\nbase: "+base+".rig.yaml\n")
		names := PortNames(m)
		if len(names) < 20 {
			t.Errorf("%s has %d ports", base, len(names))
		}
		some := 0
		for _, ref := range names {
			p, ok := PortAt(m, ref, quantity.Metric)
			if !ok {
				t.Fatalf("no port %s", ref)
			}
			var slow []string
			for _, bin := range m.Bins {
				for i := range bin.Items {
					if slices.ContainsFunc(PortsOf(bin.Items[i].Name, &bin.Items[i].Value), func(q Port) bool { _, _, ok := Meet(&p, &q); return ok }) {
						slow = append(slow, bin.Items[i].Name)
					}
				}
			}
			var quick []string
			stock := true
			for _, f := range Fittings(m, &p) {
				quick = append(quick, f.Item)
				if in := empty(f.Part) == 0; in && !stock {
					t.Errorf("%s %s: %s lies in the drawer and comes after what does not", base, ref, f.Item)
				} else {
					stock = in
				}
				if f.Why == "" || f.Fit == "" {
					t.Errorf("%s %s: %s fits for no reason", base, ref, f.Item)
				}
			}
			slices.Sort(slow)
			slices.Sort(quick)
			if !slices.Equal(slow, quick) {
				t.Errorf("%s %s: %v, expected %v", base, ref, quick, slow)
			}
			some += len(quick)
		}
		if some == 0 {
			t.Errorf("nothing fits anywhere in %s", base)
		}
	}
}

func answer(t *testing.T, text string) Answer {
	t.Helper()
	a, err := Assess(load(t, text), Options{})
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func stops(a Answer) []string {
	var out []string
	for _, f := range a.Findings {
		if f.Level == finding.Stop {
			out = append(out, f.Code+" "+f.Sentence)
		}
	}
	return out
}

const twoPlates = `lowslung: 1
bins: [club-shelf.bin.yaml]
chassis:
  parts:
    plate: {ports: {a: {type: clearance hole, diameter: 3.2, length: 3}}}
    tray:  {ports: {a: {type: clearance hole, diameter: 3.4, length: %THICK%}}}
    block: {material: aluminium 6061, ports: {a: {type: female thread, thread: M3, length: 8, blind: true}}}
    screw: {item: %SCREW%}
mates:
  through the plate: [screw/thread, plate/a]
  through the tray: [tray/a, screw/thread]
%LAST%`

// A stack of 3 + 2 mm in front of a blind hole of 8 mm in aluminium: M3 × 8 leaves 3 mm, less than 1.5 d; M3 × 16 bottoms 3 mm before it
// clamps; M3 × 10 leaves 5 mm and holds. (1.5 d in aluminium: handbooks, common practice.)
func TestScrewThroughSeveralParts(t *testing.T) {
	build := func(thick, screw, last string) string {
		return strings.NewReplacer("%THICK%", thick, "%SCREW%", screw, "%LAST%", last).Replace(twoPlates)
	}
	const into = "  into the block: [screw/thread, block/a]\n"
	for _, c := range []struct{ thick, screw, last, want string }{
		{"2", "screw-m3-10", into, ""},
		{"2", "screw-m3-8", into, "mates/holds-too-little Into the block: holds too little; M3, 8 mm long, in 8 mm of thread, through 5 mm: 3 mm hold, aluminium 6061 wants 4.5 mm."},
		{"2", "screw-m3-16", into, "mates/bottoms Into the block: bottoms; M3, 16 mm long, in 8 mm of thread, through 5 mm: it bottoms 3 mm before it clamps."},
		{"6", "screw-m3-8", into, "mates/too-short Into the block: too short; M3, 8 mm long, in 8 mm of thread, through 9 mm: it ends 1 mm before the thread begins."},
		{"2", "screw-m4-12", into, "mates/will-not-go-through Through the plate: will not go through; M4 through a hole of 3.2 mm: 0.8 mm too thick."},
		{"2", "screw-m3-10", "", "mates/unmet Nothing is on thread of screw: it needs a nut or a thread M3 behind plate, tray."},
	} {
		a := answer(t, build(c.thick, c.screw, c.last))
		if list := stops(a); c.want == "" && len(list) > 0 || c.want != "" && !slices.Contains(list, c.want) {
			t.Errorf("%s through 3 + %s mm: %q, expected %q", c.screw, c.thick, list, c.want)
		}
		for _, u := range a.Unmet {
			if u.Part == "screw" && !slices.Contains(u.WouldFit, "nut-m3-lock") {
				t.Errorf("behind the plates would go %v, expected a nut", u.WouldFit)
			}
		}
	}
	// what would go instead is held against the same stack
	a := answer(t, build("2", "screw-m3-16", into))
	for _, f := range a.Findings {
		if f.Code == "mates/bottoms" && (!strings.Contains(f.Cure, "screw-m3-10") || strings.Contains(f.Cure, "screw-m3-8") || strings.Contains(f.Cure, "screw-m3-20")) {
			t.Errorf("the cure is %q", f.Cure)
		}
	}
	// a hole whose depth is not given is said, not guessed
	a = answer(t, strings.Replace(build("2", "screw-m3-16", into), ", length: 2}", "}", 1))
	if k := slices.IndexFunc(a.Joints, func(j Joint) bool { return j.Name == "into the block" }); a.Joints[k].Fit != "not checked" || a.Joints[k].Reason != "the document does not say how thick tray is where M3 goes through" {
		t.Errorf("%+v", a.Joints[k])
	}
}

// Balls of 6 and 7 mm (the shelf's rod ends) in slots of given width.
func TestRodEndsInTheirSlots(t *testing.T) {
	build := func(slot string) string {
		return "lowslung: 1\nbase: bramble.rig.yaml\nrear: {parts: {rear axle: {holes: {upper: {slot: " + slot + "}}}}}\n"
	}
	for slot, want := range map[string]struct {
		fit string
		ok  bool
		why string
	}{
		"6":   {"same bolt", true, "a ball for M3 on a hole for M3; a ball 6 mm wide in a slot of 6 mm"},
		"6.2": {"same bolt", true, "a ball for M3 on a hole for M3; a ball 6 mm wide in a slot of 6.2 mm"},
		"7":   {"wants spacers", true, "a ball for M3 on a hole for M3; a ball 6 mm wide in a slot of 7 mm: 0.5 mm of spacer on each side"},
		"5.5": {"too wide", false, "a ball for M3 on a hole for M3; a ball 6 mm wide in a slot of 5.5 mm"},
	} {
		a := answer(t, build(slot))
		k := slices.IndexFunc(a.Joints, func(j Joint) bool { return j.A == "rear upper, axle end" })
		if k < 0 {
			t.Fatalf("slot %s: no joint of the eye", slot)
		}
		if j := a.Joints[k]; j.Fit != want.fit || j.OK != want.ok || j.Reason != want.why {
			t.Errorf("slot %s: %+v, expected %+v", slot, j, want)
		}
		spacers := slices.IndexFunc(a.Findings, func(f finding.Finding) bool { return f.Code == "mates/spacers" })
		if (spacers >= 0) != (want.fit == "wants spacers") {
			t.Errorf("slot %s: a note of spacers is %v", slot, spacers >= 0)
		}
		if spacers >= 0 { // two eyes, two sides, 0.5 mm each
			if s := a.Findings[spacers].Sentence; s != "Beside the balls of link ends go 4 spacers of 0.5 mm for M3." {
				t.Errorf("slot %s: %s", slot, s)
			}
		}
	}
}

func TestPackOnMotorAndPlugsWithoutPorts(t *testing.T) {
	a := answer(t, `lowslung: 1
chassis:
  parts:
    m: {kind: motor, motor: {max_voltage: 8.4}}
    p: {kind: battery, pack: {cells: 3, plug: blade}}
    c: {kind: controller, controller: {cells_from: 2, cells_to: 3, plug: 4 mm round}}
drive: {motor: m, battery: p, controller: c}
`)
	want := []string{
		"mates/too-many-volts P and m: too many volts; 3 cells are 12.6 V when full on a motor for up to 8.4 V.",
		`mates/wrong-plug P and c: wrong plug; "blade" and "4 mm round".`,
	}
	if list := stops(a); !slices.Equal(list, want) {
		t.Errorf("%q, expected %q", list, want)
	}
}

// Two shafts of one size and one gear: the program asks. Two seats and two bearings of one item: either way is right. Three seats: one is
// short.
func TestWhatIsEvidentIsFoundAndTheRestAsked(t *testing.T) {
	a := answer(t, `lowslung: 1
chassis:
  parts:
    box:  {ports: {upper: {type: shaft, diameter: 5}, lower: {type: shaft, diameter: 5}}}
    gear: {ports: {bore: {type: bore, diameter: 5, needed: true}}}
`)
	if len(a.Unmet) != 0 || len(a.Joints) != 0 || len(stops(a)) != 0 {
		t.Errorf("%+v", a)
	}
	if k := slices.IndexFunc(a.Findings, func(f finding.Finding) bool { return f.Code == "mates/which" }); k < 0 ||
		a.Findings[k].Sentence != "What goes on bore of gear? It could be box/upper or box/lower." || a.Findings[k].Cure != "write it under mates: [gear/bore, …]" {
		t.Errorf("%+v", a.Findings)
	}
	seats := `lowslung: 1
bins: [club-shelf.bin.yaml]
chassis:
  parts:
    case: {ports: {a: {type: seat, bearing: 5x11x4, needed: true}, b: {type: seat, bearing: 5x11x4, needed: true}%THIRD%}}
    one: {item: bearing-5x11x4}
    other: {item: bearing-5x11x4}
`
	a = answer(t, strings.Replace(seats, "%THIRD%", "", 1))
	if len(a.Joints) != 2 || len(a.Unmet) != 0 || a.Joints[0].B != "one/ring" || a.Joints[1].B != "other/ring" {
		t.Errorf("%+v", a)
	}
	a = answer(t, strings.Replace(seats, "%THIRD%", ", c: {type: seat, bearing: 5x11x4, needed: true}", 1))
	if len(a.Joints) != 2 || len(a.Unmet) != 1 || a.Unmet[0].Port != "c" || a.Unmet[0].WouldFit[0] != "bearing-5x11x4" {
		t.Errorf("%+v", a)
	}
}

// What is inside comes before what goes over it, the pack is plugged in last, and each step that can hurt says how.
func TestStepsKeepTheOrderOfTheWorkshop(t *testing.T) {
	a := answer(t, "lowslung: 1\nbase: bramble-portal.rig.yaml\n")
	at := func(begin string) int {
		k := slices.IndexFunc(a.Steps, func(s Step) bool { return strings.HasPrefix(s.Do, begin) })
		if k < 0 {
			t.Errorf("no step begins with %q", begin)
		}
		return k
	}
	before := func(list ...string) {
		for i := range list[1:] {
			if at(list[i]) >= at(list[i+1]) {
				t.Errorf("%q comes after %q", list[i], list[i+1])
			}
		}
	}
	before("Make belly", "Fit gearbox", "Press top bearing left", "Fit spur", "Fit spur pin")
	before("Make up rear upper", "Bolt rear lower", "Slide the shaft rear", "Bolt rear upper", "Hang the shock rear", "Fit rear tyre", "Plug battery to controller")
	if last := a.Steps[len(a.Steps)-1]; !strings.HasPrefix(last.Do, "Plug battery") {
		t.Errorf("the last step is %q", last.Do)
	}
	for begin, word := range map[string]string{"Make belly": "mask", "Hang the shock": "under load", "Plug battery": "polarity", "Fit motor to": "hot"} {
		if s := a.Steps[at(begin)]; !strings.Contains(strings.Join(s.Care, " "), word) {
			t.Errorf("%q says nothing of %q: %v", s.Do, word, s.Care)
		}
	}
	// 105 + 11 + 11 and four half-millimetre turns
	if s := a.Steps[at("Make up rear upper")]; !strings.Contains(s.Do, "4 turns out from home, both ends together; 129 mm from eye to eye") {
		t.Errorf("%q", s.Do)
	}
}

// A shop's whole list behind the club's shelf must not make the question slow.
func BenchmarkMatesWithManyItems(b *testing.B) {
	text, err := os.ReadFile("../examples/bramble.rig.yaml")
	if err != nil {
		b.Fatal(err)
	}
	var list strings.Builder
	list.WriteString("item,kind,title,thread,length,bore,outer,width,teeth,module\n")
	for i := range 50_000 {
		switch n := strconv.Itoa(i); i % 3 {
		case 0:
			list.WriteString("s" + n + ",screw,Screw " + n + ",M3," + strconv.Itoa(4+i%40) + ",,,,,\n")
		case 1:
			list.WriteString("b" + n + ",bearing,Bearing " + n + ",,,5," + strconv.Itoa(8+i%6) + ",4,,\n")
		case 2:
			list.WriteString("g" + n + ",gear,Gear " + n + ",,,3.17,,," + strconv.Itoa(10+i%50) + ",0.5\n")
		}
	}
	doc := strings.Replace(string(text), "bins: [club-shelf.bin.yaml]", "bins: [club-shelf.bin.yaml, many.bin.csv]", 1)
	m := model(b, doc+"\n", map[string]string{"many.bin.csv": list.String()})
	for b.Loop() {
		if _, err := Assess(m, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
