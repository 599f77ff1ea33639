package solid

import (
	"math"
)

// MaxTriangles is the largest mesh that is read: more than any part of a rig needs, and small enough to hold in memory many times.
const MaxTriangles = 2_000_000

// A Mesh is a surface of triangles with a tree of boxes over it. Immutable after NewMesh.
type Mesh struct {
	Points    []Vec      // corners, each once, mm
	Triangles [][3]int32 // corners of each triangle, counter-clockwise seen from outside, in the order of the tree
	Closed    bool       // every side is shared by exactly two triangles that run along it in opposite directions: it has an inside
	Volume    float64    // mm³, of a closed mesh; 0 otherwise
	Middle    Vec        // of its volume when it is closed, of its bound otherwise
	Tensor    Sym        // per unit density about Middle, mm⁵; zero unless it is closed
	Bound     Bound

	nodes []meshNode
}

// NewMesh makes a mesh of triangles given by three corners each, multiplied by scale. Corners in one place become one; triangles with
// two corners in one place are left out.
func NewMesh(corners [][3][3]float32, scale float64) *Mesh {
	m := &Mesh{Triangles: make([][3]int32, 0, len(corners)), Bound: Nothing}
	index := newVertexIndex(len(corners) / 2)
	for i := range corners {
		var t [3]int32
		for k := range t {
			t[k] = index.of(corners[i][k])
		}
		if t[0] != t[1] && t[1] != t[2] && t[2] != t[0] {
			m.Triangles = append(m.Triangles, t)
		}
	}
	m.Points = make([]Vec, len(index.list))
	for i, p := range index.list {
		m.Points[i] = Vec{float64(p[0]) * scale, float64(p[1]) * scale, float64(p[2]) * scale}
		m.Bound = m.Bound.With(Bound{m.Points[i], m.Points[i]})
	}
	if len(m.Triangles) == 0 {
		return m
	}
	m.Closed = closed(m.Triangles)
	m.weigh()
	m.grow()
	return m
}

// Corners is triangle i.
func (m *Mesh) Corners(i int) (a, b, c Vec) {
	t := &m.Triangles[i]
	return m.Points[t[0]], m.Points[t[1]], m.Points[t[2]]
}

// A vertexIndex numbers points: open addressing, since a map of this size takes several times as long.
type vertexIndex struct {
	list  [][3]float32
	slots []int32 // number + 1; 0 is free
}

func newVertexIndex(expect int) *vertexIndex {
	n := 64
	for n < 3*expect {
		n *= 2
	}
	return &vertexIndex{slots: make([]int32, n)}
}

func (x *vertexIndex) of(p [3]float32) int32 {
	for k := range p {
		p[k] += 0 // −0 becomes 0
	}
	if 2*len(x.list) > len(x.slots) {
		x.slots = make([]int32, 2*len(x.slots))
		for i, q := range x.list {
			*x.slot(q) = int32(i) + 1
		}
	}
	s := x.slot(p)
	if *s == 0 {
		x.list = append(x.list, p)
		*s = int32(len(x.list))
	}
	return *s - 1
}

func (x *vertexIndex) slot(p [3]float32) *int32 {
	h := uint64(math.Float32bits(p[0]))*0x9E3779B97F4A7C15 ^ uint64(math.Float32bits(p[1]))*0xC2B2AE3D27D4EB4F ^ uint64(math.Float32bits(p[2]))*0x165667B19E3779F9
	h ^= h >> 29
	h *= 0xBF58476D1CE4E5B9
	h ^= h >> 32
	mask := uint64(len(x.slots) - 1)
	for i := h & mask; ; i = (i + 1) & mask {
		if n := x.slots[i]; n == 0 || x.list[n-1] == p {
			return &x.slots[i]
		}
	}
}

// closed says that every side of every triangle has exactly one partner that runs the other way.
func closed(triangles [][3]int32) bool {
	n := 64
	for n < 6*len(triangles) {
		n *= 2
	}
	type side struct{ a, b int32 } // a + 1, so that the zero side is a free slot
	slots := make([]side, n)
	mask := uint64(n - 1)
	find := func(a, b int32) (at *side, there bool) {
		h := (uint64(uint32(a))<<32 | uint64(uint32(b))) * 0x9E3779B97F4A7C15
		h ^= h >> 32
		for i := h & mask; ; i = (i + 1) & mask {
			s := &slots[i]
			if s.a == 0 {
				return s, false
			}
			if s.a == a+1 && s.b == b {
				return s, true
			}
		}
	}
	for _, t := range triangles {
		for k := range t {
			a, b := t[k], t[(k+1)%3]
			at, there := find(a, b)
			if there {
				return false
			}
			*at = side{a + 1, b}
		}
	}
	for _, t := range triangles {
		for k := range t {
			if _, there := find(t[(k+1)%3], t[k]); !there {
				return false
			}
		}
	}
	return true
}

// weigh integrates over the tetrahedra that the triangles make with the middle of the bound: volume det/6, middle, and second moments
// det/120·(Σ over corners and the sum of corners) (divergence theorem; Tonon, Explicit exact formulas for the 3-D tetrahedron inertia
// tensor, Journal of Mathematics and Statistics 1, 2005, from memory).
func (m *Mesh) weigh() {
	o := m.Bound.Lo.Add(m.Bound.Hi).Scale(0.5)
	m.Middle = o
	if !m.Closed {
		return
	}
	var v float64
	var first Vec
	var xx, yy, zz, xy, xz, yz float64
	for i := range m.Triangles {
		a, b, c := m.Corners(i)
		a, b, c = a.Sub(o), b.Sub(o), c.Sub(o)
		det := a.Dot(b.Cross(c))
		s := a.Add(b).Add(c)
		v += det / 6
		first = first.Along(s, det/24)
		k := det / 120
		xx += k * (a.X*a.X + b.X*b.X + c.X*c.X + s.X*s.X)
		yy += k * (a.Y*a.Y + b.Y*b.Y + c.Y*c.Y + s.Y*s.Y)
		zz += k * (a.Z*a.Z + b.Z*b.Z + c.Z*c.Z + s.Z*s.Z)
		xy += k * (a.X*a.Y + b.X*b.Y + c.X*c.Y + s.X*s.Y)
		xz += k * (a.X*a.Z + b.X*b.Z + c.X*c.Z + s.X*s.Z)
		yz += k * (a.Y*a.Z + b.Y*b.Z + c.Y*c.Z + s.Y*s.Z)
	}
	if v < 0 { // every triangle the wrong way round: inside out
		v, first = -v, first.Scale(-1)
		xx, yy, zz, xy, xz, yz = -xx, -yy, -zz, -xy, -xz, -yz
	}
	if !(v > 0) {
		return
	}
	d := first.Scale(1 / v)
	m.Volume, m.Middle = v, o.Add(d)
	about := Sym{yy + zz, xx + zz, xx + yy, -xy, -xz, -yz}
	off := Steiner(v, d)
	for i := range about {
		about[i] -= off[i]
	}
	m.Tensor = about
}
