package search

import (
	"fmt"
	"strings"

	"lowslung/quantity"
	"lowslung/rig"
)

// A choice is one thing that may change, with everything it may become.
type choice struct {
	name   string
	paths  [][]string // keys that lead there
	texts  []string   // the same in words
	values []*rig.Node
	place  rig.Place
	owner  string // "links/NAME" or "shocks/NAME" when it changes one of them only in ways that leave the rest alone; "" otherwise
	free   *scale // any value between will do; values are where the search begins
}

// choicesOf reads what may change. What the document has now comes first among the values.
func choicesOf(b *rig.Build) ([]choice, rig.Diagnostics) {
	var out []choice
	var bad rig.Diagnostics
	taken := map[string]string{}
	for i := range b.Doc.Search.Vary {
		e := &b.Doc.Search.Vary[i]
		c := choice{name: e.Name, place: e.Place, texts: append([]string{e.Value.Change}, e.Value.Also...)}
		for _, text := range c.texts {
			keys, _, wrong := rig.PathOf(b.Full(), text)
			if wrong != "" {
				bad = append(bad, rig.Diagnostic{Code: "no-such-path", Place: e.Place, Text: fmt.Sprintf("found the path %q, %s", text, wrong)})
				continue
			}
			at := strings.Join(keys, "\x00")
			for other, by := range taken {
				if other == at || strings.HasPrefix(other, at+"\x00") || strings.HasPrefix(at, other+"\x00") {
					bad = append(bad, rig.Diagnostic{Code: "choice-form", Place: e.Place, Text: fmt.Sprintf(
						"found the choices %q and %q for the same place in the document, %s; expected one of them", by, e.Name, text)})
				}
			}
			taken[at] = e.Name
			c.paths = append(c.paths, keys)
		}
		if len(c.paths) < len(c.texts) {
			continue
		}
		if wrong := c.read(b, &e.Value); wrong != "" {
			bad = append(bad, rig.Diagnostic{Code: "empty-choice", Place: e.Place, Text: wrong})
			continue
		}
		c.owner = c.owned()
		out = append(out, c)
	}
	if len(out) == 0 && len(bad) == 0 {
		bad = append(bad, rig.Diagnostic{Code: "empty-space", Place: b.Doc.Search.Place, Text: `found nothing that may change in "search", expected choices under "vary", such as rear rods: {change: links/rear lower/rod/item, kind: rod}`})
	}
	return out, bad
}

// read lists the values of a choice; the text says what is wrong when there are none.
func (c *choice) read(b *rig.Build, from *rig.Choice) string {
	now := rig.At(b.Full(), c.paths[0])
	add := func(n *rig.Node) {
		for _, v := range c.values {
			if len(rig.Diff(v, n)) == 0 {
				return
			}
		}
		c.values = append(c.values, n)
	}
	put := func(text string) { add(&rig.Node{Kind: rig.ScalarNode, Text: text, Place: c.place}) }
	if now == nil {
		now = &rig.Node{Kind: rig.NullNode, Text: "null", Place: c.place}
	}
	if from.Among == nil || from.Among[0].Node.Kind != rig.MapNode {
		add(now)
	} else {
		add(&rig.Node{Kind: rig.MapNode, Place: c.place}) // changes nothing
	}
	switch {
	case from.Among != nil:
		for _, v := range from.Among {
			add(v.Node)
		}
	case from.Kind != "":
		found := false
		for _, bin := range b.Bins {
			for i := range bin.Items {
				it := &bin.Items[i]
				if it.Value.Kind == from.Kind && (from.Thread == "" || threadOf(&it.Value) == from.Thread) &&
					(!from.Drawer || it.Value.Have != nil && *it.Value.Have > 0) && strings.Contains(it.Name, from.Named) {
					put(it.Name)
					found = true
				}
			}
		}
		if !found {
			return fmt.Sprintf("found no bin item of kind %s for the choice %q%s, expected at least one; name a bin that has some under bins", from.Kind, c.name, narrowed(from))
		}
	case from.Holes != "":
		part, ok := partOf(b.Doc, from.Holes)
		if !ok || len(part.Holes) == 0 {
			text := fmt.Sprintf("found no hole of %q for the choice %q, expected a part that has holes", from.Holes, c.name)
			if near := rig.Nearest(from.Holes, partsOf(b.Doc)); near != "" {
				text += fmt.Sprintf("; did you mean %q?", near)
			}
			return text
		}
		found := false
		for _, h := range part.Holes.Names() {
			if strings.Contains(h, from.Named) {
				put(from.Holes + "/" + h)
				found = true
			}
		}
		if !found {
			return fmt.Sprintf("found no hole of %q with %q in its name for the choice %q, expected one of %s", from.Holes, from.Named, c.name, strings.Join(part.Holes.Names(), ", "))
		}
	default:
		lo, unit, _ := quantity.Split(from.From.Text)
		hi, _, _ := quantity.Split(from.To.Text)
		if from.Step == nil {
			c.free = scaleOf(lo, hi, unit)
			for i := range begins + 1 {
				put(c.free.text(i * c.free.most / begins))
			}
			return ""
		}
		step, _, _ := quantity.Split(from.Step.Text)
		for k := 0; ; k++ {
			v := lo + float64(k)*step
			if v > hi+1e-9*step {
				break
			}
			put(written(v, unit))
		}
	}
	return ""
}

