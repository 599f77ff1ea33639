package rig

import (
	"crypto/sha256"
	"iter"
	"strings"
)

// A bin as a table, *.bin.csv: what a shop's list of thousands of items is kept as. It is read many times faster than YAML, and holds
// more; the tree of an item, which YAML has for all, is made for the few that a document names.

// IsTable says that a document is a table, by its name.
func IsTable(file string) bool { return strings.HasSuffix(strings.ToLower(file), ".csv") }

// MaxBytesOf is the largest text of a document of that name.
func MaxBytesOf(file string) int {
	if IsTable(file) {
		return MaxTableBytes
	}
	return MaxBytes
}

// A stock is one bin as the loader looks items up in it.
type stock struct {
	bin   *Bin
	at    map[string]int    // index of an item by id
	nodes func(i int) *Node // tree of an item
	lines iter.Seq2[int, string]
	table *itemReader // what a table was read by; nil for YAML
	sound bool        // its items have been held against themselves
}

func (s *stock) part(id string) (*Part, bool) {
	i, ok := s.at[id]
	if !ok {
		return nil, false
	}
	return &s.bin.Items[i].Value, true
}

// A tableBefore is a table as it was before a change: rows of it that stand in the same line, with the same bytes, are not read again.
type tableBefore struct {
	lines []string
	*stock
}

// beforeChange is a table with its text; nil when rows and lines of the table do not go one with one.
func beforeChange(s *stock, text []byte) *tableBefore {
	clear, bad := cleanUpTo(s.table.file, text, MaxTableBytes)
	if bad != nil {
		return nil
	}
	for i := range s.table.rows {
		if s.table.rows[i].line != i+2 {
			return nil
		}
	}
	lines := strings.Split(clear, "\n")
	if n := len(s.table.rows) + 1; len(lines) != n && (len(lines) != n+1 || lines[n] != "") {
		return nil // the last row goes on over several lines
	}
	return &tableBefore{lines, s}
}

// row is the row that stands in a line of the text, when it has stood there before, and under the same header.
func (e *tableBefore) row(lines []string, line int) (r itemRow, p Part, is bool) {
	if e == nil || line < 2 || line > len(e.table.rows)+1 || lines[0] != e.lines[0] || lines[line-1] != e.lines[line-1] {
		return r, p, false
	}
	return e.table.rows[line-2], e.bin.Items[line-2].Value, true
}

// table reads a bin that is a table; nil when it has mistakes, which are reported.
func (l *loader) table(file string, text []byte) *stock {
	key := remembered{file, sha256.Sum256(text)}
	if s := l.memory.table(key); s != nil {
		return s
	}
	t := &itemReader{reporter: &reporter{near: l.near}, file: file, strict: true, plans: l.plans, options: ItemsOptions{Most: 50}, before: l.before}
	t.known = newItemColumns(l.plans)
	t.read(text)
	l.near = t.near
	if len(t.list) > 0 {
		l.list = append(l.list, t.list...)
		return nil
	}
	s := &stock{bin: &Bin{Lowslung: 1, Place: Place{file, 1, 1}, Items: t.parts}, at: make(map[string]int, len(t.rows)), table: t, sound: true}
	for i := range t.rows {
		s.at[t.rows[i].id] = i
	}
	t.lines, t.first, t.slugs, t.parts, t.before = nil, nil, nil, nil, nil
	tree := func(i int, lent *nursery, where []Place) *Node {
		r := &t.rows[i]
		place := Place{file, r.line, 1}
		for k := range where {
			where[k] = place
		}
		maker := itemReader{reporter: &reporter{}, known: t.known, used: t.used, at: t.at, lent: lent} // t itself is shared
		return maker.node(maker.reporter, r.cells, where, place, r.id)
	}
	s.nodes = func(i int) *Node { return tree(i, nil, make([]Place, len(t.used))) }
	s.lines = func(yield func(int, string) bool) {
		lent, where := &nursery{}, make([]Place, len(t.used))
		for i := range t.rows {
			if !yield(i, tree(i, lent, where).Line()) {
				return
			}
		}
	}
	l.memory.putTable(key, s, len(text))
	return s
}
