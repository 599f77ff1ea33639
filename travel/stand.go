package travel

import (
	"math"

	"lowslung/finding"
	"lowslung/solid"
)

// Where the rig stands: the design pose of both axles and the ground under them, until the springs decide it (ride).

// Words for what put an axle at its design pose.
const (
	BySet  = "shock set lengths"
	ByRide = "ride_height"
	ByNear = "near"
)

// A Stand is a rig standing at its design pose.
type Stand struct {
	Movers [2]*Mover // at their design poses; nil for an axle that is not in the document
	Ground Ground
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
	Point   solid.Vec    // a point of the plane on the centreline: below the rear axle
	Pitch   float64      // rad: chassis against ground, positive nose down
	Contact [2]solid.Vec // contact points on the centreline below each axle, mm
}

// Height is how far q is above the ground, mm.
func (g *Ground) Height(q solid.Vec) float64 { return q.Sub(g.Point).Dot(g.Up) }

// StandOf brings both axles to their design poses.
func StandOf(m *solid.Model) *Stand {
	s := new(Stand)
	for _, end := range []solid.End{solid.Front, solid.Rear} {
		if m.Axles[end].Present {
			s.Movers[end] = NewMover(m, end)
			s.Notes = append(s.Notes, s.Movers[end].settleDesign()...)
		}
	}
	s.Ground = groundUnder(m, s)
	if mass, at := solid.CenterOfMass(m.Lumps(s.Stance())); s.Ground.Known && mass > 0 {
		s.Height = s.Ground.Height(at)
		s.Base = s.Ground.Contact[solid.Front].Sub(s.Ground.Contact[solid.Rear]).Norm()
		s.Weighed = s.Height > 0
	}
	return s
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
		if mv.toSetLength() {
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

// overSet is the mean of length − set over the axle's shocks that have a set length, and its slope per mm of heave.
func (mv *Mover) overSet() (over, slope float64) {
	heave, roll, _, ok := mv.Rates()
	n := 0
	for i := range mv.Model.Shocks {
		s := &mv.Model.Shocks[i]
		if s.Axle != mv.End || s.Set <= 0 {
			continue
		}
		st := StrutAt(mv.Model, s, mv.at, heave, roll)
		over += st.Length - s.Set
		if ok {
			slope += st.PerHeave
		}
		n++
	}
	return over / float64(n), slope / float64(n)
}

// toSetLength solves mean(length) = mean(set) for heave by Newton with steps cut to 15 mm, then by halving when it swings.
func (mv *Mover) toSetLength() bool {
	const done = 1e-9 // mm
	limit := 15.0
	last := 0.0
	for range 100 {
		over, slope := mv.overSet()
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

// groundUnder is the plane tangent to the tyres of both axles at the design pose, or the level plane below the only one.
// With centres d = (dx, dz) apart and radii r, the normal (−sin a, cos a) meets −sin a·dx + cos a·dz = r_front − r_rear.
func groundUnder(m *solid.Model, s *Stand) Ground {
	g := Ground{Up: solid.Vec{Z: 1}, Forward: solid.Vec{X: 1}}
	front, rear := s.Movers[solid.Front], s.Movers[solid.Rear]
	rf, rr := m.Axles[solid.Front].TyreRadius, m.Axles[solid.Rear].TyreRadius
	if front == nil || rear == nil || rf == 0 || rr == 0 {
		for end, mv := range s.Movers {
			if r := m.Axles[end].TyreRadius; mv != nil && r > 0 {
				g.Point = solid.Vec{X: mv.Design.X, Z: mv.Design.Z - r}
				g.Contact[end] = g.Point
			}
		}
		return g
	}
	pf, pr := front.Design.Origin(), rear.Design.Origin()
	dx, dz := pf.X-pr.X, pf.Z-pr.Z
	far := math.Hypot(dx, dz)
	if far == 0 || math.Abs(rf-rr) >= far || dx <= 0 {
		return g
	}
	slope := math.Atan2(dz, dx) - math.Asin((rf-rr)/far) // of the ground, positive when it rises forward in the chassis frame
	sin, cos := math.Sincos(slope)
	g.Known = true
	g.Up = solid.Vec{X: -sin, Z: cos}
	g.Forward = solid.Vec{X: cos, Z: sin}
	g.Pitch = slope // ground rising forward seen from the chassis is a nose that points down
	g.Contact[solid.Front] = solid.Vec{X: pf.X, Z: pf.Z}.Along(g.Up, -rf)
	g.Contact[solid.Rear] = solid.Vec{X: pr.X, Z: pr.Z}.Along(g.Up, -rr)
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
