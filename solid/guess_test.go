package solid

import (
	"math"
	"strings"
	"testing"
)

// A weight from shape, material and infill: PA12 930 kg/m³ and aluminium 2700 kg/m³ are data-sheet values (print), the boxes are weighed by hand.
// A written mass wins; without infill nothing is counted, as ever.
func TestWeightFromInfill(t *testing.T) {
	m, err := loaded(t, map[string]string{
		"it.rig.yaml": `lowslung: 1
chassis:
  parts:
    printed: {material: PA12, infill: 30 %, at: [10, 0, 5], shape: [{mesh: box.3mf}]}
    pair: {material: aluminium 6061, infill: 100 %, pair: true, at: [0, 40, 0], shape: [{box: [10, 20, 30]}]}
    weighed: {material: PA12, infill: 30 %, mass: 41, shape: [{mesh: box.3mf}]}
    told: {material: PA12, shape: [{mesh: box.3mf}]}
    odd: {material: cheese, infill: 1, shape: [{mesh: box.3mf}]}
    open: {material: PA12, infill: 1, shape: [{mesh: open.stl}]}
    bare: {infill: 1}
`,
		// 1.2 × 0.8 × 0.4 inches, in inches: 6292.6 mm³
		"box.3mf":  string(packed(model3("inch", `<object id="1">`+meshXML(boxTriangles(1.2, 0.8, 0.4))+`</object>`, `<item objectid="1" transform="1 0 0 0 1 0 0 0 1 0.2 0 0"/>`))),
		"open.stl": string(binaryOf(boxTriangles(10, 10, 10)[1:])),
	})
	if err != nil {
		t.Fatal(err)
	}
	of := map[string]*Body{}
	for i := range m.Bodies {
		of[m.Bodies[i].Name+m.Bodies[i].Side.String()] = &m.Bodies[i]
	}
	volume := 1.2 * 0.8 * 0.4 * 25.4 * 25.4 * 25.4
	want := 930e-9 * volume * 0.3
	lo := NewMesh(boxTriangles(1.2, 0.8, 0.4), 25.4).Middle
	if b := of["printed"]; !b.HasMass || !b.Guessed || math.Abs(b.Mass/want-1) > 1e-5 || !near(b.CG, Vec{10 + lo.X + 0.2*25.4, lo.Y, 5 + lo.Z}, 1e-3) {
		t.Errorf("printed: %g kg at %v, expected %g", b.Mass, b.CG, want)
	} else if i := b.Mass / 12 * (0.8*0.8 + 0.4*0.4) * 25.4 * 25.4; math.Abs(b.Inertia[0]/i-1) > 1e-4 {
		t.Errorf("printed: tensor %v, expected xx %g", b.Inertia, i)
	}
	for _, side := range []string{"left", "right"} {
		if b := of["pair"+side]; !b.HasMass || math.Abs(b.Mass-2700e-9*6000) > 1e-12 {
			t.Errorf("pair, %s: %g kg", side, b.Mass)
		}
	}
	if b := of["weighed"]; b.Mass != 0.041 || b.Guessed {
		t.Errorf("a written weight does not win: %+v", b)
	}
	if b := of["told"]; b.HasMass || math.Abs(b.Guess/(want/0.3)-1) > 1e-5 {
		t.Errorf("without infill: counted %v, %g kg beside the sum", b.HasMass, b.Guess)
	}
	codes := ""
	for _, f := range m.Findings {
		codes += f.Code + " " + f.Sentence + "\n"
	}
	for _, name := range []string{"odd", "open", "bare"} {
		if of[name].HasMass || !strings.Contains(codes, "rig/no-estimate The weight of "+name+" is not estimated") {
			t.Errorf("%s: %v\n%s", name, of[name].HasMass, codes)
		}
	}
	if !strings.Contains(codes, "rig/estimated-weight pair weighs about 16.2 g each, an estimate: 6.0 cm³ of aluminium 6061 at 2700 kg/m³, 100 % of it filled.") || strings.Count(codes, "pair weighs") != 1 {
		t.Errorf("in\n%s", codes)
	}
}
