package cli

import (
	"fmt"

	"github.com/spf13/cobra"

	"lowslung/drive"
	"lowslung/quantity"
)

func newDrive() *cobra.Command {
	var a asked
	var ledge string
	c := &cobra.Command{
		Use:   "drive FILE",
		Short: "What motor, gears and battery deliver, and which pinion to fit",
		Args:  cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			p, err := a.begin(c)
			if err != nil {
				return err
			}
			o, err := drive.ParseOptions(ledge, p.units)
			if err != nil {
				return err
			}
			l, err := load(args[0])
			if err != nil {
				return err
			}
			ans, err := drive.Assess(l.model, o)
			if err != nil {
				return err
			}
			return p.give(ans, ans.Findings, func() { p.drive(l.model.Name, &ans) })
		},
	}
	a.flags(c)
	c.Flags().StringVar(&ledge, "ledge", "", "height of the ledge among the working points, mm; half a tyre radius when left out")
	return c
}

func (p *printer) drive(name string, a *drive.Answer) {
	p.title("%s: drive (everything here is an estimate)", name)
	p.findings(a.Findings)
	p.ratios(a)
	p.motorLine(a)
	p.workingPoints(a)
	p.pinionTable(a)
	p.weakest(a)
	p.driveRest(a)
	if len(a.Cautions) > 0 {
		p.title("Take care")
		for _, c := range a.Cautions {
			p.line("%s", c)
		}
	}
}

func (p *printer) ratios(a *drive.Answer) {
	if len(a.Stages) == 0 {
		return
	}
	p.title("Ratios")
	var rows [][]string
	apart := func(s *drive.Stage, pick func(*drive.Mesh) *float64, f func(float64) string) string {
		var out []string
		for i := range s.Meshes {
			if v := pick(&s.Meshes[i]); v != nil {
				out = append(out, f(*v))
			} else {
				out = append(out, "?")
			}
		}
		return joined(out)
	}
	mm := func(v float64) string { return p.num(quantity.DimLength, v, 2) }
	for i := range a.Stages {
		s := &a.Stages[i]
		rows = append(rows, []string{
			joined(s.Gears), joined(s.Teeth), quantity.Fixed(s.Ratio, 3), apart(s, func(m *drive.Mesh) *float64 { return m.CenterDistanceMM }, mm),
			apart(s, func(m *drive.Mesh) *float64 { return m.PlacedMM }, mm),
			apart(s, func(m *drive.Mesh) *float64 { return m.ContactRatio }, func(v float64) string { return quantity.Fixed(v, 2) }),
		})
	}
	unit := p.unit(quantity.DimLength)
	p.table([]string{"stage", "teeth", "ratio", "axes apart " + unit, "as placed " + unit, "contact ratio"}, rows)
	p.title("Axles")
	rows = nil
	for _, one := range []struct {
		name string
		x    *drive.Axle
	}{{"front", a.Axles.Front}, {"rear", a.Axles.Rear}} {
		if x := one.x; x != nil {
			rows = append(rows, []string{
				one.name, quantity.Fixed(x.TotalRatio, 2), quantity.Fixed(100*x.Efficiency, 0), p.maybe(quantity.DimLength, x.LoadedRadiusMM, 1), p.maybe(quantity.DimLength, x.RollingRadiusMM, 1), plain(x.NoLoadWheelRPM, 0), p.maybe(quantity.DimSpeed, x.NoLoadSpeedMPerS, 2),
				p.maybe(quantity.DimTorque, x.SlipWheelTorqueNMM, 0), share(x.TorqueShare), x.Diff, p.maybe(quantity.DimTorque, x.LiftedTorqueNMM, 0),
			})
		}
	}
	torque := p.unit(quantity.DimTorque)
	p.table([]string{"axle", "motor turns per wheel turn", "gears %", "radius " + p.unit(quantity.DimLength), "rolls at " + p.unit(quantity.DimLength), "no-load rpm", p.unit(quantity.DimSpeed), "slips at " + torque, "share %", "left to right", "one wheel lifted " + torque}, rows)
}

