package rocks

import (
	"fmt"
	"math"

	"lowslung/quantity"
	"lowslung/solid"
)

// Options of the question. The zero value asks for the largest of every obstacle of the standard set.
type Options struct {
	Obstacle string       // one only; all when empty
	Size     float64      // of that one, mm or degrees: one run; 0 looks for the largest that is cleared
	Grip     float64      // coefficient of friction of the tyres on rock; 0 takes that of the document
	Speed    float64      // that the driver holds, m/s; 0.3 when 0
	Throttle float64      // the most the driver gives, 0…1; 1 when 0
	Seed     uint64       // of the boulders
	Map      *Map         // a map of heights to drive over, instead of an obstacle
	Only     []string     // of the standard set only these; all when empty
	Against  *solid.Model // another build on the same rock, over a range of grip
	Frames   bool         // with a run, every instant of it
	Step     float64      // s of the integration; 0.001 when 0
	Units    quantity.System
}

const usualSpeed = 0.3 // m/s, a walking driver's crawl: an assumption

func (o *Options) speed() float64 {
	if o.Speed == 0 {
		return usualSpeed * 1000
	}
	return o.Speed * 1000
}

func (o *Options) throttle() float64 {
	if o.Throttle == 0 {
		return 1
	}
	return o.Throttle
}

func (o *Options) step() float64 {
	if o.Step == 0 {
		return usualStep
	}
	return o.Step
}

// ParseOptions reads the options as flags and query parameters carry them; empty text means the usual.
func ParseOptions(name, height, angle, grip, speed, throttle string, units quantity.System) (Options, error) {
	o := Options{Obstacle: name, Units: units}
	var kind *obstacle
	if name != "" {
		k, err := obstacleOf(name)
		if err != nil {
			return o, err
		}
		kind = k
	}
	size := func(key, text string, dim *quantity.Dimension, per float64, angle bool) error {
		if text == "" {
			return nil
		}
		if kind == nil {
			return fmt.Errorf("found %s without an obstacle, expected obstacle as well: %s", key, nameList(angle))
		}
		if kind.angle != angle {
			other := map[bool]string{true: "angle", false: "height"}[kind.angle]
			return fmt.Errorf("found %s for the obstacle %q, expected %s: its size is the %s", key, kind.name, other, kind.about)
		}
		v, err := dim.Parse(text)
		if err != nil {
			return fmt.Errorf("%s: %w", key, err)
		}
		if v /= per; math.IsNaN(v) || v < kind.least*(1-1e-9) || v > kind.most*(1+1e-9) {
			return fmt.Errorf("%s: found %s, expected %s to %s for the obstacle %q", key, text, kind.size(kind.least, units), kind.size(kind.most, units), kind.name)
		}
		o.Size = v
		return nil
	}
	if err := size("height", height, quantity.DimLength, 1, false); err != nil {
		return o, err
	}
	if err := size("angle", angle, quantity.DimAngle, deg, true); err != nil {
		return o, err
	}
	for _, one := range []struct {
		key, text   string
		dim         *quantity.Dimension
		per         float64
		least, most float64
		said        string
		into        *float64
	}{
		{"grip", grip, quantity.DimNumber, 1, 0.05, 3, "0.05 to 3", &o.Grip},
		{"speed", speed, quantity.DimSpeed, 1, 0.02, 3, "0.02 to 3 m/s", &o.Speed},
		{"throttle", throttle, quantity.DimShare, 1, 0.02, 1, "2 % to 100 %", &o.Throttle},
	} {
		if one.text == "" {
			continue
		}
		v, err := one.dim.Parse(one.text)
		if err != nil {
			return o, fmt.Errorf("%s: %w", one.key, err)
		}
		if v /= one.per; math.IsNaN(v) || v < one.least*(1-1e-9) || v > one.most*(1+1e-9) {
			return o, fmt.Errorf("%s: found %s, expected %s", one.key, one.text, one.said)
		}
		*one.into = v
	}
	return o, nil
}

// nameList are the obstacles whose size is an angle, or a length.
func nameList(angle bool) string {
	out := ""
	for i := range obstacles {
		if obstacles[i].angle == angle {
			if out != "" {
				out += ", "
			}
			out += obstacles[i].name
		}
	}
	return out
}
