package cli

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"lowslung/channel"
	"lowslung/quantity"
	"lowslung/rig"
)

// Reference pages read off tables: commands, numbers, units, and the keys of the document.

func commandsPage(root *cobra.Command) []byte {
	s := newSheet("Commands", root.Short+".")
	s.para("Exit status of every command: **0** fine; **1** the answer holds a finding that says stop; **2** bad use, or input " +
		"that cannot be read. What went wrong is said on standard error. Colours are left out when the output is no terminal, or " +
		"`NO_COLOR` is set.")
	if root.Runnable() {
		s.command(2, root)
	}
	for _, c := range root.Commands() {
		s.commands(2, c)
	}
	return s.done()
}

// commands writes a command and those below it.
func (s *sheet) commands(depth int, c *cobra.Command) {
	if c.Hidden || !c.IsAvailableCommand() {
		return
	}
	s.command(depth, c)
	for _, inner := range c.Commands() {
		s.commands(depth+1, inner)
	}
}

func (s *sheet) command(depth int, c *cobra.Command) {
	s.head(depth, strings.TrimPrefix(c.CommandPath(), c.Root().Name()+" "))
	if c.Long != "" {
		s.para(strings.ReplaceAll(c.Long, "\n", " "))
	} else {
		s.para(c.Short + ending(c.Short))
	}
	if c.Runnable() {
		s.para("```\n" + c.UseLine() + "\n```")
	}
	var rows [][]string
	c.NonInheritedFlags().VisitAll(func(f *pflag.Flag) {
		if f.Hidden || f.Name == "help" {
			return
		}
		def := f.DefValue
		if f.Value.Type() == "bool" || def == "[]" {
			def = ""
		}
		rows = append(rows, []string{code("--" + f.Name), takes(f.Value.Type()), code(def), f.Usage})
	})
	if len(rows) > 0 {
		s.table([]string{"flag", "takes", "when left out", "meaning"}, rows)
	}
}

// ending closes a sentence that has no full stop or question mark yet.
func ending(text string) string {
	if strings.HasSuffix(text, "?") || strings.HasSuffix(text, ".") {
		return ""
	}
	return "."
}

// takes says what follows a flag.
func takes(kind string) string {
	switch kind {
	case "bool":
		return "–"
	case "string":
		return "text"
	case "stringArray":
		return "text, may be repeated"
	case "int":
		return "whole number"
	}
	return kind
}

func numbersPage() []byte {
	s := newSheet("Numbers", "Every number of the catalogue: what tables and comparisons print, and what `targets` of a document may name. "+
		"The name is the same everywhere.")
	s.para("*Wanted* is the way the trade usually wants it; a dash means that it depends on the build, and no command calls such a " +
		"change better or worse. Digits are those printed in metric units.")
	word := ""
	var rows [][]string
	flush := func() {
		if len(rows) > 0 {
			s.table([]string{"name", "symbol", "unit", "US unit", "digits", "wanted", "meaning"}, rows)
			rows = nil
		}
	}
	for i := range channel.All() {
		c := &channel.All()[i]
		if c.Word != word {
			flush()
			word = c.Word
			s.head(2, word)
		}
		wanted := map[channel.Sense]string{channel.Higher: "higher", channel.Lower: "lower", channel.Neither: "–"}[c.Sense]
		rows = append(rows, []string{c.Name, c.Symbol, unitOf(c.Dim.Metric), unitOf(c.Dim.US), strconv.Itoa(c.Digits), wanted, c.Doc + "."})
	}
	flush()
	return s.done()
}

func unitOf(sh quantity.Shown) string {
	if sh.Symbol == "" {
		return "–"
	}
	return sh.Symbol
}

func unitsPage() []byte {
	s := newSheet("Units", "What may stand behind a number in a document, an option or a target. A number without a unit is in the unit of the "+
		"column *bare*. A unit of another dimension is an error that names both.")
	s.para("Factors are exact by definition where they can be: 1 in = 25.4 mm and 1 lb = 0.45359237 kg (international yard and pound " +
		"agreement, 1959), standard gravity 9.80665 m/s² (3rd CGPM, 1901); both are listed in NIST SP 811, appendix B.")
	for _, d := range quantity.All() {
		s.head(2, d.Name)
		s.para(fmt.Sprintf("Bare: %s. Printed: %s, with `--units us` %s.", plainUnit(d.Bare), plainUnit(d.Metric.Symbol), plainUnit(d.US.Symbol)))
		var rows [][]string
		for _, u := range d.Units {
			also := make([]string, len(u.Also))
			for i, a := range u.Also {
				also[i] = code(a)
			}
			rows = append(rows, []string{plainUnit(u.Symbol), strings.Join(also, " "), worth(d, u)})
		}
		s.table([]string{"unit", "also read", "worth"}, rows)
	}
	return s.done()
}

// worth is one of a unit in the bare unit of its dimension.
func worth(d *quantity.Dimension, u quantity.Unit) string {
	text := strconv.FormatFloat(d.In(u.Factor+u.Offset, d.Bare), 'g', 10, 64)
	if d.Bare != "" {
		text += " " + d.Bare
	}
	if u.Offset != 0 {
		text += ", and 0 " + u.Symbol + " is " + strconv.FormatFloat(d.In(u.Offset, d.Bare), 'g', 10, 64) + " " + d.Bare
	}
	return text
}

func plainUnit(symbol string) string {
	if symbol == "" {
		return "a plain number"
	}
	return code(symbol)
}

func documentPage() []byte {
	s := newSheet("Keys of the document", "Every key of a rig document (`*.rig.yaml`) and of a parts bin (`*.bin.yaml`), format version 1. "+
		"Unknown keys are errors. Units are in [units.md](units.md); what the whole is meant to be is in "+
		"[the document](../explanation/document.md). The same as JSON Schema, for editors: `lowslung schema`, `lowslung schema --bin`.")
	s.para("*Value* says what is written, with the unit of a bare number. A limit holds in that unit. A key marked **required** must be " +
		"written there, or come from the base or the bin item. In a document with `base`, `null` takes out what the base has.")
	sections := rig.Describe(false)
	known := map[string]bool{}
	for _, sec := range sections {
		known[sec.Name] = true
	}
	for _, sec := range rig.Describe(true) {
		if !known[sec.Name] {
			sections = append(sections, sec)
		}
	}
	for _, sec := range sections {
		s.head(2, sec.Name)
		if at := spots(sec.At); at != "" {
			s.para("Stands at " + at + ".")
		}
		var rows [][]string
		for _, k := range sec.Keys {
			value := k.Value
			if k.Section != "" {
				value += ": [" + k.Section + "](" + anchor(k.Section) + ")"
			}
			if k.Limit != "" {
				value += " (" + k.Limit + ")"
			}
			key := code(k.Key)
			if k.Required {
				key += " **required**"
			}
			rows = append(rows, []string{key, value, k.Doc + "."})
		}
		s.table([]string{"key", "value", "meaning"}, rows)
	}
	return s.done()
}

func spots(list []rig.Spot) string {
	var out []string
	for _, sp := range list {
		switch sp.Section {
		case "":
		case "document":
			out = append(out, code(sp.Key))
		default:
			out = append(out, code(sp.Key)+" of ["+sp.Section+"]("+anchor(sp.Section)+")")
		}
	}
	return strings.Join(out, ", ")
}
