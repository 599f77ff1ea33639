package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"strings"
	"unicode"
	"unicode/utf8"

	"lowslung/mates"
	"lowslung/quantity"
)

// An Item is one item of a bin of the workshop.
type Item struct {
	Bin      string // file of the bin
	Name     string // what a part's item says
	Title    string
	Kind     string
	Mass     *quantity.Mass
	Weighed  bool // the weight is from a scale
	Price    *float64
	Currency string
	From     string
	Have     *int
	Notes    string
	Line     string // as written, on one line
}

// ItemQuery says which items are looked for; empty fields ask for nothing.
type ItemQuery struct {
	Text   string   // words, each of which an item has a word that begins with it
	Kind   string   // kind of part
	Bins   []string // files of bins
	Limit  int      // at most so many; 50 when 0
	Offset int      // leave out so many
}

// mostWords is how many words of a query count: more find nothing that fewer would not.
const mostWords = 12

const itemColumns = `d.file, i.name, i.title, i.kind, i.mass, i.weighed, i.price, i.currency, i.source, i.have, i.notes, i.line`

func scanItem(row interface{ Scan(...any) error }, more ...any) (it Item, err error) {
	var mass, price sql.NullFloat64
	var have sql.NullInt64
	err = row.Scan(append([]any{&it.Bin, &it.Name, &it.Title, &it.Kind, &mass, &it.Weighed, &price, &it.Currency, &it.From, &have, &it.Notes, &it.Line}, more...)...)
	if mass.Valid {
		m := quantity.Mass(mass.Float64)
		it.Mass = &m
	}
	if price.Valid {
		it.Price = &price.Float64
	}
	if have.Valid {
		n := int(have.Int64)
		it.Have = &n
	}
	return it, err
}

// Items finds items of the present bins: one that is called just so first, then those in stock, then the others, each in the order in which
// they came into the workshop. more says that there are others behind them.
func (v Snapshot) Items(q ItemQuery) (list []Item, more bool, err error) {
	limit := q.Limit
	if limit <= 0 {
		limit = 50
	}
	bins, err := v.binIDs(q.Bins)
	if err != nil || len(q.Bins) > 0 && len(bins) == 0 {
		return []Item{}, false, err
	}
	words := searchWords(q.Text)
	if len(words) == 0 && strings.TrimSpace(q.Text) != "" {
		return []Item{}, false, nil // nothing to look for in it
	}
	match := matching(words[:min(len(words), mostWords)], q.Kind, bins)
	list = []Item{}
	skip := q.Offset
	exact := strings.TrimSpace(q.Text)
	for _, group := range []struct {
		from string
		args []any
	}{
		{`item i CROSS JOIN item_words w ON w.rowid = i.id WHERE i.name = ?1 AND item_words MATCH ?2`, []any{exact, match}},
		{`item_words w CROSS JOIN item i ON i.id = w.rowid WHERE item_words MATCH ?2 AND i.name <> ?1`, []any{exact, match + ` AND marks:"` + inStock + `"`}},
		{`item_words w CROSS JOIN item i ON i.id = w.rowid WHERE item_words MATCH ?2 AND i.name <> ?1`, []any{exact, "(" + match + `) NOT marks:"` + inStock + `"`}},
	} {
		found, err := v.group(group.from, append(group.args, limit+1-len(list), skip)...)
		if err != nil {
			return nil, false, err
		}
		if len(found) == 0 && skip > 0 {
			var n int
			if err := v.tx.QueryRowContext(v.ctx, `SELECT count(*) FROM `+group.from, group.args...).Scan(&n); err != nil {
				return nil, false, err
			}
			skip -= n
			continue
		}
		skip = 0
		if list = append(list, found...); len(list) > limit {
			return list[:limit], true, nil
		}
	}
	return list, false, nil
}

