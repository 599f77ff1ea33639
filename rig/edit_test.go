package rig

import (
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

func TestSetIn(t *testing.T) {
	for name, c := range map[string]struct{ text, path, value, want string }{
		"value":                     {"a: 1 # one\nb: 2\n", "a", "3 mm", "a: 3 mm # one\nb: 2\n"},
		"value without line ending": {"a: 1", "a", "2", "a: 2"},
		"spaces kept":               {"a:   1   # one\n", "a", "22", "a:   22   # one\n"},
		"inside brackets":           {"a: {b: 1, c: [1, 2]} # x\n", "a/b", "7", "a: {b: 7, c: [1, 2]} # x\n"},
		"list in place":             {"a: {b: 1, c: [1, 2]} # x\n", "a/c", "[3]", "a: {b: 1, c: [3]} # x\n"},
		"in a list":                 {"a: [1, 2, 3]\n", "a/1", "9", "a: [1, 9, 3]\n"},
		"map in a block list":       {"a:\n  - b: 1\n    c: 2\n  - d: 3\n", "a/0/c", "5", "a:\n  - b: 1\n    c: 5\n  - d: 3\n"},
		"double quotes":             {`a: "x # \" y" # c` + "\n", "a", "z", "a: z # c\n"},
		"single quotes":             {"a: 'it''s'  # c\n", "a", "z", "a: z  # c\n"},
		"quoted key":                {`"a b": 1` + "\n", "a b", "2", `"a b": 2` + "\n"},
		"block text":                {"a: |\n  one\n  # two\nb: 1\n", "a", "x", "a: x\nb: 1\n"},
		"text over two lines":       {"a: one\n  two\n# c\nb: 1\n", "a", "x", "a: x\n# c\nb: 1\n"},
		"list below":                {"a:  # where\n  - 1\n  - 2 # second\n# c\nb: 1\n", "a", "[3, 4]", "a: [3, 4]  # where\n# c\nb: 1\n"},
		"map below to one":          {"a:\n  b: 1\nc: 1\n", "a", "{b: 2}", "a: {b: 2}\nc: 1\n"},
		"last list below":           {"a:\n  - 1\n  - 2", "a", "3", "a: 3"},
		"new key":                   {"a:\n  b: 1 # one\n  # more\nc: 1\n", "a/d", "2", "a:\n  b: 1 # one\n  d: 2\n  # more\nc: 1\n"},
		"new key, no line ending":   {"a:\n  b: 1", "a/c", "2", "a:\n  b: 1\n  c: 2"},
		"new key, deep":             {"a: 1\n", "x/y/z w", "2", "a: 1\nx:\n  y:\n    z w: 2\n"},
		"new key after a block":     {"a:\n  b:\n    c: 1\n    d: [1,\n     2]\n", "a/e", "1", "a:\n  b:\n    c: 1\n    d: [1,\n     2]\n  e: 1\n"},
		"new key in brackets":       {"a: {b: 1}\n", "a/c/d", "2", "a: {b: 1, c: {d: 2}}\n"},
		"new key in empty brackets": {"a: {}\n", "a/c", "2", "a: {c: 2}\n"},
		"new key, trailing comma":   {"a: {b: 1, }\n", "a/c", "2", "a: {b: 1, c: 2, }\n"},
		"new key under null":        {"a: null # none\n", "a/c", "2", "a: {c: 2} # none\n"},
		"nothing there":             {"a: # none\nb: 1\n", "a", "2", "a: 2 # none\nb: 1\n"},
		"nothing there, new key":    {"a:\nb: 1\n", "a/c", "2", "a: {c: 2}\nb: 1\n"},
		"key without value":         {"a: {b, c: 1}\n", "a/b", "2", "a: {b: 2, c: 1}\n"},
		"key that needs quotes":     {"a: 1\n", "b: #", "2", "a: 1\n\"b: #\": 2\n"},
		"carriage returns":          {"a:\r\n  b: 1\r\nc: 2\r\n", "a/d", "3", "a:\r\n  b: 1\r\n  d: 3\r\nc: 2\r\n"},
		"byte order mark":           {"\ufeffa: 1\r\nb: 2\r\n", "a", "3", "\ufeffa: 3\r\nb: 2\r\n"},
		"letters of more bytes":     {"ä: {ß: 1, ½: 2} # ü\n", "ä/½", "3°", "ä: {ß: 1, ½: 3°} # ü\n"},
		"JSON":                      {"{\n\t\"a\": 1,\n\t\"b\": {\"c\": \"x\"}\n}\n", "b/c", `"y"`, "{\n\t\"a\": 1,\n\t\"b\": {\"c\": \"y\"}\n}\n"},
		"anchor beside":             {"a: &x 1\nb: *x\n", "b", "2", "a: &x 1\nb: 2\n"},
		"null":                      {"a:\n  b: 1\n  c: 2\n", "a/b", "null", "a:\n  b: null\n  c: 2\n"},
		"explicit document":         {"---\na: 1\n...\n", "a", "2", "---\na: 2\n...\n"},
	} {
		got, err := SetIn([]byte(c.text), strings.Split(c.path, "/"), c.value)
		if err != nil {
			t.Errorf("%s: %v", name, err)
		} else if string(got) != c.want {
			t.Errorf("%s:\ngot  %q\nwant %q", name, got, c.want)
		}
	}
}

func TestRemoveIn(t *testing.T) {
	for name, c := range map[string]struct{ text, path, want string }{
		"line":                 {"a: 1\nb: 2 # two\nc: 3\n", "b", "a: 1\nc: 3\n"},
		"last line":            {"a: 1\nb: 2", "b", "a: 1\n"},
		"block":                {"a:\n  b: 1\n  c:\n    d: 2\n    e: 3\n# x\nf: 4\n", "a/c", "a:\n  b: 1\n# x\nf: 4\n"},
		"only key":             {"a:\n  b: 1\nc: 1\n", "a/b", "a: {}\nc: 1\n"},
		"only key in brackets": {"a: {b: 1}\n", "a/b", "a: {}\n"},
		"first in brackets":    {"a: {b: 1, c: 2}\n", "a/b", "a: {c: 2}\n"},
		"last in brackets":     {"a: {b: 1, c: 2}\n", "a/c", "a: {b: 1}\n"},
		"first behind a dash":  {"a:\n  - b: 1\n    c: 2\n", "a/0/b", "a:\n  - c: 2\n"},
		"only behind a dash":   {"a:\n  - b: 1\n", "a/0/b", "a:\n  - {}\n"},
		"left empty":           {"a:\nb: 1\n", "a", "b: 1\n"},
	} {
		got, err := RemoveIn([]byte(c.text), strings.Split(c.path, "/"))
		if err != nil {
			t.Errorf("%s: %v", name, err)
		} else if string(got) != c.want {
			t.Errorf("%s:\ngot  %q\nwant %q", name, got, c.want)
		}
	}
}

func TestEditRefuses(t *testing.T) {
	for name, c := range map[string]struct{ text, path, value, want string }{
		"no value":              {"a: 1\n", "a", "", "expected one YAML value on one line"},
		"two lines":             {"a: 1\n", "a", "b\nc", "expected one YAML value on one line"},
		"comment as value":      {"a: 1\n", "a", "# x", "expected one YAML value on one line"},
		"broken value":          {"a: 1\n", "a", "{b: ", "found a key without a value"},
		"value with a key":      {"a: 1\n", "a", "b: c", "expected one YAML value on one line"},
		"through a number":      {"a: 1\n", "a/b", "2", `found "1" where the path goes on to "b", expected a map`},
		"beyond a list":         {"a: [1]\n", "a/1", "2", `found "1" in the path, expected a position in a list of 1 values, from 0`},
		"an anchor in use":      {"a: &x 1\nb: *x\n", "a", "2", "cannot be changed without touching other values"},
		"through an alias":      {"a: &x {c: 1}\nb: *x\n", "b/c", "2", "change it where &x is"},
		"comma inside brackets": {"a: {b: 1}\n", "a/b", "x, y", "cannot be changed without touching other values"},
		"broken text":           {"a: {\n", "a", "2", `found "{" without its "}"`},
	} {
		_, err := SetIn([]byte(c.text), strings.Split(c.path, "/"), c.value)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v, want %q", name, err, c.want)
		}
	}
	for name, c := range map[string]struct{ text, path, want string }{
		"not there": {"a: 1\n", "b", `found no "b" in the text`},
		"only key":  {"a: 1\n", "a", "found the only key of the document"},
		"in a list": {"a: [1, 2]\n", "a/0", "write the whole list anew"},
	} {
		_, err := RemoveIn([]byte(c.text), strings.Split(c.path, "/"))
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v, want %q", name, err, c.want)
		}
	}
}

