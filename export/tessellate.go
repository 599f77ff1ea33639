package export

import (
	"math"

	"lowslung/form"
	"lowslung/solid"
)

// A surface is triangles for looking at, mm.
type surface struct {
	points    []solid.Vec
	triangles [][3]uint32
}

const around = 24 // corners of a circle, for looks

func (s *surface) point(v solid.Vec) uint32 {
	s.points = append(s.points, v)
	return uint32(len(s.points) - 1)
}

func (s *surface) tri(a, b, c uint32) { s.triangles = append(s.triangles, [3]uint32{a, b, c}) }

// turn lays a profile of (along, radius) pairs round the x axis, closed at both ends.
func (s *surface) turn(profile [][2]float64) {
	var rings [][]uint32
	for _, p := range profile {
		if p[1] < 1e-9 {
			rings = append(rings, []uint32{s.point(solid.Vec{X: p[0]})})
			continue
		}
		ring := make([]uint32, around)
		for i := range ring {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / around)
			ring[i] = s.point(solid.Vec{X: p[0], Y: p[1] * cos, Z: p[1] * sin})
		}
		rings = append(rings, ring)
	}
	for k := range rings[1:] {
		a, b := rings[k], rings[k+1]
		for i := range around {
			j := (i + 1) % around
			switch {
			case len(a) == 1 && len(b) == 1:
			case len(a) == 1:
				s.tri(a[0], b[i], b[j])
			case len(b) == 1:
				s.tri(a[i], b[0], a[j])
			default:
				s.tri(a[i], b[i], b[j])
				s.tri(a[i], b[j], a[j])
			}
		}
	}
}

// half is a quarter circle of a profile from radius 0 to r at the left end of a bar, or back to 0 at its right end.
func half(x, r float64, right bool) (out [][2]float64) {
	const n = 6
	for i := range n + 1 {
		s, c := math.Sincos(math.Pi / 2 * float64(i) / n)
		if right {
			out = append(out, [2]float64{x + r*s, r * c})
		} else {
			out = append(out, [2]float64{x - r*c, r * s})
		}
	}
	if right {
		out[n][1] = 0
	} else {
		out[0][1] = 0
	}
	return out
}

// own is a shape in its own frame.
func own(sh *solid.Shape) *surface {
	s := &surface{}
	x, y, z := sh.Size.X, sh.Size.Y, sh.Size.Z
	switch sh.Kind {
	case solid.Box:
		s.prism([][2]float64{{-x / 2, -y / 2}, {x / 2, -y / 2}, {x / 2, y / 2}, {-x / 2, y / 2}}, z)
	case solid.Cylinder:
		s.turn([][2]float64{{-x / 2, 0}, {-x / 2, y / 2}, {x / 2, y / 2}, {x / 2, 0}})
	case solid.Capsule:
		s.turn(append(half(-x/2, y/2, false), half(x/2, y/2, true)...))
	case solid.Disc: // along y: a tyre with round shoulders
		r, round := x/2, min(solid.Shoulder(y), x/2, y/2)
		profile := [][2]float64{{-y / 2, 0}}
		for _, p := range half(-y/2+round, round, false) {
			profile = append(profile, [2]float64{p[0], r - round + p[1]})
		}
		for _, p := range half(y/2-round, round, true) {
			profile = append(profile, [2]float64{p[0], r - round + p[1]})
		}
		s.turn(append(profile, [2]float64{y / 2, 0}))
		for i, p := range s.points { // x to y: turned a quarter about z
			s.points[i] = solid.Vec{X: -p.Y, Y: p.X, Z: p.Z}
		}
	case solid.Prism:
		s.prism(sh.Outline, z)
	case solid.Meshed:
		s.points = append(s.points, sh.Mesh.Points...)
		for _, t := range sh.Mesh.Triangles {
			s.tri(uint32(t[0]), uint32(t[1]), uint32(t[2]))
		}
	}
	return s
}

// prism is an outline to both sides of z = 0; one that crosses itself is shown as its pieces.
func (s *surface) prism(outline [][2]float64, high float64) {
	ring := make(form.Ring, len(outline))
	for i, p := range outline {
		ring[i] = p
	}
	list := []form.Ring{ring}
	if _, err := form.Stack(form.Layer{Rings: list, Height: max(high, 1e-3)}); err != nil {
		list = nil
		pieces, _ := solid.SplitOutline(outline)
		for _, piece := range pieces {
			r := make(form.Ring, len(piece))
			for i, p := range piece {
				r[i] = p
			}
			list = append(list, r)
		}
	}
	for _, r := range list {
		m, err := form.Stack(form.Layer{Rings: []form.Ring{r}, Height: max(high, 1e-3)})
		if err != nil {
			continue // nothing that could be shown: a line, or a corner 10 m away
		}
		first := uint32(len(s.points))
		for _, p := range m.Points {
			p.Z -= high / 2
			s.points = append(s.points, p)
		}
		for _, t := range m.Triangles {
			s.tri(first+uint32(t[0]), first+uint32(t[1]), first+uint32(t[2]))
		}
	}
}

// placed is a shape in its carrier's frame; a mirrored one keeps its outside outside.
func placed(sh *solid.Shape) *surface {
	s := own(sh)
	out := &surface{points: make([]solid.Vec, len(s.points)), triangles: s.triangles}
	for i, p := range s.points {
		out.points[i] = sh.Frame.Apply(p)
	}
	if sh.Frame.Flip {
		out.triangles = make([][3]uint32, len(s.triangles))
		for i, t := range s.triangles {
			out.triangles[i] = [3]uint32{t[0], t[2], t[1]}
		}
	}
	return out
}

// join appends another surface.
func (s *surface) join(o *surface) {
	first := uint32(len(s.points))
	s.points = append(s.points, o.points...)
	for _, t := range o.triangles {
		s.tri(first+t[0], first+t[1], first+t[2])
	}
}

// rod is a round-ended bar along a line through points.
func rod(line []solid.Vec, wide float64) *surface {
	s := &surface{}
	for i := range line[1:] {
		a, b := line[i], line[i+1]
		d := b.Sub(a)
		if d.Norm() < 1e-6 {
			continue
		}
		f := solid.Frame{At: a.Add(b).Scale(0.5), R: along(d.Unit())}
		s.join(placed(&solid.Shape{Kind: solid.Capsule, Size: solid.Vec{X: d.Norm(), Y: wide, Z: wide}, Frame: f}))
	}
	return s
}

// along is a rotation that takes x to the unit vector d, its z as far up as can be.
func along(d solid.Vec) solid.Mat {
	n, _, _ := solid.Across(d)
	y := n.Cross(d)
	return solid.Mat{d.X, y.X, n.X, d.Y, y.Y, n.Y, d.Z, y.Z, n.Z}
}
