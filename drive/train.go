package drive

import (
	"math"

	"lowslung/finding"
	"lowslung/mates"
	"lowslung/rig"
	"lowslung/solid"
)

const (
	usualMesh  = 0.96 // efficiency of one mesh when the document is silent: common practice for small open gears
	usualGrip  = 0.8  // coefficient of friction of a soft tyre on dry rock: an assumption
	rolling    = 0.05 // rolling resistance of a soft foam-filled tyre on rough ground: an assumption
	air        = 25.0 // °C
	warmLimit  = 100.0
	usualToAir = 4.5 // K/W, a bare 36 mm can: an assumption
	usualTime  = 600.0
	cellVolts  = 3.7 // V nominal, lithium polymer (IEC 61960-3)
)

// A line is the drive line as plain numbers.
type line struct {
	m       *solid.Model
	doc     *rig.Drive
	stages  []Stage
	gears   [][]*rig.Part
	meshes  int     // between motor and one wheel
	eff     float64 // of one mesh
	gearbox float64 // product of the stages
	axle    [2]float64
	over    [2]float64
	driven  [2]bool
	motor   *Motor
	cap     float64 // mAh
	mass    float64 // kg
	grip    float64
	radius  [2]float64 // mm
	load    [2]float64 // N on the axle, level
	find    []finding.Finding
}

func (l *line) say(f finding.Finding) { l.find = append(l.find, f) }

func (l *line) part(name string) *rig.Part {
	p, _ := l.m.Doc.Chassis.Parts.Get(name)
	return p
}

// compile reads the drive block; what it lacks becomes a finding, and the rest still answers.
func compile(m *solid.Model) *line {
	l := &line{m: m, doc: m.Doc.Drive, eff: usualMesh, gearbox: 1, grip: usualGrip}
	if l.doc.Efficiency != nil {
		l.eff = float64(*l.doc.Efficiency)
	} else {
		l.say(finding.New(finding.Note, "drive/efficiency", "Each gear mesh is taken to pass on %.0f %%; write efficiency when you know better.", 100*usualMesh).For("drive"))
	}
	for i, names := range l.doc.Stages {
		l.stage(i, names)
	}
	for end, f := range []*rig.Final{l.doc.Front, l.doc.Rear} {
		if f != nil {
			l.final(solid.End(end), f)
		}
	}
	l.motorAndPack()
	return l
}

func (l *line) stage(i int, names []string) {
	s := Stage{Gears: names, Teeth: []int{}, Meshes: len(names) - 1}
	var parts []*rig.Part
	seen := map[string]bool{}
	for _, n := range names {
		p := l.part(n)
		if p == nil || p.Gear == nil {
			l.say(finding.New(finding.Stop, "drive/no-gear", "Stage %d names %q, which is no part with a gear.", i+1, n).For("drive/stages").CuredBy("name a part of kind gear, or give the part gear: with its teeth"))
			return
		}
		if seen[n] {
			l.say(finding.New(finding.Stop, "drive/loop", "Stage %d goes through %s twice: a train is no ring.", i+1, n).For("drive/stages"))
			return
		}
		seen[n] = true
		s.Teeth = append(s.Teeth, p.Gear.Teeth)
		parts = append(parts, p)
	}
	if len(parts) < 2 {
		l.say(finding.New(finding.Stop, "drive/short-stage", "Stage %d has %d gears; a stage needs two or more in mesh order.", i+1, len(parts)).For("drive/stages"))
		return
	}
	s.Ratio = float64(s.Teeth[len(s.Teeth)-1]) / float64(s.Teeth[0])
	l.gearbox *= s.Ratio
	l.meshes += s.Meshes
	l.stages, l.gears = append(l.stages, s), append(l.gears, parts)
}

