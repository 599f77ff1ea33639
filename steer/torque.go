package steer

import (
	"math"

	"lowslung/balance"
	"lowslung/solid"
	"lowslung/travel"
)

// The torque to turn the wheels on the spot: an estimate.

// usualFriction is taken when the tyre gives no grip: rubber on dry rock or concrete, an assumption.
const usualFriction = 0.8

// A load is what the tyres hold against being turned on the spot.
type load struct {
	known    bool
	wheel    [2]float64 // load on each front wheel, N
	friction float64
	given    bool       // by the tyre's grip
	width    float64    // of the patch, mm
	offset   float64    // of its middle from the kingpin's axis on the ground, mm
	moment   [2]float64 // about each kingpin's place on the ground, N·mm
}

// loadOf asks balance for the loads, standing level at the design pose.
func loadOf(m *solid.Model, st *travel.Stand, g *ground) load {
	a := &m.Axles[solid.Front]
	c, ok := balance.LevelLoads(m, st)
	if !ok || !g.touches || a.TyreWidth == 0 || !(c.FrontLeft+c.FrontRight > 0) {
		return load{}
	}
	l := load{known: true, wheel: [2]float64{max(0, c.FrontLeft), max(0, c.FrontRight)}, friction: a.Grip, given: a.Grip > 0, width: a.TyreWidth}
	if !l.given {
		l.friction = usualFriction
	}
	l.offset = math.Hypot(g.scrub, g.trail)
	for i := range l.moment {
		l.moment[i] = scrubMoment(l.friction, l.wheel[i], l.width, l.offset)
	}
	return l
}

// scrubMoment is the moment that turns a tyre on the spot about a point of the ground, N·mm:
//
//	M = μ·W·√(B²/8 + E²)
//
// W load, N; B width of the patch, taken round, mm; E from its middle to the point, mm. √(B²/8) is the polar radius of gyration of a
// round patch under even pressure, so that this is the root of a mean square where friction asks for the mean distance: 6 % more at
// E = 0, where friction alone gives μ·W·B/3, and 10 % at the most. (Taborek, Mechanics of Vehicles, 1957, and Bastow, Howard &
// Whitehead, Car Suspension and Handling, both from memory.) The wheel does not roll: on an axle with a locker or a spool it cannot.
func scrubMoment(friction, load, width, offset float64) float64 {
	return friction * load * math.Sqrt(width*width/8+offset*offset)
}

// torque at the servo in a state, N·mm, without friction in joints and gears: T·dθ = Σ Mᵢ·|dδᵢ| (virtual work), both wheels resisting.
func (b *bench) torque(servo float64, s State) float64 {
	rate := b.l.PerServo(b.pose, servo, s)
	r := b.pose.Turn()
	sum := 0.0
	for i := range rate {
		sum += b.load.moment[i] * math.Abs(rate[i]*r.Mul(b.l.pin[i]).Dot(b.v.up))
	}
	return sum
}

func (b *bench) servo(ends *[2]end) *Servo {
	if !b.load.known || !b.l.horned {
		return nil
	}
	l := &b.load
	out := &Servo{
		LeftLoadN: l.wheel[left], RightLoadN: l.wheel[right], Friction: l.friction, FrictionFrom: "assumed", PatchWidthMM: l.width,
		OffsetMM: l.offset, KingpinsNMM: l.moment[left] + l.moment[right], MiddleNMM: b.torque(0, b.mid),
	}
	if l.given {
		out.FrictionFrom = "tyre grip"
	}
	for i := range ends {
		if ends[i].torque > out.NeededNMM {
			out.NeededNMM, out.NeededServoDeg = ends[i].torque, ends[i].at/deg
		}
	}
	if rated := b.m.Steer.Torque; rated > 0 {
		out.RatedNMM = &rated
		if margin := rated / out.NeededNMM; !math.IsInf(margin, 0) && !math.IsNaN(margin) {
			out.Margin = &margin
		}
	}
	return out
}
