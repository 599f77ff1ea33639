package drive

import (
	"math"

	"lowslung/finding"
	"lowslung/rig"
	"lowslung/solid"
)

// mesh is two gears in mesh: what their pitch circles ask for, how they are placed.
func (l *line) mesh(nameA, nameB string, a, b *rig.Part) Mesh {
	out := Mesh{From: nameA, To: nameB}
	if apart, known := l.offAxis(nameA, nameB); known && apart > 0 {
		out.PlacedMM = &apart
	}
	ma, mb := moduleOf(a.Gear), moduleOf(b.Gear)
	if ma == 0 || mb == 0 {
		return out
	}
	if math.Abs(ma-mb) > 1e-6 {
		l.say(finding.New(finding.Stop, "drive/pitch", "%s and %s do not mesh: module %.4g against %.4g.", finding.Sentence(nameA), nameB, ma, mb).For("chassis/parts/"+nameA, "chassis/parts/"+nameB).CuredBy("gears of one pitch"))
		return out
	}
	d := Distance(a.Gear.Teeth, b.Gear.Teeth, ma)
	out.CenterDistanceMM = &d
	at := d
	if out.PlacedMM != nil && math.Abs(*out.PlacedMM-d) < ma {
		at = *out.PlacedMM
	}
	c := ContactRatio(a.Gear.Teeth, b.Gear.Teeth, ma, pressure(a.Gear), at)
	out.ContactRatio = &c
	return out
}

// offAxis is how far the axes of two gears are from each other as placed, mm. Known is false where they have no place of their own.
func (l *line) offAxis(a, b string) (off float64, known bool) {
	x, y := l.body(a), l.body(b)
	if x == nil || y == nil || x.Carrier != y.Carrier {
		return 0, false
	}
	axis := x.Frame.Turn(solid.Vec{X: 1}) // a turning part turns about its own x axis
	if math.Abs(axis.Dot(y.Frame.Turn(solid.Vec{X: 1}))) < 0.999 {
		return 0, false
	}
	d := y.Frame.At.Sub(x.Frame.At)
	if d.Norm() < 1e-9 {
		return 0, false // both at their parts' origin: not placed
	}
	return d.Along(axis, -d.Dot(axis)).Norm(), true
}

func (l *line) body(name string) *solid.Body {
	for i := range l.m.Bodies {
		if b := &l.m.Bodies[i]; b.Name == name && b.Side != solid.Right {
			return b
		}
	}
	return nil
}

func moduleOf(g *rig.Gear) float64 {
	switch {
	case g.Module != nil:
		return float64(*g.Module)
	case g.DP != nil && *g.DP > 0:
		return 25.4 / *g.DP
	}
	return 0
}

func pressure(g *rig.Gear) float64 {
	if g.Pressure != nil {
		return float64(*g.Pressure)
	}
	return 20 * math.Pi / 180
}
