package cli

import (
	"github.com/spf13/cobra"

	"lowslung/channel"
	"lowslung/check"
)

func newCheck() *cobra.Command {
	var a asked
	c := &cobra.Command{
		Use:   "check FILE",
		Short: "Ask every question of a build: what the builder should know first, then the numbers",
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
			ans, err := check.Assess(l.model, check.Options{Units: p.units})
			if err != nil {
				return err
			}
			return p.give(ans, ans.Findings, func() { p.check(&ans) })
		},
	}
	a.flags(c)
	return c
}

func (p *printer) check(ans *check.Answer) {
	p.title("%s", ans.Name)
	p.findings(ans.Findings)
	p.title("Numbers (in the design pose, as it stands)")
	p.values(ans.Numbers())
}

func (p *printer) values(list []channel.Value) {
	var rows [][]string
	for _, v := range list {
		rows = append(rows, []string{v.Channel.Name, v.Channel.Format(v.Value, p.units)})
	}
	p.table([]string{"number", "value"}, rows)
}