// seed is random, or taken from LOWSLUNG_SEED to repeat a failure.
func seed(t testing.TB) *rand.Rand {
	s := uint64(time.Now().UnixNano())
	if text := os.Getenv("LOWSLUNG_SEED"); text != "" {
		s, _ = strconv.ParseUint(text, 10, 64)
	}
	t.Logf("LOWSLUNG_SEED=%d", s)
	return rand.New(rand.NewPCG(s, 1))
}

// leaves lists the paths of all values that are no maps.
func leaves(n *Node, path []string) [][]string {
	var out [][]string
	for _, k := range n.Keys {
		at := append(path[:len(path):len(path)], k.Name)
		if k.Value.Kind == MapNode {
			out = append(out, leaves(k.Value, at)...)
		} else {
			out = append(out, at)
		}
	}
	return out
}

// An edit anywhere in a real document changes the line of the value and no other.
func TestEditKeepsOtherLines(t *testing.T) {
	r := seed(t)
	texts := examples(t)
	texts["starter"] = Starter("A rig")
	for name, text := range texts {
		root, err := Parse(name, text)
		if err != nil {
			t.Fatal(err)
		}
		all := leaves(root, nil)
		for range 4 {
			path := all[r.IntN(len(all))]
			node := root.At(path...)
			if strings.Contains(node.Text, "\n") || lastLine(node) != root.placeOfKey(path).Line {
				continue // more than one line goes
			}
			value := fmt.Sprintf("%.2f", r.Float64()*100)
			got, err := SetIn(text, path, value)
			if err != nil {
				t.Fatalf("%s: set %q: %v", name, path, err)
			}
			if changed := differing(text, got); len(changed) > 1 || len(changed) == 1 && changed[0] != node.Place.Line {
				t.Fatalf("%s: set %q: lines %v differ, want only line %d", name, path, changed, node.Place.Line)
			}
			if now := mustParse(t, got).At(path...); now.Text != value {
				t.Fatalf("%s: set %q: read back %q, want %q", name, path, now.Text, value)
			}
			back, err := SetIn(got, path, asWritten(text, node.Place))
			if err != nil || string(back) != string(text) {
				t.Fatalf("%s: set %q and back: not the text it was (%v)", name, path, err)
			}

			fresh := append(slices.Clone(path[:len(path)-1]), "a key of no other")
			more, err := SetIn(text, fresh, value)
			if err != nil {
				t.Fatalf("%s: set %q: %v", name, fresh, err)
			}
			less, err := RemoveIn(more, fresh)
			if err != nil || string(less) != string(text) {
				t.Fatalf("%s: set and remove %q: not the text it was (%v)", name, fresh, err)
			}
			gone, err := RemoveIn(text, path)
			if err != nil {
				t.Fatalf("%s: remove %q: %v", name, path, err)
			}
			if mustParse(t, gone).At(path...) != nil {
				t.Fatalf("%s: remove %q: still there", name, path)
			}
		}
	}
}

