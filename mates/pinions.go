package mates

import (
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

// PinionsFor goes through the bins for gears of the fitted pinion's kind: does each go on the motor's shaft and mesh with the spur? Gears
// whose pitch is another are left out; those that only the bore keeps off are in, with the reason.
func PinionsFor(m *solid.Model, pinion, spur, motor string) []Candidate {
	w := newWorks(m)
	var shaft, teeth *port
	for i := range w.ports {
		p := &w.ports[i]
		switch {
		case p.Part == motor && p.Type == "shaft":
			shaft = p
		case p.Part == spur && p.Type == "gear":
			teeth = p
		}
	}
	var out []Candidate
	for _, bin := range m.Bins {
		for i := range bin.Items {
			e := &bin.Items[i]
			if e.Value.Gear == nil {
				continue
			}
			c := Candidate{Item: e.Name, Part: &e.Value, OK: true}
			hasBore, meshes := false, false
			for k := range e.Value.Ports {
				q := portOf(e.Name, e.Name, &e.Value, e.Value.Ports[k].Name, &e.Value.Ports[k].Value)
				switch {
				case q.Type == "bore" && q.Needed: // a pinion is one that needs a shaft
					hasBore = true
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
			if hasBore && meshes && e.Value.Gear.Teeth < teethOf(w, spur) {
				out = append(out, c)
			}
		}
	}
	return out
}

func teethOf(w *works, part string) int {
	if g := w.partOf(part).Gear; g != nil {
		return g.Teeth
	}
	return 0
}
