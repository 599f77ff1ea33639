package shop

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"lowslung/draw"
	"lowslung/examples"
	"lowslung/rig"
	"lowslung/solid"
)

// loadText reads a document out of text, beside the examples.
func loadText(t *testing.T, name string, files map[string]string) (*rig.Build, *solid.Model) {
	t.Helper()
	b, err := rig.Load(func(name string) ([]byte, error) {
		if text, ok := files[name]; ok {
			return []byte(text), nil
		}
		return examples.Files.ReadFile(name)
	}, name)
	if err != nil {
		t.Fatal(err)
	}
	m, err := solid.Resolve(b)
	if err != nil {
		t.Fatal(err)
	}
	return b, m
}

// changed is Bramble with a change.
func changed(t *testing.T, patch string) (*rig.Build, *solid.Model) {
	t.Helper()
	return loadText(t, "x.rig.yaml", map[string]string{"x.rig.yaml": "lowslung: 1\nbase: bramble.rig.yaml\nname: changed\n" + patch})
}

func linkOf(t *testing.T, c *Cut, name string) *CutLink {
	t.Helper()
	for i := range c.Links {
		if c.Links[i].Name == name {
			return &c.Links[i]
		}
	}
	t.Fatalf("no link %q", name)
	return nil
}

// What is on the list, put together on the bench, has to measure what is written: rod, what both ends add, and how far they are out.
func TestCutListAddsUp(t *testing.T) {
	for _, name := range []string{"bramble.rig.yaml", "bramble-portal.rig.yaml"} {
		b, m := loadText(t, name, nil)
		c := CutOf(b, m)
		made := 0
		for i := range c.Links {
			l := &c.Links[i]
			sum := *l.CutMM
			for _, e := range l.Ends {
				sum += e.AddsMM + *e.OutMM
				if *e.OutMM > *e.MostMM+1e-9 {
					t.Errorf("%s, %s: an end is out by %g mm and may be by %g", name, l.Name, *e.OutMM, *e.MostMM)
				}
				if *e.HoldsMM < 6-1e-9 { // 2 diameters of M3
					t.Errorf("%s, %s: %g mm of thread hold", name, l.Name, *e.HoldsMM)
				}
			}
			if math.Abs(sum-*l.EyeToEyeMM) > 1e-9 {
				t.Errorf("%s, %s: the parts make %g mm, the list says %g", name, l.Name, sum, *l.EyeToEyeMM)
			}
			switch l.Path { // of the steering's two rods there is one each
			case "steer/tie_rod":
				made++
				if math.Abs(m.Steer.TieRod-*l.EyeToEyeMM) > 1e-9 {
					t.Errorf("%s, %s: the model has %g mm, the list %g", name, l.Name, m.Steer.TieRod, *l.EyeToEyeMM)
				}
			case "steer/drag_link":
				made++
				if math.Abs(m.Steer.Drag-*l.EyeToEyeMM) > 1e-9 {
					t.Errorf("%s, %s: the model has %g mm, the list %g", name, l.Name, m.Steer.Drag, *l.EyeToEyeMM)
				}
			}
			for k := range m.Links {
				if m.Links[k].Name == l.Name {
					made++
					if math.Abs(m.Links[k].Length-*l.EyeToEyeMM) > 1e-9 {
						t.Errorf("%s, %s: the model has %g mm, the list %g", name, l.Name, m.Links[k].Length, *l.EyeToEyeMM)
					}
				}
			}
			made -= l.Count
		}
		if made != 0 || len(c.Findings) != 0 {
			t.Errorf("%s: %d links more in the model than on the list; findings %v", name, made, c.Findings)
		}
	}
}

