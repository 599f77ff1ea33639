package solid

import "math"

// Distances to and between meshes: down the trees of boxes, nearer boxes first, leaving out those that are further away than the best
// pair of triangles so far.

// A Piece is a hull or a mesh, in one frame with what it is measured against.
type Piece struct {
	Hull  Hull
	Mesh  *Mesh // nil for a hull
	Frame Frame // of the mesh
	Bound Bound
}

// Pieces is the shape ready for distances, in the carrier's frame. Whole as for Hulls.
func (s *Shape) Pieces() (list []Piece, whole bool) {
	if s.Kind == Meshed {
		if s.Mesh == nil || len(s.Mesh.Triangles) == 0 {
			return nil, true
		}
		return []Piece{{Mesh: s.Mesh, Frame: s.Frame, Bound: s.Mesh.Bound.Placed(&s.Frame)}}, true
	}
	hulls, whole := s.Hulls()
	for _, h := range hulls {
		list = append(list, PieceOf(h))
	}
	return list, whole
}

// PieceOf is a hull as a piece.
func PieceOf(h Hull) Piece { return Piece{Hull: h, Bound: h.Bound()} }

// Placed is the piece moved by f.
func (p *Piece) Placed(f *Frame) Piece {
	if p.Mesh == nil {
		return PieceOf(p.Hull.Placed(f))
	}
	at := f.Then(&p.Frame)
	return Piece{Mesh: p.Mesh, Frame: at, Bound: p.Mesh.Bound.Placed(&at)}
}

// visits is how many nodes of trees one distance may look at: the whole of two small meshes, and a bound on the time for large ones
// that lie along each other.
const visits = 1 << 18

// Apart is the distance between two pieces; limit and axis as for Between. No allocation.
func Apart(a, b *Piece, limit float64, axis *Vec) Gap {
	switch {
	case a.Mesh == nil && b.Mesh == nil:
		return Between(&a.Hull, &b.Hull, limit, axis)
	case a.Mesh == nil:
		return b.toHull(&a.Hull, limit).swapped()
	case b.Mesh == nil:
		return a.toHull(&b.Hull, limit)
	}
	return a.toMesh(b, limit)
}

func (g Gap) swapped() Gap {
	g.AtA, g.AtB = g.AtB, g.AtA
	return g
}

// toHull measures a mesh against a hull, in the mesh's own frame.
func (p *Piece) toHull(h *Hull, limit float64) Gap {
	m := p.Mesh
	back := p.Frame.Inverse()
	own := h.Placed(&back)
	box := own.Bound()
	best := Gap{Distance: limit, Beyond: true}
	var view sight
	var stack [meshDepth]int32
	n := 1
	left := visits
	for ; n > 0 && left > 0; left-- {
		n--
		k := stack[n]
		node := &m.nodes[k]
		if reach := max(best.Distance, 0); node.bound.gap(&box) > reach || view.from-node.bound.ends(view.u) > max(0, reach-sameGap) {
			continue
		}
		if node.right == 0 {
			for i := node.first; i < node.first+node.count; i++ {
				t := m.triangle(i)
				if g := Between(&t, &own, best.Distance, nil); !g.Beyond && (best.Beyond || g.Distance < best.Distance) {
					best = g
					if u, ok := best.axis(); ok {
						view = sight{u, own.far(u.Scale(-1)).Dot(u) - own.Round}
					}
				}
			}
			continue
		}
		near, far := k+1, node.right
		if m.nodes[far].bound.gap(&box) < m.nodes[near].bound.gap(&box) {
			near, far = far, near
		}
		stack[n], stack[n+1] = far, near
		n += 2
	}
	if n > 0 { // broken off: nothing left on the stack is nearer than its box
		least := best.Distance
		for _, k := range stack[:n] {
			least = min(least, m.nodes[k].bound.gap(&box))
		}
		best.brokenOff(least)
	}
	if !best.Touching() && m.Inside(own.At) {
		best = Gap{AtA: own.At, AtB: own.At, Deep: true}
	}
	return best.placed(&p.Frame)
}

// A sight looks along the line between the nearest points so far: what it is measured against begins at from. A box whose far end is
// further before that than the best distance holds nothing nearer, wherever else it is. On a mesh that is convex around the nearest
// point this leaves out all the rest at once. The zero sight leaves out nothing.
type sight struct {
	u    Vec
	from float64
}

