package search

import (
	"fmt"
	"testing"

	"lowslung/mates"
)

// Bundles that are pruned are never part of a best pair: whatever the other axle uses, the cheapest, and the fewest new parts, are among
// those that are kept, as by counting every piece of every pair.
func TestPrunedBundlesKeepTheBest(t *testing.T) {
	r := seeded(t)
	contested, pruned := 0, 0
	for range 300 {
		var s space
		k := stock{at: map[string]int{}, needs: map[string]mates.Need{}}
		for i := range 2 + r.IntN(4) {
			one := slot{each: int64(r.IntN(4)) * 100, had: r.IntN(3), have: r.IntN(4), settled: -1}
			id := fmt.Sprint(i)
			k.at[id], k.slots = i, append(k.slots, one)
			k.needs[id] = mates.Need{Key: id, Money: "EUR"}
		}
		var f frame
		for a := range f.axles {
			f.axles[a].present = true
			for range 1 + r.IntN(2) {
				var c component
				all := sub{}
				for v := range 2 + r.IntN(4) {
					one := variant{}
					for range r.IntN(4) {
						one.items = append(one.items, r.IntN(len(k.slots)))
					}
					c.variants, all.variants = append(c.variants, one), append(all.variants, v)
				}
				c.classes = [][]sub{{all}}
				f.axles[a].parts = append(f.axles[a].parts, c)
			}
			for _, c := range f.axles[a].parts { // what the document's own variants use is in the frame's share until end takes it out
				for _, i := range c.variants[0].items {
					k.slots[i].used++
				}
			}
		}
		k.end(&s, &f)
		contested += len(k.contest)
		zero := func(a int) []int { return make([]int, len(f.axles[a].parts)) }
		var full, kept [2][]bundle
		for a := range 2 {
			full[a] = k.bundles(&f.axles[a], zero(a), zero(a), false, false, true, true)
			kept[a] = k.bundles(&f.axles[a], zero(a), zero(a), false, true, true, true)
			pruned += len(full[a]) - len(kept[a])
		}
		best := func(list [2][]bundle) front {
			var out front
			rank := int64(0)
			for i := range list[0] {
				for j := range list[1] {
					p, q := k.both(&list[0][i], &list[1][j])
					out.offer(member{Cost: []float64{float64(p), float64(q)}, Rank: rank})
					rank++
				}
			}
			out.ordered()
			return out
		}
		// By counting every piece of every pair of variants, without bundles.
		var slow front
		rank := int64(0)
		var walk func(a int, parts []component, count []int, do func([]int))
		walk = func(a int, parts []component, count []int, do func([]int)) {
			if len(parts) == 0 {
				do(count)
				return
			}
			for _, v := range parts[0].variants {
				more := append([]int(nil), count...)
				for _, i := range v.items {
					more[i]++
				}
				walk(a, parts[1:], more, do)
			}
		}
		walk(0, f.axles[0].parts, make([]int, len(k.slots)), func(c []int) {
			walk(1, f.axles[1].parts, c, func(c []int) {
				price, fresh := int64(0), int64(0)
				for i, n := range c {
					o := k.slots[i]
					price += int64(max(0, n+o.base-o.had-o.have)) * o.each
					fresh += int64(max(0, n+o.base-o.had))
				}
				slow.offer(member{Cost: []float64{float64(price), float64(fresh)}, Rank: rank})
				rank++
			})
		})
		slow.ordered()
		for name, got := range map[string]front{"all bundles": best(full), "pruned bundles": best(kept)} {
			if text := fmt.Sprint(costs(got)); text != fmt.Sprint(costs(slow)) {
				t.Fatalf("%s: best are %s, by counting %v\n%+v", name, text, costs(slow), k.slots)
			}
		}
	}
	if contested < 100 || pruned < 300 {
		t.Errorf("%d contested slots, %d bundles pruned: the random drawers test too little", contested, pruned)
	}
}

func costs(f front) (out [][]float64) {
	for _, m := range f.list {
		out = append(out, m.Cost)
	}
	return out
}
