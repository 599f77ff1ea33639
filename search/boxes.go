package search

import (
	"math"
	"slices"

	"lowslung/solid"
)

// Bounds over groups of lengths. Where links come in many lengths between the same eyes, a whole box of combinations is judged by the one in its
// middle: travel.Throng bounds how far any other of the box can be from it, at every pose, and with that each number is known between two. When
// every want is met, or missed, by the whole of that, the box is counted at once; when not, it is cut in two, down to single combinations. What
// could be on the front, or be nearest to a want that it misses alone, is always judged by itself, so the answer is the same to the last count.

const (
	halfWide    = 0.25 // mm: half of how much one link's length may vary in a box that is tried at its design pose; bounds say too little beyond
	halfMove    = 0.2  // mm: the same over the travel
	boxesAtOnce = 8    // that a worker takes
	mostLong    = 48   // classes of one link in a box
	fewOpen     = 64   // combinations of a box that could be on the front, of which each is looked at
	worthIt     = 12.0 // combinations in the mean box below which boxes are not worth their bounds
)

// A box is combinations of an axle: of each component, the classes from one up to another.
type box struct{ from, to []int }

func (x *box) count() int {
	n := 1
	for i := range x.from {
		n *= x.to[i] - x.from[i]
	}
	return n
}

func (x *box) middle(out []int) {
	for i := range x.from {
		out[i] = (x.from[i] + x.to[i] - 1) / 2
	}
}

// halves are the box cut in two where it is longest.
func (x *box) halves() (a, b box) {
	long := 0
	for i := range x.from {
		if x.to[i]-x.from[i] > x.to[long]-x.from[long] {
			long = i
		}
	}
	a = box{slices.Clone(x.from), slices.Clone(x.to)}
	b = box{slices.Clone(x.from), slices.Clone(x.to)}
	mid := (x.from[long] + x.to[long]) / 2
	a.to[long], b.from[long] = mid, mid
	return a, b
}

// A spread is what a class of a component is that matters for boxes.
type spread struct {
	length float64
	weight int64         // variants
	swing  [2][2]float64 // least and most of what the rod ends allow, for each end
	price  int64         // least that a variant costs, whatever else is taken: the more is taken of an item, the more the next one costs
	fresh  int64
}

// boxes is how an axle is cut into boxes; nil when that is not worth while, or cannot be bounded.
type boxes struct {
	ax     *axle
	end    solid.End
	chunks [][][2]int // of each component, ranges of classes
	total  int        // boxes
	groups [][]int    // positions of links among the axle's four
	of     []int      // which component each group is
	spread [][]spread
	swing  bool   // the swing of the pinion angle is wanted
	limit  [4]int // component that each of the four links is, −1 for none
}

// boxesOf cuts the outer axle of a meeting.
func (mt *meeting) boxesOf() *boxes {
	s, end := mt.s, mt.inner.Other()
	ax := &mt.f.axles[end]
	if !ax.present || ax.kinds < 64 {
		return nil
	}
	for i := range s.wants {
		w := &s.wants[i]
		if (w.stage == frontDesign+stage(end) || w.stage == frontTravel+stage(end)) && w.need == byNumber && !bounded(w.number%ofAxle) {
			return nil
		}
	}
	for i := range mt.f.m.Shocks {
		if k := &mt.f.m.Shocks[i]; k.Axle == end && (k.Top.Link >= 0 || k.Bottom.Link >= 0) {
			return nil
		}
	}
	var at []int
	for i := range mt.f.m.Links {
		if mt.f.m.Links[i].Axle == end {
			at = append(at, i)
		}
	}
	if len(at) != 4 {
		return nil
	}
	swing := slices.ContainsFunc(s.wants, func(w want) bool { return w.number == axleNumber(end, pinionSwing) })
	out := &boxes{swing: swing, ax: ax, end: end, total: 1, limit: [4]int{-1, -1, -1, -1}}
	for p := range ax.parts {
		c := &ax.parts[p]
		chunks := c.chunks()
		out.chunks = append(out.chunks, chunks)
		out.total *= len(chunks)
		out.spread = append(out.spread, mt.f.stock.spreads(c))
		if c.shock {
			continue
		}
		var group []int
		for n, i := range at {
			if i >= c.first && i < c.first+c.count {
				group = append(group, n)
				out.limit[n] = p
			}
		}
		out.groups, out.of = append(out.groups, group), append(out.of, p)
	}
	if len(out.groups) == 0 || float64(ax.kinds)/float64(out.total) < worthIt {
		return nil
	}
	return out
}

