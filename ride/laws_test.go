package ride

import (
	"encoding/json"
	"fmt"
	"math"
	"testing"

	"lowslung/rig"
	"lowslung/solid"
)

var demos = []string{"bramble.rig.yaml", "bramble-portal.rig.yaml", "gully.rig.yaml"}

// From wherever it starts the energy falls at every step until it rests. Weight, springs and contacts are all in it.
func TestEnergyFallsAtEveryStep(t *testing.T) {
	r := dice(t)
	for _, name := range demos {
		mc := machineOf(t, modelOf(t, name))
		rested := 0
		for range 40 {
			w := newWork(mc)
			w.stand()
			u := func(s float64) float64 { return s * (2*r.Float64() - 1) }
			w.at = w.at.moved(&row{u(5), u(5), u(15), u(0.15), u(0.15), u(0.05), u(8), u(0.1), u(8), u(0.1)}, 1)
			if !w.evaluate(false) {
				continue // beyond the links' reach
			}
			w.trail = []float64{}
			if w.rest(limits{turn: 1.5, shift: 300, steps: 400, late: stalled}) == atRest {
				rested++
			}
			for i := 1; i < len(w.trail); i++ {
				if rise := w.trail[i] - w.trail[i-1]; rise > 1e-9*(1+math.Abs(w.trail[0])) {
					t.Errorf("%s: step %d of %d raises the energy by %g N·mm", name, i, len(w.trail)-1, rise)
				}
			}
		}
		if rested < 30 {
			t.Errorf("%s: only %d of 40 starts came to rest", name, rested)
		}
	}
}

// A rig and its mirror image: everything left comes out right.
func TestMirrorImage(t *testing.T) {
	for _, name := range demos {
		m := modelOf(t, name)
		a, _ := Assess(m, Options{})
		b, _ := Assess(mirror(m), Options{})
		if a.Stance == nil || b.Stance == nil {
			t.Fatal("no stance")
		}
		la, lb := a.Stance.CornerLoadsN, b.Stance.CornerLoadsN
		near(t, name+": front left load", la.FrontLeft, lb.FrontRight, 1e-6)
		near(t, name+": rear right load", la.RearRight, lb.RearLeft, 1e-6)
		near(t, name+": roll", a.Stance.ChassisRollDeg, -b.Stance.ChassisRollDeg, 1e-7)
		near(t, name+": pitch", a.Stance.ChassisPitchDeg, b.Stance.ChassisPitchDeg, 1e-7)
		near(t, name+": front wheel rate", a.Stance.Axles.Front.WheelRate, b.Stance.Axles.Front.WheelRate, 1e-7)
		near(t, name+": tip left", *a.Tilt.LeftDown.TipDeg, *b.Tilt.RightDown.TipDeg, 0.03)
		near(t, name+": tip right", *a.Tilt.RightDown.TipDeg, *b.Tilt.LeftDown.TipDeg, 0.03)
		near(t, name+": tip nose up", *a.Tilt.NoseUp.TipDeg, *b.Tilt.NoseUp.TipDeg, 0.03)
		for i := range a.Tilt.LeftDown.Sweep[:7] {
			x, y := a.Tilt.LeftDown.Sweep[i], b.Tilt.RightDown.Sweep[i]
			near(t, fmt.Sprintf("%s: load at %v°", name, x.AngleDeg), x.LoadsN.FrontLeft, y.LoadsN.FrontRight, 2e-3)
		}
		near(t, name+": ramp", a.Ramp.Index, b.Ramp.Right.Index, 0.5)
		near(t, name+": blocks", a.CrossAxle.FrontLeftUp.HeightMM, b.CrossAxle.FrontRightUp.HeightMM, 0.05)
		near(t, name+": approach", a.Angles.Standing.ApproachDeg, b.Angles.Standing.ApproachDeg, 1e-6)
		near(t, name+": breakover", a.Angles.Standing.BreakoverDeg, b.Angles.Standing.BreakoverDeg, 1e-6)
		// The shafts must turn the other way in the mirror for the drive's twist to be the same.
		if a.Torque == nil || len(a.Torque.Sweep) < 3 {
			t.Fatal("no twist")
		}
		near(t, name+": twist", a.Torque.Sweep[2].RollDeg, -b.Torque.Sweep[2].RollDeg, 0.02)
	}
}

