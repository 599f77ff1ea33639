package export

import (
	"encoding/xml"
	"fmt"
	"math"
	"strconv"
	"strings"

	"lowslung/form"
	"lowslung/quantity"
	"lowslung/solid"
	"lowslung/travel"
)

// MJCF: the XML of a general physics engine (MuJoCo documentation, XML reference, 3.3). Metres, kilograms, newtons, z up.
//
// Chassis and axles are free bodies. A link is a body of its own on two hinges at its chassis eye, its far end held to the axle's eye by a
// connect constraint. A shock is a tendon: spring, stops as its range, some damping. A wheel slides in its axle against the tyre's
// rate, and rolls. A tyre's rate lies under the wheel's own weight as well, so the spring of that slide is set off by as much.
// Weights and centres are ours, and so are the tensors of parts that have a shape; a body too thin for the engine gets a little more.

const (
	thinLink  = 0.001 // kg, a link without a weight: the engine wants one
	leastTurn = 1e-7  // kg·m², the least moment of inertia of a body
	drag      = 4.0   // N·s/m of a shock when its damper is not known
)

// MJCF is the rig in its design pose over level ground. left lists what of the rig is not in it.
func MJCF(m *solid.Model) (text []byte, left []string) {
	w := &mjcf{m: m, st: travel.StandOf(m), names: map[string]bool{}}
	w.stance = w.st.Stance()
	w.weigh()
	w.write()
	return []byte(w.b.String()), w.left
}

type mjcf struct {
	m      *solid.Model
	st     *travel.Stand
	stance *solid.Stance
	b      strings.Builder
	deep   int
	names  map[string]bool
	left   []string

	lumps [3][]solid.Lump // of chassis and axles, each in its own frame; wheels and links left out
	hung  [][]solid.Lump  // on links, in their frames: ends of shocks
	sites [3][]string     // of chassis and axles
	links [][]string      // sites on links
	eyes  []string        // connect constraints
	cords []string        // tendons
	mesh  []string        // assets
}

func (w *mjcf) line(format string, args ...any) {
	w.b.WriteString(strings.Repeat("  ", w.deep))
	fmt.Fprintf(&w.b, format, args...)
	w.b.WriteByte('\n')
}

func (w *mjcf) open(format string, args ...any)  { w.line(format, args...); w.deep++ }
func (w *mjcf) close(format string, args ...any) { w.deep--; w.line(format, args...) }

// name is a name of its own, safe in XML.
func (w *mjcf) name(words ...string) string {
	base := strings.TrimSpace(oneLine(strings.Join(words, " ")))
	out := base
	for n := 2; w.names[out]; n++ {
		out = fmt.Sprintf("%s %d", base, n)
	}
	w.names[out] = true
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(out)) // a builder does not fail
	return b.String()
}

// m is a length or place in mm as the file has it, in m.
func meters(v solid.Vec) string {
	return si(v.X/1000) + " " + si(v.Y/1000) + " " + si(v.Z/1000)
}

func si(v float64) string {
	if math.Abs(v) < 1e-12 {
		v = 0
	}
	return strconv.FormatFloat(v, 'g', 12, 64)
}

// quat is a rotation as w x y z.
func quat(r *solid.Mat) string {
	t := r[0] + r[4] + r[8]
	var q [4]float64
	switch {
	case t > 0:
		s := 2 * math.Sqrt(t+1)
		q = [4]float64{s / 4, (r[7] - r[5]) / s, (r[2] - r[6]) / s, (r[3] - r[1]) / s}
	case r[0] > r[4] && r[0] > r[8]:
		s := 2 * math.Sqrt(1+r[0]-r[4]-r[8])
		q = [4]float64{(r[7] - r[5]) / s, s / 4, (r[1] + r[3]) / s, (r[2] + r[6]) / s}
	case r[4] > r[8]:
		s := 2 * math.Sqrt(1+r[4]-r[0]-r[8])
		q = [4]float64{(r[2] - r[6]) / s, (r[1] + r[3]) / s, s / 4, (r[5] + r[7]) / s}
	default:
		s := 2 * math.Sqrt(1+r[8]-r[0]-r[4])
		q = [4]float64{(r[3] - r[1]) / s, (r[2] + r[6]) / s, (r[5] + r[7]) / s, s / 4}
	}
	return si(q[0]) + " " + si(q[1]) + " " + si(q[2]) + " " + si(q[3])
}

