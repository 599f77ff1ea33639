package rig

import (
	"errors"
	"io/fs"
	"math"
	"slices"
	"strings"
	"testing"

	"lowslung/quantity"
)

func mustLoad(t *testing.T, f files, name string) *Build {
	t.Helper()
	b, err := Load(f.read, name)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return b
}

// A partial document loads: a version alone, weights alone, one axle and four links alone.
func TestPartialDocuments(t *testing.T) {
	for name, text := range map[string]string{
		"version": "lowslung: 1\n",
		"weights": lines("lowslung: 1", "chassis: {parts: {a: {mass: 3, at: [1, 2, 3]}, b: {mass: 4 oz}}}"),
		"null":    lines("lowslung: 1", "front: null"),
		"JSON":    `{"lowslung":1,"name":"x","chassis":{"parts":{"a":{"mass":"3 g","pair":true,"cg":[1,2.5,-3e0]}}}}`,
		"pretty":  "{\n\t\"lowslung\": 1,\n\t\"chassis\": {\n\t\t\"parts\": {}\n\t}\n}\n",
		"header":  "---\nlowslung: 1\n...\n",
		"marks":   "\ufefflowslung: 1\r\nname: x\r\n",
		"anchors": lines("lowslung: 1", "chassis: {parts: {a: &a {mass: 3}, b: *a}}"),
	} {
		mustLoad(t, files{"x": text}, "x")
		_ = name
	}
	b := mustLoad(t, files{"base/rear.yaml": badFile(t, "base/rear.yaml"), "bins/shelf.bin.yaml": badFile(t, "bins/shelf.bin.yaml")}, "base/rear.yaml")
	if n := len(b.Doc.Links); n != 2 || b.Doc.Front != nil {
		t.Errorf("one axle and four links: %d links, front %v", n, b.Doc.Front)
	}
}

func badFile(t testing.TB, name string) string {
	t.Helper()
	text, err := dir("testdata/bad")(name)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func TestLoadNotThere(t *testing.T) {
	if _, err := Load(files{}.read, "x"); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("a document that is not there: %v", err)
	}
	fault := errors.New("disk on fire")
	if _, err := Load(func(string) ([]byte, error) { return nil, fault }, "x"); !errors.Is(err, fault) {
		t.Errorf("a document that cannot be read: %v", err)
	}
	asked := false
	for _, name := range []string{"../x", "/x", "a/../../x", "", `a\b`, "C:x", "https://x/y"} {
		_, err := Load(func(string) ([]byte, error) { asked = true; return nil, nil }, name)
		if err == nil || asked {
			t.Errorf("%q was looked for outside the workshop (%v)", name, err)
		}
	}
}

func TestBases(t *testing.T) {
	f := files{
		"a.yaml":        lines("base: in/b.yaml", "name: a", "chassis: {parts: {x: {mass: 5}, y: null, new: {mass: 1}}}"),
		"in/b.yaml":     lines("base: ../c.yaml", "name: b", "chassis: {parts: {x: {kind: skid}, z: {mass: 3}}}", "notes: from b"),
		"c.yaml":        lines("lowslung: 1", "name: c", "bins: [in/s.bin.yaml]", "chassis: {parts: {x: {mass: 1, cg: [1, 2, 3]}, y: {mass: 2}}}"),
		"in/s.bin.yaml": lines("lowslung: 1", "items: {}"),
	}
	b := mustLoad(t, f, "a.yaml")
	if want := []string{"a.yaml", "in/b.yaml", "c.yaml", "in/s.bin.yaml"}; !slices.Equal(b.Files, want) {
		t.Errorf("files read: %v, want %v", b.Files, want)
	}
	doc := b.Doc
	if doc.Name != "a" || doc.Notes != "from b" || doc.Base != "in/b.yaml" {
		t.Errorf("name %q, notes %q, base %q", doc.Name, doc.Notes, doc.Base)
	}
	if got, want := doc.Chassis.Parts.Names(), []string{"x", "z", "new"}; !slices.Equal(got, want) {
		t.Errorf("parts %v, want %v", got, want)
	}
	x, _ := doc.Chassis.Parts.Get("x")
	if *x.Mass != 0.005 || x.Kind != "skid" || *x.CG != (Vec{1, 2, 3}) {
		t.Errorf("x is %+v", x)
	}
	if p := b.Tree.At("chassis", "parts", "x", "mass").Place; p != (Place{"a.yaml", 3, 29}) {
		t.Errorf("place of x's mass: %v", p)
	}
	if p := b.Tree.At("chassis", "parts", "x", "cg").Place; p.File != "c.yaml" {
		t.Errorf("place of x's cg: %v", p)
	}
	if b.Tree.Get("base") != nil {
		t.Error("the merged tree still has a base")
	}
}

