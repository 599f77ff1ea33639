package solid

import (
	"math"

	"lowslung/rig"
)

// DragEnd is what the drag link's far eye moves with.
type DragEnd uint8

// What a drag link may pull on.
const (
	OnLeftKnuckle DragEnd = iota
	OnRightKnuckle
	OnTieRod
)

// A Steer is the steering linkage of the front axle: two knuckles on kingpins, a tie rod between them, and a drag link from the
// servo's horn. Index 0 of a pair is the left side, 1 the right. Points that say axle frame are there with the wheels straight
// ahead.
type Steer struct {
	Present bool   // the document has a steer block; the rest is zero otherwise
	Path    string // steer

	HasKingpin bool
	Upper      [2]Vec // upper point of each kingpin, axle frame, mm
	Lower      [2]Vec // lower point

	HasArm bool
	Arm    [2]Vec  // tie-rod eye on each knuckle, axle frame, mm
	TieRod float64 // eye to eye, mm; 0 for the distance between the arms
	Tie    Rod     // what the tie rod is made of

	HasDrag bool
	DragTo  Vec     // far eye of the drag link, axle frame, mm
	DragOn  DragEnd // what that eye moves with
	DragSet bool    // the document says what it moves with; otherwise it is the knuckle on its side
	Drag    float64 // eye to eye, mm; 0 for what fits with the servo at its middle
	Link    Rod     // what the drag link is made of

	HasServo     bool    // the part named servo was found
	ServoPath    string  // chassis/parts/servo
	Carrier      Carrier // what the servo is fixed to
	Torque       float64 // the servo's rating, N·mm; 0 when not given
	Volts        float64 // supply voltage of that rating, V; 0 when not given
	SecondsPer60 float64 // s for 60°; 0 when not given

	HasHorn    bool    // horn and servo are both there, so that the rest is placed
	HornAt     Vec     // centre of the output, carrier's frame, mm
	HornAxis   Vec     // unit vector of the output shaft, carrier's frame
	HornEye    Vec     // drag-link eye with the servo at its middle, carrier's frame, mm
	HornTravel float64 // to one side, rad; 0 when not given

	Lock float64 // steer angle of the inner wheel at the stop, rad; 0 when not given
}

// A Rod is what a rod of the steering is made of.
type Rod struct {
	Path    string  // steer/tie_rod
	Mass    float64 // kg, with its ends
	HasMass bool
	Width   float64 // diameter, mm; 0 when not given
}

// steer places the steer block. What is missing stays zero: the question says what it lacks.
func (r *resolver) steer() {
	d := r.doc.Steer
	if d == nil {
		return
	}
	s := &r.m.Steer
	s.Present, s.Path = true, "steer"
	if k := d.Kingpin; k != nil {
		s.HasKingpin = true
		u, l := vec(k.Upper), vec(k.Lower)
		s.Upper, s.Lower = [2]Vec{u, u.Flip()}, [2]Vec{l, l.Flip()}
	}
	if d.Arm != nil {
		s.HasArm = true
		a := vec(*d.Arm)
		s.Arm = [2]Vec{a, a.Flip()}
	}
	if t := d.TieRod; t != nil {
		s.TieRod, s.Tie = r.steerRod("tie rod", "steer/tie_rod", t.AsLink())
	}
	if k := d.DragLink; k != nil {
		s.HasDrag, s.DragTo = true, vec(k.To)
		s.Drag, s.Link = r.steerRod("drag link", "steer/drag_link", k.AsLink())
		s.DragOn, s.DragSet = dragEnd(k, s.DragTo)
	}
	if d.Lock != nil {
		s.Lock = float64(*d.Lock)
	}
	defer func() { r.m.Bodies = append(r.m.Bodies, s.bodies()...) }()
	if d.Servo == nil {
		return
	}
	b := r.bodyCalled(d.Servo.Text)
	if b == nil {
		return
	}
	s.HasServo, s.ServoPath, s.Carrier = true, b.Path, b.Carrier
	if p := r.partCalled(d.Servo.Text); p != nil && p.Servo != nil {
		if v := p.Servo; v.Torque != nil {
			s.Torque = float64(*v.Torque)
		}
		if v := p.Servo; v.Volts != nil {
			s.Volts = float64(*v.Volts)
		}
		if v := p.Servo; v.Speed != nil {
			s.SecondsPer60 = *v.Speed
		}
	}
	if h := d.Horn; h != nil {
		s.HasHorn = true
		s.HornAt, s.HornEye = b.Frame.Apply(vec(h.At)), b.Frame.Apply(vec(h.Eye))
		s.HornAxis = b.Frame.Turn(dir(&h.Axis)).Unit()
		if h.Travel != nil {
			s.HornTravel = float64(*h.Travel)
		}
	}
}