func (p *printer) motorLine(a *drive.Answer) {
	m := a.Motor
	if m == nil {
		return
	}
	p.title("Motor on its pack")
	torque := p.unit(quantity.DimTorque)
	rows := [][]string{
		{"torque constant", p.num(quantity.DimTorque, m.KtNMMPerA, 2) + " " + torque + "/A"},
		{"pack: nominal, full, cut-off", fmt.Sprintf("%.1f, %.1f, %.1f V", m.VoltsV, m.FullV, m.CutOffV)},
		{"resistance: winding, pack with leads", fmt.Sprintf("%.1f, %.1f mΩ", 1000*m.ResistanceOhm, 1000*m.SourceOhm)},
		{"speed without load", quantity.Fixed(m.NoLoadRPM, 0) + " rpm at " + quantity.Fixed(m.NoLoadA, 1) + " A"},
		{"stall at full throttle, before any limit", quantity.Fixed(m.StallCurrentA, 0) + " A, " + p.num(quantity.DimTorque, m.StallTorqueNMM, 0) + " " + torque},
		{"best efficiency at", quantity.Fixed(m.BestEfficiencyA, 1) + " A"},
		{"largest shaft power within the limits", quantity.Fixed(m.PeakPowerW, 0) + " W"},
		{"warms through in, by", fmt.Sprintf("%.0f s, %.1f K/W", m.WarmsInS, m.ToAirKPerW)},
	}
	if m.LimitA != nil {
		rows = append(rows, []string{"current limit, by the " + m.LimitBy, quantity.Fixed(*m.LimitA, 0) + " A"})
	}
	p.table([]string{"motor", "value"}, rows)
}

func (p *printer) workingPoints(a *drive.Answer) {
	if len(a.Points) == 0 {
		return
	}
	p.title("Working points")
	var rows [][]string
	for _, q := range a.Points {
		by := q.LimitedBy
		if by == "" {
			by = "reached"
		}
		rows = append(rows, []string{
			q.Name, quantity.Fixed(q.MotorRPM, 0), p.maybe(quantity.DimSpeed, q.SpeedMPerS, 2), quantity.Fixed(q.CurrentA, 1), quantity.Fixed(q.PackV, 1),
			p.num(quantity.DimTorque, q.WheelTorqueNMM, 0), quantity.Fixed(100*q.Efficiency, 0), quantity.Fixed(q.WindingC, 0), by,
		})
	}
	p.table([]string{"point", "motor rpm", p.unit(quantity.DimSpeed), "motor A", "pack V", "wheel torque " + p.unit(quantity.DimTorque), "efficiency %", "°C after 1 min", "ended by"}, rows)
}

func (p *printer) pinionTable(a *drive.Answer) {
	if len(a.Pinions) == 0 {
		return
	}
	p.title("Pinions for the spur fitted: * is on the motor now")
	mm, speed := p.unit(quantity.DimLength), p.unit(quantity.DimSpeed)
	var rows [][]string
	for _, x := range a.Pinions {
		what := x.Item
		if x.Fitted {
			what += " *"
		}
		why := x.Why
		if x.Undercut && why == "" {
			why = "undercut unless cut with shift"
		}
		have := ""
		if x.Have != nil {
			have = fmt.Sprint(*x.Have)
		}
		rows = append(rows, []string{
			fmt.Sprint(x.Teeth), what, have, yes(x.Fits), p.num(quantity.DimLength, x.CenterDistanceMM, 2), p.num(quantity.DimLength, x.MoveMM, 2), quantity.Fixed(x.Ratio, 1),
			p.maybe(quantity.DimSpeed, x.SpeedMPerS, 2), plain(x.SlipCurrentA, 1), plain(x.ClimbCurrentA, 1), plain(x.WindingC, 0), plain(x.ToothMargin, 1), plain(x.ShaftMargin, 1),
			quantity.Fixed(x.ContactRatio, 2), why,
		})
	}
	p.table([]string{"teeth", "item", "have", "goes on", "axes apart " + mm, "motor moves " + mm, "ratio", speed, "slip A", "45° A", "run °C", "tooth margin", "shaft margin", "contact", ""}, rows)
	if a.OtherPitch > 0 {
		p.line("%d more in the bin have another pitch.", a.OtherPitch)
	}
}

