package mates

import (
	"cmp"
	"slices"

	"lowslung/quantity"
	"lowslung/rig"
	"lowslung/solid"
)

// What of a bin goes on a port: the rules decide; keys and spans only spare them most of the items, so that a bin may be large.

// A Key is what a port is looked up by: a kind of fit, and the size that it turns on.
type Key struct {
	Kind string
	Size float64 // mm, teeth or cells; 0 where the kind says all
}

// A Span is where the ports that may meet another are found: keys of a kind whose size lies in a range.
type Span struct {
	Kind        string
	Least, Most float64
}

// Keys are what the port is found by; none when it lacks the dimension that decides.
func (p *Port) Keys() []Key {
	switch p.Type {
	case "shaft", "bore", "journal", "pin", "pin hole", "clearance hole", "spline":
		return keyed(p.Type, p.Diameter)
	case "gear":
		return keyed(p.Type, p.Module)
	case "seat":
		return keyed(p.Type, p.Outer)
	case "bearing":
		return append(keyed("bearing", p.Outer), keyed("bearing bore", p.Bore)...)
	case "hex":
		return keyed(p.Type, p.Width)
	case "male thread", "female thread":
		if p.Thread == "" {
			return nil
		}
		out := []Key{{Kind: p.Type + " " + p.Thread}}
		if p.Type == "male thread" {
			out = append(out, keyed("screw", threadSize(p.Thread))...)
		}
		return out
	case "pattern":
		return append(keyed("pattern", p.Circle), keyed("grid", p.Grid[0])...)
	case "plug":
		if p.Plug == "" {
			return nil
		}
		return []Key{{Kind: "plug " + p.Plug}}
	case "cells":
		switch {
		case p.Source:
			return keyed("pack", p.From)
		case p.From == p.To: // nobody says which of the two it is
			return append(keyed("pack", p.From), keyed("window", p.To)...)
		}
		return keyed("window", p.To)
	}
	return nil
}

func keyed(kind string, size float64) []Key {
	if size == 0 {
		return nil
	}
	return []Key{{kind, size}}
}

// Spans are where the ports are found that may meet this one: all that do, and some that the rules refuse.
func (p *Port) Spans() []Span {
	const slack = 1e-6
	around := func(kind string, size, below, above float64) []Span {
		if size == 0 {
			return nil
		}
		return []Span{{kind, size - below - slack, size + above + slack}}
	}
	join := func(list ...[]Span) []Span { return slices.Concat(list...) }
	switch p.Type {
	case "shaft":
		return join(around("bore", p.Diameter, pressMost, looseMost), around("bearing bore", p.Diameter, pressMost, looseMost))
	case "journal":
		return around("bearing bore", p.Diameter, pressMost, looseMost)
	case "bore":
		return around("shaft", p.Diameter, looseMost, pressMost)
	case "bearing":
		return join(around("seat", p.Outer, bearingOff, bearingOff), around("journal", p.Bore, looseMost, pressMost), around("shaft", p.Bore, looseMost, pressMost))
	case "seat":
		return around("bearing", p.Outer, bearingOff, bearingOff)
	case "gear":
		return around("gear", p.Module, 2*pitchOff*p.Module, 2*pitchOff*p.Module)
	case "pin":
		return around("pin hole", p.Diameter, pinTight, pinLoose)
	case "pin hole":
		return around("pin", p.Diameter, pinLoose, pinTight)
	case "male thread":
		if p.Thread == "" {
			return nil
		}
		d := threadSize(p.Thread)
		return join([]Span{{Kind: "female thread " + p.Thread}}, around("clearance hole", d, 0, 1e3))
	case "female thread":
		if p.Thread == "" {
			return nil
		}
		return []Span{{Kind: "male thread " + p.Thread}}
	case "clearance hole":
		return around("screw", p.Diameter, p.Diameter, 0)
	case "pattern":
		return join(around("pattern", p.Circle, circleOff, circleOff), around("grid", p.Grid[0], gridOff, gridOff))
	case "spline":
		return around(p.Type, p.Diameter, splineOff, splineOff)
	case "hex":
		return around(p.Type, p.Width, hexOff, hexOff)
	case "plug":
		if p.Plug == "" {
			return nil
		}
		return []Span{{Kind: "plug " + p.Plug}}
	case "cells":
		switch {
		case p.Source:
			return around("window", p.From, 0, 1e3)
		case p.From == p.To:
			return join(around("window", p.From, 0, 1e3), around("pack", p.From, 0, 0))
		}
		return around("pack", p.To, p.To, 0)
	}
	return nil
}