// bounded says that the number of an axle can be bounded over a box.
func bounded(n int) bool {
	switch n {
	case pinionAngle, bumpStroke, droopStroke, pinionSwing, shaftJoint, shaftJointRoom, shaftRoom, rodEndRoom:
		return true
	}
	return false
}

// chunks are ranges of classes that differ in nothing but a little length.
func (c *component) chunks() (out [][2]int) {
	first := func(k int) *variant { return &c.variants[c.classes[k][0].variants[0]] }
	from := 0
	for k := 1; k <= len(c.classes); k++ {
		if k < len(c.classes) && !c.shock && k-from < mostLong && sameEyes(first(from).links, first(k).links) &&
			first(k).links[0].Length-first(from).links[0].Length <= 2*halfWide {
			continue
		}
		out = append(out, [2]int{from, k})
		from = k
	}
	return out
}

func sameEyes(a, b []solid.Link) bool {
	for i := range a {
		x, y := &a[i], &b[i]
		if x.From != y.From || x.To != y.To || x.FromBolt != y.FromBolt || x.ToBolt != y.ToBolt {
			return false
		}
	}
	return true
}

// spreads are what matters of each class of a component.
func (k *stock) spreads(c *component) []spread {
	out := make([]spread, len(c.classes))
	for i, class := range c.classes {
		one := &out[i]
		if !c.shock {
			one.length = c.variants[class[0].variants[0]].links[0].Length
		}
		one.price, one.fresh = math.MaxInt64, math.MaxInt64
		for e := range 2 {
			one.swing[e] = [2]float64{math.Inf(1), math.Inf(-1)}
		}
		for _, sub := range class {
			for e, v := range sub.swing {
				one.swing[e] = [2]float64{min(one.swing[e][0], v), max(one.swing[e][1], v)}
			}
			one.weight += int64(len(sub.variants))
			for _, n := range sub.variants {
				price, fresh := k.alone(c.variants[n].items)
				one.price, one.fresh = min(one.price, price), min(one.fresh, fresh)
			}
		}
	}
	return out
}

// alone is what items cost when nothing else that varies takes any of them. A slot's cost is convex in how many are taken, so what several take
// together costs no less than the sum of this.
func (k *stock) alone(items []int) (price, fresh int64) {
	for i, at := range items {
		if slices.Contains(items[:i], at) {
			continue
		}
		n := 0
		for _, other := range items[i:] {
			if other == at {
				n++
			}
		}
		p0, q0 := k.slots[at].cost(0)
		p, q := k.slots[at].cost(n)
		price, fresh = price+p-p0, fresh+q-q0
	}
	return price, fresh
}

// least is the least of the same for the bundles of a half.
func (k *stock) least(list []bundle) (price, fresh int64) {
	if len(list) == 0 {
		return 0, 0
	}
	price, fresh = math.MaxInt64, math.MaxInt64
	for i := range list {
		a, b := list[i].price, list[i].fresh
		for j, n := range list[i].used {
			o := &k.slots[k.contest[j]]
			p0, q0 := o.cost(0)
			p, q := o.cost(int(n))
			a, b = a+p-p0, b+q-q0
		}
		price, fresh = min(price, a), min(fresh, b)
	}
	return price, fresh
}

// box is box number n.
func (b *boxes) box(n int) box {
	out := box{make([]int, len(b.chunks)), make([]int, len(b.chunks))}
	for i := len(b.chunks) - 1; i >= 0; i-- {
		k := b.chunks[i][n%len(b.chunks[i])]
		n /= len(b.chunks[i])
		out.from[i], out.to[i] = k[0], k[1]
	}
	return out
}