func (v Snapshot) group(from string, args ...any) ([]Item, error) {
	where := strings.Replace(from, " WHERE ", " JOIN document d ON d.id = i.document WHERE ", 1)
	rows, err := v.tx.QueryContext(v.ctx, `SELECT `+itemColumns+` FROM `+where+` ORDER BY w.rowid LIMIT ?3 OFFSET ?4`, args...)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var list []Item
	for rows.Next() {
		it, err := scanItem(rows)
		if err != nil {
			return nil, err
		}
		list = append(list, it)
	}
	return list, rows.Err()
}

// matching writes the full-text query (SQLite FTS5, 3): every word as the beginning of one, and every filter.
func matching(words []string, kind string, bins []int64) string {
	var all []string
	for _, w := range words {
		all = append(all, `words:"`+w+`"*`)
	}
	if kind != "" {
		all = append(all, `marks:"`+kindMark(strings.Join(searchWords(kind), " "))+`"`)
	}
	if len(bins) > 0 {
		var any []string
		for _, id := range bins {
			any = append(any, `marks:"`+binMark(id)+`"`)
		}
		all = append(all, "("+strings.Join(any, " OR ")+")")
	}
	if len(all) == 0 {
		return `marks:"k."*` // everything has a kind
	}
	return strings.Join(all, " AND ")
}

// binIDs are the numbers of the bins of these names; of none for names that are no bins.
func (v Snapshot) binIDs(files []string) ([]int64, error) {
	var ids []int64
	for _, file := range files {
		d, err := v.Named(file)
		if CodeOf(err) == NotFound {
			continue
		}
		if err != nil {
			return nil, err
		}
		if d.Kind == Bin {
			ids = append(ids, d.ID)
		}
	}
	return ids, nil
}

// searchWords takes a text apart into the words that it is found by: letters, digits and points, in lower case; 5 × 11 × 4 is 5x11x4,
// and 2,5 is 2.5. It goes through each text of a list of 50,000 items, so it goes through it once.
func searchWords(text string) []string {
	text = strings.ToLower(text)
	out := make([]string, 0, 8)
	var long [64]byte
	word := long[:0]
	end := func() {
		if w := strings.Trim(string(word), "."); w != "" {
			out = append(out, w)
		}
		word = word[:0]
	}
	digit := func(i int) bool { return i >= 0 && i < len(text) && text[i] >= '0' && text[i] <= '9' }
	for i := 0; i < len(text); {
		r, n := utf8.DecodeRuneInString(text[i:])
		switch {
		case r == ',' && digit(i-1) && digit(i+1):
			word = append(word, '.')
		case len(word) > 0 && isDigit(word[len(word)-1]) && (r == ' ' || r == 'x' || r == '×' || r == '*'):
			if next, is := pastTimes(text, i); is {
				word = append(word, 'x')
				i = next
				continue
			}
			if r == 'x' {
				word = append(word, 'x')
			} else {
				end()
			}
		case r == '.' || unicode.IsLetter(r) || unicode.IsDigit(r) || unicode.IsMark(r):
			word = append(word, text[i:i+n]...)
		default:
			end()
		}
		i += n
	}
	end()
	return out
}

func isDigit(b byte) bool { return b >= '0' && b <= '9' }

// pastTimes is where the digit begins that a sign for times, with spaces about it or none, leads to from i.
func pastTimes(text string, i int) (next int, is bool) {
	for i < len(text) && text[i] == ' ' {
		i++
	}
	r, n := utf8.DecodeRuneInString(text[i:])
	if r != 'x' && r != '×' && r != '*' {
		return 0, false
	}
	for i += n; i < len(text) && text[i] == ' '; {
		i++
	}
	return i, i < len(text) && isDigit(text[i])
}

// A Fitting is an item that goes on a port.
type Fitting struct {
	Item
	Port string // of the item
	Fit  string // in words
	Why  string // with both dimensions
}

// mostLooked is how many items at most are held against a port for one answer; beyond that the answer says there may be more.
const mostLooked = 5000

