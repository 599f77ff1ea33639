package mates

import (
	"fmt"
	"math"

	"lowslung/quantity"
)

// A verdict is how one port meets another.
type verdict struct {
	ok     bool
	fit    string // one or two words: slip fit, press fit, loose, will not go on, same pitch
	reason string // one sentence with both dimensions
}

// A rule judges one pair of port types; a and b come in the order of its types.
type rule struct {
	a, b   string
	judge  func(a, b *Port) verdict
	source string
}

// rules is the whole table. Where a standard gives the number the source names it; the rest is common practice.
var rules = []rule{
	{"shaft", "bore", shaftInBore, "ISO 286-2 H7/h6 for a slip fit; flats and grub screws: common practice"},
	{"gear", "gear", gearInGear, "ISO 53 basic rack, ISO 54 modules: gears mesh when module and pressure angle are the same"},
	{"seat", "bearing", seatOnBearing, "ISO 15 boundary dimensions of ball bearings"},
	{"bearing", "journal", bearingOnJournal, "ISO 15 boundary dimensions; ISO 286-2 fits"},
	{"bearing", "shaft", bearingOnJournal, "ISO 15 boundary dimensions; ISO 286-2 fits"},
	{"pin", "pin hole", pinInHole, "ISO 2338/8734 parallel pins; clearance: common practice"},
	{"male thread", "female thread", threadInThread, "ISO 261 sizes; engagement 1 d in steel, 1.5 d in aluminium, 2 d in plastic: handbooks, common practice; nuts: ISO 898-2, ISO 4032"},
	{"male thread", "clearance hole", screwInHole, "ISO 273 clearance holes; ISO 4762 heads"},
	{"pattern", "pattern", patternOnPattern, "bolt circle, rectangle and count: geometry; M3 on 25 mm for 36 mm cans is common practice"},
	{"spline", "spline", splineInSpline, "same diameter and count: geometry"},
	{"hex", "hex", hexOnHex, "12 mm across flats is common practice at 1/10"},
	{"plug", "plug", plugInPlug, "same kind: common practice"},
	{"cells", "cells", cellsOnCells, "the controller's own window; cell voltage as in IEC 61960"},
}

// ruleFor finds the rule for two ports and gives them back in its order.
func ruleFor(x, y *Port) (r *rule, a, b *Port, ok bool) {
	for i := range rules {
		switch r := &rules[i]; {
		case r.a == x.Type && r.b == y.Type:
			return r, x, y, true
		case r.a == y.Type && r.b == x.Type:
			return r, y, x, true
		}
	}
	return nil, x, y, false
}

// meet judges two ports.
func meet(x, y *Port) (verdict, string) {
	r, a, b, ok := ruleFor(x, y)
	if !ok {
		return verdict{false, "no such joint", fmt.Sprintf("a %s does not go with a %s", x.Type, y.Type)}, ""
	}
	return r.judge(a, b), r.source
}

// unknown is a joint whose numbers the document does not give: taken as fine, and said.
func unknown(what string) verdict {
	return verdict{true, "not checked", "the document does not say " + what}
}

// h7h6 is the largest clearance of an H7 bore on an h6 shaft, mm, by nominal diameter (ISO 286-2, tables for H7 and h6).
func h7h6(d float64) float64 {
	switch {
	case d <= 3:
		return 0.016
	case d <= 6:
		return 0.020
	case d <= 10:
		return 0.024
	}
	return 0.029
}

const (
	pressMost  = 0.03 // mm of interference that a hobbyist's vice still presses: common practice
	looseMost  = 0.05 // mm of clearance beyond which a wheel on a shaft sits off centre: common practice
	pinTight   = 0.02 // mm that a pin may be thicker than its hole and still be driven in: common practice
	pinLoose   = 0.15 // mm of clearance beyond which a pin hammers: common practice
	circleOff  = 0.25 // mm that two bolt circles may differ, within the clearance of the holes (ISO 273, half of fine for M3)
	bearingOff = 0.02 // mm that seat and bearing may differ: measuring, not another size (ISO 15 sizes are whole or half mm)
	pitchOff   = 1e-4 // share that two modules may differ: 25.4/DP rounded to four digits
	splineOff  = 0.1  // mm that the diameters of two splines may differ: common practice
	hexOff     = 0.15 // mm that two hexes may differ: common practice
	gridOff    = 0.5  // mm that the holes of two rectangles may differ: such mounts have slots or wide holes (common practice)
)

// round judges a round thing in a round hole by its clearance.
func round(p *Port, shaft, bore float64, what string) verdict {
	c := bore - shaft
	text := fmt.Sprintf("%s %s in a bore of %s", what, p.dim(shaft), p.dim(bore))
	switch {
	case c < -pressMost:
		return verdict{false, "will not go on", fmt.Sprintf("%s: %s too thick", text, p.dim(-c))}
	case c < -0.001:
		return verdict{true, "press fit", fmt.Sprintf("%s: %s of interference", text, p.dim(-c))}
	case c <= h7h6(bore)+0.005:
		return verdict{true, "slip fit", text}
	case c <= looseMost:
		return verdict{true, "easy fit", fmt.Sprintf("%s: %s of clearance", text, p.dim(c))}
	}
	return verdict{false, "loose", fmt.Sprintf("%s: %s too loose, it would sit off centre", text, p.dim(c))}
}

