package rig

import (
	"errors"
	"fmt"
	"strings"

	"lowslung/quantity"
)

// An ItemSetting is a value for one item of a bin: under a key that every kind of item has, such as mass.
type ItemSetting struct {
	Item, Key, Value string
}

// SetItems writes values of items into the text of a bin document. In YAML every other byte stays as it is; a table is written anew, with
// the same items.
func SetItems(file string, text []byte, list []ItemSetting) ([]byte, error) {
	if !IsTable(file) {
		settings := make([]Setting, len(list))
		for i, s := range list {
			settings[i] = Setting{[]string{"items", s.Item, s.Key}, s.Value}
		}
		return SetAll(text, settings)
	}
	t := &itemReader{reporter: &reporter{}, file: file, strict: true, plans: plans{}}
	t.known = newItemColumns(t.plans)
	if t.read(text); len(t.list) > 0 {
		return nil, t.list
	}
	rows := make(map[string]int, len(t.rows))
	for i := range t.rows {
		rows[t.rows[i].id] = i
	}
	for _, s := range list {
		i, ok := rows[s.Item]
		c := t.known.named[columnName(s.Key)]
		if !ok || c == nil || c.at[""] == nil {
			return nil, fmt.Errorf("found no %s of an item %s in %s to set", quote(s.Key), quote(s.Item), file)
		}
		k, ok := t.at[c.name]
		if !ok {
			k = len(t.used)
			t.at[c.name], t.used = k, append(t.used, c)
			for r := range t.rows {
				cells := t.rows[r].cells
				t.rows[r].cells = append(cells[:len(cells):len(cells)], "")
			}
		}
		t.rows[i].cells[k] = s.Value
	}
	out := (&Items{table: t}).CSV()
	if _, err := new(Memory).LoadBin(file, out); err != nil {
		return nil, err
	}
	return out, nil
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
