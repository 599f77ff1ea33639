package balance

import (
	"fmt"
	"slices"

	"lowslung/rig"
	"lowslung/solid"
	"lowslung/travel"
)

// Moved is a copy of the model in which parts, or some of their weight, sit elsewhere: nothing but weights is changed. What it stood on before does not count, so the copy has no
// Rest: the caller stands it anew (ride.Stand) before asking. A pair moves together, its right twin's sideways offset mirrored. Offsets are in the chassis frame, as the rig stood
// before. The weight of a link, shock or shaft, of which half hangs on either eye, moves with both halves alike.
func Moved(m *solid.Model, moves []Move) (*solid.Model, error) {
	out := *m
	out.Rest = nil
	out.Bodies, out.Links, out.Shocks, out.Shafts = slices.Clone(m.Bodies), slices.Clone(m.Links), slices.Clone(m.Shocks), slices.Clone(m.Shafts)
	stance := travel.StandOf(m).Stance()
	for _, mv := range moves {
		if err := shift(&out, stance, &mv); err != nil {
			return nil, err
		}
	}
	return &out, nil
}

// shift carries out one move.
func shift(m *solid.Model, stance *solid.Stance, mv *Move) error {
	part, err := share(m.Lumps(stance), mv)
	if err != nil {
		return err
	}
	way := func(side solid.Side) solid.Vec {
		by := solid.Vec{X: mv.By[0], Y: mv.By[1], Z: mv.By[2]}
		if side == solid.Right {
			return by.Flip()
		}
		return by
	}
	for i := range m.Bodies {
		b := &m.Bodies[i]
		if b.Name == mv.Part && b.HasMass {
			b.CG = b.CG.Along(within(stance, b.Carrier, way(b.Side)), part)
		}
	}
	// Of a thing that hangs between two eyes the part that moves becomes two weights beside them.
	var halves []solid.Body
	hung := func(name, path string, side solid.Side, mass *float64, ends [2]solid.Carrier, at [2]solid.Vec) {
		moved := *mass * part
		*mass -= moved
		for e, c := range ends {
			halves = append(halves, solid.Body{Name: name, Path: path, Side: side, Carrier: c, Frame: solid.Frame{R: solid.Identity}, Mass: moved / 2, HasMass: true,
				CG: at[e].Add(within(stance, c, way(side)))})
		}
	}
	for i := range m.Links {
		if l := &m.Links[i]; l.Name == mv.Part && l.HasMass {
			hung(l.Name, l.Path, l.Side, &l.Mass, [2]solid.Carrier{solid.OnChassis, solid.CarrierOf(l.Axle)}, [2]solid.Vec{l.From, l.To})
		}
	}
	for i := range m.Shafts {
		if k := &m.Shafts[i]; k.Name+" shaft" == mv.Part && k.HasMass {
			hung(k.Name+" shaft", k.Path, solid.Single, &k.Mass, [2]solid.Carrier{solid.OnChassis, solid.CarrierOf(k.Axle)}, [2]solid.Vec{k.From, k.To})
		}
	}
	for i := range m.Shocks {
		k := &m.Shocks[i]
		if k.Name+" shock" != mv.Part || !k.HasMass {
			continue
		}
		if k.Top.Link >= 0 || k.Bottom.Link >= 0 {
			return fmt.Errorf("move: found %q, half of whose weight hangs on a link; expected a part that is fixed to the chassis or to an axle", mv.Part)
		}
		hung(k.Name+" shock", k.Path, k.Side, &k.Mass, [2]solid.Carrier{k.Top.Carrier, k.Bottom.Carrier}, [2]solid.Vec{k.Top.At, k.Bottom.At})
	}
	if k, ok := m.Steer.Span(); ok && k.Has && k.Name == mv.Part {
		hung(k.Name, k.Path, k.Side, &m.Steer.Link.Mass, k.On, k.At)
	}
	m.Bodies = append(m.Bodies, halves...)
	return nil
}

// within turns an offset of the chassis frame into a carrier's.
func within(s *solid.Stance, c solid.Carrier, by solid.Vec) solid.Vec {
	if c == solid.OnChassis {
		return by
	}
	r := &s[c-1].R
	return solid.Vec{X: r[0]*by.X + r[3]*by.Y + r[6]*by.Z, Y: r[1]*by.X + r[4]*by.Y + r[7]*by.Z, Z: r[2]*by.X + r[5]*by.Y + r[8]*by.Z}
}

// share is which share of a part's weight moves.
func share(lumps []solid.Lump, mv *Move) (float64, error) {
	total := 0.0
	for i := range lumps {
		if lumps[i].Name == mv.Part {
			total += lumps[i].Mass
		}
	}
	if total == 0 {
		names := make([]string, len(lumps))
		for i := range lumps {
			names[i] = lumps[i].Name
		}
		text := fmt.Sprintf("move: found %q, expected a part with a weight", mv.Part)
		if near := rig.Nearest(mv.Part, names); near != "" {
			text += fmt.Sprintf("; did you mean %q?", near)
		}
		return 0, fmt.Errorf("%s", text)
	}
	switch {
	case mv.Quantity > total*(1+1e-12):
		return 0, fmt.Errorf("move: found %.0f g of %q, expected at most its %.0f g", mv.Quantity*1000, mv.Part, total*1000)
	case mv.Quantity > 0:
		return min(1, mv.Quantity/total), nil
	}
	return 1, nil
}
