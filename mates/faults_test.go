package mates

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"lowslung/finding"
	"lowslung/rig"
	"lowslung/solid"
)

func load(t *testing.T, text string) *solid.Model { return model(t, text, nil) }

// model reads a document among the examples, and among more files by name.
func model(t testing.TB, text string, more map[string]string) *solid.Model {
	t.Helper()
	b, err := rig.Load(func(name string) ([]byte, error) {
		if name == "it.rig.yaml" {
			return []byte(text), nil
		}
		if text, ok := more[name]; ok {
			return []byte(text), nil
		}
		return os.ReadFile(filepath.Join("../examples", name))
	}, "it.rig.yaml")
	if err != nil {
		t.Fatal(err)
	}
	m, err := solid.Resolve(b)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// A conversion of the demo rig with ten faults put in by hand. Each is one line of the patch; each must be found, with its dimensions,
// and nothing else may be called wrong.
const tenFaults = `lowslung: 1
name: Bramble, ten things wrong
base: bramble.rig.yaml
chassis:
  parts:
    # 1 wrong bore: a pinion for a 5 mm shaft on the motor's 3.17
    # 2 wrong pitch: 0.8 module on a 32 DP spur
    pinion:
      item: null
      kind: gear
      mass: 6
      gear: {teeth: 12, module: 0.8, face: 8, bore: 5}
      ports: {bore: {type: bore, diameter: 5, length: 12, needed: true}, teeth: {type: gear, needed: true}}
    # 3 missing pin: the gearbox wants one more through its output
    gearbox:
      ports:
        output cross hole: {type: pin hole, diameter: 2.5, length: 12, needed: true}
        # 7 motor can longer than its space
        motor plate: {room: 45}
        # 5 screw too long into a blind hole
        cover thread: {type: female thread, thread: M3, length: 6, blind: true, needed: true, material: aluminium 6061}
    cover screw: {item: screw-m3-10, on: gearbox}
    # 4 one bearing short
    output bearing rear: null
    # 8 pack over the controller's limit, on a motor that would take it
    battery: {pack: {cells: 4}}
    motor: {motor: {max_voltage: 16.8}}
rear:
  parts:
    # 9 hex mismatch; 10 rod ends that cannot go on: their balls take M3 and the tower is drilled for M4
    rear axle: {ports: {hub: {type: hex, width: 17}}, holes: {upper: {bolt: M4}}}
shafts:
  # 6 shaft that runs out at full droop
  rear: {open: 108, overlap: 12}
mates:
  output bearing rear in its seat: null
  cover screw in its thread: [cover screw/thread, gearbox/cover thread]
`

func TestTenFaultsAreFoundAndNothingElse(t *testing.T) {
	a, err := Assess(load(t, tenFaults), Options{})
	if err != nil {
		t.Fatal(err)
	}
	wants := []struct{ code, part string }{
		{"mates/loose", "a shaft of 3.17 mm in a bore of 5 mm"},
		{"mates/wrong-pitch", "module 0.8"},
		{"mates/unmet", "a pin of 2.5 mm"},
		{"mates/unmet", "a bearing of 5 × 11 × 4 mm"},
		{"mates/bottoms", "4 mm before it clamps"},
		{"mates/does-not-reach", "rear shaft"},
		{"mates/no-room", "50 mm long and there is room for 45 mm"},
		{"mates/too-many-cells", "4 cells on a window of 2 to 3"},
		{"mates/wrong-hex", "17 mm"},
		{"mates/wrong-bolt", "M3 on a hole for M4"},
	}
	var stops []finding.Finding
	for _, f := range a.Findings {
		if f.Level == finding.Stop {
			stops = append(stops, f)
		}
	}
	for _, w := range wants {
		k := slices.IndexFunc(stops, func(f finding.Finding) bool { return f.Code == w.code && strings.Contains(f.Sentence, w.part) })
		if k < 0 {
			t.Errorf("not found: %s with %q", w.code, w.part)
			continue
		}
		stops = slices.Delete(stops, k, k+1)
	}
	for _, f := range stops {
		t.Errorf("called wrong without being so: %s %s", f.Code, f.Sentence)
	}
}

func TestWhatWouldFitIsNamed(t *testing.T) {
	a, err := Assess(load(t, tenFaults), Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, u := range a.Unmet {
		want := map[string]string{"output cross hole": "pin-2.5-12", "output seat rear": "bearing-5x11x4"}[u.Port]
		if want == "" || !slices.Contains(u.WouldFit, want) {
			t.Errorf("%s of %s would take %v, expected %q among them", u.Port, u.Part, u.WouldFit, want)
		}
	}
	for _, f := range a.Findings {
		if f.Code == "mates/loose" && !strings.Contains(f.Cure, "pinion-32-12-b3") {
			t.Errorf("the cure for the loose pinion is %q", f.Cure)
		}
	}
}

func TestDemoRigsGoTogether(t *testing.T) {
	for _, base := range []string{"bramble", "gully"} {
		a, err := Assess(load(t, "lowslung: 1\nbase: "+base+".rig.yaml\n"), Options{})
		if err != nil {
			t.Fatal(err)
		}
		if w := finding.Worst(a.Findings); w == finding.Stop {
			t.Errorf("%s: %+v", base, a.Findings[0])
		}
	}
}

func TestAMateThatIsNotWrittenIsFound(t *testing.T) {
	a, err := Assess(load(t, "lowslung: 1\nbase: bramble.rig.yaml\nmates: {front wheels on their hubs: null, pinion on motor: null}\n"), Options{})
	if err != nil {
		t.Fatal(err)
	}
	found := map[string]bool{}
	for _, j := range a.Joints {
		if j.Found {
			found[j.A+" – "+j.B] = true
		}
	}
	if !found["pinion/bore – motor/shaft"] {
		t.Errorf("found: %v", found)
	}
}

func TestListsOfAConversion(t *testing.T) {
	base := load(t, "lowslung: 1\nbase: bramble.rig.yaml\n")
	now := load(t, "lowslung: 1\nbase: bramble.rig.yaml\nchassis: {parts: {battery: {item: pack-2s-3300}, belly: {made: true, mass: 40}}}\n")
	a, err := Assess(now, Options{Against: base})
	if err != nil {
		t.Fatal(err)
	}
	one := func(list []Piece, what string) *Piece {
		for i := range list {
			if list[i].Item == what || list[i].What == what {
				return &list[i]
			}
		}
		return nil
	}
	if p := one(a.Bought, "pack-2s-3300"); p == nil || p.Count != 1 || len(a.Bought) != 1 {
		t.Errorf("bought: %+v", a.Bought)
	}
	if p := one(a.Leftovers, "pack-3s-2200"); p == nil || p.Count != 1 {
		t.Errorf("left over: %+v", a.Leftovers)
	}
	if p := one(a.Made, "belly"); p == nil || *p.EachG != 40 {
		t.Errorf("made: %+v", a.Made)
	}
	if p := one(a.Reused, "tyre-119-trail"); p == nil || p.Count != 4 {
		t.Errorf("reused: %+v", a.Reused)
	}
	// 188 g the pack in the bin, 40 g the belly
	if a.MassG < 227.99 || a.MassG > 228.01 {
		t.Errorf("bought and made weigh %g g", a.MassG)
	}
}

func TestStepsNeverFitSomethingToWhatIsNotThere(t *testing.T) {
	m := load(t, "lowslung: 1\nbase: bramble-portal.rig.yaml\n")
	a, err := Assess(m, Options{})
	if err != nil {
		t.Fatal(err)
	}
	w := newWorks(m)
	there := map[string]bool{}
	for i := range w.parts {
		if w.parts[i].part.On == "" {
			there[w.parts[i].name] = true
		}
	}
	for _, s := range a.Steps {
		name := strings.SplitN(strings.SplitN(s.Do, " ", 2)[1], " to ", 2)[0]
		for _, p := range s.Parts {
			if !there[p] {
				t.Errorf("%q comes before %s is there", s.Do, p)
			}
		}
		there[name] = true
	}
	if len(a.Steps) < 15 {
		t.Errorf("only %d steps", len(a.Steps))
	}
}
