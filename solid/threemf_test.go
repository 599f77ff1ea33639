package solid

import (
	"archive/zip"
	"bytes"
	"fmt"
	"hash/crc32"
	"math"
	"strings"
	"testing"
)

// packed is a 3MF package of one model text.
func packed(model string, more ...string) []byte {
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for i := 0; i+1 < len(more); i += 2 {
		w, _ := z.Create(more[i])
		_, _ = w.Write([]byte(more[i+1]))
	}
	w, _ := z.Create("3D/3dmodel.model")
	_, _ = w.Write([]byte(model))
	_ = z.Close()
	return out.Bytes()
}

const head3MF = `<?xml version="1.0"?><model unit="%s" xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02" xmlns:x="urn:of-some-program">`

// meshXML are the vertices and triangles of a list of triangles, corners not shared.
func meshXML(list [][3][3]float32) string {
	var v, t strings.Builder
	for i, one := range list {
		for _, p := range one {
			fmt.Fprintf(&v, `<vertex x="%g" y="%g" z="%g"/>`, p[0], p[1], p[2])
		}
		fmt.Fprintf(&t, `<triangle v1="%d" v2="%d" v3="%d"/>`, 3*i, 3*i+1, 3*i+2)
	}
	return "<mesh><vertices>" + v.String() + "</vertices><triangles>" + t.String() + "</triangles></mesh>"
}

// noise is text that does not pack well.
func noise(n int) string {
	out := make([]byte, n)
	for i, v := 0, uint64(1); i < n; i++ {
		v = v*6364136223846793005 + 1442695040888963407
		out[i] = 'a' + byte(v>>59)%26
	}
	return string(out)
}

func model3(unit, resources, build string) string {
	return fmt.Sprintf(head3MF, unit) + "<resources>" + resources + "</resources><build>" + build + "</build></model>"
}

func Test3MFUnits(t *testing.T) {
	box := meshXML(boxTriangles(1, 2, 3))
	// 25.4 mm to the inch (exact since 1959), 304.8 mm to the foot
	for unit, mm := range map[string]float64{"micron": 0.001, "millimeter": 1, "centimeter": 10, "inch": 25.4, "foot": 304.8, "meter": 1000} {
		m, err := ReadMesh(packed(model3(unit, `<object id="7">`+box+"</object>", `<item objectid="7"/>`)), 1)
		if err != nil {
			t.Fatal(err)
		}
		if want := 6 * mm * mm * mm; math.Abs(m.Volume/want-1) > 1e-5 || !m.Closed {
			t.Errorf("%s: %g mm³, closed %v, expected %g", unit, m.Volume, m.Closed, want)
		}
	}
	m, err := ReadMesh(packed(model3("inch", `<object id="7">`+box+"</object>", `<item objectid="7"/>`)), 2)
	if err != nil || math.Abs(m.Volume/(6*8*math.Pow(25.4, 3))-1) > 1e-5 {
		t.Errorf("a scale on top of the unit: %v %v", m, err)
	}
}

// Components and items place objects: moved, turned and mirrored; supports and foreign elements are passed over, the model is found where the
// package says.
func Test3MFPlaces(t *testing.T) {
	box := meshXML(boxTriangles(1, 2, 3))
	resources := `<basematerials id="1"><base name="x" displaycolor="#FF0000"/></basematerials>` +
		`<object id="2" type="model"><x:vertex x="what"/>` + box + `</object>` +
		`<object id="3" type="support">` + box + `</object>` +
		// moved by 10 along x; mirrored in x; turned a quarter about z and moved up
		`<object id="4"><components><component objectid="2" transform="1 0 0 0 1 0 0 0 1 10 0 0"/><component objectid="2" transform="-1 0 0 0 1 0 0 0 1 0 0 0"/><component objectid="3"/></components></object>`
	build := `<item objectid="4" transform="0 1 0 -1 0 0 0 0 1 0 0 5"/><item objectid="3"/>`
	data := packed("nothing", "_rels/.rels", `<Relationships><Relationship Type="urn:thumbnail" Target="/x.png"/><Relationship Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel" Target="/Other/it.model"/></Relationships>`,
		"other/IT.model", model3("millimeter", resources, build))
	m, err := Read3MF(data, 1)
	if err != nil {
		t.Fatal(err)
	}
	one := NewMesh(boxTriangles(1, 2, 3), 1)
	lo, hi := one.Bound.Lo, one.Bound.Hi
	// x' = −y, y' = x, z' = z + 5 for a row vector before the matrix; before that x + 10 and −x
	wantLo := Vec{-hi.Y, min(lo.X+10, -hi.X), lo.Z + 5}
	wantHi := Vec{-lo.Y, max(hi.X+10, -lo.X), hi.Z + 5}
	if !near(m.Bound.Lo, wantLo, 1e-5) || !near(m.Bound.Hi, wantHi, 1e-5) {
		t.Errorf("from %v to %v, expected from %v to %v", m.Bound.Lo, m.Bound.Hi, wantLo, wantHi)
	}
	// the mirrored twin has its outside outside: both volumes count the same way
	if !m.Closed || math.Abs(m.Volume-2*one.Volume) > 1e-4 || len(m.Triangles) != 24 {
		t.Errorf("%g mm³ of %d triangles, closed %v, expected %g", m.Volume, len(m.Triangles), m.Closed, 2*one.Volume)
	}
}