func shaftInBore(s, b *Port) verdict {
	if s.Diameter == 0 || b.Diameter == 0 {
		return unknown("both diameters")
	}
	v := round(s, s.Diameter, b.Diameter, "a shaft of")
	if v.ok && b.Flat && !s.Flat {
		return verdict{false, "will not go on", fmt.Sprintf("the bore has a flat and the shaft of %s is round", s.dim(s.Diameter))}
	}
	if v.ok && s.Motor && !s.Flat {
		v.reason += "; the shaft has no flat for the grub screw, so file one or use thread lock"
	}
	return v
}

func gearInGear(a, b *Port) verdict {
	if a.Module == 0 || b.Module == 0 {
		return unknown("both pitches")
	}
	text := fmt.Sprintf("%d teeth of %s with %d teeth of %s", a.Teeth, pitch(a.Module), b.Teeth, pitch(b.Module))
	off := math.Abs(a.Module-b.Module) / b.Module
	switch {
	case off > 0.02:
		return verdict{false, "wrong pitch", text}
	case off > pitchOff:
		return verdict{false, "wrong pitch", fmt.Sprintf("%s: %.1f %% apart, near enough to turn by hand and to eat itself under load", text, 100*off)}
	case math.Abs(a.Pressure-b.Pressure) > 1e-6:
		return verdict{false, "wrong pressure angle", fmt.Sprintf("%s: pressure angles %.1f° and %.1f°", text, a.Pressure*180/math.Pi, b.Pressure*180/math.Pi)}
	}
	return verdict{true, "same pitch", text}
}

// pitch names a module as the trade does: by diametral pitch where that is a whole number.
func pitch(module float64) string {
	if dp := 25.4 / module; math.Abs(dp-math.Round(dp)) < 1e-6 {
		return fmt.Sprintf("%.0f DP", dp)
	}
	return fmt.Sprintf("module %g", math.Round(module*1e4)/1e4)
}

func size(p *Port) string { return fmt.Sprintf("%g × %g × %g mm", p.Bore, p.Outer, p.Thick) }

func seatOnBearing(s, b *Port) verdict {
	if s.Outer == 0 || b.Outer == 0 {
		return unknown("the bearing's size")
	}
	text := fmt.Sprintf("a seat for %s and a bearing of %s", size(s), size(b))
	switch {
	case math.Abs(s.Outer-b.Outer) > bearingOff:
		return verdict{false, "wrong bearing", text}
	case math.Abs(s.Bore-b.Bore) > bearingOff:
		return verdict{false, "wrong bearing", text + ": it goes in, but its bore is another"}
	case b.Thick > s.Thick+bearingOff:
		return verdict{false, "wrong bearing", text + ": it stands proud"}
	case b.Thick < s.Thick-bearingOff:
		return verdict{true, "right size", text + ": it needs a shim beside it"}
	}
	return verdict{true, "right size", text}
}

func bearingOnJournal(b, j *Port) verdict {
	if b.Bore == 0 || j.Diameter == 0 {
		return unknown("bore and journal")
	}
	return round(j, j.Diameter, b.Bore, "a journal of")
}

func pinInHole(p, h *Port) verdict {
	if p.Diameter == 0 || h.Diameter == 0 {
		return unknown("pin and hole")
	}
	text := fmt.Sprintf("a pin of %s × %s in a hole of %s", p.dim(p.Diameter), p.dim(p.Length), p.dim(h.Diameter))
	switch c := h.Diameter - p.Diameter; {
	case c < -pinTight:
		return verdict{false, "will not go in", text}
	case c > pinLoose:
		return verdict{false, "loose", text + ": it would hammer out"}
	}
	if h.Length > 0 && p.Length > h.Length+1 {
		return verdict{false, "too long", fmt.Sprintf("%s that takes %s", text, p.dim(h.Length))}
	}
	if h.Length > 0 && p.Length < 0.6*h.Length {
		return verdict{false, "too short", fmt.Sprintf("%s that is %s long", text, p.dim(h.Length))}
	}
	return verdict{true, "slip fit", text}
}

// engagement is how many diameters of thread a material wants.
func engagement(material string) float64 {
	switch material {
	case "steel", "alloy steel", "spring steel", "titanium", "brass":
		return 1
	case "aluminium 6061", "aluminium 7075":
		return 1.5
	case "POM", "PA12", "PETG", "PLA", "carbon":
		return 2
	}
	return 1
}

