package cli

import (
	"github.com/spf13/cobra"

	"lowslung/quantity"
	"lowslung/shop"
)

func newShopStrength() *cobra.Command {
	var a asked
	var strike, push string
	c := &cobra.Command{
		Use:   "strength FILE",
		Short: "What the links and rod ends stand: a push, a bend, a rock (estimates)",
		Args:  cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			p, err := a.begin(c)
			if err != nil {
				return err
			}
			o, err := shop.ParseStrengthOptions(strike, push, p.units)
			if err != nil {
				return err
			}
			l, err := load(args[0])
			if err != nil {
				return err
			}
			s := shop.StrengthOf(l.model, o)
			return p.give(s, s.Findings, func() { p.strength(l.model.Name, &s) })
		},
	}
	a.flags(c)
	c.Flags().StringVar(&strike, "strike", "", "load across the middle of each link; 50 N when left out")
	c.Flags().StringVar(&push, "push", "", "load along each link; twice the rig's weight when left out")
	return c
}

func (p *printer) strength(name string, s *shop.Strength) {
	p.title("%s: what its links stand, estimates", name)
	p.findings(s.Findings)
	f, mm := p.unit(quantity.DimForce), p.unit(quantity.DimLength)
	margin := func(v *float64) string {
		if v == nil {
			return "–"
		}
		return quantity.Fixed(*v, 1)
	}
	var pushed, struck, ends [][]string
	for i := range s.Links {
		l := &s.Links[i]
		size := p.num(quantity.DimLength, l.DiameterMM, 1)
		if l.BoreMM > 0 {
			size += " × " + p.num(quantity.DimLength, l.BoreMM, 1)
		}
		pushed = append(pushed, []string{l.Name, size, l.Material, p.num(quantity.DimLength, l.LengthMM, 1), p.maybe(quantity.DimForce, l.GivesN, 0), l.GivesBy, margin(l.PushMargin)})
		struck = append(struck, []string{l.Name, p.maybe(quantity.DimForce, l.BendsN, 0), p.maybe(quantity.DimLength, l.DeflectionMM, 2), margin(l.StrikeMargin)})
		for k, e := range l.Ends {
			holds := p.maybe(quantity.DimLength, e.HoldsMM, 1)
			if e.Assumed {
				holds += " (assumed)"
			}
			ends = append(ends, []string{l.Name + ", " + [2]string{"chassis", "axle"}[k%2], e.Item, e.Thread, p.maybe(quantity.DimForce, e.ShankN, 0), margin(e.Margin), holds, p.maybe(quantity.DimLength, e.WantedMM, 1)})
		}
	}
	if len(pushed) > 0 {
		p.title("Pushed along with %s", quantity.DimForce.Format(s.PushN, p.units))
		p.table([]string{"link", "rod " + mm, "material", "eye to eye " + mm, "gives way at " + f, "how", "margin"}, pushed)
		p.title("Struck across the middle with %s", quantity.DimForce.Format(s.StrikeN, p.units))
		p.table([]string{"link", "stays bent from " + f, "gives " + mm, "margin"}, struck)
	}
	if len(ends) > 0 {
		p.title("Rod ends, pulled with %s", quantity.DimForce.Format(s.PushN, p.units))
		p.table([]string{"link, end", "item", "thread", "shank yields at " + f, "margin", "thread in the rod " + mm, "wanted " + mm}, ends)
	}
	p.title("Assumed")
	for _, x := range s.Assumes {
		p.note(x)
	}
}
