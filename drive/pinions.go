package drive

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"lowslung/mates"
	"lowslung/quantity"
	"lowslung/rig"
)

// pinions is the table of what each pinion of the bin would do, and how many are left out for their pitch.
func (l *line) pinions(o Options) ([]Pinion, int) {
	out := []Pinion{}
	if len(l.gears) == 0 {
		return out, 0
	}
	pinion, spur := l.gears[0][0], l.gears[0][1]
	module := moduleOf(spur.Gear)
	if module == 0 {
		return out, 0
	}
	list, other := mates.PinionsFor(l.m, l.doc.Stages[0][0], l.doc.Stages[0][1], l.doc.Motor)
	seen := false
	for _, c := range list {
		p := l.withPinion(c.Part, spur, module, o)
		p.Item, p.Have, p.Price, p.Currency = c.Item, c.Part.Have, c.Part.Price, c.Part.Money
		if !c.OK {
			p.Fits, p.Why = false, c.Why
		}
		if pinion.Item == c.Item {
			p.Fitted, seen = true, true
		}
		out = append(out, p)
	}
	if !seen {
		p := l.withPinion(pinion, spur, module, o)
		p.Fitted, p.Item = true, pinion.Item
		if was := moduleOf(pinion.Gear); was == 0 || math.Abs(was-module) > 1e-6 {
			p.Fits, p.Why = false, "its pitch is another than the spur's"
		}
		out = append(out, p)
	}
	slices.SortStableFunc(out, func(a, b Pinion) int { return cmp.Compare(a.Teeth, b.Teeth) })
	return out, other
}

// try is the line with another pinion on the motor.
func (l *line) try(p *rig.Part) *line {
	swap := *l
	swap.gearbox *= float64(l.gears[0][0].Gear.Teeth) / float64(p.Gear.Teeth)
	swap.gears = slices.Clone(l.gears)
	swap.gears[0] = slices.Clone(l.gears[0])
	swap.gears[0][0] = p
	return &swap
}

func (l *line) withPinion(p, spur *rig.Part, module float64, o Options) Pinion {
	z, zs, now := p.Gear.Teeth, spur.Gear.Teeth, l.gears[0][0].Gear.Teeth
	with := l.try(p)
	alpha := pressure(p.Gear)
	out := Pinion{
		Teeth: z, Fits: true, CenterDistanceMM: Distance(z, zs, module), MoveMM: Distance(z, zs, module) - Distance(now, zs, module), Ratio: with.total(with.road()),
		ContactRatio: ContactRatio(z, zs, module, alpha, 0), Undercut: float64(z) < Undercut(alpha),
	}
	if s := l.doc.Slot; s != nil {
		const least = 0.005 // mm: as the slot is written
		mm := func(v float64) string { return quantity.DimLength.FormatDigits(v, o.Units, 2) }
		if d := out.CenterDistanceMM; d < float64(s.From)-least {
			out.Fits, out.Why = false, fmt.Sprintf("the mount's slot begins at %s, and the teeth ask for %s", mm(float64(s.From)), mm(d))
		} else if d > float64(s.To)+least {
			out.Fits, out.Why = false, fmt.Sprintf("the mount's slot ends at %s, and the teeth ask for %s", mm(float64(s.To)), mm(d))
		}
	}
	if !l.rolls() {
		return out
	}
	v := with.speed(l.motor.Speed(l.motor.I0))
	step := v / steps
	out.SpeedMPerS, out.StepMPerS = &v, &step
	if !l.weighed {
		return out
	}
	slip := l.motor.Current(with.motorTorque(with.slip(0)))
	hold := l.motor.Current(with.motorTorque(with.climb(math.Pi / 4)))
	out.SlipCurrentA, out.ClimbCurrentA = &slip, &hold
	most, _, _ := with.limit()
	out.Slips = slip <= most
	hot := l.motor.Ambient
	run, _ := with.profile()
	for _, h := range run {
		hot = max(hot, h.WindingC)
	}
	out.WindingC = &hot
	i := min(slip, most)
	t, rpm := l.motor.Torque(i), l.motor.SpeedAt(i, l.motor.Throttle(i))
	for _, tooth := range teethOf(p, spur, "", "", module, t, rpm) {
		if out.ToothMargin == nil || tooth.Margin < *out.ToothMargin {
			out.ToothMargin = &tooth.Margin
		}
	}
	if d := l.motorShaft(); d > 0 && t > 0 {
		s := shear(steel) / Torsion(t, d)
		out.ShaftMargin = &s
	}
	return out
}

// motorShaft is the diameter of the motor's shaft, mm; 0 when it is not known.
func (l *line) motorShaft() float64 {
	p := l.part(l.doc.Motor)
	if p == nil {
		return 0
	}
	for i := range p.Ports {
		if q := &p.Ports[i].Value; q.Type == "shaft" && q.Diameter != nil {
			return float64(*q.Diameter)
		}
	}
	if p.Motor != nil && p.Motor.Shaft != nil {
		return float64(*p.Motor.Shaft)
	}
	return 0
}
