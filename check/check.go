// Package check asks every question that exists of one build and puts what the builder should know first.
package check

import (
	"slices"
	"sync"

	"lowslung/balance"
	"lowslung/channel"
	"lowslung/drive"
	"lowslung/finding"
	"lowslung/mates"
	"lowslung/quantity"
	"lowslung/ride"
	"lowslung/rocks"
	"lowslung/solid"
	"lowslung/steer"
	"lowslung/travel"
)

// Words are the questions that exist, in the order of the job. The first is the document itself.
// Rocks comes to them in an answer that was asked for it.
var Words = []string{"rig", "mates", "travel", "steer", "balance", "ride", "drive"}

// Options of the check.
type Options struct {
	Travel  travel.Options
	Steer   steer.Options
	Balance balance.Options
	// Thorough asks ride for everything. Without, it is asked for how the rig stands and where it tips, which is what a builder waits for
	// after each change, and for what a target names.
	Thorough bool
	// Rocks asks rocks for the largest of every obstacle, which takes seconds. Without, it is asked for what a target names.
	Rocks bool
	Units quantity.System
}

// An Answer is every answer of one build.
type Answer struct {
	Name     string            `json:"name" doc:"Name of the build"`
	Findings []finding.Finding `json:"findings" nullable:"false" doc:"Of all questions, most urgent first"`
	Words    []Word            `json:"words" nullable:"false" doc:"Each question with its most urgent finding"`
	Mates    mates.Answer      `json:"mates" doc:"Answer of mates"`
	Travel   travel.Answer     `json:"travel" doc:"Answer of travel"`
	Steer    steer.Answer      `json:"steer" doc:"Answer of steer"`
	Balance  balance.Answer    `json:"balance" doc:"Answer of balance"`
	Ride     ride.Answer       `json:"ride" doc:"Answer of ride: how it stands and where it tips, and what a target names; the rest is null unless asked for"`
	Drive    drive.Answer      `json:"drive" doc:"Answer of drive"`
	Rocks    *rocks.Answer     `json:"rocks" doc:"Answer of rocks for what a target names; null when none does, and it was not asked for"`
}

// A Word is one question and how urgent it is.
type Word struct {
	Word  string        `json:"word" doc:"The question"`
	Worst finding.Level `json:"worst" enum:"stop,watch,note,ok" doc:"Its most urgent level: stop, watch, note or ok"`
	Count int           `json:"count" doc:"Findings that say stop or watch"`
}

// Assess asks everything of the rig standing on its springs, when its document says enough for that (ride.Stand). Targets whose number could not be worked out are findings too.
func Assess(m *solid.Model, o Options) (Answer, error) {
	if m.Rest == nil {
		m = ride.Stand(m)
	}
	o.Travel.Units, o.Steer.Units, o.Balance.Units = o.Units, o.Units, o.Units
	// Ride asks none of the others and none asks it; a second processor has it ready by the time they are.
	var beside sync.WaitGroup
	var r ride.Answer
	var bad error
	beside.Go(func() { r, bad = ride.Assess(m, ride.Options{Brief: !o.Thorough, Units: o.Units}) })
	defer beside.Wait()
	t, err := travel.Assess(m, o.Travel)
	if err != nil {
		return Answer{}, err
	}
	s, err := steer.Assess(m, o.Steer)
	if err != nil {
		return Answer{}, err
	}
	b, err := balance.Assess(m, o.Balance)
	if err != nil {
		return Answer{}, err
	}
	d, err := drive.Assess(m, drive.Options{Units: o.Units})
	if err != nil {
		return Answer{}, err
	}
	j, err := mates.Assess(m, mates.Options{Travel: asked(&t, o.Travel), Units: o.Units})
	if err != nil {
		return Answer{}, err
	}
	if beside.Wait(); bad != nil {
		return Answer{}, bad
	}
	climbs, err := climbing(m, o)
	if err != nil {
		return Answer{}, err
	}
	a := Answer{Name: m.Name, Rocks: climbs, Mates: j, Travel: t, Steer: s, Balance: b, Ride: r, Drive: d}
	lists := map[string][]finding.Finding{"rig": append(unanswered(m, a.Numbers()), m.Findings...), "mates": j.Findings, "travel": t.Findings, "steer": s.Findings, "balance": b.Findings, "ride": r.Findings, "drive": d.Findings}
	lists["drive"] = untold(lists["drive"], lists["mates"])
	words := Words
	if climbs != nil {
		words, lists["rocks"] = append(slices.Clone(words), "rocks"), climbs.Findings
	}
	a.Findings = []finding.Finding{}
	for _, w := range words {
		word := Word{Word: w, Worst: finding.Worst(lists[w])}
		for _, f := range lists[w] {
			if f.Level == finding.Stop || f.Level == finding.Watch {
				word.Count++
			}
		}
		a.Words = append(a.Words, word)
		a.Findings = append(a.Findings, lists[w]...)
	}
	finding.Sort(a.Findings)
	return a, nil
}

// climbing is rocks' answer: of every obstacle, of those that a target names, or nil.
func climbing(m *solid.Model, o Options) (*rocks.Answer, error) {
	ask := rocks.Options{Units: o.Units}
	if !o.Rocks {
		if m.Doc == nil {
			return nil, nil
		}
		if ask.Only = rocks.Needed(m.Doc.Targets.Names()); len(ask.Only) == 0 {
			return nil, nil
		}
	}
	a, err := rocks.Assess(m, ask)
	return &a, err
}

// twice are findings of drive that mates has too, when asked about the same things.
var twice = map[string]string{"drive/over-voltage": "mates/too-many-volts", "drive/pitch": "mates/wrong-pitch"}

// untold are the findings of drive without those that mates tells already: each answer has its own, and the list of all has them once.
func untold(list, others []finding.Finding) []finding.Finding {
	return slices.DeleteFunc(slices.Clone(list), func(f finding.Finding) bool {
		code := twice[f.Code]
		return code != "" && slices.ContainsFunc(others, func(o finding.Finding) bool {
			return o.Code == code && slices.ContainsFunc(f.About, func(p string) bool { return slices.Contains(o.About, p) })
		})
	})
}

// Numbers are all numbers of the catalogue that this build has.
func (a *Answer) Numbers() []channel.Value {
	list := slices.Concat(a.Travel.Numbers(), a.Steer.Numbers(), a.Balance.Numbers(), a.Ride.Numbers(), a.Drive.Numbers())
	if a.Rocks != nil {
		list = append(list, a.Rocks.Numbers()...)
	}
	return list
}

// unanswered are targets whose number no question could work out.
func unanswered(m *solid.Model, have []channel.Value) []finding.Finding {
	known := map[string]bool{}
	for _, v := range have {
		known[v.Channel.Name] = true
	}
	var out []finding.Finding
	for _, name := range m.Doc.Targets.Names() {
		if !known[name] {
			out = append(out, finding.New(finding.Note, "rig/target-unanswered",
				"The target %q is not judged: the document lacks what %s needs for that number.", name, channel.Must(name).Word).For("targets/"+name))
		}
	}
	return out
}

// asked is travel's answer for those who would ask it of both axles again; nil when it was asked of one only.
func asked(t *travel.Answer, o travel.Options) *travel.Answer {
	if o.Axle != "" {
		return nil
	}
	return t
}
