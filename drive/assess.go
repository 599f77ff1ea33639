package drive

import (
	"math"

	"lowslung/channel"
	"lowslung/finding"
	"lowslung/quantity"
	"lowslung/rig"
	"lowslung/solid"
	"lowslung/travel"
)

// Assess answers the question.
func Assess(m *solid.Model, o Options) (Answer, error) {
	a := Answer{Stages: []Stage{}, Points: []Point{}, Pinions: []Pinion{}, Weak: []Margin{}, Heat: []HeatAt{}, Findings: []finding.Finding{}}
	if m.Doc == nil || m.Doc.Drive == nil {
		a.Findings = append(a.Findings, finding.New(finding.Note, "drive/no-drive",
			"The document says nothing about the drive line: write drive: with motor, battery, stages, front and rear."))
		return a, nil
	}
	l := compile(m)
	l.weigh(travel.StandOf(m))
	a.Stages = append(a.Stages, l.stages...)
	a.Axles = l.axles()
	if l.motor != nil && (l.driven[0] || l.driven[1]) {
		a.Motor = l.motorLine()
		a.Points = l.points(o)
		a.Pinions = l.pinions()
		a.Weak = l.weak()
		a.Heat, a.RunTimeMin = l.profile()
	}
	a.Findings = append(a.Findings, l.find...)
	l.judge(&a, o)
	finding.Sort(a.Findings)
	return a, nil
}

// weigh takes mass and axle loads, standing level in the design pose.
func (l *line) weigh(st *travel.Stand) {
	if !st.Weighed {
		return
	}
	mass, at := solid.CenterOfMass(l.m.Lumps(st.Stance()))
	front := at.Sub(st.Ground.Point).Dot(st.Ground.Forward) / st.Base
	w := mass * quantity.Gravity / 1000
	l.mass, l.load = mass, [2]float64{w * front, w * (1 - front)}
}

// slow is the ratio of the axle that turns slower: it carries the road speed, the other one's tyres slip a little.
func (l *line) slow() float64 { return max(l.axle[0], l.axle[1]) }

// rolls is the radius that goes with slow, mm.
func (l *line) rolls() float64 {
	if l.axle[0] >= l.axle[1] {
		return l.radius[0]
	}
	return l.radius[1]
}

// speed is the road speed at a motor speed, m/s.
func (l *line) speed(rpm float64) float64 {
	return rpm / l.slow() * 2 * math.Pi / 60 * l.rolls() / 1000
}

func (l *line) axles() Axles {
	var out Axles
	for end := range l.driven {
		if !l.driven[end] {
			continue
		}
		x := &Axle{TotalRatio: l.axle[end], Overdrive: l.over[end]}
		if l.motor != nil {
			rpm := l.motor.Speed(l.motor.I0) / l.axle[end]
			x.NoLoadWheelRPM = &rpm
			if r := l.radius[end]; r > 0 {
				v := rpm * 2 * math.Pi / 60 * r / 1000
				x.NoLoadSpeedMPerS = &v
			}
		}
		if l.mass > 0 && l.radius[end] > 0 {
			t := l.grip * l.load[end] * l.radius[end]
			x.SlipWheelTorqueNMM = &t
		}
		if end == int(solid.Front) {
			out.Front = x
		} else {
			out.Rear = x
		}
	}
	return out
}

func (l *line) motorLine() *MotorLine {
	m := l.motor
	out := &MotorLine{
		KtNMMPerA: m.Kt(), VoltsV: m.Volts, NoLoadRPM: m.Speed(m.I0), StallCurrentA: m.Stall(), StallTorqueNMM: m.Torque(m.Stall()), LimitBy: m.By,
		BestEfficiencyA: m.BestEfficiency(),
	}
	if !math.IsInf(m.Limit, 1) {
		v := m.Limit
		out.LimitA = &v
	}
	i := min(m.Limit, m.Stall()/2) // peak power at half the stall current (maximum of T·ω), or at the limit
	out.PeakPowerW = m.Torque(i) / 1000 * m.Speed(i) * 2 * math.Pi / 60
	return out
}

// wheelsPer is what all wheels together get per N·mm of the motor: the axles are locked to each other, so torque splits as grip asks, and
// the sum at the wheels is the motor's times ratio times efficiency (with over-drive, between the two ratios; the slower is taken).
func (l *line) wheelsPer() float64 { return l.slow() * l.efficiency() }

