package shop

import (
	"fmt"
	"math"
	"strings"

	"lowslung/mates"
	"lowslung/quantity"
	"lowslung/solid"
	"lowslung/travel"
)

// checks are the numbers to hold a step against: lengths from the document, swings and rooms from travel, sags from ride.
func (w *working) checks(s *mates.Step) []Check {
	_, name, _ := strings.Cut(s.About, "/")
	switch s.Kind {
	case "make up":
		switch s.About {
		case "steer/tie_rod":
			return []Check{w.fineMM("eye to eye", w.m.Steer.TieRod)}
		case "steer/drag_link":
			return []Check{w.fineMM("eye to eye", w.m.Steer.Drag)}
		}
		for i := range w.m.Links {
			if l := &w.m.Links[i]; l.Name == name {
				out := []Check{w.fineMM("eye to eye", l.Length)}
				if l.Side != solid.Single {
					out = append(out, w.fineMM("left and right differ at most by", 0.2)) // common practice: more twists the axle
				}
				wanted := 0.0
				if s := w.strength.Link(name); s != nil {
					for _, e := range s.Ends {
						if e.WantedMM != nil {
							wanted = max(wanted, *e.WantedMM)
						}
					}
				}
				if wanted > 0 {
					out = append(out, w.mm("thread in the rod at each end, at least", wanted))
				}
				return out
			}
		}
	case "bolt on":
		return w.swings(name)
	case "slide in":
		return w.play(name)
	case "hang":
		return w.hung(name)
	case "fit":
		return w.meshes(s)
	}
	return nil
}

// swings are how far the balls of a link move over the whole travel.
func (w *working) swings(link string) (out []Check) {
	for _, a := range []*travel.Axle{w.travel.Axles.Front, w.travel.Axles.Rear} {
		if a == nil {
			continue
		}
		for _, end := range []string{"chassis", "axle"} {
			most := 0.0
			for _, r := range a.RodEnds {
				if r.Link == link && r.End == end {
					most = max(most, r.LargestDeg)
				}
			}
			if most > 0 {
				out = append(out, w.angle(fmt.Sprintf("the ball at the %s swings by hand, each way, at least", end), math.Ceil(most)))
			}
		}
	}
	return out
}

// play is what a drive shaft has left at the design pose.
func (w *working) play(shaft string) (out []Check) {
	for _, a := range []*travel.Axle{w.travel.Axles.Front, w.travel.Axles.Rear} {
		if a == nil {
			continue
		}
		for _, p := range a.Poses {
			if p.HeaveMM != 0 || p.RollDeg != 0 {
				continue
			}
			for _, s := range p.Shafts {
				if s.Name != shaft {
					continue
				}
				out = append(out, w.mm("joint to joint at ride height", s.LengthMM))
				if s.InLeftMM != nil {
					out = append(out, w.mm("it can still be pushed in by", *s.InLeftMM))
				}
				if s.OutLeftMM != nil {
					out = append(out, w.mm("it can still be pulled out by, and keeps its overlap", *s.OutLeftMM))
				}
			}
		}
	}
	return out
}

// hung is where a shock stands, when the whole rig does.
func (w *working) hung(shock string) (out []Check) {
	for i := range w.m.Shocks {
		k := &w.m.Shocks[i]
		if k.Name != shock || k.Side == solid.Right {
			continue
		}
		if k.Open > 0 {
			out = append(out, w.mm("eye to eye, fully open", k.Open))
		}
		if w.stance == nil {
			continue
		}
		for _, s := range w.stance.Shocks {
			if s.Name == k.Name && s.Side == k.Side.String() {
				out = append(out, w.mm("eye to eye later, with the rig standing", s.LengthMM))
			}
		}
	}
	return out
}

// meshes are the centre distances of the gears that a step brings together: m·(z₁ + z₂)/2 (ISO 21771), with m = 25.4/DP.
func (w *working) meshes(s *mates.Step) (out []Check) {
	_, name, _ := strings.Cut(s.About, "/parts/")
	for _, j := range w.joints {
		a, b := partOf(j.A), partOf(j.B)
		if b == name {
			a, b = b, a
		}
		if a != name || !j.OK {
			continue
		}
		here := false
		for _, p := range s.Parts {
			here = here || p == b
		}
		if !here || !strings.HasPrefix(j.Type, "gear") {
			continue
		}
		ma, za := w.gear(a)
		mb, zb := w.gear(b)
		if ma == 0 || mb == 0 || math.Abs(ma-mb) > 0.01*ma {
			continue
		}
		out = append(out, w.fineMM(fmt.Sprintf("%s to %s, shaft to shaft", a, b), ma*float64(za+zb)/2))
		out = append(out, Check{What: "a strip of thin paper run through the mesh", Want: "comes out creased, not cut"}) // common practice
	}
	return out
}

