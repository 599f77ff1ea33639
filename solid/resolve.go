package solid

import (
	"fmt"
	"math"

	"lowslung/channel"
	"lowslung/finding"
	"lowslung/quantity"
	"lowslung/rig"
)

const (
	usualLinkWidth  = 6.0  // mm, drawn when a link says nothing
	usualShockWidth = 16.0 // mm
	usualShaftWidth = 6.0  // mm
)

// Resolve turns a build into a model: frames multiplied out, twins mirrored, items looked up, lengths added. The error, when
// there is one, is rig.Diagnostics: what only shows once the document is put together.
func Resolve(b *rig.Build) (*Model, error) {
	m, _, err := ResolveFit(b)
	return m, err
}

// ResolveFit is Resolve with what it takes to fit other links and shocks to the model.
func ResolveFit(b *rig.Build) (*Model, *Fit, error) {
	if bad := channel.CheckTargets(b.Doc); len(bad) > 0 {
		return nil, nil, bad
	}
	r := &resolver{build: b, doc: b.Doc, m: &Model{Name: b.Doc.Name, Doc: b.Doc, Bins: b.Bins}, holes: map[string][]eyeHole{}, outs: map[string]Frame{}}
	r.assembly(&b.Doc.Chassis.Parts, OnChassis, "chassis/parts/")
	r.axle(b.Doc.Front, Front)
	r.axle(b.Doc.Rear, Rear)
	r.traction()
	r.links()
	r.shocks()
	r.shafts()
	r.bars()
	r.steer()
	if len(r.bad) > 0 {
		return nil, nil, r.bad
	}
	return r.m, &Fit{r}, nil
}

// A Fit makes links and shocks for a model that has been resolved, from values other than the document's. One goroutine each.
type Fit struct{ r *resolver }

// Links are the links that a link of the document makes, mirror twin included, left first, as they would stand in the model.
func (f *Fit) Links(name string, l *rig.Link) ([]Link, error) {
	own := *f.r
	own.m, own.bad = &Model{}, nil
	own.link(&rig.Entry[rig.Link]{Name: name, Value: *l})
	if len(own.bad) > 0 {
		return nil, own.bad
	}
	return own.m.Links, nil
}

// Shocks are the same for a shock. Its ends may sit on links of the model.
func (f *Fit) Shocks(name string, s *rig.Shock) ([]Shock, error) {
	own := *f.r
	own.m, own.bad = &Model{Links: f.r.m.Links}, nil
	own.shock(&rig.Entry[rig.Shock]{Name: name, Value: *s})
	if len(own.bad) > 0 {
		return nil, own.bad
	}
	return own.m.Shocks, nil
}

// An eyeHole is a hole of a carrier under its document name "part/hole"; two of them for a mirrored one, left first.
type eyeHole struct {
	carrier Carrier
	side    Side
	at      Vec
	axis    Vec
}

type resolver struct {
	build *rig.Build
	doc   *rig.Document
	m     *Model
	holes map[string][]eyeHole
	read  map[meshKey]*Mesh
	outs  map[string]Frame // outputs by "part/output", At and R's first column the axis, in the carrier's frame
	bad   rig.Diagnostics
}

func (r *resolver) fail(at rig.Place, code, format string, args ...any) {
	r.bad = append(r.bad, rig.Diagnostic{Code: code, Place: at, Text: fmt.Sprintf(format, args...)})
}

func (r *resolver) note(code, format string, args ...any) *finding.Finding {
	r.m.Findings = append(r.m.Findings, finding.New(finding.Note, code, format, args...))
	return &r.m.Findings[len(r.m.Findings)-1]
}

func vec(v rig.Vec) Vec { return Vec{float64(v[0]), float64(v[1]), float64(v[2])} }

func vecOr(v *rig.Vec) Vec {
	if v == nil {
		return Vec{}
	}
	return vec(*v)
}

func dir(d *rig.Dir) Vec {
	if d == nil {
		return Vec{}
	}
	return Vec{d[0], d[1], d[2]}.Unit()
}

func turn(t *rig.Turn) Mat {
	if t == nil {
		return Identity
	}
	return Turned(float64(t[0]), float64(t[1]), float64(t[2]))
}

func mm(p *quantity.Length, otherwise float64) float64 {
	if p == nil {
		return otherwise
	}
	return float64(*p)
}

// frameOf multiplies out the chain of parts that p sits on.
func frameOf(parts *rig.Map[rig.Part], p *rig.Part, depth int) Frame {
	own := Frame{At: vecOr(p.At), R: turn(p.Turn)}
	if p.On == "" || depth > len(*parts) {
		return own
	}
	on, ok := parts.Get(p.On)
	if !ok {
		return own
	}
	outer := frameOf(parts, on, depth+1)
	return outer.Then(&own)
}

func (r *resolver) assembly(parts *rig.Map[rig.Part], c Carrier, path string) {
	for i := range *parts {
		e := &(*parts)[i]
		f := frameOf(parts, &e.Value, 0)
		side := Single
		if e.Value.Pair {
			side = Left
			if f.At.Y < 0 {
				side = Right
			}
		}
		r.body(e.Name, path+e.Name, &e.Value, f, side, c)
		if e.Value.Pair {
			mirror := Frame{R: Identity, Flip: true}
			r.body(e.Name, path+e.Name, &e.Value, mirror.Then(&f), -side, c)
		}
	}
}

