package examples

import (
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"lowslung/mates"
	"lowslung/rig"
)

// The bin of standard things is made here, from the tables of the standards, so that each number stands beside its source once.
// LOWSLUNG_UPDATE=1 go test ./examples writes it.

const standardFile = "standard.bin.yaml"

// Densities, g/mm³: steel 7850 kg/m³ and copper 8960 kg/m³ (handbooks; from memory), aluminium 7075 2810 kg/m³ and POM-C 1410 kg/m³ (data
// sheets).
const (
	steel     = 7.85e-3
	copper    = 8.96e-3
	aluminium = 2.81e-3
	pom       = 1.41e-3
)

// bearings d × D × B, ISO 15 and trade metric, shielded widths (makers' tables, print).
var bearings = []struct {
	name    string
	d, D, B float64
}{
	{"683", 3, 7, 3}, {"693", 3, 8, 4}, {"623", 3, 10, 4}, {"MR63", 3, 6, 2.5}, {"MR74", 4, 7, 2.5}, {"684", 4, 9, 4}, {"MR85", 5, 8, 2.5}, {"MR95", 5, 9, 3},
	{"MR105", 5, 10, 4}, {"685", 5, 11, 5}, {"MR115", 5, 11, 4}, {"695", 5, 13, 4}, {"625", 5, 16, 5}, {"MR106", 6, 10, 3}, {"MR126", 6, 12, 4}, {"686", 6, 13, 5},
	{"688", 8, 16, 5}, {"MR128", 8, 12, 3.5}, {"MR148", 8, 14, 4}, {"608", 8, 22, 7}, {"6700", 10, 15, 4}, {"6800", 10, 19, 5}, {"6701", 12, 18, 4}, {"6801", 12, 21, 5},
	{"6702", 15, 21, 4},
}

// A thread with what its fasteners measure, mm. Pitch diameter d2 and minor diameter D1: ISO 724; sockets and heads: ISO 4762, ISO 7380-1, ISO
// 10642, ISO 4026; nuts: ISO 4032; washers: ISO 7089. Those of ISO 261, 273, 4762 are print, the others from memory.
type thread struct {
	name                   string
	d, d2, D1              float64
	head, socket           float64 // ISO 4762: head dk (its height is d), key s
	button, buttonHigh     float64 // ISO 7380-1: dk, k; begins at M3
	countersunk, sunk      float64 // ISO 10642: theoretical dk, k; begins at M3
	key                    float64 // ISO 7380-1, ISO 10642: s
	set                    float64 // ISO 4026: s
	nutHigh, nutFlats      float64 // ISO 4032: m, s
	washer, washerD, thick float64 // ISO 7089: d1, d2, h
	lengths, sets          []float64
}

var threads = []thread{
	{"M2", 2, 1.740, 1.567, 3.8, 1.5, 0, 0, 0, 0, 0, 0.9, 1.6, 4, 2.2, 5, 0.3, []float64{3, 4, 5, 6, 8, 10, 12, 16, 20}, []float64{2, 3, 4, 5, 6}},
	{"M2.5", 2.5, 2.208, 2.013, 4.5, 2, 0, 0, 0, 0, 0, 1.3, 2, 5, 2.7, 6, 0.5, []float64{4, 5, 6, 8, 10, 12, 16, 20, 25}, []float64{3, 4, 5, 6, 8}},
	{"M3", 3, 2.675, 2.459, 5.5, 2.5, 5.7, 1.65, 6.72, 1.86, 2, 1.5, 2.4, 5.5, 3.2, 7, 0.5, []float64{5, 6, 8, 10, 12, 16, 20, 25, 30}, []float64{3, 4, 5, 6, 8, 10}},
	{"M4", 4, 3.545, 3.242, 7, 3, 7.6, 2.2, 8.96, 2.48, 2.5, 2, 3.2, 7, 4.3, 9, 0.8, []float64{6, 8, 10, 12, 16, 20, 25, 30, 35, 40}, []float64{4, 5, 6, 8, 10}},
	{"M5", 5, 4.480, 4.134, 8.5, 4, 9.5, 2.75, 11.2, 3.1, 3, 2.5, 4.7, 8, 5.3, 10, 1, []float64{8, 10, 12, 16, 20, 25, 30, 35, 40}, []float64{5, 6, 8, 10, 12}},
}

