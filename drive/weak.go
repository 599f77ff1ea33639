package drive

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"lowslung/rig"
	"lowslung/solid"
	"lowslung/travel"
)

// What breaks first. The torque is the largest that grip and limits let through: all wheels slipping on the level, or one axle carrying the
// whole rig and slipping, as on a steep climb or with the other axle in the air, whichever is more, or what the motor gives at its limit.
// Strengths are the yield values of solid.MaterialOf (data sheets, print; steel is the plain 304 at 190 MPa, so hardened parts hold more);
// shear yields at 1/√3 of it (von Mises; Shigley ch. 5).

const steel = "steel" // what shafts and pins are taken to be made of where the document does not say

// shear is the shear stress at which a material yields, MPa; 0 when it is not known.
func shear(name string) float64 {
	m, _ := solid.MaterialOf(name)
	return m.Yield / math.Sqrt(3)
}

// alone is the pull of one axle that carries the whole rig and slips.
func (l *line) alone(e int) pull {
	var t pull
	t[e] = l.ends[e].grip * l.weight * l.ends[e].radius
	return t
}

// hardest is the largest torque at the wheels of one axle, N·mm: it carries the whole rig and slips, or the motor is at its limit.
func (l *line) hardest(e int) float64 {
	t := l.alone(e)
	most, _, _ := l.limit()
	if at := l.motorTorque(t); at > l.motor.Torque(most) {
		t = t.times(l.motor.Torque(most) / at)
	}
	return t[e]
}

// worst is the largest motor torque, N·mm, and the motor's speed there, rev/min.
func (l *line) worst() (t, rpm float64) {
	t = l.motorTorque(l.slip(0))
	for _, e := range l.driven() {
		t = max(t, l.motorTorque(l.alone(e)))
	}
	most, _, _ := l.limit()
	i := min(l.motor.Current(t), most)
	return l.motor.Torque(i), l.motor.SpeedAt(i, l.motor.Throttle(i))
}

func (l *line) weak() []Margin {
	out := []Margin{}
	if !l.weighed || !l.rolls() {
		return out
	}
	t, rpm := l.worst()
	if t <= 0 {
		return out // it does not move at all; the points say what ends it
	}
	out = append(out, l.twist(l.stages[:min(1, len(l.stages))], 0, t)...)
	for i, train := range l.gears {
		names := l.stages[i].Gears
		for k := 0; k+1 < len(train); k++ {
			a, b := train[k], train[k+1]
			if module := moduleOf(a.Gear); module > 0 && math.Abs(module-moduleOf(b.Gear)) < 1e-6 {
				both := teethOf(a, b, names[k], names[k+1], module, t, rpm)
				for _, m := range both {
					// An idler meshes twice with about the same force: once in the list is enough.
					if !slices.ContainsFunc(out, func(o Margin) bool { return o.Part == m.Part && o.What == m.What }) {
						out = append(out, m)
					}
				}
			}
			ratio := float64(b.Gear.Teeth) / float64(a.Gear.Teeth)
			t *= ratio * l.eff
			rpm /= ratio
		}
		out = append(out, l.twist(l.stages[i:i+1], len(train)-1, t)...)
	}
	for _, s := range l.shafts() {
		out = append(out, l.shaftMargins(&s)...)
	}
	out = append(out, l.axleMargins()...)
	slices.SortStableFunc(out, func(a, b Margin) int { return cmp.Compare(a.Margin, b.Margin) })
	return out
}

// teethOf are both gears of a mesh with torque t, N·mm, on the first turning at rpm; those without face width or material are left out.
func teethOf(a, b *rig.Part, nameA, nameB string, module, t, rpm float64) []Margin {
	var out []Margin
	r := module * float64(a.Gear.Teeth) / 2
	w, v := t/r, omega(rpm)*r/1000
	for i, g := range [2]*rig.Part{a, b} {
		mat, known := solid.MaterialOf(g.Material)
		if !known || mat.Yield == 0 || g.Gear.Face == nil || w <= 0 {
			continue
		}
		s := Bending(w, float64(*g.Gear.Face), module, FormFactor(float64(g.Gear.Teeth)), v)
		out = append(out, Margin{
			Part: [2]string{nameA, nameB}[i], What: "tooth bending", Torque: t * [2]float64{1, float64(b.Gear.Teeth) / float64(a.Gear.Teeth)}[i],
			Stress: s, Holds: mat.Yield, Stuff: mat.Name, Margin: mat.Yield / s,
		})
	}
	return out
}

// twist is the shaft that gear k of a stage sits on, and the pin that drives it, with torque t, as the mates say.
func (l *line) twist(stage []Stage, k int, t float64) []Margin {
	if len(stage) == 0 || t <= 0 {
		return nil
	}
	var out []Margin
	gear := stage[0].Gears[k]
	shaft, d, of := l.mated(gear, "bore", "shaft")
	if d > 0 {
		s := Torsion(t, d)
		out = append(out, Margin{Part: shaft, What: "shaft torsion", Torque: t, Stress: s, Holds: shear(of), Stuff: of, Margin: shear(of) / s})
		if pin, dp, of := l.mated(gear, "pin hole", "pin"); dp > 0 {
			s := PinShear(t, d, dp)
			out = append(out, Margin{Part: pin, What: "pin shear", Torque: t, Stress: s, Holds: shear(of), Stuff: of, Margin: shear(of) / s})
		}
	}
	return out
}

