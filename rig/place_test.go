package rig

import "testing"

// Places are what an editor shows: lines and characters from 1, whatever the line endings, marks and letters.
func TestPlaces(t *testing.T) {
	for name, c := range map[string]struct {
		text string
		path []string
		line int
		col  int
	}{
		"plain":                {"a: 1\nb:  2\n", []string{"b"}, 2, 5},
		"windows lines":        {"a: 1\r\nb:\r\n  c: x\r\n", []string{"b", "c"}, 3, 6},
		"old lines":            {"a: 1\rb: 2\r", []string{"b"}, 2, 4},
		"byte order mark":      {"\ufeffa: 1\n", []string{"a"}, 1, 4},
		"letters of two bytes": {"ä: {ö: ü, ß: 1}\n", []string{"ä", "ß"}, 1, 14},
		"quotes":               {"\"a\": 'x'\n", []string{"a"}, 1, 6},
		"map below":            {"a:\n\n  # c\n    b: 1\n", []string{"a"}, 4, 5},
		"map beside":           {"a: {b: 1}\n", []string{"a"}, 1, 4},
		"list below":           {"a:\n  - 1\n", []string{"a"}, 2, 3},
		"list over lines":      {"a: [1,\n    2]\nb: [3]\n", []string{"b"}, 3, 4},
		"block text":           {"a: |\n  x\n  y\nb: 1\n", []string{"a"}, 1, 4},
		"after a block text":   {"a: |\n  x\n\n  y\nb: 1\n", []string{"b"}, 5, 4},
		"after folded text":    {"a: >-\n  x\n  y\n# c\nb: 1\n", []string{"b"}, 5, 4},
		"text over two lines":  {"a: x\n  y\nb: 1\n", []string{"a"}, 1, 4},
		"after two lines":      {"a: \"x\n  y\"\nb: 1\n", []string{"b"}, 3, 4},
		"JSON":                 {"{\n\t\"a\": [\n\t\t1\n\t]\n}", []string{"a"}, 2, 7},
		"tabs between":         {"a:\t{b:\t1, c: 2}\n", []string{"a", "c"}, 1, 14},
		"tab in quotes":        {"{\"a\":\t'x\ty', \"b\":\t1}\n", []string{"b"}, 1, 19},
		"anchor":               {"a: &x\n  b: 1\nc: *x\n", []string{"a", "b"}, 2, 6},
		"null":                 {"a: 1\nb: ~\n", []string{"b"}, 2, 4},
	} {
		n := mustParse(t, []byte(c.text)).At(c.path...)
		if n == nil || n.Place != (Place{"text", c.line, c.col}) {
			t.Errorf("%s: %v, want %d:%d", name, n, c.line, c.col)
		}
	}
}