func (r *resolver) body(name, path string, p *rig.Part, f Frame, side Side, c Carrier) {
	b := Body{Name: name, Path: path, Kind: p.Kind, Side: side, Carrier: c, Frame: f}
	for i := range p.Shape {
		s := shapeOf(&p.Shape[i], &f)
		if p.Shape[i].Mesh != "" {
			if s.Kind, s.Mesh = Meshed, r.mesh(&p.Shape[i], path); s.Mesh == nil {
				continue
			}
		}
		b.Shapes = append(b.Shapes, s)
	}
	if p.Tyre != nil {
		d := float64(p.Tyre.Diameter)
		b.Shapes = append(b.Shapes, Shape{Kind: Disc, Frame: f, Size: Vec{d, float64(p.Tyre.Width), d}})
	}
	middle, volume, tensor := properties(b.Shapes)
	switch {
	case p.CG != nil:
		b.CG = f.Apply(vec(*p.CG))
	case volume > 0:
		b.CG = middle
	default:
		b.CG = f.At
	}
	if p.Mass != nil {
		b.Mass, b.HasMass = float64(*p.Mass), true
		if volume > 0 {
			for k := range tensor {
				b.Inertia[k] = tensor[k] * b.Mass / volume
			}
		}
	} else {
		r.guess(&b, p, volume, &tensor)
	}
	for i := range p.Holes {
		h := &p.Holes[i]
		key := name + "/" + h.Name
		at, axis := f.Apply(vec(h.Value.At)), f.Turn(dir(h.Value.Axis))
		hs := side
		if h.Value.Pair && side == Single {
			hs = Left
			if at.Y < 0 {
				hs = Right
			}
		}
		list := []eyeHole{{c, hs, at, axis}}
		if h.Value.Pair && side == Single {
			list = append(list, eyeHole{c, -hs, at.Flip(), axis.Flip()})
		}
		for _, e := range list {
			b.Holes = append(b.Holes, Hole{Name: h.Name, Side: e.side, At: e.at, Axis: e.axis, Bolt: h.Value.Bolt})
		}
		r.holes[key] = append(r.holes[key], list...)
	}
	if side != Right || !p.Pair {
		for i := range p.Outputs {
			o := &p.Outputs[i]
			axis := f.Turn(dir(&o.Value.Axis))
			r.outs[name+"/"+o.Name] = Frame{At: f.Apply(vec(o.Value.At)), R: Mat{axis.X, 0, 0, axis.Y, 0, 0, axis.Z, 0, 0}}
		}
	}
	r.m.Bodies = append(r.m.Bodies, b)
}

func (r *resolver) axle(a *rig.Axle, end End) {
	if a == nil {
		return
	}
	x := &r.m.Axles[end]
	x.Present, x.Path = true, end.String()
	x.PinionAxis = Vec{X: 1}
	if end == Front {
		x.PinionAxis = Vec{X: -1}
	}
	r.assembly(&a.Parts, CarrierOf(end), end.String()+"/parts/")
	if a.Near != nil {
		x.Near = vec(*a.Near)
	} else {
		r.note("rig/no-near", "The %s axle has no near, so the solver starts at the chassis origin: write about where it sits.", end).About = []string{end.String()}
	}
	ride := a.Ride
	if ride == nil {
		ride = r.doc.Ride
	}
	if ride != nil {
		x.HasRide, x.Ride = true, float64(*ride)
	}
	r.wheels(a, end)
	for i := range a.Parts {
		p := &a.Parts[i].Value
		if p.Tyre != nil && x.TyreRadius == 0 {
			x.TyreRadius = mm(p.Tyre.Loaded, float64(p.Tyre.Diameter)/2)
			x.TyreWidth = float64(p.Tyre.Width)
			f := frameOf(&a.Parts, p, 0)
			x.HalfTrack = math.Abs(f.At.Y)
			if p.Tyre.Grip != nil {
				x.Grip = *p.Tyre.Grip
			}
		}
		for k := range p.Outputs {
			if x.HasPinion {
				continue
			}
			o := r.outs[a.Parts[i].Name+"/"+p.Outputs[k].Name]
			x.HasPinion, x.Pinion = true, o.At
			x.PinionAxis = Vec{o.R[0], o.R[3], o.R[6]}
		}
	}
	if x.TyreRadius == 0 {
		r.note("rig/no-tyre", "The %s axle has no tyre, so nothing is known about the ground under it: give a part a tyre: with its diameter.", end).About = []string{end.String()}
	}
}

// traction shares the tractive force: as written, or evenly between the axles that the document drives (all of them when it
// says nothing).
func (r *resolver) traction() {
	written := [2]*quantity.Share{}
	for end, a := range []*rig.Axle{r.doc.Front, r.doc.Rear} {
		if a != nil {
			written[end] = a.Drive
		}
	}
	driven := [2]bool{r.doc.Front != nil, r.doc.Rear != nil}
	if d := r.doc.Drive; d != nil && (d.Front != nil || d.Rear != nil) {
		driven = [2]bool{d.Front != nil, d.Rear != nil}
	}
	switch {
	case written[0] != nil && written[1] != nil:
		r.m.Axles[0].Traction, r.m.Axles[1].Traction = float64(*written[0]), float64(*written[1])
	case written[0] != nil:
		r.m.Axles[0].Traction, r.m.Axles[1].Traction = float64(*written[0]), 1-float64(*written[0])
	case written[1] != nil:
		r.m.Axles[0].Traction, r.m.Axles[1].Traction = 1-float64(*written[1]), float64(*written[1])
	case driven[0] && driven[1]:
		r.m.Axles[0].Traction, r.m.Axles[1].Traction = 0.5, 0.5
		r.note("rig/traction-share", "Both axles are taken to share the tractive force evenly; write traction_share under an axle when they do not.")
	default:
		for end := range driven {
			if driven[end] {
				r.m.Axles[end].Traction = 1
			}
		}
	}
}
