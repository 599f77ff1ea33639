package rig

import (
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// Every table under testdata/points must be refused with exactly the text in the .want file beside it. The texts are written by hand:
// they are what a builder reads.
func TestBadTables(t *testing.T) {
	list, err := filepath.Glob("testdata/points/*.csv")
	if err != nil || len(list) < 12 {
		t.Fatalf("%d tables under testdata/points, want at least 12 (%v)", len(list), err)
	}
	for _, file := range list {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		want, err := os.ReadFile(strings.TrimSuffix(file, ".csv") + ".want")
		if err != nil {
			t.Error(err)
			continue
		}
		_, err = FromPoints(filepath.Base(file), "", text)
		if err == nil {
			t.Errorf("%s: taken, want\n%s", file, want)
			continue
		}
		if got := err.Error() + "\n"; got != string(want) {
			t.Errorf("%s:\ngot\n%swant\n%s", file, got, want)
		}
		var found Diagnostics
		if !errors.As(err, &found) {
			t.Errorf("%s: error is no Diagnostics", file)
		}
	}
}

// made reads a table and loads the document made of it.
func made(t *testing.T, table string) (*Document, string) {
	t.Helper()
	text, err := FromPoints("points.csv", "Made", []byte(table))
	if err != nil {
		t.Fatal(err)
	}
	b, err := Load(files{"made.rig.yaml": string(text)}.read, "made.rig.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return b.Doc, string(text)
}

const pointsHead = "axle,what,chassis x,chassis y,chassis z,axle x,axle y,axle z,side,length,pinion angle,tyre diameter,tyre width,weight\n"

func sameVec(t *testing.T, what string, got Vec, want [3]float64) {
	t.Helper()
	for i := range want {
		if math.Abs(float64(got[i])-want[i]) > 1e-8 {
			t.Errorf("%s is %v, expected %v", what, got, want)
			return
		}
	}
}

func holeAt(t *testing.T, p *Part, name string) *Hole {
	t.Helper()
	h, ok := p.Holes.Get(name)
	if !ok {
		t.Fatalf("no hole %q, there are %q", name, p.Holes.Names())
	}
	return h
}

// Frames that can be turned on paper: 3-4-5 triangles in each of the three planes.
func TestPointsWorkedOnPaper(t *testing.T) {
	const steep = "36.86989764584402" // degrees: asin 0.6
	for _, c := range []struct {
		what, axle, wheels, tilt string
		at                       string // the axle eye as measured
		near, eye                [3]float64
		half                     float64
	}{
		// Pinion up by asin 0.6, rear: x̂ of the axle frame is (0.8, 0, 0.6), so an eye at (8, ·, 6) from the origin is 10 along it.
		{"rear pinion up", "rear", "rear,wheel,,,,-150,100,10,,,%s,,,\n", steep, "-142,30,16", [3]float64{-150, 0, 10}, [3]float64{10, 30, 0}, 100},
		// Front: the pinion points back, −x̂ is (−0.8, 0, 0.6).
		{"front pinion up", "front", "front,wheel,,,,150,100,10,,,%s,,,\n", steep, "142,30,16", [3]float64{150, 0, 10}, [3]float64{-10, 30, 0}, 100},
		{"rear pinion down", "rear", "rear,wheel,,,,-150,100,10,,,-%s,,,\n", steep, "-142,30,4", [3]float64{-150, 0, 10}, [3]float64{10, 30, 0}, 100},
		// Steered: ŷ is (−0.6, 0.8, 0) and x̂ (0.8, 0.6, 0); the wheels are 200 apart about (−150, 3, 10).
		{"steered", "rear", "rear,wheel,,,,-210,83,10,,,%s,,,\nrear,wheel,,,,-90,-77,10,,,,,,\n", "0", "-142,9,10", [3]float64{-150, 3, 10}, [3]float64{10, 0, 0}, 100},
		// Rolled, within 45°: ŷ is (0, 0.8, 0.6), ẑ is (0, −0.6, 0.8).
		{"rolled", "rear", "rear,wheel,,,,-150,80,70,,,%s,,,\nrear,wheel,,,,-150,-80,-50,,,,,,\n", "0", "-150,-6,18", [3]float64{-150, 0, 10}, [3]float64{0, 0, 10}, 100},
		// One wheel, the right one: taken to stand straight.
		{"right wheel alone", "rear", "rear,wheel,,,,-150,-100,10,,,%s,,,\n", "0", "-142,30,16", [3]float64{-150, 0, 10}, [3]float64{8, 30, 6}, 100},
	} {
		doc, _ := made(t, pointsHead+fmt.Sprintf(c.wheels, c.tilt)+c.axle+",lower,-40,30,16,"+c.at+",single,,,,,\n")
		axle := doc.Rear
		if c.axle == "front" {
			axle = doc.Front
		}
		sameVec(t, c.what+": near", *axle.Near, c.near)
		body, _ := axle.Parts.Get(c.axle + " axle")
		sameVec(t, c.what+": eye", holeAt(t, body, c.axle+" lower").At, c.eye)
		wheel, ok := axle.Parts.Get(c.axle + " wheel")
		if !ok || !wheel.Pair {
			t.Fatalf("%s: wheel %+v", c.what, wheel)
		}
		sameVec(t, c.what+": wheel", *wheel.At, [3]float64{0, c.half, 0})
	}
}

// Distances in space that come out even: 2-3-6-7, 1-4-8-9, 4-4-7-9.
func TestPointsLengths(t *testing.T) {
	doc, text := made(t, pointsHead+`rear,wheel,,,,-150,100,10,,,,4.7 in,44,148
rear,lower,-40,30,20,-100,60,0,,,,,,12.5
rear,upper,-40,20,30,-50,60,110,,91,,,,
rear,shock,-100,40,90,-140,80,20,,,,,,1 oz
rear,shock inner,-100,10,90,-140,12,20,single,88,,,,
rear,pinion,-30,4,14,-110,-4,6,,,7,,,20
`)
	want := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 1e-9 {
			t.Errorf("%s is %v, expected %v", what, got, want)
		}
	}
	lower, _ := doc.Links.Get("rear lower")
	upper, _ := doc.Links.Get("rear upper")
	shock, _ := doc.Shocks.Get("rear")
	inner, _ := doc.Shocks.Get("rear inner")
	shaft, _ := doc.Shafts.Get("rear")
	tyre, _ := doc.Rear.Parts.Get("rear tyre")
	if lower == nil || upper == nil || shock == nil || inner == nil || shaft == nil || tyre == nil {
		t.Fatal(text)
	}
	want("lower", float64(*lower.Length), 70)
	want("upper as given", float64(*upper.Length), 91)
	want("shock", float64(*shock.Set), 90)
	want("inner shock as given", float64(*inner.Set), 88)
	want("weight of the lower link, kg", float64(*lower.Mass), 0.0125)
	want("weight of the shock, kg", float64(*shock.Mass), 0.028349523125) // 1 oz, international pound 1959
	want("weight of the shaft, kg", float64(*shaft.Mass), 0.020)
	want("weight of the wheel, kg", float64(*tyre.Mass), 0.148)
	want("tyre", float64(tyre.Tyre.Diameter), 119.38)
	if !lower.Pair || !shock.Pair || inner.Pair || lower.Axle != "rear" || shock.Axle != "rear" {
		t.Error(text)
	}
	if !strings.Contains(text, "91.0 given, the points are 90.0 apart") {
		t.Errorf("the text does not tell that a length given is not the distance:\n%s", text)
	}
	if !strings.Contains(text, "Pinion angle as measured: 7°") {
		t.Errorf("the text does not tell the pinion angle:\n%s", text)
	}
	axle, _ := doc.Rear.Parts.Get("rear axle")
	pinion, _ := axle.Outputs.Get("pinion")
	if pinion.Axis != (Dir{1, 0, 0}) {
		t.Errorf("the pinion points to %v, expected forward", pinion.Axis)
	}
	frame, _ := doc.Chassis.Parts.Get("frame")
	joint, _ := frame.Outputs.Get("rear")
	sameVec(t, "joint at the gearbox", joint.At, [3]float64{-30, 4, 14})
	if joint.Axis != (Dir{-1, 0, 0}) {
		t.Errorf("the gearbox output points to %v, expected back", joint.Axis)
	}
}

// What is a pair, and what things are called.
func TestPointsPairs(t *testing.T) {
	for _, c := range []struct {
		what, rows string
		want       []string // links: name, then "pair" when it is one
	}{
		{"left of the middle at both ends", "lower,-40,30,20,-100,60,0,,", []string{"rear lower pair"}},
		{"right of the middle at both ends", "lower,-40,-30,20,-100,-60,0,,", []string{"rear lower pair"}},
		{"named with its axle, with capitals and blanks", "Rear  Lower arm,-40,30,20,-100,60,0,,", []string{"rear Lower arm pair"}},
		{"on the centreline at the axle", "upper,-40,30,20,-100,0,30,,", []string{"rear upper"}},
		{"a transverse rod", "panhard,-90,40,20,-100,-40,20,,", []string{"rear panhard"}},
		{"said to be single", "upper,-40,30,20,-100,60,30,Single,", []string{"rear upper"}},
		{"two uppers into one eye", "upper,-40,30,20,-100,0,30,pair,", []string{"rear upper pair"}},
		{"both measured, sides seen", "upper,-40,30,20,-100,0,30,,;upper,-40,-30,20,-100,0,30,,", []string{"rear upper left", "rear upper right"}},
		{"both measured, sides said", "upper,-40,-30,20,-100,-60,30,RIGHT,;UPPER,-40,30,20,-100,60,30,left,", []string{"rear upper right", "rear UPPER left"}},
		{"one side only", "upper,-40,30,20,-100,60,30,left,", []string{"rear upper left"}},
	} {
		doc, text := made(t, pointsHead+"rear,wheel,,,,-100,100,0,,,,,,\nrear,"+strings.ReplaceAll(c.rows, ";", "\nrear,")+"\n")
		var got []string
		for _, l := range doc.Links {
			name := l.Name
			if l.Value.Pair {
				name += " pair"
			}
			got = append(got, name)
		}
		if fmt.Sprint(got) != fmt.Sprint(c.want) {
			t.Errorf("%s: got %q, expected %q", c.what, got, c.want)
		}
		if alone := strings.Contains(text, "alone, without a twin"); alone != (c.what == "one side only") {
			t.Errorf("%s: said to be without a twin: %v", c.what, alone)
		}
	}
}

// The same table as spreadsheets of different countries write it makes the same document.
func TestPointsHabits(t *testing.T) {
	want := ""
	for _, c := range []struct{ what, table string }{
		{"commas", "axle,what,chassis x,chassis y,chassis z,axle x,axle y,axle z,side\nrear,wheel,,,,-152.4,101.6,0,\nrear,lower,-44.5,30,8,-145,40,-5.5,\n"},
		{"semicolons and decimal commas", "axle;what;chassis x;chassis y;chassis z;axle x;axle y;axle z;side\nrear;wheel;;;;-152,4;101,6;0;\nrear;lower;-44,5;30;8;-145;40;-5,5;\n"},
		{"semicolons and points", "axle;what;chassis x;chassis y;chassis z;axle x;axle y;axle z;side\nrear;wheel;;;;-152.4;101.6;0;\nrear;lower;-44.5;30;8;-145;40;-5.5;\n"},
		{"tabs, inches, Windows line ends", "\ufeffaxle\twhat\tchassis x\tchassis y\tchassis z\taxle x\taxle y\taxle z\r\nrear\twheel\t\t\t\t-6 in\t4\"\t0\r\nrear\tlower\t-44,5\t30 mm\t0.8 cm\t-145\t40\t-5,5\r\n"},
		{"another order, capitals, quotes, remarks, blank rows", "# mine\n\"Axle Z\",What,chassis_x, CHASSIS Y ,chassis z,axle x,axle y,AXLE\n,,,,,,,\n0,Wheel,,,,-152.4,101.6,Rear\n\n# the link\n-5.5,\"lower\",-44.5,30,8,-145,40,rear\n"},
		{"units in the header, the sign of a typesetter", "axle,what,chassis x (cm),chassis y [mm],chassis z,axle x,axle y,axle z (in)\nrear,wheel,,,,−152.4,101.6,0\nrear,lower,−4.45,30,8,−145,40,−5.5 mm\n"},
		{"old line ends", "axle,what,chassis x,chassis y,chassis z,axle x,axle y,axle z\rrear,wheel,,,,-152.4,101.6,0\rrear,lower,-44.5,30,8,-145,40,-5.5\r"},
	} {
		_, text := made(t, c.table)
		if want == "" {
			want = text
		}
		if text != want {
			t.Errorf("%s: got\n%s\nexpected\n%s", c.what, text, want)
		}
	}
}

func TestPointsName(t *testing.T) {
	table := pointsHead + "rear,wheel,,,,-150,100,0,,,,,,\n"
	for _, name := range []string{"Bramble", "A: \"b\" # c", "", "true", "two\nlines", "Ünïcode ½", "bad \xff byte", "# x", "\u2028"} {
		text, err := FromPoints("a\nb: \u2028 # \xff", name, []byte(table))
		if err != nil {
			t.Errorf("%q: %v", name, err)
			continue
		}
		b, err := Load(files{"m": string(text)}.read, "m")
		if err != nil {
			t.Fatal(err)
		}
		if name == "Bramble" && b.Doc.Name != name || name == "" && b.Doc.Name != "My rig" {
			t.Errorf("name %q is read as %q", name, b.Doc.Name)
		}
	}
}

func TestTooManyPoints(t *testing.T) {
	for want, table := range map[string]string{
		"more than 1000 rows": pointsHead + strings.Repeat("rear,wheel,,,,-150,100,0,,,,,,\n", 1001),
		"a row of 300 cells":  pointsHead + strings.Repeat("1,", 299) + "1\n",
	} {
		_, err := FromPoints("points.csv", "", []byte(table))
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("got %v, expected %q", err, want)
		}
	}
}

