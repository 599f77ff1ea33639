package travel

import (
	"math"

	"lowslung/solid"
)

// How far an axle goes: the region of the (left bump, right bump) plane that it can reach from its design pose, what sets each stretch
// of the region's boundary, and what each limit would have to give. Every boundary point is found by continuation along a ray from the
// design pose and by halving to reachTol; rays are added where the stop changes, until the corner is known to cornerTol.

const (
	reachTol  = 0.01       // mm of wheel bump
	reachStep = 4.0        // mm of wheel bump between two looks at the stops
	reachMost = 120.0      // mm: no rig of this scale travels further
	firstRays = 48         // evenly spread
	cornerTol = 0.25 * deg // direction in the plane between two rays that end at different stops
	wishMore  = 5.0        // mm of travel for which the limits are asked to give
)

// A Reach is where one ray ends.
type Reach struct {
	Left, Right float64 // wheel bumps against the design pose, mm
	Stop        Stop
	Pose        Pose
}

// A tracer walks rays for one axle.
type tracer struct {
	m       *solid.Model
	mv      *Mover
	half    float64
	stops   []Stop
	base    float64 // sine of the roll at the design pose
	skip    []bool  // stops that are passed at the design pose already
	ease    []float64
	room    []float64
	contact func(p Pose, deep bool) (Stop, float64, bool) // a body pair that touches at the pose, and, with deep, how far it is in; nil when bodies are not looked at
}

func newTracer(m *solid.Model, mv *Mover) *tracer {
	t := &tracer{m: m, mv: mv, half: m.Axles[mv.End].HalfTrack, stops: stopsOf(m, mv.End)}
	t.base = math.Sin(mv.Design.Roll)
	t.skip, t.room, t.ease = make([]bool, len(t.stops)), make([]float64, len(t.stops)), make([]float64, len(t.stops))
	margins(m, t.stops, mv.Design, t.room)
	for i, v := range t.room {
		if k := t.stops[i].Kind; v < 0 && v > -pressed && mv.Source == BySprings && (k == ShockClosed || k == ShockOpen) {
			t.ease[i] = -v
			continue
		}
		t.skip[i] = v < 0
	}
	return t
}

// pressed is how far a shock may be beyond its end where a rig stands on its springs and that end carries part of it, mm: ride takes stops as hard, not as rigid.
const pressed = 0.2

// margins works out each stop's margin at p into room; a stop that the rig rests on is at its end there.
func (t *tracer) margins(p Pose) {
	margins(t.m, t.stops, p, t.room)
	for i, e := range t.ease {
		t.room[i] += e
	}
}

// passed lists the stops that the design pose itself is beyond.
func (t *tracer) passed() []Stop {
	var out []Stop
	for i := range t.stops {
		if t.skip[i] {
			out = append(out, t.stops[i])
		}
	}
	return out
}

// target is the heave and roll of a pair of wheel bumps; false when no axle of this track gets there.
func (t *tracer) target(left, right float64) (z, roll float64, ok bool) {
	sine := t.base + (left-right)/(2*t.half)
	if math.Abs(sine) > 0.95 {
		return 0, 0, false
	}
	return t.mv.Design.Z + (left+right)/2, math.Asin(sine), true
}

// blocked puts the mover at a pair of wheel bumps and says what is against it; noStop when nothing is.
func (t *tracer) blocked(left, right float64) Stop {
	z, roll, ok := t.target(left, right)
	if !ok || !t.mv.To(z, roll) {
		return Stop{Kind: LinkReach}
	}
	t.margins(t.mv.at)
	if i, v := worstMargin(t.room, t.skip); i >= 0 && v < 0 {
		return t.stops[i]
	}
	if t.contact != nil {
		if s, _, hit := t.contact(t.mv.at, false); hit {
			return s
		}
	}
	return Stop{Kind: noStop}
}

// ray goes from the design pose in the direction (cos a, sin a) of the (left, right) plane until something stops it.
func (t *tracer) ray(a float64) Reach {
	s, c := math.Sincos(a)
	return t.walk(0, 0, c, s, t.mv.Design)
}

// walk goes from a reachable pair of wheel bumps in a direction.
func (t *tracer) walk(l0, r0, dl, dr float64, start Pose) Reach {
	t.mv.Jump(start)
	lo, at := 0.0, start
	for lo < reachMost {
		hi := lo + reachStep
		stop := t.blocked(l0+hi*dl, r0+hi*dr)
		if stop.Kind == noStop {
			lo, at = hi, t.mv.at
			continue
		}
		for hi-lo > reachTol {
			mid := (lo + hi) / 2
			t.mv.Jump(at)
			if s := t.blocked(l0+mid*dl, r0+mid*dr); s.Kind == noStop {
				lo, at = mid, t.mv.at
			} else {
				hi, stop = mid, s
			}
		}
		return Reach{Left: l0 + lo*dl, Right: r0 + lo*dr, Stop: stop, Pose: at}
	}
	return Reach{Left: l0 + lo*dl, Right: r0 + lo*dr, Stop: Stop{Kind: noStop}, Pose: at}
}

// boundary goes round the plane, counter-clockwise from pure left bump.
func (t *tracer) boundary() []Reach {
	type spoke struct {
		a float64
		r Reach
	}
	var out []Reach
	last := spoke{0, t.ray(0)}
	first := last
	var between func(lo, hi spoke)
	between = func(lo, hi spoke) {
		if lo.r.Stop != hi.r.Stop && hi.a-lo.a > cornerTol {
			a := (lo.a + hi.a) / 2
			mid := spoke{a, t.ray(a)}
			between(lo, mid)
			between(mid, hi)
			return
		}
		out = append(out, hi.r)
	}
	out = append(out, first.r)
	for i := 1; i <= firstRays; i++ {
		a := 2 * math.Pi * float64(i) / firstRays
		next := spoke{a, first.r}
		if i < firstRays {
			next.r = t.ray(a)
		}
		between(last, next)
		last = next
	}
	return out[:len(out)-1] // the last is the first again
}

// gives is what the stops lack at a pose beyond them: how much each would have to give for the axle to be there.
func (t *tracer) gives(left, right float64, from Pose) (list []Give, reached bool) {
	t.mv.Jump(from)
	z, roll, ok := t.target(left, right)
	if !ok || !t.mv.To(z, roll) {
		return nil, false
	}
	t.margins(t.mv.at)
	for i, v := range t.room {
		if !t.skip[i] && v < 0 {
			list = append(list, Give{Stop: t.stops[i], By: -v})
		}
	}
	if t.contact != nil {
		if s, in, hit := t.contact(t.mv.at, true); hit {
			list = append(list, Give{Stop: s, By: in})
		}
	}
	return list, true
}

// A Give is how much one stop would have to give, mm or rad.
type Give struct {
	Stop Stop
	By   float64
}
