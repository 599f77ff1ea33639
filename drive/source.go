package drive

import (
	"math"

	"lowslung/finding"
	"lowslung/quantity"
	"lowslung/rig"
)

const (
	gravity   = quantity.Gravity / 1000 // m/s²
	air       = 25.0                    // °C
	hotLimit  = 100.0                   // °C of the winding, above which magnets and lacquer suffer: common practice
	usualAir  = 4.5                     // K/W, a bare 36 mm can: an assumption
	usualMass = 0.16                    // kg of a motor that is not weighed
	heatOf    = 430.0                   // J/(kg·K): between copper 385 and iron 450 (handbooks)
	warmWire  = 1.157                   // copper at 60 °C against 20 °C
)

// cell is the voltage of one cell: nominal, full, and where a controller cuts off. Lithium 3.7 and 4.2 V: IEC 61960-3; cut-off 3.2 V common
// practice. Nickel metal hydride 1.2 V nominal (IEC 61951-2), 1.45 and 0.9 V common practice.
func cell(chemistry string) (nominal, full, off float64) {
	if chemistry == "nickel metal hydride" {
		return 1.2, 1.45, 0.9
	}
	return 3.7, 4.2, 3.2
}

func (l *line) motorAndPack() {
	mp, bp := l.part(l.doc.Motor), l.part(l.doc.Battery)
	lacks := func(code, need, about string) {
		l.say(finding.New(finding.Note, code, "Nothing is said about speed and torque: %s.", need).For(about))
	}
	switch {
	case mp == nil || mp.Motor == nil || mp.Motor.Kv == nil || mp.Motor.Resistance == nil:
		lacks("drive/no-motor", "the motor needs kv and resistance", "drive/motor")
		return
	case *mp.Motor.Kv <= 0 || *mp.Motor.Resistance <= 0:
		// A document cannot say so; a model that was made otherwise can.
		l.say(finding.New(finding.Stop, "drive/bad-motor", "The motor has kv %g rpm/V and %g Ω; expected both above 0.", float64(*mp.Motor.Kv), float64(*mp.Motor.Resistance)).For("drive/motor"))
		return
	case bp == nil || bp.Pack == nil || bp.Pack.Cells < 1:
		lacks("drive/no-pack", "battery needs a part with pack: and its cells", "drive/battery")
		return
	}
	w, pk := mp.Motor, bp.Pack
	nominal, full, _ := cell(pk.Chemistry)
	m := &Motor{
		Kv: float64(*w.Kv), R: float64(*w.Resistance), Volts: nominal * float64(pk.Cells), Limit: math.Inf(1), PackLimit: math.Inf(1),
		Ambient: air, ToAir: usualAir,
	}
	if w.NoLoad != nil {
		m.I0 = float64(*w.NoLoad)
	}
	if w.ToAir != nil {
		m.ToAir = *w.ToAir
	}
	mass := usualMass
	if mp.Mass != nil && *mp.Mass > 0 {
		mass = float64(*mp.Mass)
	}
	m.TimeConst = mass * heatOf * m.ToAir
	if w.TimeConst != nil {
		m.TimeConst = float64(*w.TimeConst)
	}
	if pk.Resistance != nil {
		m.Pack = float64(*pk.Resistance)
	}
	if wire := l.doc.Wire; wire != nil {
		perMetre, _ := rig.Gauge(wire.Gauge)
		m.Pack += 2 * float64(wire.Length) / 1000 * perMetre / 1000 * warmWire
	}
	if pk.MaxCurrent != nil {
		m.PackLimit = float64(*pk.MaxCurrent)
	}
	limit := func(a *quantity.Current, by string) {
		if a != nil && float64(*a) < m.Limit {
			m.Limit, m.By = float64(*a), by
		}
	}
	limit(w.MaxCurrent, "motor")
	if cp := l.part(l.doc.Controller); cp != nil && cp.Controller != nil {
		limit(cp.Controller.MaxCurrent, "controller")
	}
	if pk.Capacity != nil {
		l.cap = float64(*pk.Capacity)
	}
	if most := w.MaxVolts; most != nil && full*float64(pk.Cells) > float64(*most)+0.05 {
		l.say(finding.New(finding.Stop, "drive/over-voltage", "%d cells are %.1f V when full, and the motor is for %.1f V at most.", pk.Cells, full*float64(pk.Cells), float64(*most)).
			For("drive/battery", "chassis/parts/"+l.doc.Battery, "chassis/parts/"+l.doc.Motor).CuredBy("a pack with fewer cells, or a motor for more"))
	}
	l.motor = m
}

// limit is the largest motor current that can be had at any speed, and what sets it: motor, controller, what the pack gives at a standstill,
// the slipper, or the winding's resistance at full throttle ("motor" too, with bound false).
func (l *line) limit() (most float64, by string, bound bool) {
	m := l.motor
	most, by, bound = m.Limit, m.By, !math.IsInf(m.Limit, 1)
	if i := m.PackStall(); i < most {
		most, by, bound = i, "pack", true
	}
	if s := l.doc.Slipper; s != nil && len(l.stages) > 0 {
		train := l.gears[0] // not the stage: a pinion that is tried stands here
		ratio := float64(train[len(train)-1].Gear.Teeth) / float64(train[0].Gear.Teeth)
		if i := m.Current(float64(*s) / (ratio * math.Pow(l.eff, float64(len(train)-1)))); i < most {
			most, by, bound = i, "slipper", true
		}
	}
	if i := m.Stall(); i < most {
		return i, "motor", false
	}
	return most, by, bound
}
