package search

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"lowslung/rig"
)

// An Offer is something of a document that a search could vary, ready to be written under search/vary. It is a proposal: the builder may
// write any other choice.
type Offer struct {
	Of     string `json:"of" doc:"Thing that it belongs to, for a heading: rear lower"`
	Kind   string `json:"kind" enum:"link,shock,drive,wheels,weight" doc:"What kind of thing that is"`
	Name   string `json:"name" doc:"Name for the choice: the one that the document has, when it has it"`
	Says   string `json:"says" doc:"What may change, in words"`
	Values int    `json:"values" doc:"About how many values that gives, what it is now included"`
	Change string `json:"change" doc:"Path in the document of what changes"`
	Value  string `json:"value" doc:"The choice as YAML on one line, for search/vary and its name"`
	Chosen bool   `json:"chosen" doc:"The document's search section has a choice for this path"`
}

// Offers lists what could be varied of a build: rods, ends, turns and holes of its links, shocks with their springs, collars and holes, the
// pinion, tyres, and the place of the battery. Things that have only one value to take are left out.
func Offers(b *rig.Build) []Offer {
	o := &offering{b: b, out: []Offer{}}
	for _, r := range b.Doc.Rodded() {
		o.link(&r)
	}
	for i := range b.Doc.Shocks {
		o.shock(b.Doc.Shocks[i].Name, &b.Doc.Shocks[i].Value)
	}
	o.pinion()
	o.tyres()
	o.battery()
	return o.out
}

// Starter is a search section to begin with, as YAML on one line: rods and turns of the axles' paired links, and the document's own targets
// for wants. It is "" when nothing can be varied.
func Starter(b *rig.Build) string {
	var vary []string
	for _, f := range Offers(b) {
		l, isLink := b.Doc.Links.Get(f.Of)
		if isLink && l.Pair && l.Axle == "rear" && (strings.HasSuffix(f.Change, "/rod/item") || strings.HasSuffix(f.Change, "/turns")) {
			vary = append(vary, rig.Scalar(f.Name)+": "+f.Value)
		}
	}
	if len(vary) == 0 { // a rig of other links: whatever there is first
		for _, f := range Offers(b) {
			if len(vary) < 2 {
				vary = append(vary, rig.Scalar(f.Name)+": "+f.Value)
			}
		}
	}
	if len(vary) == 0 {
		return ""
	}
	return "{vary: {" + strings.Join(vary, ", ") + "}, prefer: {price: lower}}"
}

type offering struct {
	b   *rig.Build
	out []Offer
}

func (o *offering) add(kind, of, what, says string, values int, change, how string, also ...string) {
	if values < 2 {
		return
	}
	f := Offer{Of: of, Kind: kind, Name: strings.TrimSpace(of + " " + what), Says: says, Values: values, Change: change}
	head := "{change: " + rig.Scalar(change)
	if len(also) > 0 {
		for i := range also {
			also[i] = rig.Scalar(also[i])
		}
		head += ", also: [" + strings.Join(also, ", ") + "]"
	}
	f.Value = head + ", " + how + "}"
	if s := o.b.Doc.Search; s != nil {
		for i := range s.Vary {
			if s.Vary[i].Value.Change == change {
				f.Chosen, f.Name = true, s.Vary[i].Name
			} else if s.Vary[i].Name == f.Name {
				f.Name += " too" // the builder has a choice of this name for something else
			}
		}
	}
	o.out = append(o.out, f)
}

// kind counts the bin items of a kind, with a thread and part of a name when they are given.
func (o *offering) kind(kind, thread, named string) int {
	seen := map[string]bool{}
	for _, bin := range o.b.Bins {
		for i := range bin.Items {
			it := &bin.Items[i]
			if it.Value.Kind != kind || !strings.Contains(it.Name, named) {
				continue
			}
			t := ""
			switch {
			case it.Value.Rod != nil:
				t = it.Value.Rod.Thread
			case it.Value.End != nil:
				t = it.Value.End.Thread
			}
			if thread == "" || t == thread {
				seen[it.Name] = true
			}
		}
	}
	return len(seen)
}

