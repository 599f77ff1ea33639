package cli

import (
	"io"

	"github.com/spf13/cobra"

	"lowslung/licences"
)

func newLicences() *cobra.Command {
	return &cobra.Command{
		Use:   "licences",
		Short: "The licences of the program and of everything built into it, which go with it when it is passed on",
		Args:  cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			_, err := io.WriteString(c.OutOrStdout(), licences.Text())
			return err
		},
	}
}
