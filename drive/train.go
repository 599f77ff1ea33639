package drive

import (
	"math"

	"lowslung/finding"
	"lowslung/rig"
	"lowslung/solid"
	"lowslung/travel"
)

const (
	usualMesh = 0.96 // efficiency of one mesh when the document is silent: common practice for small open gears
	usualGrip = 0.8  // coefficient of friction of a soft tyre on dry rock: an assumption
	rolling   = 0.05 // rolling resistance of a soft foam-filled tyre on rough ground: an assumption
	inLine    = 0.5  // mm that two gears on one shaft may be off each other's axis as placed
)

// A line is the drive line as plain numbers.
type line struct {
	m       *solid.Model
	doc     *rig.Drive
	stages  []Stage
	gears   [][]*rig.Part
	eff     float64 // of one mesh
	gearbox float64 // product of the stages
	meshes  int     // in the stages
	ends    [2]end
	whole   bool // every stage and final drive written is understood: ratios are true
	motor   *Motor
	cap     float64 // mAh
	stand   *travel.Stand
	weighed bool
	weight  float64 // N
	front   float64 // share of the weight on the front axle, level
	height  float64 // of the centre of mass, mm
	base    float64 // wheelbase, mm
	find    []finding.Finding
}

// An end is one driven axle behind the transfer case.
type end struct {
	driven bool
	final  float64 // drive-shaft turns per wheel turn: ring and pinion, portal
	over   float64
	meshes int
	radius float64 // at which torque works, mm; 0 without tyres
	rolls  float64 // at which it rolls on, mm
	grip   float64
	diff   string
}

func (l *line) say(f finding.Finding) { l.find = append(l.find, f) }

func (l *line) part(name string) *rig.Part {
	p, _ := l.m.Doc.Chassis.Parts.Get(name)
	return p
}

// total is the motor's turns per wheel turn of an axle, eta the efficiency all the way.
func (l *line) total(e int) float64 { return l.gearbox * l.ends[e].final / l.ends[e].over }
func (l *line) eta(e int) float64   { return math.Pow(l.eff, float64(l.meshes+l.ends[e].meshes)) }

// driven are the axles that the motor drives.
func (l *line) driven() []int {
	var out []int
	for e := range l.ends {
		if l.ends[e].driven {
			out = append(out, e)
		}
	}
	return out
}

// rolls says that the road speed is known: every driven axle has tyres.
func (l *line) rolls() bool {
	for _, e := range l.driven() {
		if l.ends[e].radius == 0 {
			return false
		}
	}
	return len(l.driven()) > 0
}

// road is the driven axle whose tread is slower: it goes with the road, and the other's tyres slip by what they are ahead.
func (l *line) road() int {
	list := l.driven()
	slow := list[0]
	for _, e := range list[1:] {
		if l.ends[e].rolls/l.total(e) < l.ends[slow].rolls/l.total(slow) {
			slow = e
		}
	}
	return slow
}

// speed is the road speed at a motor speed, m/s.
func (l *line) speed(rpm float64) float64 {
	e := l.road()
	return omega(rpm/l.total(e)) * l.ends[e].rolls / 1000
}

// compile reads the drive block; what it lacks becomes a finding, and the rest still answers.
func compile(m *solid.Model) *line {
	l := &line{m: m, doc: m.Doc.Drive, eff: usualMesh, gearbox: 1, whole: true, stand: travel.StandOf(m)}
	if l.doc.Efficiency != nil {
		l.eff = float64(*l.doc.Efficiency)
	} else {
		l.say(finding.New(finding.Note, "drive/efficiency", "Each gear mesh is taken to pass on %.0f %%; write efficiency when you know better.", 100*usualMesh).For("drive"))
	}
	used := map[string]int{}
	for i, names := range l.doc.Stages {
		l.stage(i, names, used)
	}
	if len(l.doc.Stages) == 0 {
		l.say(finding.New(finding.Watch, "drive/no-stages", "No gear stages are written, so the motor is taken to sit on the drive shafts; every ratio is that of the axles alone.").
			For("drive").CuredBy("write stages: the gears from motor to transfer case, in mesh order"))
	}
	l.finals()
	l.motorAndPack()
	return l
}

