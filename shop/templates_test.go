package shop

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"lowslung/draw"
	"lowslung/examples"
	"lowslung/rig"
	"lowslung/solid"
)

func templatesOf(t *testing.T, b *rig.Build, m *solid.Model, o TemplateOptions) *Templates {
	t.Helper()
	out, err := TemplatesOf(b, m, o)
	if err != nil {
		t.Fatal(err)
	}
	return &out
}

func templateOf(t *testing.T, ts *Templates, title string) *Template {
	t.Helper()
	for i := range ts.Templates {
		if ts.Templates[i].Title == title {
			return &ts.Templates[i]
		}
	}
	t.Fatalf("no template %q", title)
	return nil
}

// Places by hand, from the text of the portal belly: its cheeks are boxes of 98 × 34 round x = 6, z = 20, so that seen from the left, forward to the left,
// the left edge is at x = 55 and the lower one at z = 3. A hole at x, z is 55 − x from the left and z − 3 up.
func TestBellyHolesAreWhereTheDocumentHasThem(t *testing.T) {
	b, m := loadText(t, "bramble-portal.rig.yaml", nil)
	belly := templateOf(t, templatesOf(t, b, m, TemplateOptions{}), "belly, from the left")
	want := map[string][2]float64{"rear lower": {95.5, 5.5}, "rear upper low": {89, 25}, "front lower": {8, 5.5}, "front upper": {1, 25}}
	if len(belly.Holes) != len(want) {
		t.Fatalf("%d holes, want %d", len(belly.Holes), len(want))
	}
	for _, h := range belly.Holes {
		if w := want[h.Name]; math.Abs(h.AcrossMM-w[0]) > 1e-9 || math.Abs(h.UpMM-w[1]) > 1e-9 {
			t.Errorf("%s at %g, %g; want %g, %g", h.Name, h.AcrossMM, h.UpMM, w[0], w[1])
		}
		if h.DiameterMM != 3.4 { // ISO 273, M3 medium: 3.4 (print)
			t.Errorf("%s: Ø %g for M3", h.Name, h.DiameterMM)
		}
	}
	if belly.Twin != "turn over" || belly.Make != 1 {
		t.Errorf("one part with two sides: twin %q, make %d", belly.Twin, belly.Make)
	}
	if k := templateOf(t, templatesOf(t, b, m, TemplateOptions{}), "front tower, from the left"); k.Twin != "turn over" || k.Make != 2 {
		t.Errorf("a part that there are two of: twin %q, make %d", k.Twin, k.Make)
	}
}

// A mirror twin has the same distances, the other way round.
func TestTwinsAreMirrorImages(t *testing.T) {
	b, m := loadText(t, "bramble.rig.yaml", nil)
	both := templatesOf(t, b, m, TemplateOptions{Twins: true})
	left, right := templateOf(t, both, "belly, left, from the left"), templateOf(t, both, "belly, right, from the right")
	if left.words[0] != "back" || right.words[0] != "forward" {
		t.Errorf("to the right of the paper is %s and %s", left.words[0], right.words[0])
	}
	wide := 92.0 // the cheek, from the text
	for i := range left.Holes {
		l, r := left.Holes[i], right.Holes[i]
		if l.Name != r.Name || math.Abs(l.AcrossMM+r.AcrossMM-wide) > 1e-9 || l.UpMM != r.UpMM {
			t.Errorf("%s at %g, %g; its twin at %g, %g", l.Name, l.AcrossMM, l.UpMM, r.AcrossMM, r.UpMM)
		}
		if l.Side == "left" && r.Side != "right" {
			t.Errorf("the twin of %s is called %q", l.Name, r.Side)
		}
	}
}

// A view that is not right-handed would show a mirror image, and a part drilled by it would be scrap.
func TestViewsAreNoMirrorImages(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 1))
	axes := []solid.Vec{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}, {Z: 1}, {Z: -1}, {Y: 0.96, Z: 0.28}}
	for range 200 {
		axes = append(axes, solid.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()}.Unit())
	}
	for _, a := range axes {
		for _, skid := range []bool{false, true} {
			v := viewAlong(a, skid, skid)
			for _, w := range []view{v, v.mirrored()} {
				if d := w.right.Cross(w.up).Sub(w.toward).Norm(); d > 1e-9 || math.Abs(w.right.Norm()-1) > 1e-9 {
					t.Errorf("axis %v: right × up is %v, toward %v", a, w.right.Cross(w.up), w.toward)
				}
			}
			if math.Abs(math.Abs(v.toward.Dot(a))-1) > 1e-9 {
				t.Errorf("axis %v is looked at along %v", a, v.toward)
			}
		}
	}
	if v := viewAlong(solid.Vec{Y: -1}, false, false); v.name != "from the left" || v.words != [2]string{"back", "up"} {
		t.Errorf("a hole across the car: %s, %v", v.name, v.words)
	}
	if v := viewAlong(solid.Vec{Z: 1}, true, false); v.name != "from below" || v.words != [2]string{"back", "left"} {
		t.Errorf("a belly: %s, %v", v.name, v.words)
	}
}

