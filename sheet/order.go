package sheet

import (
	"fmt"
	"strings"

	"lowslung/mates"
	"lowslung/shop"
)

// order is the shopping list against the build as it was; nothing without one, since everything on the rig would be on it.
func (w *writer) order() []Block {
	was := w.o.Was
	if w.o.Against != nil {
		was = w.o.Against.Model
	}
	if was == nil {
		return nil
	}
	a, err := mates.Assess(w.b.Model, mates.Options{Against: was, Travel: &w.a.Travel, Units: w.u})
	if err != nil { // only a wrong option has one
		return nil
	}
	o := shop.OrderOf(&a, func(id string) (mates.Piece, bool) { return mates.ItemPiece(w.b.Model, id) })
	t := &Table{Columns: []Column{{Title: "Buy", Num: true, Share: 0.5}, {Title: "What", Share: 2.6}, {Title: "Item", Share: 1.8}, {Title: "From", Share: 1.6},
		{Title: "Each", Num: true}, {Title: "Sum", Num: true}, {Title: "For", Share: 2.4}}}
	drawer := 0
	for i := range o.Lines {
		l := &o.Lines[i]
		if l.Buy == 0 {
			drawer++
			continue
		}
		what := l.What
		if l.Why == "forgotten" {
			what += " (easily forgotten)"
		}
		t.Rows = append(t.Rows, Row{Cells: []string{fmt.Sprint(l.Buy), what, l.Item, l.From, money(l.Each, l.Currency), money(l.Sum, l.Currency), strings.Join(l.For, ", ")}})
	}
	var out []Block
	if t.Rows == nil {
		out = append(out, Block{Text: "Nothing: all of it lies in the drawer."})
	} else {
		if o.Currency != "" {
			t.Rows = append(t.Rows, Row{Sum: true, Cells: []string{"", "Together, where the price is known", "", "", "", money(&o.Price, o.Currency), ""}})
		}
		out = append(out, Block{Table: t})
	}
	if drawer > 0 && t.Rows != nil {
		out = append(out, Block{Text: fmt.Sprintf("Lines that the drawer has: %d.", drawer)})
	}
	return out
}

func money(v *float64, currency string) string {
	if v == nil {
		return "–"
	}
	return strings.TrimSpace(fmt.Sprintf("%.2f %s", *v, currency))
}
