package ride

import (
	"fmt"
	"math"

	"lowslung/finding"
	"lowslung/quantity"
	"lowslung/solid"
	"lowslung/travel"
)

// Compiling: from the model to what the energy needs. Immutable once made, but for the movers, which belong to one goroutine.

const (
	deg = math.Pi / 180
	// newton is the weight of 1 kg, N.
	newton = quantity.Gravity / 1000
	// hard is the stiffness taken for what stops dead, N/mm: a shock fully open or fully closed, coils that touch, the belly's floor. Under the
	// 10 N of a corner it gives 0.02 mm. What it is does not matter to the answers, and a test pins that.
	hard = 500.0
	// solidTyre is the radial rate of a tyre of which only the loaded radius is known, N/mm: as good as rigid, 0.1 mm under a corner.
	solidTyre = 60.0
	// sideways is the share of a tyre's radial rate taken for its lateral one when none is given, and treads the rate for a tyre without
	// any, N/mm. An assumption: foam-filled tyres of this size come out between half and four fifths when pushed across the table.
	sideways = 0.65
	treads   = 1.3
	// usualGrip is the coefficient of friction when the tyres say none: an assumption, the middle of 0.5 to 1.0 for rubber on rock.
	usualGrip = 0.8
)

// A rigid is a body that moves as one: its mass, kg, and centre, mm, in its own frame.
type rigid struct {
	mass float64
	at   solid.Vec
}

func (r *rigid) add(mass float64, at solid.Vec) {
	if mass <= 0 {
		return
	}
	r.mass += mass
	r.at = r.at.Along(at.Sub(r.at), mass/r.mass)
}

// A wheel stands on the ground: a torus about the wheel's axis.
type wheel struct {
	at     solid.Vec // centre, axle frame, mm
	radius float64   // free, mm
	crown  float64   // radius of the tread across, mm
	load   curve     // radial, N over mm
	side   float64   // rate along the ground, N/mm
	grip   float64
	model  *solid.Wheel
}

// A strut is a shock with what pushes in it.
type strut struct {
	model        *solid.Shock
	outer        curve
	above, below curve
	stroke       float64 // open less closed, mm; +Inf when one is not known
	slack        [2]float64
	sprung       bool // some spring pushes it open
}

// An anti-roll bar in place.
type bar struct {
	model *solid.Bar
	k     float64 // N/mm between the drop links' eyes
}

// A hanging weight is the half of a shock that an eye on a link carries.
type hanging struct {
	anchor solid.Anchor
	mass   float64 // kg
}

// An axle is one axle compiled.
type axle struct {
	end    solid.End
	mv     *travel.Mover
	fast   bool // four links settle it, so second derivatives are cheap
	body   rigid
	wheels [2]wheel // left, right
	struts []strut
	hung   []hanging
	bars   []bar
	pinion solid.Vec // unit vector along the pinion shaft, forward, axle frame
	ratio  float64   // turns of the shaft for one of the wheels; 0 when not known
}

// A machine is the whole rig compiled.
type machine struct {
	model   *solid.Model
	stand   *travel.Stand
	chassis rigid
	axles   [2]axle
	belly   []solid.Vec // lowest points of the chassis, chassis frame, mm
	mass    float64     // kg, of everything
	turns   float64     // +1 when the shafts turn clockwise seen from behind to drive forward
	hard    float64     // N/mm
	posed   bool        // rests tell where everything is
	notes   []finding.Finding
	units   quantity.System // of sentences
}

// compile makes the machine; the finding says what is lacking when it is nil.
func compile(m *solid.Model, units quantity.System) (*machine, *finding.Finding) {
	lack := func(format string, args ...any) (*machine, *finding.Finding) {
		f := finding.New(finding.Note, "ride/lacking", format, args...)
		return nil, &f
	}
	for _, end := range []solid.End{solid.Front, solid.Rear} {
		a := &m.Axles[end]
		switch left, right := wheelPair(a); {
		case !a.Present:
			return lack("How it stands needs both axles: there is no %s axle.", end)
		case left == nil || right == nil:
			return lack("How it stands needs a tyre on both sides of the %s axle, with its diameter.", end)
		}
	}
	if m.Rest != nil { // where it stands is what is asked here: begin as the document has it, every time alike
		plain := *m
		plain.Rest = nil
		m = &plain
	}
	st := travel.StandOf(m)
	for _, mv := range st.Movers {
		if !mv.Solved {
			return lack("How it stands needs an axle that its links hold: the links of the %s axle do not (see travel).", mv.End)
		}
	}
	if !st.Ground.Known {
		return lack("How it stands needs the front axle ahead of the rear one: check near of both.")
	}
	r := &machine{model: m, stand: st, turns: 1, hard: hard, units: units}
	for end := range r.axles {
		r.axle(solid.End(end))
	}
	r.weigh()
	if r.chassis.mass == 0 {
		return lack("How it stands needs weights: no part of the chassis has a mass.")
	}
	r.drive()
	r.belly = r.lowest()
	for end := range r.axles {
		if f := r.carries(&r.axles[end]); f != nil {
			return nil, f
		}
	}
	return r, nil
}

