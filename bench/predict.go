package bench

import (
	"fmt"
	"math"

	"lowslung/balance"
	"lowslung/quantity"
	"lowslung/ride"
	"lowslung/rig"
	"lowslung/solid"
	"lowslung/travel"
)

// newton is the weight of 1 kg, N.
const newton = quantity.Gravity / 1000

// A sight is a rig standing: what readings are predicted from.
type sight struct {
	m     *solid.Model
	st    *travel.Stand
	load  *[4]float64 // on each wheel, N; nil when not known
	mass  float64     // kg
	at    solid.Vec   // centre of mass, chassis frame, mm
	tips  *[4]float64 // rigid, rad: left, right, nose up, nose down; nil when not known
	front float64     // share of the weight on the front axle
	ssf   float64
	kv    []motor
}

// look stands the trial's rig. Tips are worked out when asked for.
func (t *trial) look() *sight {
	m, load := ride.StandOn(&t.m)
	s := &sight{m: m, load: load, st: travel.StandOf(m), kv: t.kv}
	s.mass, s.at = solid.CenterOfMass(m.Lumps(s.st.Stance()))
	a, err := balance.Assess(m, balance.Options{Brief: true})
	if err != nil || a.TipSideDeg == nil {
		return s
	}
	s.tips = &[4]float64{a.TipSideDeg.Left * deg, a.TipSideDeg.Right * deg, *a.TipNoseUpDeg * deg, *a.TipNoseDownDeg * deg}
	s.front, s.ssf = *a.FrontShare, *a.StaticStability
	if k := a.CornerLoadsN; s.load == nil && k != nil {
		s.load = &[4]float64{k.FrontLeft, k.FrontRight, k.RearLeft, k.RearRight}
	}
	return s
}

// flexed are the tip angles on springs and tyres, rad, in the order of tips; NaN where ride has none.
func (s *sight) flexed() [4]float64 {
	out := [4]float64{math.NaN(), math.NaN(), math.NaN(), math.NaN()}
	a, err := ride.Assess(s.m, ride.Options{Brief: true})
	if err != nil || a.Tilt == nil {
		if s.tips != nil {
			return *s.tips
		}
		return out
	}
	for i, t := range []ride.Tilting{a.Tilt.LeftDown, a.Tilt.RightDown, a.Tilt.NoseUp, a.Tilt.NoseDown} {
		if t.TipDeg != nil {
			out[i] = *t.TipDeg * deg
		}
	}
	return out
}

// A probe is one thing that can be measured: of what, where. It predicts a reading in program units.
type probe struct {
	of, at, side string
	text         string                 // in words: load on the front left wheel
	dim          *quantity.Dimension    // of the reading
	lack         string                 // why it cannot be predicted
	tilt         int                    // index of a tip angle, −1 otherwise: its base is asked of ride, its slope of the rigid angle
	read         func(s *sight) float64 // NaN when this rig has no such thing
	tip, block   float64                // of a raised load, rad or mm
}

func nanOr(v float64, ok bool) float64 {
	if !ok {
		return math.NaN()
	}
	return v
}

