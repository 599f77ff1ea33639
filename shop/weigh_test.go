package shop_test

import (
	"math"
	"strings"
	"testing"

	"lowslung/form"
	"lowslung/quantity"
	"lowslung/shop"
)

// A plate of 40 × 20 × 3 mm with a round hole: 2400 mm³ less the hole; in PA12 (930 kg/m³) at 30 % and in aluminium 6061 (2700 kg/m³) as the data
// sheets have them (print). Its centre from the moments of its two pieces.
func TestWeighAPart(t *testing.T) {
	hole := form.Circle(10, 0, 8)
	m, err := form.Stack(form.Layer{Rings: []form.Ring{form.Rectangle(0, 0, 40, 20), hole}, Height: 3})
	if err != nil {
		t.Fatal(err)
	}
	gap := 0.0
	for i, p := range hole {
		q := hole[(i+1)%len(hole)]
		gap += (p[0]*q[1] - q[0]*p[1]) / 2
	}
	volume := 3 * (800 - gap)
	center := -gap * 10 / (800 - gap)
	o, err := shop.ParseWeighOptions("", "30 %", "", quantity.Metric)
	if err != nil {
		t.Fatal(err)
	}
	for name, data := range map[string][]byte{"stl": m.STL("x"), "3mf": m.ThreeMF("x", "y")} {
		o.File = "part." + name
		w, err := shop.Weigh(data, o)
		if err != nil {
			t.Fatal(err)
		}
		if !w.Closed || math.Abs(*w.VolumeMM3/volume-1) > 1e-4 || math.Abs(w.CenterMM[0]-center) > 1e-3 || math.Abs(w.CenterMM[2]-1.5) > 1e-6 || w.SizeMM != [3]float64{40, 20, 3} {
			t.Errorf("%s: %+v, expected %g mm³ about x %g", name, w, volume, center)
		}
		for _, k := range w.Weights {
			if want := map[string]float64{"PA12": 930, "aluminium 6061": 2700}[k.Material]; want > 0 && math.Abs(k.MassG/(want*volume*0.3e-6)-1) > 1e-4 {
				t.Errorf("%s: %g g of %s", name, k.MassG, k.Material)
			}
		}
		if len(w.Weights) < 8 || len(w.Findings) != 0 {
			t.Errorf("%s: %d materials, %v", name, len(w.Weights), w.Findings)
		}
	}
	// The lines for a document are a part that weighs the same.
	o, err = shop.ParseWeighOptions("PETG", "0.5", "2", quantity.Metric)
	if err != nil {
		t.Fatal(err)
	}
	o.File = "part.3mf"
	w, err := shop.Weigh(m.ThreeMF("x", ""), o)
	if err != nil {
		t.Fatal(err)
	}
	b := modelWith(t, "lowslung: 1\nchassis:\n  parts:\n    "+strings.ReplaceAll(strings.TrimSpace(w.Part), "\n", "\n    ")+"\n", map[string][]byte{"part.3mf": m.ThreeMF("x", "")})
	if p := b.Bodies[0]; !p.Guessed || math.Abs(p.Mass*1000/w.Weights[0].MassG-1) > 1e-9 || math.Abs(w.Weights[0].MassG/(1270*8*volume*0.5e-6)-1) > 1e-4 {
		t.Errorf("in a document %g g, expected %+v\n%s", p.Mass*1000, w.Weights, w.Part)
	}
}

func TestWeighSaysWhatIsWrong(t *testing.T) {
	m, err := form.Stack(form.Layer{Rings: []form.Ring{form.Rectangle(0, 0, 1.5, 1)}, Height: 0.5})
	if err != nil {
		t.Fatal(err)
	}
	m.Triangles = m.Triangles[1:]
	w, err := shop.Weigh(m.STL(""), shop.WeighOptions{})
	if err != nil {
		t.Fatal(err)
	}
	codes := ""
	for _, f := range w.Findings {
		codes += f.Code + " "
	}
	if w.Closed || w.VolumeMM3 != nil || len(w.Weights) != 0 || codes != "shop/mesh-size shop/open-mesh " {
		t.Errorf("%+v", w)
	}
	if _, err := shop.Weigh([]byte("no mesh at all"), shop.WeighOptions{}); err == nil || !strings.Contains(err.Error(), "expected a binary STL") {
		t.Error(err)
	}
	for _, bad := range [][3]string{{"cheese", "", ""}, {"", "0", ""}, {"", "120 %", ""}, {"", "", "-1"}, {"", "", "1e9"}} {
		if _, err := shop.ParseWeighOptions(bad[0], bad[1], bad[2], quantity.Metric); err == nil {
			t.Errorf("%v was taken", bad)
		}
	}
}
