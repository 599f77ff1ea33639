package mates

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"lowslung/finding"
	"lowslung/quantity"
	"lowslung/rig"
	"lowslung/solid"
)

// Assess answers the question.
func Assess(m *solid.Model, o Options) (Answer, error) {
	w := newWorks(m).speaking(o.Units)
	a := Answer{Joints: w.written(), Unmet: []Unmet{}, Findings: []finding.Finding{}}
	a.Joints = append(a.Joints, w.find()...)
	a.Joints = append(a.Joints, w.eyes()...)
	a.Joints = append(a.Joints, w.volts()...)
	bolts := w.bolts()
	a.Joints = append(a.Joints, w.boltJoints(bolts)...)
	a.Bolts = w.alikeBolts(bolts, o.Against)
	a.Unmet = w.unmet()
	w.lists(&a, o)
	a.Steps = w.steps(a.Joints)
	w.judge(&a)
	reach, err := w.reach(o)
	if err != nil {
		return Answer{}, err
	}
	a.Findings = append(a.Findings, reach...)
	a.Findings = append(a.Findings, w.questions()...)
	a.Findings = append(a.Findings, w.boltFindings(a.Bolts, o.Against != nil)...)
	a.Findings = append(a.Findings, w.smallParts()...)
	w.sumUp(&a)
	finding.Sort(a.Findings)
	return a, nil
}

// A used part is one part of the document with its ports.
type used struct {
	name, path string
	part       *rig.Part
	ports      []int // into works.ports
}

type works struct {
	m     *solid.Model
	units quantity.System // of the sentences
	parts []used
	ports []Port
	taken map[string][]string // ports that are mated, by ref: what they are mated to

	open    []choice  // needs that several things in the document would meet
	stocked []stocked // see shelf
}

// speaking sets the units of the sentences, metric otherwise.
func (w *works) speaking(units quantity.System) *works {
	w.units = units
	for i := range w.ports {
		w.ports[i].units = units
	}
	return w
}

func newWorks(m *solid.Model) *works {
	w := &works{m: m, taken: map[string][]string{}}
	add := func(list *rig.Map[rig.Part], path string) {
		for i := range *list {
			e := &(*list)[i]
			u := used{name: e.Name, path: path + e.Name, part: &e.Value}
			for k := range e.Value.Ports {
				u.ports = append(u.ports, len(w.ports))
				w.ports = append(w.ports, portOf(e.Name, u.path, &e.Value, e.Value.Ports[k].Name, &e.Value.Ports[k].Value))
			}
			w.parts = append(w.parts, u)
		}
	}
	add(&m.Doc.Chassis.Parts, "chassis/parts/")
	if m.Doc.Front != nil {
		add(&m.Doc.Front.Parts, "front/parts/")
	}
	if m.Doc.Rear != nil {
		add(&m.Doc.Rear.Parts, "rear/parts/")
	}
	return w
}

func (w *works) port(ref string) *Port {
	for i := range w.ports {
		if w.ports[i].ref() == ref {
			return &w.ports[i]
		}
	}
	return nil
}

func (w *works) join(a, b *Port) {
	w.taken[a.ref()] = append(w.taken[a.ref()], b.ref())
	w.taken[b.ref()] = append(w.taken[b.ref()], a.ref())
}

// stack adds up what each screw goes through on its way to its thread.
func (w *works) stack() {
	for i := range w.m.Doc.Mates {
		list := w.m.Doc.Mates[i].Value
		if len(list) != 2 {
			continue
		}
		screw, hole := w.port(list[0].Text), w.port(list[1].Text)
		if screw == nil || hole == nil {
			continue
		}
		if hole.Type == "male thread" {
			screw, hole = hole, screw
		}
		if screw.Type != "male thread" || hole.Type != "clearance hole" {
			continue
		}
		screw.Through = append(screw.Through, hole.Part)
		if hole.Length == 0 {
			screw.Unsure = hole.Part
		}
		screw.Width += hole.Length
	}
}

// written judges the mates of the document, in its order.
func (w *works) written() []Joint {
	w.stack()
	out := []Joint{}
	for i := range w.m.Doc.Mates {
		e := &w.m.Doc.Mates[i]
		if len(e.Value) != 2 {
			continue
		}
		a, b := w.port(e.Value[0].Text), w.port(e.Value[1].Text)
		if a == nil || b == nil {
			continue // rig has said so
		}
		w.join(a, b)
		j := w.joint(a, b)
		j.Name = e.Name
		out = append(out, j)
	}
	return out
}

func (w *works) joint(a, b *Port) Joint {
	v, source := meet(a, b)
	j := Joint{A: a.ref(), B: b.ref(), Type: a.Type + " – " + b.Type, Fit: v.fit, OK: v.ok, Reason: v.reason, Source: source}
	if !v.ok {
		return j
	}
	wrong := func(fit, why string) {
		if why != "" {
			j.OK, j.Fit, j.Reason = false, fit, j.Reason+"; "+why
		}
	}
	switch {
	case a.Type == "gear" && b.Type == "gear":
		wrong("wrong distance", w.mesh(a, b))
	case a.Type == "pattern" && b.Type == "pattern":
		wrong("no room", room(w.partOf(a.Part).Motor, b)+room(w.partOf(b.Part).Motor, a))
	case a.Type == "shaft" && b.Type == "bore":
		wrong("too short", w.motorReach(a, b))
	case a.Type == "bore" && b.Type == "shaft":
		wrong("too short", w.motorReach(b, a))
	}
	return j
}

