package tolerance

import (
	"fmt"

	"lowslung/quantity"
	"lowslung/rig"
)

// Errors are how far things may be off, plus or minus. All are assumptions about careful work on a hobby bench, common practice unless the
// builder says otherwise.
type Errors struct {
	Drilled float64 // a drilled or milled hole in each direction, mm
	Printed float64 // a printed hole in each direction, mm
	Length  float64 // a link eye to eye, mm
	Turns   float64 // of a link's threads, both ends together
	Play    float64 // all the play of one rod end along its link, mm
	Set     float64 // a shock's length as it stands, set or on its springs, or a ride height, mm
	Tyre    float64 // a tyre's radius, mm
}

// Usual are the errors assumed where the builder says nothing.
var usual = Errors{Drilled: 0.1, Printed: 0.2, Length: 0.25, Turns: 0.25, Play: 0.1, Set: 0.5, Tyre: 0.5}

// ErrorsOf are the usual errors with what the document says of them in their place.
func ErrorsOf(d *rig.Document) Errors {
	e := usual
	if d == nil || d.Errors == nil {
		return e
	}
	w := d.Errors
	for _, one := range []struct {
		into *float64
		from *quantity.Length
	}{{&e.Drilled, w.Drilled}, {&e.Printed, w.Printed}, {&e.Length, w.Length}, {&e.Play, w.Play}, {&e.Set, w.Set}, {&e.Tyre, w.Tyre}} {
		if one.from != nil {
			*one.into = float64(*one.from)
		}
	}
	if w.Turns != nil {
		e.Turns = *w.Turns
	}
	return e
}

// assumed tells each kind of error that the model has inputs of.
func (e Errors) assumed(in []input, written *rig.Errors, units quantity.System) []Assumed {
	if written == nil {
		written = &rig.Errors{}
	}
	out := []Assumed{}
	add := func(k kind, said bool, v float64, text string, args ...any) {
		n := 0
		for i := range in {
			if in[i].kind == k {
				n++
			}
		}
		if n == 0 {
			return
		}
		a := Assumed{Key: k.String(), PlusMinus: v, Unit: "turns", Inputs: n, From: "assumed", Text: fmt.Sprintf(text, args...)}
		if k != turned {
			a.Unit = quantity.DimLength.Shown(units).Symbol
			a.PlusMinus = quantity.DimLength.In(v, a.Unit)
		}
		if said {
			a.From = "document"
		}
		out = append(out, a)
	}
	mm := func(v float64) string { return quantity.DimLength.FormatDigits(v, units, 2+2*int(units)) }
	add(drilled, written.Drilled != nil, e.Drilled, "a drilled hole is off by up to %s in each direction", mm(e.Drilled))
	add(printed, written.Printed != nil, e.Printed, "a printed hole is off by up to %s in each direction", mm(e.Printed))
	add(cut, written.Length != nil, e.Length, "a link is longer or shorter by up to %s", mm(e.Length))
	add(turned, written.Turns != nil, e.Turns, "its threads stand up to %s turns from what was meant", quantity.Fixed(e.Turns, 2))
	add(play, written.Play != nil, e.Play, "each rod end has %s of play, and stands anywhere in it", mm(e.Play))
	add(set, written.Set != nil, e.Set, "the length of a shock as it stands, or a ride height, is off by up to %s", mm(e.Set))
	add(tyre, written.Tyre != nil, e.Tyre, "a tyre's radius is off by up to %s", mm(e.Tyre))
	return out
}
