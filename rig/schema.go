package rig

import (
	"encoding/json"
	"fmt"
	"reflect"
	"regexp"
	"strings"

	"lowslung/quantity"
)

// Schema is the JSON Schema (draft 2020-12) of a document, made from the Go types: for editors that complete and check as
// one types. A document with a base is a patch: nothing in it is required, and null takes out what the base has.
func Schema() []byte {
	return schemaOf(reflect.TypeFor[Document](), "rig", "A rig document of lowslung", "base")
}

// BinSchema is the JSON Schema of a parts bin.
func BinSchema() []byte {
	return schemaOf(reflect.TypeFor[Bin](), "bin", "A parts bin of lowslung", "")
}

type object = map[string]any

type schemer struct {
	plans
	defs object
}

func schemaOf(t reflect.Type, id, title, patchKey string) []byte {
	s := schemer{plans: plans{}, defs: object{}}
	root := s.ref(t, false)
	if patchKey != "" {
		root = s.either(t, patchKey)
	}
	root["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	root["$id"] = "urn:lowslung:" + id + ":1"
	root["title"] = title
	root["$defs"] = s.defs
	text, err := json.MarshalIndent(root, "", "  ")
	if err != nil {
		panic(err) // only strings, numbers and maps of them
	}
	return append(text, '\n')
}

// either is the patch form of a type where the key is written, since something else supplies the rest, and the full form
// where it is not.
func (s *schemer) either(t reflect.Type, key string) object {
	return object{"if": object{"required": []string{key}}, "then": s.ref(t, true), "else": s.ref(t, false)}
}

// ref puts the schema of a struct type among the definitions and refers to it.
func (s *schemer) ref(t reflect.Type, patch bool) object {
	name := t.Name()
	if patch {
		name += "Patch"
	}
	if s.defs[name] == nil {
		s.defs[name] = object{} // stops the recursion of types that hold themselves
		s.defs[name] = s.structure(t, patch)
	}
	return object{"$ref": "#/$defs/" + name}
}

func (s *schemer) structure(t reflect.Type, patch bool) object {
	p := s.of(t)
	properties := object{}
	var required []string
	for i := range p.fields {
		f := &p.fields[i]
		v := s.value(f.typ, f, patch)
		if patch {
			v = object{"anyOf": []any{v, object{"type": "null"}}}
		}
		v["description"] = s.description(f)
		properties[f.key] = v
		if f.required && !patch {
			required = append(required, f.key)
		}
	}
	out := object{"type": "object", "properties": properties, "additionalProperties": false}
	if required != nil {
		out["required"] = required
	}
	return out
}

// description is the doc tag with the unit of a bare number.
func (s *schemer) description(f *field) string {
	t := f.typ
	if t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	if d := dimensionOf(t); d != nil && d.Bare != "" {
		return f.doc + " (" + d.Bare + " when bare)"
	}
	switch t {
	case typeVec, typePoint:
		return f.doc + " (mm when bare)"
	case typeTurn:
		return f.doc + " (° when bare)"
	}
	return f.doc
}

func (s *schemer) value(t reflect.Type, f *field, patch bool) object {
	switch t {
	case typeRef:
		return object{"type": []string{"string", "number"}, "minLength": 1}
	case typeQuantity:
		return object{"type": []string{"string", "number"}, "pattern": pattern(true, allUnits())}
	case typeValue:
		return object{}
	case typeVec, typeDir, typeTurn, typePoint:
		n := t.Len()
		return object{"type": "array", "items": s.value(t.Elem(), &field{}, false), "minItems": n, "maxItems": n}
	}
	if d := dimensionOf(t); d != nil {
		out := object{"type": []string{"number", "string"}, "pattern": pattern(!notNegative(f), units(d))}
		limits(out, f)
		return out
	}
	if elem, ok := isMap(t); ok {
		return object{"type": "object", "additionalProperties": s.entry(elem, f, patch), "propertyNames": object{"pattern": `^[^\s/](.*[^\s/])?$`}}
	}
	switch t.Kind() {
	case reflect.Pointer:
		return s.value(t.Elem(), f, patch)
	case reflect.Struct:
		if f.alone != "" {
			p := s.of(t)
			one := &p.fields[p.byKey[f.alone]]
			return object{"anyOf": []any{s.ref(t, patch), s.value(one.typ, one, patch)}}
		}
		return s.ref(t, patch)
	case reflect.Slice:
		return object{"type": "array", "items": s.value(t.Elem(), f, false)}
	case reflect.String:
		if f.enum != nil {
			return object{"enum": f.enum}
		}
		return object{"type": []string{"string", "number"}}
	case reflect.Bool:
		return object{"type": "boolean"}
	case reflect.Int:
		out := object{"type": "integer"}
		limits(out, f)
		return out
	case reflect.Float64:
		out := object{"type": "number"}
		limits(out, f)
		return out
	}
	panic("rig: no schema for a " + t.String())
}

// entry is the schema of one entry of a map. A patch may take entries out; a part that names an item takes the fields it
// leaves out from there.
func (s *schemer) entry(elem reflect.Type, f *field, patch bool) object {
	v := s.value(elem, f, patch)
	if _, ok := s.plainPlan(elem)["item"]; ok && !patch {
		v = s.either(elem, "item")
	}
	if patch {
		return object{"anyOf": []any{v, object{"type": "null"}}}
	}
	return v
}

func (s *schemer) plainPlan(t reflect.Type) map[string]int {
	if t.Kind() != reflect.Struct || t == typeRef || t == typeQuantity || t == typeValue {
		return nil
	}
	return s.of(t).byKey
}

func limits(out object, f *field) {
	if f.least != nil {
		out["minimum"] = *f.least
	}
	if f.above != nil {
		out["exclusiveMinimum"] = *f.above
	}
}

func notNegative(f *field) bool {
	return f.least != nil && *f.least >= 0 || f.above != nil && *f.above >= 0
}

// pattern matches what quantity.Split and the units of a dimension let through.
func pattern(negative bool, units []string) string {
	sign := `[+-]?`
	if !negative {
		sign = `\+?`
	}
	quoted := make([]string, 0, len(units))
	for _, u := range units {
		if u != "" {
			quoted = append(quoted, regexp.QuoteMeta(u))
		}
	}
	unit := ""
	if len(quoted) > 0 {
		unit = fmt.Sprintf(`(%s)?\s*`, strings.Join(quoted, "|"))
	}
	return `^\s*` + sign + `([0-9]+\.?[0-9]*|\.[0-9]+)([eE][+-]?[0-9]+)?\s*` + unit + `$`
}

func units(d *quantity.Dimension) []string {
	var out []string
	for _, u := range d.Units {
		out = append(append(out, u.Symbol), u.Also...)
	}
	return out
}

func allUnits() []string {
	var out []string
	seen := map[string]bool{}
	for _, d := range quantity.All() {
		for _, u := range units(d) {
			if !seen[u] {
				seen[u] = true
				out = append(out, u)
			}
		}
	}
	return out
}