// isWheel says that a body is a wheel of its axle, which slides and rolls.
func (w *mjcf) isWheel(b *solid.Body) bool {
	for _, a := range w.m.Axles {
		for i := range a.Wheels {
			if a.Wheels[i].Path == b.Path {
				return true
			}
		}
	}
	return false
}

// weigh shares every weight out: parts to what carries them, shocks and shafts half to each end, links to themselves.
func (w *mjcf) weigh() {
	w.hung = make([][]solid.Lump, len(w.m.Links))
	for i := range w.m.Bodies {
		b := &w.m.Bodies[i]
		if b.HasMass && !w.isWheel(b) {
			w.lumps[b.Carrier] = append(w.lumps[b.Carrier], solid.Lump{Mass: b.Mass, At: b.CG, Inertia: b.Inertia}) // in the carrier's own frame
		}
	}
	half := func(c solid.Carrier, mass float64, at solid.Vec) {
		w.lumps[c] = append(w.lumps[c], solid.Lump{Mass: mass / 2, At: at})
	}
	for i := range w.m.Shocks {
		k := &w.m.Shocks[i]
		if !k.HasMass {
			continue
		}
		for _, a := range []solid.Anchor{k.Top, k.Bottom} {
			if a.Link < 0 {
				half(a.Carrier, k.Mass, a.At)
			} else {
				w.hung[a.Link] = append(w.hung[a.Link], solid.Lump{Mass: k.Mass / 2, At: solid.Vec{X: a.Along, Z: a.Rise}})
			}
		}
	}
	for i := range w.m.Shafts {
		if k := &w.m.Shafts[i]; k.HasMass {
			half(solid.OnChassis, k.Mass, k.From)
			half(solid.CarrierOf(k.Axle), k.Mass, k.To)
		}
	}
	if k, ok := w.m.Steer.Span(); ok && k.Has {
		half(k.On[0], k.Mass, k.At[0])
		half(k.On[1], k.Mass, k.At[1])
	}
}

// inertial is the weight of a body about its own frame.
func (w *mjcf) inertial(list []solid.Lump) {
	mass, at := solid.CenterOfMass(list)
	var t solid.Sym
	for i := range list {
		t = t.Plus(list[i].Inertia).Plus(solid.Steiner(list[i].Mass, list[i].At.Sub(at)))
	}
	if mass < thinLink {
		mass = thinLink
	}
	for k := range t {
		t[k] *= 1e-6 // kg·mm² to kg·m²
	}
	// The engine wants moments that a real body can have: the sum of any two over the third. Point masses on a line are just short of it.
	more := leastTurn * math.Max(1, mass)
	for k := range 3 {
		t[k] += more
	}
	w.line(`<inertial pos="%s" mass="%s" fullinertia="%s %s %s %s %s %s"/>`, meters(at), si(mass), si(t[0]), si(t[1]), si(t[2]), si(t[3]), si(t[4]), si(t[5]))
}

