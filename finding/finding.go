// Package finding holds what an answer tells the builder besides numbers: one thing to know each, with a stable code, a
// level, one plain sentence, what it is about and what would cure it.
package finding

import (
	"cmp"
	"fmt"
	"slices"
)

// Level says how much a finding matters. The order is by urgency.
type Level string

// The levels, most urgent first.
const (
	Stop  Level = "stop"  // do not order, cut or drive before this is solved
	Watch Level = "watch" // works, but look at it
	Note  Level = "note"  // good to know: a default taken, something missing
	OK    Level = "ok"    // checked and fine
)

// Rank is 0 for the most urgent level.
func (l Level) Rank() int {
	switch l {
	case Stop:
		return 0
	case Watch:
		return 1
	case Note:
		return 2
	}
	return 3
}

// A Finding is one thing the builder should know.
type Finding struct {
	Code     string   `json:"code" doc:"Stable code, word/what, such as travel/pinion-angle"`
	Level    Level    `json:"level" enum:"stop,watch,note,ok" doc:"stop, watch, note or ok"`
	Sentence string   `json:"sentence" doc:"One plain sentence with the numbers in it"`
	About    []string `json:"about,omitempty" nullable:"false" doc:"Paths in the document: links/rear upper, chassis/parts/belly"`
	Cure     string   `json:"cure,omitempty" doc:"What would cure it"`
}

// New makes a finding; the sentence is formatted as by fmt.Sprintf.
func New(level Level, code, format string, args ...any) Finding {
	return Finding{Code: code, Level: level, Sentence: fmt.Sprintf(format, args...)}
}

// For says what the finding is about.
func (f Finding) For(about ...string) Finding {
	f.About = append(slices.Clone(f.About), about...)
	return f
}

// CuredBy says what would cure it; the text is formatted as by fmt.Sprintf.
func (f Finding) CuredBy(format string, args ...any) Finding {
	f.Cure = fmt.Sprintf(format, args...)
	return f
}

// Sort puts the most urgent first and keeps the order within a level.
func Sort(list []Finding) {
	slices.SortStableFunc(list, func(a, b Finding) int { return cmp.Compare(a.Level.Rank(), b.Level.Rank()) })
}

// Worst is the most urgent level of the list, OK when it is empty.
func Worst(list []Finding) Level {
	worst := OK
	for _, f := range list {
		if f.Level.Rank() < worst.Rank() {
			worst = f.Level
		}
	}
	return worst
}
