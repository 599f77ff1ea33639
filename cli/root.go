package cli

import (
	"errors"
	"fmt"
	"io"
	"os"

	"github.com/spf13/cobra"

	"lowslung/finding"
	"lowslung/quantity"
)

// errStop ends a command whose answer has a finding that says stop: status 1, nothing more to print.
var errStop = errors.New("a finding says stop")

// Run is the program: it returns the exit status.
func Run(args []string, in io.Reader, out, errOut io.Writer) int {
	root := newRoot()
	root.SetArgs(args)
	root.SetIn(in)
	root.SetOut(out)
	root.SetErr(errOut)
	err := root.Execute()
	switch {
	case err == nil:
		return 0
	case errors.Is(err, errStop):
		return 1
	}
	fmt.Fprintln(errOut, err)
	return 2
}

func newRoot() *cobra.Command {
	var bench serving
	root := &cobra.Command{
		Use:           "lowslung",
		Short:         "Answers what a change to a small-scale rock crawler does, before a part is ordered, cut or printed",
		SilenceUsage:  true,
		SilenceErrors: true,
		Args:          cobra.NoArgs,
		RunE:          func(c *cobra.Command, _ []string) error { return bench.run(c) }, // alone, it opens the workbench
	}
	bench.flags(root)
	root.CompletionOptions.DisableDefaultCmd = true
	root.AddCommand(newCheck(), newTravel(), newSteer(), newBalance(), newRide(), newMates(), newDrive(), newRocks(), newSearch(), newShop(), newBench(), newExportRig(), newBin(), newCompare(), newKeep(), newSchema(), newLicences(), newNew(), newManual(), newServeCommand(), newWork(), newWorkshopCommand())
	return root
}

// asked are the flags that every answering command has.
type asked struct {
	json  bool
	units string
}

func (a *asked) flags(c *cobra.Command) {
	c.Flags().BoolVar(&a.json, "json", false, "print the answer as JSON, unit suffixes in the keys")
	c.Flags().StringVar(&a.units, "units", "metric", "units of tables and sentences: metric or us")
}

// begin makes the printer for a command.
func (a *asked) begin(c *cobra.Command) (*printer, error) {
	system, err := quantity.ParseSystem(a.units)
	if err != nil {
		return nil, err
	}
	out := c.OutOrStdout()
	return &printer{out: out, units: system, json: a.json, colour: coloured(out)}, nil
}

// coloured is true on a terminal that has not been asked to stay plain (no-color.org).
func coloured(w io.Writer) bool {
	f, ok := w.(*os.File)
	if !ok || os.Getenv("NO_COLOR") != "" || os.Getenv("TERM") == "dumb" {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}

// give prints an answer, as JSON for programs or by show for people, and turns its findings into the exit status.
func (p *printer) give(answer any, list []finding.Finding, show func()) error {
	if !p.json {
		show()
		return verdict(list)
	}
	if err := p.encode(answer); err != nil {
		return err
	}
	return verdict(list)
}

// verdict turns findings into an exit status.
func verdict(list []finding.Finding) error {
	if finding.Worst(list) == finding.Stop {
		return errStop
	}
	return nil
}
