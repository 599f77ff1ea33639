package mates

import (
	"math"
	"slices"
	"strings"
	"testing"

	"lowslung/finding"
)

// one is a rig with one link of which both ends are 6 mm balls for M3, and one shock with 5 mm eyes; more goes on the hole that is asked about.
func one(hole, more string) string {
	return `lowslung: 1
bins: [club-shelf.bin.yaml]
chassis: {parts: {belly: {kind: skid, material: aluminium 6061, holes: {low: {at: [0, 0, 10]` + hole + `}, high: {at: [0, 10, 60]}}}}}
rear: {near: [-110, 0, 10], parts: {axle: {kind: axle, holes: {low: {at: [0, 0, 0]}}}}}
links: {l: {axle: rear, from: belly/low, to: axle/low, rod: {item: rod-al6-85}, ends: [end-m3-short, end-m3-short]}}
` + more
}

func boltAt(t *testing.T, a Answer, ref string) Bolt {
	t.Helper()
	k := slices.IndexFunc(a.Bolts, func(b Bolt) bool { return slices.Contains(b.For, ref) })
	if k < 0 {
		t.Fatalf("no bolt at %s: %+v", ref, a.Bolts)
	}
	return a.Bolts[k]
}

// What a bolt goes through, and how long it must be at least and at most: added up by hand. The ball is 6 mm wide; engagement 1.5 d in
// aluminium is common practice (handbooks; VDI 2230 for the order of it); self-locking M3 nuts are 4 mm high (DIN 985, from memory); lengths
// are those of ISO 4762.
func TestHowLongABoltMustBe(t *testing.T) {
	for _, c := range []struct {
		hole                 string
		through, least, most float64
		fits                 string // the first that the shelf has: M3 × 6, 8, 16, 20 (10 is countersunk)
	}{
		{", wall: 4", 6 + 4, 6 + 4 + 4, 0, "screw-m3-16"},
		{", wall: 4, spacer: 2", 6 + 2 + 4, 6 + 2 + 4 + 4, 0, "screw-m3-16"},
		{", wall: 4, spacer: 2.1", 12.1, 16.1, 0, "screw-m3-20"},
		{", slot: 8, wall: 4", 8 + 4, 8 + 4 + 4, 0, "screw-m3-16"},
		{", slot: 8, wall: 4, nut: nut-m3-lock", 12, 16, 0, "screw-m3-16"},
		{", wall: 0, grip: 8", 6, 6 + 4.5, 0, "screw-m3-16"},
		{", wall: 0, grip: 8, blind: true", 6, 10.5, 6 + 8, ""}, // 16 would bottom, 8 holds too little
		{", wall: 2, grip: 8, blind: true", 8, 12.5, 8 + 8, "screw-m3-16"},
		{", wall: 12, bolt: M3", 18, 22, 0, ""},
	} {
		a := answer(t, one(c.hole, ""))
		b := boltAt(t, a, "belly/low")
		if b.ThroughMM == nil || math.Abs(*b.ThroughMM-c.through) > 1e-9 || math.Abs(*b.LeastMM-c.least) > 1e-9 || b.Count != 1 || b.Thread != "M3" {
			t.Errorf("%s: %+v, expected through %g and at least %g", c.hole, b, c.through, c.least)
			continue
		}
		if c.most == 0 != (b.MostMM == nil) || b.MostMM != nil && math.Abs(*b.MostMM-c.most) > 1e-9 {
			t.Errorf("%s: at most %v, expected %g", c.hole, b.MostMM, c.most)
		}
		if c.fits == "" && len(b.WouldFit) > 0 || c.fits != "" && (len(b.WouldFit) == 0 || b.WouldFit[0] != c.fits) {
			t.Errorf("%s: would fit %v, expected %q", c.hole, b.WouldFit, c.fits)
		}
		if nut := b.HeldBy == "nut" && !strings.Contains(c.hole, "nut:"); nut != slices.Contains(b.NutsFit, "nut-m3-lock") {
			t.Errorf("%s: nuts %v", c.hole, b.NutsFit)
		}
	}
}

// Two eyes on one hole share a bolt, which is as much longer.
func TestTwoEyesOnOneBolt(t *testing.T) {
	both := one(", wall: 3", "shocks: {s: {axle: rear, item: shock-90, top: belly/high, bottom: axle/low}}\n")
	// the axle's hole does not say its wall: neither it nor the hole of the shock's top can be told
	if b := boltAt(t, answer(t, both), "axle/low"); b.ThroughMM != nil || b.Count != 2 || !slices.Equal(b.For, []string{"axle/low", "belly/high"}) {
		t.Errorf("%+v", b)
	}
	both = strings.Replace(both, "axle, holes: {low: {at: [0, 0, 0]", "axle, holes: {low: {at: [0, 0, 0], wall: 2", 1)
	if b := boltAt(t, answer(t, both), "axle/low"); b.ThroughMM == nil || *b.ThroughMM != 6+5+2 || b.Count != 1 {
		t.Errorf("%+v", b)
	}
}

