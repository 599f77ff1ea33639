package quantity

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// A Unit is one way to write a value of a dimension: value in program units = number·Factor + Offset.
type Unit struct {
	Symbol string   // as printed
	Also   []string // other spellings that are read, never printed
	Factor float64  // program units per this unit
	Offset float64  // program units at 0 of this unit; zero but for temperatures
}

// A Shown unit is the one a unit system prints a dimension in.
type Shown struct {
	Symbol string // symbol of a Unit of the same dimension
	Digits int    // digits behind the point when nothing else is asked for
}

// A Dimension is a kind of quantity. The rows are constant; compare dimensions by pointer.
type Dimension struct {
	Name   string // "length", as error messages say it
	Bare   string // symbol of the unit that a bare number in a document is in
	Units  []Unit
	Metric Shown
	US     Shown
}

// System is the unit system a person reads answers in.
type System uint8

// The two systems that answers are printed in.
const (
	Metric System = iota
	US
)

// ParseSystem reads "metric" or "us".
func ParseSystem(text string) (System, error) {
	switch strings.ToLower(text) {
	case "metric", "":
		return Metric, nil
	case "us":
		return US, nil
	}
	return Metric, fmt.Errorf("found unit system %q, expected metric or us", text)
}

// Unit finds the unit written as symbol.
func (d *Dimension) Unit(symbol string) (Unit, bool) {
	for _, u := range d.Units {
		if u.Symbol == symbol {
			return u, true
		}
		for _, a := range u.Also {
			if a == symbol {
				return u, true
			}
		}
	}
	return Unit{}, false
}

// Symbols lists the printed symbols of the dimension's units, the bare one first.
func (d *Dimension) Symbols() []string {
	out := make([]string, 0, len(d.Units))
	for _, u := range d.Units {
		if u.Symbol == d.Bare {
			out = append([]string{u.Symbol}, out...)
		} else {
			out = append(out, u.Symbol)
		}
	}
	return out
}

// FromBare converts a bare number of the document to program units.
func (d *Dimension) FromBare(number float64) float64 {
	u, _ := d.Unit(d.Bare)
	return number*u.Factor + u.Offset
}

// In converts a value in program units to the named unit. It panics on a symbol that is no unit of d: a programmer's
// mistake.
func (d *Dimension) In(value float64, symbol string) float64 {
	u, ok := d.Unit(symbol)
	if !ok {
		panic("quantity: " + symbol + " is no unit of " + d.Name)
	}
	return (value - u.Offset) / u.Factor
}

// Shown says which unit and how many digits the system prints.
func (d *Dimension) Shown(s System) Shown {
	if s == US {
		return d.US
	}
	return d.Metric
}

// Format prints a value in program units with its unit in the given system: "112.5 mm".
func (d *Dimension) Format(value float64, s System) string {
	sh := d.Shown(s)
	return d.FormatDigits(value, s, sh.Digits)
}

// FormatDigits is Format with the digits behind the point chosen.
func (d *Dimension) FormatDigits(value float64, s System, digits int) string {
	sh := d.Shown(s)
	text := Fixed(d.In(value, sh.Symbol), digits)
	if sh.Symbol == "" || sh.Symbol == "°" {
		return text + sh.Symbol
	}
	return text + " " + sh.Symbol
}

// Fixed prints a number with the given digits behind the point, never as "-0.0".
func Fixed(v float64, digits int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "–"
	}
	s := strconv.FormatFloat(v, 'f', digits, 64)
	if strings.HasPrefix(s, "-") && strings.Trim(s, "-0.") == "" {
		return s[1:]
	}
	return s
}

// An Error is a quantity that cannot be read as one of a dimension.
type Error struct {
	Found     string // as written
	Which     string // what is the matter with it when that is known: "which is a force", "with the unknown unit \"x\""
	Dimension *Dimension
}

func (e *Error) Error() string {
	if e.Which == "" {
		return fmt.Sprintf("found %q, expected %s", e.Found, e.Dimension.Expects())
	}
	return fmt.Sprintf("found %q, %s, expected %s", e.Found, e.Which, e.Dimension.Expects())
}

// Parse reads a quantity as a document writes it: a number, then a unit or nothing. The error is an *Error: it says what
// was found and which units are expected; a unit of another dimension is named as such.
func (d *Dimension) Parse(text string) (float64, error) {
	number, symbol, err := Split(text)
	if err != nil {
		return 0, &Error{Found: text, Dimension: d}
	}
	v := d.FromBare(number)
	if symbol != "" {
		u, ok := d.Unit(symbol)
		if !ok {
			if other := DimensionOf(symbol); other != nil {
				return 0, &Error{Found: text, Which: "which is " + other.article(), Dimension: d}
			}
			return 0, &Error{Found: text, Which: fmt.Sprintf("with the unknown unit %q", symbol), Dimension: d}
		}
		v = number*u.Factor + u.Offset
	}
	if !(math.Abs(v) <= d.most()) {
		return 0, &Error{Found: text, Which: "which is too large", Dimension: d}
	}
	return v, nil
}

// article is the dimension's name as a sentence needs it: "a length", "an angle".
func (d *Dimension) article() string {
	if strings.ContainsRune("aeiou", rune(d.Name[0])) {
		return "an " + d.Name
	}
	return "a " + d.Name
}

// most is the largest size of a value in program units that is taken for meant: beyond it a number is a slip of the keyboard,
// and would only overflow further on.
func (d *Dimension) most() float64 {
	switch d {
	case &length:
		return 1e5 // 100 m
	case &mass:
		return 1e3 // 1000 kg
	}
	return 1e9
}

// Expects describes the dimension for an error: `a length (mm when bare; or cm, m, in)`.
func (d *Dimension) Expects() string {
	sy := d.Symbols()
	if len(sy) == 1 && sy[0] == "" {
		return d.article()
	}
	if len(sy) == 1 {
		return fmt.Sprintf("%s (in %s)", d.article(), sy[0])
	}
	return fmt.Sprintf("%s (%s when bare; or %s)", d.article(), orNone(sy[0]), strings.Join(sy[1:], ", "))
}

func orNone(symbol string) string {
	if symbol == "" {
		return "a plain number"
	}
	return symbol
}

// Split takes "2.2 in" apart into the number and the symbol behind it. Exponents are read; "Inf", "NaN" and hexadecimal numbers are not numbers here.
func Split(text string) (number float64, symbol string, err error) {
	s := strings.TrimSpace(text)
	end := 0
	for end < len(s) {
		c := s[end]
		switch {
		case c >= '0' && c <= '9', c == '.':
		case (c == '+' || c == '-') && (end == 0 || s[end-1] == 'e' || s[end-1] == 'E'):
		case (c == 'e' || c == 'E') && end > 0 && end+1 < len(s) && isExponent(s[end+1:]):
		default:
			goto done
		}
		end++
	}
done:
	number, err = strconv.ParseFloat(s[:end], 64)
	if err != nil {
		return 0, "", err
	}
	return number, strings.TrimSpace(s[end:]), nil
}

func isExponent(s string) bool {
	if s[0] == '+' || s[0] == '-' {
		s = s[1:]
	}
	return s != "" && s[0] >= '0' && s[0] <= '9'
}

// DimensionOf is the first dimension that has a unit written as symbol, or nil.
func DimensionOf(symbol string) *Dimension {
	for _, d := range All() {
		if _, ok := d.Unit(symbol); ok && symbol != "" {
			return d
		}
	}
	return nil
}
