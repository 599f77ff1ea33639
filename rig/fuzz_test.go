package rig

import (
	"errors"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"
)

// FuzzLoad feeds any text to Load: no panic, no hang, and every mistake has a place inside the text it is about.
func FuzzLoad(f *testing.F) {
	for _, pattern := range []string{"testdata/bad/*.yaml", "testdata/bad/*/*.yaml"} {
		names, _ := filepath.Glob(pattern)
		for _, name := range names {
			text, err := os.ReadFile(name)
			if err != nil {
				f.Fatal(err)
			}
			f.Add(text)
		}
	}
	f.Add(Starter("A rig"))
	for _, text := range nasty {
		f.Add([]byte(text))
	}
	base, err := os.ReadFile("testdata/bad/base/rear.yaml")
	if err != nil {
		f.Fatal(err)
	}
	shelf, err := os.ReadFile("testdata/bad/bins/shelf.bin.yaml")
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		workshop := files{"text": string(text), "bin": string(text), "base/rear.yaml": string(base), "bins/shelf.bin.yaml": string(shelf),
			"use": "lowslung: 1\nbins: [bin]\nchassis: {parts: {a: {item: a}}}\n"}
		for _, name := range []string{"text", "use"} {
			hang := time.AfterFunc(10*time.Second, func() { panic("Load hangs") })
			b, err := Load(workshop.read, name)
			hang.Stop()
			if err == nil {
				if b.Doc == nil || b.Tree == nil {
					t.Fatal("a build without its document")
				}
				continue
			}
			var list Diagnostics
			if !errors.As(err, &list) || len(list) == 0 {
				t.Fatalf("error is no Diagnostics: %v", err)
			}
			for _, d := range list {
				inPlace(t, d, workshop)
			}
		}
	})
}

// inPlace fails unless the place of a diagnostic is in its text: on a line, at a character of it or right behind.
func inPlace(t *testing.T, d Diagnostic, workshop files) {
	t.Helper()
	text, ok := workshop[d.Place.File]
	if !ok {
		t.Fatalf("%q is about no file", d)
	}
	text = strings.TrimPrefix(text, "\ufeff")
	text = strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n")
	all := strings.Split(text, "\n")
	if d.Place.Line < 1 || d.Place.Line > len(all) || d.Place.Col < 1 || d.Place.Col > len([]rune(all[d.Place.Line-1]))+1 {
		t.Fatalf("%q is about a place outside the text", d)
	}
	if d.Text == "" || d.Code == "" || strings.ContainsAny(d.Text, "\n\r") {
		t.Fatalf("%q is no line with a code", d)
	}
}

// nasty texts are what YAML readers are known to trip over.
var nasty = []string{
	"", " ", "\n", "\t", "\ufeff", "---", "...", "--- ---", "%YAML 1.2\n---\na: 1", "? a", "? [a, b]\n: c", "a: ? b", ": a", "- - - -", "-\n-\n-",
	"[", "{", "]", "}", "[[[[", "{{{{", "{a", "{a:", "{a: b", "[a,", ",", "a: ,", "a: [,]", "a: {,}", "&", "*", "&a", "*a", "a: &a", "a: *", "a: &a *a", "&a a: *a",
	"!", "!!", "a: !", "a: !!str", "a: !<x> b", "|", ">", "a: |", "a: >-\n", "a: |9\n b", "a: |\n  b\n c", "'", "\"", "a: 'b", "a: \"b\\", "a: \"\\u12", "a: \"\\ud800\"",
	"a: \"\\x4\"", "a: @b", "a: `b", "a:\tb", "a:\n\tb", "\ta: b", "a: b\tc", "a: b #c", "a: b# c", "#", "a: #b", "a: b\n c: d", "a:\n b\nc", "a: b: c", "<<: a", "<<: {a: 1}",
	"~: a", "null: a", "true: a", "1: a", ".nan: a", "a: ~", "a: .nan", "a: 1e999", "a: 0x", "a: 1_0", "a: 12:30", "a: 2001-01-01", "lowslung: 1\nname: |\n  x\n # y\n z",
	"lowslung: 1\nlinks: {a: 1, b: [], c: {axle: x}}", "lowslung: 1\nlinks: {a: {}}\nshocks: {a: {}}\nshafts: {a: {}}\nbars: {a: {}}\nmates: {a: 1, b: [], c: [a/b, 1]}\ntargets: {a: 1}",
	"lowslung: 1\nchassis: {parts: {a: {on: a}, b: {on: c}, c: {on: b}}}", "base: .", "base: ..", "base: text", "base: base/rear.yaml\nlinks: null\nchassis: {parts: null}",
	"base: base/rear.yaml\nchassis: null", "bins: [1, {}, [], bin, text]", "lowslung: 1\nitems: {a: {item: a, mass: x}}", "a: \"\t\t\t\n\t\"", "\u2028a: b\u2029", "a\u0085b: c",
}

// FuzzSetIn edits any text at any path: no panic, and what it gives back reads as what was asked for.
func FuzzSetIn(f *testing.F) {
	for _, text := range nasty {
		f.Add([]byte(text), "a/b", "1")
	}
	f.Add(Starter("A rig"), "chassis/parts/belly/holes/rear lower/at", "[1, 2, 3]")
	f.Add([]byte("a:\n  - b: 1\n    c: 2\n"), "a/0/c", "{d: e}")
	f.Add([]byte("a: {b: [1, {c: 2}]} # d\n"), "a/b/1/c", "\"x\"")
	f.Fuzz(func(t *testing.T, text []byte, where, value string) {
		path := strings.Split(where, "/")
		out, err := SetIn(text, path, value)
		if err != nil {
			return
		}
		got := mustParse(t, out)
		for _, key := range path {
			if got.Kind == ListNode {
				i, _ := strconv.Atoi(key)
				got = got.List[i]
			} else {
				got = got.Get(key)
			}
		}
		want, err := oneLine(value)
		if err != nil || !identical(got, want) {
			t.Fatalf("%q set to %q in %q gives %q", where, value, text, out)
		}
		if back, err := RemoveIn(out, path); err == nil {
			mustParse(t, back)
		}
	})
}
