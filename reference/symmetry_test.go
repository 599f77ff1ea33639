package reference

import (
	"encoding/json"
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"lowslung/balance"
	"lowslung/finding"
	"lowslung/solid"
	"lowslung/travel"
)

// Symmetries that any right answer has: the mirror image of a rig moves as the mirror image, the place from which the chassis
// is measured and the order of the links do not matter, and a rig of twice the size does everything twice as large.

// flat lists every number of an answer by its way down the JSON. Entries of lists are told apart by their names, or by heave
// and roll; roll is taken times turn, so that a mirrored answer's poses get the keys of the original's.
func flat(t *testing.T, answer any, turn, scale float64) map[string]float64 {
	t.Helper()
	text, err := json.Marshal(answer)
	if err != nil {
		t.Fatal(err)
	}
	var tree any
	if err := json.Unmarshal(text, &tree); err != nil {
		t.Fatal(err)
	}
	out := map[string]float64{}
	var walk func(at string, v any)
	walk = func(at string, v any) {
		switch v := v.(type) {
		case float64:
			if _, twice := out[at]; twice {
				t.Fatalf("two numbers at %s", at)
			}
			out[at] = v
		case map[string]any:
			for k, w := range v {
				if k != "findings" && k != "limits" && k != "clearances" && k != "least_clearance_mm" { // the last three are found by searching, to their own tolerance and within 5 mm
					walk(at+"/"+k, w)
				}
			}
		case []any:
			for i, w := range v {
				key := fmt.Sprint(i)
				if m, ok := w.(map[string]any); ok {
					key = ""
					for _, k := range []string{"path", "name", "side"} {
						if s, ok := m[k].(string); ok {
							if k == "side" && turn < 0 {
								s = map[string]string{"left": "right", "right": "left", "": ""}[s]
							}
							key += k + "=" + s + ","
						}
					}
					if h, ok := m["heave_mm"].(float64); ok {
						key += fmt.Sprintf("h=%.3f,", h/scale+0)
					}
					if r, ok := m["roll_deg"].(float64); ok {
						key += fmt.Sprintf("r=%.3f,", turn*r+0)
					}
				}
				walk(at+"/"+key, w)
			}
		}
	}
	walk("", tree)
	return out
}

// compareFlat holds two answers against each other; want changes a number of the first to what the second should have, by key.
func compareFlat(t *testing.T, what string, first, second map[string]float64, tol float64, want func(key string, v float64) (string, float64)) {
	t.Helper()
	if len(first) != len(second) || len(first) < 20 {
		t.Errorf("%s: %d numbers became %d", what, len(first), len(second))
	}
	for key, v := range first {
		k, w := want(key, v)
		if k == "" {
			continue // no such symmetry for this number
		}
		got, ok := second[k]
		if !ok {
			t.Errorf("%s: no %s", what, k)
			continue
		}
		if !(math.Abs(got-w) <= tol*(1+math.Abs(w))) {
			t.Errorf("%s: %s: got %.12g, want %.12g", what, k, got, w)
		}
	}
}

func codes(list []finding.Finding) []string {
	var out []string
	for _, f := range list {
		switch f.Code {
		case "travel/clear", "travel/close", "travel/contact", "travel/drawn-in", "travel/more-contacts", "travel/stopped-by-contact": // searched for, to their own tolerance
			continue
		}
		out = append(out, string(f.Level)+" "+f.Code)
	}
	slices.Sort(out)
	return out
}

func last(key string) string { return key[strings.LastIndex(key, "/")+1:] }

var sweep = travel.Options{Heave: travel.Span{From: -12, To: 12, Step: 6}, Roll: travel.Span{From: -9, To: 9, Step: 4.5}}

