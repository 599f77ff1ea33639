package rig

import (
	"encoding/csv"
	"errors"
	"io"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Limits of a table of items; beyond them comes a clear error.
const (
	MaxTableBytes = 32 << 20 // of text
	MaxTableRows  = 100_000  // below the header
	maxCellLines  = 40       // of one cell in quotes
	maxCellBytes  = 4 << 10  // of one cell
)

// An itemReader takes a table of items apart. Its mistakes go to the reporter; the rest it counts.
type itemReader struct {
	*reporter
	file    string
	lines   []string // only for the places of mistakes
	comma   rune     // between cells
	strict  bool     // the header has our names and nothing else
	options ItemsOptions
	known   *itemColumns
	plans   plans

	uses    []ColumnUse
	columns []*itemColumn // by column of the table; nil for those left out
	used    []*itemColumn // columns that items have values for
	at      map[string]int

	rows     []itemRow
	parts    Map[Part]      // of strict tables: what the rows are
	part     Part           // of the row being read
	before   *tableBefore   // the table before a change; nil for none
	lent     *nursery       // nodes of the row being read; nil where trees are kept
	texts    []string       // room for the cells of rows to come
	where    []Place        // of the cells of the row being read
	first    map[string]int // line of each id
	slugs    map[string]int
	count    int // rows read
	bad      int // of them with mistakes
	mistakes int // in them
}

// An itemRow is one item: a text for each used column, as a document would have it.
type itemRow struct {
	id    string
	line  int
	cells []string
}

// An itemCell is one cell with its place; the column counts bytes until a mistake is told.
type itemCell struct {
	text  string
	place Place
}

// read goes through the whole table. False when no item can be read at all.
func (t *itemReader) read(text []byte) bool {
	clear, bad := cleanUpTo(t.file, text, MaxTableBytes)
	if bad != nil {
		t.list = append(t.list, *bad)
		return false
	}
	total := strings.Count(clear, "\n")
	t.lines, t.comma = strings.Split(clear, "\n"), separator(clear)
	t.first, t.slugs = map[string]int{}, map[string]int{}
	in := csv.NewReader(strings.NewReader(clear))
	in.Comma, in.FieldsPerRecord, in.LazyQuotes, in.ReuseRecord = t.comma, -1, true, true
	var cells []itemCell // of one row after the other
	for {
		record, err := in.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil { // with LazyQuotes only a quote that is never closed
			t.add("syntax", Place{t.file, 1, 1}, "", `found a text that is no table (%v), expected rows of cells; is a quote (") not closed?`, err)
			return false
		}
		line, _ := in.FieldPos(0)
		if !slices.ContainsFunc(record, func(s string) bool { return strings.TrimSpace(s) != "" }) {
			continue
		}
		if cap(cells) < len(record) {
			cells = make([]itemCell, len(record))
		}
		cells = cells[:len(record)]
		for i, s := range record {
			l, c := in.FieldPos(i)
			cells[i] = itemCell{strings.TrimSpace(s), Place{t.file, l, c}}
		}
		switch {
		case !t.sound(cells):
			return false
		case t.columns == nil:
			if !t.begin(cells) {
				return false
			}
			continue
		case t.count == MaxTableRows:
			t.add("too-many", Place{t.file, line, 1}, "", "found more than %d rows, expected at most that; take the table apart", MaxTableRows)
			return false
		}
		t.row(line, cells)
		if p := t.options.Progress; p != nil && t.count%1000 == 0 {
			p(line, total)
		}
	}
	switch {
	case t.columns == nil:
		t.add("empty", Place{t.file, 1, 1}, "", "found an empty table, expected a header row and below it one row for each item")
	case t.count == 0:
		t.add("empty", Place{t.file, len(t.lines), 1}, "", "found a header and no rows below it, expected one row for each item")
	}
	if t.mistakes > len(t.list) && len(t.list) == t.most() {
		t.list = append(t.list, Diagnostic{Code: "too-many", Place: t.list[len(t.list)-1].Place, Text: t.sum()})
	}
	t.lettered()
	return len(t.rows) > 0
}

// most is how many mistakes of rows are told one by one.
func (t *itemReader) most() int {
	if t.options.Most > 0 {
		return t.options.Most
	}
	return 50
}

// sound refuses what shows that the quotes or the separators of the table are wrong.
func (t *itemReader) sound(cells []itemCell) bool {
	if len(cells) > maxCells {
		t.add("row-length", cells[maxCells].place, "", "found a row of %d cells, expected at most %d", len(cells), maxCells)
		return false
	}
	for i, c := range cells {
		if strings.Count(c.text, "\n") > maxCellLines {
			t.add("syntax", c.place, "", `found a cell that goes on over more than %d lines, expected fewer; is a quote (") not closed?`, maxCellLines)
			return false
		}
		if len(c.text) > maxCellBytes {
			t.add("too-large", c.place, "", "found a cell of %d bytes, expected at most %d", len(c.text), maxCellBytes)
			return false
		}
		cells[i].text = singleSpaced(c.text)
	}
	return true
}

// singleSpaced puts one blank for each run of white space. Nearly all cells are so already.
func singleSpaced(text string) string {
	for i := range len(text) {
		c := text[i]
		if c >= utf8.RuneSelf || c < ' ' || c == ' ' && (i == 0 || i == len(text)-1 || text[i-1] == ' ') {
			return strings.Join(strings.Fields(text), " ")
		}
	}
	return text
}

// begin takes the header. False when the table cannot be read with it.
func (t *itemReader) begin(cells []itemCell) bool {
	before := len(t.list)
	t.headers(cells)
	use := func(name string) {
		c := t.known.named[name]
		if _, there := t.at[name]; c != nil && !there {
			t.at[name] = len(t.used)
			t.used = append(t.used, c)
		}
	}
	t.at = map[string]int{}
	use(colItem)
	for _, c := range t.columns {
		switch {
		case c == nil:
		case c.cell == cellSize:
			for _, s := range sizes {
				for _, name := range s.columns {
					use(name)
				}
			}
		default:
			use(c.name)
			if c.cell == cellMoney {
				use(colCurrency)
			}
		}
	}
	for i := range t.options.Set {
		t.set(&t.options.Set[i], cells[0].place)
		use(t.options.Set[i].Column)
	}
	if _, has := t.at[colKind]; !has {
		t.add("missing-column", cells[0].place, "", `found no column for "kind" in the header, expected one, or one kind for all rows; the kinds are %s`, strings.Join(t.known.kinds, ", "))
	}
	if !slices.Contains(t.columns, t.known.named[colItem]) && (t.strict || !slices.Contains(t.columns, t.known.named[colTitle])) {
		what := `"item" or "title"`
		if t.strict {
			what = `"item"`
		}
		t.add("missing-column", cells[0].place, "", "found no column for %s in the header, expected what each item is called", what)
	}
	slices.SortStableFunc(t.used, func(a, b *itemColumn) int { return slices.Index(t.known.list, a) - slices.Index(t.known.list, b) })
	for i, c := range t.used {
		t.at[c.name] = i
	}
	t.where, t.lent = make([]Place, len(t.used)), &nursery{}
	rows := min(len(t.lines), MaxTableRows)
	t.rows = make([]itemRow, 0, rows)
	if t.strict {
		t.parts = make(Map[Part], 0, rows)
	}
	return len(t.list) == before
}

// set checks a value that is to hold for all rows that say nothing.
func (t *itemReader) set(v *ItemValue, at Place) {
	v.Column, _ = headed(v.Column)
	c := t.known.named[v.Column]
	switch {
	case c == nil || c.cell == cellSize || c.name == colItem:
		t.add("unknown-column", at, "", "found %s to be set for all rows, which is no such column%s", quote(v.Column), t.suggest(v.Column, t.known.names()))
	case c.name == colKind:
		if v.Value = t.known.kindOf(v.Value); !slices.Contains(t.known.kinds, v.Value) {
			t.add("unknown-word", at, "", "found the kind %s to be set for all rows, expected %s%s", quote(v.Value), oneOf(t.known.kinds), t.reporter.like(v.Value, t.known.kinds))
		}
	case c.cell == cellCurrency:
		if code, ok := currencyOf(v.Value); ok {
			v.Value = code
		}
	}
}

// row takes one row in, or counts it as bad.
func (t *itemReader) row(line int, cells []itemCell) {
	t.count++
	own := &reporter{near: t.near}
	place := Place{t.file, line, 1}
	if len(cells) > 0 {
		place = cells[0].place
	}
	if len(t.texts) < len(t.used) {
		t.texts = make([]string, 1024*len(t.used))
	}
	r, part, known := t.before.row(t.lines, line)
	if !known {
		r = itemRow{line: line, cells: t.texts[:len(t.used):len(t.used)]}
		t.fill(own, &r, t.where, cells, place)
	}
	t.name(own, &r, place)
	if known {
		t.part = part
	} else if len(own.list) == 0 {
		t.decode(own, &r, t.where, place)
	}
	t.near = own.near
	if len(own.list) == 0 {
		if !known {
			t.texts = t.texts[len(t.used):]
		}
		t.rows = append(t.rows, r)
		if t.strict {
			t.parts = append(t.parts, Entry[Part]{Name: r.id, Place: Place{t.file, line, 1}, Value: t.part})
		}
		return
	}
	if !known {
		clear(r.cells)
	}
	t.bad++
	t.mistakes += len(own.list)
	for _, d := range own.list {
		if len(t.list) < t.most() {
			t.list = append(t.list, d)
		}
	}
}

// fill puts the cells of a row in the used columns, in the words of a document.
func (t *itemReader) fill(own *reporter, r *itemRow, where []Place, cells []itemCell, place Place) {
	for i := range where {
		where[i] = place
	}
	var size *itemCell
	for i := range cells {
		c := &cells[i]
		switch {
		case c.text == "":
			continue
		case i >= len(t.columns):
			hint := ""
			if t.comma == ',' {
				hint = "; decimal commas need semicolons or tabs between the cells, or quotes"
			}
			own.add("row-length", c.place, "", "found %s in cell %d, where the header has no column, expected at most %d cells in the row%s", quote(c.text), i+1, len(t.columns), hint)
			return
		case t.columns[i] == nil:
			continue
		case t.columns[i].cell == cellSize:
			size = c
			continue
		}
		k := t.at[t.columns[i].name]
		r.cells[k], where[k] = t.cell(own, t.columns[i], t.uses[i].Unit, c, r), c.place
	}
	for _, v := range t.options.Set {
		if v.Column == colCurrency && t.empty(r, colPrice) {
			continue // it is for those with a price
		}
		if k := t.at[v.Column]; r.cells[k] == "" {
			r.cells[k] = v.Value
		}
	}
	if size != nil {
		t.sized(own, r, where, size)
	}
}

func (t *itemReader) empty(r *itemRow, column string) bool {
	k, ok := t.at[column]
	return !ok || r.cells[k] == ""
}

// cell rewrites one cell as a document has it.
func (t *itemReader) cell(own *reporter, c *itemColumn, unit string, from *itemCell, r *itemRow) string {
	text := from.text
	switch {
	case t.strict && len(c.enum) > 0:
		return text
	case c.name == colKind:
		return t.known.kindOf(text)
	case c.name == "head":
		if word := headWords[plainWords(text)]; word != "" {
			return word
		}
		return plainWords(text)
	case len(c.enum) > 0:
		return plainWords(text)
	case c.name == "thread" || c.name == "bolt":
		return TidyThread(text)
	}
	switch c.cell {
	case cellTruth:
		word := truths[plainWords(text)]
		if word == "" {
			own.add("wrong-type", from.place, c.name, "found %s for %s, expected yes or no", quote(text), quote(c.name))
		}
		return word
	case cellCurrency:
		code, ok := currencyOf(text)
		if !ok {
			own.add("wrong-type", from.place, c.name, "found %s for %s, expected three letters as in ISO 4217, such as EUR", quote(text), quote(c.name))
		}
		return code
	case cellMoney:
		number, currency := price(text)
		if currency == "" {
			currency = unit
		}
		if k := t.at[colCurrency]; currency != "" && r.cells[k] == "" {
			r.cells[k] = currency
		} else if currency != "" && r.cells[k] != currency {
			own.add("contradiction", from.place, c.name, "found a price in %s and the currency %s, expected one of them", currency, r.cells[k])
		}
		text = number
	}
	if c.cell == cellNumber || c.cell == cellWhole || c.cell == cellMoney {
		number, bad := decimals(text, t.comma, c.cell == cellMoney)
		if bad != "" {
			own.add("ambiguous", from.place, c.name, "found %s for %s, %s", quote(from.text), quote(c.name), bad)
			return ""
		}
		if text = number; c.dim != nil && unit != "" && unit != c.dim.Bare && isNumber(text) {
			text += " " + unit
		}
	}
	return text
}

// sized fills the columns that a cell with the size stands for; those that have columns of their own keep what these say.
func (t *itemReader) sized(own *reporter, r *itemRow, where []Place, from *itemCell) {
	kind := r.cells[t.at[colKind]]
	columns := sizeColumns(kind)
	if columns == nil {
		return // of other kinds it is told in the title
	}
	parts := sizeParts(from.text, t.comma)
	if len(parts) > len(columns) || len(parts) == 0 {
		own.add("wrong-type", from.place, colSize, "found %s for %s, expected %s of this %s with x between", quote(from.text), quote(colSize), strings.Join(columns, ", "), kind)
		return
	}
	for i, part := range parts {
		if k := t.at[columns[i]]; r.cells[k] == "" {
			r.cells[k], where[k] = part, from.place
		}
	}
}

// name gives the row its id: as written, or made of the title; each once.
func (t *itemReader) name(own *reporter, r *itemRow, place Place) {
	r.id = r.cells[t.at[colItem]]
	if r.id == "" && !t.strict {
		title := ""
		if k, ok := t.at[colTitle]; ok {
			title = r.cells[k]
		}
		if r.id = t.slug(title); r.id == "" {
			own.add("missing-cell", place, "", "found a row without an item's name or title, expected one of them")
			return
		}
		r.cells[t.at[colItem]] = r.id
	}
	if r.id == "" {
		own.add("missing-cell", place, colItem, `found nothing in the column "item", expected what the item is called`)
		return
	}
	if line, twice := t.first[r.id]; twice {
		own.add("name-twice", place, "items/"+r.id, "found a second item called %s, the first is in line %d; expected each name once", quote(r.id), line)
		return
	}
	t.first[r.id] = r.line
	(&world{reporter: own}).name(r.id, place, "items/"+r.id, "item")
}

// slug makes an id of a title: "Bearing 5×11×4, shielded" is bearing-5x11x4-shielded; a second one gets a number behind.
func (t *itemReader) slug(title string) string {
	var b strings.Builder
	gap := false
	for _, r := range strings.ToLower(title) {
		switch {
		case r == '×':
			r = 'x'
			fallthrough
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9', r == '.', r > 0xbf && r != '–' && r != '—' && r != '…' && r != '″' && r != '€':
			if gap && b.Len() > 0 {
				b.WriteByte('-')
			}
			gap = false
			b.WriteRune(r)
		default:
			gap = true
		}
		if b.Len() > 60 {
			break
		}
	}
	id := strings.Trim(b.String(), "-.")
	if id == "" {
		return ""
	}
	for base := id; ; {
		if _, taken := t.first[id]; !taken {
			return id
		}
		t.slugs[base]++
		id = base + "-" + strconv.Itoa(t.slugs[base]+1)
	}
}

// decode makes the item's part, with every check that a bin's items have.
func (t *itemReader) decode(own *reporter, r *itemRow, where []Place, place Place) {
	node := t.node(own, r.cells, where, place, r.id)
	if len(own.list) > 0 {
		return
	}
	d := decoder{reporter: own, plans: t.plans, lenient: true}
	t.part = Part{}
	d.structure(node, reflect.ValueOf(&t.part).Elem(), r.id, "items/"+r.id)
	if len(own.list) == 0 {
		(&world{reporter: own}).body(&t.part, "items/"+r.id)
	}
}

// lettered turns the columns of the mistakes' places from bytes into letters, as editors count.
func (t *itemReader) lettered() {
	for i := range t.list {
		p := &t.list[i].Place
		if p.Line < 1 || p.Line > len(t.lines) {
			continue
		}
		line := t.lines[p.Line-1]
		p.Col = utf8.RuneCountInString(line[:min(max(p.Col-1, 0), len(line))]) + 1
	}
}
