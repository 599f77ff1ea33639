package rig

import (
	"maps"
	"strconv"
)

// What a document with a search: section keeps of its load, so that it can be loaded again with other values and without its files.
type again struct {
	chain []*Node
	shelf shelf
	files []string
	plans plans // of the types met; cloned before use, so that builds may be made side by side
}

// With is the build of the document with a patch on it, as if a document with this one as its base and the patch's keys had been loaded.
// Only a build whose document has a search: section can do it. The error is Diagnostics when the values do not fit.
func (b *Build) With(patch *Node) (*Build, error) {
	l := b.reload()
	l.chain = append([]*Node{patch}, b.again.chain...)
	out := &Build{File: b.File, Files: b.Files, Bins: b.Bins, Tree: Merge(b.Tree, patch), shelf: b.shelf, again: b.again}
	full := l.fill(out.Tree)
	out.Doc = &Document{}
	d := decoder{reporter: l.reporter, plans: l.plans}
	d.decode(full, out.Doc, "the document")
	if len(l.list) == 0 {
		check(l.reporter, out, full)
		l.meshes(out)
	}
	if len(l.list) > 0 {
		return nil, l.list.sorted(l.files)
	}
	out.full = full
	return out, nil
}

// Full is the document's tree with the bin items filled in; nil for a document without a search: section.
func (b *Build) Full() *Node { return b.full }

func (b *Build) reload() *loader {
	src := func(name string) ([]byte, error) { return b.Meshes[name], nil }
	return &loader{reporter: &reporter{}, src: src, plans: maps.Clone(b.again.plans), files: b.again.files, shelf: b.again.shelf}
}

// A Refit reads links and shocks of a build with other values, one at a time, much faster than With. One goroutine each.
type Refit struct {
	b  *Build
	l  *loader
	ww *world
}

// Refit begins with the build as it is.
func (b *Build) Refit() *Refit {
	l := b.reload()
	w := &world{reporter: l.reporter, b: b, tree: b.full, parts: map[string]*placed{}, links: map[string]int{}}
	w.gather()
	l.list = nil
	return &Refit{b: b, l: l, ww: w}
}

// Link is the link called name with a patch on its keys. Mistakes are what the values do not fit.
func (r *Refit) Link(name string, patch *Node) (*Link, Diagnostics) {
	node := Merge(r.b.full.At("links", name), patch)
	r.l.list = nil
	w := *r.ww
	w.tree = with(w.tree, "links", with(w.tree.Get("links"), name, node))
	e := Entry[Link]{Name: name, Place: node.Place}
	d := decoder{reporter: r.l.reporter, plans: r.l.plans}
	d.decode(node, &e.Value, "the link")
	if len(r.l.list) == 0 {
		w.link(&e)
	}
	return &e.Value, r.l.list
}

// Shock is the same for a shock, whose item, and those of its springs, are filled in.
func (r *Refit) Shock(name string, patch *Node) (*Shock, Diagnostics) {
	r.l.list = nil
	r.l.chain = append([]*Node{{Kind: MapNode, Keys: []Key{{Name: "shocks", Value: &Node{Kind: MapNode, Keys: []Key{{Name: name, Value: patch}}}}}}}, r.b.again.chain...)
	shock := Merge(r.b.Tree.At("shocks", name), patch)
	path := "shocks/" + name
	node := r.l.layers("shocks").over(r.l.fields(shock, path, "shock"), shock, name)
	for _, key := range []string{"springs", "above_piston", "below_piston"} {
		node = rewriteList(node, key, func(spring *Node) *Node { return Merge(r.l.fields(spring, path+"/"+key, "spring"), spring) })
	}
	w := *r.ww
	w.tree = with(w.tree, "shocks", with(w.tree.Get("shocks"), name, node))
	e := Entry[Shock]{Name: name, Place: node.Place}
	d := decoder{reporter: r.l.reporter, plans: r.l.plans}
	d.decode(node, &e.Value, "the shock")
	if len(r.l.list) == 0 {
		w.shock(&e)
	}
	return &e.Value, r.l.list
}

// SetAt is the tree with value at the path of keys, as PathOf gives them: a map is merged into what is there, null takes out, anything else
// replaces. Full is the same tree with items filled in, where a list that only an item has is found.
func SetAt(tree, full *Node, keys []string, value *Node) *Node {
	if len(keys) == 0 {
		if value.Kind == MapNode {
			return Merge(tree, value)
		}
		return value
	}
	key := keys[0]
	if tree == nil && full != nil && full.Kind == ListNode {
		tree = full
	}
	if tree != nil && tree.Kind == ListNode {
		out := *tree
		out.List = append([]*Node(nil), tree.List...)
		if i, err := strconv.Atoi(key); err == nil && i >= 0 && i < len(out.List) {
			out.List[i] = SetAt(out.List[i], nil, keys[1:], value)
		}
		return &out
	}
	out := Node{Kind: MapNode, Place: value.Place}
	if tree != nil && tree.Kind == MapNode {
		out = *tree
	}
	out.Keys = append([]Key(nil), keysOf(tree)...)
	for i := range out.Keys {
		if out.Keys[i].Name == key {
			if len(keys) == 1 && value.Kind == NullNode {
				out.Keys = append(out.Keys[:i], out.Keys[i+1:]...)
			} else {
				out.Keys[i].Value = SetAt(out.Keys[i].Value, full.Get(key), keys[1:], value)
			}
			return &out
		}
	}
	if len(keys) > 1 || value.Kind != NullNode {
		out.Keys = append(out.Keys, Key{Name: key, Place: value.Place, Value: SetAt(nil, full.Get(key), keys[1:], value)})
	}
	return &out
}

// PatchOf is the patch that Merge takes from tree a to tree b (RFC 7396); nil when they are the same.
func PatchOf(a, b *Node) *Node {
	if a == nil || b == nil || a.Kind != MapNode || b.Kind != MapNode {
		if a == b || a != nil && b != nil && identical(a, b) {
			return nil
		}
		if b == nil {
			return &Node{Kind: NullNode, Text: "null"}
		}
		return b
	}
	out := &Node{Kind: MapNode, Place: b.Place}
	inB := b.index()
	for i := range a.Keys {
		k := &a.Keys[i]
		if _, ok := inB[k.Name]; !ok {
			out.Keys = append(out.Keys, Key{Name: k.Name, Place: k.Place, Value: &Node{Kind: NullNode, Text: "null"}})
		}
	}
	for i := range b.Keys {
		k := b.Keys[i]
		if was := a.Get(k.Name); was == k.Value {
			continue
		} else if p := PatchOf(was, k.Value); p != nil {
			k.Value = p
			out.Keys = append(out.Keys, k)
		}
	}
	if len(out.Keys) == 0 {
		return nil
	}
	return out
}

// At follows the path of keys as PathOf gives them, positions in lists included; nil when something is missing.
func At(n *Node, keys []string) *Node {
	for _, key := range keys {
		if n != nil && n.Kind == ListNode {
			i, err := strconv.Atoi(key)
			if err != nil || i < 0 || i >= len(n.List) {
				return nil
			}
			n = n.List[i]
			continue
		}
		n = n.Get(key)
	}
	return n
}

// ItemText is a bin item as it was written, on one line; "" when there is none, or for a document without a search: section.
func (b *Build) ItemText(id string) string {
	if b.again == nil {
		return ""
	}
	return b.again.shelf.node(id).Line()
}
