package solid

import "math"

// The distance between two convex hulls.
//
// The difference A − B of two convex sets is convex, and its point nearest the origin is as far from it as A is from B. That point is
// approached by simplices of at most four of its extreme points: from the present nearest point v, the extreme point w against v is
// added, and the simplex is cut down to the corners that span the new nearest point. |v| is never less than the distance, v·w/|v|
// never more, and the search ends when the two agree.
//
// Source: Gilbert, Johnson & Keerthi, A fast procedure for computing the distance between complex objects in three-dimensional space,
// IEEE Journal of Robotics and Automation 4 (1988) 193; the stop by both bounds and the start from the last direction after van den
// Bergen, A fast and robust GJK implementation for collision detection of convex objects, Journal of Graphics Tools 4 (1999) 7. Both
// from memory. The nearest point of a simplex is found by going through its faces (Ericson, Real-Time Collision Detection, 2005, ch. 5,
// from memory).

const (
	gapTol    = 1e-8 // mm: upper and lower bound closer than this are one
	gapStalls = 12   // steps without gain
	gapMost   = 200  // steps; the searches of the tests need at most a fifth of it
)

// A Gap is how far two pieces are from each other.
type Gap struct {
	Distance float64 // mm; below 0 when they overlap: how deep, as far as the roundings of both tell; see Deep
	AtA, AtB Vec     // nearest points; when they overlap, points that are in both or nearly so
	Beyond   bool    // further apart than was asked: Distance is only a lower bound, and the points are not set
	Deep     bool    // the cores overlap too: the depth is at least −Distance
	Slack    float64 // mm: the true distance is at most this much less; above 1e-6 only when the search was broken off
}

// Touching says that the two have a point in common.
func (g *Gap) Touching() bool { return !g.Beyond && g.Distance <= 0 }

// Between is the distance between two hulls in one frame. The search ends early once they are known to be further apart than limit;
// axis, when it is not nil, holds the direction from B to A where the last search of the same pair ended, and is updated: it makes the
// next search short. No allocation.
func Between(a, b *Hull, limit float64, axis *Vec) Gap {
	var s simplex
	round := a.Round + b.Round
	v := a.At.Sub(b.At)
	if axis != nil && !axis.IsZero() {
		v = *axis
	}
	vv := v.Dot(v)
	if !(vv > 1e-30) { // NaN too
		v, vv = Vec{X: 1}, 1
	}
	size := math.Sqrt(vv) // |v|: not an upper bound until v is a point of the difference
	upper, lower := math.Inf(1), math.Inf(-1)
	var best Vec
	stalls := 0
	for range gapMost {
		pa := a.far(v.Scale(-1))
		pb := b.far(v)
		w := pa.Sub(pb)
		if low := v.Dot(w) / size; low > lower {
			lower = low
			if lower-round > limit {
				if axis != nil {
					*axis = v
				}
				return Gap{Distance: lower - round, Beyond: true}
			}
		}
		if upper-lower <= gapTol || s.has(w) {
			break
		}
		s.add(w, pa)
		if s.nearest(&v, lower > gapTol) { // the origin lies inside
			return s.overlap(a, b)
		}
		n := v.Norm()
		if n <= 1e-12*s.extent() && lower <= gapTol {
			return s.overlap(a, b)
		}
		size = n
		if n < upper {
			upper, best = n, v
			s.keep()
			continue
		}
		// No nearer, as far as rounding can tell. On long faces that are all but parallel a few such steps go by before the next
		// gain, since the first corners that turn v the right way hardly shorten it.
		if stalls++; stalls > gapStalls {
			break
		}
	}
	if math.IsInf(upper, 1) { // only for a hull that is not finite
		return Gap{Distance: math.Inf(1), Beyond: true}
	}
	if axis != nil {
		*axis = best
	}
	if upper-lower > gapTol {
		// |v| says little about small turns of v when it is short or the pieces are long and parallel; the normal of what it lies on
		// is the better direction to look from.
		d := s.normal(best)
		pa, pb := a.far(d.Scale(-1)), b.far(d)
		if n := d.Norm(); n > 0 {
			lower = max(lower, d.Dot(pa.Sub(pb))/n)
		}
	}
	pa := s.onA()
	u := best.Scale(1 / upper)
	return Gap{
		Distance: upper - round, AtA: pa.Along(u, -a.Round), AtB: pa.Sub(best).Along(u, b.Round),
		Slack: max(0, upper-max(lower, 0)),
	}
}

