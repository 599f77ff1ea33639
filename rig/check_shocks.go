package rig

import (
	"math"

	"lowslung/quantity"
)

func (w *world) shock(e *Entry[Shock]) {
	s, path := &e.Value, "shocks/"+e.Name
	if s.Place.Line == 0 {
		return // no map, and reported as such
	}
	w.axleNamed(s.Axle, path, "this shock carries", "shocks", e.Name)
	top, okTop := w.shockEnd(e, s.Top, "top")
	bottom, okBottom := w.shockEnd(e, s.Bottom, "bottom")
	if okTop && okBottom && top.carrier() == bottom.carrier() {
		w.add("wrong-carrier", s.Bottom.Place, path+"/bottom", `found both ends of the shock %s, expected them on two of chassis, axle and link`, bottom.where())
	}
	w.stroke(&s.Damper, s.Place, path)
	if s.Set != nil {
		at := w.at("shocks", e.Name, "set")
		switch {
		case s.Open != nil && *s.Set > *s.Open:
			w.add("contradiction", at, path+"/set", `found "set" %s mm, more than "open" %s mm; expected a length the shock can have`, mm(s.Set), mm(s.Open))
		case s.Closed != nil && *s.Set < *s.Closed:
			w.add("contradiction", at, path+"/set", `found "set" %s mm, less than "closed" %s mm; expected a length the shock can have`, mm(s.Set), mm(s.Closed))
		}
	}
	for _, list := range []struct {
		key     string
		springs []Spring
	}{{"springs", s.Springs}, {"above_piston", s.Above}, {"below_piston", s.Below}} {
		for i := range list.springs {
			w.coil(&list.springs[i], path+"/"+list.key)
		}
	}
}

// shockEnd checks one end: a hole on the chassis, on the axle the shock carries, or on a link that holds that axle.
func (w *world) shockEnd(e *Entry[Shock], ref Ref, key string) (eye, bool) {
	s, path := &e.Value, "shocks/"+e.Name+"/"+key
	end, ok := w.hole(ref, key, path, true)
	if !ok {
		return end, false
	}
	axle := ""
	switch {
	case end.link != nil:
		axle = end.link.Value.Axle
	case end.part.assembly != "chassis":
		axle = end.part.assembly
	}
	if axle != "" && s.Axle != "" && axle != s.Axle {
		w.add("wrong-axle", ref.Place, path, `found %s for %s, which is %s, expected a hole of the %s axle, which this shock carries`,
			quote(ref.Text), quote(key), end.where(), s.Axle)
		return end, false
	}
	if s.Pair {
		w.twin(end, ref, key, path, "the shock "+quote(e.Name))
	}
	return end, true
}

// stroke checks the lengths of a shock body.
func (w *world) stroke(d *Damper, at Place, path string) {
	if d.Open != nil && d.Closed != nil && *d.Open <= *d.Closed {
		w.add("contradiction", at, path, `found "open" %s mm and "closed" %s mm, expected the open length to be the larger`, mm(d.Open), mm(d.Closed))
	}
	if d.Bore != nil && d.Rod != nil && *d.Rod >= *d.Bore {
		w.add("contradiction", at, path, `found "rod" %s mm and "bore" %s mm, expected the piston rod to be thinner than the bore`, mm(d.Rod), mm(d.Bore))
	}
	if d.Piston != nil {
		w.piston(d, at, path+"/piston")
	}
}

// piston checks that its holes find room on it, and its coefficient.
func (w *world) piston(d *Damper, at Place, path string) {
	p := d.Piston
	if c := p.Discharge; c != nil && *c > 1 {
		w.add("out-of-range", at, path+"/discharge", `found the discharge coefficient %s, expected at most 1: 0.6 for sharp holes, 0.8 for rounded ones`, short(*c))
	}
	if d.Bore == nil {
		return
	}
	holes := 0.0 // Σ n·d², mm²
	if p.Diameter != nil {
		holes = float64(p.Holes) * float64(*p.Diameter**p.Diameter)
	}
	for _, v := range []*OneWay{p.Closing, p.Opening} {
		if v != nil {
			holes += float64(v.Holes) * float64(v.Diameter*v.Diameter)
		}
	}
	if room := float64(*d.Bore * *d.Bore); holes >= room {
		w.add("contradiction", at, path, `found holes with the area of one of %s mm in a piston for the bore %s mm, expected less than the piston itself`, short(math.Sqrt(holes)), mm(d.Bore))
	}
}

func (w *world) coil(s *Spring, path string) {
	if s.Free != nil && s.Solid != nil && *s.Solid >= *s.Free {
		w.add("contradiction", s.Place, path, `found "solid" %s mm and "free" %s mm, expected the free length to be the larger`, mm(s.Solid), mm(s.Free))
	}
}

// presses checks that a tyre takes more load the further it is pressed in.
func (w *world) presses(t *Tyre, path string) {
	for i := 1; i < len(t.Curve); i++ {
		if a, b := &t.Curve[i-1], &t.Curve[i]; b.Pressed <= a.Pressed || b.Load <= a.Load {
			w.add("contradiction", b.Place, path+"/curve", `found "pressed" %s mm with "load" %s N behind %s mm with %s N, expected both to rise from point to point`,
				short(float64(b.Pressed)), short(float64(b.Load)), short(float64(a.Pressed)), short(float64(a.Load)))
		}
	}
}

func (w *world) shaft(e *Entry[Shaft]) {
	s, path := &e.Value, "shafts/"+e.Name
	if s.Place.Line == 0 {
		return // no map, and reported as such
	}
	from, okFrom := w.output(s.From, "from", path+"/from")
	to, okTo := w.output(s.To, "to", path+"/to")
	switch {
	case okFrom && okTo && from.assembly != "chassis" && to.assembly == "chassis":
		w.add("wrong-carrier", s.From.Place, path+"/from", `found a shaft from %s to %s, expected from the gearbox to the axle; swap "from" and "to"`, quote(s.From.Text), quote(s.To.Text))
	case okFrom && from.assembly != "chassis":
		w.add("wrong-carrier", s.From.Place, path+"/from", `found %s for "from", which is %s, expected an output of a chassis part`, quote(s.From.Text), within(from.assembly))
	case okTo && to.assembly == "chassis":
		w.add("wrong-carrier", s.To.Place, path+"/to", `found %s for "to", which is on the chassis, expected an output of an axle part`, quote(s.To.Text))
	}
	if s.Open != nil && s.Closed != nil && *s.Open <= *s.Closed {
		w.add("contradiction", s.Place, path, `found "open" %s mm and "closed" %s mm, expected the open length to be the larger`, mm(s.Open), mm(s.Closed))
	}
}

func (w *world) bar(e *Entry[Bar]) {
	b, path := &e.Value, "bars/"+e.Name
	if b.Place.Line == 0 {
		return // no map, and reported as such
	}
	w.axleNamed(b.Axle, path, "this bar acts on", "bars", e.Name)
	if b.From == nil {
		return
	}
	end, ok := w.hole(*b.From, "from", path+"/from", true)
	if !ok {
		return
	}
	axle := ""
	if end.link != nil {
		axle = end.link.Value.Axle
	} else {
		axle = end.part.assembly
	}
	if b.Axle != "" && axle != b.Axle {
		w.add("wrong-axle", b.From.Place, path+"/from", `found %s for "from", which is %s, expected a hole of the %s axle or of a link that holds it`, quote(b.From.Text), end.where(), b.Axle)
	}
}

func mm(l *quantity.Length) string { return short(float64(*l)) }
