package rig

import (
	"fmt"
	"reflect"
	"strings"
	"unicode"
)

// A Section describes one map of the format, for the manual: made from the same struct tags that the decoder and the schema
// read.
type Section struct {
	Name string    // what the manual calls it: "part", "drag link"
	At   []Spot    // where it may stand, first the place that explains it best
	Keys []KeyNote // in the order of the type
}

// A Spot is a place in the format where a section may stand.
type Spot struct {
	Section string // the section that holds it; empty for the whole text
	Key     string // key there; "links/<name>" for an entry of a map, "shape[]" for an entry of a list
}

// A KeyNote describes one key of a section.
type KeyNote struct {
	Key      string
	Value    string // what is written: "length, mm", "[forward, left, up], mm", "one of socket, button"
	Limit    string // "> 0", "≥ 0" in the unit of a bare number, or nothing
	Section  string // the section that describes the value, when it is a map of keys
	Required bool
	Doc      string
}

// Describe lists the sections of the document, or of a bin, in the order in which a reader meets them.
func Describe(bin bool) []Section {
	t, name := reflect.TypeFor[Document](), "document"
	if bin {
		t, name = reflect.TypeFor[Bin](), "bin"
	}
	d := describer{plans: plans{}, at: map[string]int{}}
	d.section(t, name, Spot{})
	return d.list
}

type describer struct {
	plans
	list []Section
	at   map[string]int
}

// section adds the section of a struct type, and behind it those of its values; one met again gets another spot only.
func (d *describer) section(t reflect.Type, name string, spot Spot) {
	if i, met := d.at[name]; met {
		d.list[i].At = append(d.list[i].At, spot)
		return
	}
	i := len(d.list)
	d.at[name] = i
	d.list = append(d.list, Section{Name: name, At: []Spot{spot}})
	type inner struct {
		t    reflect.Type
		spot Spot
	}
	var below []inner
	var keys []KeyNote
	for _, f := range d.of(t).fields {
		note := KeyNote{Key: f.key, Limit: f.limit(), Required: f.required, Doc: f.doc}
		var holds reflect.Type
		var way string
		note.Value, holds, way = written(f.typ, &f)
		if holds != nil {
			note.Section = spoken(holds.Name())
			below = append(below, inner{holds, Spot{Section: name, Key: f.key + way}})
		}
		keys = append(keys, note)
	}
	d.list[i].Keys = keys
	for _, b := range below {
		d.section(b.t, spoken(b.t.Name()), b.spot)
	}
}

// written says what stands behind a key; holds is the struct type inside it, if any, and way how it is reached from the key.
func written(t reflect.Type, f *field) (value string, holds reflect.Type, way string) {
	switch t {
	case typeVec:
		return "[forward, left, up], mm", nil, ""
	case typeDir:
		return "[forward, left, up], no unit", nil, ""
	case typeTurn:
		return "[roll, pitch, yaw], °", nil, ""
	case typePoint:
		return "[x, y], mm", nil, ""
	case typeRef:
		return "name: part/hole, part/output or part/port", nil, ""
	case typeQuantity:
		return "number with its unit", nil, ""
	case typeValue:
		return "values as written at the path", nil, ""
	}
	if dim := dimensionOf(t); dim != nil {
		if dim.Bare == "" {
			return dim.Name, nil, ""
		}
		return dim.Name + ", " + dim.Bare, nil, ""
	}
	if elem, ok := isMap(t); ok {
		inner, holds, below := written(elem, f)
		if holds != nil {
			return "names, each with its keys", holds, "/<name>" + below
		}
		return "names, each with a " + inner, nil, ""
	}
	switch t.Kind() {
	case reflect.Pointer:
		return written(t.Elem(), f)
	case reflect.Struct:
		if f.alone != "" {
			return "keys, or " + f.alone + " alone", t, ""
		}
		return "keys", t, ""
	case reflect.Slice:
		inner, holds, below := written(t.Elem(), f)
		if holds != nil {
			return "list, each entry with its keys", holds, "[]" + below
		}
		return "list of " + inner, nil, ""
	case reflect.Bool:
		return "true or false", nil, ""
	case reflect.Int:
		return "whole number", nil, ""
	case reflect.Float64:
		return "number", nil, ""
	}
	if len(f.enum) > 0 {
		return "one of: " + strings.Join(f.enum, ", "), nil, ""
	}
	return "text", nil, ""
}

func (f *field) limit() string {
	var out []string
	if f.above != nil {
		out = append(out, fmt.Sprintf("> %v", *f.above))
	}
	if f.least != nil {
		out = append(out, fmt.Sprintf("≥ %v", *f.least))
	}
	return strings.Join(out, ", ")
}

// spoken makes words of a type's name: DragLink is "drag link".
func spoken(name string) string {
	var b strings.Builder
	for i, r := range name {
		if unicode.IsUpper(r) && i > 0 {
			b.WriteByte(' ')
		}
		b.WriteRune(unicode.ToLower(r))
	}
	return b.String()
}
