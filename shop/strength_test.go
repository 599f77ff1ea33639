package shop_test

import (
	"math"
	"strings"
	"testing"

	"lowslung/quantity"
	"lowslung/rig"
	"lowslung/shop"
	"lowslung/solid"
)

const workshopOfRods = `lowslung: 1
items:
  alu: {kind: rod, rod: {length: 88, diameter: 6, thread: M3}, material: aluminium 7075}
  tube: {kind: rod, rod: {length: 88, diameter: 6, bore: 4, thread: M3}, material: aluminium 6061}
  pom: {kind: rod, rod: {length: 88, diameter: 4, thread: M3}, material: POM}
  carbon: {kind: rod, rod: {length: 88, diameter: 6, thread: M3}, material: carbon}
  end: {kind: rod end, end: {adds: 11, out: 3, thread: M3}, material: PA12}
  short: {kind: rod end, end: {adds: 11, out: 3, holds: 5, thread: M3}, material: steel}
`

func rods(t testing.TB, links string) *solid.Model {
	t.Helper()
	text := `lowslung: 1
bins: [rods.bin.yaml]
chassis: {parts: {belly: {mass: 2500, holes: {a: {at: [0, 20, 8], pair: true}}}}}
rear: {near: [-150, 0, 0], parts: {axle: {holes: {b: {at: [10, 40, 0], pair: true}}}}}
links:
` + links
	b, err := rig.Load(func(name string) ([]byte, error) {
		return []byte(map[string]string{"it.rig.yaml": text, "rods.bin.yaml": workshopOfRods}[name]), nil
	}, "it.rig.yaml")
	if err != nil {
		t.Fatal(err)
	}
	m, err := solid.Resolve(b)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// The numbers of checks in column_test.go, through a document: 88 mm of rod and two ends of 11 make 110 mm.
func TestStrengthOfLinks(t *testing.T) {
	m := rods(t, `
  alu: {axle: rear, from: belly/a, to: axle/b, pair: true, rod: {item: alu}, ends: [end, end]}
  tube: {axle: rear, from: belly/a, to: axle/b, pair: true, rod: {item: tube}, ends: [end, end]}
  bent: {axle: rear, from: belly/a, to: axle/b, pair: true, rod: {item: alu}, ends: [short, short], turns: 2, length: 111, bend: [{along: 50, rise: 9, side: 12}]}
`)
	s := shop.StrengthOf(m, shop.StrengthOptions{})
	if s.StrikeN != 50 || math.Abs(s.PushN-2*2.5*9.80665) > 1e-9 { // twice 2.5 kg
		t.Errorf("%g N across and %g N along", s.StrikeN, s.PushN)
	}
	alu, tube, bent := s.Link("alu"), s.Link("tube"), s.Link("bent")
	if math.Abs(*alu.GivesN-3720.56) > 0.006 || alu.GivesBy != "Euler" || math.Abs(*alu.PushMargin-3720.56/49.03325) > 1e-3 { // Shigley, see column_test.go
		t.Errorf("alu: %+v", alu)
	}
	if math.Abs(*alu.StressMPa-64.8409) > 6e-5 || math.Abs(*alu.DeflectionMM-0.303957) > 6e-7 || math.Abs(*alu.BendsN-50*503/64.8409) > 1e-3 || math.Abs(*tube.StressMPa-80.8017) > 6e-5 {
		t.Errorf("struck: %+v and %+v", alu, tube)
	}
	if bent.OffsetMM != 15 || bent.GivesBy != "bending" || *bent.GivesN > *alu.GivesN/4 {
		t.Errorf("bent: %+v", bent)
	}
	// Shanks of M3: 5.031 mm² (ISO 898-1) of PA12 at 48 MPa; threads: 2 d and 3 mm for the unwritten, 5 mm less a turn of 0.5 mm for the written
	e := alu.Ends[0]
	if math.Abs(*e.ShankN-5.031*48) > 0.05 || *e.HoldsMM != 9 || !e.Assumed || *e.WantedMM != 4.5 {
		t.Errorf("end: %+v", e)
	}
	if e := bent.Ends[1]; *e.HoldsMM != 4.5 || e.Assumed || *e.WantedMM != 4.5 {
		t.Errorf("written end: %+v", e)
	}
	if len(s.Findings) != 0 {
		t.Errorf("%+v", s.Findings)
	}
}

func TestStrengthFindings(t *testing.T) {
	m := rods(t, `
  soft: {axle: rear, from: belly/a, to: axle/b, pair: true, rod: {item: pom}, ends: [short, end]}
  woven: {axle: rear, from: belly/a, to: axle/b, pair: true, rod: {item: carbon}, ends: [end, end]}
  plain: {axle: rear, from: belly/a, to: axle/b, pair: true, length: 110}
`)
	s := shop.StrengthOf(m, shop.StrengthOptions{Push: 220, Strike: 30})
	all := ""
	for _, f := range s.Findings {
		if f.Level != "note" && f.Cure == "" || len(f.About) != 1 {
			t.Errorf("without a cure or a place: %+v", f)
		}
		all += f.Code + ": " + f.Sentence + "\n"
	}
	for _, want := range []string{
		"shop/link-bends: With 30.00 N across its middle the link soft sees 131 MPa, and POM yields at 64 MPa (estimate): it stays bent.", // 30·110/4 over π·64/32
		"shop/link-buckles: Pushed along with 220.00 N the link soft is near its end: at 31.78 N it buckles (estimate).",                  // π²·3100·12.5664/110² = 31.775
		"shop/thread-short: The rod end short at the chassis end of the link soft has 5.0 mm of thread in the rod, and POM wants 6.0 mm of it.",
		"shop/rod-end-weak: The shank of end at the axle end of the link soft yields at a pull of 241.48 N (estimate), and 220.00 N is taken to pull at it.",
		"shop/no-strength: The strength of the link woven is not known: it lacks a strength for carbon: a laminate has no yield.",
		"shop/no-strength: The strength of the link plain is not known: it lacks a rod of a bin",
	} {
		if !strings.Contains(all, want) {
			t.Errorf("nothing says %q in\n%s", want, all)
		}
	}
	if s.Link("plain").GivesN != nil || s.Link("none") != nil {
		t.Error("a number out of nothing")
	}
}

func TestStrengthOptions(t *testing.T) {
	if o, err := shop.ParseStrengthOptions("5 kgf", "", quantity.Metric); err == nil && math.Abs(o.Strike-49.03325) > 1e-6 {
		t.Errorf("%+v", o)
	}
	for _, bad := range [][2]string{{"0", ""}, {"-5", ""}, {"3 mm", ""}, {"", "1e9"}} {
		if _, err := shop.ParseStrengthOptions(bad[0], bad[1], quantity.Metric); err == nil {
			t.Errorf("%v was taken", bad)
		}
	}
}
