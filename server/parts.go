package server

import (
	"context"
	"net/http"
	"strings"

	"github.com/danielgtaylor/huma/v2"

	"lowslung/rig"
	"lowslung/solid"
)

// Assembly is a set of parts that move together, or all links, rods of the steering, shocks or shafts.
type Assembly struct {
	Word  string  `json:"word" enum:"chassis,front,rear,links,steer,shocks,shafts" doc:"Which"`
	MassG float64 `json:"mass_g" doc:"Sum of the weights given, twins of pairs included"`
	Parts []Part  `json:"parts" nullable:"false" doc:"In the order of the document"`
}

// Part is one part, link, shock or shaft as the document has it.
type Part struct {
	Path      []string          `json:"path" nullable:"false" doc:"Keys that lead to it: chassis, parts, belly"`
	Name      string            `json:"name" doc:"The builder's name for it"`
	Kind      string            `json:"kind" doc:"Kind of part; link, shock or shaft for those"`
	Item      string            `json:"item" doc:"Bin item whose fields are its defaults; empty without one"`
	Pair      bool              `json:"pair" doc:"It has a mirror twin"`
	MassG     *float64          `json:"mass_g" doc:"Weight of one; null when none is given"`
	MassFrom  string            `json:"mass_from" enum:"document,item,none" doc:"Where the weight is written"`
	AtMM      []float64         `json:"at_mm" doc:"Its origin in the frame it sits in; null when it is a link, shock or shaft, or no place is written"`
	On        string            `json:"on" doc:"Part whose frame it sits in; empty for the assembly's own"`
	Holes     []PartHole        `json:"holes" nullable:"false" doc:"Holes and eyes it offers, in its own frame"`
	Inherited bool              `json:"inherited" doc:"This document says nothing of it: it comes from the base"`
	Text      map[string]string `json:"text" doc:"Its values as written, each on one line, by key"`
}

// PartHole is a hole in its part's frame. Of a hole on a link, at_mm is along, sideways (0), rise.
type PartHole struct {
	Name string    `json:"name" doc:"Name of the hole"`
	AtMM []float64 `json:"at_mm" nullable:"false" doc:"Centre: forward, left, up"`
	Pair bool      `json:"pair" doc:"It has a mirror twin"`
	Bolt string    `json:"bolt" doc:"Bolt that goes through"`
}

func (s *Server) routeParts(api huma.API) {
	huma.Register(api, operation("list-parts", http.MethodGet, "/api/rigs/{id}/parts", "What the rig is made of, with weights and sums"), s.parts)
}

type partsOut struct {
	Body struct {
		Assemblies []Assembly `json:"assemblies" nullable:"false" doc:"Chassis, axles, links, shocks and shafts that the document has"`
	}
}

func (s *Server) parts(ctx context.Context, in *RigID) (*partsOut, error) {
	l, err := s.load(ctx, in.ID)
	if err != nil {
		return nil, err
	}
	out := &partsOut{}
	out.Body.Assemblies, err = partsOf(l)
	return out, s.wrong(ctx, err)
}

func partsOf(l *asked) ([]Assembly, error) {
	own, err := rig.Parse(l.Build.File, l.Texts[l.Build.File])
	if err != nil {
		return nil, err
	}
	p := &parter{own: own, tree: l.Build.Tree, list: []Assembly{}}
	doc := l.Build.Doc
	p.assembly("chassis", doc.Chassis.Parts)
	if doc.Front != nil {
		p.assembly("front", doc.Front.Parts)
	}
	if doc.Rear != nil {
		p.assembly("rear", doc.Rear.Parts)
	}
	p.links(doc.Links)
	p.steer(doc, l.Model)
	p.shocks(doc.Shocks)
	p.shafts(doc.Shafts)
	p.weigh(l.Model)
	return p.list, nil
}

// A parter gathers parts. Own is the tree of this document alone, tree the one with its bases.
type parter struct {
	own, tree *rig.Node
	list      []Assembly
}

// begin is what all kinds have in common. A weight that the document does not have itself comes from an item.
func (p *parter) begin(name, kind string, pair bool, mass *float64, path ...string) Part {
	part := Part{Path: path, Name: name, Kind: kind, Pair: pair, MassFrom: "none", Holes: []PartHole{}, Inherited: p.own.At(path...) == nil, Text: map[string]string{}}
	written := p.tree.At(path...)
	if item := written.Get("item"); item != nil {
		part.Item = item.Text
	}
	if mass != nil {
		g := *mass * 1000
		part.MassG, part.MassFrom = &g, "item"
		if written.Get("mass") != nil {
			part.MassFrom = "document"
		}
	}
	if written != nil {
		for _, k := range written.Keys {
			if k.Value.Kind == rig.ScalarNode || k.Value.Kind == rig.ListNode {
				part.Text[k.Name] = k.Value.Line()
			}
		}
	}
	return part
}

