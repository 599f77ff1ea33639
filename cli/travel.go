package cli

import (
	"fmt"
	"math"

	"github.com/spf13/cobra"

	"lowslung/quantity"
	"lowslung/travel"
)

const deg = math.Pi / 180

func newTravel() *cobra.Command {
	var a asked
	var axle, heave, roll, gaps string
	var ask wishFlags
	c := &cobra.Command{
		Use:   "travel FILE",
		Short: "What the axles do from droop to bump and in articulation",
		Args:  cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			p, err := a.begin(c)
			if err != nil {
				return err
			}
			o, err := travel.ParseOptions(axle, heave, roll, p.units)
			if err != nil {
				return err
			}
			l, err := load(args[0])
			if err != nil {
				return err
			}
			if c.Flags().Changed("gaps") {
				return p.gapsAt(l, gaps)
			}
			if ask.solve {
				return ask.answer(p, l, axle)
			}
			ans, err := travel.Assess(l.model, o)
			if err != nil {
				return err
			}
			return p.give(ans, ans.Findings, func() { p.travel(l.model.Name, &ans) })
		},
	}
	a.flags(c)
	c.Flags().StringVar(&axle, "axle", "", "front or rear; both when left out")
	c.Flags().StringVar(&heave, "heave", "", "heave from the design pose, mm, as from:to:step (default -25:25:5)")
	ask.flags(c)
	c.Flags().StringVar(&gaps, "gaps", "", "all gaps below 5 mm at one pose instead: wheel bumps in mm, front left, front right, rear left, rear right, such as 10,-5,0,0")
	c.Flags().StringVar(&roll, "roll", "", "axle roll, degrees, as from:to:step (default -15:15:5)")
	return c
}

func (p *printer) travel(name string, ans *travel.Answer) {
	p.title("%s: travel", name)
	p.findings(ans.Findings)
	for _, one := range []struct {
		name string
		ax   *travel.Axle
	}{{"Front", ans.Axles.Front}, {"Rear", ans.Axles.Rear}} {
		if one.ax != nil {
			p.axle(one.name, one.ax)
			p.limits(one.name, one.ax)
		}
	}
	p.clearances("What comes near", ans.Clearances)
}

func (p *printer) axle(name string, ax *travel.Axle) {
	d := &ax.Design
	length := quantity.DimLength
	p.title("%s axle at its design pose (by %s)", name, d.Source)
	at := fmt.Sprintf("x %s, z %s, pinion angle %s", length.Format(d.XMM, p.units), length.Format(d.ZMM, p.units), degrees(d.PinionAngleDeg, p.units))
	if d.WheelbaseMM != nil {
		at += ", wheelbase " + length.Format(*d.WheelbaseMM, p.units)
	}
	p.line("%s", at)
	if len(ax.Rates) > 0 {
		p.line("")
		p.rates(ax)
	}
	if len(ax.Poses) > 0 {
		p.line("")
		p.poses(ax)
	}
}

func degrees(v float64, s quantity.System) string { return quantity.DimAngle.Format(v*deg, s) }

// rates is one row for each heave at zero roll.
func (p *printer) rates(ax *travel.Axle) {
	mm := p.unit(quantity.DimLength)
	anti := "anti-squat %"
	if ax.Rates[0].AntiSquatPct == nil && ax.Rates[0].AntiLiftPct != nil {
		anti = "anti-lift %"
	}
	head := []string{"heave " + mm, "pinion °", "side slope", anti, "inst. centre x " + mm, "z " + mm, "roll centre " + mm, "roll axis °", "roll steer °/°", "play " + mm}
	var rows [][]string
	for i := range ax.Rates {
		r := &ax.Rates[i]
		pct := r.AntiSquatPct
		if pct == nil {
			pct = r.AntiLiftPct
		}
		rows = append(rows, []string{
			p.num(quantity.DimLength, r.HeaveMM, 0), p.pinionAt(ax, r.HeaveMM), quantity.Fixed(r.SideSlope, 3), plain(pct, 0),
			p.maybe(quantity.DimLength, r.InstantCenterXMM, 0), p.maybe(quantity.DimLength, r.InstantCenterZMM, 0),
			p.maybe(quantity.DimLength, r.RollCenterHeightMM, 1), quantity.Fixed(r.RollAxisDeg, 1),
			quantity.Fixed(r.RollSteerDegPerDeg, 3), p.maybe(quantity.DimLength, r.PlayLateralMM, 2),
		})
	}
	p.table(head, rows)
}

func (p *printer) pinionAt(ax *travel.Axle, heave float64) string {
	for i := range ax.Poses {
		if q := &ax.Poses[i]; q.HeaveMM == heave && q.RollDeg == 0 {
			return quantity.Fixed(q.PinionAngleDeg, 1)
		}
	}
	return "–"
}

func plain(v *float64, digits int) string {
	if v == nil {
		return "–"
	}
	return quantity.Fixed(*v, digits)
}

// poses is one row for each point of the grid.
func (p *printer) poses(ax *travel.Axle) {
	mm := p.unit(quantity.DimLength)
	head := []string{"heave " + mm, "roll °", "x " + mm, "y " + mm, "steer °", "pinion °", "wheelbase " + mm, "left wheel z " + mm, "right wheel z " + mm}
	for _, s := range ax.Poses[0].Shocks {
		head = append(head, shockName(s)+" left "+mm)
	}
	var rows [][]string
	for i := range ax.Poses {
		q := &ax.Poses[i]
		row := []string{
			p.num(quantity.DimLength, q.HeaveMM, 0), quantity.Fixed(q.RollDeg, 0), p.num(quantity.DimLength, q.XMM, 1), p.num(quantity.DimLength, q.YMM, 1),
			quantity.Fixed(q.SteerDeg, 2), quantity.Fixed(q.PinionAngleDeg, 1), p.maybe(quantity.DimLength, q.WheelbaseMM, 1),
			p.maybe(quantity.DimLength, q.LeftWheelZMM, 1), p.maybe(quantity.DimLength, q.RightWheelZMM, 1),
		}
		for _, s := range q.Shocks {
			row = append(row, p.maybe(quantity.DimLength, s.StrokeLeftMM, 1))
		}
		rows = append(rows, row)
	}
	p.table(head, rows)
}

func shockName(s travel.ShockState) string {
	if s.Side == "" {
		return s.Name
	}
	return s.Name + " " + s.Side[:1]
}
