package bench

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"lowslung/quantity"
	"lowslung/rig"
	"lowslung/solid"
	"lowslung/tolerance"
)

const deg = math.Pi / 180

// normal95 is the 97.5 % quantile of the normal distribution: plus or minus so many standard deviations is what 95 of 100 keep.
var normal95 = math.Sqrt2 * math.Erfinv(0.95)

// A motor is what no-load readings ask of one.
type motor struct {
	name, path     string
	kv, idle, ohms float64 // rpm/V, A, Ω; 0 when not known
}

// A trial is the rig with inputs off: a model of its own in everything that inputs move.
type trial struct {
	from   *solid.Model
	m      solid.Model
	motors []motor
	kv     []motor // as they are now
}

func newTrial(from *solid.Model, motors []motor) *trial {
	t := &trial{from: from, motors: motors}
	t.reset()
	return t
}

// reset puts everything back to what the document says. What stands on springs is to be stood anew, so there is no Rest.
func (t *trial) reset() {
	t.m = *t.from
	t.m.Rest = nil
	t.m.Bodies, t.m.Links, t.m.Shocks, t.m.Shafts = slices.Clone(t.from.Bodies), slices.Clone(t.from.Links), slices.Clone(t.from.Shocks), slices.Clone(t.from.Shafts)
	for i := range t.m.Shocks {
		s := &t.m.Shocks[i]
		s.Springs, s.Above, s.Below = slices.Clone(s.Springs), slices.Clone(s.Above), slices.Clone(s.Below)
	}
	for i := range t.m.Axles {
		a := &t.m.Axles[i]
		a.Wheels = slices.Clone(a.Wheels)
		for k := range a.Wheels {
			a.Wheels[k].Curve = slices.Clone(a.Wheels[k].Curve)
		}
	}
	t.kv = slices.Clone(t.motors)
}

// An input is one number of the document that may be off.
type input struct {
	what    string // the thing, with its side and direction
	path    string // where the document says it
	dim     *quantity.Dimension
	share   bool    // by is a share of what is written, and so is sigma
	written float64 // program units; meaningless when not shown
	sigma   float64 // standard deviation of by
	move    func(t *trial, by float64)
	to      place // where a correction is written
}

// value is the input's value when it is off by so much.
func (in *input) value(by float64) float64 {
	if in.share {
		return in.written * (1 + by)
	}
	return in.written + by
}

// size puts a change or an error of the input into program units.
func (in *input) size(by float64) float64 {
	if in.share {
		return in.written * by
	}
	return by
}

// A place is where in the document a correction goes: a key, and which of its numbers.
type place struct {
	kind  placeKind
	body  int  // of a hole, centre of mass or output
	axis  int  // of a vector
	flip  bool // the number belongs to the right twin: sideways counts the other way
	hole  string
	link  int
	shock string
	index int // of a spring in its list
	list  string
}

type placeKind uint8

const (
	nowhere placeKind = iota
	atMass
	atCentre
	atHole
	atLinkHole
	atLink
	atLinkMass
	atSpring
	atCollar
	atSet
	atRide
	atTyreSize
	atTyreRate
	atOutput
	atMotorKv
	atMotorIdle
)

// bounds are the errors of making that only bench asks for: 95 of 100 keep them. All are assumptions, common practice.
type bounds struct{ weight, centre, rate, collar, tyreRate, motor float64 }

func boundsOf(d *rig.Document) bounds {
	b := bounds{weight: 0.05, centre: 3, rate: 0.10, collar: 0.7, tyreRate: 0.20, motor: 0.05}
	if d == nil || d.Errors == nil {
		return b
	}
	e := d.Errors
	for _, one := range []struct {
		into *float64
		from *quantity.Share
	}{{&b.weight, e.Weight}, {&b.rate, e.Rate}, {&b.tyreRate, e.Pressed}, {&b.motor, e.Motor}} {
		if one.from != nil {
			*one.into = float64(*one.from)
		}
	}
	if e.Centre != nil {
		b.centre = float64(*e.Centre)
	}
	if e.Collar != nil {
		b.collar = float64(*e.Collar)
	}
	return b
}

// A lister collects the inputs of a model.
type lister struct {
	m  *solid.Model
	b  bounds
	in []input
}

// add takes up an input whose error, plus or minus, 95 of 100 keep. Where there is no error, there is no input.
func (l *lister) add(in input, half float64) {
	if half <= 0 {
		return
	}
	in.sigma = half / normal95
	l.in = append(l.in, in)
}

