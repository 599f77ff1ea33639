package rig

import (
	"encoding/csv"
	"errors"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"lowslung/quantity"
)

// The columns of a table of points, in the order in which the manual lists them.
const (
	colAxle = iota
	colWhat
	colChassisX
	colChassisY
	colChassisZ
	colAxleX
	colAxleY
	colAxleZ
	colSide
	colLength
	colPinionAngle
	colTyreDiameter
	colTyreWidth
	colWeight
	columnCount
)

const neededColumns = colAxleZ + 1 // the columns up to here must be in the header

var columnNames = []string{
	"axle", "what", "chassis x", "chassis y", "chassis z", "axle x", "axle y", "axle z",
	"side", "length", "pinion angle", "tyre diameter", "tyre width", "weight",
}

// What a cell of the header may be besides a column.
const (
	unnamed  = -1 // nothing is written in it
	misnamed = -2 // wrong, and reported as such
)

const (
	maxRows  = 1000 // of a table, rows of points
	maxCells = 200  // of a row
)

// columnDimension is what a column's cells measure; nil for words.
func columnDimension(c int) *quantity.Dimension {
	switch c {
	case colAxle, colWhat, colSide:
		return nil
	case colPinionAngle:
		return quantity.Angle(0).Dimension()
	case colWeight:
		return quantity.Mass(0).Dimension()
	}
	return quantity.Length(0).Dimension()
}

// A sheet is a table as it was read: a header and rows of cells in the order of the columns.
type sheet struct {
	*reporter
	file  string
	lines []string
	comma rune                // between cells
	unit  [columnCount]string // of bare numbers, when the header names one: "chassis x (in)"
	lacks [columnCount]bool   // the header has no such column, which is reported when it is needed
	rows  []sheetRow
}

// A sheetRow is one row below the header.
type sheetRow struct {
	place Place // of its first cell
	cells [columnCount]sheetCell
}

// A sheetCell is one cell without blanks around it. An empty one has the place where its text would be.
type sheetCell struct {
	text  string
	place Place
}

// readSheet takes a text apart into cells, RFC 4180 with the separator found in the header and lone quotes let pass, so that 2.2" is a
// cell. False when no row can be read.
func (r *reporter) readSheet(file string, text []byte) (*sheet, bool) {
	clear, bad := clean(file, text)
	if bad != nil {
		r.list = append(r.list, *bad)
		return nil, false
	}
	s := &sheet{reporter: r, file: file, lines: strings.Split(clear, "\n"), comma: separator(clear)}
	in := csv.NewReader(strings.NewReader(clear))
	in.Comma, in.Comment, in.FieldsPerRecord, in.LazyQuotes = s.comma, '#', -1, true
	broken := false
	var at []int // column of each cell of a row, or unnamed, or misnamed
	for {
		record, err := in.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil { // no quoting is wrong with LazyQuotes, so this is not met; said rather than lost
			r.add("syntax", Place{file, 1, 1}, "", "found a text that is no table (%v), expected rows of cells with %s between them", err, s.separated())
			return nil, false
		}
		cells, whole := s.cells(in, record)
		if !whole {
			broken = true
			continue
		}
		if !slices.ContainsFunc(cells, func(c sheetCell) bool { return c.text != "" }) {
			continue
		}
		switch {
		case len(cells) > maxCells:
			r.add("row-length", cells[maxCells].place, "", "found a row of %d cells, expected at most %d", len(cells), len(columnNames))
			return nil, false
		case at == nil:
			if at = s.header(cells); at == nil {
				return nil, false
			}
		case len(s.rows) == maxRows:
			r.add("too-many", cells[0].place, "", "found more than %d rows, expected at most that", maxRows)
			return nil, false
		default:
			s.row(cells, at)
		}
	}
	switch {
	case broken:
		return s, at != nil
	case at == nil:
		r.add("empty", Place{file, 1, 1}, "", "found an empty table, expected a header row: %s", strings.Join(columnNames[:neededColumns], ", "))
		return nil, false
	case len(s.rows) == 0:
		r.add("empty", Place{file, len(s.lines), 1}, "", "found a header and no rows below it, expected one row for each link, wheel, pinion and shock")
		return nil, false
	}
	return s, true
}

// separator is the one of tab, semicolon and comma that the first line with text uses; a spreadsheet that writes decimal commas
// separates cells by one of the others.
func separator(text string) rune {
	for line := range strings.SplitSeq(text, "\n") {
		if t := strings.TrimSpace(line); t == "" || t[0] == '#' {
			continue
		}
		for _, sep := range "\t;" {
			if strings.ContainsRune(line, sep) {
				return sep
			}
		}
		break
	}
	return ','
}

func (s *sheet) separated() string {
	switch s.comma {
	case '\t':
		return "tabs"
	case ';':
		return "semicolons"
	}
	return "commas"
}

// cells gives every field of a record its place, in letters as editors count. False when one goes over several lines.
func (s *sheet) cells(in *csv.Reader, record []string) (out []sheetCell, whole bool) {
	out, whole = make([]sheetCell, len(record)), true
	for i, text := range record {
		line, col := in.FieldPos(i)
		row := s.lines[min(line, len(s.lines))-1]
		out[i].place = Place{s.file, line, utf8.RuneCountInString(row[:min(col-1, len(row))]) + 1}
		out[i].text = strings.TrimSpace(text)
		if strings.Contains(text, "\n") {
			s.add("syntax", out[i].place, "", `found a cell that goes on in the next line, expected one line for each row; is a quote (") not closed?`)
			whole = false
		}
	}
	return out, whole
}

