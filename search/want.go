package search

import (
	"fmt"
	"math"

	"lowslung/channel"
	"lowslung/quantity"
	"lowslung/rig"
	"lowslung/solid"
)

// What a combination is held against, in one order for every way of going through the space: what must go together first, then what each
// axle shows at its design pose, what both show together, what the travel of each shows, what it costs, and last what is asked of whole
// builds. A combination is counted under the first it fails.

// A stage is when a want is judged.
type stage uint8

const (
	fitting     stage = iota // front, then rear: the values go together
	frontDesign              // links close, ride height, numbers there
	rearDesign
	together
	frontTravel
	rearTravel
	money
	asking
	stages
)

// Needs of the parts that are no numbers: their places in the list of wants of a stage come first.
type need uint8

const (
	byNumber need = iota
	goesTogether
	linksClose
	heightReached
	travelReached
	nothingStops
)

// A want is one thing to hold combinations against.
type want struct {
	stage  stage
	need   need
	end    solid.End
	number int // cheap number; −1 for one that is asked
	ch     *channel.Channel
	in     channel.Range
	by     string
	place  rig.Place
}

func (w *want) name() string {
	switch w.need {
	case goesTogether:
		return "parts go together"
	case linksClose:
		return w.end.String() + " links close"
	case heightReached:
		return w.end.String() + " ride height reached"
	case travelReached:
		return w.end.String() + " links allow the travel"
	case nothingStops:
		return "nothing else stops"
	}
	return w.ch.Name
}

const rounding = 1e-9 // a value beyond a range by no more is in it, as channel.Judge has it

// miss is how far v is outside the range; 0 inside. NaN is infinitely far.
func (w *want) miss(v float64) float64 {
	switch {
	case v >= w.in.From-rounding && v <= w.in.To+rounding:
		return 0
	case math.IsNaN(v):
		return math.Inf(1)
	case v < w.in.From:
		return w.in.From - v
	}
	return v - w.in.To
}

func (w *want) answer(currency string, s quantity.System) Want {
	out := Want{Name: w.name(), By: w.by}
	if w.need != byNumber {
		out.Wanted = map[need]string{
			goesTogether: "thread on thread, turns that still hold", linksClose: "the links meet where the document has the axle",
			heightReached: "the links allow the height at which the axle stands", travelReached: "shocks end the travel, not links",
			nothingStops: "a check of the whole build says stop of nothing that is not so already",
		}[w.need]
		return out
	}
	out.Unit = unitOf(w.ch, currency, s)
	out.Wanted = RangeWords(w.ch, w.in, currency, s)
	if !math.IsInf(w.in.From, 0) {
		v := in(w.ch, w.in.From, s)
		out.From = &v
	}
	if !math.IsInf(w.in.To, 0) {
		v := in(w.ch, w.in.To, s)
		out.To = &v
	}
	return out
}

// RangeWords is a range as a person reads it.
func RangeWords(c *channel.Channel, r channel.Range, currency string, s quantity.System) string {
	switch {
	case math.IsInf(r.From, 0):
		return "at most " + Format(c, r.To, currency, s)
	case math.IsInf(r.To, 0):
		return "at least " + Format(c, r.From, currency, s)
	}
	return Format(c, r.From, currency, s) + " to " + Format(c, r.To, currency, s)
}

// A prefer is a number that is better one way.
type prefer struct {
	number int // cheap number; −1 for one that is asked
	ch     *channel.Channel
	way    string
	middle float64
	width  float64 // of the range wanted of it; 0 where that has not two ends
}

// cost is the value with less of it being better; a number that a build has not is worst.
func (p *prefer) cost(v float64) float64 {
	switch {
	case math.IsNaN(v):
		return math.Inf(1)
	case p.way == "higher":
		return -v
	case p.way == "middle":
		return math.Abs(v - p.middle)
	}
	return v
}

// rounded is the cost in millionths of a unit: a difference too small to make does not tell builds apart.
func (p *prefer) rounded(v float64) float64 {
	c := p.cost(v)
	if math.IsInf(c, 0) {
		return worst
	}
	return math.Round(c*1e6) / 1e6
}

