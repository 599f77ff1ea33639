package form

import (
	"fmt"
	"math"
	"slices"

	"lowslung/solid"
)

// A Mesh is a closed surface of triangles.
type Mesh struct {
	Points    []solid.Vec // mm, each corner once
	Triangles [][3]int    // corners, counter-clockwise seen from outside
}

// Stack puts layers on one another from z = 0 up. Rings of neighbouring layers are either the same or do not touch: then everything between
// them is decided by which rings they do not share.
func Stack(layers ...Layer) (*Mesh, error) {
	if len(layers) == 0 {
		return nil, fmt.Errorf("found no layer, expected at least one")
	}
	b := &builder{index: map[corner]int{}}
	below := [][]cell(nil)
	z := int64(0)
	for i, l := range layers {
		if !(l.Height > 0 && l.Height <= most) {
			return nil, fmt.Errorf("found a layer %g mm high, expected more than 0", l.Height)
		}
		rings, err := l.onGrid()
		if err != nil {
			return nil, fmt.Errorf("layer %d: %w", i+1, err)
		}
		if err := b.between(below, rings, z); err != nil {
			return nil, fmt.Errorf("between layer %d and the one below: %w", i+1, err)
		}
		up := z + max(1, int64(math.Round(l.Height*grid)))
		b.walls(rings, z, up)
		below, z = rings, up
	}
	if err := b.between(below, nil, z); err != nil {
		return nil, err
	}
	if err := b.mesh.Check(); err != nil {
		return nil, err
	}
	return &b.mesh, nil
}

// onGrid is the layer's rings on the grid, sound.
func (l *Layer) onGrid() ([][]cell, error) {
	if len(l.Rings) == 0 {
		return nil, fmt.Errorf("found no ring, expected an outline")
	}
	var out [][]cell
	for _, r := range l.Rings {
		c, err := onGrid(r)
		if err != nil {
			return nil, err
		}
		out = append(out, c)
	}
	return out, sound(out)
}

// A corner is a corner at a height.
type corner struct {
	at cell
	z  int64
}

type builder struct {
	mesh  Mesh
	index map[corner]int
}

func (b *builder) of(p cell, z int64) int {
	k := corner{p, z}
	i, ok := b.index[k]
	if !ok {
		i = len(b.mesh.Points)
		b.index[k] = i
		b.mesh.Points = append(b.mesh.Points, solid.Vec{X: float64(p.x) / grid, Y: float64(p.y) / grid, Z: float64(z) / grid})
	}
	return i
}

func (b *builder) add(i, j, k int) {
	b.mesh.Triangles = append(b.mesh.Triangles, [3]int{i, j, k})
}

// walls stand on every ring; their outside is away from the material.
func (b *builder) walls(rings [][]cell, z0, z1 int64) {
	for k, depth := range depths(rings) {
		r := rings[k]
		if depth%2 == 1 { // round a hole the material is on the other side
			r = slices.Clone(r)
			slices.Reverse(r)
		}
		for i := range r {
			p, q := r[i], r[(i+1)%len(r)]
			a, c, d, e := b.of(p, z0), b.of(q, z0), b.of(q, z1), b.of(p, z1)
			b.add(a, c, d)
			b.add(a, d, e)
		}
	}
}

// between covers what only one of two layers has: bottoms of the upper one, tops of the lower one.
func (b *builder) between(below, above [][]cell, z int64) error {
	same := func(list [][]cell, r []cell) bool {
		return slices.ContainsFunc(list, func(o []cell) bool { return slices.Equal(o, r) })
	}
	var rings [][]cell
	for _, r := range below {
		if !same(above, r) {
			rings = append(rings, r)
		}
	}
	for _, r := range above {
		if !same(below, r) {
			rings = append(rings, r)
		}
	}
	if below != nil && above != nil {
		if err := sound(rings); err != nil {
			return err
		}
	}
	deep := depths(rings)
	for k, r := range rings {
		if deep[k]%2 == 1 {
			continue
		}
		var holes [][]cell
		for j, h := range rings {
			if deep[j] == deep[k]+1 && goesRound(r, h[0]) {
				holes = append(holes, h)
			}
		}
		list, err := triangles(r, holes)
		if err != nil {
			return err
		}
		t := list[0]
		in := Point{float64(t[0].x+t[1].x+t[2].x) / (3 * grid), float64(t[0].y+t[1].y+t[2].y) / (3 * grid)}
		top := within(below, in)
		if top == within(above, in) {
			return fmt.Errorf("found an outline that is a hole in one layer and an edge in the next, expected rings that keep their side")
		}
		for _, t := range list {
			i, j, k := b.of(t[0], z), b.of(t[1], z), b.of(t[2], z)
			if top {
				b.add(i, j, k)
			} else {
				b.add(i, k, j)
			}
		}
	}
	return nil
}

// Check says what keeps a mesh from being the surface of a solid: a side that is not shared by exactly two triangles in opposite directions, a
// triangle without an area, or a volume that is not positive.
func (m *Mesh) Check() error {
	seen := make(map[[2]int]int, 3*len(m.Triangles))
	for i, t := range m.Triangles {
		a, b, c := m.Points[t[0]], m.Points[t[1]], m.Points[t[2]]
		if b.Sub(a).Cross(c.Sub(a)).Norm() < 1e-9 {
			return fmt.Errorf("found triangle %d without an area, expected a surface", i+1)
		}
		for k := range t {
			seen[[2]int{t[k], t[(k+1)%3]}]++
		}
	}
	for e, n := range seen {
		if n != 1 || seen[[2]int{e[1], e[0]}] != 1 {
			a, b := m.Points[e[0]], m.Points[e[1]]
			return fmt.Errorf("found a side from (%.3f, %.3f, %.3f) to (%.3f, %.3f, %.3f) mm that is not shared by exactly two triangles, expected a closed surface", a.X, a.Y, a.Z, b.X, b.Y, b.Z)
		}
	}
	if v, _ := m.Volume(); !(v > 0) {
		return fmt.Errorf("found a volume of %g mm³, expected more than 0: the surface is inside out", v)
	}
	return nil
}

// Volume is the volume, mm³, and its middle, mm: the sum of the tetrahedra that the triangles make with a corner, after the divergence theorem.
func (m *Mesh) Volume() (v float64, middle solid.Vec) {
	if len(m.Points) == 0 {
		return 0, middle
	}
	o := m.Points[0]
	for _, t := range m.Triangles {
		a, b, c := m.Points[t[0]].Sub(o), m.Points[t[1]].Sub(o), m.Points[t[2]].Sub(o)
		d := a.Dot(b.Cross(c)) / 6
		v += d
		middle = middle.Along(a.Add(b).Add(c), d/4)
	}
	if v != 0 {
		middle = o.Add(middle.Scale(1 / v))
	}
	return v, middle
}

// Size is the mesh's bounding box, mm.
func (m *Mesh) Size() (lo, hi solid.Vec) {
	if len(m.Points) == 0 {
		return lo, hi
	}
	lo, hi = m.Points[0], m.Points[0]
	for _, p := range m.Points {
		lo = solid.Vec{X: min(lo.X, p.X), Y: min(lo.Y, p.Y), Z: min(lo.Z, p.Z)}
		hi = solid.Vec{X: max(hi.X, p.X), Y: max(hi.Y, p.Y), Z: max(hi.Z, p.Z)}
	}
	return lo, hi
}
