package shop

import (
	"math"

	"lowslung/finding"
	"lowslung/quantity"
	"lowslung/rig"
	"lowslung/solid"
)

// A Cut is the cut list: what each link is made of and how it is set.
type Cut struct {
	Links    []CutLink         `json:"links" nullable:"false" doc:"Each link, in the order of the document, then tie rod and drag link where it says what they are made of"`
	Rods     []CutRod          `json:"rods" nullable:"false" doc:"Rods to cut or to take from the drawer, equal ones together"`
	Assumes  []string          `json:"assumes" nullable:"false" doc:"What was assumed"`
	Cautions []string          `json:"cautions" nullable:"false" doc:"Before you cut"`
	Findings []finding.Finding `json:"findings" nullable:"false" doc:"What the document does not say, and what cannot be made as it says"`
}

// A CutLink is one link of the list. Lengths that the document does not give are null.
type CutLink struct {
	Name       string        `json:"name" doc:"Builder's name"`
	Path       string        `json:"path" doc:"Path in the document"`
	Axle       string        `json:"axle" enum:"front,rear" doc:"Axle it holds"`
	Count      int           `json:"count" doc:"How many to make"`
	Mirrored   bool          `json:"mirrored" doc:"One of two is made the other way round, because it is bent sideways"`
	EyeToEyeMM *float64      `json:"eye_to_eye_mm" doc:"What to set it to, centre to centre of the eyes"`
	Written    bool          `json:"written" doc:"The length was written; otherwise rod, ends and turns make it"`
	RodItem    string        `json:"rod_item" doc:"Bin item of the rod; empty when none is named"`
	RodTitle   string        `json:"rod_title" doc:"What a shop would call the rod; empty when not known"`
	RodMM      *float64      `json:"rod_mm" doc:"Length of the bare rod, as bought or as written"`
	CutMM      *float64      `json:"cut_mm" doc:"Length to cut the rod to, before it is bent"`
	DiameterMM *float64      `json:"diameter_mm" doc:"Of the rod"`
	BoreMM     *float64      `json:"bore_mm" doc:"Of a tube; null for a solid rod"`
	Material   string        `json:"material" doc:"Of the rod; empty when not known"`
	Thread     string        `json:"thread" doc:"In both ends of the rod; empty when not known"`
	Turns      *float64      `json:"turns" doc:"Turns that the two ends are unscrewed from fully home, both together"`
	Ends       []CutEnd      `json:"ends" nullable:"false" doc:"Both rod ends in the order of end_names; empty when the document names none"`
	EndNames   []string      `json:"end_names" nullable:"false" doc:"What the two ends are called: chassis and axle; of a tie rod left and right, of a drag link horn and far"`
	Bends      []CutBend     `json:"bends" nullable:"false" doc:"In order from the chassis end"`
	Strength   *LinkStrength `json:"strength" doc:"What it stands under the usual loads, estimates: see shop strength"`
	Missing    []string      `json:"missing" nullable:"false" doc:"Keys that would complete this line"`
}

// A CutEnd is one rod end of a link.
type CutEnd struct {
	Item     string   `json:"item" doc:"Bin item"`
	Title    string   `json:"title" doc:"What a shop would call it"`
	AddsMM   float64  `json:"adds_mm" doc:"Eye centre to rod face, fully home"`
	Turns    *float64 `json:"turns" doc:"Turns out of fully home: its share of the link's"`
	OutMM    *float64 `json:"out_mm" doc:"The same in length: what stands between its shoulder and the rod"`
	MostMM   *float64 `json:"most_out_mm" doc:"How far it may be out and still hold"`
	ThreadMM *float64 `json:"thread_mm" doc:"Depth of thread that the rod needs at this end: an estimate, see assumes"`
	HoldsMM  *float64 `json:"holds_mm" doc:"Thread that is in the rod as it is set: an estimate, see assumes"`
}

