package rig

import (
	"math"

	"lowslung/quantity"
)

func (w *world) link(e *Entry[Link]) {
	l, path := &e.Value, "links/"+e.Name
	if l.Place.Line == 0 {
		return // no map, and reported as such
	}
	w.axleNamed(l.Axle, path, "this link holds", "links", e.Name)
	owner := "the link " + quote(e.Name)
	if from, ok := w.hole(l.From, "from", path+"/from", false); ok {
		if from.part.assembly != "chassis" {
			w.add("wrong-carrier", l.From.Place, path+"/from", `found %s for "from", which is %s, expected a hole on the chassis`, quote(l.From.Text), from.where())
		} else if l.Pair {
			w.twin(from, l.From, "from", path+"/from", owner)
		}
	}
	if to, ok := w.hole(l.To, "to", path+"/to", false); ok {
		switch {
		case to.part.assembly == "chassis":
			w.add("wrong-carrier", l.To.Place, path+"/to", `found %s for "to", which is on the chassis, expected a hole on the %s axle`, quote(l.To.Text), l.Axle)
		case l.Axle != "" && to.part.assembly != l.Axle:
			w.add("wrong-axle", l.To.Place, path+"/to", `found %s for "to", which is %s, expected a hole on the %s axle, which this link holds`, quote(l.To.Text), to.where(), l.Axle)
		case l.Pair:
			w.twin(to, l.To, "to", path+"/to", owner)
		}
	}
	w.lengths(&strut{l, w.linkNode(e), path, []string{"links", e.Name}, "the chassis end first"})
	for i := range l.Holes {
		h := &l.Holes[i]
		w.inner(h.Name, h.Place, path+"/holes/"+h.Name, "hole")
		w.bolted(&h.Value.Fastened, nil, path+"/holes/"+h.Name, "links", e.Name, "holes", h.Name)
	}
}

// axleNamed checks that the axle a link, shock or bar belongs to is in the document.
func (w *world) axleNamed(axle, path, why string, at ...string) {
	if axle != "" && w.axle(axle) == nil {
		w.add("no-such-axle", w.at(append(at, "axle")...), path+"/axle", `found %s for "axle", but the document has no key %s; expected the axle that %s`, quote(axle), quote(axle), why)
	}
}

// A strut is what a rod and two rod ends make, a link or a rod of the steering, with its place in the document.
type strut struct {
	*Link
	node  *Node
	path  string
	keys  []string
	first string // which end comes first, in words
}

func (e *strut) key(name string) []string { return append(e.keys[:len(e.keys):len(e.keys)], name) }

// lengths checks that a link's length is known once: written, or from its rod and rod ends.
func (w *world) lengths(e *strut) {
	l, path := e.Link, e.path
	rod, ends, good := w.material(e)
	switch {
	case l.Rod == nil && len(l.Ends) == 0 && l.Length == nil:
		w.add("no-length", l.Place, path, `found neither "length" nor "rod" and "ends", expected the length of the link eye to eye, or what it is made of`)
		return
	case l.Length == nil && l.Rod == nil:
		w.add("no-length", l.Place, path, `found "ends" without "rod", expected both, or "length" eye to eye`)
		return
	case l.Length == nil && len(l.Ends) == 0:
		w.add("no-length", l.Place, path, `found "rod" without "ends", expected both, or "length" eye to eye`)
		return
	}
	if l.Turns != nil && (l.Rod == nil || len(l.Ends) == 0) {
		w.add("contradiction", w.at(e.key("turns")...), path+"/turns", `found "turns" without "rod" and "ends", expected what is unscrewed; with "length" alone leave "turns" out`)
		return
	}
	if !good || l.Rod == nil || len(l.Ends) == 0 {
		return
	}
	w.screwed(e, rod, ends)
}

// material looks up what a link is made of; good says that nothing was wrong with it.
func (w *world) material(e *strut) (rod *Rod, ends [2]*End, good bool) {
	l, path := e.Link, e.path
	before := len(w.list)
	if l.Rod != nil {
		at := e.node.At("rod", "item")
		switch {
		case l.Rod.Item == "" && l.Rod.Length == nil:
			w.add("no-length", l.Rod.Place, path+"/rod", `found a rod without "item" or "length", expected one of them`)
		case l.Rod.Item != "" && l.Rod.Length != nil:
			w.add("contradiction", l.Rod.Place, path+"/rod", `found a rod with "item" and "length", expected one of them; write the other as null when a base has it`)
		case l.Rod.Item != "":
			if item := w.item(at, path+"/rod/item", "rod", l.Rod.Item); item != nil {
				rod = item.Rod
			}
		}
	}
	if n := len(l.Ends); n != 0 && n != 2 {
		w.add("wrong-type", w.at(e.key("ends")...), path+"/ends", `found %d rod ends, expected two, %s`, n, e.first)
	} else if n == 2 {
		for i, id := range l.Ends {
			at := e.node.Get("ends")
			if at != nil && i < len(at.List) {
				at = at.List[i]
			}
			if item := w.item(at, path+"/ends", "rod end", id); item != nil {
				ends[i] = item.End
				w.thread(at, path+"/ends", id, item.End, rod)
			}
		}
	}
	return rod, ends, len(w.list) == before
}

