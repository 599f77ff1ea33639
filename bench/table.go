package bench

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"lowslung/quantity"
	"lowslung/rig"
)

// Columns of a table of readings; what the bench sheet's table has, and what is read back. Only of and is must be there.
var Columns = []string{"name", "of", "at", "side", "is", "within", "angle", "block", "load", "volts", "when", "how", "what"}

const mostRows = 5000

// ReadTable reads a table of readings (CSV, RFC 4180; semicolons with decimal commas too). Rows whose reading is empty are left out: not
// everything on a bench sheet gets measured. Mistakes are rig.Diagnostics with their lines, all at once.
func ReadTable(file string, text []byte) (rig.Map[rig.Reading], error) {
	if !utf8.Valid(text) {
		return nil, rig.Diagnostics{{Code: "encoding", Place: rig.Place{File: file, Line: 1, Col: 1}, Text: "found bytes that are no UTF-8, expected UTF-8 text; save the table as UTF-8"}}
	}
	text = bytes.TrimPrefix(text, []byte("\xef\xbb\xbf"))
	head, _, _ := bytes.Cut(text, []byte("\n"))
	r := csv.NewReader(bytes.NewReader(text))
	r.FieldsPerRecord = -1
	r.TrimLeadingSpace = true
	commas := false
	if bytes.Count(head, []byte(";")) > bytes.Count(head, []byte(",")) {
		r.Comma, commas = ';', true
	}
	t := table{file: file, commas: commas}
	for n := 0; ; n++ {
		row, err := r.Read()
		if err == io.EOF {
			break
		}
		var bad *csv.ParseError
		if errors.As(err, &bad) {
			t.fail("syntax", bad.Line, bad.Column, "found a table that breaks off: %v, expected comma-separated values", bad.Err)
			break
		}
		if err != nil {
			return nil, err
		}
		line, _ := r.FieldPos(0)
		switch {
		case n == 0:
			t.head(row, line)
			if len(t.bad) > 0 {
				return nil, t.bad
			}
		case n > mostRows:
			t.fail("too-large", line, 1, "found more than %d rows, expected fewer", mostRows)
			return nil, t.bad
		default:
			t.row(row, line)
		}
	}
	if t.at == nil && len(t.bad) == 0 {
		t.fail("empty", 1, 1, "found an empty table, expected a first row with the columns of and is")
	}
	if len(t.bad) > 0 {
		return nil, t.bad
	}
	return t.out, nil
}

type table struct {
	file   string
	commas bool
	at     map[string]int // column of each name
	out    rig.Map[rig.Reading]
	bad    rig.Diagnostics
}

func (t *table) fail(code string, line, col int, format string, args ...any) {
	t.bad = append(t.bad, rig.Diagnostic{Code: code, Place: rig.Place{File: t.file, Line: line, Col: col}, Text: fmt.Sprintf(format, args...)})
}

func (t *table) head(row []string, line int) {
	t.at = map[string]int{}
	for i, h := range row {
		name := strings.ToLower(strings.TrimSpace(h))
		if !slices.Contains(Columns, name) {
			near := rig.Nearest(name, Columns)
			if near != "" {
				near = fmt.Sprintf("; did you mean %q?", near)
			}
			if name != "" {
				t.fail("unknown-key", line, i+1, "found the column %q, expected one of %s%s", h, strings.Join(Columns, ", "), near)
			}
			continue
		}
		if _, twice := t.at[name]; twice {
			t.fail("duplicate-key", line, i+1, "found the column %q twice, expected it once", name)
		}
		t.at[name] = i
	}
	for _, need := range []string{"of", "is"} {
		if _, ok := t.at[need]; !ok {
			t.fail("missing-key", line, 1, "found no column %q, expected one", need)
		}
	}
}

// cell is a row's text under a column, and the column's number.
func (t *table) cell(row []string, name string) (string, int) {
	i, ok := t.at[name]
	if !ok || i >= len(row) {
		return "", 1
	}
	return strings.TrimSpace(row[i]), i + 1
}

func (t *table) row(row []string, line int) {
	is, col := t.cell(row, "is")
	if is == "" {
		return
	}
	number := func(s string) string {
		if t.commas {
			return strings.ReplaceAll(s, ",", ".")
		}
		return s
	}
	place := func(col int) rig.Place { return rig.Place{File: t.file, Line: line, Col: col} }
	r := rig.Reading{Place: place(1), Is: rig.Quantity{Text: number(is), Place: place(col)}}
	if _, _, err := quantity.Split(number(is)); err != nil {
		t.fail("not-a-number", line, col, `found %q for "is", expected a number with its unit`, is)
	}
	for name, into := range map[string]*string{"of": &r.Of, "at": &r.At, "side": &r.Side, "when": &r.When, "how": &r.How} {
		*into, _ = t.cell(row, name)
	}
	if _, ok := r.KindOf(); !ok {
		_, col := t.cell(row, "of")
		var kinds []string
		for _, k := range rig.ReadingKinds() {
			kinds = append(kinds, k.Of)
		}
		near := ""
		if n := rig.Nearest(r.Of, kinds); n != "" {
			near = fmt.Sprintf("; did you mean %q?", n)
		}
		t.fail("unknown-word", line, col, `found %q for "of", expected %s%s`, r.Of, strings.Join(kinds, ", "), near)
		return
	}
	if r.Side != "" && r.Side != "left" && r.Side != "right" {
		_, col := t.cell(row, "side")
		t.fail("unknown-word", line, col, `found %q for "side", expected left or right`, r.Side)
	}
	if w, col := t.cell(row, "within"); w != "" {
		r.Within = &rig.Quantity{Text: number(w), Place: place(col)}
		if _, _, err := quantity.Split(number(w)); err != nil {
			t.fail("not-a-number", line, col, `found %q for "within", expected a number with its unit`, w)
		}
	}
	value := func(name string, d *quantity.Dimension, into func(v float64)) {
		s, col := t.cell(row, name)
		if s == "" {
			return
		}
		v, err := d.Parse(number(s))
		switch {
		case err != nil:
			t.fail("wrong-unit", line, col, "%v for %q", err, name)
		case v <= 0:
			t.fail("out-of-range", line, col, "found %q for %q, expected more than 0", s, name)
		default:
			into(v)
		}
	}
	value("angle", quantity.DimAngle, func(v float64) { q := quantity.Angle(v); r.Angle = &q })
	value("block", quantity.DimLength, func(v float64) { q := quantity.Length(v); r.Block = &q })
	value("load", quantity.DimMass, func(v float64) { q := quantity.Mass(v); r.Load = &q })
	value("volts", quantity.Voltage(0).Dimension(), func(v float64) { q := quantity.Voltage(v); r.Volts = &q })
	name, col := t.cell(row, "name")
	if name == "" {
		name = strings.TrimSpace(strings.Join([]string{r.Of, r.At, r.Side}, " "))
	}
	if _, again := t.out.Get(name); again {
		t.fail("name-twice", line, col, "found a second reading called %q, expected each name once", name)
		return
	}
	t.out = append(t.out, rig.Entry[rig.Reading]{Name: name, Place: place(col), Value: r})
}
