package bench

import (
	"fmt"
	"math"
	"strings"
)

// alike finds inputs that move all readings used in the same proportions: no fit of these readings can tell them apart, only their usual
// errors share the correction out between them. Two inputs are alike when the columns of the readings' slopes, each over the reading's
// standard deviation, point the same way to a cosine of 0.999; those that could not have moved any reading noticeably are not told.
func (a *Answer) alike(b *bench, f *fit) {
	const same, noticed = 0.999, 0.5
	n, m := len(b.in), len(f.used)
	cols := make([][]float64, n)
	for j := range n {
		c := make([]float64, m)
		size := 0.0
		for i, o := range f.used {
			c[i] = f.slopes.At(o.probe, j) * b.in[j].sigma / o.sigma
			size += c[i] * c[i]
		}
		if size = math.Sqrt(size); size < noticed {
			continue
		}
		for i := range c {
			c[i] /= size
		}
		cols[j] = c
	}
	done := make([]bool, n)
	for j := range n {
		if cols[j] == nil || done[j] {
			continue
		}
		group := []string{b.in[j].what}
		corrected := math.Abs(f.x[j]) >= slight*b.in[j].sigma
		for k := j + 1; k < n; k++ {
			if cols[k] == nil || done[k] {
				continue
			}
			dot := 0.0
			for i := range m {
				dot += cols[j][i] * cols[k][i]
			}
			if math.Abs(dot) >= same {
				done[k] = true
				corrected = corrected || math.Abs(f.x[k]) >= slight*b.in[k].sigma
				group = append(group, b.in[k].what)
			}
		}
		if len(group) < 2 {
			continue
		}
		told := group
		more := ""
		if len(told) > 4 {
			told, more = told[:3], fmt.Sprintf(" and %d more", len(group)-3)
		} else {
			told, more = told[:len(told)-1], " and "+told[len(told)-1]
		}
		a.Alike = append(a.Alike, Alike{Inputs: group, corrected: corrected, Text: fmt.Sprintf(
			"The readings cannot tell apart %s%s: what they say of them together is shared out by how far each is usually off. Measure one of them by itself.",
			strings.Join(told, ", "), more)})
	}
}
