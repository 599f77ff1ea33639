package cli

import (
	"strings"

	"github.com/spf13/cobra"

	"lowslung/balance"
	"lowslung/quantity"
	"lowslung/ride"
)

func newBalance() *cobra.Command {
	var a asked
	var moves []string
	c := &cobra.Command{
		Use:   "balance FILE",
		Short: "Where the weight sits, and when the rig tips",
		Args:  cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			p, err := a.begin(c)
			if err != nil {
				return err
			}
			list, err := balance.ParseMoves(moves)
			if err != nil {
				return err
			}
			l, err := load(args[0])
			if err != nil {
				return err
			}
			model := l.model
			if len(list) > 0 { // it stands otherwise with its weight elsewhere
				moved, err := balance.Moved(model, list)
				if err != nil {
					return err
				}
				model = ride.Stand(moved)
			}
			ans, err := balance.Assess(model, balance.Options{Units: p.units})
			if err != nil {
				return err
			}
			return p.give(ans, ans.Findings, func() { p.balance(l.model.Name, &ans) })
		},
	}
	a.flags(c)
	c.Flags().StringArrayVar(&moves, "move", nil, "what if a part sat elsewhere: part:forward,left,up, or part:mass:forward,left,up; may be repeated")
	return c
}

func (p *printer) balance(name string, a *balance.Answer) {
	p.title("%s: balance", name)
	p.findings(a.Findings)
	if a.MassKG == 0 {
		return
	}
	p.title("Weight and tipping, standing level in the design pose, rigid")
	p.values(a.Numbers())
	if c := a.CornerLoadsN; c != nil {
		p.line("")
		n := func(v float64) string { return p.num(quantity.DimForce, v, 2) }
		p.table([]string{"load " + p.unit(quantity.DimForce), "left", "right"}, [][]string{
			{"front", n(c.FrontLeft), n(c.FrontRight)}, {"rear", n(c.RearLeft), n(c.RearRight)},
		})
	}
	p.title("Parts by weight")
	g, mm := p.unit(quantity.DimMass), p.unit(quantity.DimLength)
	var rows [][]string
	for _, w := range a.Parts {
		l := func(v float64) string { return p.num(quantity.DimLength, v, 0) }
		name := w.Name
		if w.Guess {
			name += " (estimate)"
		}
		rows = append(rows, []string{name, p.num(quantity.DimMass, w.MassG/1000, 0), l(w.AtMM[0]), l(w.AtMM[1]), l(w.AtMM[2])})
	}
	p.table([]string{"part", g, "x " + mm, "y " + mm, "z " + mm}, rows)
	p.sensitivity(a)
}

// sensitivity prints what the ten parts that matter most do to the tip angles.
func (p *printer) sensitivity(a *balance.Answer) {
	if len(a.Sensitivity) == 0 {
		return
	}
	p.title("What each part does to the tip angles, degrees (the ten that matter most)")
	var rows [][]string
	trio := func(v balance.Angles) string {
		return signed((v.Left+v.Right)/2) + " " + signed(v.NoseUp) + " " + signed(v.NoseDown)
	}
	for i, s := range a.Sensitivity {
		if i == 10 {
			break
		}
		rows = append(rows, []string{s.Name, trio(s.Add10G), trio(s.Forward5MM), trio(s.Down5MM)})
	}
	p.table([]string{"part", "+10 g: side, nose up, nose down", "5 mm forward: side, up, down", "5 mm lower: side, up, down"}, rows)
}

// signed is a change with its sign, two digits.
func signed(v float64) string {
	if text := quantity.Fixed(v, 2); strings.HasPrefix(text, "-") {
		return text
	}
	return "+" + quantity.Fixed(v, 2)
}
