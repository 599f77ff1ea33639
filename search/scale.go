package search

import (
	"math"
	"strconv"

	"lowslung/rig"
)

// A scale is what a choice of any value between two is solved on: a lattice finer than what is made by hand, so that a value is a whole
// number of steps, equal values are equal, and a slow twin can go through all of them.
type scale struct {
	from, to float64 // in the unit as written
	step     float64 // 1, 2 or 5 times a power of ten: at most a four-hundredth of the range
	most     int     // number of the last value, which is to
	unit     string
}

// begins is how many steps a choice of any value is gone through in before it is solved.
const begins = 12

func scaleOf(from, to float64, unit string) *scale {
	want := (to - from) / 400
	step := math.Pow(10, math.Floor(math.Log10(want)+1e-9))
	for _, k := range []float64{5, 2} {
		if k*step <= want*(1+1e-9) {
			step *= k
			break
		}
	}
	return &scale{from, to, step, int(math.Ceil((to-from)/step - 1e-9)), unit}
}

// at is value number k.
func (c *scale) at(k int) float64 { return min(c.from+float64(k)*c.step, c.to) }

// near is the number of the value nearest v.
func (c *scale) near(v float64) int {
	return max(0, min(c.most, int(math.Round((v-c.from)/c.step))))
}

func (c *scale) text(k int) string { return written(c.at(k), c.unit) }

func (c *scale) node(k int, at rig.Place) *rig.Node {
	return &rig.Node{Kind: rig.ScalarNode, Text: c.text(k), Place: at}
}

// written is a value as a document has it.
func written(v float64, unit string) string {
	text := strconv.FormatFloat(math.Round(v*1e9)/1e9, 'f', -1, 64)
	if unit != "" {
		text += " " + unit
	}
	return text
}
