package bench

import (
	"math"
	"slices"
	"strings"

	"lowslung/quantity"
	"lowslung/rig"
	"lowslung/search"
	"lowslung/solid"
)

// write is the corrections as the text of a document with the build that was measured as its base.
func write(base, name string, patch *rig.Node) string {
	if name != "" {
		name += ", as measured"
	}
	return search.Write(base, name, patch)
}

// A patcher puts corrections where the document has their numbers. Twins that are one entry of the document get the mean of both.
type patcher struct {
	b    *bench
	x    []float64
	root *rig.Node
	held []bool
}

// patch is the corrections x as a patch of the document (nil when none is worth writing), and which of the inputs it holds: an input whose
// twin went another way, or for which the format has no place, it does not.
func (b *bench) patch(x []float64) (held []bool, patch *rig.Node) {
	p := &patcher{b: b, x: x, root: &rig.Node{Kind: rig.MapNode}, held: make([]bool, len(b.in))}
	if b.m.Doc == nil {
		return p.held, nil
	}
	done := make([]bool, len(b.in))
	for j := range b.in {
		if done[j] || b.in[j].to.kind == nowhere {
			continue
		}
		same := []int{}
		for k := j; k < len(b.in); k++ {
			if p.together(j, k) {
				same, done[k] = append(same, k), true
			}
		}
		p.put(same)
	}
	if len(p.root.Keys) == 0 {
		return p.held, nil
	}
	order := []string{"ride_height", "chassis", "front", "rear", "links", "shocks"}
	slices.SortStableFunc(p.root.Keys, func(a, c rig.Key) int { return slices.Index(order, a.Name) - slices.Index(order, c.Name) })
	return p.held, p.root
}

// together says that two inputs are one entry of the document.
func (p *patcher) together(j, k int) bool {
	a, c := &p.b.in[j].to, &p.b.in[k].to
	if a.kind != c.kind || p.b.in[j].path != p.b.in[k].path {
		return false
	}
	switch a.kind {
	case atSpring:
		return a.list == c.list
	case atLink, atLinkHole, atHole, atCentre, atCollar, atSet, atMass:
		return true
	case atLinkMass:
		return a.shock == c.shock
	}
	return j == k
}

// noticeable says that some correction of a list is worth writing.
func (p *patcher) noticeable(list []int) bool {
	return slices.ContainsFunc(list, func(j int) bool { return math.Abs(p.x[j]) >= slight*p.b.in[j].sigma })
}

// hold marks the inputs of a list that the document then has as they should be.
func (p *patcher) hold(list []int, written func(j int) float64) {
	for _, j := range list {
		off := math.Abs(written(j) - p.x[j])
		p.held[j] = off <= max(0.3*math.Abs(p.x[j]), slight*p.b.in[j].sigma)
	}
}

func (p *patcher) mean(list []int) float64 {
	sum := 0.0
	for _, j := range list {
		sum += p.x[j]
	}
	return sum / float64(len(list))
}

