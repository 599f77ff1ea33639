package drive

import (
	"math"

	"lowslung/channel"
	"lowslung/finding"
	"lowslung/solid"
)

// Cautions of every drive line.
var cautions = [...]string{
	"Packs: never charge one alone or unattended, stop at 3.2 V a cell, store at half charge; one that is puffed, pierced or was hot goes out of the house and to the recycling yard.",
	"First run with the wheels off the ground, the rig strapped down, fingers, hair and sleeves clear: tyres grow and throw stones.",
	"Motors, controllers and brakes get hot enough to burn. Take the pack off before touching gears.",
}

// Assess answers the question.
func Assess(m *solid.Model, o Options) (Answer, error) {
	a := Answer{Stages: []Stage{}, Points: []Point{}, Pinions: []Pinion{}, Weak: []Margin{}, Shafts: []DriveShaft{}, Heat: []HeatAt{}, Cautions: []string{}, Findings: []finding.Finding{}}
	if m.Doc == nil || m.Doc.Drive == nil {
		a.Findings = append(a.Findings, finding.New(finding.Note, "drive/no-drive",
			"The document says nothing about the drive line: write drive: with motor, battery, stages, front and rear."))
		return a, nil
	}
	a.Cautions = append(a.Cautions, cautions[:]...)
	l := compile(m)
	a.Stages = append(a.Stages, l.stages...)
	if l.whole && len(l.driven()) > 0 {
		l.answer(&a, o)
	}
	a.Findings = append(a.Findings, l.find...)
	l.judge(&a, o)
	finding.Sort(a.Findings)
	return a, nil
}

// answer fills in what needs whole ratios.
func (l *line) answer(a *Answer, o Options) {
	l.weigh()
	a.Axles = l.axles()
	a.Shafts = l.shafts()
	a.WindUp = l.windUp()
	if l.motor == nil {
		return
	}
	a.Motor = l.motorLine()
	a.Points = l.points(o)
	a.Pinions, a.OtherPitch = l.pinions(o)
	a.Weak = l.weak()
	a.Control = l.control()
	a.Brake = l.brake()
	a.Heat, a.RunTimeMin = l.profile()
}

func (l *line) axles() Axles {
	var out Axles
	slip := l.slip(0)
	for _, e := range l.driven() {
		x := &Axle{TotalRatio: l.total(e), Overdrive: l.ends[e].over, Efficiency: l.eta(e), Diff: l.ends[e].diff}
		if l.motor != nil {
			rpm := l.motor.Speed(l.motor.I0) / l.total(e)
			x.NoLoadWheelRPM = &rpm
			if r := l.ends[e].rolls; r > 0 {
				v := omega(rpm) * r / 1000
				x.NoLoadSpeedMPerS = &v
			}
		}
		if r := l.ends[e].radius; r > 0 {
			rolls := l.ends[e].rolls
			x.LoadedRadiusMM, x.RollingRadiusMM = &r, &rolls
		}
		if l.weighed && l.ends[e].radius > 0 {
			t := slip[e]
			lifted := t
			if x.Diff == "open" {
				lifted = 0 // an open differential gives both wheels the same, and the one in the air takes none
			}
			x.SlipWheelTorqueNMM, x.LiftedTorqueNMM = &t, &lifted
			if sum := slip.sum(); l.rolls() && sum > 0 {
				s := t / sum
				x.TorqueShare = &s
			}
		}
		if e == int(solid.Front) {
			out.Front = x
		} else {
			out.Rear = x
		}
	}
	return out
}

func (l *line) motorLine() *MotorLine {
	m := l.motor
	pk := l.part(l.doc.Battery).Pack
	_, full, off := cell(pk.Chemistry)
	most, by, bound := l.limit()
	out := &MotorLine{
		KtNMMPerA: m.Kt(), VoltsV: m.Volts, FullV: full * float64(pk.Cells), CutOffV: off * float64(pk.Cells), ResistanceOhm: m.R, SourceOhm: m.Pack,
		NoLoadA: m.I0, NoLoadRPM: m.Speed(m.I0), StallCurrentA: m.Stall(), StallTorqueNMM: m.Torque(m.Stall()), BestEfficiencyA: m.BestEfficiency(),
		ToAirKPerW: m.ToAir, WarmsInS: m.TimeConst,
	}
	if bound {
		out.LimitA, out.LimitBy = &most, by
	}
	i := min(most, (m.Stall()+m.I0)/2) // T·ω is largest halfway between no load and stall
	out.PeakPowerW = m.Torque(i) / 1000 * omega(m.SpeedAt(i, m.Throttle(i)))
	return out
}

// Numbers are the answer's numbers for the catalogue, in program units.
func (a *Answer) Numbers() []channel.Value {
	var out []channel.Value
	top := math.Inf(1)
	for _, one := range []struct {
		name string
		ax   *Axle
	}{{"front", a.Axles.Front}, {"rear", a.Axles.Rear}} {
		if one.ax == nil {
			continue
		}
		out = append(out, channel.Of(one.name+" gear ratio", one.ax.TotalRatio))
		if v := one.ax.NoLoadSpeedMPerS; v != nil {
			top = min(top, *v)
		}
	}
	if !math.IsInf(top, 1) {
		out = append(out, channel.Of("top speed", top))
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
