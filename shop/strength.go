package shop

import (
	"fmt"
	"math"

	"lowslung/finding"
	"lowslung/mates"
	"lowslung/quantity"
	"lowslung/rig"
	"lowslung/solid"
)

const (
	usualStrike = 50.0 // N across the middle of a link, an assumption: a rig of 2.5 kg set down hard on one rock, twice its weight
	usualJolts  = 2.0  // times the rig's weight, along one link: an assumption
	lowMargin   = 1.5  // below it a margin is told
)

// StrengthOptions of the links' strength.
type StrengthOptions struct {
	Strike float64 // N across the middle of each link; 50 when 0
	Push   float64 // N along each link; twice the rig's weight when 0
	Units  quantity.System
}

// ParseStrengthOptions reads the options as flags and query parameters carry them; empty text means the usual.
func ParseStrengthOptions(strike, push string, units quantity.System) (StrengthOptions, error) {
	o := StrengthOptions{Units: units}
	for _, one := range []struct {
		name, text string
		into       *float64
	}{{"strike", strike, &o.Strike}, {"push", push, &o.Push}} {
		if one.text == "" {
			continue
		}
		v, err := quantity.DimForce.Parse(one.text)
		if err != nil {
			return o, fmt.Errorf("%s: %w", one.name, err)
		}
		if !(v >= 0.1 && v <= 10_000) {
			return o, fmt.Errorf("%s: found %s, expected 0.1 N to 10000 N", one.name, one.text)
		}
		*one.into = v
	}
	return o, nil
}

// Strength is what the links stand. All of it is an estimate for a model of a few kilograms.
type Strength struct {
	StrikeN  float64           `json:"strike_n" doc:"Load across the middle of each link: an assumption"`
	PushN    float64           `json:"push_n" doc:"Load along each link: an assumption"`
	Assumes  []string          `json:"assumes" nullable:"false" doc:"What was assumed"`
	Links    []LinkStrength    `json:"links" nullable:"false" doc:"Each link, in the order of the document"`
	Findings []finding.Finding `json:"findings" nullable:"false" doc:"What gives way first, and what is missing"`
}

// LinkStrength is one link: estimates, null where the document lacks what they need.
type LinkStrength struct {
	Name         string        `json:"name" doc:"Name in the document"`
	Path         string        `json:"path" doc:"Path in the document"`
	Material     string        `json:"material" doc:"Of the rod; empty when not known"`
	DiameterMM   float64       `json:"diameter_mm" doc:"Of the rod"`
	BoreMM       float64       `json:"bore_mm" doc:"Of a tube; 0 for a solid rod"`
	LengthMM     float64       `json:"length_mm" doc:"Eye to eye: taken to be of the rod's section throughout"`
	OffsetMM     float64       `json:"offset_mm" doc:"How far a bent link is off the line between its eyes; 0 when it is straight"`
	GivesN       *float64      `json:"gives_n" doc:"Push along it at which it gives way"`
	GivesBy      string        `json:"gives_by" enum:"Euler,Johnson,bending," doc:"How: a straight one buckles, slender after Euler or stout after Johnson; a bent one bends"`
	PushMargin   *float64      `json:"push_margin" doc:"That over the push"`
	StressMPa    *float64      `json:"strike_stress_mpa" doc:"Bending stress under the strike"`
	DeflectionMM *float64      `json:"strike_deflection_mm" doc:"How far the middle gives under the strike"`
	BendsN       *float64      `json:"bends_n" doc:"Load across the middle at which it stays bent"`
	StrikeMargin *float64      `json:"strike_margin" doc:"That over the strike"`
	Ends         []EndStrength `json:"ends" nullable:"false" doc:"Both rod ends, chassis end first, of a tie rod the left one, of a drag link that at the horn; empty when the document names none"`
	Lacks        string        `json:"lacks" doc:"What the document lacks for the rod; empty when nothing"`
}

// EndStrength is one rod end.
type EndStrength struct {
	Item     string   `json:"item" doc:"Bin item"`
	Thread   string   `json:"thread" doc:"Thread; empty when not known"`
	ShankN   *float64 `json:"shank_n" doc:"Pull at which its shank yields at the thread: stress area times strength of its material"`
	Margin   *float64 `json:"margin" doc:"That over the push"`
	HoldsMM  *float64 `json:"holds_mm" doc:"Thread in the rod as it is set; null when neither holds nor out is given"`
	WantedMM *float64 `json:"wanted_mm" doc:"Thread that the rod's material wants"`
	Assumed  bool     `json:"assumed" doc:"The thread was not written: 2 diameters are taken to be left when it is out as far as it may"`
}

// Link is the strength of a link by its name, or by its path; nil when there is none: what the cut list shows beside it.
func (s *Strength) Link(name string) *LinkStrength {
	for i := range s.Links {
		if s.Links[i].Name == name || s.Links[i].Path == name {
			return &s.Links[i]
		}
	}
	return nil
}

