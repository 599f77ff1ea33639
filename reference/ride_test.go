package reference

import (
	"fmt"
	"math"
	"testing"

	"lowslung/balance"
	"lowslung/ride"
	"lowslung/solid"
	"lowslung/travel"
)

// How a rig stands, tilted and crossed up, against MuJoCo 3.3.8: mujoco/stand.mjs builds it of free bodies, bars and springs, drops it on the
// program's own contacts and lets everything creep to rest. Shared are the numbers of the document and nothing else: no energy is minimised there,
// no pose is solved for, each bar has its weight spread along it, and a link with a shock on it is a bar in its own right.
//
// To compare, tyres are balls (a torus as wide as it is high) and as good as rigid, grippy sideways and slippery fore and aft, so that neither
// program has forces left over from how it got there; anti-roll bars are left out; no shock is at a stop.
//
// MuJoCo's constraints and contacts are soft springs: at a time constant of 0.01 s links stretch and tyres sink in by some 0.1 mm, which
// moves loads by up to 1 %. Their stiffness goes with the inverse square of the time constant, so what they change falls by 4 when it is
// halved (seen from 0.02 to 0.0035 s), and two of them are extrapolated to none at all (Richardson). Asked for was 1 % and 0.1°; what is held is
// tighter, three times the largest difference seen.
const (
	loadTol  = 0.003 // of the load
	angleTol = 0.05  // °
	placeTol = 0.001 // mm
)

type mujocoEnd struct {
	On any        `json:"on"`
	At [3]float64 `json:"at"`
}

type mujocoAxle struct {
	At     [3]float64    `json:"at"`
	Center [3]float64    `json:"center"`
	Mass   float64       `json:"mass"`
	Wheels [2][3]float64 `json:"wheels"`
	Radius float64       `json:"radius"`
}

type mujocoRig struct {
	Chassis struct {
		Mass float64    `json:"mass"`
		At   [3]float64 `json:"at"`
	} `json:"chassis"`
	Axles [2]mujocoAxle    `json:"axles"`
	Links []map[string]any `json:"links"`
	Shock []map[string]any `json:"shocks"`
	Hung  []map[string]any `json:"hung"`
	Cases []mujocoCase     `json:"cases"`
	Soft  [2]float64       `json:"soft"`
	Still float64          `json:"still"`
}

type mujocoCase struct {
	Pull   [3]float64 `json:"pull"`
	Raised [4]float64 `json:"raised"`
}

// rigFor describes a model to stand.mjs.
func rigFor(m *solid.Model) *mujocoRig {
	q := &mujocoRig{Soft: [2]float64{0.01, 0.005}, Still: 1e-4, Hung: []map[string]any{}}
	type sum struct {
		mass float64
		at   vec
	}
	var bodies [3]sum
	add := func(c solid.Carrier, mass float64, at vec) {
		b := &bodies[c]
		b.at = b.at.Scale(b.mass).Add(at.Scale(mass)).Scale(1 / (b.mass + mass))
		b.mass += mass
	}
	for _, b := range m.Bodies {
		if b.HasMass && b.Mass > 0 {
			add(b.Carrier, b.Mass, b.CG)
		}
	}
	end := func(a solid.Anchor) mujocoEnd {
		switch {
		case a.Link >= 0:
			return mujocoEnd{a.Link, [3]float64{a.Along, 0, a.Rise}}
		case a.Carrier == solid.OnChassis:
			return mujocoEnd{"chassis", three(a.At)}
		}
		return mujocoEnd{"axle", three(a.At)}
	}
	for _, s := range m.Shocks {
		for _, e := range []solid.Anchor{s.Top, s.Bottom} {
			if e.Link >= 0 {
				q.Hung = append(q.Hung, map[string]any{"link": e.Link, "along": e.Along, "rise": e.Rise, "mass": s.Mass / 2})
			} else {
				add(e.Carrier, s.Mass/2, e.At)
			}
		}
		q.Shock = append(q.Shock, map[string]any{"axle": s.Axle, "top": end(s.Top), "bottom": end(s.Bottom), "rate": s.Springs[0].Rate, "free": s.Open + s.Collar})
	}
	for _, l := range m.Links {
		q.Links = append(q.Links, map[string]any{"axle": l.Axle, "from": three(l.From), "to": three(l.To), "length": l.Length, "mass": l.Mass})
	}
	if k, ok := m.Steer.Span(); ok && k.Has {
		add(k.On[0], k.Mass/2, k.At[0])
		add(k.On[1], k.Mass/2, k.At[1])
	}
	for _, s := range m.Shafts {
		if s.HasMass && s.Mass > 0 {
			add(solid.OnChassis, s.Mass/2, s.From)
			add(solid.CarrierOf(s.Axle), s.Mass/2, s.To)
		}
	}
	q.Chassis.Mass, q.Chassis.At = bodies[0].mass, three(bodies[0].at)
	for i := range q.Axles {
		a := &m.Axles[i]
		q.Axles[i] = mujocoAxle{At: three(a.Near), Center: three(bodies[i+1].at), Mass: bodies[i+1].mass, Radius: a.Wheels[0].Radius}
		for _, w := range a.Wheels {
			k := 0
			if w.At.Y < 0 {
				k = 1
			}
			q.Axles[i].Wheels[k] = three(w.At)
		}
	}
	return q
}

type mujocoBody struct {
	Origin [3]float64
	Turn   solid.Mat
}

type mujocoStance struct {
	Chassis    mujocoBody
	Axles      [2]mujocoBody
	Loads      [4]float64
	Gap, Moved float64
	Steps      int
}

