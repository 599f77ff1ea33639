package search

import (
	"math"

	"lowslung/solid"
	"lowslung/travel"
)

// What the numbers of an axle lie between over a box of combinations: those of its middle, more or less what travel.Throng allows. A point of
// the axle moves by no more than the origin does and the turn times its distance; a length between two points by no more than they do; a
// direction over a length l turns by no more than asin(|Δ|/l), less than |Δ|/(l − |Δ|).

// standing bounds the numbers of the design pose.
func (w *swarm) standing(k *known, th *travel.Throng) {
	for i := range k.lo {
		k.lo[i], k.hi[i] = math.NaN(), math.NaN()
	}
	shift, turn, ahead := th.Design.By(w.off)
	k.ahead = ahead + 1e-9
	b, v := w.on, &k.h.v
	k.put(pinionAngle, v[pinionAngle], turn)
	reach := 0.0
	for _, i := range b.shocks {
		reach = max(reach, onAxle(&b.m.Shocks[i]))
	}
	k.put(bumpStroke, v[bumpStroke], shift+turn*reach)
	k.put(droopStroke, v[droopStroke], shift+turn*reach)
}

func (k *known) put(n int, v, by float64) { k.lo[n], k.hi[n] = v-by-1e-9, v+by+1e-9 }

// onAxle is how far a shock's eye on the axle is from the axle's origin, mm.
func onAxle(s *solid.Shock) float64 {
	if s.Bottom.Carrier == solid.OnChassis {
		return s.Top.At.Norm()
	}
	return s.Bottom.At.Norm()
}

// A reach is the largest or least of something over poses that are certain, and over those that may be.
type reach struct{ sure, maybe float64 }

