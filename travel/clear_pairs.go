package travel

import (
	"slices"
	"strings"

	"lowslung/solid"
)

// What is measured against what.

// gather lists every thing with a shape.
func (c *Clearances) gather(design *solid.Stance) {
	m := c.m
	steers := m.Doc != nil && m.Doc.Steer != nil
	turning := c.turning()
	for i := range m.Bodies {
		b := &m.Bodies[i]
		if thick, ok := c.drags(b, design); steers && ok {
			c.rod(aDrag, "the "+b.Name, b.Path, thick)
			continue
		}
		if thick, ok := c.ties(b); steers && ok && len(b.Shapes) == 1 {
			c.rod(aTie, "the "+b.Name, b.Path, thick)
			continue
		}
		t := thing{Part: Part{Name: "the " + sided(b.Name, b.Side), Path: b.Path, Side: b.Side}, index: i, carrier: b.Carrier, first: len(c.pieces)}
		for k := range b.Shapes {
			pieces, whole := b.Shapes[k].Pieces()
			c.pieces = append(c.pieces, pieces...)
			if !whole && b.Side != solid.Right {
				c.Coarse = append(c.Coarse, b.Path)
			}
			t.Tyre = t.Tyre || b.Shapes[k].Kind == solid.Disc
		}
		if t.count = len(c.pieces) - t.first; t.count == 0 {
			continue
		}
		if b.Carrier != solid.OnChassis {
			t.moves[b.Carrier-1] = true
		}
		if steers && b.Carrier == solid.OnFront && b.Side != solid.Single && (t.Tyre || b.Kind == "tyre" || b.Kind == "wheel" || turning[b.Name]) {
			t.steered = b.Side
		}
		if _, ok := c.ties(b); steers && ok {
			t.steered = tieRod
		}
		c.things = append(c.things, t)
	}
	if k, ok := m.Steer.Span(); steers && ok && k.Width > 0 && m.Axles[solid.Front].Present {
		c.rod(aDrag, "the "+k.Name, k.Path, k.Width)
	}
	span := func(kind thingKind, index int, name, path string, side solid.Side, axle solid.End, count int) {
		for cut := range int8(3) {
			t := thing{Part: Part{Name: "the " + name, Path: path, Side: side}, kind: kind, index: index, cut: cut, first: len(c.pieces), count: count}
			t.moves[axle] = true
			c.things = append(c.things, t)
			c.pieces = append(c.pieces, make([]solid.Piece, count)...)
		}
	}
	for i := range m.Links {
		l := &m.Links[i]
		span(aLink, i, sided(l.Name, l.Side)+" link", l.Path, l.Side, l.Axle, len(l.Bends)+1)
	}
	for i := range m.Shocks {
		k := &m.Shocks[i]
		span(aShock, i, sided(k.Name, k.Side)+" shock", k.Path, k.Side, k.Axle, 2)
	}
	for i := range m.Shafts {
		k := &m.Shafts[i]
		span(aShaft, i, k.Name+" shaft", k.Path, solid.Single, k.Axle, 1)
	}
}

// rod adds a tie rod or a drag link.
func (c *Clearances) rod(kind thingKind, name, path string, thick float64) {
	t := thing{Part: Part{Name: name, Path: path}, kind: kind, thick: thick, first: len(c.pieces), count: rodParts}
	t.moves[solid.Front], t.moves[solid.Rear] = true, kind == aDrag && c.m.Steer.Carrier == solid.OnRear
	c.things = append(c.things, t)
	c.pieces = append(c.pieces, make([]solid.Piece, rodParts)...)
}

// ties says that a body of the front axle is the tie rod: a rod drawn from arm to arm.
func (c *Clearances) ties(b *solid.Body) (thick float64, ok bool) {
	s := &c.m.Steer
	if !s.HasArm || b.Carrier != solid.OnFront || b.Side != solid.Single {
		return 0, false
	}
	return rodBetween(b, &solid.Frame{R: solid.Identity}, s.Arm[0], s.Arm[1])
}

// drags says that a body is the drag link: a rod drawn from the horn's eye to the far one, as both stand in design. Thick is its thickness, mm.
func (c *Clearances) drags(b *solid.Body, design *solid.Stance) (thick float64, ok bool) {
	s := &c.m.Steer
	if !s.HasDrag || !s.HasHorn || b.Side != solid.Single || !c.m.Axles[solid.Front].Present {
		return 0, false
	}
	f := solid.Frame{R: solid.Identity}
	if b.Carrier != solid.OnChassis {
		f = design[b.Carrier-1]
	}
	return rodBetween(b, &f, design.Place(s.Carrier, s.HornEye), design.Place(solid.OnFront, s.DragTo))
}

