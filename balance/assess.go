package balance

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"lowslung/channel"
	"lowslung/finding"
	"lowslung/quantity"
	"lowslung/solid"
	"lowslung/travel"
)

const deg = math.Pi / 180

// Assess answers the question. It moves nothing: see Moved for the "what if".
func Assess(m *solid.Model, o Options) (Answer, error) {
	st := travel.StandOf(m)
	lumps := m.Lumps(st.Stance())
	a := Answer{Weightless: weightless(m), Parts: []Weight{}, Sensitivity: []Sensitivity{}, Findings: []finding.Finding{}}
	if !o.Brief {
		a.Parts = weights(lumps)
	}
	mass, at := solid.CenterOfMass(lumps)
	a.MassKG = mass
	for i := range lumps {
		a.SprungMassKG += lumps[i].Mass * lumps[i].Sprung
	}
	a.UnsprungMassKG = a.MassKG - a.SprungMassKG
	a.CenterOfMassMM = []float64{at.X, at.Y, at.Z}
	a.InertiaKGMM2 = inertia(lumps, at)
	if mass == 0 {
		a.Findings = append(a.Findings, finding.New(finding.Note, "balance/no-weights",
			"No part has a weight, so there is nothing to balance: write mass: on the parts, as the kitchen scale says."))
		return a, nil
	}
	b := newBase(m, st)
	if b == nil {
		a.Findings = append(a.Findings, finding.New(finding.Note, "balance/no-ground",
			"Loads and tip angles need both axles with near, and a tyre with its diameter on each."))
	} else {
		a.stand(b, mass, at)
		if !o.Brief {
			a.Sensitivity = sensitivity(b, lumps)
		}
	}
	a.judge(m, o)
	finding.Sort(a.Findings)
	return a, nil
}

// A base is what the rig stands on: contact points in the ground's own frame (x forward along the ground, y left, z up, origin
// on the centreline below the rear axle). An axle that a transverse rod holds a little to one side, or that stands a little
// steered, has its contact points there.
type base struct {
	g         travel.Ground
	length    float64   // wheelbase along the ground, mm
	halfTrack float64   // mean of both axles, mm
	fl, fr    solid.Vec // front contact points, mm
	rl, rr    solid.Vec // rear contact points, mm
}

// newBase is nil when the ground or a track is not known.
func newBase(m *solid.Model, st *travel.Stand) *base {
	f, r := m.Axles[solid.Front].HalfTrack, m.Axles[solid.Rear].HalfTrack
	if !st.Ground.Known || f == 0 || r == 0 {
		return nil
	}
	g := st.Ground
	b := &base{g: g, length: g.Contact[solid.Front].Sub(g.Contact[solid.Rear]).Norm(), halfTrack: (f + r) / 2}
	below := func(end solid.End, y float64) solid.Vec { // straight below a wheel centre
		c := b.seen(st.Movers[end].Design.Place(solid.Vec{Y: y}))
		c.Z = 0
		return c
	}
	b.fl, b.fr = below(solid.Front, f), below(solid.Front, -f)
	b.rl, b.rr = below(solid.Rear, r), below(solid.Rear, -r)
	return b
}

// seen puts a chassis-frame point into the ground's frame.
func (b *base) seen(q solid.Vec) solid.Vec {
	d := q.Sub(b.g.Point)
	return solid.Vec{X: d.Dot(b.g.Forward), Y: d.Dot(b.g.Left()), Z: d.Dot(b.g.Up)}
}

// tips are the rigid tip angles for a centre of mass c in the ground's frame, rad: atan(d/h) with d the level distance of c
// from the line that the rig tips about. Sideways that is the true line through the two lower contact points; nose up the
// line through the rear contacts, nose down through the front ones. (Statics; static stability factor T/2h as NHTSA defines it.)
func (b *base) tips(c solid.Vec) (left, right, up, down float64) {
	angle := func(from, to solid.Vec) float64 { // the lines go round against the clock, so that inside is to their left
		dx, dy := to.X-from.X, to.Y-from.Y
		return math.Atan2((dx*(c.Y-from.Y)-dy*(c.X-from.X))/math.Hypot(dx, dy), c.Z)
	}
	return angle(b.fl, b.rl), angle(b.rr, b.fr), angle(b.rl, b.rr), angle(b.fr, b.fl)
}

