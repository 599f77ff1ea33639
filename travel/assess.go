package travel

import (
	"fmt"
	"math"

	"lowslung/finding"
	"lowslung/solid"
)

const (
	deg = math.Pi / 180
	// UsualSlop is the play assumed in every link, mm: common practice for worn rod ends on M3 bolts.
	UsualSlop = 0.1
)

// Assess answers the question for the axles asked for. The error is one of use: an axle or grid that makes no sense.
func Assess(m *solid.Model, o Options) (Answer, error) {
	ends, err := o.check()
	if err != nil {
		return Answer{}, err
	}
	st := StandOf(m)
	a := Answer{Findings: st.Notes}
	if a.Findings == nil {
		a.Findings = []finding.Finding{}
	}
	a.BellyClearanceMM = st.bellyClearance()
	clear := st.Clearances(m)
	var near []approach
	shocked := true
	for _, end := range ends {
		if !m.Axles[end].Present {
			a.Findings = append(a.Findings, finding.New(finding.Note, "travel/no-axle",
				"There is no %s axle in the document: write %s: with near and parts, and links to it.", end, end).For(end.String()))
			continue
		}
		ax, found, known := sweep(m, st, end, o)
		near, shocked = append(near, found...), shocked && known
		a.Findings = append(a.Findings, judge(m, st, end, &ax, o)...)
		if end == solid.Front {
			a.Axles.Front = &ax
		} else {
			a.Axles.Rear = &ax
		}
	}
	list := clearancesOf(clear, near)
	a.Clearances = make([]Clearance, len(list))
	for i := range list {
		a.Clearances[i] = list[i].Clearance
	}
	a.LeastClearanceMM = leastOf(clear, a.Clearances, st, ends)
	if a.Axles != (Axles{}) {
		a.Findings = append(a.Findings, judgeClearances(clear, list, shocked, o)...)
	}
	a.Findings = append(a.Findings, judgeTargets(m, st, &a, o)...)
	finding.Sort(a.Findings)
	return a, nil
}

func (o *Options) check() ([]solid.End, error) {
	if o.Heave == (Span{}) {
		o.Heave = usualHeave
	}
	if o.Roll == (Span{}) {
		o.Roll = usualRoll
	}
	if err := o.Heave.Check(); err != nil {
		return nil, fmt.Errorf("heave: %w", err)
	}
	if err := o.Roll.Check(); err != nil {
		return nil, fmt.Errorf("roll: %w", err)
	}
	if o.Roll.From < -80 || o.Roll.To > 80 {
		return nil, fmt.Errorf("roll: found %s, expected degrees between -80 and 80", o.Roll)
	}
	if math.Abs(o.Heave.From) > 1e4 || math.Abs(o.Heave.To) > 1e4 {
		return nil, fmt.Errorf("heave: found %s, expected mm between -10000 and 10000", o.Heave)
	}
	switch o.Axle {
	case "":
		return []solid.End{solid.Front, solid.Rear}, nil
	case "front":
		return []solid.End{solid.Front}, nil
	case "rear":
		return []solid.End{solid.Rear}, nil
	}
	return nil, fmt.Errorf("axle: found %q, expected front or rear", o.Axle)
}