// A CutBend is one bend.
type CutBend struct {
	MarkMM   *float64 `json:"mark_mm" doc:"Middle of the bend on the straight rod, from its chassis end; null when the rod is not known"`
	AngleDeg float64  `json:"angle_deg" doc:"How far the rod turns there"`
	Towards  string   `json:"towards" doc:"Which way the axle end goes, in words"`
	ClockDeg float64  `json:"clock_deg" doc:"The same as an angle round the rod, seen from the chassis end along it, clockwise from up"`
	RadiusMM float64  `json:"radius_mm" doc:"Of the rod's middle line: an assumption"`
	AlongMM  float64  `json:"along_mm" doc:"Place of its corner, as the document has it: along the line between the eyes"`
	RiseMM   float64  `json:"rise_mm" doc:"Off that line, up"`
	SideMM   float64  `json:"side_mm" doc:"Off that line, left"`
}

// A CutRod is a pile of equal rods.
type CutRod struct {
	Count      int      `json:"count" doc:"How many"`
	Item       string   `json:"item" doc:"Bin item; empty when it is cut from stock"`
	CutMM      float64  `json:"cut_mm" doc:"Length"`
	DiameterMM *float64 `json:"diameter_mm" doc:"Diameter"`
	Material   string   `json:"material" doc:"Material"`
	Thread     string   `json:"thread" doc:"In both ends"`
	For        []string `json:"for" nullable:"false" doc:"Links"`
}

const (
	holdsTurns = 2. // diameters of thread that are left in the rod when an end is out as far as it may: what the bin's "out" is chosen by, common practice
	bendRadius = 3. // diameters of the rod, to its middle line, that a rod bends round without a dent: common practice
)

var cutAssumes = []string{
	"Both ends are unscrewed by the same, half of the turns each, unless one of them may not go as far.",
	"Thread depth is what lets a rod end go fully home and leaves 2 diameters of thread in the rod when it is out as far as its bin item allows: an estimate. Measure the shank of yours.",
	"A bend runs round 3 diameters of the rod, measured to its middle line; the cut length has the round of the corners taken off.",
}

// cutCautions are common practice.
var cutCautions = []string{
	"Glasses on while you cut, grind and drill: chips of titanium and steel fly hot.",
	"Break the edges of what you cut before you run a thumb along them.",
	"Hold a short rod in a vice or a clamp while you drill and tap it, never in the hand.",
	"Carbon tube: wet-cut, mask on. Its dust is for nobody's lungs and it conducts.",
}

// CutOf makes the cut list of a build.
func CutOf(b *rig.Build, m *solid.Model) Cut {
	out := Cut{Links: []CutLink{}, Rods: []CutRod{}, Assumes: cutAssumes, Cautions: cutCautions, Findings: []finding.Finding{}}
	strength := StrengthOf(m, StrengthOptions{Units: quantity.Metric})
	rods := b.Doc.Rodded()
	for i := range rods {
		l, f := cutLink(b, m, &rods[i])
		l.Strength = strength.Link(rods[i].Path)
		out.Links = append(out.Links, l)
		out.Findings = append(out.Findings, f...)
		out.pile(&l)
	}
	if len(rods) == 0 {
		out.Findings = append(out.Findings, finding.New(finding.Note, "shop/no-links", `the document has no "links", so there is nothing to cut`))
	}
	finding.Sort(out.Findings)
	return out
}

func (c *Cut) pile(l *CutLink) {
	if l.CutMM == nil {
		return
	}
	for i := range c.Rods {
		r := &c.Rods[i]
		if r.Item == l.RodItem && math.Abs(r.CutMM-*l.CutMM) < 0.05 && same(r.DiameterMM, l.DiameterMM) && r.Material == l.Material {
			r.Count += l.Count
			r.For = append(r.For, l.Name)
			return
		}
	}
	c.Rods = append(c.Rods, CutRod{Count: l.Count, Item: l.RodItem, CutMM: *l.CutMM, DiameterMM: l.DiameterMM, Material: l.Material, Thread: l.Thread, For: []string{l.Name}})
}

func same(a, b *float64) bool { return a == b || a != nil && b != nil && *a == *b }

func at[T ~float64](v T) *float64 {
	f := float64(v)
	return &f
}

func length(p *quantity.Length) *float64 {
	if p == nil {
		return nil
	}
	return at(*p)
}