// loads are the shares of the weight that stands on each wheel, level, for a centre of mass c in the ground's frame: sum and
// both moments as statics demand, and each axle's load as far across as c, so that no twist goes through the chassis.
func (b *base) loads(c solid.Vec) Corners {
	across := func(left, right solid.Vec) (share, x float64) { // of the left wheel; where c's line meets the axle's contact line
		share = (c.Y - right.Y) / (left.Y - right.Y)
		return share, right.X + share*(left.X-right.X)
	}
	f, xf := across(b.fl, b.fr)
	r, xr := across(b.rl, b.rr)
	front := (c.X - xr) / (xf - xr)
	return Corners{FrontLeft: front * f, FrontRight: front * (1 - f), RearLeft: (1 - front) * r, RearRight: (1 - front) * (1 - r)}
}

func (a *Answer) stand(b *base, mass float64, at solid.Vec) {
	c := b.seen(at)
	h, l, pitch, roll := c.Z, b.length, b.g.Pitch/deg, b.g.Roll/deg
	a.CenterOfMassHeightMM, a.WheelbaseMM, a.GroundPitchDeg = &h, &l, &pitch
	a.GroundRollDeg = &roll
	k := b.loads(c)
	share := k.FrontLeft + k.FrontRight
	a.FrontShare = &share
	a.CornerLoadsN = k.times(mass * quantity.Gravity / 1000)
	if h > 0 {
		ssf := b.halfTrack / h // T/2h with T the mean track
		a.StaticStability = &ssf
		left, right, up, down := b.tips(c)
		u, d := up/deg, down/deg
		a.TipSideDeg = &Sides{Left: left / deg, Right: right / deg}
		a.TipNoseUpDeg, a.TipNoseDownDeg = &u, &d
	}
}

func inertia(lumps []solid.Lump, at solid.Vec) []float64 {
	var t solid.Sym
	for i := range lumps {
		t = t.Plus(lumps[i].Inertia).Plus(solid.Steiner(lumps[i].Mass, lumps[i].At.Sub(at)))
	}
	return t[:]
}

func weightless(m *solid.Model) []Weightless {
	out := []Weightless{}
	for i := range m.Bodies {
		b := &m.Bodies[i]
		if b.HasMass || b.Side == solid.Right {
			continue
		}
		w := Weightless{Path: b.Path, Name: b.Name}
		if b.Guess > 0 {
			g := b.Guess * 1000
			if b.Side != solid.Single {
				g *= 2
			}
			w.EstimateG, w.EstimateOf = &g, "volume of its shapes, overlaps counted twice, times the material's density"
		}
		out = append(out, w)
	}
	for i := range m.Links {
		if l := &m.Links[i]; !l.HasMass && l.Side != solid.Right {
			out = append(out, Weightless{Path: l.Path, Name: l.Name})
		}
	}
	for i := range m.Shocks {
		if s := &m.Shocks[i]; !s.HasMass && s.Side != solid.Right {
			out = append(out, Weightless{Path: s.Path, Name: s.Name + " shock"})
		}
	}
	for i := range m.Shafts {
		if s := &m.Shafts[i]; !s.HasMass {
			out = append(out, Weightless{Path: s.Path, Name: s.Name + " shaft"})
		}
	}
	if k, ok := m.Steer.Span(); ok && !k.Has {
		out = append(out, Weightless{Path: k.Path, Name: k.Name})
	}
	return out
}

// twins calls f once for each part with the indices of its lumps.
func twins(lumps []solid.Lump, f func(list []int)) {
	seen := map[string]int{}
	var groups [][]int
	for i := range lumps {
		k, ok := seen[lumps[i].Path]
		if !ok {
			k = len(groups)
			seen[lumps[i].Path] = k
			groups = append(groups, nil)
		}
		groups[k] = append(groups[k], i)
	}
	for _, g := range groups {
		f(g)
	}
}

func weights(lumps []solid.Lump) []Weight {
	out := []Weight{}
	twins(lumps, func(list []int) {
		first := &lumps[list[0]]
		var both []solid.Lump
		for _, i := range list {
			both = append(both, lumps[i])
		}
		mass, at := solid.CenterOfMass(both)
		out = append(out, Weight{Path: first.Path, Name: first.Name, MassG: mass * 1000, Guess: first.Guessed, AtMM: []float64{at.X, at.Y, at.Z}, Sprung: first.Sprung})
	})
	slices.SortStableFunc(out, func(a, b Weight) int { return cmp.Compare(b.MassG, a.MassG) })
	return out
}

