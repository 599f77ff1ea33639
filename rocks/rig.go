package rocks

import (
	"math"

	"lowslung/drive"
	"lowslung/finding"
	"lowslung/quantity"
	"lowslung/ride"
	"lowslung/solid"
)

// The rig as it moves: compiled once, then only read, but for its laws, which belong to one goroutine.

const (
	deg     = math.Pi / 180
	gravity = quantity.Gravity // mm/s²
	// usualDamping is a shock's damping when the document does not say enough of it, N·s/mm: light oil, an assumption.
	usualDamping = 0.02
	// tyreDamping is the damping ratio of a corner on its tyre alone: an assumption for foam inside soft rubber.
	tyreDamping = 0.1
	// rolling is the rolling resistance of a soft foam-filled tyre on rough ground, as drive has it: an assumption.
	rolling = 0.05
	// rotorShare and rotorReach make a motor's inertia of its weight and size: 0.45 of its mass turns, as an even cylinder of 0.6 of its diameter. An
	// estimate: it agrees with what data sheets of 36 mm cans give (35 to 45 g·cm², from memory) within a third.
	rotorShare, rotorReach = 0.45, 0.6
	usualRotor             = 4.0 // kg·mm², of a motor without weight or shape
)

type axle struct {
	body  lump
	spin  [2]float64 // of each wheel about its axis, N·mm·s²
	tyres [2]ride.TyreLaw
	damp  float64 // N·s/mm across a tyre
	ratio float64 // shaft turns per wheel turn, for the drive's twist; 0 when not known
	from  [2]row  // what the drive line's freedoms turn each wheel by
	mu    float64
}

// A machine is the rig compiled.
type machine struct {
	model     *solid.Model
	laws      *ride.Laws
	chassis   lump
	axles     [2]axle
	free      int // velocities in use
	motorFree int // the one that the motor turns, −1 when nothing drives
	rotor     float64
	line      drive.Line
	geared    bool // line is the document's
	powered   bool // its motor is known
	mass      float64
	drags     [2][]dragTable
	skin      skin
	stand     ride.Standing
	base      float64 // wheelbase, mm
	radius    float64 // of the larger tyre, mm
	notes     []finding.Finding
}

// compile makes the machine, or says what is lacking.
func compile(m *solid.Model, o *Options) (*machine, *finding.Finding) {
	laws, lacking := ride.LawsOf(m, o.Units)
	if lacking != nil {
		f := *lacking
		f.Code = "rocks/lacking"
		f.Sentence = "No runs: " + f.Sentence
		return nil, &f
	}
	st, ok := laws.Stand()
	if !ok {
		f := finding.New(finding.Note, "rocks/lacking", "No runs: the rig does not come to rest on level ground, so it cannot be set down anywhere (see ride).")
		return nil, &f
	}
	r := &machine{model: m, laws: laws, stand: st, mass: laws.Mass(), motorFree: -1, free: 10}
	r.weigh()
	for e := range r.axles {
		a := &r.axles[e]
		for side := range 2 {
			a.tyres[side] = laws.Axle(solid.End(e)).Tyre(side)
			r.radius = max(r.radius, a.tyres[side].Radius)
		}
		a.mu = a.tyres[0].Grip
		if o.Grip > 0 {
			a.mu = o.Grip
		}
		_, _, k := laws.Axle(solid.End(e)).Press(0, 1e-3)
		a.damp = 2 * tyreDamping * math.Sqrt(k*r.mass/4/1000)
	}
	r.drive()
	r.damp()
	r.skin = newSkin(m)
	laws.Axle(solid.Front).To(st.Z[0], st.Phi[0])
	laws.Axle(solid.Rear).To(st.Z[1], st.Phi[1])
	f, _ := laws.Axle(solid.Front).Pose()
	b, _ := laws.Axle(solid.Rear).Pose()
	r.base = f.X - b.X
	return r, nil
}

// twin is the machine for another goroutine.
func (r *machine) twin() *machine {
	out := *r
	out.laws = r.laws.Twin()
	return &out
}

// gather sums lumps of kg and kg·mm² about their common centre.
type gather struct {
	mass float64
	at   solid.Vec
	list []lump
}

func (g *gather) add(mass float64, at solid.Vec, tensor solid.Sym) {
	if mass <= 0 {
		return
	}
	g.mass += mass
	g.at = g.at.Along(at.Sub(g.at), mass/g.mass)
	g.list = append(g.list, lump{mass, at, tensor})
}

func (g *gather) lump() lump {
	out := lump{mass: g.mass / 1000, at: g.at}
	for i := range g.list {
		l := &g.list[i]
		out.i = out.i.Plus(l.i).Plus(solid.Steiner(l.mass, l.at.Sub(g.at)))
	}
	for i := range out.i {
		out.i[i] /= 1000
	}
	return out
}