func area(ring []draw.Point) (a float64) {
	for i, p := range ring {
		q := ring[(i+1)%len(ring)]
		a += (p.X*q.Y - p.Y*q.X) / 2
	}
	return math.Abs(a)
}

// Areas of shadows in closed form: a convex body's shadow is half the sum of its faces' shadows (Cauchy; derived): a box |n·x|bc + |n·y|ac + |n·z|ab, a cylinder
// πr²|cos θ| + 2rL sin θ, a capsule πr² + 2rL sin θ, with θ between its axis and the line of sight.
func TestShadowsHaveTheirAreas(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 2))
	for range 300 {
		n := solid.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()}.Unit()
		if r.IntN(3) == 0 { // square on, as most are
			n = []solid.Vec{{X: 1}, {Y: 1}, {Z: 1}}[r.IntN(3)]
		}
		v := viewAlong(n, false, false)
		a, b, c := 5+90*r.Float64(), 5+40*r.Float64(), 2+30*r.Float64()
		f := solid.Frame{At: solid.Vec{X: 20 * r.NormFloat64(), Y: 3, Z: -8}, R: solid.Turned(0.3*float64(r.IntN(2)), 0.2*float64(r.IntN(2)), float64(r.IntN(3))*math.Pi/4)}
		if r.IntN(2) == 0 {
			f.R = solid.Turned(0, 0, 0)
		}
		x, y, z := math.Abs(f.Turn(solid.Vec{X: 1}).Dot(n)), math.Abs(f.Turn(solid.Vec{Y: 1}).Dot(n)), math.Abs(f.Turn(solid.Vec{Z: 1}).Dot(n))
		sin := math.Sqrt(max(0, 1-x*x))
		for _, k := range []struct {
			s    solid.Shape
			want float64
		}{
			{solid.Shape{Kind: solid.Box, Frame: f, Size: solid.Vec{X: a, Y: b, Z: c}}, x*b*c + y*a*c + z*a*b},
			{solid.Shape{Kind: solid.Cylinder, Frame: f, Size: solid.Vec{X: a, Y: b, Z: b}}, math.Pi*b*b/4*x + b*a*sin},
			{solid.Shape{Kind: solid.Capsule, Frame: f, Size: solid.Vec{X: a, Y: b, Z: b}}, math.Pi*b*b/4 + b*a*sin},
			{solid.Shape{Kind: solid.Prism, Frame: f, Size: solid.Vec{Z: c}, Outline: [][2]float64{{0, 0}, {a, 0}, {a, b}, {0, b}}}, x*b*c + y*a*c + z*a*b},
		} {
			got, edge := 0.0, 0.0
			for _, s := range shadows(&k.s, &v) {
				got += area(s.ring)
				edge += s.path.Length()
				from, to := reach(&k.s, v.toward)
				if !(from <= to) {
					t.Errorf("%v reaches from %g to %g", k.s.Kind, from, to)
				}
			}
			if math.Abs(got-k.want) > 0.01*edge+1e-4*k.want { // curves are taken to 0.01 mm
				t.Errorf("kind %d seen along %v: %g mm², want %g", k.s.Kind, n, got, k.want)
			}
		}
	}
	// A plate that is not convex, seen flat, is its own outline: an L of 20 × 20 less 10 × 10.
	l := solid.Shape{Kind: solid.Prism, Frame: solid.Frame{R: solid.Identity}, Size: solid.Vec{Z: 3}, Outline: [][2]float64{{0, 0}, {20, 0}, {20, 10}, {10, 10}, {10, 20}, {0, 20}}}
	v := viewAlong(solid.Vec{Z: 1}, false, false)
	if s := shadows(&l, &v); len(s) != 1 || math.Abs(area(s[0].ring)-300) > 1e-9 {
		t.Errorf("an L of 300 mm² is drawn with %v", s)
	}
}

