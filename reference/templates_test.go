package reference

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"lowslung/draw"
	"lowslung/examples"
	"lowslung/rig"
	"lowslung/shop"
	"lowslung/solid"
)

// The promise of a template: printed at 100 %, a calliper finds between its holes what the document says. The calliper here is poppler for PDF and ezdxf for
// DXF; what the document says is taken from its own text, hole by hole, past our model.

func templates(t *testing.T, name string) (*rig.Build, *shop.Templates) {
	t.Helper()
	b, err := rig.Load(examples.Files.ReadFile, name)
	if err != nil {
		t.Fatal(err)
	}
	m, err := solid.Resolve(b)
	if err != nil {
		t.Fatal(err)
	}
	ts, err := shop.TemplatesOf(b, m, shop.TemplateOptions{Parts: []string{"belly"}})
	if err != nil {
		t.Fatal(err)
	}
	return b, &ts
}

// bellyHoles are the holes of the belly's left side, (x, z) in mm, as its document has them; one that sits on the other side only is not among them.
func bellyHoles(t *testing.T, b *rig.Build) (out []draw.Point) {
	t.Helper()
	p, ok := b.Doc.Chassis.Parts.Get("belly")
	if !ok {
		t.Fatal("no belly")
	}
	for i := range p.Holes {
		at := p.Holes[i].Value.At
		out = append(out, draw.Pt(float64(at[0]), float64(at[2])))
	}
	return out
}

// spans compares all distances between two sets of points.
func spans(t *testing.T, what string, want, got []draw.Point) {
	t.Helper()
	if len(got) != len(want) {
		t.Fatalf("%s: %d holes, the document has %d", what, len(got), len(want))
	}
	list := func(p []draw.Point) (out []float64) {
		for i := range p {
			for k := i + 1; k < len(p); k++ {
				out = append(out, p[i].Minus(p[k]).Norm())
			}
		}
		return out
	}
	left, worst := list(got), 0.0
	for _, w := range list(want) {
		best, at := math.Inf(1), -1
		for i, g := range left {
			if e := math.Abs(g - w); e < best {
				best, at = e, i
			}
		}
		worst = max(worst, best)
		left = append(left[:at:at], left[at+1:]...)
	}
	if worst > calliper {
		t.Errorf("%s: distances between holes are off by %.3f mm", what, worst)
	}
	t.Logf("%s: %d distances between %d holes, the worst off by %.4f mm", what, len(list(want)), len(want), worst)
}

func TestTemplatesFitACalliper(t *testing.T) {
	for _, name := range []string{"bramble.rig.yaml", "bramble-portal.rig.yaml"} {
		b, ts := templates(t, name)
		want := bellyHoles(t, b)
		for _, paper := range []draw.Format{draw.A4, draw.Letter} {
			files, err := ts.Files("pdf", shop.Paper{Format: paper, Document: name})
			if err != nil {
				t.Fatal(err)
			}
			file := filepath.Join(t.TempDir(), "a.pdf")
			if err := os.WriteFile(file, files[0].Data, 0o600); err != nil {
				t.Fatal(err)
			}
			if text := poppler(t, "pdftotext", "-f", "2", "-l", "2", file, "-"); !strings.Contains(text, "belly, from the left") || !strings.Contains(text, "Ø 3.4") {
				t.Fatalf("%s: page 2 is another one: %.300s", name, text)
			}
			page, w, h := readSVG(t, poppler(t, "pdftocairo", "-svg", "-noshrink", "-nocenter", "-f", "2", "-l", "2", file, "-"))
			if math.Abs(w-paper.W) > calliper || math.Abs(h-paper.H) > calliper {
				t.Errorf("%s: the page is %.2f × %.2f mm", paper.Name, w, h)
			}
			var holes []draw.Point
			rules := 0
			for _, l := range page {
				if math.Abs(l.length-math.Pi*3.4) < calliper && math.Abs(l.box.W()-3.4) < calliper && math.Abs(l.box.H()-3.4) < calliper {
					holes = append(holes, l.box.Middle())
				}
				if math.Abs(l.length-50) < calliper && (math.Abs(l.box.W()-50) < calliper || math.Abs(l.box.H()-50) < calliper) {
					rules++
				}
			}
			spans(t, fmt.Sprintf("%s on %s", name, paper.Name), want, holes)
			if rules != 2 {
				t.Errorf("%s: %d rules of 50 mm on the page, want one each way", name, rules)
			}
		}
		files, err := ts.Files("dxf", shop.Paper{})
		if err != nil {
			t.Fatal(err)
		}
		got := readDXF(t, files[0].Data)
		if len(got.Errors)+len(got.Fixes) > 0 || got.Units != 4 {
			t.Errorf("the audit complains: %v %v, units %d", got.Errors, got.Fixes, got.Units)
		}
		var holes []draw.Point
		for _, e := range got.Entities {
			if e.Kind == "CIRCLE" && e.Layer == "HOLES" {
				holes = append(holes, draw.Pt((e.Box[0]+e.Box[2])/2, (e.Box[1]+e.Box[3])/2))
			}
		}
		spans(t, name+" as DXF", want, holes)
	}
}
