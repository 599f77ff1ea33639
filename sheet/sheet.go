package sheet

import (
	"fmt"
	"slices"
	"strings"

	"lowslung/channel"
	"lowslung/finding"
	"lowslung/quantity"
	"lowslung/rig"
	"lowslung/solid"
)

// A Build is one build with what the sheet says of where it comes from.
type Build struct {
	Name     string // what the builder calls it
	Date     string // of the document, as it is to be printed; empty when not known
	Files    []File // every file it was read from, the document first
	Revision int    // of the document, where revisions are counted; 0 otherwise
	Tree     *rig.Node
	Model    *solid.Model
}

// A File is one text that a build was read from.
type File struct {
	Name string
	Hash string // SHA-256 of its text, hexadecimal
}

// Options of the sheet.
type Options struct {
	Against  *Build          // the build that it is held against; nil makes a sheet of one build
	Was      *solid.Model    // the build as it was, for the shopping list; that of Against when nil
	Units    quantity.System // of tables, drawings and plots; numbers are in the other system too
	Sections []string        // keys, in any order; nil for all
	Paper    Paper           // of the PDF
}

// Paper is a size of paper.
type Paper string

// The two sizes: ISO 216 A4, and the ANSI/ASME Y14.1 size A sheet that is called Letter.
const (
	A4     Paper = "a4"
	Letter Paper = "letter"
)

// ParsePaper reads "a4" or "letter".
func ParsePaper(text string) (Paper, error) {
	switch p := Paper(strings.ToLower(text)); p {
	case A4, Letter:
		return p, nil
	case "":
		return A4, nil
	}
	return A4, fmt.Errorf("found paper %q, expected a4 or letter", text)
}

// A Sheet is what is printed, in order. All text is as people wrote it: each format escapes it for itself.
type Sheet struct {
	Title    string
	Subtitle string // what it is held against; empty for one build
	Facts    []Fact // where it comes from
	Sections []Section
	Numbers  []Number // every number of the catalogue that one of the builds has
	Units    quantity.System
	Paper    Paper
	Look     string // light or dark for the HTML; empty for what the reader's system has
	document string // first digits of the document's hash
	held     string // name of the other build
}

// A Fact is one line under the title, or several under one name.
type Fact struct {
	Name   string
	Values []string
}

// A Section is one part of the sheet under a heading.
type Section struct {
	Key, Title string
	Blocks     []Block
}

// A Block is one thing in a section. Exactly one of the fields is set.
type Block struct {
	Text     string
	List     []string
	Findings []finding.Finding
	Table    *Table
	Figure   *Figure
}

// A Table has a heading for each column.
type Table struct {
	Title   string // above it; empty for none
	Columns []Column
	Rows    []Row
}

// A Column says how its cells are set.
type Column struct {
	Title string
	Num   bool    // set to the right
	Share float64 // of the width, against the others, where a width must be shared out; 1 when 0
}

// A Row is one line of a table.
type Row struct {
	Cells []string
	Group bool // the first cell is a heading for the rows below it
	Sum   bool // adds up what stands above it
}

// A Number is one number of the catalogue in program units.
type Number struct {
	Channel *channel.Channel
	Value   *float64 // nil when this build does not have it
	Other   *float64 // in the build it is held against; nil when that does not have it, or there is none
	Sense   string   // better, worse, same, or empty
}

// A part of the sheet: its key, its heading, whether a post goes without it, and what writes it.
type part struct {
	key, title string
	long       bool // left out of Markdown unless it is asked for
	write      func(w *writer) []Block
}

func parts() []part {
	return []part{
		{"side", "As it stands", false, (*writer).sideView},
		{"findings", "What to know first", false, (*writer).findings},
		{"key", "Key numbers", false, (*writer).keyNumbers},
		{"setup", "Set-up", false, (*writer).setup},
		{"views", "From above and from behind", false, (*writer).otherViews},
		{"plots", "Plots", false, (*writer).plots},
		{"changes", "What changed in the document", false, (*writer).changes},
		{"parts", "Parts and their weights", false, (*writer).parts},
		{"order", "To buy", true, (*writer).order},
		{"numbers", "All numbers", true, (*writer).allNumbers},
		{"readings", "To be read off the rig", true, (*writer).readings},
		{"cautions", "Cautions", false, (*writer).cautions},
	}
}

// SectionNames are the keys of the sections in the order of the sheet.
func SectionNames() []string {
	var out []string
	for _, p := range parts() {
		out = append(out, p.key)
	}
	return out
}

// ShortSections are those of a post: what a reader wants to know, without what only the builder needs.
func ShortSections() []string {
	var out []string
	for _, p := range parts() {
		if !p.long {
			out = append(out, p.key)
		}
	}
	return out
}

// ParseSections reads keys separated by commas; "" is nil and "all" is every one.
func ParseSections(text string) ([]string, error) {
	switch strings.TrimSpace(text) {
	case "":
		return nil, nil
	case "all":
		return SectionNames(), nil
	}
	var out []string
	for _, key := range strings.Split(text, ",") {
		key = strings.TrimSpace(key)
		if !slices.Contains(SectionNames(), key) {
			return nil, fmt.Errorf("found the section %q, expected all, or some of %s", key, strings.Join(SectionNames(), ", "))
		}
		out = append(out, key)
	}
	return out, nil
}
