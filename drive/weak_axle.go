package drive

import (
	"strings"

	"lowslung/finding"
	"lowslung/rig"
	"lowslung/solid"
)

// What an axle has to take inside: ring and pinion, half shafts, portal gears, stub shafts and the pins of the hexes. The torque is that of
// the whole rig on this axle. Behind the ring gear a locked axle sends all of it through the side whose wheel is on the ground; an open one
// gives each side half.

// axleMargins are the margins of what the document gives sizes of; what it does not is told once.
func (l *line) axleMargins() []Margin {
	var out []Margin
	lacks := map[string][]string{}
	var order []string
	for _, e := range l.driven() {
		f := [2]*rig.Final{l.doc.Front, l.doc.Rear}[e]
		list, missing := l.within(e, f)
		out = append(out, list...)
		for _, m := range missing {
			if lacks[m] == nil {
				order = append(order, m)
			}
			lacks[m] = append(lacks[m], solid.End(e).String())
		}
	}
	if len(order) > 0 {
		var about []string
		for i, m := range order {
			for _, axle := range lacks[m] {
				about = append(about, "drive/"+axle)
			}
			if order[i] = m; len(l.driven()) > 1 && len(lacks[m]) == 1 {
				order[i] += " (" + lacks[m][0] + ")"
			}
		}
		l.say(finding.New(finding.Note, "drive/axle-sizes", "Not all inside the axles is judged for strength; under drive, front and rear, the document does not say: %s.", strings.Join(order, ", ")).For(about...))
	}
	return out
}

// within is what one axle has to take, and the keys that lack for more.
func (l *line) within(e int, f *rig.Final) (out []Margin, lacks []string) {
	axle := solid.End(e).String()
	wheels := l.hardest(e)
	if f == nil || wheels <= 0 {
		return nil, nil
	}
	// Speeds at that torque, rev/min: all of it slow, so the velocity factor is near 1.
	most, _, _ := l.limit()
	i := min(l.motor.Current(l.motorTorque(l.alone(e))), most)
	wheelRPM := max(0, l.motor.SpeedAt(i, l.motor.Throttle(i))/l.total(e))
	side := wheels
	if l.ends[e].diff == "open" {
		side = wheels / 2
	}
	portal := 1.0
	ringT, ringRPM, halfT := wheels, wheelRPM, side
	if len(f.Portal) == 2 {
		portal = float64(f.Portal[1]) / float64(f.Portal[0])
		ringT, halfT, ringRPM = wheels/(portal*l.eff), side/(portal*l.eff), wheelRPM*portal
	}
	bent := func(part, what, material string, torque, stress float64) {
		m, _ := solid.MaterialOf(material)
		out = append(out, Margin{Part: part, What: what, Torque: torque, Stress: stress, Holds: m.Yield, Stuff: m.Name, Margin: m.Yield / stress})
	}
	if missing := sizes(f.Gears, "gears"); len(missing) > 0 {
		lacks = append(lacks, missing...)
	} else {
		face := float64(*f.Gears.Face)
		pinionT := ringT / (float64(f.Ring) / float64(f.Pinion) * l.eff)
		pinion, ring := BevelOf(f.Pinion, f.Ring, f.Gears.Pitch(), face), BevelOf(f.Ring, f.Pinion, f.Gears.Pitch(), face)
		v := omega(ringRPM) * ring.Radius / 1000
		bent(axle+" axle pinion", "tooth bending, bevel", f.Gears.Material, pinionT, pinion.Bending(pinionT, face, v))
		bent(axle+" axle ring gear", "tooth bending, bevel", f.Gears.Material, pinionT*float64(f.Ring)/float64(f.Pinion), ring.Bending(pinionT*float64(f.Ring)/float64(f.Pinion), face, v))
	}
	if len(f.Portal) == 2 {
		if missing := sizes(f.Spurs, "portal_gears"); len(missing) > 0 {
			lacks = append(lacks, missing...)
		} else {
			gear := func(teeth int) *rig.Part {
				return &rig.Part{Material: f.Spurs.Material, Gear: &rig.Gear{Teeth: teeth, Face: f.Spurs.Face}}
			}
			out = append(out, teethOf(gear(f.Portal[0]), gear(f.Portal[1]), axle+" portal, upper gear", axle+" portal, lower gear", f.Spurs.Pitch(), halfT, ringRPM)...)
		}
	}
	for _, s := range []struct {
		key, part string
		is        *rig.Axled
		torque    float64
	}{{"half_shaft", axle + " half shaft", f.Half, halfT}, {"stub", axle + " stub shaft", f.Stub, side}} {
		if s.is == nil || s.is.Diameter == nil {
			lacks = append(lacks, s.key+": {diameter}")
			continue
		}
		of := s.is.Material
		if of == "" {
			of = steel
		}
		if shear(of) == 0 {
			lacks = append(lacks, s.key+": {material} that is known")
			continue
		}
		d := float64(*s.is.Diameter)
		stress := Torsion(s.torque, d)
		out = append(out, Margin{Part: s.part, What: "shaft torsion", Torque: s.torque, Stress: stress, Holds: shear(of), Stuff: of, Margin: shear(of) / stress})
		if s.is.Pin != nil {
			dp := float64(*s.is.Pin)
			stress := PinShear(s.torque, d, dp)
			out = append(out, Margin{Part: s.part, What: "pin shear", Torque: s.torque, Stress: stress, Holds: shear(of), Stuff: of, Margin: shear(of) / stress})
		}
	}
	return out, lacks
}

// sizes are the keys that lack for the strength of a pair of gears.
func sizes(t *rig.Toothed, key string) []string {
	if t == nil {
		return []string{key + ": {module, face, material}"}
	}
	var lacks []string
	if t.Pitch() == 0 {
		lacks = append(lacks, "module")
	}
	if t.Face == nil {
		lacks = append(lacks, "face")
	}
	m, known := solid.MaterialOf(t.Material)
	switch {
	case t.Material == "":
		lacks = append(lacks, "material")
	case !known || m.Yield == 0:
		lacks = append(lacks, "material that is known")
	}
	if len(lacks) == 0 {
		return nil
	}
	return []string{key + ": {" + strings.Join(lacks, ", ") + "}"}
}
