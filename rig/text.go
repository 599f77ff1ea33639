package rig

import (
	"bytes"
	"strings"
	"unicode/utf8"
)

// Limits of one text; beyond them comes a clear error.
const (
	MaxBytes   = 4 << 20 // of text in one file
	MaxDepth   = 64      // maps and lists inside each other
	MaxThings  = 20_000  // parts and links of a document, or items of a bin
	MaxBases   = 16      // bases behind each other
	maxAliased = 200_000 // values that aliases may stand for, all together
	maxKeys    = 20_000  // keys of one map
	maxCopies  = maxKeys * maxKeys * 6 / 10
	maxEmpty   = 1_000 // values left empty
	maxKeySize = 256   // bytes of one key
	maxTabs    = 200   // tabs in one line
	maxAngles  = 100   // "<" in a row
	maxBlank   = 200   // empty lines in a row
	maxPaths   = 256 << 20
)

// spaced turns the tabs that a line begins with into spaces. The library gives a wrong column behind them, and wants to
// refuse them only outside brackets; guard does that, on the lines as they are written.
func spaced(s string) string {
	if strings.IndexByte(s, '\t') < 0 {
		return s
	}
	var b strings.Builder
	b.Grow(len(s))
	for line := range strings.Lines(s) {
		if line[0] == '\t' { // a line of a block text begins with a space
			rest := strings.TrimLeft(line, "\t ")
			b.WriteString(strings.Repeat(" ", len(line)-len(rest)))
			line = rest
		}
		b.WriteString(line)
	}
	return b.String()
}

// clean takes the byte order mark off, turns every line ending into "\n" and refuses what is no text. Lines and columns
// stay what an editor shows.
func clean(file string, text []byte) (string, *Diagnostic) { return cleanUpTo(file, text, MaxBytes) }

// cleanUpTo is clean for a text of at most so many bytes.
func cleanUpTo(file string, text []byte, most int) (string, *Diagnostic) {
	fail := func(code string, line, col int, format string, args ...any) (string, *Diagnostic) {
		var r reporter
		r.add(code, Place{file, line, col}, "", format, args...)
		return "", &r.list[0]
	}
	if len(text) > most {
		return fail("too-large", 1, 1, "found %.1f MiB of text, expected at most %d MiB", float64(len(text))/(1<<20), most>>20)
	}
	for _, mark := range []string{"\xff\xfe", "\xfe\xff"} {
		if bytes.HasPrefix(text, []byte(mark)) {
			return fail("encoding", 1, 1, "found UTF-16 text, expected UTF-8; save the file as UTF-8")
		}
	}
	text = bytes.TrimPrefix(text, []byte("\xef\xbb\xbf"))
	s := string(text)
	if strings.IndexByte(s, '\r') >= 0 {
		s = strings.ReplaceAll(s, "\r\n", "\n")
		s = strings.ReplaceAll(s, "\r", "\n")
	}
	line, col, tabs, angles, blank := 1, 1, 0, 0, 0
	end := len(strings.TrimRight(s, " \n")) // what is empty at the end does no harm
	for i, r := range s {
		switch {
		case r == '\n':
			// The library copies the text after | or > for each empty line behind it.
			if blank++; blank > maxBlank && i < end {
				return fail("too-many", line, 1, "found more than %d empty lines in a row, expected fewer", maxBlank)
			}
			line, col, tabs, angles = line+1, 1, 0, 0
			continue
		case r == '\t':
			// The YAML library looks to the end of the line at each tab inside double quotes.
			if tabs++; tabs > maxTabs {
				return fail("tabs", line, col, "found more than %d tabs in one line, expected spaces", maxTabs)
			}
		case r == '<':
			// … and to the end of the row at each "<".
			if angles++; angles > maxAngles {
				return fail("syntax", line, col, `found more than %d "<" in a row, expected YAML or JSON`, maxAngles)
			}
		case r == utf8.RuneError:
			if _, size := utf8.DecodeRuneInString(s[i:]); size == 1 {
				return fail("encoding", line, col, "found the byte 0x%02x, which is not UTF-8 text; save the file as UTF-8", s[i])
			}
		case r < ' ', r == 0x7f, r == '\ufeff':
			return fail("encoding", line, col, "found the control character U+%04X, expected text", r)
		}
		if r != '<' {
			angles = 0
		}
		if r != ' ' {
			blank = 0
		}
		col++
	}
	switch {
	case blank > maxBlank:
		s = s[:end] + "\n"
	case !strings.HasSuffix(s, "\n"):
		s += "\n" // the library drops blanks of a block text that ends without
	}
	return s, nil
}