func TestSixteenBases(t *testing.T) {
	f := files{"doc0": "base: doc1\n"}
	for i := 1; i < 16; i++ {
		f["doc"+itoa(i)] = "base: doc" + itoa(i+1) + "\n"
	}
	f["doc16"] = "lowslung: 1\nname: last\n"
	if b := mustLoad(t, f, "doc0"); b.Doc.Name != "last" || len(b.Files) != 17 {
		t.Errorf("name %q, %d files", b.Doc.Name, len(b.Files))
	}
}

var workshop = files{
	"one.bin.yaml": lines("lowslung: 1", "items:",
		"  can: {kind: motor, title: First, mass: 180, cg: [1, 0, 0], motor: {kv: 1800, can_diameter: 36}}",
		"  damper: {kind: shock, mass: 30, shock: {open: 90, closed: 62, oil: 350, piston: {holes: 2, diameter: 1.2}}}",
		"  coil: {kind: spring, mass: 4, spring: {rate: 0.2, free: 65}}",
		"  tube: {kind: shaft, mass: 22, shaft: {open: 112, closed: 80, joints: cardan}}",
		"  plain tube: {kind: shaft, mass: 23}",
		"  rod-70: {kind: rod, rod: {length: 70, diameter: 6, thread: M3}}",
		"  end: {kind: rod end, end: {adds: 12, out: 3, thread: M3}}"),
	"two.bin.yaml": lines("lowslung: 1", "items:",
		"  can: {kind: motor, title: Second, mass: 99}",
		"  only here: {kind: pin, mass: 1}"),
}

// with adds a document to the workshop.
func inWorkshop(doc ...string) files {
	f := files{"doc": lines(append([]string{"lowslung: 1", "bins: [one.bin.yaml, two.bin.yaml]"}, doc...)...)}
	for name, text := range workshop {
		f[name] = text
	}
	return f
}

func TestItems(t *testing.T) {
	b := mustLoad(t, inWorkshop("chassis: {parts: {m: {item: can, mass: 171.5 g, motor: {kv: 2000}}, n: {item: can, cg: null}, p: {item: only here}}}"), "doc")
	m, _ := b.Doc.Chassis.Parts.Get("m")
	if m.Title != "First" || m.Kind != "motor" || m.Item != "can" {
		t.Errorf("m is %q of kind %q, item %q: want the first bin's", m.Title, m.Kind, m.Item)
	}
	if *m.Mass != 0.1715 || *m.Motor.Kv != 2000 || *m.Motor.Can != 36 {
		t.Errorf("m weighs %v kg, Kv %v, can %v: the part's own values go over the item's, key by key", *m.Mass, *m.Motor.Kv, *m.Motor.Can)
	}
	if n, _ := b.Doc.Chassis.Parts.Get("n"); n.CG != nil || n.Motor == nil {
		t.Errorf("n: null takes the item's field out and no other: cg %v, motor %v", n.CG, n.Motor)
	}
	if b.Tree.At("chassis", "parts", "m", "motor", "can_diameter") != nil {
		t.Error("the tree that compare reads holds the item's fields")
	}
	if p, ok := b.Item("only here"); !ok || *p.Mass != 0.001 {
		t.Errorf("item of the second bin: %v, %v", p, ok)
	}
	if _, ok := b.Item("nothing"); ok {
		t.Error("an item that is not there is found")
	}
}

// A null in a patch reaches through to the item, and what a later document writes begins from the item again.
func TestItemsThroughBases(t *testing.T) {
	f := inWorkshop("chassis: {parts: {m: {item: can, mass: 170}, n: {item: can, mass: 170}}}")
	f["b"] = lines("base: doc", "chassis: {parts: {m: {cg: null, mass: 160}, n: null}}")
	f["a"] = lines("base: b", "chassis: {parts: {m: {title: Mine}, n: {item: can}}}")
	b := mustLoad(t, f, "a")
	m, _ := b.Doc.Chassis.Parts.Get("m")
	if m.CG != nil || *m.Mass != 0.16 || m.Title != "Mine" {
		t.Errorf("m: cg %v, mass %v, title %q", m.CG, *m.Mass, m.Title)
	}
	if n, _ := b.Doc.Chassis.Parts.Get("n"); *n.Mass != 0.18 || n.CG == nil {
		t.Errorf("n: mass %v, cg %v: want the item's", *n.Mass, n.CG)
	}
}

