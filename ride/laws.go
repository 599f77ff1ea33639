package ride

import (
	"lowslung/finding"
	"lowslung/quantity"
	"lowslung/solid"
	"lowslung/travel"
)

// The rig's force laws for who lets it move: rocks. Here rest is sought, there every instant; springs, bars, dampers, tyres and the motion
// of the axles are the same.

// Laws are the compiled rig. They belong to one goroutine; Twin makes others.
type Laws struct {
	mc   *machine
	ends [2]AxleLaws
}

// AxleLaws are one axle: its motion and what pushes it. Vectors are in the chassis frame at the pose reached last, mm and rad.
type AxleLaws struct {
	m    *solid.Model
	a    *axle
	mo   moves
	hard float64
}

// A TyreLaw is a tyre as a torus.
type TyreLaw struct {
	At     solid.Vec // centre, axle frame, mm
	Radius float64   // free, mm
	Crown  float64   // radius of the tread across, mm
	Side   float64   // rate along the ground, N/mm
	Grip   float64   // coefficient of friction, an assumption
	Wheel  *solid.Wheel
}

// LawsOf compiles the model; the finding says what it lacks when there are none.
func LawsOf(m *solid.Model, units quantity.System) (*Laws, *finding.Finding) {
	mc, lacking := compile(m, units)
	if lacking != nil {
		return nil, lacking
	}
	return lawsOf(mc), nil
}

func lawsOf(mc *machine) *Laws {
	l := &Laws{mc: mc}
	for i := range l.ends {
		l.ends[i] = AxleLaws{m: mc.model, a: &mc.axles[i], mo: newMoves(&mc.axles[i]), hard: mc.hard}
	}
	return l
}

// Twin is the same for another goroutine.
func (l *Laws) Twin() *Laws { return lawsOf(l.mc.twin()) }

// Notes are what was assumed for want of better.
func (l *Laws) Notes() []finding.Finding { return l.mc.notes }

// Mass is that of everything, kg.
func (l *Laws) Mass() float64 { return l.mc.mass }

// Turns is +1 when the shafts turn clockwise seen from behind to drive forward, −1 otherwise.
func (l *Laws) Turns() float64 { return l.mc.turns }

// Axle is one end.
func (l *Laws) Axle(end solid.End) *AxleLaws { return &l.ends[end] }

// Chassis is its mass, kg, and centre, mm, with its halves of what spans chassis and axles.
func (l *Laws) Chassis() (mass float64, at solid.Vec) { return l.mc.chassis.mass, l.mc.chassis.at }

// A Standing is where the rig stands on level ground z = 0.
type Standing struct {
	At     solid.Vec // chassis origin, mm
	Turn   solid.Mat // chassis frame to world
	Z, Phi [2]float64
	Load   [4]float64 // N, of front left, front right, rear left, rear right
}

// Stand lets the rig come to rest on level ground; false when it does not.
func (l *Laws) Stand() (Standing, bool) {
	w := newWork(l.mc)
	ok := w.stand() == atRest
	return Standing{At: w.at.x, Turn: w.at.r, Z: w.at.z, Phi: w.at.phi, Load: w.load}, ok
}

// To brings the axle to heave z, mm, and roll φ, rad; false when its links stop it before, and it stays where they do. Lengths come without their
// second derivatives, the motion of the axle itself with them.
func (x *AxleLaws) To(z, phi float64) bool {
	reached := x.a.mv.To(z, phi)
	heave, roll, sys, ok := x.a.mv.Rates()
	if !ok {
		return false
	}
	x.a.read(&heave, &roll, &x.mo)
	x.mo.bend = [3]travel.Bend{}
	if x.a.fast {
		x.mo.bend, _ = x.a.mv.Bends(&heave, &roll, &sys)
	}
	x.a.measure(x.m, false, &x.mo)
	return reached
}

// Reset puts the axle back at its design pose, so that a run does not depend on the one before it.
func (x *AxleLaws) Reset() { x.a.mv.Jump(x.a.mv.Design) }

// Reached is the heave and roll of the pose reached last.
func (x *AxleLaws) Reached() (z, phi float64) { p := x.a.mv.At(); return p.Z, p.Roll }

