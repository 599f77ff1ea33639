package cli

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"lowslung/channel"
	"lowslung/compare"
	"lowslung/rig"
)

func newCompare() *cobra.Command {
	var a asked
	var climbs bool
	c := &cobra.Command{
		Use:   "compare A B [C…]",
		Short: "What the change did: builds side by side, number by number, and what changed in the document",
		Args:  cobra.MinimumNArgs(2),
		RunE: func(c *cobra.Command, args []string) error {
			p, err := a.begin(c)
			if err != nil {
				return err
			}
			var builds []compare.Build
			for _, path := range args {
				l, err := load(path)
				if err != nil {
					return err
				}
				name := l.model.Name
				if name == "" {
					name = path
				}
				builds = append(builds, compare.Build{Name: name, Tree: l.build.Tree, Model: l.model})
			}
			ans, err := compare.Assess(builds, compare.Options{Rocks: climbs, Units: p.units})
			if err != nil {
				return err
			}
			return p.give(ans, ans.Findings, func() { p.compare(&ans) })
		},
	}
	a.flags(c)
	c.Flags().BoolVar(&climbs, "rocks", false, "with what each build climbs, which takes seconds for each")
	return c
}

func (p *printer) compare(a *compare.Answer) {
	p.title("%s", strings.Join(a.Builds, "  against  "))
	p.findings(a.Findings)
	p.line("")
	head := []string{"number", a.Builds[0]}
	for _, b := range a.Builds[1:] {
		head = append(head, b, "change", "")
	}
	var rows [][]string
	for _, n := range a.Numbers {
		c := channel.Must(n.Name)
		row := []string{n.Name, n.Text[0]}
		for i := range a.Builds[1:] {
			change := "–"
			if n.Change[i] != nil {
				change = c.FormatChange(fromShown(c, *n.Change[i], p), p.units)
			}
			row = append(row, n.Text[i+1], change, n.Sense[i])
		}
		rows = append(rows, row)
	}
	p.table(head, rows)
	for i, list := range a.Changes {
		p.title("What changed in the document: %s → %s", a.Builds[0], a.Builds[i+1])
		p.changes(list)
	}
}

// fromShown takes a difference in the shown unit back to program units; units with an offset have no channel.
func fromShown(c *channel.Channel, v float64, p *printer) float64 {
	u, _ := c.Dim.Unit(c.Dim.Shown(p.units).Symbol)
	return v * u.Factor
}

func (p *printer) changes(list []rig.Change) {
	for _, c := range list {
		switch {
		case c.Before == "":
			p.line("+ %s: %s", c.Path, clip(c.After))
		case c.After == "":
			p.line("- %s: %s", c.Path, clip(c.Before))
		default:
			p.line("~ %s: %s → %s", c.Path, clip(c.Before), clip(c.After))
		}
	}
	if len(list) == 0 {
		p.line("nothing")
	}
}

func clip(s string) string {
	const most = 70
	if r := []rune(s); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return fmt.Sprint(s)
}
