package drive

import (
	"fmt"

	"lowslung/quantity"
)

// mostLedge is the highest ledge that is worked out, mm: far above any wheel of the scale.
const mostLedge = 1000

// Options of the question.
type Options struct {
	LedgeMM float64         // height of the ledge of the ledge point; 0 is half a tyre radius
	Units   quantity.System // units of the sentences
}

// ParseOptions reads the options as command and API take them; what is left out is the usual.
func ParseOptions(ledge string, units quantity.System) (Options, error) {
	o := Options{Units: units}
	if ledge == "" {
		return o, nil
	}
	h, err := quantity.DimLength.Parse(ledge)
	if err != nil {
		return o, fmt.Errorf("ledge: %w", err)
	}
	if !(h > 0 && h <= mostLedge) {
		return o, fmt.Errorf("ledge: found %s, expected more than 0 and at most %d mm", ledge, mostLedge)
	}
	o.LedgeMM = h
	return o, nil
}