func TestCutListSaysWhatIsMissing(t *testing.T) {
	b, m := changed(t, "links:\n  front upper: {length: 112.5, rod: null, ends: null, turns: null}\n")
	c := CutOf(b, m)
	l := linkOf(t, &c, "front upper")
	if l.CutMM != nil || *l.EyeToEyeMM != 112.5 || strings.Join(l.Missing, " ") != "links/front upper/rod links/front upper/ends" {
		t.Errorf("a plain length: %+v", l)
	}
	if len(c.Findings) != 1 || c.Findings[0].Code != "shop/link-parts" || !strings.Contains(c.Findings[0].Sentence, `"links/front upper/rod"`) {
		t.Errorf("findings: %v", c.Findings)
	}
	// Ends without a rod: what lies between them when they are home. 112.5 − 15 − 15 = 82.5.
	b, m = changed(t, "links:\n  front upper: {length: 112.5, rod: null, turns: null}\n")
	c = CutOf(b, m)
	if l = linkOf(t, &c, "front upper"); l.CutMM == nil || math.Abs(*l.CutMM-82.5) > 1e-9 {
		t.Errorf("cut from stock: %+v", l)
	}
	// A length with rod and ends: the turns that make it. 85 + 15 + 15 = 115; 117 is 2 mm out, 4 turns of M3's 0.5 mm (ISO 261).
	b, m = changed(t, "links:\n  front upper: {length: 117, turns: null}\n")
	c = CutOf(b, m)
	if l = linkOf(t, &c, "front upper"); l.Turns == nil || math.Abs(*l.Turns-4) > 1e-9 || *l.Ends[0].OutMM != 1 {
		t.Errorf("turns of a length: %+v", l)
	}
	// 16 turns on a short and a long end, which may be 3 mm and 5 mm out: 3 and 5, not 4 and 4.
	b, m = changed(t, "links:\n  front transverse: {turns: 16}\n")
	c = CutOf(b, m)
	if l = linkOf(t, &c, "front transverse"); math.Abs(*l.Ends[0].OutMM-3) > 1e-9 || math.Abs(*l.Ends[1].OutMM-5) > 1e-9 {
		t.Errorf("uneven ends: out by %g and %g mm", *l.Ends[0].OutMM, *l.Ends[1].OutMM)
	}
	b, m = loadText(t, "y.rig.yaml", map[string]string{"y.rig.yaml": "lowslung: 1\nname: nothing\n"})
	if c = CutOf(b, m); len(c.Findings) != 1 || c.Findings[0].Code != "shop/no-links" {
		t.Errorf("no links: %v", c.Findings)
	}
}

// A bent rod against its middle line drawn with arcs in the corners: its length, and where the middle of each arc lies along it.
func TestBendsMatchTheDrawnMiddleLine(t *testing.T) {
	b, m := changed(t, "links:\n  rear lower:\n    bend: [{along: 35, rise: 9}, {along: 72, rise: 6}]\n")
	c := CutOf(b, m)
	l := linkOf(t, &c, "rear lower")
	line := []draw.Point{draw.Pt(0, 0), draw.Pt(35, 9), draw.Pt(72, 6), draw.Pt(*l.EyeToEyeMM, 0)}
	r := l.Bends[0].RadiusMM
	var path draw.Path
	var marks []float64
	path = append(path, draw.Seg{Verb: draw.MoveTo, To: line[0]})
	for k := 1; k < 3; k++ {
		in, out := line[k].Minus(line[k-1]).Unit(), line[k+1].Minus(line[k]).Unit()
		angle := math.Acos(in.X*out.X + in.Y*out.Y)
		tangent := r * math.Tan(angle/2)
		from, to := line[k].Minus(in.Times(tangent)), line[k].Plus(out.Times(tangent))
		path = append(path, draw.Seg{Verb: draw.LineTo, To: from})
		marks = append(marks, path.Length()+r*angle/2)
		centre := from.Plus(in.Left().Times(-r)) // both corners turn right
		path = append(path, draw.Seg{Verb: draw.ArcTo, To: to, Centre: centre, R: r, From: math.Atan2(in.X, -in.Y), Sweep: -angle})
		if d := centre.Polar(r, math.Atan2(in.X, -in.Y)-angle).Minus(to).Norm(); d > 1e-9 {
			t.Fatalf("the arc misses the next leg by %g mm", d)
		}
		if got := l.Bends[k-1].AngleDeg * math.Pi / 180; math.Abs(got-angle) > 1e-9 {
			t.Errorf("bend %d turns %g rad, drawn %g", k, got, angle)
		}
	}
	path = append(path, draw.Seg{Verb: draw.LineTo, To: line[3]})
	before := l.Ends[0].AddsMM + *l.Ends[0].OutMM
	want := path.Length() - before - l.Ends[1].AddsMM - *l.Ends[1].OutMM
	if math.Abs(*l.CutMM-want) > 1e-9 {
		t.Errorf("cut to %g mm, the middle line leaves %g", *l.CutMM, want)
	}
	for k := range marks {
		if math.Abs(*l.Bends[k].MarkMM-(marks[k]-before)) > 1e-9 {
			t.Errorf("bend %d is marked at %g mm, drawn at %g", k+1, *l.Bends[k].MarkMM, marks[k]-before)
		}
	}
	if len(c.Findings) == 0 || c.Findings[len(c.Findings)-1].Code != "shop/bent-rod-short" {
		t.Errorf("a bent rod needs more than a straight one: %v", c.Findings)
	}
}

