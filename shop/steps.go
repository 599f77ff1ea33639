package shop

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"lowslung/finding"
	"lowslung/mates"
	"lowslung/quantity"
	"lowslung/ride"
	"lowslung/rig"
	"lowslung/solid"
	"lowslung/travel"
)

// A Work is the order in which a build goes together, with what to check on the way.
type Work struct {
	Name     string            `json:"name" doc:"Name of the build"`
	Tools    []string          `json:"tools" nullable:"false" doc:"All tools by size, to lay out first"`
	Stages   []Stage           `json:"stages" nullable:"false" doc:"In order"`
	Steps    int               `json:"steps" doc:"How many steps there are"`
	Rest     []string          `json:"rest" nullable:"false" doc:"Parts that no mate, link or place ties to another: fit them where they belong"`
	Findings []finding.Finding `json:"findings" nullable:"false" doc:"What to solve before the first step"`
}

// A Stage is a part of the work that is done in one go.
type Stage struct {
	Title string     `json:"title" doc:"What is worked on"`
	Steps []WorkStep `json:"steps" nullable:"false" doc:"In order"`
}

// A WorkStep is one thing to do.
type WorkStep struct {
	Number int      `json:"number" doc:"Through all stages, from 1"`
	About  string   `json:"about" doc:"Path in the document; empty for the whole rig"`
	Do     string   `json:"do" doc:"What to do, in one sentence"`
	Tools  []string `json:"tools" nullable:"false" doc:"Tools by size"`
	Notes  []string `json:"notes" nullable:"false" doc:"Thread lock and how to"`
	Checks []Check  `json:"checks" nullable:"false" doc:"What to measure before going on"`
	Care   []string `json:"care" nullable:"false" doc:"Cautions"`
}

// A Check is something to measure, with what it should be.
type Check struct {
	What  string   `json:"what" doc:"What to measure"`
	Want  string   `json:"want" doc:"What it should be, with its unit, in the reader's units"`
	Value *float64 `json:"value" doc:"The same as a number, in the unit beside it; null when it is no number"`
	Unit  string   `json:"unit" enum:"mm,g,°," doc:"Unit of value; empty without one"`
}

// StepOptions of the order of work.
type StepOptions struct {
	Against *solid.Model // the build as it was; nil for none
	Units   quantity.System
}

// StepsOf puts the steps of mates in stages and adds the numbers to check, which travel and ride give.
func StepsOf(m *solid.Model, o StepOptions) (Work, error) {
	tr, err := travel.Assess(m, travel.Options{Units: o.Units})
	if err != nil {
		return Work{}, err
	}
	list, err := mates.Assess(m, mates.Options{Against: o.Against, Travel: &tr, Units: o.Units})
	if err != nil {
		return Work{}, err
	}
	rd, err := ride.Assess(m, ride.Options{Brief: true, Units: o.Units})
	if err != nil {
		return Work{}, err
	}
	strength := StrengthOf(m, StrengthOptions{Units: o.Units})
	w := &working{strength: &strength, m: m, units: o.Units, joints: list.Joints, travel: &tr, stance: rd.Stance}
	w.out = Work{Name: m.Name, Tools: []string{}, Stages: []Stage{}, Rest: []string{}, Findings: []finding.Finding{}}
	measured := false
	for i := range list.Steps {
		s := &list.Steps[i]
		if s.Kind == "plug" && !measured { // the pack is plugged in when all else is measured
			w.onTheBoard()
			measured = true
		}
		w.add(w.stageOf(s), WorkStep{About: s.About, Do: s.Do, Tools: s.Tools, Notes: s.Notes, Checks: w.checks(s), Care: s.Care})
	}
	if !measured {
		w.onTheBoard()
	}
	w.firstRun()
	w.rest(list.Steps)
	for _, f := range list.Findings {
		if f.Level == finding.Stop {
			w.out.Findings = append(w.out.Findings, f)
		}
	}
	for _, st := range w.out.Stages {
		for _, s := range st.Steps {
			w.out.Tools = append(w.out.Tools, s.Tools...)
		}
	}
	slices.Sort(w.out.Tools)
	w.out.Tools = slices.Compact(w.out.Tools)
	return w.out, nil
}

