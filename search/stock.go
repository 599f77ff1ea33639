package search

import (
	"math"

	"lowslung/mates"
	"lowslung/rig"
)

// Money: what a combination needs beyond the build searched from and the drawer. The drawer is shared, so the price of a front axle and
// that of a rear one do not simply add up.

const cents = 1e4 // prices are counted in ten-thousandths of the currency, so that sums do not depend on their order

// A slot is one kind of item that some variant uses.
type slot struct {
	each     int64 // price of one
	used     int   // how many the frame's document uses
	base     int   // how many of those what does not vary uses
	had      int   // how many the build searched from has
	have     int   // in the drawer
	most     int   // how many all variants together can use at most
	settled  int   // place among the contested ones, −1 for one whose cost is a straight line
	straight bool  // every one costs, or none does
}

type stock struct {
	at      map[string]int
	slots   []slot
	contest []int // slots whose drawer, or whose reuse, is shared
	needs   map[string]mates.Need
	price   int64 // of what does not change with the variants
	fresh   int64
	mixed   bool // prices in more than one currency, so there is no sum
}

func (k *stock) begin(f *frame) {
	k.at, k.needs = map[string]int{}, map[string]mates.Need{}
	for _, n := range mates.Needs(f.m) {
		k.needs[n.Key] = n
	}
}

// slot is the place of an item.
func (k *stock) slot(s *space, id string) int {
	if i, ok := k.at[id]; ok {
		return i
	}
	n := mates.ItemNeed(s.m, id)
	if used, ok := k.needs[id]; ok {
		n.Each, n.Money, n.Have = used.Each, used.Money, used.Have
	}
	one := slot{each: int64(math.Round(n.Each * cents)), used: k.needs[id].Count, have: n.Have, settled: -1}
	for _, h := range s.had {
		if h.Key == id {
			one.had = h.Count
		}
	}
	k.at[id] = len(k.slots)
	k.slots = append(k.slots, one)
	k.needs[id] = mates.Need{Key: id, Count: k.needs[id].Count, Each: n.Each, Money: n.Money, Have: n.Have}
	return len(k.slots) - 1
}

func (k *stock) link(s *space, l *rig.Link) (items []int) {
	twins := 1
	if l.Pair {
		twins = 2
	}
	for range twins {
		if l.Rod != nil && l.Rod.Item != "" {
			items = append(items, k.slot(s, l.Rod.Item))
		}
		for _, id := range l.Ends {
			if id != "" {
				items = append(items, k.slot(s, id))
			}
		}
	}
	return items
}

func (k *stock) shock(s *space, sh *rig.Shock) (items []int) {
	twins := 1
	if sh.Pair {
		twins = 2
	}
	for range twins {
		if sh.Item != "" {
			items = append(items, k.slot(s, sh.Item))
		}
		for _, list := range [][]rig.Spring{sh.Springs, sh.Above, sh.Below} {
			for i := range list {
				if list[i].Item != "" {
					items = append(items, k.slot(s, list[i].Item))
				}
			}
		}
	}
	return items
}

// end takes what the document's own variants use out of the frame's share, and sums what does not change.
func (k *stock) end(s *space, f *frame) {
	k.contest, k.price, k.fresh = k.contest[:0], 0, 0
	for i := range k.slots {
		one := &k.slots[i]
		one.base, one.most, one.settled = one.used, 0, -1
	}
	for a := range f.axles {
		for p := range f.axles[a].parts {
			c := &f.axles[a].parts[p]
			largest := make([]int, len(k.slots))
			for v := range c.variants {
				count := make([]int, len(k.slots))
				if c.variants[v].bad {
					continue
				}
				for _, i := range c.variants[v].items {
					count[i]++
					largest[i] = max(largest[i], count[i])
				}
			}
			for _, i := range c.variants[0].items {
				k.slots[i].base--
			}
			for i, n := range largest {
				k.slots[i].most += n
			}
		}
	}
	money := map[string]bool{}
	had := map[string]int{}
	for _, n := range s.had {
		had[n.Key] = n.Count
	}
	for key, n := range k.needs {
		if n.Money != "" {
			money[n.Money] = true
		}
		if _, varies := k.at[key]; varies {
			continue
		}
		k.fresh += int64(max(0, n.Count-had[key]))
		k.price += int64(max(0, n.Count-had[key]-n.Have)) * int64(math.Round(n.Each*cents))
	}
	k.mixed = len(money) > 1
	for i := range k.slots {
		one := &k.slots[i]
		all := one.base + one.most
		buys := all <= one.had+one.have || one.base >= one.had+one.have
		news := all <= one.had || one.base >= one.had
		if one.straight = buys && news; !one.straight {
			one.settled = len(k.contest)
			k.contest = append(k.contest, i)
			continue
		}
		price, fresh := one.cost(0)
		k.price += price
		k.fresh += fresh
	}
}

