package cli

import (
	"encoding/hex"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"lowslung/quantity"
	sheets "lowslung/sheet"
)

// keeping is what the command sheet was asked for.
type keeping struct {
	against, paper, units, format, sections, date, out string
}

func newKeep() *cobra.Command {
	var k keeping
	c := &cobra.Command{
		Use:   "sheet FILE",
		Short: "A set-up sheet to keep or to publish, or a comparison with another build: PDF, HTML, Markdown or CSV",
		Args:  cobra.ExactArgs(1),
		RunE:  func(c *cobra.Command, args []string) error { return k.run(c, args[0]) },
	}
	f := c.Flags()
	f.StringVar(&k.against, "against", "", "the build that it is held against; a sheet of one build when left out")
	f.StringVarP(&k.out, "out", "o", "", "file to write: sheet.pdf, sheet.html, sheet.md or sheet.csv; - for standard output, which text goes to when left out")
	f.StringVar(&k.format, "format", "", "pdf, html, md or csv (default by the ending of -o, else md)")
	f.StringVar(&k.paper, "paper", "a4", "paper of the PDF: a4 or letter")
	f.StringVar(&k.units, "units", "metric", "units of tables, drawings and plots: metric or us; numbers are in the other system too")
	f.StringVar(&k.sections, "sections", "", "which, separated by commas: "+strings.Join(sheets.SectionNames(), ", ")+"; or all (default all, in Markdown those of a post)")
	f.StringVar(&k.date, "date", "", "date on the sheet, as 2026-05-02 (default the day that FILE was last changed)")
	return c
}

func (k *keeping) run(c *cobra.Command, path string) error {
	format, err := k.kind()
	if err != nil {
		return err
	}
	o := sheets.Options{}
	if o.Units, err = quantity.ParseSystem(k.units); err != nil {
		return err
	}
	if o.Paper, err = sheets.ParsePaper(k.paper); err != nil {
		return err
	}
	if o.Sections, err = sheets.ParseSections(k.sections); err != nil {
		return err
	}
	if o.Sections == nil && format == "md" {
		o.Sections = sheets.ShortSections()
	}
	b, base, at, err := k.build(path)
	if err != nil {
		return err
	}
	switch {
	case k.against != "":
		if o.Against, _, _, err = k.build(k.against); err != nil {
			return err
		}
	case base != "":
		was, err := load(base)
		if err != nil {
			return err
		}
		o.Was = was.model
	}
	s, err := sheets.Assess(b, o)
	if err != nil {
		return err
	}
	text, err := s.Write(format, at.Unix())
	if err != nil {
		return err
	}
	return k.give(c.OutOrStdout(), text)
}

// kind is the format asked for, or the one that the file's name ends in.
func (k *keeping) kind() (string, error) {
	format, from := strings.ToLower(k.format), "format"
	if end := strings.TrimPrefix(strings.ToLower(filepath.Ext(k.out)), "."); format == "" && k.out != "" && k.out != "-" {
		format, from = end, "the ending of "+k.out
	}
	switch format {
	case "":
		return "md", nil
	case "markdown":
		return "md", nil
	case "htm":
		return "html", nil
	case "pdf", "html", "md", "csv":
		if format == "pdf" && k.out == "" {
			return "", fmt.Errorf("found no file for the PDF, expected -o sheet.pdf, or -o - for standard output")
		}
		return format, nil
	}
	return "", fmt.Errorf("%s: found %q, expected pdf, html, md or csv", from, format)
}

// build loads a document with what a sheet says of where it comes from: hashes of its texts and the day it was last changed.
func (k *keeping) build(path string) (b *sheets.Build, base string, at time.Time, err error) {
	l, err := load(path)
	if err != nil {
		return nil, "", at, err
	}
	if k.date != "" {
		if at, err = time.Parse(time.DateOnly, k.date); err != nil {
			return nil, "", at, fmt.Errorf("date: found %q, expected a day such as 2026-05-02", k.date)
		}
	} else if info, err := os.Stat(path); err == nil {
		at = info.ModTime()
	}
	b = &sheets.Build{Name: l.model.Name, Date: at.Format(time.DateOnly), Tree: l.build.Tree, Model: l.model}
	if b.Name == "" {
		b.Name = filepath.Base(path)
	}
	for _, f := range l.build.Files {
		sum := l.sums[f]
		b.Files = append(b.Files, sheets.File{Name: f, Hash: hex.EncodeToString(sum[:])})
	}
	if l.build.Doc.Base != "" {
		base = filepath.Join(filepath.Dir(path), filepath.FromSlash(l.build.Doc.Base))
	}
	return b, base, at, nil
}

// give writes to the file asked for, whole or not at all: a sheet that was there stays until the new one is.
func (k *keeping) give(out io.Writer, text []byte) error {
	if k.out == "" || k.out == "-" {
		_, err := out.Write(text)
		return err
	}
	name := strings.ToLower(filepath.Base(k.out))
	if end := filepath.Ext(name); end == ".yaml" || end == ".yml" || end == ".json" || strings.HasSuffix(name, ".bin.csv") {
		return fmt.Errorf("found the file %s to write to, expected a name that no document has, such as sheet.pdf", k.out)
	}
	f, err := os.CreateTemp(filepath.Dir(k.out), ".sheet-*")
	if err != nil {
		return fmt.Errorf("%s could not be written: %w", k.out, err)
	}
	_, err = f.Write(text)
	if e := f.Close(); err == nil {
		err = e
	}
	if err == nil {
		err = os.Chmod(f.Name(), 0o644)
	}
	if err == nil {
		err = os.Rename(f.Name(), k.out)
	}
	if err != nil {
		os.Remove(f.Name())
		return fmt.Errorf("%s could not be written: %w", k.out, err)
	}
	fmt.Fprintf(out, "wrote %s\n", k.out)
	return nil
}