// rodBetween says that a body, placed by f, is a rod drawn between two points, and how thick it is, mm.
func rodBetween(b *solid.Body, f *solid.Frame, p, q solid.Vec) (thick float64, ok bool) {
	for i := range b.Shapes {
		k := &b.Shapes[i]
		if k.Kind != solid.Capsule && k.Kind != solid.Cylinder {
			continue
		}
		one, two := f.Apply(k.Frame.Apply(solid.Vec{X: k.Size.X / 2})), f.Apply(k.Frame.Apply(solid.Vec{X: -k.Size.X / 2}))
		if one.Sub(p).Norm() > two.Sub(p).Norm() {
			one, two = two, one
		}
		if one.Sub(p).Norm() < armNear && two.Sub(q).Norm() < armNear {
			return k.Size.Y, true
		}
	}
	return 0, false
}

// onHorn says that a body is drawn at the drag link's near eye, and so turns with the horn.
func (c *Clearances) onHorn(t *thing) bool {
	s := &c.m.Steer
	if t.kind != aBody || t.carrier != s.Carrier {
		return false
	}
	eye, axis := solid.PieceOf(solid.Line(s.HornEye, s.HornEye, 0.01)), solid.Vec{}
	for k := t.first; k < t.first+t.count; k++ {
		if g := solid.Apart(&eye, &c.pieces[k], hornNear, &axis); !g.Beyond && g.Distance < hornNear {
			return true
		}
	}
	return false
}

// turning is the names of parts that say they are steered, that are mated to a tyre or wheel, such as its nut, or that a tyre or wheel is mated to by its hex.
func (c *Clearances) turning() map[string]bool {
	out := map[string]bool{}
	if c.m.Doc == nil || c.m.Doc.Front == nil {
		return out
	}
	for i := range c.m.Doc.Front.Parts {
		if e := &c.m.Doc.Front.Parts[i]; e.Value.Steered {
			out[e.Name] = true
		}
	}
	for i := range c.m.Doc.Mates {
		list := c.m.Doc.Mates[i].Value
		if len(list) != 2 {
			continue
		}
		for k := range list {
			a, _ := list[k].Split()
			b, _ := list[1-k].Split()
			pa, okA := c.m.Doc.Front.Parts.Get(a)
			pb, okB := c.m.Doc.Front.Parts.Get(b)
			if okA && okB && pb.Kind != "axle" && (pa.Kind == "tyre" || pa.Kind == "wheel") {
				out[b] = true
			}
		}
	}
	return out
}

// pair lists what is measured.
func (c *Clearances) pair() {
	mated := c.mated()
	for i := range c.things {
		for j := i + 1; j < len(c.things); j++ {
			a, b := &c.things[i], &c.things[j]
			joined, atLock, ok := c.relation(a, b, mated)
			if !ok {
				continue
			}
			if c.axes += a.count * b.count; c.axes > mostPairs {
				c.TooBig, c.pairs, c.axes = true, nil, 0
				return
			}
			c.pairs = append(c.pairs, thingPair{a: int32(i), b: int32(j), axis: int32(c.axes - a.count*b.count), joined: joined, atLock: atLock})
		}
	}
}

// mated is the pairs of parts that the document says are joined.
func (c *Clearances) mated() map[[2]string]bool {
	out := map[[2]string]bool{}
	if c.m.Doc == nil {
		return out
	}
	for i := range c.m.Doc.Mates {
		if list := c.m.Doc.Mates[i].Value; len(list) == 2 {
			a, _ := list[0].Split()
			b, _ := list[1].Split()
			out[[2]string{a, b}], out[[2]string{b, a}] = true, true
		}
	}
	return out
}

