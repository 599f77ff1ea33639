package drive

import (
	"math"

	"lowslung/solid"
)

// Two radii of a tyre that is pressed in, and both are needed: torque works at the loaded radius, the wheel's middle above the ground; the wheel rolls on as if its radius were the
// effective rolling radius, since the tread keeps its length:
//
//	r_e = r·sin φ/φ,   φ = acos(r_s/r)
//
// with r the free and r_s the loaded radius: over the patch, which spans 2φ of the tyre, the wheel goes r·sin φ forward for each φ that it turns (Rajamani, Vehicle Dynamics and
// Control, ch. 4; to the first order r_e = r − δ/3 with δ = r − r_s: both from memory). A soft tyre that bulges goes nearer to its loaded radius: an estimate.

// rollingRadius is r_e, mm, for a free and a loaded radius.
func rollingRadius(free, loaded float64) float64 {
	if loaded <= 0 || loaded >= free {
		return min(free, max(loaded, 0))
	}
	phi := math.Acos(loaded / free)
	return free * math.Sin(phi) / phi
}

// radii are an axle's loaded and rolling radius, mm: as it stands on its springs and tyres where that is known, otherwise both as the document has the tyre; 0 without tyres.
func radii(m *solid.Model, e int) (loaded, rolling float64) {
	a := &m.Axles[e]
	if m.Rest == nil || len(a.Wheels) == 0 || a.Wheels[0].Radius == 0 {
		return a.TyreRadius, a.TyreRadius
	}
	w := &a.Wheels[0]
	loaded = m.Rest.Radius[e] + w.At.Z
	return loaded, rollingRadius(w.Radius, loaded)
}
