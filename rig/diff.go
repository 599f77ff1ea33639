package rig

import "lowslung/quantity"

// A Change is one difference between two documents.
type Change struct {
	Path   string `json:"path" doc:"Where in the document: links/rear upper/length"`
	Before string `json:"before" doc:"What was written there, on one line; empty when it is new"`
	After  string `json:"after" doc:"What is written there now, on one line; empty when it was taken out"`
}

// Diff lists what changed from a to b, in the order of the document: maps are compared key by key, lists and single values
// as wholes. The order of keys, quotes, and the way a number is written (3 or 3.0) are no change.
func Diff(a, b *Node) []Change {
	list := []Change{}
	return differ(list, a, b, "")
}

func differ(list []Change, a, b *Node, path string) []Change {
	if a == nil || b == nil || a.Kind != MapNode || b.Kind != MapNode {
		if !same(a, b) {
			list = append(list, Change{Path: path, Before: a.Line(), After: b.Line()})
		}
		return list
	}
	inA, inB := a.index(), b.index()
	for i := range a.Keys {
		k := &a.Keys[i]
		var after *Node
		if j, ok := inB[k.Name]; ok {
			after = b.Keys[j].Value
		}
		list = differ(list, k.Value, after, join(path, k.Name))
	}
	for i := range b.Keys {
		if k := &b.Keys[i]; !has(inA, k.Name) {
			list = differ(list, nil, k.Value, join(path, k.Name))
		}
	}
	return list
}

func has(m map[string]int, key string) bool {
	_, ok := m[key]
	return ok
}

// same says that two values mean the same to this program.
func same(a, b *Node) bool {
	if a == nil || b == nil {
		return a == b
	}
	if a.Kind != b.Kind || len(a.List) != len(b.List) || len(a.Keys) != len(b.Keys) {
		return false
	}
	switch a.Kind {
	case ScalarNode:
		return sameText(a.Text, b.Text)
	case ListNode:
		for i := range a.List {
			if !same(a.List[i], b.List[i]) {
				return false
			}
		}
	case MapNode:
		at := b.index()
		for _, k := range a.Keys {
			j, ok := at[k.Name]
			if !ok || !same(k.Value, b.Keys[j].Value) {
				return false
			}
		}
	}
	return true
}

func sameText(a, b string) bool {
	if a == b {
		return true
	}
	x, unitX, errX := quantity.Split(a)
	y, unitY, errY := quantity.Split(b)
	return errX == nil && errY == nil && x == y && unitX == unitY
}