// StrengthOf works out what the links stand.
func StrengthOf(m *solid.Model, o StrengthOptions) Strength {
	out := Strength{StrikeN: o.Strike, PushN: o.Push, Links: []LinkStrength{}, Findings: []finding.Finding{}}
	force := func(v float64) string { return quantity.DimForce.Format(v, o.Units) }
	if out.StrikeN == 0 {
		out.StrikeN = usualStrike
	}
	push := force(out.PushN) + " along each link"
	if out.PushN == 0 {
		mass, _ := solid.CenterOfMass(m.Lumps(&solid.Stance{{R: solid.Identity}, {R: solid.Identity}}))
		out.PushN = usualJolts * mass * quantity.Gravity / 1000
		push = fmt.Sprintf("%s along each link, %.0f times the rig's weight", force(out.PushN), usualJolts)
		if mass == 0 {
			out.PushN = usualStrike
			push = force(out.PushN) + " along each link, since no part has a weight"
		}
	}
	out.Assumes = []string{
		fmt.Sprintf("%s across the middle of each link, as a rock strikes it; another can be asked for", force(out.StrikeN)),
		push + "; another can be asked for",
		"each link on two free pins, of its rod's section from eye to eye; the thread inside its ends, dents and notches are left out",
		"static loads on a model of a few kilograms; a blow can be harder, and nothing here is for anything that carries people",
	}
	if m.Doc == nil {
		return out
	}
	done := map[string]bool{}
	for i := range m.Links {
		l := &m.Links[i]
		doc, ok := m.Doc.Links.Get(l.Name)
		if done[l.Name] || !ok {
			continue
		}
		done[l.Name] = true
		out.Links = append(out.Links, out.link(m, l, doc))
		out.judge(&out.Links[len(out.Links)-1], o.Units)
	}
	for _, r := range m.Doc.Rodded() {
		if length := steerLength(m, r.Path); length > 0 {
			out.Links = append(out.Links, out.link(m, &solid.Link{Name: r.Name, Path: r.Path, Length: length}, r.Link))
			out.judge(&out.Links[len(out.Links)-1], o.Units)
		}
	}
	finding.Sort(out.Findings)
	return out
}

// steerLength is a steering rod's, mm; 0 for any other path.
func steerLength(m *solid.Model, path string) float64 {
	switch path {
	case "steer/tie_rod":
		return m.Steer.TieRod
	case "steer/drag_link":
		return m.Steer.Drag
	}
	return 0
}

// link is one link's numbers.
func (s *Strength) link(m *solid.Model, l *solid.Link, doc *rig.Link) LinkStrength {
	out := LinkStrength{Name: l.Name, Path: l.Path, LengthMM: l.Length, Ends: []EndStrength{}}
	for _, b := range l.Bends {
		out.OffsetMM = max(out.OffsetMM, math.Hypot(b.Y, b.Z))
	}
	rod := &rig.Part{}
	if doc.Rod != nil {
		rod = itemIn(m, doc.Rod.Item)
	}
	out.Material = rod.Material
	switch {
	case rod.Rod != nil:
		out.DiameterMM = float64(rod.Rod.Diameter)
		if rod.Rod.Bore != nil {
			out.BoreMM = float64(*rod.Rod.Bore)
		}
	case doc.Width != nil:
		out.DiameterMM = float64(*doc.Width)
	}
	mat, known := solid.MaterialOf(rod.Material)
	switch {
	case out.DiameterMM == 0:
		out.Lacks = "a rod of a bin, with its diameter and material"
	case rod.Material == "":
		out.Lacks = "a rod of a bin that says its material"
	case !known:
		out.Lacks = fmt.Sprintf("a material of the list in place of %q", rod.Material)
	case mat.Yield == 0:
		out.Lacks = fmt.Sprintf("a strength for %s: a laminate has no yield", rod.Material)
	case out.BoreMM >= out.DiameterMM:
		out.Lacks = "a bore smaller than the diameter"
	default:
		s.rod(&out, &column{out.DiameterMM, out.BoreMM, out.LengthMM, mat.E, mat.Yield})
	}
	turns := 0.0
	if doc.Turns != nil {
		turns = *doc.Turns
	}
	for _, id := range doc.Ends {
		if item := itemIn(m, id); item.End != nil {
			out.Ends = append(out.Ends, s.end(id, item, rod, turns))
		}
	}
	return out
}

func (s *Strength) rod(out *LinkStrength, b *column) {
	gives, euler := b.buckles(1)
	out.GivesBy = "Johnson"
	if euler {
		out.GivesBy = "Euler"
	}
	if out.OffsetMM > 0 {
		if y := b.yields(out.OffsetMM); y < gives {
			gives, out.GivesBy = y, "bending"
		}
	}
	stress, deflection := b.struck(s.StrikeN)
	out.GivesN, out.StressMPa, out.DeflectionMM = &gives, &stress, &deflection
	out.PushMargin = over(gives, s.PushN)
	out.StrikeMargin = over(b.Sy, stress)
	bends := s.StrikeN * *out.StrikeMargin
	out.BendsN = &bends
}

