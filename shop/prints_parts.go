package shop

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"lowslung/form"
	"lowslung/mates"
	"lowslung/quantity"
	"lowslung/rig"
	"lowslung/solid"
)

// Shock spacers, drill guides and battery trays.

const (
	usualRod   = 3.0 // mm, a shock's piston rod when none is given
	spacerWall = 4.0 // mm
)

// shockHolders are clips on the piston rod that hold a shock at its length at ride height.
func (w *printing) shockHolders() error {
	done := map[string]bool{}
	for i := range w.m.Shocks {
		k := &w.m.Shocks[i]
		if done[k.Name] {
			continue
		}
		done[k.Name] = true
		length, how := k.Set, "its set length"
		if w.stance != nil {
			for _, s := range w.stance.Shocks {
				if s.Name == k.Name && s.Side == k.Side.String() {
					length, how = s.LengthMM, "its length as the rig stands on its springs"
				}
			}
		}
		tall := length - k.Closed
		switch {
		case length == 0 || k.Closed == 0:
			w.cannot(k.Path, "No spacer for the shock %s: its closed length, or where it stands, is not known. Write closed, and set or springs.", k.Name)
			continue
		case tall < 1 || k.Open > 0 && length > k.Open+1e-6:
			w.cannot(k.Path, "No spacer for the shock %s: it stands at %s, closed is %s.", k.Name, w.mm(length), w.mm(k.Closed))
			continue
		}
		rod, assumes := k.Damper.Rod, []string{}
		if rod == 0 {
			rod, assumes = usualRod, append(assumes, fmt.Sprintf("a piston rod of %s, since the document gives none", w.mm(usualRod)))
		}
		in := (rod + w.tol) / 2
		out := in + spacerWall
		gap := 0.45 * rod // half the mouth: it clips over the rod
		p := Print{
			Name: fileName("shock spacer", k.Name), Kind: ShockHolder, Title: fmt.Sprintf("Shock spacer for %s, %s", k.Name, w.mm(tall)), For: []string{k.Path},
			Use:     fmt.Sprintf("Take the spring off, clip it on the piston rod between body and lower eye and push the shock home on it: it holds the shock at %s, %s, while you measure or set links.", w.mm(length), how),
			Measure: []Measured{{"height", tall}, {"bore, diameter before it shrinks", 2 * in}, {"mouth", 2 * gap}},
			Assumes: append(assumes, fmt.Sprintf("fully closed is %s eye to eye and the stop is where body and lower eye meet: measure yours", w.mm(k.Closed)), fmt.Sprintf("the bore is the rod and %s", w.mm(w.tol))),
		}
		if err := w.add(p, form.Layer{Rings: []form.Ring{clasp(in, out, gap)}, Height: tall}); err != nil {
			return err
		}
	}
	return nil
}

// clasp is a ring with a mouth: half of it wide, open towards +x, its cheeks parallel.
func clasp(in, out, half float64) form.Ring {
	var r form.Ring
	arc := func(radius float64, back bool) {
		from := math.Asin(half / radius)
		n := int(math.Ceil(2 * (math.Pi - from) / min(math.Pi/12, 2*math.Acos(1-form.Flat/radius))))
		for i := range n + 1 {
			k := i
			if back {
				k = n - i
			}
			s, c := math.Sincos(from + 2*(math.Pi-from)*float64(k)/float64(n))
			r = append(r, form.Point{radius * c, radius * s})
		}
	}
	arc(out, false)
	arc(in, true)
	return r
}

// drilled are kinds of parts that a builder drills.
var drilled = []string{"skid", "plate", "frame", "mount", "body", "other"}

// A pattern is a set of holes in one plane.
type pattern struct {
	name  string
	holes []drillHole
	cut   string // which way the cut corner points
}

type drillHole struct {
	at   form.Point
	wide float64 // drill, mm
}

// drillGuides are one for each plane of holes of a part that is drilled, and for each pattern of a motor or servo.
func (w *printing) drillGuides() error {
	each := func(list rig.Map[rig.Part], path string) error {
		for i := range list {
			e := &list[i]
			if !e.Value.Made && !slices.Contains(drilled, e.Value.Kind) && e.Value.Kind != "gearbox" {
				continue
			}
			for _, p := range patternsOf(&e.Value) {
				if err := w.drillGuide(e.Name, path+e.Name, p); err != nil {
					return err
				}
			}
		}
		return nil
	}
	d := w.m.Doc
	if err := each(d.Chassis.Parts, "chassis/parts/"); err != nil {
		return err
	}
	for _, a := range []struct {
		axle *rig.Axle
		path string
	}{{d.Front, "front/parts/"}, {d.Rear, "rear/parts/"}} {
		if a.axle != nil {
			if err := each(a.axle.Parts, a.path); err != nil {
				return err
			}
		}
	}
	return nil
}

