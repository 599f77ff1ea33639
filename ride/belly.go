package ride

import (
	"math"

	"lowslung/solid"
)

// lowest are the points of the chassis that could touch flat ground: the furthest of all its shapes along directions that look down, in
// rings up to 45° off, 15° apart. What a round shape reaches between two of them is less than 2 % of its radius further.
func (r *machine) lowest() []solid.Vec {
	var hulls []solid.Hull
	for i := range r.model.Bodies {
		b := &r.model.Bodies[i]
		if b.Carrier != solid.OnChassis {
			continue
		}
		for k := range b.Shapes {
			list, _ := b.Shapes[k].Hulls()
			hulls = append(hulls, list...)
		}
	}
	if len(hulls) == 0 {
		return nil
	}
	out := []solid.Vec{furthest(hulls, solid.Vec{Z: -1})}
	for ring := 1; ring <= 3; ring++ {
		st, ct := math.Sincos(float64(ring) * 15 * deg)
		for n := range 16 {
			sa, ca := math.Sincos(float64(n) * math.Pi / 8)
			out = append(out, furthest(hulls, solid.Vec{X: st * ca, Y: st * sa, Z: -ct}))
		}
	}
	return distinct(out)
}

func furthest(hulls []solid.Hull, d solid.Vec) (at solid.Vec) {
	best := math.Inf(-1)
	for i := range hulls {
		p := hulls[i].Support(d)
		if reach := p.Dot(d); reach > best {
			best, at = reach, p
		}
	}
	return at
}

func distinct(list []solid.Vec) []solid.Vec {
	var out []solid.Vec
next:
	for _, p := range list {
		for _, q := range out {
			if p.Sub(q).Norm() < 0.5 {
				continue next
			}
		}
		out = append(out, p)
	}
	return out
}