// sweep goes over the grid: outward from the design pose along heave, and from each of those outward in roll; then to the
// limits, and over all that comes near anything on the way there. Shocked says that a shock gives the travel its ends.
func sweep(m *solid.Model, st *Stand, end solid.End, o Options) (ax Axle, near []approach, shocked bool) {
	mv := st.Movers[end]
	ax = Axle{Design: designOf(m, st, end), Poses: []AxlePose{}, Unreached: []Unreached{}, Rates: []Rates{}, RodEnds: []RodEndState{}}
	ax.room = NoRoom()
	if !mv.Solved {
		return ax, nil, true
	}
	left := newRoomer(m, end)
	left.design(mv.Design)
	heaves, rolls := o.Heave.Values(), o.Roll.Values()
	starts, reached := fan(mv, mv.Design, heaves, func(h float64) (float64, float64) { return mv.Design.Z + h, mv.Design.Roll })
	for i, h := range heaves {
		if !reached[i] {
			for _, r := range rolls {
				ax.Unreached = append(ax.Unreached, Unreached{HeaveMM: h, RollDeg: r, Why: "the links are at full reach"})
			}
			continue
		}
		mv.Jump(starts[i])
		if r, ok := ratesAt(m, st, end, h); ok {
			ax.Rates = append(ax.Rates, r)
		}
		row, there := fan(mv, starts[i], rolls, func(r float64) (float64, float64) { return starts[i].Z, mv.Design.Roll + r*deg })
		for k, r := range rolls {
			if !there[k] {
				ax.Unreached = append(ax.Unreached, Unreached{HeaveMM: h, RollDeg: r, Why: "the links are at full reach"})
				continue
			}
			mv.Jump(row[k])
			ax.Poses = append(ax.Poses, poseAt(m, st, end, h, r))
			left.pose(row[k])
		}
	}
	ax.room = left.room
	ax.Limits, near, shocked = reachOf(m, st, mv, heaves, o)
	ax.RodEnds = rodEnds(m, mv, ax.Limits)
	mv.Jump(mv.Design)
	return ax, near, shocked
}

// fan visits values from the one nearest zero outward to both sides, starting from pose start each time, so that every
// value is reached from its neighbour.
func fan(mv *Mover, start Pose, values []float64, at func(float64) (z, roll float64)) ([]Pose, []bool) {
	poses, ok := make([]Pose, len(values)), make([]bool, len(values))
	mid := NearestZero(values)
	walk := func(from, to, by int) {
		mv.Jump(start)
		if from != mid {
			if !ok[mid] {
				return
			}
			mv.Jump(poses[mid])
		}
		for i := from; i != to; i += by {
			z, roll := at(values[i])
			if !mv.To(z, roll) {
				return
			}
			poses[i], ok[i] = mv.At(), true
		}
	}
	walk(mid, len(values), 1)
	walk(mid-1, -1, -1)
	return poses, ok
}

func designOf(m *solid.Model, st *Stand, end solid.End) Design {
	mv := st.Movers[end]
	mv.Jump(mv.Design)
	d := Design{
		Source: mv.Source, Solved: mv.Solved, XMM: mv.Design.X, YMM: mv.Design.Y, ZMM: mv.Design.Z, RollDeg: mv.Design.Roll / deg,
		SteerDeg: mv.Design.Steer / deg, PinionAngleDeg: pinionAngle(&m.Axles[end], mv.Design) / deg, WheelbaseMM: wheelbase(st, end, mv.Design), Links: []LinkState{},
	}
	if r, ok := ratesAt(m, st, end, 0); ok && mv.Solved {
		d.Rates = &r
	}
	stretch := mv.Stretch()
	for i, l := range mv.Links {
		d.Links = append(d.Links, LinkState{Name: l.Name, Side: l.Side.String(), LengthMM: l.Length, StretchMM: stretch[i]})
	}
	return d
}

// pinionAngle is the elevation of the pinion shaft pointing out of the axle against the chassis, rad, positive up.
func pinionAngle(a *solid.Axle, p Pose) float64 {
	r := p.Turn()
	return math.Asin(max(-1, min(1, r.Mul(a.PinionAxis).Z)))
}

// wheelbase is the distance to the other axle at its design pose along chassis x, mm; nil with one axle.
func wheelbase(st *Stand, end solid.End, p Pose) *float64 {
	other := st.Movers[end.Other()]
	if other == nil {
		return nil
	}
	w := p.X - other.Design.X
	if end == solid.Rear {
		w = -w
	}
	return &w
}

