package rig

import (
	"strings"
	"testing"
	"time"
)

// marks are the characters that mean something to YAML, with a few that do not.
var marks = []string{"a", " ", "\n", ":", "-", ",", "[", "]", "{", "}", "#", "&", "*", "!", "|", ">", "'", "\"", "%", "<", "?", "\t", "\\", ".", "~",
	"\n ", ": ", "- ", "b: ", "\r\n", "ü"}

// A short piece of text repeated many times must not cost more than its length allows: what takes the square of the length
// at 64 KiB would take hours at 4 MiB.
func TestRepetitionDoesNotHang(t *testing.T) {
	r := seed(t)
	for range 120 {
		unit := ""
		for range 1 + r.IntN(3) {
			unit += marks[r.IntN(len(marks))]
		}
		lead := []string{"", "", "a: ", "a: \"", "a: '", "a: [", "a: |\n "}[r.IntN(7)]
		text := []byte(lead + strings.Repeat(unit, 64<<10/len(unit)))
		began := time.Now()
		Parse("text", text)
		if took := time.Since(began); took > 5*time.Second {
			t.Errorf("%q and then %q to 64 KiB: %v", lead, unit, took)
		}
	}
}

// The largest texts that are let through, and those just beyond.
func TestLimits(t *testing.T) {
	if testing.Short() {
		t.Skip("takes seconds")
	}
	deep := func(n int) string {
		return "lowslung: 1\nnotes: " + strings.Repeat("[", n) + strings.Repeat("]", n) + "\n"
	}
	parts := func(n int) string {
		var b strings.Builder
		b.WriteString("lowslung: 1\nchassis:\n  parts:\n")
		for i := range n {
			b.WriteString("    part " + itoa(i) + ": {mass: 3, on: part " + itoa(i/2) + "}\n")
		}
		return strings.Replace(b.String(), ", on: part 0}", "}", 1)
	}
	block := func(n int) string {
		return "lowslung: 1\nchassis:\n  parts:\n" + strings.Join(numbered("    part %:\n      kind: plate\n      holes:\n        a:\n          at:\n          - 1\n          - 2\n          - 3\n", n), "")
	}
	aliases := "lowslung: 1\na: &a [x]\n" + strings.Repeat("b: *a\n", 3)
	for name, c := range map[string]struct{ text, want string }{
		"5 MiB":               {"lowslung: 1\n# " + strings.Repeat("x", 5<<20), "text:1:1: found 5.0 MiB of text, expected at most 4 MiB"},
		"64 levels":           {deep(63), `text:2:8: found a list of 1 value for "notes", expected text`},
		"65 levels":           {deep(65), "text:2:72: found more than 64 maps and lists inside each other, expected at most 64"},
		"a million levels":    {deep(1 << 20), "found more than 256 maps and lists inside each other, expected at most 64"},
		"20,000 parts":        {parts(20000), ""},
		"3,000 parts, block":  {block(3000), ""},
		"20,001 parts":        {parts(20001), "found more than 20000 keys in one map, expected fewer"},
		"20,001 parts apart":  {parts(11000) + "rear:\n  parts:\n" + parts(11000)[len("lowslung: 1\nchassis:\n  parts:\n"):], "found 22000 parts and links, expected at most 20000"},
		"one key, many times": {aliases, `text:4:1: found the key "b" a second time`},
		"empty lines":         {"lowslung: 1" + strings.Repeat("\n", 1<<20), ""},
		"empty lines between": {"lowslung: 1" + strings.Repeat("\n", 1<<20) + "name: x", "text:201:1: found more than 200 empty lines in a row, expected fewer"},
		"mistakes":            {"lowslung: 1\nchassis:\n  parts: {" + strings.Repeat("a: 1, ", 1) + strings.Join(numbered("p%: {knd: x}", 5000), ", ") + "}\n", "found more than 1000 mistakes, those after them are not shown"},
		"long key":            {strings.Repeat("k", 300) + ": 1", "text:1:1: found a key of 300 bytes, expected at most 256"},
	} {
		began := time.Now()
		_, err := Load(files{"text": c.text}.read, "text")
		if took := time.Since(began); took > 20*time.Second {
			t.Errorf("%s: took %v", name, took)
		}
		switch {
		case c.want == "" && err != nil:
			t.Errorf("%s: %.300s", name, err.Error())
		case c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)):
			t.Errorf("%s: got %.300v, want %s", name, err, c.want)
		}
	}
}

func numbered(form string, n int) []string {
	out := make([]string, n)
	for i := range out {
		out[i] = strings.Replace(form, "%", itoa(i), 1)
	}
	return out
}

// A program may send its document on a single line.
func TestOneLongLine(t *testing.T) {
	form := `"p%": {"kind": "plate", "mass": "3 g", "cg": [1, 2, 3], "holes": {"a": {"at": [1, 2, 3], "bolt": "M3", "axis": [0, 1, 0]}}}`
	text := `{"lowslung": 1, "chassis": {"parts": {` + strings.Join(numbered(form, 10000), ", ") + `}}}`
	for name, s := range map[string]string{"JSON": text, "plain": strings.ReplaceAll(text, `"`, ""), "tab": strings.Replace(text, "{", "{\t", 1)} {
		began := time.Now()
		if _, err := Load(files{"x": s}.read, "x"); err != nil {
			t.Errorf("%s: %.200s", name, err)
		}
		if took := time.Since(began); took > 15*time.Second {
			t.Errorf("%s: %d bytes took %v", name, len(s), took)
		}
	}
}
