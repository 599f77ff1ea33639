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

	line  int // that chars are of
	chars []rune

	tabbed  int // line of the last token
	reached int // characters of it taken by tokens so far; −1 when it has no tabs, or that is not known

	// For each key of a block map the library copies all before it.
	copies int
}

type level struct {
	col  int
	keys int
	name int // bytes of the last key
	list bool
}

func (g *guard) check(tokens token.Tokens) *Diagnostic {
	line := 0
	for i, t := range tokens {
		if strings.IndexByte(strings.TrimSpace(t.Origin), '\t') >= 0 {
			switch { // the library leaves out tabs in plain text, and loses its place behind those in double quotes
			case isPlainToken(t) && !isBlockText(tokens, i):
				return g.fail("tabs", t, "found a tab inside a text without quotes, expected spaces; put the text in quotes to keep the tab")
			case t.Type == token.DoubleQuoteType:
				return g.fail("tabs", t, `found a tab inside a text in double quotes, expected spaces, or \t for a tab`)
			}
		}
		g.column(tokens, i)
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
		g.flow = append(g.flow, level{list: t.Type == token.SequenceStartType})
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
		if key.Position.Line != t.Position.Line && (len(g.flow) == 0 || isPlainToken(key)) {
			if i > 1 && tokens[i-2].Type == token.MappingValueType {
				return g.fail("syntax", key, "%s", valueBegun)
			}
			return g.fail("syntax", t, `found ":" on another line than its key, expected "key: value" on one`)
		}
		l := (*level)(nil)
		if n := len(g.flow); n > 0 {
			if i+1 < len(tokens) && g.glued(key, t) {
				return g.fail("syntax", key, `found %s, expected a space after ":"; put text with ":" in quotes`, quote(key.Value+":"+tokens[i+1].Value))
			}
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
	if g.hollow(tokens, i) {
		if t.Type == token.SequenceEntryType { // the library would take the next key for its value
			return g.fail("empty-value", t, `found "-" with nothing behind it, expected a value`)
		}
		if stray := g.stray(tokens, i); stray != nil { // the library would take it for the value all the same
			return g.fail("syntax", stray, `found a value that belongs to no key, expected "key: value"; check the indentation and whether a ":" is missing its space`)
		}
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

// glued says that something stands right behind the colon of a plain key. The library takes such a colon inside brackets
// for the end of the key; by the standard (YAML 1.2.2, 7.3.3) it is part of the text.
func (g *guard) glued(key, colon *token.Token) bool {
	if !isPlainToken(key) || colon.Position.Line > len(g.lines) {
		return false
	}
	line := g.runes(colon.Position.Line)
	i := colon.Position.Column
	return i < len(line) && i > 0 && line[i-1] == ':' && !strings.ContainsRune(" \t,[]{}", line[i])
}

// hollow says that no value of its own may follow token i, so that the library might put an empty one in.
func (g *guard) hollow(tokens token.Tokens, i int) bool {
	switch tokens[i].Type {
	case token.MappingValueType, token.SequenceEntryType, token.CollectEntryType, token.MappingStartType:
	default:
		return false
	}
	if n := len(g.flow); n > 0 && g.flow[n-1].list && tokens[i].Type == token.CollectEntryType {
		return false // a list has no keys that may lack a value
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
	if next.Position.Line == tokens[i].Position.Line {
		return false
	}
	owner := tokens[i]
	if owner.Type == token.MappingValueType && i > 0 {
		owner = tokens[i-1]
		if next.Type == token.SequenceEntryType { // a list may begin in the column of its key
			return next.Position.Column < owner.Position.Column
		}
	}
	return next.Position.Column <= owner.Position.Column
}

// stray is the text that follows the colon of a key in a block map on a line of its own, no further in than the key, and is no key; nil when there is none.
func (g *guard) stray(tokens token.Tokens, i int) *token.Token {
	if len(g.flow) > 0 || tokens[i].Type != token.MappingValueType {
		return nil
	}
	j := i + 1
	for j < len(tokens) && tokens[j].Type == token.CommentType {
		j++
	}
	if j == len(tokens) || tokens[j].Position.Line == tokens[i].Position.Line || !isPlainToken(tokens[j]) {
		return nil
	}
	if j+1 < len(tokens) && tokens[j+1].Type == token.MappingValueType {
		return nil
	}
	return tokens[j]
}

// runes is a line in characters; the line asked for last is kept.
func (g *guard) runes(line int) []rune {
	if g.line != line {
		g.line, g.chars = line, []rune(g.lines[line-1])
	}
	return g.chars
}

// column puts the column of a token on a line with tabs right: the library does not count those between tokens.
func (g *guard) column(tokens token.Tokens, i int) {
	t := tokens[i]
	n := t.Position.Line
	if n < 1 || n > len(g.lines) {
		return
	}
	if g.tabbed != n {
		g.tabbed, g.reached = n, 0
		if strings.IndexByte(g.lines[n-1], '\t') < 0 {
			g.reached = -1 // nothing to put right
		}
		if i > 0 && strings.Contains(strings.TrimSpace(tokens[i-1].Origin), "\n") {
			g.reached = -1 // the line begins inside a text that began above
		}
	}
	if g.reached < 0 || isBlockText(tokens, i) {
		return
	}
	line := g.runes(n)
	for g.reached < len(line) && (line[g.reached] == ' ' || line[g.reached] == '\t') {
		g.reached++
	}
	t.Position.Column = g.reached + 1
	own, _, _ := strings.Cut(strings.TrimSpace(t.Origin), "\n")
	g.reached += max(1, len([]rune(own)))
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