func (p *printer) weakest(a *drive.Answer) {
	if len(a.Weak) > 0 {
		p.title("What gives way first, at wheel slip or with the whole rig on one axle")
		var rows [][]string
		for _, w := range a.Weak {
			stress, holds := quantity.Fixed(w.Stress, 0), quantity.Fixed(w.Holds, 0)
			if w.Holds == 0 {
				stress, holds = "", ""
			}
			rows = append(rows, []string{w.Part, w.What, w.Stuff, p.num(quantity.DimTorque, w.Torque, 0), stress, holds, quantity.Fixed(w.Margin, 1)})
		}
		p.table([]string{"part", "by", "material", "torque " + p.unit(quantity.DimTorque), "stress MPa", "holds MPa", "margin"}, rows)
	}
	if len(a.Shafts) > 0 {
		p.title("Drive shafts, as it stands")
		var rows [][]string
		for _, s := range a.Shafts {
			rows = append(rows, []string{
				s.Shaft, p.maybe(quantity.DimLength, s.LengthMM, 1), plain(s.JointDeg, 1), p.maybe(quantity.DimTorque, s.TorqueNMM, 0), p.maybe(quantity.DimTorque, s.JointTorqueNMM, 0),
				plain(s.RPM, 0), plain(s.CriticalRPM, 0),
			})
		}
		torque := p.unit(quantity.DimTorque)
		p.table([]string{"shaft", "length " + p.unit(quantity.DimLength), "joint °", "torque " + torque, "peak in joint " + torque, "no-load rpm", "whips at rpm"}, rows)
	}
}

func (p *printer) driveRest(a *drive.Answer) {
	var rows [][]string
	speed := p.unit(quantity.DimSpeed)
	if w := a.WindUp; w != nil {
		rows = append(rows, []string{"front tread ahead of the rear", quantity.Fixed(w.LeadPct, 1) + " %"})
	}
	if c := a.Control; c != nil {
		rows = append(rows, []string{fmt.Sprintf("speed per step of throttle, %d taken", c.Steps), p.num(quantity.DimSpeed, c.StepMPerS, 3) + " " + speed + ", " + quantity.Fixed(c.StepRPM, 1) + " wheel rpm"})
		if c.FirstStep != nil {
			rows = append(rows, []string{"moves off on the flat at step", fmt.Sprintf("%d, with %s %s", *c.FirstStep, p.num(quantity.DimSpeed, *c.LeastMS, 3), speed)})
		}
	}
	if b := a.Brake; b != nil {
		creep := func(v *float64) string {
			if v == nil {
				return "tyres slide"
			}
			return p.num(quantity.DimSpeed, *v, 3) + " " + speed
		}
		rows = append(rows, []string{fmt.Sprintf("drag brake at %.0f %%: creeps down 30°, 45° at", 100*b.Share), creep(b.Creep30) + ", " + creep(b.Creep45)})
	}
	if n := len(a.Heat); n > 0 {
		rows = append(rows, []string{fmt.Sprintf("winding after %.0f min of the profile", a.Heat[n-1].Seconds/60), quantity.Fixed(a.Heat[n-1].WindingC, 0) + " °C"})
	}
	if a.RunTimeMin != nil {
		rows = append(rows, []string{"run time over the profile, to 20 % left", quantity.Fixed(*a.RunTimeMin, 0) + " min"})
	}
	if len(rows) > 0 {
		p.title("Control, brake, heat, run time")
		p.table([]string{"estimate", "value"}, rows)
	}
}

func share(v *float64) string {
	if v == nil {
		return ""
	}
	return quantity.Fixed(100**v, 0)
}

func joined[T any](list []T) string {
	out := ""
	for i, v := range list {
		if i > 0 {
			out += " – "
		}
		out += fmt.Sprint(v)
	}
	return out
}

func yes(v bool) string {
	if v {
		return "yes"
	}
	return "no"
}
