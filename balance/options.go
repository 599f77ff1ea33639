package balance

import (
	"fmt"
	"strings"

	"lowslung/quantity"
)

// ParseMove reads a "what if": part:forward,left,up with lengths in mm or their own unit, or part:mass:forward,left,up to move
// only some of its weight. A pair moves together, mirrored.
func ParseMove(text string) (Move, error) {
	bad := fmt.Errorf("move: found %q, expected part:forward,left,up, such as battery:20,0,-12", text)
	fields := strings.Split(text, ":")
	if len(fields) < 2 || len(fields) > 3 || strings.TrimSpace(fields[0]) == "" {
		return Move{}, bad
	}
	m := Move{Part: strings.TrimSpace(fields[0])}
	if len(fields) == 3 {
		kg, err := quantity.DimMass.Parse(fields[1])
		if err != nil {
			return Move{}, fmt.Errorf("move: %w", err)
		}
		if kg <= 0 {
			return Move{}, fmt.Errorf("move: found %q, expected a mass above 0", fields[1])
		}
		m.Quantity = kg
	}
	by := strings.Split(fields[len(fields)-1], ",")
	if len(by) != 3 {
		return Move{}, bad
	}
	for i, t := range by {
		v, err := quantity.DimLength.Parse(t)
		if err != nil {
			return Move{}, fmt.Errorf("move: %w", err)
		}
		m.By[i] = v
	}
	return m, nil
}

// ParseMoves reads several.
func ParseMoves(list []string) ([]Move, error) {
	var out []Move
	for _, t := range list {
		m, err := ParseMove(t)
		if err != nil {
			return nil, err
		}
		out = append(out, m)
	}
	return out, nil
}
