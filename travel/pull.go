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
const pullStep = 4.0

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
	h := &hand{tracer: newTracer(m, mv), end: end}
	h.contact = h.touching(st)
	if h.walkTo(o.FromLeft, o.FromRight) {
		h.walkTo(o.Left, o.Right)
	}
	return h.done(st), nil
}

// A hand pulls one axle about.
type hand struct {
	*tracer
	end         solid.End
	left, right float64 // wheel bumps reached
	why         string  // what stopped it
}

// walkTo goes one straight way in steps; false when something stopped it. Where it stops is found to half of reachTol.
func (h *hand) walkTo(left, right float64) bool {
	l0, r0 := h.left, h.right
	n := math.Ceil(max(math.Abs(left-l0), math.Abs(right-r0)) / pullStep)
	at, last := 0.0, h.mv.At()
	put := func(t float64) { h.left, h.right = l0+t*(left-l0), r0+t*(right-r0) }
	try := func(t float64) Stop { return h.blocked(l0+t*(left-l0), r0+t*(right-r0)) }
	for k := 1.0; k <= n; k++ {
		stop := try(k / n)
		if stop.Kind == noStop {
			at, last = k/n, h.mv.At()
			put(at)
			continue
		}
		for hi := k / n; (hi-at)*pullStep*n > reachTol/2; {
			mid := (at + hi) / 2
			h.mv.Jump(last)
			if s := try(mid); s.Kind == noStop {
				at, last = mid, h.mv.At()
				put(at)
			} else {
				hi, stop = mid, s
			}
		}
		h.mv.Jump(last)
		h.why = stop.words(h.m)
		return false
	}
	return true
}

func (h *hand) done(st *Stand) Pulled {
	p := h.mv.At()
	out := Pulled{Pose: p, Left: h.left, Right: h.right, StoppedBy: h.why}
	out.Answer = poseAt(h.m, st, h.end, p.Z-h.mv.Design.Z, (p.Roll-h.mv.Design.Roll)/deg)
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
