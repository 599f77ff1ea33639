package sheet

import (
	"strings"

	"lowslung/rig"
)

// changes lists what differs in the two documents, under the thing that it belongs to.
func (w *writer) changes() []Block {
	if w.held == nil {
		return nil
	}
	t := &Table{Columns: []Column{{Title: "What", Share: 1.4}, {Title: "Was", Share: 2}, {Title: "Is", Share: 2}}}
	under := ""
	for _, c := range w.held.Changes[0] {
		if c.Path == "name" || c.Path == "notes" { // the head has the one, a sheet no room for the other
			continue
		}
		thing, key := owner(&c)
		if thing != under {
			under = thing
			t.Rows = append(t.Rows, Row{Group: true, Cells: []string{thing}})
		}
		t.Rows = append(t.Rows, Row{Cells: []string{key, written(c.Before, "not there"), written(c.After, "taken out")}})
	}
	if t.Rows == nil {
		return []Block{{Text: "Nothing: the two documents say the same."}}
	}
	return []Block{{Text: "As the documents write it: a bare number is in mm, g or °."}, {Table: t}}
}

// owner takes a path apart into the thing that changed and the key on it: chassis/parts/belly and mass.
func owner(c *rig.Change) (thing, key string) {
	keys := strings.Split(c.Path, "/")
	n := 1
	switch keys[0] {
	case "chassis", "front", "rear":
		if len(keys) > 2 && keys[1] == "parts" {
			n = 3
		}
	case "links", "shocks", "shafts", "bars", "drive":
		n = 2
	}
	if keys[0] == "drive" && len(keys) < 3 {
		n = 1
	}
	if n >= len(keys) {
		if n == 1 {
			return keys[0], "whole"
		}
		return strings.Join(keys, " / "), "whole"
	}
	return strings.Join(keys[:n], " / "), strings.Join(keys[n:], " / ")
}

// written is a value as far as a sheet prints it; the documents have the rest.
func written(text, none string) string {
	const most = 72
	if text == "" {
		return none
	}
	if r := []rune(text); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return text
}
