package solid

import (
	"math"
	"slices"
)

// Plates whose outline is not convex, taken apart into convex pieces: ears are cut off one by one (Meisters, Polygons have ears,
// American Mathematical Monthly 82, 1975), then triangles are joined over every cut that the result does not need (Hertel & Mehlhorn,
// Fast triangulation of simple polygons, 1983: at most four times as many pieces as can be). Both from memory.

// mostCorners is the largest outline that is split; beyond it the work grows with the square and its convex outline stands for it.
const mostCorners = 500

// SplitOutline is a plate's outline as convex outlines, counter-clockwise. Whole is false when the outline crosses itself or has too
// many corners to be split: then the answer is its convex outline, which holds it.
func SplitOutline(outline [][2]float64) (pieces [][][2]float64, whole bool) {
	if len(outline) > 20*mostCorners {
		if p := convexOutline(outline); len(p) >= 3 {
			return [][][2]float64{p}, false
		}
		return nil, false
	}
	p := clean(outline)
	if len(p) < 3 {
		return nil, false
	}
	if convexRing(p) {
		return [][][2]float64{p}, true
	}
	if len(p) <= mostCorners {
		if tri, ok := ears(p); ok {
			for _, ring := range join(p, tri) {
				one := make([][2]float64, len(ring))
				for i, k := range ring {
					one[i] = p[k]
				}
				pieces = append(pieces, one)
			}
			return pieces, true
		}
	}
	return [][][2]float64{convexOutline(p)}, false
}

// turnOf is twice the area of the triangle abc: positive when it turns left.
func turnOf(a, b, c [2]float64) float64 {
	return (b[0]-a[0])*(c[1]-a[1]) - (b[1]-a[1])*(c[0]-a[0])
}

func area2(p [][2]float64) (sum float64) {
	for i := range p {
		j := (i + 1) % len(p)
		sum += (p[i][0]-p[0][0])*(p[j][1]-p[0][1]) - (p[j][0]-p[0][0])*(p[i][1]-p[0][1])
	}
	return sum
}

// clean is the outline counter-clockwise without corners that turn nothing: repeated, or on a straight line.
func clean(outline [][2]float64) [][2]float64 {
	p := slices.Clone(outline)
	if area2(p) < 0 {
		slices.Reverse(p)
	}
	for again := true; again && len(p) >= 3; {
		again = false
		for i := 0; i < len(p) && len(p) >= 3; i++ {
			a, b, c := p[(i+len(p)-1)%len(p)], p[i], p[(i+1)%len(p)]
			la, lc := math.Hypot(b[0]-a[0], b[1]-a[1]), math.Hypot(c[0]-b[0], c[1]-b[1])
			if la < 1e-9 || lc < 1e-9 || math.Abs(turnOf(a, b, c)) <= 1e-12*la*lc {
				p = slices.Delete(p, i, i+1)
				i--
				again = true
			}
		}
	}
	return p
}

// convexRing says that the ring turns left everywhere and once round only.
func convexRing(p [][2]float64) bool {
	turned := 0.0
	for i := range p {
		a, b, c := p[i], p[(i+1)%len(p)], p[(i+2)%len(p)]
		k := turnOf(a, b, c)
		if k <= 0 {
			return false
		}
		turned += math.Atan2(k, (b[0]-a[0])*(c[0]-b[0])+(b[1]-a[1])*(c[1]-b[1]))
	}
	return turned < 2*math.Pi+1
}

