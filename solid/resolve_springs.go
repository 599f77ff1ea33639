package solid

import (
	"lowslung/quantity"
	"lowslung/rig"
)

// Shocks, anti-roll bars and tyres: what gives.

func (r *resolver) shocks() {
	for i := range r.doc.Shocks {
		r.shock(&r.doc.Shocks[i])
	}
}

func (r *resolver) shock(e *rig.Entry[rig.Shock]) {
	s := &e.Value
	end := Rear
	if s.Axle == "front" {
		end = Front
	}
	one := Shock{
		Name: e.Name, Path: "shocks/" + e.Name, Axle: end, Open: mm(s.Open, 0), Closed: mm(s.Closed, 0), Set: mm(s.Set, 0),
		Width: mm(s.Body, usualShockWidth), Collar: mm(s.Collar, 0), Damper: damperOf(&s.Damper),
		Springs: springsOf(s.Springs), Above: springsOf(s.Above), Below: springsOf(s.Below),
	}
	if s.Mass != nil {
		one.Mass, one.HasMass = float64(*s.Mass), true
	}
	sides := []Side{Single}
	if s.Pair {
		sides = []Side{Left, Right}
	}
	for _, side := range sides {
		k := one
		k.Side = side
		var ok1, ok2 bool
		k.Top, ok1 = r.anchor(s.Top, side)
		k.Bottom, ok2 = r.anchor(s.Bottom, side)
		if !ok1 || !ok2 {
			r.fail(s.Place, "no-such-hole", "found the shock %q between %q and %q, expected two holes", e.Name, s.Top.Text, s.Bottom.Text)
			break
		}
		r.m.Shocks = append(r.m.Shocks, k)
	}
}

func springsOf(list []rig.Spring) []Spring {
	out := make([]Spring, len(list))
	for i := range list {
		s := &list[i]
		out[i] = Spring{Item: s.Item, Free: mm(s.Free, 0)}
		if s.Rate != nil {
			out[i].Rate = float64(*s.Rate)
		}
		if s.Free != nil && s.Solid != nil {
			out[i].Travel = float64(*s.Free - *s.Solid)
		}
	}
	return out
}

func damperOf(d *rig.Damper) Damper {
	out := Damper{Bore: mm(d.Bore, 0), Rod: mm(d.Rod, 0)}
	if d.Oil != nil {
		out.Oil = float64(*d.Oil)
	}
	if p := d.Piston; p != nil {
		out.Holes, out.Hole, out.Length, out.Gap = p.Holes, mm(p.Diameter, 0), mm(p.Thickness, 0), mm(p.Gap, 0)
		if p.Discharge != nil {
			out.Discharge = *p.Discharge
		}
		for i, v := range []*rig.OneWay{p.Closing, p.Opening} {
			if v != nil {
				out.Valved[i] = OneWay{v.Holes, float64(v.Diameter)}
			}
		}
	}
	return out
}

// bars may have a weight but no place, so their weight is in no sum, and that is said.
func (r *resolver) bars() {
	for i := range r.doc.Bars {
		e := &r.doc.Bars[i]
		if e.Value.Mass != nil {
			r.note("rig/bar-without-place", "The weight of the anti-roll bar %q (%s) is left out of every sum, because a bar has no place in the document: give it a part of kind bar instead.",
				e.Name, quantity.DimMass.Format(float64(*e.Value.Mass), quantity.Metric)).About = []string{"bars/" + e.Name}
		}
		b := Bar{Name: e.Name, Path: "bars/" + e.Name, Axle: Rear, Wire: mm(e.Value.Wire, 0), Span: mm(e.Value.Span, 0), Arm: mm(e.Value.Arm, 0), Material: e.Value.Material}
		if e.Value.Axle == "front" {
			b.Axle = Front
		}
		if b.Material == "" {
			b.Material = "spring steel"
		}
		if e.Value.From != nil {
			left, ok1 := r.anchor(*e.Value.From, Left)
			right, ok2 := r.anchor(*e.Value.From, Right)
			// A hole without a twin serves both sides in anchor; a bar needs two.
			if b.Hung = ok1 && ok2 && left != right; b.Hung {
				b.Eyes = [2]Anchor{left, right}
			}
		}
		r.m.Bars = append(r.m.Bars, b)
	}
}

// wheels are the tyres of an axle, with their mirror twins.
func (r *resolver) wheels(a *rig.Axle, end End) {
	x := &r.m.Axles[end]
	for i := range a.Parts {
		p := &a.Parts[i].Value
		if p.Tyre == nil {
			continue
		}
		f := frameOf(&a.Parts, p, 0)
		w := Wheel{Name: a.Parts[i].Name, Path: x.Path + "/parts/" + a.Parts[i].Name, At: f.At, Radius: float64(p.Tyre.Diameter) / 2,
			Width: float64(p.Tyre.Width), Loaded: mm(p.Tyre.Loaded, 0)}
		if p.Tyre.Rate != nil {
			w.Rate = float64(*p.Tyre.Rate)
		}
		if p.Tyre.Lateral != nil {
			w.Lateral = float64(*p.Tyre.Lateral)
		}
		if p.Tyre.Grip != nil {
			w.Grip = *p.Tyre.Grip
		}
		for _, c := range p.Tyre.Curve {
			w.Curve = append(w.Curve, Press{float64(c.Pressed), float64(c.Load)})
		}
		both := []Wheel{w}
		if p.Pair {
			twin := w
			twin.At = w.At.Flip()
			both = append(both, twin)
			if w.At.Y < 0 {
				both[0], both[1] = both[1], both[0]
			}
		}
		for _, one := range both {
			one.Side = Left
			if one.At.Y < 0 {
				one.Side = Right
			}
			x.Wheels = append(x.Wheels, one)
		}
	}
}