// mirror is the model seen in a mirror at the centreline. Bodies keep their shapes turned over by their frames.
func mirror(m *solid.Model) *solid.Model {
	out := *m
	doc := *m.Doc
	if doc.Drive != nil {
		d := *doc.Drive
		d.Turns = "anticlockwise"
		doc.Drive = &d
	}
	doc.Targets = nil
	out.Doc = &doc
	flip := solid.Frame{R: solid.Identity, Flip: true}
	out.Bodies = append([]solid.Body(nil), m.Bodies...)
	for i := range out.Bodies {
		b := &out.Bodies[i]
		b.CG, b.Side = b.CG.Flip(), -b.Side
		b.Inertia[3], b.Inertia[5] = -b.Inertia[3], -b.Inertia[5]
		b.Shapes = append([]solid.Shape(nil), b.Shapes...)
		for k := range b.Shapes {
			b.Shapes[k].Frame = flip.Then(&b.Shapes[k].Frame)
		}
	}
	out.Links = append([]solid.Link(nil), m.Links...)
	for i := range out.Links {
		l := &out.Links[i]
		l.From, l.To, l.Side = l.From.Flip(), l.To.Flip(), -l.Side
	}
	out.Shocks = append([]solid.Shock(nil), m.Shocks...)
	for i := range out.Shocks {
		s := &out.Shocks[i]
		s.Top.At, s.Bottom.At, s.Side = s.Top.At.Flip(), s.Bottom.At.Flip(), -s.Side
	}
	out.Bars = append([]solid.Bar(nil), m.Bars...)
	for i := range out.Bars {
		e := &out.Bars[i].Eyes
		e[0], e[1] = e[1], e[0]
		e[0].At, e[1].At = e[0].At.Flip(), e[1].At.Flip()
	}
	out.Steer.HornEye, out.Steer.DragTo = m.Steer.HornEye.Flip(), m.Steer.DragTo.Flip() // where half of the drag link's weight hangs
	out.Shafts = append([]solid.Shaft(nil), m.Shafts...)
	for i := range out.Shafts {
		out.Shafts[i].From, out.Shafts[i].To = m.Shafts[i].From.Flip(), m.Shafts[i].To.Flip()
	}
	for end := range out.Axles {
		a := &out.Axles[end]
		a.Near, a.Pinion, a.PinionAxis = a.Near.Flip(), a.Pinion.Flip(), a.PinionAxis.Flip()
		w := append([]solid.Wheel(nil), a.Wheels...)
		for i := range w {
			w[i].At, w[i].Side = w[i].At.Flip(), -w[i].Side
		}
		a.Wheels = w
	}
	return &out
}

// The stiffness that stands for a dead stop does not matter: a rig on its stops stands the same with one ten times as stiff.
func TestStopsAreDead(t *testing.T) {
	soft := usual()
	soft.rate, soft.tyre = [2]float64{0.02, 0.3}, 2
	for _, m := range []*solid.Model{written(t, soft.text()), modelOf(t, "gully.rig.yaml")} {
		var loads [2][4]float64
		var tips [2]float64
		for k, h := range []float64{hard, 10 * hard} {
			mc := machineOf(t, m)
			mc.hard = h
			w := newWork(mc)
			if w.stand() != atRest {
				t.Fatal("no stance")
			}
			loads[k] = w.load
			level := w.save()
			tips[k] = w.tilt(&ways[0], &level, stride, mostTilt*deg, nil).tip / deg
			if m.Name == "" && k == 0 {
				if st := w.shock(&mc.axles[0].struts[0], w.mo[0].length[0].at); st.At != onClosed && st.At != onOpen {
					t.Errorf("the soft shock rests on %s; this test wants a stop", st.At)
				}
			}
		}
		for i := range loads[0] {
			near(t, "load of the "+wheelNames[i]+" wheel", loads[0][i], loads[1][i], 0.01)
		}
		near(t, "tip angle", tips[0], tips[1], 0.1)
	}
}

