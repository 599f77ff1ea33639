package drive

import (
	"math"

	"lowslung/solid"
)

// control is how finely the throttle sets the speed. On the flat it moves off at the first step whose mean voltage turns the motor against
// the current that rolling takes.
func (l *line) control() *Control {
	if !l.rolls() {
		return nil
	}
	m := l.motor
	v, e := l.speed(m.Speed(m.I0)), l.road()
	c := &Control{Steps: steps, StepMPerS: v / steps, StepRPM: m.Speed(m.I0) / l.total(e) / steps}
	if !l.weighed {
		return c
	}
	i := m.Current(l.motorTorque(l.climb(0)))
	for k := 1; k <= steps; k++ {
		if rpm := m.SpeedAt(i, float64(k)/steps); rpm > 0 {
			least := l.speed(rpm)
			c.FirstStep, c.LeastMS = &k, &least
			break
		}
	}
	return c
}

// brake is what the drag brake does with the throttle shut. It shorts the winding for its share of the time, so the motor turns at the speed
// whose voltage drives the braking current through it: n = Kv·I·R/share. Friction in the gears, the motor's own and rolling help to hold;
// torque reaches the motor through the efficiency.
func (l *line) brake() *Brake {
	cp := l.part(l.doc.Controller)
	if cp == nil || cp.Controller == nil || cp.Controller.DragBrake == nil {
		return nil
	}
	m := l.motor
	b := &Brake{Share: float64(*cp.Controller.DragBrake), FreeAxles: []string{}}
	braked := *l
	friction := 0.0
	for _, e := range l.driven() {
		if l.ends[e].diff == "one-way" {
			b.FreeAxles = append(b.FreeAxles, solid.End(e).String())
			braked.ends[e].driven = false
		} else {
			friction = max(friction, m.Kt()*m.I0*l.total(e)/l.eta(e))
		}
	}
	b.Friction = friction
	if !l.weighed || !l.rolls() || len(braked.driven()) == 0 || b.Share <= 0 {
		return b
	}
	creep := func(slope float64) *float64 {
		n := braked.loads(-slope) // nose down
		total := 0.0
		for _, e := range braked.driven() {
			total += braked.ends[e].grip * n[e]
		}
		f := l.weight * (math.Sin(slope) - rolling*math.Cos(slope))
		if f > total || total <= 0 {
			return nil // the tyres slide
		}
		back := 0.0 // at the motor
		for _, e := range braked.driven() {
			back += f * braked.ends[e].grip * n[e] / total * braked.ends[e].radius / l.total(e) * l.eta(e)
		}
		i := max(0, back/m.Kt()-m.I0)
		v := braked.speed(m.Kv * i * m.R / b.Share)
		return &v
	}
	b.Creep30, b.Creep45 = creep(math.Pi/6), creep(math.Pi/4)
	return b
}

// sameLead is what one axle may be ahead of the other and count as alike, %: like tyres under unlike loads differ by so much, and rolling radii are known no better.
const sameLead = 0.6

// windUp is what the two axles do to each other.
func (l *line) windUp() *WindUp {
	if len(l.driven()) < 2 || !l.rolls() {
		return nil
	}
	tread := func(e int) float64 { return l.ends[e].rolls / l.total(e) }
	f, r := tread(int(solid.Front)), tread(int(solid.Rear))
	w := &WindUp{LeadPct: 100 * (f/r - 1), MMPerM: 1000 * math.Abs(f-r) / min(f, r)}
	overrun := solid.Front // the slower one is pushed along by the ground
	if f > r {
		overrun = solid.Rear
	}
	w.Frees = w.LeadPct != 0 && l.ends[overrun].diff == "one-way"
	if l.weighed {
		// The weaker axle's grip is all that the ground can hold against.
		n := l.loads(0)
		force := math.Inf(1)
		for _, e := range l.driven() {
			force = min(force, l.ends[e].grip*n[e])
		}
		t := force * max(l.ends[0].radius, l.ends[1].radius)
		if w.Frees || math.Abs(w.LeadPct) < sameLead {
			t = 0
		}
		w.TorqueNMM = &t
	}
	return w
}
