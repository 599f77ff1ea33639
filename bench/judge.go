package bench

import (
	"fmt"
	"math"
	"strings"

	"lowslung/finding"
	"lowslung/quantity"
)

// judge says what the builder should know.
func (a *Answer) judge(b *bench, best *fit, list []takenReading, o Options) {
	add := func(f finding.Finding) { a.Findings = append(a.Findings, f) }
	for i := range a.Readings {
		r := &a.Readings[i]
		switch {
		case r.Used:
		case r.Predicted == nil:
			add(finding.New(finding.Note, "bench/unpredicted", "The reading %q is not used: %s.", r.Name, r.Why).For("readings/" + r.Name))
		case list[i].Aside:
			add(finding.New(finding.Note, "bench/aside", "The reading %q is set aside in the document, and not used.", r.Name).For("readings/" + r.Name))
		default:
			add(finding.New(finding.Note, "bench/other-build", "The reading %q is not used: %s, and this one is %q.", r.Name, r.Why, a.Name).For("readings/" + r.Name))
		}
	}
	if a.Agreement == nil {
		f := finding.New(finding.Note, "bench/no-readings", "Nothing that was measured can be held against the model yet.")
		if len(a.Next) > 0 {
			f.Cure = "measure first " + a.Next[0].Text
		}
		add(f)
		return
	}
	if !best.settled {
		add(finding.New(finding.Watch, "bench/unsettled", "The search for corrections did not come to rest: the rig as corrected may not go together. Take them as a hint only.").
			CuredBy("look for a reading with a gross mistake"))
	}
	g := a.Agreement
	level, code := finding.OK, "bench/agrees"
	switch g.Verdict {
	case "strained":
		level, code = finding.Watch, "bench/strained"
	case "disagrees":
		level, code = finding.Stop, "bench/disagrees"
	}
	f := finding.New(level, code, "%s χ² is %s with %d degrees of freedom.", g.Text, quantity.Fixed(g.ChiSquare, 1), g.Freedom)
	if w := a.Without; w != nil {
		f.Sentence += fmt.Sprintf(" Without what does not fit %s: χ² is %s with %d.", map[string]string{"agrees": "it agrees", "strained": "it agrees badly", "disagrees": "it does not agree either"}[w.Verdict],
			quantity.Fixed(w.ChiSquare, 1), w.Freedom)
		if w.Verdict == "agrees" && f.Level == finding.Stop {
			f.Level = finding.Watch // one reading is the trouble, not the model
		}
	}
	if f.Level == finding.Stop || f.Level == finding.Watch {
		f.Cure = "see which readings are furthest off, and measure those again before the model is trusted"
	}
	add(f)
	if g.Chance > 1-poor && g.Freedom > 3 {
		add(finding.New(finding.Note, "bench/too-good", "The readings are nearer to the model than their uncertainties would let them be by chance: `within` of the readings, or `errors`, is taken too wide."))
	}
	var large, sides []string
	for i := range a.Corrections {
		c := &a.Corrections[i]
		if math.Abs(c.Sigmas) > 3 {
			large = append(large, c.What)
		}
		if !c.Held && len(sides) < 4 {
			sides = append(sides, c.What)
		}
	}
	if len(large) > 0 {
		add(finding.New(finding.Watch, "bench/large", "More off than such things usually are: %s.", strings.Join(large, "; ")).
			CuredBy("measure it by itself; if it is as written, a reading has a mistake that others hide"))
	}
	if len(sides) > 0 && a.Patch != "" {
		add(finding.New(finding.Note, "bench/not-held", "The document of corrections cannot hold all: %s. Twins are one entry there, and get the mean of both.", strings.Join(sides, "; ")))
	}
	told := 0
	for _, k := range a.Alike {
		if k.corrected && told < 2 {
			add(finding.New(finding.Note, "bench/alike", "%s", k.Text))
			told++
		}
	}
	if len(a.Next) > 0 {
		add(finding.New(finding.Note, "bench/next", "Most is to be learnt by measuring %s.", a.Next[0].Text))
	}
}
