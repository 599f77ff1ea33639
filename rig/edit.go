package rig

import (
	"bytes"
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"
)

// SetIn writes value at the path of keys (or positions in a list, from 0) of a YAML or JSON text and leaves every other
// byte as it is, comments and line endings included. Maps that are missing on the way are made. The value is YAML on one
// line: 41 g, [1, 2, 3], {at: [0, 0, 4]}, null; text that may be taken for something else goes through Scalar first.
//
// The new text is read again before it is returned: an edit that would change anything but what was asked for is an error.
func SetIn(text []byte, path []string, value string) ([]byte, error) {
	node, err := oneLine(value)
	if err != nil {
		return nil, err
	}
	return edit(text, path, node, func(e *editor, at spot) ([]byte, error) { return e.set(at, value) })
}

// A Setting is a value for the path of keys, as SetIn takes them.
type Setting struct {
	Path  []string
	Value string
}

// SetAll is SetIn for many values at once, none of which lies inside another: the text is read twice, however many there are.
func SetAll(text []byte, list []Setting) ([]byte, error) {
	const name = "text"
	want, err := Parse(name, text)
	if err != nil {
		return nil, err
	}
	e, root, err := newEditor(text)
	if err != nil {
		return nil, err
	}
	var put []splice
	e.put = &put
	for _, s := range list {
		node, err := oneLine(s.Value)
		if err != nil {
			return nil, err
		}
		if want, err = changed(want, s.Path, node); err != nil {
			return nil, err
		}
		at, err := find(root, s.Path)
		if err != nil {
			return nil, err
		}
		if _, err := e.set(at, s.Value); err != nil {
			return nil, err
		}
	}
	slices.SortStableFunc(put, func(a, b splice) int { return cmp.Or(cmp.Compare(a.from, b.from), cmp.Compare(a.to, b.to)) })
	var out []byte
	done := 0
	for _, s := range put {
		if s.from < done {
			return nil, fmt.Errorf("the values cannot be changed without touching each other; change them one by one")
		}
		out = append(append(out, text[done:s.from]...), s.with...)
		done = s.to
	}
	out = append(out, text[done:]...)
	if after, err := Parse(name, out); err != nil || !identical(after, want) {
		return nil, fmt.Errorf("the values cannot be changed without touching others; change them in the text itself")
	}
	return out, nil
}

// RemoveIn takes the entry at the path of keys out of a YAML or JSON text and leaves every other byte as it is. To take
// something out of a base, write null with SetIn instead.
func RemoveIn(text []byte, path []string) ([]byte, error) {
	return edit(text, path, nil, func(e *editor, at spot) ([]byte, error) { return e.remove(at) })
}

// oneLine reads a value that is to be put into a text.
func oneLine(value string) (*Node, error) {
	expected := "expected one YAML value on one line, such as 41 g, [1, 2, 3] or {at: [0, 0, 4]}"
	if strings.ContainsAny(value, "\n\r") || strings.TrimSpace(value) == "" {
		return nil, fmt.Errorf("found the value %s, %s", quote(value), expected)
	}
	root, err := Parse("value", []byte("value: "+value+"\n"))
	if err != nil {
		return nil, fmt.Errorf("found the value %s, %s (%w)", quote(value), expected, err)
	}
	switch v := root.Get("value"); {
	case len(root.Keys) != 1, v.Kind == NullNode && v.Text == "", v.Place.Line != 1:
		return nil, fmt.Errorf("found the value %s, %s", quote(value), expected)
	default:
		return v, nil
	}
}

// edit finds the path, has the text changed, and holds the result against the tree it must have.
func edit(text []byte, path []string, value *Node, change func(*editor, spot) ([]byte, error)) ([]byte, error) {
	if len(path) == 0 {
		return nil, fmt.Errorf("found no path, expected the keys that lead to the value")
	}
	const name = "text"
	before, err := Parse(name, text)
	if err != nil {
		return nil, err
	}
	want, err := changed(before, path, value)
	if err != nil {
		return nil, err
	}
	e, root, err := newEditor(text)
	if err != nil {
		return nil, err
	}
	at, err := find(root, path)
	if err != nil {
		return nil, err
	}
	out, err := change(e, at)
	if err != nil {
		return nil, err
	}
	after, err := Parse(name, out)
	if err != nil || !identical(after, want) {
		return nil, fmt.Errorf("the value at %s cannot be changed without touching other values; change it in the text itself", quote(strings.Join(path, "/")))
	}
	return out, nil
}

