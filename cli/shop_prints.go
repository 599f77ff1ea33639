package cli

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"lowslung/quantity"
	"lowslung/shop"
)

func newShopPrints() *cobra.Command {
	var a asked
	var tolerance, dir string
	var lengths, only []string
	c := &cobra.Command{
		Aliases: []string{"print"},
		Use:     "prints FILE",
		Short:   "Helpers to print: gauges, spacers, drill guides, a battery tray, as STL and 3MF",
		Args:    cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			p, err := a.begin(c)
			if err != nil {
				return err
			}
			o, err := shop.ParsePrintOptions(tolerance, lengths, p.units)
			if err != nil {
				return err
			}
			l, err := load(args[0])
			if err != nil {
				return err
			}
			ans, err := shop.PrintsOf(l.model, o)
			if err != nil {
				return err
			}
			if err := onlyPrints(&ans, only); err != nil {
				return err
			}
			var files []string
			if dir != "" {
				if files, err = writePrints(dir, ans.Prints); err != nil {
					return err
				}
			}
			return p.give(ans, ans.Findings, func() { p.prints(l.model.Name, &ans, dir, files) })
		},
	}
	a.flags(c)
	c.Flags().StringVarP(&dir, "out", "o", "", "folder for the files, made when it is not there; only the list is printed without it")
	c.Flags().StringArrayVar(&only, "only", nil, "name of one to make, or the beginning of several names; may be given again")
	c.Flags().StringArrayVar(&lengths, "length", nil, "a length gauge for this length too, eye to eye; may be given again")
	c.Flags().StringVar(&tolerance, "tolerance", "", "added to the width of everything that something goes into; 0.2 mm when left out")
	return c
}

// onlyPrints keeps the helpers whose names begin as asked for.
func onlyPrints(a *shop.Prints, only []string) error {
	if len(only) == 0 {
		return nil
	}
	names := make([]string, len(a.Prints))
	for i := range a.Prints {
		names[i] = a.Prints[i].Name
	}
	for _, o := range only {
		if !slices.ContainsFunc(names, func(n string) bool { return strings.HasPrefix(n, o) }) {
			return fmt.Errorf("only: found %q, expected the beginning of one of %s", o, strings.Join(names, ", "))
		}
	}
	a.Prints = slices.DeleteFunc(a.Prints, func(p shop.Print) bool {
		return !slices.ContainsFunc(only, func(o string) bool { return strings.HasPrefix(p.Name, o) })
	})
	return nil
}

// writePrints writes each helper's two files, whole or not at all.
func writePrints(dir string, list []shop.Print) ([]string, error) {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return nil, fmt.Errorf("the folder %s cannot be made: %w", dir, err)
	}
	var out []string
	for i := range list {
		for _, f := range []struct {
			end  string
			data []byte
		}{{".stl", list[i].STL()}, {".3mf", list[i].ThreeMF()}} {
			name := filepath.Join(dir, list[i].Name+f.end)
			if err := writeWhole(name, f.data); err != nil {
				return nil, err
			}
			out = append(out, name)
		}
	}
	return out, nil
}

// writeWhole writes beside the place first, so that nothing that stands there is lost to a full disk.
func writeWhole(name string, data []byte) error {
	beside := name + ".part"
	err := os.WriteFile(beside, data, 0o644)
	if err == nil {
		err = os.Rename(beside, name)
	}
	if err != nil {
		return errors.Join(fmt.Errorf("%s cannot be written: %w", name, err), ignoreMissing(os.Remove(beside)))
	}
	return nil
}

func ignoreMissing(err error) error {
	if errors.Is(err, os.ErrNotExist) {
		return nil
	}
	return err
}

func (p *printer) prints(name string, a *shop.Prints, dir string, files []string) {
	p.title("%s: helpers to print", name)
	p.findings(a.Findings)
	var rows [][]string
	for i := range a.Prints {
		x := &a.Prints[i]
		rows = append(rows, []string{
			x.Name, p.num(quantity.DimLength, x.SizeMM[0], 1), p.num(quantity.DimLength, x.SizeMM[1], 1), p.num(quantity.DimLength, x.SizeMM[2], 1), p.num(quantity.DimMass, x.MassG/1000, 1),
		})
	}
	u := p.unit(quantity.DimLength)
	p.table([]string{"name", "long " + u, "wide " + u, "high " + u, "about " + p.unit(quantity.DimMass)}, rows)
	for i := range a.Prints {
		x := &a.Prints[i]
		p.title("%s", x.Title)
		for _, s := range wrapped(x.Use, 100) {
			p.line("%s", s)
		}
		var m []string
		for _, k := range x.Measure {
			m = append(m, fmt.Sprintf("%s %s", k.What, quantity.DimLength.FormatDigits(k.SizeMM, p.units, max(2, quantity.DimLength.Shown(p.units).Digits))))
		}
		p.note("measure: " + strings.Join(m, "; "))
		p.note("assumed: " + strings.Join(x.Assumes, "; "))
	}
	p.title("Take care")
	for _, s := range a.Cautions {
		p.note(s)
	}
	p.line("")
	if dir == "" {
		p.line("Nothing was written: say -o and a folder for the STL and 3MF files, in mm.")
		return
	}
	p.line("%d files in mm in %s.", len(files), dir)
}

// note is an indented sentence with a dot before it, wrapped.
func (p *printer) note(s string) {
	for k, line := range wrapped(s, 100) {
		if k == 0 {
			p.line("  · %s", line)
		} else {
			p.line("    %s", line)
		}
	}
}
