package sheet

import (
	"slices"
	"strings"
	"testing"

	"lowslung/channel"
	"lowslung/check"
	"lowslung/quantity"
)

// Every number on the sheet is the answer's, printed by its row of the catalogue: asked here again, apart from the sheet.
func TestNumbersAreTheAnswers(t *testing.T) {
	b, k := load(t, "bramble-portal.rig.yaml"), load(t, "bramble.rig.yaml")
	for _, units := range []quantity.System{quantity.Metric, quantity.US} {
		s := made(t, b, Options{Against: k, Units: units})
		want := map[string][2]string{}
		for i, one := range []*Build{k, b} {
			a, err := check.Assess(one.Model, check.Options{Thorough: true, Units: units})
			if err != nil {
				t.Fatal(err)
			}
			for _, v := range a.Numbers() {
				row := want[v.Channel.Name]
				row[i] = v.Channel.Format(v.Value, units)
				want[v.Channel.Name] = row
			}
		}
		for _, key := range []string{"key", "numbers"} {
			rows := 0
			for _, r := range s.section(t, key).tables()[0].Rows {
				if r.Group {
					continue
				}
				rows++
				if w, ok := want[r.Cells[0]]; !ok || r.Cells[1] != w[0] || r.Cells[2] != w[1] {
					t.Errorf("%s in %s: %q was %q is %q, the answers say %q", r.Cells[0], key, r.Cells, r.Cells[1], r.Cells[2], w)
				}
			}
			if key == "numbers" && rows != len(want) {
				t.Errorf("%d numbers, the answers have %d", rows, len(want))
			}
		}
	}
}

// The other system stands beside a length, with the factor of the international inch (25.4 mm, 1959), and an angle is not said twice.
func TestBothUnitSystems(t *testing.T) {
	s := made(t, load(t, "bramble.rig.yaml"), Options{})
	seen := 0
	for _, r := range s.section(t, "key").tables()[0].Rows {
		switch r.Cells[0] {
		case "wheelbase":
			seen++
			mm, err1 := quantity.DimLength.Parse(r.Cells[1])
			in, err2 := quantity.DimLength.Parse(r.Cells[2])
			if err1 != nil || err2 != nil || !strings.HasSuffix(r.Cells[2], " in") || mm-in > 0.07 || in-mm > 0.07 {
				t.Errorf("wheelbase %q and %q", r.Cells[1], r.Cells[2])
			}
		case "rear pinion angle":
			seen++
			if r.Cells[2] != "" {
				t.Errorf("the pinion angle again: %q", r.Cells)
			}
		}
	}
	if seen != 2 {
		t.Errorf("%d of the two rows", seen)
	}
}

func TestEstimatesAreCalledSo(t *testing.T) {
	s := made(t, load(t, "bramble.rig.yaml"), Options{})
	said := 0
	for _, r := range s.section(t, "numbers").tables()[0].Rows {
		if r.Group {
			continue
		}
		estimate := strings.Contains(channel.Must(r.Cells[0]).Doc, "estimate")
		if estimate != (r.Cells[3] == "estimate") {
			t.Errorf("%s: %q", r.Cells[0], r.Cells[3])
		}
		if estimate {
			said++
		}
	}
	if said < 5 {
		t.Errorf("only %d numbers are estimates", said)
	}
}

// Weights are those of the document: 236 g of body in bramble.rig.yaml, two tyres of 152 g from the bin; the sum is what the rows add up to.
func TestPartsAndTheirSum(t *testing.T) {
	s := made(t, load(t, "bramble.rig.yaml"), Options{})
	rows := s.section(t, "parts").tables()[0].Rows
	weight := map[string]string{}
	sum, groups := 0.0, 0.0
	for _, r := range rows {
		v, err := quantity.DimMass.Parse(r.Cells[2] + " g")
		if err != nil {
			t.Fatalf("%q: %v", r.Cells, err)
		}
		switch {
		case r.Group:
			groups += v
		case r.Sum:
			if sum-v > 1e-3 || v-sum > 1e-3 || groups-v > 1e-3 || v-groups > 1e-3 {
				t.Errorf("all is %.4f kg, rows %.4f, groups %.4f", v, sum, groups)
			}
		default:
			sum += v
			weight[r.Cells[0]] = r.Cells[2]
		}
	}
	if weight["body"] != "236.0" || weight["front tyre"] != "304.0" {
		t.Errorf("body %q, front tyre %q", weight["body"], weight["front tyre"])
	}
}

