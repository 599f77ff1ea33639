package cli

import (
	"fmt"

	"github.com/spf13/cobra"

	"lowslung/bench"
)

func newBenchSheet() *cobra.Command {
	var format, out, paper, units string
	c := &cobra.Command{
		Use:   "sheet FILE",
		Short: "The bench sheet: what to measure on this rig, in which order, with room to write",
		Args:  cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			a := asked{units: units, json: format == "json"}
			p, err := a.begin(c)
			if err != nil {
				return err
			}
			if format == "pdf" && out == "" {
				return fmt.Errorf("out: found nothing, expected -o and a file name for the PDF")
			}
			l, err := load(args[0])
			if err != nil {
				return err
			}
			s := bench.SheetOf(l.model, p.units)
			var text []byte
			switch format {
			case "json":
				return p.give(s, s.Findings, nil)
			case "md":
				text = []byte(s.Markdown())
			case "csv":
				text = s.CSV()
			case "pdf":
				on, err := paperOf(args[0], l.model.Name, paper, p.units)
				if err != nil {
					return err
				}
				if text, err = s.PDF(bench.Paper{Format: on.Format, Hash: on.Hash, Date: on.Date, Unix: on.Unix}); err != nil {
					return err
				}
			case "text":
				if out != "" {
					return fmt.Errorf("out: found a file for the format text, expected md, csv or pdf for a file")
				}
				p.benchSheet(&s)
				return verdict(s.Findings)
			default:
				return fmt.Errorf("format: found %q, expected text, md, csv, pdf or json", format)
			}
			if out != "" {
				if err := writeWhole(out, text); err != nil {
					return err
				}
				return verdict(s.Findings)
			}
			fmt.Fprint(p.out, string(text))
			return verdict(s.Findings)
		},
	}
	c.Flags().StringVar(&format, "format", "text", "text, md, csv, pdf or json; csv is a table to fill in and hand to bench --readings")
	c.Flags().StringVarP(&out, "out", "o", "", "file to write instead of printing; needed for a PDF")
	c.Flags().StringVar(&paper, "paper", "a4", "paper of the PDF: a4 or letter")
	c.Flags().StringVar(&units, "units", "metric", "units to write in: metric or us")
	return c
}

func (p *printer) benchSheet(s *bench.Sheet) {
	p.title("%s: bench sheet, %d readings", s.Name, s.Count)
	p.findings(s.Findings)
	for _, st := range s.Stages {
		p.title("%s", st.Title)
		for _, c := range st.Care {
			p.under("! ", c+".")
		}
		for _, d := range st.Do {
			p.under("· ", d)
		}
		for i := range st.Rows {
			r := &st.Rows[i]
			taken := ""
			if r.Taken != "" {
				taken = "   (read: " + r.Taken + ")"
			}
			p.line("☐ %2d. %s, %s%s", r.Number, r.What, r.Unit, taken)
		}
	}
}