// The motor's screws stand in their slots at both ends of what the document allows: slot ends are the circle of the face round both places of the shaft.
func TestMotorSlidesInItsSlots(t *testing.T) {
	for _, name := range []string{"bramble.rig.yaml", "bramble-portal.rig.yaml", "gully.rig.yaml"} {
		b, m := loadText(t, name, nil)
		ts := templatesOf(t, b, m, TemplateOptions{Parts: []string{"motor mount"}})
		if len(ts.Templates) != 1 {
			t.Fatalf("%s: %d motor mounts", name, len(ts.Templates))
		}
		k := &ts.Templates[0]
		var near, far, spur draw.Point
		for _, h := range k.Holes {
			switch h.Name {
			case "motor shaft, nearest":
				near = h.at
			case "motor shaft, furthest":
				far = h.at
			case "spur axis":
				spur = h.at
			}
		}
		slot := b.Doc.Drive.Slot
		if math.Abs(near.Minus(spur).Norm()-float64(slot.From)) > 1e-9 || math.Abs(far.Minus(spur).Norm()-float64(slot.To)) > 1e-9 {
			t.Errorf("%s: axes %g to %g mm apart, the document says %g to %g", name, near.Minus(spur).Norm(), far.Minus(spur).Norm(), slot.From, slot.To)
		}
		slots := 0
		for _, h := range k.Holes {
			if h.LengthMM == 0 {
				continue
			}
			slots++
			half := draw.Pt(math.Cos(h.turn), math.Sin(h.turn)).Times(float64(slot.To-slot.From) / 2)
			for _, e := range []float64{h.at.Minus(half).Minus(near).Norm(), h.at.Plus(half).Minus(far).Norm()} {
				if math.Abs(e-12.5) > 1e-9 { // both faces: circle 25
					t.Errorf("%s, %s: a screw %g mm from the shaft, the face has 12.5", name, h.Name, e)
				}
			}
		}
		if want := map[string]int{"bramble.rig.yaml": 2, "bramble-portal.rig.yaml": 4, "gully.rig.yaml": 2}[name]; slots != want && name != "gully.rig.yaml" {
			t.Errorf("%s: %d slots, the motor's face has %d holes", name, slots, want)
		}
	}
}

func TestSpacersFillTheSlot(t *testing.T) {
	// A slot of 9 mm and balls of 6 mm: 1.5 mm on either side; two links.
	b, m := changed(t, "chassis: {parts: {belly: {holes: {front lower: {slot: 9}}}}}\n")
	k := templateOf(t, templatesOf(t, b, m, TemplateOptions{}), "spacers 1.5 thick, M3")
	if k.Make != 4 || k.Holes[0].DiameterMM != 3.4 || !strings.Contains(k.Assumes[0], "front lower at belly/front lower") {
		t.Errorf("%+v", k)
	}
}

// A bend gauge for a rear link from above has the car's right at the top, since the chassis eye is at the left.
func TestBendGaugesAreNoMirrorImages(t *testing.T) {
	for _, c := range []struct {
		link, word string
		up         bool
	}{{"rear lower", "right", false}, {"front lower", "left", true}} {
		b, m := changed(t, "links:\n  "+c.link+":\n    bend: [{along: 50, side: 7}]\n")
		k := templateOf(t, templatesOf(t, b, m, TemplateOptions{}), c.link+", bend gauge from above")
		mid := k.lines[2].path.Bounds()
		if k.words[1] != c.word || (mid.Max.Y > 1) != c.up || (mid.Min.Y < -1) == c.up {
			t.Errorf("%s: up is %s, the rod runs from %g to %g", c.link, k.words[1], mid.Min.Y, mid.Max.Y)
		}
	}
}

func TestTemplatesSayWhatTheyCannotDo(t *testing.T) {
	b, m := loadText(t, "bramble.rig.yaml", nil)
	if _, err := TemplatesOf(b, m, TemplateOptions{Parts: []string{"bonnet"}}); err == nil || !strings.Contains(err.Error(), "belly") {
		t.Errorf("an unknown part: %v", err)
	}
	if _, err := ParseTemplateOptions(nil, "left"); err == nil {
		t.Error("twins: left was taken")
	}
	b, m = loadText(t, "y.rig.yaml", map[string]string{"y.rig.yaml": "lowslung: 1\nname: y\nchassis: {parts: {plate: {kind: plate, holes: {a: {at: [1, 2, 3], bolt: M3}}}}}\n"})
	ts := templatesOf(t, b, m, TemplateOptions{})
	codes := ""
	for _, f := range ts.Findings {
		codes += f.Code + " "
	}
	if codes != "shop/no-axis shop/no-templates " {
		t.Errorf("a hole without an axis: %q", codes)
	}
	b, m = loadText(t, "z.rig.yaml", map[string]string{"z.rig.yaml": "lowslung: 1\nname: z\nchassis: {parts: {plate: {kind: plate, holes: {a: {at: [1, 2, 3], bolt: M7, axis: [0, 0, 1]}, b: {at: [5, 2, 3], axis: [0, 0, 1]}}}}}\n"})
	k := templateOf(t, templatesOf(t, b, m, TemplateOptions{}), "plate, from above")
	if k.Holes[0].DiameterMM != 7.7 || k.Holes[1].DiameterMM != 0 || !strings.Contains(k.Holes[0].Why, "not in our table") || len(k.Assumes) == 0 {
		t.Errorf("bolts that are not known: %+v", k)
	}
}