func (o *offering) link(r *rig.Rodded) {
	l, name, at := r.Link, r.Name, r.Path
	ahead, behind := "at the chassis", "at the axle"
	switch r.Path {
	case "steer/tie_rod":
		ahead, behind = "on the left", "on the right"
	case "steer/drag_link":
		ahead, behind = "at the horn", "away from the horn"
	}
	if l.Rod != nil && l.Rod.Item != "" {
		thread := ""
		if item, ok := o.b.Item(l.Rod.Item); ok && item.Rod != nil {
			thread = item.Rod.Thread
		}
		how, says := "kind: rod", "rod: any of the bins"
		if thread != "" {
			how += ", thread: " + rig.Scalar(thread)
			says += " with " + thread
		}
		o.add("link", name, "rod", says, o.kind("rod", thread, ""), at+"/rod/item", how)
	}
	out := 0.0
	if len(l.Ends) == 2 {
		thread := ""
		for _, id := range l.Ends {
			if item, ok := o.b.Item(id); ok && item.End != nil {
				thread = item.End.Thread
				if item.End.Out != nil {
					out += float64(*item.End.Out)
				}
			}
		}
		how, says := "kind: rod end", "rod ends, both alike: any of the bins"
		if thread != "" {
			how += ", thread: " + rig.Scalar(thread)
			says += " with " + thread
		}
		n := o.kind("rod end", thread, "")
		if l.Ends[0] == l.Ends[1] {
			o.add("link", name, "ends", says, n, at+"/ends/0", how, at+"/ends/1")
		} else {
			o.add("link", name, "end ahead", strings.Replace(says, "rod ends, both alike", "rod end "+ahead, 1), n, at+"/ends/0", how)
			o.add("link", name, "end behind", strings.Replace(says, "rod ends, both alike", "rod end "+behind, 1), n, at+"/ends/1", how)
		}
		pitch, known := rig.Pitch(thread)
		most := 8.0
		if known && out > 0 {
			most = math.Floor(out/pitch + 1e-9)
		}
		if l.Turns != nil || l.Rod != nil {
			o.add("link", name, "turns", fmt.Sprintf("turns: 0 to %.0f, one by one", most), int(most)+1, at+"/turns", fmt.Sprintf("from: 0, to: %.0f, step: 1", most))
		}
	}
	if l.Length != nil && l.Rod == nil {
		v := math.Round(float64(*l.Length))
		o.add("link", name, "length", fmt.Sprintf("length: %.0f to %.0f mm by 1 mm", v-10, v+10), 21, at+"/length", fmt.Sprintf("from: %g mm, to: %g mm, step: 1 mm", v-10, v+10))
	}
	if r.Steer {
		return
	}
	o.hole("link", name, "chassis hole", l.From, at+"/from")
	o.hole("link", name, "axle hole", l.To, at+"/to")
}

// hole offers the holes of the part whose names begin alike: rear upper low, rear upper high; shock 1, shock 2, shock 3.
func (o *offering) hole(kind, of, what string, ref rig.Ref, change string) {
	part, hole := ref.Split()
	p, ok := o.part(part)
	if !ok {
		return
	}
	words := strings.Fields(hole)
	for n := len(words); n > 0; n-- {
		named := strings.Join(words[:n], " ")
		if n == 1 && (named == "front" || named == "rear") {
			return // that leads from lower to upper ones
		}
		count := 0
		for _, h := range p.Holes.Names() {
			if strings.Contains(h, named) {
				count++
			}
		}
		if count > 1 {
			o.add(kind, of, what, fmt.Sprintf("%s: the %d holes of %s called %s…", what, count, part, named), count, change, "holes_of: "+rig.Scalar(part)+", named: "+rig.Scalar(named))
			return
		}
	}
}

func (o *offering) part(name string) (*rig.Part, bool) {
	for _, list := range o.lists() {
		if p, ok := list.of.Get(name); ok {
			return p, true
		}
	}
	return nil, false
}