func Test3MFErrors(t *testing.T) {
	box := meshXML(boxTriangles(1, 2, 3))
	good := model3("millimeter", `<object id="1">`+box+`</object>`, `<item objectid="1"/>`)
	whole := packed(good)
	object := func(inside string) []byte {
		return packed(model3("millimeter", `<object id="1">`+inside+`</object>`, `<item objectid="1"/>`))
	}
	bomb := func() []byte { // 30 objects, each twice the one before: 12 · 2³⁰ triangles
		s := `<object id="1">` + box + `</object>`
		for i := 2; i < 32; i++ {
			s += fmt.Sprintf(`<object id="%d"><components><component objectid="%d"/><component objectid="%d"/></components></object>`, i, i-1, i-1)
		}
		return packed(model3("millimeter", s, `<item objectid="31"/>`))
	}
	claim := func() []byte { // a directory that claims 2 GiB
		var out bytes.Buffer
		z := zip.NewWriter(&out)
		text := []byte(good)
		w, _ := z.CreateRaw(&zip.FileHeader{Name: "3D/3dmodel.model", Method: zip.Store, CRC32: crc32.ChecksumIEEE(text), CompressedSize64: uint64(len(text)), UncompressedSize64: 2 << 30})
		_, _ = w.Write(text)
		_ = z.Close()
		return out.Bytes()
	}
	lies := func() []byte { // claims little and unpacks to much
		var packed bytes.Buffer
		z := zip.NewWriter(&packed)
		w, _ := z.Create("3D/3dmodel.model")
		_, _ = w.Write([]byte(fmt.Sprintf(head3MF, "millimeter")))
		_, _ = w.Write(bytes.Repeat([]byte("<!-- -->"), 8<<20))
		_ = z.Close()
		b := packed.Bytes()
		at := bytes.LastIndex(b, []byte("PK\x01\x02"))
		copy(b[at+24:at+28], []byte{100, 0, 0, 0})
		return b
	}
	for name, c := range map[string]struct {
		data []byte
		want string
	}{
		"cut off":  {whole[:len(whole)/2], "no whole zip file"},
		"no model": {packed("", "a", "b")[:0], "no STL"},
		"another zip": {func() []byte {
			var b bytes.Buffer
			z := zip.NewWriter(&b)
			w, _ := z.Create("readme")
			_, _ = w.Write([]byte("x"))
			_ = z.Close()
			return b.Bytes()
		}(), "without a 3-D model"},
		"not a model":          {packed("<html/>"), `begins with "html"`},
		"empty text":           {packed(""), "without a model element"},
		"broken text":          {packed(good[:len(good)-20]), "cannot be read"},
		"nan":                  {object(strings.Replace(box, `x="`, `x="NaN`, 1)), "expected a number"},
		"not a number":         {object(`<mesh><vertices><vertex x="NaN" y="0" z="0"/></vertices></mesh>`), `x = "NaN", expected a number`},
		"endless":              {object(`<mesh><vertices><vertex x="0" y="1e999" z="0"/></vertices></mesh>`), `y = "1e999", expected a number`},
		"too far":              {packed(model3("millimeter", `<object id="1">`+box+`</object>`, `<item objectid="1" transform="1e6 0 0 0 1 0 0 0 1 0 0 0"/>`)), "no length below 100 m"},
		"corner out of range":  {object(strings.Replace(box, `v1="0"`, `v1="36"`, 1)), `v1 = "36", expected the number of one of its 36 corners`},
		"unknown unit":         {packed(model3("furlong", "", "")), `in the unit "furlong"`},
		"nothing placed":       {packed(model3("millimeter", `<object id="1">`+box+`</object>`, "")), "nothing on its build plate"},
		"no such object":       {packed(model3("millimeter", "", `<item objectid="9"/>`)), `of object "9"`},
		"object of itself":     {object(`<components><component objectid="1"/></components>`), `component of object "1"`},
		"flat":                 {packed(model3("millimeter", `<object id="1">`+box+`</object>`, `<item objectid="1" transform="1 0 0 0 1 0 0 0 0 0 0 0"/>`)), "flattens"},
		"short transform":      {packed(model3("millimeter", `<object id="1">`+box+`</object>`, `<item objectid="1" transform="1 0"/>`)), "with 2 numbers in a transform"},
		"needs extensions":     {packed(strings.Replace(good, "<model ", `<model requiredextensions="p" `, 1)), `needs the extensions "p"`},
		"components multiply":  {bomb(), "multiply to more than"},
		"claims 2 GiB":         {claim(), "claims to unpack to 2147483648 bytes"},
		"unpacks to much":      {lies(), "cannot be read"},
		"nested":               {packed(fmt.Sprintf(head3MF, "") + strings.Repeat("<a>", 5000)), "in one another"},
		"one endless element":  {packed(fmt.Sprintf(head3MF, "") + `<object id="` + noise(7_000_000) + `"/>`), "cannot be read"},
		"triangle of no where": {packed(model3("millimeter", `<triangle v1="0" v2="1" v3="2"/>`, "")), "outside of an object"},
	} {
		_, err := ReadMesh(c.data, 1)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, expected %q in it", name, err, c.want)
		}
	}
}