// linkNode is the tree of a link: its entries are decoded in the order of the keys.
func (w *world) linkNode(e *Entry[Link]) *Node {
	return w.tree.Get("links").Keys[w.links[e.Name]].Value
}

// item looks a bin item of the given kind up.
func (w *world) item(at *Node, path, kind, id string) *Part {
	s := &w.b.shelf
	part, ok := w.b.Item(id)
	if !ok {
		w.add("no-such-item", at.Place, path, "found the %s %s, %s", kind, quote(id), w.expects(s, id, kind))
		return nil
	}
	key, fits := "rod", part.Rod != nil
	if kind == "rod end" {
		key, fits = "end", part.End != nil
	}
	if !fits {
		w.add("wrong-kind", at.Place, path, "found the item %s for a %s, but it has no key %s, %s", quote(id), kind, quote(key), w.expects(s, id, kind))
		return nil
	}
	return part
}

func (w *world) thread(at *Node, path, id string, end *End, rod *Rod) {
	if rod != nil && rod.Thread != "" && end.Thread != "" && !sameThread(rod.Thread, end.Thread) {
		w.add("thread", at.Place, path, "found the rod end %s with the thread %s on a rod with the thread %s, expected the same", quote(id), quote(end.Thread), quote(rod.Thread))
	}
}

// screwed checks turns and length against what rod and rod ends allow.
func (w *world) screwed(e *strut, rod *Rod, ends [2]*End) {
	l, path := e.Link, e.path
	home := float64(ends[0].Adds + ends[1].Adds)
	if rod != nil {
		home += float64(rod.Length)
	} else {
		home += float64(*l.Rod.Length)
	}
	out, known := 0.0, true
	for _, end := range ends {
		if end.Out == nil {
			known = false
			continue
		}
		out += float64(*end.Out)
	}
	made := home
	if l.Turns != nil && *l.Turns != 0 {
		pitch, ok := linkPitch(rod, ends)
		at := w.at(e.key("turns")...)
		if !ok {
			w.add("thread", at, path+"/turns", `found "turns", but the thread of rod and rod ends is not known, expected "thread" in their bin items, such as M3`)
			return
		}
		made += *l.Turns * pitch
		if known && *l.Turns*pitch > out+1e-9 {
			w.add("out-of-range", at, path+"/turns", `found %s turns, which unscrew the rod ends by %s mm, expected at most %s turns: together they still hold when out by %s mm`,
				short(*l.Turns), short(*l.Turns*pitch), short(math.Floor(out/pitch*4+1e-9)/4), short(out))
			return
		}
	}
	if l.Length == nil {
		return
	}
	length, at := float64(*l.Length), w.at(e.key("length")...)
	const play = 0.05 // mm, what a builder rounds to
	switch {
	case l.Turns != nil && math.Abs(length-made) > play:
		w.add("length-twice", at, path+"/length", `found the length %s mm, but rod, ends and turns make %s mm; expected one of them: leave "length" or "turns" out`, short(length), short(made))
	case l.Turns == nil && length < home-play:
		w.add("length-twice", at, path+"/length", `found the length %s mm, but rod and ends make %s mm when screwed fully home; expected at least that, or other parts`, short(length), short(home))
	case l.Turns == nil && known && length > home+out+play:
		w.add("length-twice", at, path+"/length", `found the length %s mm, but rod and ends make at most %s mm with the threads still holding; expected at most that, or other parts`, short(length), short(home+out))
	}
}

// LinkLength is the distance between the eyes of a link: as written, or what rod, rod ends and turns make:
// rod + what each end adds + turns · pitch, the turns of both ends added up. False when the document does not say.
func (b *Build) LinkLength(l *Link) (quantity.Length, bool) {
	if l.Length != nil {
		return *l.Length, true
	}
	if l.Rod == nil || len(l.Ends) != 2 {
		return 0, false
	}
	var rod *Rod
	var length quantity.Length
	switch item, ok := b.Item(l.Rod.Item); {
	case l.Rod.Length != nil:
		length = *l.Rod.Length
	case ok && item.Rod != nil:
		rod, length = item.Rod, item.Rod.Length
	default:
		return 0, false
	}
	var ends [2]*End
	for i, id := range l.Ends {
		item, ok := b.Item(id)
		if !ok || item.End == nil {
			return 0, false
		}
		ends[i] = item.End
		length += item.End.Adds
	}
	if l.Turns != nil && *l.Turns != 0 {
		pitch, ok := linkPitch(rod, ends)
		if !ok {
			return 0, false
		}
		length += quantity.Length(*l.Turns * pitch)
	}
	return length, true
}

func linkPitch(rod *Rod, ends [2]*End) (float64, bool) {
	if rod != nil {
		if p, ok := Pitch(rod.Thread); ok {
			return p, true
		}
	}
	for _, end := range ends {
		if p, ok := Pitch(end.Thread); ok {
			return p, true
		}
	}
	return 0, false
}
