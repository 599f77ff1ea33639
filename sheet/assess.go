package sheet

import (
	"fmt"
	"slices"
	"strconv"

	"lowslung/channel"
	"lowslung/check"
	"lowslung/compare"
	"lowslung/finding"
	"lowslung/quantity"
	"lowslung/rig"
	"lowslung/travel"
)

// A writer holds the answers while the sections are written.
type writer struct {
	b     *Build
	o     *Options
	u     quantity.System
	a     *check.Answer
	stand *travel.Stand
	other *check.Answer // of the build it is held against; nil for one build

	standOther *travel.Stand // of that build
	held       *compare.Answer
	number     []Number
}

// Assess asks every question of the build, and of the one it is held against, and puts the answers in order.
func Assess(b *Build, o Options) (*Sheet, error) {
	w := &writer{b: b, o: &o, u: o.Units, stand: travel.StandOf(b.Model)}
	a, err := check.Assess(b.Model, check.Options{Thorough: true, Units: o.Units})
	if err != nil {
		return nil, fmt.Errorf("%s: %w", b.Name, err)
	}
	w.a = &a
	if k := o.Against; k != nil {
		before, err := check.Assess(k.Model, check.Options{Thorough: true, Units: o.Units})
		if err != nil {
			return nil, fmt.Errorf("%s: %w", k.Name, err)
		}
		w.other, w.standOther = &before, travel.StandOf(k.Model)
		held, err := compare.Answers([]compare.Build{{Name: k.Name, Tree: k.Tree}, {Name: b.Name, Tree: b.Tree}}, []*check.Answer{&before, &a}, compare.Options{Units: o.Units})
		if err != nil {
			return nil, err
		}
		w.held = &held
	}
	w.number = w.allOf()
	s := &Sheet{Title: b.Name, Facts: w.facts(), Numbers: w.number, Units: o.Units, Paper: o.Paper}
	if s.Paper == "" {
		s.Paper = A4
	}
	if len(b.Files) > 0 {
		s.document = short(b.Files[0].Hash)
	}
	if o.Against != nil {
		s.Subtitle, s.held = "held against "+o.Against.Name, o.Against.Name
	}
	for _, p := range parts() {
		if o.Sections != nil && !slices.Contains(o.Sections, p.key) {
			continue
		}
		if blocks := p.write(w); len(blocks) > 0 {
			s.Sections = append(s.Sections, Section{Key: p.key, Title: p.title, Blocks: blocks})
		}
	}
	return s, nil
}

// short is what a sheet prints of a hash: enough to find the revision by.
func short(hash string) string { return hash[:min(len(hash), 12)] }

func (w *writer) facts() []Fact {
	var out []Fact
	if w.b.Date != "" {
		out = append(out, Fact{"Date", []string{w.b.Date}})
	}
	files := func(name string, b *Build) {
		var list []string
		for i, f := range b.Files {
			text := f.Name + " " + short(f.Hash)
			if i == 0 && b.Revision > 0 {
				text += ", revision " + strconv.Itoa(b.Revision)
			}
			list = append(list, text)
		}
		if list != nil {
			out = append(out, Fact{name, list})
		}
	}
	files("Document", w.b)
	if k := w.o.Against; k != nil {
		text := k.Name
		if k.Date != "" {
			text += ", " + k.Date
		}
		out = append(out, Fact{"Held against", []string{text}})
		files("Its document", k)
	}
	units := "metric, US customary beside"
	if w.u == quantity.US {
		units = "US customary, metric beside"
	}
	return append(out, Fact{"Units", []string{units}})
}

// allOf are the numbers of both builds in the order of the catalogue.
func (w *writer) allOf() []Number {
	find := func(list []channel.Value, c *channel.Channel) *float64 {
		for i := range list {
			if list[i].Channel == c {
				return &list[i].Value
			}
		}
		return nil
	}
	now := w.a.Numbers()
	var was []channel.Value
	if w.other != nil {
		was = w.other.Numbers()
	}
	var out []Number
	for i := range channel.All() {
		c := &channel.All()[i]
		n := Number{Channel: c, Value: find(now, c), Other: find(was, c)}
		if n.Value == nil && n.Other == nil {
			continue
		}
		if w.held != nil {
			for _, h := range w.held.Numbers {
				if h.Name == c.Name {
					n.Sense = h.Sense[0]
				}
			}
		}
		out = append(out, n)
	}
	return out
}

// findings are what says stop or watch, and what the change cured and brought.
func (w *writer) findings() []Block {
	var first, rest []finding.Finding
	for _, f := range w.a.Findings {
		if f.Level == finding.Stop || f.Level == finding.Watch {
			first = append(first, f)
		} else {
			rest = append(rest, f)
		}
	}
	var out []Block
	if len(first) == 0 {
		out = append(out, Block{Text: "Nothing says stop or watch."})
	} else {
		out = append(out, Block{Findings: first})
	}
	if w.held != nil {
		var turned []finding.Finding
		for _, f := range w.held.Findings {
			if f.Code != "compare/new-trouble" { // those stand above
				turned = append(turned, f)
			}
		}
		if len(turned) > 0 {
			out = append(out, Block{Text: "Against " + w.o.Against.Name + ":"}, Block{Findings: turned})
		}
	}
	if n := len(rest); n > 0 {
		out = append(out, Block{Text: fmt.Sprintf("Left out: %d that are notes or fine; check has them.", n)})
	}
	return out
}

func (w *writer) cautions() []Block {
	list := slices.Clone(w.a.Drive.Cautions)
	return []Block{{List: append(list,
		"Everything here is worked out from the document. Measure before you cut, and check by hand that nothing rubs or binds over the whole travel before power goes on.",
		"Where rules for packs, waste or machines hold, they come first; so does the advice of whoever is licensed for the work.",
	)}}
}

func (w *writer) doc() *rig.Document { return w.b.Model.Doc }
