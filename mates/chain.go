package mates

import (
	"fmt"

	"lowslung/finding"
	"lowslung/rig"
	"lowslung/solid"
	"lowslung/travel"
)

// Chains: what only shows when several parts stand in a row.

// room holds a motor's can against the space that the mount says there is behind its pattern.
func room(motor *rig.Motor, mount *Port) string {
	if motor == nil {
		return ""
	}
	if l := mm(motor.Length); l > 0 && mount.Room > 0 && l > mount.Room {
		return fmt.Sprintf("the can is %s long and there is room for %s behind the plate", mount.dim(l), mount.dim(mount.Room))
	}
	if d := mm(motor.Can); d > 0 && mount.Around > 0 && d > mount.Around {
		return fmt.Sprintf("the can is %s in diameter and there is room for %s", mount.dim(d), mount.dim(mount.Around))
	}
	return ""
}

// goesEverywhere says that an item could take a part's place in every joint that the part is in.
func (w *works) goesEverywhere(item *stocked, part string) bool {
	for i := range w.ports {
		p := &w.ports[i]
		if p.Part != part {
			continue
		}
		for _, ref := range w.taken[p.ref()] {
			other := w.port(ref)
			fits := false
			for k := range item.ports {
				q := item.ports[k]
				if q.Type != p.Type {
					continue
				}
				if q.Type == "male thread" { // it would go through the same stack
					q.Width, q.Unsure = p.Width, p.Unsure
				}
				v, _ := meet(&q, other)
				fits = fits || v.ok && (q.Type != "pattern" || room(item.part.Motor, other) == "")
			}
			if !fits {
				return false
			}
		}
	}
	return true
}

func (w *works) partOf(name string) *rig.Part {
	for i := range w.parts {
		if w.parts[i].name == name {
			return w.parts[i].part
		}
	}
	return &rig.Part{}
}

// motorReach holds a motor's shaft against what its pinion needs: the pinion's bore must be on it for at least one diameter, and as far
// as the gear it drives stands away.
func (w *works) motorReach(shaft, bore *Port) string {
	if !shaft.Motor || shaft.Length == 0 {
		return ""
	}
	bm, bp := w.body(shaft.Part), w.body(bore.Part)
	if bm == nil || bp == nil || bm.Carrier != bp.Carrier {
		return ""
	}
	axis := bm.Frame.Turn(solid.Vec{X: 1})
	along := bp.Frame.At.Sub(bm.Frame.At).Dot(axis) // from the motor's face to the pinion's hub
	if along < 0 {
		return fmt.Sprintf("as placed the pinion's hub sits %s behind the motor's face", w.dim(-along))
	}
	if hold := shaft.Length - along; hold < shaft.Diameter {
		return fmt.Sprintf("as placed only %s of the motor's shaft reach into the pinion, which wants at least its diameter, %s", w.dim(max(0, hold)), w.dim(shaft.Diameter))
	}
	return ""
}

// reach asks travel whether the drive shafts stay together and free everywhere within the shocks' travel.
func (w *works) reach(o Options) ([]finding.Finding, error) {
	if o.Travel == nil {
		one := travel.Span{From: 0, To: 0, Step: 1}
		t, err := travel.Assess(w.m, travel.Options{Heave: one, Roll: one, Units: o.Units})
		if err != nil {
			return nil, err
		}
		o.Travel = &t
	}
	var out []finding.Finding
	for _, f := range o.Travel.Findings {
		switch f.Code {
		case "travel/stopped-by-shaft-apart", "travel/stopped-by-shaft-bottomed", "travel/beyond-shaft-apart", "travel/beyond-shaft-bottomed", "travel/beyond-rod-end":
			f.Level = finding.Stop
			f.Code = "mates/does-not-reach"
			out = append(out, f)
		}
	}
	return out, nil
}
