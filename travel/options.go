package travel

import (
	"fmt"

	"lowslung/quantity"
)

// ParseOptions reads the options as flags and query parameters carry them; empty text means the usual.
func ParseOptions(axle, heave, roll string, units quantity.System) (Options, error) {
	o := Options{Axle: axle, Units: units}
	for _, one := range []struct {
		name, text string
		into       *Span
	}{{"heave", heave, &o.Heave}, {"roll", roll, &o.Roll}} {
		if one.text == "" {
			continue
		}
		s, err := ParseSpan(one.text)
		if err != nil {
			return o, fmt.Errorf("%s: %w", one.name, err)
		}
		*one.into = s
	}
	_, err := o.check()
	return o, err
}
