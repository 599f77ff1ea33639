package travel

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"lowslung/finding"
	"lowslung/quantity"
	"lowslung/solid"
)

// clearWatch is the gap below which a pair is watched, mm: rod ends wear, plates bend and prints are out by as much.
const clearWatch = 1.0

// clearSaid is how many pairs have a finding of their own, unless they say stop.
const clearSaid = 12

// Clearance is the nearest that two things come within an axle's travel.
type Clearance struct {
	A        string     `json:"a" doc:"One of the two, in words"`
	B        string     `json:"b" doc:"The other"`
	APath    string     `json:"a_path" doc:"Its path in the document"`
	BPath    string     `json:"b_path" doc:"The other's"`
	GapMM    float64    `json:"gap_mm" doc:"Smallest distance within the travel; 0 when they touch"`
	Axle     string     `json:"axle" enum:"front,rear" doc:"Axle that moves; the other one stands at its design pose"`
	HeaveMM  float64    `json:"heave_mm" doc:"Where that is: z against the design pose; of a pair that touches, where it first does"`
	RollDeg  float64    `json:"roll_deg" doc:"Where that is: roll against the design pose, positive lifts the left wheel"`
	LeftMM   float64    `json:"left_mm" doc:"The same as bump of the left wheel against the design pose"`
	RightMM  float64    `json:"right_mm" doc:"Bump of the right wheel"`
	AtA      [3]float64 `json:"at_a_mm" doc:"Nearest point of the one there, chassis frame"`
	AtB      [3]float64 `json:"at_b_mm" doc:"Nearest point of the other"`
	Touching bool       `json:"touching" doc:"They touch within the travel"`
	DrawnIn  bool       `json:"drawn_in" doc:"They are drawn into each other at the design pose, so nothing is said of how they move"`
}

// A told clearance, with what decides how urgent it is.
type told struct {
	Clearance
	together bool // they touch with both wheels moving alike, too
	tyre     bool // one of the two is a tyre
}

func xyz(v solid.Vec) [3]float64 { return [3]float64{v.X, v.Y, v.Z} }

// asked keeps to the grid asked for when nothing is known of the axle's shocks: then nothing says that it goes any further.
func (k *clearer) asked(ring []Reach, o Options) []Reach {
	if k.shocked() {
		return ring
	}
	k.heave = [2]float64{min(o.Heave.From, 0), max(o.Heave.To, 0)}
	k.roll = [2]float64{min(o.Roll.From, 0) * deg, max(o.Roll.To, 0) * deg}
	out := slices.Clone(ring)
	for i := range out {
		r := &out[i]
		f := min(1, inside((r.Left+r.Right)/2, k.heave), inside(r.Pose.Roll-k.mv.Design.Roll, k.roll))
		if f == 1 {
			continue
		}
		k.mv.Jump(k.mv.Design)
		if r.Left, r.Right = f*r.Left, f*r.Right; !k.goTo(r.Left, r.Right) || !k.within() {
			r.Left, r.Right = 0, 0 // roll is not quite in proportion to wheel bump
			k.mv.Jump(k.mv.Design)
		}
		r.Pose = k.mv.at
	}
	k.mv.Jump(k.mv.Design)
	return out
}

// inside is the share of v that stays in a span around 0.
func inside(v float64, span [2]float64) float64 {
	switch {
	case v > span[1]:
		return span[1] / v
	case v < span[0]:
		return span[0] / v
	}
	return 1
}

// shocked says that a shock of the axle has its lengths given, so that the travel is known.
func (k *clearer) shocked() bool {
	return slices.ContainsFunc(k.stops, func(s Stop) bool { return s.Kind == ShockClosed || s.Kind == ShockOpen })
}

