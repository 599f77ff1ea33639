package quantity

import (
	"errors"
	"math"
	"math/rand/v2"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"
)

func TestParse(t *testing.T) {
	for _, c := range []struct {
		d    *Dimension
		text string
		want float64
	}{
		{&length, "112.5", 112.5},
		{&length, "2.2 in", 55.88},
		{&length, `2.2"`, 55.88},
		{&length, "2.2in", 55.88},
		{&length, "  3   cm ", 30},
		{&length, "-4", -4},
		{&length, "+4 mm", 4},
		{&length, ".5", 0.5},
		{&length, "5.", 5},
		{&length, "1e2", 100},
		{&length, "1E-1 m", 100},
		{&mass, "350 g", 0.35},
		{&mass, "350", 0.35},
		{&mass, "16 oz", 0.45359237},
		{&angle, "180", math.Pi},
		{&angle, "180 deg", math.Pi},
		{&angle, "45°", math.Pi / 4},
		{&rate, "0.4 N/mm", 0.4},
		{&rate, "1 kN/m", 1},
		{&torque, "25 kg·cm", 2451.6625},
		{&torque, "2 N m", 2000},
		{&resistance, "28", 0.028},
		{&share, "40 %", 0.4},
		{&share, "40%", 0.4},
		{&share, "0.4", 0.4},
		{&number, "7", 7},
	} {
		got, err := c.d.Parse(c.text)
		if err != nil || math.Abs(got-c.want) > 1e-12*math.Abs(c.want) {
			t.Errorf("%s %q: got %v (%v), want %v", c.d.Name, c.text, got, err, c.want)
		}
	}
}

func TestParseRefuses(t *testing.T) {
	for _, c := range []struct {
		d    *Dimension
		text string
		want string
	}{
		{&length, "", `found "", expected a length (mm when bare; or cm, m, in, ft)`},
		{&length, "mm", `found "mm", expected a length (mm when bare; or cm, m, in, ft)`},
		{&length, "1.2.3", `found "1.2.3", expected a length (mm when bare; or cm, m, in, ft)`},
		{&length, "--1", `found "--1", expected a length (mm when bare; or cm, m, in, ft)`},
		{&length, "NaN", `found "NaN", expected a length (mm when bare; or cm, m, in, ft)`},
		{&length, "inf", `found "inf", expected a length (mm when bare; or cm, m, in, ft)`},
		{&length, "0x10", `found "0x10", with the unknown unit "x10", expected a length (mm when bare; or cm, m, in, ft)`},
		{&length, "1_000", `found "1_000", with the unknown unit "_000", expected a length (mm when bare; or cm, m, in, ft)`},
		{&length, "3 g", `found "3 g", which is a mass, expected a length (mm when bare; or cm, m, in, ft)`},
		{&length, "3 °", `found "3 °", which is an angle, expected a length (mm when bare; or cm, m, in, ft)`},
		{&angle, "3 mm", `found "3 mm", which is a length, expected an angle (° when bare; or rad)`},
		{&length, "1e400", `found "1e400", expected a length (mm when bare; or cm, m, in, ft)`},
		{&length, "1e9 m", `found "1e9 m", which is too large, expected a length (mm when bare; or cm, m, in, ft)`},
		{&share, "3 mm", `found "3 mm", which is a length, expected a share (a plain number when bare; or %)`},
		{&number, "3 mm", `found "3 mm", which is a length, expected a number`},
		{&viscosity, "30 wt", `found "30 wt", with the unknown unit "wt", expected a viscosity (in cSt)`},
		{&torque, "3 MM", `found "3 MM", with the unknown unit "MM", expected a torque (N·mm when bare; or N·m, kgf·cm, ozf·in, lbf·in)`},
	} {
		v, err := c.d.Parse(c.text)
		if err == nil {
			t.Errorf("%s %q: read as %v, want an error", c.d.Name, c.text, v)
			continue
		}
		if err.Error() != c.want {
			t.Errorf("%s %q:\ngot  %s\nwant %s", c.d.Name, c.text, err, c.want)
		}
		var e *Error
		if !errors.As(err, &e) || e.Found != c.text || e.Dimension != c.d {
			t.Errorf("%s %q: error is %#v", c.d.Name, c.text, err)
		}
	}
}

