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
			o := drive.Options{Units: p.units}
			if ledge != "" {
				if o.LedgeMM, err = quantity.DimLength.Parse(ledge); err != nil {
					return fmt.Errorf("ledge: %w", err)
				}
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
	if len(a.Stages) > 0 {
		p.title("Ratios")
		var rows [][]string
		for _, s := range a.Stages {
			rows = append(rows, []string{fmt.Sprint(joined(s.Gears)), fmt.Sprint(joined(s.Teeth)), quantity.Fixed(s.Ratio, 3)})
		}
		for _, one := range []struct {
			name string
			x    *drive.Axle
		}{{"front", a.Axles.Front}, {"rear", a.Axles.Rear}} {
			if one.x != nil {
				rows = append(rows, []string{"motor to " + one.name + " wheels", "", quantity.Fixed(one.x.TotalRatio, 2)})
			}
		}
		p.table([]string{"stage", "teeth", "ratio"}, rows)
	}
	torque := p.unit(quantity.DimTorque)
	if m := a.Motor; m != nil {
		p.title("Motor on its pack")
		rows := [][]string{
			{"torque constant", p.num(quantity.DimTorque, m.KtNMMPerA, 2) + " " + torque + "/A"}, {"nominal voltage", quantity.Fixed(m.VoltsV, 1) + " V"},
			{"speed without load", quantity.Fixed(m.NoLoadRPM, 0) + " rpm"}, {"stall current, before any limit", quantity.Fixed(m.StallCurrentA, 0) + " A"},
			{"best efficiency at", quantity.Fixed(m.BestEfficiencyA, 1) + " A"}, {"largest shaft power within the limit", quantity.Fixed(m.PeakPowerW, 0) + " W"},
		}
		if m.LimitA != nil {
			rows = append(rows, []string{"current limit, by the " + m.LimitBy, quantity.Fixed(*m.LimitA, 0) + " A"})
		}
		p.table([]string{"motor", "value"}, rows)
	}
	speed := p.unit(quantity.DimSpeed)
	if len(a.Points) > 0 {
		p.title("Working points, full throttle")
		var rows [][]string
		for _, q := range a.Points {
			by := q.LimitedBy
			if by == "" {
				by = "reached"
			}
			rows = append(rows, []string{
				q.Name, quantity.Fixed(q.MotorRPM, 0), p.num(quantity.DimSpeed, q.SpeedMPerS, 2), quantity.Fixed(q.CurrentA, 1),
				p.num(quantity.DimTorque, q.WheelTorqueNMM, 0), quantity.Fixed(100*q.Efficiency, 0), quantity.Fixed(q.WindingC, 0), by,
			})
		}
		p.table([]string{"point", "motor rpm", speed, "current A", "wheel torque " + torque, "efficiency %", "winding after 1 min °C", "limited by"}, rows)
	}
	if len(a.Pinions) > 0 {
		p.title("Pinions: the one fitted is marked")
		mm := p.unit(quantity.DimLength)
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
			rows = append(rows, []string{
				fmt.Sprint(x.Teeth), what, yes(x.Fits), p.num(quantity.DimLength, x.CenterDistanceMM, 2), p.num(quantity.DimLength, x.MoveMM, 2), quantity.Fixed(x.Ratio, 1),
				p.maybe(quantity.DimSpeed, x.SpeedMPerS, 2), plain(x.SlipCurrentA, 0), plain(x.ClimbCurrentA, 0), plain(x.ToothMargin, 1), quantity.Fixed(x.ContactRatio, 2), why,
			})
		}
		p.table([]string{"teeth", "item", "goes on", "axes apart " + mm, "motor moves " + mm, "ratio", speed, "slip A", "45° A", "tooth margin", "contact ratio", ""}, rows)
	}
	if len(a.Weak) > 0 {
		p.title("What breaks first, all wheels slipping")
		var rows [][]string
		for _, w := range a.Weak {
			rows = append(rows, []string{w.Part, w.What, quantity.Fixed(w.Stress, 0), quantity.Fixed(w.Holds, 0), quantity.Fixed(w.Margin, 1)})
		}
		p.table([]string{"part", "by", "stress MPa", "holds MPa", "margin"}, rows)
	}
	if a.RunTimeMin != nil {
		p.line("\nrun time over the profile (each minute 36 s crawl, 18 s at 30°, 6 s dash), to 20 %% left: about %s min", quantity.Fixed(*a.RunTimeMin, 0))
	}
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