// probeOf is what a reading measures.
func probeOf(m *solid.Model, motors []motor, r *rig.Reading) probe {
	k, ok := r.KindOf()
	if !ok {
		return probe{lack: "there is no such kind of reading", tilt: -1}
	}
	p := probe{of: r.Of, at: r.At, side: r.Side, dim: k.Dim, tilt: -1}
	ends := map[string]solid.End{"front": solid.Front, "rear": solid.Rear}
	end := ends[r.At]
	switch r.Of {
	case "mass":
		p.text = "weight of the whole rig"
		p.read = func(s *sight) float64 { return nanOr(s.mass, s.mass > 0) }
	case "part mass":
		p.text = "weight of the " + r.At
		p.read = func(s *sight) float64 {
			for i := range s.m.Bodies {
				if b := &s.m.Bodies[i]; b.Name == r.At {
					return nanOr(b.Mass, b.HasMass)
				}
			}
			return math.NaN()
		}
		p.lack = "the part has no mass"
	case "wheel load":
		i := indexOf(rig.WheelPlaces, r.At)
		p.text = "load on the " + r.At + " wheel"
		p.read = func(s *sight) float64 {
			if s.load == nil {
				return math.NaN()
			}
			return s.load[i] / newton
		}
		p.lack = "loads need both axles, tyres and weights"
	case "axle load":
		p.text = "load on the " + r.At + " axle"
		p.read = func(s *sight) float64 {
			if s.load == nil {
				return math.NaN()
			}
			return (s.load[2*end] + s.load[2*end+1]) / newton
		}
		p.lack = "loads need both axles, tyres and weights"
	case "raised load":
		if r.Angle != nil {
			p.tip = float64(*r.Angle)
			p.text = fmt.Sprintf("load on the %s axle, the other raised to %s", r.At, quantity.DimAngle.Format(p.tip, quantity.Metric))
		} else if r.Block != nil {
			p.block = float64(*r.Block)
			p.text = fmt.Sprintf("load on the %s axle, the other on blocks of %s", r.At, quantity.DimLength.FormatDigits(p.block, quantity.Metric, 0))
		}
		tip, block := p.tip, p.block
		p.read = func(s *sight) float64 { return s.raised(end, tip, block) }
		p.lack = "it needs both axles, tyres and weights, and a block that is not higher than the wheelbase is long"
	case "ride height":
		p.text = "height of the belly at the " + r.At + " axle"
		p.read = func(s *sight) float64 {
			mv := s.st.Movers[end]
			if mv == nil || !s.st.Ground.Known {
				return math.NaN()
			}
			return s.st.Ground.Height(solid.Vec{X: mv.Design.X})
		}
		p.lack = "heights need both axles and tyres"
	case "wheel height":
		i := indexOf(rig.WheelPlaces, r.At)
		p.text = "height of the " + r.At + " wheel's centre"
		p.read = func(s *sight) float64 {
			v, ok := s.wheel(solid.End(i/2), i%2 == 0)
			return nanOr(s.st.Ground.Height(v), ok && s.st.Ground.Known)
		}
		p.lack = "heights need both axles and tyres"
	case "wheelbase":
		p.text = "wheelbase"
		if r.Side != "" {
			p.text = "wheelbase on the " + r.Side
		}
		p.read = func(s *sight) float64 { return s.base(r.Side) }
		p.lack = "it needs both axles and tyres"
	case "link length":
		p.text = "length of the link " + twin(r.Side, r.At)
		p.read = func(s *sight) float64 {
			sum, n := 0.0, 0
			for i := range s.m.Links {
				if k := &s.m.Links[i]; k.Name == r.At && (r.Side == "" || k.Side.String() == r.Side) {
					sum += k.Length
					n++
				}
			}
			return nanOr(sum/float64(n), n > 0)
		}
		p.lack = "it has no twin on that side"
	case "shock length":
		p.text = "length of the shock " + twin(r.Side, r.At)
		p.read = func(s *sight) float64 {
			stance := s.st.Stance()
			sum, n := 0.0, 0
			for i := range s.m.Shocks {
				if k := &s.m.Shocks[i]; k.Name == r.At && (r.Side == "" || k.Side.String() == r.Side) && s.held(k.Axle) {
					sum += stance.PlaceAnchor(s.m, k.Top).Sub(stance.PlaceAnchor(s.m, k.Bottom)).Norm()
					n++
				}
			}
			return nanOr(sum/float64(n), n > 0)
		}
		p.lack = "the links do not hold the axle, or there is no twin on that side"
	case "shaft length":
		p.text = "length of the shaft " + r.At
		p.read = func(s *sight) float64 {
			stance := s.st.Stance()
			for i := range s.m.Shafts {
				if k := &s.m.Shafts[i]; k.Name == r.At && s.held(k.Axle) {
					return stance.Place(solid.CarrierOf(k.Axle), k.To).Sub(k.From).Norm()
				}
			}
			return math.NaN()
		}
		p.lack = "the links do not hold the axle"
	case "pinion angle", "pinion angle to table":
		p.text = r.At + " pinion angle against the belly"
		table := r.Of != "pinion angle"
		if table {
			p.text = r.At + " pinion angle against the table"
		}
		p.read = func(s *sight) float64 {
			if !s.held(end) || table && !s.st.Ground.Known {
				return math.NaN()
			}
			turn := s.st.Movers[end].Design.Turn()
			axis, up := turn.Mul(s.m.Axles[end].PinionAxis), solid.Vec{Z: 1}
			if table {
				up = s.st.Ground.Up
			}
			return math.Asin(max(-1, min(1, axis.Dot(up))))
		}
		p.lack = "the links do not hold the axle"
	case "tilt angle":
		p.tilt = indexOf(rig.TiltPlaces, r.At)
		p.text = "tilt at which it tips, " + r.At
		if p.tilt < 2 {
			p.text = "tilt at which it tips over its " + r.At + " wheels"
		}
		i := p.tilt
		p.read = func(s *sight) float64 {
			if s.tips == nil {
				return math.NaN()
			}
			return s.tips[i]
		}
		p.lack = "tipping needs both axles, tyres and weights"
	case "spring deflection":
		load := 0.5
		if r.Load != nil {
			load = float64(*r.Load)
		}
		p.text = fmt.Sprintf("deflection of the springs of the shock %s under %s", r.At, quantity.DimMass.Format(load, quantity.Metric))
		p.read = func(s *sight) float64 {
			for i := range s.m.Shocks {
				k := &s.m.Shocks[i]
				if k.Name != r.At {
					continue
				}
				sum := 0.0 // springs in series: 1/k = Σ 1/kᵢ
				for _, sp := range k.Springs {
					if sp.Rate <= 0 {
						return math.NaN()
					}
					sum += load * newton / sp.Rate
				}
				return nanOr(sum, len(k.Springs) > 0)
			}
			return math.NaN()
		}
		p.lack = "the shock has no springs with a rate"
	case "no-load current", "no-load speed":
		which := -1
		for i := range motors {
			if motors[i].name == r.At || r.At == "" && which < 0 {
				which = i
			}
		}
		p.text = r.Of + " of the motor"
		speed, volts := r.Of == "no-load speed", 0.0
		if r.Volts != nil {
			volts = float64(*r.Volts)
		}
		p.lack = "the motor has no kv, or no no_load_current"
		p.read = func(s *sight) float64 {
			if which < 0 {
				return math.NaN()
			}
			k := s.kv[which]
			if speed {
				return nanOr(k.kv*(volts-k.idle*k.ohms), k.kv > 0) // the back-EMF is what the winding leaves of the voltage
			}
			return nanOr(k.idle, k.idle > 0)
		}
	}
	return p
}