// put writes one entry of the document.
func (p *patcher) put(list []int) {
	if !p.noticeable(list) {
		return
	}
	in := &p.b.in[list[0]]
	mean := p.mean(list)
	alike := func(int) float64 { return mean }
	m := p.b.m
	switch in.to.kind {
	case atMass, atLinkMass:
		if v := in.written + mean; v > 0 {
			p.set(in.path, grams(v))
			p.hold(list, alike)
		}
	case atCentre:
		b := &m.Bodies[in.to.body]
		var d solid.Vec
		for _, j := range list {
			*axisOf(&d, p.b.in[j].to.axis) += p.x[j]
		}
		p.set(in.path, point(own(&b.Frame, b.CG.Add(d).Sub(b.Frame.At))))
		p.hold(list, func(j int) float64 { return p.x[j] })
	case atHole:
		p.holes(list)
	case atLinkHole:
		p.linkHole(list)
	case atLink:
		p.link(list, mean)
	case atSpring:
		p.springs(list)
	case atCollar:
		if v := in.written + mean; v >= 0 {
			p.set(in.path, millimetres(v))
			p.hold(list, alike)
		}
	case atSet:
		p.set("shocks/"+in.to.shock+"/set", millimetres(in.written+mean))
		p.hold(list, alike)
	case atRide:
		p.set(solid.End(in.to.axis).String()+"/ride_height", millimetres(in.written+mean))
		p.hold(list, alike)
	case atTyreSize:
		w := &m.Axles[in.to.axis].Wheels[0]
		p.set(in.path+"/diameter", millimetres(2*(w.Radius+mean)))
		if w.Loaded > 0 {
			p.set(in.path+"/loaded_radius", millimetres(w.Loaded+mean))
		}
		p.hold(list, alike)
	case atTyreRate:
		w := &m.Axles[in.to.axis].Wheels[0]
		if len(w.Curve) > 0 {
			all := &rig.Node{Kind: rig.ListNode}
			for _, c := range w.Curve {
				all.List = append(all.List, pairs("pressed", millimetres(c.By), "load", with(c.Load*(1+mean), 2, "N")))
			}
			p.set(in.path+"/curve", all)
		} else {
			p.set(in.path+"/rate", with(w.Rate*(1+mean), 3, "N/mm"))
		}
		p.hold(list, alike)
	case atMotorKv:
		p.set(in.path, with(in.value(mean), 1, "rpm/V"))
		p.hold(list, alike)
	case atMotorIdle:
		p.set(in.path, with(in.value(mean), 3, "A"))
		p.hold(list, alike)
	}

}

// own turns a direction of the carrier's frame into the part's own.
func own(f *solid.Frame, v solid.Vec) solid.Vec {
	v = f.R.MulT(v)
	if f.Flip {
		v = v.Flip()
	}
	return v
}

// holes writes where a hole of a part is: the mean of its twins, seen in the part's own frame.
func (p *patcher) holes(list []int) {
	in := &p.b.in[list[0]]
	part := partAt(p.b.m.Doc, p.b.m.Bodies[in.to.body].Path)
	if part == nil {
		return
	}
	hole, ok := part.Holes.Get(in.to.hole)
	if !ok {
		return
	}
	type twin struct {
		body int
		flip bool
	}
	off := map[twin]solid.Vec{} // in the carrier's frame
	for _, j := range list {
		to := &p.b.in[j].to
		d := off[twin{to.body, to.flip}]
		*axisOf(&d, to.axis) += p.x[j]
		off[twin{to.body, to.flip}] = d
	}
	var mean solid.Vec
	for t, d := range off {
		if t.flip {
			d = d.Flip()
		}
		mean = mean.Along(own(&p.b.m.Bodies[t.body].Frame, d), 1/float64(len(off)))
	}
	at := solid.Vec{X: float64(hole.At[0]), Y: float64(hole.At[1]), Z: float64(hole.At[2])}
	p.set(in.path+"/at", point(at.Add(mean)))
	p.hold(list, func(j int) float64 {
		to := &p.b.in[j].to
		f := &p.b.m.Bodies[to.body].Frame
		d := f.Turn(mean)
		if to.flip {
			d = d.Flip()
		}
		return component(d, to.axis)
	})
}

func (p *patcher) linkHole(list []int) {
	in := &p.b.in[list[0]]
	rest, hole, _ := strings.Cut(strings.TrimPrefix(in.path, "links/"), "/holes/")
	link, ok := p.b.m.Doc.Links.Get(rest)
	if !ok {
		return
	}
	h, ok := link.Holes.Get(hole)
	if !ok {
		return
	}
	var sum, count [2]float64
	for _, j := range list {
		sum[p.b.in[j].to.axis] += p.x[j]
		count[p.b.in[j].to.axis]++
	}
	for axis, key := range []string{"along", "rise"} {
		if count[axis] > 0 {
			sum[axis] /= count[axis]
			p.set(in.path+"/"+key, millimetres([2]float64{float64(h.Along), float64(h.Rise)}[axis]+sum[axis]))
		}
	}
	p.hold(list, func(j int) float64 { return sum[p.b.in[j].to.axis] })
}