// Memory is bounded by what a file really holds: a bomb of 64 MiB of text in some 64 kB is refused after 3 MiB.
func Test3MFBombCostsLittle(t *testing.T) {
	data := packed(fmt.Sprintf(head3MF, "millimeter") + "<resources><object id=\"1\"><mesh><vertices>" + strings.Repeat(`<vertex x="1" y="2" z="3"/>`, 64<<20/27))
	got := testing.Benchmark(func(b *testing.B) {
		b.ReportAllocs()
		for range b.N {
			if _, err := ReadMesh(data, 1); err == nil {
				b.Fatal("was read")
			}
		}
	})
	if per := got.AllocedBytesPerOp(); per > 128<<20 {
		t.Errorf("%d kB of file cost %d MiB", len(data)>>10, per>>20)
	}
}

// Whatever the bytes, an answer or an error, and never a mesh with numbers that are none.
func FuzzReadMesh(f *testing.F) {
	box := meshXML(boxTriangles(1, 2, 3))
	f.Add([]byte(model3("inch", `<object id="1">`+box+`</object>`, `<item objectid="1"/>`)), true)
	f.Add([]byte(model3("", `<object id="1">`+box+`</object><object id="2"><components><component objectid="1" transform="1 0 0 0 1 0 0 0 1 0 0 0"/></components></object>`, `<item objectid="2"/>`)), true)
	f.Add(packed(model3("", `<object id="1">`+box+`</object>`, `<item objectid="1"/>`)), false)
	f.Add(binaryOf(boxTriangles(1, 2, 3)), false)
	f.Add(textOf(boxTriangles(1, 2, 3)), false)
	f.Fuzz(func(t *testing.T, data []byte, model bool) {
		if model { // the zip around it is made here, so that the text is what is tried
			data = packed(string(data))
		}
		m, err := ReadMesh(data, 1)
		if err != nil {
			if err.Error() == "" {
				t.Error("an error that says nothing")
			}
			return
		}
		for _, p := range m.Points {
			if !(math.Abs(p.X)+math.Abs(p.Y)+math.Abs(p.Z) < 1e6) {
				t.Fatalf("a corner at %v", p)
			}
		}
		if math.IsNaN(m.Volume) || m.Volume < 0 {
			t.Fatalf("a volume of %g", m.Volume)
		}
	})
}
