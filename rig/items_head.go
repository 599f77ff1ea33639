package rig

import (
	"fmt"
	"slices"
	"strings"

	"github.com/hbollon/go-edlib"
)

// A ColumnUse says how one column of a table of items is taken.
type ColumnUse struct {
	Header string `json:"header" doc:"As the table has it"`
	Column string `json:"column" doc:"Column of ours that it is; empty when it is left out"`
	Unit   string `json:"unit" doc:"Unit or currency of its bare numbers; empty for the usual one"`
	How    string `json:"how" enum:"asked,name,word,near,left out" doc:"asked: as told; name: it is the column's name; word: another word for it; near: a name much like it; left out: none of these, or told so"`
}

// How a column of a table came to be taken as one of ours.
const (
	asAsked   = "asked"
	asNamed   = "name"
	asWord    = "word"
	asNear    = "near"
	asLeftOut = "left out"
)

// ParseColumn reads "Gewicht=mass" or "Gewicht=mass (oz)"; "EAN=-" leaves a column out.
func ParseColumn(text string) (ColumnUse, error) {
	i := strings.LastIndex(text, "=")
	if i < 1 || strings.TrimSpace(text[i+1:]) == "" {
		return ColumnUse{}, fmt.Errorf(`found the column %s, expected "header=column", such as "Gewicht=mass", "Preis=price (EUR)" or "EAN=-" to leave one out`, quote(text))
	}
	name, unit := headed(strings.TrimSpace(text[i+1:]))
	if name == "-" {
		name = ""
	}
	return ColumnUse{Header: strings.TrimSpace(text[:i]), Column: name, Unit: unit, How: asAsked}, nil
}

// headers finds out which of our columns each column of the table is. Strict tables have our names and nothing else.
func (t *itemReader) headers(cells []itemCell) {
	t.uses = make([]ColumnUse, len(cells))
	t.columns = make([]*itemColumn, len(cells))
	t.asked(cells)
	for i, c := range cells {
		u := &t.uses[i]
		u.Header = c.text
		if u.How == asAsked || c.text == "" {
			continue
		}
		u.How = asLeftOut
		name, unit := headed(c.text)
		if t.columns[i] = t.known.named[name]; t.columns[i] != nil {
			u.How, u.Unit = asNamed, unit
			continue
		}
		if !t.strict {
			t.guess(i, name, unit)
		}
	}
	t.once(cells)
	for i, c := range cells {
		switch u := &t.uses[i]; {
		case t.columns[i] != nil:
			u.Column = t.columns[i].name
			t.headUnit(i, c)
		case t.strict && c.text != "" && u.How == asLeftOut:
			name, _ := headed(c.text)
			if t.known.named[name] != nil {
				continue // there twice, and reported as such
			}
			t.add("unknown-column", c.place, "", "found the column %s in the header, which a table of items does not have%s", quote(c.text), t.suggest(name, t.known.names()))
		}
	}
}

// asked puts the columns in that the caller has named.
func (t *itemReader) asked(cells []itemCell) {
	var heads []string
	for _, c := range cells {
		heads = append(heads, c.text)
	}
	for _, want := range t.options.Columns {
		i := slices.IndexFunc(heads, func(h string) bool { return h == want.Header })
		if i < 0 {
			i = slices.IndexFunc(heads, func(h string) bool { return plainWords(h) == plainWords(want.Header) })
		}
		at := cells[0].place
		if i < 0 {
			t.add("missing-column", at, "", "found no column %s in the header, which was to be taken as %s%s", quote(want.Header), quote(want.Column), t.suggest(want.Header, heads))
			continue
		}
		t.uses[i] = ColumnUse{Header: heads[i], Unit: want.Unit, How: asAsked}
		if want.Column == "" {
			t.uses[i].How = asLeftOut
			continue
		}
		name, _ := headed(want.Column)
		if t.columns[i] = t.known.named[name]; t.columns[i] == nil {
			t.add("unknown-column", cells[i].place, "", "found %s as what the column %s is to be taken as, which a table of items does not have%s",
				quote(want.Column), quote(heads[i]), t.suggest(name, t.known.names()))
		}
	}
}

