package drive

import (
	"math"

	"lowslung/finding"
	"lowslung/quantity"
	"lowslung/solid"
)

// A pull is the torque that the wheels of each axle give, N·mm.
type pull [2]float64

// at the motor, what a pull needs, N·mm: each axle's torque through its ratio and efficiency. The axles are locked to each other, so the
// motor's torque is the sum.
func (l *line) motorTorque(t pull) float64 {
	sum := 0.0
	for _, e := range l.driven() {
		sum += t[e] / (l.total(e) * l.eta(e))
	}
	return sum
}

func (t pull) sum() float64 { return t[0] + t[1] }

func (t pull) times(f float64) pull { return pull{t[0] * f, t[1] * f} }

// loads are the normal forces under both axles on a slope, N: weight and its moment about the contact points; an axle that would lift has 0.
func (l *line) loads(slope float64) [2]float64 {
	across := l.weight * math.Cos(slope)
	front := l.weight * (math.Cos(slope)*l.front - math.Sin(slope)*l.height/l.base)
	front = min(max(front, 0), across)
	return [2]float64{front, across - front}
}

// slip is the pull at which every driven wheel slips on a slope: friction times load times radius.
func (l *line) slip(slope float64) pull {
	var t pull
	n := l.loads(slope)
	for _, e := range l.driven() {
		t[e] = l.ends[e].grip * n[e] * l.ends[e].radius
	}
	return t
}

// climb is the pull that carries the rig up a slope: F = W·(sin a + rolling·cos a) at the treads, shared between the driven axles as their
// grip is. (How two axles that are locked together share it, nothing but tyre slip decides; this way both slip together.)
func (l *line) climb(slope float64) pull {
	var t pull
	n := l.loads(slope)
	total := 0.0
	for _, e := range l.driven() {
		total += l.ends[e].grip * n[e]
	}
	if total == 0 {
		total = math.Inf(1)
	}
	f := l.weight * (math.Sin(slope) + rolling*math.Cos(slope))
	for _, e := range l.driven() {
		t[e] = f * l.ends[e].grip * n[e] / total * l.ends[e].radius
	}
	return t
}

// share is the split of torque where only a motor current is known: as at wheel slip, or even where nothing is weighed.
func (l *line) share() pull {
	if l.weighed && l.rolls() {
		if t := l.slip(0); t.sum() > 0 {
			return t.times(1 / t.sum())
		}
	}
	var t pull
	for _, e := range l.driven() {
		t[e] = 1 / float64(len(l.driven()))
	}
	return t
}

// point works one way of working out; slip is the pull at which grip ends.
func (l *line) point(name string, want, slip pull) Point {
	by, reached := "", true
	for e := range want {
		if want[e] > slip[e]*(1+1e-9) {
			want, by, reached = slip, "grip", false
			break
		}
	}
	i := l.motor.Current(l.motorTorque(want))
	if most, what, _ := l.limit(); i > most {
		part := 0.0
		if t := l.motorTorque(want); t > 0 {
			part = l.motor.Torque(most) / t
		}
		want, by, reached, i = want.times(part), what, false, most
	}
	return l.working(name, want, i, by, reached)
}

// working fills in a point whose wheels give a pull at a motor current.
func (l *line) working(name string, t pull, i float64, by string, reached bool) Point {
	m := l.motor
	u := m.Throttle(i)
	p := Point{
		Name: name, LimitedBy: by, Reached: reached, CurrentA: i, Throttle: u, PackA: u * i, PackV: m.Volts - u*i*m.Pack,
		MotorRPM: m.SpeedAt(i, u), WheelTorqueNMM: t.sum(),
	}
	if l.rolls() {
		v := l.speed(p.MotorRPM)
		p.SpeedMPerS = &v
	}
	w := omega(p.MotorRPM)
	p.Power = Power{Pack: m.Volts * u * i, Source: u * i * u * i * m.Pack, Winding: i * i * m.R, Idle: m.idle(p.MotorRPM)}
	for _, e := range l.driven() {
		out := t[e] / 1000 * w / l.total(e)
		p.Power.Wheels += out
		p.Power.Gears += out * (1/l.eta(e) - 1)
	}
	if p.Power.Pack > 0 {
		p.Efficiency = p.Power.Wheels / p.Power.Pack
	}
	p.WindingC = m.Warm(m.Ambient, i, p.Power.Idle, 60)
	if s := m.Holds(i, p.Power.Idle, hotLimit); !math.IsInf(s, 1) {
		p.HoldsS = &s
		if s < 60 && by == "" {
			p.LimitedBy = "motor heat"
		}
	}
	return p
}

// onMotor is a point of the motor's own line at a current. Where the wheels slip before it on the level it says so; the numbers are those of
// the line all the same.
func (l *line) onMotor(name string, i float64) Point {
	by, reached := "", true
	if most, what, _ := l.limit(); i > most {
		i, by, reached = most, what, false
	}
	s := l.share()
	t := s.times(l.motor.Torque(i) / l.motorTorque(s))
	if slip := l.slip(0); reached && l.weighed && l.rolls() && t.sum() > slip.sum()*(1+1e-9) {
		by, reached = "grip", false
	}
	return l.working(name, t, i, by, reached)
}

// points are the usual ways of working.
func (l *line) points(o Options) []Point {
	out := []Point{}
	if l.weighed && l.rolls() {
		level := l.slip(0)
		out = append(out, l.point("flat", l.climb(0), level), l.point("30° climb", l.climb(math.Pi/6), l.slip(math.Pi/6)),
			l.point("45° climb", l.climb(math.Pi/4), l.slip(math.Pi/4)), l.point("wheel slip", level, level))
		r := l.ends[solid.Front].radius
		if r == 0 {
			r, _ = radii(l.m, int(solid.Front))
		}
		h := o.LedgeMM
		if h <= 0 {
			h = r / 2
		}
		name := "ledge of " + quantity.DimLength.Format(h, o.Units)
		if t, ok := l.ledge(h); ok {
			out = append(out, l.point(name, t, pull{math.Inf(1), math.Inf(1)}))
		} else {
			p := l.point(name, level, level)
			p.Reached = false
			if p.LimitedBy == "" || p.LimitedBy == "motor heat" {
				p.LimitedBy = "grip"
			}
			out = append(out, p)
		}
	} else {
		l.say(finding.New(finding.Note, "drive/no-weight", "Working points on the ground need the weight of the rig, both axles and their tyres."))
	}
	return append(out, l.onMotor("peak power", l.motor.Stall()/2+l.motor.I0/2), l.onMotor("best efficiency", l.motor.BestEfficiency()))
}