// Screws that the document names are held against the stack, with both dimensions.
func TestNamedBoltsAreJudged(t *testing.T) {
	for hole, want := range map[string]string{
		", wall: 4, screw: screw-m3-16":                       "",
		", wall: 4, screw: screw-m3-8":                        "mates/too-short Screw-m3-8 and belly/low: too short; M3, 8 mm long, in 4 mm of thread, through 10 mm: it ends 2 mm before the thread begins.",
		", wall: 7, screw: screw-m3-16":                       "mates/too-short Screw-m3-16 and belly/low: too short; M3, 16 mm long, in 4 mm of thread, through 13 mm: it ends 1 mm inside the nut and should come through.",
		", wall: 0, grip: 6, blind: true, screw: screw-m3-16": "mates/bottoms Screw-m3-16 and belly/low: bottoms; M3, 16 mm long, in 6 mm of thread, through 6 mm: it bottoms 4 mm before it clamps.",
		", wall: 0, grip: 6, screw: screw-m3-8":               "mates/holds-too-little Screw-m3-8 and belly/low: holds too little; M3, 8 mm long, in 6 mm of thread, through 6 mm: 2 mm hold, aluminium 6061 wants 4.5 mm.",
		", wall: 4, screw: screw-m4-12":                       "mates/wrong-thread Screw-m4-12 and belly/low: wrong thread; M4 does not go into M3.",
		", wall: 4, screw: screw-m3-16, nut: nut-m4-wheel":    "mates/wrong-thread Screw-m3-16 and belly/low: wrong thread; the nut nut-m4-wheel is for M4, the bolt is M3.",
	} {
		a := answer(t, one(hole, ""))
		if list := stops(a); want == "" && len(list) > 0 || want != "" && !slices.Equal(list, []string{want}) {
			t.Errorf("%s: %q, expected %q", hole, list, want)
		}
		if k := slices.IndexFunc(a.Bought, func(p Piece) bool { return p.Item == "screw-m3-16" }); strings.Contains(hole, "m3-16") != (k >= 0) {
			t.Errorf("%s: bought %+v", hole, a.Bought)
		}
	}
	// of which the stack is not known: said, not guessed
	a := answer(t, one(", screw: screw-m3-16", ""))
	if k := slices.IndexFunc(a.Joints, func(j Joint) bool { return j.A == "screw-m3-16" }); k < 0 || a.Joints[k].Fit != "not checked" || !strings.HasSuffix(a.Joints[k].Reason, "how much it goes through is not known: wall of belly/low") {
		t.Errorf("%+v", a.Joints)
	}
}

func note(t *testing.T, a Answer, code string) *finding.Finding {
	t.Helper()
	found := 0
	var out *finding.Finding
	for i := range a.Findings {
		if a.Findings[i].Code == code {
			out, found = &a.Findings[i], found+1
		}
	}
	if found > 1 {
		t.Errorf("%s is told %d times", code, found)
	}
	return out
}

// The demo rig: three pairs of links and two single ones have sixteen eyes, two pairs of shocks eight, tie rod and drag link four, counted by hand. Each is told once.
func TestBoltsOfTheDemoRigs(t *testing.T) {
	a := answer(t, "lowslung: 1\nbase: bramble.rig.yaml\n")
	n := 0
	for _, b := range a.Bolts {
		n += b.Count
	}
	if n != 28 {
		t.Errorf("%d bolts, expected 28", n)
	}
	if f := note(t, a, "mates/bolts"); f == nil || f.Level != finding.Note || !strings.HasPrefix(f.Sentence, "The eyes of links and shocks want 28 bolts that are in no list; ") {
		t.Errorf("%+v", f)
	}
	if f := note(t, a, "mates/bolt-length"); f != nil {
		t.Errorf("%+v", f)
	}
	a = answer(t, "lowslung: 1\nbase: gully.rig.yaml\n")
	if f := note(t, a, "mates/bolt-length"); f == nil || f.Level != finding.Note || !strings.Contains(f.Sentence, "the document does not say the wall of front axle/lower") || !strings.Contains(f.Cure, "write wall") {
		t.Errorf("%+v", f)
	}
	if f := note(t, a, "mates/bolts"); f != nil {
		t.Errorf("told twice: %+v", f)
	}
}

// A conversion has the bolts of the build as it was, and is told of those it has not: one mount thicker, one thread instead of a nut, one rod
// end another. Old bolts are taken to be of the next length of ISO 4762, and go where they are long enough.
func TestBoltsThatAConversionLacks(t *testing.T) {
	base := load(t, "lowslung: 1\nbase: bramble.rig.yaml\n")
	for patch, want := range map[string]string{
		"": "",
		"rear: {parts: {rear axle: {holes: {upper: {wall: 8}}}}}":    "2 are new: 2 × M3, 18 mm or longer with a self-locking nut for rear axle/upper (screw-m3-20)",
		"rear: {parts: {rear axle: {holes: {upper: {wall: 6}}}}}":    "", // 6 + 6 + 4 = 16, and the old ones for 14 are 16 long
		"rear: {parts: {rear axle: {holes: {upper: {wall: 30}}}}}":   "2 are new: 2 × M3, 40 mm or longer with a self-locking nut for rear axle/upper (nothing in the bin)",
		"rear: {parts: {rear axle: {holes: {upper: {bolt: M4}}}}}":   "2 are new: 2 × M4, 15 mm or longer with a self-locking nut for rear axle/upper (nothing in the bin)",
		"rear: {parts: {rear axle: {holes: {upper: {wall: null}}}}}": "", // not known, and the old ones are there
	} {
		a, err := Assess(load(t, "lowslung: 1\nbase: bramble.rig.yaml\n"+patch+"\n"), Options{Against: base})
		if err != nil {
			t.Fatal(err)
		}
		f := note(t, a, "mates/bolts")
		if want == "" && f != nil || want != "" && (f == nil || f.Level != finding.Watch || !strings.Contains(f.Sentence, want)) {
			t.Errorf("%s: %+v, expected %q", patch, f, want)
		}
	}
}
