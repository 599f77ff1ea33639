package search

import (
	"fmt"

	"lowslung/channel"
	"lowslung/mates"
	"lowslung/quantity"
	"lowslung/rig"
	"lowslung/solid"
)

// Currency is that of prices: of the bins, or where they have several, of the document's own parts; empty when there are several still, or
// none. A combination whose parts are priced in several has no price.
func Currency(b *rig.Build, m *solid.Model) string {
	shelf, own := map[string]bool{}, map[string]bool{}
	for _, bin := range b.Bins {
		for i := range bin.Items {
			if p := &bin.Items[i].Value; p.Price != nil && p.Money != "" {
				shelf[p.Money] = true
			}
		}
	}
	for _, n := range mates.Needs(m) {
		if n.Money != "" {
			own[n.Money] = true
		}
	}
	for _, set := range []map[string]bool{shelf, own} {
		if len(set) == 1 {
			for c := range set {
				return c
			}
		}
	}
	return ""
}

// isMoney says that a number is in the currency, and not in a unit.
func isMoney(c *channel.Channel) bool { return c.Name == cheapName(price) }

// Format prints a number of the catalogue; a price with its currency.
func Format(c *channel.Channel, v float64, currency string, u quantity.System) string {
	if isMoney(c) && currency != "" {
		return fmt.Sprintf("%s %s", c.Format(v, u), currency)
	}
	return c.Format(v, u)
}

// unitOf is the unit that a number is told in: of a price, the currency.
func unitOf(c *channel.Channel, currency string, u quantity.System) string {
	if isMoney(c) {
		return currency
	}
	return c.Dim.Shown(u).Symbol
}

// in is a number in the unit that it is told in.
func in(c *channel.Channel, v float64, u quantity.System) float64 {
	return c.Dim.In(v, c.Dim.Shown(u).Symbol)
}

// shown is a number as the answer has it.
func shown(c *channel.Channel, v float64, currency string, u quantity.System) Number {
	return Number{Name: c.Name, Value: in(c, v, u), Unit: unitOf(c, currency, u), Text: Format(c, v, currency, u)}
}
