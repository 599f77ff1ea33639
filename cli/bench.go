package cli

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"lowslung/bench"
	"lowslung/quantity"
	"lowslung/rig"
)

// measured are the flags of the command.
type measured struct {
	table, out string
	take, all  bool
}

func newBench() *cobra.Command {
	var a asked
	var f measured
	c := &cobra.Command{
		Use:   "bench FILE",
		Short: "What was measured on the finished rig, and whether the model agrees",
		Long: `Holds the readings of the document, and of a table, against what the model predicts: whether they agree, which of them does not fit, what in
the document is most probably off, and what to measure next. With --take the corrections are printed as a document that has this one as its
base. Nothing is changed.`,
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			p, err := a.begin(c)
			if err != nil {
				return err
			}
			return f.run(p, args[0])
		},
	}
	a.flags(c)
	fl := c.Flags()
	fl.StringVar(&f.table, "readings", "", "a table of readings (CSV) besides those of the document; see bench sheet --format csv")
	fl.BoolVar(&f.take, "take", false, "print the corrections as a document, and nothing else")
	fl.StringVarP(&f.out, "output", "o", "", "with --take: the file to write; standard output when left out")
	fl.BoolVar(&f.all, "all", false, "list every correction, not only the twelve largest")
	c.AddCommand(newBenchSheet())
	return c
}

// readingsFrom reads a table of readings for a build.
func readingsFrom(path string, b *rig.Build) (rig.Map[rig.Reading], error) {
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, fmt.Errorf("%s cannot be read: %w", path, err)
	}
	if len(text) > rig.MaxBytes {
		return nil, fmt.Errorf("%s: found %.1f MiB, expected at most %d MiB", path, float64(len(text))/(1<<20), rig.MaxBytes>>20)
	}
	list, err := bench.ReadTable(path, text)
	if err != nil {
		return nil, err
	}
	if bad := rig.CheckReadings(b, list); len(bad) > 0 {
		return nil, bad
	}
	return list, nil
}

func (f *measured) run(p *printer, path string) error {
	switch {
	case f.out != "" && !f.take:
		return errors.New("output: expected along with --take, which says what to write")
	case f.take && p.json:
		return errors.New("found --take and --json, expected one of them")
	}
	l, err := load(path)
	if err != nil {
		return err
	}
	o := bench.Options{Units: p.units, Base: filepath.Base(path)}
	if f.take {
		if o.Base, err = baseBeside(f.out, path); err != nil {
			return err
		}
	}
	if f.table != "" {
		if o.Readings, err = readingsFrom(f.table, l.build); err != nil {
			return err
		}
	}
	ans, err := bench.Assess(l.model, o)
	if err != nil {
		return err
	}
	if !f.take {
		return p.give(ans, ans.Findings, func() { p.bench(&ans, f.all) })
	}
	if ans.Patch == "" {
		p.findings(ans.Findings)
		return errors.New("take: found no correction worth writing")
	}
	if f.out == "" {
		_, err = fmt.Fprint(p.out, ans.Patch)
		return err
	}
	return writeWhole(f.out, []byte(ans.Patch))
}

// baseBeside is the base's name in a document written to out; standard output counts as this folder.
func baseBeside(out, path string) (string, error) {
	folder := "."
	if out != "" {
		folder = filepath.Dir(out)
	}
	base, err := filepath.Rel(folder, path)
	if err != nil || !filepath.IsLocal(base) {
		return "", fmt.Errorf("found the base %s outside the folder of the new document, expected it there or below; use -o with a file beside it", path)
	}
	return filepath.ToSlash(base), nil
}

func (p *printer) bench(a *bench.Answer, all bool) {
	p.title("%s: bench", a.Name)
	p.findings(a.Findings)
	if len(a.Readings) > 0 {
		p.title("What was read, and what the model says")
		var rows [][]string
		for i := range a.Readings {
			r := &a.Readings[i]
			mark := ""
			switch {
			case !r.Used:
				mark = "not used"
			case !r.Fits:
				mark = "does not fit"
			}
			rows = append(rows, []string{r.Text, r.ValueText, r.WithinText, orDash(r.PredictedText), orDash(r.DifferenceText), ratio(r.Ratio), ratio(r.Normalized), mark})
		}
		p.table([]string{"reading", "read", "within", "model", "difference", "of its band", "left, in σ", ""}, rows)
	}
	if len(a.Corrections) > 0 {
		p.title("What is most probably off, largest first")
		var rows [][]string
		for i := range a.Corrections {
			if i == 12 && !all {
				break
			}
			c := &a.Corrections[i]
			rows = append(rows, []string{c.What, c.WrittenText, c.ChangeText, c.BeforeText, c.AfterText})
		}
		p.table([]string{"number", "written", "change", "within, before", "after"}, rows)
		if n := len(a.Corrections) - len(rows); n > 0 {
			p.line("%d more: --all lists them. %d others are off by less than a tenth of what is usual.", n, a.Small)
		}
	}
	if len(a.Numbers) > 0 {
		p.title("How well the numbers are known, plus or minus, 95 of 100")
		var rows [][]string
		for _, k := range a.Numbers {
			rows = append(rows, []string{k.Name, k.WasText, k.IsText, k.BeforeText, k.AfterText})
		}
		p.table([]string{"number", "as written", "as measured", "within, before", "after"}, rows)
	}
	p.benchNext(a)
}

// benchNext lists what to measure next, each reading once with the number that it tells most of.
func (p *printer) benchNext(a *bench.Answer) {
	if len(a.Next) == 0 {
		return
	}
	p.title("What to measure next, and what it tells")
	seen := map[string]bool{}
	for _, n := range a.Next {
		if seen[n.What] || len(seen) == 6 {
			continue
		}
		seen[n.What] = true
		for k, line := range wrapped("Measure "+n.Text+".", 106) {
			if k > 0 {
				line = "  " + line
			}
			p.line("%s", line)
		}
	}
}

func orDash(s string) string {
	if s == "" {
		return "–"
	}
	return s
}

// ratio is a number with its sign, or a dash.
func ratio(v *float64) string {
	if v == nil {
		return "–"
	}
	if text := quantity.Fixed(*v, 2); text[0] == '-' {
		return text
	}
	return "+" + quantity.Fixed(*v, 2)
}
