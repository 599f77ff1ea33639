package rig

import (
	"strings"

	"lowslung/quantity"
)

func (w *world) steer() {
	s := w.b.Doc.Steer
	if s == nil {
		return
	}
	if w.b.Doc.Front == nil {
		w.add("no-such-axle", s.Place, "steer", `found "steer", but the document has no key "front"; expected the axle that is steered`)
	}
	if s.Servo != nil {
		w.role(s.Servo.Text, "servo", "steer", "steer", "servo")
	}
	if k := s.Kingpin; k != nil && k.Upper == k.Lower {
		w.add("contradiction", w.at("steer", "kingpin"), "steer/kingpin", "found the same point for both ends of the kingpin, expected two points on its axis")
	}
	w.steerRods(s)
}

// steerRods checks what tie rod and drag link are made of, and their bolts.
func (w *world) steerRods(s *Steer) {
	for _, r := range w.b.Doc.steerRods() {
		key := r.Path[len("steer/"):]
		first := map[string]string{"tie_rod": "the left end first", "drag_link": "the horn's end first"}[key]
		if r.Link.Rod != nil || len(r.Link.Ends) > 0 || r.Link.Turns != nil {
			w.lengths(&strut{r.Link, w.tree.At("steer", key), r.Path, []string{"steer", key}, first})
		}
	}
	bolt := func(e *EyeBolt, keys ...string) {
		if e != nil {
			w.bolted(&e.Fastened, e.Slot, "steer/"+strings.Join(keys, "/"), append([]string{"steer"}, keys...)...)
		}
	}
	if s.TieRod != nil {
		bolt(s.TieRod.Bolt, "tie_rod", "bolt")
	}
	if s.DragLink != nil {
		bolt(s.DragLink.Bolt, "drag_link", "bolt")
		bolt(s.DragLink.ByHorn, "drag_link", "horn_bolt")
	}
}

// role checks that a part named for a job in the drive or steering exists and is of that kind.
func (w *world) role(name, kind, section string, at ...string) {
	if name == "" {
		return
	}
	key := at[len(at)-1]
	path := section + "/" + key
	p := w.parts[name]
	if p == nil {
		w.add("no-such-part", w.at(at...), path, "found %s for %s, but no part is called that%s", quote(name), quote(key), w.suggest(name, w.kindNames(kind)))
		return
	}
	if p.Kind != "" && p.Kind != kind && !w.does(p.Part, kind) {
		w.add("wrong-kind", w.at(at...), path, "found %s for %s, which is a part of kind %s, expected a part of kind %s%s", quote(name), quote(key), p.Kind, kind, near2(w.kindNames(kind)))
	}
}

// near2 names the only candidate, when there is only one.
func near2(names []string) string {
	if len(names) == 1 {
		return "; did you mean " + quote(names[0]) + "?"
	}
	return ""
}

// does says that a part has the fields of the kind, whatever it calls itself.
func (w *world) does(p *Part, kind string) bool {
	switch kind {
	case "motor":
		return p.Motor != nil
	case "battery":
		return p.Pack != nil
	case "controller":
		return p.Controller != nil
	case "servo":
		return p.Servo != nil
	case "gear":
		return p.Gear != nil
	}
	return false
}

// kindNames lists the parts of a kind, or all when there is none of it.
func (w *world) kindNames(kind string) []string {
	var names []string
	for _, p := range w.order {
		if p.Kind == kind || w.does(p.Part, kind) {
			names = append(names, p.name)
		}
	}
	if names == nil {
		return w.partNames("")
	}
	return names
}

