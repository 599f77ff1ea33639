package shop

import (
	"fmt"
	"math"

	"lowslung/finding"
	"lowslung/rig"
	"lowslung/solid"
)

// Bends: the document places the corners of the middle line; whoever bends wants marks on a straight rod.

// bends fills in the bends and lengthens the rod by what they take.
//
// The middle line from eye to eye is longer than the straight line by the corners, Σ|pₖ₊₁ − pₖ| − L, and shorter than that by the round of each
// bend: two tangents of R·tan(θ/2) are replaced by an arc of R·θ.
func (c *CutLink) bends(m *solid.Model, l *rig.Link) (found []finding.Finding) {
	if len(l.Bend) == 0 {
		return nil
	}
	if c.EyeToEyeMM == nil {
		return nil
	}
	points := course(m, c.Name, *c.EyeToEyeMM)
	if len(points) != len(l.Bend)+2 {
		return nil
	}
	for _, b := range l.Bend {
		c.Mirrored = c.Mirrored || b.Side != 0 && c.Count == 2
	}
	wide := 6.0
	if c.DiameterMM != nil {
		wide = *c.DiameterMM
	}
	r := bendRadius * wide
	corner, taken := 0.0, 0.0 // along the middle line by its corners, and what the rounds before have taken off
	marks := make([]float64, 0, len(l.Bend))
	for k := 1; k+1 < len(points); k++ {
		in, out := points[k].Sub(points[k-1]), points[k+1].Sub(points[k])
		corner += in.Norm()
		angle := math.Atan2(in.Cross(out).Norm(), in.Dot(out))
		off := r * (2*math.Tan(angle/2) - angle)
		marks = append(marks, corner-taken-off/2)
		taken += off
		clock := clockOf(in, out)
		c.Bends = append(c.Bends, CutBend{
			AngleDeg: angle * 180 / math.Pi, ClockDeg: clock, Towards: towards(clock), RadiusMM: r,
			AlongMM: float64(l.Bend[k-1].Along), SideMM: float64(l.Bend[k-1].Side), RiseMM: float64(l.Bend[k-1].Rise),
		})
		before, after := in.Norm(), out.Norm()
		if k == 1 {
			before -= c.screwed(0)
		}
		if k+2 == len(points) {
			after -= c.screwed(1)
		}
		if short := max(0, min(before, after)); angle > 0 && r*math.Tan(angle/2) > short {
			found = append(found, finding.New(finding.Watch, "shop/bend-too-tight",
				"bend %d of the link %q needs %.1f mm of straight rod on either side to turn %.0f° round %.0f mm, and has %.1f mm between rod ends, threads and other bends", k, c.Name, r*math.Tan(angle/2), angle*180/math.Pi, r, short).
				For(c.Path+"/bend").CuredBy("move the bend, or bend less"))
		}
	}
	whole := corner + points[len(points)-1].Sub(points[len(points)-2]).Norm()
	if len(c.Ends) != 2 {
		return found
	}
	before, more := c.Ends[0].AddsMM, whole-taken-*c.EyeToEyeMM
	if e := c.Ends[0].OutMM; e != nil {
		before += *e
	}
	for k := range c.Bends {
		c.Bends[k].MarkMM = at(marks[k] - before)
	}
	if c.CutMM != nil && more > 0.05 {
		c.CutMM = at(*c.CutMM + more)
		if c.RodItem != "" {
			found = append(found, finding.New(finding.Watch, "shop/bent-rod-short",
				"the link %q is bent: between the same eyes it needs %.1f mm more rod than a straight one, so its rod %s is too short as bought", c.Name, more, c.RodItem).
				For(c.Path+"/rod").CuredBy("take a longer rod and cut it to %.1f mm", *c.CutMM))
		}
	}
	return found
}

// screwed is how far a rod end with its thread reaches from its eye: there nothing can be bent. 0 without rod ends.
func (c *CutLink) screwed(k int) float64 {
	if len(c.Ends) != 2 {
		return 0
	}
	e := &c.Ends[k]
	out := e.AddsMM
	for _, v := range []*float64{e.OutMM, e.ThreadMM} {
		if v != nil {
			out += *v
		}
	}
	return out
}

// course is the middle line of a link by its corners, of the left one of a pair, its axle eye where it sits about.
func course(m *solid.Model, name string, length float64) []solid.Vec {
	for i := range m.Links {
		if l := &m.Links[i]; l.Name == name {
			way := m.Axles[l.Axle].Near.Add(l.To).Sub(l.From).Unit()
			return l.Course(l.From.Along(way, length), nil)
		}
	}
	return nil
}

// clockOf is which way the rod turns, seen from the chassis end along it: clockwise from up, degrees.
func clockOf(in, out solid.Vec) float64 {
	e := in.Unit()
	side := out.Sub(e.Scale(out.Dot(e)))
	up := solid.Vec{Z: 1}
	up = up.Sub(e.Scale(up.Dot(e))).Unit()
	right := e.Cross(up)
	a := math.Atan2(side.Dot(right), side.Dot(up)) * 180 / math.Pi
	if a < -0.05 {
		a += 360
	}
	return math.Abs(math.Round(a*10) / 10)
}

// towards is a direction round the rod in words.
func towards(clock float64) string {
	words := [8]string{"up", "up and right", "right", "down and right", "down", "down and left", "left", "up and left"}
	k := int(math.Round(clock/45)) % 8
	if math.Abs(clock-45*math.Round(clock/45)) < 0.6 && k%2 == 0 {
		return words[k]
	}
	return fmt.Sprintf("%s, %.0f° clockwise from up", words[k], clock)
}