// clearancesOf gathers both axles' approaches into the answer, nearest first, what is only drawn so at the end.
func clearancesOf(c *Clearances, found []approach) []told {
	out := []told{}
	where := map[int]int{}
	tidy := func(v float64) float64 { return math.Round(v*1e9) / 1e9 } // so that straight up has no roll of 1e-16
	for i := range found {
		a := &found[i]
		if a.Joined && !a.touches {
			continue
		}
		one := told{together: a.together, tyre: a.A.Tyre || a.B.Tyre, Clearance: Clearance{
			A: a.A.Name, B: a.B.Name, APath: a.A.Path, BPath: a.B.Path, GapMM: max(0, a.Distance), Axle: a.end.String(),
			HeaveMM: tidy((a.left + a.right) / 2), RollDeg: tidy((a.pose.Roll - a.level) / deg), LeftMM: tidy(a.left), RightMM: tidy(a.right),
			AtA: xyz(a.AtA), AtB: xyz(a.AtB), Touching: a.touches,
		}}
		if k, ok := where[a.pair]; !ok {
			where[a.pair] = len(out)
			out = append(out, one)
		} else if one.GapMM < out[k].GapMM || one.together && !out[k].together {
			out[k] = one
		}
	}
	slices.SortStableFunc(out, func(a, b told) int { return cmp.Compare(a.GapMM, b.GapMM) })
	for _, p := range c.DrawnIn() {
		out = append(out, told{Clearance: Clearance{A: p[0].Name, B: p[1].Name, APath: p[0].Path, BPath: p[1].Path, DrawnIn: true}})
	}
	return out
}

// judgeClearances says what touches, what comes close, and what could not be judged.
func judgeClearances(c *Clearances, list []told, shocked bool, o Options) []finding.Finding {
	var out []finding.Finding
	if c.TooBig {
		return []finding.Finding{finding.New(finding.Note, "travel/too-many-shapes",
			"No clearances are worked out: the drawing has more than %d pairs of shapes that move against each other.", mostPairs).
			CuredBy("draw the moving parts and what is near them with fewer shapes")}
	}
	seen := map[[2]string]bool{}
	more := 0
	nearest := clearShown
	var near *told
	for i := range list {
		k := &list[i]
		if k.DrawnIn {
			continue
		}
		if k.GapMM < nearest {
			nearest, near = k.GapMM, k
		}
		key := [2]string{k.APath, k.BPath}
		if seen[key] || !k.Touching && k.GapMM >= clearWatch {
			continue
		}
		seen[key] = true
		f := k.finding(list, shocked, o)
		if len(seen) > clearSaid && f.Level != finding.Stop {
			more++
			continue
		}
		out = append(out, f)
	}
	if more > 0 {
		out = append(out, finding.New(finding.Watch, "travel/more-contacts", "%d more pairs touch or come within %s of each other.", more, mm(clearWatch, o.Units)).
			CuredBy("look at the list of clearances, and at the parts named above first"))
	}
	if near == nil {
		out = append(out, finding.New(finding.OK, "travel/clear", "Within the travel nothing comes nearer than %s to what moves against it.", mm(clearShown, o.Units)))
	} else if nearest >= clearWatch {
		out = append(out, finding.New(finding.OK, "travel/clear", "Within the travel nothing comes nearer than %s to what moves against it: %s to %s.",
			mm(nearest, o.Units), near.A, near.B).For(near.APath, near.BPath))
	}
	return append(append(out, drawnIn(list)...), coarse(c)...)
}

