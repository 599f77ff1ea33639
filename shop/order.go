// Package shop answers: what do I buy, cut, drill and print, and in which order?
package shop

import (
	"math"
	"slices"

	"lowslung/mates"
)

// A Line is one line of the shopping list.
type Line struct {
	Count    int      `json:"count" doc:"How many are needed"`
	Have     int      `json:"have" doc:"How many of them lie in the drawer"`
	Buy      int      `json:"buy" doc:"How many to buy"`
	What     string   `json:"what" doc:"What a shop would call it"`
	Item     string   `json:"item" doc:"Bin item; empty for a part of no bin"`
	From     string   `json:"from" doc:"Where it comes from"`
	Each     *float64 `json:"each" doc:"Price of one; null when not known"`
	Sum      *float64 `json:"sum" doc:"Price of those to buy; null when not known"`
	Currency string   `json:"currency" doc:"ISO 4217"`
	For      []string `json:"for" nullable:"false" doc:"Parts they are"`
	Why      string   `json:"why" enum:"new,forgotten" doc:"new in this build, or forgotten: a need that nothing in the document meets"`
}

// An Order is what to shop for.
type Order struct {
	Lines    []Line  `json:"lines" nullable:"false" doc:"What is new in this build, then what is easily forgotten"`
	Price    float64 `json:"price" doc:"Sum of the prices known"`
	Unpriced int     `json:"unpriced" doc:"Lines to buy whose price is not known"`
	Currency string  `json:"currency" doc:"ISO 4217; empty when prices are in several or none"`
}

// OrderOf makes the shopping list of a mates answer: what is bought; for each need that nothing meets the first bin item that would fit, or
// the need itself in words; and the bolts of link and shock eyes that the build as it was does not have, with their nuts. What lies in the
// drawer is taken once.
func OrderOf(a *mates.Answer, item func(id string) (mates.Piece, bool)) Order {
	o := order{item: item, used: map[string]int{}, at: map[[2]string]int{}}
	for _, p := range a.Bought {
		o.add(p, "new")
	}
	for _, u := range a.Unmet {
		o.want(u.WouldFit, u.Needs, u.Count, []string{u.Part + "/" + u.Port})
	}
	for _, b := range a.Bolts {
		if n := b.Count - b.Had; n > 0 && b.Screw == "" && b.LeastMM != nil {
			o.want(b.WouldFit, "screw "+b.Wants, n, b.New)
			if b.HeldBy == "nut" && b.Nut == "" {
				o.want(b.NutsFit, "nut "+b.Thread+", self-locking", n, b.New)
			}
		}
	}
	return o.sum()
}

// An order is a list that is being written.
type order struct {
	item  func(id string) (mates.Piece, bool)
	lines []Line
	used  map[string]int    // of each item: taken from the drawer already
	at    map[[2]string]int // line of an item, by why
}

// want adds what is easily forgotten: the first item that would fit, or what is needed in words.
func (o *order) want(fits []string, words string, count int, to []string) {
	p := mates.Piece{What: words, Count: count, Parts: to}
	if len(fits) > 0 {
		if found, ok := o.item(fits[0]); ok {
			found.Count, found.Parts = count, to
			p = found
		}
	}
	o.add(p, "forgotten")
}

func (o *order) add(p mates.Piece, why string) {
	have := min(max(0, p.Have-o.used[p.Item]), p.Count)
	o.used[p.Item] += have
	key := [2]string{p.Item, why}
	if k, there := o.at[key]; there && p.Item != "" {
		l := &o.lines[k]
		l.Count, l.Have = l.Count+p.Count, l.Have+have
		for _, part := range p.Parts {
			if !slices.Contains(l.For, part) {
				l.For = append(l.For, part)
			}
		}
		return
	}
	o.at[key] = len(o.lines)
	o.lines = append(o.lines, Line{
		Count: p.Count, Have: have, What: p.What, Item: p.Item, From: p.From, Each: p.Each, Currency: p.Currency, For: slices.Clone(p.Parts), Why: why,
	})
}

func (o *order) sum() Order {
	out := Order{Lines: []Line{}}
	currencies := map[string]bool{}
	for _, l := range o.lines {
		l.Buy = l.Count - l.Have
		switch {
		case l.Buy == 0:
		case l.Each == nil:
			out.Unpriced++
		default:
			sum := cents(*l.Each * float64(l.Buy))
			l.Sum = &sum
			out.Price += sum
			currencies[l.Currency] = true
			out.Currency = l.Currency
		}
		out.Lines = append(out.Lines, l)
	}
	if out.Price = cents(out.Price); len(currencies) > 1 {
		out.Currency, out.Price = "", 0
	}
	return out
}

// cents rounds to hundredths, as prices are told.
func cents(v float64) float64 { return math.Round(v*100) / 100 }
