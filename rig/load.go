package rig

import (
	"errors"
	"fmt"
	"io/fs"
)

// A Source reads one file of a workshop. The name is slash-separated and relative to the workshop folder; it never
// leaves it. The error of a file that is not there satisfies errors.Is(err, fs.ErrNotExist).
type Source func(name string) ([]byte, error)

// A Build is a document as it was read: the text's tree after merging its bases, and the typed document with the bin
// items filled in.
type Build struct {
	File  string    // name given to Load
	Doc   *Document // typed, bases merged, items filled in
	Tree  *Node     // merged tree before items were filled in, without the key base: what compare reads
	Files []string  // every file read, in order: the document, its bases from near to far, its bins
	Bins  []*Bin    // as named by the merged document, in order

	// Meshes holds the STL and 3MF files that shapes name, by the name that the workshop has for them: see Mesh. They are not among Files.
	Meshes map[string][]byte

	shelf shelf
	full  *Node  // tree with items filled in; only kept for With
	again *again // nil for a document without a search: section
}

// Item is the bin item called id: first bin first.
func (b *Build) Item(id string) (*Part, bool) { return b.shelf.part(id) }

// Load reads the named document with its bases and bins. All mistakes found are returned together as Diagnostics; the
// build is nil when there is any. A document that is not there gives an error that satisfies
// errors.Is(err, fs.ErrNotExist).
func Load(src Source, name string) (*Build, error) { return load(nil, src, name) }

// An absent document is an error that satisfies errors.Is(err, fs.ErrNotExist), without what the system calls it.
type absent struct {
	file  string
	cause error
}

func (a *absent) Error() string {
	return fmt.Sprintf("found no file %s, expected a rig document", quote(a.file))
}
func (a *absent) Unwrap() error { return a.cause }

func load(memory *Memory, src Source, name string) (*Build, error) {
	l := loader{reporter: &reporter{}, src: src, memory: memory, plans: plans{}}
	file, bad := inside("", name)
	if bad != "" {
		return nil, fmt.Errorf("found the file name %s, %s", quote(name), bad)
	}
	text, err := src(file)
	if err != nil {
		if errors.Is(err, fs.ErrNotExist) {
			return nil, &absent{file, err}
		}
		return nil, fmt.Errorf("%s cannot be read: %w", quote(file), err)
	}
	b := &Build{File: file}
	l.files = []string{file}
	if root := l.tree(file, text); root != nil && l.isMap(root) {
		l.chain = []*Node{root}
		l.bases(file)
		l.build(b)
	}
	b.Files = l.files
	if len(l.list) > 0 {
		return nil, l.list.sorted(l.files)
	}
	return b, nil
}

// A loader carries one Load through its steps.
type loader struct {
	*reporter
	plans
	src    Source
	memory *Memory      // nil when nothing is remembered
	before *tableBefore // of a bin that is a table and has been changed; nil for none
	files  []string
	chain  []*Node // trees as written: the document first, then its bases from near to far
	shelf  shelf
	broken bool // a base or a bin could not be read, so what it would have supplied is not missed
}

func (l *loader) isMap(root *Node) bool {
	if root.Kind != MapNode {
		l.add("wrong-type", root.Place, "", `found %s, expected a document of keys and values that begins with "lowslung: 1"`, found(root))
		return false
	}
	return true
}

// build merges the chain, fills items in, decodes and checks.
func (l *loader) build(b *Build) {
	for _, doc := range l.chain {
		l.hollow(doc, "")
	}
	var tree *Node
	for i := len(l.chain) - 1; i >= 0; i-- {
		tree = Merge(tree, without(l.chain[i], "base"))
	}
	b.Tree = tree
	if !l.fits(tree) {
		return
	}
	b.Bins = l.readBins(tree)
	defer func() { b.shelf = l.shelf.kept() }()
	b.shelf = l.shelf
	full := l.fill(tree)
	b.Doc = &Document{}
	d := decoder{reporter: l.reporter, plans: l.plans, lenient: l.broken}
	d.decode(full, b.Doc, "the document")
	if base := l.chain[0].Get("base"); base != nil && base.Kind == ScalarNode {
		b.Doc.Base = base.Text
	}
	if !l.broken {
		l.surplusNulls(tree)
		check(l.reporter, b, full)
		l.meshes(b)
		if b.Doc.Search != nil {
			b.full, b.again = full, &again{chain: l.chain, shelf: l.shelf, files: l.files, plans: l.plans}
		}
	}
}

// hollow reports values left empty: in a patch, nothing would remove, which must be said by writing null.
func (l *loader) hollow(n *Node, path string) {
	for i := range n.Keys {
		k := &n.Keys[i]
		at := join(path, k.Name)
		if k.Value.Kind == NullNode && k.Value.Text == "" {
			l.add("empty-value", k.Place, at, "found nothing after %s, expected a value; write null to take out what a base has, {} for nothing in it", quote(k.Name+":"))
			continue
		}
		l.hollow(k.Value, at)
	}
	for _, child := range n.List {
		l.hollow(child, path)
	}
}

// fits holds the document against the limit on its size.
func (l *loader) fits(tree *Node) bool {
	things := 0
	for _, at := range [][]string{{"chassis", "parts"}, {"front", "parts"}, {"rear", "parts"}, {"links"}} {
		if n := tree.At(at...); n != nil {
			things += len(n.Keys)
		}
	}
	if things > MaxThings {
		l.add("too-many", tree.Place, "", "found %d parts and links, expected at most %d", things, MaxThings)
		return false
	}
	return true
}

// without is a map without one of its keys.
func without(n *Node, key string) *Node {
	if n.Key(key) == nil {
		return n
	}
	out := *n
	out.Keys = make([]Key, 0, len(n.Keys)-1)
	for _, k := range n.Keys {
		if k.Name != key {
			out.Keys = append(out.Keys, k)
		}
	}
	return &out
}
