package cli

import (
	"encoding/csv"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"lowslung/draw"
	"lowslung/quantity"
	"lowslung/shop"
)

func newShopCut() *cobra.Command {
	var format, units, paper, dir string
	c := &cobra.Command{
		Use:   "cut FILE",
		Short: "The cut list of the links: rod lengths, thread depths, turns and bends, with drawings",
		Args:  cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			if !slices.Contains([]string{"table", "csv", "md", "json"}, format) { // before anything is written
				return fmt.Errorf("format: found %q, expected table, csv, md or json", format)
			}
			a := asked{units: units, json: format == "json"}
			p, err := a.begin(c)
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
			cut := shop.CutOf(l.build, l.model)
			var files []string
			if dir != "" {
				if files, err = writeCut(dir, &cut, on); err != nil {
					return err
				}
			}
			switch format {
			case "json":
				return p.encode(cut)
			case "csv":
				return p.cutCSV(&cut)
			case "md":
				p.cutMarkdown(l.model.Name, &cut)
			default:
				p.cut(l.model.Name, &cut)
				for _, f := range files {
					p.line("wrote %s", f)
				}
			}
			return nil
		},
	}
	c.Flags().StringVar(&format, "format", "table", "table, csv, md or json")
	c.Flags().StringVarP(&dir, "out", "o", "", "folder for the drawings, made when it is not there: cut.pdf, and an SVG of each page")
	c.Flags().StringVar(&paper, "paper", "a4", "paper of the drawings: a4 or letter")
	c.Flags().StringVar(&units, "units", "metric", "units of tables and drawings: metric or us")
	return c
}

func writeCut(dir string, cut *shop.Cut, on shop.Paper) ([]string, error) {
	doc := cut.Document(on)
	pdf, err := draw.PDF(doc)
	if err != nil {
		return nil, err
	}
	files := []outFile{{"cut.pdf", pdf}}
	for i, p := range doc.Pages {
		files = append(files, outFile{fmt.Sprintf("cut-%d.svg", i+1), draw.SVG(p)})
	}
	return putFiles(dir, files)
}

var cutHead = []string{"make", "link", "set to", "rod", "cut to", "turns", "thread", "chassis end", "axle end"}

func (p *printer) cutRow(l *shop.CutLink) []string {
	length := func(v *float64) string {
		if v == nil {
			return "–"
		}
		return quantity.DimLength.FormatDigits(*v, p.units, map[quantity.System]int{quantity.Metric: 1, quantity.US: 3}[p.units])
	}
	rod := l.RodTitle
	if rod == "" {
		rod = l.RodItem
	}
	if rod == "" {
		rod = "not said"
	}
	turns, ends := "–", [2]string{"not said", "not said"}
	if l.Turns != nil {
		turns = draw.Short(*l.Turns, 2)
	}
	thread := "–"
	if len(l.Ends) == 2 {
		thread = l.Thread
		for i, e := range l.Ends {
			ends[i] = e.Title
			if e.Title == "" {
				ends[i] = e.Item
			}
			if strings.HasPrefix(l.Path, "steer/") {
				ends[i] = l.EndNames[i] + ": " + ends[i]
			}
		}
		if a, b := l.Ends[0].ThreadMM, l.Ends[1].ThreadMM; a != nil && b != nil {
			thread = fmt.Sprintf("%s, %s deep", l.Thread, length(a))
			if *a != *b {
				thread += " and " + length(b)
			}
		}
	}
	return []string{fmt.Sprint(l.Count), l.Name, length(l.EyeToEyeMM), rod, length(l.CutMM), turns, thread, ends[0], ends[1]}
}

func (p *printer) cut(name string, c *shop.Cut) {
	p.title("%s: links to make", name)
	p.findings(c.Findings)
	var rows [][]string
	for i := range c.Links {
		rows = append(rows, p.cutRow(&c.Links[i]))
	}
	if len(rows) == 0 {
		return
	}
	p.table(cutHead, rows)
	for i := range c.Links {
		for _, s := range p.bendWords(&c.Links[i]) {
			p.line("%s", s)
		}
	}
	p.stands(c)
	if len(c.Rods) > 0 {
		p.title("Rods, equal ones together")
		rows = nil
		for _, r := range c.Rods {
			what := r.Item
			if what == "" {
				what = "from stock"
			}
			rows = append(rows, []string{fmt.Sprint(r.Count), what, quantity.DimLength.Format(r.CutMM, p.units), strings.Join(r.For, ", ")})
		}
		p.table([]string{"count", "rod", "cut to", "for"}, rows)
	}
	p.title("Taken for granted")
	for _, s := range c.Assumes {
		p.line("%s", s)
	}
	p.title("Take care")
	for _, s := range c.Cautions {
		p.line("%s", s)
	}
}