// compareLimits holds two answers' limits against each other: the same, or left for right when turned. They are found by
// searching outwards in steps and halving; near a corner of the region a search may settle on either side of it.
func compareLimits(t *testing.T, what string, a, b *travel.Answer, turned bool) {
	t.Helper()
	const tol = 0.05 // mm, degrees
	for k, pair := range [2][2]*travel.Axle{{a.Axles.Front, b.Axles.Front}, {a.Axles.Rear, b.Axles.Rear}} {
		x, y := pair[0].Limits, pair[1].Limits
		if (x == nil) != (y == nil) {
			t.Errorf("%s, axle %d: limits %v became %v", what, k, x != nil, y != nil)
		}
		if x == nil || y == nil {
			continue
		}
		within(t, what+", bump", y.BumpMM, x.BumpMM, tol)
		within(t, what+", droop", y.DroopMM, x.DroopMM, tol)
		if x.BumpEndedBy == "" || x.DroopEndedBy == "" {
			t.Errorf("%s, axle %d: nothing said to end bump or droop", what, k)
		}
		if len(x.Articulation) != len(y.Articulation) {
			t.Errorf("%s, axle %d: articulation at %d heaves became %d", what, k, len(x.Articulation), len(y.Articulation))
			continue
		}
		for i, u := range x.Articulation {
			v := y.Articulation[i]
			if turned {
				v.LeftUpDeg, v.RightUpDeg = v.RightUpDeg, v.LeftUpDeg
			}
			within(t, what+", heave", v.HeaveMM, u.HeaveMM, 1e-9)
			within(t, what+", left wheel up", v.LeftUpDeg, u.LeftUpDeg, tol)
			within(t, what+", right wheel up", v.RightUpDeg, u.RightUpDeg, tol)
		}
	}
}

func twice(o travel.Options) travel.Options {
	o.Heave = travel.Span{From: 2 * o.Heave.From, To: 2 * o.Heave.To, Step: 2 * o.Heave.Step}
	return o
}

// changed copies a model with every place and every length run through the functions given.
func changed(m *solid.Model, point, arrow func(vec) vec, size float64, tensor func(solid.Sym) solid.Sym) *solid.Model {
	out := *m
	out.Bodies = slices.Clone(m.Bodies)
	for i := range out.Bodies {
		b := &out.Bodies[i]
		if b.Carrier == solid.OnChassis {
			b.CG = point(b.CG)
		} else {
			b.CG = arrow(b.CG)
		}
		b.Inertia = tensor(b.Inertia)
	}
	for i := range out.Axles {
		a := &out.Axles[i]
		a.Near, a.Pinion, a.PinionAxis = point(a.Near), arrow(a.Pinion), arrow(a.PinionAxis).Unit()
		a.TyreRadius, a.TyreWidth, a.HalfTrack, a.Ride = size*a.TyreRadius, size*a.TyreWidth, size*a.HalfTrack, size*a.Ride
	}
	out.Links = slices.Clone(m.Links)
	for i := range out.Links {
		l := &out.Links[i]
		l.From, l.To, l.Length, l.Width = point(l.From), arrow(l.To), size*l.Length, size*l.Width
	}
	out.Shocks = slices.Clone(m.Shocks)
	for i := range out.Shocks {
		k := &out.Shocks[i]
		k.Open, k.Closed, k.Set, k.Width = size*k.Open, size*k.Closed, size*k.Set, size*k.Width
		for _, a := range []*solid.Anchor{&k.Top, &k.Bottom} {
			if a.Link < 0 && a.Carrier == solid.OnChassis {
				a.At = point(a.At)
			} else {
				a.At = arrow(a.At)
			}
			a.Along, a.Rise = size*a.Along, size*a.Rise
		}
	}
	return &out
}

func same(t solid.Sym) solid.Sym { return t }

// mirrored is the mirror image at the centreline; the twins change places, so that left stays first.
func mirrored(m *solid.Model) *solid.Model {
	out := changed(m, vec.Flip, vec.Flip, 1, func(t solid.Sym) solid.Sym { t[3], t[5] = -t[3], -t[5]; return t })
	other := make([]int, len(out.Links))
	for i := range out.Links {
		other[i] = i
		if out.Links[i].Side == solid.Left {
			other[i] = i + 1
		} else if out.Links[i].Side == solid.Right {
			other[i] = i - 1
		}
	}
	links := make([]solid.Link, len(out.Links))
	for i := range links {
		links[i] = out.Links[other[i]]
		links[i].Side = -links[i].Side
	}
	out.Links = links
	shocks := make([]solid.Shock, len(out.Shocks))
	for i := range shocks {
		j := i
		if out.Shocks[i].Side != solid.Single {
			j = i ^ 1
		}
		shocks[i] = out.Shocks[j]
		shocks[i].Side = -shocks[i].Side
		if k := shocks[i].Bottom.Link; k >= 0 {
			shocks[i].Bottom.Link = other[k]
		}
	}
	out.Shocks = shocks
	return out
}

