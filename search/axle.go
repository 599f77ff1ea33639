package search

import (
	"math"

	"lowslung/solid"
	"lowslung/travel"
)

// One axle with one combination of links and shocks: its design pose, its numbers there, and its travel.

// A record is what is known of one axle combination.
type record struct {
	v       [ofAxle]float64
	pose    travel.Pose
	ox, oz  float64 // heave rate of the axle's origin, mm per mm
	wy      float64 // and of its turn about y, rad per mm
	known   bool    // the rates are
	mass    float64 // kg of what the axle carries, with its links, shocks and shafts
	mx, mz  float64 // kg·mm, chassis frame: mass times place
	closes  bool
	reached bool      // the design pose
	travels bool      // no pose of the grid is missing that the shocks would allow
	swings  []float64 // largest swing of each link's two ends over the travel, as its sine; −1 where the bolt has no direction

	travelled bool // the travel has been gone over
}

// A bench puts combinations of one axle together. It belongs to one goroutine.
type bench struct {
	m      *solid.Model // own copy of links and shocks, changed from combination to combination
	end    solid.End
	mv     *travel.Mover
	near   travel.Pose // where the mover was at near's height, for the next
	design travel.Pose
	walk   travel.Walk
	heaves []float64 // mm
	rolls  []float64 // rad
	half   []float64 // those of them not below zero, when each has its mirror image
	even   bool      // rolls are their own mirror image
	need   *[cheapNumbers]bool
	four   bool // the document's own four links fix the axle: others that do not are no use

	links  []int // of the axle, in the model
	shocks []int
	shafts []int
	body   float64   // kg of the bodies on the axle
	moment solid.Vec // kg·mm of them in the axle frame
	swing  []swinging
	joints []widest
	plain  []bool    // of each shock: from the chassis to the axle
	room   []float64 // for swings of records to come
	in     []bool    // pose of the grid within the shocks' stroke
}

type swinging struct {
	link, end int
	slot      int // in record.swings
	bolt      solid.Vec
	inv       float64 // 1/length
	most      float64
}

func newBench(m *solid.Model, end solid.End, heaves, rolls []float64, need *[cheapNumbers]bool) *bench {
	own := *m
	own.Links = append([]solid.Link(nil), m.Links...)
	own.Shocks = append([]solid.Shock(nil), m.Shocks...)
	b := &bench{m: &own, end: end, heaves: heaves, rolls: rolls, need: need, even: true}
	for i, r := range rolls {
		if math.Abs(r+rolls[len(rolls)-1-i]) > 1e-12 {
			b.even = false
		}
		if r >= 0 {
			b.half = append(b.half, r)
		}
	}
	if len(b.half) == 0 || b.half[0] != 0 {
		b.even = false
	}
	for i := range own.Links {
		if own.Links[i].Axle == end {
			b.links = append(b.links, i)
		}
	}
	for i := range own.Shocks {
		if own.Shocks[i].Axle == end {
			b.shocks = append(b.shocks, i)
		}
	}
	for i := range own.Shafts {
		if own.Shafts[i].Axle == end {
			b.shafts = append(b.shafts, i)
		}
	}
	for i := range own.Bodies {
		if k := &own.Bodies[i]; k.HasMass && k.Carrier == solid.CarrierOf(end) {
			b.body += k.Mass
			b.moment = b.moment.Along(k.CG, k.Mass)
		}
	}
	steered(m, solid.CarrierOf(end), func(mass float64, at solid.Vec) {
		b.body += mass
		b.moment = b.moment.Along(at, mass)
	})
	b.four = travel.Assemble(m, end) != nil
	b.in = make([]bool, len(heaves)*len(rolls))
	return b
}

// assemble brings the axle to its design pose with the links and shocks that are in the model now.
func (b *bench) assemble(r *record) {
	*r = record{}
	for i := range r.v {
		r.v[i] = math.NaN()
	}
	mv := b.mv
	if mv == nil || !mv.Relink(b.near) {
		if b.four {
			mv = travel.Assemble(b.m, b.end)
		} else {
			mv = travel.NewMover(b.m, b.end)
		}
		if r.closes = mv != nil && mv.Solved; !r.closes {
			return
		}
		b.mv = mv
		b.near = mv.At()
		if !mv.Settle() {
			return
		}
	} else {
		r.closes = true
		b.near = mv.At()
		if !mv.SettleFrom(b.design) {
			return
		}
	}
	r.reached = true
	r.pose = mv.Design
	b.design = mv.Design
}