// find joins ports that need something with the only free port in the document that goes on them; of several items that are the same one
// is as good as another. What is left with a choice is kept in open, to be asked.
func (w *works) find() []Joint {
	var out []Joint
	for again := true; again; {
		again = false
		for i := range w.ports {
			a := &w.ports[i]
			if !a.Needed || len(w.taken[a.ref()]) > 0 {
				continue
			}
			list := w.candidates(a)
			if len(list) == 0 || !w.alike(list) {
				continue
			}
			w.join(a, list[0])
			j := w.joint(a, list[0])
			j.Found = true
			out = append(out, j)
			again = true
		}
	}
	for i := range w.ports {
		a := &w.ports[i]
		if list := w.candidates(a); a.Needed && len(w.taken[a.ref()]) == 0 && len(list) > 0 {
			w.open = append(w.open, choice{a, list})
		}
	}
	return out
}

// A choice is a port that several others go on.
type choice struct {
	port *Port
	list []*Port
}

// candidates are the free ports of other parts that go on a port, one of each part: a bearing has a port for its ring and one for its
// bore, and is in one seat only.
func (w *works) candidates(a *Port) []*Port {
	var out []*Port
	for k := range w.ports {
		b := &w.ports[k]
		if b.Part == a.Part || len(w.taken[b.ref()]) > 0 || b.Pair != a.Pair && b.Type != "plug" {
			continue
		}
		if _, _, ok := Meet(a, b); !ok || b.Type == "bearing" && w.sits(b.Part, a.Type) {
			continue
		}
		if n := len(out); n > 0 && b.Type == "bearing" && out[n-1].Part == b.Part && out[n-1].Type == b.Type {
			if a.Type != "seat" {
				out[n-1] = b // the ring is the first, as it goes in first
			}
			continue
		}
		out = append(out, b)
	}
	return out
}

// sits says that a bearing is mated to a port of that type already.
func (w *works) sits(part, kind string) bool {
	for i := range w.ports {
		p := &w.ports[i]
		if p.Part == part && slices.ContainsFunc(w.taken[p.ref()], func(ref string) bool { return w.port(ref).Type == kind }) {
			return true
		}
	}
	return false
}

// alike says that it does not matter which of the ports is taken: there is one, or all are of the same bin item.
func (w *works) alike(list []*Port) bool {
	item := w.partOf(list[0].Part).Item
	for _, p := range list[1:] {
		if item == "" || w.partOf(p.Part).Item != item || p.Type != list[0].Type {
			return false
		}
	}
	return true
}

// questions asks which of several ports is meant.
func (w *works) questions() []finding.Finding {
	var out []finding.Finding
	for _, c := range w.open {
		var names []string
		for _, p := range c.list {
			names = append(names, p.ref())
		}
		out = append(out, finding.New(finding.Watch, "mates/which", "What goes on %s of %s? It could be %s.", c.port.Name, c.port.Part, strings.Join(names, " or ")).For(c.port.Path).
			CuredBy("write it under mates: [%s, …]", c.port.ref()))
	}
	return out
}

// unmet lists needs without a mate, with the bin items that would go on.
func (w *works) unmet() []Unmet {
	out := []Unmet{}
	for i := range w.ports {
		p := &w.ports[i]
		if len(w.taken[p.ref()]) > 0 {
			if !w.unheld(p) {
				continue
			}
		} else if !p.Needed || slices.ContainsFunc(w.open, func(c choice) bool { return c.port == p }) {
			continue
		}
		u := Unmet{Part: p.Part, Port: p.Name, Needs: needs(p), Count: 1, WouldFit: w.wouldFit(p)}
		if p.Pair {
			u.Count = 2
		}
		out = append(out, u)
	}
	return out
}

// unheld says that a screw goes through something and into nothing.
func (w *works) unheld(p *Port) bool {
	return len(p.Through) > 0 && !slices.ContainsFunc(w.taken[p.ref()], func(ref string) bool { return w.port(ref).Type == "female thread" })
}

