package reference

import (
	"encoding/json"
	"encoding/xml"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"lowslung/draw"
)

// What goes on paper is measured back by readers that know nothing of us: PDF by poppler (Debian poppler-utils, which turns it into SVG and into text), DXF
// by ezdxf (Debian python3-ezdxf, MIT), SVG by the formulas of the W3C recommendation. Every line of a drawing has to come back with its box and
// its length within 0.1 mm, which is what a calliper is read to.

const calliper = 0.1 // mm

// paper is a page with every kind of line that the templates use.
func paper() *draw.Drawing {
	s := draw.Sheet{Format: draw.A4, Document: "Bramble", Hash: "0123abcd", Date: "2026-11-27", Scale: "1:1", Rule: true}
	d := s.Page("Measured back")
	d.Layer("outline", "Outline", draw.Black)
	d.Layer("holes", "Holes Ø", draw.Red)
	d.Stroke("outline", draw.Rect(30, 200, 96, 70), draw.Pen(0.35))
	d.Stroke("outline", draw.Arc(draw.Pt(60, 150), 20, 0.3, 4), draw.Pen(0.25).Dashed(2, 1))
	d.Stroke("outline", draw.Arc(draw.Pt(150, 150), 12.5, 0.3, -2), draw.Pen(0.25))
	d.Stroke("outline", draw.Path{{Verb: draw.MoveTo, To: draw.Pt(100, 140)}, {Verb: draw.CurveTo, C1: draw.Pt(110, 180), C2: draw.Pt(140, 120), To: draw.Pt(150, 160)}}, draw.Pen(0.5))
	for k := range 5 {
		d.Stroke("holes", draw.Circle(draw.Pt(40+13.37*float64(k), 240), 1.1+0.45*float64(k)), draw.Pen(0.18))
	}
	d.Stroke("holes", draw.Slot(draw.Pt(40, 215), draw.Pt(52.5, 221), 1.7), draw.Pen(0.18))
	d.Measure("dimensions", draw.Dim{A: draw.Pt(30, 200), B: draw.Pt(126, 200), Off: -8})
	d.Write("notes", draw.Text{At: draw.Pt(30, 100), S: "Ø 3.4 ± 0.1, ½ of 12°", Size: 3.5})
	return d
}

// A line that was read back, mm, y up from the bottom of the sheet.
type readLine struct {
	length float64
	box    draw.Box
}

// strokes is what ought to come back: every stroked path, dimension lines included.
func strokes(d *draw.Drawing) (out []readLine) {
	for _, i := range d.Items {
		parts := []draw.Item{i}
		if i.Dim != nil {
			parts = i.Dim.Parts(i.Layer)
		}
		for _, p := range parts {
			if len(p.Path) > 0 && p.Style.Stroke != draw.None {
				out = append(out, readLine{p.Path.Length(), p.Path.Bounds()})
			}
		}
	}
	return out
}

// cameBack looks for every line of want in got.
func cameBack(t *testing.T, what string, want, got []readLine) {
	t.Helper()
	if len(want) < 100 {
		t.Fatalf("only %d lines to look for", len(want))
	}
	worst := 0.0
	for _, w := range want {
		best := math.Inf(1)
		for _, g := range got {
			e := max(g.box.Min.Minus(w.box.Min).Norm(), g.box.Max.Minus(w.box.Max).Norm(), math.Abs(g.length-w.length))
			best = min(best, e)
		}
		worst = max(worst, best)
		if best > calliper {
			t.Errorf("%s: no line of %.3f mm at %.2f…%.2f; the nearest is off by %.3f mm", what, w.length, w.box.Min, w.box.Max, best)
		}
	}
	t.Logf("%s: %d lines came back, the worst off by %.4f mm", what, len(want), worst)
}