// point works one way of working out from the torque that all wheels together must give; grip is the torque at which they slip.
func (l *line) point(name string, need, grip float64) Point {
	m := l.motor
	i := m.Current(need / l.wheelsPer())
	p := Point{Name: name, WheelTorqueNMM: need, CurrentA: i, Reached: true}
	switch {
	case need > grip*(1+1e-9):
		p.LimitedBy, p.Reached = "grip", false
		p.WheelTorqueNMM, i = grip, m.Current(grip/l.wheelsPer())
	}
	if most := min(m.Limit, m.Stall()); i > most {
		p.Reached = false
		i, p.LimitedBy = most, m.By
		if m.Stall() <= m.Limit {
			p.LimitedBy = "motor"
		}
		p.WheelTorqueNMM = m.Torque(i) * l.wheelsPer()
	}
	p.CurrentA = i
	p.MotorRPM = m.Speed(i)
	p.SpeedMPerS = l.speed(p.MotorRPM)
	if in := m.Volts * i; in > 0 {
		p.Efficiency = p.WheelTorqueNMM / 1000 * p.MotorRPM / l.slow() * 2 * math.Pi / 60 / in
	}
	p.WindingC = m.Ambient + m.Rise(i, 60)
	return p
}

// points are the usual ways of working. Slope of angle a: weight·(sin a + rolling·cos a)·radius; grip on it μ·weight·cos a·radius. Ledge of
// height h: the front wheels turn about its edge, weight on them × √(2rh − h²) (statics of a wheel on a step, as in Halliday, Resnick &
// Walker ch. 12), helped by nothing: an upper estimate.
func (l *line) points(o Options) []Point {
	out := []Point{}
	if l.mass == 0 || l.rolls() == 0 {
		l.say(finding.New(finding.Note, "drive/no-weight", "Working points need the rig's weight and its tyres."))
		return out
	}
	w, r := l.mass*quantity.Gravity/1000, l.rolls()
	grip := func(a float64) float64 { return l.grip * w * math.Cos(a) * r }
	need := func(a float64) float64 { return w * (math.Sin(a) + rolling*math.Cos(a)) * r }
	out = append(out, l.point("flat", need(0), grip(0)), l.point("30° climb", need(math.Pi/6), grip(math.Pi/6)),
		l.point("45° climb", need(math.Pi/4), grip(math.Pi/4)), l.point("wheel slip", grip(0), grip(0)))
	h := o.LedgeMM
	if h == 0 {
		h = r / 2
	}
	h = min(h, r)
	ledge := l.point("ledge of "+quantity.DimLength.Format(h, o.Units), l.load[solid.Front]*math.Sqrt(2*r*h-h*h), grip(0))
	return append(out, ledge)
}

// pinions is the table of what each pinion would do.
func (l *line) pinions() []Pinion {
	out := []Pinion{}
	if len(l.gears) == 0 {
		return out
	}
	pinion, spur := l.gears[0][0], l.gears[0][1]
	module := moduleOf(spur.Gear)
	if module == 0 {
		return out
	}
	seen := false
	for _, c := range l.pinionItems() {
		p := l.withPinion(c.Part, spur, module)
		p.Item, p.Fits, p.Why = c.Item, c.OK, c.Why
		if pinion.Item == c.Item {
			p.Fitted, seen = true, true
		}
		out = append(out, p)
	}
	if !seen {
		p := l.withPinion(pinion, spur, module)
		p.Fitted, p.Fits, p.Item = true, true, pinion.Item
		out = append(out, p)
	}
	sortPinions(out)
	return out
}

func (l *line) withPinion(p, spur *rig.Part, module float64) Pinion {
	z, zs, now := p.Gear.Teeth, spur.Gear.Teeth, l.gears[0][0].Gear.Teeth
	swap := *l
	factor := float64(now) / float64(z) // of every ratio: the first stage's driver changes
	swap.axle = [2]float64{l.axle[0] * factor, l.axle[1] * factor}
	alpha := 20 * math.Pi / 180
	if p.Gear.Pressure != nil {
		alpha = float64(*p.Gear.Pressure)
	}
	out := Pinion{
		Teeth: z, CenterDistanceMM: Distance(z, zs, module), MoveMM: Distance(z, zs, module) - Distance(now, zs, module), Ratio: swap.slow(),
		ContactRatio: ContactRatio(z, zs, module, alpha), Undercut: float64(z) < Undercut(alpha),
	}
	if l.rolls() == 0 {
		return out
	}
	v := swap.speed(l.motor.Speed(l.motor.I0))
	out.SpeedMPerS = &v
	if l.mass == 0 {
		return out
	}
	w, r := l.mass*quantity.Gravity/1000, l.rolls()
	slip := l.motor.Current(l.grip * w * r / swap.wheelsPer())
	climb := l.motor.Current(w * (math.Sin(math.Pi/4) + rolling*math.Cos(math.Pi/4)) * r / swap.wheelsPer())
	out.SlipCurrentA, out.ClimbCurrentA = &slip, &climb
	t := l.motor.Torque(min(slip, l.motor.Limit, l.motor.Stall()))
	if mg, ok := toothMargin(p, spur, module, t); ok {
		out.ToothMargin = &mg
	}
	return out
}

