package store

import (
	"container/list"
	"errors"
	"io/fs"
	"maps"
	"slices"
	"sync"

	"lowslung/ride"
	"lowslung/rig"
	"lowslung/solid"
)

// Loaded is one document with everything that was read for it. It is never changed, and depends on nothing but its texts.
type Loaded struct {
	Build  *rig.Build        // nil for a bin
	Model  *solid.Model      // nil for a bin
	Texts  map[string][]byte // of every text read: the document, its bases and bins
	hashes map[string]Hash
	bin    *rig.BinBuild // of a bin, as long as the change goes on that has read it
}

// Load reads and resolves a document as the snapshot has it. What was loaded last is kept, so that asking again costs little.
// The error is rig.Diagnostics when the texts are at fault: that takes an earlier version of the program to have saved them.
func (v Snapshot) Load(file string) (*Loaded, error) {
	present, err := v.hashes()
	if err != nil {
		return nil, err
	}
	if l := v.kept.get(file, present); l != nil {
		return l, nil
	}
	v.kept.loading.Lock()
	defer v.kept.loading.Unlock()
	if l := v.kept.get(file, present); l != nil {
		return l, nil
	}
	l, err := (&shelf{rest: v.Source(), memory: &v.kept.memory}).load(file)
	if err == nil {
		v.kept.put(file, l)
	}
	return l, err
}

// hashes are those of all present texts and meshes.
func (v Snapshot) hashes() (map[string]Hash, error) {
	if v.seen != nil && *v.seen != nil {
		return *v.seen, nil
	}
	rows, err := v.tx.QueryContext(v.ctx, `SELECT d.file, r.hash`+documentTables+` WHERE d.removed_at IS NULL`)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	present := map[string]Hash{}
	for rows.Next() {
		var file string
		var hash Hash
		if err := rows.Scan(&file, &hash); err != nil {
			return nil, err
		}
		present[file] = hash
	}
	if rows.Err() != nil {
		return nil, rows.Err()
	}
	meshes, err := v.present()
	if err != nil {
		return nil, err
	}
	maps.Copy(present, meshes)
	if v.seen != nil {
		*v.seen = present
	}
	return present, nil
}

// readWith are the bases and bins that a document was read with, by name.
func (l *Loaded) readWith(file string) []readWith {
	var with []readWith
	for other, hash := range l.hashes {
		if other != file {
			with = append(with, readWith{other, hash})
		}
	}
	slices.SortFunc(with, func(a, b readWith) int { return cmpText(a.file, b.file) })
	return with
}

// readWith is a base or bin with which a document was read.
type readWith struct {
	file string
	hash Hash
}

// A shelf is a set of texts by file name: changes that are about to be saved, over what is present.
type shelf struct {
	changes map[string][]byte
	rest    rig.Source // nil when the changes are all there is
	memory  *rig.Memory
	kept    map[string][]byte
}

func (s *shelf) read(name string) ([]byte, error) {
	if text, ok := s.changes[name]; ok {
		return text, nil
	}
	if text, ok := s.kept[name]; ok {
		return text, nil
	}
	if _, ok := KindOf(name); !ok && !IsMesh(name) {
		return nil, noMesh
	}
	if s.rest == nil {
		return nil, fs.ErrNotExist
	}
	text, err := s.rest(name)
	if err == nil && !IsMesh(name) { // those are large, and most documents have none
		if s.kept == nil {
			s.kept = map[string][]byte{}
		}
		s.kept[name] = text
	}
	return text, err
}

// noMesh says what to do about a mesh that the workshop does not have.
const noMesh = rig.Advice("bring it in first, by the page's Meshes or with lowslung workshop import: an .stl or .3mf file, by the name that it has beside the document")

// load reads and resolves one document. The error is rig.Diagnostics when the texts are at fault.
func (s *shelf) load(file string) (*Loaded, error) {
	l := &Loaded{Texts: map[string][]byte{}, hashes: map[string]Hash{}}
	read := func(name string) ([]byte, error) {
		text, err := s.read(name)
		if err == nil {
			l.hashes[name] = HashOf(text)
			if !IsMesh(name) {
				l.Texts[name] = text
			}
		}
		return text, err
	}
	if kind, _ := KindOf(file); kind == Bin {
		text, err := read(file)
		if err != nil {
			return nil, err
		}
		l.bin, err = s.memory.LoadBin(file, text)
		return l, err
	}
	var err error
	if l.Build, err = s.memory.Load(read, file); err != nil {
		return nil, err
	}
	m, err := solid.Resolve(l.Build)
	if err != nil {
		return nil, err
	}
	l.Model = ride.Stand(m)
	return l, nil
}

// mostKept is the number of loaded documents that are kept: some hundred kilobytes each.
const mostKept = 64

// keep holds the documents loaded last. An entry is used only while every text it came from is still the present one, so it
// needs no telling when something is saved, whoever saved it.
type keep struct {
	memory  rig.Memory
	loading sync.Mutex // one load at a time: those who wait find it done
	mu      sync.Mutex // guards the rest
	order   *list.List // of *kept, the one used last in front
	at      map[string]*list.Element
}

type kept struct {
	file string
	*Loaded
}

func newKeep() *keep { return &keep{order: list.New(), at: map[string]*list.Element{}} }

func (k *keep) get(file string, present map[string]Hash) *Loaded {
	k.mu.Lock()
	defer k.mu.Unlock()
	e, ok := k.at[file]
	if !ok {
		return nil
	}
	l := e.Value.(*kept).Loaded
	for name, hash := range l.hashes {
		if now, there := present[name]; !there || now != hash {
			return nil
		}
	}
	k.order.MoveToFront(e)
	return l
}

func (k *keep) put(file string, l *Loaded) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if e, ok := k.at[file]; ok {
		k.order.Remove(e)
	}
	k.at[file] = k.order.PushFront(&kept{file, l})
	for k.order.Len() > mostKept {
		last := k.order.Back()
		delete(k.at, last.Value.(*kept).file)
		k.order.Remove(last)
	}
}

// gather adds diagnostics to the list and passes any other error on.
func gather(list *rig.Diagnostics, err error) error {
	var d rig.Diagnostics
	if errors.As(err, &d) {
		*list = append(*list, d...)
		return nil
	}
	return err
}