func poseAt(m *solid.Model, st *Stand, end solid.End, heave, roll float64) AxlePose {
	mv, a := st.Movers[end], &m.Axles[end]
	p := mv.At()
	pinion := pinionAngle(a, p)
	out := AxlePose{
		HeaveMM: heave, RollDeg: roll, XMM: p.X, YMM: p.Y, ZMM: p.Z, SteerDeg: p.Steer / deg, SpinDeg: p.Spin / deg,
		PinionAngleDeg: pinion / deg, PinionChangeDeg: (pinion - pinionAngle(a, mv.Design)) / deg,
		WheelbaseMM: wheelbase(st, end, p), StretchMM: mv.WorstStretch(), Shocks: []ShockState{}, Shafts: shaftStates(m, end, p),
	}
	if a.HalfTrack > 0 {
		up := a.HalfTrack * math.Sin(p.Roll)
		l, r := p.Z+up, p.Z-up
		out.LeftWheelZMM, out.RightWheelZMM = &l, &r
	}
	hr, rr, _, ok := mv.Rates()
	for i := range m.Shocks {
		s := &m.Shocks[i]
		if s.Axle != end {
			continue
		}
		t := StrutAt(m, s, p, hr, rr)
		side, front := t.Lean(s.Side)
		k := ShockState{Name: s.Name, Side: s.Side.String(), LengthMM: t.Length, LeanSideDeg: side / deg, LeanFrontDeg: front / deg}
		if ok {
			k.MotionRatio, k.RollRateMMPerDeg = -t.PerHeave, -t.PerRoll*deg
		}
		if s.Closed > 0 {
			v := t.Length - s.Closed
			k.StrokeLeftMM = &v
		}
		if s.Open > 0 {
			v := s.Open - t.Length
			k.DroopLeftMM = &v
		}
		out.Shocks = append(out.Shocks, k)
	}
	return out
}

// ratesAt works out the rates of motion at the mover's pose.
//
// Contact point C = p − r·n with n the ground's normal, r how far the axle is above it; v = dp + ω × (C − p) per mm of heave; side slope −v·f/v·n for the rear
// axle and +v·f/v·n for the front, f forward along the ground. Anti-squat, anti-lift 100·k·t·L/h: k the axle's share of the
// tractive force, L wheelbase, h centre-of-mass height; solid axle, drive torque reacted in the housing (Gillespie,
// Fundamentals of Vehicle Dynamics, 1992, ch. 7, from memory; checked against a full link-force balance).
func ratesAt(m *solid.Model, st *Stand, end solid.End, heave float64) (Rates, bool) {
	mv, radius, g := st.Movers[end], st.Radius[end], &st.Ground
	hr, rr, sys, ok := mv.Rates()
	if !ok {
		return Rates{}, false
	}
	p := mv.At()
	out := Rates{HeaveMM: heave, RollAxisDeg: math.Atan2(rr.Omega.Z, rr.Omega.X) / deg, RollSteerDegPerDeg: rr.Steer}
	c := p.Origin().Along(g.Up, -radius)
	v := hr.At(p, c)
	t := v.Dot(g.Forward) / v.Dot(g.Up)
	if end == solid.Rear {
		t = -t
	}
	if math.IsNaN(t) || math.IsInf(t, 0) { // heave does not move the contact point off the ground
		return Rates{}, false
	}
	out.SideSlope = t
	if pct, known := antiPct(m, st, end, t); known {
		if end == solid.Rear {
			out.AntiSquatPct = &pct
		} else {
			out.AntiLiftPct = &pct
		}
	}
	// The axle-fixed point at rest in the side view: dp + ω_y·(z, −x) = 0.
	if w := hr.Omega.Y; math.Abs(w) > 1e-7 {
		x, z := p.X+hr.Origin.Z/w, p.Z-hr.Origin.X/w
		out.InstantCenterXMM, out.InstantCenterZMM = &x, &z
	}
	if radius > 0 && math.Abs(rr.Omega.X) > 1e-9 {
		h := radius + rr.Origin.Y/rr.Omega.X
		out.RollCenterHeightMM = &h
	}
	if q, fixed := sys.Slop(UsualSlop); fixed {
		twist := q[2] / deg
		out.PlayLateralMM, out.PlaySteerDeg = &q[1], &twist
	}
	return out, true
}

// antiPct is 100·k·t·L/h; known is false when wheelbase, ground or weight is missing.
func antiPct(m *solid.Model, st *Stand, end solid.End, t float64) (float64, bool) {
	if !st.Weighed || m.Axles[end].Traction == 0 {
		return 0, false
	}
	return 100 * m.Axles[end].Traction * t * st.Base / st.Height, true
}