// relation says whether two things are measured against each other, and how. Bodies come before spans in the list.
func (c *Clearances) relation(a, b *thing, mated map[[2]string]bool) (joined, atLock, ok bool) {
	m := c.m
	if a.kind == aBody && b.kind == aBody {
		ba, bb := &m.Bodies[a.index], &m.Bodies[b.index]
		if a.carrier == b.carrier && still(a) == still(b) || mated[[2]string{ba.Name, bb.Name}] {
			return false, false, false
		}
		// On one carrier only what is steered moves, against what is not and against the other side's.
		return false, a.carrier == b.carrier, true
	}
	if rod, other := a, b; isRod(a) || isRod(b) { // cut at both eyes, so that only what it passes counts
		if !isRod(a) || isRod(b) && b.kind == aTie {
			rod, other = b, a
		}
		switch {
		case a.cut != 0 || b.cut != 0:
			return false, false, false
		case isRod(a) && isRod(b): // an eye on the tie rod is joined to it
			return false, false, m.Steer.DragOn != solid.OnTieRod
		case rod.kind == aDrag:
			return false, false, !c.onHorn(other)
		}
		return false, other.kind == aBody && other.carrier == solid.OnFront && still(other) != solid.Single, true
	}
	if a.kind == aBody {
		at := c.ends(b, &m.Bodies[a.index])
		return at != 0, false, at == b.cut
	}
	if a.cut != 0 || b.cut != 0 || a.kind == b.kind && a.index == b.index {
		return false, false, false
	}
	return false, false, !c.shareEye(a, b)
}

func isRod(t *thing) bool { return t.kind == aDrag || t.kind == aTie }

// still is what carries a thing within its axle: a knuckle, or the axle itself. A tie rod drawn of more than one shape is measured against the wheels, and against what does not move with the axle: what
// else is drawn on it may belong to the knuckles, which the document does not say.
func still(t *thing) solid.Side {
	if t.steered == tieRod {
		return solid.Single
	}
	return t.steered
}

// ends says which end of a link, shock or shaft is on a body: 0 neither, 1 the chassis end (a shock's top), 2 the other one.
func (c *Clearances) ends(t *thing, b *solid.Body) int8 {
	on := func(ref string, at solid.Vec, carrier solid.Carrier) bool {
		name, hole := cutRef(ref)
		if name != b.Name || carrier != b.Carrier {
			return false
		}
		if b.Side == solid.Single {
			return true
		}
		return slices.ContainsFunc(b.Holes, func(h solid.Hole) bool { return h.Name == hole && h.At.Sub(at).Norm() < 1e-6 })
	}
	m := c.m
	switch t.kind {
	case aLink:
		l := &m.Links[t.index]
		if on(l.FromHole, l.From, solid.OnChassis) {
			return 1
		}
		if on(l.ToHole, l.To, solid.CarrierOf(l.Axle)) {
			return 2
		}
	case aShock:
		for i, a := range []solid.Anchor{m.Shocks[t.index].Top, m.Shocks[t.index].Bottom} {
			if a.Link < 0 && on(a.Hole, a.At, a.Carrier) {
				return int8(i + 1)
			}
		}
	case aShaft:
		k := &m.Shafts[t.index]
		if m.Doc == nil {
			return 0
		}
		if doc, ok := m.Doc.Shafts.Get(k.Name); ok {
			if from, _ := doc.From.Split(); from == b.Name && b.Carrier == solid.OnChassis {
				return 1
			}
			if to, _ := doc.To.Split(); to == b.Name && b.Carrier == solid.CarrierOf(k.Axle) {
				return 2
			}
		}
	}
	return 0
}

// cutRef takes a reference apart at its last slash, as rig.Ref does.
func cutRef(ref string) (part, hole string) {
	i := strings.LastIndexByte(ref, '/')
	if i < 0 {
		return ref, ""
	}
	return ref[:i], ref[i+1:]
}

// An eyeAt is a hole, told apart from its twin by its place.
type eyeAt struct {
	ref string
	at  solid.Vec
}

// eyes are the holes that a link or a shock is bolted to.
func (c *Clearances) eyes(t *thing) (out [2]eyeAt) {
	switch t.kind {
	case aLink:
		l := &c.m.Links[t.index]
		return [2]eyeAt{{l.FromHole, l.From}, {l.ToHole, l.To}}
	case aShock:
		for i, k := range [2]solid.Anchor{c.m.Shocks[t.index].Top, c.m.Shocks[t.index].Bottom} {
			if k.Link < 0 {
				out[i] = eyeAt{k.Hole, k.At}
			}
		}
	}
	return out
}

// shareEye says that two spans meet by design: at one eye, or a shock on its link.
func (c *Clearances) shareEye(a, b *thing) bool {
	for _, pair := range [2][2]*thing{{a, b}, {b, a}} {
		if pair[0].kind == aShock && pair[1].kind == aLink {
			k := &c.m.Shocks[pair[0].index]
			if k.Top.Link == pair[1].index || k.Bottom.Link == pair[1].index {
				return true
			}
		}
	}
	for _, x := range c.eyes(a) {
		for _, y := range c.eyes(b) {
			if x.ref != "" && x.ref == y.ref && x.at.Sub(y.at).Norm() < 1e-6 {
				return true
			}
		}
	}
	return false
}
