package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"lowslung/quantity"
	"lowslung/search"
	"lowslung/travel"
)

// searching are the flags of the command.
type searching struct {
	take        int
	out, keep   string
	heave, roll string
	o           search.Options
	all         bool
}

func newSearch() *cobra.Command {
	var a asked
	var f searching
	c := &cobra.Command{
		Use:   "search FILE",
		Short: "The best links, holes, shocks and gears of what one can buy: every combination, over its whole travel",
		Long: `Goes through every combination of what the document's search section lets change, with the whole travel of every one, and says which
builds are worth making: those that meet everything wanted and that no other beats in everything preferred. With --take N the build of
that number is printed as a document that has this one as its base: open, check, compare or order it as any other.`,
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			p, err := a.begin(c)
			if err != nil {
				return err
			}
			return f.run(c, p, args[0])
		},
	}
	a.flags(c)
	fl := c.Flags()
	fl.IntVar(&f.take, "take", 0, "print build N as a document, and nothing else")
	fl.StringVarP(&f.out, "output", "o", "", "with --take: the file to write; standard output when left out")
	fl.BoolVar(&f.all, "all", false, "work every build of the front out in full, not only the six best compromises")
	fl.BoolVar(&f.o.Lean, "lean", false, "do not check whole builds before they stand on the front")
	fl.IntVar(&f.o.Workers, "workers", 0, "processors to use; all when left out. The answer is the same")
	fl.Float64Var(&f.o.Most, "most", 0, "largest number of combinations to go through, in place of what the document says")
	fl.IntVar(&f.o.Asked, "asked", 0, "most builds of which the slow questions are asked; 5000 when left out")
	fl.StringVar(&f.heave, "heave", "", "heaves of the travel, from:to:step in mm; -25:25:2.5 when left out")
	fl.StringVar(&f.roll, "roll", "", "rolls of the travel, from:to:step in degrees; -15:15:7.5 when left out")
	fl.StringVar(&f.keep, "keep", "", "file in which the run is kept as it goes: started again with it, it goes on where it was")
	c.AddCommand(newSearchBands())
	return c
}

func (f *searching) run(c *cobra.Command, p *printer, path string) error {
	for _, one := range []struct {
		name, text string
		into       *travel.Span
	}{{"heave", f.heave, &f.o.Heave}, {"roll", f.roll, &f.o.Roll}} {
		if one.text == "" {
			continue
		}
		s, err := travel.ParseSpan(one.text)
		if err != nil {
			return fmt.Errorf("%s: %w", one.name, err)
		}
		*one.into = s
	}
	written := c.Flags().Changed // 0 stands for what was left out
	switch {
	case f.take < 1 && written("take"):
		return fmt.Errorf("take: found %d, expected the number of a build, from 1", f.take)
	case f.out != "" && f.take == 0:
		return errors.New("output: expected along with --take, which says what to write")
	case f.take > 0 && p.json:
		return errors.New("found --take and --json, expected one of them")
	case f.o.Workers < 1 && written("workers"):
		return fmt.Errorf("workers: found %d, expected 1 or more", f.o.Workers)
	case f.o.Most <= 0 && written("most"):
		return fmt.Errorf("most: found %g, expected a number above 0", f.o.Most)
	case f.o.Asked < 1 && written("asked"):
		return fmt.Errorf("asked: found %d, expected a number above 0", f.o.Asked)
	}
	if f.o.Units = p.units; f.all || f.take > 6 {
		f.o.Builds = -1
	}
	l, err := load(path)
	if err != nil {
		return err
	}
	if err := f.resume(); err != nil {
		return err
	}
	bar := newGauge(c.ErrOrStderr())
	f.o.Progress = bar.show
	ctx, stop := signal.NotifyContext(background(c), os.Interrupt)
	defer stop()
	began := time.Now()
	ans, err := search.Run(ctx, l.build, f.o)
	bar.clear(began)
	if err != nil {
		if errors.Is(err, context.Canceled) {
			if f.keep != "" {
				return fmt.Errorf("stopped; the run is kept in %s, the same command goes on with it", f.keep)
			}
			return errors.New("stopped; with --keep FILE it could be taken up again")
		}
		return placed(filepath.Dir(path), err)
	}
	if f.keep != "" {
		_ = os.Remove(f.keep) // done with; one that stays behind does no harm
	}
	seconds := time.Since(began).Seconds()
	ans.Seconds = &seconds
	if f.take > 0 {
		return f.hand(p, path, &ans)
	}
	return p.give(ans, ans.Findings, func() { p.search(&ans) })
}

func background(c *cobra.Command) context.Context {
	if ctx := c.Context(); ctx != nil {
		return ctx
	}
	return context.Background()
}

// resume reads the run that is kept, and has it kept on.
func (f *searching) resume() error {
	if f.keep == "" {
		return nil
	}
	text, err := os.ReadFile(f.keep)
	switch {
	case err == nil:
		f.o.Resume = text
	case !os.IsNotExist(err):
		return fmt.Errorf("%s cannot be read: %w", f.keep, err)
	}
	f.o.Checkpoint = func(state []byte) {
		// First beside it, so that a run killed while writing leaves the last state whole.
		if os.WriteFile(f.keep+".new", state, 0o644) == nil {
			_ = os.Rename(f.keep+".new", f.keep)
		}
	}
	return nil
}