func TestPDFMeasuredByPoppler(t *testing.T) {
	d := paper()
	b, err := draw.PDF(&draw.Document{Title: "Measured", Pages: []*draw.Drawing{d}, TrueSize: true})
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "a.pdf")
	if err := os.WriteFile(file, b, 0o600); err != nil {
		t.Fatal(err)
	}
	svg := poppler(t, "pdftocairo", "-svg", "-noshrink", "-nocenter", file, "-") // without these poppler shrinks A4 to its own idea of A4
	lines, w, h := readSVG(t, svg)
	if math.Abs(w-210) > calliper || math.Abs(h-297) > calliper {
		t.Errorf("the page is %.2f × %.2f mm, want 210 × 297", w, h)
	}
	cameBack(t, "PDF", strokes(d), lines)
	text := poppler(t, "pdftotext", file, "-")
	for _, want := range []string{"Ø 3.4 ± 0.1, ½ of 12°", "Measured back", "0123abcd", "50 mm"} {
		if !strings.Contains(text, want) {
			t.Errorf("pdftotext does not find %q", want)
		}
	}
	fonts := poppler(t, "pdffonts", file)
	for _, row := range strings.Split(strings.TrimSpace(fonts), "\n")[2:] {
		if !regexp.MustCompile(`Identity-H\s+yes`).MatchString(row) {
			t.Errorf("a font is not embedded: %s", row)
		}
	}
	if info := poppler(t, "pdfinfo", file); !strings.Contains(info, "Title:") || strings.Contains(info, "rror") {
		t.Errorf("pdfinfo: %s", info)
	}
}

func TestSVGMeasured(t *testing.T) {
	d := paper()
	lines, w, h := readSVG(t, string(draw.SVG(d)))
	if math.Abs(w-210) > 1e-3 || math.Abs(h-297) > 1e-3 {
		t.Errorf("the sheet is %.3f × %.3f mm, want 210 × 297", w, h)
	}
	cameBack(t, "SVG", strokes(d), lines)
}

func TestDXFReadByEzdxf(t *testing.T) {
	d := paper()
	got := readDXF(t, draw.DXF(d))
	if len(got.Errors)+len(got.Fixes) > 0 {
		t.Errorf("the audit complains: %v %v", got.Errors, got.Fixes)
	}
	if got.Version != "AC1009" || got.Units != 4 {
		t.Errorf("version %s, units %d; want AC1009 and 4, millimetres", got.Version, got.Units)
	}
	for _, want := range []string{"OUTLINE", "HOLES", "DIMENSIONS", "RULE"} {
		if !strings.Contains(strings.Join(got.Layers, " "), want) {
			t.Errorf("no layer %s in %v", want, got.Layers)
		}
	}
	var lines []readLine
	circles, texts := 0, map[string]bool{}
	for _, e := range got.Entities {
		if len(e.Box) == 4 {
			lines = append(lines, readLine{e.Length, draw.Box{Min: draw.Pt(e.Box[0], e.Box[1]), Max: draw.Pt(e.Box[2], e.Box[3])}})
		}
		if e.Kind == "CIRCLE" && e.Layer == "HOLES" {
			circles++
		}
		texts[e.Text] = true
	}
	cameBack(t, "DXF", strokes(d), lines)
	if circles != 5 {
		t.Errorf("%d circles on the layer of holes, want 5 that a drill can be centred on", circles)
	}
	if want := "Ø 3.4 ± 0.1, ½ of 12°"; !texts[want] {
		t.Errorf("no text %q", want)
	}
}

// Lengths, radii and diameters are dimensions whose measure, by ezdxf from their points, is what was drawn; the text is what they say, and the audit finds nothing. Angles are lines.
func TestDXFDimensions(t *testing.T) {
	d := draw.New("lengths", 200, 100)
	list := []struct {
		dim  draw.Dim
		long float64 // mm on the sheet, by hand
		text string
	}{
		{draw.Dim{A: draw.Pt(10, 10), B: draw.Pt(40, 50), Off: 6}, 50, "50"}, // 30, 40, 50
		{draw.Dim{Kind: draw.Across, A: draw.Pt(60, 20), B: draw.Pt(81, 47), Off: 9}, 21, "21"},
		{draw.Dim{Kind: draw.Across, A: draw.Pt(81, 20), B: draw.Pt(60, 47), Off: -9, Scale: 0.5}, 21, "42"}, // at 1:2
		{draw.Dim{Kind: draw.Upright, A: draw.Pt(100, 20), B: draw.Pt(90, 52), Off: 7, Text: "32 or so"}, 32, "32 or so"},
		{draw.Dim{Kind: draw.Radius, A: draw.Pt(130, 50), B: draw.Pt(136, 58)}, 10, "R 10"}, // 6, 8, 10
		{draw.Dim{Kind: draw.Diameter, A: draw.Pt(160, 50), B: draw.Pt(163, 54)}, 10, "%%c 10"},
	}
	d.Layer("dimensions", "Dimensions", draw.Black)
	for i := range list {
		d.Measure("dimensions", list[i].dim)
	}
	d.Measure("dimensions", draw.Dim{Kind: draw.Angle, At: draw.Pt(180, 20), A: draw.Pt(190, 20), B: draw.Pt(180, 30), Off: 12})
	got := readDXF(t, draw.DXF(d))
	if len(got.Errors)+len(got.Fixes) > 0 {
		t.Errorf("the audit complains: %v %v", got.Errors, got.Fixes)
	}
	n, drawn := 0, 0
	for _, e := range got.Entities {
		if e.Kind != "DIMENSION" {
			drawn++
			continue
		}
		if n < len(list) && (math.Abs(e.Length-list[n].long) > 1e-4 || e.Text != list[n].text) {
			t.Errorf("dimension %d measures %.6f mm and says %q, want %g and %q", n, e.Length, e.Text, list[n].long, list[n].text)
		}
		n++
	}
	if n != len(list) || drawn < 6*len(list) {
		t.Errorf("%d dimensions with %d lines, arrows and words, want %d dimensions", n, drawn, len(list))
	}
}