// Where the board is at rest does not depend on the steps it was turned in.
func TestTiltHasNoHistory(t *testing.T) {
	for _, name := range demos {
		mc := machineOf(t, modelOf(t, name))
		w := newWork(mc)
		w.stand()
		level := w.save()
		for i := range ways {
			var at [2][4]float64
			var tip [2]float64
			for k, step := range []float64{5, 0.5} {
				tip[k] = w.tilt(&ways[i], &level, step*deg, mostTilt*deg, func(angle float64) {
					if math.Abs(angle-25*deg) < 1e-9 {
						at[k] = w.load
					}
				}).tip / deg
			}
			near(t, name+": tip "+ways[i].name, tip[0], tip[1], 0.06)
			for n := range at[0] {
				near(t, name+": load at 25° of the "+wheelNames[n]+" wheel", at[0][n], at[1][n], 0.01)
			}
		}
	}
}

// All along the board the loads make up the weight's share square to it, the forces along it the rest, and both moments about the centre of
// mass vanish: the statics of the whole rig, which no spring can change.
func TestStaticsOnTheBoard(t *testing.T) {
	for _, name := range demos {
		mc := machineOf(t, modelOf(t, name))
		w := newWork(mc)
		w.stand()
		level := w.save()
		for i := range ways {
			w.tilt(&ways[i], &level, 5*deg, mostTilt*deg, func(angle float64) {
				what := fmt.Sprintf("%s, %s, %.0f°", name, ways[i].name, angle/deg)
				var force, moment solid.Vec
				c := w.center()
				for n := range w.load {
					f := w.bears(n).Along(solid.Vec{Z: 1}, w.load[n])
					force = force.Add(f)
					moment = moment.Add(w.feet[n].world.Sub(c).Cross(f))
				}
				force = force.Along(w.pull, mc.mass)
				if force.Norm() > 5e-3 || moment.Norm() > 0.5 { // of 27 N and some 2000 N·mm
					t.Errorf("%s: out of balance by %.2g N, %.2g N·mm", what, force.Norm(), moment.Norm())
				}
			})
		}
	}
}

// On the ramp and on blocks the statics hold too, with every wheel's force square to what it stands on.
func TestStaticsOnTheRamp(t *testing.T) {
	for _, name := range demos {
		mc := machineOf(t, modelOf(t, name))
		w := newWork(mc)
		w.stand()
		level := w.save()
		w.climb(0, 20*deg, 310, &level, 0)
		var force, moment solid.Vec
		c := w.center()
		for n := range w.load {
			f := w.bears(n).Along(w.ground[n].n, w.load[n])
			force = force.Add(f)
			moment = moment.Add(w.feet[n].world.Sub(c).Cross(f))
		}
		force = force.Along(w.pull, mc.mass)
		if force.Norm() > 5e-3 || moment.Norm() > 1 {
			t.Errorf("%s: out of balance by %v N, %v N·mm", name, force, moment)
		}
	}
}

