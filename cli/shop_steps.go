package cli

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"lowslung/draw"
	"lowslung/shop"
)

func newShopSteps() *cobra.Command {
	var against, format, units, out, paper string
	c := &cobra.Command{
		Use:   "steps FILE",
		Short: "The order of work: tools, thread lock, what to check, with boxes to tick",
		Args:  cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			a := asked{units: units, json: format == "json"}
			p, err := a.begin(c)
			if err != nil {
				return err
			}
			sheet, err := draw.ParseFormat(paper)
			if err != nil {
				return err
			}
			if format == "pdf" && out == "" {
				return fmt.Errorf("out: found nothing, expected -o and a file name for the PDF")
			}
			m, base, _, err := pairOf(args[0], against)
			if err != nil {
				return err
			}
			w, err := shop.StepsOf(m, shop.StepOptions{Against: base, Units: p.units})
			if err != nil {
				return err
			}
			var text []byte
			switch format {
			case "json":
				return p.give(w, w.Findings, nil)
			case "md":
				text = []byte(w.Markdown())
			case "html":
				text, err = w.HTML()
			case "pdf":
				text, err = w.PDF(sheet, "", "", 0)
			case "text":
				if out == "" {
					p.steps(&w)
					return verdict(w.Findings)
				}
				return fmt.Errorf("out: found a file for the format text, expected md, html or pdf for a file")
			default:
				return fmt.Errorf("format: found %q, expected text, md, html, pdf or json", format)
			}
			if err != nil {
				return err
			}
			if out != "" {
				if err := writeWhole(out, text); err != nil {
					return err
				}
				return verdict(w.Findings)
			}
			fmt.Fprint(p.out, string(text))
			return verdict(w.Findings)
		},
	}
	c.Flags().StringVar(&against, "against", "", "the build as it was; the document's own base when left out")
	c.Flags().StringVar(&format, "format", "text", "text, md, html, pdf or json")
	c.Flags().StringVarP(&out, "out", "o", "", "file to write instead of printing; needed for a PDF")
	c.Flags().StringVar(&paper, "paper", "a4", "paper of the PDF: a4 or letter")
	c.Flags().StringVar(&units, "units", "metric", "units of sentences: metric or us")
	return c
}

func (p *printer) steps(w *shop.Work) {
	p.title("%s: order of work, %d steps", w.Name, w.Steps)
	p.findings(w.Findings)
	if len(w.Tools) > 0 {
		for _, line := range wrapped("Lay out: "+strings.Join(w.Tools, ", ")+".", 104) {
			p.line("%s", line)
		}
	}
	for _, st := range w.Stages {
		p.title("%s", st.Title)
		for i := range st.Steps {
			s := &st.Steps[i]
			for k, line := range wrapped(s.Do+inBrackets(s.Tools), 98) {
				if k == 0 {
					p.line("☐ %2d. %s", s.Number, line)
				} else {
					p.line("      %s", line)
				}
			}
			for _, n := range s.Notes {
				p.under("· ", n+".")
			}
			for k := range s.Checks {
				p.under("☐ check ", s.Checks[k].String())
			}
			for _, n := range s.Care {
				p.under("! ", n+".")
			}
		}
	}
	if len(w.Rest) > 0 {
		p.line("")
		for _, line := range wrapped("In no step, since no mate, link or place ties them to another part: "+strings.Join(w.Rest, ", ")+".", 104) {
			p.line("%s", line)
		}
	}
}

// under is a line below a step, wrapped behind its sign.
func (p *printer) under(sign, s string) {
	for k, line := range wrapped(s, 92) {
		if k > 0 {
			sign = "  "
		}
		p.line("      %s%s", sign, line)
	}
}