// Which way to bend, told from the chassis end along the rod: a corner to the left of the car turns the rest of a front link right, and, since a rear link
// runs backwards, the rest of a rear link to the hand that is left there.
func TestBendsAreToldFromTheChassisEnd(t *testing.T) {
	for _, c := range []struct {
		link, bend, want string
		mirrored         bool
	}{
		{"front lower", "{along: 50, rise: 5}", "down", false},
		{"front lower", "{along: 50, rise: -5}", "up", false},
		{"front lower", "{along: 50, side: 5}", "right", true},
		{"rear lower", "{along: 50, side: 5}", "left", true},
		{"rear lower", "{along: 50, side: -5}", "right", true},
		{"rear lower", "{along: 50, rise: 5}", "down", false},
	} {
		b, m := changed(t, fmt.Sprintf("links:\n  %s:\n    bend: [%s]\n", c.link, c.bend))
		cut := CutOf(b, m)
		l := linkOf(t, &cut, c.link)
		if !strings.HasPrefix(l.Bends[0].Towards, c.want) || l.Mirrored != c.mirrored {
			t.Errorf("%s bent at %s: %q, mirrored %v; want %q, %v", c.link, c.bend, l.Bends[0].Towards, l.Mirrored, c.want, c.mirrored)
		}
	}
	b, m := changed(t, "links:\n  rear lower:\n    bend: [{along: 20, rise: 8}]\n")
	cut := CutOf(b, m)
	tight := false
	for _, f := range cut.Findings {
		tight = tight || f.Code == "shop/bend-too-tight"
	}
	if !tight {
		t.Errorf("a bend in the thread passes: %v", cut.Findings)
	}
}

// Every word and line of the drawings stays on its page, inside the frame.
func TestCutDrawingsStayInside(t *testing.T) {
	for _, patch := range []string{
		"", "links:\n  front upper: {length: 740, rod: null, ends: null, turns: null}\n",
		"links:\n  rear lower:\n    bend: [{along: 20, rise: 9, side: 3}, {along: 45, rise: 12}, {along: 80, rise: -14}]\n",
		"links:\n  a link with a very long name that goes on and on until it is longer than any paper that one would put it on, and then some more: {axle: rear, from: belly/rear lower, to: rear axle/lower, length: 100}\n",
	} {
		b, m := changed(t, patch)
		c := CutOf(b, m)
		for _, f := range []draw.Format{draw.A4, draw.Letter} {
			doc := c.Document(Paper{Format: f, Document: strings.Repeat("Bramble ", 40), Hash: "0123456789ab", Date: "2026-11-27"})
			inside(t, doc)
			if _, err := draw.PDF(doc); err != nil {
				t.Error(err)
			}
		}
	}
}

// inside checks that nothing is drawn outside of the frame.
func inside(t *testing.T, doc *draw.Document) {
	t.Helper()
	for _, p := range doc.Pages {
		frame := draw.Box{Min: draw.Pt(draw.Margin, draw.Margin), Max: draw.Pt(p.W-draw.Margin, p.H-draw.Margin)}.Grown(0.01)
		for i := range p.Items {
			it := &p.Items[i]
			if it.Clip != nil {
				continue
			}
			if b := it.Bounds(); !frame.Holds(b.Min) || !frame.Holds(b.Max) {
				what := ""
				if it.Text != nil {
					what = it.Text.S
				}
				if it.Dim != nil {
					what = it.Dim.Label()
				}
				t.Errorf("%s: something on layer %s leaves the frame: %.1f…%.1f %.60q", p.Name, it.Layer, b.Min, b.Max, what)
			}
		}
	}
}
