package shop

import (
	"testing"

	"lowslung/mates"
)

func money(v float64) *float64 { return &v }

func TestOrderBuysWhatTheDrawerLacks(t *testing.T) {
	a := &mates.Answer{
		Bought: []mates.Piece{
			{What: "bearing", Item: "b", Count: 4, Have: 1, Each: money(1.10), Currency: "EUR"},
			{What: "motor", Item: "m", Count: 1, Have: 3, Each: money(62), Currency: "EUR"},
			{What: "axle", Count: 1},
		},
		Unmet: []mates.Unmet{
			{Part: "gearbox", Port: "cross hole", Needs: "a pin of 2 mm", Count: 2, WouldFit: []string{"pin", "other"}},
			{Part: "belly", Port: "thread", Needs: "a screw M3", Count: 1},
		},
	}
	o := OrderOf(a, func(id string) (mates.Piece, bool) {
		return mates.Piece{What: "pin 2 × 10", Item: id, Count: 1, Each: money(0.08), Currency: "EUR"}, id == "pin"
	})
	// 3 bearings at 1.10 and 2 pins at 0.08; the motor lies there; the axle and the screw have no price
	if want := 3*1.10 + 2*0.08; o.Price < want-1e-9 || o.Price > want+1e-9 || o.Currency != "EUR" || o.Unpriced != 2 {
		t.Errorf("%.2f %s with %d lines without a price, expected %.2f EUR and 2", o.Price, o.Currency, o.Unpriced, want)
	}
	if l := o.Lines[3]; l.Why != "forgotten" || l.Item != "pin" || l.Buy != 2 || l.For[0] != "gearbox/cross hole" {
		t.Errorf("the forgotten pin: %+v", l)
	}
	if l := o.Lines[1]; l.Buy != 0 || l.Have != 1 {
		t.Errorf("the motor in the drawer: %+v", l)
	}
	a.Bought[0].Currency = "USD"
	if o := OrderOf(a, func(string) (mates.Piece, bool) { return mates.Piece{Each: money(1), Currency: "EUR", Count: 1}, true }); o.Currency != "" || o.Price != 0 {
		t.Errorf("two currencies were added up: %.2f %s", o.Price, o.Currency)
	}
}