// stage reads a gear train. Each stage begins on the shaft that the one before ends on, so a gear may stand in two stages only as the last
// of one and the first of the next.
func (l *line) stage(i int, names []string, used map[string]int) {
	bad := func(f finding.Finding) {
		l.say(f.For("drive/stages"))
		l.whole = false
	}
	s := Stage{Gears: names, Teeth: []int{}, Meshes: []Mesh{}}
	var parts []*rig.Part
	for k, n := range names {
		p := l.part(n)
		if p == nil || p.Gear == nil || p.Gear.Teeth < 1 {
			bad(finding.New(finding.Stop, "drive/no-gear", "Stage %d names %q, of which no teeth are known, so no ratio follows.", i+1, n).CuredBy("give the part gear: with its teeth"))
			return
		}
		if at, seen := used[n]; seen && !(k == 0 && at == i-1 && l.ends0(i-1, n)) {
			bad(finding.New(finding.Stop, "drive/loop", "Stage %d comes back to %s, which turns already in stage %d: gears in a ring cannot turn.", i+1, n, at+1).CuredBy("name each gear once, in the order of the power"))
			return
		}
		used[n] = i
		s.Teeth = append(s.Teeth, p.Gear.Teeth)
		parts = append(parts, p)
	}
	if len(parts) < 2 {
		l.whole = false // rig has said so
		return
	}
	if i > 0 && l.whole {
		before := l.doc.Stages[i-1]
		if off, known := l.offAxis(before[len(before)-1], names[0]); known && off > inLine {
			l.say(finding.New(finding.Watch, "drive/gap", "Stage %d begins with %s, %.1f mm off the axis of %s, with which stage %d ends: as placed no shaft joins them.", i+1, names[0], off, before[len(before)-1], i).
				For("drive/stages").CuredBy("a stage between them, or both gears placed on one shaft"))
		}
	}
	s.Ratio = float64(s.Teeth[len(s.Teeth)-1]) / float64(s.Teeth[0])
	for k := 0; k+1 < len(names); k++ {
		s.Meshes = append(s.Meshes, l.mesh(names[k], names[k+1], parts[k], parts[k+1]))
	}
	l.gearbox *= s.Ratio
	l.meshes += len(s.Meshes)
	l.stages, l.gears = append(l.stages, s), append(l.gears, parts)
}

// ends0 says that stage i ends with a gear.
func (l *line) ends0(i int, gear string) bool {
	names := l.doc.Stages[i]
	return names[len(names)-1] == gear
}

func (l *line) finals() {
	axles := [2]*rig.Axle{l.m.Doc.Front, l.m.Doc.Rear}
	for e, f := range [2]*rig.Final{l.doc.Front, l.doc.Rear} {
		name := solid.End(e).String()
		if f != nil {
			l.final(e, f)
		} else if axles[e] != nil && [2]*rig.Final{l.doc.Rear, l.doc.Front}[e] != nil {
			l.say(finding.New(finding.Note, "drive/undriven", "Under drive nothing is said of the %s axle: it is taken to roll along undriven.", name).
				For("drive").CuredBy("write %s: with ring and pinion, if the motor drives it", name))
		}
	}
	if len(l.driven()) == 0 && l.whole {
		l.say(finding.New(finding.Stop, "drive/no-path", "No axle has a path to the motor, so nothing drives the rig.").For("drive").CuredBy("write front or rear under drive, with ring and pinion in teeth"))
	}
}

func (l *line) final(e int, f *rig.Final) {
	name := solid.End(e).String()
	if f.Ring < 1 || f.Pinion < 1 {
		l.say(finding.New(finding.Stop, "drive/no-final", "The %s axle is driven, but has no ring and pinion, so no path leads to its wheels.", name).
			For("drive/" + name).CuredBy("write ring and pinion, in teeth"))
		l.whole = false
		return
	}
	x := &l.ends[e]
	*x = end{driven: true, final: float64(f.Ring) / float64(f.Pinion), over: 1, meshes: 1, grip: l.m.Axles[e].Grip, diff: f.Diff}
	x.radius, x.rolls = radii(l.m, e)
	if len(f.Portal) == 2 && f.Portal[0] > 0 {
		x.final *= float64(f.Portal[1]) / float64(f.Portal[0])
		x.meshes++
	}
	if f.Overdrive != nil {
		x.over = *f.Overdrive
	}
	if x.grip == 0 {
		x.grip = usualGrip
	}
	if x.diff == "" {
		x.diff = "locked"
	}
}

// weigh takes weight and where it sits, standing level in the design pose.
func (l *line) weigh() {
	st := l.stand
	if !st.Weighed || st.Base <= 0 {
		return
	}
	mass, at := solid.CenterOfMass(l.m.Lumps(st.Stance()))
	l.weighed, l.weight, l.base, l.height = true, mass*gravity, st.Base, st.Height
	l.front = at.Sub(st.Ground.Point).Dot(st.Ground.Forward) / st.Base
}
