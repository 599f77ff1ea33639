package steer

import (
	"math"

	"lowslung/solid"
	"lowslung/travel"
)

// ground is a kingpin against its wheel and the ground, wheels straight ahead. Names and signs as in ISO 8855: kingpin
// inclination, caster, steering-axis offset at the ground (the trade's scrub radius) and caster trail.
type ground struct {
	inclination, caster float64 // rad
	touches             bool    // there is a tyre, and the rest is known
	scrub, trail, track float64 // mm
}

// kingpinGeometry looks along the left wheel's own heading, so that an axle which stands a little steered changes nothing. radius is how far the axle is above
// the ground, mm, 0 without a tyre.
func kingpinGeometry(a *solid.Axle, radius float64, s *solid.Steer, pin [2]solid.Vec, v *view, p travel.Pose) ground {
	r := p.Turn()
	ahead := r.Mul(solid.Vec{Y: 1}).Cross(v.up).Unit()
	out := v.up.Cross(ahead) // outward for the left wheel
	k := r.Mul(pin[left])
	up := k.Dot(v.up)
	g := ground{inclination: math.Atan2(-k.Dot(out), up), caster: math.Atan2(-k.Dot(ahead), up)}
	if radius == 0 || a.HalfTrack == 0 || up < 1e-6 {
		return g
	}
	// Where each axis meets the plane through the middle of its wheel's tread: q + k·t with (q + k·t − c)·up = 0.
	var meets, contact [2]solid.Vec
	for i := range meets {
		n := r.Mul(solid.Vec{Y: 1})
		down := n.Scale(v.up.Dot(n)).Sub(v.up).Unit()
		contact[i] = p.Place(solid.Vec{Y: a.HalfTrack * float64(1-2*i)}).Along(down, radius)
		q, k := p.Place(s.Lower[i]), r.Mul(pin[i])
		den := k.Dot(v.up)
		if den < 1e-6 {
			return g
		}
		meets[i] = q.Along(k, contact[i].Sub(q).Dot(v.up)/den)
	}
	d := contact[left].Sub(meets[left])
	g.touches = true
	g.scrub, g.trail = d.Dot(out), -d.Dot(ahead)
	g.track = meets[left].Sub(meets[right]).Norm()
	return g
}

func (g *ground) answer() *Kingpin {
	k := &Kingpin{InclinationDeg: g.inclination / deg, CasterDeg: g.caster / deg}
	if g.touches {
		scrub, trail, track := g.scrub, g.trail, g.track
		k.ScrubRadiusMM, k.TrailMM, k.TrackMM = &scrub, &trail, &track
	}
	return k
}
