package form

import (
	"fmt"
	"math"
	"slices"
)

// Flat is how far a chord may leave its arc, mm: less than a printer can show.
const Flat = 0.01

const (
	grid        = 1000     // points per mm
	most        = 10_000.0 // mm, the largest coordinate
	MostCorners = 4000     // of one layer: crossing sides are looked for by pairs
)

// A Point is a corner, mm.
type Point [2]float64

// A Ring is a closed line through its corners, either way round.
type Ring []Point

// A Layer is a slab between two planes: what lies inside an odd number of its rings, so that a ring within a ring is a hole. Rings neither
// cross nor touch.
type Layer struct {
	Rings  []Ring
	Height float64 // mm
}

// Circle is a ring of at least 12 chords, none further than Flat from the circle; its corners lie on it.
func Circle(x, y, diameter float64) Ring {
	return arc(nil, x, y, diameter/2, 0, 2*math.Pi, false)
}

// Rectangle has its middle at x, y.
func Rectangle(x, y, long, wide float64) Ring {
	l, w := long/2, wide/2
	return Ring{{x - l, y - w}, {x + l, y - w}, {x + l, y + w}, {x - l, y + w}}
}

// Rounded is a rectangle with rounded corners.
func Rounded(x, y, long, wide, radius float64) Ring {
	r := min(radius, long/2, wide/2)
	if r < 2*Flat {
		return Rectangle(x, y, long, wide)
	}
	l, w := long/2-r, wide/2-r
	var out Ring
	for k, c := range []Point{{x + l, y + w}, {x - l, y + w}, {x - l, y - w}, {x + l, y - w}} {
		from := float64(k) * math.Pi / 2
		out = arc(out, c[0], c[1], r, from, from+math.Pi/2, true)
	}
	return out
}

// Bar is a rectangle with round ends: diameter wide, between two points.
func Bar(a, b Point, wide float64) Ring {
	at := math.Atan2(b[1]-a[1], b[0]-a[0])
	out := arc(nil, b[0], b[1], wide/2, at-math.Pi/2, at+math.Pi/2, true)
	return arc(out, a[0], a[1], wide/2, at+math.Pi/2, at+3*math.Pi/2, true)
}

// arc appends chords from one angle to another, rad; the last point of a full turn is the first and left out.
func arc(out Ring, x, y, r, from, to float64, last bool) Ring {
	step := math.Pi / 6
	if r > Flat {
		step = min(step, 2*math.Acos(1-Flat/r))
	}
	n := int(math.Ceil((to-from)/step - 1e-9))
	for i := range n + 1 {
		if i == n && !last {
			break
		}
		s, c := math.Sincos(from + (to-from)*float64(i)/float64(n))
		out = append(out, Point{x + r*c, y + r*s})
	}
	return out
}

// A cell is a corner on the grid, µm.
type cell struct{ x, y int64 }

func (p cell) point() Point { return Point{float64(p.x) / grid, float64(p.y) / grid} }

// side is twice the area of abc: positive when it turns left. Exact: coordinates are below 2²⁴.
func side(a, b, c cell) int64 {
	return (b.x-a.x)*(c.y-a.y) - (b.y-a.y)*(c.x-a.x)
}

// area2 is twice the area of a ring, positive counter-clockwise.
func area2(r []cell) (sum int64) {
	for i, p := range r {
		q := r[(i+1)%len(r)]
		sum += (p.x-r[0].x)*(q.y-r[0].y) - (q.x-r[0].x)*(p.y-r[0].y)
	}
	return sum
}

