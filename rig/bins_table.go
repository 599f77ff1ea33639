package rig

import (
	"crypto/sha256"
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
	sound bool              // its items have been held against themselves
}

func (s *stock) part(id string) (*Part, bool) {
	i, ok := s.at[id]
	if !ok {
		return nil, false
	}
	return &s.bin.Items[i].Value, true
}

// table reads a bin that is a table; nil when it has mistakes, which are reported.
func (l *loader) table(file string, text []byte) *stock {
	key := remembered{file, sha256.Sum256(text)}
	if s := l.memory.table(key); s != nil {
		return s
	}
	t := &itemReader{reporter: &reporter{near: l.near}, file: file, strict: true, plans: l.plans, options: ItemsOptions{Most: 50}}
	t.known = newItemColumns(l.plans)
	t.read(text)
	l.near = t.near
	if len(t.list) > 0 {
		l.list = append(l.list, t.list...)
		return nil
	}
	s := &stock{bin: &Bin{Lowslung: 1, Place: Place{file, 1, 1}, Items: t.parts}, at: make(map[string]int, len(t.rows)), sound: true}
	for i := range t.rows {
		s.at[t.rows[i].id] = i
	}
	t.lines, t.first, t.slugs, t.parts = nil, nil, nil, nil
	s.nodes = func(i int) *Node {
		r := &t.rows[i]
		place := Place{file, r.line, 1}
		where := make([]Place, len(t.used))
		for k := range where {
			where[k] = place
		}
		maker := itemReader{reporter: &reporter{}, known: t.known, used: t.used, at: t.at} // t itself is shared
		return maker.node(maker.reporter, r.cells, where, place, r.id)
	}
	l.memory.putTable(key, s, len(text))
	return s
}
