package bench

import (
	"fmt"

	"lowslung/quantity"
	"lowslung/solid"
	"lowslung/tolerance"
)

// Inputs of what gives, and of what joins the gearbox to the axles.

// springs are the rate of each spring of the document, the same in both twins, and each shock's collar.
func (l *lister) springs(standing bool) {
	seen := map[string]bool{}
	for i := range l.m.Shocks {
		s := &l.m.Shocks[i]
		if standing && len(s.Springs) > 0 {
			l.add(input{what: "collar of the shock " + sided(s.Name, s.Side), path: s.Path + "/collar", dim: quantity.DimLength, written: s.Collar, to: place{kind: atCollar, shock: s.Name},
				move: func(t *trial, by float64) { t.m.Shocks[i].Collar += by }}, l.b.collar)
		}
		if seen[s.Path] {
			continue
		}
		seen[s.Path] = true
		for _, row := range []struct {
			key  string
			name string
			of   func(s *solid.Shock) []solid.Spring
		}{
			{"springs", "springs", func(s *solid.Shock) []solid.Spring { return s.Springs }},
			{"above_piston", "springs above the piston", func(s *solid.Shock) []solid.Spring { return s.Above }},
			{"below_piston", "springs below the piston", func(s *solid.Shock) []solid.Spring { return s.Below }},
		} {
			for n, sp := range row.of(s) {
				if sp.Rate <= 0 {
					continue
				}
				what := "rate of the " + row.name + " of the shock " + s.Name
				if len(row.of(s)) > 1 {
					what = fmt.Sprintf("rate of spring %d of the %s of the shock %s", n+1, row.name, s.Name)
				}
				path := s.Path
				l.add(input{what: what, path: path + "/" + row.key, dim: quantity.DimRate, share: true, written: sp.Rate, to: place{kind: atSpring, shock: s.Name, index: n, list: row.key},
					move: func(t *trial, by float64) {
						for j := range t.m.Shocks {
							if t.m.Shocks[j].Path == path {
								row.of(&t.m.Shocks[j])[n].Rate *= 1 + by
							}
						}
					}}, l.b.rate)
			}
		}
	}
}

// tyres are radius and rate, the two of an axle alike.
func (l *lister) tyres(standing bool) {
	e := tolerance.ErrorsOf(l.m.Doc)
	for _, end := range []solid.End{solid.Front, solid.Rear} {
		a := &l.m.Axles[end]
		if !a.Present || len(a.Wheels) == 0 {
			continue
		}
		w := a.Wheels[0]
		in := input{what: fmt.Sprintf("radius of the %s tyres", end), path: w.Path + "/tyre", dim: quantity.DimLength, written: w.Radius, to: place{kind: atTyreSize, axis: int(end)},
			move: func(t *trial, by float64) {
				a := &t.m.Axles[end]
				a.TyreRadius += by
				for k := range a.Wheels {
					a.Wheels[k].Radius += by
					if a.Wheels[k].Loaded > 0 {
						a.Wheels[k].Loaded += by
					}
				}
			}}
		l.add(in, e.Tyre)
		if standing && (w.Rate > 0 || len(w.Curve) > 0) {
			rate := w.Rate
			if rate == 0 {
				rate = w.Curve[0].Load / w.Curve[0].By
			}
			l.add(input{what: fmt.Sprintf("rate of the %s tyres", end), path: w.Path + "/tyre", dim: quantity.DimRate, share: true, written: rate, to: place{kind: atTyreRate, axis: int(end)},
				move: func(t *trial, by float64) {
					for k := range t.m.Axles[end].Wheels {
						w := &t.m.Axles[end].Wheels[k]
						w.Rate *= 1 + by
						for c := range w.Curve {
							w.Curve[c].Load *= 1 + by
						}
					}
				}}, l.b.tyreRate)
		}
	}
}

// shafts are where the joints of the drive shafts sit along the rig, which nothing else here knows.
func (l *lister) shafts() {
	half := tolerance.ErrorsOf(l.m.Doc).Set
	for i := range l.m.Shafts {
		s := &l.m.Shafts[i]
		l.add(input{what: "joint of the shaft " + s.Name + " at the gearbox, forward", path: s.Path + "/from", dim: quantity.DimLength, written: s.From.X,
			move: func(t *trial, by float64) { t.m.Shafts[i].From.X += by }}, half)
		l.add(input{what: "joint of the shaft " + s.Name + " at the axle, forward", path: s.Path + "/to", dim: quantity.DimLength, written: s.To.X,
			move: func(t *trial, by float64) { t.m.Shafts[i].To.X += by }}, half)
	}
}
