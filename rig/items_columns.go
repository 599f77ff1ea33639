package rig

import (
	"reflect"
	"slices"
	"strings"

	"lowslung/quantity"
)

// A table of items has one item in each row and one of these columns over each cell. Most columns belong to a kind of part and are
// named after the key of the document: a gear's "teeth", a motor's "max current".

// An itemColumn is one column that a table of items may have.
type itemColumn struct {
	name string
	dim  *quantity.Dimension // what its cells measure; nil for words and plain numbers
	cell cellKind
	at   map[string][]string // kind → keys that lead to the value in an item; under "" for every kind
	enum []string
}

// A cellKind is how the cells of a column are read.
type cellKind uint8

const (
	cellText cellKind = iota
	cellNumber
	cellWhole
	cellTruth
	cellMoney
	cellSize // stands for several columns: 5x11x4, M3x12
	cellCurrency
)

// Columns with a meaning of their own.
const (
	colItem     = "item"
	colKind     = "kind"
	colTitle    = "title"
	colMass     = "mass"
	colWeighed  = "weighed"
	colPrice    = "price"
	colCurrency = "currency"
	colSize     = "size"
)

// partKeys are the keys of an item that every kind has, before and after those of its kind.
var partKeys = [2][]string{{colKind, colTitle}, {"material", colMass, colWeighed, colPrice, colCurrency, "from", "have", "made", "notes"}}

// kindKeys lead from a kind to the key under which an item has the fields of that kind.
var kindKeys = []struct{ kind, key string }{
	{"screw", "screw"}, {"nut", "screw"}, {"washer", "screw"}, {"bearing", "bearing"}, {"gear", "gear"}, {"rod", "rod"}, {"rod end", "end"},
	{"shock", "shock"}, {"spring", "spring"}, {"shaft", "shaft"}, {"tyre", "tyre"}, {"motor", "motor"}, {"battery", "pack"},
	{"controller", "controller"}, {"servo", "servo"},
}

// portColumns are dimensions that an item has at a port only.
var portColumns = []struct {
	kind, name string
	at         []string
	doc        string
}{
	{"pin", "diameter", []string{"ports", "pin", "diameter"}, "Diameter"},
	{"pin", "length", []string{"ports", "pin", "length"}, "Length"},
	{"spacer", "bore", []string{"ports", "hole", "diameter"}, "Diameter of the hole"},
	{"spacer", "length", []string{"ports", "hole", "length"}, "Length"},
	{"tyre", "hex", []string{"ports", "hex", "width"}, "Hex of the wheel, across flats"},
	{"motor", "bolt circle", []string{"ports", "face", "circle"}, "Diameter of the circle of threads in its face"},
	{"motor", "bolts", []string{"ports", "face", "holes"}, "How many threads there are in its face"},
}

// sizes are what the column size stands for, kind by kind, in the order in which the trade writes them.
var sizes = []struct {
	kind    string
	columns []string
}{
	{"screw", []string{"thread", "length"}},
	{"nut", []string{"thread"}},
	{"washer", []string{"thread"}},
	{"bearing", []string{"bore", "outer", "width"}},
	{"pin", []string{"diameter", "length"}},
	{"rod", []string{"diameter", "length"}},
	{"tyre", []string{"diameter", "width"}},
	{"spacer", []string{"bore", "length"}},
}

func sizeColumns(kind string) []string {
	for _, s := range sizes {
		if s.kind == kind {
			return s.columns
		}
	}
	return nil
}

// itemColumns is the list of all columns, in the order in which tables are written.
type itemColumns struct {
	list  []*itemColumn
	named map[string]*itemColumn
	kinds []string // that a part may be of
}

func newItemColumns(ps plans) *itemColumns {
	cs := &itemColumns{named: map[string]*itemColumn{}}
	part := ps.of(reflect.TypeFor[Part]())
	cs.put(&itemColumn{name: colItem})
	cs.general(part, partKeys[0])
	cs.kinds = part.fields[part.byKey[colKind]].enum
	for _, k := range kindKeys {
		inner := part.fields[part.byKey[k.key]].typ.Elem()
		for _, f := range ps.of(inner).fields {
			if c, ok := columnOf(&f, columnName(f.key)); ok {
				cs.put(c).at[k.kind] = []string{k.key, f.key}
			}
		}
	}
	for _, p := range portColumns {
		f := ps.of(reflect.TypeFor[Port]()).field(p.at[len(p.at)-1])
		c, _ := columnOf(&f, p.name)
		cs.put(c).at[p.kind] = p.at
	}
	cs.put(&itemColumn{name: colSize, cell: cellSize})
	cs.general(part, partKeys[1])
	return cs
}