// PortsOf are the ports of one part, or of an item of a bin.
func PortsOf(name string, part *rig.Part) []Port {
	out := make([]Port, len(part.Ports))
	for i := range part.Ports {
		out[i] = portOf(name, name, part, part.Ports[i].Name, &part.Ports[i].Value)
	}
	return out
}

// PortAt is the port of a build that is called part/port; sentences about it are in the units asked for.
func PortAt(m *solid.Model, ref string, units quantity.System) (Port, bool) {
	w := newWorks(m).speaking(units)
	w.stack()
	if p := w.port(ref); p != nil {
		return *p, true
	}
	return Port{}, false
}

// PortNames lists the ports of a build, part/port each.
func PortNames(m *solid.Model) []string {
	w := newWorks(m)
	out := make([]string, len(w.ports))
	for i := range w.ports {
		out[i] = w.ports[i].ref()
	}
	return out
}

// Needs says in words what goes on the port.
func (p *Port) Needs() string { return needs(p) }

// Meet says whether two ports go together, how they fit, and why, with both dimensions. Ports of which the deciding dimension is not
// known do not.
func Meet(a, b *Port) (fit, why string, ok bool) {
	if b.units != a.units { // both in those of the first
		other := *b
		other.units = a.units
		b = &other
	}
	if _, _, _, known := ruleFor(a, b); !known {
		return "", "", false
	}
	v, _ := meet(a, b)
	return v.fit, v.reason, v.ok && v.fit != "not checked"
}

// A Fitting is a bin item that goes on a port.
type Fitting struct {
	Item string // id
	Port string // of the item
	Fit  string
	Why  string
	Part *rig.Part
}

// Fittings are the items of the build's bins that go on the port: those in stock first, then in the order of the bins.
func Fittings(m *solid.Model, p *Port) []Fitting {
	return newWorks(m).fittings(p)
}

// A stocked item is one of a bin with its ports.
type stocked struct {
	id    string
	part  *rig.Part
	ports []Port
}

// shelf is every item of the bins, the first of each name, with its ports; made when it is first asked for.
func (w *works) shelf() []stocked {
	if w.stocked != nil {
		return w.stocked
	}
	n := 0
	for _, bin := range w.m.Bins {
		n += len(bin.Items)
	}
	w.stocked = make([]stocked, 0, n)
	seen := make(map[string]bool, n)
	for _, bin := range w.m.Bins {
		for i := range bin.Items {
			if e := &bin.Items[i]; !seen[e.Name] {
				seen[e.Name] = true
				w.stocked = append(w.stocked, stocked{e.Name, &e.Value, PortsOf(e.Name, &e.Value)})
			}
		}
	}
	return w.stocked
}

func (w *works) fittings(p *Port) []Fitting {
	var out []Fitting
	spans := p.Spans()
	for _, s := range w.shelf() {
		for i := range s.ports {
			q := &s.ports[i]
			if !found(spans, q) {
				continue
			}
			if fit, why, ok := Meet(p, q); ok {
				out = append(out, Fitting{s.id, q.Name, fit, why, s.part})
				break
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Fitting) int { return cmp.Compare(empty(a.Part), empty(b.Part)) })
	return out
}

// found says that one of the port's keys lies in one of the spans.
func found(spans []Span, q *Port) bool {
	for _, k := range q.Keys() {
		for _, s := range spans {
			if k.Kind == s.Kind && k.Size >= s.Least && k.Size <= s.Most {
				return true
			}
		}
	}
	return false
}

// empty is 0 for items in stock and 1 for the others.
func empty(p *rig.Part) int {
	if p.Have != nil && *p.Have > 0 {
		return 0
	}
	return 1
}