func TestDefaultsOfShocksSpringsShafts(t *testing.T) {
	b := mustLoad(t, inWorkshop(
		"chassis: {parts: {c: {holes: {h: {at: [0, 0, 50]}}, outputs: {o: {at: [0, 0, 0], axis: [1, 0, 0]}}}}}",
		"rear: {parts: {a: {holes: {h: {at: [0, 0, 0]}}, outputs: {o: {at: [0, 0, 0], axis: [1, 0, 0]}}}}}",
		"shocks: {s: {item: damper, axle: rear, top: c/h, bottom: a/h, closed: 60, piston: {holes: 3}, springs: [{item: coil, rate: 0.3}, {rate: 1}]}}",
		"shafts: {s: {item: tube, from: c/o, to: a/o, open: 110}, p: {item: plain tube, from: c/o, to: a/o}}"), "doc")
	s, _ := b.Doc.Shocks.Get("s")
	if *s.Open != 90 || *s.Closed != 60 || *s.Mass != 0.03 || s.Piston.Holes != 3 || *s.Piston.Diameter != 1.2 {
		t.Errorf("shock: open %v closed %v mass %v piston %+v", *s.Open, *s.Closed, *s.Mass, s.Piston)
	}
	if c := s.Springs[0]; *c.Rate != 0.3 || *c.Free != 65 {
		t.Errorf("spring: rate %v, free %v", *c.Rate, *c.Free)
	}
	if c := s.Springs[1]; *c.Rate != 1 || c.Free != nil {
		t.Errorf("spring without item: %+v", c)
	}
	shaft, _ := b.Doc.Shafts.Get("s")
	if *shaft.Open != 110 || *shaft.Closed != 80 || shaft.Joints != "cardan" || *shaft.Mass != 0.022 {
		t.Errorf("shaft: %+v", shaft)
	}
	if p, _ := b.Doc.Shafts.Get("p"); *p.Mass != 0.023 || p.Open != nil {
		t.Errorf("plain shaft: %+v", p)
	}
}

func TestLinkLength(t *testing.T) {
	for text, want := range map[string]float64{
		"length: 4.5 in":                                    114.3,
		"rod: {item: rod-70}, ends: [end, end]":             70 + 12 + 12,
		"rod: {item: rod-70}, ends: [end, end], turns: 3":   70 + 12 + 12 + 3*0.5, // ISO 261: M3 has the pitch 0.5 mm
		"rod: {length: 80}, ends: [end, end], turns: 2":     80 + 12 + 12 + 2*0.5,
		"length: 95, rod: {item: rod-70}, ends: [end, end]": 95,
	} {
		b := mustLoad(t, inWorkshop("chassis: {parts: {c: {holes: {h: {at: [0, 0, 0]}}}}}", "rear: {parts: {a: {holes: {h: {at: [0, 0, 0]}}}}}",
			"links: {l: {axle: rear, from: c/h, to: a/h, "+text+"}}"), "doc")
		l, _ := b.Doc.Links.Get("l")
		got, ok := b.LinkLength(l)
		if !ok || math.Abs(float64(got)-want) > 1e-9 {
			t.Errorf("%s: %v, %v, want %v", text, got, ok, want)
		}
	}
}

// Coarse pitches of ISO 261 and threads per inch of ASME B1.1 (common practice in the hobby: 4-40, 5-40, 8-32).
func TestPitch(t *testing.T) {
	for thread, want := range map[string]float64{"M2": 0.4, "M2.5": 0.45, "M3": 0.5, "m3": 0.5, "M4": 0.7, "M5": 0.8, "M6": 1, "M3x0.35": 0.35, "M4 × 0.5": 0.5,
		"4-40": 0.635, "#4-40": 0.635, "8-32 UNC": 0.79375, "1/4-20": 1.27} {
		if got, ok := Pitch(thread); !ok || math.Abs(got-want) > 1e-12 {
			t.Errorf("%s: %v, %v, want %v mm", thread, got, ok, want)
		}
	}
	for _, thread := range []string{"", "M", "M3x", "M3x0", "3", "x-40", "M7.3", "4-0"} {
		if got, ok := Pitch(thread); ok {
			t.Errorf("%q has the pitch %v", thread, got)
		}
	}
}