// patternsOf are the planes in which a part has at least two holes, and its bolt patterns.
func patternsOf(p *rig.Part) (out []pattern) {
	for _, plane := range []struct {
		name string
		k    int // axis that the holes run along
		u, v int // forward or left, and up or left
		cut  string
	}{{"across", 1, 0, 2, "forward and up"}, {"upright", 2, 0, 1, "forward and left"}, {"lengthwise", 0, 1, 2, "left and up"}} {
		g := pattern{name: plane.name, cut: plane.cut}
		for i := range p.Holes {
			h := &p.Holes[i].Value
			if h.Axis == nil {
				continue
			}
			axis := solid.Vec{X: h.Axis[0], Y: h.Axis[1], Z: h.Axis[2]}.Unit()
			if math.Abs([3]float64{axis.X, axis.Y, axis.Z}[plane.k]) < 0.9999 {
				continue
			}
			drill := drillFor(h.Bolt)
			if drill == 0 {
				continue
			}
			for _, side := range []float64{1, -1} {
				if side < 0 && !h.Pair {
					break
				}
				at := [3]float64{float64(h.At[0]), side * float64(h.At[1]), float64(h.At[2])}
				g.add(drillHole{form.Point{at[plane.u], at[plane.v]}, drill})
			}
		}
		if len(g.holes) >= 2 {
			out = append(out, g)
		}
	}
	for i := range p.Ports {
		e := &p.Ports[i]
		if e.Value.Type != "pattern" {
			continue
		}
		drill := drillFor(e.Value.Thread)
		if drill == 0 {
			drill = drillFor("M3")
		}
		g := pattern{name: e.Name, cut: "the way you choose"}
		switch {
		case e.Value.Circle != nil && e.Value.Holes >= 2:
			for k := range e.Value.Holes {
				s, c := math.Sincos(2 * math.Pi * float64(k) / float64(e.Value.Holes))
				r := float64(*e.Value.Circle) / 2
				g.add(drillHole{form.Point{r * c, r * s}, drill})
			}
			g.add(drillHole{form.Point{0, 0}, 2}) // a mark for the middle
		case e.Value.Grid != nil:
			a, b := float64(e.Value.Grid[0])/2, float64(e.Value.Grid[1])/2
			for _, at := range []form.Point{{a, b}, {-a, b}, {-a, -b}, {a, -b}} {
				g.add(drillHole{at, drill})
			}
		}
		if len(g.holes) >= 2 {
			out = append(out, g)
		}
	}
	return out
}

// add leaves out a hole that is there: both cheeks of a part show the same holes from the side.
func (g *pattern) add(h drillHole) {
	for _, o := range g.holes {
		if math.Hypot(o.at[0]-h.at[0], o.at[1]-h.at[1]) < 0.01 {
			return
		}
	}
	g.holes = append(g.holes, h)
}

// drillFor is the drill for a bolt to go through, fine series of ISO 273, mm; 0 when the thread is not known.
func drillFor(bolt string) float64 {
	fine, _, _, _ := mates.ClearanceHoles(rig.TidyThread(bolt))
	return fine
}

func (w *printing) drillGuide(part, path string, g pattern) error {
	const rim, thick = 6.0, 6.0
	lo, hi := form.Point{math.Inf(1), math.Inf(1)}, form.Point{math.Inf(-1), math.Inf(-1)}
	for _, h := range g.holes {
		r := h.wide/2 + rim
		lo = form.Point{min(lo[0], h.at[0]-r), min(lo[1], h.at[1]-r)}
		hi = form.Point{max(hi[0], h.at[0]+r), max(hi[1], h.at[1]+r)}
	}
	title := fmt.Sprintf("Drill guide for %s, holes %s", part, g.name)
	if hi[0]-lo[0] > 400 || hi[1]-lo[1] > 400 {
		w.cannot(path, "No drill guide for %s, holes %s: they span %s by %s, more than a printer takes; use the paper template.", part, g.name, w.mm(hi[0]-lo[0]), w.mm(hi[1]-lo[1]))
		return nil
	}
	cut := 4.0
	rings := []form.Ring{{lo, {hi[0], lo[1]}, {hi[0], hi[1] - cut}, {hi[0] - cut, hi[1]}, {lo[0], hi[1]}}}
	for i, h := range g.holes {
		d := h.wide + w.tol
		for _, o := range g.holes[:i] {
			if gap := math.Hypot(o.at[0]-h.at[0], o.at[1]-h.at[1]) - d/2 - (o.wide+w.tol)/2; gap < 0.8 {
				w.cannot(path, "No drill guide for %s, holes %s: two of them leave %s between them, too little for a wall.", part, g.name, w.mm(max(gap, 0)))
				return nil
			}
		}
		rings = append(rings, form.Circle(h.at[0], h.at[1], d))
	}
	p := Print{
		Name: fileName("drill guide", part, g.name), Kind: DrillGuide, Title: title, For: []string{path},
		Use: fmt.Sprintf("Clamp it on the blank with the cut corner pointing %s, drill the first hole, put its bolt through, then drill the others.", g.cut),
	}
	first := g.holes[0]
	for _, h := range g.holes[1:] {
		p.Measure = append(p.Measure, Measured{fmt.Sprintf("first hole to the one at (%s, %s)", quantity.DimLength.Format(h.at[0], w.o.Units), quantity.DimLength.Format(h.at[1], w.o.Units)), math.Hypot(h.at[0]-first.at[0], h.at[1]-first.at[1])})
	}
	sizes := []string{}
	for _, h := range g.holes {
		if s := w.mm(h.wide); !slices.Contains(sizes, s) {
			sizes = append(sizes, s)
		}
	}
	slices.SortFunc(sizes, func(a, b string) int { return cmp.Compare(a, b) })
	p.Assumes = []string{
		fmt.Sprintf("drills of %s (ISO 273, fine), each guided by a hole %s wider", strings.Join(sizes, " and "), w.mm(w.tol)),
		"a printed guide wears: it is good for a few parts; centre punch or spot first",
	}
	return w.add(p, form.Layer{Rings: rings, Height: thick})
}

