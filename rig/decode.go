package rig

import (
	"reflect"
	"strings"
)

// A decoder fills the document's types from a tree. It goes on after a mistake, so that all are reported at once.
type decoder struct {
	*reporter
	plans
	lenient bool // a base or bin could not be read: what they would have supplied is not missed
}

func (d *decoder) decode(n *Node, into any, what string) {
	v := reflect.ValueOf(into).Elem()
	d.structure(n, v, what, "")
}

// value decodes n into v; f says which limits hold, path where in the document it stands.
func (d *decoder) value(n *Node, v reflect.Value, f *field, path string) {
	t := v.Type()
	if t == typeValue {
		v.Set(reflect.ValueOf(Value{n}))
		return
	}
	if n.Kind == NullNode {
		d.add("empty-value", n.Place, path, "found nothing after %s, expected %s", quote(f.key), d.expects(t, f))
		return
	}
	if f.alone != "" && n.Kind == ScalarNode { // as it was written before the map was: the one value
		n = &Node{Kind: MapNode, Place: n.Place, Keys: []Key{{Name: f.alone, Place: n.Place, Value: n}}}
	}
	switch t {
	case typeRef:
		if text, ok := d.text(n, f, path, "a name, part/hole"); ok {
			v.Set(reflect.ValueOf(Ref{Text: text, Place: n.Place}))
		}
		return
	case typeQuantity:
		d.anyQuantity(n, v, f, path)
		return
	case typeVec, typeDir, typeTurn, typePoint:
		d.fixed(n, v, f, path)
		return
	}
	if dim := dimensionOf(t); dim != nil {
		d.quantity(n, v, f, path)
		return
	}
	if elem, ok := isMap(t); ok {
		d.entries(n, v, elem, f, path)
		return
	}
	switch t.Kind() {
	case reflect.Pointer:
		p := reflect.New(t.Elem())
		d.value(n, p.Elem(), f, path)
		if n.Kind == MapNode || t.Elem().Kind() != reflect.Struct || t.Elem() == typeRef || t.Elem() == typeQuantity {
			v.Set(p)
		}
	case reflect.Struct:
		d.structure(n, v, f.key, path)
	case reflect.Slice:
		d.list(n, v, f, path)
	case reflect.String:
		if text, ok := d.text(n, f, path, ""); ok {
			v.SetString(text)
		}
	case reflect.Bool:
		d.truth(n, v, f, path)
	case reflect.Int:
		d.whole(n, v, f, path)
	case reflect.Float64:
		d.number(n, v, f, path)
	default:
		panic("rig: no way to decode a " + t.String())
	}
}

func (d *decoder) structure(n *Node, v reflect.Value, what, path string) {
	if n.Kind != MapNode {
		d.add("wrong-type", n.Place, path, "found %s for %s, expected a map of keys and values", found(n), quote(what))
		return
	}
	p := d.of(v.Type())
	if p.place != nil {
		v.FieldByIndex(p.place).Set(reflect.ValueOf(n.Place))
	}
	written := make([]bool, len(p.fields))
	for i := range n.Keys {
		key := &n.Keys[i]
		at, ok := p.byKey[key.Name]
		if !ok {
			if meant := d.unknownKey(key, p, what, path); meant != "" {
				written[p.byKey[meant]] = true // so that it is not reported as missing too
			}
			continue
		}
		f := &p.fields[at]
		written[at] = true
		d.value(key.Value, v.FieldByIndex(f.index), f, join(path, f.key))
	}
	if d.lenient {
		return
	}
	for i := range p.fields {
		if f := &p.fields[i]; f.required && !written[i] {
			d.add("missing-key", n.Place, path, "found no key %s in %s, expected %s (%s)", quote(f.key), describe(what, path), d.expects(f.typ, f), lowerFirst(f.doc))
		}
	}
}

// unknownKey reports a key that the format does not have and returns the one that was most likely meant.
func (d *decoder) unknownKey(key *Key, p *plan, what, path string) (meant string) {
	names := p.keys()
	where := describe(what, path)
	if meant = d.nearest(key.Name, names); meant != "" {
		d.add("unknown-key", key.Place, join(path, key.Name), "found the unknown key %s in %s; did you mean %s?", quote(key.Name), where, quote(meant))
		return meant
	}
	d.add("unknown-key", key.Place, join(path, key.Name), "found the unknown key %s in %s, expected one of %s", quote(key.Name), where, strings.Join(names, ", "))
	return ""
}

// describe names the map that a message is about: by its place in the document, or as the document.
func describe(what, path string) string {
	if path == "" {
		return what
	}
	return quote(path)
}

func (d *decoder) entries(n *Node, v reflect.Value, elem reflect.Type, f *field, path string) {
	if n.Kind != MapNode {
		d.add("wrong-type", n.Place, path, "found %s for %s, expected a map with a name for each entry", found(n), quote(f.key))
		return
	}
	out := reflect.MakeSlice(v.Type(), len(n.Keys), len(n.Keys))
	inner := *f
	inner.typ = elem
	for i := range n.Keys {
		key := &n.Keys[i]
		entry := out.Index(i)
		entry.Field(0).SetString(key.Name)
		entry.Field(1).Set(reflect.ValueOf(key.Place))
		inner.key = key.Name
		d.value(key.Value, entry.Field(2), &inner, join(path, key.Name))
	}
	v.Set(out)
}

func (d *decoder) list(n *Node, v reflect.Value, f *field, path string) {
	if n.Kind != ListNode {
		d.add("wrong-type", n.Place, path, "found %s for %s, expected a list, written [ ] or with - in front of each", found(n), quote(f.key))
		return
	}
	out := reflect.MakeSlice(v.Type(), len(n.List), len(n.List))
	for i, child := range n.List {
		d.value(child, out.Index(i), f, path)
	}
	v.Set(out)
}

func join(path, key string) string {
	if path == "" {
		return key
	}
	return path + "/" + key
}

func lowerFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToLower(s[:1]) + s[1:]
}
