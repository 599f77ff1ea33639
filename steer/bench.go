package steer

import (
	"math"

	"lowslung/solid"
	"lowslung/travel"
)

// A bench is a rig at its design pose with everything that the question looks at.
type bench struct {
	m      *solid.Model
	v      view
	pose   travel.Pose // of the front axle
	pin    ground
	l      *Linkage // nil when there is none
	radius float64  // of the front wheels as they stand, mm; 0 without tyres
	base   float64  // wheelbase along the ground, mm; 0 when not known
	plan   plane
	load   load
	reach  float64 // of the servo to one side, rad; without a servo how far the left knuckle is tried
	h0     float64 // sign of State.Horn with the servo at its middle
	mid    State
}

// byHand is how far knuckles are tried when no servo turns them, rad.
const byHand = 75 * deg

func newBench(m *solid.Model, st *travel.Stand, l *Linkage) *bench {
	b := &bench{m: m, l: l, v: viewOf(&st.Ground), radius: st.Radius[solid.Front]}
	if mv := st.Movers[solid.Front]; mv != nil {
		b.pose = mv.Design
	}
	if pin, bad := pins(&m.Steer); m.Steer.HasKingpin && len(bad) == 0 {
		b.pin = kingpinGeometry(&m.Axles[solid.Front], b.radius, &m.Steer, pin, &b.v, b.pose)
	}
	if g := &st.Ground; g.Known {
		b.base = g.Contact[solid.Front].Sub(g.Contact[solid.Rear]).Norm()
		r := st.Movers[solid.Rear].Design.Turn()
		b.plan = plane{rear: b.v.flat(g.Contact[solid.Rear]), along: b.v.flat(r.Mul(solid.Vec{Y: 1})).Unit()}
	}
	if l == nil {
		return b
	}
	b.load = loadOf(m, st, &b.pin)
	b.reach = byHand
	if l.horned {
		if b.reach = min(m.Steer.HornTravel, mostTravel); b.reach == 0 {
			b.reach = usualTravel
		}
	}
	b.restart()
	return b
}

// restart finds the middle of the linkage anew.
func (b *bench) restart() {
	b.mid, _ = b.l.At(b.pose, 0, State{})
	b.h0 = 1
	if b.mid.Horn < 0 {
		b.h0 = -1
	}
}

// altered is the bench with another steer block, for "what if": nil when that cannot be put together.
func (b *bench) altered(st *travel.Stand, change func(*solid.Steer)) *bench {
	m := *b.m
	change(&m.Steer)
	l, _ := Compile(&m, st, 0)
	if l == nil || l.horned != b.l.horned {
		return nil
	}
	out := *b
	out.m, out.l = &m, l
	out.restart()
	return &out
}

// middle is the steering with the servo at its middle.
func (b *bench) middle() *Middle {
	d := b.l.steer(&b.v, b.pose, b.mid)
	return &Middle{LeftDeg: d[left] / deg, RightDeg: d[right] / deg, ToeInDeg: (d[right] - d[left]) / deg, Ratio: b.ratio(0, b.mid)}
}

// ratio is the mean steer of both wheels per unit of servo.
func (b *bench) ratio(servo float64, s State) float64 {
	d := b.l.steerRates(&b.v, b.pose, s, b.l.PerServo(b.pose, servo, s), travel.Rate{})
	return (d[left] + d[right]) / 2
}

// turn is what both wheels do together in a state.
type turn struct {
	inner, outer float64 // rad, without sign
	apart        bool    // they are told apart, and far enough from straight ahead
	ideal        *float64
	off          *float64
	pct          *float64
	circle       *float64
}

func (b *bench) turn(s State) turn {
	d := b.l.steer(&b.v, b.pose, s)
	var t turn
	if t.inner, t.outer, t.apart = innerOuter(d); !t.apart {
		return t
	}
	if b.base > 0 && b.pin.touches {
		ideal, off, share := ackermann(t.inner, t.outer, b.pin.track, b.base)
		ideal, off, share = ideal/deg, off/deg, 100*share
		t.ideal, t.off = &ideal, &off
		if !math.IsNaN(share) && !math.IsInf(share, 0) {
			t.pct = &share
		}
		if c, ok := b.circle(s); ok {
			t.circle = &c
		}
	}
	return t
}

// circle is the turning circle in a state, mm.
func (b *bench) circle(s State) (float64, bool) {
	a := &b.m.Axles[solid.Front]
	var contact, axis [2]solid.Vec
	for i := range contact {
		at, n := b.l.contact(&b.v, b.pose, s, i, b.radius)
		contact[i], axis[i] = b.v.flat(at), b.v.flat(n)
	}
	return b.plan.circle(contact, axis, a.TyreWidth)
}

// point is one row of the sweep.
func (b *bench) point(servo float64, s State) Point {
	d := b.l.steer(&b.v, b.pose, s)
	t := b.turn(s)
	p := Point{
		ServoDeg: servo / deg, LeftDeg: d[left] / deg, RightDeg: d[right] / deg, TieDeg: transmission(s.Tie),
		LeftKnuckleDeg: s.Knuckle[left] / deg, RightKnuckleDeg: s.Knuckle[right] / deg,
		IdealOuterDeg: t.ideal, AckermannOffDeg: t.off, AckermannPct: t.pct, TurningCircleMM: t.circle,
	}
	if b.l.horned {
		drag, horn := transmission(s.Drag), transmission(s.Horn)
		p.DragDeg, p.HornDeg = &drag, &horn
		if b.load.known {
			v := b.torque(servo, s)
			p.ServoTorqueNMM = &v
		}
	}
	return p
}

// transmission is the angle to a sine, degrees, 0 to 90.
func transmission(sine float64) float64 { return math.Asin(min(1, math.Abs(sine))) / deg }
