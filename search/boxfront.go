package search

import (
	"math"
	"slices"

	"lowslung/solid"
	"lowslung/travel"
)

// What of a box could be on the front.

// offer brings what could be on the front of a box that meets every want: of each combination it is known how good it can be at best, and only
// those that nothing found so far is better than are judged.
func (w *swarm) offer(k *known, th *travel.Throng, open []*half) {
	mt := w.mt
	by := make([]float64, len(w.b.groups))
	middle := make([]float64, len(by))
	for g, p := range w.b.of {
		middle[g] = w.b.spread[p][k.h.classes[p]].length
	}
	one := known{box: &box{make([]int, len(w.classes)), make([]int, len(w.classes))}, h: k.h, lo: k.lo, hi: k.hi, ahead: k.ahead}
	var walk func(i int)
	walk = func(i int) {
		if i < len(w.classes) {
			for c := k.box.from[i]; c < k.box.to[i]; c++ {
				one.box.from[i], one.box.to[i] = c, c+1
				walk(i + 1)
			}
			return
		}
		for g, p := range w.b.of {
			by[g] = w.b.spread[p][one.box.from[p]].length - middle[g]
		}
		w.nearer(&one, k, th, by)
		var h *half
		for _, o := range open {
			if w.beaten(&one, o) {
				continue
			}
			if h == nil {
				h = &half{classes: one.box.from}
				mt.s.stand(w.on, w.b.ax, h)
				w.t.Evaluated++
			}
			h.parts(w.b.ax, func(part *half) {
				mt.s.travel(w.on, w.b.ax, part)
				front, rear := mt.roles(part, o)
				n := mt.joint(front, rear)
				mt.pay(w.t, front, rear, &n, -1, 0, 0, true)
			})
		}
	}
	walk(0)
}

// nearer bounds the pinion angle and its swing of one combination of a box, whose links are by mm longer than the middle's. The swing is at least
// the difference of the two poses that make the middle's.
func (w *swarm) nearer(one, k *known, th *travel.Throng, by []float64) {
	mid, off := th.Design.Nod(by)
	v := k.h.v[pinionAngle] + mid
	one.lo[pinionAngle], one.hi[pinionAngle] = max(k.lo[pinionAngle], v-off-1e-9), min(k.hi[pinionAngle], v+off+1e-9)
	if k.top >= 0 {
		up, upOff := th.Poses[k.top].Nod(by)
		down, downOff := th.Poses[k.bottom].Nod(by)
		one.lo[pinionSwing] = max(k.lo[pinionSwing], k.swing+up-down-upOff-downOff-1e-9)
	}
}

// beaten says that something found is better than the best that a pair of the box and a partner could be.
func (w *swarm) beaten(k *known, other *half) bool {
	s, mt := w.mt.s, w.mt
	var cost [mostPrefers]float64
	for i := range s.prefers {
		p := &s.prefers[i]
		lo, hi := math.NaN(), math.NaN()
		switch n := p.number; {
		case n < 0:
		case n < wheelbase && solid.End(n/ofAxle) == w.b.end:
			if lo, hi = k.lo[n%ofAxle], k.hi[n%ofAxle]; !bounded(n % ofAxle) {
				lo, hi = math.Inf(-1), math.Inf(1)
			}
		case n < wheelbase:
			lo, hi = other.v[n%ofAxle], other.v[n%ofAxle]
		case n == wheelbase:
			front, rear := mt.roles(k.h, other)
			v := front.pose.X - rear.pose.X
			lo, hi = v-k.ahead, v+k.ahead
		case n == price || n == newParts:
			lo = w.money(k, other, n)
			hi = math.Inf(1)
		default:
			lo, hi = math.Inf(-1), math.Inf(1)
		}
		cost[i] = p.least(lo, hi)
	}
	c := cost[:len(s.prefers)]
	better := func(f *front) bool {
		return slices.ContainsFunc(f.list, func(m member) bool {
			less := false
			for i := range c {
				if m.Cost[i] > c[i] {
					return false
				}
				less = less || m.Cost[i] < c[i]
			}
			return less
		})
	}
	return better(&w.t.front) || better(&w.base.front)
}

// least is the least cost of a number between two.
func (p *prefer) least(lo, hi float64) float64 {
	if math.IsNaN(lo) || math.IsNaN(hi) {
		return worst
	}
	c := lo
	switch {
	case p.way == "higher":
		c = -hi
	case p.way == "middle" && lo <= p.middle && p.middle <= hi:
		c = 0
	case p.way == "middle":
		c = min(math.Abs(lo-p.middle), math.Abs(hi-p.middle))
	}
	if math.IsInf(c, -1) {
		return -worst
	}
	return math.Round(c*1e6) / 1e6 // rises with c, as that of each number between does
}

// money is the least that a pair of the box and a partner can cost, or the fewest new parts it takes.
func (w *swarm) money(k *known, other *half, number int) float64 {
	stock := &w.mt.f.stock
	if stock.mixed {
		return math.NaN()
	}
	sum, fresh := stock.price, stock.fresh
	for p := range w.b.spread {
		a, b := int64(math.MaxInt64), int64(math.MaxInt64)
		for c := k.box.from[p]; c < k.box.to[p]; c++ {
			a, b = min(a, w.b.spread[p][c].price), min(b, w.b.spread[p][c].fresh)
		}
		sum, fresh = sum+a, fresh+b
	}
	a, b := stock.least(other.bundles)
	sum, fresh = sum+a, fresh+b
	for _, at := range stock.contest {
		p, q := stock.slots[at].cost(0)
		sum, fresh = sum+p, fresh+q
	}
	if number == price {
		return float64(sum) / cents
	}
	return float64(fresh)
}
