package form

import (
	"errors"
	"math"
	"slices"
)

// Triangles of a region with holes: each hole is joined to the outside by the shortest bridge that meets nothing, then ears are cut off one by
// one (Meisters, Polygons have ears, American Mathematical Monthly 82, 1975; the bridges as in Held, FIST: fast industrial-strength
// triangulation of polygons, Algorithmica 30, 2001; both from memory). All tests are exact.

var errTriangles = errors.New("an outline could not be cut into triangles: move its holes a little further apart")

// triangles covers what lies between a ring and the holes in it. Rings are counter-clockwise, triangles too.
func triangles(outer []cell, holes [][]cell) ([][3]cell, error) {
	chain, err := bridged(outer, holes)
	if err != nil {
		return nil, err
	}
	for try := range min(len(chain), 12) { // where the cutting begins decides whether a corner is left lying on a straight line at the end
		from := try * len(chain) / 12
		if out, ok := ears(append(slices.Clone(chain[from:]), chain[:from]...)); ok {
			return out, nil
		}
	}
	return nil, errTriangles
}

// bridged is one closed line through the outer ring and, over bridges that are walked twice, round every hole.
func bridged(outer []cell, holes [][]cell) ([]cell, error) {
	chain := slices.Clone(outer)
	left := make([][]cell, len(holes))
	for i, h := range holes {
		left[i] = slices.Clone(h)
		slices.Reverse(left[i])
	}
	for len(left) > 0 {
		best, bh, bp, bi := int64(math.MaxInt64), -1, 0, 0
		for k, hole := range left {
			for h, p := range hole {
				for i, q := range chain {
					dx, dy := p.x-q.x, p.y-q.y
					if long := dx*dx + dy*dy; long < best && opens(chain, i, p) && opens(hole, h, q) && !blocked(p, q, chain, left) {
						best, bh, bp, bi = long, k, h, i
					}
				}
			}
		}
		if bh < 0 {
			return nil, errTriangles
		}
		hole := left[bh]
		next := make([]cell, 0, len(chain)+len(hole)+2)
		next = append(next, chain[:bi+1]...)
		next = append(next, hole[bp:]...)
		next = append(next, hole[:bp+1]...)
		chain = append(next, chain[bi:]...)
		left = slices.Delete(left, bh, bh+1)
	}
	return chain, nil
}

// opens says that the way from corner i of the line to p begins inside, on its left.
func opens(line []cell, i int, p cell) bool {
	a, b, c := line[(i+len(line)-1)%len(line)], line[i], line[(i+1)%len(line)]
	if side(a, b, c) >= 0 {
		return side(a, b, p) > 0 && side(b, c, p) > 0
	}
	return side(a, b, p) > 0 || side(b, c, p) > 0
}

// blocked says that the way from p to q meets a side that does not end there.
func blocked(p, q cell, chain []cell, holes [][]cell) bool {
	hits := func(r []cell) bool {
		for i := range r {
			a, b := r[i], r[(i+1)%len(r)]
			if a == p || b == p || a == q || b == q {
				o := a
				if a == p || a == q {
					o = b
				}
				if o == p || o == q || side(p, q, o) != 0 || (o.x-p.x)*(o.x-q.x)+(o.y-p.y)*(o.y-q.y) > 0 {
					continue
				}
				return true // it runs along the way
			}
			if meet(p, q, a, b) {
				return true
			}
		}
		return false
	}
	return hits(chain) || slices.ContainsFunc(holes, hits)
}

// ears cuts the line into triangles; false when what is left at the end has no area.
func ears(line []cell) ([][3]cell, bool) {
	out := make([][3]cell, 0, len(line)-2)
	next, prev := make([]int, len(line)), make([]int, len(line))
	for i := range line {
		next[i], prev[i] = (i+1)%len(line), (i+len(line)-1)%len(line)
	}
	at, left, idle := 0, len(line), 0
	for left > 3 {
		a, c := prev[at], next[at]
		if !ear(line, next, a, at, c) {
			if idle++; idle > left {
				return nil, false
			}
			at = c
			continue
		}
		out = append(out, [3]cell{line[a], line[at], line[c]})
		next[a], prev[c] = c, a
		left--
		idle = 0
		at = next[c] // a corner is skipped, so that the triangles are no fan round one corner
	}
	a, c := prev[at], next[at]
	if side(line[a], line[at], line[c]) <= 0 {
		return nil, false
	}
	return append(out, [3]cell{line[a], line[at], line[c]}), true
}

// ear says that the triangle at b has an area and that no other corner lies in it or on its edge.
func ear(line []cell, next []int, a, b, c int) bool {
	p, q, r := line[a], line[b], line[c]
	if side(p, q, r) <= 0 {
		return false
	}
	loX, hiX, loY, hiY := min(p.x, q.x, r.x), max(p.x, q.x, r.x), min(p.y, q.y, r.y), max(p.y, q.y, r.y)
	for k := next[c]; k != a; k = next[k] {
		o := line[k]
		if o.x < loX || o.x > hiX || o.y < loY || o.y > hiY || o == p || o == q || o == r {
			continue
		}
		if side(p, q, o) >= 0 && side(q, r, o) >= 0 && side(r, p, o) >= 0 {
			return false
		}
	}
	return true
}
