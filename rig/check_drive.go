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

// finalSizes holds the sizes of an axle's gears and shafts against each other.
func (w *world) finalSizes(axle string, f *Final) {
	path := "drive/" + axle
	at := func(key ...string) Place { return w.at(append([]string{"drive", axle}, key...)...) }
	for _, g := range []struct {
		key string
		is  *Toothed
	}{{"gears", f.Gears}, {"portal_gears", f.Spurs}} {
		if g.is != nil && g.is.Module != nil && g.is.DP != nil && math.Abs(float64(*g.is.Module)**g.is.DP-25.4) > 0.01*25.4 {
			w.add("contradiction", at(g.key, "module"), path+"/"+g.key, "found the module %s mm and the diametral pitch %s, which is the module %s mm; expected one of them",
				short(float64(*g.is.Module)), short(*g.is.DP), short(25.4 / *g.is.DP))
		}
	}
	if f.Spurs != nil && len(f.Portal) == 0 {
		w.add("contradiction", at("portal_gears"), path+"/portal_gears", `found "portal_gears" without "portal", expected their teeth too, upper and lower`)
	}
	if g := f.Gears; g != nil && g.Face != nil && g.Pitch() > 0 && f.Ring > 0 && f.Pinion > 0 {
		if cone := g.Pitch() / 2 * math.Hypot(float64(f.Ring), float64(f.Pinion)); float64(*g.Face) >= cone {
			w.add("contradiction", at("gears", "face"), path+"/gears/face", `found a face of %s mm on teeth that run to a point in %s mm, expected a narrower one (a third of that is usual)`, short(float64(*g.Face)), short(cone))
		}
	}
	for _, a := range []struct {
		key string
		is  *Axled
	}{{"half_shaft", f.Half}, {"stub", f.Stub}} {
		if a.is != nil && a.is.Pin != nil && a.is.Diameter != nil && *a.is.Pin >= *a.is.Diameter {
			w.add("contradiction", at(a.key, "pin"), path+"/"+a.key+"/pin", `found a pin of %s mm through a shaft of %s mm, expected a thinner pin`, short(float64(*a.is.Pin)), short(float64(*a.is.Diameter)))
		}
	}
}

// Pitch is the module, as written or by the diametral pitch, mm; 0 when neither is.
func (t *Toothed) Pitch() float64 {
	switch {
	case t == nil:
	case t.Module != nil:
		return float64(*t.Module)
	case t.DP != nil:
		return 25.4 / *t.DP
	}
	return 0
}