// wires: AWG, cross-section mm² and resistance mΩ/m at 20 °C (ASTM B258, print).
var wires = []struct {
	gauge      int
	area, mohm float64
}{{10, 5.261, 3.277}, {12, 3.309, 5.211}, {14, 2.081, 8.286}, {16, 1.309, 13.17}, {18, 0.823, 20.95}, {20, 0.5176, 33.31}}

// pins, ISO 8734 and ISO 2338: diameters and lengths in steps of the standards (from memory).
var pinSizes = []float64{1.5, 2, 2.5, 3}
var pinLengths = []float64{6, 8, 10, 12, 14, 16, 20}

// gears: pitches of ISO 54 and the diametral ones of the trade; the bores are common practice: 3.17 mm (1/8 in) and 5 mm for motors of 36 mm, 5 mm
// for spurs. Face widths are ten modules for pinions and eight for spurs, rounded to half millimetres: common practice.
var gearSizes = []struct {
	name   string
	module float64
	bores  []float64
	pinion []int
	spur   []int
}{
	{"32 DP", 25.4 / 32, []float64{3.17, 5}, span(9, 20, 1), span(46, 66, 2)},
	{"48 DP", 25.4 / 48, []float64{3.17, 5}, span(14, 30, 1), []int{70, 72, 75, 76, 78, 80, 81, 83, 84, 86, 87, 90}},
	{"64 DP", 25.4 / 64, []float64{3.17}, span(18, 32, 2), []int{90, 96, 100, 104, 110}},
	{"module 0.5", 0.5, []float64{3.17, 5}, span(12, 30, 1), []int{60, 64, 68, 70, 72, 75, 78, 80, 84, 87, 90}},
	{"module 0.6", 0.6, []float64{3.17, 5}, span(12, 24, 1), []int{50, 54, 58, 60, 62, 66, 70}},
	{"module 0.8", 0.8, []float64{3.17, 5}, span(10, 20, 1), span(44, 60, 2)},
	{"module 1", 1, []float64{5}, span(10, 20, 1), span(38, 50, 2)},
}

func span(from, to, step int) (out []int) {
	for i := from; i <= to; i += step {
		out = append(out, i)
	}
	return out
}

func disc(d float64) float64 { return math.Pi / 4 * d * d }

// hexagon is the area of a hexagon across flats s.
func hexagon(s float64) float64 { return math.Sqrt(3) / 2 * s * s }

const estimate = "weight is an estimate"

type writer struct{ strings.Builder }

func (w *writer) section(text string) { fmt.Fprintf(w, "\n  # %s\n", text) }

// item writes one line; grams are rounded to three figures, since they are estimates.
func (w *writer) item(id, kind, title, fields string, grams float64, material, notes, ports string) {
	if material != "" {
		material = ", material: " + material
	}
	if ports != "" {
		ports = ", ports: {" + ports + "}"
	}
	fmt.Fprintf(w, "  %s: {kind: %s, title: %q%s%s, mass: %s, notes: %s%s}\n", id, kind, title, fields, material, figures(grams), notes, ports)
}

func figures(v float64) string {
	text := fmt.Sprintf("%.3g", v)
	if strings.Contains(text, "e") {
		text = fmt.Sprintf("%.0f", v)
	}
	return text
}

