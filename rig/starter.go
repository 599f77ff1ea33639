package rig

import (
	"bytes"
	_ "embed"
	"strings"
)

//go:embed starter.rig.yaml
var starter []byte

// Starter is the text of a commented document to begin with, complete enough for every question to answer: a made-up rig
// under the name given.
func Starter(name string) []byte {
	if strings.TrimSpace(name) == "" {
		name = "My rig"
	}
	return bytes.Replace(starter, []byte("name: NAME"), []byte("name: "+scalar(name)), 1)
}

// scalar writes a text as a YAML value of one line that is read as that text again, in double quotes (YAML 1.2.2, 7.3.1)
// unless it is plainly a word.
func scalar(text string) string {
	if isPlain(text) {
		return text
	}
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range text {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r == '\n':
			b.WriteString(`\n`)
		case r == '\t':
			b.WriteString(`\t`)
		case r < ' ' || r == 0x7f || r == '\ufeff':
			b.WriteRune('�')
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}

// isPlain says that a text is safe without quotes anywhere, even inside brackets: words of letters, digits and a few
// signs, that YAML takes for no other kind of value.
func isPlain(text string) bool {
	if text == "" || isTruth(text) || isNoNumber(text) || strings.EqualFold(text, "null") || strings.TrimSpace(text) != text {
		return false
	}
	for i, r := range text {
		switch {
		case r >= 'a' && r <= 'z', r >= 'A' && r <= 'Z', r >= '0' && r <= '9', r > 0xa0 && r != '\ufeff' && r != '\u2028' && r != '\u2029':
		case i > 0 && strings.ContainsRune(" ._/()+*°%'-", r):
		default:
			return false
		}
	}
	return true
}
