package cli

import (
	"fmt"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"lowslung/quantity"
	"lowslung/rocks"
)

func newRocks() *cobra.Command {
	var a asked
	var obstacle, height, angle, grip, speed, throttle, against, file string
	var seed uint64
	var frames bool
	c := &cobra.Command{
		Use:   "rocks FILE",
		Short: "What it climbs: runs over obstacles, where and why they end, the largest that is cleared (estimates)",
		Args:  cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			p, err := a.begin(c)
			if err != nil {
				return err
			}
			o, err := rocks.ParseOptions(obstacle, height, angle, grip, speed, throttle, p.units)
			if err != nil {
				return err
			}
			o.Seed, o.Frames = seed, frames
			if file != "" {
				if obstacle != "" {
					return fmt.Errorf("found both map and obstacle, expected one of them: a map is an obstacle of its own")
				}
				if o.Map, err = mapOf(file); err != nil {
					return err
				}
			}
			l, err := load(args[0])
			if err != nil {
				return err
			}
			if against != "" {
				other, err := load(against)
				if err != nil {
					return err
				}
				o.Against = other.model
			}
			ans, err := rocks.Assess(l.model, o)
			if err != nil {
				return err
			}
			return p.give(ans, ans.Findings, func() { p.rocks(l.model.Name, &ans) })
		},
	}
	a.flags(c)
	c.Flags().StringVar(&obstacle, "obstacle", "", "one obstacle: "+strings.Join(rocks.Obstacles(), ", ")+" (default all)")
	c.Flags().StringVar(&height, "height", "", "its height or depth, mm: one run instead of the largest that is cleared")
	c.Flags().StringVar(&angle, "angle", "", "its slope, degrees: one run instead of the steepest that is cleared")
	c.Flags().StringVar(&grip, "grip", "", "coefficient of friction of the tyres on rock, an assumption (default that of the document)")
	c.Flags().StringVar(&speed, "speed", "", "speed that the driver holds, m/s (default 0.3)")
	c.Flags().StringVar(&throttle, "throttle", "", "the most the driver gives, such as 60 % (default full)")
	c.Flags().Uint64Var(&seed, "seed", 0, "another field of boulders for every number")
	c.Flags().StringVar(&against, "against", "", "another build over the same rock, and both over a range of grip")
	c.Flags().StringVar(&file, "map", "", "a file of heights to drive over")
	c.Flags().BoolVar(&frames, "frames", false, "with --json: the run instant by instant, and the rock, for drawing")
	return c
}

// mapOf reads a map of heights.
func mapOf(file string) (*rocks.Map, error) {
	const most = 16 << 20
	info, err := os.Stat(file)
	if err != nil {
		return nil, fmt.Errorf("found no file %s, expected a map of heights", file)
	}
	if info.Size() > most {
		return nil, fmt.Errorf("%s: it holds %d MiB, expected at most %d", file, info.Size()>>20, most>>20)
	}
	text, err := os.ReadFile(file)
	if err != nil {
		return nil, fmt.Errorf("%s could not be read: %w", file, err)
	}
	m, err := rocks.ParseMap(string(text))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	return m, nil
}

func (p *printer) rocks(name string, a *rocks.Answer) {
	p.title("%s: rocks", name)
	p.findings(a.Findings)
	if a.Grip == nil {
		return
	}
	p.line("")
	from := map[string]string{"asked": "as asked for", "document": "from the document", "usual": "as usual"}[a.Grip.From]
	p.line("grip %s in front, %s behind, %s: an assumption; the driver holds %s and gives up to %s", quantity.Fixed(a.Grip.Front, 2), quantity.Fixed(a.Grip.Rear, 2), from,
		quantity.DimSpeed.Format(a.SpeedMPS, p.units), quantity.DimShare.FormatDigits(a.Throttle, p.units, 0))
	if len(a.Limits) > 0 {
		p.cleared(name, a)
	}
	if a.Run != nil {
		p.ran(name, a.Run)
	}
	if a.Against != nil && a.Against.Run != nil {
		p.ran(a.Against.Name, a.Against.Run)
	}
	if g := a.ByGrip; g != nil {
		p.title("Largest %s that is cleared, by grip (estimates)", g.Obstacle)
		var rows [][]string
		for _, r := range g.Rows {
			rows = append(rows, []string{quantity.Fixed(r.Grip, 1), p.size(r.This, g.Unit), p.size(r.Other, g.Unit)})
		}
		p.table([]string{"grip", name, a.Against.Name}, rows)
	}
	p.title("Before you try it")
	for _, s := range a.Cautions {
		for i, line := range wrapped(s, 112) {
			p.line("%s%s", map[bool]string{true: "- ", false: "  "}[i == 0], line)
		}
	}
}

// size prints the size of an obstacle with its unit.
func (p *printer) size(v float64, unit string) string {
	if unit == "°" {
		return quantity.Fixed(v, 0) + "°"
	}
	digits := 0
	if p.units == quantity.US {
		digits = 2
	}
	return quantity.DimLength.FormatDigits(v, p.units, digits)
}

func (p *printer) cleared(name string, a *rocks.Answer) {
	p.title("The largest that is cleared (estimates)")
	var rows [][]string
	head := []string{"obstacle", "cleared", "next tried", "and how that ended"}
	if a.Against != nil {
		head = []string{"obstacle", name, a.Against.Name, "how the next ended", "how its next ended"}
	}
	for i := range a.Limits {
		l := &a.Limits[i]
		if a.Against == nil {
			rows = append(rows, []string{l.Obstacle, p.size(l.Cleared, l.Unit), p.size(l.Next.Size, l.Unit), short(&l.Next)})
			continue
		}
		o := &a.Against.Limits[i]
		rows = append(rows, []string{l.Obstacle, p.size(l.Cleared, l.Unit), p.size(o.Cleared, o.Unit), short(&l.Next), short(&o.Next)})
	}
	p.table(head, rows)
}

// short is an end in few words.
func short(e *rocks.Ended) string {
	if e.Why == "" {
		return e.Outcome
	}
	return e.Outcome + ": " + e.Why
}

func (p *printer) ran(name string, r *rocks.Run) {
	what := r.Obstacle
	if r.Obstacle != "map" {
		unit := "mm"
		if k := r.Unit; k != "" {
			unit = k
		}
		what += " of " + p.size(r.Ended.Size, unit)
	}
	p.title("%s on the %s", name, what)
	p.line("%s", r.Ended.Sentence)
	text := fmt.Sprintf("off upright by up to %s", degrees(r.SteepDeg, p.units))
	if r.CurrentA > 0 {
		text += ", motor up to " + quantity.DimCurrent.FormatDigits(r.CurrentA, p.units, 0)
	}
	if r.BellyN > 0 {
		text += ", belly, housings and links bore up to " + quantity.DimForce.FormatDigits(r.BellyN, p.units, 1)
	}
	p.line("%s", text)
}
