package rig

import (
	"reflect"
	"strconv"
	"strings"

	"lowslung/quantity"
)

// A plan is what the struct tags say of one type of the document. The decoder and the schema read plans, so that the
// types stay the only place where the format is written down.
type plan struct {
	fields []field
	byKey  map[string]int
	place  []int // index of the Place field, nil when there is none
}

type field struct {
	key      string
	index    []int
	typ      reflect.Type
	doc      string
	enum     []string
	least    *float64
	above    *float64
	required bool
	alone    string // key of the value that may be written in place of the whole map
}

// plans holds the plans of the types met so far; each load has its own.
type plans map[reflect.Type]*plan

func (ps plans) of(t reflect.Type) *plan {
	if p := ps[t]; p != nil {
		return p
	}
	p := &plan{byKey: map[string]int{}}
	p.gather(t, nil)
	ps[t] = p
	return p
}

func (p *plan) gather(t reflect.Type, outer []int) {
	for i := range t.NumField() {
		f := t.Field(i)
		index := append(append([]int(nil), outer...), i)
		tag, tagged := f.Tag.Lookup("rig")
		switch {
		case !tagged && f.Anonymous:
			p.gather(f.Type, index)
		case !tagged:
		case tag == ",place":
			if p.place == nil {
				p.place = index
			}
		default:
			p.byKey[tag] = len(p.fields)
			p.fields = append(p.fields, newField(tag, index, f))
		}
	}
}

func newField(key string, index []int, f reflect.StructField) field {
	out := field{key: key, index: index, typ: f.Type, doc: f.Tag.Get("doc"), required: f.Tag.Get("required") == "true", alone: f.Tag.Get("alone"),
		least: limit(f, "least"), above: limit(f, "above")}
	if words := f.Tag.Get("enum"); words != "" {
		out.enum = strings.Split(words, ",")
	}
	return out
}

func limit(f reflect.StructField, tag string) *float64 {
	text, ok := f.Tag.Lookup(tag)
	if !ok {
		return nil
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		panic("rig: tag " + tag + " of " + f.Name + ": " + err.Error())
	}
	return &v
}

func (p *plan) keys() []string {
	out := make([]string, len(p.fields))
	for i := range p.fields {
		out[i] = p.fields[i].key
	}
	return out
}

// Types that are more than their Go kind.
var (
	typeVec      = reflect.TypeFor[Vec]()
	typeDir      = reflect.TypeFor[Dir]()
	typeTurn     = reflect.TypeFor[Turn]()
	typePoint    = reflect.TypeFor[Point]()
	typeRef      = reflect.TypeFor[Ref]()
	typeQuantity = reflect.TypeFor[Quantity]()
	typeValue    = reflect.TypeFor[Value]()
)

// isMap says that t is a Map of something, and of what.
func isMap(t reflect.Type) (reflect.Type, bool) {
	if t.Kind() != reflect.Slice || !t.Implements(reflect.TypeFor[interface{ keyed() }]()) {
		return nil, false
	}
	f, _ := t.Elem().FieldByName("Value")
	return f.Type, true
}

// dimensionOf is the dimension of a quantity type, nil for other types.
func dimensionOf(t reflect.Type) *quantity.Dimension {
	if t.Kind() != reflect.Float64 {
		return nil
	}
	if d, ok := reflect.Zero(t).Interface().(interface{ Dimension() *quantity.Dimension }); ok {
		return d.Dimension()
	}
	return nil
}

// corners names the numbers of a fixed list for messages and the schema.
func corners(t reflect.Type) []string {
	switch t {
	case typeVec, typeDir:
		return []string{"forward", "left", "up"}
	case typeTurn:
		return []string{"roll", "pitch", "yaw"}
	case typePoint:
		return []string{"x", "y"}
	}
	return nil
}
