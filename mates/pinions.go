package mates

import (
	"math"

	"lowslung/rig"
	"lowslung/solid"
)

// A Candidate is a bin item that might take a pinion's place.
type Candidate struct {
	Item string
	Part *rig.Part
	OK   bool
	Why  string // why it does not go, in words
}

// PinionsFor goes through the bins for pinions: does each go on the motor's shaft and mesh with the spur? A pinion is a gear with fewer teeth
// than the spur whose bore needs a shaft and has no hole for a cross pin, which is how spurs are driven. Those that only the bore keeps off
// are in the list, with the reason; other counts those whose pitch is another, which are left out.
func PinionsFor(m *solid.Model, pinion, spur, motor string) (list []Candidate, other int) {
	w := newWorks(m)
	var shaft, teeth *Port
	for i := range w.ports {
		p := &w.ports[i]
		switch {
		case p.Part == motor && p.Type == "shaft":
			shaft = p
		case p.Part == spur && p.Type == "gear":
			teeth = p
		}
	}
	most := math.MaxInt
	if g := w.partOf(spur).Gear; g != nil {
		most = g.Teeth
	}
	for _, bin := range m.Bins {
		for i := range bin.Items {
			e := &bin.Items[i]
			if e.Value.Gear == nil || e.Value.Gear.Teeth < 1 || e.Value.Gear.Teeth >= most {
				continue
			}
			c := Candidate{Item: e.Name, Part: &e.Value, OK: true}
			bore, crossed, meshes := false, false, teeth == nil
			for k := range e.Value.Ports {
				q := portOf(e.Name, e.Name, &e.Value, e.Value.Ports[k].Name, &e.Value.Ports[k].Value)
				switch {
				case q.Type == "pin hole":
					crossed = true
				case q.Type == "bore" && q.Needed:
					bore = true
					if shaft != nil {
						if v, _ := meet(&q, shaft); !v.ok {
							c.OK, c.Why = false, v.reason
						}
					}
				case q.Type == "gear" && teeth != nil:
					v, _ := meet(&q, teeth)
					meshes = meshes || v.ok
				}
			}
			switch {
			case !bore || crossed:
			case meshes:
				list = append(list, c)
			default:
				other++
			}
		}
	}
	return list, other
}
