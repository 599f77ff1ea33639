package steer

import (
	"math"

	"lowslung/channel"
	"lowslung/finding"
	"lowslung/solid"
	"lowslung/travel"
)

// Assess answers the question. The error is one of use: a sweep or grid that makes no sense.
func Assess(m *solid.Model, o Options) (Answer, error) {
	if err := o.check(); err != nil {
		return Answer{}, err
	}
	a := Answer{Sweep: []Point{}, Missed: []Missed{}, Findings: []finding.Finding{}}
	if !m.Steer.Present {
		a.Findings = append(a.Findings, finding.New(finding.Note, "steer/no-steer",
			"The document has no steer, so nothing is said about steering: write steer with kingpin, arm, drag_link, servo and horn."))
		return a, nil
	}
	st := travel.StandOf(m)
	l, bad := Compile(m, st, o.Units)
	b := newBench(m, st, l)
	a.Findings = append(a.Findings, bad...)
	a.Findings = append(a.Findings, b.lacking(st, len(bad) > 0)...)
	if _, wrong := pins(&m.Steer); m.Steer.HasKingpin && len(wrong) == 0 {
		a.Kingpin = b.pin.answer()
	}
	if l != nil {
		mv := st.Movers[solid.Front]
		ends := [2]end{b.end(1), b.end(-1)}
		a.Middle = b.middle()
		a.Locks = &Locks{Left: b.lock(&ends[left], 1), Right: b.lock(&ends[right], -1)}
		var measured bool
		a.Locks.Left.Clearances, _ = b.clearances(st, &ends[left])
		if a.Locks.Right.Clearances, measured = b.clearances(st, &ends[right]); measured {
			v := min(*travel.Least(a.Locks.Left.Clearances), *travel.Least(a.Locks.Right.Clearances))
			a.Locks.LeastClearanceMM = &v
		}
		b.sweep(&a, &o, &ends)
		a.Bumps = b.bumps(mv, &o, &ends)
		a.Servo = b.servo(&ends)
		a.Findings = append(a.Findings, b.judge(st, &a, &o, &ends)...)
		a.Findings = append(a.Findings, judgeClearances(a.Locks, o.Units)...)
	}
	if m.Doc != nil {
		a.Findings = append(a.Findings, channel.Judge(m.Doc, a.Numbers(), o.Units)...)
	}
	finding.Sort(a.Findings)
	return a, nil
}

// sweep goes over the servo angles outward from the middle, so that each is reached from its neighbour.
func (b *bench) sweep(a *Answer, o *Options, ends *[2]end) {
	list := o.servoAngles(b.reach)
	if !b.l.horned && o.Servo == (travel.Span{}) {
		lo, hi := ends[right].servo, ends[left].servo
		list = list[:0]
		for i := -8; i <= 8; i++ {
			at := hi * float64(i) / 8
			if i < 0 {
				at = lo * float64(-i) / 8
			}
			list = append(list, at)
		}
	}
	points := make([]*Point, len(list))
	dir := b.leftward()
	walk := func(from, by int) {
		s, at := b.mid, 0.0
		for i := from; i >= 0 && i < len(list); i += by {
			to := list[i]
			steps := math.Ceil(math.Abs(to-at) / lookStep)
			for n := min(1, steps); n <= steps; n++ { // a way in small steps, so that no dead centre is jumped
				t := to
				if n < steps {
					t = at + (to-at)*n/steps
				}
				next, fault := b.l.At(b.pose, t, s)
				if fault != Fits {
					b.miss(a, list, i, by, fault)
					return
				}
				s = next
			}
			at = to
			p := b.point(to, s)
			p.PastStop = b.past(to*dir, ends)
			points[i] = &p
		}
	}
	first := 0
	for first < len(list) && list[first] < 0 {
		first++
	}
	walk(first, 1)
	walk(first-1, -1)
	for _, p := range points {
		if p != nil {
			a.Sweep = append(a.Sweep, *p)
		}
	}
}

// past says whether the stop holds the wheels before a servo angle; positive is to the left.
func (b *bench) past(leftward float64, ends *[2]end) bool {
	dir := b.leftward()
	return ends[left].setBy == byStop && leftward > dir*ends[left].servo+1e-9 ||
		ends[right].setBy == byStop && leftward < dir*ends[right].servo-1e-9
}

func (b *bench) miss(a *Answer, list []float64, from, by int, fault Fault) {
	why := "the drag link is over-centre or out of reach"
	if fault == TieOut {
		why = "the tie rod is over-centre or out of reach"
	}
	for i := from; i >= 0 && i < len(list); i += by {
		a.Missed = append(a.Missed, Missed{ServoDeg: list[i] / deg, Why: why})
	}
}
