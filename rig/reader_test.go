package rig

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"go.yaml.in/yaml/v3"
)

// theirs reads a text with another YAML library that shares no code with ours (go.yaml.in/yaml, after libyaml).
func theirs(text []byte) (*Node, bool) {
	var doc yaml.Node
	if yaml.Unmarshal(text, &doc) != nil || len(doc.Content) != 1 {
		return nil, false
	}
	return convertTheirs(doc.Content[0], 0)
}

func convertTheirs(n *yaml.Node, depth int) (*Node, bool) {
	out := &Node{Text: n.Value}
	if depth > MaxDepth || n.Style&yaml.TaggedStyle != 0 {
		return nil, false
	}
	switch n.Kind {
	case yaml.ScalarNode:
		out.Kind = ScalarNode
		out.Quoted = n.Style&(yaml.DoubleQuotedStyle|yaml.SingleQuotedStyle|yaml.LiteralStyle|yaml.FoldedStyle) != 0
		if n.Tag == "!!null" && !out.Quoted {
			out.Kind = NullNode
		}
		return out, true
	case yaml.SequenceNode:
		out.Kind = ListNode
	case yaml.MappingNode:
		out.Kind = MapNode
		for i := 0; i < len(n.Content); i += 2 {
			v, ok := convertTheirs(n.Content[i+1], depth+1)
			if !ok || n.Content[i].Kind != yaml.ScalarNode {
				return nil, false
			}
			out.Keys = append(out.Keys, Key{Name: n.Content[i].Value, Value: v})
		}
		return out, true
	case yaml.AliasNode:
		return convertTheirs(n.Alias, depth+1)
	}
	for _, child := range n.Content {
		v, ok := convertTheirs(child, depth+1)
		if !ok {
			return nil, false
		}
		out.List = append(out.List, v)
	}
	return out, true
}

// Whatever both libraries accept, they must read as the same thing: a value must not change or get lost without a word.
func TestAgainstAnotherReader(t *testing.T) {
	r := seed(t)
	var texts [][]byte
	for _, text := range examples(t) {
		texts = append(texts, text)
	}
	files, _ := filepath.Glob("testdata/bad/*.yaml")
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		texts = append(texts, text)
	}
	texts = append(texts, Starter("A rig"))
	for _, s := range nasty {
		texts = append(texts, []byte(s))
	}
	both, bad := 0, 0
	compare := func(text []byte) {
		if strings.ContainsAny(string(text), "\u0085\u2028\u2029?") {
			return // line breaks in YAML 1.1 only, and a key sign where 1.2 has none
		}
		if blankFirst.Match(text) {
			return // a block text that begins with a line of blanks: the standard forbids what follows in some cases
		}
		if !bytes.HasSuffix(text, []byte("\n")) {
			text = append(text[:len(text):len(text)], '\n') // as Parse does
		}
		ours, err := Parse("text", text)
		other, ok := theirs(text)
		if err != nil || !ok || ours.Kind != MapNode || hasHollow(ours) || strings.Contains(string(text), "&") {
			return // a text that is no map and a value left empty are refused later; names of anchors are not compared
		}
		both++
		if d := unlike(ours, other, ""); d != "" {
			t.Errorf("%q: %s", text, d)
			bad++
		}
	}
	for _, text := range texts {
		compare(text)
	}
	// Pieces of real documents, cut and mended at random.
	for range 20000 {
		if bad > 40 {
			break
		}
		text := texts[r.IntN(len(texts))]
		all := strings.SplitAfter(string(text), "\n")
		at := r.IntN(len(all))
		piece := []byte(strings.Join(all[at:min(len(all), at+1+r.IntN(6))], ""))
		for range 1 + r.IntN(3) {
			if len(piece) == 0 {
				break
			}
			i := r.IntN(len(piece))
			mark := marks[r.IntN(len(marks))]
			switch r.IntN(3) {
			case 0:
				piece = append(piece[:i:i], piece[i+1:]...)
			case 1:
				piece = append(append(piece[:i:i], mark...), piece[i:]...)
			default:
				piece = append(append(piece[:i:i], mark...), piece[i+1:]...)
			}
		}
		compare(piece)
	}
	t.Logf("%d texts read by both", both)
	if both < 1000 && !t.Failed() {
		t.Errorf("only %d texts were read by both, want at least 1000", both)
	}
}

var blankFirst = regexp.MustCompile(`[|>][^\n]*\n[ \t]+\r?\n`)

func hasHollow(n *Node) bool {
	if n.Kind == NullNode && n.Text == "" {
		return true
	}
	for _, k := range n.Keys {
		if hasHollow(k.Value) {
			return true
		}
	}
	for _, child := range n.List {
		if hasHollow(child) {
			return true
		}
	}
	return false
}

// unlike says where two trees differ, line breaks inside texts aside; "" when they do not.
func unlike(a, b *Node, path string) string {
	switch {
	case a.Kind != b.Kind:
		return path + ": " + a.Kind.String() + " " + a.Line() + " here, " + b.Kind.String() + " " + b.Line() + " there"
	case a.Kind == ScalarNode && (strings.Join(strings.Fields(a.Text), " ") != strings.Join(strings.Fields(b.Text), " ") || a.Quoted != b.Quoted):
		return path + ": " + a.Text + " here, " + b.Text + " there"
	case len(a.Keys) != len(b.Keys) || len(a.List) != len(b.List):
		return path + ": " + a.Line() + " here, " + b.Line() + " there"
	}
	for i := range a.Keys {
		if a.Keys[i].Name != b.Keys[i].Name {
			return path + ": key " + a.Keys[i].Name + " here, " + b.Keys[i].Name + " there"
		}
		if d := unlike(a.Keys[i].Value, b.Keys[i].Value, join(path, a.Keys[i].Name)); d != "" {
			return d
		}
	}
	for i := range a.List {
		if d := unlike(a.List[i], b.List[i], path); d != "" {
			return d
		}
	}
	return ""
}

// Text on a line of its own that is no further in than the key above it is no value of that key: the standard has no reading for it.
func TestTextNoFurtherInThanItsKeyIsRefused(t *testing.T) {
	for _, text := range []string{"     belly:\n    cage:{} \n", "belly:\ncage\n", "a:\n  b:\n  c\n"} {
		if n, err := Parse("text", []byte(text)); err == nil {
			t.Errorf("%q: read as %v, want it refused", text, n)
		}
	}
	for _, text := range []string{"belly:\n  cage\n", "a:\nb: 1\n", "a:\n- 1\n"} {
		if _, err := Parse("text", []byte(text)); err != nil {
			t.Errorf("%q: %v", text, err)
		}
	}
}
