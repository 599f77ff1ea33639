package rig

// A Node is one value of a document's tree with the place where it was written. Nodes are never changed once made: merging
// builds new ones, and an alias shares the node of its anchor.
type Node struct {
	Place  Place
	Kind   NodeKind
	Text   string // scalar as written, without quotes
	Quoted bool   // scalar was quoted, so it is text and never a number, a truth value or null
	Keys   []Key  // of a map, in the order written
	List   []*Node
}

// A Key is one entry of a map node.
type Key struct {
	Name  string
	Place Place
	Value *Node
}

// NodeKind is what a Node is.
type NodeKind uint8

// Kinds of nodes.
const (
	NullNode NodeKind = iota
	ScalarNode
	ListNode
	MapNode
)

// String is the kind as error messages say it.
func (k NodeKind) String() string {
	switch k {
	case ScalarNode:
		return "a single value"
	case ListNode:
		return "a list"
	case MapNode:
		return "a map"
	}
	return "nothing"
}

// Get is the value under key of a map node; nil when the node is nil, is no map or lacks the key.
func (n *Node) Get(key string) *Node {
	if k := n.Key(key); k != nil {
		return k.Value
	}
	return nil
}

// Key is the entry called key of a map node, or nil.
func (n *Node) Key(key string) *Key {
	if n == nil || n.Kind != MapNode {
		return nil
	}
	for i := range n.Keys {
		if n.Keys[i].Name == key {
			return &n.Keys[i]
		}
	}
	return nil
}

// At follows keys downwards; nil when one is missing.
func (n *Node) At(path ...string) *Node {
	for _, key := range path {
		n = n.Get(key)
	}
	return n
}

// placeOf is where the value at path was written, or the nearest thing above it that was.
func (n *Node) placeOf(path ...string) Place {
	place := n.Place
	for _, key := range path {
		if n = n.Get(key); n == nil {
			break
		}
		place = n.Place
	}
	return place
}

// index looks keys up by name; worth it where a map is read more than a few times.
func (n *Node) index() map[string]int {
	at := make(map[string]int, len(n.Keys))
	for i := range n.Keys {
		at[n.Keys[i].Name] = i
	}
	return at
}
