package ride

import (
	"math"
	"sync"

	"lowslung/balance"
	"lowslung/finding"
	"lowslung/solid"
)

const (
	// stride is the step in which the board is turned, whatever rows are asked for.
	stride = 5 * deg
	// steepHold is the steepest slope at which the drive's twist is told.
	steepHold = 45 * deg
)

var wheelNames = [4]string{"front left", "front right", "rear left", "rear right"}

// Assess answers the question. It has no error of use: options are checked where they are read.
func Assess(m *solid.Model, o Options) (Answer, error) {
	o.fill()
	a := Answer{Damping: []Damping{}, Findings: []finding.Finding{}}
	r, lacking := compile(m, o.Units)
	if lacking != nil {
		a.Findings = append(a.Findings, *lacking)
		return a, nil
	}
	r.posed = o.Poses
	a.Findings = append(a.Findings, r.notes...)
	w := newWork(r)
	if out := w.stand(); out != atRest {
		a.Findings = append(a.Findings, w.noRest(out, o))
		finding.Sort(a.Findings)
		return a, nil
	}
	level := w.save()
	springs := w.springings()
	a.Stance = w.stance(&springs)
	a.damping(w)
	need := o.needs(m)
	if need.views {
		a.sideViews(w, &level)
	}
	a.tilts(w, &level, o)
	if need.ramp {
		a.ramps(w, &level, o)
	}
	if !o.Brief {
		a.crossings(w, &level)
		a.twists(w, &level, o)
	}
	w.restore(&level)
	if o.Height > 0 || o.Sag > 0 || o.Zeta > 0 {
		a.wish(w, &springs, o)
	}
	a.judge(w, &springs, o)
	finding.Sort(a.Findings)
	return a, nil
}

// needs says which of the longer answers are worked out: all, or, when asked in brief, those that a target names.
func (o *Options) needs(m *solid.Model) (need struct{ ramp, views bool }) {
	need.ramp, need.views = !o.Brief, !o.Brief
	if m.Doc == nil {
		return need
	}
	for _, name := range m.Doc.Targets.Names() {
		switch name {
		case "ramp travel index":
			need.ramp = true
		case "approach angle", "departure angle", "breakover angle":
			need.views = true
		}
	}
	return need
}

func corners(l [4]float64) balance.Corners {
	return balance.Corners{FrontLeft: l[0], FrontRight: l[1], RearLeft: l[2], RearRight: l[3]}
}

// stance reads the bench at rest.
func (w *work) stance(springs *[2]springing) *Stance {
	r := w.mc
	s := &Stance{MassKG: r.mass, CornerLoadsN: corners(w.load), BellyN: w.bellyN, Shocks: []StanceShock{}, Steps: w.steps, UnrestN: w.unrest(), Pose: w.pose()}
	roll, pitch := w.attitude()
	s.ChassisRollDeg, s.ChassisPitchDeg = roll/deg, pitch/deg
	s.BellyClearanceMM = w.world(solid.Vec{X: (w.mo[0].p.X + w.mo[1].p.X) / 2}).Z
	if both := springs[0].both + springs[1].both; both > 0 {
		share := springs[0].both / both
		s.FrontRollShare = &share
	}
	for i, into := range []*StanceAxle{&s.Axles.Front, &s.Axles.Rear} {
		a, k := &r.axles[i], &springs[i]
		pinion := w.mo[i].r.Mul(r.model.Axles[i].PinionAxis)
		*into = StanceAxle{
			HeaveMM: w.at.z[i] - a.mv.Design.Z, RollDeg: w.at.phi[i] / deg, RideHeightMM: w.plane(i),
			PinionAngleDeg: math.Asin(max(-1, min(1, pinion.Z))) / deg, SprungMassKG: k.sprung,
			WheelRate: k.wheel, TyreRate: k.tyre, RollStiffness: k.both * deg, RollSprings: k.roll * deg, RollTyres: k.tyres * deg,
		}
		if k.hz > 0 {
			into.FrequencyHz, into.DampingRatio = nan(k.hz), nan(k.zeta)
		}
		for n := range a.struts {
			s.Shocks = append(s.Shocks, w.shock(&a.struts[n], w.mo[i].length[n].at))
		}
	}
	return s
}

