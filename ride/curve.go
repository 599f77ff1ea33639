package ride

import (
	"math"
	"slices"

	"lowslung/solid"
)

// A curve is a force over a compression x, mm: 0 up to the first knot, piecewise linear and rising from there. Its energy is exact.
type curve []knot

// A knot is where a curve changes its slope.
type knot struct {
	x float64 // compression, mm
	f float64 // force there, N
	k float64 // slope from here to the next knot, N/mm
	e float64 // energy stored up to here, N·mm
}

// at is energy, force and slope at compression x.
func (c curve) at(x float64) (e, f, k float64) {
	for i := len(c) - 1; i >= 0; i-- {
		if n := &c[i]; x > n.x {
			d := x - n.x
			return n.e + d*(n.f+d*n.k/2), n.f + d*n.k, n.k
		}
	}
	return 0, 0, 0
}

// through is the compression at which the curve has force f > 0: its inverse.
func (c curve) through(f float64) float64 {
	for i := len(c) - 1; i >= 0; i-- {
		if n := &c[i]; f > n.f && n.k > 0 {
			return n.x + (f-n.f)/n.k
		}
	}
	if len(c) == 0 {
		return 0
	}
	return c[0].x
}

// put appends a knot at the end of the curve, where it has come to by then.
func (c curve) put(x, k float64) curve {
	n := knot{x: x, k: k}
	if len(c) > 0 {
		n.e, n.f, _ = c.at(x)
	}
	return append(c, n)
}

// stack is the curve of springs in series: one force through all of them, compressions add up, so 1/k = Σ 1/kᵢ. A spring whose coils
// touch gives no further: coil i binds when the force comes to kᵢ·travelᵢ, and those with the least force first. When all have bound,
// hard (N/mm) stands for steel on steel. Springs without a rate are left out. (Handbook: springs in series.)
func stack(springs []solid.Spring, hard float64) curve {
	list := make([]solid.Spring, 0, len(springs))
	for _, s := range springs {
		if s.Rate > 0 {
			list = append(list, s)
		}
	}
	if len(list) == 0 {
		return nil
	}
	binds := func(s solid.Spring) float64 {
		if s.Travel <= 0 {
			return math.Inf(1)
		}
		return s.Rate * s.Travel
	}
	slices.SortStableFunc(list, func(a, b solid.Spring) int {
		switch x, y := binds(a), binds(b); {
		case x < y:
			return -1
		case x > y:
			return 1
		}
		return 0
	})
	soft := func(list []solid.Spring) (s float64) { // mm/N of those that still move
		for i := range list {
			s += 1 / list[i].Rate
		}
		return s
	}
	x, force := 0.0, 0.0
	c := curve{}.put(0, 1/soft(list))
	for i := range list {
		f := binds(list[i])
		if math.IsInf(f, 1) {
			break
		}
		x += (f - force) * soft(list[i:])
		force = f
		k := hard
		if rest := list[i+1:]; len(rest) > 0 {
			k = 1 / soft(rest)
		}
		if last := &c[len(c)-1]; x == last.x { // two that bind together
			last.k = k
			continue
		}
		c = c.put(x, k)
	}
	return c
}

// bound is the compression at which all springs of the stack are coil on coil, infinite when one never is.
func bound(springs []solid.Spring) (x float64) {
	for _, s := range springs {
		if s.Rate <= 0 {
			continue
		}
		if s.Travel <= 0 {
			return math.Inf(1)
		}
		x += s.Travel
	}
	return x
}

// rising is the curve through measured points from 0, going on beyond the last as steep as before it.
func rising(points []solid.Press) curve {
	var c curve
	x, f := 0.0, 0.0
	for _, p := range points {
		if p.By <= x || p.Load <= f {
			continue // found by the document's check
		}
		c = c.put(x, (p.Load-f)/(p.By-x))
		x, f = p.By, p.Load
	}
	return c
}