// steerRod is the length of a steering rod, mm, 0 when the document leaves it to what fits, and the rest of it.
func (r *resolver) steerRod(name, path string, l *rig.Link) (length float64, out Rod) {
	out = Rod{Path: path, Width: mm(l.Width, 0)}
	if out.Width == 0 && l.Rod != nil {
		out.Width = r.rodWidth(l)
	}
	if l.Mass != nil {
		out.Mass, out.HasMass = float64(*l.Mass), true
	}
	if l.Rod == nil && len(l.Ends) == 0 {
		return mm(l.Length, 0), out
	}
	length, _, out.Mass, out.HasMass, _ = r.linkLength(name, l)
	return length, out
}

func dragEnd(k *rig.DragLink, to Vec) (on DragEnd, said bool) {
	switch k.On {
	case "left":
		return OnLeftKnuckle, true
	case "right":
		return OnRightKnuckle, true
	case "tie rod":
		return OnTieRod, true
	}
	if to.Y < 0 {
		return OnRightKnuckle, false
	}
	return OnLeftKnuckle, false
}

func (r *resolver) bodyCalled(name string) *Body {
	for i := range r.m.Bodies {
		if r.m.Bodies[i].Name == name {
			return &r.m.Bodies[i]
		}
	}
	return nil
}

func (r *resolver) partCalled(name string) *rig.Part {
	if p, ok := r.doc.Chassis.Parts.Get(name); ok {
		return p
	}
	for _, a := range []*rig.Axle{r.doc.Front, r.doc.Rear} {
		if a != nil {
			if p, ok := a.Parts.Get(name); ok {
				return p
			}
		}
	}
	return nil
}

// A SteerSpan is a drag link from a servo that is not on the front axle: half of its weight hangs on either end, as of a link.
type SteerSpan struct {
	Name  string
	Path  string
	Side  Side
	Mass  float64 // kg; 0 when HasMass is false
	Has   bool    // a weight is known
	Width float64 // diameter, mm; 0 when not given
	On    [2]Carrier
	At    [2]Vec // horn's eye with the servo at its middle, far eye with the wheels straight ahead, in their carriers' frames, mm
}

// Span is the drag link when it spans from one carrier to another; one within the front axle is a body.
func (s *Steer) Span() (SteerSpan, bool) {
	if !s.HasDrag || !s.HasHorn || s.Carrier == OnFront || !s.Link.Said() {
		return SteerSpan{}, false
	}
	k := &s.Link
	return SteerSpan{Name: "drag link", Path: k.Path, Mass: k.Mass, Has: k.HasMass, Width: k.Width, On: [2]Carrier{s.Carrier, OnFront}, At: [2]Vec{s.HornEye, s.DragTo}}, true
}

// Said tells that the document says of what the rod is, or what it weighs; otherwise it may be drawn and weighed as a part.
func (k *Rod) Said() bool { return k.HasMass || k.Width > 0 }

// bodies makes bodies of the rods that move with the front axle alone: tie rod, and drag link of a servo on that axle.
func (s *Steer) bodies() (out []Body) {
	add := func(name string, k *Rod, a, b Vec) {
		one := Body{Name: name, Path: k.Path, Kind: "rod", Carrier: OnFront, Frame: Frame{R: Identity}, Mass: k.Mass, HasMass: k.HasMass, CG: a.Add(b).Scale(0.5)}
		if k.Width > 0 {
			one.Shapes = []Shape{capsule(a, b, k.Width)}
		}
		one.Inertia = span(name, k.Path, Single, k.Mass, a, b).Inertia
		out = append(out, one)
	}
	if s.HasArm && s.Tie.Said() {
		add("tie rod", &s.Tie, s.Arm[0], s.Arm[1])
	}
	if s.HasDrag && s.HasHorn && s.Carrier == OnFront && s.Link.Said() {
		add("drag link", &s.Link, s.HornEye, s.DragTo)
	}
	return out
}

// HornRadius is the working length of the servo's horn: the eye's distance from the output shaft's axis, mm.
func (s *Steer) HornRadius() float64 {
	d := s.HornEye.Sub(s.HornAt)
	return math.Sqrt(max(0, d.Dot(d)-d.Dot(s.HornAxis)*d.Dot(s.HornAxis)))
}
