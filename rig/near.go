package rig

import (
	"strings"

	"github.com/hbollon/go-edlib"
)

// maxNear is how many names are held against each other for suggestions in one load, all together: more is no help to
// a reader, and a text full of unknown names would cost minutes.
const maxNear = 200_000

// nearest is the name most like word, or "" when none is alike: at most a third of the letters may differ, at least one
// and at most four, counting a swap of two neighbours as one (optimal string alignment).
func (r *reporter) nearest(word string, names []string) string {
	best, least := "", 0
	low := strings.ToLower(word)
	if r.near += len(names); len(low) > 80 || r.near > maxNear {
		return ""
	}
	for _, name := range names {
		other := strings.ToLower(name)
		if other == low && name != word {
			return name
		}
		if len(other) > len(low)+8 || len(low) > len(other)+8 {
			continue
		}
		d := edlib.OSADamerauLevenshteinDistance(low, other)
		if d <= 4 && d <= max(1, (len([]rune(low))+1)/3) && (best == "" || d < least) {
			best, least = name, d
		}
	}
	if best == word {
		return ""
	}
	return best
}

// suggest ends a message about an unknown name: the nearest valid one, or the valid ones when they are few, or nothing.
func (r *reporter) suggest(word string, names []string) string {
	if near := r.nearest(word, names); near != "" {
		return "; did you mean " + quote(near) + "?"
	}
	switch {
	case len(names) == 0:
		return ""
	case len(names) <= 12:
		return "; there is " + quoteAll(names, ", ", " and ")
	}
	return ""
}

// like is the nearest name as the end of a message, or nothing.
func (r *reporter) like(word string, names []string) string {
	if n := r.nearest(word, names); n != "" {
		return "; did you mean " + quote(n) + "?"
	}
	return ""
}

// quote puts a name in quotes and cuts it when it is very long, so that a message stays a line.
func quote(s string) string {
	const most = 60
	if r := []rune(s); len(r) > most {
		s = string(r[:most]) + "…"
	}
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		switch {
		case r == '\n':
			b.WriteString("⏎")
		case r < ' ' || r == 0x7f || r == '\u2028' || r == '\u2029' || r == '\u0085':
			b.WriteRune('�')
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}

// quoteAll lists names: `"a", "b" and "c"`.
func quoteAll(names []string, between, last string) string {
	var b strings.Builder
	for i, n := range names {
		switch {
		case i == 0:
		case i == len(names)-1:
			b.WriteString(last)
		default:
			b.WriteString(between)
		}
		b.WriteString(quote(n))
	}
	return b.String()
}

// Nearest is the name most like word, or "" when none is alike: for "did you mean …?" about names that other packages know.
func Nearest(word string, names []string) string { return new(reporter).nearest(word, names) }
