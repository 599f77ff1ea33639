package sheet

import (
	"cmp"
	"slices"

	"lowslung/draw"
)

// Callouts: a name and a value in a row over or under a view, with a thin line to what they are about. Places in a row follow the order
// of what they point at, so that the lines do not cross, and are pushed apart as far as their widths need.

const (
	calloutSize = 2.7 // mm
	calloutTall = 7.2 // of a row, both lines
	calloutGap  = 4.0 // between neighbours
)

type callout struct {
	at          draw.Point
	name, value string
}

func (c *callout) wide() float64 {
	return max(draw.Width(c.name, draw.Sans, calloutSize), draw.Width(c.value, draw.Bold, calloutSize))
}

// rowsFor is how many rows the callouts take in a width.
func rowsFor(list []callout, width float64) int {
	sum := 0.0
	for i := range list {
		sum += list[i].wide() + calloutGap
	}
	if len(list) == 0 {
		return 0
	}
	return int(sum/width) + 1
}

// callouts writes them between x0 and x1; y is the side of the rows that looks at the view, and the rows go up from there, or down.
func callouts(d *draw.Drawing, list []callout, x0, x1, y float64, down bool) {
	slices.SortStableFunc(list, func(a, b callout) int { return cmp.Compare(a.at.X, b.at.X) })
	rows := rowsFor(list, x1-x0)
	for row := range rows {
		var mine []callout
		for i := range list {
			if i%rows == row {
				mine = append(mine, list[i])
			}
		}
		xs := spread(mine, x0, x1)
		edge := y + float64(row)*calloutTall
		if down {
			edge = y - float64(row)*calloutTall
		}
		for i := range mine {
			c := &mine[i]
			foot := draw.Pt(xs[i], edge)
			d.Stroke("callouts", draw.Line(foot, c.at), draw.Pen(0.13))
			d.Stroke("callouts", draw.Circle(c.at, 0.45), draw.Solid(draw.Black))
			base := edge + 1
			if down {
				base = edge - calloutTall + 1.4
			}
			d.Write("callouts", draw.Text{At: draw.Pt(xs[i], base), S: c.value, Size: calloutSize, Anchor: draw.Middle, Face: draw.Bold, Back: true})
			d.Write("callouts", draw.Text{At: draw.Pt(xs[i], base+3.2), S: c.name, Size: calloutSize, Anchor: draw.Middle, Back: true})
		}
	}
}

// spread finds middles for the callouts, each as near as may be to what it points at, in order, without overlap, within x0 and x1 when
// they fit at all.
func spread(list []callout, x0, x1 float64) []float64 {
	xs := make([]float64, len(list))
	for i := range list {
		xs[i] = list[i].at.X
	}
	apart := func(i int) float64 { return (list[i-1].wide()+list[i].wide())/2 + calloutGap }
	for range 200 { // neighbours that overlap move apart by halves: few passes do for a row of words
		moved := false
		for i := 1; i < len(list); i++ {
			if over := xs[i-1] + apart(i) - xs[i]; over > 1e-6 {
				xs[i-1] -= over / 2
				xs[i] += over / 2
				moved = true
			}
		}
		if !moved {
			break
		}
	}
	for i := range xs { // from the left edge to the right one, then back
		low := x0 + list[i].wide()/2
		if i > 0 {
			low = xs[i-1] + apart(i)
		}
		xs[i] = max(xs[i], low)
	}
	for i := len(xs) - 1; i >= 0; i-- {
		high := x1 - list[i].wide()/2
		if i < len(xs)-1 {
			high = xs[i+1] - apart(i+1)
		}
		xs[i] = min(xs[i], high)
	}
	return xs
}
