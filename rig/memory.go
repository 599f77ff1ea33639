package rig

import (
	"crypto/sha256"
	"sync"
)

// A Memory remembers the trees of texts, so that loading a document again parses only what has changed: mostly the document
// itself, and not its bases and bins. The zero Memory is ready for use, and safe for concurrent use.
type Memory struct {
	mu     sync.Mutex
	trees  map[remembered]*Node
	bytes  int
	tables map[remembered]*stock
	listed int // bytes of their texts
}

type remembered struct {
	file string
	hash [sha256.Size]byte
}

// A tree takes some thirty times the memory of its text.
const (
	memoryBytes = 4 << 20       // of all texts remembered; beyond that everything is forgotten and begun anew
	longText    = 512 << 10     // a longer text is not remembered
	tableBytes  = MaxTableBytes // of all tables remembered, which take some ten times that
)

// Load is Load with the trees remembered.
func (m *Memory) Load(src Source, name string) (*Build, error) { return load(m, src, name) }

// tree is parse through the memory. Only a text without mistakes is remembered.
func (l *loader) tree(file string, text []byte) *Node {
	if l.memory == nil || len(text) > longText {
		return l.parse(file, text)
	}
	key := remembered{file, sha256.Sum256(text)}
	if root := l.memory.get(key); root != nil {
		return root
	}
	before := len(l.list)
	root := l.parse(file, text)
	if root != nil && len(l.list) == before {
		l.memory.put(key, root, len(text))
	}
	return root
}

func (m *Memory) get(key remembered) *Node {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.trees[key]
}

func (m *Memory) put(key remembered, root *Node, size int) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.bytes += size; m.trees == nil || m.bytes > memoryBytes {
		m.trees, m.bytes = map[remembered]*Node{}, size
	}
	m.trees[key] = root
}

// table is a table that was read before; nil when it was not, or nothing is remembered.
func (m *Memory) table(key remembered) *stock {
	if m == nil {
		return nil
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.tables[key]
}

func (m *Memory) putTable(key remembered, s *stock, size int) {
	if m == nil {
		return
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.listed += size; m.tables == nil || m.listed > tableBytes {
		m.tables, m.listed = map[remembered]*stock{}, size
	}
	m.tables[key] = s
}
