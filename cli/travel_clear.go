package cli

import (
	"fmt"

	"lowslung/quantity"
	"lowslung/travel"
)

// clearances prints the pairs that come near each other within the travel, nearest first.
func (p *printer) clearances(title string, list []travel.Clearance) {
	var rows [][]string
	for i := range list {
		k := &list[i]
		if k.DrawnIn {
			continue
		}
		gap := p.num(quantity.DimLength, k.GapMM, 1)
		if k.Touching {
			gap = "touch"
		}
		at := fmt.Sprintf("%s, %s, %s", p.num(quantity.DimLength, k.AtA[0], 0), p.num(quantity.DimLength, k.AtA[1], 0), p.num(quantity.DimLength, k.AtA[2], 0))
		rows = append(rows, []string{k.A, k.B, gap, k.Axle, p.num(quantity.DimLength, k.LeftMM, 1), p.num(quantity.DimLength, k.RightMM, 1), at})
	}
	if len(rows) == 0 {
		return
	}
	mm := p.unit(quantity.DimLength)
	p.title("%s", title)
	p.table([]string{"this", "and this", "gap " + mm, "axle", "left wheel " + mm, "right wheel " + mm, "where (forward, left, up) " + mm}, rows)
}