func (cs *itemColumns) general(part *plan, keys []string) {
	for _, key := range keys {
		f := part.field(key)
		c, _ := columnOf(&f, columnName(key))
		switch key {
		case colPrice:
			c.cell = cellMoney
		case colCurrency:
			c.cell = cellCurrency
		}
		cs.put(c).at[""] = []string{key}
	}
}

func (p *plan) field(key string) field { return p.fields[p.byKey[key]] }

// put adds a column unless there is one of its name, and gives the one that counts.
func (cs *itemColumns) put(c *itemColumn) *itemColumn {
	if there := cs.named[c.name]; there != nil {
		return there
	}
	if c.at == nil {
		c.at = map[string][]string{}
	}
	cs.named[c.name] = c
	cs.list = append(cs.list, c)
	return c
}

// columnOf makes the column of a field; false for fields that are more than one value.
func columnOf(f *field, name string) (*itemColumn, bool) {
	t := f.typ
	if t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	c := &itemColumn{name: name, dim: dimensionOf(t), enum: f.enum, at: map[string][]string{}}
	switch {
	case c.dim != nil, t.Kind() == reflect.Float64:
		c.cell = cellNumber
	case t.Kind() == reflect.Int:
		c.cell = cellWhole
	case t.Kind() == reflect.Bool:
		c.cell = cellTruth
	case t.Kind() != reflect.String:
		return nil, false
	}
	return c, true
}

func columnName(key string) string { return strings.ReplaceAll(key, "_", " ") }

// place is where a column's value stands in an item of the kind; nil when such an item has none.
func (c *itemColumn) place(kind string) []string {
	if at := c.at[""]; at != nil {
		return at
	}
	return c.at[kind]
}

// names lists the columns as headers may call them.
func (cs *itemColumns) names() []string {
	out := make([]string, len(cs.list))
	for i, c := range cs.list {
		out[i] = c.name
	}
	return out
}

// ItemColumns lists the columns that a table of items may have.
func ItemColumns() []string { return newItemColumns(plans{}).names() }

// ItemColumnKinds lists the kinds of part that have the column; nil when all have it.
func ItemColumnKinds(name string) []string {
	c := newItemColumns(plans{}).named[name]
	if c == nil || c.at[""] != nil || name == colItem {
		return nil
	}
	var kinds []string
	if name == colSize {
		for _, s := range sizes {
			kinds = append(kinds, s.kind)
		}
	}
	for kind := range c.at {
		kinds = append(kinds, kind)
	}
	slices.Sort(kinds)
	return kinds
}

// ItemColumnDoc is what the manual says of a column: the unit of its bare numbers, empty for none, and a sentence, or one for each kind where
// they differ.
func ItemColumnDoc(name string) (unit, doc string) {
	switch name {
	case colItem:
		return "", "What a part's `item` says; each once."
	case colSize:
		return "mm", "Several dimensions in one cell, as the trade writes them: " + sizeDoc() + "."
	}
	ps := plans{}
	c := newItemColumns(ps).named[name]
	if c == nil {
		return "", ""
	}
	if c.dim != nil {
		unit = c.dim.Bare
	}
	part := ps.of(reflect.TypeFor[Part]())
	if at := c.at[""]; at != nil {
		return unit, sentence(part.field(at[0]))
	}
	var texts []string
	kinds := map[string][]string{}
	add := func(kind, text string) {
		if kinds[text] == nil {
			texts = append(texts, text)
		}
		kinds[text] = append(kinds[text], kind)
	}
	for _, k := range kindKeys {
		if at := c.at[k.kind]; at != nil && at[0] == k.key {
			add(k.kind, sentence(ps.of(part.field(at[0]).typ.Elem()).field(at[1])))
		}
	}
	for _, p := range portColumns {
		if p.name == name {
			add(p.kind, p.doc+".")
		}
	}
	if len(texts) == 1 {
		return unit, texts[0]
	}
	for i, text := range texts {
		texts[i] = strings.Join(kinds[text], ", ") + ": " + lowerFirst(text)
	}
	return unit, strings.Join(texts, " ")
}

func sentence(f field) string {
	text := f.doc
	if len(f.enum) > 0 && len(f.enum) <= 8 {
		text += ": " + strings.Join(f.enum, ", ")
	}
	return text + "."
}

func sizeDoc() string {
	var out []string
	for _, s := range sizes {
		out = append(out, strings.Join(s.columns, " × ")+" of a "+s.kind)
	}
	return strings.Join(out, ", ")
}