// What was wished for is what the document then gives.
func TestWishComesTrue(t *testing.T) {
	text := `lowslung: 1
base: bramble.rig.yaml
shocks:
  front: {collar: %v mm, oil: %v cSt}
  rear: {collar: %v mm, oil: %v cSt}
`
	a, _ := Assess(modelOf(t, "bramble.rig.yaml"), Options{Height: 69, Zeta: 0.5})
	if a.Wish == nil || a.Wish.Front == nil || a.Wish.Oil == nil {
		t.Fatalf("no setting: %+v", a.Wish)
	}
	f, r := a.Wish.Front, a.Wish.Rear
	b, _ := Assess(written(t, fmt.Sprintf(text, f.CollarMM, *a.Wish.Oil.FrontCSt, r.CollarMM, *a.Wish.Oil.RearCSt)), Options{})
	near(t, "front ride height", b.Stance.Axles.Front.RideHeightMM, 69, 2e-3)
	near(t, "rear ride height", b.Stance.Axles.Rear.RideHeightMM, 69, 2e-3)
	near(t, "front damping ratio", *b.Stance.Axles.Front.DampingRatio, 0.5, 5e-3)
	near(t, "rear damping ratio", *b.Stance.Axles.Rear.DampingRatio, 0.5, 5e-3)
	// Or the spring instead of the collar: the same force at the same length, so the same height.
	text = `lowslung: 1
base: bramble.rig.yaml
shocks:
  front: {springs: [{rate: %v}]}
  rear: {springs: [{rate: %v}]}
`
	c, _ := Assess(written(t, fmt.Sprintf(text, *f.RateNPerMM, *r.RateNPerMM)), Options{Brief: true})
	near(t, "front ride height by springs", c.Stance.Axles.Front.RideHeightMM, 69, 0.02)
	near(t, "rear ride height by springs", c.Stance.Axles.Rear.RideHeightMM, 69, 0.02)
	d, _ := Assess(modelOf(t, "bramble.rig.yaml"), Options{Sag: 0.35})
	e, _ := Assess(written(t, fmt.Sprintf(`lowslung: 1
base: bramble.rig.yaml
shocks: {front: {collar: %v}, rear: {collar: %v}}
`, d.Wish.Front.CollarMM, d.Wish.Rear.CollarMM)), Options{Brief: true})
	near(t, "front sag", *e.Stance.sagOf("front"), 0.35, 1e-4)
	near(t, "rear sag", *e.Stance.sagOf("rear"), 0.35, 1e-4)
}

// The cure of a leaning rig levels it.
func TestLevellingComesTrue(t *testing.T) {
	m := modelOf(t, "bramble.rig.yaml")
	w := newWork(machineOf(t, m))
	w.stand()
	roll, _ := w.attitude()
	turn, ok := w.level(roll / deg)
	if !ok || turn < 0.5 {
		t.Fatalf("found %v mm, %v", turn, ok)
	}
	w.right = turn // it leans to the right
	w.stand()
	roll, _ = w.attitude()
	near(t, "roll with the right collars further down", roll/deg, 0, 2e-3)
}

// Parts of the kernel allocate nothing: a sweep is thousands of them.
func TestNoAllocations(t *testing.T) {
	w := newWork(machineOf(t, modelOf(t, "gully.rig.yaml")))
	w.stand()
	if n := testing.AllocsPerRun(20, func() { w.stand() }); n != 0 {
		t.Errorf("a stance allocates %v times", n)
	}
}

// In brief, the numbers that there are equal those of the whole answer.
func TestBriefSaysTheSame(t *testing.T) {
	for _, name := range demos {
		m := modelOf(t, name)
		whole, _ := Assess(m, Options{})
		brief, _ := Assess(m, Options{Brief: true})
		have := map[string]float64{}
		for _, v := range whole.Numbers() {
			have[v.Channel.Name] = v.Value
		}
		for _, v := range brief.Numbers() {
			if math.Abs(have[v.Channel.Name]-v.Value) > 1e-9*math.Abs(v.Value) { // the movers have come another way
				t.Errorf("%s: %s is %v in brief, %v in whole", name, v.Channel.Name, v.Value, have[v.Channel.Name])
			}
		}
		again, _ := Assess(m, Options{})
		x, _ := json.Marshal(whole)
		if y, _ := json.Marshal(again); string(x) != string(y) {
			t.Errorf("%s: the same question has two answers", name)
		}
	}
}