func narrowed(from *rig.Choice) string {
	text := ""
	if from.Thread != "" {
		text += " with the thread " + from.Thread
	}
	if from.Named != "" {
		text += fmt.Sprintf(" with %q in its name", from.Named)
	}
	if from.Drawer {
		text += " in the drawer"
	}
	return text
}

func threadOf(p *rig.Part) string {
	switch {
	case p.Rod != nil:
		return p.Rod.Thread
	case p.End != nil:
		return p.End.Thread
	case p.Screw != nil:
		return p.Screw.Thread
	}
	return ""
}

func partOf(d *rig.Document, name string) (*rig.Part, bool) {
	if p, ok := d.Chassis.Parts.Get(name); ok {
		return p, true
	}
	for _, a := range []*rig.Axle{d.Front, d.Rear} {
		if a != nil {
			if p, ok := a.Parts.Get(name); ok {
				return p, true
			}
		}
	}
	return nil, false
}

func partsOf(d *rig.Document) []string {
	out := d.Chassis.Parts.Names()
	for _, a := range []*rig.Axle{d.Front, d.Rear} {
		if a != nil {
			out = append(out, a.Parts.Names()...)
		}
	}
	return out
}

// alone lists the keys of links and shocks that concern nothing else in the document.
var alone = map[string][]string{
	"links":  {"from", "to", "length", "rod", "ends", "turns", "mass"},
	"shocks": {"item", "top", "bottom", "set", "mass", "springs", "above_piston", "below_piston", "collar", "open", "closed", "oil", "piston", "bore", "rod"},
}

// owned says which link or shock the choice changes, when it is one only.
func (c *choice) owned() string {
	owner := ""
	for _, p := range c.paths {
		keys, ok := alone[p[0]]
		if !ok || len(p) < 2 || owner != "" && owner != p[0]+"/"+p[1] {
			return ""
		}
		owner = p[0] + "/" + p[1]
		if len(p) > 2 {
			if !among(keys, p[2]) {
				return ""
			}
			continue
		}
		for _, v := range c.values {
			for _, k := range v.Keys {
				if !among(keys, k.Name) {
					return ""
				}
			}
		}
	}
	return owner
}

func among(list []string, word string) bool {
	for _, w := range list {
		if w == word {
			return true
		}
	}
	return false
}

// write is the tree with a value of the choice in it.
func (c *choice) write(tree, full, value *rig.Node) *rig.Node {
	for _, p := range c.paths {
		tree = rig.SetAt(tree, full, p, value)
	}
	return tree
}
