package cli

import (
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"lowslung/quantity"
	"lowslung/shop"
	"lowslung/solid"
)

func newShopWeigh() *cobra.Command {
	var a asked
	var material, infill, scale string
	c := &cobra.Command{
		Use:   "weigh MESH",
		Short: "Size, volume, centre and weight by material of a part's STL or 3MF (estimates)",
		Args:  cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			p, err := a.begin(c)
			if err != nil {
				return err
			}
			o, err := shop.ParseWeighOptions(material, infill, scale, p.units)
			if err != nil {
				return err
			}
			o.File = filepath.Base(args[0]) // beside the document that will name it
			info, err := os.Stat(args[0])
			if err != nil {
				return fmt.Errorf("found no mesh %s, expected an STL or 3MF file", args[0])
			}
			if info.Size() > solid.MaxMeshBytes {
				return fmt.Errorf("%s: found %d MiB, expected at most %d MiB; save it with fewer triangles", args[0], info.Size()>>20, solid.MaxMeshBytes>>20)
			}
			data, err := os.ReadFile(args[0])
			if err != nil {
				return fmt.Errorf("%s cannot be read: %w", args[0], err)
			}
			w, err := shop.Weigh(data, o)
			if err != nil {
				return fmt.Errorf("%s: %w", args[0], err)
			}
			return p.give(w, w.Findings, func() { p.weighed(filepath.Base(args[0]), &w) })
		},
	}
	a.flags(c)
	c.Flags().StringVar(&material, "material", "", "one material of the list; all of them when left out")
	c.Flags().StringVar(&infill, "infill", "", "share of the volume that is material, such as 30 %; all of it when left out")
	c.Flags().StringVar(&scale, "scale", "", "what the coordinates are multiplied by: 25.4 for an STL in inches")
	return c
}

func (p *printer) weighed(name string, w *shop.Weighed) {
	p.title("%s", name)
	p.findings(w.Findings)
	mm := func(v float64) string { return p.num(quantity.DimLength, v, 1) }
	p.line("%s × %s × %s %s, %d triangles", mm(w.SizeMM[0]), mm(w.SizeMM[1]), mm(w.SizeMM[2]), p.unit(quantity.DimLength), w.Triangles)
	if w.VolumeMM3 != nil {
		p.line("%.2f cm³, centre of mass at [%s, %s, %s] %s in its own frame", *w.VolumeMM3/1000, mm(w.CenterMM[0]), mm(w.CenterMM[1]), mm(w.CenterMM[2]), p.unit(quantity.DimLength))
		var rows [][]string
		for _, k := range w.Weights {
			rows = append(rows, []string{k.Material, fmt.Sprintf("%.0f", k.Density), p.num(quantity.DimMass, k.MassG/1000, 1)})
		}
		p.title("Weight, an estimate: %s of the volume filled", quantity.DimShare.Format(w.Infill, p.units))
		p.table([]string{"material", "kg/m³", "weight " + p.unit(quantity.DimMass)}, rows)
	}
	p.title("As a part of a document")
	p.line("%s", w.Part)
}
