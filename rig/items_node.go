package rig

import (
	"reflect"
	"slices"
)

// A nursery lends the nodes of one tree after the other: those of a row are done with when the next is begun.
type nursery struct {
	nodes []Node
	keys  []Key
}

// begin takes everything back that was lent.
func (n *nursery) begin() {
	if n == nil {
		return
	}
	if n.nodes == nil {
		n.nodes, n.keys = make([]Node, 0, 128), make([]Key, 0, 512)
	}
	n.nodes, n.keys = n.nodes[:0], n.keys[:0]
}

// node is a new node; of the heap when there is no nursery, or it is full.
func (n *nursery) node(v Node) *Node {
	if n == nil || len(n.nodes) == cap(n.nodes) {
		return &v
	}
	n.nodes = append(n.nodes, v)
	return &n.nodes[len(n.nodes)-1]
}

// branch is a new map with room for a few keys.
func (n *nursery) branch(place Place) *Node {
	const few = 8
	v := Node{Place: place, Kind: MapNode}
	if n != nil && len(n.keys)+few <= cap(n.keys) {
		at := len(n.keys)
		n.keys = n.keys[:at+few]
		v.Keys = n.keys[at : at : at+few]
	}
	return n.node(v)
}

// node makes the tree of an item from the texts of its row, with the ports that every item of its kind has.
func (t *itemReader) node(own *reporter, cells []string, where []Place, place Place, id string) *Node {
	kind := cells[t.at[colKind]]
	if kind != "" && t.plans != nil && !slices.Contains(t.known.kinds, kind) { // before its columns are found to be none of it
		k := t.at[colKind]
		own.add("unknown-word", where[k], "items/"+id, "found %s for %s, expected %s%s", quote(kind), quote(colKind), oneOf(t.known.kinds), own.like(kind, t.known.kinds))
		return nil
	}
	t.lent.begin()
	n := t.lent.branch(place)
	for i, c := range t.used {
		if cells[i] == "" || c.name == colItem {
			continue
		}
		at := c.place(kind)
		if at == nil {
			own.add("no-such-field", where[i], "items/"+id, "found %s for %s, which an item of kind %s does not have, expected nothing there%s", quote(cells[i]), quote(c.name), kind, t.hasFields(kind))
			continue
		}
		text := c.cell == cellText || c.cell == cellCurrency
		t.lent.insert(n, at, t.lent.node(Node{Place: where[i], Kind: ScalarNode, Text: cells[i], Quoted: text && len(c.enum) == 0}), place)
	}
	if t.plans != nil { // without them the row is known to be good
		t.lacking(own, n, kind, place, id)
	}
	t.lent.standardPorts(n, kind, place)
	return n
}

// hasFields ends a message with the columns that items of a kind have.
func (t *itemReader) hasFields(kind string) string {
	var names []string
	for _, c := range t.known.list {
		if c.at[kind] != nil && c.at[""] == nil {
			names = append(names, c.name)
		}
	}
	if len(names) == 0 {
		return ""
	}
	return "; it has " + quoteAll(names, ", ", " and ")
}

// lacking reports what an item of the kind must say when it says anything of its kind at all.
func (t *itemReader) lacking(own *reporter, n *Node, kind string, place Place, id string) {
	for _, k := range kindKeys {
		fields := n.Get(k.key)
		if k.kind != kind || fields == nil {
			continue
		}
		part := t.plans.of(reflect.TypeFor[Part]())
		for _, f := range t.plans.of(part.field(k.key).typ.Elem()).fields {
			if f.required && fields.Get(f.key) == nil {
				d := decoder{reporter: own, plans: t.plans}
				own.add("missing-cell", place, "items/"+id, "found nothing for %s of this %s, expected %s", quote(columnName(f.key)), kind, d.expects(f.typ, &f))
			}
		}
	}
}

// insert puts a value into nested maps, making those that are not there.
func (lent *nursery) insert(n *Node, at []string, v *Node, place Place) {
	for _, key := range at[:len(at)-1] {
		inner := n.Get(key)
		if inner == nil {
			inner = lent.branch(place)
			n.Keys = append(n.Keys, Key{Name: key, Place: place, Value: inner})
		}
		n = inner
	}
	last := at[len(at)-1]
	n.Keys = append(n.Keys, Key{Name: last, Place: v.Place, Value: v})
}

// standardPorts puts the ports in that an item of the kind has by what it is. Their dimensions are those of the item (mates reads them
// there), unless only the port has them.
func (lent *nursery) standardPorts(n *Node, kind string, place Place) {
	port := func(name, typ string, needed bool) {
		p := n.At("ports", name)
		if p == nil {
			lent.insert(n, []string{"ports", name}, lent.branch(place), place)
			p = n.At("ports", name)
		}
		words := []Key{{Name: "type", Place: place, Value: lent.node(Node{Place: place, Kind: ScalarNode, Text: typ})}}
		if needed {
			words = append(words, Key{Name: "needed", Place: place, Value: lent.node(Node{Place: place, Kind: ScalarNode, Text: "true"})})
		}
		p.Keys = slices.Insert(p.Keys, 0, words...)
	}
	has := func(at ...string) bool { return n.At(at...) != nil }
	switch {
	case kind == "screw" && has("screw"):
		port("thread", "male thread", false)
	case kind == "nut" && has("screw"):
		port("thread", "female thread", false)
	case kind == "washer" && has("screw"), kind == "spacer" && has("ports", "hole"):
		port("hole", "clearance hole", false)
	case kind == "bearing" && has("bearing"):
		port("ring", "bearing", false)
		port("bore", "bearing", false)
	case kind == "gear" && has("gear"):
		if has("gear", "bore") {
			port("bore", "bore", true)
		}
		port("teeth", "gear", true)
	case kind == "pin" && has("ports", "pin"):
		port("pin", "pin", false)
	case kind == "motor":
		if has("motor", "shaft") {
			port("shaft", "shaft", false)
		}
		if has("ports", "face") {
			port("face", "pattern", false)
		}
	case kind == "battery" && has("pack"):
		port("cells", "cells", false)
		if has("pack", "plug") {
			port("lead", "plug", false)
		}
	case kind == "controller" && has("controller"):
		if has("controller", "cells_to") {
			port("supply", "cells", true)
		}
		if has("controller", "plug") {
			port("lead", "plug", true)
		}
	case kind == "tyre" && has("ports", "hex"):
		port("hex", "hex", true)
	}
}