// FuzzPoints feeds any text to FromPoints: no panic, no hang; what is taken makes a document that loads, and every mistake has a place
// inside the text.
func FuzzPoints(f *testing.F) {
	list, _ := filepath.Glob("testdata/points/*.csv")
	for _, name := range list {
		text, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add("A rig", text)
	}
	for _, rows := range []string{
		"rear,wheel,,,,-150,100,0,,,,119,44,\nrear,lower,-44,30,8,-145,40,-5,,,,,,\nrear,shock,-100,40,90,-140,80,20,,,,,,\nrear,pinion,-30,4,14,-110,-4,6,,,7,,,20\n",
		"front,wheel,,,,150,100,1,,,80,,,\nfront,wheel,,,,151,-100,-1,,,,,,\nfront,upper,40,30,20,100,1e-7,30,pair,,,,,\nfront,rod,40,30,20,100,-60,30,,1e-9,,,,\n",
	} {
		f.Add("x: y", []byte(pointsHead+rows))
		f.Add("", []byte(strings.ReplaceAll(pointsHead+rows, ",", ";")))
		f.Add("\u0085", []byte(strings.ReplaceAll(pointsHead+rows, ",", "\t")))
	}
	f.Fuzz(func(t *testing.T, name string, text []byte) {
		hang := time.AfterFunc(10*time.Second, func() { panic("FromPoints hangs") })
		defer hang.Stop()
		out, err := FromPoints("text", name, text)
		if err == nil {
			if _, err := Load(files{"m": string(out)}.read, "m"); err != nil {
				t.Fatal(err)
			}
			return
		}
		var list Diagnostics
		if !errors.As(err, &list) || len(list) == 0 {
			t.Fatalf("error is no Diagnostics: %v", err)
		}
		for _, d := range list {
			inPlace(t, d, files{"text": string(text)})
		}
	})
}
