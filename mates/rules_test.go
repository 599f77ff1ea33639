package mates

import (
	"math"
	"strings"
	"testing"
)

// Each row has the published dimension it rests on beside it. print: read in a published table; practice: common practice.
func TestRules(t *testing.T) {
	shaft := func(d float64) Port { return Port{Type: "shaft", Diameter: d} }
	bore := func(d float64) Port { return Port{Type: "bore", Diameter: d} }
	gear := func(z int, m float64) Port {
		return Port{Type: "gear", Teeth: z, Module: m, Pressure: 20 * math.Pi / 180}
	}
	seat := func(d, o, b float64) Port { return Port{Type: "seat", Bore: d, Outer: o, Thick: b} }
	ring := func(d, o, b float64) Port { return Port{Type: "bearing", Bore: d, Outer: o, Thick: b} }
	pin := func(d, l float64) Port { return Port{Type: "pin", Diameter: d, Length: l} }
	hole := func(d, l float64) Port { return Port{Type: "pin hole", Diameter: d, Length: l} }
	male := func(th string, l float64) Port { return Port{Type: "male thread", Thread: th, Length: l} }
	female := func(th string, l float64, mat string) Port {
		return Port{Type: "female thread", Thread: th, Length: l, Material: mat}
	}
	blind := func(p Port) Port { p.Blind = true; return p }
	pattern := func(n int, c float64) Port { return Port{Type: "pattern", Holes: n, Circle: c} }
	hex := func(w float64) Port { return Port{Type: "hex", Width: w} }
	cells := func(a, b float64) Port { return Port{Type: "cells", From: a, To: b} }
	nut := func(th string, high float64) Port {
		return Port{Type: "female thread", Thread: th, Length: high, Material: "steel", Nut: true}
	}
	pack := func(n float64) Port { return Port{Type: "cells", From: n, To: n, Source: true} }
	clear := func(d, l float64) Port { return Port{Type: "clearance hole", Diameter: d, Length: l} }
	through := func(p Port, stack float64) Port { p.Width = stack; return p }
	grid := func(along, across float64, body, opening [2]float64) Port {
		return Port{Type: "pattern", Holes: 4, Grid: [2]float64{along, across}, Body: body, Opening: opening}
	}
	plug := func(s string) Port { return Port{Type: "plug", Plug: s} }
	flat := func(p Port) Port { p.Flat = true; return p }
	angle := func(p Port, deg float64) Port { p.Pressure = deg * math.Pi / 180; return p }
	spline := func(n int, d float64) Port { return Port{Type: "spline", Holes: n, Diameter: d} }
	for _, c := range []struct {
		a, b Port
		ok   bool
		fit  string
		rest string // what the expectation rests on
	}{
		{shaft(3.17), bore(3.17), true, "slip fit", "practice: 36 mm cans have a 3.17 mm (1/8 in = 3.175) shaft"},
		{shaft(3.175), bore(3.17), true, "press fit", "1/8 in is 3.175 mm exactly: 5 µm of interference"},
		{shaft(5), bore(5), true, "slip fit", "practice: the longer 36 mm cans have a 5 mm shaft"},
		{shaft(5), bore(3.17), false, "will not go on", "1.83 mm too thick"},
		{shaft(3.17), bore(5), false, "loose", "1.83 mm too loose"},
		{shaft(5), bore(5.020), true, "slip fit", "ISO 286-2: H7 at 5 is +12 µm, h6 −8 µm, together 20 µm (print)"},
		{shaft(3), bore(3.016), true, "slip fit", "ISO 286-2: H7 at 3 is +10 µm, h6 −6 µm, together 16 µm (print)"},
		{shaft(8), bore(8.024), true, "slip fit", "ISO 286-2: H7 at 8 is +15 µm, h6 −9 µm, together 24 µm (print)"},
		{shaft(12), bore(12.029), true, "slip fit", "ISO 286-2: H7 at 12 is +18 µm, h6 −11 µm, together 29 µm (print)"},
		{shaft(5), bore(5.04), true, "easy fit", "40 µm is beyond H7/h6 and still runs"},
		{shaft(5), bore(5.10), false, "loose", "practice: a tenth puts a spur off centre"},
		{shaft(5), bore(4.98), true, "press fit", "20 µm of interference"},
		{shaft(5), bore(4.95), false, "will not go on", "50 µm is more than a vice presses"},
		{shaft(5), flat(bore(5)), false, "will not go on", "a flat in the bore, none on the shaft"},
		{flat(shaft(5)), flat(bore(5)), true, "slip fit", "flat on flat"},

		{gear(12, 25.4/32), gear(56, 25.4/32), true, "same pitch", "32 DP is module 0.79375 (25.4/DP)"},
		{gear(20, 25.4/48), gear(87, 25.4/48), true, "same pitch", "48 DP is module 0.5291667"},
		{gear(20, 0.5), gear(60, 0.5), true, "same pitch", "module 0.5"},
		{gear(20, 25.4/48), gear(80, 0.5), false, "wrong pitch", "0.5292 against 0.5"},
		{gear(12, 25.4/32), gear(54, 0.8), false, "wrong pitch", "0.79375 against 0.8: 0.8 % apart"},
		{gear(20, 25.4/64), gear(60, 0.4), false, "wrong pitch", "64 DP is 0.396875 against 0.4"},
		{gear(20, 0.5), angle(gear(60, 0.5), 14.5), false, "wrong pressure angle", "ISO 53 is 20°; older racks 14.5°"},

		{seat(5, 11, 4), ring(5, 11, 4), true, "right size", "MR115 is 5 × 11 × 4 (print)"},
		{seat(5, 11, 4), ring(5, 10, 4), false, "wrong bearing", "MR105 is 5 × 10 × 4 (print)"},
		{seat(5, 11, 4), ring(5, 11, 5), false, "wrong bearing", "685 is 5 × 11 × 5 (print): stands proud"},
		{seat(5, 11, 5), ring(5, 11, 4), true, "right size", "MR115 in a seat for 685: a shim"},
		{seat(6, 12, 4), ring(6, 10, 3), false, "wrong bearing", "MR126 against MR106 (print)"},
		{seat(10, 15, 4), ring(10, 15, 4), true, "right size", "6700 is 10 × 15 × 4 (print)"},
		{ring(8, 16, 5), Port{Type: "journal", Diameter: 8}, true, "slip fit", "688 has a bore of 8 (print)"},
		{ring(8, 14, 4), Port{Type: "journal", Diameter: 8.2}, false, "will not go on", "MR148 has a bore of 8 (print)"},
		{ring(5, 11, 4), shaft(5), true, "slip fit", "MR115 on a 5 mm shaft"},

		{pin(2, 9.8), hole(2, 10), true, "slip fit", "ISO 2338: pin 2 in a reamed hole of 2"},
		{pin(2, 13.8), hole(2, 10), false, "too long", "sticks out 3.8 mm"},
		{pin(2, 5), hole(2, 10), false, "too short", "half the hole is empty"},
		{pin(2.5, 11.8), hole(2, 12), false, "will not go in", "half a millimetre too thick"},
		{pin(2, 9.8), hole(2.5, 10), false, "loose", "half a millimetre too loose"},

		{male("M3", 8), female("M3", 6, "steel"), true, "same thread", "6 mm hold, 1 d is 3 mm"},
		{male("M3", 8), female("M4", 6, "steel"), false, "wrong thread", "ISO 261: M3 × 0.5, M4 × 0.7"},
		{male("M3", 4), female("M3", 6, "aluminium 6061"), false, "holds too little", "4 mm hold, 1.5 d is 4.5 mm"},
		{male("M3", 5), female("M3", 8, "POM"), false, "holds too little", "5 mm hold, 2 d is 6 mm"},
		{male("M3", 6), female("M3", 8, "PA12"), true, "same thread", "6 mm hold, 2 d is 6 mm"},
		{male("M3", 8), blind(female("M3", 6, "steel")), false, "bottoms", "2 mm too long for a blind hole"},
		{male("M3", 6), blind(female("M3", 6, "steel")), true, "same thread", "just home"},

		{pattern(2, 25), pattern(4, 25), true, "lines up", "practice: M3 on a 25 mm circle"},
		{pattern(2, 25), pattern(2, 16), false, "holes do not line up", "25 against 16 mm"},
		{pattern(3, 25), pattern(4, 25), false, "holes do not line up", "every 120° against every 90°"},
		{hex(12), hex(12), true, "same hex", "practice: 12 mm at 1/10"},
		{hex(12), hex(17), false, "wrong hex", "17 mm is the 1/8 size"},
		{spline(10, 5), spline(10, 5), true, "same spline", "geometry"},
		{spline(10, 5), spline(12, 5), false, "wrong spline", "geometry"},
		{cells(3, 3), cells(2, 3), true, "in the window", "3 × 4.2 V"},
		{cells(4, 4), cells(2, 3), false, "too many cells", "4 × 4.2 V = 16.8 V on a window of 12.6 V"},
		{cells(2, 2), cells(3, 6), false, "too few cells", "below the cut-off"},
		{pack(3), cells(3, 3), true, "in the window", "a controller for 3 cells only"},
		{pack(2), pack(2), false, "no such joint", "two packs do not feed each other"},
		{cells(2, 3), cells(2, 4), false, "no such joint", "nor do two controllers"},

		{male("M2", 8), clear(2.2, 3), true, "fine clearance", "ISO 273, M2 fine: 2.2 (print)"},
		{male("M2.5", 8), clear(2.9, 3), true, "medium clearance", "ISO 273, M2.5 medium: 2.9 (print)"},
		{male("M3", 8), clear(3.2, 3), true, "fine clearance", "ISO 273, M3 fine: 3.2 (print)"},
		{male("M3", 8), clear(3.4, 3), true, "medium clearance", "ISO 273, M3 medium: 3.4 (print)"},
		{male("M3", 8), clear(3.6, 3), true, "coarse clearance", "ISO 273, M3 coarse: 3.6 (print)"},
		{male("M3", 8), clear(4.2, 3), true, "wide", "wider than coarse, and the head of 5.5 (ISO 4762, print) still sits on it"},
		{male("M3", 8), clear(4.6, 3), false, "head pulls through", "a ring of 0.45 mm under a head of 5.5 (ISO 4762, print)"},
		{male("M3", 8), clear(2.9, 3), false, "will not go through", "ISO 261: M3 is 3 mm outside"},
		{male("M4", 8), clear(4.5, 3), true, "medium clearance", "ISO 273, M4 medium: 4.5 (print)"},
		{male("M5", 8), clear(5.8, 3), true, "coarse clearance", "ISO 273, M5 coarse: 5.8 (print)"},
		{male("M6", 8), clear(6.4, 3), true, "goes through", "not in the table: only that it goes through is said"},

		{through(male("M3", 12), 5), female("M3", 6, "steel"), true, "same thread", "7 mm hold at most 6, 1 d is 3 mm"},
		{through(male("M3", 12), 8), female("M3", 6, "aluminium 6061"), false, "holds too little", "4 mm hold, 1.5 d is 4.5 mm"},
		{through(male("M3", 8), 9), female("M3", 6, "steel"), false, "too short", "ends 1 mm before the thread"},
		{through(male("M3", 16), 5), blind(female("M3", 6, "steel")), false, "bottoms", "11 mm into a blind hole of 6"},

		{male("M3", 10), nut("M3", 2.4), true, "same thread", "ISO 4032: an M3 nut is 2.4 mm high, less than 1 d"},
		{through(male("M3", 10), 8), nut("M3", 2.4), false, "too short", "2 mm in a nut of 2.4 (ISO 4032)"},
		{male("M4", 10), nut("M3", 2.4), false, "wrong thread", "ISO 261"},

		{grid(49.5, 10, [2]float64{40.5, 20.2}, [2]float64{}), grid(49.5, 10, [2]float64{}, [2]float64{41, 20.5}), true, "lines up", "practice: servos of the usual size are 40 × 20 mm with holes 49.5 × 10 mm"},
		{grid(49.5, 10, [2]float64{40.5, 20.2}, [2]float64{}), grid(49.5, 10, [2]float64{}, [2]float64{40, 20}), false, "no room", "half a millimetre too long"},
		{grid(49.5, 10, [2]float64{}, [2]float64{}), grid(28, 10, [2]float64{}, [2]float64{}), false, "holes do not line up", "practice: a small servo's holes are 28 mm apart"},
		{grid(49.5, 10, [2]float64{}, [2]float64{}), grid(49.2, 10, [2]float64{}, [2]float64{}), true, "lines up", "0.3 mm, within the slack of such holes"},

		{plug("4 mm round"), plug("4 mm round"), true, "same plug", "practice"},
		{plug("4 mm round"), plug("3.5 mm round"), false, "wrong plug", "practice"},
	} {
		for turn := range 2 {
			a, b := c.a, c.b
			if turn == 1 {
				a, b = b, a
			}
			v, source := meet(&a, &b)
			if v.ok != c.ok || v.fit != c.fit || v.reason == "" || source == "" {
				t.Errorf("%s with %s (%s): ok %v, %q, %q (%s); expected ok %v, %q", a.Type, b.Type, c.rest, v.ok, v.fit, v.reason, source, c.ok, c.fit)
			}
		}
	}
}