// Every format of every example, on both papers: nothing leaves the frame, and the same input gives the same bytes.
func TestTemplateFiles(t *testing.T) {
	for _, name := range []string{"bramble.rig.yaml", "bramble-portal.rig.yaml", "gully.rig.yaml"} {
		b, m := loadText(t, name, nil)
		for _, f := range []draw.Format{draw.A4, draw.Letter} {
			p := Paper{Format: f, Document: "A <rig> & its name " + strings.Repeat("x", 300), Hash: "0123456789ab", Date: "2026-11-27", Unix: 1764201600}
			ts := templatesOf(t, b, m, TemplateOptions{Twins: f == draw.Letter})
			doc, err := ts.Document(p)
			if err != nil {
				t.Fatal(err)
			}
			inside(t, doc)
			for _, format := range []string{"pdf", "svg", "dxf"} {
				one, err := ts.Files(format, p)
				if err != nil || len(one) == 0 {
					t.Fatalf("%s as %s: %d files, %v", name, format, len(one), err)
				}
				two, _ := templatesOf(t, b, m, TemplateOptions{Twins: f == draw.Letter}).Files(format, p)
				x, errX := Zip(one)
				y, errY := Zip(two)
				if errX != nil || errY != nil || !bytes.Equal(x, y) {
					t.Errorf("%s as %s differs from itself", name, format)
				}
			}
		}
		if _, err := templatesOf(t, b, m, TemplateOptions{}).Files("gif", Paper{}); err == nil {
			t.Error("gif was taken")
		}
	}
}

// A document may be larger than any rig: what it takes stays bounded, and what is too much is refused with words.
func TestTemplatesOfTooMuch(t *testing.T) {
	var b strings.Builder
	b.WriteString("lowslung: 1\nname: big\nchassis:\n  parts:\n    plate:\n      kind: plate\n      shape: [")
	for range 300 {
		b.WriteString("{box: [100, 100, 2]}, ")
	}
	b.WriteString("]\n      holes:\n")
	for k := range 3000 {
		fmt.Fprintf(&b, "        h%d: {at: [%d, %d, 0], bolt: M3, axis: [0, 0, 1]}\n", k, k%60, k/60)
	}
	for k := range mostTemplates {
		fmt.Fprintf(&b, "    p%d: {kind: plate, holes: {a: {at: [0, 0, 0], bolt: M3, axis: [0, 0, 1]}}}\n", k)
	}
	build, m := loadText(t, "big.rig.yaml", map[string]string{"big.rig.yaml": b.String()})
	ts := templatesOf(t, build, m, TemplateOptions{})
	for _, format := range []string{"pdf", "dxf"} {
		if _, err := ts.Files(format, Paper{}); err == nil || !strings.Contains(err.Error(), "ask for some parts by name") {
			t.Errorf("%d templates as %s: %v", len(ts.Templates), format, err)
		}
	}
	one := templatesOf(t, build, m, TemplateOptions{Parts: []string{"plate"}})
	if k := &one.Templates[0]; len(k.Holes) != 3000 {
		t.Errorf("%d of 3000 holes", len(k.Holes))
	}
	if _, err := one.Files("dxf", Paper{}); err != nil {
		t.Error(err)
	}
}

func BenchmarkTemplates(b *testing.B) {
	build, err := rig.Load(examples.Files.ReadFile, "bramble-portal.rig.yaml")
	if err != nil {
		b.Fatal(err)
	}
	m, err := solid.Resolve(build)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		ts, _ := TemplatesOf(build, m, TemplateOptions{})
		f, err := ts.Files("pdf", Paper{})
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(len(f[0].Data)), "bytes")
	}
}
