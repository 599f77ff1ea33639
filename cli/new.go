package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"regexp"
	"strings"

	"github.com/spf13/cobra"

	"lowslung/rig"
)

func newNew() *cobra.Command {
	return &cobra.Command{
		Use:   "new NAME",
		Short: "Write a commented starter document, NAME.rig.yaml, that passes check",
		Args:  cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			file, err := fileFor(args[0])
			if err != nil {
				return err
			}
			f, err := os.OpenFile(file, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
			if errors.Is(err, fs.ErrExist) {
				return fmt.Errorf("found %s already there, expected a new name; it was left as it is", file)
			}
			if err != nil {
				return err
			}
			if _, err = f.Write(rig.Starter(args[0])); err == nil {
				err = f.Close()
			}
			if err != nil {
				return fmt.Errorf("%s could not be written whole: %w", file, err)
			}
			fmt.Fprintf(c.OutOrStdout(), "wrote %s; ask of it: lowslung check %s\n", file, file)
			return nil
		},
	}
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
