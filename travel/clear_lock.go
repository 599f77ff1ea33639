package travel

import (
	"lowslung/solid"
)

// AtLock is how near the turned front wheels come to anything, over all that the front axle reaches: to the chassis, links, shocks and
// shafts, and to their own axle. Left and right move what is on each knuckle within the axle frame. The stand is the caller's own: its
// mover is moved, and put back. None when the links do not hold the axle.
func AtLock(m *solid.Model, st *Stand, left, right solid.Frame) []Clearance {
	out := []Clearance{}
	mv := st.Movers[solid.Front]
	if mv == nil || !mv.Solved {
		return out
	}
	t := newTracer(m, mv)
	if t.half == 0 {
		t.half = usualHalf
	}
	c := st.Clearances(m)
	k := newClearer(t, c, st)
	k.ws.Steer(left, right)
	k.pairs = k.pairs[:0]
	for i := range c.pairs {
		if p := &c.pairs[i]; c.things[p.a].steered != solid.Single || c.things[p.b].steered != solid.Single {
			k.pairs = append(k.pairs, i)
		}
	}
	if len(k.pairs) == 0 {
		return out
	}
	if st.reach == nil {
		st.reach = k.asked(t.boundary(), Options{Heave: usualHeave, Roll: usualRoll})
	} else {
		k.asked(st.reach, Options{Heave: usualHeave, Roll: usualRoll})
	}
	for _, one := range clearancesOf(c, k.over(st.reach)) {
		if !one.DrawnIn {
			out = append(out, one.Clearance)
		}
	}
	return out
}
