package rig

import (
	"strings"

	"github.com/goccy/go-yaml/token"
)

// guard looks over the tokens of a text before the YAML library builds its tree from them. The library descends one call
// per level and per neighbour in a block map, and shifts all tokens for each value left empty, so deep, wide and hollow
// texts would cost it minutes or overflow its stack. Depth is checked to the letter later, on the tree.
type guard struct {
	file  string
	lines []string
	block []level // maps and lists begun by indentation, outermost first
	flow  []level // maps and lists begun by a bracket
	names int     // bytes of the keys that lead to the present token
	paths int     // the same summed over all tokens: what the library keeps of paths
	empty int

	// For each key of a block map the library copies all before it.
	copies int
}

type level struct {
	col  int
	keys int
	name int // bytes of the last key
}

func (g *guard) check(tokens token.Tokens) *Diagnostic {
	line := 0
	var first *token.Token // of the line, when it has tabs
	for i, t := range tokens {
		if strings.IndexByte(strings.TrimSpace(t.Origin), '\t') >= 0 {
			switch { // the library leaves out tabs in plain text, and loses its place behind those in double quotes
			case isPlainToken(t) && !isBlockText(tokens, i):
				return g.fail("tabs", t, "found a tab inside a text without quotes, expected spaces; put the text in quotes to keep the tab")
			case t.Type == token.DoubleQuoteType:
				return g.fail("tabs", t, `found a tab inside a text in double quotes, expected spaces, or \t for a tab`)
			}
		}
		// The library does not count tabs in columns, but it does in offsets.
		switch at := t.Position; {
		case first != nil && first.Position.Line == at.Line:
			at.Column = first.Position.Column + at.Offset - first.Position.Offset
		case at.Line >= 1 && at.Line <= len(g.lines) && strings.IndexByte(g.lines[at.Line-1], '\t') >= 0 && !isBlockText(tokens, i):
			first = t
		}
		if t.Type == token.CommentType {
			continue
		}
		if t.Position.Line != line {
			if line = t.Position.Line; len(g.flow) == 0 && !isBlockText(tokens, i) {
				if d := g.tabs(line); d != nil {
					return d
				}
			}
		}
		if d := g.step(tokens, i); d != nil {
			return d
		}
		if g.paths += g.names; g.paths > maxPaths {
			return g.fail("too-deep", t, "found very long keys at great depth, expected a rig document")
		}
	}
	return nil
}

func (g *guard) step(tokens token.Tokens, i int) *Diagnostic {
	t := tokens[i]
	switch t.Type {
	case token.MappingStartType, token.SequenceStartType:
		g.flow = append(g.flow, level{})
	case token.MappingEndType, token.SequenceEndType:
		if n := len(g.flow); n > 0 {
			g.names -= g.flow[n-1].name
			g.flow = g.flow[:n-1]
		}
	case token.DocumentHeaderType:
		g.block, g.names = g.block[:0], 0
	case token.SequenceEntryType:
		if len(g.flow) > 0 {
			return g.fail("syntax", t, `found "- " inside brackets, expected values with commas between them`)
		}
		g.enter(t.Position.Column)
	case token.MappingKeyType:
		return g.fail("bad-key", t, `found a key that begins with "? ", expected "key: value"; put text that begins with ? in quotes`)
	case token.TagType:
		return g.fail("tag", t, "found the tag %s, expected no YAML tags; put text that begins with ! in quotes", quote(t.Value))
	case token.DirectiveType:
		return g.fail("syntax", t, "found a line that begins with %%, expected the document; take the line out")
	case token.MappingValueType:
		if i == 0 {
			break
		}
		key := tokens[i-1]
		if len(key.Value) > maxKeySize {
			return g.fail("key-too-long", key, "found a key of %d bytes, expected at most %d", len(key.Value), maxKeySize)
		}
		l := (*level)(nil)
		if n := len(g.flow); n > 0 {
			l = &g.flow[n-1]
		} else {
			l = g.enter(key.Position.Column)
		}
		g.names += len(key.Value) + 1 - l.name
		l.name = len(key.Value) + 1
		if l.keys++; l.keys > maxKeys {
			return g.fail("too-many", key, "found more than %d keys in one map, expected fewer", maxKeys)
		}
		if g.copies += l.keys; g.copies > maxCopies {
			return g.fail("too-many", key, "found many maps of thousands of keys, expected fewer")
		}
	}
	if hollow(tokens, i) {
		if g.empty++; g.empty > maxEmpty {
			return g.fail("too-many", t, "found more than %d values left empty, expected values", maxEmpty)
		}
	}
	if len(g.block)+len(g.flow) > 4*MaxDepth {
		return g.fail("too-deep", t, "found more than %d maps and lists inside each other, expected at most %d", 4*MaxDepth, MaxDepth)
	}
	return nil
}

