package mates

import "lowslung/solid"

// For search, which asks what a change costs of thousands of builds.

// A Need is one kind of thing that a build uses, as the lists count it.
type Need struct {
	Key   string // items by id, parts of no item by place and what they are
	Count int
	Each  float64 // price of one; 0 when not known
	Money string  // currency of that price, "" when not known
	Have  int     // in the drawer
	Made  bool
}

// Needs counts what a build uses: parts, and the items of its links, shocks and shafts.
func Needs(m *solid.Model) []Need {
	list := needsOf(m)
	out := make([]Need, len(list))
	for i, n := range list {
		out[i] = needOf(n)
	}
	return out
}

// ItemNeed is what a bin item counts as, count one.
func ItemNeed(m *solid.Model, id string) Need {
	return needOf(need{key: id, item: id, part: itemOf(m, id), count: 1, names: []string{id}})
}

func needOf(n need) Need {
	p := piece(n, n.count)
	out := Need{Key: n.key, Count: n.count, Have: p.Have, Made: n.made}
	if p.Each != nil && p.Currency != "" {
		out.Each, out.Money = *p.Each, p.Currency
	}
	return out
}