// What the document says is what the set-up says: turns, rods, collars, oil and teeth of bramble.rig.yaml and its bin.
func TestSetUpSaysWhatTheDocumentSays(t *testing.T) {
	s := made(t, load(t, "bramble.rig.yaml"), Options{})
	text := string(s.Markdown())
	for _, want := range []string{
		"| rear upper | 2 | 119.0 mm | Link rod 6 × 95, M3 | 2 × Rod end M3 short | 4 |", // 95 + 2·11 + 4 turns of 0.5 mm
		"4.6 mm | 350 cSt | 2 holes Ø 1.2 mm",
		"pinion · spur, 12 : 56 teeth, ratio 4.667",
		"ring 30, pinion 8 teeth",
		"| lock, inner wheel | left 36.0°, right 36.0° |",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q", want)
		}
	}
}

func TestSectionsAskedFor(t *testing.T) {
	list, err := ParseSections("cautions, key")
	if err != nil {
		t.Fatal(err)
	}
	s := made(t, load(t, "bramble.rig.yaml"), Options{Sections: list})
	if len(s.Sections) != 2 || s.Sections[0].Key != "key" || s.Sections[1].Key != "cautions" {
		t.Errorf("sections %v", s.Sections)
	}
	if _, err := ParseSections("key,prices"); err == nil || !strings.Contains(err.Error(), `found the section "prices"`) {
		t.Errorf("got %v", err)
	}
	if all, _ := ParseSections("all"); !slices.Equal(all, SectionNames()) {
		t.Errorf("all is %v", all)
	}
	if _, err := ParsePaper("a3"); err == nil || !strings.Contains(err.Error(), `found paper "a3", expected a4 or letter`) {
		t.Errorf("got %v", err)
	}
}

// A rig of which next to nothing is known has a sheet all the same, in every format.
func TestBareRig(t *testing.T) {
	for name, text := range map[string]string{
		"empty":    "lowslung: 1\n",
		"one part": "lowslung: 1\nchassis: {parts: {a: {mass: 1}}}\n",
		"one axle": "lowslung: 1\nchassis: {parts: {a: {holes: {h: {at: [0, 0, 0]}}}}}\nrear: {near: [-100, 0, 0], parts: {b: {kind: axle, shape: [{box: [10, 100, 10]}]}}}\n",
		"huge":     "lowslung: 1\nchassis: {parts: {a: {shape: [{box: [90000, 1, 1]}]}}}\n",
	} {
		s := made(t, load(t, "it.rig.yaml", text), Options{Against: load(t, "it.rig.yaml", text)})
		for _, f := range Formats {
			if out, err := s.Write(f, 0); err != nil || len(out) == 0 {
				t.Errorf("%s as %s: %d bytes, %v", name, f, len(out), err)
			}
		}
	}
}

func TestSameInputSameBytes(t *testing.T) {
	twice := [2]*Sheet{}
	for i := range twice {
		twice[i] = made(t, load(t, "bramble-portal.rig.yaml"), Options{Against: load(t, "bramble.rig.yaml")})
	}
	for _, f := range Formats {
		a, err := twice[0].Write(f, 1777680000)
		if err != nil {
			t.Fatal(err)
		}
		b, err := twice[1].Write(f, 1777680000)
		if err != nil {
			t.Fatal(err)
		}
		if string(a) != string(b) {
			t.Errorf("%s differs from run to run", f)
		}
	}
}

// From answers asked to the file's bytes, everything in it, for the demo conversion: over 40 parts.
func BenchmarkSheetPDF(b *testing.B)  { bench(b, "pdf", Options{}) }
func BenchmarkSheetHTML(b *testing.B) { bench(b, "html", Options{}) }
func BenchmarkSheetComparisonPDF(b *testing.B) {
	bench(b, "pdf", Options{Against: load(b, "bramble.rig.yaml")})
}

func bench(b *testing.B, format string, o Options) {
	build := load(b, "bramble-portal.rig.yaml")
	parts := len(build.Model.Doc.Chassis.Parts) + len(build.Model.Doc.Front.Parts) + len(build.Model.Doc.Rear.Parts)
	if parts < 40 {
		b.Fatalf("the rig has %d parts", parts)
	}
	for b.Loop() {
		out, err := made(b, build, o).Write(format, 0)
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(len(out))/1000, "kB")
	}
	b.ReportMetric(float64(parts), "parts")
}