func threadInThread(m, f *Port) verdict {
	if m.Thread == "" || f.Thread == "" {
		return unknown("both threads")
	}
	if m.Thread != f.Thread {
		return verdict{false, "wrong thread", fmt.Sprintf("%s does not go into %s", m.Thread, f.Thread)}
	}
	text := fmt.Sprintf("%s, %s long, in %s of thread", m.Thread, m.dim(m.Length), m.dim(f.Length))
	if m.Length == 0 || f.Length == 0 {
		return verdict{true, "same thread", m.Thread}
	}
	if m.Unsure != "" {
		return unknown("how thick " + m.Unsure + " is where " + m.Thread + " goes through")
	}
	in := m.Length - m.Width // Width of a screw's port is what it clamps
	if m.Width > 0 {
		text += fmt.Sprintf(", through %s", m.dim(m.Width))
	}
	if in <= 0 {
		return verdict{false, "too short", fmt.Sprintf("%s: it ends %s before the thread begins", text, m.dim(-in))}
	}
	if f.Blind && in > f.Length {
		return verdict{false, "bottoms", fmt.Sprintf("%s: it bottoms %s before it clamps", text, m.dim(in-f.Length))}
	}
	want := engagement(f.Material) * threadSize(f.Thread)
	if f.Nut { // ISO 898-2: a nut of 0.8 d holds what the screw does
		want = f.Length
	}
	if min(in, f.Length) < want-1e-9 {
		if f.Nut {
			return verdict{false, "too short", fmt.Sprintf("%s: it ends %s inside the nut and should come through", text, m.dim(want-in))}
		}
		return verdict{false, "holds too little", fmt.Sprintf("%s: %s hold, %s wants %s", text, m.dim(min(in, f.Length)), orMetal(f.Material), m.dim(want))}
	}
	return verdict{true, "same thread", text}
}

func orMetal(material string) string {
	if material == "" {
		return "metal"
	}
	return material
}

func patternOnPattern(a, b *Port) verdict {
	if a.Grid[0] > 0 && b.Grid[0] > 0 {
		return gridOnGrid(a, b)
	}
	if a.Circle == 0 || b.Circle == 0 {
		return unknown("both bolt circles")
	}
	text := fmt.Sprintf("%d holes on a circle of %s with %d on %s", a.Holes, a.dim(a.Circle), b.Holes, a.dim(b.Circle))
	if math.Abs(a.Circle-b.Circle) > circleOff {
		return verdict{false, "holes do not line up", text}
	}
	if a.Thread != "" && b.Thread != "" && a.Thread != b.Thread {
		return verdict{false, "wrong thread", fmt.Sprintf("%s: %s and %s", text, a.Thread, b.Thread)}
	}
	if few, many := min(a.Holes, b.Holes), max(a.Holes, b.Holes); few > 0 && many%few != 0 {
		return verdict{false, "holes do not line up", text}
	}
	return verdict{true, "lines up", text}
}

func splineInSpline(a, b *Port) verdict {
	if a.Diameter == 0 || b.Diameter == 0 {
		return unknown("both splines")
	}
	text := fmt.Sprintf("%d teeth on %s with %d on %s", a.Holes, a.dim(a.Diameter), b.Holes, a.dim(b.Diameter))
	if a.Holes != b.Holes || math.Abs(a.Diameter-b.Diameter) > splineOff {
		return verdict{false, "wrong spline", text}
	}
	return verdict{true, "same spline", text}
}

func hexOnHex(a, b *Port) verdict {
	if a.Width == 0 || b.Width == 0 {
		return unknown("both hexes")
	}
	text := fmt.Sprintf("%s and %s across flats", a.dim(a.Width), a.dim(b.Width))
	if math.Abs(a.Width-b.Width) > hexOff {
		return verdict{false, "wrong hex", text}
	}
	return verdict{true, "same hex", text}
}

func plugInPlug(a, b *Port) verdict {
	if a.Plug == "" || b.Plug == "" {
		return unknown("both plugs")
	}
	if a.Plug != b.Plug {
		return verdict{false, "wrong plug", fmt.Sprintf("%q and %q", a.Plug, b.Plug)}
	}
	return verdict{true, "same plug", a.Plug}
}

// cellsOnCells: of the two one is a pack; where neither part says so, it is the one with a single number.
func cellsOnCells(a, b *Port) verdict {
	pack, window := a, b
	if b.Source || !a.Source && a.From != a.To {
		pack, window = b, a
	}
	if window.Source || pack.From != pack.To {
		return verdict{false, "no such joint", "a pack goes on a controller or a motor"}
	}
	if pack.From == 0 || window.To == 0 {
		return unknown("cells and window")
	}
	text := fmt.Sprintf("%.0f cells on a window of %.0f to %.0f", pack.From, window.From, window.To)
	switch {
	case pack.From > window.To:
		return verdict{false, "too many cells", text + fmt.Sprintf(": %.1f V full, it would burn", 4.2*pack.From)}
	case pack.From < window.From:
		return verdict{false, "too few cells", text}
	}
	return verdict{true, "in the window", text}
}

// dim prints a dimension of a joint without zeros at the end: to 0.01 mm, or to a thousandth of an inch.
func dim(v float64, units quantity.System) string {
	shown, digits := quantity.DimLength.Shown(units).Symbol, 100.0
	if units == quantity.US {
		digits = 1000
	}
	return fmt.Sprintf("%g %s", math.Round(quantity.DimLength.In(v, shown)*digits)/digits, shown)
}

func (p *Port) dim(v float64) string { return dim(v, p.units) }

func (w *works) dim(v float64) string { return dim(v, w.units) }
