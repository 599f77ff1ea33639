package mates

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"lowslung/rig"
	"lowslung/solid"
)

// Lists: what is reused, what is left over, what is to be bought, what is to be made.

// A need is one kind of thing that a build uses.
type need struct {
	key, item string
	part      *rig.Part
	count     int
	names     []string
	made      bool
}

// needsOf counts what a build uses: parts, and the items of its links, shocks and shafts. Parts of one item count together; a part of
// no item is itself, and is another when what it is made like differs.
func needsOf(m *solid.Model) []need {
	var out []need
	at := map[string]int{}
	add := func(key, item string, part *rig.Part, n int, name string, made bool) {
		k, ok := at[key]
		if !ok {
			k = len(out)
			at[key] = k
			out = append(out, need{key: key, item: item, part: part, made: made})
		}
		out[k].count += n
		if !slices.Contains(out[k].names, name) {
			out[k].names = append(out[k].names, name)
		}
	}
	twins := func(pair bool) int {
		if pair {
			return 2
		}
		return 1
	}
	parts := func(list *rig.Map[rig.Part], where string) {
		for i := range *list {
			e := &(*list)[i]
			if e.Value.Item != "" {
				add(e.Value.Item, e.Value.Item, &e.Value, twins(e.Value.Pair), e.Name, false)
				continue
			}
			add(where+"/"+e.Name+"/"+signature(&e.Value), "", &e.Value, twins(e.Value.Pair), e.Name, e.Value.Made)
		}
	}
	parts(&m.Doc.Chassis.Parts, "chassis")
	if m.Doc.Front != nil {
		parts(&m.Doc.Front.Parts, "front")
	}
	if m.Doc.Rear != nil {
		parts(&m.Doc.Rear.Parts, "rear")
	}
	item := func(id string, n int, name string) {
		if id == "" {
			return
		}
		add(id, id, itemOf(m, id), n, name, false)
	}
	for _, e := range m.Doc.Rodded() {
		n := twins(e.Link.Pair)
		if e.Link.Rod != nil {
			item(e.Link.Rod.Item, n, e.Name)
		}
		for _, id := range e.Link.Ends {
			item(id, n, e.Name)
		}
	}
	for i := range m.Doc.Shocks {
		e := &m.Doc.Shocks[i]
		n := twins(e.Value.Pair)
		name := called(e.Name, "shock")
		item(e.Value.Item, n, name)
		for _, list := range [][]rig.Spring{e.Value.Springs, e.Value.Above, e.Value.Below} {
			for _, s := range list {
				item(s.Item, n, name)
			}
		}
	}
	for i := range m.Doc.Shafts {
		item(m.Doc.Shafts[i].Value.Item, 1, called(m.Doc.Shafts[i].Name, "shaft"))
	}
	for _, b := range newWorks(m).bolts() {
		item(b.Screw, b.Count, b.For[0])
		item(b.Nut, b.Count, b.For[0])
	}
	return out
}

// called is the name of a shock or a shaft where parts are listed: most are called front and rear.
func called(name, kind string) string {
	if strings.Contains(name, kind) {
		return name
	}
	return name + " " + kind
}

func itemOf(m *solid.Model, id string) *rig.Part {
	for _, b := range m.Bins {
		if p, ok := b.Items.Get(id); ok {
			return p
		}
	}
	return &rig.Part{}
}

// signature tells two parts of one name apart when one was changed for another: by what a builder would call another part. The same part
// made lighter is none, unless it was made anew.
func signature(p *rig.Part) string {
	return fmt.Sprint(p.Kind, "|", p.Material, "|", p.Title, "|", p.Made)
}

func (w *works) lists(a *Answer, o Options) {
	a.Leftovers, a.Reused, a.Bought, a.Made = []Piece{}, []Piece{}, []Piece{}, []Piece{}
	now := needsOf(w.m)
	had := map[string]int{}
	if o.Against != nil {
		for _, n := range needsOf(o.Against) {
			had[n.key] = n.count
			if left := n.count - countOf(now, n.key); left > 0 {
				a.Leftovers = append(a.Leftovers, piece(n, left))
			}
		}
	}
	for _, n := range now {
		old := min(had[n.key], n.count)
		if old > 0 {
			a.Reused = append(a.Reused, piece(n, old))
		}
		fresh := n.count - old
		if fresh == 0 {
			continue
		}
		if n.made {
			a.Made = append(a.Made, piece(n, fresh))
		} else {
			a.Bought = append(a.Bought, piece(n, fresh))
		}
	}
	currencies := map[string]bool{}
	for _, p := range append(slices.Clone(a.Bought), a.Made...) {
		if p.EachG != nil {
			a.MassG += *p.EachG * float64(p.Count)
		}
		if p.Each != nil && p.Currency != "" {
			if buy := p.Count - p.Have; buy > 0 {
				a.Price += *p.Each * float64(buy)
			}
			currencies[p.Currency] = true
			a.Currency = p.Currency
		}
	}
	if len(currencies) > 1 {
		a.Currency, a.Price = "", 0
	}
	for _, list := range []*[]Piece{&a.Leftovers, &a.Reused, &a.Bought, &a.Made} {
		slices.SortStableFunc(*list, func(x, y Piece) int { return cmp.Compare(kindRank(x), kindRank(y)) })
	}
}

// kindRank puts bin items before parts of no bin.
func kindRank(p Piece) int {
	if p.Item != "" {
		return 0
	}
	return 1
}

func countOf(list []need, key string) int {
	for _, n := range list {
		if n.key == key {
			return n.count
		}
	}
	return 0
}

func piece(n need, count int) Piece {
	p := Piece{What: n.names[0], Item: n.item, Count: count, Parts: n.names, From: n.part.From, Currency: n.part.Money, Each: n.part.Price}
	if n.part.Title != "" {
		p.What = n.part.Title
	}
	if n.part.Mass != nil {
		g := float64(*n.part.Mass) * 1000
		p.EachG = &g
	}
	if n.part.Have != nil {
		p.Have = *n.part.Have
	}
	return p
}

// ItemPiece is a bin item as a line of a list, count one.
func ItemPiece(m *solid.Model, id string) (Piece, bool) {
	for _, b := range m.Bins {
		if p, ok := b.Items.Get(id); ok {
			return piece(need{item: id, part: p, names: []string{id}}, 1), true
		}
	}
	return Piece{}, false
}
