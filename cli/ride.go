package cli

import (
	"fmt"

	"github.com/spf13/cobra"

	"lowslung/balance"
	"lowslung/finding"
	"lowslung/quantity"
	"lowslung/ride"
)

func newRide() *cobra.Command {
	var a asked
	var step, ramp, height, sag, damping string
	var poses bool
	c := &cobra.Command{
		Use:   "ride FILE",
		Short: "How it sits, flexes and tips on its springs and tyres",
		Args:  cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			p, err := a.begin(c)
			if err != nil {
				return err
			}
			o, err := ride.ParseOptions(step, ramp, height, sag, damping, p.units)
			if err != nil {
				return err
			}
			o.Poses = poses
			l, err := load(args[0])
			if err != nil {
				return err
			}
			ans, err := ride.Assess(l.model, o)
			if err != nil {
				return err
			}
			return p.give(ans, ans.Findings, func() { p.ride(l.model.Name, &ans) })
		},
	}
	a.flags(c)
	c.Flags().StringVar(&step, "step", "", "degrees between the rows of the tilt tables (default 5)")
	c.Flags().StringVar(&ramp, "ramp", "", "slope of the ramp, degrees (default 20)")
	c.Flags().StringVar(&height, "height", "", "say which collar or spring gives this ride height, mm")
	c.Flags().StringVar(&sag, "sag", "", "say which collar or spring uses this share of the stroke standing still, such as 35 %")
	c.Flags().StringVar(&damping, "damping", "", "say which oil gives this damping ratio, such as 0.5")
	c.Flags().BoolVar(&poses, "poses", false, "with --json: where chassis and axles are in every row, for drawing")
	return c
}

func (p *printer) ride(name string, a *ride.Answer) {
	p.title("%s: ride", name)
	p.findings(a.Findings)
	if a.Stance == nil {
		return
	}
	p.stance(a.Stance)
	p.rideWish(a.Wish)
	p.sides(a.Angles)
	p.tilt(a.Tilt)
	p.raising(a)
	p.holding(a.Torque)
	p.dampers(a.Damping)
}

func (p *printer) n(v float64) string { return p.num(quantity.DimForce, v, 2) }

func (p *printer) stance(s *ride.Stance) {
	length := func(v float64) string { return quantity.DimLength.Format(v, p.units) }
	p.title("Standing level on its springs and tyres")
	text := fmt.Sprintf("belly %s above the ground, pitch %s (positive nose down), roll %s (positive left side up)",
		length(s.BellyClearanceMM), degrees(s.ChassisPitchDeg, p.units), degrees(s.ChassisRollDeg, p.units))
	if s.LowestMM != nil {
		text += fmt.Sprintf("; lowest: %s, %s", s.LowestPart, length(*s.LowestMM))
	}
	p.line("%s", text)
	p.line("")
	mm, rate := p.unit(quantity.DimLength), p.unit(quantity.DimRate)
	f, r := &s.Axles.Front, &s.Axles.Rear
	row := func(what string, of func(a *ride.StanceAxle) string) []string { return []string{what, of(f), of(r)} }
	l := func(v float64) string { return p.num(quantity.DimLength, v, 1) }
	c := &s.CornerLoadsN
	p.table([]string{"axle", "front", "rear"}, [][]string{
		row("ride height "+mm, func(a *ride.StanceAxle) string { return l(a.RideHeightMM) }),
		row("heave against what is written "+mm, func(a *ride.StanceAxle) string { return l(a.HeaveMM) }),
		row("roll of the axle °", func(a *ride.StanceAxle) string { return quantity.Fixed(a.RollDeg, 1) }),
		row("pinion angle °", func(a *ride.StanceAxle) string { return quantity.Fixed(a.PinionAngleDeg, 1) }),
		row("under the axle "+mm, func(a *ride.StanceAxle) string { return p.maybe(quantity.DimLength, a.ClearanceMM, 1) }),
		{"load left " + p.unit(quantity.DimForce), p.n(c.FrontLeft), p.n(c.RearLeft)},
		{"load right " + p.unit(quantity.DimForce), p.n(c.FrontRight), p.n(c.RearRight)},
		row("sprung mass "+p.unit(quantity.DimMass), func(a *ride.StanceAxle) string { return p.num(quantity.DimMass, a.SprungMassKG, 0) }),
		row("wheel rate "+rate, func(a *ride.StanceAxle) string { return p.num(quantity.DimRate, a.WheelRate, 3) }),
		row("tyre rate "+rate, func(a *ride.StanceAxle) string { return p.num(quantity.DimRate, a.TyreRate, 2) }),
		row("roll stiffness "+p.unit(quantity.DimTorque)+"/°", func(a *ride.StanceAxle) string { return p.num(quantity.DimTorque, a.RollStiffness, 1) }),
		row("bounce Hz", func(a *ride.StanceAxle) string { return plain(a.FrequencyHz, 2) }),
		row("damping ratio (estimate)", func(a *ride.StanceAxle) string { return plain(a.DampingRatio, 2) }),
	})
	if s.FrontRollShare != nil {
		p.line("front share of the roll stiffness: %s", quantity.DimShare.Format(*s.FrontRollShare, p.units))
	}
	p.line("")
	var rows [][]string
	for _, k := range s.Shocks {
		share := "–"
		if k.SagShare != nil {
			share = quantity.Fixed(*k.SagShare*100, 0)
		}
		rows = append(rows, []string{k.Name + sideOf(k.Side), l(k.LengthMM), p.maybe(quantity.DimLength, k.SagMM, 1), share, p.n(k.ForceN), k.At})
	}
	p.table([]string{"shock", "eye to eye " + mm, "sag " + mm, "of stroke %", "force " + p.unit(quantity.DimForce), "rests on"}, rows)
}

