package rocks

import (
	"fmt"
	"strings"
	"testing"
)

// bump is a map with a rise across it in the middle.
func bump(lines, across int, high float64) string {
	var b strings.Builder
	b.WriteString("# a rise\ncell 20 mm\nheights cm\n")
	for i := range lines {
		for k := range across {
			z := 0.0
			if i > lines/2 && i < lines/2+6 {
				z = high / 10
			}
			if k > 0 {
				b.WriteString([]string{", ", " ", ";", "\t"}[i%4])
			}
			fmt.Fprintf(&b, "%g", z)
		}
		b.WriteString("\n")
	}
	return b.String()
}

func TestMap(t *testing.T) {
	m, err := ParseMap(bump(60, 30, 30))
	if err != nil {
		t.Fatal(err)
	}
	if m.CellMM != 20 || m.Lines != 60 || m.Across != 30 || m.Heights[31*30] != 30 {
		t.Fatalf("found a map of %d × %d, cell %g mm, %g mm in its middle", m.Lines, m.Across, m.CellMM, m.Heights[31*30])
	}
	a, err := Assess(demo(t, "gully.rig.yaml"), Options{Map: m, Frames: true})
	if err != nil {
		t.Fatal(err)
	}
	if a.Run.Ended.Outcome != "through" || a.Run.Course.Field == nil {
		t.Errorf("a rise of 30 mm: %s", a.Run.Ended.Sentence)
	}
	top := 0.0
	for _, f := range a.Run.Frames {
		top = max(top, f.OriginMM[2])
	}
	if rise := top - a.Run.Frames[0].OriginMM[2]; rise < 10 || rise > 45 {
		t.Errorf("on its way over a rise of 30 mm the chassis rises by %.1f mm", rise)
	}
}

// The left of a line is the left of the way.
func TestMapIsTheRightWayRound(t *testing.T) {
	lines := "cell 25 mm\n"
	for range 50 {
		lines += "80 60 40 20 0 0 0 0 0 0 0 0 0 0\n"
	}
	m, err := ParseMap(lines)
	if err != nil {
		t.Fatal(err)
	}
	c, err := m.course(machineOf(t, demo(t, "gully.rig.yaml"), &Options{}))
	if err != nil {
		t.Fatal(err)
	}
	if z, _ := c.rock[0].field.height(0, 160); z < 60 {
		t.Errorf("to the left of the way the map is %.1f mm high, expected about 80", z)
	}
}

func TestBadMaps(t *testing.T) {
	for text, want := range map[string]string{
		"":                        "found 0 lines",
		"0 0\n0 0":                "line 1: found heights before the size of a cell",
		"cell 20 mm\n0 0 0\n0 0":  "line 3: found 2 heights, expected 3",
		"cell 20 mm\n0 x\n":       `line 2: found "x", expected a height`,
		"cell 0.1 mm\n":           "line 1: found a cell of 0.1 mm",
		"cell twenty\n":           "line 1: cell:",
		"cell 20\nheights ells\n": `line 2: found heights in "ells"`,
		"cell 20\n0 9e9\n0 0":     "line 2: found a height of 9e+09 mm",
		"cell 20\n0 NaN\n0 0":     `line 2: found "NaN"`,
		"cell 20\n0 0\n":          "found 1 lines",
	} {
		if _, err := ParseMap(text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: found %v, expected %q in it", text, err, want)
		}
	}
	m, err := ParseMap("cell 20\n0 0\n0 0")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Assess(demo(t, "gully.rig.yaml"), Options{Map: m}); err == nil || !strings.Contains(err.Error(), "along the way, expected at least") {
		t.Errorf("a map too short: found %v", err)
	}
}

func FuzzParseMap(f *testing.F) {
	f.Add(bump(4, 3, 20))
	f.Add("cell 1 in\nheights in\n1;2\n3,4\n")
	f.Fuzz(func(t *testing.T, text string) {
		m, err := ParseMap(text)
		if err == nil && (len(m.Heights) != m.Lines*m.Across || m.CellMM < 2) {
			t.Errorf("found %d heights in a map of %d × %d", len(m.Heights), m.Lines, m.Across)
		}
	})
}
