package shop

import (
	"fmt"
	"math"

	"lowslung/form"
	"lowslung/mates"
	"lowslung/rig"
	"lowslung/solid"
)

// Gauges: link lengths, pinion angles, ride height.

const (
	gaugeThick = 4.0 // mm: two bolts stand upright in it
	gaugeRim   = 5.0 // mm around a hole
	usualBolt  = 3.0 // mm, M3, when a hole names no bolt
)

// boltAt is the diameter of the bolt at an eye, mm, and whether the document says it.
func (w *printing) boltAt(ref string) (float64, bool) {
	for i := range w.m.Bodies {
		b := &w.m.Bodies[i]
		for k := range b.Holes {
			if h := &b.Holes[k]; b.Name+"/"+h.Name == ref {
				if d := mates.ThreadDiameter(rig.TidyThread(h.Bolt)); d > 0 {
					return d, true
				}
			}
		}
	}
	return usualBolt, false
}

// lengthGauges are one for each link, and for the lengths asked for.
func (w *printing) lengthGauges() error {
	done := map[string]bool{}
	for i := range w.m.Links {
		l := &w.m.Links[i]
		if done[l.Name] {
			continue
		}
		done[l.Name] = true
		a, knownA := w.boltAt(l.FromHole)
		b, knownB := w.boltAt(l.ToHole)
		p := Print{Name: fileName("length gauge", l.Name), Title: fmt.Sprintf("Length gauge for the link %s", l.Name), For: []string{l.Path}}
		if !knownA || !knownB {
			p.Assumes = append(p.Assumes, fmt.Sprintf("bolts of %s where the holes name none", w.mm(usualBolt)))
		}
		if err := w.lengthGauge(p, l.Length, a, b); err != nil {
			return err
		}
	}
	if w.m.Doc != nil {
		for _, r := range w.m.Doc.Rodded() {
			long := steerLength(w.m, r.Path)
			if long == 0 {
				continue
			}
			p := Print{Name: fileName("length gauge", r.Name), Title: fmt.Sprintf("Length gauge for the %s", r.Name), For: []string{r.Path}}
			p.Assumes = append(p.Assumes, fmt.Sprintf("bolts of %s", w.mm(usualBolt)))
			if err := w.lengthGauge(p, long, usualBolt, usualBolt); err != nil {
				return err
			}
		}
	}
	for _, long := range w.o.Lengths {
		p := Print{Name: fileName("length gauge", fmt.Sprintf("%g", math.Round(long*100)/100)), Title: fmt.Sprintf("Length gauge of %s", w.mm(long)), For: []string{}}
		p.Assumes = append(p.Assumes, fmt.Sprintf("bolts of %s", w.mm(usualBolt)))
		if err := w.lengthGauge(p, long, usualBolt, usualBolt); err != nil {
			return err
		}
	}
	return nil
}

func (w *printing) lengthGauge(p Print, long, a, b float64) error {
	da, db := a+w.tol, b+w.tol
	wide := max(da, db) + 2*gaugeRim
	if long < da/2+db/2+2 {
		return fmt.Errorf("%s: found %g mm from eye to eye, expected room for two bolts", p.Title, long)
	}
	rings := []form.Ring{form.Bar(form.Point{0, 0}, form.Point{long, 0}, wide), form.Circle(0, 0, da), form.Circle(long, 0, db)}
	if room := long - 2*(max(da, db)/2+gaugeRim); room > 3*wide { // a window saves plastic and takes a finger
		r := wide/2 - gaugeRim
		at := max(da, db)/2 + gaugeRim + r
		rings = append(rings, form.Bar(form.Point{at, 0}, form.Point{long - at, 0}, 2*r))
	}
	p.Kind = LengthGauge
	p.Use = fmt.Sprintf("Put a bolt through each hole and hang the link's two eyes over them: turn the rod ends until both go on square, then it is %s from eye to eye.", w.mm(long))
	p.Measure = []Measured{{"hole to hole, middle to middle", long}, {"first hole, diameter before it shrinks", da}, {"second hole, diameter before it shrinks", db}}
	p.Assumes = append(p.Assumes, fmt.Sprintf("each hole is its bolt and %s", w.mm(w.tol)))
	return w.add(p, form.Layer{Rings: rings, Height: gaugeThick})
}

