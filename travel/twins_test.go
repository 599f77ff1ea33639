package travel

import (
	"testing"

	"lowslung/solid"
)

// Of a pair of shocks that are not equally long the one with less room is judged, by name; of equal ones just the pair.
func TestTighterTwin(t *testing.T) {
	shock := func(side solid.Side, length float64) solid.Shock {
		y := 40 * float64(side)
		return solid.Shock{
			Name: "rear", Path: "shocks/rear", Side: side, Axle: solid.Rear, Closed: 60, Open: 100,
			Top: solid.Anchor{Link: -1, At: solid.Vec{Y: y, Z: length}}, Bottom: solid.Anchor{Carrier: solid.OnRear, Link: -1, At: solid.Vec{Y: y}},
		}
	}
	for _, c := range []struct {
		left, right float64
		name        string
		side        solid.Side
	}{
		{80, 80, "rear", solid.Left},
		{80, 95, "rear right", solid.Right},
		{61, 80, "rear left", solid.Left},
		{80, 102, "rear right", solid.Right},
		{55, 61, "rear left", solid.Left},
	} {
		m := &solid.Model{Shocks: []solid.Shock{shock(solid.Left, c.left), shock(solid.Right, c.right)}}
		mv := &Mover{Model: m, End: solid.Rear}
		if s, name := mv.tighter(0); name != c.name || s.Side != c.side {
			t.Errorf("left %g, right %g: got %q, side %v", c.left, c.right, name, s.Side)
		}
	}
}
