package reference

import (
	"math"
	"testing"

	"lowslung/balance"
	"lowslung/rig"
	"lowslung/solid"
	"lowslung/travel"
)

const deg = math.Pi / 180

type vec = solid.Vec

func xyz(x, y, z float64) vec { return vec{X: x, Y: y, Z: z} }

// An eye is a link of a rig built by hand: its two ends in one frame, both where they are in the design pose.
type eye struct {
	name          string
	chassis, axle vec
}

// pair mirrors an eye.
func pair(name string, chassis, axle vec) []eye {
	return []eye{{name, chassis, axle}, {name, chassis.Flip(), axle.Flip()}}
}

// A bench is a rig built by hand, all places in one frame that has x = 0 below the rear wheel centre and z = 0 on the ground:
// the frame most textbooks draw in. Model moves it into the chassis frame.
type bench struct {
	base, radius, halfTrack float64
	rear, front             []eye
	weights                 []weight
	traction                [2]float64 // front, rear
	origin                  vec        // of the chassis frame
}

type weight struct {
	kg float64
	at vec
}

// textbook is a rig of wheelbase 300, tyre radius 57, with 2.5 kg at height 80.
func textbook(rear, front []eye) bench {
	return bench{
		base: 300, radius: 57, halfTrack: 100, rear: rear, front: front,
		weights: []weight{{2.5, vec{X: 150, Z: 80}}}, traction: [2]float64{0.5, 0.5}, origin: vec{X: 150, Z: 30},
	}
}

func (b *bench) model() *solid.Model {
	m := &solid.Model{Name: "bench", Doc: &rig.Document{}}
	for end, eyes := range [2][]eye{b.front, b.rear} {
		centre := vec{Z: b.radius}
		axis := vec{X: 1}
		if solid.End(end) == solid.Front {
			centre.X = b.base
			axis.X = -1
		}
		m.Axles[end] = solid.Axle{
			Present: true, Path: solid.End(end).String(), Near: centre.Sub(b.origin),
			TyreRadius: b.radius, TyreWidth: 40, HalfTrack: b.halfTrack, PinionAxis: axis, Traction: b.traction[end],
		}
		seen := map[string]int{}
		count := map[string]int{}
		for _, e := range eyes {
			count[e.name]++
		}
		for _, e := range eyes {
			side := solid.Single
			if count[e.name] == 2 {
				side = solid.Side(1 - 2*seen[e.name])
				seen[e.name]++
			}
			name := solid.End(end).String() + " " + e.name
			m.Links = append(m.Links, solid.Link{
				Name: name, Path: "links/" + name, Side: side, Axle: solid.End(end), Width: 6,
				From: e.chassis.Sub(b.origin), To: e.axle.Sub(centre), Length: e.axle.Sub(e.chassis).Norm(),
				FromHole: "frame/" + e.name, ToHole: "axle/" + e.name,
			})
		}
	}
	for _, w := range b.weights {
		m.Bodies = append(m.Bodies, solid.Body{
			Name: "weight", Path: "chassis/parts/weight", Kind: "other", Frame: solid.Frame{R: solid.Identity},
			Mass: w.kg, HasMass: true, CG: w.at.Sub(b.origin),
		})
	}
	return m
}

// plainLinks are four links well apart, for an axle whose links do not matter.
func plainLinks(end solid.End, base, radius float64) []eye {
	x, s := 0.0, 1.0
	if end == solid.Front {
		x, s = base, -1
	}
	var out []eye
	out = append(out, pair("lower", vec{X: x + s*110, Y: 40, Z: radius}, vec{X: x + s*10, Y: 60, Z: radius - 10})...)
	return append(out, pair("upper", vec{X: x + s*90, Y: 45, Z: radius + 30}, vec{X: x + s*10, Y: 15, Z: radius + 30})...)
}

func travelOf(t *testing.T, m *solid.Model, o travel.Options) travel.Answer {
	t.Helper()
	a, err := travel.Assess(m, o)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func balanceOf(t *testing.T, m *solid.Model) balance.Answer {
	t.Helper()
	a, err := balance.Assess(m, balance.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// within fails when got is further than tol from want.
func within(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.12g, want %.12g ± %.1g", what, got, want, tol)
	}
}

// given fails when a number that should be there is missing, and otherwise compares it.
func given(t *testing.T, what string, got *float64, want, tol float64) {
	t.Helper()
	if got == nil {
		t.Errorf("%s: got nothing, want %.12g", what, want)
		return
	}
	within(t, what, *got, want, tol)
}
