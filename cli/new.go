package cli

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"regexp"
	"strings"

	"github.com/spf13/cobra"

	"lowslung/rig"
)

func newNew() *cobra.Command {
	var points string
	c := &cobra.Command{
		Use:   "new NAME",
		Short: "Write a commented document, NAME.rig.yaml: a starter that passes check, or a linkage from measured points",
		Args:  cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			file, err := fileFor(args[0])
			if err != nil {
				return err
			}
			text := rig.Starter(args[0])
			if c.Flags().Changed("points") {
				if text, err = fromPoints(points, args[0], c.InOrStdin()); err != nil {
					return err
				}
			}
			f, err := os.OpenFile(file, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
			if errors.Is(err, fs.ErrExist) {
				return fmt.Errorf("found %s already there, expected a new name; it was left as it is", file)
			}
			if err != nil {
				return err
			}
			if _, err = f.Write(text); err == nil {
				err = f.Close()
			}
			if err != nil {
				return fmt.Errorf("%s could not be written whole: %w", file, err)
			}
			fmt.Fprintf(c.OutOrStdout(), "wrote %s; ask of it: lowslung check %s\n", file, file)
			return nil
		},
	}
	c.Flags().StringVar(&points, "points", "", "table of measured points to make it from: a CSV file, or - for standard input")
	return c
}

// fromPoints reads a table from a file, or from standard input, and makes a document of it.
func fromPoints(path, name string, in io.Reader) ([]byte, error) {
	shown := path
	if path == "-" {
		shown = "standard input"
	} else {
		f, err := os.Open(path)
		if err != nil {
			return nil, fmt.Errorf("found no table of points to read: %w", err)
		}
		defer f.Close()
		in = f
	}
	table, err := io.ReadAll(io.LimitReader(in, rig.MaxBytes+1)) // one more than is taken, so that too much shows
	if err != nil {
		return nil, fmt.Errorf("%s could not be read: %w", shown, err)
	}
	return rig.FromPoints(shown, name, table)
}

var unsafe = regexp.MustCompile(`[^a-z0-9]+`)

// fileFor makes a file name of a build's name: "Moss creeper" is moss-creeper.rig.yaml.
func fileFor(name string) (string, error) {
	base := strings.Trim(unsafe.ReplaceAllString(strings.ToLower(strings.TrimSuffix(name, ".rig.yaml")), "-"), "-")
	if base == "" {
		return "", fmt.Errorf("found the name %q, expected letters or digits in it", name)
	}
	return base + ".rig.yaml", nil
}
