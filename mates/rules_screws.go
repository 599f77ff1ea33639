package mates

import (
	"fmt"
	"math"
)

// A screwSize is what the standards say of one thread, mm.
type screwSize struct {
	thread               string
	fine, medium, coarse float64 // clearance hole, ISO 273
	head                 float64 // diameter of a socket head, ISO 4762
	washer               float64 // bore of a plain washer, ISO 7089
}

var screwSizes = []screwSize{
	{"M2", 2.2, 2.4, 2.6, 3.8, 2.2},
	{"M2.5", 2.7, 2.9, 3.1, 4.5, 2.7},
	{"M3", 3.2, 3.4, 3.6, 5.5, 3.2},
	{"M4", 4.3, 4.5, 4.8, 7, 4.3},
	{"M5", 5.3, 5.5, 5.8, 8.5, 5.3},
}

func screwSizeOf(thread string) (screwSize, bool) {
	for _, s := range screwSizes {
		if s.thread == thread {
			return s, true
		}
	}
	return screwSize{}, false
}

// clearanceOf is the bore of a plain washer for the thread; 0 when it is not known.
func clearanceOf(thread string) float64 {
	s, _ := screwSizeOf(thread)
	return s.washer
}

// screwInHole judges a screw that goes through a part without holding in it.
func screwInHole(m, h *Port) verdict {
	d := threadSize(m.Thread)
	if d == 0 || h.Diameter == 0 {
		return unknown("thread and hole")
	}
	text := fmt.Sprintf("%s through a hole of %s", m.Thread, m.dim(h.Diameter))
	s, known := screwSizeOf(m.Thread)
	switch {
	case h.Diameter < d-1e-9:
		return verdict{false, "will not go through", fmt.Sprintf("%s: %s too thick", text, m.dim(d-h.Diameter))}
	case !known:
		return verdict{true, "goes through", text}
	case h.Diameter <= s.fine+1e-9:
		return verdict{true, "fine clearance", text}
	case h.Diameter <= s.medium+1e-9:
		return verdict{true, "medium clearance", text}
	case h.Diameter <= s.coarse+1e-9:
		return verdict{true, "coarse clearance", text}
	case h.Diameter < s.head-1:
		return verdict{true, "wide", text + ": wider than coarse, so a washer belongs under the head"}
	}
	return verdict{false, "head pulls through", fmt.Sprintf("%s: its head of %s has less than half a millimetre to sit on", text, m.dim(s.head))}
}

// gridOnGrid judges patterns of holes in a rectangle, as servos have, with what goes through between them.
func gridOnGrid(a, b *Port) verdict {
	text := fmt.Sprintf("holes %g × %g mm apart with %g × %g mm", a.Grid[0], a.Grid[1], b.Grid[0], b.Grid[1])
	if math.Abs(a.Grid[0]-b.Grid[0]) > gridOff || math.Abs(a.Grid[1]-b.Grid[1]) > gridOff {
		return verdict{false, "holes do not line up", text}
	}
	for _, p := range [2][2]*Port{{a, b}, {b, a}} {
		body, opening := p[0].Body, p[1].Opening
		if body[0] == 0 || opening[0] == 0 {
			continue
		}
		through := fmt.Sprintf("%s; a body of %g × %g mm in an opening of %g × %g mm", text, body[0], body[1], opening[0], opening[1])
		if body[0] > opening[0]+1e-9 || body[1] > opening[1]+1e-9 {
			return verdict{false, "no room", through}
		}
		return verdict{true, "lines up", through}
	}
	return verdict{true, "lines up", text}
}
