package drive

import "math"

const (
	rounds = 20   // of the usual profile: twenty minutes
	used   = 0.8  // of the pack's capacity: common practice leaves a fifth
	steps  = 100. // of the throttle: an assumption; radios have more, triggers and thumbs fewer
	most   = 400  // points of the temperature curve
)

// A phase is one part of a run at the motor.
type phase struct {
	name           string
	seconds        float64
	amps, throttle float64
	idle           float64 // no-load loss, W
}

// phases are those of the document, or a usual minute: 36 s crawl on the flat at 30 % of the throttle, 18 s climb at 30° at half, 6 s of
// wheel slip at full (an assumption).
func (l *line) phases() []phase {
	at := func(name string, seconds, slope, throttle float64, slip bool) phase {
		t := l.climb(slope)
		if s := l.slip(slope); slip || t.sum() > s.sum() {
			t = s
		}
		m := l.motor
		limit, _, _ := l.limit()
		i := min(max(m.Current(l.motorTorque(t)), 0), limit) // downhill the motor is not driven: no regeneration is counted
		u := min(throttle, m.Throttle(i))
		rpm := m.SpeedAt(i, u)
		if rpm == 0 { // this throttle does not turn it: the current is what the mean voltage drives through the winding
			i = min(i, stalled(m, u))
		}
		return phase{name, seconds, i, u, m.idle(rpm)}
	}
	if len(l.doc.Profile) == 0 {
		return []phase{at("crawl", 36, 0, 0.3, false), at("climb", 18, math.Pi/6, 0.5, false), at("dash", 6, 0, 1, true)}
	}
	var out []phase
	for i := range l.doc.Profile {
		e := &l.doc.Profile[i]
		slope, throttle := 0.0, 1.0
		if e.Value.Slope != nil {
			slope = float64(*e.Value.Slope)
		}
		if e.Value.Throttle != nil {
			throttle = float64(*e.Value.Throttle)
		}
		out = append(out, at(e.Name, float64(e.Value.Time), slope, throttle, e.Value.Slip))
	}
	return out
}

// stalled is the current at standstill at a throttle: u·U = I·(R + u²·Rs).
func stalled(m *Motor, u float64) float64 { return u * m.Volts / (m.R + u*u*m.Pack) }

// profile follows the winding over the run, and the pack until it is at 20 %, min.
func (l *line) profile() ([]HeatAt, *float64) {
	out := []HeatAt{}
	if !l.weighed || !l.rolls() {
		return out, nil
	}
	list := l.phases()
	charge, round := 0.0, 0.0 // mAh and s of a round
	for _, p := range list {
		charge += p.throttle * p.amps * p.seconds / 3.6
		round += p.seconds
	}
	var run *float64
	if l.cap > 0 && charge > 0 {
		v := used * l.cap / charge * round / 60
		run = &v
	}
	at, now := 0.0, l.motor.Ambient
	for at < rounds*60 && len(out) < most {
		for _, p := range list {
			now = l.motor.Warm(now, p.amps, p.idle, p.seconds)
			at += p.seconds
			out = append(out, HeatAt{Seconds: at, WindingC: now, Doing: p.name})
		}
	}
	return out, run
}
