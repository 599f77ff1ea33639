package rig

import (
	"bytes"
	"encoding/json"
	"strconv"
	"strings"
)

// JSON is a tree as JSON text that Load reads as the same document: keys in their order, numbers as numbers, everything else as it was written.
func (n *Node) JSON() []byte {
	var b bytes.Buffer
	n.json(&b, "")
	b.WriteByte('\n')
	return b.Bytes()
}

func (n *Node) json(b *bytes.Buffer, indent string) {
	const step = "  "
	switch {
	case n == nil || n.Kind == NullNode:
		b.WriteString("null")
	case n.Kind == ListNode:
		if n.flat() {
			b.WriteByte('[')
			for i, v := range n.List {
				if i > 0 {
					b.WriteString(", ")
				}
				v.json(b, "")
			}
			b.WriteByte(']')
			return
		}
		b.WriteByte('[')
		for i, v := range n.List {
			if i > 0 {
				b.WriteByte(',')
			}
			b.WriteString("\n" + indent + step)
			v.json(b, indent+step)
		}
		b.WriteString("\n" + indent + "]")
	case n.Kind == MapNode:
		if len(n.Keys) == 0 {
			b.WriteString("{}")
			return
		}
		b.WriteByte('{')
		for i := range n.Keys {
			if i > 0 {
				b.WriteByte(',')
			}
			b.WriteString("\n" + indent + step + quoteJSON(n.Keys[i].Name) + ": ")
			n.Keys[i].Value.json(b, indent+step)
		}
		b.WriteString("\n" + indent + "}")
	default:
		b.WriteString(n.scalarJSON())
	}
}

// flat says that a list holds scalars alone: a point, a size.
func (n *Node) flat() bool {
	for _, v := range n.List {
		if v != nil && v.Kind != ScalarNode && v.Kind != NullNode {
			return false
		}
	}
	return true
}

func (n *Node) scalarJSON() string {
	if n.Quoted {
		return quoteJSON(n.Text)
	}
	switch n.Text {
	case "true", "false":
		return n.Text
	}
	if strings.Trim(n.Text, "+-.0123456789eE") == "" {
		if json.Valid([]byte(n.Text)) {
			return n.Text
		}
		if v, err := strconv.ParseFloat(n.Text, 64); err == nil { // +5 and .5 are numbers in YAML and none in JSON
			return strconv.FormatFloat(v, 'g', -1, 64)
		}
	}
	return quoteJSON(n.Text)
}

func quoteJSON(s string) string {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	_ = e.Encode(s) // text always encodes
	return strings.TrimSuffix(b.String(), "\n")
}