// inputsOf lists what may be off in a model: what tolerance lists, and beside it weights with their places, springs, collars, tyres, motors.
// Standing is true when springs and tyres decide where it stands.
func inputsOf(m *solid.Model, motors []motor, standing bool) []input {
	l := &lister{m: m, b: boundsOf(m.Doc)}
	l.weights()
	l.geometry(standing)
	l.springs(standing)
	l.tyres(standing)
	l.shafts()
	for i := range motors {
		k := &motors[i]
		if k.kv > 0 {
			l.add(input{what: "kv of the " + k.name, path: k.path + "/motor/kv", dim: quantity.Kv(0).Dimension(), share: true, written: k.kv, to: place{kind: atMotorKv, index: i},
				move: func(t *trial, by float64) { t.kv[i].kv *= 1 + by }}, l.b.motor)
		}
		if k.idle > 0 {
			l.add(input{what: "no-load current of the " + k.name, path: k.path + "/motor/no_load_current", dim: quantity.DimCurrent, share: true, written: k.idle, to: place{kind: atMotorIdle, index: i},
				move: func(t *trial, by float64) { t.kv[i].idle *= 1 + by }}, 4*l.b.motor) // brushes and bearings differ more from motor to motor: common practice
		}
	}
	return l.in
}

// motorsOf are the motors of a document.
func motorsOf(m *solid.Model) []motor {
	var out []motor
	if m.Doc == nil {
		return out
	}
	for i := range m.Doc.Chassis.Parts {
		e := &m.Doc.Chassis.Parts[i]
		w := e.Value.Motor
		if w == nil {
			continue
		}
		k := motor{name: e.Name, path: "chassis/parts/" + e.Name}
		if w.Kv != nil {
			k.kv = float64(*w.Kv)
		}
		if w.NoLoad != nil {
			k.idle = float64(*w.NoLoad)
		}
		if w.Resistance != nil {
			k.ohms = float64(*w.Resistance)
		}
		out = append(out, k)
	}
	return out
}

func sided(name string, side solid.Side) string { return strings.TrimSpace(name + " " + side.String()) }

var axisWords = [3]string{"forward", "sideways", "up"}

// weights are the weight of every part, link, shock and shaft, twins together as the document has them, and where a heavy part's centre is.
func (l *lister) weights() {
	m := l.m
	total, _ := solid.CenterOfMass(m.Lumps(&solid.Stance{{R: solid.Identity}, {R: solid.Identity}}))
	seen := map[string]bool{}
	for i := range m.Bodies {
		b := &m.Bodies[i]
		if !b.HasMass || b.Mass <= 0 || seen[b.Path] {
			continue
		}
		seen[b.Path] = true
		twins := []int{i}
		for k := i + 1; k < len(m.Bodies); k++ {
			if m.Bodies[k].Path == b.Path {
				twins = append(twins, k)
			}
		}
		half := max(l.b.weight*b.Mass, min(l.b.weight, 1)*0.02)
		switch p := l.part(b.Path); {
		case b.Guessed:
			half = 4 * l.b.weight * b.Mass
		case p != nil && p.Weighed:
			half = min(half, max(0.001, 0.005*b.Mass)) // a kitchen scale
		}
		l.add(input{what: "weight of the " + b.Name, path: b.Path + "/mass", dim: quantity.DimMass, written: b.Mass, to: place{kind: atMass, body: i},
			move: func(t *trial, by float64) {
				for _, k := range twins {
					t.m.Bodies[k].Mass += by
				}
			}}, half)
		if b.Mass*float64(len(twins)) < 0.005*total || b.Kind == "tyre" || b.Kind == "wheel" {
			continue
		}
		for axis := range 3 {
			if axis == 1 && len(twins) > 1 {
				continue // a pair keeps its middle
			}
			l.add(input{what: fmt.Sprintf("centre of mass of the %s, %s", b.Name, axisWords[axis]), path: b.Path + "/cg", dim: quantity.DimLength, written: component(b.CG, axis),
				to: place{kind: atCentre, body: i, axis: axis},
				move: func(t *trial, by float64) {
					for _, k := range twins {
						*axisOf(&t.m.Bodies[k].CG, axis) += by
					}
				}}, l.b.centre)
		}
	}
	for i := range m.Links {
		k := &m.Links[i]
		if !k.HasMass || seen[k.Path] {
			continue
		}
		seen[k.Path] = true
		path := k.Path
		l.add(input{what: "weight of the link " + k.Name, path: path + "/mass", dim: quantity.DimMass, written: k.Mass, to: place{kind: atLinkMass, link: i},
			move: func(t *trial, by float64) {
				for j := range t.m.Links {
					if t.m.Links[j].Path == path {
						t.m.Links[j].Mass += by
					}
				}
			}}, max(l.b.weight*k.Mass, min(l.b.weight, 1)*0.02))
	}
	for i := range m.Shocks {
		k := &m.Shocks[i]
		if !k.HasMass || seen[k.Path] {
			continue
		}
		seen[k.Path] = true
		path := k.Path
		l.add(input{what: "weight of the shock " + k.Name, path: path + "/mass", dim: quantity.DimMass, written: k.Mass, to: place{kind: atLinkMass, link: -1, shock: k.Name},
			move: func(t *trial, by float64) {
				for j := range t.m.Shocks {
					if t.m.Shocks[j].Path == path {
						t.m.Shocks[j].Mass += by
					}
				}
			}}, max(l.b.weight*k.Mass, min(l.b.weight, 1)*0.02))
	}
}

