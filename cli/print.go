package cli

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"

	"github.com/jedib0t/go-pretty/v6/table"
	"github.com/jedib0t/go-pretty/v6/text"

	"lowslung/finding"
	"lowslung/quantity"
)

// A printer writes answers for people or for programs.
type printer struct {
	out    io.Writer
	units  quantity.System
	json   bool
	colour bool
}

// encode writes an answer as JSON.
func (p *printer) encode(v any) error {
	e := json.NewEncoder(p.out)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(v)
}

func (p *printer) title(format string, args ...any) {
	s := fmt.Sprintf(format, args...)
	if p.colour {
		s = text.Bold.Sprint(s)
	}
	fmt.Fprintf(p.out, "\n%s\n", s)
}

func (p *printer) line(format string, args ...any) { fmt.Fprintf(p.out, format+"\n", args...) }

// levels are the words printed before a finding, with their colours on a terminal.
var levels = map[finding.Level]text.Colors{
	finding.Stop: {text.FgRed, text.Bold}, finding.Watch: {text.FgYellow}, finding.Note: {text.FgCyan}, finding.OK: {text.FgGreen},
}

// findings prints them most urgent first, wrapped to a readable width.
func (p *printer) findings(list []finding.Finding) {
	const wide = 108
	for _, f := range list {
		word := fmt.Sprintf("%-5s", f.Level)
		if p.colour {
			word = levels[f.Level].Sprint(word)
		}
		lines := wrapped(f.Sentence, wide)
		if f.Cure != "" && (f.Level == finding.Stop || f.Level == finding.Watch) {
			lines = append(lines, wrapped("→ "+finding.Sentence(f.Cure)+".", wide)...)
		}
		for i, s := range lines {
			if i > 0 {
				word = "     "
			}
			fmt.Fprintf(p.out, "%s  %s\n", word, s)
		}
	}
}

// table prints rows under a heading; the first column is text, a column of numbers is aligned right.
func (p *printer) table(heading []string, rows [][]string) {
	t := table.NewWriter()
	t.SetOutputMirror(p.out)
	style := table.StyleLight
	style.Options = table.Options{SeparateHeader: true, SeparateColumns: false}
	style.Format.Header = text.FormatDefault
	style.Box.PaddingLeft, style.Box.PaddingRight = "", "  "
	t.SetStyle(style)
	head := make(table.Row, len(heading))
	var config []table.ColumnConfig
	for i, h := range heading {
		head[i] = h
		if i > 0 && numeric(rows, i) {
			config = append(config, table.ColumnConfig{Number: i + 1, Align: text.AlignRight, AlignHeader: text.AlignRight})
		}
	}
	t.AppendHeader(head)
	t.SetColumnConfigs(config)
	t.SuppressTrailingSpaces()
	for _, r := range rows {
		row := make(table.Row, len(r))
		for i := range r {
			row[i] = r[i]
		}
		t.AppendRow(row)
	}
	t.Render()
}

// numeric says that every cell of a column begins like a number, or is empty.
func numeric(rows [][]string, column int) bool {
	for _, r := range rows {
		if column < len(r) && r[column] != "" && !strings.ContainsAny(r[column][:1], "0123456789+-") && r[column] != "–" {
			return false
		}
	}
	return true
}

// unit is the symbol that the printer's system uses for a dimension.
func (p *printer) unit(d *quantity.Dimension) string { return d.Shown(p.units).Symbol }

// num prints a value given in program units without its unit, for a column whose heading has it.
func (p *printer) num(d *quantity.Dimension, v float64, digits int) string {
	sh := d.Shown(p.units)
	if p.units == quantity.US {
		digits += d.US.Digits - d.Metric.Digits
	}
	return quantity.Fixed(d.In(v, sh.Symbol), max(digits, 0))
}

// maybe is num for a number that may be missing.
func (p *printer) maybe(d *quantity.Dimension, v *float64, digits int) string {
	if v == nil {
		return "–"
	}
	return p.num(d, *v, digits)
}

// wrapped breaks a sentence into lines of at most wide letters.
func wrapped(s string, wide int) []string {
	lines := strings.Split(text.WrapSoft(s, wide), "\n")
	for i := range lines {
		lines[i] = strings.TrimRight(lines[i], " ")
	}
	return lines
}
