package travel

import (
	"fmt"
	"math"

	"lowslung/solid"
)

// Pulling a wheel: the axle goes on the straight way in the (left bump, right bump) plane from where it is to where the hand
// wants it, and stays at the first thing that stops it.

// PullOptions ask for one pose of one axle by its wheel bumps, mm against the design pose, positive up.
type PullOptions struct {
	Axle                string // front or rear
	Left, Right         float64
	FromLeft, FromRight float64 // where the way starts; the design pose when left at 0
}

// A Pulled axle is where the hand got it.
type Pulled struct {
	Pose        Pose     // in the program's own units
	Answer      AxlePose // for people and pages
	Rates       *Rates   // nil when four links do not fix the axle
	Struts      []Strut  // of this axle's shocks, in the model's order
	Left, Right float64  // wheel bumps reached, mm
	StoppedBy   string   // what stopped it, in words; empty when the wish was reached
}

// pullStep is how far a wheel moves between two looks at the stops, mm.
const pullStep = 2.0

// Pull moves one axle. The stand is the caller's own: its mover is moved, and put back at the design pose.
func Pull(m *solid.Model, st *Stand, o PullOptions) (Pulled, error) {
	var end solid.End
	switch o.Axle {
	case "front":
		end = solid.Front
	case "rear":
		end = solid.Rear
	default:
		return Pulled{}, fmt.Errorf("axle: found %q, expected front or rear", o.Axle)
	}
	for _, v := range []float64{o.Left, o.Right, o.FromLeft, o.FromRight} {
		if math.IsNaN(v) || math.Abs(v) > 1000 {
			return Pulled{}, fmt.Errorf("found a wheel bump of %g mm, expected one between -1000 and 1000", v)
		}
	}
	mv := st.Movers[end]
	if mv == nil {
		return Pulled{}, fmt.Errorf("there is no %s axle in the document", end)
	}
	if !mv.Solved {
		return Pulled{}, fmt.Errorf("the links do not hold the %s axle, so it cannot be pulled", end)
	}
	half := m.Axles[end].HalfTrack
	if half == 0 {
		return Pulled{}, fmt.Errorf("the %s axle has no tyre, so there is no wheel to pull", end)
	}
	defer mv.Jump(mv.Design)
	mv.Jump(mv.Design)
	h := &hand{m: m, mv: mv, end: end, half: half}
	h.spare()
	if !h.walk(0, 0, o.FromLeft, o.FromRight) || !h.walk(o.FromLeft, o.FromRight, o.Left, o.Right) {
		return h.done(st), nil
	}
	h.why = ""
	return h.done(st), nil
}

type hand struct {
	m           *solid.Model
	mv          *Mover
	end         solid.End
	half        float64
	ignored     map[int]bool // shocks that are out of range at the design pose already: no use stopping at them
	left, right float64
	why         string
}

func (h *hand) spare() {
	h.ignored = map[int]bool{}
	for i := range h.m.Shocks {
		s := &h.m.Shocks[i]
		if s.Axle == h.end && shockStop(s, h.mv.strut(s)) != "" {
			h.ignored[i] = true
		}
	}
}

// shockStop says in words that a shock of this length is beyond its end, or nothing.
func shockStop(s *solid.Shock, length float64) string {
	const touch = 1e-9
	word := ""
	switch {
	case s.Closed > 0 && length < s.Closed-touch:
		word = "closed"
	case s.Open > 0 && length > s.Open+touch:
		word = "open"
	default:
		return ""
	}
	if s.Side == solid.Single {
		return fmt.Sprintf("the %s shock is fully %s", s.Name, word)
	}
	return fmt.Sprintf("the %s %s shock is fully %s", s.Side, s.Name, word)
}

// try puts the axle at a pair of wheel bumps and says what is against it.
func (h *hand) try(left, right float64) string {
	sine := (left - right) / (2 * h.half)
	if math.Abs(sine) > 0.99 {
		return "the wheels are as far apart as their track allows"
	}
	if !h.mv.To(h.mv.Design.Z+(left+right)/2, math.Asin(sine)) {
		return "the links are at full reach"
	}
	for i := range h.m.Shocks {
		s := &h.m.Shocks[i]
		if s.Axle != h.end || h.ignored[i] {
			continue
		}
		if why := shockStop(s, h.mv.strut(s)); why != "" {
			return why
		}
	}
	return ""
}

// walk goes one straight way; false when something stopped it. What stops is found to 0.005 mm.
func (h *hand) walk(l0, r0, l1, r1 float64) bool {
	n := math.Ceil(max(math.Abs(l1-l0), math.Abs(r1-r0)) / pullStep)
	at, last := 0.0, h.mv.At()
	for k := 1.0; k <= n; k++ {
		t := k / n
		if h.why = h.try(l0+t*(l1-l0), r0+t*(r1-r0)); h.why == "" {
			at, last = t, h.mv.At()
			h.left, h.right = l0+t*(l1-l0), r0+t*(r1-r0)
			continue
		}
		hi, why := t, h.why
		for (hi-at)*pullStep*n > 0.005 {
			mid := (at + hi) / 2
			h.mv.Jump(last)
			if w := h.try(l0+mid*(l1-l0), r0+mid*(r1-r0)); w == "" {
				at, last = mid, h.mv.At()
				h.left, h.right = l0+mid*(l1-l0), r0+mid*(r1-r0)
			} else {
				hi, why = mid, w
			}
		}
		h.mv.Jump(last)
		h.why = why
		return false
	}
	return true
}

func (h *hand) done(st *Stand) Pulled {
	p := h.mv.At()
	out := Pulled{Pose: p, Left: h.left, Right: h.right, StoppedBy: h.why}
	out.Answer = poseAt(h.m, st, h.end, p.Z-h.mv.Design.Z, p.Roll/deg)
	if r, ok := ratesAt(h.m, st, h.end, p.Z-h.mv.Design.Z); ok {
		out.Rates = &r
	}
	hr, rr, _, _ := h.mv.Rates()
	for i := range h.m.Shocks {
		if s := &h.m.Shocks[i]; s.Axle == h.end {
			out.Struts = append(out.Struts, StrutAt(h.m, s, p, hr, rr))
		}
	}
	return out
}
