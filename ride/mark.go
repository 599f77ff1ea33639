package ride

import (
	"math"

	"lowslung/solid"
)

// A mark is a state of the bench to come back to.
type mark struct {
	at     posture
	holds  [3]hold
	n      int
	feet   [4]foot
	ground [4]plane
	pull   solid.Vec
	driven bool
}

func (w *work) save() (m mark) {
	m.at, m.feet, m.ground, m.pull, m.driven = w.at, w.feet, w.ground, w.pull, w.driven
	m.n = copy(m.holds[:], w.holds)
	return m
}

// restore puts the bench where it was, and the derivatives with it.
func (w *work) restore(m *mark) bool {
	w.at, w.feet, w.ground, w.pull, w.driven = m.at, m.feet, m.ground, m.pull, m.driven
	w.holds = append(w.holds[:0], m.holds[:m.n]...)
	return w.evaluate(false)
}

// lightness is the load of wheel i, N, or, off the ground, how far it is off, mm, with a minus.
func (w *work) lightness(i int) float64 {
	if w.load[i] > 0 {
		return w.load[i]
	}
	return -w.gap[i]
}

// A path is a way through states of rest by one number u: an angle, a height, a distance.
type path struct {
	w    *work
	set  func(u float64) // brings ground and pull there
	lim  limits
	done func() float64 // ≤ 0 when what is looked for has happened, falling as it comes near; at rest only
}

// to brings the bench to u and lets it come to rest.
func (p *path) to(u float64) outcome {
	p.set(u)
	return p.w.settle(p.lim)
}

// walk brings the bench from where it rests at m to u, and where one stride falls, in four: a fall from far off only says that the stride was
// long.
func (p *path) walk(from, u float64, m *mark) outcome {
	out := p.to(u)
	for k := 1; out != atRest && k <= 4; k++ {
		if k == 1 && !p.w.restore(m) {
			return stalled
		}
		if out = p.to(from + (u-from)*float64(k)/4); out != atRest {
			return out
		}
		if k < 4 {
			out = fell // not there yet
		}
	}
	return out
}

// when narrows down to tol where, between from, where the bench rests at m and what is looked for has not happened, and to, where the bench is
// now and it has (last is atRest) or there was no rest, it happens. lo is the last u found before it, where the bench is left at rest; why
// is atRest when it has happened just beyond, and else says what happens there instead.
//
// Where both sides are at rest it takes the straight line through them by turns with halving (regula falsi, Illinois: Dahlquist & Björck,
// Numerical Methods, §6.2, from memory). Where there was no rest it feels its way forward in steps that are halved each time it falls: a
// fall from far off only says that the step was long, since near a tip the ridge is low.
func (p *path) when(from, to float64, m *mark, tol float64, last outcome) (lo float64, why outcome) {
	w := p.w
	hi, fhi, h := to, math.NaN(), max((to-from)/2, 8*tol)
	if last == atRest {
		fhi = p.done()
	}
	lo, why = from, last
	if !w.restore(m) {
		return lo, stalled
	}
	flo, at, side := p.done(), *m, 0
	for n := 0; ; n++ {
		both := fhi <= 0
		var u float64
		switch {
		case both && hi-lo <= tol, !both && h <= tol/2:
			w.restore(&at)
			if both {
				return lo, atRest
			}
			return lo, why
		case both && n%3 != 2 && flo > 0 && fhi < 0:
			u = max(lo+tol/4, min(hi-tol/4, lo+(hi-lo)*flo/(flo-fhi)))
		case both:
			u = (lo + hi) / 2
		default:
			u = lo + h
		}
		out := p.to(u)
		if out != atRest {
			if both { // not the rest it looked like
				fhi = math.NaN()
				h = u - lo
			}
			why, h = out, h/2
			w.restore(&at)
			continue
		}
		if f := p.done(); f > 0 {
			lo, flo, at = u, f, w.save()
			if side == 1 {
				fhi /= 2
			}
			side = 1
		} else {
			hi, fhi = u, f
			if side == -1 {
				flo /= 2
			}
			side = -1
			w.restore(&at)
		}
	}
}
