package rig

import (
	"bytes"
	"fmt"
	"strings"
	"unicode/utf8"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/token"
)

// An editor knows where in the bytes of a text each token stands.
type editor struct {
	text    []byte
	newline string
	starts  []int // byte where each line begins
	tokens  token.Tokens
	number  map[*token.Token]int
	put     *[]splice // where several changes are gathered that are made at once; nil for one that is made at once
}

// A splice puts text in the place of some bytes.
type splice struct {
	from, to int
	with     string
}

func (e *editor) index(tokens token.Tokens) {
	e.tokens, e.number = tokens, make(map[*token.Token]int, len(tokens))
	for i, t := range tokens {
		e.number[t] = i
	}
	e.starts = []int{0}
	if bytes.HasPrefix(e.text, []byte("\xef\xbb\xbf")) {
		e.starts[0] = 3
	}
	for i, c := range e.text {
		if c == '\n' || c == '\r' && (i+1 == len(e.text) || e.text[i+1] != '\n') {
			e.starts = append(e.starts, i+1)
		}
	}
}

// at is the byte at which a token starts.
func (e *editor) at(t *token.Token) int {
	line := min(max(1, t.Position.Line), len(e.starts))
	i := e.starts[line-1]
	for col := 1; col < t.Position.Column && i < len(e.text); col++ {
		_, size := utf8.DecodeRune(e.text[i:])
		i += size
	}
	return i
}

// eol is the end of the line that byte i is in, before its line ending.
func (e *editor) eol(i int) int {
	for i < len(e.text) && e.text[i] != '\n' && e.text[i] != '\r' {
		i++
	}
	return i
}

// next is the byte after the line ending at i.
func (e *editor) next(i int) int {
	if i < len(e.text) && e.text[i] == '\r' {
		i++
	}
	if i < len(e.text) && e.text[i] == '\n' {
		i++
	}
	return i
}

// bol is the beginning of the line that byte i is in.
func (e *editor) bol(i int) int {
	for i > e.starts[0] && e.text[i-1] != '\n' && e.text[i-1] != '\r' {
		i--
	}
	return i
}

// first is the token a value begins with.
func first(n ast.Node) *token.Token {
	switch n := n.(type) {
	case *ast.MappingNode:
		if !n.IsFlowStyle && len(n.Values) > 0 {
			return first(n.Values[0].Key)
		}
		return n.Start
	case *ast.MappingValueNode:
		return first(n.Key)
	case *ast.AnchorNode:
		return n.Start
	case *ast.AliasNode:
		return n.Start
	case *ast.LiteralNode:
		return n.Start
	}
	return n.GetToken()
}

// end is the byte after the last of a value.
func (e *editor) end(n ast.Node) int {
	switch n := n.(type) {
	case *ast.MappingNode:
		if n.IsFlowStyle {
			return e.at(n.End) + 1
		}
		if last := n.Values[len(n.Values)-1]; isHollow(last.Value) {
			return e.at(last.Start) + 1
		} else {
			return e.end(last.Value)
		}
	case *ast.SequenceNode:
		if n.IsFlowStyle {
			return e.at(n.End) + 1
		}
		if last := n.Values[len(n.Values)-1]; isHollow(last) {
			return e.at(n.Entries[len(n.Values)-1].Start) + 1
		} else {
			return e.end(last)
		}
	case *ast.AnchorNode:
		if isHollow(n.Value) {
			return e.scalarEnd(n.Name.GetToken())
		}
		return e.end(n.Value)
	case *ast.AliasNode:
		return e.scalarEnd(n.Value.GetToken())
	case *ast.LiteralNode:
		return e.before(n.Start, 2)
	}
	return e.scalarEnd(n.GetToken())
}

func isHollow(n ast.Node) bool {
	null, ok := n.(*ast.NullNode)
	return ok && null.Token.Type == token.ImplicitNullType
}

// scalarEnd is the byte after a scalar.
func (e *editor) scalarEnd(t *token.Token) int {
	i := e.at(t)
	switch t.Type {
	case token.DoubleQuoteType:
		for i++; i < len(e.text) && e.text[i] != '"'; i++ {
			if e.text[i] == '\\' {
				i++
			}
		}
		return i + 1
	case token.SingleQuoteType:
		for i++; i < len(e.text); i++ {
			if e.text[i] != '\'' {
				continue
			}
			if i+1 < len(e.text) && e.text[i+1] == '\'' {
				i++
				continue
			}
			return i + 1
		}
		return i
	}
	if bytes.HasPrefix(e.text[i:], []byte(t.Value)) {
		return i + len(t.Value)
	}
	return e.before(t, 1) // a plain text over several lines
}

// before is the end of what stands before the token that comes skip tokens after t.
func (e *editor) before(t *token.Token, skip int) int {
	stop := len(e.text)
	if i, ok := e.number[t]; ok && i+skip < len(e.tokens) {
		stop = e.at(e.tokens[i+skip])
	}
	return len(bytes.TrimRight(e.text[:stop], " \t\r\n"))
}

