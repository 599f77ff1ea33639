package rig

import (
	"math"
	"slices"
	"strconv"
	"strings"
)

// part checks what only a part of a document has (where it sits), then what bin items have too.
func (w *world) part(p *placed) {
	w.body(p.Part, p.path)
	for i := range p.Holes {
		w.bolted(&p.Holes[i].Value.Fastened, p.Holes[i].Value.Slot, p.path+"/holes/"+p.Holes[i].Name, p.assembly, "parts", p.name, "holes", p.Holes[i].Name)
	}
	if p.On == "" {
		return
	}
	at := w.at(p.assembly, "parts", p.name, "on")
	path := p.path + "/on"
	parent := w.parts[p.On]
	switch {
	case parent == nil:
		w.add("no-such-part", at, path, `found %s for "on", but no part is called that%s`, quote(p.On), w.suggest(p.On, w.partNames(p.assembly)))
	case parent.assembly != p.assembly:
		w.add("wrong-assembly", at, path, `found %s for "on", which is %s, expected a part %s, where this one is`, quote(p.On), within(parent.assembly), within(p.assembly))
	default:
		w.chain(p, at, path)
	}
}

// chain follows "on" from p and reports a circle, at its first part in the document's order only, or too long a way.
func (w *world) chain(p *placed, at Place, path string) {
	names, first := []string{p.name}, p.rank
	for q := w.parts[p.On]; q != nil; q = w.parts[q.On] {
		names = append(names, q.name)
		if q == p {
			if p.rank == first {
				w.add("on-cycle", at, path, `found parts that sit on each other in a circle (%s), expected one of them without "on"`, quoteAll(names, " on ", " on "))
			}
			return
		}
		if len(names) > MaxDepth {
			if w.parts[q.On] != nil && !slices.Contains(names, q.On) {
				w.add("too-deep", at, path, "found more than %d parts on each other, expected at most %d", MaxDepth, MaxDepth)
			}
			return
		}
		first = min(first, q.rank)
	}
}

// partNames lists the parts of an assembly, or all when it is empty.
func (w *world) partNames(assembly string) []string {
	var names []string
	for _, p := range w.order {
		if assembly == "" || p.assembly == assembly {
			names = append(names, p.name)
		}
	}
	return names
}

// body checks a part wherever it is written, in a document or in a bin.
func (w *world) body(p *Part, path string) {
	for i := range p.Holes {
		w.inner(p.Holes[i].Name, p.Holes[i].Place, path+"/holes/"+p.Holes[i].Name, "hole")
	}
	for i := range p.Outputs {
		w.inner(p.Outputs[i].Name, p.Outputs[i].Place, path+"/outputs/"+p.Outputs[i].Name, "output")
	}
	for i := range p.Ports {
		port := &p.Ports[i]
		w.inner(port.Name, port.Place, path+"/ports/"+port.Name, "port")
		w.port(&port.Value, path+"/ports/"+port.Name)
	}
	for i := range p.Shape {
		w.shape(&p.Shape[i], path+"/shape")
	}
	if d := p.Damper; d != nil {
		w.stroke(d, p.Place, path+"/shock")
	}
	if s := p.Spring; s != nil {
		w.coil(s, path+"/spring")
	}
	if p.Tyre != nil {
		w.presses(p.Tyre, path+"/tyre")
	}
	if r := p.Rod; r != nil && r.Bore != nil && *r.Bore >= r.Diameter && r.Diameter > 0 {
		w.add("contradiction", p.Place, path+"/rod", "found a bore of %s mm in a rod of %s mm, expected a smaller bore", short(float64(*r.Bore)), short(float64(r.Diameter)))
	}
	if b := p.Bearing; b != nil && b.Bore > 0 && b.Outer > 0 && b.Bore >= b.Outer {
		w.add("contradiction", p.Place, path+"/bearing", "found a bearing with the bore %s mm and the outside %s mm, expected a larger outside", short(float64(b.Bore)), short(float64(b.Outer)))
	}
	if c := p.Controller; c != nil && c.CellsFrom > 0 && c.CellsTo > 0 && c.CellsFrom > c.CellsTo {
		w.add("contradiction", p.Place, path+"/controller", "found cells from %d to %d, expected the smaller number first", c.CellsFrom, c.CellsTo)
	}
	if g := p.Gear; g != nil && g.Module != nil && g.DP != nil && math.Abs(float64(*g.Module)**g.DP-25.4) > 0.01*25.4 {
		w.add("contradiction", p.Place, path+"/gear", "found the module %s mm and the diametral pitch %s, which is the module %s mm; expected one of them",
			short(float64(*g.Module)), short(*g.DP), short(25.4 / *g.DP))
	}
	if p.Infill != nil && *p.Infill > 1 {
		w.add("out-of-range", p.Place, path+"/infill", `found %s for "infill", expected at most 1 (or 100 %%)`, short(float64(*p.Infill)))
	}
	if p.Money != "" && !isCurrency(p.Money) {
		w.add("wrong-type", p.Place, path+"/currency", `found %s for "currency", expected three capital letters as in ISO 4217, such as EUR`, quote(p.Money))
	}
}

