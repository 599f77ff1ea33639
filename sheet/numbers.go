package sheet

import (
	"lowslung/channel"
	"lowslung/quantity"
)

// The key numbers are those that a builder would tell another; each is a number of the catalogue.
var keyNames = []string{
	"wheelbase", "mass", "front share", "centre of mass height", "standing clearance", "belly clearance",
	"front pinion angle", "rear pinion angle", "rear anti-squat", "static stability factor",
	"flexed tip angle left", "flexed tip angle right", "flexed tip angle nose up", "flexed tip angle nose down",
	"ramp travel index", "steer lock left", "steer lock right", "turning circle",
	"front gear ratio", "rear gear ratio", "top speed", "current at wheel slip", "run time",
}

func (w *writer) keyNumbers() []Block {
	t := w.numberTable()
	for _, name := range keyNames {
		for i := range w.number {
			if n := &w.number[i]; n.Channel.Name == name {
				t.Rows = append(t.Rows, w.numberRow(n))
			}
		}
	}
	if t.Rows == nil {
		return nil
	}
	return []Block{{Table: t}}
}

func (w *writer) allNumbers() []Block {
	t := w.numberTable()
	word := ""
	for i := range w.number {
		n := &w.number[i]
		if n.Channel.Word != word {
			word = n.Channel.Word
			t.Rows = append(t.Rows, Row{Group: true, Cells: []string{word}})
		}
		t.Rows = append(t.Rows, w.numberRow(n))
	}
	if t.Rows == nil {
		return nil
	}
	return []Block{{Text: "In the design pose, as it stands."}, {Table: t}}
}

func (w *writer) numberTable() *Table {
	also := "US customary"
	if w.u == quantity.US {
		also = "Metric"
	}
	if w.held == nil {
		return &Table{Columns: []Column{{Title: "Number", Share: 2.4}, {Title: "Value", Num: true}, {Title: also, Num: true}, {Share: 0.8}}}
	}
	return &Table{Columns: []Column{{Title: "Number", Share: 2.4}, {Title: "Was", Num: true}, {Title: "Is", Num: true},
		{Title: also, Num: true}, {Title: "Change", Num: true}, {Share: 0.9}}}
}

// numberRow is the number in the reader's units, in the other system where that prints another unit, and what changed.
func (w *writer) numberRow(n *Number) Row {
	c := n.Channel
	is := w.print(c, n.Value, w.u)
	also := ""
	if c.Dim.Metric.Symbol != c.Dim.US.Symbol {
		also = w.print(c, n.Value, 1-w.u)
	}
	note := ""
	if c.Estimated() {
		note = "estimate"
	}
	if w.held == nil {
		return Row{Cells: []string{c.Name, is, also, note}}
	}
	change := "–"
	if n.Value != nil && n.Other != nil {
		change = c.FormatChange(*n.Value-*n.Other, w.u)
		if n.Sense == "same" {
			change = "same"
		}
	}
	if n.Sense == "better" || n.Sense == "worse" {
		if note != "" {
			note = ", " + note
		}
		note = n.Sense + note
	}
	return Row{Cells: []string{c.Name, w.print(c, n.Other, w.u), is, also, change, note}}
}

func (w *writer) print(c *channel.Channel, v *float64, u quantity.System) string {
	if v == nil {
		return "–"
	}
	return c.Format(*v, u)
}

// in prints a value in program units in the reader's units; dim without a unit's symbol is for headings.
func (w *writer) in(d *quantity.Dimension, v float64) string { return d.Format(v, w.u) }

func (w *writer) mm(v float64) string { return w.in(quantity.DimLength, v) }

// deg prints an angle that an answer has in degrees.
func (w *writer) deg(v float64) string { return quantity.Fixed(v, 1) + "°" }

// bare prints a value without its unit, for a column whose heading has it.
func (w *writer) bare(d *quantity.Dimension, v float64, digits int) string {
	if w.u == quantity.US {
		digits += d.US.Digits - d.Metric.Digits
	}
	return quantity.Fixed(d.In(v, d.Shown(w.u).Symbol), max(digits, 0))
}

func (w *writer) unit(d *quantity.Dimension) string { return d.Shown(w.u).Symbol }