func (l *line) final(end solid.End, f *rig.Final) {
	ratio := 1.0
	switch {
	case f.Ring > 0 && f.Pinion > 0:
		ratio = float64(f.Ring) / float64(f.Pinion)
	default:
		l.say(finding.New(finding.Stop, "drive/no-final", "The %s axle is driven but has no ring and pinion, so no path leads to its wheels.", end).For("drive/" + end.String()).CuredBy("write ring and pinion, in teeth"))
		return
	}
	if len(f.Portal) == 2 && f.Portal[0] > 0 {
		ratio *= float64(f.Portal[1]) / float64(f.Portal[0])
	} else if len(f.Portal) != 0 {
		l.say(finding.New(finding.Stop, "drive/portal", "The %s portal has %d numbers; expected the teeth of the upper and the lower gear.", end, len(f.Portal)).For("drive/" + end.String() + "/portal"))
	}
	l.over[end] = 1
	if f.Overdrive != nil {
		l.over[end] = *f.Overdrive
	}
	l.axle[end] = l.gearbox * ratio / l.over[end]
	l.driven[end] = true
	l.radius[end] = l.m.Axles[end].TyreRadius
	if g := l.m.Axles[end].Grip; g > 0 {
		l.grip = g
	}
}

// perAxle is the number of meshes from motor to wheels of an axle: the stages, ring and pinion, and the portal.
func (l *line) perAxle(end solid.End) int {
	n := l.meshes + 1
	if f := []*rig.Final{l.doc.Front, l.doc.Rear}[end]; f != nil && len(f.Portal) == 2 {
		n++
	}
	return n
}

// efficiency from motor to the wheels, averaged over the driven axles.
func (l *line) efficiency() float64 {
	sum, n := 0.0, 0.0
	for end := range l.driven {
		if l.driven[end] {
			sum += math.Pow(l.eff, float64(l.perAxle(solid.End(end))))
			n++
		}
	}
	if n == 0 {
		return 1
	}
	return sum / n
}

func (l *line) motorAndPack() {
	mp, bp := l.part(l.doc.Motor), l.part(l.doc.Battery)
	switch {
	case mp == nil || mp.Motor == nil || mp.Motor.Kv == nil || mp.Motor.Resistance == nil:
		l.say(finding.New(finding.Note, "drive/no-motor", "Nothing is said about speed and torque: the motor needs kv and resistance.").For("drive/motor"))
		return
	case bp == nil || bp.Pack == nil:
		l.say(finding.New(finding.Note, "drive/no-pack", "Nothing is said about speed and torque: battery needs a part with pack: and its cells.").For("drive/battery"))
		return
	}
	w, pk := mp.Motor, bp.Pack
	m := &Motor{
		Kv: float64(*w.Kv), R: float64(*w.Resistance), Limit: math.Inf(1), Ambient: air, ToAir: usualToAir, TimeConst: usualTime,
		Volts: cellVolts * float64(pk.Cells),
	}
	if pk.Chemistry == "nickel metal hydride" {
		m.Volts = 1.2 * float64(pk.Cells)
	}
	if w.NoLoad != nil {
		m.I0 = float64(*w.NoLoad)
	}
	if pk.Resistance != nil {
		m.Pack = float64(*pk.Resistance)
	}
	limit := func(a float64, by string) {
		if a > 0 && a < m.Limit {
			m.Limit, m.By = a, by
		}
	}
	if w.MaxCurrent != nil {
		limit(float64(*w.MaxCurrent), "motor")
	}
	if pk.MaxCurrent != nil {
		limit(float64(*pk.MaxCurrent), "pack")
	}
	if cp := l.part(l.doc.Controller); cp != nil && cp.Controller != nil && cp.Controller.MaxCurrent != nil {
		limit(float64(*cp.Controller.MaxCurrent), "controller")
	}
	if pk.Capacity != nil {
		l.cap = float64(*pk.Capacity)
	}
	if w.MaxVolts != nil && 4.2*float64(pk.Cells) > float64(*w.MaxVolts)+0.05 && pk.Chemistry != "nickel metal hydride" {
		l.say(finding.New(finding.Stop, "drive/over-voltage", "%d cells are %.1f V when full, and the motor is for %.1f V at most.", pk.Cells, 4.2*float64(pk.Cells), float64(*w.MaxVolts)).
			For("drive/battery").CuredBy("a pack with fewer cells, or a motor for more"))
	}
	l.motor = m
}

// pinionItems are the bin's gears that have a bore for a motor, and what mates says of them on this motor and spur.
func (l *line) pinionItems() []mates.Candidate {
	if len(l.gears) == 0 || len(l.gears[0]) < 2 {
		return nil
	}
	return mates.PinionsFor(l.m, l.stages[0].Gears[0], l.stages[0].Gears[1], l.doc.Motor)
}