func standard() []byte {
	w := &writer{}
	w.WriteString(`# Standard things only: by size, of no maker, without prices. Made from the tables of the standards by the test beside this file, which
# names them. Dimensions are nominal. No weight here is from a scale: each is worked out from the dimensions, and is an estimate; put in
# what your own scale says (lowslung bin weigh).
lowslung: 1
name: Standard things
notes: >
  ISO 7380-1 and ISO 10642 begin at M3; smaller screws of these shapes are sold, but no standard says what they measure. Bearings are
  shielded ones, open ones are narrower. Gears have faces and bores of common practice: look at what you have.

items:
`)
	w.WriteString("  # Ball bearings, ISO 15 and the usual small metric sizes: bore, outside, width. Two thirds of a solid steel ring in weight.\n")
	for _, b := range bearings {
		w.item(fmt.Sprintf("bearing-%gx%gx%g", b.d, b.D, b.B), "bearing", fmt.Sprintf("Bearing %s, %g × %g × %g", b.name, b.d, b.D, b.B), fmt.Sprintf(", bearing: {bore: %g, outer: %g, width: %g}", b.d, b.D, b.B),
			2.0/3*(disc(b.D)-disc(b.d))*b.B*steel, "steel", estimate, "ring: {type: bearing}, bore: {type: bearing}")
	}
	screw := func(id, title, head, thread string, length, volume float64) {
		w.item(id, "screw", title, fmt.Sprintf(", screw: {thread: %s, length: %g, head: %s}", thread, length, head), volume*steel, "steel", estimate, "thread: {type: male thread}")
	}
	w.section("Socket head screws, ISO 4762: length under the head. Shank as thick as the pitch diameter, in weight.")
	for _, t := range threads {
		for _, l := range t.lengths {
			screw(fmt.Sprintf("screw-%s-%g", strings.ToLower(t.name), l), fmt.Sprintf("Screw ISO 4762 %s × %g, socket head", t.name, l), "socket", t.name, l, disc(t.d2)*l+disc(t.head)*t.d-hexagon(t.socket)*t.d/2)
		}
	}
	w.section("Button head screws, ISO 7380-1: length under the head.")
	for _, t := range threads {
		for _, l := range t.lengths {
			if t.button > 0 {
				cap := math.Pi / 6 * t.buttonHigh * (3*t.button*t.button/4 + t.buttonHigh*t.buttonHigh) // of a sphere
				screw(fmt.Sprintf("button-%s-%g", strings.ToLower(t.name), l), fmt.Sprintf("Screw ISO 7380-1 %s × %g, button head", t.name, l), "button", t.name, l, disc(t.d2)*l+cap-hexagon(t.key)*t.buttonHigh/2)
			}
		}
	}
	w.section("Countersunk screws, ISO 10642: length over all, head included.")
	for _, t := range threads {
		for _, l := range t.lengths {
			if t.countersunk > 0 && l > 2*t.sunk {
				cone := math.Pi / 12 * t.sunk * (t.countersunk*t.countersunk + t.countersunk*t.d + t.d*t.d)
				screw(fmt.Sprintf("sunk-%s-%g", strings.ToLower(t.name), l), fmt.Sprintf("Screw ISO 10642 %s × %g, countersunk", t.name, l), "countersunk", t.name, l, disc(t.d2)*(l-t.sunk)+cone-hexagon(t.key)*t.sunk/2)
			}
		}
	}
	w.section("Set screws with flat point, ISO 4026.")
	for _, t := range threads {
		for _, l := range t.sets {
			screw(fmt.Sprintf("set-%s-%g", strings.ToLower(t.name), l), fmt.Sprintf("Set screw ISO 4026 %s × %g", t.name, l), "set", t.name, l, disc(t.d2)*l-hexagon(t.set)*min(l, 2*t.set)/2)
		}
	}
	w.section("Hexagon nuts, ISO 4032: length is the height.")
	for _, t := range threads {
		w.item("nut-"+strings.ToLower(t.name), "nut", fmt.Sprintf("Nut ISO 4032 %s", t.name), fmt.Sprintf(", screw: {thread: %s, length: %g, head: hex}", t.name, t.nutHigh), (hexagon(t.nutFlats)-disc(t.d2))*t.nutHigh*steel,
			"steel", estimate, "thread: {type: female thread, material: steel}")
	}
	w.section("Plain washers, ISO 7089: length is the thickness.")
	for _, t := range threads {
		w.item("washer-"+strings.ToLower(t.name), "washer", fmt.Sprintf("Washer ISO 7089 %s, %g × %g × %g", t.name, t.washer, t.washerD, t.thick), fmt.Sprintf(", screw: {thread: %s, length: %g}", t.name, t.thick),
			(disc(t.washerD)-disc(t.washer))*t.thick*steel, "steel", estimate, fmt.Sprintf("hole: {type: clearance hole, diameter: %g}", t.washer))
	}
	w.section("Parallel pins, ISO 8734 and ISO 2338.")
	for _, d := range pinSizes {
		for _, l := range pinLengths {
			w.item(fmt.Sprintf("pin-%g-%g", d, l), "pin", fmt.Sprintf("Parallel pin ISO 8734 %g × %g", d, l), "", disc(d)*l*steel, "steel", estimate, fmt.Sprintf("pin: {type: pin, diameter: %g, length: %g}", d, l))
		}
	}
	w.section("Link rods by diameter and length, tapped 10 mm deep at both ends: cut them yourself.")
	for _, r := range []struct {
		id, material string
		d, rho, tap  float64
		thread       string
	}{{"st5", "steel", 5, steel, 2.459, "M3"}, {"al6", "aluminium 7075", 6, aluminium, 2.459, "M3"}, {"al8", "aluminium 7075", 8, aluminium, 3.242, "M4"}} {
		for _, l := range span(50, 150, 5) {
			w.item(fmt.Sprintf("rod-%s-%d", r.id, l), "rod", fmt.Sprintf("Rod %g × %d, %s, %s", r.d, l, r.thread, r.material), fmt.Sprintf(", rod: {length: %d, diameter: %g, thread: %s}", l, r.d, r.thread),
				(disc(r.d)*float64(l)-2*10*disc(r.tap))*r.rho, r.material, estimate, "")
		}
	}
	w.section("Copper wire by gauge, one metre: resistance from ASTM B258 at 20 °C, about 16 % more at 60 °C. The weight is that of the copper alone.")
	for _, a := range wires {
		w.item(fmt.Sprintf("wire-awg%d", a.gauge), "other", fmt.Sprintf("Copper wire AWG %d, %.2f mm², one metre", a.gauge, a.area), "", a.area*1000*copper, "", fmt.Sprintf(`"%g mΩ/m at 20 °C; weight is an estimate, of the copper alone"`, a.mohm), "")
	}
	for _, g := range gearSizes {
		w.section("Gears, " + g.name + ": weight of the pitch cylinder; pinions steel, spurs POM.")
		key := strings.NewReplacer(" DP", "", "module ", "m").Replace(g.name)
		pitch := "diametral_pitch: " + key
		if strings.HasPrefix(g.name, "module") {
			pitch = "module: " + key[1:]
		}
		gear := func(id, what string, z int, bore, face, rho float64, material string) {
			w.item(id, "gear", fmt.Sprintf("%s %s, %d t, %g bore", what, g.name, z, bore), fmt.Sprintf(", gear: {teeth: %d, %s, face: %g, bore: %g}", z, pitch, face, bore),
				max((disc(g.module*float64(z))-disc(bore))*face*rho, 0.1), material, estimate, "bore: {type: bore, needed: true}, teeth: {type: gear, needed: true}")
		}
		half := func(v float64) float64 { return math.Round(2*v) / 2 }
		for _, z := range g.pinion {
			for _, bore := range g.bores {
				if root := g.module * (float64(z) - 2.5); root >= bore+2*g.module { // a rim of a module below the teeth (root diameter: ISO 53)
					gear(fmt.Sprintf("pinion-%s-%d-b%.0f", key, z, bore), "Pinion", z, bore, half(10*g.module), steel, "steel")
				}
			}
		}
		for _, z := range g.spur {
			gear(fmt.Sprintf("spur-%s-%d", key, z), "Spur", z, 5, half(8*g.module), pom, "POM")
		}
	}
	return []byte(w.String())
}

