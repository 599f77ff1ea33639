package rig

import (
	"math"

	"lowslung/quantity"
)

// Gauge is the resistance of a wire of an American wire gauge, mΩ per metre at 20 °C: ASTM B258 (print).
func Gauge(awg int) (float64, bool) {
	v, ok := map[int]float64{10: 3.277, 12: 5.211, 14: 8.286, 16: 13.17, 18: 20.95, 20: 33.31}[awg]
	return v, ok
}

// driveLimits checks what of the drive line one key cannot say alone.
func (w *world) driveLimits(d *Drive) {
	if s := d.Slot; s != nil && s.From > s.To {
		w.add("empty-range", s.Place, "drive/slot", "found a slot from %s to %s, expected from to be the smaller one", quantity.DimLength.Format(float64(s.From), quantity.Metric), quantity.DimLength.Format(float64(s.To), quantity.Metric))
	}
	if d.Wire != nil && d.Wire.Gauge > 0 {
		if _, ok := Gauge(d.Wire.Gauge); !ok {
			w.add("out-of-range", w.at("drive", "wire", "gauge"), "drive/wire/gauge", `found %s for "gauge", expected 10, 12, 14, 16, 18 or 20`, found(w.tree.At("drive", "wire", "gauge")))
		}
	}
	for i := range d.Profile {
		name, ph := d.Profile[i].Name, &d.Profile[i].Value
		path := "drive/profile/" + name
		if ph.Throttle != nil && *ph.Throttle > 1 {
			w.add("out-of-range", w.at("drive", "profile", name, "throttle"), path+"/throttle", `found %s for "throttle", expected at most 1 (or 100 %%)`, found(w.tree.At("drive", "profile", name, "throttle")))
		}
		if ph.Slope != nil && math.Abs(float64(*ph.Slope)) >= math.Pi/2 {
			w.add("out-of-range", w.at("drive", "profile", name, "slope"), path+"/slope", `found %s for "slope", expected less than 90°`, found(w.tree.At("drive", "profile", name, "slope")))
		}
	}
}