// ears cuts the ring into triangles of corner numbers; false when that does not come out, as with a ring that crosses itself.
func ears(p [][2]float64) (out [][]int, ok bool) {
	left := make([]int, len(p))
	for i := range left {
		left[i] = i
	}
	covered := 0.0
	for len(left) > 3 {
		cut := -1
		for i := range left {
			a, b, c := left[(i+len(left)-1)%len(left)], left[i], left[(i+1)%len(left)]
			if turnOf(p[a], p[b], p[c]) > 0 && free(p, left, a, b, c) {
				cut = i
				break
			}
		}
		if cut < 0 {
			return nil, false
		}
		a, b, c := left[(cut+len(left)-1)%len(left)], left[cut], left[(cut+1)%len(left)]
		out = append(out, []int{a, b, c})
		covered += turnOf(p[a], p[b], p[c])
		left = slices.Delete(left, cut, cut+1)
	}
	out = append(out, left)
	last := turnOf(p[left[0]], p[left[1]], p[left[2]])
	whole := area2(p)
	// Triangles that cover more or less than the outline are those of an outline that crosses itself.
	return out, last >= -1e-9*whole && math.Abs(covered+last-whole) <= 1e-9*whole && !crosses(p)
}

// free says that no other corner of what is left lies in the triangle abc.
func free(p [][2]float64, left []int, a, b, c int) bool {
	for _, k := range left {
		if k == a || k == b || k == c || p[k] == p[a] || p[k] == p[c] {
			continue
		}
		if turnOf(p[a], p[b], p[k]) >= 0 && turnOf(p[b], p[c], p[k]) >= 0 && turnOf(p[c], p[a], p[k]) >= 0 {
			return false
		}
	}
	return true
}

// crosses says that two sides of the ring cut through each other.
func crosses(p [][2]float64) bool {
	for i := range p {
		a, b := p[i], p[(i+1)%len(p)]
		for j := i + 2; j < len(p); j++ {
			if i == 0 && j == len(p)-1 {
				continue
			}
			c, d := p[j], p[(j+1)%len(p)]
			if turnOf(a, b, c)*turnOf(a, b, d) < 0 && turnOf(c, d, a)*turnOf(c, d, b) < 0 {
				return true
			}
		}
	}
	return false
}

// join puts neighbouring rings together wherever the result is convex.
func join(p [][2]float64, rings [][]int) [][]int {
	for again := true; again; {
		again = false
	search:
		for i := range rings {
			for j := i + 1; j < len(rings); j++ {
				if ring := joined(p, rings[i], rings[j]); ring != nil {
					rings[i] = ring
					rings = slices.Delete(rings, j, j+1)
					again = true
					break search
				}
			}
		}
	}
	return rings
}

// joined is two rings as one over the side that they share, or nil when there is none or the result would not be convex.
func joined(p [][2]float64, a, b []int) []int {
	for i, u := range a {
		v := a[(i+1)%len(a)]
		j := slices.Index(b, v)
		if j < 0 || b[(j+1)%len(b)] != u {
			continue
		}
		var ring []int
		for k := 1; k <= len(a); k++ { // from v round to u
			ring = append(ring, a[(i+k)%len(a)])
		}
		for k := 2; k < len(b); k++ { // from after u round to before v
			ring = append(ring, b[(j+k)%len(b)])
		}
		for k := range ring {
			x, y, z := p[ring[k]], p[ring[(k+1)%len(ring)]], p[ring[(k+2)%len(ring)]]
			if turnOf(x, y, z) < 0 {
				return nil
			}
		}
		return ring
	}
	return nil
}

// convexOutline is the convex hull by Andrew's monotone chain (1979, from memory).
func convexOutline(p [][2]float64) [][2]float64 {
	s := slices.Clone(p)
	slices.SortFunc(s, func(a, b [2]float64) int {
		switch {
		case a[0] < b[0], a[0] == b[0] && a[1] < b[1]:
			return -1
		case a == b:
			return 0
		}
		return 1
	})
	var out [][2]float64
	chain := func(from, to, by int) {
		start := len(out)
		for i := from; i != to; i += by {
			for len(out) >= start+2 && turnOf(out[len(out)-2], out[len(out)-1], s[i]) <= 0 {
				out = out[:len(out)-1]
			}
			out = append(out, s[i])
		}
		out = out[:len(out)-1]
	}
	chain(0, len(s), 1)
	chain(len(s)-1, -1, -1)
	return out
}
