package rig

import (
	"fmt"
	"iter"
	"slices"
	"strings"
)

// A shelf is what the document's bins hold: the first bin that has an item counts.
type shelf struct {
	files []string
	bins  []*stock
	torn  bool // a bin could not be read, so an item that is not found is not missed
}

func (s *shelf) part(id string) (*Part, bool) {
	for _, b := range s.bins {
		if p, ok := b.part(id); ok {
			return p, true
		}
	}
	return nil, false
}

func (s *shelf) node(id string) *Node {
	for _, b := range s.bins {
		if i, ok := b.at[id]; ok {
			return b.nodes(i)
		}
	}
	return nil
}

// kept is the shelf without the trees of its bins, which take thirty times the memory of their text.
func (s shelf) kept() shelf {
	bins := make([]*stock, len(s.bins))
	for i, b := range s.bins {
		bins[i] = &stock{bin: b.bin, at: b.at, sound: b.sound}
	}
	s.bins = bins
	return s
}

// A BinBuild is a bin document as it was read, alone.
type BinBuild struct {
	*Bin
	stock *stock
}

// Line is item i as one line of YAML.
func (b *BinBuild) Line(i int) string { return b.stock.nodes(i).Line() }

// Lines are the items, each as one line of YAML.
func (b *BinBuild) Lines() iter.Seq2[int, string] {
	if b.stock.lines != nil {
		return b.stock.lines
	}
	return func(yield func(int, string) bool) {
		for i := range b.Items {
			if !yield(i, b.stock.nodes(i).Line()) {
				return
			}
		}
	}
}

// At is the place of the item called id among Items.
func (b *BinBuild) At(id string) (i int, ok bool) {
	i, ok = b.stock.at[id]
	return i, ok
}

// Tree is the item called id as it was written; nil when there is none.
func (b *BinBuild) Tree(id string) *Node {
	if i, ok := b.stock.at[id]; ok {
		return b.stock.nodes(i)
	}
	return nil
}

// LoadBin reads a bin document. All mistakes found are returned together as Diagnostics.
func (m *Memory) LoadBin(file string, text []byte) (*BinBuild, error) {
	return m.loadBin(file, text, nil)
}

func (m *Memory) loadBin(file string, text []byte, before *tableBefore) (*BinBuild, error) {
	l := loader{reporter: &reporter{}, memory: m, plans: plans{}, files: []string{file}, before: before}
	var s *stock
	if IsTable(file) {
		s = l.table(file, text)
	} else if root := l.tree(file, text); root != nil && l.isMap(root) {
		s = l.bin(root)
		checkItems(l.reporter, s)
	}
	if len(l.list) > 0 {
		return nil, l.list.sorted(l.files)
	}
	return &BinBuild{s.bin, s}, nil
}

// readBins reads the bins that the merged document names, each relative to the file that names it.
func (l *loader) readBins(tree *Node) []*Bin {
	l.shelf = shelf{}
	list := tree.Get("bins")
	if list == nil || list.Kind != ListNode {
		return nil // a wrong type is reported by the decoder
	}
	var bins []*Bin
	for _, at := range list.List {
		if at.Kind != ScalarNode {
			l.torn()
			continue
		}
		file, bad := inside(folder(at.Place.File), at.Text)
		if bad != "" {
			l.add("bad-bin", at.Place, "bins", `found %s among "bins", %s`, found(at), bad)
			l.torn()
			continue
		}
		if slices.Contains(l.shelf.files, file) {
			l.add("bad-bin", at.Place, "bins", `found %s twice among "bins", expected each bin once`, found(at))
			continue
		}
		b := l.stock(file, at)
		if b == nil {
			l.torn()
			continue
		}
		l.shelf.files = append(l.shelf.files, file)
		l.shelf.bins = append(l.shelf.bins, b)
		bins = append(bins, b.bin)
	}
	return bins
}