func sideOf(side string) string {
	if side == "" {
		return ""
	}
	return " " + side
}

func (p *printer) rideWish(w *ride.Wish) {
	if w == nil {
		return
	}
	p.title("For %s", w.Want)
	if w.Failed != "" {
		p.line("%s", finding.Sentence(w.Failed)+".")
	}
	var rows [][]string
	for _, one := range []struct {
		name string
		s    *ride.Setting
	}{{"front", w.Front}, {"rear", w.Rear}} {
		if s := one.s; s != nil {
			item := s.Item
			if s.ItemRate != nil {
				item += ", " + quantity.DimRate.Format(*s.ItemRate, p.units)
			}
			collar := p.num(quantity.DimLength, s.CollarMM, 1)
			if s.CollarMM < 0 {
				collar = "none"
			}
			rows = append(rows, []string{one.name, collar, p.maybe(quantity.DimRate, s.RateNPerMM, 3), item})
		}
	}
	if rows != nil {
		p.table([]string{"shocks", "collar " + p.unit(quantity.DimLength), "or spring " + p.unit(quantity.DimRate), "nearest in the bins"}, rows)
	}
	if o := w.Oil; o != nil {
		p.line("oil (estimate): front %s cSt, rear %s cSt", plain(o.FrontCSt, 0), plain(o.RearCSt, 0))
	}
}

func (p *printer) sides(v *ride.Angles) {
	if v == nil {
		return
	}
	p.title("Angles in side view, and what would touch first")
	row := func(name string, s *ride.SideView) []string {
		by := func(deg float64, part string) string {
			if part == "" {
				return quantity.Fixed(deg, 1)
			}
			return quantity.Fixed(deg, 1) + " " + part
		}
		return []string{name, by(s.ApproachDeg, s.ApproachBy), by(s.DepartureDeg, s.DepartureBy), by(s.BreakoverDeg, s.BreakoverBy)}
	}
	rows := [][]string{row("standing", &v.Standing)}
	if v.FullBump != nil {
		rows = append(rows, row("shocks closed", v.FullBump))
	}
	p.table([]string{"suspension", "approach °", "departure °", "breakover °"}, rows)
}

func (p *printer) tilt(t *ride.Tilt) {
	if t == nil {
		return
	}
	p.title("On the tilt board, no wheel sliding")
	var rows [][]string
	all := []struct {
		name string
		t    *ride.Tilting
	}{{"left side down", &t.LeftDown}, {"right side down", &t.RightDown}, {"nose up", &t.NoseUp}, {"nose down", &t.NoseDown}}
	for _, one := range all {
		k := one.t
		rows = append(rows, []string{one.name, quantity.Fixed(k.RigidDeg, 1), plain(k.LockedTipDeg, 1), plain(k.TipDeg, 1), plain(k.FirstLightDeg, 1), k.FirstLight, plain(k.GripNeeded, 2)})
	}
	p.table([]string{"board", "rigid °", "shocks locked °", "tips °", "first light °", "wheel", "grip needed"}, rows)
	for _, one := range all {
		if len(one.t.Sweep) == 0 {
			continue
		}
		p.title("%s: load on each wheel square to the board, %s", finding.Sentence(one.name), p.unit(quantity.DimForce))
		var rows [][]string
		for _, q := range one.t.Sweep {
			rows = append(rows, append([]string{quantity.Fixed(q.AngleDeg, 1)}, append(p.fourLoads(&q.LoadsN), quantity.Fixed(q.LeanDeg, 1))...))
		}
		p.table([]string{"board °", "front left", "front right", "rear left", "rear right", "chassis leans °"}, rows)
	}
}

func (p *printer) fourLoads(c *balance.Corners) []string {
	return []string{p.n(c.FrontLeft), p.n(c.FrontRight), p.n(c.RearLeft), p.n(c.RearRight)}
}

