package ride

import (
	"fmt"
	"math"

	"lowslung/quantity"
	"lowslung/solid"
)

// What would lessen the drive's twist: the rig on the same slope with one thing changed, worked out anew from its own rest.

const (
	// A bar to try where there is none, its drop links at the shocks' lower eyes: an assumption, of the wire and size that goes between the rails of a rig of
	// this scale.
	triedWire, triedSpan, triedArm = 2.0, 60.0, 25.0
	// longer is what a link is made longer by, mm: what a rod one size up in a shop's row gives.
	longer = 5.0
)

// A remedy is one change of the model, told in words.
type remedy struct {
	what  string
	model *solid.Model
}

// remedies are a bar on each axle (without it where there is one), and longer upper links on each axle: those whose axle eyes are highest.
func remedies(m *solid.Model, u quantity.System) (out []remedy) {
	length := func(v float64) string { return quantity.DimLength.Format(v, u) }
	for _, end := range []solid.End{solid.Front, solid.Rear} {
		barred := false
		for _, b := range m.Bars {
			barred = barred || b.Axle == end && b.Hung
		}
		changed := *m
		if barred {
			changed.Bars = nil
			for _, b := range m.Bars {
				if b.Axle != end {
					changed.Bars = append(changed.Bars, b)
				}
			}
			out = append(out, remedy{fmt.Sprintf("without the %s anti-roll bar", end), &changed})
		} else if eyes, ok := lowerEyes(m, end); ok {
			changed.Bars = append(m.Bars[:len(m.Bars):len(m.Bars)], solid.Bar{Name: "tried", Axle: end, Material: "spring steel", Wire: triedWire, Span: triedSpan, Arm: triedArm, Hung: true, Eyes: eyes})
			out = append(out, remedy{fmt.Sprintf("with a %s anti-roll bar (%s wire, span %s, arms %s)", end, length(triedWire), length(triedSpan), length(triedArm)), &changed})
		}
		if name := upperLink(m, end); name != "" {
			changed := *m
			changed.Links = append([]solid.Link(nil), m.Links...)
			for i := range changed.Links {
				if l := &changed.Links[i]; l.Axle == end && l.Name == name {
					l.Length += longer
				}
			}
			out = append(out, remedy{fmt.Sprintf("with %s %s longer", name, length(longer)), &changed})
		}
	}
	return out
}

// lowerEyes are the lower eyes of the axle's first left shock and of its twin.
func lowerEyes(m *solid.Model, end solid.End) (eyes [2]solid.Anchor, ok bool) {
	for i := range m.Shocks {
		if s := &m.Shocks[i]; s.Axle == end && s.Side == solid.Left && i+1 < len(m.Shocks) && m.Shocks[i+1].Side == solid.Right {
			return [2]solid.Anchor{s.Bottom, m.Shocks[i+1].Bottom}, true
		}
	}
	return eyes, false
}

// upperLink is the name of the links along the rig whose axle eyes are highest; "" when all are as high.
func upperLink(m *solid.Model, end solid.End) string {
	high, low, name := math.Inf(-1), math.Inf(1), ""
	for i := range m.Links {
		l := &m.Links[i]
		if d := l.To.Sub(l.From); l.Axle != end || math.Abs(l.From.Y-l.To.Y) > l.Length/2 && d.Y != 0 { // a transverse rod
			continue
		}
		low = min(low, l.To.Z)
		if l.To.Z > high {
			high, name = l.To.Z, l.Name
		}
	}
	if high-low < 1 {
		return ""
	}
	return name
}

// remedied works each remedy out on the slope of the last row of the sweep, in the sweep's own steps.
func (t *Torque) remedied(m *solid.Model, o Options, step float64, keep int) {
	t.Remedies = []Remedy{}
	if len(t.Sweep) == 0 {
		return
	}
	at := t.Sweep[len(t.Sweep)-1].SlopeDeg
	for _, one := range remedies(m, o.Units) {
		row := Remedy{Change: one.what, SlopeDeg: at}
		if r, lacking := compile(one.model, o.Units); lacking == nil {
			w := newWork(r)
			if w.stand() == atRest {
				level := w.save()
				for _, h := range w.twisted(&level, step, steepHold, keep).rows {
					if math.Abs(h.angle/deg-at) < 1e-6 {
						shifted, roll := h.load[0]+h.load[2]-h.plain.load[0]-h.plain.load[2], (h.roll-h.plain.roll)/deg
						row.ShiftedN, row.RollDeg = &shifted, &roll
					}
				}
			}
		}
		t.Remedies = append(t.Remedies, row)
	}
}