// worst is the cost of a number that a build has not; JSON has no infinity.
const worst = 1e300

// partsWants are ranges that parts ask for by themselves, unless the document wants something else of the number.
var partsWants = []int{bumpStroke, droopStroke, shaftJointRoom, shaftRoom, rodEndRoom}

// wantsOf reads wants and preferences. Mistakes are told together.
func wantsOf(m *solid.Model, currency string) (wants []want, prefers []prefer, bad rig.Diagnostics) {
	doc := m.Doc
	var named []want
	have := map[string]int{}
	add := func(e *rig.Entry[rig.Target], by string) {
		c, ok := channel.Find(e.Name)
		if !ok {
			bad = append(bad, unknownNumber(e.Name, e.Place, "want"))
			return
		}
		in, wrong := c.RangeOf(&e.Value)
		bad = append(bad, wrong...)
		if len(wrong) > 0 {
			return
		}
		w := want{stage: asking, number: cheapIndex(e.Name), ch: c, in: in, by: by, place: e.Place}
		w.stage, w.end = stageOf(w.number)
		if k, there := have[e.Name]; there {
			named[k] = w
			return
		}
		have[e.Name] = len(named)
		named = append(named, w)
	}
	for i := range doc.Targets {
		if doc.Targets[i].Value.Level != "watch" {
			add(&doc.Targets[i], "target")
		}
	}
	for i := range doc.Search.Wants {
		add(&doc.Search.Wants[i], "search")
	}
	wants = append(wants, want{stage: fitting, need: goesTogether, number: -1, by: "parts"})
	for end := solid.Front; end <= solid.Rear; end++ {
		if !m.Axles[end].Present {
			continue
		}
		for k := linksClose; k <= travelReached; k++ {
			st := map[need]stage{linksClose: frontDesign, heightReached: frontDesign, travelReached: frontTravel}[k]
			wants = append(wants, want{stage: st + stage(end), need: k, end: end, number: -1, by: "parts"})
		}
		for _, n := range partsWants {
			i := axleNumber(end, n)
			c := channel.Must(cheapName(i))
			if _, there := have[c.Name]; !there && has(m, end, n) {
				w := want{number: i, ch: c, in: channel.Range{From: 0, To: math.Inf(1)}, by: "parts"}
				w.stage, w.end = stageOf(i)
				named = append(named, w)
			}
		}
	}
	// Within a stage: needs first, then cheap numbers by index, then those asked, in the order of the catalogue.
	var out []want
	for st := range stages {
		for _, w := range wants {
			if w.stage == st {
				out = append(out, w)
			}
		}
		for i := range cheapNumbers {
			for _, w := range named {
				if w.stage == st && w.number == i {
					out = append(out, w)
				}
			}
		}
		for _, c := range channel.All() {
			for _, w := range named { // asked
				if w.stage == st && w.number < 0 && w.ch.Name == c.Name {
					out = append(out, w)
				}
			}
		}
	}
	out = append(out, want{stage: asking, need: nothingStops, number: -1, by: "parts"})
	list := doc.Search.Prefer
	if len(list) == 0 {
		list = rig.Map[string]{{Name: "price", Value: "lower"}, {Name: "new parts", Value: "lower"}}
	}
	for i := range list {
		c, ok := channel.Find(list[i].Name)
		if !ok {
			bad = append(bad, unknownNumber(list[i].Name, list[i].Place, "preferred number"))
			continue
		}
		p := prefer{number: cheapIndex(c.Name), ch: c, way: list[i].Value}
		k, there := have[c.Name]
		if there && !math.IsInf(named[k].in.From, 0) && !math.IsInf(named[k].in.To, 0) {
			p.width = named[k].in.To - named[k].in.From
		}
		if p.way == "middle" {
			if !there || math.IsInf(named[k].in.From, 0) || math.IsInf(named[k].in.To, 0) {
				bad = append(bad, rig.Diagnostic{Code: "no-middle", Place: list[i].Place, Text: fmt.Sprintf(
					"found %q preferred near its middle, but nothing wants it in a range with two ends; expected such a want or target, or lower or higher", c.Name)})
				continue
			}
			p.middle = named[k].in.Middle()
		}
		prefers = append(prefers, p)
	}
	return out, prefers, append(bad, contradictions(doc, m, currency, named)...)
}

