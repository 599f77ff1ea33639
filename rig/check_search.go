package rig

import (
	"reflect"
	"strconv"
	"strings"

	"lowslung/quantity"
)

// search checks the form of what search may change; what the values do to the rig is search's business.
func (w *world) search() {
	s := w.b.Doc.Search
	if s == nil {
		return
	}
	each(s.Vary, w.choice)
	for i := range s.Wants {
		w.aim(&s.Wants[i].Value, "search/wants/"+s.Wants[i].Name)
	}
}

func (w *world) choice(e *Entry[Choice]) {
	c, path := &e.Value, "search/vary/"+e.Name
	if c.Place.Line == 0 {
		return // no map, and reported as such
	}
	span := c.From != nil || c.To != nil || c.Step != nil
	ways := 0
	for _, written := range []bool{c.Among != nil, c.Kind != "", c.Holes != "", span} {
		if written {
			ways++
		}
	}
	switch {
	case ways == 0:
		w.add("choice-form", c.Place, path, `found nothing that %s may become, expected "among", "kind", "holes_of", or "from" and "to"`, quote(e.Name))
	case ways > 1:
		w.add("choice-form", c.Place, path, `found more than one way to say what %s may become, expected one of "among", "kind", "holes_of", or "from" and "to"`, quote(e.Name))
	case span && (c.From == nil || c.To == nil):
		w.add("choice-form", c.Place, path, `found one of "from", "to" and "step" without the others, expected "from" and "to", and "step" unless any value between will do`)
	case c.Among != nil && len(c.Among) == 0:
		w.add("choice-form", w.at("search", "vary", e.Name, "among"), path+"/among", `found an empty list for "among", expected what %s may become`, quote(e.Name))
	}
	if c.Kind == "" && (c.Thread != "" || c.Drawer) {
		w.add("choice-form", c.Place, path, `found "thread" or "in_drawer" without "kind", expected the kind of bin item that they narrow down`)
	}
	if c.Named != "" && c.Kind == "" && c.Holes == "" {
		w.add("choice-form", c.Place, path, `found "named" without "kind" or "holes_of", expected what it narrows down`)
	}
	if span {
		w.evenly(c, path)
	}
	seen := map[string]bool{}
	for i, text := range append([]string{c.Change}, c.Also...) {
		key, at := "change", w.at("search", "vary", e.Name, "change")
		if i > 0 {
			key, at = "also", w.at("search", "vary", e.Name, "also")
		}
		if text == "" {
			continue // missing, and reported as such
		}
		if seen[text] {
			w.add("choice-form", at, path+"/"+key, "found the path %s twice, expected each once", quote(text))
			continue
		}
		seen[text] = true
		if _, what, absent, bad := pathOf(w.tree, text); bad != "" && !absent {
			w.add("no-such-path", at, path+"/"+key, "found the path %s, %s", quote(text), bad)
		} else if span && c.Step == nil && what != nil && what.Kind() == reflect.Int {
			w.add("choice-form", c.Place, path, `found no "step" for %s, which is a whole number, expected step: 1 or more`, quote(text))
		} else if head, _, _ := strings.Cut(text, "/"); head == "search" || head == "targets" || head == "bins" || head == "lowslung" || head == "base" {
			w.add("no-such-path", at, path+"/"+key, "found the path %s, expected something of the rig itself, such as links, shocks, shafts, parts", quote(text))
		}
	}
}

// evenly checks from, to and step against each other.
func (w *world) evenly(c *Choice, path string) {
	var v [3]float64
	for i, q := range []*Quantity{c.From, c.To, c.Step} {
		if q == nil {
			if i < 2 {
				return
			}
			continue
		}
		n, unit, err := quantity.Split(q.Text)
		if err != nil {
			return // reported by the decoder
		}
		if _, first, _ := quantity.Split(c.From.Text); unit != first {
			w.add("wrong-unit", q.Place, path, `found %s and %s, expected "from", "to" and "step" in the same unit`, quote(c.From.Text), quote(q.Text))
			return
		}
		v[i] = n
	}
	switch {
	case c.Step != nil && v[2] <= 0:
		w.add("out-of-range", c.Step.Place, path+"/step", `found %s for "step", expected more than 0`, quote(c.Step.Text))
	case v[1] < v[0]:
		w.add("empty-range", c.Place, path, `found "from" %s and "to" %s, expected "from" to be the smaller one`, short(v[0]), short(v[1]))
	case c.Step == nil && v[1] == v[0]:
		w.add("empty-range", c.Place, path, `found "from" and "to" the same, %s, expected room between them`, short(v[0]))
	case c.Step != nil && (v[1]-v[0])/v[2] > 10_000:
		w.add("out-of-range", c.Step.Place, path+"/step", `found a step that makes more than 10000 values, expected a larger one`)
	}
}

