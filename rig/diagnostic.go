package rig

import (
	"fmt"
	"slices"
	"strings"
)

// A Diagnostic is one mistake in a text: where, what was found, what was expected, and the nearest valid name.
type Diagnostic struct {
	Code  string `json:"code"` // stable: "unknown-key", "wrong-unit", "no-such-hole", …
	Place Place  `json:"place"`
	Path  string `json:"path,omitempty"` // where in the document: chassis/parts/belly/mass; empty for mistakes of the text itself
	Text  string `json:"text"`           // "found …, expected …; did you mean …?"
}

// String is the diagnostic as file:line:col: text.
func (d Diagnostic) String() string { return d.Place.String() + ": " + d.Text }

// Diagnostics are all mistakes of a document, in the order of file and place. Error prints one per line as
// file:line:col: text.
type Diagnostics []Diagnostic

func (d Diagnostics) Error() string {
	lines := make([]string, len(d))
	for i := range d {
		lines[i] = d[i].String()
	}
	return strings.Join(lines, "\n")
}

// sorted puts the diagnostics in the order of files and, within a file, of places, and drops repetitions: a mistake in a
// bin item is otherwise reported by each part that uses it.
func (d Diagnostics) sorted(files []string) Diagnostics {
	rank := make(map[string]int, len(files))
	for i, f := range files {
		if _, ok := rank[f]; !ok {
			rank[f] = i
		}
	}
	slices.SortStableFunc(d, func(a, b Diagnostic) int {
		if c := rank[a.Place.File] - rank[b.Place.File]; c != 0 {
			return c
		}
		if c := a.Place.Line - b.Place.Line; c != 0 {
			return c
		}
		return a.Place.Col - b.Place.Col
	})
	seen := make(map[string]bool, len(d))
	return slices.DeleteFunc(d, func(x Diagnostic) bool {
		key := x.String()
		if seen[key] {
			return true
		}
		seen[key] = true
		return false
	})
}

// maxMistakes is how many mistakes of a document are reported; what follows them is most often the same one again.
const maxMistakes = 1000

// A reporter gathers diagnostics.
type reporter struct {
	list Diagnostics
	near int // names held against each other so far
}

func (r *reporter) add(code string, place Place, path string, format string, args ...any) {
	switch n := len(r.list); {
	case n < maxMistakes:
		r.list = append(r.list, Diagnostic{Code: code, Place: place, Path: path, Text: fmt.Sprintf(format, args...)})
	case n == maxMistakes:
		r.list = append(r.list, Diagnostic{Code: "too-many", Place: place, Path: path, Text: fmt.Sprintf("found more than %d mistakes, those after them are not shown", maxMistakes)})
	}
}