func unknownNumber(name string, at rig.Place, what string) rig.Diagnostic {
	names := make([]string, 0, len(channel.All()))
	for _, c := range channel.All() {
		names = append(names, c.Name)
	}
	text := fmt.Sprintf("found the %s %q, expected the name of a number that lowslung answers", what, name)
	if near := rig.Nearest(name, names); near != "" {
		text += fmt.Sprintf("; did you mean %q?", near)
	}
	return rig.Diagnostic{Code: "unknown-number", Place: at, Text: text}
}

func stageOf(number int) (stage, solid.End) {
	switch {
	case number < 0:
		return asking, 0
	case number >= price:
		return money, 0
	case number >= wheelbase:
		return together, 0
	}
	end := solid.End(number / ofAxle)
	if number%ofAxle < atDesign {
		return frontDesign + stage(end), end
	}
	return frontTravel + stage(end), end
}

// has says whether the model gives what a number of an axle needs at all.
func has(m *solid.Model, end solid.End, n int) bool {
	switch n {
	case bumpStroke, droopStroke:
		for i := range m.Shocks {
			if s := &m.Shocks[i]; s.Axle == end && (n == bumpStroke && s.Closed > 0 || n == droopStroke && s.Open > 0) {
				return true
			}
		}
		return false
	case shaftJointRoom, shaftRoom:
		for i := range m.Shafts {
			k := &m.Shafts[i]
			if k.Axle == end && (n == shaftJointRoom && k.Limit > 0 || n == shaftRoom && (k.Closed > 0 || k.Open > 0)) {
				return true
			}
		}
		return false
	}
	return true
}

// contradictions are pairs of wants that no rig meets both of, whatever its parts.
func contradictions(doc *rig.Document, m *solid.Model, currency string, list []want) (bad rig.Diagnostics) {
	say := func(at rig.Place, a, b string) {
		bad = append(bad, rig.Diagnostic{Code: "contradiction", Place: at, Text: fmt.Sprintf("found two wants that no build meets both of: %s, and %s; expected one of them to give way", a, b)})
	}
	words := func(w *want) string { return w.ch.Name + " " + RangeWords(w.ch, w.in, currency, quantity.Metric) }
	find := func(name string) *want {
		for i := range list {
			if list[i].ch.Name == name {
				return &list[i]
			}
		}
		return nil
	}
	for i := range list {
		w := &list[i]
		t, ok := doc.Targets.Get(w.ch.Name)
		if w.by != "search" || !ok || t.Level == "watch" {
			continue
		}
		if in, wrong := w.ch.RangeOf(t); len(wrong) == 0 && (in.From > w.in.To || in.To < w.in.From) {
			say(w.place, words(w)+" (search/wants)", w.ch.Name+" "+RangeWords(w.ch, in, currency, quantity.Metric)+" (targets)")
		}
	}
	// A part of a whole is no more than the whole.
	for _, pair := range [][2]string{{"sprung mass", "mass"}} {
		if part, whole := find(pair[0]), find(pair[1]); part != nil && whole != nil && part.in.From > whole.in.To {
			say(part.place, words(part), words(whole))
		}
	}
	for end := solid.Front; end <= solid.Rear; end++ {
		angle, room := find(cheapName(axleNumber(end, shaftJoint))), find(cheapName(axleNumber(end, shaftJointRoom)))
		for i := range m.Shafts {
			k := &m.Shafts[i]
			if k.Axle != end || k.Limit == 0 || angle == nil || room == nil {
				continue
			}
			if sum := angle.in.From + room.in.From; sum > k.Limit+rounding {
				say(angle.place, words(angle), words(room)+fmt.Sprintf(", since together they are the limit of the joint, %s", quantity.DimAngle.Format(k.Limit, quantity.Metric)))
			}
		}
	}
	return bad
}
