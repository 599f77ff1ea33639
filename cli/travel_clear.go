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

// gapsAt prints all gaps below 5 mm with both axles where the bumps put them.
func (p *printer) gapsAt(l *loaded, text string) error {
	bumps, err := travel.ParseBumps(text)
	if err != nil {
		return fmt.Errorf("gaps: %w", err)
	}
	list, err := travel.Gaps(l.model, travel.StandOf(l.model), bumps)
	if err != nil {
		return fmt.Errorf("gaps: %w", err)
	}
	if p.json {
		return p.encode(list)
	}
	mm := func(v float64, digits int) string { return p.num(quantity.DimLength, v, digits) }
	p.title("%s: what is near what, front wheels at %s and %s, rear at %s and %s", l.model.Name, quantity.DimLength.Format(bumps[0][0], p.units),
		quantity.DimLength.Format(bumps[0][1], p.units), quantity.DimLength.Format(bumps[1][0], p.units), quantity.DimLength.Format(bumps[1][1], p.units))
	if len(list) == 0 {
		p.line("Nothing comes nearer than %s there to what moves against it.", quantity.DimLength.Format(5, p.units))
		return nil
	}
	var rows [][]string
	for i := range list {
		k := &list[i]
		gap := mm(k.GapMM, 1)
		if k.Touching {
			gap = "touch"
		}
		rows = append(rows, []string{k.A, k.B, gap, fmt.Sprintf("%s, %s, %s", mm(k.AtA[0], 0), mm(k.AtA[1], 0), mm(k.AtA[2], 0))})
	}
	unit := p.unit(quantity.DimLength)
	p.table([]string{"this", "and this", "gap " + unit, "where (forward, left, up) " + unit}, rows)
	return nil
}
