package server

import (
	"context"
	"errors"
	"fmt"
	"math"

	"lowslung/channel"
	"lowslung/quantity"
	"lowslung/rig"
	"lowslung/search"
)

// SearchSection is what the document says of a search, and what it could say.
type SearchSection struct {
	Written  bool            `json:"written" doc:"The document has a search section"`
	Space    *int64          `json:"space" doc:"Combinations that it makes; null when it makes none"`
	Vary     []Varied        `json:"vary" nullable:"false" doc:"What may change, in the order of the document"`
	Wants    []Wanted        `json:"wants" nullable:"false" doc:"What a build must reach: of the search section, and targets that count as wants"`
	Prefer   []search.Prefer `json:"prefer" nullable:"false" doc:"Which way numbers are better, most important first; empty when the usual is meant"`
	Currency string          `json:"currency" doc:"Currency that prices are in, ISO 4217; empty when there are several or none"`
	Offers   []search.Offer  `json:"offers" nullable:"false" doc:"What could be varied"`
	Starter  string          `json:"starter" doc:"A search section to begin with, as YAML on one line; empty when nothing can be varied"`
	Mistakes []Mistake       `json:"mistakes" nullable:"false" doc:"What is wrong with the section"`
}

// Varied is one choice of the document.
type Varied struct {
	Name   string `json:"name" doc:"Name in the document"`
	Change string `json:"change" doc:"Path of what changes"`
	Says   string `json:"says" doc:"What it may become, in words"`
	Range  bool   `json:"range" doc:"It is a number between two"`
	Step   string `json:"step" doc:"Of a number between two: the step as written; empty where any number between will do"`
	Unit   string `json:"unit" doc:"Of a number between two: its unit as written; empty for the usual one"`
}

// Wanted is a range that a number must be in, as written.
type Wanted struct {
	Name  string `json:"name" doc:"Name of the number"`
	Says  string `json:"says" doc:"The range in words"`
	By    string `json:"by" enum:"search,target" doc:"Which section says it"`
	Level string `json:"level" enum:"stop,watch" doc:"Of a target: watch does not count as a want"`
}

type sectionOut struct{ Body SearchSection }

func (s *Server) searchSection(ctx context.Context, in *struct {
	RigID
	InUnits
}) (*sectionOut, error) {
	units := s.system(in.InUnits)
	l, err := s.load(ctx, in.ID)
	if err != nil {
		return nil, err
	}
	doc, currency := l.Build.Doc, search.Currency(l.Build, l.Model)
	out := SearchSection{Currency: currency, Vary: []Varied{}, Wants: []Wanted{}, Prefer: []search.Prefer{}, Mistakes: []Mistake{}, Offers: search.Offers(l.Build), Starter: search.Starter(l.Build)}
	named := map[string]bool{}
	if doc.Search != nil {
		out.Written = true
		for i := range doc.Search.Vary {
			e := &doc.Search.Vary[i]
			v := Varied{Name: e.Name, Change: e.Value.Change, Says: varies(&e.Value), Range: e.Value.From != nil}
			if v.Range {
				_, v.Unit, _ = quantity.Split(e.Value.From.Text)
			}
			if e.Value.Step != nil {
				v.Step = e.Value.Step.Text
			}
			out.Vary = append(out.Vary, v)
		}
		for i := range doc.Search.Wants {
			e := &doc.Search.Wants[i]
			out.Wants = append(out.Wants, wanted(e.Name, "search", &e.Value, currency, units))
			named[e.Name] = true
		}
		for i := range doc.Search.Prefer {
			out.Prefer = append(out.Prefer, search.Prefer{Name: doc.Search.Prefer[i].Name, Way: doc.Search.Prefer[i].Value})
		}
		size, err := search.Size(l.Build)
		var d rig.Diagnostics
		switch {
		case errors.As(err, &d):
			out.Mistakes = placed(d)
		case err != nil:
			out.Mistakes = []Mistake{{Message: err.Error()}}
		default:
			out.Space = &size
		}
	}
	for i := range doc.Targets {
		if e := &doc.Targets[i]; !named[e.Name] {
			out.Wants = append(out.Wants, wanted(e.Name, "target", &e.Value, currency, units))
		}
	}
	return &sectionOut{out}, nil
}

// wanted is a want in words, in the units asked for; one whose number or values the catalogue does not know is told as written.
func wanted(name, by string, t *rig.Target, currency string, units quantity.System) Wanted {
	w := Wanted{Name: name, By: by, Level: t.Level, Says: "as the document says"}
	if w.Level == "" {
		w.Level = "stop"
	}
	c, ok := channel.Find(name)
	if !ok {
		return w
	}
	r, bad := c.RangeOf(t)
	if len(bad) == 0 && (!math.IsInf(r.From, 0) || !math.IsInf(r.To, 0)) {
		w.Says = search.RangeWords(c, r, currency, units)
	}
	return w
}

// varies says in words what a choice may become.
func varies(c *rig.Choice) string {
	text := ""
	switch {
	case c.Among != nil:
		text = fmt.Sprintf("%d values written out", len(c.Among))
	case c.Kind != "":
		text = "any " + c.Kind + " of the bins"
		if c.Thread != "" {
			text += " with " + c.Thread
		}
		if c.Drawer {
			text += " in the drawer"
		}
	case c.Holes != "":
		text = "any hole of " + c.Holes
	case c.From != nil && c.To != nil:
		text = c.From.Text + " to " + c.To.Text + ", any value between"
		if c.Step != nil {
			text = c.From.Text + " to " + c.To.Text + " by " + c.Step.Text
		}
	}
	if c.Named != "" {
		text += ", called " + c.Named + "…"
	}
	if len(c.Also) > 0 {
		text += fmt.Sprintf(", with %d more alike", len(c.Also))
	}
	return text
}