// Words for what a shock rests on.
const (
	onSprings = "springs"
	onOpen    = "open"
	onClosed  = "closed"
	onCoils   = "coil bind"
	onNothing = "nothing"
)

func (w *work) shock(s *strut, length float64) StanceShock {
	c := s.model.Open - length
	_, f, _ := s.push(c, w.down(s), w.mc.hard)
	out := StanceShock{Name: s.model.Name, Side: s.model.Side.String(), LengthMM: length, ForceN: f, At: onSprings, axle: s.model.Axle.String()}
	if s.model.Open > 0 {
		out.SagMM = &c
		if !math.IsInf(s.stroke, 1) {
			share := c / s.stroke
			out.SagShare = &share
		}
	}
	switch {
	case s.model.Closed > 0 && length < s.model.Closed:
		out.At = onClosed
	case s.model.Open > 0 && c < 0:
		out.At = onOpen
	case len(s.outer) > 0 && c+s.model.Collar+w.down(s) > bound(s.model.Springs):
		out.At = onCoils
	case f == 0:
		out.At = onNothing
	}
	return out
}

// tilts turns the board four ways, each on a bench of its own, at the same time.
func (a *Answer) tilts(w *work, level *mark, o Options) {
	t := &Tilt{}
	var all sync.WaitGroup
	for i, into := range []*Tilting{&t.LeftDown, &t.RightDown, &t.NoseUp, &t.NoseDown} {
		own := newWork(w.mc.twin())
		all.Go(func() { own.tilting(&ways[i], level, o, into) })
	}
	all.Wait()
	a.Tilt = t
}

// tilting is one way: the rigid angle, the tip, the rows between, and what the tip would be with the shocks locked.
func (w *work) tilting(d *way, level *mark, o Options, into *Tilting) {
	*into = Tilting{Sweep: []Leaning{}}
	w.restore(level)
	into.RigidDeg = w.rigid(d) / deg
	if o.Brief {
		into.read(w.tilt(d, level, stride, mostTilt*deg, nil))
		return
	}
	roll0, pitch0 := w.attitude()
	see := func(keep int) func(float64) {
		n := 0
		return func(angle float64) {
			if n++; (n-1)%keep == 0 {
				into.Sweep = append(into.Sweep, w.lean(angle).row(d, roll0, pitch0))
			}
		}
	}
	// Rows that fall on the board's own steps come with them; others on a way of their own.
	keep := o.Step * deg / stride
	whole := math.Abs(keep-math.Round(keep)) < 1e-9
	if !whole {
		w.tilt(d, level, o.Step*deg, mostTilt*deg, see(1))
	}
	var show func(float64)
	if whole {
		show = see(int(math.Round(keep)))
	}
	run := w.tilt(d, level, stride, mostTilt*deg, show)
	into.read(run)
	if n := len(into.Sweep); !math.IsNaN(run.tip) && (n == 0 || into.Sweep[n-1].AngleDeg < run.tip/deg-0.05) {
		into.Sweep = append(into.Sweep, w.lean(run.tip).row(d, roll0, pitch0))
	}
	if locked := w.tiltLocked(d, level); !math.IsNaN(locked) {
		locked /= deg
		into.LockedTipDeg = &locked
	}
}

// tiltLocked is the tip angle with the axles fixed to the chassis where they are, rad.
func (w *work) tiltLocked(d *way, level *mark) float64 {
	for i := 6; i < size; i++ {
		w.locked[i] = true
	}
	run := w.tilt(d, level, stride, mostTilt*deg, nil)
	w.locked = [size]bool{}
	return run.tip
}

