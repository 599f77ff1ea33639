package solid

import "math"

// The tree of boxes over a mesh: each node holds the triangles of its two children, split at the median of their middles along the
// longest side, down to leaves of a few.

const (
	leafSize  = 4
	meshDepth = 64 // levels: halving 2 million triangles takes 20
)

// A meshNode is a box over triangles [first, first+count); an inner node's left child follows it, right is the other one.
type meshNode struct {
	bound        Bound
	first, count int32
	right        int32 // 0 for a leaf
}

func (m *Mesh) grow() {
	mids := make([]Vec, len(m.Triangles))
	for i := range mids {
		a, b, c := m.Corners(i)
		mids[i] = a.Add(b).Add(c).Scale(1.0 / 3)
	}
	m.nodes = make([]meshNode, 0, len(m.Triangles))
	m.split(mids, 0, len(m.Triangles))
}

func (m *Mesh) split(mids []Vec, lo, hi int) {
	at := len(m.nodes)
	m.nodes = append(m.nodes, meshNode{bound: Nothing, first: int32(lo), count: int32(hi - lo)})
	box, spread := Nothing, Nothing
	for i := lo; i < hi; i++ {
		a, b, c := m.Corners(i)
		box = box.With(Bound{a, a}).With(Bound{b, b}).With(Bound{c, c})
		spread = spread.With(Bound{mids[i], mids[i]})
	}
	m.nodes[at].bound = box
	if hi-lo <= leafSize {
		return
	}
	d := spread.Hi.Sub(spread.Lo)
	key := func(v Vec) float64 { return v.X }
	if d.Y > d.X && d.Y >= d.Z {
		key = func(v Vec) float64 { return v.Y }
	} else if d.Z > d.X {
		key = func(v Vec) float64 { return v.Z }
	}
	mid := (lo + hi) / 2
	m.partition(mids, key, lo, hi-1, mid)
	m.split(mids, lo, mid)
	m.nodes[at].right = int32(len(m.nodes))
	m.split(mids, mid, hi)
}

// partition puts the k-th of [lo, hi] by key at k, smaller ones before it and larger ones behind (Hoare, Algorithm 65: find, 1961; the
// middle of three as pivot). The two-way scan keeps equal keys even, so that a mesh with all middles in one place takes no longer.
func (m *Mesh) partition(mids []Vec, key func(Vec) float64, lo, hi, k int) {
	for lo < hi {
		a, b, c := key(mids[lo]), key(mids[(lo+hi)/2]), key(mids[hi])
		pivot := max(min(a, b), min(max(a, b), c))
		i, j := lo, hi
		for i <= j {
			for key(mids[i]) < pivot {
				i++
			}
			for key(mids[j]) > pivot {
				j--
			}
			if i <= j {
				mids[i], mids[j] = mids[j], mids[i]
				m.Triangles[i], m.Triangles[j] = m.Triangles[j], m.Triangles[i]
				i++
				j--
			}
		}
		switch {
		case k <= j:
			hi = j
		case k >= i:
			lo = i
		default:
			return
		}
	}
}

// triangle is triangle i as a hull.
func (m *Mesh) triangle(i int32) Hull {
	t := &m.Triangles[i]
	a := m.Points[t[0]]
	return Hull{Core: CoreTriangle, At: a, U: m.Points[t[1]].Sub(a), V: m.Points[t[2]].Sub(a)}
}

// Inside says that a point is inside a closed mesh: a ray from it crosses the surface an odd number of times. The ray runs in a
// direction that no drawing uses, so that it does not run through a side.
func (m *Mesh) Inside(p Vec) bool {
	if !m.Closed || !m.Bound.holds(p) {
		return false
	}
	dir := Vec{0.5773812, 0.6123724, 0.5400617}
	inv := Vec{1 / dir.X, 1 / dir.Y, 1 / dir.Z}
	odd := false
	var stack [meshDepth]int32
	n := 1
	for n > 0 {
		n--
		k := stack[n]
		node := &m.nodes[k]
		if !node.bound.hit(p, inv) {
			continue
		}
		if node.right == 0 {
			for i := node.first; i < node.first+node.count; i++ {
				a, b, c := m.Corners(int(i))
				if pierced(p, dir, a, b, c) {
					odd = !odd
				}
			}
			continue
		}
		stack[n], stack[n+1] = k+1, node.right
		n += 2
	}
	return odd
}

func (b *Bound) holds(p Vec) bool {
	return p.X >= b.Lo.X && p.X <= b.Hi.X && p.Y >= b.Lo.Y && p.Y <= b.Hi.Y && p.Z >= b.Lo.Z && p.Z <= b.Hi.Z
}

// hit says that the ray from p meets the box (slabs; Kay & Kajiya 1986, from memory).
func (b *Bound) hit(p, inv Vec) bool {
	t0, t1 := 0.0, math.Inf(1)
	for _, s := range [3][4]float64{{b.Lo.X, b.Hi.X, p.X, inv.X}, {b.Lo.Y, b.Hi.Y, p.Y, inv.Y}, {b.Lo.Z, b.Hi.Z, p.Z, inv.Z}} {
		u, v := (s[0]-s[2])*s[3], (s[1]-s[2])*s[3]
		t0, t1 = max(t0, min(u, v)), min(t1, max(u, v))
	}
	return t0 <= t1
}

// pierced says that the ray from p goes through the triangle (signed volumes).
func pierced(p, d, a, b, c Vec) bool {
	a, b, c = a.Sub(p), b.Sub(p), c.Sub(p)
	u, v, w := d.Dot(c.Cross(b)), d.Dot(a.Cross(c)), d.Dot(b.Cross(a))
	if (u < 0 || v < 0 || w < 0) && (u > 0 || v > 0 || w > 0) {
		return false
	}
	det := u + v + w
	return det != 0 && (u*d.Dot(a)+v*d.Dot(b)+w*d.Dot(c))/det > 0
}
