package export_test

import (
	"encoding/binary"
	"encoding/json"
	"encoding/xml"
	"errors"
	"io"
	"io/fs"
	"math"
	"strings"
	"testing"

	"lowslung/examples"
	"lowslung/export"
	"lowslung/rig"
	"lowslung/solid"
	"lowslung/travel"
)

var demos = []string{"bramble.rig.yaml", "bramble-portal.rig.yaml", "gully.rig.yaml"}

func load(t testing.TB, files map[string]string, name string) (*rig.Build, *solid.Model) {
	t.Helper()
	b, err := rig.Load(func(name string) ([]byte, error) {
		if text, ok := files[name]; ok {
			return []byte(text), nil
		}
		if data, err := examples.Files.ReadFile(name); err == nil {
			return data, nil
		}
		return nil, fs.ErrNotExist
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

// The document as JSON is the same rig: every question that is asked of the model answers the same.
func TestDocumentIsTheSameRig(t *testing.T) {
	odd := `lowslung: 1
name: "12"
notes: "a \"quoted\" line\nand <another> one"
bins: [club-shelf.bin.yaml]
chassis: {parts: {"3": {mass: .5 kg, cg: [+1, -.5, 2e1], made: true, notes: "true", shape: [{box: [1, 2, 3]}]}}}
`
	for _, file := range append(demos, "odd.rig.yaml") {
		b, m := load(t, map[string]string{"odd.rig.yaml": odd}, file)
		data := export.Document(b)
		if !json.Valid(data) {
			t.Fatalf("%s: no JSON:\n%s", file, data)
		}
		c, again := load(t, map[string]string{"again.rig.json": string(data)}, "again.rig.json")
		if d := string(export.Document(c)); d != string(data) {
			t.Errorf("%s: written again it differs", file)
		}
		want, err := travel.Assess(m, travel.Options{})
		if err != nil {
			t.Fatal(err)
		}
		got, err := travel.Assess(again, travel.Options{})
		if err != nil {
			t.Fatal(err)
		}
		a, _ := json.Marshal(want)
		e, _ := json.Marshal(got)
		if string(a) != string(e) {
			t.Errorf("%s: travel answers differently", file)
		}
		lumps, more := m.Lumps(travel.StandOf(m).Stance()), again.Lumps(travel.StandOf(again).Stance())
		for i := range lumps {
			if lumps[i] != more[i] {
				t.Errorf("%s: %+v became %+v", file, lumps[i], more[i])
			}
		}
	}
}

// The table of points goes in again and gives the same linkage: eyes in the axle's frame, lengths, wheels, in the same design pose.
func TestPointsGoInAgain(t *testing.T) {
	for _, file := range demos {
		_, m := load(t, nil, file)
		table, left, err := export.Points(m)
		if err != nil {
			t.Fatal(err)
		}
		text, err := rig.FromPoints("points.csv", "again", table)
		if err != nil {
			t.Fatalf("%s: %v\n%s", file, err, table)
		}
		_, again := load(t, map[string]string{"again.rig.yaml": string(text)}, "again.rig.yaml")
		if len(again.Links) != len(m.Links) {
			t.Fatalf("%s: %d links became %d", file, len(m.Links), len(again.Links))
		}
		a, b := travel.StandOf(m), travel.StandOf(again)
		for end := range m.Axles {
			p, q := a.Stance()[end], b.Stance()[end]
			if p.At.Sub(q.At).Norm() > 0.01 {
				t.Errorf("%s: the %v axle stands at %v, as a table at %v", file, solid.End(end), p.At, q.At)
			}
		}
		for i := range m.Links {
			l := &m.Links[i]
			found := false
			for k := range again.Links {
				o := &again.Links[k]
				if o.Axle != l.Axle || o.From.Sub(l.From).Norm() > 1e-4 {
					continue
				}
				// Where the far eye is in the chassis frame: the axle frame of a table is level with its wheels.
				x, y := a.Stance().Place(solid.CarrierOf(l.Axle), l.To), b.Stance().Place(solid.CarrierOf(o.Axle), o.To)
				if x.Sub(y).Norm() < 0.02 && math.Abs(o.Length-l.Length) < 1e-3 {
					found = true
				}
			}
			if !found {
				t.Errorf("%s: no link like %s %v", file, l.Name, l.Side)
			}
		}
		if file == "gully.rig.yaml" && !strings.Contains(strings.Join(left, "; "), "shock rear, which stands on a link") {
			t.Errorf("nothing says that the shocks on links are missing: %v", left)
		}
	}
}

// What is not in a file is said; names become no markup; the same rig gives the same bytes.
func TestForeignNames(t *testing.T) {
	_, m := load(t, map[string]string{"it.rig.yaml": `lowslung: 1
name: "<&\"--> it\nreally"
chassis: {parts: {"<b>\"&'": {mass: 30, shape: [{box: [1, 2, 3]}, {plate: {outline: [[0, 0], [9, 0], [9, 9], [5, 2], [0, 9]], thickness: 2}}]}, belly: {holes: {a: {at: [-40, 20, 8], pair: true}}}}}
rear: {near: [-150, 0, 0], parts: {axle: {holes: {b: {at: [10, 40, 0], pair: true}}}, tyre: {pair: true, at: [0, 100, 0], tyre: {diameter: 110}}}}
links: {"--arm<": {axle: rear, pair: true, from: belly/a, to: axle/b, length: 104}}
`}, "it.rig.yaml")
	text, left := export.MJCF(m)
	d := xml.NewDecoder(strings.NewReader(string(text)))
	names := map[string]bool{}
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatalf("%v in\n%s", err, text)
		}
		if e, ok := tok.(xml.StartElement); ok {
			for _, a := range e.Attr {
				if a.Name.Local == "name" {
					if key := e.Name.Local + " " + a.Value; names[key] {
						t.Errorf("the name %q twice", a.Value)
					} else {
						names[key] = true
					}
				}
			}
		}
	}
	for _, want := range []string{"the weight of the link --arm<, which is not known: 1 g is taken", "the tyre rate of tyre", "the grip of tyre"} {
		if !strings.Contains(strings.Join(left, "; "), want) {
			t.Errorf("nothing says %q: %v", want, left)
		}
	}
	a, err := export.GLB(m)
	if err != nil {
		t.Fatal(err)
	}
	b, _ := export.GLB(m)
	again, _ := export.MJCF(m)
	if string(a) != string(b) || string(text) != string(again) {
		t.Error("other bytes from the same rig")
	}
	if _, _, err := export.Points(m); err != nil {
		t.Error(err)
	}
}

// The container of glTF 2.0, §4.4: magic, version, lengths that add up.
func TestGLBContainer(t *testing.T) {
	for _, text := range []string{"", "lowslung: 1\n"} {
		file, files := demos[0], map[string]string{}
		if text != "" {
			file, files["bare.rig.yaml"] = "bare.rig.yaml", text
		}
		_, m := load(t, files, file)
		data, err := export.GLB(m)
		if err != nil {
			t.Fatal(err)
		}
		u := func(at int) int { return int(binary.LittleEndian.Uint32(data[at:])) }
		if string(data[:4]) != "glTF" || u(4) != 2 || u(8) != len(data) || string(data[16:20]) != "JSON" || u(12)%4 != 0 || !json.Valid(data[20:20+u(12)]) {
			t.Errorf("header % x", data[:20])
		}
		if at := 20 + u(12); at < len(data) && (string(data[at+4:at+8]) != "BIN\x00" || at+8+u(at) != len(data)) {
			t.Errorf("data % x", data[at:at+8])
		}
	}
}

func TestFormats(t *testing.T) {
	for name, want := range map[string]string{"a/rig.GLB": "glb", "x.y.xml": "mjcf", "p.csv": "csv", "r.json": "json"} {
		if f, err := export.FormatOf(name); err != nil || f.Format != want {
			t.Errorf("%s: %v %v", name, f, err)
		}
	}
	if _, err := export.FormatOf("rig.obj"); err == nil || !strings.Contains(err.Error(), "expected one that ends in .glb, .xml, .csv, .json") {
		t.Error(err)
	}
	if _, err := export.FormatNamed("obj"); err == nil {
		t.Error("obj was taken")
	}
}

func BenchmarkExport(b *testing.B) {
	build, m := load(b, nil, "bramble-portal.rig.yaml")
	for _, f := range export.Formats {
		b.Run(f.Format, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, _, err := export.Write(f, build, m); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
