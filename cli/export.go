package cli

import (
	"fmt"
	"path/filepath"

	"github.com/spf13/cobra"

	"lowslung/export"
)

func newExportRig() *cobra.Command {
	var out []string
	c := &cobra.Command{
		Use:   "export FILE -o NAME...",
		Short: "The rig for general tools: glTF, MJCF, points as a table, JSON",
		Long: "Writes the rig for other tools. The ending of the name says the format: .glb (glTF 2.0, to look at it anywhere), .xml (MJCF, for a general\n" +
			"physics engine), .csv (its points as a table), .json (its document, bases merged).",
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			p, err := (&asked{units: "metric"}).begin(c)
			if err != nil {
				return err
			}
			if len(out) == 0 {
				return fmt.Errorf("out: found nothing, expected -o and a file name that ends in .glb, .xml, .csv or .json")
			}
			var files []export.File
			for _, name := range out {
				f, err := export.FormatOf(name)
				if err != nil {
					return fmt.Errorf("out: %w", err)
				}
				if a, err := filepath.Abs(name); err == nil {
					if b, err := filepath.Abs(args[0]); err == nil && a == b {
						return fmt.Errorf("out: found %s, which is the rig itself, expected another name", name)
					}
				}
				files = append(files, f)
			}
			l, err := load(args[0])
			if err != nil {
				return err
			}
			for i, f := range files {
				data, left, err := export.Write(f, l.build, l.model)
				if err != nil {
					return err
				}
				if err := writeWhole(out[i], data); err != nil {
					return err
				}
				p.line("%s: %s, %d kB", out[i], f.Title, (len(data)+999)/1000)
				for _, s := range summed(left) {
					p.note("not in it: " + s)
				}
			}
			return nil
		},
	}
	c.Flags().StringArrayVarP(&out, "out", "o", nil, "file to write; may be given again")
	return c
}

// summed is a list of at most some lines.
func summed(list []string) []string {
	const most = 8
	if len(list) <= most {
		return list
	}
	return append(append([]string{}, list[:most-1]...), fmt.Sprintf("%d more", len(list)-most+1))
}