func (e *editor) splice(from, to int, with string) ([]byte, error) {
	if from < 0 || to < from || to > len(e.text) {
		return nil, fmt.Errorf("the place of the value in the text cannot be found; change it in the text itself")
	}
	if e.put != nil {
		*e.put = append(*e.put, splice{from, to, with})
		return nil, nil
	}
	out := make([]byte, 0, len(e.text)+len(with))
	out = append(out, e.text[:from]...)
	out = append(out, with...)
	return append(out, e.text[to:]...), nil
}

// set writes a value at the spot.
func (e *editor) set(at spot, value string) ([]byte, error) {
	n := at.holders[len(at.holders)-1]
	if len(at.rest) == 0 {
		return e.replace(at, n, value)
	}
	m := n
	if a, ok := n.(*ast.AnchorNode); ok {
		m = a.Value
	}
	mapping, ok := m.(*ast.MappingNode)
	switch {
	case !ok || len(mapping.Values) == 0 && !mapping.IsFlowStyle:
		return e.replace(at, n, nested(at.rest, value)) // null, or nothing yet
	case mapping.IsFlowStyle && len(mapping.Values) == 0:
		i := e.at(mapping.Start) + 1
		return e.splice(i, i, Scalar(at.rest[0])+": "+nested(at.rest[1:], value))
	case mapping.IsFlowStyle:
		i := e.entryEnd(mapping.Values[len(mapping.Values)-1])
		return e.splice(i, i, ", "+Scalar(at.rest[0])+": "+nested(at.rest[1:], value))
	}
	var b strings.Builder
	indent := first(mapping.Values[0].Key).Position.Column - 1
	for i, key := range at.rest {
		b.WriteString(e.newline + strings.Repeat(" ", indent+2*i) + Scalar(key) + ":")
	}
	b.WriteString(" " + value)
	i := e.eol(e.entryEnd(mapping.Values[len(mapping.Values)-1]))
	return e.splice(i, i, b.String())
}

// nested is value inside the maps that keys name, in flow style.
func nested(keys []string, value string) string {
	for i := len(keys) - 1; i >= 0; i-- {
		value = "{" + Scalar(keys[i]) + ": " + value + "}"
	}
	return value
}

// entryEnd is the byte after an entry of a map.
func (e *editor) entryEnd(v *ast.MappingValueNode) int {
	if !isHollow(v.Value) {
		return e.end(v.Value)
	}
	if i := e.at(v.Start); i < len(e.text) && e.text[i] == ':' {
		return i + 1
	}
	return e.scalarEnd(v.Key.GetToken())
}

// replace puts value in the place of the value n at the spot.
func (e *editor) replace(at spot, n ast.Node, value string) ([]byte, error) {
	if isHollow(n) {
		switch {
		case at.entry == nil:
			return nil, fmt.Errorf("found nothing in the list there, expected a value to replace")
		default:
			i := e.entryEnd(at.entry)
			if e.text[i-1] != ':' {
				value = ": " + value
			} else {
				value = " " + value
			}
			return e.splice(i, i, value)
		}
	}
	from, to := e.at(first(n)), e.end(n)
	if at.entry == nil || at.entry.Start.Position.Line == first(n).Position.Line {
		return e.splice(from, to, value)
	}
	// The value stands below its key: the new one goes beside the key, before what comment there is.
	colon := e.at(at.entry.Start) + 1
	line := e.eol(colon)
	from, to = e.bol(from), e.eol(to)
	if to < len(e.text) {
		to = e.next(to)
	}
	if line > from {
		return nil, fmt.Errorf("the place of the value in the text cannot be found; change it in the text itself")
	}
	var b strings.Builder
	b.WriteString(" " + value)
	b.Write(e.text[colon:from])
	if to == len(e.text) && !bytes.HasSuffix(e.text, []byte("\n")) {
		return e.splice(colon, to, strings.TrimRight(b.String(), "\r\n"))
	}
	return e.splice(colon, to, b.String())
}

// remove takes the entry at the spot out.
func (e *editor) remove(at spot) ([]byte, error) {
	holder := at.holders[len(at.holders)-2]
	if a, ok := holder.(*ast.AnchorNode); ok {
		holder = a.Value
	}
	mapping, ok := holder.(*ast.MappingNode)
	if !ok || at.entry == nil {
		return nil, fmt.Errorf("found a list on the way, expected an entry of a map; write the whole list anew to take a value out")
	}
	i, all := at.index, mapping.Values
	switch from, to := e.at(first(at.entry.Key)), e.entryEnd(at.entry); {
	case len(all) == 1 && len(at.holders) == 2:
		return nil, fmt.Errorf("found the only key of the document, expected others beside it")
	case len(all) == 1 && !mapping.IsFlowStyle:
		return e.replace(*at.above, at.holders[len(at.holders)-2], "{}")
	case len(all) == 1:
		return e.splice(from, to, "")
	case mapping.IsFlowStyle && i+1 < len(all):
		return e.splice(from, e.at(first(all[i+1].Key)), "")
	case mapping.IsFlowStyle:
		return e.splice(e.entryEnd(all[i-1]), to, "")
	case len(bytes.TrimSpace(e.text[e.bol(from):from])) > 0: // the first key behind a dash
		if i+1 == len(all) {
			return nil, fmt.Errorf("the place of the value in the text cannot be found; change it in the text itself")
		}
		return e.splice(from, e.at(first(all[i+1].Key)), "")
	default:
		return e.splice(e.bol(from), e.next(e.eol(to)), "")
	}
}