func (w *mjcf) write() {
	w.anchors()
	lift := w.height()
	w.line(`<?xml version="1.0" encoding="utf-8"?>`)
	var name strings.Builder
	_ = xml.EscapeText(&name, []byte(orWord(oneLine(w.m.Name), "rig")))
	w.open(`<mujoco model="%s">`, name.String())
	w.line("<!-- Metres, kilograms, newtons; x forward, y left, z up. Design pose over level ground; let it settle. Written by lowslung. -->")
	for _, s := range w.left {
		w.line("<!-- left out: %s -->", strings.ReplaceAll(oneLine(s), "--", "- -"))
	}
	w.line(`<compiler angle="radian" autolimits="true"/>`)
	w.line(`<option timestep="0.0005" gravity="0 0 -9.80665" integrator="implicitfast" solver="Newton" cone="elliptic" iterations="100" tolerance="1e-12"/>`)
	w.open(`<default>`)
	w.line(`<equality solref="0.002 1" solimp="0.99 0.999 0.0001"/>`)
	w.line(`<geom contype="1" conaffinity="0" solref="0.002 1" solimp="0.99 0.999 0.0001"/>`)
	w.line(`<tendon solreflimit="0.002 1" solimplimit="0.99 0.999 0.0001"/>`)
	w.close(`</default>`)
	body := w.bodies(lift)
	if len(w.mesh) > 0 {
		w.open(`<asset>`)
		for _, s := range w.mesh {
			w.line("%s", s)
		}
		w.close(`</asset>`)
	}
	w.b.WriteString(body)
	w.open(`<tendon>`)
	for _, s := range w.cords {
		w.line("%s", s)
	}
	w.close(`</tendon>`)
	w.open(`<equality>`)
	for _, s := range w.eyes {
		w.line("%s", s)
	}
	w.close(`</equality>`)
	w.close(`</mujoco>`)
}

// height is how far the chassis frame must be up for every tyre to be over the ground, mm.
func (w *mjcf) height() float64 {
	low := 0.0
	for _, end := range []solid.End{solid.Front, solid.Rear} {
		a := &w.m.Axles[end]
		for i := range a.Wheels {
			low = min(low, w.stance.Place(solid.CarrierOf(end), a.Wheels[i].At).Z-a.Wheels[i].Radius)
		}
	}
	return -low + 1
}

// anchors makes the sites, the tendons of the shocks and the constraints of the links.
func (w *mjcf) anchors() {
	w.links = make([][]string, len(w.m.Links))
	site := func(a solid.Anchor, name string) {
		if a.Link >= 0 {
			w.links[a.Link] = append(w.links[a.Link], fmt.Sprintf(`<site name="%s" pos="%s"/>`, name, meters(solid.Vec{X: a.Along, Z: a.Rise})))
			return
		}
		w.sites[a.Carrier] = append(w.sites[a.Carrier], fmt.Sprintf(`<site name="%s" pos="%s"/>`, name, meters(a.At)))
	}
	for i := range w.m.Shocks {
		k := &w.m.Shocks[i]
		what := sided(k.Name+" shock", k.Side)
		top, bottom, cord := w.name(what, "top"), w.name(what, "bottom"), w.name(what)
		site(k.Top, top)
		site(k.Bottom, bottom)
		set := w.stance.PlaceAnchor(w.m, k.Top).Sub(w.stance.PlaceAnchor(w.m, k.Bottom)).Norm()
		rate, free := springOf(k)
		attrs := ""
		if rate > 0 {
			attrs += fmt.Sprintf(` stiffness="%s" springlength="%s"`, si(rate*1000), si(free/1000))
		} else {
			w.left = append(w.left, fmt.Sprintf("the springs of the shock %s, whose rate or open length is not known", k.Name))
		}
		if len(k.Above)+len(k.Below) > 0 && k.Side != solid.Right {
			w.left = append(w.left, fmt.Sprintf("the springs inside the shock %s", k.Name))
		}
		switch {
		case k.Open > k.Closed && k.Closed > 0:
			attrs += fmt.Sprintf(` range="%s %s"`, si(k.Closed/1000), si(k.Open/1000))
		case k.Open > 0:
			attrs += fmt.Sprintf(` range="0 %s"`, si(k.Open/1000))
		}
		w.cords = append(w.cords, fmt.Sprintf(`<spatial name="%s" damping="%s" width="0.003"%s><site site="%s"/><site site="%s"/></spatial>`, cord, si(drag), attrs, top, bottom))
		if set == 0 {
			w.left = append(w.left, fmt.Sprintf("the direction of the shock %s, whose eyes are in one place", k.Name))
		}
	}
	for i := range w.m.Links {
		l := &w.m.Links[i]
		what := sided(l.Name, l.Side)
		end, eye := w.name(what, "end"), w.name(what, "eye")
		w.links[i] = append(w.links[i], fmt.Sprintf(`<site name="%s" pos="%s"/>`, end, meters(solid.Vec{X: l.Length})))
		c := solid.CarrierOf(l.Axle)
		w.sites[c] = append(w.sites[c], fmt.Sprintf(`<site name="%s" pos="%s"/>`, eye, meters(l.To)))
		w.eyes = append(w.eyes, fmt.Sprintf(`<connect name="%s" site1="%s" site2="%s"/>`, w.name(what, "held"), eye, end))
	}
	for i := range w.m.Bars {
		w.left = append(w.left, "the anti-roll bar "+w.m.Bars[i].Name)
	}
	if w.m.Doc != nil && w.m.Doc.Steer != nil {
		w.left = append(w.left, "the steering: the front wheels stand straight ahead")
	}
	if w.m.Doc != nil && w.m.Doc.Drive != nil {
		w.left = append(w.left, "the drive line: the wheels roll freely")
	}
}