func (w *world) drive() {
	d := w.b.Doc.Drive
	if d == nil {
		return
	}
	w.role(d.Motor, "motor", "drive", "drive", "motor")
	w.role(d.Battery, "battery", "drive", "drive", "battery")
	w.role(d.Controller, "controller", "drive", "drive", "controller")
	stages := w.tree.At("drive", "stages")
	for i, stage := range d.Stages {
		if stages == nil || i >= len(stages.List) {
			break
		}
		at := stages.List[i]
		if len(stage) < 2 {
			w.add("wrong-type", at.Place, "drive/stages", "found a stage of %d gear, expected at least two that mesh, the driving one first", len(stage))
		}
		for j, gear := range stage {
			p := w.parts[gear]
			where := at.Place
			if j < len(at.List) {
				where = at.List[j].Place
			}
			switch {
			case gear == "":
			case p == nil:
				w.add("no-such-part", where, "drive/stages", "found the gear %s, but no part is called that%s", quote(gear), w.suggest(gear, w.kindNames("gear")))
			case p.Kind != "" && p.Kind != "gear" && p.Gear == nil:
				w.add("wrong-kind", where, "drive/stages", "found %s in a gear train, which is a part of kind %s, expected a part of kind gear", quote(gear), p.Kind)
			}
		}
	}
	w.driveLimits(d)
	for _, axle := range []string{"front", "rear"} {
		final := d.Front
		if axle == "rear" {
			final = d.Rear
		}
		if final == nil {
			continue
		}
		if w.axle(axle) == nil {
			w.add("no-such-axle", final.Place, "drive/"+axle, "found gearing for the %s axle, but the document has no key %s; expected that axle", axle, quote(axle))
		}
		if n := len(final.Portal); n != 0 && (n != 2 || final.Portal[0] < 1 || final.Portal[1] < 1) {
			w.add("wrong-type", w.at("drive", axle, "portal"), "drive/"+axle+"/portal", `found %s for "portal", expected two numbers of teeth, upper and lower gear`, found(w.tree.At("drive", axle, "portal")))
		}
		w.finalSizes(axle, final)
	}
	if d.Efficiency != nil && *d.Efficiency > 1 {
		w.add("out-of-range", w.at("drive", "efficiency"), "drive/efficiency", `found %s for "efficiency", expected at most 1 (or 100 %%)`, found(w.tree.At("drive", "efficiency")))
	}
}

func (w *world) mates() {
	for i := range w.b.Doc.Mates {
		e := &w.b.Doc.Mates[i]
		path := "mates/" + e.Name
		if n := len(e.Value); n != 2 && w.tree.At("mates", e.Name).Kind == ListNode {
			w.add("wrong-type", w.at("mates", e.Name), path, "found %d ports, expected two: the one and what goes on it, part/port each", n)
		}
		for _, ref := range e.Value {
			w.mate(ref, e.Name, path)
		}
		if len(e.Value) == 2 && e.Value[0].Text == e.Value[1].Text && e.Value[0].Text != "" {
			w.add("contradiction", e.Value[1].Place, path, "found %s mated with itself, expected two ports", quote(e.Value[1].Text))
		}
	}
}

func (w *world) mate(ref Ref, key, path string) {
	owner, name := ref.Split()
	p := w.parts[owner]
	if ref.Text == "" {
		return
	}
	if p == nil || name == "" {
		w.noOwner(ref, key, path, "port", w.partNames(""))
		return
	}
	if _, ok := p.Ports.Get(name); !ok {
		w.noSuch(ref, key, path, "port", p.Ports.Names(), owner, w.otherKind(p.Part, name, "port"))
	}
}

// target checks the form of a target; which numbers there are to aim at is the catalogue's business.
func (w *world) target(e *Entry[Target]) { w.aim(&e.Value, "targets/"+e.Name) }

// aim checks the form of a target or want.
func (w *world) aim(t *Target, path string) {
	if t.Place.Line == 0 {
		return // no map, and reported as such
	}
	round, span := t.About != nil || t.Within != nil, t.From != nil || t.To != nil
	switch {
	case round && span:
		w.add("target-form", t.Place, path, `found "about" and "within" along with "from" and "to", expected one of the two forms`)
	case !round && !span:
		w.add("target-form", t.Place, path, `found a target without a range, expected "about" with "within", or "from", or "to", or both`)
	case t.About == nil && round:
		w.add("target-form", t.Place, path, `found "within" without "about", expected both`)
	case t.Within == nil && round:
		w.add("target-form", t.Place, path, `found "about" without "within", expected both`)
	case round:
		if n, _, err := quantity.Split(t.Within.Text); err == nil && n < 0 {
			w.add("out-of-range", t.Within.Place, path+"/within", `found %s for "within", expected at least 0`, quote(t.Within.Text))
		}
	}
}
