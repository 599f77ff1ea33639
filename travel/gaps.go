package travel

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"lowslung/solid"
)

// All gaps at one pose of the whole rig, both axles where a hand puts them.

// Bumps are wheel bumps of both axles against the design pose, mm, positive up: front and rear, left and right.
type Bumps [2][2]float64

// A GapAt is how near two things are at a pose.
type GapAt struct {
	A        string     `json:"a" doc:"One of the two, in words"`
	B        string     `json:"b" doc:"The other"`
	APath    string     `json:"a_path" doc:"Its path in the document"`
	BPath    string     `json:"b_path" doc:"The other's"`
	GapMM    float64    `json:"gap_mm" doc:"Distance; 0 when they touch"`
	Touching bool       `json:"touching" doc:"They touch there"`
	AtA      [3]float64 `json:"at_a_mm" doc:"Nearest point of the one, chassis frame"`
	AtB      [3]float64 `json:"at_b_mm" doc:"Nearest point of the other"`
}

// Gaps are all pairs nearer than 5 mm with both axles at these bumps, nearest first, wheels straight ahead. Stops are not looked at: where the links go, a builder may look.
// The stand is the caller's own: its movers are moved, and put back.
func Gaps(m *solid.Model, st *Stand, bumps Bumps) ([]GapAt, error) {
	stance := *st.Stance()
	for end, mv := range st.Movers {
		left, right := bumps[end][0], bumps[end][1]
		if math.IsNaN(left+right) || math.Abs(left) > 1000 || math.Abs(right) > 1000 {
			return nil, fmt.Errorf("found wheel bumps of %g and %g mm, expected some between -1000 and 1000", left, right)
		}
		if left == 0 && right == 0 {
			continue
		}
		name := solid.End(end).String()
		if mv == nil || !mv.Solved || m.Axles[end].HalfTrack == 0 {
			return nil, fmt.Errorf("the %s axle cannot be moved: it needs links that hold it, and a tyre", name)
		}
		mv.Jump(mv.Design)
		t := newTracer(m, mv)
		z, roll, ok := t.target(left, right)
		if ok = ok && mv.To(z, roll); ok {
			stance[end] = mv.at.Frame()
		}
		mv.Jump(mv.Design)
		if !ok {
			return nil, fmt.Errorf("the links of the %s axle do not reach wheel bumps of %g and %g mm", name, left, right)
		}
	}
	c := st.Clearances(m)
	out := []GapAt{}
	for _, g := range c.At(&stance, c.Workspace(), clearShown) {
		if g.Joined && g.Distance > 0 {
			continue
		}
		out = append(out, GapAt{A: g.A.Name, B: g.B.Name, APath: g.A.Path, BPath: g.B.Path, GapMM: max(0, g.Distance), Touching: g.Distance <= 0, AtA: xyz(g.AtA), AtB: xyz(g.AtB)})
	}
	slices.SortStableFunc(out, func(a, b GapAt) int { return cmp.Compare(a.GapMM, b.GapMM) })
	return out, nil
}

// ParseBumps reads front left, front right, rear left and rear right, mm, with commas between; empty text is the design pose.
func ParseBumps(text string) (b Bumps, err error) {
	if strings.TrimSpace(text) == "" {
		return b, nil
	}
	fields := strings.Split(text, ",")
	for i, f := range fields {
		v, err := strconv.ParseFloat(strings.TrimSpace(f), 64)
		if err != nil || len(fields) != 4 || math.IsNaN(v) || math.IsInf(v, 0) {
			return b, fmt.Errorf("found %q, expected four wheel bumps in mm: front left, front right, rear left, rear right, such as 10,-5,0,0", text)
		}
		b[i/2][i%2] = v
	}
	return b, nil
}
