package cli

import (
	"github.com/spf13/cobra"

	"lowslung/rig"
)

func newSchema() *cobra.Command {
	var bin bool
	c := &cobra.Command{
		Use:   "schema",
		Short: "Print the JSON Schema of the rig document, for editors",
		Args:  cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			text := rig.Schema()
			if bin {
				text = rig.BinSchema()
			}
			_, err := c.OutOrStdout().Write(text)
			return err
		},
	}
	c.Flags().BoolVar(&bin, "bin", false, "the schema of a bin instead")
	return c
}
