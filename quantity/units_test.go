package quantity

import (
	"math"
	"testing"
)

// What one of each unit is in program units, typed in from NIST SP 811 (2008), appendix B.8, as printed there (seven
// digits, "exact" where it prints bold), scaled to mm, N/mm, N·mm and MPa. Units that the appendix does not list are SI
// units with prefixes, or marked.
var nist = []struct {
	d      *Dimension
	symbol string
	value  float64
	exact  bool
}{
	{&length, "mm", 1, true},
	{&length, "cm", 10, true},
	{&length, "m", 1000, true},
	{&length, "in", 25.4, true},  // inch: 2.54 E−02 m
	{&length, "ft", 304.8, true}, // foot: 3.048 E−01 m
	{&mass, "kg", 1, true},
	{&mass, "g", 0.001, true},
	{&mass, "oz", 2.834952e-2, false}, // ounce (avoirdupois): 2.834 952 E−02 kg
	{&mass, "lb", 4.535924e-1, false}, // pound (avoirdupois): 4.535 924 E−01 kg
	{&angle, "°", 1.745329e-2, false}, // degree: 1.745 329 E−02 rad
	{&angle, "rad", 1, true},
	{&force, "N", 1, true},
	{&force, "lbf", 4.448222, false},    // pound-force: 4.448 222 E+00 N
	{&force, "ozf", 2.780139e-1, false}, // ounce (avoirdupois)-force: 2.780 139 E−01 N
	{&force, "kgf", 9.80665, true},      // kilogram-force: 9.806 65 E+00 N
	{&rate, "N/mm", 1, true},
	{&rate, "N/m", 0.001, true},
	{&rate, "lbf/in", 1.751268e-1, false}, // pound-force per inch: 1.751 268 E+02 N/m
	{&rate, "gf/mm", 9.80665e-3, true},    // from kilogram-force
	{&torque, "N·mm", 1, true},
	{&torque, "N·m", 1000, true},
	{&torque, "kgf·cm", 98.0665, true},   // kilogram-force meter: 9.806 65 E+00 N·m
	{&torque, "ozf·in", 7.061552, false}, // ounce-force inch: 7.061 552 E−03 N·m
	{&torque, "lbf·in", 112.9848, false}, // pound-force inch: 1.129 848 E−01 N·m
	{&voltage, "V", 1, true},
	{&voltage, "mV", 0.001, true},
	{&current, "A", 1, true},
	{&current, "mA", 0.001, true},
	{&resistance, "Ω", 1, true},
	{&resistance, "mΩ", 0.001, true},
	{&charge, "mAh", 1, true},
	{&charge, "Ah", 1000, true},
	{&viscosity, "cSt", 1, true}, // centistokes: 1.0 E−06 m²/s
	{&density, "kg/m³", 1, true},
	{&density, "g/cm³", 1000, true}, // gram per cubic centimeter: 1.0 E+03 kg/m³
	{&modulus, "MPa", 1, true},
	{&modulus, "GPa", 1000, true},
	{&modulus, "psi", 6.894757e-3, false}, // psi: 6.894 757 E+03 Pa
	{&temperature, "°C", 1, true},
	{&temperature, "°F", -17.0 - 2.0/9, true}, // degree Fahrenheit: t/°C = (t/°F − 32)/1.8
	{&duration, "s", 1, true},
	{&duration, "ms", 0.001, true},
	{&duration, "min", 60, true},
	{&duration, "h", 3600, true},
	{&kv, "rpm/V", 1, true},
	{&kv, "rad/s/V", 1 / 1.047198e-1, false}, // revolution per minute: 1.047 198 E−01 rad/s
	{&spin, "rpm", 1, true},
	{&spin, "rad/s", 1 / 1.047198e-1, false},
	{&speed, "m/s", 1, true},
	{&speed, "km/h", 2.777778e-1, false}, // kilometre per hour: 2.777 778 E−01 m/s
	{&speed, "mph", 4.4704e-1, true},     // mile per hour: 4.4704 E−01 m/s
	{&speed, "ft/s", 3.048e-1, true},     // foot per second: 3.048 E−01 m/s
	{&frequency, "Hz", 1, true},          // hertz, SI
	{&share, "", 1, true},
	{&share, "%", 0.01, true},
	{&number, "", 1, true},
}

