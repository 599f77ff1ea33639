package solid

import (
	"encoding/binary"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
)

func binaryOf(triangles [][3][3]float32) []byte {
	out := make([]byte, 84, 84+50*len(triangles))
	copy(out, "solid that is binary all the same, as many programs write it")
	binary.LittleEndian.PutUint32(out[80:], uint32(len(triangles)))
	for _, t := range triangles {
		out = append(out, make([]byte, 12)...)
		for _, p := range t {
			for _, v := range p {
				out = binary.LittleEndian.AppendUint32(out, math.Float32bits(v))
			}
		}
		out = append(out, 7, 7)
	}
	return out
}

func textOf(triangles [][3][3]float32) []byte {
	var b strings.Builder
	b.WriteString("solid part with a name\n")
	for _, t := range triangles {
		b.WriteString("  facet normal nan 0 1e0\n    outer loop\n")
		for _, p := range t {
			fmt.Fprintf(&b, "      vertex %g %g %.9E\n", p[0], p[1], p[2])
		}
		b.WriteString("    endloop\n  endfacet\n")
	}
	b.WriteString("endsolid part with a name\n")
	return []byte(b.String())
}

func TestSTLReadsBothForms(t *testing.T) {
	ball := ballTriangles(12.5, 9)
	want := NewMesh(ball, 1)
	for name, data := range map[string][]byte{
		"binary":                 binaryOf(ball),
		"binary, more behind it": append(binaryOf(ball), "colours of some program"...),
		"text":                   textOf(ball),
		"text with a mark":       append([]byte("\xef\xbb\xbf"), textOf(ball)...),
		"text in capitals":       []byte(strings.ToUpper(string(textOf(ball)))),
		"text with CR LF":        []byte(strings.ReplaceAll(string(textOf(ball)), "\n", "\r\n")),
		"two solids in a file":   append(textOf(ball[:30]), textOf(ball[30:])...),
	} {
		got, err := ReadSTL(data, 1)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if len(got.Triangles) != len(want.Triangles) || len(got.Points) != len(want.Points) || !got.Closed || math.Abs(got.Volume-want.Volume) > 1e-3 {
			t.Errorf("%s: %d triangles, %d corners, closed %v, %g mm³", name, len(got.Triangles), len(got.Points), got.Closed, got.Volume)
		}
	}
	inches, err := ReadSTL(binaryOf(ball), 25.4)
	if err != nil || math.Abs(inches.Volume/want.Volume-math.Pow(25.4, 3)) > 1 {
		t.Errorf("with a scale: %v", err)
	}
}

// What is said of files that are no good: what was found, what was expected.
func TestSTLErrors(t *testing.T) {
	box := boxTriangles(1, 2, 3)
	with := func(change func([][3][3]float32)) []byte {
		b := boxTriangles(1, 2, 3)
		change(b)
		return binaryOf(b)
	}
	claims := func(n uint32) []byte {
		b := binaryOf(box)
		binary.LittleEndian.PutUint32(b[80:], n)
		return b
	}
	text := string(textOf(box))
	for name, c := range map[string]struct {
		data  []byte
		scale float64
		want  string
	}{
		"nothing":               {nil, 1, "0 bytes that are no STL"},
		"a picture":             {[]byte("\x89PNG\r\n\x1a\n" + strings.Repeat("x", 20)), 1, "no STL, expected a binary STL"},
		"a long other file":     {[]byte(strings.Repeat("xyz ", 100)), 1, "cut off, or no STL"},
		"cut off":               {binaryOf(box)[:300], 1, "claims 12 triangles (684 bytes) in a file of 300 bytes"},
		"claims 2 GiB":          {claims(42_949_672), 1, "claims 42949672 triangles (2147483684 bytes) in a file of 684 bytes"},
		"claims everything":     {claims(math.MaxUint32), 1, "claims 4294967295 triangles (214748364834 bytes)"},
		"no triangles":          {claims(0), 1, "0 triangles"},
		"NaN":                   {with(func(b [][3][3]float32) { b[3][1][2] = float32(math.NaN()) }), 1, "a corner at NaN mm in triangle 4"},
		"infinite":              {with(func(b [][3][3]float32) { b[11][2][0] = float32(math.Inf(-1)) }), 1, "a corner at -Inf mm in triangle 12"},
		"too large":             {with(func(b [][3][3]float32) { b[0][0][0] = 2e5 }), 1, "no length below 100 m"},
		"too large by scale":    {binaryOf(box), 1e6, "with scale 1e+06 is no length"},
		"one point":             {with(func(b [][3][3]float32) { clear(b) }), 1, "12 triangles, none of which has an area"},
		"text, cut in a facet":  {[]byte(text[:strings.Index(text, "endloop")]), 1, `expected "endloop": it is cut off`},
		"text, cut between two": {[]byte(text[:strings.Index(text, "endfacet")+9]), 1, `expected "endsolid": it is cut off`},
		"text without a facet":  {[]byte("solid\nendsolid\n"), 1, "without a facet"},
		"text, no number":       {[]byte(strings.Replace(text, "vertex -0.5", "vertex zero", 1)), 1, `with "zero" in line 4, expected "a number"`},
		"text, NaN":             {[]byte(strings.Replace(text, "vertex -0.5", "vertex nan", 1)), 1, `with "nan" in line 4`},
		"text, too large":       {[]byte(strings.Replace(text, "vertex -0.5", "vertex 1e39", 1)), 1, `with "1e39" in line 4`},
		"text, other words":     {[]byte(strings.Replace(text, "outer loop", "outer rim", 1)), 1, `with "rim" in line 3, expected "loop"`},
		"text, four corners":    {[]byte(strings.Replace(text, "    endloop", "vertex 1 2 3\n    endloop", 1)), 1, `with "vertex" in line 7, expected "endloop"`},
		"an essay":              {[]byte("solid advice: never read files\n"), 1, "cut off"},
		"more than 64 MiB":      {make([]byte, MaxMeshBytes+1), 1, "expected at most 64 MiB"},
	} {
		m, err := ReadSTL(c.data, c.scale)
		if err == nil || m != nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v; expected %q", name, err, c.want)
		}
	}
}