// PathOf takes a path in words, links/rear lower/rod/item, apart into the keys that lead there. The tree is a document's with its items
// filled in. The last key may be one that is not written yet; bad says what is wrong with the path, "" when nothing is. Absent says that
// the format has such a path, and this document has nothing there: no mistake of its own, since another may change what it refers to.
func PathOf(tree *Node, text string) (keys []string, absent bool, bad string) {
	keys, _, absent, bad = pathOf(tree, text)
	return keys, absent, bad
}

// pathOf is PathOf with the type of what stands there; nil where that is not known.
func pathOf(tree *Node, text string) (keys []string, what reflect.Type, absent bool, bad string) {
	r := &reporter{}
	ps := plans{}
	t := reflect.TypeFor[Document]()
	n := tree
	rest := text
	for rest != "" {
		for t != nil && t.Kind() == reflect.Pointer {
			t = t.Elem()
		}
		where := "the document"
		if len(keys) > 0 {
			where = quote(strings.Join(keys, "/"))
		}
		elem, named := reflect.Type(nil), false
		if t != nil {
			elem, named = isMap(t)
		}
		switch {
		case named:
			name := longestKey(n, rest)
			if name == "" {
				head, _, _ := strings.Cut(rest, "/")
				return nil, nil, true, "but there is no " + quote(head) + " in " + where + r.suggest(head, namesIn(n))
			}
			keys, rest, t = append(keys, name), strings.TrimPrefix(rest[len(name):], "/"), elem
			n = n.Get(name)
		case t != nil && t.Kind() == reflect.Struct && t != typeRef && t != typeQuantity && t != typeValue:
			head, tail, _ := strings.Cut(rest, "/")
			p := ps.of(t)
			at, ok := p.byKey[head]
			if !ok {
				return nil, nil, false, "but there is no key " + quote(head) + " in " + where + r.suggest(head, p.keys())
			}
			inner := n.Get(head)
			if inner == nil && tail != "" {
				return nil, nil, true, "but the document says nothing of " + quote(strings.Join(append(keys, head), "/")) + ", expected a path to something that is written"
			}
			keys, rest, t, n = append(keys, head), tail, p.fields[at].typ, inner
		case t != nil && t.Kind() == reflect.Slice:
			head, tail, _ := strings.Cut(rest, "/")
			i, err := strconv.Atoi(head)
			if err != nil || n == nil || i < 0 || i >= len(n.List) {
				count := 0
				if n != nil {
					count = len(n.List)
				}
				return nil, nil, true, "but " + where + " is a list of " + strconv.Itoa(count) + ", expected a position in it, from 0, in place of " + quote(head)
			}
			keys, rest, t, n = append(keys, head), tail, t.Elem(), n.List[i]
		default:
			return nil, nil, false, "but " + where + " is a single value, expected the path to end there"
		}
	}
	if len(keys) == 0 {
		return nil, nil, false, "expected keys with / between them"
	}
	for t != nil && t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	return keys, t, false, ""
}

// longestKey is the longest name of an entry that the path begins with: names may hold slashes.
func longestKey(n *Node, rest string) string {
	best := ""
	if n == nil {
		return ""
	}
	for i := range n.Keys {
		name := n.Keys[i].Name
		if (rest == name || strings.HasPrefix(rest, name+"/")) && len(name) > len(best) {
			best = name
		}
	}
	return best
}

func namesIn(n *Node) []string {
	if n == nil {
		return nil
	}
	out := make([]string, len(n.Keys))
	for i := range n.Keys {
		out[i] = n.Keys[i].Name
	}
	return out
}