type working struct {
	m        *solid.Model
	units    quantity.System
	joints   []mates.Joint
	travel   *travel.Answer
	stance   *ride.Stance
	strength *Strength
	out      Work
}

// add appends a step to the stage, a new one when the stage has changed.
func (w *working) add(stage string, s WorkStep) {
	if n := len(w.out.Stages); n == 0 || w.out.Stages[n-1].Title != stage {
		w.out.Stages = append(w.out.Stages, Stage{Title: stage, Steps: []WorkStep{}})
	}
	w.out.Steps++
	s.Number = w.out.Steps
	for _, list := range []*[]string{&s.Tools, &s.Notes, &s.Care} {
		if *list == nil {
			*list = []string{}
		}
	}
	if s.Checks == nil {
		s.Checks = []Check{}
	}
	st := &w.out.Stages[len(w.out.Stages)-1]
	st.Steps = append(st.Steps, s)
}

// stageOf says which part of the work a step belongs to.
func (w *working) stageOf(s *mates.Step) string {
	where := "Chassis and gearbox"
	axle := ""
	switch part, _ := rigPart(w.m, s.About); {
	case s.Kind == "make":
		return "Make the parts"
	case s.Kind == "plug":
		return "Power"
	case part != nil && (part.Kind == "tyre" || part.Kind == "wheel"):
		return "Wheels"
	case strings.HasPrefix(s.About, "front/"):
		where = "Front axle"
	case strings.HasPrefix(s.About, "rear/"):
		where = "Rear axle"
	}
	switch kind, name, _ := strings.Cut(s.About, "/"); kind {
	case "links":
		if l, ok := w.m.Doc.Links.Get(name); ok {
			axle = l.Axle
		}
	case "steer":
		axle = "front"
	case "shocks":
		if k, ok := w.m.Doc.Shocks.Get(name); ok {
			axle = k.Axle
		}
	case "shafts":
		for i := range w.m.Shafts {
			if w.m.Shafts[i].Name == name {
				axle = w.m.Shafts[i].Axle.String()
			}
		}
	}
	switch axle {
	case "front":
		return "Front suspension"
	case "rear":
		return "Rear suspension"
	}
	return where
}

// rigPart is the part at a path.
func rigPart(m *solid.Model, path string) (*rig.Part, string) {
	assembly, name, ok := strings.Cut(path, "/parts/")
	if !ok || m.Doc == nil {
		return nil, ""
	}
	var list *rig.Map[rig.Part]
	switch {
	case assembly == "chassis":
		list = &m.Doc.Chassis.Parts
	case assembly == "front" && m.Doc.Front != nil:
		list = &m.Doc.Front.Parts
	case assembly == "rear" && m.Doc.Rear != nil:
		list = &m.Doc.Rear.Parts
	default:
		return nil, ""
	}
	p, ok := list.Get(name)
	if !ok {
		return nil, ""
	}
	return p, name
}

// mm, gram and angle are checks with a number.
func (w *working) mm(what string, v float64) Check {
	return Check{what, quantity.DimLength.Format(v, w.units), &v, "mm"}
}

func (w *working) fineMM(what string, v float64) Check {
	return Check{what, quantity.DimLength.FormatDigits(v, w.units, quantity.DimLength.Shown(w.units).Digits+1), &v, "mm"}
}

func (w *working) gram(what string, v float64) Check {
	return Check{what, quantity.DimMass.Format(v/1000, w.units), &v, "g"}
}

func (w *working) angle(what string, v float64) Check {
	return Check{what, quantity.DimAngle.Format(v*math.Pi/180, w.units), &v, "°"}
}

// rest lists parts that are in no step.
func (w *working) rest(steps []mates.Step) {
	seen := map[string]bool{}
	for _, s := range steps {
		seen[s.About] = true
		for _, p := range s.Parts {
			seen[p] = true
		}
	}
	for i := range w.m.Bodies {
		b := &w.m.Bodies[i]
		if !seen[b.Path] && !seen[b.Name] && b.Side != solid.Right {
			w.out.Rest = append(w.out.Rest, b.Name)
			seen[b.Name] = true
		}
	}
}

// String of a check, for a line of text.
func (c *Check) String() string { return fmt.Sprintf("%s: %s", c.What, c.Want) }