// springOf is a shock's outer springs in series as one, N/mm, and the eye-to-eye length at which it would push no more, mm; 0 when not known.
func springOf(k *solid.Shock) (rate, free float64) {
	give := 0.0
	for _, s := range k.Springs {
		if s.Rate == 0 {
			return 0, 0
		}
		give += 1 / s.Rate
	}
	if give == 0 || k.Open == 0 {
		return 0, 0
	}
	return 1 / give, k.Open + k.Collar
}

// bodies is the world, which is written after the assets that it makes.
func (w *mjcf) bodies(lift float64) string {
	keep := w.b
	w.b = strings.Builder{}
	w.open(`<worldbody>`)
	w.line(`<light pos="0 0 2" dir="0 0 -1" directional="true"/>`)
	w.line(`<geom name="ground" type="plane" size="2 2 0.1" contype="0" conaffinity="1" rgba="0.75 0.73 0.68 1"/>`)
	w.open(`<body name="%s" pos="0 0 %s">`, w.name("chassis"), si(lift/1000))
	w.line(`<freejoint/>`)
	w.inertial(w.lumps[solid.OnChassis])
	w.shapes(solid.OnChassis)
	for _, s := range w.sites[solid.OnChassis] {
		w.line("%s", s)
	}
	for i := range w.m.Links {
		w.link(i)
	}
	w.close(`</body>`)
	for _, end := range []solid.End{solid.Front, solid.Rear} {
		if w.m.Axles[end].Present {
			w.axle(end, lift)
		}
	}
	w.close(`</worldbody>`)
	out := w.b.String()
	w.b = keep
	return out
}

// link is a rigid bar with its own weight, its frame at the chassis eye, x to the axle eye.
func (w *mjcf) link(i int) {
	l := &w.m.Links[i]
	to := w.stance.Place(solid.CarrierOf(l.Axle), l.To)
	r := along(to.Sub(l.From).Unit())
	w.open(`<body name="%s" pos="%s" quat="%s">`, w.name(sided(l.Name, l.Side)), meters(l.From), quat(&r))
	z := solid.Vec{X: r[6], Y: r[7], Z: r[8]} // chassis z in the link's frame: the first hinge, the second square to it
	w.line(`<joint type="hinge" axis="%s %s %s" damping="0.0005"/>`, si(z.X), si(z.Y), si(z.Z))
	w.line(`<joint type="hinge" axis="0 1 0" damping="0.0005"/>`)
	mass := l.Mass
	if !l.HasMass {
		mass = thinLink
		if l.Side != solid.Right {
			w.left = append(w.left, fmt.Sprintf("the weight of the link %s, which is not known: 1 g is taken", l.Name))
		}
	}
	turn := mass * l.Length * l.Length / 12
	w.inertial(append([]solid.Lump{{Mass: mass, At: solid.Vec{X: l.Length / 2}, Inertia: solid.Sym{turn / 1000, turn, turn}}}, w.hung[i]...))
	w.line(`<geom type="capsule" fromto="0 0 0 %s 0 0" size="%s" contype="0" group="1" rgba="0.62 0.64 0.66 1"/>`, si(l.Length/1000), si(l.Width/2000))
	for _, s := range w.links[i] {
		w.line("%s", s)
	}
	w.close(`</body>`)
}

