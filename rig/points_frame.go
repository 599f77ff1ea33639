package rig

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// settle finds the frame of an axle, turns what is fixed to it into that frame, and pairs its links and shocks.
func (p *points) settle(e *axlePoints) {
	switch {
	case e.name == "":
		return
	case e.misread: // reported
	case len(e.wheels) == 0:
		p.add("missing-row", e.place, "", `found no row about a wheel of the %s axle, expected its left wheel centre: the axle's frame begins there`, e.name)
		e.misread = true
	default:
		p.frame(e)
	}
	if e.misread {
		return
	}
	if e.wide != nil && e.tyre == nil {
		p.add("missing-cell", e.wideAt, "", "found a tyre width for the %s axle, but no tyre diameter; expected both, or the diameter alone", e.name)
	}
	for _, s := range e.spans {
		s.to = e.into(s.to)
	}
	if e.pinion != nil {
		e.pinion.to = e.into(e.pinion.to)
	}
	p.sides(e)
}

// frame is the axle frame: origin midway between the wheel centres, y along the wheel axis, turned about it so that the pinion shaft
// is level. With the wheel axis w = (−sin ψ cos φ, cos ψ cos φ, sin φ) and the pinion's elevation γ, the shaft pointing to s·x̂ of the
// axle frame (s = +1 behind, −1 in front) rises by sin γ = −s·cos φ·sin θ. An axle of which one wheel was measured is taken to stand
// straight.
func (p *points) frame(e *axlePoints) {
	one := e.wheels[0].at
	var w [3]float64
	if len(e.wheels) == 1 {
		e.origin, e.half, w = [3]float64{one[0], 0, one[2]}, math.Abs(one[1]), [3]float64{0, 1, 0}
	} else {
		left, right := one, e.wheels[1].at
		if e.wheels[0].side == "right" {
			left, right = right, left
		}
		for i := range w {
			e.origin[i], w[i] = (left[i]+right[i])/2, left[i]-right[i]
		}
		size := math.Hypot(math.Hypot(w[0], w[1]), w[2])
		e.half = size / 2
		for i := range w {
			w[i] /= size
		}
		if w[1] < 0.7 { // more than 45° from square
			p.add("contradiction", e.wheels[1].place, "", "found wheels of the %s axle that stand more before or above each other than beside each other, expected the left and the right wheel centre", e.name)
			e.misread = true
			return
		}
	}
	e.steer, e.roll = math.Atan2(-w[0], w[1]), math.Asin(w[2])
	spin := 0.0
	if e.tilt != nil {
		sine := math.Sin(*e.tilt) / math.Cos(e.roll)
		if !(math.Abs(sine) <= 1) {
			p.add("contradiction", e.tiltAt, "", "found a pinion angle that the %s axle cannot have as its wheels stand, expected another one, or other wheel centres", e.name)
			e.misread = true
			return
		}
		spin = math.Asin(sine)
		if e.name == "rear" {
			spin = -spin
		}
	}
	ss, cs := math.Sincos(e.steer)
	sr, cr := math.Sincos(e.roll)
	st, ct := math.Sincos(spin)
	e.turn = [9]float64{ // Rz(ψ)·Rx(φ)·Ry(θ)
		cs*ct - ss*sr*st, -ss * cr, cs*st + ss*sr*ct,
		ss*ct + cs*sr*st, cs * cr, ss*st - cs*sr*ct,
		-cr * st, sr, cr * ct,
	}
}

// into turns a point of the chassis frame into the axle frame. What is on the middle but for rounding is on it.
func (e *axlePoints) into(at [3]float64) (out [3]float64) {
	for i := range out {
		for k := range at {
			out[i] += e.turn[3*k+i] * (at[k] - e.origin[k])
		}
	}
	if math.Abs(out[1]) < onMiddle {
		out[1] = 0
	}
	return out
}

// sides decides which links and shocks of an axle are the left one of a pair, which are left or right alone, and names them.
func (p *points) sides(e *axlePoints) {
	groups := map[string][]*span{}
	var order []string
	for _, s := range e.spans {
		key := s.key()
		if groups[key] == nil {
			order = append(order, key)
		}
		groups[key] = append(groups[key], s)
	}
	for _, key := range order {
		if g := groups[key]; len(g) == 1 {
			p.alone(g[0])
		} else {
			p.both(g)
		}
	}
	used := map[string]*span{}
	for _, s := range e.spans {
		key := s.key()
		if first := used[key]; first != nil && len(groups[key]) < 2 {
			p.add("name-twice", s.place, "", "found a second row that makes %s, the first is in line %d; expected another name", quote(s.name), first.place.Line)
		}
		used[key] = s
	}
}

// key tells spans apart: names differ by more than capitals, and links and shocks are named apart.
func (s *span) key() string { return fmt.Sprint(s.shock, strings.ToLower(s.name)) }

// sideOf is where a span is, by its ends: left (1), right (−1), on the centreline or from side to side (0).
func (s *span) sideOf() int {
	a, b := sign(s.from[1]), sign(s.to[1])
	if a == b {
		return a
	}
	return 0
}

// mostly is sideOf, where an end on the centreline goes along with the other.
func (s *span) mostly() int {
	a, b := sign(s.from[1]), sign(s.to[1])
	switch {
	case a == 0:
		return b
	case b == 0:
		return a
	}
	return s.sideOf()
}

func sign(v float64) int {
	switch {
	case v > onMiddle:
		return 1
	case v < -onMiddle:
		return -1
	}
	return 0
}

// alone settles a span whose name no other row has.
func (p *points) alone(s *span) {
	switch s.side {
	case "":
		s.pair = s.sideOf() != 0
	case "pair":
		if s.mostly() == 0 {
			p.add("contradiction", s.sidedAt, "", `found "pair" for %s, which runs along the centreline or from one side to the other, expected "single"`, quote(s.name))
		}
		s.pair = true
	default:
		s.lone = s.side != "single"
		p.onSide(s)
	}
}

// both settles rows of one name: a left and a right one that were measured each.
func (p *points) both(g []*span) {
	seen := map[string]*span{}
	for _, s := range g {
		switch {
		case s.side == "" && s.mostly() > 0:
			s.side = "left"
		case s.side == "" && s.mostly() < 0:
			s.side = "right"
		}
		if first := seen[s.side]; first != nil || !slices.Contains([]string{"left", "right"}, s.side) {
			p.add("name-twice", s.place, "", `found %s again, the first is in line %d; expected each name once, or one left and one right row of a name: write which in the column "side"`, quote(s.name), g[0].place.Line)
			return
		}
		seen[s.side] = s
	}
	for _, s := range g {
		p.onSide(s)
	}
}

// onSide names a span after its side, which must be where it was measured.
func (p *points) onSide(s *span) {
	want := map[string]int{"left": 1, "right": -1}[s.side]
	if want == 0 {
		return
	}
	if got := s.sideOf(); got == -want {
		p.add("contradiction", s.sidedAt, "", "found %s for %s, but both its ends are on the other side; expected y more than 0 on the left, less on the right", quote(s.side), quote(s.name))
	}
	s.name += " " + s.side
}
