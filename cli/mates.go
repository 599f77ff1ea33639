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
	p.bolts(a.Bolts)
	p.pieces("Reused from the build as it was", a.Reused, false)
	p.pieces("To get", a.Bought, true)
	p.pieces("To make", a.Made, false)
	p.pieces("Left over", a.Leftovers, false)
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

func (p *printer) bolts(list []mates.Bolt) {
	if len(list) == 0 {
		return
	}
	p.title("Bolts through eyes of links and shocks")
	mm := func(v *float64) string {
		if v == nil {
			return "–"
		}
		return p.num(quantity.DimLength, *v, 1)
	}
	var rows [][]string
	for _, b := range list {
		item := b.Screw
		if item == "" && len(b.WouldFit) > 0 {
			item = "such as " + b.WouldFit[0]
		}
		rows = append(rows, []string{fmt.Sprint(b.Count), fmt.Sprint(b.Had), b.Thread, mm(b.ThroughMM), mm(b.LeastMM), mm(b.MostMM), b.HeldBy, item, clip(strings.Join(b.For, ", "))})
	}
	u := " " + p.unit(quantity.DimLength)
	p.table([]string{"count", "there", "thread", "through" + u, "least" + u, "most" + u, "held by", "item", "for"}, rows)
}

// pieces prints one list; buy says that it is one to shop for, so that what lies in the drawer matters.
func (p *printer) pieces(title string, list []mates.Piece, buy bool) {
	if len(list) == 0 {
		return
	}
	p.title("%s", title)
	var rows [][]string
	head := []string{"count", "what", "item", "each " + p.unit(quantity.DimMass)}
	if buy {
		head = append(head, "price each", "in the drawer", "to buy", "from")
	}
	for _, x := range list {
		row := []string{fmt.Sprint(x.Count), x.What, x.Item, gram(p, x.EachG)}
		if buy {
			row = append(row, price(x.Each, x.Currency), fmt.Sprint(min(x.Have, x.Count)), fmt.Sprint(max(0, x.Count-x.Have)), x.From)
		}
		rows = append(rows, row)
	}
	p.table(head, rows)
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