func TestMirror(t *testing.T) {
	for i, m := range chance(t).rigs(16) {
		w := mirrored(m)
		what := fmt.Sprintf("rig %d, %s", i, m.Name)
		a, b := travelOf(t, m, sweep), travelOf(t, w, sweep)
		compareFlat(t, what, flat(t, a, 1, 1), flat(t, b, -1, 1), 1e-7, func(key string, v float64) (string, float64) {
			switch last(key) {
			case "y_mm", "steer_deg", "roll_deg", "roll_rate_mm_per_deg":
				v = -v
			case "left_wheel_z_mm":
				key = strings.Replace(key, "left_wheel", "right_wheel", 1)
			case "right_wheel_z_mm":
				key = strings.Replace(key, "right_wheel", "left_wheel", 1)
			}
			return key, v
		})
		if c, d := codes(a.Findings), codes(b.Findings); !slices.Equal(c, d) {
			t.Errorf("%s: findings %v became %v", what, c, d)
		}
		compareLimits(t, what, &a, &b, true)
		x, y := balanceOf(t, m), balanceOf(t, w)
		swap := strings.NewReplacer("left", "right", "right", "left")
		compareFlat(t, what, flat(t, x, 1, 1), flat(t, y, 1, 1), 1e-7, func(key string, v float64) (string, float64) {
			switch {
			case strings.HasSuffix(key, "/center_of_mass_mm/1"), strings.HasSuffix(key, "/at_mm/1"),
				strings.HasSuffix(key, "/inertia_kg_mm2/3"), strings.HasSuffix(key, "/inertia_kg_mm2/5"):
				return key, -v
			case strings.Contains(key, "/left_5_mm/"):
				return "", math.NaN() // 5 mm to the left became 5 mm to the right; a finite step has no mirror image
			case strings.Contains(last(key), "left"), strings.Contains(last(key), "right"):
				return key[:len(key)-len(last(key))] + swap.Replace(last(key)), v
			}
			return key, v
		})
	}
}

func TestOriginDoesNotMatter(t *testing.T) {
	d := chance(t)
	for i, m := range d.rigs(16) {
		by := vec{X: d.about(0, 200), Z: d.about(0, 60)}
		w := changed(m, func(v vec) vec { return v.Add(by) }, func(v vec) vec { return v }, 1, same)
		what := fmt.Sprintf("rig %d, %s", i, m.Name)
		a, b := travelOf(t, m, sweep), travelOf(t, w, sweep)
		want := func(key string, v float64) (string, float64) {
			switch last(key) {
			case "x_mm", "instant_center_x_mm":
				v += by.X
			case "z_mm", "instant_center_z_mm", "left_wheel_z_mm", "right_wheel_z_mm":
				v += by.Z
			case "belly_clearance_mm": // height of the chassis plane z = 0, which went down; along the ground it also tilts
				return "", math.NaN()
			}
			switch {
			case strings.HasSuffix(key, "/center_of_mass_mm/0"), strings.HasSuffix(key, "/at_mm/0"):
				v += by.X
			case strings.HasSuffix(key, "/center_of_mass_mm/2"), strings.HasSuffix(key, "/at_mm/2"):
				v += by.Z
			}
			return key, v
		}
		compareFlat(t, what, flat(t, a, 1, 1), flat(t, b, 1, 1), 1e-7, want)
		compareLimits(t, what, &a, &b, false)
		compareFlat(t, what, flat(t, balanceOf(t, m), 1, 1), flat(t, balanceOf(t, w), 1, 1), 1e-7, want)
	}
}

func TestOrderOfLinksDoesNotMatter(t *testing.T) {
	d := chance(t)
	for i, m := range d.rigs(16) {
		// Pairs stay together, left first: that is a promise of the model.
		var groups [][]int
		for k := 0; k < len(m.Links); k++ {
			g := []int{k}
			if m.Links[k].Side == solid.Left {
				k++
				g = append(g, k)
			}
			groups = append(groups, g)
		}
		d.Shuffle(len(groups), func(a, b int) { groups[a], groups[b] = groups[b], groups[a] })
		w := *m
		w.Links, w.Shocks = nil, slices.Clone(m.Shocks)
		place := map[int]int{}
		for _, g := range groups {
			for _, k := range g {
				place[k] = len(w.Links)
				w.Links = append(w.Links, m.Links[k])
			}
		}
		for k := range w.Shocks {
			if l := w.Shocks[k].Bottom.Link; l >= 0 {
				w.Shocks[k].Bottom.Link = place[l]
			}
		}
		what := fmt.Sprintf("rig %d, %s", i, m.Name)
		keep := func(key string, v float64) (string, float64) { return key, v }
		compareFlat(t, what, flat(t, travelOf(t, m, sweep), 1, 1), flat(t, travelOf(t, &w, sweep), 1, 1), 1e-7, keep)
		compareFlat(t, what, flat(t, balanceOf(t, m), 1, 1), flat(t, balanceOf(t, &w), 1, 1), 1e-7, keep)
	}
}