// finding is about a pair that touches or nearly does, and its twin.
func (k *told) finding(list []told, shocked bool, o Options) finding.Finding {
	where := k.Where(o.Units)
	twin := ""
	for i := range list {
		if t := &list[i]; t != k && t.APath == k.APath && t.BPath == k.BPath && t.Touching == k.Touching && (t.Touching || t.GapMM < clearWatch) && !t.DrawnIn {
			twin = " The other side does so too."
			break
		}
	}
	if !k.Touching {
		return finding.New(finding.Watch, "travel/close", "%s comes within %s of %s, %s.%s", finding.Sentence(k.A), mm(k.GapMM, o.Units), k.B, where, twin).
			For(k.APath, k.BPath).CuredBy("move or trim one of the two by %s more", mm(clearWatch-k.GapMM, o.Units))
	}
	level := finding.Watch
	if k.together && !k.tyre && shocked {
		level = finding.Stop
	}
	at := fmt.Sprintf("%s forward, %s left and %s up", mm(k.AtA[0], o.Units), mm(k.AtA[1], o.Units), mm(k.AtA[2], o.Units))
	cure := "move or trim one of the two, or limit the travel with the shocks"
	if k.tyre {
		cure = "trim or raise what the tyre rubs on, fit smaller tyres or wider hexes, or limit the travel with the shocks"
	}
	travel := "within the shocks' travel"
	if !shocked {
		travel = "on the grid asked for (the shocks' travel is not known)"
	}
	return finding.New(level, "travel/contact", "%s touches %s %s: first %s, at %s in the chassis frame.%s", finding.Sentence(k.A), k.B, travel, where, at, twin).
		For(k.APath, k.BPath).CuredBy("%s", cure)
}

// Where says where on the axle's travel that is, to follow "first" or a comma.
func (k *Clearance) Where(u quantity.System) string {
	switch d := k.LeftMM - k.RightMM; {
	case k.LeftMM == 0 && k.RightMM == 0:
		return "at ride height"
	case d < 0.05 && d > -0.05 && k.HeaveMM > 0:
		return fmt.Sprintf("with both %s wheels up by %s", k.Axle, mm(k.HeaveMM, u))
	case d < 0.05 && d > -0.05:
		return fmt.Sprintf("with both %s wheels down by %s", k.Axle, mm(-k.HeaveMM, u))
	}
	return fmt.Sprintf("with the left %s wheel at %s and the right at %s", k.Axle, mm(k.LeftMM, u), mm(k.RightMM, u))
}

// drawnIn says once which pairs are not judged because the drawing is coarse.
func drawnIn(list []told) []finding.Finding {
	var names, about []string
	seen := map[[2]string]bool{}
	for i := range list {
		k := &list[i]
		if key := [2]string{k.APath, k.BPath}; k.DrawnIn && !seen[key] {
			seen[key] = true
			names = append(names, k.A+" and "+k.B)
			about = append(about, k.APath, k.BPath)
		}
	}
	if len(names) == 0 {
		return nil
	}
	const most = 5
	text := ""
	for i, n := range names[:min(len(names), most)] {
		if i > 0 {
			text += "; "
		}
		text += n
	}
	if len(names) > most {
		text += fmt.Sprintf("; and %d more pairs", len(names)-most)
	}
	return []finding.Finding{finding.New(finding.Note, "travel/drawn-in",
		"Drawn into each other at ride height, so nothing is said of the pieces that overlap: %s.", text).
		For(about...).CuredBy("draw their shapes as they are, if they matter there")}
}

// coarse says which plates were measured by their convex outline.
func coarse(c *Clearances) []finding.Finding {
	if len(c.Coarse) == 0 {
		return nil
	}
	list := slices.Compact(slices.Clone(c.Coarse))
	return []finding.Finding{finding.New(finding.Note, "travel/outline",
		"A plate's outline crosses itself or has more than 500 corners, so clearances take its convex outline instead: %d part(s).", len(list)).
		For(list...).CuredBy("list the corners in order around the plate, once round")}
}

// leastOf is the smallest gap told, or clearShown when nothing is as near, mm; nil when an axle asked for is not held by its links, or nothing was measured.
func leastOf(c *Clearances, list []Clearance, st *Stand, ends []solid.End) *float64 {
	if c.TooBig {
		return nil
	}
	pairs := 0
	for _, end := range ends {
		if mv := st.Movers[end]; mv == nil || !mv.Solved {
			return nil
		}
		pairs += len(c.movedBy(end))
	}
	if pairs == 0 {
		return nil
	}
	return Least(list)
}

// Least is the smallest gap of a list, or clearShown when nothing is as near, mm.
func Least(list []Clearance) *float64 {
	least := clearShown
	for i := range list {
		if !list[i].DrawnIn {
			least = min(least, list[i].GapMM)
		}
	}
	return &least
}
