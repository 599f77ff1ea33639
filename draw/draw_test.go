package draw

import (
	"bytes"
	"encoding/xml"
	"image/png"
	"io"
	"math"
	"os"
	"strings"
	"testing"
)

// sampler has one of everything on it.
func sampler() *Drawing {
	s := Sheet{
		Format: A4, Document: "Bramble & <friends>", Hash: "3f9a0c12", Date: "2026-11-27", Scale: "1:1", Rule: true,
		Note: "Print at 100 % (no fitting to the page). Measure both rules with a calliper before you drill.",
	}
	d := s.Page("Sampler")
	d.Layer("outline", "Outline", Black)
	d.Layer("holes", "Holes", Red)
	d.Stroke("outline", Rect(30, 200, 96, 70), Pen(0.35))
	d.Stroke("holes", Circle(Pt(60, 240), 1.7), Pen(0.18))
	d.Stroke("holes", Slot(Pt(80, 240), Pt(95, 250), 1.7), Pen(0.18))
	d.Stroke("outline", Arc(Pt(60, 150), 20, 0.3, 4), Pen(0.25).Dashed(2, 1))
	d.Stroke("outline", Path{{Verb: MoveTo, To: Pt(100, 140)}, {Verb: CurveTo, C1: Pt(110, 180), C2: Pt(140, 120), To: Pt(150, 160)}}, Pen(0.5).Coloured(Blue))
	d.Measure("dimensions", Dim{A: Pt(30, 200), B: Pt(126, 200), Off: -8})
	d.Measure("dimensions", Dim{Kind: Upright, A: Pt(126, 200), B: Pt(126, 270), Off: 10})
	d.Measure("dimensions", Dim{Kind: Across, A: Pt(60, 240), B: Pt(80, 240), Off: 20})
	d.Measure("dimensions", Dim{A: Pt(80, 240), B: Pt(95, 250), Off: 8})
	d.Measure("dimensions", Dim{Kind: Across, A: Pt(120, 240), B: Pt(126, 240), Off: 5})
	d.Measure("dimensions", Dim{Kind: Diameter, A: Pt(60, 240), B: Pt(60, 240).Polar(1.7, 2.4), Off: 6})
	d.Measure("dimensions", Dim{Kind: Radius, A: Pt(60, 150), B: Pt(60, 150).Polar(20, 1), Off: 6})
	d.Measure("dimensions", Dim{Kind: Angle, At: Pt(100, 100), A: Pt(130, 100), B: Pt(100, 100).Polar(30, 0.7), Off: 25})
	d.Stroke("outline", Polyline(Pt(130, 100), Pt(100, 100), Pt(100, 100).Polar(30, 0.7)), Pen(0.35))
	for k, a := range []Anchor{Start, Middle, End} {
		d.Write("notes", Text{At: Pt(150, 100-8*float64(k)), S: "Ø 3.4 ± 0.1 ° µm ½", Size: 3.5, Anchor: a, Face: Face(k)})
	}
	d.Write("notes", Text{At: Pt(30, 60), S: "turned, behind it white", Size: 4, Turn: 0.4, Back: true})
	(&Chart{
		Title: "Chart", X: Axis{Title: "heave, mm"}, Y: Axis{Title: "pinion angle, °"},
		Lines: []Series{{Name: "front", X: []float64{-20, -10, 0, 10, 20}, Y: []float64{3, 4, 6, 9, 14}}, {Name: "rear", X: []float64{-20, 0, math.NaN(), 10, 20}, Y: []float64{-3, 4, 6, 9, 4}}},
		Marks: []Mark{{0, 6, "as it stands"}, {20, 14, "full bump"}},
	}).Draw(d, "chart", Box{Pt(85, 40), Pt(180, 90)})
	return d
}