// lastLine is the line on which the last thing in a value begins.
func lastLine(n *Node) int {
	last := n.Place.Line
	for _, child := range n.List {
		last = max(last, lastLine(child))
	}
	for _, k := range n.Keys {
		last = max(last, lastLine(k.Value))
	}
	return last
}

func (n *Node) placeOfKey(path []string) Place {
	return n.At(path[:len(path)-1]...).Key(path[len(path)-1]).Place
}

func mustParse(t *testing.T, text []byte) *Node {
	t.Helper()
	n, err := Parse("text", text)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// differing lists the lines that are not the same, from 1; texts of different length differ in line 0.
func differing(a, b []byte) []int {
	la, lb := strings.Split(string(a), "\n"), strings.Split(string(b), "\n")
	if len(la) != len(lb) {
		return []int{0}
	}
	var out []int
	for i := range la {
		if la[i] != lb[i] {
			out = append(out, i+1)
		}
	}
	return out
}

// offset is the byte of a place.
func offset(text []byte, p Place) int {
	i := 0
	for line := 1; line < p.Line; line++ {
		i += strings.IndexByte(string(text[i:]), '\n') + 1
	}
	return i + len(string([]rune(string(text[i:]))[:p.Col-1]))
}

// asWritten is the value at a place as it is written, on one line: a plain one up to a comma or bracket of what it is in, a
// comment, or the end of its line.
func asWritten(text []byte, p Place) string {
	rest := string(text[offset(text, p):])
	rest = rest[:strings.IndexByte(rest+"\n", '\n')]
	switch rest[0] {
	case '"':
		return rest[:strings.IndexByte(rest[1:], '"')+2]
	case '[':
		depth := 0
		for i, c := range rest {
			switch c {
			case '[', '{':
				depth++
			case ']', '}':
				if depth--; depth == 0 {
					return rest[:i+1]
				}
			}
		}
	}
	line := strings.Split(string(text), "\n")[p.Line-1]
	if i := strings.Index(rest, " #"); i >= 0 {
		rest = rest[:i]
	}
	if before := string([]rune(line)[:p.Col-1]); strings.Count(before, "{") > strings.Count(before, "}") {
		if i := strings.IndexAny(rest, ",}]"); i >= 0 {
			rest = rest[:i]
		}
	}
	return strings.TrimRight(rest, " ")
}