// changed is the tree with the value at path replaced, or taken out when value is nil.
func changed(n *Node, path []string, value *Node) (*Node, error) {
	if len(path) == 0 {
		return value, nil
	}
	out := Node{Kind: MapNode}
	key := path[0]
	switch {
	case n == nil, n.Kind == NullNode:
	case n.Kind == ListNode:
		i, err := strconv.Atoi(key)
		if err != nil || i < 0 || i >= len(n.List) {
			return nil, fmt.Errorf("found %s in the path, expected a position in a list of %d values, from 0", quote(key), len(n.List))
		}
		child, err := changed(n.List[i], path[1:], value)
		if err != nil {
			return nil, err
		}
		out = *n
		out.List = append([]*Node(nil), n.List...)
		if child == nil {
			out.List = append(out.List[:i], out.List[i+1:]...)
		} else {
			out.List[i] = child
		}
		return &out, nil
	case n.Kind == ScalarNode:
		return nil, fmt.Errorf("found %s where the path goes on to %s, expected a map", found(n), quote(key))
	default:
		out = *n
	}
	out.Keys = nil
	there := false
	for _, k := range keysOf(n) {
		if k.Name == key {
			there = true
			child, err := changed(k.Value, path[1:], value)
			if err != nil {
				return nil, err
			}
			if child == nil {
				continue
			}
			k.Value = child
		}
		out.Keys = append(out.Keys, k)
	}
	if !there {
		if value == nil {
			return nil, fmt.Errorf("found no %s in the text, so there is nothing to take out", quote(key))
		}
		child, err := changed(nil, path[1:], value)
		if err != nil {
			return nil, err
		}
		out.Keys = append(out.Keys, Key{Name: key, Value: child})
	}
	return &out, nil
}

func keysOf(n *Node) []Key {
	if n == nil || n.Kind != MapNode {
		return nil
	}
	return n.Keys
}

// identical compares trees to the letter; only places may differ.
func identical(a, b *Node) bool {
	if a.Kind != b.Kind || a.Text != b.Text || a.Quoted != b.Quoted || len(a.Keys) != len(b.Keys) || len(a.List) != len(b.List) {
		return false
	}
	for i := range a.Keys {
		if a.Keys[i].Name != b.Keys[i].Name || !identical(a.Keys[i].Value, b.Keys[i].Value) {
			return false
		}
	}
	for i := range a.List {
		if !identical(a.List[i], b.List[i]) {
			return false
		}
	}
	return true
}

// A spot is where a path leads in the library's tree: an entry of a map or of a list, or, when rest is not empty, the
// deepest value on the way, under which the keys of rest are missing.
type spot struct {
	holders []ast.Node            // values on the way from the root, the one that holds the entry last
	entry   *ast.MappingValueNode // entry of the innermost map, nil in a list or when missing
	index   int                   // of the entry in its map or list
	rest    []string
	above   *spot // of the holder itself
}

func find(root ast.Node, path []string) (spot, error) {
	at := spot{holders: []ast.Node{root}, rest: path}
	for len(at.rest) > 0 {
		n := at.holders[len(at.holders)-1]
		if a, ok := n.(*ast.AnchorNode); ok {
			n = a.Value
		}
		above := at
		next := spot{rest: at.rest[1:], above: &above}
		var child ast.Node
		switch n := n.(type) {
		case *ast.AliasNode:
			return at, fmt.Errorf("found an alias (*%s) on the way to %s, expected a value written in place; change it where &%s is", n.Value, quote(at.rest[0]), n.Value)
		case *ast.MappingNode:
			for i, v := range n.Values {
				if v.Key.GetToken().Value == at.rest[0] {
					next.entry, next.index, child = v, i, v.Value
				}
			}
		case *ast.SequenceNode:
			i, err := strconv.Atoi(at.rest[0])
			if err == nil && i >= 0 && i < len(n.Values) {
				next.index, child = i, n.Values[i]
			}
		}
		if child == nil {
			return at, nil
		}
		next.holders = append(append([]ast.Node(nil), at.holders...), child)
		at = next
	}
	return at, nil
}

// newEditor parses a text that Parse has accepted.
func newEditor(text []byte) (*editor, ast.Node, error) {
	clean, bad := clean("text", text)
	if bad != nil {
		return nil, nil, Diagnostics{*bad}
	}
	tokens, err := scan(spaced(clean))
	if err != nil {
		return nil, nil, err
	}
	if bad := (&guard{file: "text", lines: strings.Split(clean, "\n")}).check(tokens); bad != nil {
		return nil, nil, Diagnostics{*bad}
	}
	tree, err := parser.Parse(tokens, 0, parser.AllowDuplicateMapKey())
	if err != nil {
		return nil, nil, err
	}
	e := &editor{text: text, newline: "\n"}
	if i := bytes.IndexByte(text, '\n'); i > 0 && text[i-1] == '\r' {
		e.newline = "\r\n"
	}
	e.index(tokens)
	for _, doc := range tree.Docs {
		if doc.Body != nil {
			if _, comment := doc.Body.(*ast.CommentGroupNode); !comment {
				return e, doc.Body, nil
			}
		}
	}
	return nil, nil, fmt.Errorf("found an empty text, expected a document")
}
