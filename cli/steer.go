package cli

import (
	"github.com/spf13/cobra"

	"lowslung/quantity"
	"lowslung/steer"
)

func newSteer() *cobra.Command {
	var a asked
	var servo, heave, roll string
	c := &cobra.Command{
		Use:   "steer FILE",
		Short: "What the front wheels do at lock and over bumps",
		Args:  cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			p, err := a.begin(c)
			if err != nil {
				return err
			}
			o, err := steer.ParseOptions(servo, heave, roll, p.units)
			if err != nil {
				return err
			}
			l, err := load(args[0])
			if err != nil {
				return err
			}
			ans, err := steer.Assess(l.model, o)
			if err != nil {
				return err
			}
			return p.give(ans, ans.Findings, func() { p.steer(l.model.Name, &ans) })
		},
	}
	a.flags(c)
	c.Flags().StringVar(&servo, "servo", "", "servo angles from its middle, degrees, as from:to:step (default its travel in steps of 5)")
	c.Flags().StringVar(&heave, "heave", "", "heave from the design pose, mm, as from:to:step (default -25:25:5)")
	c.Flags().StringVar(&roll, "roll", "", "axle roll, degrees, as from:to:step (default -15:15:5)")
	return c
}

func (p *printer) steer(name string, a *steer.Answer) {
	p.title("%s: steer", name)
	p.findings(a.Findings)
	if list := a.Numbers(); len(list) > 0 {
		p.title("Numbers at ride height")
		p.values(list)
	}
	if a.Locks != nil {
		p.title("At lock, angles in degrees")
		p.locks(a.Locks)
		p.clearances("At left lock: what comes near the front wheels", a.Locks.Left.Clearances)
		p.clearances("At right lock: what comes near the front wheels", a.Locks.Right.Clearances)
	}
	if len(a.Sweep) > 0 {
		p.title("Over the servo's angle, degrees, positive to the left")
		p.sweep(a)
	}
	if u := a.Bumps; u != nil && u.ServoOn == "chassis" {
		p.bumps(u)
	}
	if s := a.Servo; s != nil {
		p.title("Servo at standstill: an estimate")
		torque := func(v float64) string { return quantity.DimTorque.Format(v, p.units) }
		rows := [][]string{
			{"load left, right", quantity.DimForce.Format(s.LeftLoadN, p.units) + ", " + quantity.DimForce.Format(s.RightLoadN, p.units)},
			{"friction (" + s.FrictionFrom + ")", quantity.Fixed(s.Friction, 2)},
			{"patch width, offset from the kingpin", quantity.DimLength.Format(s.PatchWidthMM, p.units) + ", " + quantity.DimLength.Format(s.OffsetMM, p.units)},
			{"moment about both kingpins", torque(s.KingpinsNMM)},
			{"at the servo about straight ahead", torque(s.MiddleNMM)},
			{"at the servo at worst (servo " + degrees(s.NeededServoDeg, p.units) + ")", torque(s.NeededNMM)},
		}
		if s.RatedNMM != nil {
			rows = append(rows, []string{"rating, stalled", torque(*s.RatedNMM)})
		}
		p.table([]string{"estimate", "value"}, rows)
	}
}

func (p *printer) locks(k *steer.Locks) {
	mm := p.unit(quantity.DimLength)
	head := []string{"turned", "servo", "inner", "outer", "ideal outer", "error", "Ackermann %", "circle " + mm, "transmission", "set by"}
	row := func(name string, l *steer.Lock) []string {
		return []string{name, quantity.Fixed(l.ServoDeg, 1), quantity.Fixed(l.InnerDeg, 1), quantity.Fixed(l.OuterDeg, 1), plain(l.IdealOuterDeg, 1),
			plain(l.AckermannOffDeg, 1), plain(l.AckermannPct, 0), p.maybe(quantity.DimLength, l.TurningCircleMM, 0), quantity.Fixed(l.TransmissionDeg, 0), l.SetBy}
	}
	p.table(head, [][]string{row("left", &k.Left), row("right", &k.Right)})
}

func (p *printer) sweep(a *steer.Answer) {
	head := []string{"servo", "left", "right", "ideal outer", "error", "Ackermann %", "circle " + p.unit(quantity.DimLength),
		"drag link at", "tie rod at", "servo " + p.unit(quantity.DimTorque), ""}
	var rows [][]string
	for i := range a.Sweep {
		q := &a.Sweep[i]
		mark := ""
		if q.PastStop {
			mark = "past stop"
		}
		rows = append(rows, []string{quantity.Fixed(q.ServoDeg, 1), quantity.Fixed(q.LeftDeg, 1), quantity.Fixed(q.RightDeg, 1),
			plain(q.IdealOuterDeg, 1), plain(q.AckermannOffDeg, 1), plain(q.AckermannPct, 0), p.maybe(quantity.DimLength, q.TurningCircleMM, 0),
			plain(q.DragDeg, 0), quantity.Fixed(q.TieDeg, 0), p.maybe(quantity.DimTorque, q.ServoTorqueNMM, 0), mark})
	}
	p.table(head, rows)
	for _, m := range a.Missed {
		p.line("servo %s: not reached, %s", degrees(m.ServoDeg, p.units), m.Why)
	}
}

// bumps prints heave at zero roll and roll at ride height; the whole grid is in the JSON.
func (p *printer) bumps(u *steer.Bumps) {
	p.title("Over bumps, servo held at its middle: steer angles against the chassis, degrees")
	head := []string{"heave " + p.unit(quantity.DimLength), "roll", "left", "right", "change", "axle's own"}
	var heave, roll [][]string
	for i := range u.Poses {
		q := &u.Poses[i]
		row := []string{p.num(quantity.DimLength, q.HeaveMM, 0), quantity.Fixed(q.RollDeg, 0), quantity.Fixed(q.LeftDeg, 2), quantity.Fixed(q.RightDeg, 2),
			quantity.Fixed(q.ChangeDeg, 2), quantity.Fixed(q.AxleSteerDeg, 2)}
		if q.RollDeg == 0 {
			heave = append(heave, row)
		}
		if q.HeaveMM == 0 && q.RollDeg != 0 {
			roll = append(roll, row)
		}
	}
	p.table(head, append(heave, roll...))
}