func component(v solid.Vec, axis int) float64 { return *axisOf(&v, axis) }

func axisOf(v *solid.Vec, axis int) *float64 {
	switch axis {
	case 0:
		return &v.X
	case 1:
		return &v.Y
	}
	return &v.Z
}

// part is the part of the document at chassis/parts/NAME, front/parts/NAME or rear/parts/NAME; nil when there is none.
func (l *lister) part(path string) *rig.Part { return partAt(l.m.Doc, path) }

func partAt(d *rig.Document, path string) *rig.Part {
	assembly, name, ok := strings.Cut(path, "/parts/")
	if d == nil || !ok {
		return nil
	}
	list := d.Chassis.Parts
	switch {
	case assembly == "front" && d.Front != nil:
		list = d.Front.Parts
	case assembly == "rear" && d.Rear != nil:
		list = d.Rear.Parts
	}
	p, _ := list.Get(name)
	return p
}

// geometry is what tolerance lists: holes, lengths, set lengths. A link's length, its turns and the play in its ends are one input here, since
// no reading tells them apart.
func (l *lister) geometry(standing bool) {
	plain := *l.m
	plain.Rest = nil
	links := map[int]int{} // input of a link's length
	for _, k := range tolerance.Inputs(&plain, tolerance.ErrorsOf(l.m.Doc)) {
		move := k.Move
		in := input{what: k.What, path: k.Path, dim: quantity.DimLength, move: func(t *trial, by float64) { move(&t.m, by) }}
		switch {
		case k.Kind == "tyre" || k.Kind == "set" && standing:
			continue
		case k.Link >= 0:
			if at, had := links[k.Link]; had {
				l.in[at].sigma = math.Hypot(l.in[at].sigma, k.Sigma)
				continue
			}
			links[k.Link] = len(l.in)
			link := &l.m.Links[k.Link]
			in.what, in.written, in.to = "length of the link "+sided(link.Name, link.Side), link.Length, place{kind: atLink, link: k.Link}
		case k.Hole:
			in.what += ", " + axisWords[k.Axis]
			in.written = component(k.At, k.Axis)
			in.to = l.holePlace(&k)
		case k.Kind == "set":
			in.to = l.setPlace(&k)
			in.written = l.setOf(in.to, k.Path)
		default: // on a link
			in.what += ", " + [2]string{"along", "up"}[k.Axis]
			in.to = place{kind: atLinkHole, axis: k.Axis}
		}
		l.add(in, k.Sigma*normal95)
	}
}

// holePlace is where the document says a hole.
func (l *lister) holePlace(k *tolerance.Input) place {
	dir, hole, _ := strings.Cut(k.Path, "/holes/")
	for i := range l.m.Bodies {
		b := &l.m.Bodies[i]
		if b.Path != dir || b.Carrier != k.On {
			continue
		}
		for _, h := range b.Holes {
			if h.Name == hole && h.At == k.At {
				return place{kind: atHole, body: i, axis: k.Axis, hole: hole, flip: b.Side == solid.Single && h.Side == solid.Right && l.mirrored(dir, hole)}
			}
		}
	}
	return place{}
}

// mirrored says that a hole of the document has a twin on the other side, and that the one written is the left one.
func (l *lister) mirrored(path, hole string) bool {
	p := l.part(path)
	if p == nil {
		return false
	}
	h, ok := p.Holes.Get(hole)
	return ok && h.Pair
}

func (l *lister) setPlace(k *tolerance.Input) place {
	if name, ok := strings.CutPrefix(k.Path, "shocks/"); ok {
		return place{kind: atSet, shock: strings.TrimSuffix(name, "/set")}
	}
	return place{kind: atRide, axis: l.endOf(k.Path)}
}

func (l *lister) endOf(path string) int {
	if strings.HasPrefix(path, "rear") {
		return 1
	}
	return 0
}

func (l *lister) setOf(p place, path string) float64 {
	if p.kind == atRide {
		return l.m.Axles[p.axis].Ride
	}
	for i := range l.m.Shocks {
		if l.m.Shocks[i].Name == p.shock {
			return l.m.Shocks[i].Set
		}
	}
	return 0
}