func (p *parter) add(word string, parts []Part) {
	if len(parts) > 0 {
		p.list = append(p.list, Assembly{Word: word, Parts: parts})
	}
}

func (p *parter) assembly(word string, parts rig.Map[rig.Part]) {
	var list []Part
	for i := range parts {
		e := &parts[i].Value
		part := p.begin(parts[i].Name, e.Kind, e.Pair, (*float64)(e.Mass), word, "parts", parts[i].Name)
		part.On = e.On
		if e.At != nil {
			part.AtMM = vec(*e.At)
		}
		for _, h := range e.Holes {
			part.Holes = append(part.Holes, PartHole{h.Name, vec(h.Value.At), h.Value.Pair, h.Value.Bolt})
		}
		list = append(list, part)
	}
	p.add(word, list)
}

func (p *parter) links(links rig.Map[rig.Link]) {
	var list []Part
	for i := range links {
		e := &links[i].Value
		part := p.begin(links[i].Name, "link", e.Pair, (*float64)(e.Mass), "links", links[i].Name)
		for _, h := range e.Holes {
			part.Holes = append(part.Holes, PartHole{Name: h.Name, AtMM: []float64{float64(h.Value.Along), 0, float64(h.Value.Rise)}})
		}
		list = append(list, part)
	}
	p.add("links", list)
}

// steer lists the rods of the steering, as far as the document says what they are.
func (p *parter) steer(doc *rig.Document, m *solid.Model) {
	var list []Part
	for _, r := range []struct {
		name, key string
		rod       *solid.Rod
	}{{"tie rod", "tie_rod", &m.Steer.Tie}, {"drag link", "drag_link", &m.Steer.Link}} {
		if r.rod.Said() {
			var mass *float64
			if r.rod.HasMass {
				mass = &r.rod.Mass
			}
			list = append(list, p.begin(r.name, "link", false, mass, "steer", r.key))
		}
	}
	p.add("steer", list)
}

func (p *parter) shocks(shocks rig.Map[rig.Shock]) {
	var list []Part
	for i := range shocks {
		e := &shocks[i].Value
		list = append(list, p.begin(shocks[i].Name, "shock", e.Pair, (*float64)(e.Mass), "shocks", shocks[i].Name))
	}
	p.add("shocks", list)
}

func (p *parter) shafts(shafts rig.Map[rig.Shaft]) {
	var list []Part
	for i := range shafts {
		list = append(list, p.begin(shafts[i].Name, "shaft", false, (*float64)(shafts[i].Value.Mass), "shafts", shafts[i].Name))
	}
	p.add("shafts", list)
}

// weigh fills in what only the resolved model knows: the weight of a link from its rod and ends, and the sums.
func (p *parter) weigh(m *solid.Model) {
	one := map[string]float64{}
	sums := map[string]float64{}
	weigh := func(path string, kg float64, has bool) {
		if has {
			one[path] = kg * 1000
			word, _, _ := strings.Cut(path, "/")
			sums[word] += kg * 1000
		}
	}
	for i := range m.Bodies {
		weigh(m.Bodies[i].Path, m.Bodies[i].Mass, m.Bodies[i].HasMass)
	}
	for i := range m.Links {
		weigh(m.Links[i].Path, m.Links[i].Mass, m.Links[i].HasMass)
	}
	if k, ok := m.Steer.Span(); ok {
		weigh(k.Path, k.Mass, k.Has)
	}
	for i := range m.Shocks {
		weigh(m.Shocks[i].Path, m.Shocks[i].Mass, m.Shocks[i].HasMass)
	}
	for i := range m.Shafts {
		weigh(m.Shafts[i].Path, m.Shafts[i].Mass, m.Shafts[i].HasMass)
	}
	for i := range p.list {
		a := &p.list[i]
		a.MassG = sums[a.Word]
		for k := range a.Parts {
			part := &a.Parts[k]
			if g, ok := one[strings.Join(part.Path, "/")]; ok && part.MassG == nil {
				part.MassG, part.MassFrom = &g, "item"
			}
		}
	}
}

func vec(v rig.Vec) []float64 { return []float64{float64(v[0]), float64(v[1]), float64(v[2])} }