// cost is what n pieces in the variants cost along with the frame's own.
func (o *slot) cost(n int) (price, fresh int64) {
	all := o.base + n
	return int64(max(0, all-o.had-o.have)) * o.each, int64(max(0, all-o.had))
}

// A bundle is what one axle's variants use: the straight part of its cost, how many of each contested slot, and which combination of
// variants it is, the first of those that are the same in all that.
type bundle struct {
	price, fresh int64
	used         []uint8
	rank         int64
	count        int64
}

// both is what two bundles cost together, front and rear.
func (k *stock) both(a, b *bundle) (price, fresh int64) {
	price, fresh = k.price+a.price+b.price, k.fresh+a.fresh+b.fresh
	for i, at := range k.contest {
		n := 0
		if a.used != nil {
			n += int(a.used[i])
		}
		if b.used != nil {
			n += int(b.used[i])
		}
		p, q := k.slots[at].cost(n)
		price += p
		fresh += q
	}
	return price, fresh
}

// bundleOf is the bundle of one combination of variants.
func (k *stock) bundleOf(ax *axle, picks []int) bundle {
	out := bundle{count: 1}
	if len(k.contest) > 0 {
		out.used = make([]uint8, len(k.contest))
	}
	for i := range ax.parts {
		c := &ax.parts[i]
		out.rank = out.rank*int64(len(c.variants)) + int64(picks[i])
		for _, at := range c.variants[picks[i]].items {
			one := &k.slots[at]
			if !one.straight {
				out.used[one.settled]++
				continue
			}
			if one.base >= one.had+one.have {
				out.price += one.each
			}
			if one.base >= one.had {
				out.fresh++
			}
		}
	}
	return out
}

// bundles are those of all variants of one combination of classes. Apart keeps each variant for itself, because whole builds are asked, which
// see a collar and a spring rate. With prune, those that another is no worse than, in what is preferred of
// money, are left out.
func (k *stock) bundles(ax *axle, classes, subs []int, apart, prune, byPrice, byFresh bool) []bundle {
	picks := make([]int, len(ax.parts))
	var out []bundle
	at := map[string]int{}
	var each func(i int)
	each = func(i int) {
		if i < len(ax.parts) {
			for _, n := range ax.parts[i].classes[classes[i]][subs[i]].variants {
				picks[i] = n
				each(i + 1)
			}
			return
		}
		b := k.bundleOf(ax, picks)
		if prune && !byPrice {
			b.price = 0
		}
		if prune && !byFresh {
			b.fresh = 0
		}
		if prune && !byPrice && !byFresh {
			b.used = nil
		}
		if apart {
			out = append(out, b)
			return
		}
		key := string(append(append([]byte(nil), b.used...), fixed(b.price, b.fresh)...))
		if j, ok := at[key]; ok {
			out[j].count++
			out[j].rank = min(out[j].rank, b.rank)
			return
		}
		at[key] = len(out)
		out = append(out, b)
	}
	each(0)
	if !prune {
		return out
	}
	kept := out[:0:0]
	for i := range out {
		beaten := false
		for j := range out {
			if i != j && out[j].price <= out[i].price && out[j].fresh <= out[i].fresh && string(out[j].used) == string(out[i].used) &&
				(out[j].price < out[i].price || out[j].fresh < out[i].fresh) {
				beaten = true
				break
			}
		}
		if !beaten {
			kept = append(kept, out[i])
		}
	}
	return kept
}

func fixed(values ...int64) []byte {
	var out []byte
	for _, v := range values {
		for i := range 8 {
			out = append(out, byte(v>>(8*i)))
		}
	}
	return out
}
