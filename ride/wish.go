package ride

import (
	"math"
	"slices"

	"lowslung/solid"
)

// What collar or spring would put the rig where it is wanted.

// A setting is what one axle would need.
type setting struct {
	collar float64 // mm, on all of its shocks, as the mean of what they have now and the change
	change float64 // mm
	rate   float64 // N/mm of the outer springs together, with the collar left as it is; 0 when no rate does it
	item   string  // nearest spring of the bins, "" when there is none
	itemK  float64 // its rate, N/mm
	each   []SettingShock
}

// A goal is how far each axle is from where it is wanted, mm, positive when it stands too low.
type goal func() (low [2]float64, ok bool)

// toSet wants the shocks of each axle at their set lengths, on the mean; an axle without set wants nothing.
func (w *work) toSet() ([2]float64, bool) {
	var low [2]float64
	any := false
	for i := range w.mo {
		n := 0
		for k := range w.mc.axles[i].struts {
			if s := w.mc.axles[i].struts[k].model; s.Set > 0 {
				low[i] += s.Set - w.mo[i].length[k].at
				n++
			}
		}
		if n > 0 {
			low[i] /= float64(n)
			any = true
		}
	}
	return low, any
}

// toHeight wants the belly plane this high above the ground at both axles.
func (w *work) toHeight(h float64) goal {
	return func() ([2]float64, bool) {
		var low [2]float64
		for i := range w.mo {
			low[i] = h - w.plane(i)
		}
		return low, true
	}
}

// toSag wants the shocks to have used this share of their stroke.
func (w *work) toSag(share float64) goal {
	return func() ([2]float64, bool) {
		var low [2]float64
		for i := range w.mo {
			n := 0
			for k := range w.mc.axles[i].struts {
				if s := &w.mc.axles[i].struts[k]; !math.IsInf(s.stroke, 1) {
					low[i] += s.model.Open - w.mo[i].length[k].at - share*s.stroke
					n++
				}
			}
			if n == 0 {
				return low, false
			}
			low[i] /= float64(n)
		}
		return low, true
	}
}

// plane is the height of the belly plane above the ground where axle i is, mm.
func (w *work) plane(i int) float64 { return w.world(solid.Vec{X: w.mo[i].p.X}).Z }

// settings finds the collars that reach the goal, by Newton on both at once with differences of whole stances, and from the forces there the
// rates that would do it with the collars as they are. The bench comes back to its stance. ok is false when no collars do.
func (w *work) settings(g goal) (out [2]setting, ok bool) {
	home := w.save()
	defer func() {
		w.collar = [2]float64{}
		w.restore(&home)
	}()
	stand := func(c [2]float64) ([2]float64, bool) {
		w.collar = c
		if w.stand() != atRest {
			return [2]float64{}, false
		}
		return g()
	}
	var c [2]float64
	low, fine := stand(c)
	for range 12 {
		if !fine {
			return out, false
		}
		if max(math.Abs(low[0]), math.Abs(low[1])) < 1e-3 {
			ok = true
			break
		}
		const by = 0.5 // mm
		var j [2][2]float64
		for k := range 2 {
			d := c
			d[k] += by
			there, still := stand(d)
			if !still {
				return out, false
			}
			for i := range 2 {
				j[i][k] = (there[i] - low[i]) / by
			}
		}
		for i := range 2 {
			if low[i] == 0 && j[i][0] == 0 && j[i][1] == 0 { // this axle wants nothing
				j[i][i] = 1
			}
		}
		det := j[0][0]*j[1][1] - j[0][1]*j[1][0]
		if math.Abs(det) < 1e-9 {
			return out, false
		}
		c[0] -= clamp((low[0]*j[1][1]-low[1]*j[0][1])/det, 15)
		c[1] -= clamp((low[1]*j[0][0]-low[0]*j[1][0])/det, 15)
		low, fine = stand(c)
	}
	if !ok {
		return out, false
	}
	for i := range out {
		out[i] = w.setting(i, c[i])
	}
	return out, true
}

func clamp(v, most float64) float64 { return max(-most, min(most, v)) }

// setting reads what axle i needs off the stance that reaches the goal with its collars c further down.
func (w *work) setting(i int, c float64) (out setting) {
	a := &w.mc.axles[i]
	force, squeeze, n := 0.0, 0.0, 0.0
	for k := range a.struts {
		s := &a.struts[k]
		if len(s.outer) == 0 {
			continue
		}
		x := s.model.Open - w.mo[i].length[k].at + s.model.Collar
		_, f, _ := s.outer.at(x + c)
		force, squeeze, n = force+f, squeeze+x, n+1
		out.collar += s.model.Collar + c
		if name := s.model.Name; !slices.ContainsFunc(out.each, func(e SettingShock) bool { return e.Name == name }) {
			out.each = append(out.each, SettingShock{name, round(s.model.Collar+c, 1e4)})
		}
	}
	if n == 0 {
		return setting{}
	}
	out.collar, out.change = out.collar/n, c
	if squeeze > 0 && force > 0 {
		out.rate = force / squeeze
		out.item, out.itemK = w.nearest(out.rate)
	}
	return out
}

// nearest is the spring of the bins whose rate is nearest to k, by ratio.
func (w *work) nearest(k float64) (id string, rate float64) {
	best := math.Inf(1)
	for _, bin := range w.mc.model.Bins {
		for i := range bin.Items {
			e := &bin.Items[i]
			if e.Value.Kind != "spring" || e.Value.Spring == nil || e.Value.Spring.Rate == nil {
				continue
			}
			r := float64(*e.Value.Spring.Rate)
			if off := math.Abs(math.Log(r / k)); off < best {
				best, id, rate = off, e.Name, r
			}
		}
	}
	return id, rate
}