func TestLook(t *testing.T) {
	dir := os.Getenv("DRAW_LOOK")
	if dir == "" {
		t.Skip("DRAW_LOOK names no folder to write the sampler into")
	}
	d := sampler()
	p, err := PNG(d, 110)
	if err != nil {
		t.Fatal(err)
	}
	pdf, err := PDF(&Document{Title: "Sampler", Pages: []*Drawing{d}, TrueSize: true})
	if err != nil {
		t.Fatal(err)
	}
	for name, b := range map[string][]byte{"s.png": p, "s.svg": SVG(d), "s.dxf": DXF(d), "s.pdf": pdf} {
		if err := os.WriteFile(dir+"/"+name, b, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

func TestSameBytesTwice(t *testing.T) {
	for range 3 {
		a, err := PDF(&Document{Title: "Sampler", Pages: []*Drawing{sampler(), sampler()}, Unix: 1764201600, TrueSize: true})
		b, err2 := PDF(&Document{Title: "Sampler", Pages: []*Drawing{sampler(), sampler()}, Unix: 1764201600, TrueSize: true})
		if err != nil || err2 != nil || !bytes.Equal(a, b) {
			t.Fatal("two PDFs of the same drawing differ", err, err2)
		}
		p, _ := PNG(sampler(), 60)
		q, _ := PNG(sampler(), 60)
		if !bytes.Equal(p, q) || !bytes.Equal(SVG(sampler()), SVG(sampler())) || !bytes.Equal(DXF(sampler()), DXF(sampler())) {
			t.Fatal("two pictures of the same drawing differ")
		}
	}
}

func TestSVGIsWellFormedWhateverTheNames(t *testing.T) {
	for _, name := range nasty {
		d := New(name, 100, 100)
		d.Write(name, Text{At: Pt(1, 1), S: name, Size: 3})
		d.Add(Item{Layer: name, Path: Circle(Pt(1, 1), 1), Style: Pen(1), Note: name, Link: name})
		dec := xml.NewDecoder(bytes.NewReader(SVG(d)))
		for {
			tok, err := dec.Token()
			if err == io.EOF {
				break
			}
			if err != nil {
				t.Fatalf("%q: %v", name, err)
			}
			if e, ok := tok.(xml.StartElement); ok && (e.Name.Local == "script" || e.Name.Local == "a" && !strings.HasPrefix(e.Attr[0].Value, "http")) {
				t.Errorf("%q made its way into the markup", name)
			}
		}
		if _, err := PDF(&Document{Title: name, Pages: []*Drawing{d}}); err != nil {
			t.Errorf("%q: %v", name, err)
		}
		if _, err := PNG(d, 50); err != nil {
			t.Errorf("%q: %v", name, err)
		}
		lines := strings.Split(string(DXF(d)), "\n")
		if len(lines)%2 != 1 || lines[len(lines)-2] != "EOF" {
			t.Errorf("%q broke the pairs of the DXF", name)
		}
	}
}

var nasty = []string{
	"", " ", "a\x00b\nc\td", "<script>alert(1)</script>", `"><svg onload=x>`, "javascript:alert(1)", "]]>&amp;", "%%c 100 % ^J \\U+0041", "\xff\xfe", "части 部品 🚙 \u202eevil",
	strings.Repeat("long ", 2000), "(unbalanced \\ paren", "0\nSECTION\n",
}

func TestFitAndWrapStayInside(t *testing.T) {
	for _, name := range append(nasty, "Rear upper link, the one with the dent", "Übermaß") {
		for _, w := range []float64{1, 5, 20, 60} {
			if s := Fit(name, Sans, 3, w); Width(s, Sans, 3) > w+1e-9 {
				t.Errorf("Fit(%.20q, %g mm) is %g mm wide", name, w, Width(s, Sans, 3))
			}
			if w < 5 {
				continue
			}
			for _, s := range Wrap(name, Sans, 3, w) {
				if Width(s, Sans, 3) > w+1e-9 {
					t.Errorf("Wrap(%.20q, %g mm) has a line of %g mm", name, w, Width(s, Sans, 3))
				}
			}
		}
	}
}

// Lengths by the formulas of the circle and against Go's own words for arc length: 2πr, rφ, and a cubic whose length is known, a straight one.
func TestLengths(t *testing.T) {
	for _, c := range []struct {
		name string
		p    Path
		want float64
	}{
		{"circle", Circle(Pt(3, 4), 10), 20 * math.Pi},
		{"arc", Arc(Pt(3, 4), 10, 1, -2), 20},
		{"slot", Slot(Pt(0, 0), Pt(30, 40), 2), 100 + 4*math.Pi},
		{"straight cubic", Path{{Verb: MoveTo}, {Verb: CurveTo, C1: Pt(10, 0), C2: Pt(20, 0), To: Pt(30, 0)}}, 30},
	} {
		if got := c.p.Length(); math.Abs(got-c.want) > 1e-6 {
			t.Errorf("%s: %g mm long, want %g", c.name, got, c.want)
		}
		long := 0.0 // the same along its curves, as PDF has it
		for _, run := range runs(c.p.curves()) {
			long += run.Length()
		}
		if math.Abs(long-c.want) > 1e-3 {
			t.Errorf("%s as curves: %g mm long, want %g", c.name, long, c.want)
		}
	}
}

// A placement keeps shape: every distance between points grows by the scale, mirrored or not.
func TestPlacedKeepsShape(t *testing.T) {
	p := Slot(Pt(1, 2), Pt(13, 7), 1.7)
	for _, place := range []Placement{{Turn: 1}, {Flip: true, Turn: -2, Scale: 2, At: Pt(5, 5)}, {Flip: true}} {
		q := p.Placed(place)
		k := place.scale()
		if got := q.Length(); math.Abs(got-k*p.Length()) > 1e-9 {
			t.Errorf("%+v: %g mm long, want %g", place, got, k*p.Length())
		}
		a, _ := p.flat(0.01)
		b, _ := q.flat(0.01 * k)
		for i, pt := range a[0] {
			if d := place.Apply(pt).Minus(b[0][i]).Norm(); d > 1e-9 {
				t.Errorf("%+v: point %d is off by %g mm", place, i, d)
			}
		}
	}
}

func TestPNGHasItsSize(t *testing.T) {
	b, err := PNG(New("x", 254, 127), 100)
	if err != nil {
		t.Fatal(err)
	}
	c, err := png.DecodeConfig(bytes.NewReader(b))
	if err != nil || c.Width != 1000 || c.Height != 500 {
		t.Errorf("254 × 127 mm at 100 dots per inch: %d × %d, %v; want 1000 × 500", c.Width, c.Height, err)
	}
	if _, err := PNG(New("x", 1e5, 1e5), 300); err == nil {
		t.Error("a picture of 10¹² dots was begun")
	}
}

// Ticks against a slow and obvious twin: 1, 2 or 5 times a power of ten, all inside.
func TestTicks(t *testing.T) {
	for _, c := range []struct{ a, b float64 }{{0, 1}, {-20, 20}, {0.001, 0.0042}, {3, 100000}, {-1, -0.3}} {
		ts := Ticks(c.a, c.b, 5)
		if len(ts) < 2 || ts[0] < c.a-1e-9 || ts[len(ts)-1] > c.b+1e-6 {
			t.Errorf("Ticks(%g, %g): %v", c.a, c.b, ts)
			continue
		}
		s := ts[1] - ts[0]
		m := s / math.Pow(10, math.Floor(math.Log10(s)+1e-9))
		if math.Abs(m-1) > 1e-6 && math.Abs(m-2) > 1e-6 && math.Abs(m-5) > 1e-6 {
			t.Errorf("Ticks(%g, %g) are %g apart", c.a, c.b, s)
		}
	}
}

func TestTilesCoverTheDrawing(t *testing.T) {
	thing := New("long", 0, 0)
	thing.Stroke("outline", Rect(0, 0, 420, 300), Pen(0.35))
	s := Sheet{Format: A4, Rule: true}
	pages, err := s.Tile("Long part", thing)
	if err != nil {
		t.Fatal(err)
	}
	if len(pages) < 2 {
		t.Fatalf("420 × 300 mm on %d page of A4", len(pages))
	}
	area := 0.0
	for _, p := range pages {
		var clip *Box
		for _, i := range p.Items {
			if i.Layer == "outline" {
				clip = i.Clip
			}
		}
		if clip == nil {
			t.Fatalf("%s shows nothing of the part", p.Name)
		}
		if r := (&Sheet{Format: Format{"", p.W, p.H}, Rule: true}).Room(); clip.Min.X < r.Min.X-1e-9 || clip.Max.X > r.Max.X+1e-9 || clip.Min.Y < r.Min.Y-1e-9 || clip.Max.Y > r.Max.Y+1e-9 {
			t.Errorf("%s shows more than it has room for", p.Name)
		}
		area += clip.W() * clip.H()
	}
	if area < 420*300 {
		t.Errorf("pages show %g mm² of %g", area, 420.*300)
	}
	small := New("small", 0, 0)
	small.Stroke("outline", Rect(0, 0, 230, 60), Pen(0.35))
	if pages, _ = s.Tile("Small part", small); len(pages) != 1 || pages[0].W < pages[0].H {
		t.Errorf("230 × 60 mm took %d pages; it goes on one laid on its side", len(pages))
	}
	huge := New("huge", 0, 0)
	huge.Stroke("outline", Rect(0, 0, 9000, 9000), Pen(0.35))
	if _, err = s.Tile("Huge part", huge); err == nil {
		t.Error("9 m of part were tiled")
	}
}

func TestDimensionsSayWhatTheyMeasure(t *testing.T) {
	for _, c := range []struct {
		d    Dim
		want string
	}{
		{Dim{A: Pt(0, 0), B: Pt(30, 40)}, "50"},
		{Dim{Kind: Across, A: Pt(0, 0), B: Pt(-30, 40)}, "30"},
		{Dim{Kind: Upright, A: Pt(0, 0), B: Pt(30, -40), Scale: 2}, "20"},
		{Dim{Kind: Diameter, A: Pt(0, 0), B: Pt(0, 1.7)}, "Ø 3.4"},
		{Dim{Kind: Radius, A: Pt(0, 0), B: Pt(0, 1.7)}, "R 1.7"},
		{Dim{Kind: Angle, A: Pt(1, 0), B: Pt(0, 2)}, "90°"},
		{Dim{Kind: Angle, A: Pt(0, 1), B: Pt(1, 0)}, "270°"},
	} {
		if got := c.d.Label(); got != c.want {
			t.Errorf("%+v says %q, want %q", c.d, got, c.want)
		}
		i := Item{Dim: &c.d}
		p := i.placed(Placement{Turn: 0.5, Scale: 3, At: Pt(7, 8)})
		if got := p.Dim.Label(); got != c.want {
			t.Errorf("%+v put elsewhere says %q, want %q", c.d, got, c.want)
		}
	}
}
