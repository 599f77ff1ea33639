package cli

import (
	"strings"

	"lowslung/rig"
)

// tablePage lists the columns of a bin as a table, from the columns that the reader itself knows.
func tablePage() []byte {
	s := newSheet("Columns of a table of items", "A bin may be a table (`*.bin.csv`), and a shop's table becomes a bin: [fill your bin](../how-to/fill-your-bin.md). A row is an "+
		"item, a column one of these. Most are keys of [the document](document.md), with spaces for `_`; which kinds of part have a column stands beside it.")
	s.para("A header may name the unit of its bare numbers: `mass (oz)`, `price (EUR)`. Ports come by themselves: a bearing has a ring and a bore, a screw a thread, a gear its teeth and " +
		"its bore, a pack its cells and its plug.")
	var rows [][]string
	for _, name := range rig.ItemColumns() {
		kinds := "all"
		if list := rig.ItemColumnKinds(name); list != nil {
			kinds = strings.Join(list, ", ")
		}
		unit, doc := rig.ItemColumnDoc(name)
		rows = append(rows, []string{code(name), kinds, unit, doc})
	}
	s.table([]string{"column", "kinds", "bare numbers", "meaning"}, rows)
	return s.done()
}