// weigh shares weights out as ride does: half of what spans two bodies to each, as points at its ends. Parts without a shape are points, and a
// body of few points is given a little inertia, as much as a ball of 20 mm has.
func (r *machine) weigh() {
	var of [3]gather
	m := r.model
	for i := range m.Bodies {
		if b := &m.Bodies[i]; b.HasMass {
			of[b.Carrier].add(b.Mass, b.CG, b.Inertia)
		}
	}
	for i := range m.Links {
		if l := &m.Links[i]; l.HasMass {
			of[0].add(l.Mass/2, l.From, solid.Sym{})
			of[solid.CarrierOf(l.Axle)].add(l.Mass/2, l.To, solid.Sym{})
		}
	}
	for i := range m.Shafts {
		if s := &m.Shafts[i]; s.HasMass {
			of[0].add(s.Mass/2, s.From, solid.Sym{})
			of[solid.CarrierOf(s.Axle)].add(s.Mass/2, s.To, solid.Sym{})
		}
	}
	for i := range m.Shocks {
		if s := &m.Shocks[i]; s.HasMass {
			for _, a := range []solid.Anchor{s.Top, s.Bottom} {
				if a.Link < 0 {
					of[a.Carrier].add(s.Mass/2, a.At, solid.Sym{})
				}
			}
		}
	}
	for c := range of {
		l := of[c].lump()
		for k := range 3 {
			l.i[k] += 0.4 * (l.mass + 0.01) * 20 * 20
		}
		if c == 0 {
			r.chassis = l
		} else {
			r.axles[c-1].body = l
		}
	}
	for e := range r.axles {
		for side := range 2 {
			w := r.laws.Axle(solid.End(e)).Tyre(side).Wheel
			in := 0.0
			for i := range m.Bodies {
				if b := &m.Bodies[i]; b.Path == w.Path && b.CG.Y*w.At.Y > 0 {
					in = max(in, b.Inertia[1]/1000)
				}
			}
			if in == 0 { // a tyre that is not weighed: 60 g at seven tenths of its radius
				in = 0.06e-3 * 0.49 * w.Radius * w.Radius
			}
			r.axles[e].spin[side] = in
		}
	}
}

// drive lays out what is free to turn: one freedom for the motor and what is locked to it, one more for each open differential, two for an axle
// that nothing drives.
func (r *machine) drive() {
	r.line, r.geared = drive.LineOf(r.model)
	if !r.geared {
		r.line = drive.Line{Gearbox: 1}
		for e := range r.line.Ends {
			r.line.Ends[e] = drive.LineEnd{Driven: true, Final: 1, Over: 1, Efficiency: 1, Diff: "locked"}
		}
		r.notes = append(r.notes, finding.New(finding.Note, "rocks/no-drive",
			"The document has no drive line with known ratios: all four wheels are taken to be locked together, with all the torque they can use.").For("drive"))
	}
	r.powered = r.line.Motor != nil
	if r.geared && !r.powered {
		r.notes = append(r.notes, finding.New(finding.Note, "rocks/no-motor",
			"The document does not say enough of motor and pack: the wheels are taken to have all the torque they can use.").For("drive/motor"))
	}
	next := func() int { r.free++; return r.free - 1 }
	for e := range r.axles {
		a, end := &r.axles[e], &r.line.Ends[e]
		if !end.Driven {
			for side := range 2 {
				a.from[side][next()] = 1
			}
			continue
		}
		if r.motorFree < 0 {
			r.motorFree = next()
		}
		if r.geared {
			a.ratio = end.Final
		}
		for side := range 2 {
			a.from[side][r.motorFree] = end.Over / end.Final
		}
		switch end.Diff {
		case "open":
			d := next()
			a.from[0][d], a.from[1][d] = 1, -1
		case "one-way":
			r.notes = append(r.notes, finding.New(finding.Note, "rocks/one-way",
				"The one-way axle in the %s is taken as locked, as it is while it drives; that it runs ahead freely is left out.", solid.End(e)).For("drive/"+solid.End(e).String()))
		}
	}
	r.rotor = r.rotorInertia() * r.line.Gearbox * r.line.Gearbox
}

func (r *machine) rotorInertia() float64 {
	if !r.powered {
		return usualRotor / 1000 / 100
	}
	name := r.model.Doc.Drive.Motor
	for i := range r.model.Bodies {
		b := &r.model.Bodies[i]
		if b.Name != name || b.Carrier != solid.OnChassis || !b.HasMass {
			continue
		}
		for k := range b.Shapes {
			if s := &b.Shapes[k]; s.Kind == solid.Cylinder {
				reach := rotorReach * s.Size.Y / 2
				return rotorShare * b.Mass * reach * reach / 2 / 1000
			}
		}
	}
	return usualRotor / 1000
}

// A dragTable is a damper's force over closing speed, N over mm/s, straight between its knots, which lie closer together near 0.
type dragTable [2*dragKnots + 1]float64

const (
	dragKnots = 24
	dragTop   = 5000.0 // mm/s
)

func dragSpeed(i int) float64 {
	x := float64(i-dragKnots) / dragKnots
	return dragTop * x * math.Abs(x)
}

// at is the force at a speed and how much it grows with it.
func (t *dragTable) at(v float64) (f, c float64) {
	x := math.Copysign(math.Sqrt(min(math.Abs(v), dragTop)/dragTop), v) * dragKnots
	i := min(max(int(math.Floor(x))+dragKnots, 0), 2*dragKnots-1)
	a, b := dragSpeed(i), dragSpeed(i+1)
	c = (t[i+1] - t[i]) / (b - a)
	return t[i] + c*(v-a), c
}

func (r *machine) damp() {
	said := false
	for e := range r.axles {
		ax := r.laws.Axle(solid.End(e))
		for i := range ax.Shocks() {
			var t dragTable
			_, known := ax.Damper(i)
			for k := range t {
				if v := dragSpeed(k); known {
					t[k] = ax.Drag(i, v)
				} else {
					t[k] = usualDamping * v
				}
			}
			if !known && !said {
				said = true
				r.notes = append(r.notes, finding.New(finding.Note, "rocks/damping",
					"Not enough is known of the dampers: %.0f N·s/m is assumed in each shock. That bears on how it bounces, hardly on what it climbs.", usualDamping*1000).For("shocks"))
			}
			r.drags[e] = append(r.drags[e], t)
		}
	}
}
