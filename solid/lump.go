package solid

// Across is the direction of a link's rise: n, the unit vector perpendicular to the link's direction e in the plane of link
// and chassis z, so n = (b − (b·e)e)/size with b = ẑ. For a link that stands on end that plane does not exist; then b is −x̂.
func Across(e Vec) (n, b Vec, size float64) {
	b = Vec{Z: 1}
	m := b.Along(e, -b.Dot(e))
	size = m.Norm()
	if size < 1e-6 {
		b = Vec{X: -1}
		m = b.Along(e, -b.Dot(e))
		size = m.Norm()
	}
	return m.Scale(1 / size), b, size
}

// Point is where a place on the link is when its axle eye is at end: along from the chassis eye, rise across. Chassis frame, mm.
func (l *Link) Point(end Vec, along, rise float64) Vec {
	e := end.Sub(l.From).Unit()
	n, _, _ := Across(e)
	return l.From.Along(e, along).Along(n, rise)
}

// A Stance places the two axles in the chassis frame: what is needed to put every body somewhere.
type Stance [2]Frame

// Place puts a point of a carrier's frame into the chassis frame.
func (s *Stance) Place(c Carrier, v Vec) Vec {
	if c == OnChassis {
		return v
	}
	return s[c-1].Apply(v)
}

// PlaceAnchor is where a shock's eye is, chassis frame, mm.
func (s *Stance) PlaceAnchor(m *Model, a Anchor) Vec {
	if a.Link < 0 {
		return s.Place(a.Carrier, a.At)
	}
	l := &m.Links[a.Link]
	return l.Point(s.Place(CarrierOf(l.Axle), l.To), a.Along, a.Rise)
}

// A Lump is one weight at its place: a part, a link, a shock or a shaft, each mirror twin its own.
type Lump struct {
	Name    string
	Path    string // in the document
	Side    Side
	Mass    float64 // kg
	At      Vec     // centre of mass, chassis frame, mm
	Guessed bool    // Mass is an estimate
	Sprung  float64 // share that the springs carry: 1 chassis, 0 axle, ½ for what spans the two (common practice)
	Inertia Sym     // about At, chassis axes, kg·mm²
}

// Lumps lists every weight given in the document, placed by the stance, in document order: parts, links, shocks, shafts, drag link.
func (m *Model) Lumps(s *Stance) []Lump {
	out := make([]Lump, 0, len(m.Bodies)+len(m.Links)+len(m.Shocks)+len(m.Shafts))
	for i := range m.Bodies {
		b := &m.Bodies[i]
		if !b.HasMass {
			continue
		}
		l := Lump{Name: b.Name, Path: b.Path, Side: b.Side, Mass: b.Mass, Guessed: b.Guessed, At: s.Place(b.Carrier, b.CG), Inertia: b.Inertia}
		if b.Carrier == OnChassis {
			l.Sprung = 1
		} else {
			l.Inertia = b.Inertia.Turned(&s[b.Carrier-1].R)
		}
		out = append(out, l)
	}
	for i := range m.Links {
		l := &m.Links[i]
		if l.HasMass {
			to := s.Place(CarrierOf(l.Axle), l.To)
			out = append(out, span(l.Name, l.Path, l.Side, l.Mass, l.From, to))
		}
	}
	for i := range m.Shocks {
		k := &m.Shocks[i]
		if k.HasMass {
			out = append(out, span(k.Name+" shock", k.Path, k.Side, k.Mass, s.PlaceAnchor(m, k.Top), s.PlaceAnchor(m, k.Bottom)))
		}
	}
	for i := range m.Shafts {
		k := &m.Shafts[i]
		if k.HasMass {
			to := s.Place(CarrierOf(k.Axle), k.To)
			out = append(out, span(k.Name+" shaft", k.Path, Single, k.Mass, k.From, to))
		}
	}
	if k, ok := m.Steer.Span(); ok && k.Has {
		l := span(k.Name, k.Path, Single, k.Mass, s.Place(k.On[0], k.At[0]), s.Place(k.On[1], k.At[1]))
		if k.On[0] != OnChassis {
			l.Sprung = 0
		}
		out = append(out, l)
	}
	return out
}

// span is a slender bar between two points, half of it sprung.
func span(name, path string, side Side, mass float64, a, b Vec) Lump {
	d := b.Sub(a)
	k := mass / 12
	return Lump{
		Name: name, Path: path, Side: side, Mass: mass, At: a.Add(b).Scale(0.5), Sprung: 0.5,
		Inertia: Sym{k * (d.Y*d.Y + d.Z*d.Z), k * (d.X*d.X + d.Z*d.Z), k * (d.X*d.X + d.Y*d.Y), -k * d.X * d.Y, -k * d.X * d.Z, -k * d.Y * d.Z},
	}
}

// CenterOfMass sums lumps: mass in kg, centre in the chassis frame, mm. The centre of nothing is the origin.
func CenterOfMass(list []Lump) (mass float64, at Vec) {
	for i := range list {
		mass += list[i].Mass
		at = at.Along(list[i].At, list[i].Mass)
	}
	if mass > 0 {
		at = at.Scale(1 / mass)
	}
	return mass, at
}

// Turned is R·I·Rᵀ, the tensor seen from the outer frame.
func (t Sym) Turned(r *Mat) Sym {
	full := Mat{t[0], t[3], t[4], t[3], t[1], t[5], t[4], t[5], t[2]}
	a := r.Times(&full)
	rt := Mat{r[0], r[3], r[6], r[1], r[4], r[7], r[2], r[5], r[8]}
	b := a.Times(&rt)
	return Sym{b[0], b[4], b[8], b[1], b[2], b[5]}
}

// Plus adds two tensors about the same point.
func (t Sym) Plus(o Sym) Sym {
	for i := range t {
		t[i] += o[i]
	}
	return t
}

// Steiner is the tensor of a point mass at offset d, kg·mm²: what moving the reference point adds (parallel axes).
func Steiner(mass float64, d Vec) Sym {
	return Sym{
		mass * (d.Y*d.Y + d.Z*d.Z), mass * (d.X*d.X + d.Z*d.Z), mass * (d.X*d.X + d.Y*d.Y),
		-mass * d.X * d.Y, -mass * d.X * d.Z, -mass * d.Y * d.Z,
	}
}
