package travel

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// A Span is an evenly spaced set of values, written from:to:step.
type Span struct{ From, To, Step float64 }

// maxPoints keeps a mistyped step from asking for a grid that fills the memory.
const maxPoints = 401

// Usual grids when nothing is asked for.
var (
	usualHeave = Span{-25, 25, 5} // mm
	usualRoll  = Span{-15, 15, 5} // degrees
)

// ParseSpan reads "from:to:step", or one number.
func ParseSpan(text string) (Span, error) {
	fields := strings.Split(text, ":")
	bad := fmt.Errorf("found %q, expected from:to:step, such as -25:25:5, or one number", text)
	var v [3]float64
	for i, f := range fields {
		n, err := strconv.ParseFloat(strings.TrimSpace(f), 64)
		if err != nil || i > 2 || math.IsNaN(n) || math.IsInf(n, 0) {
			return Span{}, bad
		}
		v[i] = n
	}
	switch len(fields) {
	case 1:
		return Span{v[0], v[0], 1}, nil
	case 3:
		return Span{v[0], v[1], v[2]}, Span{v[0], v[1], v[2]}.Check()
	}
	return Span{}, bad
}

// Check says what is wrong with a span.
func (s Span) Check() error {
	switch {
	case s.To < s.From:
		return fmt.Errorf("found %s, which ends before it starts; expected from:to:step with from ≤ to", s)
	case !(s.Step > 0):
		return fmt.Errorf("found %s, expected a step above 0", s)
	case (s.To-s.From)/s.Step > maxPoints-1:
		return fmt.Errorf("found %s, which is %.0f points; expected at most %d", s, (s.To-s.From)/s.Step+1, maxPoints)
	}
	return nil
}

// Values lists the points; the last is To when the steps reach it to a millionth of a step.
func (s Span) Values() []float64 {
	n := int(math.Floor((s.To-s.From)/s.Step+1e-6)) + 1
	out := make([]float64, n)
	for i := range out {
		out[i] = s.From + float64(i)*s.Step
		if math.Abs(out[i]) < 1e-9*s.Step {
			out[i] = 0
		}
	}
	return out
}

// String writes the span as ParseSpan reads it.
func (s Span) String() string {
	f := func(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }
	return f(s.From) + ":" + f(s.To) + ":" + f(s.Step)
}
