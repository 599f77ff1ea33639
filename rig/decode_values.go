package rig

import (
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"

	"lowslung/quantity"
)

// expects says in words what a value of type t must look like.
func (d *decoder) expects(t reflect.Type, f *field) string {
	if t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	switch t {
	case typeVec, typeDir, typeTurn, typePoint:
		return fmt.Sprintf("[%s]", strings.Join(corners(t), ", "))
	case typeRef:
		return "a name, part/hole"
	case typeQuantity:
		return "a number with its unit"
	case typeValue:
		return "a value"
	}
	if dim := dimensionOf(t); dim != nil {
		return dim.Expects()
	}
	if _, ok := isMap(t); ok {
		return "a map with a name for each entry"
	}
	switch t.Kind() {
	case reflect.String:
		if len(f.enum) > 0 {
			return oneOf(f.enum)
		}
		return "text"
	case reflect.Bool:
		return "true or false"
	case reflect.Int:
		return "a whole number"
	case reflect.Float64:
		return "a number"
	case reflect.Slice:
		return "a list"
	}
	return "a map of keys and values"
}

func oneOf(words []string) string {
	if len(words) == 1 {
		return words[0]
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}

// text reads a text. A number is text as it was written; what YAML reads as a truth value or a non-number must be quoted
// to be text.
func (d *decoder) text(n *Node, f *field, path, expected string) (string, bool) {
	if n.Kind != ScalarNode {
		if expected == "" {
			expected = d.expects(reflect.TypeFor[string](), f)
		}
		d.add("wrong-type", n.Place, path, "found %s for %s, expected %s", found(n), quote(f.key), expected)
		return "", false
	}
	if !n.Quoted && len(f.enum) == 0 && (isTruth(n.Text) || isNoNumber(n.Text)) {
		d.add("wrong-type", n.Place, path, `found the bare word %s for %s, expected text; write "%s" in quotes if that is the text`, n.Text, quote(f.key), n.Text)
		return "", false
	}
	if len(f.enum) > 0 {
		for _, word := range f.enum {
			if n.Text == word {
				return word, true
			}
		}
		d.add("unknown-word", n.Place, path, "found %s for %s, expected %s%s", found(n), quote(f.key), oneOf(f.enum), d.like(n.Text, f.enum))
		return "", false
	}
	return n.Text, true
}

func isTruth(s string) bool {
	switch s {
	case "true", "True", "TRUE", "false", "False", "FALSE":
		return true
	}
	return false
}

// isNoNumber knows what YAML writes for values that are no numbers (YAML 1.2.2, 10.3.2), and the plain spellings.
func isNoNumber(s string) bool {
	switch strings.ToLower(strings.TrimLeft(s, "+-")) {
	case ".nan", ".inf", "nan", "inf", "infinity":
		return true
	}
	return false
}

func (d *decoder) truth(n *Node, v reflect.Value, f *field, path string) {
	if n.Kind == ScalarNode && !n.Quoted && isTruth(n.Text) {
		v.SetBool(n.Text[0] == 't' || n.Text[0] == 'T')
		return
	}
	hint := ""
	if n.Kind == ScalarNode {
		switch strings.ToLower(n.Text) {
		case "yes", "on", "y", "1", "true":
			hint = "; did you mean true?"
		case "no", "off", "n", "0", "false":
			hint = "; did you mean false?"
		}
		if n.Quoted && isTruth(n.Text) {
			hint = "; take the quotes away"
		}
	}
	d.add("wrong-type", n.Place, path, "found %s for %s, expected true or false%s", found(n), quote(f.key), hint)
}

func (d *decoder) whole(n *Node, v reflect.Value, f *field, path string) {
	if n.Kind == ScalarNode && !n.Quoted {
		if i, err := strconv.Atoi(n.Text); err == nil && !strings.HasPrefix(n.Text, "+") && math.Abs(float64(i)) <= 1e9 {
			v.SetInt(int64(i))
			d.limits(n, float64(i), nil, f, path)
			return
		}
	}
	d.add("wrong-type", n.Place, path, "found %s for %s, expected a whole number%s", found(n), quote(f.key), unquoted(n))
}

func unquoted(n *Node) string {
	if n.Kind == ScalarNode && n.Quoted {
		if _, ok := decimal(n.Text); ok {
			return "; take the quotes away"
		}
	}
	return ""
}

func (d *decoder) number(n *Node, v reflect.Value, f *field, path string) {
	if n.Kind == ScalarNode && !n.Quoted {
		if x, ok := decimal(n.Text); ok {
			if math.Abs(x) > 1e9 {
				d.add("out-of-range", n.Place, path, "found %s for %s, which is too large, expected a number", found(n), quote(f.key))
			}
			v.SetFloat(x)
			d.limits(n, x, nil, f, path)
			return
		}
	}
	d.add("wrong-type", n.Place, path, "found %s for %s, expected a number%s", found(n), quote(f.key), unquoted(n))
}

// decimal reads a finite decimal number, as quantities do.
func decimal(text string) (float64, bool) {
	number, symbol, err := quantity.Split(text)
	return number, err == nil && symbol == ""
}

func (d *decoder) quantity(n *Node, v reflect.Value, f *field, path string) {
	dim := dimensionOf(v.Type())
	if n.Kind != ScalarNode {
		d.add("wrong-type", n.Place, path, "found %s for %s, expected %s", found(n), quote(f.key), dim.Expects())
		return
	}
	x, err := dim.Parse(n.Text)
	if err != nil {
		bad := err.(*quantity.Error)
		code, which := "wrong-type", ""
		if bad.Which != "" {
			code, which = "wrong-unit", ", "+bad.Which
		}
		d.add(code, n.Place, path, "found %s for %s%s, expected %s%s", found(n), quote(f.key), which, dim.Expects(), pointed(n.Text))
		return
	}
	v.SetFloat(x)
	d.limits(n, x, dim, f, path)
}

// pointed suggests a decimal point where somebody wrote a comma.
func pointed(text string) string {
	whole, rest, ok := strings.Cut(text, ",")
	if ok && isNumber(whole) && rest != "" && rest[0] >= '0' && rest[0] <= '9' {
		return "; did you mean " + quote(whole+"."+rest) + "?"
	}
	return ""
}

// limits checks least and above; x is in program units, the limits in the bare unit of the dimension.
func (d *decoder) limits(n *Node, x float64, dim *quantity.Dimension, f *field, path string) {
	unit := ""
	bare := func(limit float64) float64 { return limit }
	if dim != nil {
		bare = dim.FromBare
		if dim.Bare != "" {
			unit = " " + dim.Bare
		}
	}
	if f.above != nil && !(x > bare(*f.above)) {
		d.add("out-of-range", n.Place, path, "found %s for %s, expected more than %v%s", found(n), quote(f.key), *f.above, unit)
	}
	if f.least != nil && !(x >= bare(*f.least)) {
		d.add("out-of-range", n.Place, path, "found %s for %s, expected at least %v%s", found(n), quote(f.key), *f.least, unit)
	}
}

// anyQuantity keeps a number with a unit as written; which dimension it must be is known where it is used.
func (d *decoder) anyQuantity(n *Node, v reflect.Value, f *field, path string) {
	if n.Kind != ScalarNode {
		d.add("wrong-type", n.Place, path, "found %s for %s, expected a number with its unit", found(n), quote(f.key))
		return
	}
	_, symbol, err := quantity.Split(n.Text)
	if err != nil {
		d.add("wrong-type", n.Place, path, "found %s for %s, expected a number with its unit", found(n), quote(f.key))
		return
	}
	if symbol != "" && quantity.DimensionOf(symbol) == nil {
		d.add("wrong-unit", n.Place, path, "found %s for %s, with the unknown unit %s, expected a number with a unit such as mm, °, g or %%", found(n), quote(f.key), quote(symbol))
		return
	}
	v.Set(reflect.ValueOf(Quantity{Text: n.Text, Place: n.Place}))
}

// fixed reads a point, a direction, a turn or a corner: exactly so many numbers.
func (d *decoder) fixed(n *Node, v reflect.Value, f *field, path string) {
	names := corners(v.Type())
	if n.Kind != ListNode || len(n.List) != len(names) {
		d.add("wrong-type", n.Place, path, "found %s for %s, expected %d values [%s]", found(n), quote(f.key), len(names), strings.Join(names, ", "))
		return
	}
	good := len(d.reporter.list)
	for i, child := range n.List {
		inner := field{key: f.key + ", " + names[i], typ: v.Type().Elem()}
		d.value(child, v.Index(i), &inner, path)
	}
	if v.Type() == typeDir && len(d.reporter.list) == good && v.Interface().(Dir) == (Dir{}) {
		d.add("zero-direction", n.Place, path, "found [0, 0, 0] for %s, expected a direction of any length but zero", quote(f.key))
	}
}