// twin is the machine with movers of its own, for another goroutine.
func (r *machine) twin() *machine {
	out := *r
	for i := range out.axles {
		mv := travel.NewMover(r.model, solid.End(i))
		mv.Jump(r.axles[i].mv.Design)
		mv.Design, mv.Source = r.axles[i].mv.Design, r.axles[i].mv.Source
		out.axles[i].mv = mv
	}
	return &out
}

func wheelPair(a *solid.Axle) (left, right *solid.Wheel) {
	for i := range a.Wheels {
		w := &a.Wheels[i]
		if w.At.Y > 0 && left == nil {
			left = w
		}
		if w.At.Y < 0 && right == nil {
			right = w
		}
	}
	return left, right
}

func (r *machine) axle(end solid.End) {
	m, a := r.model, &r.axles[end]
	a.end, a.mv = end, r.stand.Movers[end]
	_, _, sys, _ := a.mv.Rates()
	a.fast = sys.Len[0] > 0
	left, right := wheelPair(&m.Axles[end])
	a.wheels = [2]wheel{r.wheel(left), r.wheel(right)}
	for i := range m.Shocks {
		if s := &m.Shocks[i]; s.Axle == end {
			a.struts = append(a.struts, r.strut(s))
		}
	}
	for i := range m.Bars {
		b := &m.Bars[i]
		if b.Axle != end {
			continue
		}
		k, why, ok := rateOf(b)
		if !ok {
			r.note(finding.New(finding.Note, "ride/bar-not-used", "The anti-roll bar %q is not used: %s.", b.Name, why).For(b.Path))
			continue
		}
		a.bars = append(a.bars, bar{b, k})
	}
	a.pinion = m.Axles[end].PinionAxis
	if a.pinion.X < 0 {
		a.pinion = a.pinion.Scale(-1)
	}
}

func (r *machine) note(f finding.Finding) { r.notes = append(r.notes, f) }

func (r *machine) wheel(w *solid.Wheel) wheel {
	out := wheel{at: w.At, radius: w.Radius, crown: min(w.Width/2, w.Radius), side: w.Lateral, grip: w.Grip, model: w}
	rate := w.Rate
	switch {
	case len(w.Curve) > 0:
		out.load = rising(w.Curve)
		rate = w.Curve[0].Load / w.Curve[0].By
	case rate > 0:
		out.load = curve{}.put(0, rate)
	default:
		if w.Loaded > 0 {
			out.radius = w.Loaded
			out.crown = min(out.crown, out.radius)
		}
		out.load = curve{}.put(0, solidTyre)
		if w.Side == solid.Left {
			r.note(finding.New(finding.Note, "ride/stiff-tyre", "The tyre %q has no rate, so it is taken as rigid with a radius of %s: press its wheel on the kitchen scale and write rate.", w.Name, mm(out.radius, r.units)).For(w.Path))
		}
	}
	if out.side == 0 {
		out.side = treads
		if rate > 0 {
			out.side = sideways * rate
		}
		if w.Side == solid.Left {
			r.note(finding.New(finding.Note, "ride/lateral-rate", "The tyre %q has no lateral_rate; %s is assumed.", w.Name, quantity.DimRate.FormatDigits(out.side, r.units, 2)).For(w.Path))
		}
	}
	if out.grip == 0 {
		out.grip = usualGrip
	}
	return out
}

func (r *machine) strut(s *solid.Shock) strut {
	out := strut{model: s, stroke: math.Inf(1)}
	if s.Open > 0 && s.Closed > 0 {
		out.stroke = s.Open - s.Closed
	}
	if s.Open == 0 {
		if len(s.Springs)+len(s.Above)+len(s.Below) > 0 {
			r.note(finding.New(finding.Note, "ride/spring-without-place", "The springs of the %s shock are not used: their place follows from open, which it lacks.", s.Name).For(s.Path))
		}
		return out
	}
	out.outer = stack(s.Springs, r.hard)
	for _, one := range []struct {
		key     string
		list    []solid.Spring
		into    *curve
		chamber *float64
	}{{"above_piston", s.Above, &out.above, &out.slack[0]}, {"below_piston", s.Below, &out.below, &out.slack[1]}} {
		if len(one.list) == 0 {
			continue
		}
		free := 0.0
		for _, c := range one.list {
			if c.Free == 0 || c.Rate == 0 {
				free = math.NaN()
			}
			free += c.Free
		}
		if math.IsNaN(free) || math.IsInf(out.stroke, 1) {
			r.note(finding.New(finding.Note, "ride/spring-without-place", "The %s springs of the %s shock are not used: they need rate and free, and the shock closed.", one.key, s.Name).For(s.Path))
			continue
		}
		*one.into, *one.chamber = stack(one.list, r.hard), free
	}
	out.sprung = len(out.outer) > 0 || len(out.above) > 0
	return out
}

