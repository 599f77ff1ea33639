package mates

import (
	"fmt"
	"slices"
	"strings"

	"lowslung/finding"
)

// boltFindings say in at most two sentences what bolts the eyes want: those that are in no list, and those whose length cannot be told. With
// the build as it was, only what it does not have is worth a watch; without it, that they exist is a note.
func (w *works) boltFindings(list []Bolt, conversion bool) []finding.Finding {
	all, unnamed, fresh, told, unknown := 0, 0, 0, 0, 0
	wants := newTally()
	nuts := newTally()
	var about, lacks []string
	for i := range list {
		b := &list[i]
		all += b.Count
		if len(b.lacks) > 0 {
			unknown += b.Count
			lacks = append(lacks, b.lacks...)
		}
		if b.Screw != "" {
			continue
		}
		unnamed += b.Count
		n := b.Count - b.Had
		if n == 0 {
			continue
		}
		fresh += n
		for _, e := range b.places {
			about = append(about, e.what)
		}
		if len(b.lacks) > 0 {
			continue
		}
		told += n
		switch {
		case conversion:
			wants.add(b.Wants+" for "+strings.Join(b.New, ", ")+boltItem(b), n)
		case len(b.WouldFit) > 0:
			wants.add(b.WouldFit[0], n)
		default:
			wants.add(b.Wants, n)
		}
		if b.HeldBy == "nut" && b.Nut == "" && !conversion {
			nuts.add("self-locking nut "+b.Thread, n)
		}
	}
	var out []finding.Finding
	slices.Sort(about)
	about = slices.Compact(about)
	if fresh > 0 && (told > 0 || conversion) {
		level, text := finding.Note, fmt.Sprintf("The eyes of links and shocks want %s that %s in no list; from the bin would fit: ", count(unnamed, "bolt"), areIs(unnamed))
		if conversion {
			level = finding.Watch
			text = fmt.Sprintf("Of the %s through eyes of links and shocks, %d came with the build as it was and %d %s new: ", count(all, "bolt"), all-fresh, fresh, areIs(fresh))
		}
		if text += wants.String(); told == 0 {
			text = strings.TrimSuffix(text, ": ")
		}
		if n := nuts.String(); n != "" {
			text += "; with " + n
		}
		f := finding.New(level, "mates/bolts", "%s.", text).For(about...)
		if told > 0 {
			f = f.CuredBy("they are on the list of shop order; name the ones you take with screw on the hole, and they are counted with the parts")
		}
		out = append(out, f)
	}
	if unknown > 0 {
		text := fmt.Sprintf("How long %s through eyes of links and shocks must be is not known", ofAll(unknown, all))
		if told == 0 && unnamed > 0 && !conversion {
			text = fmt.Sprintf("The eyes of links and shocks want %s that %s in no list, and how long they must be is not known", count(unnamed, "bolt"), areIs(unnamed))
		}
		out = append(out, finding.New(finding.Note, "mates/bolt-length", "%s: the document does not say the %s.", text, keysOf(lacks)).
			CuredBy("write wall on a hole for what the bolt goes through beside the eye, and grip where a thread in the part holds it instead of a nut"))
	}
	return out
}

// keysOf puts "wall of a", "wall of b" together as "wall of a, b", each key with its first few places.
func keysOf(lacks []string) string {
	slices.Sort(lacks)
	lacks = slices.Compact(lacks)
	var keys []string
	at := map[string][]string{}
	for _, l := range lacks {
		key, place, _ := strings.Cut(l, " of ")
		if at[key] == nil {
			keys = append(keys, key)
		}
		at[key] = append(at[key], place)
	}
	const most = 4
	for i, key := range keys {
		list := at[key]
		if keys[i] = key + " of " + strings.Join(list[:min(most, len(list))], ", "); len(list) > most {
			keys[i] += fmt.Sprintf(" and %d more", len(list)-most)
		}
	}
	return strings.Join(keys, "; the ")
}

func boltItem(b *Bolt) string {
	if len(b.WouldFit) > 0 {
		return " (" + b.WouldFit[0] + ")"
	}
	return " (nothing in the bin)"
}

// A tally counts what is alike, in the order in which it first came.
type tally struct {
	order []string
	n     map[string]int
}

func newTally() *tally { return &tally{n: map[string]int{}} }

func (t *tally) add(what string, n int) {
	if t.n[what] == 0 {
		t.order = append(t.order, what)
	}
	t.n[what] += n
}

func (t *tally) String() string {
	var out []string
	for _, what := range t.order {
		out = append(out, fmt.Sprintf("%d × %s", t.n[what], what))
	}
	return strings.Join(out, "; ")
}

// wants is "M3, 18 mm or longer with a self-locking nut".
func (w *works) wants(b *Bolt) string {
	text := b.Thread
	switch {
	case b.LeastMM == nil:
	case b.MostMM != nil:
		text += fmt.Sprintf(", %s to %s long", w.dim(*b.LeastMM), w.dim(*b.MostMM))
	default:
		text += fmt.Sprintf(", %s or longer", w.dim(*b.LeastMM))
	}
	if b.HeldBy == "nut" {
		text += " with a self-locking nut"
	}
	return text
}

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

func areIs(n int) string {
	if n == 1 {
		return "is"
	}
	return "are"
}

func ofAll(n, all int) string {
	if n == all {
		return "the " + count(n, "bolt")
	}
	return fmt.Sprintf("%d of the %s", n, count(all, "bolt"))
}
