package cli

import (
	"fmt"

	"github.com/spf13/cobra"

	"lowslung/quantity"
	"lowslung/shop"
)

func newShopTemplates() *cobra.Command {
	var a asked
	var dir, format, paper, twins string
	var parts []string
	c := &cobra.Command{
		Use:   "templates FILE",
		Short: "Drawings at true size to drill, cut and bend by: hole patterns, motor mount, bend gauges, spacers",
		Args:  cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			p, err := a.begin(c)
			if err != nil {
				return err
			}
			o, err := shop.ParseTemplateOptions(parts, twins)
			if err != nil {
				return err
			}
			l, err := load(args[0])
			if err != nil {
				return err
			}
			on, err := paperOf(args[0], l.model.Name, paper, p.units)
			if err != nil {
				return err
			}
			t, err := shop.TemplatesOf(l.build, l.model, o)
			if err != nil {
				return err
			}
			files, err := t.Files(format, on)
			if err != nil {
				return err
			}
			var names []string
			if dir != "" {
				list := make([]outFile, len(files))
				for i, f := range files {
					list[i] = outFile{f.Name, f.Data}
				}
				if names, err = putFiles(dir, list); err != nil {
					return err
				}
			}
			return p.give(t, t.Findings, func() { p.templates(l.model.Name, &t, names) })
		},
	}
	a.flags(c)
	c.Flags().StringVarP(&dir, "out", "o", "", "folder for the files, made when it is not there; only the list is printed without it")
	c.Flags().StringVar(&format, "format", "pdf", "pdf or svg: pages; dxf: one file for each template, in mm")
	c.Flags().StringVar(&paper, "paper", "a4", "a4 or letter")
	c.Flags().StringVar(&twins, "twins", "once", "mirror twins once, to be turned over, or both")
	c.Flags().StringArrayVar(&parts, "part", nil, "only templates of this part or link; may be given again")
	return c
}

func (p *printer) templates(name string, t *shop.Templates, files []string) {
	p.title("%s: templates at true size", name)
	p.findings(t.Findings)
	var rows [][]string
	for i := range t.Templates {
		x := &t.Templates[i]
		twin := ""
		switch x.Twin {
		case "turn over":
			twin = "turn over for the right one"
		case "this":
			twin = "the right one"
		}
		rows = append(rows, []string{
			x.Title, quantity.DimLength.Format(x.WidthMM, p.units), quantity.DimLength.Format(x.HeightMM, p.units), fmt.Sprint(len(x.Holes)), fmt.Sprint(x.Make), twin,
		})
	}
	if len(rows) > 0 {
		p.table([]string{"template", "wide", "high", "marks", "make", "twin"}, rows)
	}
	p.title("Take care")
	for _, c := range t.Cautions {
		for _, s := range wrapped(c, 108) {
			p.line("%s", s)
		}
	}
	p.line("")
	if len(files) == 0 {
		p.line("Nothing was written: say -o and a folder.")
	}
	for _, f := range files {
		p.line("wrote %s", f)
	}
}