// pinionGauges stand on the ground beside the shaft: the upper edge shows the pinion angle as the rig stands.
func (w *printing) pinionGauges() error {
	for _, end := range []solid.End{solid.Front, solid.Rear} {
		a := &w.m.Axles[end]
		if !a.Present {
			continue
		}
		about := end.String()
		if !a.HasPinion || a.TyreRadius == 0 {
			w.cannot(about, "No pinion gauge for the %s axle: it has no output with its pinion, or no tyre to stand on.", end)
			continue
		}
		angle, how, middle := 0.0, "", a.TyreRadius
		switch {
		case w.stance != nil:
			// Against the ground: the belly's pitch counts, nose down lifts a pinion that points back and lowers one that points forward.
			s := &w.stance.Axles.Front
			sign := 1.0
			if end == solid.Rear {
				s, sign = &w.stance.Axles.Rear, -1
			}
			if a.PinionAxis.X > 0 == (end == solid.Front) { // not the usual way round
				sign = -sign
			}
			angle, how = s.PinionAngleDeg+sign*w.stance.ChassisPitchDeg, "as it stands on its springs"
			middle = s.RideHeightMM + w.stand.Movers[end].Design.Z + s.HeaveMM
		case w.stand.Movers[end] != nil:
			t := w.stand.Movers[end].Design.Turn()
			angle, how = math.Asin(max(-1, min(1, t.Mul(a.PinionAxis).Z)))*180/math.Pi, "at its design pose, against the belly, since it does not stand on springs"
		default:
			w.cannot(about, "No pinion gauge for the %s axle: where it stands is not known.", end)
			continue
		}
		const wide, thick = 60.0, 12.0
		// Height of the shaft's joint: the axle's middle, and the pinion turned with the axle.
		s, c := math.Sincos(angle * math.Pi / 180)
		mid := middle + a.Pinion.Z*c + math.Abs(a.Pinion.X)*s
		rise := wide * math.Tan(angle*math.Pi/180)
		low, high := mid-rise/2, mid+rise/2
		if min(low, high) < 12 || math.Abs(angle) > 45 {
			w.cannot(about, "No pinion gauge for the %s axle: at %s of height and %s there is no room to stand beside the shaft.", end, w.mm(mid), w.deg(angle))
			continue
		}
		// The end away from the axle is at x = wide: there the edge is high when the pinion points up. A hole marks that end.
		rings := []form.Ring{{{0, 0}, {wide, 0}, {wide, high}, {0, low}}}
		if min(low, high) > 30 {
			rings = append(rings, form.Rounded(wide/2, 8+(min(low, high)-20)/2, wide-20, min(low, high)-20, 4))
		}
		mark := form.Circle(wide-5, 4.2, 4)
		rings = append(rings, mark)
		p := Print{
			Name: fileName("pinion gauge", end.String()), Kind: PinionGauge, Title: fmt.Sprintf("Pinion gauge for the %s axle, %s", end, w.deg(angle)), For: []string{about},
			Use:     fmt.Sprintf("Stand it on the board beside the %s pinion, the end with the small hole away from the axle, and sight along its upper edge: the pinion's shaft runs along it at %s against the ground, %s.", end, w.deg(angle), how),
			Measure: []Measured{{"upper edge, height at the end with the hole", high}, {"upper edge, height at the other end", low}, {"length of the foot", wide}},
			Assumes: []string{fmt.Sprintf("its height, %s at the middle, is only for sighting: the angle counts", w.mm(mid)), "loaded as in the document, on a flat and level board"},
		}
		if err := w.add(p, form.Layer{Rings: rings, Height: thick}); err != nil {
			return err
		}
	}
	return nil
}

// blocks go under the belly at ride height.
func (w *printing) blocks() error {
	if w.stance == nil {
		w.cannot("chassis", "No ride-height block: the rig does not stand on its springs, so its belly's height is not known.")
		return nil
	}
	h := w.stance.BellyClearanceMM
	const wide, deep = 40.0, 25.0
	if h < 5 {
		w.cannot("chassis", "No ride-height block: the belly stands %s above the ground.", w.mm(h))
		return nil
	}
	rings := []form.Ring{form.Rectangle(wide/2, h/2, wide, h)}
	if h > 24 {
		rings = append(rings, form.Rounded(wide/2, h/2, wide-12, h-12, 3))
	}
	p := Print{
		Name: "ride-height-block", Kind: RideBlock, Title: fmt.Sprintf("Ride-height block, %s", w.mm(h)), For: []string{"chassis"},
		Use:     fmt.Sprintf("Slide it under the belly midway between the axles: it just goes under when the collars are right, %s on a flat board.", w.mm(h)),
		Measure: []Measured{{"height", h}, {"width", wide}},
		Assumes: []string{"loaded as in the document, pack in, bounced and settled once"},
	}
	return w.add(p, form.Layer{Rings: rings, Height: deep})
}