// bendWords says every bend of a link in one line.
func (p *printer) bendWords(l *shop.CutLink) (out []string) {
	for k, b := range l.Bends {
		mark := "on a rod that is not said"
		if b.MarkMM != nil {
			mark = quantity.DimLength.Format(*b.MarkMM, p.units) + " from the chassis end of the straight rod"
		}
		out = append(out, fmt.Sprintf("%s, bend %d: %s, %s° %s", l.Name, k+1, mark, draw.Short(b.AngleDeg, 1), b.Towards))
	}
	return out
}

func (p *printer) cutCSV(c *shop.Cut) error {
	w := csv.NewWriter(p.out)
	if err := w.Write([]string{
		"count", "link", "axle", "eye_to_eye_mm", "rod_item", "cut_mm", "diameter_mm", "bore_mm", "material", "thread", "turns",
		"chassis_end", "chassis_thread_mm", "axle_end", "axle_thread_mm", "bends", "missing",
	}); err != nil {
		return err
	}
	num := func(v *float64) string {
		if v == nil {
			return ""
		}
		return draw.Short(*v, 3)
	}
	metric := printer{units: quantity.Metric}
	for i := range c.Links {
		l := &c.Links[i]
		row := []string{
			fmt.Sprint(l.Count), l.Name, l.Axle, num(l.EyeToEyeMM), l.RodItem, num(l.CutMM), num(l.DiameterMM), num(l.BoreMM), l.Material, l.Thread, num(l.Turns),
			"", "", "", "", strings.Join(metric.bendWords(l), "; "), strings.Join(l.Missing, "; "),
		}
		if len(l.Ends) == 2 {
			row[11], row[12], row[13], row[14] = l.Ends[0].Item, num(l.Ends[0].ThreadMM), l.Ends[1].Item, num(l.Ends[1].ThreadMM)
		}
		if err := w.Write(row); err != nil {
			return err
		}
	}
	w.Flush()
	return w.Error()
}

func (p *printer) cutMarkdown(name string, c *shop.Cut) {
	cell := strings.NewReplacer("|", "\\|", "\n", " ")
	p.line("# Links to make for %s\n", name)
	p.line("| %s |", strings.Join(cutHead, " | "))
	p.line("|%s", strings.Repeat(" --- |", len(cutHead)))
	for i := range c.Links {
		row := p.cutRow(&c.Links[i])
		for k := range row {
			row[k] = cell.Replace(row[k])
		}
		p.line("| %s |", strings.Join(row, " | "))
	}
	for i := range c.Links {
		for _, s := range p.bendWords(&c.Links[i]) {
			p.line("\n- %s", s)
		}
	}
	for _, f := range c.Findings {
		p.line("\n%s", f.Sentence)
	}
	for _, s := range c.Assumes {
		p.line("\n%s", s)
	}
}

// stands prints what each link stands, in short: shop strength tells the loads and all of it.
func (p *printer) stands(c *shop.Cut) {
	margin := func(v *float64) string {
		if v == nil {
			return "–"
		}
		return quantity.Fixed(*v, 1) + " ×"
	}
	var rows [][]string
	for i := range c.Links {
		s := c.Links[i].Strength
		if s == nil || s.PushMargin == nil {
			continue
		}
		var end *float64 // the weaker one
		for k := range s.Ends {
			if e := s.Ends[k].Margin; e != nil && (end == nil || *e < *end) {
				end = e
			}
		}
		rows = append(rows, []string{s.Name, margin(s.PushMargin), margin(s.StrikeMargin), margin(end)})
	}
	if len(rows) > 0 {
		p.title("What they stand, times the usual loads, estimates (shop strength says which)")
		p.table([]string{"link", "pushed", "struck", "rod ends pulled"}, rows)
	}
}