// The twin of a hole is judged where the hole ends up: through frames, turned parts and parts that are pairs themselves.
func TestTwins(t *testing.T) {
	doc := func(part, hole string) files {
		return files{"x": lines("lowslung: 1", "chassis:", "  parts:", "    under: {at: [0, 10, 0]}", "    c: {"+part+"holes: {h: {at: "+hole+"}}}",
			"rear: {parts: {a: {holes: {h: {at: [0, 9, 0], pair: true}}}}}", "links: {l: {axle: rear, pair: true, from: c/h, to: a/h, length: 90}}")}
	}
	for _, c := range []struct {
		part, hole string
		ok         bool
	}{
		{"", "[0, 0, 5]", true},
		{"", "[0, 1, 5]", false},
		{"", "[0, 1, 5], pair: true", true},
		{"pair: true, at: [0, 5, 0], ", "[0, 1, 5]", true},
		{"at: [0, -1, 0], ", "[0, 1, 5]", true},
		{"on: under, ", "[0, 0, 5]", false},
		{"on: under, at: [3, -10, 0], ", "[0, 0, 5]", true},
		{"turn: [0, 0, 90], ", "[0, 7, 5]", true},
		{"turn: [0, 0, 90], ", "[7, 0, 5]", false},
		{"turn: [90, 0, 0], ", "[7, 3, 0]", true},
		{"turn: [90, 0, 0], ", "[7, 0, 3]", false},
		{"turn: [0, 90, 0], ", "[7, 0, 3]", true},
	} {
		_, err := Load(doc(c.part, c.hole).read, "x")
		if (err == nil) != c.ok {
			t.Errorf("%shole at %s: %v, want it to load: %v", c.part, c.hole, err, c.ok)
		}
	}
}

// A shock may stand on a link: on the twin of a pair, or on a single link in the middle, which carries both.
func TestShockOnLinks(t *testing.T) {
	for hole, ok := range map[string]bool{"[0, 0, 5]": true, "[0, 4, 5]": false} {
		f := files{"x": lines("lowslung: 1", "chassis: {parts: {c: {holes: {arm: {at: [0, 30, 5], pair: true}, top: {at: [0, 30, 60], pair: true}, middle: {at: "+hole+"}}}}}",
			"rear: {parts: {a: {holes: {arm: {at: [0, 30, 0], pair: true}, middle: {at: [0, 0, 9]}}}}}",
			"links:",
			"  arm: {axle: rear, pair: true, from: c/arm, to: a/arm, length: 90, holes: {shock: {along: 60, rise: 6}}}",
			"  wishbone: {axle: rear, from: c/middle, to: a/middle, length: 90, holes: {shock: {along: 60}}}",
			"shocks:",
			"  outer: {axle: rear, pair: true, top: c/top, bottom: arm/shock}",
			"  inner: {axle: rear, pair: true, top: c/top, bottom: wishbone/shock}")}
		if _, err := Load(f.read, "x"); (err == nil) != ok {
			t.Errorf("single link from %s: %v, want it to load: %v", hole, err, ok)
		}
	}
}

// Every mistake says what was found, and what was expected or meant, on one line with its place and a code.
func TestDiagnosticsAreHelpful(t *testing.T) {
	for name := range map[string]bool{"wrong-unit.yaml": true, "mirrored-single-hole.yaml": true, "no-such-hole.yaml": true, "base-cycle.yaml": true} {
		_, err := Load(dir("testdata/bad"), name)
		var list Diagnostics
		if !errors.As(err, &list) {
			t.Fatalf("%s: %v", name, err)
		}
		for _, d := range list {
			if d.Code == "" || d.Path == "" || d.Place.Line == 0 || !strings.HasPrefix(d.Text, "found ") || !strings.Contains(d.Text, "expected") && !strings.Contains(d.Text, "did you mean") {
				t.Errorf("%s: %+v", name, d)
			}
		}
	}
}

func TestNearest(t *testing.T) {
	names := []string{"mass", "material", "made", "rear lower", "rear upper low", "rear upper high"}
	for word, want := range map[string]string{"mas": "mass", "msas": "mass", "Mass": "mass", "rear lowr": "rear lower", "raer lower": "rear lower", "rear upper": "", "mass": "",
		"xyz": "", "": "", "rear uper high": "rear upper high"} {
		if word == "rear upper" {
			continue // as near to two: either would do
		}
		if got := Nearest(word, names); got != want {
			t.Errorf("%q: %q, want %q", word, got, want)
		}
	}
}

func TestQuantityIn(t *testing.T) {
	b := mustLoad(t, files{"x": lines("lowslung: 1", "targets: {wheelbase: {about: 12 in, within: 2}}")}, "x")
	target, _ := b.Doc.Targets.Get("wheelbase")
	if v, err := target.About.In(quantity.DimLength); err != nil || math.Abs(v-304.8) > 1e-12 {
		t.Errorf("12 in: %v, %v", v, err)
	}
	if _, err := target.About.In(quantity.DimMass); err == nil {
		t.Error("inches are read as a mass")
	}
}
