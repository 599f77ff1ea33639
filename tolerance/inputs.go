package tolerance

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"lowslung/rig"
	"lowslung/solid"
)

// kind is a kind of error.
type kind uint8

const (
	drilled kind = iota
	printed
	cut
	turned
	play
	set
	tyre
)

func (k kind) String() string {
	return [...]string{"drilled", "printed", "length", "turns", "play", "set", "tyre"}[k]
}

// An input is one number that may be off by itself. What is measured as one thing (the three directions of a hole) has one group.
type input struct {
	kind  kind
	group int
	half  float64 // plus or minus, in the unit that the model is moved by, mm
	move  func(m *solid.Model, by float64)
	spot  *where // of a hole on chassis or axle
	axis  int    // of a hole: 0 forward, 1 left, 2 up; on a link 0 along, 1 rise
	link  int    // of a link's length: its index, −1 otherwise
}

// A group is what a builder would measure: a hole, a length.
type group struct{ what, path string }

// sigma is the standard deviation of an input. Plus or minus a is what 95 of 100 keep: σ = a/1.960 (JCGM 100:2008, 4.3.4). Play: an end
// stands anywhere within ±half/2 (4.3.7), two of them make a triangle of half width half: σ = half/√6 (4.3.9).
func (in *input) sigma() float64 {
	if in.kind == play {
		return in.half / math.Sqrt(6)
	}
	return in.half / normal95
}

// normal95 is the 97.5 % quantile of the normal distribution.
var normal95 = math.Sqrt2 * math.Erfinv(0.95)

// at is the input's value at share u of its distribution, 0 < u < 1.
func (in *input) at(u float64) float64 {
	if in.kind == play { // the inverse of the triangular distribution
		if u < 0.5 {
			return in.half * (math.Sqrt(2*u) - 1)
		}
		return in.half * (1 - math.Sqrt(2*(1-u)))
	}
	return in.sigma() * math.Sqrt2 * math.Erfinv(2*u-1)
}

// A lister collects the inputs of a model.
type lister struct {
	m      *solid.Model
	e      Errors
	in     []input
	groups []group
	holes  map[where]int // group of a hole: links and shocks that share one are moved together
	first  []int         // first input of each group
}

type where struct {
	on solid.Carrier
	at solid.Vec
}

func inputsOf(m *solid.Model, e Errors) ([]input, []group) {
	l := &lister{m: m, e: e, holes: map[where]int{}}
	for i := range m.Links {
		k := &m.Links[i]
		l.hole(solid.OnChassis, k.From, k.FromHole, func(m *solid.Model) *solid.Vec { return &m.Links[i].From })
		l.hole(solid.CarrierOf(k.Axle), k.To, k.ToHole, func(m *solid.Model) *solid.Vec { return &m.Links[i].To })
		l.link(i)
	}
	for i := range m.Shocks {
		s := &m.Shocks[i]
		for _, end := range []func(m *solid.Model) *solid.Anchor{
			func(m *solid.Model) *solid.Anchor { return &m.Shocks[i].Top },
			func(m *solid.Model) *solid.Anchor { return &m.Shocks[i].Bottom },
		} {
			if a := end(m); a.Link < 0 {
				l.hole(a.Carrier, a.At, a.Hole, func(m *solid.Model) *solid.Vec { return &end(m).At })
			} else {
				l.onLink(a, end)
			}
		}
		switch {
		case m.Rest != nil: // springs and weights put it there; how well those are known shows in its length
			g := l.group("length of the shock "+sided(s.Name, s.Side)+" as it stands", s.Path)
			l.add(set, g, e.Set, func(m *solid.Model, by float64) { m.Rest.Lengths[i] += by })
		case s.Set > 0:
			g := l.group("set length of the shock "+sided(s.Name, s.Side), s.Path+"/set")
			l.add(set, g, e.Set, func(m *solid.Model, by float64) { m.Shocks[i].Set += by })
		}
	}
	for _, end := range []solid.End{solid.Front, solid.Rear} {
		a := &m.Axles[end]
		if !a.Present {
			continue
		}
		if a.HasRide && m.Rest == nil && !l.hasSet(end) {
			g := l.group(fmt.Sprintf("ride height of the %s axle", end), a.Path+"/ride_height")
			l.add(set, g, e.Set, func(m *solid.Model, by float64) { m.Axles[end].Ride += by })
		}
		if a.TyreRadius > 0 {
			g := l.group(fmt.Sprintf("radius of the %s tyres", end), a.Path)
			l.add(tyre, g, e.Tyre, func(m *solid.Model, by float64) {
				m.Axles[end].TyreRadius += by
				if m.Rest != nil {
					m.Rest.Radius[end] += by
				}
			})
		}
	}
	return l.in, l.groups
}