// sameGap is the gain for which no further box is opened, mm.
const sameGap = 1e-9

// axis is the direction from A to B.
func (g *Gap) axis() (u Vec, ok bool) {
	d := g.AtB.Sub(g.AtA)
	n := d.Norm()
	if g.Distance <= 0 || n <= 0 {
		return Vec{}, false
	}
	return d.Scale(1 / n), true
}

// ends is how far the box reaches along u.
func (b *Bound) ends(u Vec) float64 {
	return max(b.Lo.X*u.X, b.Hi.X*u.X) + max(b.Lo.Y*u.Y, b.Hi.Y*u.Y) + max(b.Lo.Z*u.Z, b.Hi.Z*u.Z)
}

// brokenOff widens an answer by what was not looked at.
func (g *Gap) brokenOff(least float64) {
	if g.Beyond {
		g.Distance = least
		return
	}
	g.Slack += max(0, g.Distance-least)
}

func (g Gap) placed(f *Frame) Gap {
	g.AtA, g.AtB = f.Apply(g.AtA), f.Apply(g.AtB)
	return g
}

// toMesh measures two meshes, in the first one's frame.
func (p *Piece) toMesh(q *Piece, limit float64) Gap {
	back := p.Frame.Inverse()
	over := back.Then(&q.Frame) // from q's own frame to p's own
	a, b := p.Mesh, q.Mesh
	best := Gap{Distance: limit, Beyond: true}
	type pair struct{ a, b int32 }
	var view sight
	var turned Vec // −u in b's frame
	var stack [4 * meshDepth]pair
	n := 1
	left := visits
	for ; n > 0 && left > 0; left-- {
		n--
		k := stack[n]
		na, nb := &a.nodes[k.a], &b.nodes[k.b]
		box := nb.bound.Placed(&over)
		if reach := max(best.Distance, 0); na.bound.gap(&box) > reach || view.from-nb.bound.ends(turned)-na.bound.ends(view.u) > max(0, reach-sameGap) {
			continue
		}
		if na.right == 0 && nb.right == 0 {
			for j := nb.first; j < nb.first+nb.count; j++ {
				t := b.triangle(j)
				t = t.Placed(&over)
				for i := na.first; i < na.first+na.count; i++ {
					u := a.triangle(i)
					if g := Between(&u, &t, best.Distance, nil); !g.Beyond && (best.Beyond || g.Distance < best.Distance) {
						best = g
						if u, ok := best.axis(); ok {
							// u·(At + R·F·q) = u·At + (F·Rᵀ·u)·q, so a box of b begins at u·At − its end along −F·Rᵀ·u.
							turned = over.R.MulT(u).Scale(-1)
							if over.Flip {
								turned = turned.Flip()
							}
							view = sight{u, u.Dot(over.At)}
						}
					}
				}
			}
			continue
		}
		var one, two pair
		if nb.right == 0 || na.right != 0 && na.count >= nb.count {
			one, two = pair{k.a + 1, k.b}, pair{na.right, k.b}
			if a.nodes[one.a].bound.gap(&box) < a.nodes[two.a].bound.gap(&box) {
				one, two = two, one
			}
		} else {
			one, two = pair{k.a, k.b + 1}, pair{k.a, nb.right}
			b1, b2 := b.nodes[one.b].bound.Placed(&over), b.nodes[two.b].bound.Placed(&over)
			if na.bound.gap(&b1) < na.bound.gap(&b2) {
				one, two = two, one
			}
		}
		stack[n], stack[n+1] = one, two
		n += 2
	}
	if n > 0 {
		least := best.Distance
		for _, k := range stack[:n] {
			box := b.nodes[k.b].bound.Placed(&over)
			least = min(least, a.nodes[k.a].bound.gap(&box))
		}
		best.brokenOff(least)
	}
	if !best.Touching() {
		switch at := over.Apply(b.Points[b.Triangles[0][0]]); {
		case a.Inside(at):
			best = Gap{AtA: at, AtB: at, Deep: true}
		default:
			undo := over.Inverse()
			from := a.Points[a.Triangles[0][0]]
			if b.Inside(undo.Apply(from)) {
				best = Gap{AtA: from, AtB: from, Deep: true}
			}
		}
	}
	if best.Beyond && math.IsInf(best.Distance, 1) {
		best.Distance = limit
	}
	return best.placed(&p.Frame)
}
