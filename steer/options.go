package steer

import (
	"fmt"
	"math"

	"lowslung/quantity"
	"lowslung/travel"
)

// Usual grid when nothing is asked for: that of travel.
var (
	usualHeave = travel.Span{From: -25, To: 25, Step: 5} // mm
	usualRoll  = travel.Span{From: -15, To: 15, Step: 5} // degrees
)

// maxPoses is the largest grid of heave and roll that is worked through.
const maxPoses = 20_000

// ParseOptions reads the options as flags and query parameters carry them; empty text means the usual.
func ParseOptions(servo, heave, roll string, units quantity.System) (Options, error) {
	o := Options{Units: units}
	for _, one := range []struct {
		name, text string
		into       *travel.Span
	}{{"servo", servo, &o.Servo}, {"heave", heave, &o.Heave}, {"roll", roll, &o.Roll}} {
		if one.text == "" {
			continue
		}
		s, err := travel.ParseSpan(one.text)
		if err != nil {
			return o, fmt.Errorf("%s: %w", one.name, err)
		}
		*one.into = s
	}
	filled := o
	return o, filled.check()
}

func (o *Options) check() error {
	if o.Heave == (travel.Span{}) {
		o.Heave = usualHeave
	}
	if o.Roll == (travel.Span{}) {
		o.Roll = usualRoll
	}
	for _, one := range []struct {
		name, unit string
		span       travel.Span
		limit      float64
	}{{"servo", "degrees", o.Servo, 170}, {"heave", "mm", o.Heave, 1e4}, {"roll", "degrees", o.Roll, 80}} {
		if one.span == (travel.Span{}) {
			continue
		}
		if err := one.span.Check(); err != nil {
			return fmt.Errorf("%s: %w", one.name, err)
		}
		if math.Abs(one.span.From) > one.limit || math.Abs(one.span.To) > one.limit {
			return fmt.Errorf("%s: found %s, expected %s between %g and %g", one.name, one.span, one.unit, -one.limit, one.limit)
		}
	}
	if n := len(o.Heave.Values()) * len(o.Roll.Values()); n > maxPoses {
		return fmt.Errorf("found a grid of %d poses, expected at most %d; take larger steps", n, maxPoses)
	}
	return nil
}

// servoAngles are the servo angles asked for, rad; by default its travel in steps of 5°, and both ends.
func (o *Options) servoAngles(travelled float64) []float64 {
	var out []float64
	if o.Servo != (travel.Span{}) {
		for _, v := range o.Servo.Values() {
			out = append(out, v*deg)
		}
		return out
	}
	const step = 5
	n := int(math.Ceil(travelled/(step*deg)-1e-9)) - 1
	out = append(out, -travelled)
	for i := -n; i <= n; i++ {
		out = append(out, float64(i)*step*deg)
	}
	return append(out, travelled)
}