// The same for the kernel, with every order of four links.
func TestOrderOfLinksInTheKernel(t *testing.T) {
	d := chance(t)
	for _, l := range layouts() {
		h := d.hold(l, solid.Rear, true)
		m := &solid.Model{}
		d.add(m, &h, true)
		var first travel.Pose
		for n := range 24 {
			order := d.Perm(4)
			if n == 0 {
				order = []int{0, 1, 2, 3}
			}
			var c, a [4]vec
			var ln [4]float64
			for i, k := range order {
				c[i], a[i], ln[i] = m.Links[k].From, m.Links[k].To, m.Links[k].Length
			}
			s := travel.NewSolver(travel.NewLinkage(c, a, ln), travel.Pose{X: h.at.At.X, Y: h.at.At.Y, Z: h.at.At.Z})
			if st := s.Solve(h.at.At.Z+7, 0.1); st != travel.Reached {
				t.Fatalf("%s: status %v", l.name, st)
			}
			if n == 0 {
				first = s.Pose()
			}
			within(t, l.name+" x", s.Pose().X, first.X, 1e-8)
			within(t, l.name+" y", s.Pose().Y, first.Y, 1e-8)
			within(t, l.name+" steer", s.Pose().Steer, first.Steer, 1e-10)
			within(t, l.name+" spin", s.Pose().Spin, first.Spin, 1e-10)
		}
	}
}

func TestTwiceTheSize(t *testing.T) {
	for i, m := range chance(t).rigs(16) {
		double := func(v vec) vec { return v.Scale(2) }
		w := changed(m, double, double, 2, func(t solid.Sym) solid.Sym {
			for i := range t {
				t[i] *= 4
			}
			return t
		})
		what := fmt.Sprintf("rig %d, %s", i, m.Name)
		want := func(key string, v float64) (string, float64) {
			k := last(key)
			switch {
			case k == "play_lateral_mm": // the slop stays 0.1 mm
			case k == "play_steer_deg":
				v /= 2
			case strings.Contains(key, "/inertia_kg_mm2/"):
				v *= 4
			case strings.HasSuffix(k, "_mm"), strings.HasSuffix(k, "_mm_per_deg"), strings.Contains(key, "_mm/") && !strings.Contains(key, "5_mm/"):
				v *= 2
			case strings.Contains(key, "_5_mm/"):
				return "", math.NaN() // 5 mm is half as much on a rig of twice the size
			}
			return key, v
		}
		a, b := travelOf(t, m, sweep), travelOf(t, w, twice(sweep))
		compareFlat(t, what, flat(t, a, 1, 1), flat(t, b, 1, 2), 1e-7, want) // limits are looked for up to a fixed size, so they do not scale
		compareFlat(t, what, flat(t, balanceOf(t, m), 1, 1), flat(t, balanceOf(t, w), 1, 1), 1e-7, want)
	}
}

// Twice the weight everywhere doubles the loads and the inertia, and tips at the same angles.
func TestTwiceTheWeight(t *testing.T) {
	for i, m := range chance(t).rigs(8) {
		w := changed(m, func(v vec) vec { return v }, func(v vec) vec { return v }, 1, same)
		for k := range w.Bodies {
			w.Bodies[k].Mass *= 2
			for j := range w.Bodies[k].Inertia {
				w.Bodies[k].Inertia[j] *= 2
			}
		}
		for k := range w.Links {
			w.Links[k].Mass *= 2
		}
		for k := range w.Shocks {
			w.Shocks[k].Mass *= 2
		}
		x, err := balance.Assess(w, balance.Options{})
		if err != nil {
			t.Fatal(err)
		}
		compareFlat(t, fmt.Sprintf("rig %d, %s", i, m.Name), flat(t, balanceOf(t, m), 1, 1), flat(t, x, 1, 1), 1e-9, func(key string, v float64) (string, float64) {
			switch k := last(key); {
			case strings.HasSuffix(k, "mass_kg"), k == "mass_g", strings.Contains(key, "/corner_loads_n/"), strings.Contains(key, "/inertia_kg_mm2/"):
				v *= 2
			case strings.Contains(key, "/add_10_g/"):
				return "", math.NaN() // 10 g is half as much on a rig of twice the weight
			}
			return key, v
		})
	}
}