func TestFormat(t *testing.T) {
	for _, c := range []struct {
		d     *Dimension
		value float64
		s     System
		want  string
	}{
		{&length, 112.5, Metric, "112.5 mm"},
		{&length, 25.4, US, "1.000 in"},
		{&mass, 0.35, Metric, "350 g"},
		{&mass, 0.45359237, US, "16.00 oz"},
		{&angle, math.Pi / 6, Metric, "30.0°"},
		{&share, 0.407, US, "40.7 %"},
		{&temperature, 25, US, "77 °F"},
		{&number, 1.2345, Metric, "1.234"},
		{&length, -0.04, Metric, "0.0 mm"},
		{&angle, -1e-9, Metric, "0.0°"},
		{&mass, -0.0004, Metric, "0 g"},
		{&length, -0.06, Metric, "-0.1 mm"},
		{&length, math.NaN(), Metric, "– mm"},
		{&length, math.Inf(-1), Metric, "– mm"},
	} {
		if got := c.d.Format(c.value, c.s); got != c.want {
			t.Errorf("%s %v: got %q, want %q", c.d.Name, c.value, got, c.want)
		}
	}
}

// Nothing is ever printed as minus zero, and what is printed is read back as what it says.
func TestFormatParse(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	if text := os.Getenv("LOWSLUNG_SEED"); text != "" {
		seed, _ = strconv.ParseUint(text, 10, 64)
	}
	t.Logf("LOWSLUNG_SEED=%d", seed)
	r := rand.New(rand.NewPCG(seed, 1))
	minusZero := regexp.MustCompile(`^-[0.]*\D*$`)
	for range 20000 {
		d := All()[r.IntN(len(All()))]
		v := r.NormFloat64() * math.Pow(10, float64(r.IntN(6)-4))
		digits := r.IntN(7)
		for _, s := range []System{Metric, US} {
			text := d.FormatDigits(v, s, digits)
			if minusZero.MatchString(text) {
				t.Fatalf("%s %v is printed %q", d.Name, v, text)
			}
			back, err := d.Parse(text)
			if err != nil {
				t.Fatalf("%q: %v", text, err)
			}
			u, _ := d.Unit(d.Shown(s).Symbol)
			if step := u.Factor * math.Pow(10, -float64(digits)); math.Abs(back-v) > 0.51*step+1e-9*math.Abs(v) {
				t.Fatalf("%s %v is printed %q and read back as %v", d.Name, v, text, back)
			}
		}
	}
}

func TestParseSystem(t *testing.T) {
	for text, want := range map[string]System{"metric": Metric, "": Metric, "us": US, "US": US} {
		if got, err := ParseSystem(text); err != nil || got != want {
			t.Errorf("%q: %v, %v", text, got, err)
		}
	}
	if _, err := ParseSystem("imperial"); err == nil || !strings.Contains(err.Error(), "expected metric or us") {
		t.Errorf("imperial: %v", err)
	}
}

func TestInPanics(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("a length in grams did not panic")
		}
	}()
	length.In(1, "g")
}

func FuzzSplit(f *testing.F) {
	for _, s := range []string{"2.2 in", "-.5e-3mm", "", "e", "+", "1e", "1e+", "0x1p-2", "1 1", "½", "1\n2", "NaN", "1_0"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		number, symbol, err := Split(s)
		if err == nil && (math.IsNaN(number) || math.IsInf(number, 0)) {
			t.Fatalf("%q is read as %v %q", s, number, symbol)
		}
		for _, d := range All() {
			if v, err := d.Parse(s); err == nil && (math.IsNaN(v) || math.IsInf(v, 0)) {
				t.Fatalf("%q is read as the %s %v", s, d.Name, v)
			}
		}
	})
}