type parts struct {
	at string
	of rig.Map[rig.Part]
}

func (o *offering) lists() []parts {
	out := []parts{{"chassis/parts/", o.b.Doc.Chassis.Parts}}
	if a := o.b.Doc.Front; a != nil {
		out = append(out, parts{"front/parts/", a.Parts})
	}
	if a := o.b.Doc.Rear; a != nil {
		out = append(out, parts{"rear/parts/", a.Parts})
	}
	return out
}

func (o *offering) shock(name string, s *rig.Shock) {
	at, of := "shocks/"+name, name
	if _, taken := o.b.Doc.Links.Get(name); taken {
		of += " shock"
	} else if !strings.Contains(name, "shock") {
		of += " shock"
	}
	if s.Item != "" {
		o.add("shock", of, "body", "shock: any of the bins", o.kind("shock", "", ""), at+"/item", "kind: shock")
	}
	o.hole("shock", of, "upper hole", s.Top, at+"/top")
	o.hole("shock", of, "lower hole", s.Bottom, at+"/bottom")
	if len(s.Springs) == 1 && s.Springs[0].Item != "" {
		o.add("shock", of, "spring", "spring: any of the bins", o.kind("spring", "", ""), at+"/springs/0/item", "kind: spring")
	}
	if s.Collar != nil {
		o.add("shock", of, "collar", "collar: 0 to 12 mm by 1 mm", 13, at+"/collar", "from: 0 mm, to: 12 mm, step: 1 mm")
	}
	if s.Set != nil {
		v := math.Round(float64(*s.Set))
		o.add("shock", of, "set length", fmt.Sprintf("set length: %.0f to %.0f mm by 2 mm", v-6, v+6), 7, at+"/set", fmt.Sprintf("from: %g mm, to: %g mm, step: 2 mm", v-6, v+6))
	}
}

func (o *offering) pinion() {
	d := o.b.Doc.Drive
	if d == nil || len(d.Stages) == 0 || len(d.Stages[0]) == 0 {
		return
	}
	name := d.Stages[0][0]
	p, ok := o.b.Doc.Chassis.Parts.Get(name)
	if !ok || p.Item == "" {
		return
	}
	steps := strings.Split(p.Item, "-")
	named := strings.Join(steps[:min(2, len(steps))], "-")
	o.add("drive", name, "", "pinion: those of the bins called "+named+"…", o.kind("gear", "", named), "chassis/parts/"+name+"/item", "kind: gear, named: "+rig.Scalar(named))
}

func (o *offering) tyres() {
	var at []string
	item := ""
	for _, list := range o.lists()[1:] {
		for i := range list.of {
			p := &list.of[i]
			if p.Value.Kind == "tyre" && p.Value.Item != "" && (item == "" || item == p.Value.Item) {
				item = p.Value.Item
				at = append(at, list.at+p.Name+"/item")
			}
		}
	}
	if len(at) > 0 {
		o.add("wheels", "tyres", "", "tyres, all alike: any of the bins", o.kind("tyre", "", ""), at[0], "kind: tyre", slices.Clone(at[1:])...)
	}
}

func (o *offering) battery() {
	for i := range o.b.Doc.Chassis.Parts {
		p := &o.b.Doc.Chassis.Parts[i]
		if p.Value.Kind != "battery" && (o.b.Doc.Drive == nil || o.b.Doc.Drive.Battery != p.Name) || p.Value.At == nil {
			continue
		}
		v := *p.Value.At
		var places []string
		for _, dx := range []float64{-20, -10, 10, 20} {
			places = append(places, fmt.Sprintf("[%g, %g, %g]", float64(v[0])+dx, float64(v[1]), float64(v[2])))
		}
		o.add("weight", p.Name, "place", "place: 10 and 20 mm further back or forward", 5, "chassis/parts/"+p.Name+"/at", "among: ["+strings.Join(places, ", ")+"]")
	}
}
