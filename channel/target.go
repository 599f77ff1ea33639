package channel

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"lowslung/finding"
	"lowslung/quantity"
	"lowslung/rig"
)

// A Range is what a target asks of a channel, in program units; an open side is infinite.
type Range struct{ From, To float64 }

// Middle is the value aimed at: the middle of a closed range, or its one side.
func (r Range) Middle() float64 {
	switch {
	case math.IsInf(r.From, 0):
		return r.To
	case math.IsInf(r.To, 0):
		return r.From
	}
	return (r.From + r.To) / 2
}

// RangeOf reads a target in the channel's dimension.
func (c *Channel) RangeOf(t *rig.Target) (Range, rig.Diagnostics) {
	out := Range{math.Inf(-1), math.Inf(1)}
	var bad rig.Diagnostics
	read := func(q *rig.Quantity, into func(v float64)) {
		if q == nil {
			return
		}
		v, err := q.In(c.Dim)
		if err != nil {
			bad = append(bad, rig.Diagnostic{Code: "wrong-unit", Place: q.Place, Text: err.Error() + " for " + c.Name})
			return
		}
		into(v)
	}
	within := 0.0
	read(t.Within, func(v float64) { within = math.Abs(v) })
	read(t.About, func(v float64) { out = Range{v - within, v + within} })
	read(t.From, func(v float64) { out.From = v })
	read(t.To, func(v float64) { out.To = v })
	if len(bad) == 0 && out.From > out.To {
		bad = append(bad, rig.Diagnostic{Code: "empty-range", Place: t.Place, Text: fmt.Sprintf(
			"found a range from %s to %s, expected from to be the smaller one",
			c.Format(out.From, quantity.Metric), c.Format(out.To, quantity.Metric))})
	}
	return out, bad
}

// CheckTargets finds targets that name no number, or whose values are of another dimension.
func CheckTargets(doc *rig.Document) rig.Diagnostics {
	var out rig.Diagnostics
	for i := range doc.Targets {
		e := &doc.Targets[i]
		c, ok := Find(e.Name)
		if !ok {
			text := fmt.Sprintf("found the target %q, expected the name of a number that lowslung answers", e.Name)
			if near := nearest(e.Name); near != "" {
				text += fmt.Sprintf("; did you mean %q?", near)
			}
			out = append(out, rig.Diagnostic{Code: "unknown-target", Place: e.Place, Text: text})
			continue
		}
		_, bad := c.RangeOf(&e.Value)
		out = append(out, bad...)
	}
	return out
}

func nearest(name string) string {
	names := make([]string, len(all))
	for i := range all {
		names[i] = all[i].Name
	}
	return rig.Nearest(name, names)
}

// Judge holds values against the document's targets: a finding for each target whose number is among the values.
func Judge(doc *rig.Document, values []Value, units quantity.System) []finding.Finding {
	var out []finding.Finding
	for i := range doc.Targets {
		e := &doc.Targets[i]
		k := slices.IndexFunc(values, func(v Value) bool { return v.Channel.Name == e.Name })
		if k < 0 {
			continue
		}
		c, v := values[k].Channel, values[k].Value
		r, bad := c.RangeOf(&e.Value)
		if len(bad) > 0 {
			continue
		}
		out = append(out, judge(c, v, r, e, units))
	}
	return out
}

func judge(c *Channel, v float64, r Range, e *rig.Entry[rig.Target], units quantity.System) finding.Finding {
	code, path := c.Word+"/target", "targets/"+e.Name
	wanted := "wanted: " + r.words(c, units)
	name := finding.Sentence(c.Name)
	over := cmp.Compare(v, r.To) > 0
	const rounding = 1e-9
	if v >= r.From-rounding && v <= r.To+rounding {
		return finding.New(finding.OK, code, "%s is %s (%s).", name, c.Format(v, units), wanted).For(path)
	}
	by, word := r.From-v, "too small"
	if over {
		by, word = v-r.To, "too large"
	}
	level := finding.Stop
	if e.Value.Level == string(finding.Watch) {
		level = finding.Watch
	}
	return finding.New(level, code, "%s is %s, %s %s (%s).", name, c.Format(v, units), c.Format(by, units), word, wanted).For(path)
}

func (r Range) words(c *Channel, units quantity.System) string {
	switch {
	case math.IsInf(r.From, 0):
		return "at most " + c.Format(r.To, units)
	case math.IsInf(r.To, 0):
		return "at least " + c.Format(r.From, units)
	}
	return c.Format(r.From, units) + " to " + c.Format(r.To, units)
}
