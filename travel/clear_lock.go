package travel

import (
	"lowslung/solid"
)

// turns says that a thing moves with the steering.
func (t *thing) turns() bool { return t.steered != solid.Single || isRod(t) }

// AtLock is how near the turned front wheels, the tie rod and the drag link come to anything, over all that the front axle reaches: to the chassis, links, shocks and
// shafts, and to their own axle. The stand is the caller's own: its mover is moved, and put back. Nothing is measured when the links do not hold the axle, or nothing that turns has a shape.
func AtLock(m *solid.Model, st *Stand, turned Turned) (out []Clearance, measured bool) {
	out = []Clearance{}
	mv := st.Movers[solid.Front]
	if mv == nil || !mv.Solved {
		return out, false
	}
	t := newTracer(m, mv)
	if t.half == 0 {
		t.half = usualHalf
	}
	c := st.Clearances(m)
	k := newClearer(t, c, st)
	k.ws.Steer(turned)
	k.pairs = k.pairs[:0]
	for i := range c.pairs {
		if p := &c.pairs[i]; c.things[p.a].turns() || c.things[p.b].turns() {
			k.pairs = append(k.pairs, i)
		}
	}
	if len(k.pairs) == 0 {
		return out, false
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
	return out, true
}