// push is the force with which the shock pushes its eyes apart at compression c = open − length, mm, with its energy and slope. The collar
// preloads the outer springs, down mm more than the document says; those above the piston stand in a chamber as long as the stroke left, those below in one as long as the
// stroke used. Fully open and fully closed are dead stops.
func (s *strut) push(c, down, stop float64) (e, f, k float64) {
	add := func(e1, f1, k1 float64) { e, f, k = e+e1, f+f1, k+k1 }
	if s.model.Open == 0 { // c counts from 0: only the closed stop is known
		if over := c + s.model.Closed; s.model.Closed > 0 && over > 0 {
			add(stop*over*over/2, stop*over, stop)
		}
		return e, f, k
	}
	add(s.outer.at(c + s.model.Collar + down))
	if s.above != nil {
		add(s.above.at(s.slack[0] - s.stroke + c))
	}
	if s.below != nil {
		e1, f1, k1 := s.below.at(s.slack[1] - c)
		add(e1, -f1, k1)
	}
	if c < 0 {
		add(stop*c*c/2, stop*c, stop)
	}
	if over := c - s.stroke; over > 0 {
		add(stop*over*over/2, stop*over, stop)
	}
	return e, f, k
}

// weigh shares the weights out: bodies to their carriers, half of what spans two to each of its ends. An even bar has exactly that energy
// in the field of gravity; a shock on a link hangs with its half on that eye.
func (r *machine) weigh() {
	m := r.model
	of := func(c solid.Carrier) *rigid {
		if c == solid.OnChassis {
			return &r.chassis
		}
		return &r.axles[c-1].body
	}
	for i := range m.Bodies {
		if b := &m.Bodies[i]; b.HasMass {
			of(b.Carrier).add(b.Mass, b.CG)
		}
	}
	for i := range m.Links {
		if l := &m.Links[i]; l.HasMass {
			r.chassis.add(l.Mass/2, l.From)
			of(solid.CarrierOf(l.Axle)).add(l.Mass/2, l.To)
		}
	}
	for i := range m.Shafts {
		if s := &m.Shafts[i]; s.HasMass {
			r.chassis.add(s.Mass/2, s.From)
			of(solid.CarrierOf(s.Axle)).add(s.Mass/2, s.To)
		}
	}
	for i := range m.Shocks {
		s := &m.Shocks[i]
		if !s.HasMass || s.Mass == 0 {
			continue
		}
		for _, e := range []solid.Anchor{s.Top, s.Bottom} {
			if e.Link >= 0 {
				a := &r.axles[s.Axle]
				a.hung = append(a.hung, hanging{e, s.Mass / 2})
				continue
			}
			of(e.Carrier).add(s.Mass/2, e.At)
		}
	}
	if k, ok := m.Steer.Span(); ok && k.Has {
		of(k.On[0]).add(k.Mass/2, k.At[0])
		of(k.On[1]).add(k.Mass/2, k.At[1])
	}
	r.mass = r.chassis.mass
	for i := range r.axles {
		r.mass += r.axles[i].body.mass
		for _, h := range r.axles[i].hung {
			r.mass += h.mass
		}
	}
}

// drive reads ratios and the way the shafts turn.
func (r *machine) drive() {
	if r.model.Doc == nil || r.model.Doc.Drive == nil {
		return
	}
	d := r.model.Doc.Drive
	if d.Turns == "anticlockwise" {
		r.turns = -1
	}
	if f := d.Front; f != nil && f.Ring > 0 && f.Pinion > 0 {
		r.axles[solid.Front].ratio = ratioOf(f.Ring, f.Pinion, f.Portal)
	}
	if f := d.Rear; f != nil && f.Ring > 0 && f.Pinion > 0 {
		r.axles[solid.Rear].ratio = ratioOf(f.Ring, f.Pinion, f.Portal)
	}
}

// ratioOf is how often the shaft turns for one turn of the wheels: ring over pinion, times lower over upper portal gear.
func ratioOf(ring, pinion int, portal []int) float64 {
	i := float64(ring) / float64(pinion)
	for k := 1; k < len(portal); k++ {
		if portal[k-1] > 0 && portal[k] > 0 {
			i *= float64(portal[k]) / float64(portal[k-1])
		}
	}
	return i
}

// carries is a finding when no spring is known to carry the chassis on an axle: what it would come to rest on then is said, and no number
// is made of it, since most documents without springs are not of rigs without springs.
func (r *machine) carries(a *axle) *finding.Finding {
	stop := ""
	for i := range a.struts {
		s := &a.struts[i]
		if s.sprung {
			return nil
		}
		if s.model.Closed > 0 {
			stop = fmt.Sprintf(": without any it would stand on their stops, fully closed at %s", mm(s.model.Closed, r.units))
		}
	}
	f := finding.New(finding.Note, "ride/lacking", "How it stands needs springs on the shocks of the %s axle, with rate, and open of the shocks%s.", a.end, stop).
		For(r.model.Axles[a.end].Path)
	return &f
}