// A simplex is up to four points of A − B with the points of A that they come from, and the weights of its point nearest the origin.
type simplex struct {
	n, kept int
	w, a    [4]Vec
	t       [4]float64 // weights of the first n
	// as of the last keep, for the nearest points
	kt     [4]float64
	ka, kw [4]Vec
}

func (s *simplex) add(w, a Vec) {
	s.w[s.n], s.a[s.n] = w, a
	s.n++
}

// has says that w is a corner already: nothing new lies in that direction.
func (s *simplex) has(w Vec) bool {
	for i := range s.n {
		if s.w[i] == w {
			return true
		}
	}
	return false
}

func (s *simplex) keep() {
	s.kept = s.n
	s.kt, s.ka, s.kw = s.t, s.a, s.w
}

// normal is the direction square to the face or side that v lay on as of the last keep, on v's side.
func (s *simplex) normal(v Vec) Vec {
	e := s.kw[1].Sub(s.kw[0])
	switch s.kept {
	case 2:
		for range 2 { // the second time takes out the rounding of the first
			v = v.Along(e, -v.Dot(e)/e.Dot(e))
		}
	case 3:
		if n := e.Cross(s.kw[2].Sub(s.kw[0])); n.Dot(v) < 0 {
			return n.Scale(-1)
		} else {
			return n
		}
	}
	return v
}

// onA is the nearest point on A's core as of the last keep.
func (s *simplex) onA() (p Vec) {
	for i := range s.kept {
		p = p.Along(s.ka[i], s.kt[i])
	}
	return p
}

func (s *simplex) extent() (most float64) {
	for i := range s.n {
		most = max(most, math.Abs(s.w[i].X), math.Abs(s.w[i].Y), math.Abs(s.w[i].Z))
	}
	return most
}

// overlap is the answer when the cores have a point in common.
func (s *simplex) overlap(a, b *Hull) Gap {
	var p Vec
	for i := range s.n {
		p = p.Along(s.a[i], s.t[i])
	}
	return Gap{Distance: -(a.Round + b.Round), AtA: p, AtB: p, Deep: true}
}

// nearest cuts the simplex down to the corners that span its point v nearest the origin; true when the origin is inside it. With
// apart the origin is known to be outside, whatever rounding says.
func (s *simplex) nearest(v *Vec, apart bool) bool {
	switch s.n {
	case 1:
		s.t[0] = 1
		*v = s.w[0]
	case 2:
		t := toEdge(&s.w[0], &s.w[1])
		s.take(v, [4]float64{1 - t, t})
	case 3:
		s.take(v, toFace(&s.w[0], &s.w[1], &s.w[2]))
	default:
		return s.inTetra(v, apart)
	}
	return false
}

// take keeps the corners whose weight is not 0.
func (s *simplex) take(v *Vec, t [4]float64) {
	n := 0
	p := Vec{}
	for i := range s.n {
		if t[i] > 0 {
			s.w[n], s.a[n], s.t[n] = s.w[i], s.a[i], t[i]
			p = p.Along(s.w[n], t[i])
			n++
		}
	}
	s.n = n
	*v = p
}

// toEdge is the weight of b in the point of ab nearest the origin.
func toEdge(a, b *Vec) float64 {
	d := b.Sub(*a)
	k := -a.Dot(d)
	if k <= 0 {
		return 0
	}
	n := d.Dot(d)
	if k >= n {
		return 1
	}
	return k / n
}