// raising prints the ramp and the blocks.
func (p *printer) raising(a *ride.Answer) {
	mm := p.unit(quantity.DimLength)
	table := func(by string, list []ride.Raised) {
		var rows [][]string
		for _, q := range list {
			rows = append(rows, append(append([]string{p.num(quantity.DimLength, q.ByMM, 0)}, p.fourLoads(&q.LoadsN)...),
				quantity.Fixed(q.FrontRollDeg, 1), quantity.Fixed(q.RearRollDeg, 1)))
		}
		p.table([]string{by + " " + mm, "front left", "front right", "rear left", "rear right", "front axle °", "rear axle °"}, rows)
	}
	if r := a.Ramp; r != nil {
		p.title("Left front wheel up a ramp of %s", degrees(r.SlopeDeg, p.units))
		p.line("ramp travel index %s: %s along the ramp, %s high, until %s (wheelbase %s)", quantity.Fixed(r.Index, 0),
			quantity.DimLength.Format(r.AlongMM, p.units), quantity.DimLength.Format(r.HeightMM, p.units), r.EndedBy, quantity.DimLength.Format(r.Wheelbase, p.units))
		if r.Right != nil {
			p.line("right front wheel: %s, until %s", quantity.Fixed(r.Right.Index, 0), r.Right.EndedBy)
		}
		if len(r.Sweep) > 0 {
			p.line("")
			table("along", r.Sweep)
		}
	}
	if c := a.CrossAxle; c != nil {
		for _, one := range []struct {
			name string
			c    *ride.Crossing
		}{{"Front left and rear right wheel", &c.FrontLeftUp}, {"Front right and rear left wheel", &c.FrontRightUp}} {
			p.title("%s on blocks", one.name)
			p.line("blocks %s high, until %s; the axles are then twisted %s against each other", quantity.DimLength.Format(one.c.HeightMM, p.units), one.c.EndedBy, degrees(one.c.TwistDeg, p.units))
			p.line("")
			table("blocks", one.c.Sweep)
		}
	}
}

func (p *printer) holding(t *ride.Torque) {
	if t == nil || len(t.Sweep) == 0 {
		return
	}
	p.title("Nose up, held by the drive (shafts turn %s, seen from behind, to drive forward)", t.Turns)
	torque := p.unit(quantity.DimTorque)
	var rows [][]string
	for _, h := range t.Sweep {
		rows = append(rows, append(append([]string{quantity.Fixed(h.SlopeDeg, 0), p.n(h.DriveForceN), p.num(quantity.DimTorque, h.FrontShaftNMM, 0), p.num(quantity.DimTorque, h.RearShaftNMM, 0)},
			p.fourLoads(&h.LoadsN)...), p.n(h.ShiftedN), quantity.Fixed(h.RollDeg, 1)))
	}
	p.table([]string{"slope °", "drive " + p.unit(quantity.DimForce), "front shaft " + torque, "rear shaft " + torque, "front left", "front right", "rear left", "rear right", "shifted left", "rolls °"}, rows)
	if len(t.Remedies) == 0 {
		return
	}
	last := t.Sweep[len(t.Sweep)-1]
	rows = [][]string{{"as it is", p.n(last.ShiftedN), quantity.Fixed(last.RollDeg, 1)}}
	for _, r := range t.Remedies {
		if r.ShiftedN == nil {
			rows = append(rows, []string{r.Change, "no rest", "no rest"})
			continue
		}
		rows = append(rows, []string{r.Change, p.n(*r.ShiftedN), quantity.Fixed(*r.RollDeg, 1)})
	}
	p.line("")
	p.line("What would change that, at %s (each by itself)", degrees(last.SlopeDeg, p.units))
	p.table([]string{"", "shifted left", "rolls °"}, rows)
}

func (p *printer) dampers(list []ride.Damping) {
	if len(list) == 0 {
		return
	}
	p.title("Dampers (estimate)")
	var rows [][]string
	for _, d := range list {
		row := func(name string, s *ride.DampingStroke, force func(c *ride.DampingPoint) float64) {
			row := []string{name, quantity.Fixed(d.OilCSt, 0), quantity.Fixed(s.RateNSM, 1), p.maybe(quantity.DimLength, s.PackFrom, 0)}
			for i := range d.Curve {
				row = append(row, p.n(force(&d.Curve[i])))
			}
			for _, t := range d.Weather {
				row = append(row, quantity.Fixed(t.RateNSM*s.RateNSM/d.RateNSM, 0))
			}
			rows = append(rows, row)
		}
		in := func(c *ride.DampingPoint) float64 { return c.ForceN }
		if d.Closing.RateNSM == d.Opening.RateNSM {
			row(d.Shock, &d.Closing, in)
			continue
		}
		row(d.Shock+", closing", &d.Closing, in)
		row(d.Shock+", opening", &d.Opening, func(c *ride.DampingPoint) float64 { return c.ReboundN })
	}
	head := []string{"shock", "oil cSt", "slow N·s/m", "packs from " + p.unit(quantity.DimLength) + "/s"}
	for _, c := range list[0].Curve {
		head = append(head, p.unit(quantity.DimForce)+" at "+quantity.Fixed(c.SpeedMMS, 0)+" mm/s")
	}
	for _, t := range list[0].Weather {
		head = append(head, "at "+quantity.Fixed(t.Celsius, 0)+" °C")
	}
	p.table(head, rows)
}