func (w *mjcf) axle(end solid.End, lift float64) {
	a := &w.m.Axles[end]
	c := solid.CarrierOf(end)
	at := w.stance[end].At
	at.Z += lift
	w.open(`<body name="%s" pos="%s" quat="%s">`, w.name(end.String(), "axle assembly"), meters(at), quat(&w.stance[end].R))
	w.line(`<freejoint/>`)
	w.inertial(w.lumps[c])
	w.shapes(c)
	for _, s := range w.sites[c] {
		w.line("%s", s)
	}
	for i := range a.Wheels {
		w.wheel(&a.Wheels[i], c)
	}
	w.close(`</body>`)
}

// wheel slides up its axle against the tyre's rate, and rolls. Its tread is a ball of the free radius.
func (w *mjcf) wheel(wh *solid.Wheel, c solid.Carrier) {
	w.open(`<body name="%s" pos="%s">`, w.name(sided(wh.Name, wh.Side)), meters(wh.At))
	var own []solid.Lump
	mass := 0.0
	for i := range w.m.Bodies {
		if b := &w.m.Bodies[i]; b.Path == wh.Path && b.Side == wh.Side && b.HasMass {
			own = append(own, solid.Lump{Mass: b.Mass, At: b.CG.Sub(wh.At), Inertia: b.Inertia})
			mass += b.Mass
		}
	}
	if wh.Rate > 0 {
		up := w.stance[c-1].R.MulT(solid.Vec{Z: 1}) // of the ground, in the axle's frame: an axle's own z leans with its pinion
		w.line(`<joint type="slide" axis="%s %s %s" stiffness="%s" springref="%s" damping="8"/>`, si(up.X), si(up.Y), si(up.Z), si(wh.Rate*1000), si(mass*quantity.Gravity/1000/(wh.Rate*1000)))
	} else {
		rigid := "the tyre rate of " + wh.Name + ", which is not known: the tyre is rigid"
		if wh.Side != solid.Right {
			w.left = append(w.left, rigid)
		}
	}
	if len(wh.Curve) > 0 && wh.Side != solid.Right {
		w.left = append(w.left, "the curve of the tyre "+wh.Name)
	}
	w.line(`<joint name="%s" type="hinge" axis="0 1 0" damping="0.0002"/>`, w.name(sided(wh.Name, wh.Side), "rolls"))
	w.inertial(own)
	grip := wh.Grip
	if grip == 0 {
		grip = 0.8
		if wh.Side != solid.Right {
			w.left = append(w.left, "the grip of "+wh.Name+", which is not known: 0.8 is taken")
		}
	}
	w.line(`<geom name="%s" type="sphere" size="%s" friction="%s 0.001 0.0001" group="3" rgba="0.1 0.1 0.1 0.3"/>`, w.name(sided(wh.Name, wh.Side), "tread"), si(wh.Radius/1000), si(grip))
	wide := wh.Width
	if wide == 0 {
		wide = wh.Radius / 2
	}
	w.line(`<geom type="cylinder" size="%s %s" euler="%s 0 0" contype="0" group="1" rgba="0.1 0.1 0.1 1"/>`, si(wh.Radius/1000), si(wide/2000), si(math.Pi/2))
	w.close(`</body>`)
}

