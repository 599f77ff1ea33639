package cli

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"lowslung/channel"
	"lowslung/ride"
	"lowslung/solid"
	"lowslung/travel"
)

// wishFlags ask travel for link lengths instead of poses.
type wishFlags struct {
	solve             bool
	wheelbase, pinion string
	links             []string
}

func (w *wishFlags) flags(c *cobra.Command) {
	c.Flags().BoolVar(&w.solve, "solve", false, "link lengths for a wish, and what one turn of each rod end does; the wish is --wheelbase and --pinion, or the middle of the targets")
	c.Flags().StringVar(&w.wheelbase, "wheelbase", "", "wished wheelbase, such as 312 or 12.3 in")
	c.Flags().StringVar(&w.pinion, "pinion", "", "wished pinion angle at ride height, degrees, positive up")
	c.Flags().StringArrayVar(&w.links, "link", nil, "link that may change, with its twin; may be repeated; all of the axle's when left out")
}

func (w *wishFlags) answer(p *printer, l *loaded, axle string) error {
	ends := []solid.End{solid.Front, solid.Rear}
	if axle == "" {
		axle = solid.Rear.String()
	}
	o := travel.WishOptions{Axle: axle, Links: w.links, Settle: ride.Stand}
	var err error
	if o.Wheelbase, err = w.value(l, w.wheelbase, "wheelbase"); err != nil {
		return err
	}
	if o.Pinion, err = w.value(l, w.pinion, axle+" pinion angle"); err != nil {
		return err
	}
	wish, err := travel.ForWish(l.model, o)
	if err != nil {
		return err
	}
	out := solved{Wish: &wish, Turns: travel.Turns(l.model, ends, ride.Stand)}
	if p.json {
		return p.encode(out)
	}
	p.wish(&wish)
	p.turns(out.Turns)
	return nil
}

// value is what the flag says, or the middle of the target of that name when no flag of the wish was given.
func (w *wishFlags) value(l *loaded, text, name string) (*float64, error) {
	c, known := channel.Find(name)
	if !known {
		return nil, fmt.Errorf("axle: found %q, expected front or rear", strings.TrimSuffix(name, " pinion angle"))
	}
	if text != "" {
		v, err := c.Dim.Parse(text)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		return &v, nil
	}
	t, ok := l.build.Doc.Targets.Get(name)
	if !ok || w.wheelbase != "" || w.pinion != "" {
		return nil, nil
	}
	r, bad := c.RangeOf(t)
	if len(bad) > 0 {
		return nil, bad
	}
	v := r.Middle()
	return &v, nil
}