func (l *lister) group(what, path string) int {
	l.groups = append(l.groups, group{what, path})
	l.first = append(l.first, len(l.in))
	return len(l.groups) - 1
}

func (l *lister) add(k kind, g int, half float64, move func(*solid.Model, float64)) {
	l.in = append(l.in, input{kind: k, group: g, half: half, move: move, link: -1})
}

// hole adds the three directions of a hole, or hangs another eye on a hole that is there already.
func (l *lister) hole(on solid.Carrier, at solid.Vec, name string, eye func(*solid.Model) *solid.Vec) {
	axes := [3]func(*solid.Vec) *float64{
		func(v *solid.Vec) *float64 { return &v.X }, func(v *solid.Vec) *float64 { return &v.Y }, func(v *solid.Vec) *float64 { return &v.Z },
	}
	key := where{on, at}
	if g, had := l.holes[key]; had {
		for k := range 3 {
			in := &l.in[l.first[g]+k]
			before := in.move
			in.move = func(m *solid.Model, by float64) { before(m, by); *axes[k](eye(m)) += by }
		}
		return
	}
	part, path, made := l.partOf(on, name)
	k, half := drilled, l.e.Drilled
	if made {
		k, half = printed, l.e.Printed
	}
	_, hole := rig.Ref{Text: name}.Split()
	what := fmt.Sprintf("hole %s of the %s", hole, part)
	switch {
	case at.Y > 1e-6:
		what = "left " + what
	case at.Y < -1e-6:
		what = "right " + what
	}
	g := l.group(what, path+"/holes/"+hole)
	l.holes[key] = g
	for n := range 3 {
		l.add(k, g, half, func(m *solid.Model, by float64) { *axes[n](eye(m)) += by })
		in := &l.in[len(l.in)-1]
		in.spot, in.axis = &key, n
	}
}

// partOf finds the part that a hole belongs to, and whether it is printed.
func (l *lister) partOf(on solid.Carrier, hole string) (name, path string, made bool) {
	name, _ = rig.Ref{Text: hole}.Split()
	for i := range l.m.Bodies {
		b := &l.m.Bodies[i]
		if b.Carrier != on || b.Name != name {
			continue
		}
		path = b.Path
		break
	}
	if l.m.Doc == nil {
		return name, path, false
	}
	lists := []rig.Map[rig.Part]{l.m.Doc.Chassis.Parts}
	for _, a := range []*rig.Axle{l.m.Doc.Front, l.m.Doc.Rear} {
		if a != nil {
			lists = append(lists, a.Parts)
		}
	}
	for _, list := range lists {
		if p, ok := list.Get(name); ok {
			return name, path, p.Made && p.Material == "PA12"
		}
	}
	return name, path, false
}

// onLink adds the two directions of a hole on a link.
func (l *lister) onLink(a *solid.Anchor, end func(*solid.Model) *solid.Anchor) {
	k := &l.m.Links[a.Link]
	_, hole := rig.Ref{Text: a.Hole}.Split()
	g := l.group(fmt.Sprintf("hole %s of the link %s", hole, sided(k.Name, k.Side)), k.Path+"/holes/"+hole)
	l.add(drilled, g, l.e.Drilled, func(m *solid.Model, by float64) { end(m).Along += by })
	l.add(drilled, g, l.e.Drilled, func(m *solid.Model, by float64) { end(m).Rise += by })
	l.in[len(l.in)-1].axis = 1
}

// link adds a link's length, its turns where its thread is known, and the play of its two ends.
func (l *lister) link(i int) {
	k := &l.m.Links[i]
	longer := func(m *solid.Model, by float64) { m.Links[i].Length += by }
	g := l.group("length of the link "+sided(k.Name, k.Side), k.Path)
	l.add(cut, g, l.e.Length, longer)
	if k.Pitch > 0 {
		l.add(turned, g, l.e.Turns*k.Pitch, longer)
	}
	l.add(play, l.group("play in the rod ends of the link "+sided(k.Name, k.Side), k.Path+"/ends"), l.e.Play, longer)
	for n := len(l.in) - 1; n >= 0 && (l.in[n].kind == cut || l.in[n].kind == turned || l.in[n].kind == play) && l.in[n].link < 0; n-- {
		l.in[n].link = i
	}
}

func (l *lister) hasSet(end solid.End) bool {
	return slices.ContainsFunc(l.m.Shocks, func(s solid.Shock) bool { return s.Axle == end && s.Set > 0 })
}

func sided(name string, side solid.Side) string { return strings.TrimSpace(name + " " + side.String()) }
