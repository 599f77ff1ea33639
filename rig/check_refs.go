package rig

import (
	"slices"
	"strings"
)

// An eye is what a reference to a hole leads to: a hole of a part, or of a link.
type eye struct {
	part *placed
	hole *Hole
	link *Entry[Link]
}

// carrier names what the eye moves with.
func (e eye) carrier() string {
	if e.link != nil {
		return "link " + e.link.Name
	}
	return e.part.assembly
}

// where is the carrier as sentences name it.
func (e eye) where() string {
	if e.link != nil {
		return "on the link " + quote(e.link.Name) + " of the " + e.link.Value.Axle + " axle"
	}
	return within(e.part.assembly)
}

// hole looks a hole up, among the parts and, where links is set, among the links. It reports when there is none.
func (w *world) hole(ref Ref, key, path string, links bool) (eye, bool) {
	if ref.Text == "" {
		return eye{}, false // missing, and reported as such
	}
	owner, name := ref.Split()
	if p := w.parts[owner]; p != nil && name != "" {
		if h, ok := p.Holes.Get(name); ok {
			return eye{part: p, hole: h}, true
		}
		w.noSuch(ref, key, path, "hole", p.Holes.Names(), owner, w.otherKind(p.Part, name, "hole"))
		return eye{}, false
	}
	if l := w.linkEntry(owner); l != nil && name != "" && links {
		if _, ok := l.Value.Holes.Get(name); ok {
			return eye{link: l}, true
		}
		w.noSuch(ref, key, path, "hole", l.Value.Holes.Names(), owner, "")
		return eye{}, false
	}
	owners := w.partNames("")
	if links {
		owners = append(owners, w.b.Doc.Links.Names()...)
	}
	w.noOwner(ref, key, path, "hole", owners)
	return eye{}, false
}

func (w *world) linkEntry(name string) *Entry[Link] {
	if i, ok := w.links[name]; ok {
		return &w.b.Doc.Links[i]
	}
	return nil
}

// output looks an output of a part up.
func (w *world) output(ref Ref, key, path string) (*placed, bool) {
	if ref.Text == "" {
		return nil, false
	}
	owner, name := ref.Split()
	p := w.parts[owner]
	if p == nil || name == "" {
		w.noOwner(ref, key, path, "output", w.partNames(""))
		return nil, false
	}
	if _, ok := p.Outputs.Get(name); !ok {
		w.noSuch(ref, key, path, "output", p.Outputs.Names(), owner, w.otherKind(p.Part, name, "output"))
		return nil, false
	}
	return p, true
}

// noSuch reports a part or link that lacks the hole, output or port named.
func (w *world) noSuch(ref Ref, key, path, what string, have []string, owner, remark string) {
	_, name := ref.Split()
	hint := "; it has no " + what + "s"
	if len(have) > 0 {
		if n := w.nearest(name, have); n != "" {
			hint = "; did you mean " + quote(owner+"/"+n) + "?"
		} else {
			hint = "; it has " + quoteAll(have, ", ", " and ")
		}
	}
	if remark != "" {
		hint = remark + hint
	}
	w.add("no-such-"+what, ref.Place, path, "found %s for %s, but %s has no %s called %s%s", quote(ref.Text), quote(key), quote(owner), what, quote(name), hint)
}

// otherKind says that the part has something else of that name.
func (w *world) otherKind(p *Part, name, want string) string {
	if _, ok := p.Holes.Get(name); ok && want != "hole" {
		return ", that is a hole"
	}
	if _, ok := p.Outputs.Get(name); ok && want != "output" {
		return ", that is an output"
	}
	if _, ok := p.Ports.Get(name); ok && want != "port" {
		return ", that is a port"
	}
	return ""
}

// noOwner reports a reference whose part (or link) does not exist, or that names a part alone.
func (w *world) noOwner(ref Ref, key, path, what string, owners []string) {
	owner, name := ref.Split()
	if name == "" {
		hint := ""
		if slices.Contains(owners, owner) {
			if have := w.inners(owner, what); len(have) > 0 {
				hint = "; " + quote(owner) + " has " + quoteAll(have, ", ", " and ")
			}
		}
		w.add("no-such-"+what, ref.Place, path, "found %s for %s, expected part/%s%s", quote(ref.Text), quote(key), what, hint)
		return
	}
	hint := w.suggest(owner, owners)
	if n := w.nearest(owner, owners); n != "" {
		inner := w.inners(n, what)
		if slices.Contains(inner, name) {
			hint = "; did you mean " + quote(n+"/"+name) + "?"
		} else if m := w.nearest(name, inner); m != "" {
			hint = "; did you mean " + quote(n+"/"+m) + "?"
		}
	}
	w.add("no-such-part", ref.Place, path, "found %s for %s, but no part is called %s%s", quote(ref.Text), quote(key), quote(strings.TrimSpace(owner)), hint)
}

// inners lists the holes, outputs or ports of a part, or the holes of a link.
func (w *world) inners(owner, what string) []string {
	if p := w.parts[owner]; p != nil {
		switch what {
		case "hole":
			return p.Holes.Names()
		case "output":
			return p.Outputs.Names()
		}
		return p.Ports.Names()
	}
	if l := w.linkEntry(owner); l != nil && what == "hole" {
		return l.Value.Holes.Names()
	}
	return nil
}

// twin checks that an eye of a paired link or shock has a mirror twin, or sits on the centreline where both meet.
func (w *world) twin(e eye, ref Ref, key, path, owner string) {
	if e.link != nil {
		if l := &e.link.Value; !l.Pair && !w.central(l) {
			w.add("unpaired-hole", ref.Place, path, `found %s for %s, a hole on the single link %s, but %s is a pair; expected the link to say "pair: true" as well`,
				quote(ref.Text), quote(key), quote(e.link.Name), owner)
		}
		return
	}
	if e.hole.Pair || w.paired(e.part) {
		return
	}
	y, ok := w.left(e.part, e.hole.At)
	if !ok || isZero(y) {
		return
	}
	w.add("unpaired-hole", ref.Place, path, `found %s for %s, a single hole at y = %s mm, but %s is a pair; expected the hole to say "pair: true", or to sit on the centreline (y = 0)`,
		quote(ref.Text), quote(key), short(y), owner)
}

// central says that both eyes of a single link are on the centreline, so that it carries both twins of a pair.
func (w *world) central(l *Link) bool {
	for _, ref := range []Ref{l.From, l.To} {
		owner, name := ref.Split()
		p := w.parts[owner]
		if p == nil {
			return true // reported elsewhere
		}
		h, ok := p.Holes.Get(name)
		if !ok {
			return true
		}
		if y, ok := w.left(p, h.At); ok && !isZero(y) {
			return false
		}
	}
	return true
}