// inTheMirror is the mirror image of a whole rig, shapes, holes, shafts and steering included.
func inTheMirror(m *solid.Model) *solid.Model {
	out := mirrored(m)
	flip := solid.Frame{R: solid.Identity, Flip: true}
	for i := range out.Bodies {
		b := &out.Bodies[i]
		b.Side = -b.Side
		b.Shapes, b.Holes = slices.Clone(b.Shapes), slices.Clone(b.Holes)
		for k := range b.Shapes {
			b.Shapes[k].Frame = flip.Then(&b.Shapes[k].Frame)
		}
		for k := range b.Holes {
			h := &b.Holes[k]
			h.At, h.Axis, h.Side = h.At.Flip(), h.Axis.Flip(), -h.Side
		}
	}
	for i := range out.Links { // the twins changed places: the bends of each are those of the other
		out.Links[i].FromBolt, out.Links[i].ToBolt = out.Links[i].FromBolt.Flip(), out.Links[i].ToBolt.Flip()
	}
	out.Shafts = slices.Clone(m.Shafts)
	for i := range out.Shafts {
		k := &out.Shafts[i]
		k.From, k.To, k.FromAxis, k.ToAxis = k.From.Flip(), k.To.Flip(), k.FromAxis.Flip(), k.ToAxis.Flip()
	}
	s := &out.Steer
	s.HornAt, s.HornEye, s.DragTo, s.HornAxis = s.HornAt.Flip(), s.HornEye.Flip(), s.DragTo.Flip(), s.HornAxis.Flip().Scale(-1)
	switch s.DragOn {
	case solid.OnLeftKnuckle:
		s.DragOn = solid.OnRightKnuckle
	case solid.OnRightKnuckle:
		s.DragOn = solid.OnLeftKnuckle
	}
	return out
}

// The least clearances of a rig and of its mirror image are the same, to 1e-6 mm, for the same two things seen in the mirror: the search over the travel begins and steps alike on both
// sides. The demo rigs, which are not symmetric in themselves, and the same with every link, shock eye and box shaken by up to a millimetre.
func TestMirroredRigsComeAsNear(t *testing.T) {
	swap := strings.NewReplacer("left", "right", "right", "left")
	r := chance(t)
	for _, name := range []string{"bramble.rig.yaml", "bramble-portal.rig.yaml", "gully.rig.yaml"} {
		_, m := modelOf(t, fromFolder(filepath.Join("..", "examples")), name)
		for round := range 4 {
			one := *m
			if round > 0 {
				shake := func(v vec) vec {
					return v.Add(vec{X: 2*r.Float64() - 1, Y: 2*r.Float64() - 1, Z: 2*r.Float64() - 1})
				}
				one.Links, one.Bodies = slices.Clone(m.Links), slices.Clone(m.Bodies)
				for i := range one.Links {
					one.Links[i].From, one.Links[i].To = shake(one.Links[i].From), shake(one.Links[i].To)
				}
				for i := range one.Bodies {
					one.Bodies[i].Shapes = slices.Clone(one.Bodies[i].Shapes)
					for k := range one.Bodies[i].Shapes {
						one.Bodies[i].Shapes[k].Frame.At = shake(one.Bodies[i].Shapes[k].Frame.At)
					}
				}
			}
			gaps := func(m *solid.Model) map[string]float64 {
				out := map[string]float64{}
				a := travelOf(t, m, sweep)
				for _, k := range a.Clearances {
					if !k.DrawnIn && !k.Touching {
						out[k.Axle+": "+min(k.A, k.B)+" | "+max(k.A, k.B)] = k.GapMM
					}
				}
				return out
			}
			x, y := gaps(&one), gaps(inTheMirror(&one))
			if len(x) == 0 || len(x) != len(y) {
				t.Errorf("%s %d: %d pairs, in the mirror %d", name, round, len(x), len(y))
			}
			for key, d := range x {
				axle, pair, _ := strings.Cut(swap.Replace(key), ": ")
				a, b, _ := strings.Cut(pair, " | ")
				if got, ok := y[axle+": "+min(a, b)+" | "+max(a, b)]; !ok || math.Abs(got-d) > 1e-6 {
					t.Errorf("%s %d: %s: %.9f mm, in the mirror %.9f", name, round, key, d, got)
				}
			}
		}
	}
}
