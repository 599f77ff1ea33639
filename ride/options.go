package ride

import (
	"fmt"
	"math"

	"lowslung/quantity"
)

// Options of the question. The zero value asks the usual.
type Options struct {
	Step   float64 // degrees between the rows of the tilt tables; 5 when 0
	Ramp   float64 // slope of the ramp, degrees; 20 when 0
	Height float64 // ride height that is wanted, mm; 0 wants none
	Sag    float64 // share of the stroke that is wanted used standing still; 0 wants none
	Zeta   float64 // damping ratio that is wanted; 0 wants none
	Brief  bool    // stance and tip angles, one ramp: what check asks
	Poses  bool    // with every rest, where everything is; ramp, blocks and twist in all their steps
	Units  quantity.System
}

// ParseOptions reads the options as flags and query parameters carry them; empty text means the usual.
func ParseOptions(step, ramp, height, sag, damping string, units quantity.System) (Options, error) {
	o := Options{Units: units}
	for _, one := range []struct {
		name, text string
		dim        *quantity.Dimension
		per        float64 // program units of one unit of the option
		into       *float64
		least      float64
		most       float64
		range_     string
	}{
		{"step", step, quantity.DimAngle, deg, &o.Step, 0.25, 30, "0.25° to 30°"},
		{"ramp", ramp, quantity.DimAngle, deg, &o.Ramp, 5, 45, "5° to 45°"},
		{"height", height, quantity.DimLength, 1, &o.Height, 1, 1000, "1 mm to 1000 mm"},
		{"sag", sag, quantity.DimShare, 1, &o.Sag, 0.01, 0.99, "1 % to 99 %"},
		{"damping", damping, quantity.DimNumber, 1, &o.Zeta, 0.01, 5, "0.01 to 5"},
	} {
		if one.text == "" {
			continue
		}
		v, err := one.dim.Parse(one.text)
		if err != nil {
			return o, fmt.Errorf("%s: %w", one.name, err)
		}
		v /= one.per
		if math.IsNaN(v) || v < one.least*(1-1e-9) || v > one.most*(1+1e-9) {
			return o, fmt.Errorf("%s: found %s, expected %s", one.name, one.text, one.range_)
		}
		*one.into = v
	}
	if o.Height != 0 && o.Sag != 0 {
		return o, fmt.Errorf("found both height and sag, expected one of them: either settles where the collars go")
	}
	return o, nil
}

func (o *Options) fill() {
	if o.Step == 0 {
		o.Step = 5
	}
	if o.Ramp == 0 {
		o.Ramp = 20
	}
}