// travelling bounds the numbers of the travel of a box whose middle is on the bench.
func (w *swarm) travelling(k *known, th *travel.Throng, even bool) outcome {
	b := w.on
	a := &b.m.Axles[b.end]
	rolls := b.rolls
	if even {
		rolls = b.half
	}
	nr := len(rolls)
	mh, mr := travel.NearestZero(b.heaves), travel.NearestZero(rolls)
	need := int(b.end) * ofAxle
	wantJoint := b.need[need+shaftJoint] || b.need[need+shaftJointRoom]
	wantShaft, wantSwing, wantPinion := b.need[need+shaftRoom], b.need[need+rodEndRoom], b.need[need+pinionSwing]
	lo, hi, swung, top, bottom := math.Inf(1), math.Inf(-1), 0.0, 0, 0
	room := reach{math.Inf(1), math.Inf(1)} // sure: over certain poses, at most; maybe: over possible ones, at least
	joints := make([]reach, len(b.shafts))
	for i := range joints {
		joints[i] = reach{-1, -1}
	}
	var swing [8]reach
	for i := range swing {
		swing[i] = reach{-1, -1}
	}
	end, all, some := settled, true, false
	b.mv.Over(b.heaves, rolls, &b.walk, func(i, j int, s *travel.Solver) bool {
		at := i*nr + j
		sway := &th.Poses[at]
		inner, outer := inward(i, j, mh, mr, nr)
		if s == nil || !sway.OK {
			all = false
			if b.in[at] = false; outer && b.in[inner] || !outer { // whether the links end the travel is not known
				end = unbounded
				return false
			}
			return true
		}
		shift, turn, _ := sway.By(w.off)
		m, p := s.Turn(), s.Origin()
		z := m[6]*a.PinionAxis.X + m[7]*a.PinionAxis.Y + m[8]*a.PinionAxis.Z
		if z < lo {
			lo, bottom = z, at
		}
		if z > hi {
			hi, top = z, at
		}
		swung = max(swung, turn)
		sure, maybe := true, true
		for _, n := range b.shocks {
			sh := &b.m.Shocks[n]
			length := b.shockLength(sh, &m, p)
			by := shift + turn*onAxle(sh) + 1e-7
			left := math.Inf(1)
			if sh.Closed > 0 {
				left = length - sh.Closed
			}
			if sh.Open > 0 {
				left = min(left, sh.Open-length)
			}
			sure, maybe = sure && left >= -inStroke+by, maybe && left >= -inStroke-by
		}
		if b.in[at] = maybe; !maybe {
			return true
		}
		some = some || sure
		if wantJoint || wantShaft {
			for n, index := range b.shafts {
				q := &b.m.Shafts[index]
				by := shift + turn*q.To.Norm() + 1e-9
				see := func(m *solid.Mat, p solid.Vec) {
					d := m.Mul(q.To).Add(p).Sub(q.From)
					length := d.Norm()
					left := math.Inf(1)
					if q.Closed > 0 {
						left = length - q.Closed
					}
					if q.Open > 0 {
						left = min(left, q.Open-q.Overlap-length)
					}
					room.maybe = min(room.maybe, left-by)
					if sure {
						room.sure = min(room.sure, left+by)
					}
					if !wantJoint || length <= 2*by {
						return
					}
					e := d.Scale(1 / length)
					off := by / (length - by)
					one, two := angle(q.FromAxis, e), angle(e, m.Mul(q.ToAxis).Scale(-1))
					joints[n].maybe = max(joints[n].maybe, one+off, two+off+turn)
					if sure {
						joints[n].sure = max(joints[n].sure, one-off, two-off-turn)
					}
				}
				see(&m, p)
				if even && j != mr {
					mirror := solid.Mat{m[0], -m[1], m[2], -m[3], m[4], -m[5], m[6], -m[7], m[8]}
					see(&mirror, p.Flip())
				}
			}
		}
		if wantSwing {
			for n, index := range b.links {
				l := &b.m.Links[index]
				if l.Length <= 0 {
					continue
				}
				d := m.Mul(l.To).Add(p).Sub(l.From)
				by := shift + turn*l.To.Norm()
				off := by / (l.Length - by)
				for e, bolt := range [2]solid.Vec{l.FromBolt, l.ToBolt} {
					if bolt.IsZero() {
						continue
					}
					extra := off
					if e == 1 {
						bolt, extra = m.Mul(bolt), off+turn
					}
					v := math.Asin(min(1, math.Abs(d.Dot(bolt))/l.Length))
					r := &swing[2*n+e]
					r.maybe = max(r.maybe, v+extra)
					if sure {
						r.sure = max(r.sure, v-extra)
					}
				}
			}
		}
		return true
	})
	b.mv.Jump(b.mv.Design)
	if end != settled {
		return end
	}
	if !some {
		return undecided // some of the box may have no travel at all
	}
	clamp := func(v float64) float64 { return max(-1, min(1, v)) }
	if wantPinion {
		k.top, k.bottom, k.swing = top, bottom, math.Asin(clamp(hi))-math.Asin(clamp(lo))
		if all {
			k.put(pinionSwing, k.swing, min(2*swung, th.Nod(w.off)))
		} else { // at least that between these two
			k.lo[pinionSwing], k.hi[pinionSwing] = k.swing-th.Poses[top].Apart(&th.Poses[bottom], w.off)-1e-9, math.Inf(1)
		}
	}
	if wantShaft && len(b.shafts) > 0 && !math.IsInf(room.maybe, 1) {
		k.lo[shaftRoom], k.hi[shaftRoom] = room.maybe, room.sure
	}
	for n, index := range b.shafts {
		r := &joints[n]
		if r.maybe < 0 {
			continue
		}
		k.lo[shaftJoint], k.hi[shaftJoint] = most(k.lo[shaftJoint], r.sure), most(k.hi[shaftJoint], r.maybe)
		if l := b.m.Shafts[index].Limit; l > 0 {
			k.lo[shaftJointRoom], k.hi[shaftJointRoom] = least(k.lo[shaftJointRoom], l-r.maybe), least(k.hi[shaftJointRoom], l-r.sure)
		}
	}
	if wantSwing && !w.ends(k, &swing) {
		return undecided
	}
	return settled
}

// ends bounds what the rod ends of a box have left; false when some have a limit and others of the same end have none.
func (w *swarm) ends(k *known, swing *[8]reach) bool {
	b := w.on
	for n, index := range b.links {
		for e := range 2 {
			limits := [2]float64{b.m.Links[index].Swing[e], b.m.Links[index].Swing[e]}
			if p := w.b.limit[n]; p >= 0 {
				limits = [2]float64{math.Inf(1), math.Inf(-1)}
				for c := k.box.from[p]; c < k.box.to[p]; c++ {
					one := &w.b.spread[p][c].swing[e]
					limits = [2]float64{min(limits[0], one[0]), max(limits[1], one[1])}
				}
			}
			r := &swing[2*n+e]
			switch {
			case r.maybe < 0 || limits[1] <= 0:
				continue
			case limits[0] <= 0:
				return false
			}
			k.lo[rodEndRoom] = least(k.lo[rodEndRoom], limits[0]-r.maybe)
			k.hi[rodEndRoom] = least(k.hi[rodEndRoom], limits[1]-r.sure)
		}
	}
	return true
}

// angle between two unit vectors, rad.
func angle(a, b solid.Vec) float64 { return math.Atan2(a.Cross(b).Norm(), a.Dot(b)) }
