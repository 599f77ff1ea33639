package sheet

import (
	"fmt"
	"strings"

	"lowslung/balance"
	"lowslung/quantity"
	"lowslung/rig"
	"lowslung/solid"
)

// The groups that weights are summed in, by the beginning of their path.
var groups = [...]struct{ path, title string }{
	{"chassis/", "On the chassis"}, {"front/", "Front axle"}, {"rear/", "Rear axle"}, {"links/", "Links"}, {"steer/", "Steering rods"}, {"shocks/", "Shocks"}, {"shafts/", "Drive shafts"},
}

func (w *writer) parts() []Block {
	mm, g := w.unit(quantity.DimLength), w.unit(quantity.DimMass)
	t := &Table{Columns: []Column{{Title: "Part", Share: 2}, {Title: "What it is", Share: 3}, {Title: "Weight " + g, Num: true},
		{Title: "Forward " + mm, Num: true}, {Title: "Left " + mm, Num: true}, {Title: "Up " + mm, Num: true}}}
	weight := func(v float64) string { return w.bare(quantity.DimMass, v/1000, 1) }
	for _, k := range groups {
		sum, head := 0.0, len(t.Rows)
		t.Rows = append(t.Rows, Row{Group: true, Cells: []string{k.title}})
		for i := range w.a.Balance.Parts {
			p := &w.a.Balance.Parts[i]
			if !strings.HasPrefix(p.Path, k.path) {
				continue
			}
			sum += p.MassG
			t.Rows = append(t.Rows, Row{Cells: append([]string{p.Name, w.what(p), weight(p.MassG)}, w.place(p)...)})
		}
		if len(t.Rows) == head+1 {
			t.Rows = t.Rows[:head]
			continue
		}
		t.Rows[head].Cells = []string{k.title, "", weight(sum), "", "", ""}
	}
	if t.Rows == nil {
		return nil
	}
	c := w.a.Balance.CenterOfMassMM
	t.Rows = append(t.Rows, Row{Sum: true, Cells: append([]string{"All, and its centre of mass", "", weight(w.a.Balance.MassKG * 1000)},
		w.place(&balance.Weight{AtMM: c})...)})
	out := []Block{{Text: "Weights as written in the document, both of a pair together; places from the chassis frame's origin, standing."}, {Table: t}}
	return append(out, w.weightless()...)
}

func (w *writer) place(p *balance.Weight) []string {
	out := []string{"–", "–", "–"}
	for i, v := range p.AtMM {
		out[i] = w.bare(quantity.DimLength, v, 0)
	}
	return out
}

// what a part is: what a shop would call it, or its kind.
func (w *writer) what(p *balance.Weight) string {
	switch section, name, _ := strings.Cut(p.Path, "/"); section {
	case "links", "shafts", "shocks":
		for i := range w.b.Model.Links {
			if l := &w.b.Model.Links[i]; l.Path == p.Path {
				return "link" + twice(l.Side)
			}
		}
		if k, ok := w.doc().Shocks.Get(name); ok && section == "shocks" {
			text := "shock"
			if k.Item != "" {
				text = w.item(k.Item)
			}
			if k.Pair {
				text = "2 × " + text
			}
			return text
		}
		if k, ok := w.doc().Shafts.Get(name); ok && section == "shafts" && k.Item != "" {
			return w.item(k.Item)
		}
		return ""
	}
	if strings.HasPrefix(p.Path, "steer/") {
		return "steering rod"
	}
	if d := w.placed(p.Path); d != nil {
		return w.called(d)
	}
	return ""
}

// placed is the part at a path of the model: chassis/parts/belly.
func (w *writer) placed(path string) *rig.Part {
	section, rest, _ := strings.Cut(path, "/")
	_, name, _ := strings.Cut(rest, "/")
	list := w.doc().Chassis.Parts
	for _, a := range []*rig.Axle{w.doc().Front, w.doc().Rear} {
		if a != nil && (section == "front") == (a == w.doc().Front) && section != "chassis" {
			list = a.Parts
		}
	}
	p, _ := list.Get(name)
	return p
}

func twice(s solid.Side) string {
	if s == solid.Single {
		return ""
	}
	return "s, left and right"
}

// weightless are the parts that are in no sum.
func (w *writer) weightless() []Block {
	var list []string
	for _, p := range w.a.Balance.Weightless {
		text := p.Name
		if p.EstimateG != nil {
			text += fmt.Sprintf(": about %s, an estimate from %s", w.in(quantity.DimMass, *p.EstimateG/1000), p.EstimateOf)
		}
		list = append(list, text)
	}
	if list == nil {
		return nil
	}
	return []Block{{Text: "Without a weight, and in no sum:"}, {List: list}}
}
