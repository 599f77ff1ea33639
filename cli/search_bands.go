package cli

import (
	"github.com/spf13/cobra"

	"lowslung/finding"
	"lowslung/quantity"
	"lowslung/tolerance"
)

func newSearchBands() *cobra.Command {
	var a asked
	var o tolerance.Options
	c := &cobra.Command{
		Use:   "bands FILE",
		Short: "How far the numbers of a build spread when holes, lengths and rod ends are a little off, and what to measure better",
		Args:  cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			p, err := a.begin(c)
			if err != nil {
				return err
			}
			l, err := load(args[0])
			if err != nil {
				return err
			}
			o.Units = p.units
			ans, err := tolerance.Assess(l.model, o)
			if err != nil {
				return err
			}
			return p.give(ans, ans.Findings, func() { p.bands(&ans) })
		},
	}
	a.flags(c)
	c.Flags().IntVar(&o.Samples, "samples", 0, "builds tried, 100 to 200000 (default 1000)")
	c.Flags().Uint64Var(&o.Seed, "seed", 0, "seed of the samples (default 1)")
	return c
}

func (p *printer) bands(a *tolerance.Answer) {
	p.title("%s: how far the numbers spread", a.Name)
	p.findings(a.Findings)
	if len(a.Bands) == 0 {
		return
	}
	p.title("Taken to be off, plus or minus, what 95 of 100 keep (assumptions unless the document says it under errors)")
	for _, s := range a.Assumed {
		from := ""
		if s.From == "document" {
			from = ", as the document says"
		}
		p.line("%s (%d such)%s", s.Text, s.Inputs, from)
	}
	p.title("Where 95 of 100 such builds end up")
	var rows [][]string
	for _, b := range a.Bands {
		most := ""
		if len(b.Matters) > 0 {
			most = b.Matters[0].What + ", " + quantity.Fixed(100*b.Matters[0].Share, 0) + " %"
		}
		rows = append(rows, []string{b.Name, b.ValueText, b.FromText, b.ToText, most})
	}
	p.table([]string{"number", "as written", "from", "to", "most of it comes from"}, rows)
	p.title("Worth measuring better first")
	for _, m := range a.Measure {
		p.line("%s", finding.Sentence(m.Text)+".")
	}
	p.line("")
	p.line("%d builds tried, %d of them did not go together; seed %d.", a.Samples, a.Lost, a.Seed)
}
