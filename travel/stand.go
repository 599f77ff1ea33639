package travel

import (
	"math"

	"lowslung/finding"
	"lowslung/solid"
)

// Where the rig stands: the design pose of both axles and the ground under them. Springs and tyres decide it where ride could work that out
// (solid.Model.Rest), or else what is written.

// Words for what put an axle at its design pose.
const (
	BySprings = "springs"
	BySet     = "shock set lengths"
	ByRide    = "ride_height"
	ByNear    = "near"
)

// A Stand is a rig standing at its design pose.
type Stand struct {
	Movers [2]*Mover // at their design poses; nil for an axle that is not in the document
	Ground Ground
	Radius [2]float64        // of each axle's origin above the ground, square to it, mm; 0 without a tyre
	Notes  []finding.Finding // what was lacking, what went wrong

	Weighed bool    // Height and Base are known: there is ground, and something has a weight
	Height  float64 // of the centre of mass above the ground, mm
	Base    float64 // wheelbase along the ground, mm

	clear *Clearances
	reach []Reach // of the front axle, for both locks
}

// Ground is the plane that the tyres touch, seen from the chassis.
type Ground struct {
	Known   bool         // both axles have a place and tyres
	Up      solid.Vec    // unit normal, chassis frame
	Forward solid.Vec    // unit vector along the ground in the x–z plane
	Point   solid.Vec    // a point of the plane: below the rear axle's middle
	Pitch   float64      // rad: chassis against ground, positive nose down
	Roll    float64      // rad: chassis against ground, positive with the left side up; 0 unless its springs let it lean
	Contact [2]solid.Vec // points of the plane straight below each axle's place on the centreline, mm
}

// Left is the unit vector along the ground to the left.
func (g *Ground) Left() solid.Vec {
	if g.Roll == 0 {
		return solid.Vec{Y: 1}
	}
	return g.Up.Cross(g.Forward)
}

// Height is how far q is above the ground, mm.
func (g *Ground) Height(q solid.Vec) float64 { return q.Sub(g.Point).Dot(g.Up) }

// StandOf brings both axles to their design poses.
func StandOf(m *solid.Model) *Stand {
	s := new(Stand)
	for _, end := range []solid.End{solid.Front, solid.Rear} {
		s.Radius[end] = m.Axles[end].TyreRadius
		if m.Axles[end].Present {
			s.Movers[end] = NewMover(m, end)
		}
	}
	lean := 0.0
	if s.toRest(m.Rest) {
		s.Radius, lean = m.Rest.Radius, m.Rest.Lean
	} else {
		for _, mv := range s.Movers {
			if mv != nil {
				s.Notes = append(s.Notes, mv.settleDesign()...)
			}
		}
	}
	s.Ground = s.groundUnder(lean)
	if mass, at := solid.CenterOfMass(m.Lumps(s.Stance())); s.Ground.Known && mass > 0 {
		s.Height = s.Ground.Height(at)
		s.Base = s.Ground.Contact[solid.Front].Sub(s.Ground.Contact[solid.Rear]).Norm()
		s.Weighed = s.Height > 0
	}
	return s
}

// toRest brings both axles where they stand on their springs. False, with both where they were, when that is not known, or when changed links do not go there.
func (s *Stand) toRest(r *solid.Rest) bool {
	if r == nil {
		return false
	}
	for end, mv := range s.Movers {
		if mv == nil || !mv.Solved {
			return false
		}
		mv.Design = mv.at // to come back to
		mv.want = r.Lengths
		if !mv.To(r.Z[end], r.Roll[end]) || mv.wants() && !mv.toWanted() {
			for _, mv := range s.Movers[:end+1] {
				mv.Jump(mv.Design)
			}
			return false
		}
	}
	for _, mv := range s.Movers {
		mv.Design, mv.Source = mv.at, BySprings
	}
	return true
}

// Stance is both axles' design poses as frames.
func (s *Stand) Stance() *solid.Stance {
	out := solid.Stance{{R: solid.Identity}, {R: solid.Identity}}
	for end, mv := range s.Movers {
		if mv != nil {
			out[end] = mv.Design.Frame()
		}
	}
	return &out
}

// Frame is the pose as a placement.
func (p Pose) Frame() solid.Frame { return solid.Frame{At: p.Origin(), R: p.Turn()} }

// settleDesign moves the axle to the height that its shocks' set lengths ask for, or ride_height, or near, at zero roll.
func (mv *Mover) settleDesign() []finding.Finding {
	a := &mv.Model.Axles[mv.End]
	var notes []finding.Finding
	mv.Source = ByNear
	if !mv.Solved {
		mv.Design = mv.at
		return notes
	}
	switch {
	case mv.hasSet():
		mv.wantSet()
		if mv.toWanted() {
			mv.Source = BySet
		} else {
			notes = append(notes, finding.New(finding.Stop, "travel/set-not-reached",
				"The %s axle cannot come to where its shocks have their set length: the links stop it at z %.1f mm.", mv.End, mv.at.Z).
				For(a.Path).CuredBy("check `set` of the %s shocks, and the link lengths", mv.End))
		}
	case a.HasRide && a.TyreRadius > 0:
		if mv.To(a.TyreRadius-a.Ride, 0) {
			mv.Source = ByRide
		} else {
			notes = append(notes, finding.New(finding.Stop, "travel/ride-height-not-reached",
				"The %s axle cannot come to ride height: the links stop it at z %.1f mm, ride height asks for %.1f mm.", mv.End, mv.at.Z, a.TyreRadius-a.Ride).
				For(a.Path+"/ride_height").CuredBy("check ride_height and the link lengths"))
		}
	case a.HasRide:
		notes = append(notes, finding.New(finding.Note, "travel/ride-height-without-tyre",
			"ride_height of the %s axle is not used: it needs the tyre's diameter.", mv.End).For(a.Path))
	}
	mv.Design = mv.at
	return notes
}