type dxfFile struct {
	Version               string
	Units                 int
	Errors, Fixes, Layers []string
	Entities              []struct {
		Kind, Layer, Text string
		Length            float64
		Box               []float64
	}
}

func readDXF(t *testing.T, b []byte) (out dxfFile) {
	t.Helper()
	if _, err := os.ReadFile("dxf/read.py"); err != nil { // so that go test knows what its cached result rests on
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "a.dxf")
	if err := os.WriteFile(file, b, 0o600); err != nil {
		t.Fatal(err)
	}
	text, err := exec.Command("/usr/bin/python3", "dxf/read.py", file).Output()
	if err != nil {
		t.Fatalf("ezdxf: %v (on Debian: apt-get install --no-install-recommends python3-ezdxf)\n%s", err, text)
	}
	if err := json.Unmarshal(text, &out); err != nil {
		t.Fatal(err)
	}
	return out
}

func poppler(t *testing.T, args ...string) string {
	t.Helper()
	var complaint strings.Builder
	cmd := exec.Command(args[0], args[1:]...)
	cmd.Stderr = &complaint
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%v: %v (on Debian: apt-get install --no-install-recommends poppler-utils)\n%s", args, err, complaint.String())
	}
	if complaint.Len() > 0 {
		t.Errorf("%s complains: %s", args[0], complaint.String())
	}
	return string(out)
}

// readSVG measures every path and circle of an SVG, in mm from the lower left corner of the sheet. Transforms are matrices, as poppler writes them.
func readSVG(t *testing.T, text string) (lines []readLine, w, h float64) {
	t.Helper()
	dec := xml.NewDecoder(strings.NewReader(text))
	k := 1.0 // mm for a unit
	type matrix [6]float64
	stack := []matrix{{1, 0, 0, 1, 0, 0}}
	for {
		tok, err := dec.Token()
		if err != nil {
			if err.Error() == "EOF" {
				return lines, w, h
			}
			t.Fatal(err)
		}
		if _, ok := tok.(xml.EndElement); ok {
			stack = stack[:len(stack)-1]
			continue
		}
		e, ok := tok.(xml.StartElement)
		if !ok {
			continue
		}
		at := map[string]string{}
		for _, a := range e.Attr {
			at[a.Name.Local] = a.Value
		}
		m := stack[len(stack)-1]
		if in, ok := strings.CutPrefix(at["transform"], "matrix("); ok {
			n := numbersIn(in)
			m = matrix{
				m[0]*n[0] + m[2]*n[1], m[1]*n[0] + m[3]*n[1], m[0]*n[2] + m[2]*n[3], m[1]*n[2] + m[3]*n[3],
				m[0]*n[4] + m[2]*n[5] + m[4], m[1]*n[4] + m[3]*n[5] + m[5],
			}
		}
		stack = append(stack, m)
		if e.Name.Local == "svg" && w == 0 {
			view := numbersIn(at["viewBox"])
			w = millimetres(t, at["width"], view[2])
			h = millimetres(t, at["height"], view[3])
			k = w / view[2]
		}
		d := at["d"]
		if e.Name.Local == "circle" {
			cx, cy, r := numberOf(at["cx"]), numberOf(at["cy"]), numberOf(at["r"])
			d = fmt.Sprintf("M%g %g A%g %g 0 0 0 %g %g A%g %g 0 0 0 %g %g", cx+r, cy, r, r, cx-r, cy, r, r, cx+r, cy)
		}
		if d == "" || at["stroke"] == "" && !strings.Contains(at["style"], "stroke:") || at["stroke"] == "none" {
			continue
		}
		var points []draw.Point
		for _, p := range walkPath(t, d) {
			x, y := m[0]*p.X+m[2]*p.Y+m[4], m[1]*p.X+m[3]*p.Y+m[5]
			points = append(points, draw.Pt(x*k, h-y*k))
		}
		one := readLine{box: draw.Nothing()}
		for n, p := range points {
			one.box = one.box.With(p)
			if n > 0 {
				one.length += p.Minus(points[n-1]).Norm()
			}
		}
		lines = append(lines, one)
	}
}