// mated looks for what is mated to a gear's port of one type: the part and port, the diameter of the port there, and its material.
func (l *line) mated(gear, mine, others string) (ref string, diameter float64, material string) {
	port := func(ref string) (*rig.Part, *rig.Port) {
		name, what, _ := strings.Cut(ref, "/")
		if p := l.part(name); p != nil {
			if q, ok := p.Ports.Get(what); ok {
				return p, q
			}
		}
		return nil, nil
	}
	for i := range l.m.Doc.Mates {
		pair := l.m.Doc.Mates[i].Value
		if len(pair) != 2 {
			continue
		}
		for k := range pair {
			a, b := pair[k].Text, pair[1-k].Text
			_, pa := port(a)
			owner, pb := port(b)
			if name, _, _ := strings.Cut(a, "/"); name != gear || pa == nil || pb == nil || pa.Type != mine || pb.Type != others || pb.Diameter == nil {
				continue
			}
			material := pb.Material
			if material == "" && (owner.Kind == "pin" || owner.Kind == "shaft") {
				material = owner.Material
			}
			if shear(material) == 0 {
				material = steel
			}
			if others == "pin" {
				b, _, _ = strings.Cut(b, "/")
			}
			return b, float64(*pb.Diameter), material
		}
	}
	return "", 0, ""
}

// shafts is what each drive shaft has to take.
func (l *line) shafts() []DriveShaft {
	out := []DriveShaft{}
	for i := range l.m.Shafts {
		k := &l.m.Shafts[i]
		e := int(k.Axle)
		if !l.ends[e].driven {
			continue
		}
		s := DriveShaft{Shaft: k.Name, Axle: k.Axle.String()}
		peak := 1.0
		if at, ok := l.shaftAt(k); ok {
			worst := max(at.Joint[0], at.Joint[1])
			deg := worst * 180 / math.Pi
			s.JointDeg, s.LengthMM = &deg, &at.Length
			if !k.CV && worst < math.Pi/2 {
				peak = 1 / math.Cos(worst)
			}
			if d := l.diameter(k); d > 0 {
				mat, _ := solid.MaterialOf("spring steel") // E and density of any steel are about the same
				rpm := Critical(at.Length, d, mat.E, mat.Density) * 60 / (2 * math.Pi)
				s.CriticalRPM = &rpm
			}
		}
		if l.motor != nil {
			rpm := l.motor.Speed(l.motor.I0) / l.gearbox * l.ends[e].over
			s.RPM = &rpm
			if l.weighed && l.rolls() {
				into := l.hardest(e) / (l.ends[e].final * math.Pow(l.eff, float64(l.ends[e].meshes)))
				joint := into * peak
				s.TorqueNMM, s.JointTorqueNMM = &into, &joint
			}
		}
		out = append(out, s)
	}
	return out
}

// shaftAt is a drive shaft as the rig stands; not ok when its axle has no place, or its joints lie in each other.
func (l *line) shaftAt(k *solid.Shaft) (at travel.ShaftPose, ok bool) {
	mv := l.stand.Movers[k.Axle]
	if mv == nil {
		return at, false
	}
	at = travel.ShaftAt(k, mv.Design)
	return at, at.Length > 1 && !math.IsNaN(at.Joint[0]+at.Joint[1])
}

// diameter is the one written of a drive shaft, mm; 0 when none is.
func (l *line) diameter(k *solid.Shaft) float64 {
	if s, ok := l.m.Doc.Shafts.Get(k.Name); ok && s.Width != nil {
		return float64(*s.Width)
	}
	return 0
}

func (l *line) shaftMargins(s *DriveShaft) []Margin {
	var out []Margin
	if s.TorqueNMM == nil || *s.TorqueNMM <= 0 {
		return out
	}
	for i := range l.m.Shafts {
		k := &l.m.Shafts[i]
		if k.Name != s.Shaft {
			continue
		}
		written, _ := l.m.Doc.Shafts.Get(k.Name)
		if d := l.diameter(k); d > 0 {
			of := l.madeOf(written.Item)
			stress := Torsion(*s.TorqueNMM, d)
			out = append(out, Margin{Part: k.Name + " drive shaft", What: "shaft torsion", Torque: *s.TorqueNMM, Stress: stress, Holds: shear(of), Stuff: of, Margin: shear(of) / stress})
		}
		if written != nil && written.Torque != nil && s.JointTorqueNMM != nil {
			out = append(out, Margin{Part: k.Name + " drive shaft", What: "joint torque", Torque: *s.JointTorqueNMM, Margin: float64(*written.Torque) / *s.JointTorqueNMM})
		}
	}
	return out
}

// madeOf is the material of a bin item, steel where it has none that is known.
func (l *line) madeOf(item string) string {
	for _, b := range l.m.Bins {
		if p, ok := b.Items.Get(item); ok && shear(p.Material) > 0 {
			return p.Material
		}
	}
	return steel
}