func (mv *Mover) hasSet() bool {
	for i := range mv.Model.Shocks {
		if s := &mv.Model.Shocks[i]; s.Axle == mv.End && s.Set > 0 {
			return true
		}
	}
	return false
}

// wantSet wants the shocks at their set lengths.
func (mv *Mover) wantSet() {
	if len(mv.want) != len(mv.Model.Shocks) {
		mv.want = make([]float64, len(mv.Model.Shocks))
	}
	for i := range mv.want {
		mv.want[i] = mv.Model.Shocks[i].Set
	}
}

// wanted is the length that shock i of this axle should have, mm; 0 when it is another axle's, or none is wanted.
func (mv *Mover) wanted(i int) float64 {
	if i >= len(mv.want) || mv.Model.Shocks[i].Axle != mv.End {
		return 0
	}
	return mv.want[i]
}

// wants says that some shock of this axle should have a length.
func (mv *Mover) wants() bool {
	for i := range mv.want {
		if mv.wanted(i) > 0 {
			return true
		}
	}
	return false
}

// overWanted is the mean of length − wanted over the axle's shocks that should have a length, and its slope per mm of heave.
func (mv *Mover) overWanted() (over, slope float64) {
	heave, roll, _, ok := mv.Rates()
	n := 0
	for i := range mv.Model.Shocks {
		want := mv.wanted(i)
		if want <= 0 {
			continue
		}
		st := StrutAt(mv.Model, &mv.Model.Shocks[i], mv.at, heave, roll)
		over += st.Length - want
		if ok {
			slope += st.PerHeave
		}
		n++
	}
	return over / float64(n), slope / float64(n)
}

// toWanted solves mean(length) = mean(wanted) for heave at the present roll by Newton with steps cut to 15 mm, then by halving when it swings.
func (mv *Mover) toWanted() bool {
	const done = 1e-9 // mm
	limit := 15.0
	last := 0.0
	for range 100 {
		over, slope := mv.overWanted()
		if math.Abs(over) < done {
			return true
		}
		if over*last < 0 {
			limit = max(limit/2, 1e-9)
		}
		last = over
		step := math.Copysign(limit, over) // too long: up
		if slope < -1e-3 {
			step = -over / slope
		}
		step = max(-limit, min(limit, step))
		if !mv.To(mv.at.Z+step, mv.at.Roll) {
			return false
		}
	}
	return false
}

// groundUnder is the plane that both axles' origins are their radii above, or the level plane below the only one. With the origins d = (dx, dy, dz) apart,
// radii r, and a normal (−c·sin a, l, c·cos a) that leans by l = lean, c = √(1 − l²):
//
//	−sin a·dx + cos a·dz = (r_front − r_rear − l·dy)/c
func (s *Stand) groundUnder(lean float64) Ground {
	g := Ground{Up: solid.Vec{Z: 1}, Forward: solid.Vec{X: 1}}
	front, rear := s.Movers[solid.Front], s.Movers[solid.Rear]
	rf, rr := s.Radius[solid.Front], s.Radius[solid.Rear]
	if front == nil || rear == nil || rf == 0 || rr == 0 {
		for end, mv := range s.Movers {
			if r := s.Radius[end]; mv != nil && r > 0 {
				g.Point = solid.Vec{X: mv.Design.X, Z: mv.Design.Z - r}
				g.Contact[end] = g.Point
			}
		}
		return g
	}
	pf, pr := front.Design.Origin(), rear.Design.Origin()
	dx, dz := pf.X-pr.X, pf.Z-pr.Z
	far, upright := math.Hypot(dx, dz), math.Sqrt(1-lean*lean)
	over := (rf - rr - lean*(pf.Y-pr.Y)) / upright
	if far == 0 || math.Abs(over) >= far || dx <= 0 {
		return g
	}
	slope := math.Atan2(dz, dx) - math.Asin(over/far) // of the ground, positive when it rises forward in the chassis frame
	sin, cos := math.Sincos(slope)
	g.Known = true
	g.Up = solid.Vec{X: -upright * sin, Y: lean, Z: upright * cos}
	g.Forward = solid.Vec{X: cos, Z: sin}
	g.Pitch, g.Roll = slope, math.Asin(lean) // ground rising forward seen from the chassis is a nose that points down
	g.Contact[solid.Front] = solid.Vec{X: pf.X, Z: pf.Z}.Along(g.Up, lean*pf.Y-rf)
	g.Contact[solid.Rear] = solid.Vec{X: pr.X, Z: pr.Z}.Along(g.Up, lean*pr.Y-rr)
	g.Point = g.Contact[solid.Rear]
	return g
}

// bellyClearance is the height of the chassis plane z = 0 above the ground midway between the axles, mm; nil without ground.
func (s *Stand) bellyClearance() *float64 {
	if !s.Ground.Known {
		return nil
	}
	f, r := s.Movers[solid.Front].Design, s.Movers[solid.Rear].Design
	h := s.Ground.Height(solid.Vec{X: (f.X + r.X) / 2})
	return &h
}