// stock reads one bin; nil when it cannot be read.
func (l *loader) stock(file string, at *Node) *stock {
	if !IsTable(file) {
		root := l.read(file, at, "bins")
		if root == nil || !l.isMap(root) {
			return nil
		}
		return l.bin(root)
	}
	text, ok := l.text(file, at, "bins")
	if !ok {
		return nil
	}
	return l.table(file, text)
}

func (l *loader) torn() { l.shelf.torn, l.broken = true, true }

func (l *loader) bin(root *Node) *stock {
	bin := &Bin{}
	s := &stock{bin: bin, at: map[string]int{}}
	if items := root.Get("items"); items != nil && len(items.Keys) > MaxThings {
		l.add("too-many", items.Place, "items", "found %d items, expected at most %d", len(items.Keys), MaxThings)
		l.torn()
		return s
	}
	d := decoder{reporter: l.reporter, plans: l.plans}
	d.decode(root, bin, "the bin")
	if bin.Lowslung != 1 && root.Get("lowslung") != nil {
		l.version(root, bin.Lowslung)
	}
	nodes := make([]*Node, len(bin.Items))
	for i := range bin.Items { // decoded in the order of the keys
		id, node := bin.Items[i].Name, root.Get("items").Keys[i].Value
		if inner := node.Get("item"); inner != nil {
			l.add("nested-item", inner.Place, "items/"+id+"/item", `found "item" in the bin item %s, expected its own fields; an item cannot stand on another`, quote(id))
			node = without(node, "item")
		}
		nodes[i] = node
		if _, there := s.at[id]; !there {
			s.at[id] = i
		}
	}
	s.nodes = func(i int) *Node { return nodes[i] }
	return s
}

func (l *loader) version(root *Node, v int) {
	at := root.Get("lowslung")
	if at.Kind == ScalarNode && v != 0 {
		l.add("version", at.Place, "lowslung", "found version %d of the format, expected 1, which is what this program reads", v)
	} else if at.Text == "0" {
		l.add("version", at.Place, "lowslung", "found version 0 of the format, expected 1, which is what this program reads")
	}
}

// find is the node of a bin item; when it is missing that is reported at the place where it is named, once.
func (l *loader) find(at *Node, path string) *Node {
	if at == nil || at.Kind != ScalarNode {
		return nil
	}
	if node := l.shelf.node(at.Text); node != nil {
		return node
	}
	l.missing(at, path, "item", "")
	return nil
}

// missing reports a bin item that is not there. Kind, when it is not empty, narrows the suggestion to items of that kind.
func (l *loader) missing(at *Node, path, what, kind string) {
	if l.shelf.torn {
		return
	}
	l.add("no-such-item", at.Place, path, "found the %s %s, %s", what, quote(at.Text), l.expects(&l.shelf, at.Text, kind))
}

func (r *reporter) expects(s *shelf, word, kind string) string {
	if len(s.files) == 0 {
		return `but the document names no bins to look it up in; expected "bins: [file]"`
	}
	var names []string
	for _, b := range s.bins {
		for i := range b.bin.Items {
			if kind == "" || b.bin.Items[i].Value.Kind == kind {
				names = append(names, b.bin.Items[i].Name)
			}
		}
	}
	slices.Sort(names)
	names = slices.Compact(names)
	what := "an item"
	if kind != "" {
		what = "an item of kind " + kind
	}
	return fmt.Sprintf("expected %s of %s%s", what, strings.Join(s.files, ", "), r.suggest(word, names))
}

// supplies says that the bin item of the part, shock or shaft that path leads into has a value there.
func (s *shelf) supplies(tree *Node, path []string) bool {
	for n := len(path) - 1; n >= 2; n-- {
		owner := tree.At(path[:n]...)
		id := owner.Get("item")
		if id == nil {
			continue
		}
		item := s.node(id.Text)
		return item.At(path[n:]...) != nil || item.Get("shock").At(path[n:]...) != nil || item.Get("shaft").At(path[n:]...) != nil
	}
	return false
}
