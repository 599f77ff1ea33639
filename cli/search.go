package cli

import "github.com/spf13/cobra"

func newSearch() *cobra.Command {
	c := &cobra.Command{Use: "search", Short: "The best links, holes, shocks and gears from what one can buy, and how sure their numbers are"}
	c.AddCommand(newSearchBands())
	return c
}
