package travel

import (
	"math"
	"strings"

	"lowslung/solid"
)

// Limits say how far an axle goes and what ends it. Wheel bumps are against the design pose, mm, positive up.
type Limits struct {
	BumpMM        float64        `json:"bump_mm" doc:"Both wheels up together"`
	BumpEndedBy   string         `json:"bump_ended_by" doc:"What ends it, in words"`
	DroopMM       float64        `json:"droop_mm" doc:"Both wheels down together; positive"`
	DroopEndedBy  string         `json:"droop_ended_by" doc:"What ends it"`
	WheelTravelMM float64        `json:"wheel_travel_mm" doc:"Bump and droop together"`
	Articulation  []Articulation `json:"articulation" nullable:"false" doc:"Largest roll at each heave of the grid that is within reach"`
	Boundary      []BoundaryAt   `json:"boundary" nullable:"false" doc:"Round the reachable region of the left and right wheel bump plane, counter-clockwise from pure left bump"`
	Stretches     []Stretch      `json:"stretches" nullable:"false" doc:"The same boundary by what ends it"`
	Gains         []Gain         `json:"gains" nullable:"false" doc:"What would have to give for 5 mm more"`
	PassedAlready []string       `json:"passed_already" nullable:"false" doc:"Limits that the design pose itself is beyond; they end nothing here"`
}

// Articulation is how far the axle rolls at one heave.
type Articulation struct {
	HeaveMM        float64 `json:"heave_mm" doc:"Heave against the design pose"`
	LeftUpDeg      float64 `json:"left_up_deg" doc:"Roll against the design pose with the left wheel up"`
	LeftUpEndedBy  string  `json:"left_up_ended_by" doc:"What ends it"`
	RightUpDeg     float64 `json:"right_up_deg" doc:"Roll against the design pose with the right wheel up; positive"`
	RightUpEndedBy string  `json:"right_up_ended_by" doc:"What ends it"`
}

// BoundaryAt is one point of the boundary.
type BoundaryAt struct {
	LeftMM  float64  `json:"left_mm" doc:"Bump of the left wheel against the design pose"`
	RightMM float64  `json:"right_mm" doc:"Bump of the right wheel"`
	Code    string   `json:"code" doc:"Kind of what ends it: shock-closed, shock-open, shaft-bottomed, shaft-apart, shaft-joint, rod-end, full-reach, contact, or empty when nothing does within 120 mm"`
	EndedBy string   `json:"ended_by" doc:"What ends it, in words"`
	About   []string `json:"about" nullable:"false" doc:"Paths in the document"`
}

// A Stretch is a part of the boundary that one thing sets.
type Stretch struct {
	Code     string     `json:"code" doc:"Kind of what ends it, as in boundary"`
	EndedBy  string     `json:"ended_by" doc:"What ends it, in words"`
	About    []string   `json:"about" nullable:"false" doc:"Paths in the document"`
	From     [2]float64 `json:"from_mm" doc:"Left and right wheel bump where it begins"`
	To       [2]float64 `json:"to_mm" doc:"Left and right wheel bump where it ends"`
	SharePct float64    `json:"share_pct" doc:"Of the boundary's length"`
}

// A Gain is what 5 mm more in one way would take.
type Gain struct {
	Way     string     `json:"way" enum:"bump,droop,left up,right up" doc:"bump, droop, left up or right up"`
	Reached bool       `json:"reached" doc:"The links go there at all"`
	Needs   []GiveText `json:"needs" nullable:"false" doc:"Everything that would have to give, by how much"`
}

// GiveText is how much one limit would have to give.
type GiveText struct {
	EndedBy string   `json:"ended_by" doc:"What ends it, in words"`
	By      float64  `json:"by" doc:"How much, in unit"`
	Unit    string   `json:"unit" enum:"mm,°" doc:"mm or °"`
	About   []string `json:"about" nullable:"false" doc:"Paths in the document"`
}

// reachOf answers for one axle: its limits, nil without a tyre, because then there is no wheel to bump, and what comes near anything
// within them. The region is first traced without bodies; only when some touch within it is it traced again with those.
func reachOf(m *solid.Model, st *Stand, mv *Mover, heaves []float64, o Options) (l *Limits, near []approach, shocked bool) {
	t := newTracer(m, mv)
	defer mv.Jump(mv.Design)
	wheels := t.half > 0
	if !wheels {
		t.half = usualHalf
	}
	ring := t.boundary()
	k := newClearer(t, st.Clearances(m), st)
	near = k.over(k.asked(ring, o))
	if !wheels {
		return nil, near, k.shocked()
	}
	if pairs := touchingPairs(near); len(pairs) > 0 {
		t.contact = k.contactAmong(pairs)
		ring = t.boundary()
	}
	return t.limits(heaves, ring), near, k.shocked()
}

// limitsOf answers for one axle without looking at bodies; nil without a tyre.
func limitsOf(m *solid.Model, mv *Mover, heaves []float64) *Limits {
	if m.Axles[mv.End].HalfTrack == 0 {
		return nil
	}
	defer mv.Jump(mv.Design)
	t := newTracer(m, mv)
	return t.limits(heaves, t.boundary())
}

