package rig

import (
	"fmt"
	"path"
	"strings"
)

// Tables of items: ReadItems reads what a shop or a spreadsheet wrote, with any headers, and gives it back as a bin document, in YAML or
// as a table of ours; a table of ours (*.bin.csv) is a bin document like any other.

// An ItemValue is a value of one column for all rows that say nothing there.
type ItemValue struct {
	Column string `json:"column" doc:"Column of ours"`
	Value  string `json:"value" doc:"As a cell would have it"`
}

// ParseItemValue reads "currency=EUR".
func ParseItemValue(text string) (ItemValue, error) {
	name, value, ok := strings.Cut(text, "=")
	if !ok || strings.TrimSpace(name) == "" || strings.TrimSpace(value) == "" {
		return ItemValue{}, fmt.Errorf(`found %s to be set, expected "column=value", such as "kind=screw" or "currency=EUR"`, quote(text))
	}
	return ItemValue{strings.TrimSpace(name), strings.TrimSpace(value)}, nil
}

// ItemsOptions say how a table of items is read.
type ItemsOptions struct {
	Columns  []ColumnUse           // as ParseColumn gives them; the others are guessed
	Set      []ItemValue           // for rows that say nothing
	LeaveOut bool                  // rows with mistakes are left out, instead of nothing being read
	Most     int                   // mistakes that are told one by one; 50 when 0
	Progress func(done, total int) // told every thousand rows how many lines of how many are read; nil for nobody
}

// Items are what a table held.
type Items struct {
	Columns  []ColumnUse // how each column was taken, in the order of the table
	Rows     int         // below the header
	Bad      int         // of them left out for mistakes
	Mistakes Diagnostics // in those left out

	table *itemReader
}

// ReadItems reads a table of items. The error is Diagnostics: all mistakes up to the number asked for, then how many there are. With
// LeaveOut it is that only when no row is good. Columns is filled in either case when the header could be read.
func ReadItems(file string, text []byte, o ItemsOptions) (*Items, error) {
	t := &itemReader{reporter: &reporter{}, file: file, options: o, plans: plans{}}
	t.options.Set = append([]ItemValue(nil), o.Set...)
	t.known = newItemColumns(t.plans)
	ok := t.read(text)
	out := &Items{Columns: t.uses, Rows: t.count, Bad: t.bad, table: t}
	if len(t.list) > 0 && !(ok && o.LeaveOut && t.bad > 0) {
		return out, t.list
	}
	out.Mistakes = t.list
	return out, nil
}

func (t *itemReader) sum() string {
	return fmt.Sprintf("found %d mistakes in %d of %d rows; the first %d are told", t.mistakes, t.bad, t.count, t.most())
}

// Len is the number of items.
func (it *Items) Len() int { return len(it.table.rows) }

// At is the id of item i with the item.
func (it *Items) At(i int) (id string, part *Part) {
	r := &it.table.rows[i]
	it.table.decode(&reporter{}, r, make([]Place, len(it.table.used)), Place{it.table.file, r.line, 1})
	p := it.table.part
	return r.id, &p
}

// YAML is the items as a bin document, one line for each. It is longer than MaxBytes, or has more than MaxThings items, when there are
// too many for one: then take CSV.
func (it *Items) YAML(name, notes string) []byte {
	var b strings.Builder
	b.WriteString("lowslung: 1\nname: " + Scalar(name) + "\n")
	if notes != "" {
		b.WriteString("notes: " + Scalar(notes) + "\n")
	}
	b.WriteString("items:\n")
	for i := range it.table.rows {
		b.WriteString("  " + Scalar(it.table.rows[i].id) + ": " + it.Line(i) + "\n")
	}
	return []byte(b.String())
}

// Document is the items as a bin document of the kind that its name asks for.
func (it *Items) Document(file, notes string) []byte {
	if IsTable(file) {
		return it.CSV()
	}
	name := path.Base(file)
	if i := strings.Index(strings.ToLower(name), ".bin."); i > 0 {
		name = name[:i]
	}
	return it.YAML(name, notes)
}

// Line is item i on one line, as YAML.
func (it *Items) Line(i int) string {
	r := &it.table.rows[i]
	maker := itemReader{reporter: &reporter{}, known: it.table.known, used: it.table.used, at: it.table.at}
	return maker.node(maker.reporter, r.cells, make([]Place, len(it.table.used)), Place{}, r.id).Line()
}

// CSV is the items as a table of ours: only the columns that are used, commas between cells, points in numbers (RFC 4180 but for the ends
// of lines).
func (it *Items) CSV() []byte {
	var b strings.Builder
	var columns []int
	for k, c := range it.table.used {
		for i := range it.table.rows {
			if it.table.rows[i].cells[k] != "" {
				if len(columns) > 0 {
					b.WriteByte(',')
				}
				b.WriteString(c.name)
				columns = append(columns, k)
				break
			}
		}
	}
	b.WriteByte('\n')
	for i := range it.table.rows {
		for n, k := range columns {
			if n > 0 {
				b.WriteByte(',')
			}
			b.WriteString(csvCell(it.table.used[k], it.table.rows[i].cells[k]))
		}
		b.WriteByte('\n')
	}
	return []byte(b.String())
}

func csvCell(c *itemColumn, text string) string {
	if c.cell == cellTruth {
		switch text {
		case "true":
			return "yes"
		case "false":
			return "no"
		}
	}
	if strings.ContainsAny(text, ",\"\n;\t") {
		return `"` + strings.ReplaceAll(text, `"`, `""`) + `"`
	}
	return text
}