func TestPortsOfNoJoint(t *testing.T) {
	a, b := Port{Type: "gear"}, Port{Type: "seat"}
	if v, _ := meet(&a, &b); v.ok || v.fit != "no such joint" {
		t.Errorf("a gear in a bearing seat: %+v", v)
	}
}

func TestMissingNumbersAreSaidNotGuessed(t *testing.T) {
	for _, r := range rules {
		a, b := Port{Type: r.a}, Port{Type: r.b}
		v, _ := meet(&a, &b)
		if !v.ok || v.fit != "not checked" || !strings.HasPrefix(v.reason, "the document does not say") {
			t.Errorf("%s with %s without numbers: %+v", r.a, r.b, v)
		}
	}
}

func TestBearingSizes(t *testing.T) {
	if d, o, w, err := sizeOf("5x11x4"); err != nil || d != 5 || o != 11 || w != 4 {
		t.Errorf("5x11x4: %g %g %g %v", d, o, w, err)
	}
	if _, _, w, err := sizeOf("5 × 8 × 2.5"); err != nil || w != 2.5 {
		t.Errorf("5 × 8 × 2.5: %g %v", w, err)
	}
	for _, bad := range []string{"", "5x11", "axbxc", "5x11x-4"} {
		if _, _, _, err := sizeOf(bad); err == nil {
			t.Errorf("%q was read as a bearing size", bad)
		}
	}
}