func TestUnits(t *testing.T) {
	seen := map[*Dimension]map[string]bool{}
	for _, c := range nist {
		if seen[c.d] == nil {
			seen[c.d] = map[string]bool{}
		}
		seen[c.d][c.symbol] = true
		tol := 6e-7 // half of the last digit printed, relative, for a first digit of one
		if c.exact {
			tol = 1e-15
		}
		u, ok := c.d.Unit(c.symbol)
		if !ok {
			t.Errorf("%s has no unit %q", c.d.Name, c.symbol)
			continue
		}
		for _, text := range append([]string{c.symbol}, u.Also...) {
			text = "1 " + text
			if c.symbol == "" {
				text = "1"
			}
			got, err := c.d.Parse(text)
			if err != nil {
				t.Errorf("%s: %v", text, err)
			} else if math.Abs(got-c.value) > tol*math.Abs(c.value) {
				t.Errorf("%s is read as %.10g, want %.10g", text, got, c.value)
			}
		}
		if back := c.d.In(c.value, c.symbol); math.Abs(back-1) > tol*(1+math.Abs(u.Offset/u.Factor)) {
			t.Errorf("%.10g in %q is %.10g, want 1", c.value, c.symbol, back)
		}
	}
	for _, d := range All() {
		for _, u := range d.Units {
			if !seen[d][u.Symbol] {
				t.Errorf("no independent value for %s in %q", d.Name, u.Symbol)
			}
		}
	}
}

// Temperatures have fixed points that everybody knows (ITS-90 aside): ice, and where both scales meet.
func TestTemperatures(t *testing.T) {
	for text, want := range map[string]float64{"32 °F": 0, "212 °F": 100, "-40 °F": -40, "-40 °C": -40, "25": 25, "77 F": 25} {
		if got, err := temperature.Parse(text); err != nil || math.Abs(got-want) > 1e-12 {
			t.Errorf("%s is read as %v (%v), want %v °C", text, got, err, want)
		}
	}
	if got := temperature.In(100, "°F"); math.Abs(got-212) > 1e-12 {
		t.Errorf("100 °C is %v °F", got)
	}
}

// A row never mixes systems, and what it prints and reads bare are units of its own.
func TestRows(t *testing.T) {
	symbols := map[string]*Dimension{}
	for _, d := range All() {
		for _, s := range []string{d.Bare, d.Metric.Symbol, d.US.Symbol} {
			if _, ok := d.Unit(s); !ok {
				t.Errorf("%s: %q is no unit of it", d.Name, s)
			}
		}
		for _, u := range d.Units {
			if u.Factor == 0 {
				t.Errorf("%s: %q has no factor", d.Name, u.Symbol)
			}
			for _, s := range append([]string{u.Symbol}, u.Also...) {
				if other := symbols[s]; other != nil && s != "" {
					if other != d {
						t.Errorf("%q is a unit of %s and of %s", s, other.Name, d.Name)
					} else {
						t.Errorf("%s: %q stands twice", d.Name, s)
					}
				}
				symbols[s] = d
			}
		}
	}
	for _, s := range []string{"in", "ft", "oz", "lb", "lbf", "ozf", "lbf/in", "ozf·in", "lbf·in", "psi", "°F"} {
		if symbols[s].Metric.Symbol == s {
			t.Errorf("%q is printed in metric", s)
		}
	}
}

func TestGravity(t *testing.T) {
	if Gravity != 9806.65 { // mm/s², 3rd General Conference on Weights and Measures, 1901
		t.Errorf("standard gravity is %v", Gravity)
	}
}