func partOf(ref string) string {
	if i := strings.LastIndex(ref, "/"); i >= 0 {
		return ref[:i]
	}
	return ref
}

// gear is a part's module, mm, and teeth; 0 when it has none.
func (w *working) gear(name string) (module float64, teeth int) {
	for i := range w.m.Bodies {
		if b := &w.m.Bodies[i]; b.Name == name {
			if p, _ := rigPart(w.m, b.Path); p != nil && p.Gear != nil {
				switch {
				case p.Gear.Module != nil:
					module = float64(*p.Gear.Module)
				case p.Gear.DP != nil:
					module = 25.4 / *p.Gear.DP
				}
				return module, p.Gear.Teeth
			}
		}
	}
	return 0, 0
}

// onTheBoard is what is measured when everything is together.
func (w *working) onTheBoard() {
	const stage = "On the board, before it is plugged in"
	if s := w.stance; s != nil {
		w.add(stage, WorkStep{
			Do:     "Weigh it with pack and body, on the kitchen scale.",
			Tools:  []string{"kitchen scale"},
			Checks: []Check{w.gram("whole rig", s.MassKG*1000)},
		})
		st := WorkStep{
			Do:    "Stand it on a flat, level board, bounce it and let it settle.",
			Tools: []string{"steel rule"},
			Notes: []string{"the collars set the height: turn both sides of an axle alike; a printed block of that height saves the rule (shop prints)"},
			Checks: []Check{
				w.mm("under the belly, midway between the axles", s.BellyClearanceMM),
				w.mm("under the belly's plane at the front axle", s.Axles.Front.RideHeightMM),
				w.mm("under the belly's plane at the rear axle", s.Axles.Rear.RideHeightMM),
			},
		}
		w.add(stage, st)
		c := s.CornerLoadsN
		w.add(stage, WorkStep{
			Do:    "Load on each wheel: one wheel on the scale, the others on blocks as high as the scale.",
			Tools: []string{"kitchen scale", "three blocks"},
			Checks: []Check{
				w.gram("front left", c.FrontLeft/quantity.Gravity*1e6), w.gram("front right", c.FrontRight/quantity.Gravity*1e6), w.gram("rear left", c.RearLeft/quantity.Gravity*1e6), w.gram("rear right", c.RearRight/quantity.Gravity*1e6),
			},
		})
	}
	for _, e := range []solid.End{solid.Front, solid.Rear} {
		a := w.travel.Axles.Front
		if e == solid.Rear {
			a = w.travel.Axles.Rear
		}
		if a == nil {
			continue
		}
		angle := a.Design.PinionAngleDeg
		if s := w.stance; s != nil {
			angle = s.Axles.Front.PinionAngleDeg
			if e == solid.Rear {
				angle = s.Axles.Rear.PinionAngleDeg
			}
		}
		st := WorkStep{
			About: e.String(), Do: fmt.Sprintf("Hold a protractor to the %s pinion, zeroed on the belly.", e), Tools: []string{"protractor"},
			Checks: []Check{w.angle("pinion, up from the belly", angle)},
		}
		if e == solid.Rear && a.Design.WheelbaseMM != nil {
			st.Do = "Hold a protractor to the rear pinion, zeroed on the belly, and measure hub to hub."
			st.Checks = append(st.Checks, w.mm("wheelbase, left and right alike", *a.Design.WheelbaseMM))
		}
		w.add(stage, st)
	}
	if !w.m.Axles[solid.Front].Present && !w.m.Axles[solid.Rear].Present {
		return
	}
	w.add(stage, WorkStep{
		Do:    "Lift one wheel after the other by hand as far as it goes, at full lock to both sides as well, and listen.",
		Notes: []string{"nothing binds, touches or drops out: shafts, rod ends, tyres, wires; what travel found near is what to look at first"},
		Care:  []string{"fingers out of the links: a spring under load pinches"},
	})
}

// firstRun is the last step of a rig with a motor.
func (w *working) firstRun() {
	if w.m.Doc != nil && w.m.Doc.Drive != nil {
		w.add("First run", WorkStep{
			Do:   "First run on a stand, wheels in the air, a few seconds each way.",
			Care: []string{"spinning tyres catch fingers, sleeves and cables", "then feel the motor with the back of a finger: what is too hot to touch is too hot", "unplug the pack before the next adjustment"},
		})
	}
}
