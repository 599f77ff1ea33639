package sheet

import (
	"bytes"
	"encoding/csv"
	"strconv"
	"strings"
)

// CSV is every number of the catalogue (RFC 4180): one row each, in full precision, in the sheet's unit system. Each row carries the build
// and its document, so that tables of several builds can be put under each other.
func (s *Sheet) CSV() []byte {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.Write([]string{"number", "question", "value", "unit", "other build", "change", "sense", "estimate", "build", "document", "held against"}) // a buffer takes everything
	for i := range s.Numbers {
		n := &s.Numbers[i]
		unit := n.Channel.Dim.Shown(s.Units).Symbol
		text := func(v *float64) string {
			if v == nil {
				return ""
			}
			return strconv.FormatFloat(n.Channel.Dim.In(*v, unit), 'g', 12, 64)
		}
		change := ""
		if n.Value != nil && n.Other != nil {
			change = strconv.FormatFloat(n.Channel.Dim.In(*n.Value, unit)-n.Channel.Dim.In(*n.Other, unit), 'g', 12, 64)
		}
		estimate := "no"
		if n.Channel.Estimated() {
			estimate = "yes"
		}
		w.Write([]string{n.Channel.Name, n.Channel.Word, text(n.Value), unit, text(n.Other), change, n.Sense, estimate, tame(s.Title), s.document, tame(s.held)})
	}
	w.Flush()
	return b.Bytes()
}

// tame is foreign text that no spreadsheet takes for a formula: what begins like one has an apostrophe before it (OWASP, CSV injection).
func tame(s string) string {
	if s != "" && strings.ContainsRune("=+-@\t\r\n", rune(s[0])) {
		return "'" + s
	}
	return s
}