// Fits finds the items of the present bins that go on a port: those in stock first, then by size. more says that there are, or may be,
// others.
func (v Snapshot) Fits(p *mates.Port, bins []string, limit int) (list []Fitting, more bool, err error) {
	if limit <= 0 {
		limit = 50
	}
	ids, err := v.binIDs(bins)
	if err != nil || len(bins) > 0 && len(ids) == 0 {
		return []Fitting{}, false, err
	}
	f := fitter{Snapshot: v, port: p, bins: ids, limit: limit + 1, seen: map[int64]bool{}, list: []Fitting{}}
	for _, stock := range []int{1, 0} {
		for _, s := range p.Spans() {
			if err := f.look(s, stock); err != nil {
				return nil, false, err
			}
		}
	}
	return f.list[:min(limit, len(f.list))], len(f.list) > limit || f.looked >= mostLooked, nil
}

// A fitter gathers what goes on one port.
type fitter struct {
	Snapshot
	port   *mates.Port
	bins   []int64
	limit  int
	looked int
	seen   map[int64]bool
	list   []Fitting
}

func (f *fitter) look(s mates.Span, stock int) error {
	if len(f.list) >= f.limit || f.looked >= mostLooked {
		return nil
	}
	args := []any{s.Kind, stock, s.Least, s.Most}
	only := ""
	if len(f.bins) > 0 {
		only = ` AND i.document IN (` + strings.TrimSuffix(strings.Repeat("?, ", len(f.bins)), ", ") + `)`
		for _, id := range f.bins {
			args = append(args, id)
		}
	}
	rows, err := f.tx.QueryContext(f.ctx, `SELECT `+itemColumns+`, p.port, i.id FROM item_port p CROSS JOIN item i ON i.id = p.item JOIN document d ON d.id = i.document
		WHERE p.kind = ? AND p.stock = ? AND p.size BETWEEN ? AND ?`+only+` ORDER BY p.size, p.rowid`, args...)
	if err != nil {
		return err
	}
	defer rows.Close()
	for len(f.list) < f.limit && f.looked < mostLooked && rows.Next() {
		var text string
		var id int64
		it, err := scanItem(rows, &text, &id)
		if err != nil {
			return err
		}
		if f.looked++; f.seen[id] {
			continue
		}
		var q mates.Port
		if err := json.Unmarshal([]byte(text), &q); err != nil {
			return err
		}
		if fit, why, ok := mates.Meet(f.port, &q); ok {
			f.seen[id] = true
			f.list = append(f.list, Fitting{it, q.Name, fit, why})
		}
	}
	return rows.Err()
}

// Items is what the snapshot of this moment finds.
func (s *Store) Items(ctx context.Context, q ItemQuery) (list []Item, more bool, err error) {
	err = s.Look(ctx, func(v Snapshot) error { list, more, err = v.Items(q); return err })
	return list, more, err
}

// EachItem calls fn with the items of a bin in the order written, until it returns false.
func (v Snapshot) EachItem(file string, fn func(*Item) bool) error {
	rows, err := v.tx.QueryContext(v.ctx, `SELECT `+itemColumns+` FROM item i JOIN document d ON d.id = i.document WHERE d.file = ? AND d.removed_at IS NULL ORDER BY i.place`, file)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		it, err := scanItem(rows)
		if err != nil {
			return err
		}
		if !fn(&it) {
			break
		}
	}
	return rows.Err()
}

// ItemCounts are the numbers of items of the present bins, by file.
func (v Snapshot) ItemCounts() (map[string]int, error) {
	rows, err := v.tx.QueryContext(v.ctx, `SELECT d.file, (SELECT count(*) FROM item WHERE document = d.id) FROM document d WHERE d.kind = 'bin' AND d.removed_at IS NULL`)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	out := map[string]int{}
	for rows.Next() {
		var file string
		var n int
		if err := rows.Scan(&file, &n); err != nil {
			return nil, err
		}
		out[file] = n
	}
	return out, rows.Err()
}
