package cli

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"lowslung/rig"
	"lowslung/store"
)

// importing are the flags of an import.
type importing struct {
	into              string
	columns, set      []string
	replace, leaveOut bool
	look              bool
}

func newBinImport(folder *string) *cobra.Command {
	var o importing
	c := &cobra.Command{
		Use:   "import FILE",
		Short: "Make a bin of a table that a shop or a spreadsheet wrote (CSV), whatever its columns are called",
		Long: "Make a bin of a table that a shop or a spreadsheet wrote (CSV), whatever its columns are called: cells separated by commas, semicolons or\n" +
			"tabs, decimal commas with the latter two. What the columns are is guessed from their names and units, and told; --column says otherwise.\n" +
			"All mistakes are told with line and column, and then nothing is saved.\n\n" +
			"The columns of ours: " + wrap(strings.Join(rig.ItemColumns(), ", ")) + ".",
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error { return o.run(c, *folder, args[0]) },
	}
	f := c.Flags()
	f.StringVar(&o.into, "into", "", "name of the bin: NAME.bin.yaml, or NAME.bin.csv for a table, which holds more; made from the name of the file when left out")
	f.StringArrayVar(&o.columns, "column", nil, `how a column is taken: "Gewicht=mass", "Preis=price (EUR)", "EAN=-" to leave it out; may be repeated`)
	f.StringArrayVar(&o.set, "set", nil, `a value for all rows that say nothing: "kind=screw", "currency=EUR"; may be repeated`)
	f.BoolVar(&o.replace, "replace", false, "the bin may be there already: it gets a new revision")
	f.BoolVar(&o.leaveOut, "leave-out", false, "leave out rows with mistakes, and tell them, instead of saving nothing")
	f.BoolVar(&o.look, "look", false, "only show how the table would be taken; save nothing")
	return c
}

// wrap breaks a list over the lines of a help text.
func wrap(s string) string { return strings.Join(wrapped(s, 110), "\n") }

func (o *importing) run(c *cobra.Command, folder, path string) error {
	opts, err := o.options()
	if err != nil {
		return err
	}
	shown, text, err := readTable(path, c.InOrStdin())
	if err != nil {
		return err
	}
	p := &printer{out: c.OutOrStdout(), colour: coloured(c.OutOrStdout())}
	bar := newBar(c.ErrOrStderr())
	opts.Progress = func(done, total int) { bar.tell("reading line", done, total) }
	it, err := rig.ReadItems(shown, text, opts)
	bar.end()
	if err != nil {
		return badTable(p, it, err)
	}
	into := o.into
	if into == "" {
		into = binFor(path, it.Len())
	}
	p.columns(it)
	if len(it.Mistakes) > 0 {
		fmt.Fprintf(c.ErrOrStderr(), "%s\nleft out %d of %d rows\n", it.Mistakes.Error(), it.Bad, it.Rows)
	}
	if o.look {
		p.firstItems(it, into)
		return nil
	}
	return inWorkshop(c, folder, store.Options{}, func(s *store.Store) error {
		made := it.Document(into, "from "+filepath.Base(shown))
		d, err := s.PutBin(commandContext(c), into, made, fmt.Sprintf("%d items from %s", it.Len(), filepath.Base(shown)), o.replace, func(done, total int) { bar.tell("saving item", done, total) })
		bar.end()
		if err != nil {
			return err
		}
		p.line("saved %d items in %s, revision %d", it.Len(), d.File, d.Revision)
		return nil
	})
}

func (o *importing) options() (out rig.ItemsOptions, err error) {
	for _, text := range o.columns {
		u, err := rig.ParseColumn(text)
		if err != nil {
			return out, err
		}
		out.Columns = append(out.Columns, u)
	}
	for _, text := range o.set {
		v, err := rig.ParseItemValue(text)
		if err != nil {
			return out, err
		}
		out.Set = append(out.Set, v)
	}
	out.LeaveOut = o.leaveOut
	return out, nil
}

// readTable reads a file, or standard input for "-".
func readTable(path string, in io.Reader) (shown string, text []byte, err error) {
	shown = path
	if path == "-" {
		shown = "standard input"
	} else {
		f, err := os.Open(path)
		if err != nil {
			return "", nil, fmt.Errorf("found no table to read: %w", err)
		}
		defer f.Close()
		in = f
	}
	text, err = io.ReadAll(io.LimitReader(in, rig.MaxTableBytes+1)) // one more than is taken, so that too much shows
	if err != nil {
		return "", nil, fmt.Errorf("%s could not be read: %w", shown, err)
	}
	return shown, text, nil
}

// mostInYAML is how many items a bin of our choosing has as YAML: more are read slowly, and nobody edits them by hand.
const mostInYAML = 2000

// binFor makes the name of a bin of the name of a table.
func binFor(path string, items int) string {
	base := "list"
	if path != "-" {
		base = strings.TrimSuffix(filepath.Base(path), filepath.Ext(path))
		base = strings.TrimSuffix(base, ".bin")
	}
	if base = strings.Trim(unsafe.ReplaceAllString(strings.ToLower(base), "-"), "-"); base == "" {
		base = "list"
	}
	if items > mostInYAML {
		return base + ".bin.csv"
	}
	return base + ".bin.yaml"
}

// badTable tells how the columns were taken, since that is what is wrong when every row is.
func badTable(p *printer, it *rig.Items, err error) error {
	var bad rig.Diagnostics
	if errors.As(err, &bad) && it.Rows > 0 {
		p.columns(it)
	}
	return fmt.Errorf("%w\nNothing was saved. Mend the table, say with --column what a column is, or leave bad rows out with --leave-out", err)
}

func (p *printer) columns(it *rig.Items) {
	var rows [][]string
	for _, u := range it.Columns {
		if u.Header == "" {
			continue
		}
		how := map[string]string{"asked": "as told", "name": "its name", "word": "another word for it", "near": "a name much like it", "left out": ""}[u.How]
		column := u.Column
		if column == "" {
			column = "– left out"
		}
		rows = append(rows, []string{clip(u.Header), column, u.Unit, how})
	}
	p.table([]string{"column", "taken as", "unit", "because it is"}, rows)
}

func (p *printer) firstItems(it *rig.Items, into string) {
	p.line("\n%d items would be saved in %s; the first of them:", it.Len(), into)
	for i := range min(5, it.Len()) {
		id, _ := it.At(i)
		p.line("  %s: %s", id, it.Line(i))
	}
}

// A bar shows on a terminal how far a long work is, in one line that is written over.
type bar struct {
	out   io.Writer
	shown bool
	last  time.Time
}

func newBar(out io.Writer) *bar {
	if !coloured(out) {
		return &bar{}
	}
	return &bar{out: out}
}

func (b *bar) tell(what string, done, total int) {
	if b.out == nil || time.Since(b.last) < 50*time.Millisecond {
		return
	}
	b.shown, b.last = true, time.Now()
	fmt.Fprintf(b.out, "\r%s %d of %d (%d %%)\x1b[K", what, done, total, 100*done/max(total, 1))
}

func (b *bar) end() {
	if b.shown {
		fmt.Fprint(b.out, "\r\x1b[K")
		b.shown = false
	}
}
