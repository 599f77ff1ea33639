// Package compare answers: what did the change do? It lays two or more builds side by side, number by number, with what
// changed in the document.
package compare

import (
	"fmt"
	"math"

	"lowslung/channel"
	"lowslung/check"
	"lowslung/finding"
	"lowslung/quantity"
	"lowslung/rig"
	"lowslung/solid"
)

// A Build is one of the builds compared: its document's tree, and its model.
type Build struct {
	Name  string
	Tree  *rig.Node
	Model *solid.Model
}

// Options of the comparison.
type Options struct {
	Rocks bool // with what each build climbs, which takes seconds for each
	Units quantity.System
}

// An Answer lays builds side by side; the first is what the others are held against.
type Answer struct {
	Builds   []string          `json:"builds" nullable:"false" doc:"Names of the builds, the first is what the others are held against"`
	Numbers  []Number          `json:"numbers" nullable:"false" doc:"Every number of the catalogue that any of the builds has"`
	Changes  [][]rig.Change    `json:"changes" nullable:"false" doc:"What changed in the document, for each build after the first"`
	Findings []finding.Finding `json:"findings" nullable:"false" doc:"What the change cured, what it brought, and what it did to tipping"`
}

// A Number is one number of the catalogue in every build. Values are in unit; null where a build does not have it.
type Number struct {
	Name   string     `json:"name" doc:"Name in the catalogue"`
	Word   string     `json:"word" doc:"Question that answers it"`
	Unit   string     `json:"unit" doc:"Unit of values and change; follows the units asked for"`
	Values []*float64 `json:"values" nullable:"false" doc:"One for each build; null where it does not have the number"`
	Change []*float64 `json:"change" nullable:"false" doc:"Against the first build, one for each build after it"`
	Sense  []string   `json:"sense" nullable:"false" doc:"better, worse, same, or empty where the trade has no view, one for each build after the first"`
	Text   []string   `json:"text" nullable:"false" doc:"Values with their unit, as a person reads them"`
}

// Assess compares at least two builds.
func Assess(builds []Build, o Options) (Answer, error) {
	answers := make([]*check.Answer, len(builds))
	for i, b := range builds {
		if len(builds) < 2 {
			break
		}
		ans, err := check.Assess(b.Model, check.Options{Thorough: true, Rocks: o.Rocks, Units: o.Units})
		if err != nil {
			return Answer{}, fmt.Errorf("%s: %w", b.Name, err)
		}
		answers[i] = &ans
	}
	return Answers(builds, answers, o)
}

// Answers compares at least two builds whose thorough answers have been asked for already, in the units of the options.
func Answers(builds []Build, answers []*check.Answer, o Options) (Answer, error) {
	if len(builds) < 2 {
		return Answer{}, fmt.Errorf("found %d builds, expected at least two to compare", len(builds))
	}
	a := Answer{Numbers: []Number{}, Changes: [][]rig.Change{}, Findings: []finding.Finding{}}
	values := make([]map[string]float64, len(builds))
	for i, b := range builds {
		a.Builds = append(a.Builds, b.Name)
		values[i] = map[string]float64{}
		for _, v := range answers[i].Numbers() {
			values[i][v.Channel.Name] = v.Value
		}
	}
	for i := range channel.All() {
		if n, ok := number(&channel.All()[i], values, o.Units); ok {
			a.Numbers = append(a.Numbers, n)
		}
	}
	for i := 1; i < len(builds); i++ {
		a.Changes = append(a.Changes, rig.Diff(builds[0].Tree, builds[i].Tree))
		a.Findings = append(a.Findings, turns(builds[0].Name, builds[i].Name, answers[0].Findings, answers[i].Findings)...)
		a.Findings = append(a.Findings, tipping(builds[i].Name, values[0], values[i], o.Units)...)
	}
	finding.Sort(a.Findings)
	return a, nil
}

func number(c *channel.Channel, values []map[string]float64, units quantity.System) (Number, bool) {
	unit := c.Dim.Shown(units).Symbol
	n := Number{Name: c.Name, Word: c.Word, Unit: unit, Change: []*float64{}, Sense: []string{}}
	any := false
	for i := range values {
		v, ok := values[i][c.Name]
		if !ok {
			n.Values, n.Text = append(n.Values, nil), append(n.Text, "–")
		} else {
			any = true
			shown := c.Dim.In(v, unit)
			n.Values, n.Text = append(n.Values, &shown), append(n.Text, c.Format(v, units))
		}
		if i == 0 {
			continue
		}
		first, had := values[0][c.Name]
		if !ok || !had {
			n.Change, n.Sense = append(n.Change, nil), append(n.Sense, "")
			continue
		}
		change := c.Dim.In(v, unit) - c.Dim.In(first, unit)
		n.Change = append(n.Change, &change)
		n.Sense = append(n.Sense, sense(c, change))
	}
	return n, any
}

// sense says whether a change is for the better, when the trade has a view; a change that does not show in the digits printed
// is none.
func sense(c *channel.Channel, change float64) string {
	if math.Abs(change) < 0.5*math.Pow(10, -float64(c.Digits)) {
		return "same"
	}
	switch {
	case c.Sense == channel.Neither:
		return ""
	case (c.Sense == channel.Higher) == (change > 0):
		return "better"
	}
	return "worse"
}

// turns tells which troubles the change cured and which it brought, by code and what they are about.
func turns(first, other string, before, after []finding.Finding) []finding.Finding {
	key := func(f finding.Finding) string { return f.Code + fmt.Sprint(f.About) }
	trouble := func(list []finding.Finding) map[string]finding.Finding {
		out := map[string]finding.Finding{}
		for _, f := range list {
			if f.Level == finding.Stop || f.Level == finding.Watch {
				out[key(f)] = f
			}
		}
		return out
	}
	old, now := trouble(before), trouble(after)
	var out []finding.Finding
	for _, f := range after {
		if _, was := old[key(f)]; !was && (f.Level == finding.Stop || f.Level == finding.Watch) {
			g := f
			g.Code, g.Sentence = "compare/new-trouble", fmt.Sprintf("New in %s: %s", other, f.Sentence)
			out = append(out, g)
		}
	}
	for _, f := range before {
		if _, still := now[key(f)]; !still && (f.Level == finding.Stop || f.Level == finding.Watch) {
			out = append(out, finding.New(finding.OK, "compare/cured", "%s does not have this trouble of %s any more: %s", other, first, f.Sentence).For(f.About...))
		}
	}
	return out
}

// tipping says in one sentence each which way the rig tips sooner and which way later.
func tipping(name string, before, after map[string]float64, units quantity.System) []finding.Finding {
	var out []finding.Finding
	for _, way := range []struct{ channel, words string }{
		{"tip angle left", "sideways over its left wheels"}, {"tip angle right", "sideways over its right wheels"},
		{"tip angle nose up", "backwards on a climb"}, {"tip angle nose down", "forwards on a descent"},
	} {
		a, ok1 := before[way.channel]
		b, ok2 := after[way.channel]
		c := channel.Must(way.channel)
		if !ok1 || !ok2 || sense(c, c.Dim.In(b-a, "°")) == "same" {
			continue
		}
		level, word := finding.Note, "later"
		if b < a {
			level, word = finding.Watch, "sooner"
		}
		out = append(out, finding.New(level, "compare/tips-"+word, "%s tips %s %s: at %s instead of %s.",
			name, word, way.words, c.Format(b, units), c.Format(a, units)))
	}
	return out
}