// link writes a length where the document has one, or else the turns of the rod ends that make it.
func (p *patcher) link(list []int, by float64) {
	k := &p.b.m.Links[p.b.in[list[0]].to.link]
	link, ok := p.b.m.Doc.Links.Get(k.Name)
	if !ok {
		return
	}
	written := by
	switch {
	case link.Length != nil:
		p.set(k.Path+"/length", millimetres(float64(*link.Length)+by))
	case k.Pitch > 0:
		turns := 0.0
		if link.Turns != nil {
			turns = *link.Turns
		}
		most := math.Inf(1)
		out, all := 0.0, true
		for _, id := range link.Ends {
			e := p.end(id)
			if e == nil || e.Out == nil {
				all = false
				break
			}
			out += float64(*e.Out)
		}
		if all && len(link.Ends) > 0 {
			most = out / k.Pitch
		}
		now := math.Round(max(0, min(most, turns+by/k.Pitch))*100) / 100
		written = (now - turns) * k.Pitch
		if now != turns {
			p.set(k.Path+"/turns", with(now, 2, ""))
		}
	default:
		return
	}
	p.hold(list, func(int) float64 { return written })
}

// end is a rod end of the bins.
func (p *patcher) end(id string) *rig.End {
	for _, bin := range p.b.m.Bins {
		if item, ok := bin.Items.Get(id); ok {
			return item.End
		}
	}
	return nil
}

// springs writes a shock's list of springs with their corrected rates: a list is replaced as a whole.
func (p *patcher) springs(list []int) {
	in := &p.b.in[list[0]]
	shock, ok := p.b.m.Doc.Shocks.Get(in.to.shock)
	if !ok {
		return
	}
	from := map[string][]rig.Spring{"springs": shock.Springs, "above_piston": shock.Above, "below_piston": shock.Below}[in.to.list]
	all := &rig.Node{Kind: rig.ListNode}
	for i := range from {
		s := &from[i]
		var row []any
		if s.Item != "" {
			row = append(row, "item", text(s.Item))
		}
		if at := slices.IndexFunc(list, func(j int) bool { return p.b.in[j].to.index == i }); at >= 0 && s.Rate != nil {
			row = append(row, "rate", with(float64(*s.Rate)*(1+p.x[list[at]]), 4, "N/mm"))
		} else if s.Item == "" && s.Rate != nil {
			row = append(row, "rate", with(float64(*s.Rate), 4, "N/mm"))
		}
		if s.Item == "" && s.Free != nil {
			row = append(row, "free", millimetres(float64(*s.Free)))
		}
		if s.Item == "" && s.Solid != nil {
			row = append(row, "solid", millimetres(float64(*s.Solid)))
		}
		all.List = append(all.List, pairs(row...))
	}
	p.set(in.path, all)
	p.hold(list, func(j int) float64 { return p.x[j] })
}

// set puts a value at a path of the patch. Names may hold no slash but between a section and its entry, which the document's checks see to.
func (p *patcher) set(path string, v *rig.Node) {
	n := p.root
	keys := strings.Split(path, "/")
	for i, key := range keys {
		at := slices.IndexFunc(n.Keys, func(k rig.Key) bool { return k.Name == key })
		if at < 0 {
			n.Keys = append(n.Keys, rig.Key{Name: key, Value: &rig.Node{Kind: rig.MapNode}})
			at = len(n.Keys) - 1
		}
		if i == len(keys)-1 {
			n.Keys[at].Value = v
			return
		}
		n = n.Keys[at].Value
	}
}

func text(s string) *rig.Node { return &rig.Node{Kind: rig.ScalarNode, Text: s} }

func with(v float64, digits int, unit string) *rig.Node {
	return text(strings.TrimSpace(trimmed(v, digits) + " " + unit))
}

func trimmed(v float64, digits int) string {
	s := quantity.Fixed(v, digits)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

func millimetres(v float64) *rig.Node { return with(v, 2, "mm") }
func grams(kg float64) *rig.Node      { return with(kg*1000, 1, "g") }

func point(v solid.Vec) *rig.Node {
	return &rig.Node{Kind: rig.ListNode, List: []*rig.Node{text(trimmed(v.X, 2)), text(trimmed(v.Y, 2)), text(trimmed(v.Z, 2))}}
}

func pairs(list ...any) *rig.Node {
	n := &rig.Node{Kind: rig.MapNode}
	for i := 0; i < len(list); i += 2 {
		n.Keys = append(n.Keys, rig.Key{Name: list[i].(string), Value: list[i+1].(*rig.Node)})
	}
	return n
}