func cutLink(b *rig.Build, m *solid.Model, r *rig.Rodded) (CutLink, []finding.Finding) {
	name, path, l := r.Name, r.Path, r.Link
	out := CutLink{Name: name, Path: path, Axle: l.Axle, Count: 1, Ends: []CutEnd{}, Bends: []CutBend{}, Missing: []string{}, Written: l.Length != nil}
	names := rig.EndNames(path)
	out.EndNames = names[:]
	if l.Pair {
		out.Count = 2
	}
	if v, ok := b.LinkLength(l); ok {
		out.EyeToEyeMM = at(v)
	}
	out.rod(b, l)
	out.ends(b, l)
	var found []finding.Finding
	out.lengths(l)
	found = append(found, out.bends(m, l)...)
	if len(out.Missing) > 0 {
		keys := ""
		for i, k := range out.Missing {
			if i > 0 {
				keys += ", "
			}
			keys += `"` + k + `"`
		}
		found = append(found, finding.New(finding.Note, "shop/link-parts",
			"the cut list of the link %q is not complete: the document does not say %s", name, keys).For(path).CuredBy("name the rod and the two rod ends by their bin items"))
	}
	return out, found
}

func (c *CutLink) rod(b *rig.Build, l *rig.Link) {
	c.DiameterMM = length(l.Width)
	if l.Rod == nil {
		c.Missing = append(c.Missing, c.Path+"/rod")
		return
	}
	c.RodMM = length(l.Rod.Length)
	c.RodItem = l.Rod.Item
	if item, ok := b.Item(l.Rod.Item); ok && item.Rod != nil {
		if c.RodMM == nil {
			c.RodMM = at(item.Rod.Length)
		}
		c.RodTitle = item.Title
		c.DiameterMM, c.Material, c.Thread = at(item.Rod.Diameter), item.Material, item.Rod.Thread
		if item.Rod.Bore != nil && *item.Rod.Bore > 0 {
			c.BoreMM = length(item.Rod.Bore)
		}
	}
}

func (c *CutLink) ends(b *rig.Build, l *rig.Link) {
	for _, id := range l.Ends {
		item, ok := b.Item(id)
		if !ok || item.End == nil {
			continue
		}
		e := CutEnd{Item: id, Title: item.Title, AddsMM: float64(item.End.Adds), MostMM: length(item.End.Out)}
		if c.Thread == "" {
			c.Thread = item.End.Thread
		}
		if d, ok := rig.ThreadSize(item.End.Thread); ok && e.MostMM != nil {
			e.ThreadMM = at(holdsTurns*d + *e.MostMM)
		}
		c.Ends = append(c.Ends, e)
	}
	if len(c.Ends) != 2 {
		c.Missing = append(c.Missing, c.Path+"/ends")
	}
}

// lengths works out which of rod, ends, turns and length the others settle.
func (c *CutLink) lengths(l *rig.Link) {
	if len(c.Ends) != 2 {
		c.CutMM = c.RodMM
		return
	}
	home := c.Ends[0].AddsMM + c.Ends[1].AddsMM
	pitch, known := rig.Pitch(c.Thread)
	switch {
	case l.Turns != nil:
		c.Turns = at(*l.Turns)
	case c.RodMM != nil && c.Written && known:
		c.Turns = at(max(0, (*c.EyeToEyeMM-*c.RodMM-home)/pitch))
	case c.RodMM != nil && !c.Written:
		c.Turns = at(0.)
	}
	if c.RodMM == nil && c.EyeToEyeMM != nil { // no rod named: what is left between the ends, fully home
		out := 0.0
		if c.Turns != nil && known {
			out = *c.Turns * pitch
		} else if c.Turns == nil {
			c.Turns = at(0.)
		}
		if v := *c.EyeToEyeMM - home - out; v > 0 {
			c.CutMM = at(v)
		}
	} else {
		c.CutMM = c.RodMM
	}
	if c.Turns == nil || !known && *c.Turns != 0 {
		return
	}
	for i := range c.Ends {
		e, other := &c.Ends[i], &c.Ends[1-i]
		turns := *c.Turns / 2
		if e.MostMM != nil && other.MostMM != nil { // the one that may go further takes what the other cannot
			if most := *e.MostMM / pitch; turns > most {
				turns = most
			} else if rest := turns - *other.MostMM/pitch; rest > 0 {
				turns += rest
			}
		}
		e.Turns, e.OutMM = at(turns), at(turns*pitch)
		if e.ThreadMM != nil {
			e.HoldsMM = at(*e.ThreadMM - *e.OutMM)
		}
	}
}
