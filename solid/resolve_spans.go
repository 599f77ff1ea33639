package solid

import (
	"lowslung/quantity"
	"lowslung/rig"
)

// Links, shocks and shafts: what spans from the chassis to an axle.

func (r *resolver) links() {
	for i := range r.doc.Links {
		r.link(&r.doc.Links[i])
	}
}

func (r *resolver) link(e *rig.Entry[rig.Link]) {
	l := &e.Value
	end := Rear
	if l.Axle == "front" {
		end = Front
	}
	length, pitch, mass, hasMass, ok := r.linkLength(e.Name, l)
	from, to := r.holes[l.From.Text], r.holes[l.To.Text]
	if len(from) == 0 || len(to) == 0 {
		r.fail(l.Place, "no-such-hole", "found the link %q between %q and %q, expected two holes", e.Name, l.From.Text, l.To.Text)
		return
	}
	if !ok {
		return
	}
	one := Link{
		Name: e.Name, Path: "links/" + e.Name, Axle: end, Length: length, Pitch: pitch, Mass: mass, HasMass: hasMass,
		Width: mm(l.Width, r.rodWidth(l)), FromHole: l.From.Text, ToHole: l.To.Text, Swing: r.swing(l),
	}
	for _, b := range l.Bend {
		one.Bends = append(one.Bends, Vec{float64(b.Along), float64(b.Side), float64(b.Rise)})
	}
	if !l.Pair {
		r.addLink(one, Single, from[0], to[0])
		return
	}
	for _, side := range []Side{Left, Right} {
		r.addLink(one, side, pick(from, side), pick(to, side))
	}
}

// pick takes the hole on the side asked for; a hole in the middle serves both.
func pick(list []eyeHole, side Side) eyeHole {
	for _, h := range list {
		if h.side == side {
			return h
		}
	}
	return list[0]
}

func (r *resolver) addLink(l Link, side Side, from, to eyeHole) {
	l.Side = side
	l.From, l.To = from.at, to.at
	l.FromBolt, l.ToBolt = from.axis, to.axis
	if side == Right { // bends to the left on the left link are bends to the right on its twin
		bends := make([]Vec, len(l.Bends))
		for i, b := range l.Bends {
			bends[i] = b.Flip()
		}
		l.Bends = bends
	}
	r.m.Links = append(r.m.Links, l)
}

// linkLength is the eye-to-eye length of a link, mm, as rig.Build has it, with the pitch of its thread, mm, 0 when not known. The weight
// is what was written, or the sum of rod and ends when the bin knows all of them.
func (r *resolver) linkLength(name string, l *rig.Link) (length, pitch, mass float64, hasMass, ok bool) {
	v, ok := r.build.LinkLength(l)
	if !ok || v <= 0 {
		r.fail(l.Place, "no-length", "found the link %q without a length, expected length, or rod and two ends", name)
		return 0, 0, 0, false, false
	}
	hasMass = l.Rod != nil
	if l.Rod != nil {
		item, found := r.build.Item(l.Rod.Item)
		hasMass = found && addMass(&mass, item.Mass)
		if found && item.Rod != nil {
			pitch, _ = rig.Pitch(item.Rod.Thread)
		}
	}
	for _, id := range l.Ends {
		item, found := r.build.Item(id)
		hasMass = found && addMass(&mass, item.Mass) && hasMass
		if found && item.End != nil && pitch == 0 {
			pitch, _ = rig.Pitch(item.End.Thread)
		}
	}
	if l.Mass != nil {
		mass, hasMass = float64(*l.Mass), true
	}
	return float64(v), pitch, mass, hasMass, true
}

func addMass(sum *float64, m *quantity.Mass) bool {
	if m == nil {
		return false
	}
	*sum += float64(*m)
	return true
}

func (r *resolver) rodWidth(l *rig.Link) float64 {
	if l.Rod != nil {
		if item, ok := r.build.Item(l.Rod.Item); ok && item.Rod != nil {
			return float64(item.Rod.Diameter)
		}
	}
	return usualLinkWidth
}

func (r *resolver) swing(l *rig.Link) (out [2]float64) {
	for i, id := range l.Ends {
		if item, ok := r.build.Item(id); ok && i < 2 && item.End != nil && item.End.Swing != nil {
			out[i] = float64(*item.End.Swing)
		}
	}
	return out
}

// anchor finds part/hole on a body, or link/hole on a link of the same side.
func (r *resolver) anchor(ref rig.Ref, side Side) (Anchor, bool) {
	if list := r.holes[ref.Text]; len(list) > 0 {
		h := pick(list, side)
		return Anchor{Carrier: h.carrier, Link: -1, At: h.at, Hole: ref.Text}, true
	}
	name, hole := ref.Split()
	for i := range r.m.Links {
		l := &r.m.Links[i]
		if l.Name != name || (l.Side != side && l.Side != Single) {
			continue
		}
		doc, _ := r.doc.Links.Get(name)
		if h, ok := doc.Holes.Get(hole); ok {
			return Anchor{Link: i, Along: float64(h.Along), Rise: float64(h.Rise), Hole: ref.Text}, true
		}
	}
	return Anchor{}, false
}

func (r *resolver) shafts() {
	for i := range r.doc.Shafts {
		e := &r.doc.Shafts[i]
		s := &e.Value
		from, ok1 := r.outs[s.From.Text]
		to, ok2 := r.outs[s.To.Text]
		if !ok1 || !ok2 {
			r.fail(s.Place, "no-such-output", "found the shaft %q between %q and %q, expected two outputs", e.Name, s.From.Text, s.To.Text)
			continue
		}
		k := Shaft{
			Name: e.Name, Path: "shafts/" + e.Name, Axle: r.axleOf(s.To), From: from.At, FromAxis: Vec{from.R[0], from.R[3], from.R[6]},
			To: to.At, ToAxis: Vec{to.R[0], to.R[3], to.R[6]},
			Closed: mm(s.Closed, 0), Open: mm(s.Open, 0), Overlap: mm(s.Overlap, 0), CV: s.Joints == "constant velocity",
			Width: mm(s.Width, usualShaftWidth),
		}
		if s.Limit != nil {
			k.Limit = float64(*s.Limit)
		}
		if s.Phase != nil {
			k.Phase = float64(*s.Phase)
		}
		if s.Mass != nil {
			k.Mass, k.HasMass = float64(*s.Mass), true
		}
		r.m.Shafts = append(r.m.Shafts, k)
	}
}

func (r *resolver) axleOf(ref rig.Ref) End {
	part, _ := ref.Split()
	if r.doc.Front != nil {
		if _, ok := r.doc.Front.Parts.Get(part); ok {
			return Front
		}
	}
	return Rear
}
