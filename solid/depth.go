package solid

import "math"

// Depth is how far two hulls that overlap would have to be moved apart, mm, and the direction in which B would go; 0 when they are
// apart. When only roundings overlap it is exact. When the cores do it is an estimate that is never too small, since it is the overlap
// seen along one direction, which moving B along it undoes.
//
// The least overlap over all directions is looked for from the hulls' own axes, their cross products (the directions that decide for
// two boxes: Gottschalk, Lin & Manocha, OBBTree, 1996, from memory) and the line between the middles, and from the best of these
// downhill.
func Depth(a, b *Hull) (float64, Vec) {
	if g := Between(a, b, math.Inf(1), nil); !g.Deep {
		if u := g.AtA.Sub(g.AtB); g.Distance < 0 && u.Norm() > 0 {
			return -g.Distance, u.Unit()
		}
		return max(0, -g.Distance), b.At.Sub(a.At).Unit()
	}
	const starts = 4
	var least [starts]float64
	var from [starts]Vec
	for i := range least {
		least[i] = math.Inf(1)
	}
	try := func(d Vec) {
		for _, u := range [2]Vec{d, d.Scale(-1)} {
			v := overlapAlong(a, b, u)
			for i := range least {
				if v < least[i] && !u.IsZero() {
					v, least[i], u, from[i] = least[i], v, from[i], u
				}
			}
		}
	}
	try(b.At.Sub(a.At).Unit())
	try(Vec{Z: 1})
	axes := [2][3]Vec{{a.U, a.V, a.W}, {b.U, b.V, b.W}}
	for _, set := range axes {
		for _, v := range set {
			try(v.Unit())
		}
	}
	for _, u := range axes[0] {
		for _, v := range axes[1] {
			try(u.Cross(v).Unit())
		}
	}
	best, dir := math.Inf(1), Vec{}
	for _, d := range from {
		if d.IsZero() {
			continue
		}
		if v, u := downhill(a, b, d); v < best {
			best, dir = v, u
		}
	}
	return max(best, 0), dir
}

// downhill turns d to where the overlap is least nearby.
func downhill(a, b *Hull, d Vec) (float64, Vec) {
	best := overlapAlong(a, b, d)
	for step := 0.3; step > 1e-4; {
		side := Vec{Z: 1}.Cross(d)
		if side.Norm() < 0.1 {
			side = Vec{X: 1}.Cross(d)
		}
		side = side.Unit()
		up := d.Cross(side)
		better := false
		for _, e := range [4]Vec{side, side.Scale(-1), up, up.Scale(-1)} {
			n := d.Along(e, step).Unit()
			if v := overlapAlong(a, b, n); v < best-1e-9 {
				best, d, better = v, n, true
				break
			}
		}
		if !better {
			step /= 2
		}
	}
	return best, d
}

// overlapAlong is how far A reaches beyond B's beginning along a unit vector.
func overlapAlong(a, b *Hull, d Vec) float64 {
	return a.far(d).Dot(d) + a.Round - b.far(d.Scale(-1)).Dot(d) + b.Round
}