func (t *Tilting) read(run leaning) {
	if !math.IsNaN(run.light) {
		v := run.light / deg
		t.FirstLightDeg, t.FirstLight = &v, wheelNames[run.which]
	}
	if !math.IsNaN(run.tip) {
		v, grip := run.tip/deg, math.Tan(run.tip)
		t.TipDeg, t.GripNeeded = &v, &grip
	}
}

func (l lean) row(d *way, roll0, pitch0 float64) Leaning {
	out := Leaning{AngleDeg: l.angle / deg, LoadsN: corners(l.load), ChassisRollDeg: l.roll / deg, ChassisPitchDeg: l.pitch / deg, Pose: l.pose}
	// Left down is a negative roll, nose up a negative pitch.
	out.LeanDeg = (-d.down.Y*(l.roll-roll0) + d.down.X*(l.pitch-pitch0)) / deg
	return out
}

func raised(rows []step) []Raised {
	out := []Raised{}
	for _, s := range rows {
		out = append(out, Raised{ByMM: s.by, LoadsN: corners(s.load), FrontRollDeg: s.phi[0] / deg, RearRollDeg: s.phi[1] / deg, ChassisRollDeg: s.roll / deg, BellyN: s.belly, Pose: s.pose})
	}
	return out
}

// ending says in words what ended a way.
func (w *work) ending(which int, why outcome) string {
	switch {
	case why == fell:
		return "it rolls over"
	case why == stalled:
		return "no rest was found beyond this"
	case which < 0:
		return "nothing: every wheel stays on the ground"
	}
	text := "the " + wheelNames[which] + " wheel lifts"
	if w.bellyN > 0 {
		text += ", with the belly on the ground"
	}
	return text
}

func (a *Answer) ramps(w *work, level *mark, o Options) {
	w.restore(level)
	base := (w.touch(0).Sub(w.touch(2)).X + w.touch(1).Sub(w.touch(3)).X) / 2
	keep := 3
	switch {
	case o.Brief:
		keep = 0
	case o.Poses:
		keep = 1
	}
	c := w.climb(0, o.Ramp*deg, base, level, keep)
	a.Ramp = &Ramp{Index: rampIndex(c.along, base), HeightMM: c.high, AlongMM: c.along, EndedBy: w.ending(c.which, c.why), SlopeDeg: o.Ramp, Wheelbase: base, Sweep: raised(c.rows)}
	if o.Brief {
		return
	}
	keep = 0
	if o.Poses {
		keep = 1
	}
	c = w.climb(1, o.Ramp*deg, base, level, keep)
	a.Ramp.Right = &RampSide{Index: rampIndex(c.along, base), HeightMM: c.high, EndedBy: w.ending(c.which, c.why), AlongMM: c.along, Sweep: raised(c.rows)}
}

// rampIndex is the ramp travel index: distance along the ramp over wheelbase, times 1000 (common practice).
func rampIndex(along, wheelbase float64) float64 { return along / wheelbase * 1000 }

func (a *Answer) crossings(w *work, level *mark) {
	a.CrossAxle = &CrossAxle{}
	for _, one := range []struct {
		i, k int
		into *Crossing
	}{{0, 3, &a.CrossAxle.FrontLeftUp}, {1, 2, &a.CrossAxle.FrontRightUp}} {
		keep := 2
		if w.mc.posed {
			keep = 1
		}
		c := w.cross(one.i, one.k, level, keep)
		*one.into = Crossing{HeightMM: c.high, TwistDeg: c.twist / deg, EndedBy: w.ending(c.which, c.why), Sweep: raised(c.rows)}
	}
}

