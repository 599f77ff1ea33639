package solid

import (
	"fmt"

	"lowslung/quantity"
	"lowslung/rig"
)

// guess estimates the weight of a part that has none: density · volume · infill, from its shapes, mm³. It is only counted when the builder wrote
// infill, and then it is said to be an estimate.
func (r *resolver) guess(b *Body, p *rig.Part, volume float64, tensor *Sym) {
	m, known := MaterialOf(p.Material)
	if p.Infill == nil {
		if known && volume > 0 {
			b.Guess = m.Density * volume * 1e-9
		}
		return
	}
	if b.Side == Right && p.Pair { // its twin has said it
		known = known && volume > 0
	} else {
		lack := ""
		switch {
		case p.Material == "":
			lack = "material"
		case !known:
			lack = fmt.Sprintf("a material of the list in place of %q", p.Material)
		case !(volume > 0):
			lack = "a shape with a volume"
		}
		if lack != "" {
			r.note("rig/no-estimate", "The weight of %s is not estimated from its infill: it lacks %s.", b.Name, lack).About = []string{b.Path}
		}
	}
	if !known || !(volume > 0) {
		return
	}
	share := float64(*p.Infill)
	b.Mass, b.HasMass, b.Guessed = m.Density*volume*share*1e-9, true, true
	for k := range tensor {
		b.Inertia[k] = tensor[k] * b.Mass / volume
	}
	if b.Side == Right && p.Pair {
		return
	}
	each := ""
	if p.Pair {
		each = " each"
	}
	f := r.note("rig/estimated-weight", "%s weighs about %s%s, an estimate: %.1f cm³ of %s at %.0f kg/m³, %.0f %% of it filled.",
		b.Name, quantity.DimMass.FormatDigits(b.Mass, quantity.Metric, 1), each, volume/1000, p.Material, m.Density, 100*share)
	f.About, f.Cure = []string{b.Path}, "put it on the kitchen scale and write mass"
}
