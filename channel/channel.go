// Package channel is the catalogue of result channels: each number that any question answers with, once, with its name,
// title, symbol, dimension and digits. Tables, plots, comparisons, targets and the manual all read it.
package channel

import "lowslung/quantity"

// Sense says which way a number is wanted, when the trade has a view at all.
type Sense int8

// Senses.
const (
	Neither Sense = iota // depends on the build
	Higher
	Lower
)

// A Channel is one number of the answers. Name is what targets, comparisons and tables call it.
type Channel struct {
	Name   string
	Word   string // question that answers it
	Symbol string // handbook symbol, "" when there is none
	Dim    *quantity.Dimension
	Digits int   // behind the point, in metric
	Sense  Sense // which way is usually wanted
	Doc    string
}

// A Value is a channel's number for one build, in program units.
type Value struct {
	Channel *Channel
	Value   float64
}

var all = buildAll()

// All lists the catalogue in the order of the house. The slice must not be changed.
func All() []Channel { return all }

// Find looks a channel up by name.
func Find(name string) (*Channel, bool) {
	for i := range all {
		if all[i].Name == name {
			return &all[i], true
		}
	}
	return nil, false
}

// Must is Find for names written in code; it panics on an unknown one.
func Must(name string) *Channel {
	c, ok := Find(name)
	if !ok {
		panic("channel: no channel called " + name)
	}
	return c
}

// Of makes a value of the channel called name.
func Of(name string, value float64) Value { return Value{Must(name), value} }

// Format prints a value with its unit.
func (c *Channel) Format(v float64, s quantity.System) string {
	digits := c.Digits
	if s == quantity.US { // keep the resolution about the same
		digits += c.Dim.US.Digits - c.Dim.Metric.Digits
	}
	return c.Dim.FormatDigits(v, s, max(digits, 0))
}

// FormatChange prints a difference of two values with sign and unit.
func (c *Channel) FormatChange(v float64, s quantity.System) string {
	text := c.Format(v, s)
	if v > 0 && text[0] != '-' {
		return "+" + text
	}
	return text
}