func (a *Answer) twists(w *work, level *mark, o Options) {
	if !w.mc.geared() {
		return
	}
	by, keep := stride, 2
	if o.Poses {
		by, keep = min(stride, o.Step*deg), 1
	}
	run := w.twisted(level, by, steepHold, keep)
	t := &Torque{Turns: "clockwise", Sweep: []Holding{}}
	if w.mc.turns < 0 {
		t.Turns = "anticlockwise"
	}
	for i, into := range []**float64{&t.FrontRatio, &t.RearRatio} {
		if v := w.mc.axles[i].ratio; v > 0 {
			*into = &v
		}
	}
	if !math.IsNaN(run.light) {
		v := run.light / deg
		t.FirstLightDeg, t.FirstLight = &v, wheelNames[run.which]
	}
	if !math.IsNaN(run.tip) {
		v := run.tip / deg
		t.TipDeg = &v
	}
	for _, h := range run.rows {
		left := func(l [4]float64) float64 { return l[0] + l[2] }
		t.Sweep = append(t.Sweep, Holding{SlopeDeg: h.angle / deg, DriveForceN: h.force, FrontShaftNMM: h.shaft[0], RearShaftNMM: h.shaft[1],
			LoadsN: corners(h.load), ShiftedN: left(h.load) - left(h.plain.load), RollDeg: (h.roll - h.plain.roll) / deg, Pose: h.pose})
	}
	t.remedied(w.mc.model, o, by, keep)
	a.Torque = t
}

// damping lists the dampers; of a pair one stands for both.
func (a *Answer) damping(w *work) {
	for i := range w.mc.axles {
		for n := range w.mc.axles[i].struts {
			s := w.mc.axles[i].struts[n].model
			c, ok := dampingRate(&s.Damper, s.Damper.Oil)
			if !ok || s.Side == solid.Right {
				continue
			}
			holes, gap, _ := flows(&s.Damper, closing)
			ratio := w.mo[i].length[n].d[0]
			d := Damping{Shock: s.Name, OilCSt: s.Damper.Oil, RateNSM: c * 1000, GapShare: gap / (holes + gap), WheelRate: c * 1000 * ratio * ratio,
				Closing: strokeOf(&s.Damper, closing), Opening: strokeOf(&s.Damper, opening), Curve: []DampingPoint{}, Weather: []DampingAt{}}
			for _, v := range []float64{10, 25, 50, 100, 200, 400} {
				d.Curve = append(d.Curve, DampingPoint{v, dampingForce(&s.Damper, s.Damper.Oil, v, closing), d.Closing.RateNSM / 1000 * v,
					dampingForce(&s.Damper, s.Damper.Oil, v, opening), d.Opening.RateNSM / 1000 * v})
			}
			for _, t := range []float64{0, 10, 25, 40} {
				at, _ := dampingRate(&s.Damper, s.Damper.Oil)
				d.Weather = append(d.Weather, DampingAt{t, at * 1000 * oilAt(1, t)})
			}
			a.Damping = append(a.Damping, d)
		}
	}
}

func strokeOf(d *solid.Damper, s stroke) (out DampingStroke) {
	c, _ := strokeRate(d, d.Oil, s)
	out.RateNSM = c * 1000
	if v, ok := packsFrom(d, d.Oil, s); ok {
		out.PackFrom = &v
	}
	return out
}

// sideViews measures the angles as it stands and at full bump.
func (a *Answer) sideViews(w *work, level *mark) {
	w.restore(level)
	view := func() (*SideView, *clearing) {
		c := w.clear()
		name := func(o *outline) string {
			if o == nil {
				return ""
			}
			return o.name
		}
		return &SideView{c.approach / deg, name(c.front), c.departure / deg, name(c.rear), c.breakover / deg, name(c.middle), c.ridge(w.hub(0), w.hub(1))}, &c
	}
	v, c := view()
	a.Angles = &Angles{Standing: *v}
	if c.lowBy[0] != nil {
		low := c.low[0]
		a.Stance.LowestMM, a.Stance.LowestPart = &low, c.lowBy[0].name
	}
	for i, into := range []*StanceAxle{&a.Stance.Axles.Front, &a.Stance.Axles.Rear} {
		if c.lowBy[i+1] != nil {
			low := c.low[i+1]
			into.ClearanceMM = &low
		}
	}
	if w.squat() {
		a.Angles.FullBump, _ = view()
	}
	w.restore(level)
}