func over(a, b float64) *float64 {
	v := a / b
	return &v
}

// end is a rod end: its shank at the thread, and how much of it is in the rod.
func (s *Strength) end(id string, item, rod *rig.Part, turns float64) EndStrength {
	out := EndStrength{Item: id, Thread: rig.TidyThread(item.End.Thread)}
	if rod.Rod != nil && out.Thread == "" {
		out.Thread = rig.TidyThread(rod.Rod.Thread)
	}
	d := mates.ThreadDiameter(out.Thread)
	pitch, ok := rig.Pitch(out.Thread)
	if d == 0 || !ok {
		return out
	}
	if mat, known := solid.MaterialOf(item.Material); known && mat.Yield > 0 {
		n := stressArea(d, pitch) * mat.Yield
		out.ShankN, out.Margin = &n, over(n, s.PushN)
	}
	wanted := mates.Engagement(rod.Material) * d
	out.WantedMM = &wanted
	each := turns / 2 * pitch // both ends are taken to be out by the same
	switch {
	case item.End.Holds != nil:
		v := float64(*item.End.Holds) - each
		out.HoldsMM = &v
	case item.End.Out != nil:
		v := 2*d + float64(*item.End.Out) - each
		out.HoldsMM, out.Assumed = &v, true
	}
	return out
}

// itemIn is a bin item by its id; an empty part when there is none.
func itemIn(m *solid.Model, id string) *rig.Part {
	for _, b := range m.Bins {
		if p, ok := b.Items.Get(id); ok && id != "" {
			return p
		}
	}
	return &rig.Part{}
}

// judge tells what has little margin.
func (s *Strength) judge(l *LinkStrength, units quantity.System) {
	force := func(v float64) string { return quantity.DimForce.Format(v, units) }
	length := func(v float64) string { return quantity.DimLength.Format(v, units) }
	add := func(level finding.Level, code, format string, args ...any) *finding.Finding {
		s.Findings = append(s.Findings, finding.New(level, code, format, args...).For(l.Path))
		return &s.Findings[len(s.Findings)-1]
	}
	if l.Lacks != "" {
		add(finding.Note, "shop/no-strength", "The strength of the link %s is not known: it lacks %s.", l.Name, l.Lacks)
	}
	if v := l.StrikeMargin; v != nil && *v < lowMargin {
		how := "it is near to staying bent"
		if *v < 1 {
			how = "it stays bent"
		}
		add(finding.Watch, "shop/link-bends", "With %s across its middle the link %s sees %.0f MPa, and %s yields at %.0f MPa (estimate): %s.", force(s.StrikeN), l.Name, *l.StressMPa, l.Material, *l.StressMPa**v, how).
			Cure = "a thicker rod or tube, a stronger material, or a skid under it; steel that bends can be straightened"
	}
	if v := l.PushMargin; v != nil && *v < lowMargin {
		how := map[string]string{"Euler": "it buckles", "Johnson": "it gives way", "bending": "its bend opens further"}[l.GivesBy]
		add(finding.Watch, "shop/link-buckles", "Pushed along with %s the link %s is near its end: at %s %s (estimate).", force(s.PushN), l.Name, force(*l.GivesN), how).
			Cure = "a thicker rod or tube, a stronger material, or a smaller bend"
	}
	for i := range l.Ends {
		e := &l.Ends[i]
		where := rig.EndNames(l.Path)[i%2]
		if e.Margin != nil && *e.Margin < lowMargin {
			add(finding.Watch, "shop/rod-end-weak", "The shank of %s at the %s end of the link %s yields at a pull of %s (estimate), and %s is taken to pull at it.", e.Item, where, l.Name, force(*e.ShankN), force(s.PushN)).
				Cure = "rod ends with a thicker thread, or of steel"
		}
		if e.HoldsMM != nil && e.WantedMM != nil && *e.HoldsMM < *e.WantedMM-1e-9 {
			f := add(finding.Watch, "shop/thread-short", "The rod end %s at the %s end of the link %s has %s of thread in the rod, and %s wants %s of it.", e.Item, where, l.Name, length(*e.HoldsMM), l.Material, length(*e.WantedMM))
			if l.Material == "" {
				f.Sentence = fmt.Sprintf("The rod end %s at the %s end of the link %s has %s of thread in the rod, less than %s.", e.Item, where, l.Name, length(*e.HoldsMM), length(*e.WantedMM))
			}
			f.Cure = "a longer rod with fewer turns, or a rod end with more thread"
		}
	}
}