// trays hold the pack.
func (w *printing) trays() error {
	for i := range w.m.Bodies {
		b := &w.m.Bodies[i]
		if b.Kind != "battery" {
			continue
		}
		size, ok := boxOf(b)
		if !ok {
			w.cannot(b.Path, "No battery tray for %s: its size is not known. Give it a shape: a box.", b.Name)
			continue
		}
		long, wide := max(size.X, size.Y), min(size.X, size.Y)
		const room, wall, floor, ear = 0.5, 2.0, 2.0, 8.0
		lip := min(12, max(4, 0.4*size.Z))
		inL, inW := long+2*room+w.tol, wide+2*room+w.tol
		base := form.Rounded(0, 0, inL+2*wall+2, inW+2*wall+2*ear, 4)
		// A wall on three sides: the fourth, at +x, is open in the middle for the leads.
		l, v := inL/2, inW/2
		mouth := inW * 0.3
		rim := form.Ring{
			{l + wall, mouth}, {l + wall, v + wall}, {-l - wall, v + wall}, {-l - wall, -v - wall}, {l + wall, -v - wall}, {l + wall, -mouth},
			{l, -mouth}, {l, -v}, {-l, -v}, {-l, v}, {l, v}, {l, mouth},
		}
		floorRings, upper := []form.Ring{base}, []form.Ring{rim}
		const slotLong, slotWide = 17.0, 3.5
		for _, x := range []float64{-inL / 4, inL / 4} {
			if inL/2 < slotLong+6 { // one strap is enough
				if x < 0 {
					continue
				}
				x = 0
			}
			for _, y := range []float64{1, -1} {
				floorRings = append(floorRings, form.Rounded(x, y*(v+wall+ear/2), slotLong, slotWide, 1.5))
			}
		}
		p := Print{
			Name: fileName("battery tray", b.Name), Kind: BatteryTray, Title: fmt.Sprintf("Battery tray for %s", b.Name), For: []string{b.Path},
			Use:     "Screw or tape it down, feed a strap through each pair of slots and under the floor, lay the pack in with its leads at the open end and strap it so that it cannot slide.",
			Measure: []Measured{{"inside, length", inL}, {"inside, width", inW}, {"floor", floor}},
			Assumes: []string{
				fmt.Sprintf("a pack of %s × %s × %s, with %s of room on each side and %s for the print: packs swell a little with age", w.mm(long), w.mm(wide), w.mm(size.Z), w.mm(room), w.mm(w.tol)),
				"drill holes in the floor where your rails need them; countersink, so that no screw head can dent the pack",
				"lithium packs: a puffed or dented one goes to the recycling yard, never back on the tray",
			},
		}
		if err := w.add(p, form.Layer{Rings: floorRings, Height: floor}, form.Layer{Rings: upper, Height: lip}); err != nil {
			return err
		}
	}
	return nil
}

// boxOf is a part's size along its own axes, mm, when one box or cylinder shows it.
func boxOf(b *solid.Body) (solid.Vec, bool) {
	if len(b.Shapes) != 1 {
		return solid.Vec{}, false
	}
	switch s := &b.Shapes[0]; s.Kind {
	case solid.Box, solid.Cylinder:
		return s.Size, true
	case solid.Meshed:
		return s.Mesh.Bound.Hi.Sub(s.Mesh.Bound.Lo), true
	}
	return solid.Vec{}, false
}