// stand works out the numbers of the design pose.
func (b *bench) stand(r *record) {
	b.assemble(r)
	if !r.reached {
		return
	}
	p, a, n := r.pose, &b.m.Axles[b.end], int(b.end)*ofAxle
	turn := p.Turn()
	r.v[pinionAngle] = math.Asin(max(-1, min(1, turn.Mul(a.PinionAxis).Z)))
	for _, i := range b.shocks {
		s := &b.m.Shocks[i]
		length := b.shockLength(s, &turn, p.Origin())
		if s.Closed > 0 {
			r.v[bumpStroke] = least(r.v[bumpStroke], length-s.Closed)
		}
		if s.Open > 0 {
			r.v[droopStroke] = least(r.v[droopStroke], s.Open-length)
		}
	}
	if b.need[frontSlope] || b.need[rearSlope] || b.need[antiLift] || b.need[antiSquat] || b.need[n+rollCentre] || b.need[n+rollAxis] || b.need[n+rollSteer] || b.need[n+sidewaysPlay] {
		b.rates(r, a)
	}
	if b.need[antiLift] || b.need[antiSquat] {
		b.weigh(r, &turn, p.Origin())
	}
}

// rates are the numbers that come from how the axle moves at its design pose, as travel has them.
func (b *bench) rates(r *record, a *solid.Axle) {
	h, roll, sys, ok := b.mv.Rates()
	if r.known = ok; !ok {
		return
	}
	r.ox, r.oz, r.wy = h.Origin.X, h.Origin.Z, h.Omega.Y
	r.v[rollAxis] = math.Atan2(roll.Omega.Z, roll.Omega.X)
	r.v[rollSteer] = roll.Steer
	if a.TyreRadius > 0 && math.Abs(roll.Omega.X) > 1e-9 {
		r.v[rollCentre] = a.TyreRadius + roll.Origin.Y/roll.Omega.X
	}
	if b.need[int(b.end)*ofAxle+sidewaysPlay] {
		if q, fixed := sys.Slop(travel.UsualSlop); fixed {
			r.v[sidewaysPlay] = q[1]
		}
	}
}

// weigh sums what moves with the axle, and what spans from the chassis to it, as solid.Model.Lumps places it.
func (b *bench) weigh(r *record, turn *solid.Mat, at solid.Vec) {
	r.mass = b.body
	sum := turn.Mul(b.moment).Along(at, b.body)
	for _, i := range b.links {
		if l := &b.m.Links[i]; l.HasMass {
			r.mass += l.Mass
			sum = sum.Along(l.From.Add(turn.Mul(l.To)).Add(at), l.Mass/2)
		}
	}
	for _, i := range b.shocks {
		if s := &b.m.Shocks[i]; s.HasMass {
			r.mass += s.Mass
			sum = sum.Along(b.place(&s.Top, turn, at).Add(b.place(&s.Bottom, turn, at)), s.Mass/2)
		}
	}
	for _, i := range b.shafts {
		if k := &b.m.Shafts[i]; k.HasMass {
			r.mass += k.Mass
			sum = sum.Along(k.From.Add(turn.Mul(k.To)).Add(at), k.Mass/2)
		}
	}
	r.mx, r.mz = sum.X, sum.Z
}

// steered calls f with half of the drag link's weight for each of its ends that is on a carrier.
func steered(m *solid.Model, on solid.Carrier, f func(mass float64, at solid.Vec)) {
	k, ok := m.Steer.Span()
	for e, c := range k.On {
		if ok && k.Has && c == on {
			f(k.Mass/2, k.At[e])
		}
	}
}

// place is where a shock's eye is.
func (b *bench) place(a *solid.Anchor, turn *solid.Mat, at solid.Vec) solid.Vec {
	switch {
	case a.Link >= 0:
		l := &b.m.Links[a.Link]
		return l.Point(turn.Mul(l.To).Add(at), a.Along, a.Rise)
	case a.Carrier == solid.OnChassis:
		return a.At
	}
	return turn.Mul(a.At).Add(at)
}

func (b *bench) shockLength(s *solid.Shock, turn *solid.Mat, at solid.Vec) float64 {
	return b.place(&s.Top, turn, at).Sub(b.place(&s.Bottom, turn, at)).Norm()
}