func isCurrency(s string) bool {
	return len(s) == 3 && strings.Trim(s, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") == ""
}

func (w *world) port(p *Port, path string) {
	if p.From != nil && p.To != nil && *p.From > *p.To {
		w.add("contradiction", p.Place, path, "found cells from %s to %s, expected the smaller number first", short(*p.From), short(*p.To))
	}
	if p.Bearing == "" {
		return
	}
	if sizes, ok := BearingSize(p.Bearing); !ok || sizes[0] >= sizes[1] {
		w.add("wrong-type", p.Place, path+"/bearing", `found %s for "bearing", expected bore x outside x width in mm: 5x11x4`, quote(p.Bearing))
	}
}

// BearingSize reads the size of a bearing, bore x outside x width in mm: 5x11x4.
func BearingSize(text string) (size [3]float64, ok bool) {
	parts := strings.Split(strings.ReplaceAll(strings.ToLower(text), "×", "x"), "x")
	if len(parts) != 3 {
		return size, false
	}
	for i, part := range parts {
		v, good := decimal(strings.TrimSpace(part))
		if !good || v <= 0 {
			return size, false
		}
		size[i] = v
	}
	return size, true
}

func (w *world) shape(s *Shape, path string) {
	var kinds []string
	if s.Box != nil {
		kinds = append(kinds, "box")
		for i, v := range s.Box {
			if !(v > 0) {
				w.add("out-of-range", s.Place, path, `found a box of %s mm along %s, expected more than 0 mm`, short(float64(v)), [3]string{"x", "y", "z"}[i])
				break
			}
		}
	}
	if s.Cylinder != nil {
		kinds = append(kinds, "cylinder")
	}
	if s.Plate != nil {
		kinds = append(kinds, "plate")
		w.outline(s, path)
	}
	if s.Capsule != nil {
		kinds = append(kinds, "capsule")
	}
	if s.Mesh != "" {
		kinds = append(kinds, "mesh")
	} else if s.Scale != nil {
		w.add("contradiction", s.Place, path, `found "scale" on a shape that is no mesh, expected its sizes as they are`)
	}
	switch len(kinds) {
	case 1:
	case 0:
		w.add("shape-kind", s.Place, path, "found a shape without a kind, expected one of box, cylinder, plate, capsule and mesh")
	default:
		w.add("shape-kind", s.Place, path, "found a shape that is %s at once, expected one; write one entry of the list for each", strings.Join(kinds, " and "))
	}
}

func (w *world) outline(s *Shape, path string) {
	corners := s.Plate.Outline
	if corners == nil {
		return // missing, and reported as such
	}
	if n := len(corners); n < 3 {
		w.add("outline", s.Place, path, "found an outline of %d corners, expected at least 3", n)
		return
	}
	area := 0.0 // shoelace formula, twice the area
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		area += float64(a[0]*b[1] - b[0]*a[1])
	}
	if math.Abs(area) < 1e-6 {
		w.add("outline", s.Place, path, "found an outline whose corners enclose no area, expected corners in order around the plate")
	}
}

// short prints a number of a message: up to three digits behind the point, no trailing zeros.
func short(v float64) string {
	s := strconv.FormatFloat(v, 'f', 3, 64)
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" || s == "" {
		return "0"
	}
	return s
}