func TestSTLLimits(t *testing.T) {
	slivers := make([][3][3]float32, 1000)
	for i := range slivers {
		slivers[i] = [3][3]float32{{1, 1, 1}, {1, 1, 1}, {float32(i), 0, 0}}
	}
	if m, err := ReadSTL(binaryOf(append(slivers, boxTriangles(1, 2, 3)...)), 1); err != nil || len(m.Triangles) != 12 || !m.Closed {
		t.Errorf("slivers are not left out: %v", err)
	}
	many := slices.Repeat(boxTriangles(1, 2, 3)[:1], MaxTriangles/2+1)
	text := textOf(boxTriangles(1, 2, 3)[:1])
	start, end := strings.Index(string(text), "  facet"), strings.Index(string(text), "endsolid")
	if size := (end - start) * len(many) * 2; size < MaxMeshBytes {
		t.Fatalf("%d bytes of text are within the limit on size, test what is said of their number", size)
	}
	if m := NewMesh(many, 1); m.Closed || len(m.Triangles) != len(many) {
		t.Errorf("a million times the same triangle: %d, closed %v", len(m.Triangles), m.Closed)
	}
}

// Whatever the bytes, a mesh with finite numbers or an error; and a mesh can be measured.
func FuzzSTL(f *testing.F) {
	box := boxTriangles(1, 2, 3)
	f.Add(binaryOf(box), 1.0)
	f.Add(binaryOf(box)[:200], 1.0)
	f.Add(textOf(box), 25.4)
	f.Add(textOf(box)[:100], 1.0)
	f.Add([]byte("solid\nfacet normal 0 0 0 outer loop vertex 1 2 3 vertex 4 5 6 vertex 7 8 1e4 endloop endfacet endsolid"), 1.0)
	f.Fuzz(func(t *testing.T, data []byte, scale float64) {
		if !(scale > 0 && scale <= 1e3) {
			return
		}
		m, err := ReadSTL(data, scale)
		if err != nil {
			if m != nil || err.Error() == "" || len(err.Error()) > 400 {
				t.Fatalf("%v with %v", m, err)
			}
			return
		}
		if len(m.Triangles) == 0 || len(m.Points) < 3 || math.IsNaN(m.Volume) || m.Volume < 0 {
			t.Fatalf("%d triangles, %d corners, volume %g", len(m.Triangles), len(m.Points), m.Volume)
		}
		p := meshPiece(m, Frame{R: Identity})
		bar := PieceOf(Line(Vec{1, 2, 3}, Vec{5, 5, 5}, 1))
		for _, g := range []Gap{Apart(p, &bar, math.Inf(1), nil), Apart(p, p, math.Inf(1), nil)} {
			if math.IsNaN(g.Distance) || math.IsInf(g.Distance, 0) || math.IsNaN(g.AtA.X+g.AtB.Y) {
				t.Fatalf("%+v", g)
			}
		}
	})
}