// toothMargin is strength over Lewis stress of the weaker of two meshing gears with torque t on the first, standing still (a stalled wheel
// is the worst case on rock).
func toothMargin(a, b *rig.Part, module, t float64) (float64, bool) {
	margin, ok := math.Inf(1), false
	w := t / (module * float64(a.Gear.Teeth) / 2)
	for _, g := range []*rig.Part{a, b} {
		mat, known := solid.MaterialOf(g.Material)
		if !known || mat.Yield == 0 || g.Gear.Face == nil {
			continue
		}
		ok = true
		margin = min(margin, mat.Yield/Bending(w, float64(*g.Gear.Face), module, FormFactor(g.Gear.Teeth), 0))
	}
	return margin, ok
}

func moduleOf(g *rig.Gear) float64 {
	if g.Module != nil {
		return float64(*g.Module)
	}
	if g.DP != nil {
		return 25.4 / *g.DP
	}
	return 0
}

// weak is what breaks first when all wheels are at the slip limit, or the motor at its limit, whichever is less.
func (l *line) weak() []Margin {
	out := []Margin{}
	if l.mass == 0 || l.rolls() == 0 {
		return out
	}
	t := l.motor.Torque(min(l.motor.Current(l.grip*l.mass*quantity.Gravity/1000*l.rolls()/l.wheelsPer()), l.motor.Limit, l.motor.Stall()))
	for i, train := range l.gears {
		for k := 0; k+1 < len(train); k++ {
			a, b := train[k], train[k+1]
			module := moduleOf(a.Gear)
			if module == 0 || math.Abs(module-moduleOf(b.Gear)) > 1e-6 {
				continue
			}
			w := t / (module * float64(a.Gear.Teeth) / 2)
			for n, g := range []*rig.Part{a, b} {
				if k > 0 && n == 0 {
					continue // counted as the second of the mesh before
				}
				mat, known := solid.MaterialOf(g.Material)
				if !known || mat.Yield == 0 || g.Gear.Face == nil {
					continue
				}
				s := Bending(w, float64(*g.Gear.Face), module, FormFactor(g.Gear.Teeth), 0)
				out = append(out, Margin{Part: l.stages[i].Gears[k+n], What: "tooth bending", Stress: s, Holds: mat.Yield, Margin: mat.Yield / s})
			}
			t *= float64(b.Gear.Teeth) / float64(a.Gear.Teeth) * l.eff
		}
	}
	sortMargins(out)
	return out
}

// profile is the usual run: of each minute 36 s crawl on the flat, 18 s climb at 30°, 6 s dash at the current limit (an assumption). The
// winding is followed with one time constant.
func (l *line) profile() ([]HeatAt, *float64) {
	out := []HeatAt{}
	if l.mass == 0 || l.rolls() == 0 {
		return out, nil
	}
	w, r, m := l.mass*quantity.Gravity/1000, l.rolls(), l.motor
	amp := func(a float64) float64 {
		return min(m.Current(w*(math.Sin(a)+rolling*math.Cos(a))*r/l.wheelsPer()), m.Limit, m.Stall())
	}
	phases := []struct {
		doing   string
		seconds float64
		amps    float64
	}{{"crawl", 36, amp(0)}, {"climb", 18, amp(math.Pi / 6)}, {"dash", 6, min(m.Limit, m.Stall(), m.Current(l.grip*w*r/l.wheelsPer()))}}
	rise, at, charge := 0.0, 0.0, 0.0
	for minute := 0; minute < 20; minute++ {
		for _, p := range phases {
			final := p.amps * p.amps * m.R * 1.2 * m.ToAir
			rise = final + (rise-final)*math.Exp(-p.seconds/m.TimeConst)
			at += p.seconds
			out = append(out, HeatAt{Seconds: at, WindingC: m.Ambient + rise, Doing: p.doing})
			if minute == 0 {
				charge += p.amps * p.seconds / 3600 * 1000 // mAh
			}
		}
	}
	if l.cap == 0 || charge == 0 {
		return out, nil
	}
	run := 0.8 * l.cap / charge
	return out, &run
}

// Numbers are the answer's numbers for the catalogue, in program units.
func (a *Answer) Numbers() []channel.Value {
	var out []channel.Value
	for _, one := range []struct {
		name string
		ax   *Axle
	}{{"front", a.Axles.Front}, {"rear", a.Axles.Rear}} {
		if one.ax == nil {
			continue
		}
		out = append(out, channel.Of(one.name+" gear ratio", one.ax.TotalRatio))
	}
	if s := a.slowest(); s != nil {
		out = append(out, channel.Of("top speed", *s))
	}
	for _, p := range a.Points {
		if p.Name == "wheel slip" {
			out = append(out, channel.Of("current at wheel slip", p.CurrentA))
		}
	}
	if a.RunTimeMin != nil {
		out = append(out, channel.Of("run time", *a.RunTimeMin*60))
	}
	return out
}

func (a *Answer) slowest() *float64 {
	var out *float64
	for _, x := range []*Axle{a.Axles.Front, a.Axles.Rear} {
		if x != nil && x.NoLoadSpeedMPerS != nil && (out == nil || *x.NoLoadSpeedMPerS < *out) {
			out = x.NoLoadSpeedMPerS
		}
	}
	return out
}