// onGrid is the ring counter-clockwise, beginning at its smallest corner, without corners that turn nothing, so that rings that are the same
// compare as the same.
func onGrid(r Ring) ([]cell, error) {
	out := make([]cell, 0, len(r))
	for i, p := range r {
		if !(math.Abs(p[0]) <= most && math.Abs(p[1]) <= most) {
			return nil, fmt.Errorf("found the corner %d at (%g, %g) mm, expected coordinates below %g m", i+1, p[0], p[1], most/1000)
		}
		c := cell{int64(math.Round(p[0] * grid)), int64(math.Round(p[1] * grid))}
		if len(out) == 0 || out[len(out)-1] != c {
			out = append(out, c)
		}
	}
	for again := true; again && len(out) >= 3; {
		again = false
		for i := 0; i < len(out) && len(out) >= 3; i++ {
			a, b, c := out[(i+len(out)-1)%len(out)], out[i], out[(i+1)%len(out)]
			if side(a, b, c) == 0 && (a == b || b == c || (c.x-b.x)*(b.x-a.x)+(c.y-b.y)*(b.y-a.y) > 0) {
				out = slices.Delete(out, i, i+1)
				i--
				again = true
			}
		}
	}
	if len(out) < 3 || area2(out) == 0 {
		return nil, fmt.Errorf("found a ring of %d corners without an area, expected at least three corners around one", len(r))
	}
	if area2(out) < 0 {
		slices.Reverse(out)
	}
	first := 0
	for i, p := range out {
		if p.x < out[first].x || p.x == out[first].x && p.y < out[first].y {
			first = i
		}
	}
	return append(append(make([]cell, 0, len(out)), out[first:]...), out[:first]...), nil
}

// meet says that the segments ab and cd have a point in common.
func meet(a, b, c, d cell) bool {
	if max(a.x, b.x) < min(c.x, d.x) || max(c.x, d.x) < min(a.x, b.x) || max(a.y, b.y) < min(c.y, d.y) || max(c.y, d.y) < min(a.y, b.y) {
		return false
	}
	s1, s2, s3, s4 := side(a, b, c), side(a, b, d), side(c, d, a), side(c, d, b)
	return (s1 <= 0 || s2 <= 0) && (s1 >= 0 || s2 >= 0) && (s3 <= 0 || s4 <= 0) && (s3 >= 0 || s4 >= 0)
}

// sound says what is wrong with a layer's rings: sides that cross or touch.
func sound(rings [][]cell) error {
	type stretch struct {
		ring, at int
		a, b     cell
	}
	var all []stretch
	for k, r := range rings {
		for i := range r {
			all = append(all, stretch{k, i, r[i], r[(i+1)%len(r)]})
		}
	}
	if len(all) > MostCorners {
		return fmt.Errorf("found %d corners in a layer, expected at most %d", len(all), MostCorners)
	}
	for i := range all {
		for j := i + 1; j < len(all); j++ {
			s, t := &all[i], &all[j]
			if !meet(s.a, s.b, t.a, t.b) {
				continue
			}
			if s.ring == t.ring {
				n := len(rings[s.ring])
				next := (s.at+1)%n == t.at
				if (next || (t.at+1)%n == s.at) && n > 2 { // neighbours share a corner; they may not fold back
					a, b, c := s.a, s.b, t.b
					if !next {
						a, b, c = t.a, t.b, s.b
					}
					if side(a, b, c) != 0 || (c.x-b.x)*(b.x-a.x)+(c.y-b.y)*(b.y-a.y) > 0 {
						continue
					}
				}
			}
			p := s.a.point()
			return fmt.Errorf("found outlines that cross or touch near (%.3f, %.3f) mm, expected rings that stay apart", p[0], p[1])
		}
	}
	return nil
}

// inside says that the ring goes round p, which does not lie on it.
func inside(r []cell, p Point) bool {
	in := false
	for i := range r {
		a, b := r[i].point(), r[(i+1)%len(r)].point()
		if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0]+(p[1]-a[1])*(b[0]-a[0])/(b[1]-a[1]) {
			in = !in
		}
	}
	return in
}

// within says that p lies inside an odd number of rings.
func within(rings [][]cell, p Point) bool {
	in := false
	for _, r := range rings {
		if inside(r, p) {
			in = !in
		}
	}
	return in
}

// depths counts for each ring how many others go round it. Rings do not touch, so that any corner tells.
func depths(rings [][]cell) []int {
	out := make([]int, len(rings))
	for i, r := range rings {
		for j := range rings {
			if i != j && goesRound(rings[j], r[0]) {
				out[i]++
			}
		}
	}
	return out
}

// goesRound is inside in whole numbers.
func goesRound(r []cell, p cell) bool {
	in := false
	for i := range r {
		a, b := r[i], r[(i+1)%len(r)]
		if (a.y > p.y) != (b.y > p.y) {
			s := side(a, b, p)
			if b.y > a.y && s > 0 || b.y < a.y && s < 0 {
				in = !in
			}
		}
	}
	return in
}
