package rig

import (
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/token"
)

// A converter makes our tree out of the library's.
type converter struct {
	*reporter
	file    string
	anchors map[string]anchored
	nodes   int // made so far, aliases counted as what they stand for
	aliased int
}

type anchored struct {
	node   *Node
	nodes  int
	height int
}

func (c *converter) document(tree *ast.File) *Node {
	var body ast.Node
	for _, doc := range tree.Docs {
		switch doc.Body.(type) {
		case nil, *ast.CommentGroupNode, *ast.CommentNode:
			continue
		}
		if body != nil {
			c.add("second-document", c.start(doc.Body), "", "found a second document after ---, expected one document a file; move it to a file of its own")
			return nil
		}
		body = doc.Body
	}
	if body == nil {
		c.empty(c.file)
		return nil
	}
	before := len(c.list)
	root, _ := c.node(body, 0)
	if len(c.list) > before {
		return nil
	}
	return root
}

// node converts one value at the given depth; height counts the maps and lists inside each other in it.
func (c *converter) node(n ast.Node, depth int) (out *Node, height int) {
	c.nodes++
	if depth > MaxDepth {
		c.once("too-deep", c.start(n), "found more than %d maps and lists inside each other, expected at most %d", MaxDepth, MaxDepth)
		return &Node{Place: c.start(n)}, 0
	}
	switch n := n.(type) {
	case *ast.MappingNode:
		return c.mapping(c.start(n), n.Values, depth)
	case *ast.MappingValueNode:
		return c.mapping(c.start(n), []*ast.MappingValueNode{n}, depth)
	case *ast.SequenceNode:
		out = &Node{Place: c.start(n), Kind: ListNode, List: make([]*Node, 0, len(n.Values))}
		for _, v := range n.Values {
			child, h := c.node(v, depth+1)
			out.List = append(out.List, child)
			height = max(height, h)
		}
		return out, height + 1
	case *ast.AnchorNode:
		before := c.nodes
		name := n.Name.GetToken().Value
		delete(c.anchors, name) // an alias inside its own anchor must not find an older one of that name
		out, height = c.node(n.Value, depth)
		c.anchors[name] = anchored{out, c.nodes - before, height}
		return out, height
	case *ast.AliasNode:
		return c.alias(n, depth)
	case *ast.LiteralNode:
		return &Node{Place: c.start(n), Kind: ScalarNode, Text: n.Value.Value, Quoted: true}, 0
	case *ast.NullNode:
		text := n.Token.Value
		if n.Token.Type == token.ImplicitNullType {
			text = ""
		}
		return &Node{Place: c.start(n), Text: text}, 0
	case ast.ScalarNode:
		t := n.GetToken()
		quoted := t.Type == token.SingleQuoteType || t.Type == token.DoubleQuoteType
		return &Node{Place: c.start(n), Kind: ScalarNode, Text: t.Value, Quoted: quoted}, 0
	}
	return &Node{Place: c.start(n)}, 0
}

func (c *converter) mapping(at Place, values []*ast.MappingValueNode, depth int) (*Node, int) {
	out := &Node{Place: at, Kind: MapNode, Keys: make([]Key, 0, len(values))}
	height := 0
	var seen map[string]int // built only where looking through the keys would take longer
	if len(values) > 16 {
		seen = make(map[string]int, len(values))
	}
	for _, v := range values {
		key, ok := c.key(v.Key)
		if !ok {
			continue
		}
		if first := earlier(out, seen, key.Name); first != nil {
			c.add("duplicate-key", key.Place, "", "found the key %s a second time, first at line %d, column %d; expected each key once",
				quote(key.Name), first.Place.Line, first.Place.Col)
			continue
		}
		if seen != nil {
			seen[key.Name] = len(out.Keys)
		}
		child, h := c.node(v.Value, depth+1)
		height = max(height, h)
		if child.Kind == NullNode && child.Text == "" {
			child.Place = key.Place
		}
		key.Value = child
		out.Keys = append(out.Keys, key)
	}
	return out, height + 1
}

// earlier is the entry of that name that is already in the map.
func earlier(n *Node, seen map[string]int, name string) *Key {
	if seen == nil {
		return n.Key(name)
	}
	if i, ok := seen[name]; ok {
		return &n.Keys[i]
	}
	return nil
}

// key reads a key; false when it is none.
func (c *converter) key(n ast.MapKeyNode) (Key, bool) {
	at := c.start(n)
	switch k := n.(type) {
	case *ast.MergeKeyNode:
		c.add("merge-key", at, "", `found the merge key "<<", expected plain keys; write the keys out, or use "base" or "item" for shared fields`)
		return Key{}, false
	case *ast.StringNode, *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode, *ast.InfinityNode, *ast.NanNode:
		t := n.GetToken()
		return Key{Name: t.Value, Place: place(c.file, t)}, true
	case *ast.NullNode:
		if k.Token.Type != token.ImplicitNullType {
			return Key{Name: k.Token.Value, Place: at}, true
		}
	}
	c.add("bad-key", at, "", "found a key that is no plain text, expected a name; put it in quotes if it is meant as text")
	return Key{}, false
}

func (c *converter) alias(n *ast.AliasNode, depth int) (*Node, int) {
	name, at := n.Value.GetToken().Value, c.start(n)
	a, ok := c.anchors[name]
	switch {
	case !ok:
		c.add("no-such-anchor", at, "", "found %s, expected the name of an anchor written before it; put text that begins with * in quotes", quote("*"+name))
		return &Node{Place: at}, 0
	case depth+a.height > MaxDepth:
		c.once("too-deep", at, "found more than %d maps and lists inside each other through %s, expected at most %d", MaxDepth, quote("*"+name), MaxDepth)
		return &Node{Place: at}, 0
	}
	c.nodes += a.nodes
	if c.aliased += a.nodes; c.aliased > maxAliased {
		c.once("alias-bomb", at, "found aliases that stand for more than %d values, expected fewer; write the values out, or use \"item\"", maxAliased)
		return &Node{Place: at}, 0
	}
	return a.node, a.height
}

// once reports a mistake unless the last one was of the same code: one too deep text has many too deep places.
func (c *converter) once(code string, at Place, format string, args ...any) {
	if n := len(c.list); n > 0 && c.list[n-1].Code == code {
		return
	}
	c.add(code, at, "", format, args...)
}

// start is where a value begins.
func (c *converter) start(n ast.Node) Place {
	switch n := n.(type) {
	case *ast.MappingNode:
		if !n.IsFlowStyle && len(n.Values) > 0 {
			return c.start(n.Values[0].Key)
		}
		return place(c.file, n.Start)
	case *ast.MappingValueNode:
		return c.start(n.Key)
	case *ast.LiteralNode:
		return place(c.file, n.Start)
	case nil:
		return Place{c.file, 1, 1}
	}
	return place(c.file, n.GetToken())
}