func twin(side, name string) string {
	if side == "" {
		return name
	}
	return name + " " + side
}

func indexOf(list []string, word string) int {
	for i, w := range list {
		if w == word {
			return i
		}
	}
	return 0
}

// held says that the links hold an axle at a place.
func (s *sight) held(end solid.End) bool { return s.st.Movers[end] != nil && s.st.Movers[end].Solved }

// wheel is the centre of an axle's left or right wheel in the chassis frame, mm.
func (s *sight) wheel(end solid.End, left bool) (solid.Vec, bool) {
	if !s.held(end) {
		return solid.Vec{}, false
	}
	for _, w := range s.m.Axles[end].Wheels {
		if (w.Side == solid.Left) == left {
			return s.st.Movers[end].Design.Place(w.At), true
		}
	}
	return solid.Vec{}, false
}

// base is the wheelbase along the ground on one side, or the mean of both, mm.
func (s *sight) base(side string) float64 {
	if !s.st.Ground.Known {
		return math.NaN()
	}
	sum, n := 0.0, 0
	for _, left := range []bool{true, false} {
		if side != "" && (side == "left") != left {
			continue
		}
		f, ok1 := s.wheel(solid.Front, left)
		r, ok2 := s.wheel(solid.Rear, left)
		if !ok1 || !ok2 {
			return math.NaN()
		}
		sum += f.Sub(r).Dot(s.st.Ground.Forward)
		n++
	}
	return sum / float64(n)
}