func TestStandardBinIsMadeFromTheTables(t *testing.T) {
	want := standard()
	if os.Getenv("LOWSLUNG_UPDATE") != "" {
		if err := os.WriteFile(standardFile, want, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	have, err := Files.ReadFile(standardFile)
	if os.Getenv("LOWSLUNG_UPDATE") != "" {
		have, err = os.ReadFile(standardFile)
	}
	if err != nil || string(have) != string(want) {
		t.Errorf("%s is not what the tables say (%v); run LOWSLUNG_UPDATE=1 go test ./examples", standardFile, err)
	}
}

func load(t *testing.T) *rig.BinBuild {
	t.Helper()
	text, err := Files.ReadFile(standardFile)
	if err != nil {
		t.Fatal(err)
	}
	b, err := new(rig.Memory).LoadBin(standardFile, text)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// It loads, every weight is called an estimate, and nothing has a price, a maker or a drawer.
func TestStandardBin(t *testing.T) {
	b := load(t)
	if len(b.Items) < 400 {
		t.Errorf("only %d items", len(b.Items))
	}
	for _, e := range b.Items {
		p := &e.Value
		if p.Mass == nil || *p.Mass <= 0 || p.Weighed || !strings.Contains(p.Notes, "estimate") || p.Title == "" || p.Price != nil || p.Have != nil || p.From != "" || p.Money != "" {
			t.Errorf("%s: %+v", e.Name, p)
		}
	}
}

// Weights against published ones, within the tenth or quarter that such an estimate is good for.
func TestStandardWeights(t *testing.T) {
	b := load(t)
	for id, c := range map[string]struct{ grams, within float64 }{
		"bearing-8x22x7":  {12, 0.1},    // makers' tables of 608: 12 g (from memory)
		"bearing-5x16x5":  {5, 0.15},    // 625: 5 g (from memory)
		"bearing-10x19x5": {5.5, 0.15},  // 6800: 5.5 g (from memory)
		"screw-m3-10":     {0.88, 0.12}, // DIN 912 tables: 0.88 kg a thousand (from memory)
		"screw-m4-20":     {2.65, 0.15}, // 2.65 kg a thousand (from memory)
		"screw-m5-20":     {4.5, 0.15},  // 4.5 kg a thousand (from memory)
		"nut-m3":          {0.384, 0.2}, // DIN 934 tables: 0.384 kg a thousand (from memory; chamfers are not in ours)
		"nut-m5":          {1.23, 0.2},  // 1.23 kg a thousand (from memory)
		"washer-m3":       {0.12, 0.1},  // ISO 7089 tables: 0.12 kg a thousand (from memory)
		"wire-awg12":      {29.4, 0.02}, // ASTM B258: 29.4 kg/km of copper (from memory)
	} {
		p, ok := b.Items.Get(id)
		if !ok {
			t.Errorf("there is no %s", id)
			continue
		}
		if g := float64(*p.Mass) * 1000; math.Abs(g-c.grams) > c.within*c.grams {
			t.Errorf("%s weighs %.3g g, the tables say %g", id, g, c.grams)
		}
	}
}

// Its things go together as the standards mean them to, and say what they are by their ports.
func TestStandardThingsGoTogether(t *testing.T) {
	b := load(t)
	port := func(id, name string) *mates.Port {
		p, ok := b.Items.Get(id)
		if !ok {
			t.Fatalf("there is no %s", id)
		}
		for _, q := range mates.PortsOf(id, p) {
			if q.Name == name {
				return &q
			}
		}
		t.Fatalf("%s has no port %s", id, name)
		return nil
	}
	for _, c := range []struct {
		a, aPort, b, bPort, fit string
	}{
		{"screw-m3-10", "thread", "nut-m3", "thread", "same thread"},
		{"screw-m3-10", "thread", "washer-m3", "hole", "fine clearance"}, // ISO 7089: 3.2, ISO 273 fine: 3.2
		{"screw-m4-16", "thread", "washer-m4", "hole", "fine clearance"},
		{"screw-m5-16", "thread", "nut-m5", "thread", "same thread"},
		{"pinion-32-12-b3", "teeth", "spur-32-54", "teeth", "same pitch"},
		{"pinion-m0.5-20-b3", "teeth", "spur-m0.5-80", "teeth", "same pitch"},
	} {
		if fit, why, ok := mates.Meet(port(c.a, c.aPort), port(c.b, c.bPort)); !ok || fit != c.fit {
			t.Errorf("%s with %s: %v %q, %s; expected %q", c.a, c.b, ok, fit, why, c.fit)
		}
	}
	for _, c := range [][2]string{{"pinion-32-12-b3", "spur-48-87"}, {"pinion-32-12-b3", "spur-m0.8-54"}, {"pinion-m0.5-20-b3", "spur-48-87"}} {
		if _, _, ok := mates.Meet(port(c[0], "teeth"), port(c[1], "teeth")); ok {
			t.Errorf("%s meshes with %s", c[0], c[1])
		}
	}
	for _, e := range b.Items {
		ports := mates.PortsOf(e.Name, &e.Value)
		if len(ports) == 0 && e.Value.Kind != "rod" && e.Value.Kind != "other" {
			t.Errorf("%s has no port", e.Name)
		}
		for i := range ports {
			if len(ports[i].Keys()) == 0 {
				t.Errorf("%s lacks the dimension of its port %s", e.Name, ports[i].Name)
			}
		}
	}
}
