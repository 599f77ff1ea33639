package rig

import "lowslung/quantity"

// fastened checks what a hole says of its bolt against itself; at gives the place of one of its keys.
func (w *world) fastened(f *Fastened, slot *quantity.Length, path string, at func(key string) Place) {
	switch {
	case f.Grip != nil && f.Nut != "":
		w.add("contradiction", at("grip"), path, `found "grip" and "nut", expected one of them: a thread in the part holds the bolt, or a nut does`)
	case f.Blind && f.Grip == nil:
		w.add("contradiction", at("blind"), path, `found "blind" without "grip", expected how deep the blind thread is`)
	}
	if slot != nil && f.Spacer != nil && *f.Spacer >= *slot {
		w.add("contradiction", at("spacer"), path, `found "spacer" %s mm in a slot of %s mm, expected less: the eye is in the slot too`, short(float64(*f.Spacer)), short(float64(*slot)))
	}
}

// bolted checks what a hole of a document says of its bolt, and looks the bin items up that it says are bolt and nut.
func (w *world) bolted(f *Fastened, slot *quantity.Length, path string, at ...string) {
	w.fastened(f, slot, path, func(key string) Place { return w.at(append(at[:len(at):len(at)], key)...) })
	for _, x := range []struct{ kind, id string }{{"screw", f.Screw}, {"nut", f.Nut}} {
		if x.id == "" {
			continue
		}
		place := w.at(append(at[:len(at):len(at)], x.kind)...)
		item, ok := w.b.Item(x.id)
		switch {
		case !ok:
			w.add("no-such-item", place, path+"/"+x.kind, "found the %s %s, %s", x.kind, quote(x.id), w.expects(&w.b.shelf, x.id, x.kind))
		case item.Kind != x.kind:
			w.add("wrong-kind", place, path+"/"+x.kind, "found the item %s for a %s, but its kind is %s, %s", quote(x.id), x.kind, orNone(item.Kind), w.expects(&w.b.shelf, x.id, x.kind))
		}
	}
}

func orNone(kind string) string {
	if kind == "" {
		return "not given"
	}
	return kind
}