// hand prints or writes one build as a document.
func (f *searching) hand(p *printer, path string, a *search.Answer) error {
	if f.take > len(a.Builds) {
		if len(a.Builds) == 0 {
			p.findings(a.Findings)
			return errStop
		}
		return fmt.Errorf("take: found %d, expected 1 to %d, the builds found", f.take, len(a.Builds))
	}
	folder := "."
	if f.out != "" {
		folder = filepath.Dir(f.out)
	}
	base, err := filepath.Rel(folder, path)
	if err != nil || !filepath.IsLocal(base) {
		return fmt.Errorf("found the base %s outside the folder of the new document, expected it there or below; use -o with a file beside it", path)
	}
	b := &a.Builds[f.take-1]
	text := search.Rebase(b.Patch, filepath.ToSlash(base))
	if f.out == "" {
		_, err = fmt.Fprint(p.out, text)
		return err
	}
	return os.WriteFile(f.out, []byte(text), 0o644)
}

func (p *printer) search(a *search.Answer) {
	p.title("%s: search", a.Name)
	p.findings(a.Findings)
	p.line("")
	p.line("%s combinations: %s judged one by one, %s settled together with others.", many(a.Space), many(a.Evaluated), many(a.Cut))
	p.front(a)
	for i := range a.Builds {
		b := &a.Builds[i]
		p.title("Build %d", i+1)
		p.line("%s", b.Trade)
		p.changes(b.Changes)
		if len(b.Robust) > 0 {
			var bands []string
			for _, w := range b.Robust {
				bands = append(bands, w.Name+" "+w.Text)
			}
			for _, l := range wrapped("95 of 100 such builds have "+strings.Join(bands, "; ")+".", 108) {
				p.line("%s", l)
			}
		}
	}
	p.rejects(a)
}

// front is the builds side by side: what is preferred and what is wanted of them.
func (p *printer) front(a *search.Answer) {
	if len(a.Builds) == 0 {
		return
	}
	p.title("Worth making: what is preferred (*) and what is wanted")
	head := []string{"number", "wanted", "as it is"}
	for i := range a.Builds {
		head = append(head, fmt.Sprintf("build %d", i+1))
	}
	text := func(list []search.Number, name string) string {
		for _, n := range list {
			if n.Name == name {
				return n.Text
			}
		}
		return ""
	}
	var rows [][]string
	seen := map[string]bool{}
	add := func(name, mark, wanted string) {
		if seen[name] {
			return
		}
		seen[name] = true
		row := []string{name + mark, wanted, text(a.Now, name)}
		for i := range a.Builds {
			row = append(row, text(a.Builds[i].Numbers, name))
		}
		rows = append(rows, row)
	}
	wanted := map[string]string{}
	for _, w := range a.Wants {
		if w.By != "parts" {
			wanted[w.Name] = w.Wanted
		}
	}
	for _, f := range a.Prefers {
		add(f.Name, " *", strings.TrimPrefix(strings.Join([]string{wanted[f.Name], f.Way}, ", "), ", "))
	}
	for _, w := range a.Wants {
		if w.By != "parts" {
			add(w.Name, "", w.Wanted)
		}
	}
	p.table(head, rows)
	if a.Front > len(a.Builds) {
		p.line("%d more of the front: --all shows them.", a.Front-len(a.Builds))
	}
}

// rejects says why not the others.
func (p *printer) rejects(a *search.Answer) {
	var rows [][]string
	for _, w := range a.Wants {
		if n := a.Rejected[w.Name]; n > 0 {
			rows = append(rows, []string{w.Name, w.Wanted, many(n), quantity.Fixed(100*float64(n)/float64(a.Space), 1)})
		}
	}
	if len(rows) == 0 {
		return
	}
	p.title("Why not the others: the first want that each failed")
	p.table([]string{"want", "wanted", "combinations", "%"}, rows)
	if a.Loosen != nil {
		p.line("%s", a.Loosen.Text)
	}
}

// many prints a count with thin groups of three.
func many(n int64) string {
	s := fmt.Sprint(n)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + "\u2009" + s[i:]
	}
	return s
}

// A gauge tells on a terminal how far a run is.
type gauge struct {
	to    io.Writer
	began time.Time
	last  time.Time
	drawn bool
}

func newGauge(w io.Writer) *gauge {
	if !coloured(w) {
		w = nil
	}
	return &gauge{to: w, began: time.Now()}
}

func (b *gauge) show(p search.Progress) {
	if b.to == nil || time.Since(b.last) < 200*time.Millisecond {
		return
	}
	b.last, b.drawn = time.Now(), true
	gone := time.Since(b.began).Seconds()
	text := fmt.Sprintf("%s: %3.0f %%, %s combinations a second, %d builds", p.Step, 100*p.Done(), many(int64(float64(p.Evaluated+p.Cut)/gone)), p.Found)
	if d := p.Done(); d > 0.01 && d < 1 {
		text += fmt.Sprintf(", about %.0f s left", gone*(1-d)/d)
	}
	fmt.Fprintf(b.to, "\r\x1b[K%s", text)
}

func (b *gauge) clear(began time.Time) {
	if b.drawn {
		fmt.Fprintf(b.to, "\r\x1b[K%.1f s\n", time.Since(began).Seconds())
	}
}
