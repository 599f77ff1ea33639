package ride

import (
	"math"

	"lowslung/finding"
	"lowslung/solid"
)

// A shock and the springs in it.

// A strut is a shock with what pushes in it.
type strut struct {
	model        *solid.Shock
	outer        curve
	above, below curve
	stroke       float64 // open less closed, mm; +Inf when one is not known
	slack        [2]float64
	sprung       bool // some spring pushes it open
}

// strutOf compiles a shock. Hard is what stops dead, N/mm; note hears of springs that are not used, and why.
func strutOf(s *solid.Shock, hard float64, note func(finding.Finding)) strut {
	out := strut{model: s, stroke: math.Inf(1)}
	if s.Open > 0 && s.Closed > 0 {
		out.stroke = s.Open - s.Closed
	}
	if s.Open == 0 {
		if len(s.Springs)+len(s.Above)+len(s.Below) > 0 {
			note(finding.New(finding.Note, "ride/spring-without-place", "The springs of the %s shock are not used: their place follows from open, which it lacks.", s.Name).For(s.Path))
		}
		return out
	}
	out.outer = stack(s.Springs, hard)
	for _, one := range []struct {
		key     string
		list    []solid.Spring
		into    *curve
		chamber *float64
	}{{"above_piston", s.Above, &out.above, &out.slack[0]}, {"below_piston", s.Below, &out.below, &out.slack[1]}} {
		if len(one.list) == 0 {
			continue
		}
		free := 0.0
		for _, c := range one.list {
			if c.Free == 0 || c.Rate == 0 {
				free = math.NaN()
			}
			free += c.Free
		}
		if math.IsNaN(free) || math.IsInf(out.stroke, 1) {
			note(finding.New(finding.Note, "ride/spring-without-place", "The %s springs of the %s shock are not used: they need rate and free, and the shock closed.", one.key, s.Name).For(s.Path))
			continue
		}
		*one.into, *one.chamber = stack(one.list, hard), free
	}
	out.sprung = len(out.outer) > 0 || len(out.above) > 0
	return out
}

// push is the force with which the shock pushes its eyes apart at compression c = open − length, mm, with its energy and slope. The collar
// preloads the outer springs, down mm more than the document says; those above the piston stand in a chamber as long as the stroke left, those below in one as long as the
// stroke used. Fully open and fully closed are dead stops.
func (s *strut) push(c, down, stop float64) (e, f, k float64) {
	add := func(e1, f1, k1 float64) { e, f, k = e+e1, f+f1, k+k1 }
	if s.model.Open == 0 { // c counts from 0: only the closed stop is known
		if over := c + s.model.Closed; s.model.Closed > 0 && over > 0 {
			add(stop*over*over/2, stop*over, stop)
		}
		return e, f, k
	}
	add(s.outer.at(c + s.model.Collar + down))
	if s.above != nil {
		add(s.above.at(s.slack[0] - s.stroke + c))
	}
	if s.below != nil {
		e1, f1, k1 := s.below.at(s.slack[1] - c)
		add(e1, -f1, k1)
	}
	if c < 0 {
		add(stop*c*c/2, stop*c, stop)
	}
	if over := c - s.stroke; over > 0 {
		add(stop*over*over/2, stop*over, stop)
	}
	return e, f, k
}

// Push is the force with which the springs of a shock push its eyes apart at a length, eye to eye: mm, N. It is false when no spring of it
// has a known place. Fully open and fully closed are dead stops.
func Push(s *solid.Shock, length float64) (force float64, ok bool) {
	k := strutOf(s, hard, func(finding.Finding) {})
	if !k.sprung {
		return 0, false
	}
	_, f, _ := k.push(s.Open-length, 0, hard)
	return f, true
}

// LengthAt is the length, mm, at which the springs of a shock push with a force, N, within what it can do: the inverse of Push, by halving.
// It is false when no spring of it has a known place, or it has no stroke.
func LengthAt(s *solid.Shock, force float64) (length float64, ok bool) {
	k := strutOf(s, hard, func(finding.Finding) {})
	if !k.sprung || math.IsInf(k.stroke, 1) {
		return 0, false
	}
	lo, hi := 0.0, k.stroke // compression; the force rises with it
	for range 60 {
		mid := (lo + hi) / 2
		if _, f, _ := k.push(mid, 0, hard); f < force {
			lo = mid
		} else {
			hi = mid
		}
	}
	return s.Open - (lo+hi)/2, true
}
