package shop

import (
	"cmp"
	"math"
	"slices"

	"lowslung/draw"
	"lowslung/solid"
)

// Picture is the helper as it lies on the bed, from above and a little to the side, in parallel perspective. It is to know it by, not to measure.
func (p *Print) Picture() *draw.Drawing {
	const yaw, up = 30 * math.Pi / 180, 52 * math.Pi / 180
	sy, cy := math.Sincos(yaw)
	su, cu := math.Sincos(up)
	eye := solid.Vec{X: sy * cu, Y: -cy * cu, Z: su} // towards whoever looks
	light := solid.Vec{X: -0.35, Y: -0.5, Z: 0.8}.Unit()
	flat := func(v solid.Vec) draw.Point {
		return draw.Pt(v.X*cy+v.Y*sy, (v.Y*cy-v.X*sy)*su+v.Z*cu)
	}
	type face struct {
		corners [3]solid.Vec
		normal  solid.Vec
		top     float64 // of the face, mm: layers are drawn from the bed up
		lies    bool    // level: over the walls that end at its height
		near    float64 // of its nearest corner, so that the wall of a hole comes before the outer wall in front of it
		sharp   [3]bool // sides where the surface turns
	}
	normals := make([]solid.Vec, len(p.Mesh.Triangles))
	other := map[[2]int]int{}
	for i, t := range p.Mesh.Triangles {
		a, b, c := p.Mesh.Points[t[0]], p.Mesh.Points[t[1]], p.Mesh.Points[t[2]]
		normals[i] = b.Sub(a).Cross(c.Sub(a)).Unit()
		for k := range t {
			other[[2]int{t[k], t[(k+1)%3]}] = i
		}
	}
	var list []face
	for i, t := range p.Mesh.Triangles {
		n := normals[i]
		if n.Dot(eye) <= 1e-9 {
			continue
		}
		f := face{normal: n, lies: n.Z > 0.99, near: math.Inf(-1)}
		for k := range t {
			f.corners[k] = p.Mesh.Points[t[k]]
			f.top = max(f.top, f.corners[k].Z)
			f.near = max(f.near, f.corners[k].Dot(eye))
			f.sharp[k] = normals[other[[2]int{t[(k+1)%3], t[k]}]].Dot(n) < 0.85
		}
		list = append(list, f)
	}
	slices.SortStableFunc(list, func(a, b face) int {
		if c := cmp.Compare(math.Round(a.top*100), math.Round(b.top*100)); c != 0 {
			return c
		}
		if a.lies != b.lies {
			if b.lies {
				return -1
			}
			return 1
		}
		return cmp.Compare(a.near, b.near)
	})
	box := draw.Nothing()
	for i := range list {
		for _, c := range list[i].corners {
			box = box.With(flat(c))
		}
	}
	const rim = 2.0
	d := draw.New(p.Title, box.W()+2*rim, box.H()+2*rim)
	place := func(v solid.Vec) draw.Point { return flat(v).Minus(box.Min).Plus(draw.Pt(rim, rim)) }
	for i := range list {
		f := &list[i]
		shade := 0.45 + 0.5*max(0, f.normal.Dot(light))
		tone := func(v float64) uint8 { return uint8(math.Round(255 * min(1, v*shade))) }
		colour := draw.RGB(tone(0.80), tone(0.83), tone(0.78))
		a, b, c := place(f.corners[0]), place(f.corners[1]), place(f.corners[2])
		d.Stroke("faces", draw.Polygon(a, b, c), draw.Style{Stroke: colour, Width: 0.1, Fill: colour})
		for k, q := range [3][2]draw.Point{{a, b}, {b, c}, {c, a}} {
			if f.sharp[k] {
				d.Stroke("faces", draw.Line(q[0], q[1]), draw.Style{Stroke: draw.RGB(60, 66, 62), Width: 0.25})
			}
		}
	}
	return d
}
