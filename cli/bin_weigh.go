package cli

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"lowslung/quantity"
	"lowslung/rig"
	"lowslung/store"
)

func newBinWeigh(folder *string) *cobra.Command {
	var bin, units string
	c := &cobra.Command{
		Use:   "weigh [FILE]",
		Short: "Put in what the kitchen scale says: lines of item and grams, from standard input or a file",
		Long: "Put in what the kitchen scale says: one line for each item, its name and its weight with a tab, a semicolon or spaces between. Grams, or\n" +
			"with a unit (0.4 oz). The items are marked as weighed. All lines are taken, or none.",
		Args: cobra.MaximumNArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			system, err := quantity.ParseSystem(units)
			if err != nil {
				return err
			}
			in, shown := c.InOrStdin(), "standard input"
			if len(args) == 1 && args[0] != "-" {
				f, err := os.Open(args[0])
				if err != nil {
					return fmt.Errorf("found no list of weights to read: %w", err)
				}
				defer f.Close()
				in, shown = f, args[0]
			}
			list, err := readWeights(shown, bin, in)
			if err != nil {
				return err
			}
			return inWorkshop(c, *folder, store.Options{MustExist: true}, func(s *store.Store) error {
				done, err := s.Weigh(commandContext(c), list)
				if err != nil {
					return err
				}
				p := &printer{out: c.OutOrStdout(), units: system}
				var rows [][]string
				for _, w := range done {
					was := w.Was
					if was == "" {
						was = "–"
					}
					rows = append(rows, []string{w.Item.Name, clip(w.Item.Title), was, quantity.DimMass.FormatDigits(float64(*w.Item.Mass), system, 2), w.Item.Bin})
				}
				p.table([]string{"item", "what", "was", "weighed", "bin"}, rows)
				return nil
			})
		},
	}
	c.Flags().StringVar(&bin, "bin", "", "bin that the items are in, when several have items of these names")
	c.Flags().StringVar(&units, "units", "metric", "units of the table: metric or us")
	return c
}

const mostWeights = 10_000

// readWeights reads the list; all lines that are wrong are told.
func readWeights(shown, bin string, in io.Reader) ([]store.Weight, error) {
	var list []store.Weight
	var wrong []string
	lines := bufio.NewScanner(in)
	for n := 1; lines.Scan(); n++ {
		text := strings.TrimSpace(strings.TrimPrefix(lines.Text(), "\ufeff"))
		if text == "" || text[0] == '#' {
			continue
		}
		item, weight, ok := splitWeight(text)
		if !ok {
			wrong = append(wrong, fmt.Sprintf("%s:%d: found %q, expected an item and its weight in grams", shown, n, text))
			continue
		}
		grams, err := rig.Grams(weight)
		if err != nil {
			if len(list) == 0 && len(wrong) == 0 && isHeading(weight) {
				continue
			}
			wrong = append(wrong, fmt.Sprintf("%s:%d: %v", shown, n, err))
			continue
		}
		if list = append(list, store.Weight{Item: item, Bin: bin, Mass: grams}); len(list) > mostWeights {
			return nil, fmt.Errorf("found more than %d weights in %s, expected at most that; weigh in parts", mostWeights, shown)
		}
	}
	if err := lines.Err(); err != nil {
		return nil, fmt.Errorf("%s could not be read: %w", shown, err)
	}
	if len(wrong) > 0 {
		return nil, errors.New(strings.Join(append(wrong, "Nothing was saved"), "\n"))
	}
	return list, nil
}

// splitWeight takes a line apart at its last tab or semicolon, or else before its last number and what follows that.
func splitWeight(line string) (item, weight string, ok bool) {
	for _, sep := range []string{"\t", ";"} {
		if i := strings.LastIndex(line, sep); i > 0 {
			return strings.TrimSpace(line[:i]), strings.TrimSpace(line[i+1:]), true
		}
	}
	words := strings.Fields(line)
	for n := 1; n <= 2 && n < len(words); n++ { // the last word, or the last two: 12 g
		weight = strings.Join(words[len(words)-n:], " ")
		if _, err := rig.Grams(weight); err == nil {
			return strings.Join(words[:len(words)-n], " "), weight, true
		}
	}
	if len(words) < 2 {
		return "", "", false
	}
	return strings.Join(words[:len(words)-1], " "), words[len(words)-1], true
}

// isHeading says that a list begins with a line of headings.
func isHeading(word string) bool {
	switch strings.ToLower(word) {
	case "mass", "weight", "grams", "g", "mass g", "weight g", "mass (g)", "weight (g)", "gewicht", "gewicht g", "gewicht (g)":
		return true
	}
	return false
}