// needs says in words what a port wants.
func needs(p *Port) string {
	switch p.Type {
	case "shaft":
		return fmt.Sprintf("something with a bore of %s", p.dim(p.Diameter))
	case "bore":
		return fmt.Sprintf("a shaft of %s", p.dim(p.Diameter))
	case "gear":
		return fmt.Sprintf("a gear of %s", pitch(p.Module))
	case "seat":
		return "a bearing of " + size(p)
	case "bearing":
		return fmt.Sprintf("a journal of %s", p.dim(p.Bore))
	case "journal":
		return fmt.Sprintf("a bearing with a bore of %s", p.dim(p.Diameter))
	case "pin":
		return fmt.Sprintf("a hole for a pin of %s", p.dim(p.Diameter))
	case "pin hole":
		return fmt.Sprintf("a pin of %s, about %s long", p.dim(p.Diameter), p.dim(p.Length))
	case "male thread":
		if len(p.Through) > 0 {
			return fmt.Sprintf("a nut or a thread %s behind %s", p.Thread, strings.Join(p.Through, ", "))
		}
		return "a thread " + p.Thread + " to go into"
	case "female thread":
		return "a screw " + p.Thread
	case "clearance hole":
		return fmt.Sprintf("a screw that goes through %s", p.dim(p.Diameter))
	case "pattern":
		if p.Grid[0] > 0 {
			return fmt.Sprintf("something with %d holes %g × %g mm apart", p.Holes, p.Grid[0], p.Grid[1])
		}
		return fmt.Sprintf("something with %d holes on a circle of %s", p.Holes, p.dim(p.Circle))
	case "hex":
		return fmt.Sprintf("a hex of %s", p.dim(p.Width))
	case "plug":
		return "a plug of the kind " + p.Plug
	case "cells":
		return fmt.Sprintf("a pack or a controller for %.0f to %.0f cells", p.From, p.To)
	}
	return "a " + p.Type
}

// wouldFit names items of the bins, those in stock first, at most six.
func (w *works) wouldFit(p *Port) []string {
	out := []string{}
	for _, f := range w.fittings(p) {
		if out = append(out, f.Item); len(out) == 6 {
			break
		}
	}
	return out
}

func (w *works) judge(a *Answer) {
	for _, j := range a.Joints {
		if j.OK {
			continue
		}
		name := j.Name
		if name == "" {
			name = j.A + " and " + j.B
		}
		f := finding.New(finding.Stop, "mates/"+strings.ReplaceAll(j.Fit, " ", "-"), "%s: %s; %s.", finding.Sentence(name), j.Fit, j.Reason).For(w.paths(j)...)
		if fits := w.cures(j); fits != "" {
			f = f.CuredBy("%s", fits)
		}
		a.Findings = append(a.Findings, f)
	}
	for _, u := range a.Unmet {
		f := finding.New(finding.Stop, "mates/unmet", "Nothing is on %s of %s: it needs %s%s.", u.Port, u.Part, u.Needs, twice(u.Count)).For(w.pathOf(u.Part))
		if len(u.WouldFit) > 0 {
			f = f.CuredBy("from the bin would fit: %s", strings.Join(u.WouldFit, ", "))
		}
		a.Findings = append(a.Findings, f)
	}
	found := 0
	for _, j := range a.Joints {
		if j.Found {
			found++
		}
	}
	if found > 0 {
		a.Findings = append(a.Findings, finding.New(finding.Note, "mates/found",
			"%d of %d joints are not written down and were taken as the only pair that goes together; write them under mates to be sure.", found, len(a.Joints)))
	}
}

// sumUp says that nothing is wrong, or that nothing could be checked.
func (w *works) sumUp(a *Answer) {
	if len(w.ports) == 0 {
		a.Findings = append(a.Findings, finding.New(finding.Note, "mates/no-ports",
			"No part says where it meets another, so nothing was checked: write ports on the parts, or take items from a bin that has them."))
		return
	}
	if !slices.ContainsFunc(a.Findings, func(f finding.Finding) bool { return f.Level == finding.Stop }) {
		a.Findings = append(a.Findings, finding.New(finding.OK, "mates/all", "All %d joints go together and no need is left open.", len(a.Joints)))
	}
}

func twice(n int) string {
	if n == 2 {
		return ", left and right"
	}
	return ""
}

func (w *works) paths(j Joint) []string {
	out := slices.Clone(j.about)
	for _, ref := range []string{j.A, j.B} {
		if p := w.port(ref); p != nil {
			out = append(out, p.Path)
		}
	}
	return out
}

func (w *works) pathOf(part string) string {
	for i := range w.parts {
		if w.parts[i].name == part {
			return w.parts[i].path
		}
	}
	return part
}

// cures names bin items that would go where one of the two is now: of the same kind, and right in every other joint of the part they
// would replace too; those in stock first, at most four.
func (w *works) cures(j Joint) string {
	var out []string
	for _, ref := range []string{j.A, j.B} {
		p := w.port(ref)
		if p == nil {
			continue
		}
		var fits []stocked
		for _, item := range w.shelf() {
			if item.part.Kind == w.partOf(p.Part).Kind && w.goesEverywhere(&item, p.Part) {
				fits = append(fits, item)
			}
		}
		slices.SortStableFunc(fits, func(a, b stocked) int { return cmp.Compare(empty(a.part), empty(b.part)) })
		if len(fits) > 0 {
			var ids []string
			for _, item := range fits[:min(4, len(fits))] {
				ids = append(ids, item.id)
			}
			out = append(out, fmt.Sprintf("instead of %s: %s", p.Part, strings.Join(ids, ", ")))
		}
	}
	return strings.Join(out, "; or ")
}
