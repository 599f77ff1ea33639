package rig

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"lowslung/quantity"
)

// An ItemSetting is a value for one item of a bin: under a key that every kind of item has, such as mass.
type ItemSetting struct {
	Item, Key, Value string
}

// SetItems writes values of items into the text of a bin document. In YAML every other byte stays as it is; a table is written anew, with
// the same items. What a table has become is read once, and remembered.
func (m *Memory) SetItems(file string, text []byte, list []ItemSetting) ([]byte, error) {
	if !IsTable(file) {
		settings := make([]Setting, len(list))
		for i, s := range list {
			settings[i] = Setting{[]string{"items", s.Item, s.Key}, s.Value}
		}
		return SetAll(text, settings)
	}
	was, err := m.LoadBin(file, text)
	if err != nil {
		return nil, err
	}
	out, err := was.stock.table.with(was.stock.at, list)
	if err != nil {
		return nil, err
	}
	if _, err := m.loadBin(file, out, beforeChange(was.stock, text)); err != nil {
		return nil, err
	}
	return out, nil
}

// with is the text of the table with other values in it; the table, which others look things up in, stays as it is.
func (t *itemReader) with(rows map[string]int, list []ItemSetting) ([]byte, error) {
	now := &itemReader{used: slices.Clone(t.used), at: maps.Clone(t.at), rows: slices.Clone(t.rows)}
	for _, s := range list {
		i, ok := rows[s.Item]
		c := t.known.named[columnName(s.Key)]
		if !ok || c == nil || c.at[""] == nil {
			return nil, fmt.Errorf("found no %s of an item %s in %s to set", quote(s.Key), quote(s.Item), t.file)
		}
		k, ok := now.at[c.name]
		if !ok {
			k = len(now.used)
			now.at[c.name], now.used = k, append(now.used, c)
			for r := range now.rows {
				cells := now.rows[r].cells
				now.rows[r].cells = append(cells[:len(cells):len(cells)], "")
			}
		}
		now.rows[i].cells = slices.Clone(now.rows[i].cells)
		now.rows[i].cells[k] = s.Value
	}
	return (&Items{table: now}).CSV(), nil
}

// Grams reads a weight as a quick list has it: a number with a decimal point or comma, in grams, or with a unit.
func Grams(text string) (string, error) {
	number, bad := decimals(strings.TrimSpace(text), ';', false)
	v, err := quantity.DimMass.Parse(number)
	switch {
	case bad != "":
		return "", fmt.Errorf("found the weight %s, %s", quote(text), bad)
	case err != nil:
		which := ""
		if e := new(quantity.Error); errors.As(err, &e) && e.Which != "" {
			which = ", " + e.Which
		}
		return "", fmt.Errorf("found the weight %s%s, expected %s", quote(text), which, quantity.DimMass.Expects())
	case v <= 0:
		return "", fmt.Errorf("found the weight %s, expected more than 0 g", quote(text))
	}
	return number, nil
}
