package sheet

import (
	"fmt"
	"strings"

	"lowslung/finding"
)

// Markdown is the sheet as text for a post or a description: CommonMark with the tables of GitHub's dialect, without figures.
func (s *Sheet) Markdown() []byte {
	var b strings.Builder
	line := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	line("# %s", inline(s.Title))
	if s.Subtitle != "" {
		line("\n%s", inline(s.Subtitle))
	}
	line("")
	for _, f := range s.Facts {
		line("- %s: %s", inline(f.Name), inline(strings.Join(f.Values, ", ")))
	}
	for i := range s.Sections {
		x := &s.Sections[i]
		var part strings.Builder
		for k := range x.Blocks {
			x.Blocks[k].markdown(&part)
		}
		if part.Len() > 0 {
			line("\n## %s", inline(x.Title))
			b.WriteString(part.String())
		}
	}
	return []byte(b.String())
}

func (k *Block) markdown(b *strings.Builder) {
	switch {
	case k.Text != "":
		fmt.Fprintf(b, "\n%s\n", inline(k.Text))
	case k.List != nil:
		b.WriteString("\n")
		for _, t := range k.List {
			fmt.Fprintf(b, "- %s\n", inline(t))
		}
	case k.Findings != nil:
		b.WriteString("\n")
		for _, f := range k.Findings {
			fmt.Fprintf(b, "- **%s** %s\n", f.Level, inline(f.Sentence))
			if cure := cureOf(&f); cure != "" {
				fmt.Fprintf(b, "  → %s\n", inline(cure))
			}
		}
	case k.Table != nil:
		k.Table.markdown(b)
	}
}

// cureOf is a finding's cure as a sentence; only what is wrong has one to be printed.
func cureOf(f *finding.Finding) string {
	if f.Cure == "" || f.Level != finding.Stop && f.Level != finding.Watch {
		return ""
	}
	return finding.Sentence(f.Cure) + "."
}

func (t *Table) markdown(b *strings.Builder) {
	if t.Title != "" {
		fmt.Fprintf(b, "\n### %s\n", inline(t.Title))
	}
	b.WriteString("\n|")
	for _, c := range t.Columns {
		fmt.Fprintf(b, " %s |", inline(c.Title))
	}
	b.WriteString("\n|")
	for _, c := range t.Columns {
		if c.Num {
			b.WriteString(" ---: |")
		} else {
			b.WriteString(" --- |")
		}
	}
	b.WriteString("\n")
	for i := range t.Rows {
		r := &t.Rows[i]
		b.WriteString("|")
		for k := range t.Columns {
			cell := ""
			if k < len(r.Cells) {
				cell = inline(r.Cells[k])
			}
			if cell != "" && (r.Group || r.Sum) {
				cell = "**" + cell + "**"
			}
			fmt.Fprintf(b, " %s |", cell)
		}
		b.WriteString("\n")
	}
}

// inline is foreign text as one line that means nothing but itself: what CommonMark or a table would take for a mark has a backslash.
func inline(s string) string {
	var b strings.Builder
	runes := []rune(strings.Join(strings.Fields(s), " "))
	letter := func(i int) bool {
		return i >= 0 && i < len(runes) && (runes[i] >= '0' && runes[i] <= '9' || runes[i] >= 'A' && runes[i] <= 'Z' || runes[i] >= 'a' && runes[i] <= 'z' || runes[i] > 127)
	}
	for i, r := range runes {
		switch r {
		case '\\', '`', '*', '<', '>', '|', '~':
			b.WriteByte('\\')
		case '[': // at the beginning of an item it may be a box to tick
			if i == 0 && len(runes) > 2 && runes[2] == ']' {
				b.WriteByte('\\')
			}
		case ']': // alone it is a bracket; before a target, wherever its other half stands, it is a link's
			if i+1 < len(runes) && strings.ContainsRune("([:", runes[i+1]) {
				b.WriteByte('\\')
			}
		case '_': // within a word it is no mark
			if !letter(i-1) || !letter(i+1) {
				b.WriteByte('\\')
			}
		case '&':
			if i+1 < len(runes) && (letter(i+1) || runes[i+1] == '#') {
				b.WriteByte('\\')
			}
		case '#', '-', '+', '=': // at the beginning of a line they make headings and lists, at its end the first closes a heading
			if i == 0 && (i+1 == len(runes) || !letter(i+1)) || r == '#' && i+1 == len(runes) {
				b.WriteByte('\\')
			}
		case '.', ')': // a number with one of them behind it begins a list
			if i > 0 && digits(runes[:i]) && (i+1 == len(runes) || runes[i+1] == ' ') {
				b.WriteByte('\\')
			}
		}
		b.WriteRune(r)
	}
	return b.String()
}

func digits(list []rune) bool {
	for _, r := range list {
		if r < '0' || r > '9' {
			return false
		}
	}
	return true
}