// sensitivity works each change out anew, exactly: it moves the centre of mass and reads the tip angles again.
func sensitivity(b *base, lumps []solid.Lump) []Sensitivity {
	mass, at := solid.CenterOfMass(lumps)
	c := b.seen(at)
	l0, r0, u0, d0 := b.tips(c)
	change := func(c solid.Vec) Angles {
		l, r, u, d := b.tips(c)
		return Angles{(l - l0) / deg, (r - r0) / deg, (u - u0) / deg, (d - d0) / deg}
	}
	out := []Sensitivity{}
	twins(lumps, func(list []int) {
		first := &lumps[list[0]]
		var sum, middle solid.Vec
		own := 0.0
		for _, i := range list {
			own += lumps[i].Mass
			sum = sum.Along(lumps[i].At, lumps[i].Mass)
			middle = middle.Along(lumps[i].At, 1/float64(len(list)))
		}
		shift := func(x, y, z float64) Angles {
			k := own / mass
			return change(b.seen(at.Add(solid.Vec{X: x * k, Y: y * k, Z: z * k})))
		}
		s := Sensitivity{Path: first.Path, Name: first.Name, Forward5MM: shift(5, 0, 0), Down5MM: shift(0, 0, -5)}
		if len(list) == 1 {
			s.Left5MM = shift(0, 5, 0)
		}
		const add = 0.010 // kg
		s.Add10G = change(b.seen(at.Scale(mass).Along(middle, add).Scale(1 / (mass + add))))
		out = append(out, s)
	})
	size := func(s *Sensitivity) float64 {
		worst := 0.0
		for _, a := range []Angles{s.Add10G, s.Forward5MM, s.Left5MM, s.Down5MM} {
			worst = max(worst, math.Abs(a.Left), math.Abs(a.Right), math.Abs(a.NoseUp), math.Abs(a.NoseDown))
		}
		return worst
	}
	slices.SortStableFunc(out, func(a, b Sensitivity) int { return cmp.Compare(size(&b), size(&a)) })
	return out
}

func (a *Answer) judge(m *solid.Model, o Options) {
	add := func(f finding.Finding) { a.Findings = append(a.Findings, f) }
	if n := len(a.Weightless); n > 0 {
		about := make([]string, 0, n)
		guess := 0.0
		for _, w := range a.Weightless {
			about = append(about, w.Path)
			if w.EstimateG != nil {
				guess += *w.EstimateG
			}
		}
		text := "1 part has no weight and is left out of every sum"
		if n > 1 {
			text = fmt.Sprintf("%d parts have no weight and are left out of every sum", n)
		}
		if guess > 0 {
			text += fmt.Sprintf("; those with a shape and a material come to about %s (estimate)", quantity.DimMass.Format(guess/1000, o.Units))
		}
		add(finding.New(finding.Note, "balance/weightless", "%s.", text).For(about...).CuredBy("put them on the kitchen scale and write mass"))
	}
	if c := a.CornerLoadsN; c != nil {
		for _, w := range []struct {
			name string
			load float64
		}{{"front left", c.FrontLeft}, {"front right", c.FrontRight}, {"rear left", c.RearLeft}, {"rear right", c.RearRight}} {
			if w.load <= 0 {
				add(finding.New(finding.Stop, "balance/wheel-off", "Standing level the %s wheel carries nothing: the centre of mass lies outside the wheels.", w.name).
					CuredBy("check the places of the heavy parts"))
			}
		}
	}
	if h := a.CenterOfMassHeightMM; h != nil && *h <= 0 {
		add(finding.New(finding.Stop, "balance/below-ground", "The centre of mass comes out %s below the ground: a weight or a place is wrong.",
			quantity.DimLength.Format(-*h, o.Units)).CuredBy("check the places of the heavy parts, and near of both axles"))
	}
	if m.Doc != nil {
		a.Findings = append(a.Findings, channel.Judge(m.Doc, a.Numbers(), o.Units)...)
	}
}

// LevelLoads are the loads on the four wheels, standing level at the design pose, N; ok is false when weights, ground or tracks are
// not known.
func LevelLoads(m *solid.Model, st *travel.Stand) (loads Corners, ok bool) {
	b := newBase(m, st)
	mass, at := solid.CenterOfMass(m.Lumps(st.Stance()))
	if b == nil || mass == 0 {
		return Corners{}, false
	}
	k := b.loads(b.seen(at))
	return *k.times(mass * quantity.Gravity / 1000), true
}

func (c Corners) times(w float64) *Corners {
	return &Corners{FrontLeft: w * c.FrontLeft, FrontRight: w * c.FrontRight, RearLeft: w * c.RearLeft, RearRight: w * c.RearRight}
}