// header finds the column that each cell names; nil when the row is no header at all.
func (s *sheet) header(cells []sheetCell) []int {
	at := make([]int, len(cells))
	seen := [columnCount]bool{}
	names := make([]string, len(cells))
	units := make([]string, len(cells))
	known := 0
	for i, c := range cells {
		names[i], units[i] = headed(c.text)
		at[i] = slices.Index(columnNames, names[i]) // −1, unnamed, for a name that is none
		if at[i] < 0 {
			near := s.nearest(names[i], columnNames)
			if at[i] = misnamed; near != "" {
				known++
			}
			continue
		}
		known++
	}
	if known == 0 {
		s.add("missing-column", cells[0].place, "", "found no column's name in the first row, expected a header row: %s", strings.Join(columnNames[:neededColumns], ", "))
		return nil
	}
	for i, c := range cells {
		switch k := at[i]; {
		case names[i] == "":
			at[i] = unnamed
			continue
		case k == misnamed:
			near := s.nearest(names[i], columnNames)
			hint := "; the columns are " + strings.Join(columnNames, ", ")
			if near != "" {
				hint = "; did you mean " + quote(near) + "?"
			}
			s.add("unknown-column", c.place, "", "found the column %s in the header, which the table does not have%s", quote(c.text), hint)
			if k = slices.Index(columnNames, near); k < 0 || seen[k] || slices.Contains(at, k) {
				continue
			}
			at[i] = k // what is meant, so that its cells are read all the same
		case seen[k]:
			s.add("column-twice", c.place, "", "found a second column %s, expected each column once", quote(names[i]))
			at[i] = misnamed
			continue
		}
		seen[at[i]] = true
		s.headUnit(at[i], units[i], c)
	}
	for k := range seen {
		if s.lacks[k] = !seen[k]; s.lacks[k] && k < neededColumns {
			s.add("missing-column", cells[0].place, "", "found no column %s in the header, expected it; the order of the columns does not matter", quote(columnNames[k]))
		}
	}
	return at
}

// headed takes a header cell apart: "Chassis_X (in)" is "chassis x" and "in".
func headed(text string) (name, unit string) {
	name = text
	if i := strings.IndexAny(text, "(["); i >= 0 && strings.ContainsAny(text[len(text)-1:], ")]") {
		name, unit = text[:i], strings.TrimSpace(text[i+1:len(text)-1])
	}
	name = strings.ReplaceAll(strings.ToLower(name), "_", " ")
	return strings.Join(strings.Fields(name), " "), unit
}

// headUnit keeps the unit of a header cell for the bare numbers below it.
func (s *sheet) headUnit(k int, unit string, c sheetCell) {
	if unit == "" {
		return
	}
	dim := columnDimension(k)
	if dim == nil {
		s.add("wrong-unit", c.place, "", "found the unit %s for the column %s, which is a word, expected none", quote(unit), quote(columnNames[k]))
		return
	}
	if _, ok := dim.Unit(unit); !ok {
		s.add("wrong-unit", c.place, "", "found the unit %s for the column %s, expected %s", quote(unit), quote(columnNames[k]), dim.Expects())
		return
	}
	s.unit[k] = unit
}

// row keeps the cells of a row by column.
func (s *sheet) row(cells []sheetCell, at []int) {
	row := sheetRow{place: cells[0].place}
	end := row.place
	end.Col = utf8.RuneCountInString(s.lines[end.Line-1]) + 1
	for k := range row.cells {
		row.cells[k].place = end // of a cell that the row is too short for
	}
	for i, c := range cells {
		switch {
		case i < len(at) && at[i] >= 0:
			row.cells[at[i]] = c
		case c.text == "" || i < len(at) && at[i] == misnamed:
		default:
			hint := ""
			if s.comma == ',' {
				hint = "; decimal commas need semicolons or tabs between the cells"
			}
			s.add("row-length", c.place, "", "found %s in cell %d, where the header has no column, expected at most %d cells in the row%s", quote(c.text), i+1, len(at), hint)
		}
	}
	s.rows = append(s.rows, row)
}

// measure reads a cell as a quantity in program units; ok is false for an empty cell and for one that is none, which is reported.
func (s *sheet) measure(row *sheetRow, k int) (value float64, ok bool) {
	c := row.cells[k]
	if c.text == "" {
		return 0, false
	}
	dim := columnDimension(k)
	text := strings.ReplaceAll(c.text, "−", "-") // U+2212, as typesetters write it
	if s.comma != ',' && strings.Count(text, ",") == 1 && !strings.Contains(text, ".") {
		text = strings.Replace(text, ",", ".", 1)
	}
	if _, symbol, err := quantity.Split(text); err == nil && symbol == "" && s.unit[k] != "" {
		text += " " + s.unit[k]
	}
	value, err := dim.Parse(text)
	if err != nil {
		code, which, hint := "wrong-type", "", ""
		if !strings.Contains(text, ".") {
			hint = pointed(text)
		}
		if bad := new(quantity.Error); errors.As(err, &bad) && bad.Which != "" {
			code, which = "wrong-unit", ", "+bad.Which
		}
		s.add(code, c.place, "", "found %s for %s%s, expected %s%s", quote(c.text), quote(columnNames[k]), which, dim.Expects(), hint)
		return 0, false
	}
	return value, true
}
