package rocks

import (
	"math"
	"slices"

	"lowslung/solid"
)

// What else of the rig may touch rock: the underside of the chassis, the axles' housings, the links. Balls stand for it, as densely as spacing
// says, just under the skin; an edge of rock between two of them comes in deeper by less than 1 mm.

const (
	spacing = 12.0 // mm between balls
	ballMax = 5.0  // mm, radius of balls under flat skin
	// bodyRate is the stiffness of skin on rock, N/mm, and bodySide along it: as good as rigid under the weight of a rig, 0.3 mm.
	bodyRate, bodySide = 80.0, 40.0
	// bodyGrip is the coefficient of friction of plastic or metal on rock: an assumption.
	bodyGrip = 0.4
	bodyDamp = 0.08 // N·s/mm
)

// A ball is one of them, in its carrier's frame.
type ball struct {
	at     solid.Vec
	radius float64
}

type skin struct {
	chassis []ball
	axles   [2][]ball
	links   []solid.Link
	reach   float64 // of the chassis' balls about its origin, mm
}

func newSkin(m *solid.Model) skin {
	var s skin
	var lists [3][]ball
	for i := range m.Bodies {
		b := &m.Bodies[i]
		if b.Kind == "tyre" || b.Kind == "wheel" || isWheel(m, b) {
			continue
		}
		for k := range b.Shapes {
			hulls, _ := b.Shapes[k].Hulls()
			for h := range hulls {
				lists[b.Carrier] = cover(lists[b.Carrier], &hulls[h])
			}
			if mesh := b.Shapes[k].Mesh; mesh != nil {
				for _, p := range mesh.Points {
					lists[b.Carrier] = append(lists[b.Carrier], ball{at: b.Shapes[k].Frame.Apply(p)})
				}
			}
		}
	}
	s.chassis = lowest(lists[solid.OnChassis])
	s.axles[0], s.axles[1] = lowest(lists[solid.OnFront]), lowest(lists[solid.OnRear])
	for i := range s.chassis {
		s.reach = max(s.reach, s.chassis[i].at.Norm()+s.chassis[i].radius)
	}
	s.links = m.Links
	return s
}

// isWheel says that a body of an axle turns with a wheel: a tyre, or what sits inside one.
func isWheel(m *solid.Model, b *solid.Body) bool {
	if b.Carrier == solid.OnChassis {
		return false
	}
	for i := range m.Axles[b.Carrier-1].Wheels {
		w := &m.Axles[b.Carrier-1].Wheels[i]
		if d := b.CG.Sub(w.At); math.Hypot(d.X, d.Z) < 3 && math.Abs(d.Y) < w.Width/2+3 {
			return true
		}
	}
	return false
}

// cover puts balls under the skin of a convex piece.
func cover(list []ball, h *solid.Hull) []ball {
	steps := func(length float64) int { return max(1, int(math.Ceil(length/spacing))) }
	switch h.Core {
	case solid.CoreLine:
		n := steps(2 * h.U.Norm())
		for i := range n + 1 {
			list = append(list, ball{h.At.Along(h.U, 2*float64(i)/float64(n)-1), h.Round})
		}
	case solid.CoreCylinder:
		r := h.Radius + h.Round
		if h.Half > r/2 { // a bar: balls along it as thick as it, and its rims
			n := steps(2 * h.Half)
			for i := range n + 1 {
				list = append(list, ball{h.At.Along(h.U, (h.Half-min(r, h.Half))*(2*float64(i)/float64(n)-1)), min(r, h.Half+h.Round)})
			}
		}
		a := h.U.Cross(solid.Vec{Z: 1})
		if a.Norm() < 0.1 {
			a = h.U.Cross(solid.Vec{X: 1})
		}
		a = a.Unit()
		b := h.U.Cross(a)
		inset := min(3, h.Radius)
		for i := range 16 {
			s, c := math.Sincos(float64(i) * math.Pi / 8)
			rim := h.At.Along(a, (r-inset)*c).Along(b, (r-inset)*s)
			deep := max(0, h.Half+h.Round-inset)
			list = append(list, ball{rim.Along(h.U, deep), inset}, ball{rim.Along(h.U, -deep), inset})
		}
	case solid.CoreBox:
		u, v, w := h.U.Norm(), h.V.Norm(), h.W.Norm()
		r := min(ballMax, u, v, w)
		grid := func(half float64) (n int, inner float64) { inner = max(0, half-r); return steps(2 * inner), inner }
		nu, iu := grid(u)
		nv, iv := grid(v)
		nw, iw := grid(w)
		for i := range nu + 1 {
			for j := range nv + 1 {
				for k := range nw + 1 {
					if i != 0 && i != nu && j != 0 && j != nv && k != 0 && k != nw {
						continue // inside
					}
					at := h.At.Along(h.U, iu/u*(2*float64(i)/float64(nu)-1)).Along(h.V, iv/v*(2*float64(j)/float64(nv)-1)).Along(h.W, iw/w*(2*float64(k)/float64(nw)-1))
					list = append(list, ball{at, r + h.Round})
				}
			}
		}
	case solid.CorePrism:
		thick := h.W.Norm()
		r := min(ballMax, thick)
		for i, p := range h.Outline {
			q := h.Outline[(i+1)%len(h.Outline)]
			n := steps(math.Hypot(q[0]-p[0], q[1]-p[1]))
			for k := range n {
				t := float64(k) / float64(n)
				at := h.At.Along(h.U, p[0]+t*(q[0]-p[0])).Along(h.V, p[1]+t*(q[1]-p[1]))
				for _, side := range []float64{1, -1} {
					list = append(list, ball{at.Along(h.W, side*(thick-r)/thick), r})
				}
			}
		}
	}
	return list
}

// lowest keeps of the balls in each column, spacing wide, the one that reaches lowest: rock comes from below.
func lowest(list []ball) []ball {
	type cell [2]int
	best := map[cell]ball{}
	for _, b := range list {
		c := cell{int(math.Round(b.at.X / spacing)), int(math.Round(b.at.Y / spacing))}
		if old, ok := best[c]; !ok || b.at.Z-b.radius < old.at.Z-old.radius {
			best[c] = b
		}
	}
	out := make([]ball, 0, len(best))
	for _, b := range best {
		out = append(out, b)
	}
	slices.SortFunc(out, func(a, b ball) int {
		for _, d := range []float64{a.at.X - b.at.X, a.at.Y - b.at.Y, a.at.Z - b.at.Z, a.radius - b.radius} {
			if d != 0 {
				return int(math.Copysign(1, d))
			}
		}
		return 0
	})
	return out
}
