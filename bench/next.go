package bench

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"lowslung/channel"
	"lowslung/quantity"
	"lowslung/rig"
	"lowslung/solid"
)

// candidates are the readings that could be taken of this rig and were not: every kind at every place.
func (b *bench) candidates(list []takenReading) []probe {
	taken := map[[3]string]bool{}
	for i := range list {
		r := &list[i]
		taken[[3]string{r.Of, r.At, r.Side}] = true
	}
	var out []probe
	for _, r := range possible(b.m, b.motors) {
		if !taken[[3]string{r.Of, r.At, r.Side}] {
			out = append(out, probeOf(b.m, b.motors, &r))
		}
	}
	return out
}

// possible lists what can be measured on a rig, in the order in which one measures.
func possible(m *solid.Model, motors []motor) []rig.Reading {
	var out []rig.Reading
	twins := func(of, at string, side solid.Side) {
		if side != solid.Right {
			r := rig.Reading{Of: of, At: at, Side: side.String()}
			out = append(out, r)
			if side == solid.Left {
				r.Side = "right"
				out = append(out, r)
			}
		}
	}
	for _, k := range rig.ReadingKinds() {
		switch k.At {
		case "part":
			seen := map[string]bool{}
			for i := range m.Bodies {
				b := &m.Bodies[i]
				if p := partAt(m.Doc, b.Path); b.HasMass && !seen[b.Name] && (p == nil || !p.Weighed) {
					seen[b.Name] = true
					out = append(out, rig.Reading{Of: k.Of, At: b.Name})
				}
			}
		case "link":
			for i := range m.Links {
				twins(k.Of, m.Links[i].Name, m.Links[i].Side)
			}
		case "shock":
			for i := range m.Shocks {
				s := &m.Shocks[i]
				switch {
				case k.Sided:
					twins(k.Of, s.Name, s.Side)
				case s.Side != solid.Right && len(s.Springs) > 0:
					load := quantity.Mass(0.5)
					out = append(out, rig.Reading{Of: k.Of, At: s.Name, Load: &load})
				}
			}
		case "shaft":
			for i := range m.Shafts {
				out = append(out, rig.Reading{Of: k.Of, At: m.Shafts[i].Name})
			}
		case "wheel":
			for _, at := range rig.WheelPlaces {
				out = append(out, rig.Reading{Of: k.Of, At: at})
			}
		case "axle":
			for _, at := range rig.AxlePlaces {
				r := rig.Reading{Of: k.Of, At: at}
				if k.Of == "raised load" {
					tip := quantity.Angle(20 * deg)
					r.Angle = &tip
				}
				out = append(out, r)
			}
		case "tilt":
			for _, at := range rig.TiltPlaces {
				out = append(out, rig.Reading{Of: k.Of, At: at})
			}
		case "motor":
			for i := range motors {
				r := rig.Reading{Of: k.Of, At: motors[i].name}
				if k.Of == "no-load speed" {
					v := quantity.Voltage(7.4)
					r.Volts = &v
				}
				out = append(out, r)
			}
		default:
			out = append(out, rig.Reading{Of: k.Of})
			if k.Sided {
				out = append(out, rig.Reading{Of: k.Of, Side: "left"}, rig.Reading{Of: k.Of, Side: "right"})
			}
		}
	}
	return out
}

// next says for each number which one further reading would narrow its band most. With C the covariance of the inputs, g the number's slopes,
// h the reading's and σ its standard deviation, one more reading takes (gᵀCh)²/(σ² + hᵀCh) off the variance gᵀCg (the update of linear least
// squares by one observation).
func (a *Answer) next(b *bench, f *fit, taken int, units quantity.System) {
	kinds := map[string]rig.ReadingKind{}
	for _, k := range rig.ReadingKinds() {
		kinds[k.Of] = k
	}
	type told struct {
		along *mat.VecDense // C·h
		noise float64       // σ² + hᵀCh
	}
	of := make([]told, len(b.probes))
	for i := taken; i < len(b.probes); i++ {
		p := &b.probes[i]
		v := f.view.probes[i]
		if math.IsNaN(v) {
			continue
		}
		k := kinds[p.of]
		half, _ := within(&rig.Reading{}, &k, v)
		h := mat.NewVecDense(len(b.in), mat.Row(nil, i, f.slopes))
		c := new(mat.VecDense)
		c.MulVec(f.cov, h)
		of[i] = told{c, half/normal95*(half/normal95) + mat.Dot(h, c)}
	}
	for k := range a.Numbers {
		n := &a.Numbers[k]
		i := slices.IndexFunc(b.cares, func(c care) bool { return c.name == n.Name })
		g := mat.NewVecDense(len(b.in), mat.Row(nil, i, f.cares))
		var cg mat.VecDense
		cg.MulVec(f.cov, g)
		now := mat.Dot(g, &cg)
		best, less := -1, 0.0
		for c := taken; c < len(b.probes); c++ {
			if of[c].along == nil {
				continue
			}
			d := mat.Dot(g, of[c].along)
			if d = d * d / of[c].noise; d > less*(1+1e-6) {
				best, less = c, d
			}
		}
		if best < 0 || !(now > 0) || less/now < 0.02 {
			continue
		}
		ch := channel.Must(n.Name)
		before, after := normal95*math.Sqrt(now), normal95*math.Sqrt(max(0, now-less))
		p := &b.probes[best]
		a.Next = append(a.Next, Next{Number: n.Name, Of: p.of, At: p.at, Side: p.side, What: p.text, Unit: n.Unit,
			Before: ch.Dim.In(before, n.Unit), After: ch.Dim.In(after, n.Unit), Gain: 1 - after/before,
			Text: fmt.Sprintf("the %s: it tells the %s within %s in place of %s", p.text, n.Name, shown(ch.Dim, after, after, units), shown(ch.Dim, before, after, units))})
	}
	slices.SortStableFunc(a.Next, func(p, q Next) int {
		switch d := p.Gain - q.Gain; {
		case d > 1e-9:
			return -1
		case d < -1e-9:
			return 1
		}
		return 0
	})
}