// guess finds the column that a header most likely means: by another word for it, with or without a unit at its end, or by a name much
// like it.
func (t *itemReader) guess(i int, name, unit string) {
	shorter, last := name, ""
	if at := strings.LastIndexByte(name, ' '); at > 0 && unit == "" && isUnit(name[at+1:]) {
		shorter, last = strings.TrimSuffix(name[:at], " in"), name[at+1:]
	}
	for _, try := range []struct{ name, unit string }{{name, unit}, {shorter, last}} {
		if c := t.known.named[try.name]; c != nil {
			t.columns[i], t.uses[i].How, t.uses[i].Unit = c, asNamed, try.unit
			return
		}
		for column, words := range columnWords {
			if slices.Contains(words, try.name) {
				t.columns[i], t.uses[i].How, t.uses[i].Unit = t.known.named[column], asWord, try.unit
				return
			}
		}
	}
	if c := t.alike(shorter); c != nil {
		t.columns[i], t.uses[i].How, t.uses[i].Unit = c, asNear, last
		if last == "" {
			t.uses[i].Unit = unit
		}
	}
}

// alike is the column with a name or word of which at most one letter in four differs; the first of the list when several are as near.
func (t *itemReader) alike(name string) *itemColumn {
	letters := len([]rune(name))
	if letters < 4 || letters > 40 {
		return nil
	}
	var best *itemColumn
	least := letters/4 + 1
	for _, c := range t.known.list {
		for _, word := range append([]string{c.name}, columnWords[c.name]...) {
			if d := edlib.OSADamerauLevenshteinDistance(name, word); d < least {
				best, least = c, d
			}
		}
	}
	return best
}

// once keeps one column of the table for each of ours: what was asked for before a name, a name before a word, a word before a likeness.
func (t *itemReader) once(cells []itemCell) {
	rank := map[string]int{asAsked: 0, asNamed: 1, asWord: 2, asNear: 3}
	for i, c := range t.columns {
		for k := range i {
			if c == nil || t.columns[k] != c {
				continue
			}
			a, b := t.uses[k].How, t.uses[i].How
			if rank[a] <= 1 && rank[a] == rank[b] {
				t.add("column-twice", cells[i].place, "", "found the columns %s and %s in the header, which are both %s, expected each once", quote(cells[k].text), quote(cells[i].text), quote(c.name))
			}
			out := i
			if rank[b] < rank[a] {
				out = k
			}
			t.columns[out], t.uses[out].Column, t.uses[out].Unit, t.uses[out].How = nil, "", "", asLeftOut
		}
	}
}

// isUnit says that a word is a unit of any kind, or a currency.
func isUnit(word string) bool {
	if code, ok := currencyOf(word); ok && (code == "" || knownCurrency(code)) {
		return true
	}
	for _, c := range itemUnits() {
		if _, ok := unitOf(c, word); ok {
			return true
		}
	}
	return false
}

// headUnit keeps the unit of a header for the bare numbers below it.
func (t *itemReader) headUnit(i int, c itemCell) {
	u, column := &t.uses[i], t.columns[i]
	if u.Unit == "" {
		return
	}
	switch {
	case column.cell == cellMoney:
		code, ok := currencyOf(u.Unit)
		if !ok {
			t.add("wrong-unit", c.place, "", "found the currency %s for the column %s, expected three letters as in ISO 4217, such as EUR", quote(u.Unit), quote(column.name))
			return
		}
		u.Unit = code
	case column.dim != nil:
		symbol, ok := unitOf(column.dim, u.Unit)
		if !ok {
			t.add("wrong-unit", c.place, "", "found the unit %s for the column %s, expected %s", quote(u.Unit), quote(column.name), column.dim.Expects())
			return
		}
		u.Unit = symbol
	case column.cell == cellWhole || column.cell == cellSize: // pieces, teeth: "stock (pcs)"
		u.Unit = ""
	default:
		t.add("wrong-unit", c.place, "", "found the unit %s for the column %s, which has none, expected none", quote(u.Unit), quote(column.name))
	}
}