// enter leaves the block levels to the right of col and begins one there unless it is begun.
func (g *guard) enter(col int) *level {
	n := len(g.block)
	for n > 0 && g.block[n-1].col > col {
		n--
		g.names -= g.block[n].name
	}
	g.block = g.block[:n]
	if n == 0 || g.block[n-1].col < col {
		g.block = append(g.block, level{col: col})
		n++
	}
	return &g.block[n-1]
}

// hollow says that no value of its own may follow token i, so that the library might put an empty one in.
func hollow(tokens token.Tokens, i int) bool {
	switch tokens[i].Type {
	case token.MappingValueType, token.SequenceEntryType, token.CollectEntryType, token.MappingStartType:
	default:
		return false
	}
	j := i + 1
	for j < len(tokens) && tokens[j].Type == token.CommentType {
		j++
	}
	if j == len(tokens) {
		return true
	}
	next := tokens[j]
	switch next.Type {
	case token.CollectEntryType, token.MappingEndType, token.SequenceEndType, token.MappingValueType:
		return true
	}
	if tokens[i].Type == token.CollectEntryType || tokens[i].Type == token.MappingStartType { // {a, b}: keys without values
		return j+1 < len(tokens) && (tokens[j+1].Type == token.CollectEntryType || tokens[j+1].Type == token.MappingEndType) && next.Type != token.SequenceStartType
	}
	return next.Position.Line > tokens[i].Position.Line && next.Position.Column <= tokens[i].Position.Column
}

// isPlainToken says that a token is text without quotes; the library leaves tabs inside it out.
func isPlainToken(t *token.Token) bool {
	switch t.Type {
	case token.StringType, token.IntegerType, token.BinaryIntegerType, token.OctetIntegerType, token.HexIntegerType, token.FloatType, token.BoolType,
		token.NullType, token.NanType, token.InfinityType:
		return true
	}
	return false
}

// isBlockText says that token i is the text after | or >, whose place the library gives loosely.
func isBlockText(tokens token.Tokens, i int) bool {
	for i--; i >= 0; i-- {
		if tokens[i].Type != token.CommentType {
			return tokens[i].Type == token.LiteralType || tokens[i].Type == token.FoldedType
		}
	}
	return false
}

// tabs refuses a tab in the indentation of a line.
func (g *guard) tabs(line int) *Diagnostic {
	if line < 1 || line > len(g.lines) {
		return nil
	}
	text := g.lines[line-1]
	lead := text[:len(text)-len(strings.TrimLeft(text, " \t"))]
	at := strings.IndexByte(lead, '\t')
	if at < 0 {
		return nil
	}
	var r reporter
	r.add("tabs", Place{g.file, line, at + 1}, "", "found a tab in the indentation, expected spaces; YAML indents with spaces only")
	return &r.list[0]
}

func (g *guard) fail(code string, t *token.Token, format string, args ...any) *Diagnostic {
	var r reporter
	r.add(code, place(g.file, t), "", format, args...)
	return &r.list[0]
}