func numberOf(s string) float64 {
	v, _ := strconv.ParseFloat(strings.TrimRight(s, "ptmx)"), 64)
	return v
}

var numeral = regexp.MustCompile(`-?[0-9.]+(e-?[0-9]+)?`)

func numbersIn(s string) (out []float64) {
	for _, n := range numeral.FindAllString(s, -1) {
		out = append(out, numberOf(n))
	}
	return out
}

// millimetres of a length: CSS has 72 pt and 96 px to the inch. Poppler writes points, newer ones without saying so.
func millimetres(t *testing.T, s string, view float64) float64 {
	t.Helper()
	switch {
	case strings.HasSuffix(s, "mm"):
		return numberOf(s)
	case strings.HasSuffix(s, "pt"), numberOf(s) == view:
		return numberOf(s) * 25.4 / 72
	}
	t.Fatalf("a length of %q", s)
	return 0
}

var command = regexp.MustCompile(`([MLCAZHV])([^MLCAZHV]*)`)

// walkPath is a path of one line as points close to one another.
func walkPath(t *testing.T, d string) (out []draw.Point) {
	t.Helper()
	var at, start draw.Point
	for _, c := range command.FindAllStringSubmatch(d, -1) {
		n := numbersIn(c[2])
		switch c[1] {
		case "M":
			at = draw.Pt(n[0], n[1])
			start = at
			out = append(out, at)
		case "L":
			at = draw.Pt(n[0], n[1])
			out = append(out, at)
		case "H":
			at.X = n[0]
			out = append(out, at)
		case "V":
			at.Y = n[0]
			out = append(out, at)
		case "Z":
			at = start
			out = append(out, at)
		case "C":
			a, b, to := draw.Pt(n[0], n[1]), draw.Pt(n[2], n[3]), draw.Pt(n[4], n[5])
			for k := 1; k <= 200; k++ { // de Casteljau
				u := float64(k) / 200
				mix := func(p, q draw.Point) draw.Point { return p.Times(1 - u).Plus(q.Times(u)) }
				p, q, r := mix(at, a), mix(a, b), mix(b, to)
				out = append(out, mix(mix(p, q), mix(q, r)))
			}
			at = to
		case "A":
			out = append(out, ellipse(at, n)...)
			at = draw.Pt(n[5], n[6])
		}
	}
	return out
}

// ellipse is an arc of a circle by its end points: SVG 1.1, appendix F.6.5, for rx = ry and no turn.
func ellipse(from draw.Point, n []float64) (out []draw.Point) {
	r, large, sweep, to := n[0], n[3] == 1, n[4] == 1, draw.Pt(n[5], n[6])
	half := from.Minus(to).Times(0.5)
	q := half.X*half.X + half.Y*half.Y
	f := math.Sqrt(max(0, (r*r-q)/q))
	if large == sweep {
		f = -f
	}
	c := draw.Pt(f*half.Y, -f*half.X).Plus(from.Plus(to).Times(0.5))
	a, b := from.Minus(c), to.Minus(c)
	start, turn := math.Atan2(a.Y, a.X), math.Atan2(a.X*b.Y-a.Y*b.X, a.X*b.X+a.Y*b.Y)
	if sweep && turn < 0 {
		turn += 2 * math.Pi
	} else if !sweep && turn > 0 {
		turn -= 2 * math.Pi
	}
	for k := 1; k <= 200; k++ {
		out = append(out, c.Polar(r, start+turn*float64(k)/200))
	}
	return out
}