const inStroke = 1e-9 // mm beyond its stroke that a shock still counts as within: rounding, as travel has it

// travel goes over the grid. The combination must be the one that stand was called for.
func (b *bench) travel(r *record) {
	r.travelled, r.travels = true, true
	a := &b.m.Axles[b.end]
	rolls, half := b.rolls, b.even && b.symmetric(r)
	if half {
		rolls = b.half
	}
	b.swing = b.swing[:0]
	for n, i := range b.links {
		l := &b.m.Links[i]
		for e, bolt := range [2]solid.Vec{l.FromBolt, l.ToBolt} {
			if !bolt.IsZero() && l.Length > 0 {
				b.swing = append(b.swing, swinging{link: i, end: e, slot: 2*n + e, bolt: bolt, inv: 1 / l.Length, most: -1})
			}
		}
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	shaft := math.Inf(1)
	b.plain = b.plain[:0]
	for _, j := range b.shocks {
		s := &b.m.Shocks[j]
		b.plain = append(b.plain, s.Top.Link < 0 && s.Bottom.Link < 0 && s.Top.Carrier == solid.OnChassis && s.Bottom.Carrier != solid.OnChassis)
	}
	b.joints = b.joints[:0]
	for range b.shafts {
		b.joints = append(b.joints, widest{measure: -1})
	}
	nr := len(rolls)
	mh, mr := travel.NearestZero(b.heaves), travel.NearestZero(rolls)
	n := int(b.end) * ofAxle
	wantJoint := b.need[n+shaftJoint] || b.need[n+shaftJointRoom]
	wantShaft := b.need[n+shaftRoom]
	wantSwing := b.need[n+rodEndRoom]
	b.mv.Over(b.heaves, rolls, &b.walk, func(i, k int, s *travel.Solver) bool {
		if s == nil {
			b.in[i*nr+k] = false
			if j, ok := inward(i, k, mh, mr, nr); ok && b.in[j] {
				r.travels = false
			}
			return true
		}
		turn, at := s.Turn(), s.Origin()
		z := turn[6]*a.PinionAxis.X + turn[7]*a.PinionAxis.Y + turn[8]*a.PinionAxis.Z
		if z < lo {
			lo = z
		}
		if z > hi {
			hi = z
		}
		in := true
		for n, j := range b.shocks {
			sh := &b.m.Shocks[j]
			length := 0.0
			if b.plain[n] {
				length = turn.Mul(sh.Bottom.At).Add(at).Sub(sh.Top.At).Norm()
			} else {
				length = b.shockLength(sh, &turn, at)
			}
			if sh.Closed > 0 && length-sh.Closed < -inStroke || sh.Open > 0 && sh.Open-length < -inStroke {
				in = false
				break
			}
		}
		b.in[i*nr+k] = in
		if !in {
			return true
		}
		if wantJoint || wantShaft {
			for j, index := range b.shafts {
				q := &b.m.Shafts[index]
				shaft = min(shaft, b.joints[j].shaft(q, &turn, at, wantJoint))
				if half && k != mr {
					mirror := solid.Mat{turn[0], -turn[1], turn[2], -turn[3], turn[4], -turn[5], turn[6], -turn[7], turn[8]}
					shaft = min(shaft, b.joints[j].shaft(q, &mirror, at.Flip(), wantJoint))
				}
			}
		}
		if wantSwing {
			last := -1
			var d solid.Vec
			for j := range b.swing {
				w := &b.swing[j]
				if w.link != last {
					l := &b.m.Links[w.link]
					d, last = turn.Mul(l.To).Add(at).Sub(l.From).Scale(w.inv), w.link
				}
				bolt := w.bolt
				if w.end == 1 {
					bolt = turn.Mul(bolt)
				}
				if v := math.Abs(d.Dot(bolt)); v > w.most {
					w.most = v
				}
			}
		}
		return true
	})
	clamp := func(v float64) float64 { return max(-1, min(1, v)) }
	if hi >= lo {
		r.v[pinionSwing] = math.Asin(clamp(hi)) - math.Asin(clamp(lo))
	}
	if !math.IsInf(shaft, 0) {
		r.v[shaftRoom] = shaft
	}
	for j, index := range b.shafts {
		if w := &b.joints[j]; w.measure >= 0 {
			v := math.Atan2(w.cross, w.dot)
			r.v[shaftJoint] = most(r.v[shaftJoint], v)
			if l := b.m.Shafts[index].Limit; l > 0 {
				r.v[shaftJointRoom] = least(r.v[shaftJointRoom], l-v)
			}
		}
	}
	if n := 2 * len(b.links); len(b.room) < n {
		b.room = make([]float64, 256*n)
	}
	r.swings, b.room = b.room[:2*len(b.links):2*len(b.links)], b.room[2*len(b.links):]
	for j := range r.swings {
		r.swings[j] = -1
	}
	for j := range b.swing {
		r.swings[b.swing[j].slot] = b.swing[j].most
	}
}

// A widest is the largest angle of a shaft's joints so far, kept as what needs no arc tangent.
type widest struct{ measure, cross, dot float64 }

func (w *widest) see(a, c solid.Vec) {
	dot := a.Dot(c)
	x := a.Cross(c)
	square := x.Dot(x)
	m := square
	if dot < 0 {
		m = 2 - square
	}
	if m > w.measure {
		w.measure, w.cross, w.dot = m, math.Sqrt(square), dot
	}
}

// shaft sees a drive shaft at one pose and returns what it has left, mm; as travel.ShaftAt.
func (w *widest) shaft(k *solid.Shaft, turn *solid.Mat, at solid.Vec, joints bool) float64 {
	d := turn.Mul(k.To).Add(at).Sub(k.From)
	length := d.Norm()
	if joints && length > 0 {
		e := d.Scale(1 / length)
		w.see(k.FromAxis, e)
		w.see(e, turn.Mul(k.ToAxis).Scale(-1))
	}
	room := math.Inf(1)
	if k.Closed > 0 {
		room = length - k.Closed
	}
	if k.Open > 0 {
		room = min(room, k.Open-k.Overlap-length)
	}
	return room
}

// symmetric says that the axle stands straight and each of its links and shocks has its mirror image, so that a pose with the right wheel
// up is the mirror image of one with the left wheel up.
func (b *bench) symmetric(r *record) bool {
	if r.pose.Y != 0 && math.Abs(r.pose.Y) > 1e-9 || math.Abs(r.pose.Steer) > 1e-11 {
		return false
	}
	if len(b.links)%2 != 0 || len(b.shocks)%2 != 0 {
		return false
	}
	for i := 0; i < len(b.links); i += 2 {
		l, q := &b.m.Links[b.links[i]], &b.m.Links[b.links[i+1]]
		if l.From != q.From.Flip() || l.To != q.To.Flip() || l.Length != q.Length || l.Swing != q.Swing || !alike(l.FromBolt, q.FromBolt) || !alike(l.ToBolt, q.ToBolt) {
			return false
		}
	}
	for i := 0; i < len(b.shocks); i += 2 {
		s, q := &b.m.Shocks[b.shocks[i]], &b.m.Shocks[b.shocks[i+1]]
		if s.Open != q.Open || s.Closed != q.Closed || !mirrored(b.m, &s.Top, &q.Top) || !mirrored(b.m, &s.Bottom, &q.Bottom) {
			return false
		}
	}
	return true
}

// alike says that two bolts are mirror images; which way along itself a bolt points does not matter.
func alike(a, c solid.Vec) bool { return a == c.Flip() || a == c.Flip().Scale(-1) }

func mirrored(m *solid.Model, a, c *solid.Anchor) bool {
	if a.Link >= 0 || c.Link >= 0 {
		return a.Link >= 0 && c.Link >= 0 && a.Along == c.Along && a.Rise == c.Rise && m.Links[a.Link].Name == m.Links[c.Link].Name
	}
	return a.Carrier == c.Carrier && a.At == c.At.Flip()
}

// inward is the pose of the grid that pose (i, k) is reached from.
func inward(i, k, mh, mr, nr int) (int, bool) {
	switch {
	case k < mr:
		return i*nr + k + 1, true
	case k > mr:
		return i*nr + k - 1, true
	case i < mh:
		return (i+1)*nr + k, true
	case i > mh:
		return (i-1)*nr + k, true
	}
	return 0, false
}

// least and most pass over what is not known yet.
func least(a, b float64) float64 {
	if math.IsNaN(a) || b < a {
		return b
	}
	return a
}

func most(a, b float64) float64 {
	if math.IsNaN(a) || b > a {
		return b
	}
	return a
}
