package rig

import "strings"

// Line is the value on one line, in YAML's flow style, so that it reads back as the same value; "" for a nil node.
func (n *Node) Line() string {
	var b strings.Builder
	b.Grow(240)
	n.line(&b)
	return b.String()
}

func (n *Node) line(b *strings.Builder) {
	if n == nil {
		return
	}
	switch n.Kind {
	case NullNode:
		b.WriteString("null")
	case ScalarNode:
		switch {
		case !n.Quoted && (isTruth(n.Text) || isNoNumber(n.Text)):
			b.WriteString(n.Text)
		case n.Quoted && isNumber(n.Text):
			b.WriteString(`"` + n.Text + `"`)
		default:
			b.WriteString(Scalar(n.Text))
		}
	case ListNode:
		b.WriteByte('[')
		for i, child := range n.List {
			if i > 0 {
				b.WriteString(", ")
			}
			child.line(b)
		}
		b.WriteByte(']')
	case MapNode:
		b.WriteByte('{')
		for i, k := range n.Keys {
			if i > 0 {
				b.WriteString(", ")
			}
			b.WriteString(Scalar(k.Name))
			b.WriteString(": ")
			k.Value.line(b)
		}
		b.WriteByte('}')
	}
}

func isNull(s string) bool {
	switch s {
	case "", "~", "null", "Null", "NULL":
		return true
	}
	return false
}

func isNumber(s string) bool {
	_, ok := decimal(s)
	return ok
}

// Scalar writes a text as a YAML value of one line that is read as that text again, in double quotes (YAML 1.2.2, 7.3.1)
// unless it is plainly a word or a quantity.
func Scalar(text string) string {
	if isPlain(text) {
		return text
	}
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range text {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r == '\n':
			b.WriteString(`\n`)
		case r == '\t':
			b.WriteString(`\t`)
		case r < ' ' || r == 0x7f || r == '\ufeff':
			b.WriteRune('�')
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}

// isPlain says that a text is safe without quotes anywhere, even inside brackets: words and numbers of letters, digits and
// a few signs, that YAML takes for no other kind of value.
func isPlain(text string) bool {
	if isNull(text) || isTruth(text) || isNoNumber(text) || strings.TrimSpace(text) != text {
		return false
	}
	for i, r := range text {
		switch {
		case r >= 'a' && r <= 'z', r >= 'A' && r <= 'Z', r >= '0' && r <= '9', r > 0xa0 && r != '\ufeff' && r != '\u2028' && r != '\u2029':
		case i > 0 && strings.ContainsRune(" ._/()+*°%'-", r):
		case i == 0 && strings.ContainsRune("+-.", r) && len(text) > 1 && (text[1] >= '0' && text[1] <= '9' || text[1] == '.' && isNumber(text)):
		default:
			return false
		}
	}
	return true
}
