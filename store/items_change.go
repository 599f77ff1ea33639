package store

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"lowslung/rig"
)

// PutBin saves a bin: a new document, or, with replace, a new revision of the one that is there. It is told how many of the items have been
// put where they can be found, now and then; progress may be nil.
func (s *Store) PutBin(ctx context.Context, file string, text []byte, why string, replace bool, progress func(done, total int)) (d Document, err error) {
	if err := CheckName(file); err != nil {
		return d, err
	}
	if kind, _ := KindOf(file); kind != Bin {
		return d, fail(BadName, "found the file name %q, expected one that ends in .bin.yaml or .bin.csv", cut(file))
	}
	if most := rig.MaxBytesOf(file); len(text) > most {
		return d, fail(TooLarge, "found %.1f MiB of text for %q, expected at most %d MiB. Nothing was saved; a table, whose name ends in .bin.csv, holds more", float64(len(text))/(1<<20), cut(file), most>>20)
	}
	err = s.change(ctx, func(v Snapshot) error {
		v.progress = progress
		there, err := v.row(file)
		if err != nil {
			return err
		}
		if there != nil && !there.removed {
			if !replace {
				return fail(Exists, "found a bin called %q in the workshop already; choose another name, or say that it is to be replaced: its revisions stay", there.file)
			}
			if d, err = v.Document(there.id); err != nil || d.Hash == HashOf(text) {
				return err
			}
			file = there.file
		}
		with, err := v.check(map[string][]byte{file: text})
		if err != nil {
			return err
		}
		id, err := v.put(there, file, text, with[file], why)
		if err != nil {
			return err
		}
		d, err = v.Document(id)
		return err
	})
	return d, err
}

// A Weight is what the scale says of one item.
type Weight struct {
	Item string // name in its bin
	Bin  string // file of the bin; may be empty when only one has such an item
	Mass string // as rig.Grams gives it
}

// A Weighing is what became of one weight.
type Weighing struct {
	Item Item   // as it is now
	Was  string // weight as it was written, empty for none
}