// A document that lacks something gets a note that says what, and never a number that is none.
func TestLacking(t *testing.T) {
	for _, c := range []struct{ patch, says string }{
		{"front: null\nlinks: {front lower: null, front upper: null, front transverse: null}\nshocks: {front: null}\nshafts: {front: null}\nsteer: null\ndrive: null\nmates: null\ntargets: null", "there is no front axle"},
		{"front: {parts: {front tyre: null, front wheel nut: null}}\nmates: {front wheels on their hubs: null}\ntargets: null", "a tyre on both sides of the front axle"},
		{"links: {rear upper: null}\nmates: null\ntargets: null", "the links of the rear axle do not"},
		{"shocks: {rear: null}\ntargets: null", "needs springs on the shocks of the rear axle"},
		{"shocks: {rear: {springs: []}}\ntargets: null", "it would stand on their stops, fully closed at 66.0 mm"},
	} {
		b, err := rig.Load(func(n string) ([]byte, error) {
			if n == "it.rig.yaml" {
				return []byte("lowslung: 1\nbase: bramble.rig.yaml\n" + c.patch), nil
			}
			return readExample(n)
		}, "it.rig.yaml")
		if err != nil {
			t.Fatal(err)
		}
		m, err := solid.Resolve(b)
		if err != nil {
			t.Fatal(err)
		}
		a, err := Assess(m, Options{})
		if err != nil || a.Stance != nil {
			t.Fatalf("%q: %v, %+v", c.patch, err, a.Stance)
		}
		if len(a.Findings) != 1 || a.Findings[0].Code != "ride/lacking" || !contains(a.Findings[0].Sentence, c.says) {
			t.Errorf("found %+v, expected a note that says %q", a.Findings, c.says)
		}
	}
}

func BenchmarkStance(b *testing.B) {
	w := newWork(machineOf(b, modelOf(b, "bramble-portal.rig.yaml")))
	b.ReportAllocs()
	for b.Loop() {
		if w.stand() != atRest {
			b.Fatal("no stance")
		}
	}
}

// BenchmarkTilt turns the board sideways in steps of 0.25° until the rig tips, and reports what 60° of it would take.
func BenchmarkTilt(b *testing.B) {
	w := newWork(machineOf(b, modelOf(b, "bramble-portal.rig.yaml")))
	w.stand()
	level := w.save()
	rests := 0
	b.ReportAllocs()
	for b.Loop() {
		w.tilt(&ways[0], &level, 0.25*deg, mostTilt*deg, func(float64) { rests++ })
	}
	b.ReportMetric(b.Elapsed().Seconds()*1000/float64(rests)*241, "ms/241rests")
}

func BenchmarkRide(b *testing.B) {
	m := modelOf(b, "bramble-portal.rig.yaml")
	for _, brief := range []bool{true, false} {
		b.Run(map[bool]string{true: "brief", false: "whole"}[brief], func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if a, err := Assess(m, Options{Brief: brief}); err != nil || a.Stance == nil {
					b.Fatal("no stance")
				}
			}
		})
	}
}

// Halves at the ends make the same weight in the same place as the lumps that balance sums up.
func TestWeighsWhatBalanceWeighs(t *testing.T) {
	for _, name := range demos {
		m := modelOf(t, name)
		w := newWork(machineOf(t, m))
		w.place()
		if !w.evaluate(false) {
			t.Fatal("beyond reach")
		}
		mass, at := solid.CenterOfMass(m.Lumps(w.mc.stand.Stance()))
		near(t, name+": mass", w.mc.mass, mass, 1e-12)
		if off := w.center().Sub(w.world(at)).Norm(); off > 1e-9 {
			t.Errorf("%s: centre of mass %g mm from that of the lumps", name, off)
		}
	}
}