// limits puts the limits of one axle with tyres into words, ring being its boundary.
func (t *tracer) limits(heaves []float64, ring []Reach) *Limits {
	m, mv := t.m, t.mv
	out := &Limits{Articulation: []Articulation{}, Boundary: []BoundaryAt{}, Stretches: []Stretch{}, Gains: []Gain{}, PassedAlready: []string{}}
	for _, s := range t.passed() {
		out.PassedAlready = append(out.PassedAlready, s.words(m))
	}
	both := math.Sqrt2 / 2
	bump, droop := t.walk(0, 0, both, both, mv.Design), t.walk(0, 0, -both, -both, mv.Design)
	out.BumpMM, out.BumpEndedBy = bump.Left, t.together(bump)
	out.DroopMM, out.DroopEndedBy = -droop.Left, t.together(droop)
	out.WheelTravelMM = out.BumpMM + out.DroopMM
	for _, h := range heaves {
		if h < -out.DroopMM || h > out.BumpMM {
			continue
		}
		mv.Jump(mv.Design)
		if !mv.To(mv.Design.Z+h, mv.Design.Roll) {
			continue
		}
		at := mv.At()
		left, right := t.walk(h, h, both, -both, at), t.walk(h, h, -both, both, at)
		out.Articulation = append(out.Articulation, Articulation{
			HeaveMM: h, LeftUpDeg: (left.Pose.Roll - mv.Design.Roll) / deg, LeftUpEndedBy: left.Stop.words(m),
			RightUpDeg: (mv.Design.Roll - right.Pose.Roll) / deg, RightUpEndedBy: right.Stop.words(m),
		})
	}
	for _, r := range ring {
		out.Boundary = append(out.Boundary, BoundaryAt{LeftMM: r.Left, RightMM: r.Right, Code: r.Stop.Kind.code(), EndedBy: r.Stop.words(m), About: pathsOf(r.Stop, m)})
	}
	out.Stretches = stretchesOf(out.Boundary)
	for _, way := range []struct {
		name   string
		dl, dr float64
	}{{"bump", 1, 1}, {"droop", -1, -1}, {"left up", 1, -1}, {"right up", -1, 1}} {
		r := t.walk(0, 0, way.dl*both, way.dr*both, mv.Design)
		needs, reached := t.gives(r.Left+way.dl*wishMore, r.Right+way.dr*wishMore, r.Pose)
		g := Gain{Way: way.name, Reached: reached, Needs: []GiveText{}}
		for _, n := range needs {
			by, unit := n.Stop.shown(n.By)
			g.Needs = append(g.Needs, GiveText{EndedBy: n.Stop.words(m), By: by, Unit: unit, About: pathsOf(n.Stop, m)})
		}
		out.Gains = append(out.Gains, g)
	}
	return out
}

// together says what ends a reach, and that its twin does so at the same place, which is the rule when both wheels move alike.
func (t *tracer) together(r Reach) string {
	text := r.Stop.words(t.m)
	if r.Stop.Kind != ShockClosed && r.Stop.Kind != ShockOpen {
		return text
	}
	t.margins(r.Pose)
	for i, s := range t.stops {
		a, b := &t.m.Shocks[r.Stop.Index], s.Index
		if s.Kind == r.Stop.Kind && s != r.Stop && t.m.Shocks[b].Path == a.Path && t.room[i] < 3*reachTol {
			return strings.Replace(strings.Replace(text, "the "+a.Side.String()+" "+a.Name+" shock is", "both "+a.Name+" shocks are", 1), "  ", " ", 1)
		}
	}
	return text
}

func pathsOf(s Stop, m *solid.Model) []string {
	if p := s.about(m); p != nil {
		return p
	}
	return []string{}
}

// stretchesOf gathers neighbours of the boundary that one thing ends; the list is a ring, so its ends are joined.
func stretchesOf(ring []BoundaryAt) []Stretch {
	n := len(ring)
	start := 0
	for i := range ring {
		if ring[i].EndedBy != ring[(i+n-1)%n].EndedBy {
			start = i
			break
		}
	}
	out := []Stretch{}
	total := 0.0
	for k := range n {
		p, q := &ring[(start+k)%n], &ring[(start+k+1)%n]
		d := math.Hypot(q.LeftMM-p.LeftMM, q.RightMM-p.RightMM)
		total += d
		if last := len(out) - 1; last < 0 || out[last].EndedBy != p.EndedBy {
			out = append(out, Stretch{Code: p.Code, EndedBy: p.EndedBy, About: p.About, From: [2]float64{p.LeftMM, p.RightMM}})
		}
		s := &out[len(out)-1]
		s.To = [2]float64{p.LeftMM, p.RightMM}
		s.SharePct += d
	}
	for i := range out {
		if total > 0 {
			out[i].SharePct *= 100 / total
		}
	}
	return out
}
