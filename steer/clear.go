package steer

import (
	"strings"

	"lowslung/finding"
	"lowslung/quantity"
	"lowslung/solid"
	"lowslung/travel"
)

// What the turned wheels, the tie rod and the drag link come near to at lock, over all that the front axle reaches: the wheels keep the angle that they have at lock at
// ride height, as a stop on the knuckle makes them.

// closeAtLock is the gap below which it is watched, mm.
const closeAtLock = 1.0

func (b *bench) clearances(st *travel.Stand, e *end) ([]travel.Clearance, bool) {
	t := travel.Turned{Knuckle: [2]solid.Frame{b.l.Knuckle(solid.Left, e.state), b.l.Knuckle(solid.Right, e.state)}, Tie: b.l.TieRod(e.state)}
	if b.l.horned {
		t.Drag, t.On, t.Near, t.Far = true, b.l.carrier, b.l.horn.at(e.servo), b.l.far(e.state)
	} else {
		t.On, t.Near, t.Far = b.m.Steer.Carrier, b.m.Steer.HornEye, b.m.Steer.DragTo
	}
	return travel.AtLock(b.m, st, t)
}

// judgeClearances says what touches and what comes close, each pair once: where it does so first, to the left before to the right.
func judgeClearances(l *Locks, u quantity.System) []finding.Finding {
	var out []finding.Finding
	type key [2]string
	said := map[key]int{}
	nearest := -1.0
	var near *travel.Clearance
	for _, lock := range []struct {
		name string
		list []travel.Clearance
	}{{"left", l.Left.Clearances}, {"right", l.Right.Clearances}} {
		for i := range lock.list {
			k := &lock.list[i]
			if near == nil || k.GapMM < nearest {
				nearest, near = k.GapMM, k
			}
			if k.GapMM >= closeAtLock && !k.Touching {
				continue
			}
			id := key{k.APath, k.BPath}
			if at, twice := said[id]; twice {
				if f := atLock(k, lock.name, u); f.Level.Rank() < out[at].Level.Rank() || f.Code != out[at].Code && k.Touching {
					out[at] = f
				}
				continue
			}
			said[id] = len(out)
			out = append(out, atLock(k, lock.name, u))
		}
	}
	switch {
	case near == nil:
		out = append(out, finding.New(finding.OK, "steer/clear", "At lock the front wheels and the rods that turn them come no nearer to anything than %s, over all that the axle reaches.", mm(5, u)))
	case nearest >= closeAtLock:
		out = append(out, finding.New(finding.OK, "steer/clear", "At lock the front wheels and the rods that turn them come no nearer to anything than %s, over all that the axle reaches: %s to %s.",
			mm(nearest, u), near.A, near.B).For(near.APath, near.BPath))
	}
	return out
}

// atLock is a stop when the wheels cannot be turned to lock as the rig stands, and to watch when that takes a bump.
func atLock(k *travel.Clearance, lock string, u quantity.System) finding.Finding {
	if !k.Touching {
		return finding.New(finding.Watch, "steer/close", "At %s lock %s comes within %s of %s, %s.", lock, k.A, mm(k.GapMM, u), k.B, k.Where(u)).
			For(k.APath, k.BPath).CuredBy("trim or move what it comes near to, or stop the steering %s earlier", lock)
	}
	level := finding.Watch
	if k.LeftMM == 0 && k.RightMM == 0 {
		level = finding.Stop
	}
	return finding.New(level, "steer/contact", "At %s lock %s touches %s: first %s, at %s forward, %s left and %s up in the chassis frame.",
		lock, k.A, k.B, k.Where(u), mm(k.AtA[0], u), mm(k.AtA[1], u), mm(k.AtA[2], u)).
		For(k.APath, k.BPath).CuredBy("%s", cureOf(k))
}

// cureOf is what helps when the two touch at lock.
func cureOf(k *travel.Clearance) string {
	for _, name := range [2]string{k.A, k.B} {
		if strings.Contains(name, "drag link") || strings.Contains(name, "tie rod") {
			return "bend the rod or move its eyes, move what it rubs on, or stop the steering earlier"
		}
	}
	return "trim or move what the wheel rubs on, fit wider hexes or smaller tyres, or stop the steering earlier"
}
