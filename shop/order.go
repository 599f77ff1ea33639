// Package shop answers: what do I buy, cut, drill and print, and in which order?
package shop

import (
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

// OrderOf makes the shopping list of a mates answer: what is bought, and for each need that nothing meets the first bin item that
// would fit, or the need itself in words.
func OrderOf(a *mates.Answer, item func(id string) (mates.Piece, bool)) Order {
	out := Order{Lines: []Line{}}
	currencies := map[string]bool{}
	add := func(p mates.Piece, why string) {
		l := Line{
			Count: p.Count, Have: min(p.Have, p.Count), What: p.What, Item: p.Item, From: p.From, Each: p.Each, Currency: p.Currency, For: p.Parts, Why: why,
		}
		l.Buy = l.Count - l.Have
		switch {
		case l.Buy == 0:
		case l.Each == nil:
			out.Unpriced++
		default:
			sum := *l.Each * float64(l.Buy)
			l.Sum = &sum
			out.Price += sum
			currencies[l.Currency] = true
			out.Currency = l.Currency
		}
		out.Lines = append(out.Lines, l)
	}
	for _, p := range a.Bought {
		add(p, "new")
	}
	for _, u := range a.Unmet {
		p := mates.Piece{What: u.Needs, Count: u.Count, Parts: []string{u.Part + "/" + u.Port}}
		if len(u.WouldFit) > 0 {
			if found, ok := item(u.WouldFit[0]); ok {
				found.Count, found.Parts = u.Count, p.Parts
				p = found
			}
		}
		add(p, "forgotten")
	}
	if len(currencies) > 1 {
		out.Currency, out.Price = "", 0
	}
	return out
}