// raised is what the axle low carries, kg, when the other one stands so much higher that the rig tips up by the angle, or on blocks of that
// height: suspension held as it stands level, all wheels free to turn, so that the ground pushes straight up through the wheel centres. With
// the wheel centres d apart along the level rig and e higher at the raised end, the centre of mass a ahead of the low one and c above it:
//
//	F = W·[1 − (a·cos θ − c·sin θ)/(d·cos θ − e·sin θ)]
//
// For equal wheels (e = 0) that is F = W(1 − a/d) + W·(c/d)·tan θ, the relation of ISO 10392 clause 6 for the height of the centre of mass.
func (s *sight) raised(low solid.End, tip, block float64) float64 {
	if !s.st.Ground.Known || s.mass <= 0 || !s.held(solid.Front) || !s.held(solid.Rear) {
		return math.NaN()
	}
	g := &s.st.Ground
	middle := func(end solid.End) solid.Vec { return s.st.Movers[end].Design.Origin() }
	foot, top := middle(low), middle(low.Other())
	forward := g.Forward
	if low == solid.Front { // the rear goes up
		forward = forward.Scale(-1)
	}
	d, e := top.Sub(foot).Dot(forward), top.Sub(foot).Dot(g.Up)
	a, c := s.at.Sub(foot).Dot(forward), s.at.Sub(foot).Dot(g.Up)
	if block > 0 { // height of the far centre above the near one: e level, e + block raised
		far := math.Hypot(d, e)
		if e+block >= far {
			return math.NaN()
		}
		tip = math.Asin((e+block)/far) - math.Asin(e/far)
	}
	sin, cos := math.Sincos(tip)
	return s.mass * (1 - (a*cos-c*sin)/(d*cos-e*sin))
}

// A care is a number that the builder wants to know well.
type care struct {
	name string
	read func(s *sight) float64
}

// cares are the numbers of the catalogue for which bench tells how well they are known.
func cares() []care {
	tip := func(i int) func(s *sight) float64 {
		return func(s *sight) float64 {
			if s.tips == nil {
				return math.NaN()
			}
			return s.tips[i]
		}
	}
	pinion := func(end solid.End) func(s *sight) float64 {
		return func(s *sight) float64 {
			if !s.held(end) {
				return math.NaN()
			}
			turn := s.st.Movers[end].Design.Turn()
			return math.Asin(max(-1, min(1, turn.Mul(s.m.Axles[end].PinionAxis).Z)))
		}
	}
	return []care{
		{"mass", func(s *sight) float64 { return nanOr(s.mass, s.mass > 0) }},
		{"centre of mass height", func(s *sight) float64 { return nanOr(s.st.Height, s.st.Weighed) }},
		{"front share", func(s *sight) float64 { return nanOr(s.front, s.tips != nil) }},
		{"wheelbase", func(s *sight) float64 { return nanOr(s.st.Base, s.st.Weighed) }},
		{"belly clearance", func(s *sight) float64 {
			f, r := s.st.Movers[solid.Front], s.st.Movers[solid.Rear]
			if !s.st.Ground.Known {
				return math.NaN()
			}
			return s.st.Ground.Height(solid.Vec{X: (f.Design.X + r.Design.X) / 2})
		}},
		{"front pinion angle", pinion(solid.Front)},
		{"rear pinion angle", pinion(solid.Rear)},
		{"static stability factor", func(s *sight) float64 { return nanOr(s.ssf, s.tips != nil) }},
		{"tip angle left", tip(0)},
		{"tip angle right", tip(1)},
		{"tip angle nose up", tip(2)},
		{"tip angle nose down", tip(3)},
	}
}
