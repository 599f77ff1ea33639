package rig

import (
	"errors"
	"fmt"
	"strings"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/scanner"
	"github.com/goccy/go-yaml/token"
)

// Parse reads one text, YAML or JSON, into a tree with places. It knows nothing of rigs. The error is Diagnostics.
func Parse(file string, text []byte) (*Node, error) {
	var r reporter
	root := r.parse(file, text)
	if len(r.list) > 0 {
		return nil, r.list.sorted([]string{file})
	}
	return root, nil
}

// parse is Parse with the mistakes reported to r; nil when nothing can be read.
func (r *reporter) parse(file string, text []byte) (root *Node) {
	defer func() {
		if fault := recover(); fault != nil {
			root = nil
			r.add("syntax", Place{file, 1, 1}, "", "found text that the YAML reader cannot take in (%v), expected YAML or JSON", fault)
		}
	}()
	s, bad := clean(file, text)
	if bad != nil {
		r.list = append(r.list, *bad)
		return nil
	}
	lines := strings.Split(s, "\n")
	tokens, err := scan(spaced(s))
	g := guard{file: file, lines: lines}
	if bad := g.check(tokens); bad != nil {
		r.list = append(r.list, *bad)
		return nil
	}
	if err == nil && len(tokens) > 0 {
		tree, fault := parser.Parse(tokens, 0, parser.AllowDuplicateMapKey())
		if err = fault; err == nil {
			c := converter{reporter: r, file: file, anchors: map[string]anchored{}}
			return c.document(tree)
		}
	}
	if err != nil {
		r.syntax(file, lines, err)
		return nil
	}
	r.empty(file)
	return nil
}

func (r *reporter) empty(file string) {
	r.add("empty", Place{file, 1, 1}, "", `found an empty text, expected a document that begins with "lowslung: 1"`)
}

// scan splits the text into tokens and stops at the first that is none; the library's own loop would go on from there.
func scan(s string) (token.Tokens, error) {
	var tokens token.Tokens
	var sc scanner.Scanner
	sc.Init(s)
	for {
		some, err := sc.Scan()
		tokens.Add(some...)
		if bad := some.InvalidToken(); bad != nil {
			return tokens[:len(tokens)-1], &yaml.SyntaxError{Message: bad.Error, Token: bad}
		}
		if err != nil { // io.EOF, or an invalid token, seen above
			return tokens, nil
		}
		if len(some) == 0 {
			return tokens, nil
		}
	}
}

func place(file string, t *token.Token) Place {
	if t == nil || t.Position == nil {
		return Place{file, 1, 1}
	}
	return Place{file, max(1, t.Position.Line), max(1, t.Position.Column)}
}

// syntax reports what the library says of a text that is no YAML, in the words of this program.
func (r *reporter) syntax(file string, lines []string, err error) {
	var message string
	at := Place{file, 1, 1}
	if e := yaml.Error(nil); errors.As(err, &e) {
		message, at = e.GetMessage(), place(file, e.GetToken()) // its Error draws a picture of the text, token by token
	} else {
		message = err.Error()
	}
	at.Line = min(at.Line, len(lines))
	at.Col = min(at.Col, len([]rune(lines[at.Line-1]))+1)
	if t := (&guard{file: file, lines: lines}).tabs(at.Line); t != nil && strings.Contains(message, "\t") {
		r.list = append(r.list, *t)
		return
	}
	for _, w := range wording {
		if strings.Contains(message, w.library) {
			r.add("syntax", at, "", "%s", w.ours)
			return
		}
	}
	r.add("syntax", at, "", "found text that is not YAML here (%s), expected YAML or JSON", strings.ReplaceAll(message, "\n", " "))
}

const valueBegun = `found "key: value" where a value had begun, expected one "key: value" a line; check the indentation of this line and the next, and put text with ": " in quotes`

// wording turns the library's messages into what was found and what was expected; the first that is contained counts.
var wording = [...]struct{ library, ours string }{
	{"could not find flow mapping end token", `found "{" without its "}", expected "}" after the last entry`},
	{"sequence end token ']' not found", `found "[" without its "]", expected "]" after the last value`},
	{"could not find '[' character", `found "]" without its "["; take it out or put "[" where the list begins`},
	{"could not find '{' character", `found "}" without its "{"; take it out or put "{" where the map begins`},
	{"',' or '}' must be specified", `found a new entry without a comma before it, expected "," or "}"`},
	{"',' or ']' must be specified", `found a new value without a comma before it, expected "," or "]"`},
	{"expected sequence element, but found ','", `found "," where a value is expected`},
	{"could not find flow map content", `found no entry here, expected "key: value" inside "{ }"`},
	{"could not find map value", `found a key without a value, expected a value after ":"`},
	{"map key-value is pre-defined", `found more text after a value was complete, expected a new key in the column of the keys above it; check the indentation`},
	{"mapping value is not allowed", valueBegun},
	{"value is not allowed in this context", `found a value that belongs to no key, expected "key: value"; check the indentation and whether a ":" is missing its space`},
	{"non-map value is specified", `found text without ":" among the keys of a map, expected "key: value"`},
	{"unexpected key name", `found text without ":" among the keys of a map, expected "key: value"`},
	{"block sequence entries are not allowed", `found a list beginning in the line of its key, expected "- " on a new line, or [ ]`},
	{"invalid key for this map", `found ":" without a key before it, expected "key: value"`},
	{"implicit line break", `found a key that runs over two lines, expected "key: value"; check the line before for a missing ":"`},
	{"end character of single-quoted", `found an opening ' without its closing one, expected ' at the end of the text`},
	{"end character of double-quoted", `found an opening " without its closing one, expected " at the end of the text`},
	{"unexpected document separator", `found --- inside a quoted text, expected its closing quote before`},
	{"unknown escape character", `found an unknown escape after \ in a "quoted text", expected \\, \", \n, \t, \u… or another of YAML's; write \\ for one backslash, or use 'single quotes'`},
	{"escaped UTF-", `found an incomplete \u escape, expected four hexadecimal digits`},
	{"surrogate", `found half of a UTF-16 pair, expected both halves as \u….\u…`},
	{"is a reserved character", "found @ or ` at the beginning of a value, which YAML reserves, expected the text in quotes"},
	{"cannot start any token", `found a tab where a value or key begins, expected spaces`},
	{"tab character cannot use as a map key", `found a tab before a key, expected spaces`},
	{"tab character", `found a tab in the indentation, expected spaces; YAML indents with spaces only`},
	{"could not find multi-line content", `found | or > without indented text below, expected the text, indented`},
	{"invalid header option", `found an unknown mark after | or >, expected a line break, or "-" or "+"`},
	{"undefined anchor", `found & without a name, expected &name and the value it stands for`},
	{"could not find anchor value", `found &name without a value, expected the value it stands for`},
	{"anchors cannot be used", `found two & names for one value, expected one`},
	{"undefined alias", `found * without a name, expected the *name of an anchor; put text that begins with * in quotes`},
	{"could not find alias", `found * without a name, expected the *name of an anchor; put text that begins with * in quotes`},
	{"document separator", `found a value in the line of ---, expected it below`},
	{"unexpected end content", `found text after "...", which ends the document; take one of them out`},
}

// found says what a node is, for messages.
func found(n *Node) string {
	switch n.Kind {
	case NullNode:
		return "nothing"
	case ListNode:
		if len(n.List) == 1 {
			return "a list of 1 value"
		}
		return fmt.Sprintf("a list of %d values", len(n.List))
	case MapNode:
		return "a map"
	}
	return quote(n.Text)
}