// shapes are what can touch the ground, and be seen.
func (w *mjcf) shapes(c solid.Carrier) {
	for i := range w.m.Bodies {
		b := &w.m.Bodies[i]
		if b.Carrier != c || w.isWheel(b) {
			continue
		}
		material := ""
		if p := partAt(w.m, b.Path); p != nil {
			material = p.Material
		}
		p := paints[paintOf(b.Kind, material)]
		colour := fmt.Sprintf(`%s %s %s 1`, si(p.r), si(p.g), si(p.b))
		for k := range b.Shapes {
			w.shape(&b.Shapes[k], sided(b.Name, b.Side), colour)
		}
	}
}

func (w *mjcf) shape(s *solid.Shape, what, colour string) {
	r := s.Frame.R // of shapes that are their own mirror image, so that Flip does not matter
	at := fmt.Sprintf(`pos="%s" quat="%s" group="1" rgba="%s"`, meters(s.Frame.At), quat(&r), colour)
	switch s.Kind {
	case solid.Box:
		w.line(`<geom name="%s" type="box" size="%s" %s/>`, w.name(what), meters(s.Size.Scale(0.5)), at)
	case solid.Cylinder, solid.Capsule:
		kind := "cylinder"
		if s.Kind == solid.Capsule {
			kind = "capsule"
		}
		half := s.Frame.R.Mul(solid.Vec{X: s.Size.X / 2})
		w.line(`<geom name="%s" type="%s" size="%s" fromto="%s %s" group="1" rgba="%s"/>`, w.name(what), kind, si(s.Size.Y/2000), meters(s.Frame.At.Sub(half)), meters(s.Frame.At.Add(half)), colour)
	case solid.Disc:
		half := s.Frame.R.Mul(solid.Vec{Y: s.Size.Y / 2})
		w.line(`<geom name="%s" type="cylinder" size="%s" fromto="%s %s" group="1" rgba="%s"/>`, w.name(what), si(s.Size.X/2000), meters(s.Frame.At.Sub(half)), meters(s.Frame.At.Add(half)), colour)
	case solid.Prism:
		pieces, _ := solid.SplitOutline(s.Outline)
		for _, piece := range pieces {
			ring := make(form.Ring, len(piece))
			for i, p := range piece {
				ring[i] = p
			}
			m, err := form.Stack(form.Layer{Rings: []form.Ring{ring}, Height: max(s.Size.Z, 0.1)})
			if err != nil {
				continue
			}
			var v strings.Builder
			for _, p := range m.Points {
				p.Z -= s.Size.Z / 2
				v.WriteString(meters(s.Frame.Apply(p)) + " ")
			}
			w.hull(what, v.String(), colour)
		}
	case solid.Meshed: // its box: the engine takes the convex hull of a mesh to touch with anyway
		b := s.Mesh.Bound
		size := b.Hi.Sub(b.Lo).Scale(0.5)
		if min(size.X, size.Y, size.Z) < 0.05 {
			size = solid.Vec{X: max(size.X, 0.05), Y: max(size.Y, 0.05), Z: max(size.Z, 0.05)}
		}
		mid := s.Frame.Apply(b.Lo.Add(b.Hi).Scale(0.5))
		w.line(`<geom name="%s" type="box" size="%s" pos="%s" quat="%s" group="1" rgba="%s"/>`, w.name(what), meters(size), meters(mid), quat(&r), colour)
	}
}

// hull is a convex piece by its corners.
func (w *mjcf) hull(what, vertices, colour string) {
	name := w.name(what, "piece")
	w.mesh = append(w.mesh, fmt.Sprintf(`<mesh name="%s" vertex="%s" inertia="convex"/>`, name, strings.TrimSpace(vertices)))
	w.line(`<geom name="%s" type="mesh" mesh="%s" group="1" rgba="%s"/>`, w.name(what), name, colour)
}
