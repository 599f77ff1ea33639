package cli

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"lowslung/mates"
	"lowslung/quantity"
	"lowslung/solid"
)

func newMates() *cobra.Command {
	var a asked
	var against string
	c := &cobra.Command{
		Use:   "mates FILE",
		Short: "Does everything go together, and what is missing?",
		Args:  cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			p, err := a.begin(c)
			if err != nil {
				return err
			}
			m, base, name, err := pairOf(args[0], against)
			if err != nil {
				return err
			}
			ans, err := mates.Assess(m, mates.Options{Against: base, Units: p.units})
			if err != nil {
				return err
			}
			return p.give(ans, ans.Findings, func() { p.mates(name, &ans) })
		},
	}
	a.flags(c)
	c.Flags().StringVar(&against, "against", "", "the build as it was, for what is reused and left over; the document's own base when left out")
	return c
}

// pairOf loads a build, and the one it is held against: as asked, or the base that the document names.
func pairOf(path, against string) (m, base *solid.Model, name string, err error) {
	l, err := load(path)
	if err != nil {
		return nil, nil, "", err
	}
	if against == "" && l.build.Doc.Base != "" {
		against = filepath.Join(filepath.Dir(path), filepath.FromSlash(l.build.Doc.Base))
	}
	if against != "" {
		b, err := load(against)
		if err != nil {
			return nil, nil, "", err
		}
		base = b.model
	}
	return l.model, base, l.model.Name, nil
}

func (p *printer) mates(name string, a *mates.Answer) {
	p.title("%s: mates", name)
	p.findings(a.Findings)
	if len(a.Joints) > 0 {
		p.title("Joints")
		var rows [][]string
		for _, j := range a.Joints {
			sign := "ok"
			if !j.OK {
				sign = "stop"
			}
			what := j.A + "  –  " + j.B
			if j.Found {
				what += "  (found)"
			}
			rows = append(rows, []string{sign, what, j.Fit, clip(j.Reason)})
		}
		p.table([]string{"", "ports", "fit", "why"}, rows)
	}
	p.pieces("Reused from the build as it was", a.Reused)
	p.pieces("To get", a.Bought)
	p.pieces("To make", a.Made)
	p.pieces("Left over", a.Leftovers)
	if len(a.Bought)+len(a.Made) > 0 {
		p.line("\nbought and made: %s where the weight is known; %s", quantity.DimMass.Format(a.MassG/1000, p.units), cost(a))
	}
	if len(a.Steps) > 0 {
		p.title("One order of putting it together")
		for i, s := range a.Steps {
			p.line("%2d. %s%s", i+1, s.Do, inBrackets(s.Tools))
			for _, n := range append(slices.Clone(s.Notes), s.Care...) {
				for k, line := range wrapped(n+".", 100) {
					if k == 0 {
						line = "· " + line
					} else {
						line = "  " + line
					}
					p.line("    %s", line)
				}
			}
		}
	}
}

func inBrackets(list []string) string {
	if len(list) == 0 {
		return ""
	}
	return "  [" + strings.Join(list, ", ") + "]"
}

func cost(a *mates.Answer) string {
	if a.Currency == "" {
		return "no sum of prices, because none or several currencies are given"
	}
	return fmt.Sprintf("%.2f %s to pay beyond what lies in the drawer, where the price is known", a.Price, a.Currency)
}

func (p *printer) pieces(title string, list []mates.Piece) {
	if len(list) == 0 {
		return
	}
	p.title("%s", title)
	var rows [][]string
	for _, x := range list {
		buy := max(0, x.Count-x.Have)
		rows = append(rows, []string{
			fmt.Sprint(x.Count), x.What, x.Item, gram(p, x.EachG), price(x.Each, x.Currency), fmt.Sprint(min(x.Have, x.Count)), fmt.Sprint(buy), x.From,
		})
	}
	p.table([]string{"count", "what", "item", "each " + p.unit(quantity.DimMass), "price each", "in the drawer", "to buy", "from"}, rows)
}

func gram(p *printer, g *float64) string {
	if g == nil {
		return "–"
	}
	return p.num(quantity.DimMass, *g/1000, 1)
}

func price(v *float64, currency string) string {
	if v == nil {
		return "–"
	}
	return strings.TrimSpace(fmt.Sprintf("%.2f %s", *v, currency))
}
