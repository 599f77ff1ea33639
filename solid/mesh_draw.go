package solid

import "math"

// Drawn are a mesh's triangles for drawing, at most so many, corner by corner: as they are, or with the corners that fall into one cell of a grid put together into their mean, the
// grid made coarser until few enough triangles are left (vertex clustering: Rossignac & Borrel, Multi-resolution 3D approximations, 1993, from memory). Never for measuring.
func (m *Mesh) Drawn(most int) [][3]Vec {
	out := make([][3]Vec, 0, min(len(m.Triangles), most))
	if len(m.Triangles) <= most {
		for _, t := range m.Triangles {
			out = append(out, [3]Vec{m.Points[t[0]], m.Points[t[1]], m.Points[t[2]]})
		}
		return out
	}
	size := m.Bound.Hi.Sub(m.Bound.Lo)
	long := max(size.X, size.Y, size.Z)
	for cells := math.Ceil(math.Sqrt(float64(most))); cells >= 1; cells = math.Floor(cells * 0.8) {
		if list, ok := m.clustered(long/cells, most); ok {
			return list
		}
	}
	return out
}

// clustered is the mesh on a grid of that size; false when more than most triangles are left.
func (m *Mesh) clustered(cell float64, most int) ([][3]Vec, bool) {
	type mean struct {
		sum Vec
		n   float64
	}
	index := map[[3]int32]int32{}
	var means []mean
	of := make([]int32, len(m.Points))
	for i, p := range m.Points {
		d := p.Sub(m.Bound.Lo).Scale(1 / cell)
		key := [3]int32{int32(math.Floor(d.X)), int32(math.Floor(d.Y)), int32(math.Floor(d.Z))}
		k, ok := index[key]
		if !ok {
			k = int32(len(means))
			index[key] = k
			means = append(means, mean{})
		}
		of[i] = k
		means[k].sum, means[k].n = means[k].sum.Add(p), means[k].n+1
	}
	at := func(k int32) Vec { return means[k].sum.Scale(1 / means[k].n) }
	seen := map[[3]int32]bool{}
	var out [][3]Vec
	for _, t := range m.Triangles {
		a, b, c := of[t[0]], of[t[1]], of[t[2]]
		if a == b || b == c || c == a {
			continue
		}
		for b < a || c < a { // the least corner first, the way round kept
			a, b, c = b, c, a
		}
		if key := [3]int32{a, b, c}; !seen[key] {
			if seen[key] = true; len(seen) > most {
				return nil, false
			}
			out = append(out, [3]Vec{at(a), at(b), at(c)})
		}
	}
	return out, true
}
