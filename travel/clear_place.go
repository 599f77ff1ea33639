package travel

import (
	"math"
	"slices"

	"lowslung/solid"
)

// Where everything is at a pose.

// place puts every piece where the stance has it. What has not moved since the last call is left alone.
func (ws *ClearWorkspace) place(s *solid.Stance) {
	c := ws.c
	var moved [2]bool
	for end := range moved {
		moved[end] = !ws.placed || s[end] != ws.at[end]
	}
	for i := range c.things {
		t := &c.things[i]
		if ws.placed && !(t.moves[0] && moved[0] || t.moves[1] && moved[1]) {
			continue
		}
		ws.placeThing(i, s)
	}
	ws.at, ws.placed = *s, true
}

func (ws *ClearWorkspace) placeThing(i int, s *solid.Stance) {
	t := &ws.c.things[i]
	if t.kind == aBody {
		ws.placeBody(t, s)
	} else {
		ws.placeSpan(t, s)
	}
	b := solid.Nothing
	for k := t.first; k < t.first+t.count; k++ {
		b = b.With(ws.pieces[k].Bound)
	}
	ws.bounds[i] = b
}

func (ws *ClearWorkspace) placeBody(t *thing, s *solid.Stance) {
	if t.carrier == solid.OnChassis {
		return // as they are
	}
	f := s[t.carrier-1]
	if ws.turned && t.steered != solid.Single {
		f = f.Then(ws.lock.of(t.steered))
	}
	for k := t.first; k < t.first+t.count; k++ {
		ws.pieces[k] = ws.c.pieces[k].Placed(&f)
	}
}

// placeSpan makes the capsules of a link, shock, shaft or steering rod.
func (ws *ClearWorkspace) placeSpan(t *thing, s *solid.Stance) {
	m := ws.c.m
	pts := ws.points[:0]
	set := func(k int, a, b solid.Vec, radius float64) {
		ws.pieces[t.first+k] = solid.PieceOf(solid.Line(a, b, radius))
	}
	switch t.kind {
	case aLink:
		l := &m.Links[t.index]
		pts = l.Course(s.Place(solid.CarrierOf(l.Axle), l.To), pts)
		cutLine(pts, t.cut)
		for k := range t.count {
			set(k, pts[k], pts[k+1], l.Width/2)
		}
	case aShock:
		k := &m.Shocks[t.index]
		pts = append(pts, s.PlaceAnchor(m, k.Top), s.PlaceAnchor(m, k.Bottom))
		cutLine(pts, t.cut)
		set(0, pts[0], pts[1], min(k.Width, shockRod)/2)
		inner := shrunk(pts[0], pts[1], k.Width/2)
		set(1, inner[0], inner[1], k.Width/2)
	case aShaft:
		k := &m.Shafts[t.index]
		pts = append(pts, k.From, s.Place(solid.CarrierOf(k.Axle), k.To))
		cutLine(pts, t.cut)
		inner := shrunk(pts[0], pts[1], k.Width/2)
		set(0, inner[0], inner[1], k.Width/2)
	case aDrag:
		near, far := s.Place(m.Steer.Carrier, m.Steer.HornEye), m.Steer.DragTo
		if ws.turned {
			near, far = s.Place(ws.lock.On, ws.lock.Near), ws.lock.Far
		}
		pts = append(pts, near, s.Place(solid.OnFront, far))
		ws.placeRod(t, pts)
	case aTie:
		a, b := m.Steer.Arm[0], m.Steer.Arm[1]
		if ws.turned {
			a, b = ws.lock.Tie.Apply(a), ws.lock.Tie.Apply(b)
		}
		pts = append(pts, s.Place(solid.OnFront, a), s.Place(solid.OnFront, b))
		ws.placeRod(t, pts)
	}
	ws.points = pts[:0]
}

// placeRod makes the pieces of a steering rod between its eyes, without what belongs to the brackets at either.
func (ws *ClearWorkspace) placeRod(t *thing, pts []solid.Vec) {
	cutLine(pts, 1)
	cutLine(pts, 2)
	at := func(n int) solid.Vec { return pts[0].Along(pts[1].Sub(pts[0]), float64(n)/float64(t.count)) }
	for k := range t.count {
		ws.pieces[t.first+k] = solid.PieceOf(solid.Line(at(k), at(k+1), t.thick/2))
	}
}

// shrunk takes d off both ends of a line, so that round ends of that radius end where it does; what is too short becomes its middle.
func shrunk(a, b solid.Vec, d float64) [2]solid.Vec {
	e := b.Sub(a)
	n := e.Norm()
	if n <= 2*d {
		mid := a.Add(b).Scale(0.5)
		return [2]solid.Vec{mid, mid}
	}
	return [2]solid.Vec{a.Along(e, d/n), b.Along(e, -d/n)}
}

// cutLine takes eyeZone off one end of a line, along its bends, at most up to its middle.
func cutLine(pts []solid.Vec, end int8) {
	if end == 0 {
		return
	}
	if end == 2 {
		slices.Reverse(pts)
		defer slices.Reverse(pts)
	}
	total := 0.0
	for i := 1; i < len(pts); i++ {
		total += pts[i].Sub(pts[i-1]).Norm()
	}
	left := math.Min(eyeZone, total/2)
	for i := 1; i < len(pts); i++ {
		d := pts[i].Sub(pts[i-1])
		n := d.Norm()
		if n > left {
			pts[i-1] = pts[i-1].Along(d, left/n)
			return
		}
		left -= n
		for k := range i {
			pts[k] = pts[i]
		}
	}
}