// toFace is the weights of a, b and c in the point of abc nearest the origin: by the regions of corners, sides and face.
func toFace(a, b, c *Vec) (t [4]float64) {
	ab, ac := b.Sub(*a), c.Sub(*a)
	d1, d2 := -ab.Dot(*a), -ac.Dot(*a)
	if d1 <= 0 && d2 <= 0 {
		return [4]float64{1}
	}
	d3, d4 := -ab.Dot(*b), -ac.Dot(*b)
	if d3 >= 0 && d4 <= d3 {
		return [4]float64{0, 1}
	}
	d5, d6 := -ab.Dot(*c), -ac.Dot(*c)
	if d6 >= 0 && d5 <= d6 {
		return [4]float64{0, 0, 1}
	}
	// The normal decides, not d1·d4 − d3·d2 and its like, which lose all digits on long thin faces.
	n := ab.Cross(ac)
	vc := n.Dot(a.Cross(*b))
	if vc <= 0 && d1 >= 0 && d3 <= 0 {
		k := d1 / (d1 - d3)
		return [4]float64{1 - k, k}
	}
	vb := n.Dot(c.Cross(*a))
	if vb <= 0 && d2 >= 0 && d6 <= 0 {
		k := d2 / (d2 - d6)
		return [4]float64{1 - k, 0, k}
	}
	va := n.Dot(b.Cross(*c))
	if va <= 0 && d4-d3 >= 0 && d5-d6 >= 0 {
		k := (d4 - d3) / ((d4 - d3) + (d5 - d6))
		return [4]float64{0, 1 - k, k}
	}
	sum := va + vb + vc
	if !(sum > 0) { // three corners on a line: the best of the sides
		return toSides(a, b, c)
	}
	return [4]float64{va / sum, vb / sum, vc / sum}
}

func toSides(a, b, c *Vec) (t [4]float64) {
	best := math.Inf(1)
	for i, side := range [3][2]*Vec{{a, b}, {a, c}, {b, c}} {
		k := toEdge(side[0], side[1])
		p := side[0].Scale(1-k).Along(*side[1], k)
		if d := p.Dot(p); d < best {
			best = d
			t = [4]float64{}
			t[[3]int{0, 0, 1}[i]], t[[3]int{1, 2, 2}[i]] = 1-k, k
		}
	}
	return t
}

// faces of a tetrahedron and the corner opposite each.
var tetraFaces = [4][4]int{{0, 1, 2, 3}, {0, 1, 3, 2}, {0, 2, 3, 1}, {1, 2, 3, 0}}

// inTetra is nearest for four corners.
func (s *simplex) inTetra(v *Vec, apart bool) bool {
	p, t, out := s.toTetra(false)
	if !out && apart {
		p, t, out = s.toTetra(true)
	}
	if out {
		s.take(&p, t)
		*v = p
		return false
	}
	// Weights of the origin: volumes of the tetrahedra that it makes with each face.
	sum := 0.0
	for _, f := range tetraFaces {
		a, b, c := &s.w[f[0]], &s.w[f[1]], &s.w[f[2]]
		s.t[f[3]] = math.Abs(a.Dot(b.Cross(*c)))
		sum += s.t[f[3]]
	}
	for i := range s.t {
		s.t[i] /= sum
	}
	return true
}

// toTetra is the point nearest the origin on the faces that the origin may be beyond, or on all, and its weights; out is false when
// there is no such face.
func (s *simplex) toTetra(all bool) (p Vec, t [4]float64, out bool) {
	best := math.Inf(1)
	size := s.extent()
	for i := range tetraFaces {
		f := &tetraFaces[i]
		a, b, c, d := &s.w[f[0]], &s.w[f[1]], &s.w[f[2]], &s.w[f[3]]
		ab, ac := b.Sub(*a), c.Sub(*a)
		n := ab.Cross(ac)
		origin, other := -n.Dot(*a), n.Dot(d.Sub(*a))
		// When the origin is on the side of the fourth corner, and both are further from the face than rounding can make them, it is not
		// beyond this face. Rounding of n·a is at most a few units of |ab|·|ac|·|a|.
		doubt := 1e-30 * ab.Dot(ab) * ac.Dot(ac) * size * size
		if !all && origin*other > 0 && origin*origin > doubt && other*other > doubt {
			continue
		}
		w := toFace(a, b, c)
		q := a.Scale(w[0]).Along(*b, w[1]).Along(*c, w[2])
		if k := q.Dot(q); k < best {
			best, p, out = k, q, true
			t = [4]float64{}
			t[f[0]], t[f[1]], t[f[2]] = w[0], w[1], w[2]
		}
	}
	return p, t, out
}