// Weigh sets the weights of items and marks them as weighed, in all their bins at once or, when one cannot be set, in none.
func (s *Store) Weigh(ctx context.Context, list []Weight) (out []Weighing, err error) {
	err = s.change(ctx, func(v Snapshot) error {
		settings := map[string][]rig.ItemSetting{} // by bin
		var bins, wrong []string
		seen := map[string]bool{}
		out = nil
		for _, w := range list {
			it, err := v.one(w.Item, w.Bin)
			if err != nil {
				if CodeOf(err) == "" {
					return err
				}
				wrong = append(wrong, err.Error())
				continue
			}
			if seen[it.Bin+"/"+it.Name] {
				wrong = append(wrong, fmt.Sprintf("found the item %q twice in the list, expected it once", cut(it.Name)))
				continue
			}
			seen[it.Bin+"/"+it.Name] = true
			if settings[it.Bin] == nil {
				bins = append(bins, it.Bin)
			}
			settings[it.Bin] = append(settings[it.Bin], rig.ItemSetting{Item: it.Name, Key: "mass", Value: w.Mass}, rig.ItemSetting{Item: it.Name, Key: "weighed", Value: "true"})
			was := ""
			if it.Mass != nil {
				was = strconv.FormatFloat(float64(*it.Mass)*1000, 'g', 6, 64) + " g"
			}
			out = append(out, Weighing{Item: it, Was: was})
		}
		if len(wrong) > 0 {
			const most = 20
			text := strings.Join(wrong[:min(most, len(wrong))], "\n")
			if len(wrong) > most {
				text += fmt.Sprintf("\nand %d more", len(wrong)-most)
			}
			return fail(NotFound, "%s\nNothing was saved", text)
		}
		if len(out) == 0 {
			return fail(NotFound, "found no weights, expected one item and its weight in grams a line")
		}
		if err := v.weigh(bins, settings); err != nil {
			return err
		}
		for i := range out {
			if out[i].Item, err = v.one(out[i].Item.Name, out[i].Item.Bin); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	return out, nil
}

// weighed are the items of a bin that a change is about, and the text that it changes.
type weighed struct {
	from Hash
	list []rig.ItemSetting
}

// weigh saves a new revision of each bin.
func (v Snapshot) weigh(bins []string, settings map[string][]rig.ItemSetting) error {
	changes := map[string][]byte{}
	rows := map[string]*row{}
	for _, file := range bins {
		d, err := v.Named(file)
		if err != nil {
			return err
		}
		text, err := v.kept.memory.SetItems(file, d.Text, settings[file])
		if err != nil {
			return &Error{Code: Mistakes, Text: fmt.Sprintf("the weights cannot be written into %s: %v. Nothing was saved", file, err), Cause: err}
		}
		if HashOf(text) == d.Hash {
			continue
		}
		changes[file] = text
		v.only[file] = weighed{d.Hash, settings[file]}
		if rows[file], err = v.row(file); err != nil {
			return err
		}
	}
	with, err := v.check(changes)
	if err != nil {
		return err
	}
	for _, file := range bins {
		if text, changed := changes[file]; changed {
			n := len(settings[file]) / 2
			why := fmt.Sprintf("%d items weighed", n)
			if n == 1 {
				why = settings[file][0].Item + " weighed"
			}
			if _, err := v.put(rows[file], file, text, with[file], why); err != nil {
				return err
			}
		}
	}
	return nil
}

// one is the item of that name in the bin, or in the only bin that has one.
func (v Snapshot) one(name, bin string) (Item, error) {
	rows, err := v.tx.QueryContext(v.ctx, `SELECT `+itemColumns+` FROM item i JOIN document d ON d.id = i.document WHERE i.name = ?1 AND (?2 = '' OR d.file = ?2) ORDER BY i.id`, name, bin)
	if err != nil {
		return Item{}, err
	}
	defer rows.Close()
	var list []Item
	for rows.Next() {
		it, err := scanItem(rows)
		if err != nil {
			return Item{}, err
		}
		list = append(list, it)
	}
	if err := rows.Err(); err != nil {
		return Item{}, err
	}
	switch {
	case len(list) == 1:
		return list[0], nil
	case len(list) > 1:
		var files []string
		for _, it := range list {
			files = append(files, it.Bin)
		}
		return Item{}, fail(NotFound, "found the item %q in %s, expected to be told which bin", cut(name), inWords(files))
	}
	return Item{}, fail(NotFound, "found no item %q%s%s", cut(name), inBin(bin), v.suggestion(name, bin))
}

func inBin(bin string) string {
	if bin == "" {
		return " in any bin"
	}
	return " in the bin " + bin
}

// suggestion is the item most like a name that is none, among those that have a word of it.
func (v Snapshot) suggestion(name, bin string) string {
	var bins []string
	if bin != "" {
		bins = []string{bin}
	}
	words := searchWords(name)
	var names []string
	for _, word := range words {
		letters := []rune(word)
		for _, w := range []string{word, string(letters[:min(3, len(letters))])} {
			list, _, err := v.Items(ItemQuery{Text: w, Bins: bins, Limit: 200})
			if err != nil {
				return ""
			}
			for _, it := range list {
				names = append(names, it.Name)
			}
		}
	}
	slices.Sort(names)
	if near := rig.Nearest(name, slices.Compact(names)); near != "" {
		return fmt.Sprintf("; did you mean %q?", near)
	}
	return ""
}

// Reindex makes the tables of items anew from the texts of the bins.
func (s *Store) Reindex(ctx context.Context) error {
	err := s.change(ctx, func(v Snapshot) error {
		_, err := v.tx.ExecContext(v.ctx, `UPDATE item_index SET made = 0`)
		return err
	})
	if err != nil {
		return err
	}
	return fault(s.path, s.reindex(ctx))
}