// Pose is where the axle is: its origin and turn.
func (x *AxleLaws) Pose() (solid.Vec, solid.Mat) { return x.mo.p, x.mo.r }

// Motion are the velocity of the axle's origin and its angular velocity per unit of heave and of roll.
func (x *AxleLaws) Motion() (v, w [2]solid.Vec) { return x.mo.v, x.mo.w }

// Bends are the second derivatives: zz, zφ, φφ.
func (x *AxleLaws) Bends() [3]travel.Bend { return x.mo.bend }

// Body is the axle's mass, kg, and centre, axle frame, mm, wheels and halves of links included.
func (x *AxleLaws) Body() (mass float64, at solid.Vec) { return x.a.body.mass, x.a.body.at }

// Hung are the halves of shocks that hang on links: mass, kg, place and its derivatives.
func (x *AxleLaws) Hung() int { return len(x.a.hung) }

// Hanging is one of them.
func (x *AxleLaws) Hanging(i int) (mass float64, at solid.Vec, d [2]solid.Vec) {
	p := &x.mo.hung[i]
	return x.a.hung[i].mass, p.at, p.d
}

// Tyre is a wheel's tyre, 0 left and 1 right.
func (x *AxleLaws) Tyre(side int) TyreLaw {
	w := &x.a.wheels[side]
	return TyreLaw{At: w.at, Radius: w.radius, Crown: w.crown, Side: w.side, Grip: w.grip, Wheel: w.model}
}

// Press is the tyre's energy, N·mm, force, N, and its slope, N/mm, pressed in by mm.
func (x *AxleLaws) Press(side int, in float64) (e, f, k float64) { return x.a.wheels[side].load.at(in) }

// Shocks is their number.
func (x *AxleLaws) Shocks() int { return len(x.a.struts) }

// Shock is its length, mm, with its derivatives.
func (x *AxleLaws) Shock(i int) (length float64, d [2]float64) {
	s := &x.mo.length[i]
	return s.at, s.d
}

// ShockOf is the model's shock i, and where its eyes are.
func (x *AxleLaws) ShockOf(i int) (s *solid.Shock, top, bottom solid.Vec) {
	s = x.a.struts[i].model
	return s, x.mo.anchor(x.m, &s.Top, false).at, x.mo.anchor(x.m, &s.Bottom, false).at
}

// Push is the energy of shock i at a length, N·mm, the force with which it pushes its eyes apart, N, and how much that grows as it closes, N/mm.
func (x *AxleLaws) Push(i int, length float64) (e, f, k float64) {
	s := &x.a.struts[i]
	return s.push(s.model.Open-length, 0, x.hard)
}

// Damper is the model's damper of shock i; ok is false when the document does not say enough of it.
func (x *AxleLaws) Damper(i int) (name string, ok bool) {
	s := x.a.struts[i].model
	_, ok = dampingRate(&s.Damper, s.Damper.Oil)
	return s.Name, ok
}

// Drag is the damper's force against closing at a speed, mm/s, negative while it opens, N.
func (x *AxleLaws) Drag(i int, speed float64) float64 {
	s := x.a.struts[i].model
	if speed < 0 {
		return -dampingForce(&s.Damper, s.Damper.Oil, min(-speed, fastest), opening)
	}
	return dampingForce(&s.Damper, s.Damper.Oil, min(speed, fastest), closing)
}

// Bars is the number of anti-roll bars.
func (x *AxleLaws) Bars() int { return len(x.a.bars) }

// Bar is the twist between its drop links, mm, with its derivatives, and its rate, N/mm.
func (x *AxleLaws) Bar(i int) (twist float64, d [2]float64, k float64) {
	t := &x.mo.twist[i]
	return t.at, t.d, x.a.bars[i].k
}

// Pinion is the unit vector along the pinion shaft, forward, chassis frame.
func (x *AxleLaws) Pinion() solid.Vec { return x.mo.r.Mul(x.a.pinion) }

// Point is a point of the axle body with its derivatives.
func (x *AxleLaws) Point(a solid.Vec) (at solid.Vec, d [2]solid.Vec) {
	r := x.mo.r.Mul(a)
	at = x.mo.p.Add(r)
	for k := range d {
		d[k] = x.mo.v[k].Add(x.mo.w[k].Cross(r))
	}
	return at, d
}
