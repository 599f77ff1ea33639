package rig

import (
	"math"
	"strings"

	"lowslung/quantity"
)

// check holds a merged document, its items filled in, against itself: names that must be unique, names that must lead
// somewhere, and values that contradict each other.
func check(r *reporter, b *Build, full *Node) {
	w := &world{reporter: r, b: b, tree: full, parts: map[string]*placed{}, links: map[string]int{}}
	w.head()
	w.gather()
	for i := range w.order {
		w.part(w.order[i])
	}
	for _, s := range b.shelf.bins {
		checkItems(r, s)
	}
	each(b.Doc.Links, w.link)
	each(b.Doc.Shocks, w.shock)
	each(b.Doc.Shafts, w.shaft)
	each(b.Doc.Bars, w.bar)
	w.steer()
	w.drive()
	w.mates()
	each(b.Doc.Targets, w.target)
	w.search()
	each(b.Doc.Readings, w.reading)
}

// checkItems holds the items of a bin against themselves.
func checkItems(r *reporter, s *stock) {
	if s.sound {
		return
	}
	w := &world{reporter: r}
	for i := range s.bin.Items {
		item := &s.bin.Items[i]
		w.name(item.Name, item.Place, "items/"+item.Name, "item")
		w.body(&item.Value, "items/"+item.Name)
		for _, h := range item.Value.Holes {
			w.fastened(&h.Value.Fastened, h.Value.Slot, "items/"+item.Name+"/holes/"+h.Name, func(string) Place { return h.Place })
		}
	}
}

// each checks the entries of a map.
func each[T any](m Map[T], check func(*Entry[T])) {
	for i := range m {
		check(&m[i])
	}
}

// A world is what checks look names up in.
type world struct {
	*reporter
	b     *Build
	tree  *Node
	parts map[string]*placed
	order []*placed
	links map[string]int // index in the document's links
}

// A placed part knows which assembly it belongs to.
type placed struct {
	*Part
	name     string
	place    Place
	rank     int    // in the document's order
	assembly string // chassis, front or rear
	path     string
}

// at is where the value at path was written.
func (w *world) at(path ...string) Place { return w.tree.placeOf(path...) }

// within is the assembly as sentences name it.
func within(assembly string) string {
	if assembly == "chassis" {
		return "on the chassis"
	}
	return "on the " + assembly + " axle"
}

func (w *world) axle(name string) *Axle {
	switch name {
	case "front":
		return w.b.Doc.Front
	case "rear":
		return w.b.Doc.Rear
	}
	return nil
}

// gather collects the parts by name and reports names used twice.
func (w *world) gather() {
	doc := w.b.Doc
	add := func(assembly string, parts Map[Part]) {
		for i := range parts {
			e := &parts[i]
			p := &placed{Part: &e.Value, name: e.Name, place: e.Place, assembly: assembly, path: assembly + "/parts/" + e.Name}
			w.name(e.Name, e.Place, p.path, "part")
			if first := w.parts[e.Name]; first != nil {
				w.add("name-twice", e.Place, p.path, "found a second part called %s, %s, the first is %s (%s); expected each name once, since holes are found by it",
					quote(e.Name), within(assembly), within(first.assembly), first.place)
				continue
			}
			p.rank = len(w.order)
			w.parts[e.Name] = p
			w.order = append(w.order, p)
		}
	}
	add("chassis", doc.Chassis.Parts)
	if doc.Front != nil {
		add("front", doc.Front.Parts)
	}
	if doc.Rear != nil {
		add("rear", doc.Rear.Parts)
	}
	for i, l := range doc.Links {
		w.links[l.Name] = i
		w.name(l.Name, l.Place, "links/"+l.Name, "link")
		if p := w.parts[l.Name]; p != nil {
			w.add("name-twice", l.Place, "links/"+l.Name, "found a link called %s, but a part is called that too (%s); expected different names, since holes are found by them", quote(l.Name), p.place)
		}
	}
}

// name checks the form of a name that references lead to by its part before the last slash.
func (w *world) name(name string, at Place, path, what string) {
	switch {
	case strings.TrimSpace(name) == "":
		w.add("bad-name", at, path, "found an empty name for a %s, expected a name", what)
	case strings.TrimSpace(name) != name:
		w.add("bad-name", at, path, "found the name %s with a space at an end, expected none", quote(name))
	case strings.HasPrefix(name, "/") || strings.HasSuffix(name, "/"):
		w.add("bad-name", at, path, `found the name %s with "/" at an end, expected none: "/" stands between a part and its hole`, quote(name))
	}
}

// inner checks the name of a hole, output or port, which must hold no slash.
func (w *world) inner(name string, at Place, path, what string) {
	if strings.Contains(name, "/") {
		w.add("bad-name", at, path, `found the %s name %s with "/", expected none: "/" stands between a part and its %s`, what, quote(name), what)
		return
	}
	w.name(name, at, path, what)
}

// head checks the keys at the top of the document.
func (w *world) head() {
	doc := w.b.Doc
	if at := w.tree.Get("lowslung"); at != nil && at.Kind == ScalarNode && doc.Lowslung != 1 {
		if _, ok := decimal(at.Text); ok && !at.Quoted {
			w.add("version", at.Place, "lowslung", "found version %s of the format, expected 1, which is what this program reads", at.Text)
		}
	}
	if doc.Scale != "" {
		above, below, ok := strings.Cut(doc.Scale, "/")
		a, okA := decimal(above)
		b, okB := decimal(below)
		if !ok || !okA || !okB || a <= 0 || b <= 0 {
			w.add("bad-scale", w.at("scale"), "scale", `found %s for "scale", expected a fraction such as 1/10`, quote(doc.Scale))
		}
	}
	if f, r := doc.Front, doc.Rear; f != nil && r != nil && f.Drive != nil && r.Drive != nil {
		if sum := float64(*f.Drive + *r.Drive); math.Abs(sum-1) > 0.001 {
			w.add("shares", w.at("rear", "traction_share"), "rear/traction_share", `found traction shares that add up to %s, expected 1 (or 100 %%); leave one of them out`, quantity.Fixed(sum, 3))
		}
	}
	for _, axle := range []string{"front", "rear"} {
		if a := w.axle(axle); a != nil && a.Drive != nil && *a.Drive > 1 {
			w.add("out-of-range", w.at(axle, "traction_share"), axle+"/traction_share", `found %s for "traction_share", expected at most 1 (or 100 %%)`, found(w.tree.At(axle, "traction_share")))
		}
	}
}
