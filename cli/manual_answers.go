package cli

import (
	"fmt"
	"reflect"
	"strings"

	"lowslung/balance"
	"lowslung/bench"
	"lowslung/check"
	"lowslung/compare"
	"lowslung/drive"
	"lowslung/finding"
	"lowslung/mates"
	"lowslung/ride"
	"lowslung/rocks"
	"lowslung/search"
	"lowslung/shop"
	"lowslung/steer"
	"lowslung/tolerance"
	"lowslung/travel"
)

// The page of the answers: what --json prints, from the struct tags that the encoder itself reads.

func answersPage() []byte {
	s := newSheet("Answers as JSON", "What `--json` prints. Keys carry their unit: `_mm`, `_deg`, `_g`, `_kg`, `_n`, `_pct`; `mm_per_deg` is mm per "+
		"degree. JSON is in these units whatever `--units` says, which changes the sentences only; the one exception is a comparison's "+
		"numbers, which are in the `unit` beside them.")
	s.para("`null` means that the number does not exist or that the document lacks what it needs; a finding says which. A key marked " +
		"*may be absent* is left out when there is nothing to say.")
	w := answerWriter{sheet: s, met: map[reflect.Type]string{}}
	w.root("mates", reflect.TypeFor[mates.Answer]())
	w.root("travel", reflect.TypeFor[travel.Answer]())
	w.root("travel --solve", reflect.TypeFor[solved]())
	w.root("steer", reflect.TypeFor[steer.Answer]())
	w.root("ride", reflect.TypeFor[ride.Answer]())
	w.root("drive", reflect.TypeFor[drive.Answer]())
	w.root("rocks", reflect.TypeFor[rocks.Answer]())
	w.root("balance", reflect.TypeFor[balance.Answer]())
	w.root("search", reflect.TypeFor[search.Answer]())
	w.root("search bands", reflect.TypeFor[tolerance.Answer]())
	w.root("check", reflect.TypeFor[check.Answer]())
	w.root("compare", reflect.TypeFor[compare.Answer]())
	w.root("shop order", reflect.TypeFor[shop.Order]())
	w.root("shop prints", reflect.TypeFor[shop.Prints]())
	w.root("shop steps", reflect.TypeFor[shop.Work]())
	w.root("shop strength", reflect.TypeFor[shop.Strength]())
	w.root("shop cut", reflect.TypeFor[shop.Cut]())
	w.root("shop templates", reflect.TypeFor[shop.Templates]())
	w.root("shop weigh", reflect.TypeFor[shop.Weighed]())
	w.root("bench", reflect.TypeFor[bench.Answer]())
	w.root("bench sheet", reflect.TypeFor[bench.Sheet]())
	w.root("bin find", reflect.TypeFor[foundList]())
	w.root("bin fits", reflect.TypeFor[fittingList]())
	w.root("finding", reflect.TypeFor[finding.Finding]())
	return s.done()
}

type answerWriter struct {
	*sheet
	met map[reflect.Type]string // heading under which a type is described
}

func (w *answerWriter) root(name string, t reflect.Type) {
	w.met[t] = name
	w.describe(2, name, t)
}

// describe writes the table of a struct type, and behind it those of the struct types in it that were not met before.
func (w *answerWriter) describe(depth int, heading string, t reflect.Type) {
	w.head(depth, heading)
	type inner struct {
		heading string
		t       reflect.Type
	}
	var below []inner
	var rows [][]string
	for i := range t.NumField() {
		f := t.Field(i)
		if !f.IsExported() {
			continue
		}
		key, opts, _ := strings.Cut(f.Tag.Get("json"), ",")
		kind, holds, list := jsonKind(f.Type)
		if holds == reflect.TypeFor[finding.Finding]() {
			kind += ": [finding](#finding)"
		} else if holds != nil {
			at, seen := w.met[holds]
			if !seen {
				at = strings.TrimSuffix(heading, "[]") + "." + key
				if strings.HasSuffix(heading, "[]") {
					at = heading + "." + key
				}
				if list {
					at += "[]"
				}
				w.met[holds] = at
				below = append(below, inner{at, holds})
			}
			kind += ": [" + at + "](" + anchor(at) + ")"
		}
		if strings.Contains(opts, "omitempty") {
			kind += "; may be absent"
		}
		doc := f.Tag.Get("doc")
		if words := f.Tag.Get("enum"); words != "" && doc == "" {
			doc = strings.Join(strings.Split(words, ","), ", ")
		}
		if doc != "" {
			doc += "."
		}
		rows = append(rows, []string{code(key), kind, doc})
	}
	w.table([]string{"key", "value", "meaning"}, rows)
	for _, b := range below {
		w.describe(3, b.heading, b.t)
	}
}

// jsonKind says what JSON has for a Go type; holds is the struct inside it, list whether it comes in a list.
func jsonKind(t reflect.Type) (kind string, holds reflect.Type, list bool) {
	switch t.Kind() {
	case reflect.Pointer:
		kind, holds, list = jsonKind(t.Elem())
		return kind + " or null", holds, list
	case reflect.Struct:
		return "object", t, false
	case reflect.Slice:
		kind, holds, _ = jsonKind(t.Elem())
		return "list of " + plural(kind), holds, true
	case reflect.Array:
		kind, holds, _ = jsonKind(t.Elem())
		return fmt.Sprintf("list of %d %s", t.Len(), plural(kind)), holds, true
	case reflect.Bool:
		return "true or false", nil, false
	case reflect.Int, reflect.Int64, reflect.Uint64:
		return "whole number", nil, false
	case reflect.Float64:
		return "number", nil, false
	case reflect.String:
		return "text", nil, false
	}
	if t.Kind() == reflect.Map {
		inner, holds, _ := jsonKind(t.Elem())
		return "object: " + inner + " by name", holds, false
	}
	panic("cli: the manual has no word for a " + t.String())
}

func plural(kind string) string {
	for _, one := range []string{"number", "object", "text", "list"} {
		if rest, ok := strings.CutPrefix(kind, one); ok {
			return one + "s" + rest
		}
	}
	return kind
}