// angles of the stance: roll and pitch of the chassis, roll of the axles against it, °. An axle's wheel axis is (−sin ψ cos φ, cos ψ cos φ, sin φ).
func (s *mujocoStance) angles() [4]float64 {
	r := s.Chassis.Turn
	out := [4]float64{math.Atan2(r[7], r[8]) / deg, -math.Asin(r[6]) / deg}
	for i, a := range s.Axles {
		y := r.MulT(vec{X: a.Turn[1], Y: a.Turn[4], Z: a.Turn[7]})
		out[2+i] = math.Asin(y.Z) / deg
	}
	return out
}

// axle is the place of an axle's origin in the chassis frame, mm.
func (s *mujocoStance) axle(end int) [3]float64 {
	o, c := s.Axles[end].Origin, s.Chassis.Origin
	return three(s.Chassis.Turn.MulT(vec{X: o[0] - c[0], Y: o[1] - c[1], Z: o[2] - c[2]}))
}

const ballTyres = `lowslung: 1
base: %s
%s
front: {parts: {front tyre: {tyre: {width: %v, loaded_radius: null, rate: 200, lateral_rate: 200}}}}
rear: {parts: {rear tyre: {tyre: {width: %v, loaded_radius: null, rate: 200, lateral_rate: 200}}}}
targets: null
`

func TestStandingAgainstMuJoCo(t *testing.T) {
	largest := tally{}
	for _, one := range []struct {
		file, more string
		wide       float64
	}{{"bramble.rig.yaml", "", 119.38}, {"gully.rig.yaml", "bars: null", 127}} {
		src := fromFolder("../examples")
		text := fmt.Sprintf(ballTyres, one.file, one.more, one.wide, one.wide)
		_, m := modelOf(t, func(name string) ([]byte, error) {
			if name == "it.rig.yaml" {
				return []byte(text), nil
			}
			return src(name)
		}, "it.rig.yaml")
		a, err := ride.Assess(m, ride.Options{Step: 5})
		if err != nil || a.Stance == nil {
			t.Fatal("no stance", err, a.Findings)
		}
		q := rigFor(m)
		const g = 9.80665
		level := mujocoCase{Pull: [3]float64{0, 0, -g}}
		tilted := level
		s, c := math.Sincos(20 * deg)
		tilted.Pull = [3]float64{0, g * s, -g * c}
		crossed := level
		row := &a.CrossAxle.FrontLeftUp.Sweep[3]
		crossed.Raised = [4]float64{row.ByMM, 0, 0, row.ByMM}
		q.Cases = []mujocoCase{level, tilted, crossed}
		var answer struct {
			Version string
			Cases   [][2]mujocoStance
		}
		mujoco(t, "stand.mjs", q, &answer)
		// Level, travel's axles must be against the chassis where that program's are.
		stand := travel.StandOf(ride.Stand(m))
		for end, mv := range stand.Movers {
			soft, stiff := answer.Cases[0][0].axle(end), answer.Cases[0][1].axle(end)
			p := mv.Design.Origin()
			for k, v := range [3]float64{p.X, p.Y, p.Z} {
				largest.hold(t, "place of an axle in the chassis, mm", one.file, v, (4*stiff[k]-soft[k])/3, placeTol)
			}
		}
		lean := &a.Tilt.LeftDown.Sweep[4]
		if lean.AngleDeg != 20 {
			t.Fatalf("row 4 of the tilt is at %v°", lean.AngleDeg)
		}
		st, ax := a.Stance, &a.Stance.Axles
		none := math.NaN()
		for i, ours := range []struct {
			name   string
			loads  balance.Corners
			angles [4]float64
		}{
			{"level", st.CornerLoadsN, [4]float64{st.ChassisRollDeg, st.ChassisPitchDeg, ax.Front.RollDeg, ax.Rear.RollDeg}},
			{"left side down 20°", lean.LoadsN, [4]float64{lean.ChassisRollDeg, lean.ChassisPitchDeg, none, none}},
			{fmt.Sprintf("front left and rear right up %v mm", row.ByMM), row.LoadsN, [4]float64{row.ChassisRollDeg, none, row.FrontRollDeg, row.RearRollDeg}},
		} {
			what := one.file + ", " + ours.name
			soft, stiff := &answer.Cases[i][0], &answer.Cases[i][1]
			loads := [4]float64{ours.loads.FrontLeft, ours.loads.FrontRight, ours.loads.RearLeft, ours.loads.RearRight}
			var theirs [4]float64
			for k := range loads {
				theirs[k] = (4*stiff.Loads[k] - soft.Loads[k]) / 3
				largest.hold(t, "load, relative", what, loads[k]/theirs[k], 1, loadTol)
			}
			was, is := soft.angles(), stiff.angles()
			for k, name := range []string{"chassis roll, °", "chassis pitch, °", "front axle's roll, °", "rear axle's roll, °"} {
				if !math.IsNaN(ours.angles[k]) {
					largest.hold(t, name, what, ours.angles[k], (4*is[k]-was[k])/3, angleTol)
				}
			}
			if !(stiff.Moved < q.Still) {
				t.Errorf("%s: MuJoCo is not at rest after %d steps", what, stiff.Steps)
			}
			t.Logf("%s: loads %.4f N, MuJoCo %.4f (soft %.4f, stiffer %.4f; gaps %.2g and %.2g mm)", what, loads, theirs, soft.Loads, stiff.Loads, soft.Gap, stiff.Gap)
		}
	}
	t.Logf("largest differences %v", largest)
}
