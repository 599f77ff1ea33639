package steer

import (
	"io/fs"
	"math"
	"os"
	"strings"
	"testing"

	"lowslung/finding"
	"lowslung/rig"
	"lowslung/solid"
	"lowslung/travel"
)

func demoRig(t *testing.T, name string) *solid.Model {
	t.Helper()
	files := os.DirFS("../examples")
	b, err := rig.Load(func(n string) ([]byte, error) { return fs.ReadFile(files, n) }, name+".rig.yaml")
	if err != nil {
		t.Fatal(err)
	}
	m, err := solid.Resolve(b)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// A wall across the car ahead of the tyres: what a turned tyre leaves to it is written down directly from the wheel's centre and axis,
// the foremost point of a disc with rounded edges being (R − s)·√(1 − n²) + (W/2 − s)·|n| + s ahead of its centre, n the axis' part
// forward.
func TestGapToAWallAtLock(t *testing.T) {
	m := demoRig(t, "bramble")
	tyre := func() *solid.Shape {
		for i := range m.Bodies {
			for k := range m.Bodies[i].Shapes {
				if s := &m.Bodies[i].Shapes[k]; s.Kind == solid.Disc && m.Bodies[i].Carrier == solid.OnFront {
					return s
				}
			}
		}
		return nil
	}()
	st := travel.StandOf(m)
	mv := st.Movers[solid.Front]
	l, _ := Compile(m, st, 0)
	e := newBench(m, st, l).end(1)
	reach := func(p travel.Pose) float64 { // of both tyres, chassis frame
		most := math.Inf(-1)
		turn := p.Turn()
		for _, side := range []solid.Side{solid.Left, solid.Right} {
			hub, axis := l.Wheel(side, e.state)
			n := turn.Mul(axis).X
			round := solid.Shoulder(tyre.Size.Y)
			most = max(most, p.Place(hub).X+(tyre.Size.X/2-round)*math.Sqrt(1-n*n)+(tyre.Size.Y/2-round)*math.Abs(n)+round)
		}
		return most
	}
	within := func(p travel.Pose) bool {
		for i := range m.Shocks {
			if s := &m.Shocks[i]; s.Axle == solid.Front {
				if d := travel.StrutAt(m, s, p, travel.Rate{}, travel.Rate{}).Length; d < s.Closed || d > s.Open {
					return false
				}
			}
		}
		return true
	}
	most := math.Inf(-1)
	var span []float64
	for v := -40.0; v <= 40; v++ {
		span = append(span, v)
	}
	var rolls []float64
	for v := -24.0; v <= 24; v += 0.5 {
		rolls = append(rolls, v*deg)
	}
	mv.Grid(span, rolls, func(_, _ float64, p travel.Pose) {
		if within(p) {
			most = max(most, reach(p))
		}
	})
	const gap, thick = 2.0, 10.0
	wall := most + gap
	m.Bodies = append(m.Bodies, solid.Body{Name: "wall", Path: "chassis/parts/wall", Shapes: []solid.Shape{
		{Kind: solid.Box, Frame: solid.Frame{At: solid.Vec{X: wall + thick/2}, R: solid.Identity}, Size: solid.Vec{X: thick, Y: 1000, Z: 1000}}}})
	a, err := Assess(m, Options{})
	if err != nil {
		t.Fatal(err)
	}
	found := false
	for _, k := range a.Locks.Left.Clearances {
		if k.APath != "chassis/parts/wall" && k.BPath != "chassis/parts/wall" || !strings.Contains(k.A+k.B, "tyre") {
			continue
		}
		mv.Jump(mv.Design)
		if !mv.To(mv.Design.Z+k.HeaveMM, k.RollDeg*deg) || !within(mv.At()) && math.Abs(k.HeaveMM) > 1e-9 && k.GapMM > gap+0.2 {
			t.Fatalf("%+v is out of reach", k)
		}
		if want := wall - reach(mv.At()); want < gap+1 && math.Abs(k.GapMM-want) > 1e-5 && !found {
			t.Errorf("%+v, by hand %g", k, want)
		}
		// A grid of 1 mm and half a degree does not hold the corners of the region.
		if !found && (k.GapMM > gap+0.01 || k.GapMM < gap-1) {
			t.Errorf("the smallest gap is told as %g, on a grid it is %g", k.GapMM, gap)
		}
		found = true
	}
	if !found {
		t.Fatalf("no gap to the wall: %+v", a.Locks.Left.Clearances)
	}
}

// A peg ahead of the left wheel and outside it: clear of it straight ahead, in its way at left lock. As the rig stands that is a stop;
// further up, where only a bump takes the wheel, it is to watch.
func TestContactAtLockLevels(t *testing.T) {
	m := demoRig(t, "gully")
	at := func(x, y, z float64) *finding.Finding {
		t.Helper()
		own := *m
		own.Bodies = append(append([]solid.Body{}, m.Bodies...), solid.Body{Name: "peg", Path: "chassis/parts/peg", Shapes: []solid.Shape{
			{Kind: solid.Capsule, Frame: solid.Frame{At: solid.Vec{X: x, Y: y, Z: z}, R: solid.Identity}, Size: solid.Vec{Y: 6, Z: 6}}}})
		a, err := Assess(&own, Options{})
		if err != nil {
			t.Fatal(err)
		}
		for i := range a.Findings {
			if f := &a.Findings[i]; len(f.About) == 2 && (f.About[0] == "chassis/parts/peg" || f.About[1] == "chassis/parts/peg") {
				return f
			}
		}
		return nil
	}
	pose := travel.StandOf(m).Movers[solid.Front].Design
	x, y := pose.X+34, pose.Y+131.0
	if f := at(x, y, pose.Z); f == nil || f.Code != "steer/contact" || f.Level != finding.Stop || !strings.HasPrefix(f.Sentence, "At left lock the ") || !strings.Contains(f.Sentence, "first at ride height") {
		t.Errorf("in the way as the rig stands: %+v", f)
	}
	if f := at(x, y, pose.Z+45); f == nil || f.Code != "steer/contact" || f.Level != finding.Watch || strings.Contains(f.Sentence, "ride height") {
		t.Errorf("in the way of a wheel in bump: %+v", f)
	}
	if f := at(x+80, y, pose.Z); f != nil {
		t.Errorf("out of the way: %+v", f)
	}
}

// segment is the distance of q from the line between a and b.
func segment(q, a, b solid.Vec) float64 {
	e := b.Sub(a)
	t := max(0, min(1, q.Sub(a).Dot(e)/e.Dot(e)))
	return q.Sub(a.Along(e, t)).Norm()
}

// Tie rod and drag link go along with the steering: a ball beside each is as far away as a point from the line between the eyes, less both radii, with the eyes where
// the linkage has them. Both are measured between 15 mm from either eye.
func TestRodsAtLock(t *testing.T) {
	m := demoRig(t, "bramble")
	st := travel.StandOf(m)
	l, _ := Compile(m, st, 0)
	e := newBench(m, st, l).end(1)
	// The rod is made up to what the arms are apart, and its frame takes one eye to the other's place.
	f := l.TieRod(e.state)
	for i, arm := range m.Steer.Arm {
		if off := f.Apply(arm).Sub(l.tie[i].at(e.state.Knuckle[i])).Norm(); off > 1e-9 {
			t.Errorf("the tie rod's eye %d is %g mm off its arm", i, off)
		}
	}
	eyes := map[string]func(p travel.Pose) (a, b solid.Vec, thick float64){
		"the tie rod": func(p travel.Pose) (solid.Vec, solid.Vec, float64) {
			a, b := p.Place(l.tie[left].at(e.state.Knuckle[left])), p.Place(l.tie[right].at(e.state.Knuckle[right]))
			d := b.Sub(a).Unit()
			return a.Along(d, 15), b.Along(d, -15), 5 // rod-al5-140
		},
		"the drag link": func(p travel.Pose) (solid.Vec, solid.Vec, float64) {
			a, b := l.horn.at(e.servo), p.Place(l.far(e.state))
			d := b.Sub(a).Unit()
			return a.Along(d, 15), b.Along(d, -15), 6 // rod-al6-75
		},
	}
	for name, at := range eyes {
		a, b, _ := at(st.Movers[solid.Front].Design)
		ball := a.Add(b).Scale(0.5).Add(solid.Vec{X: 10, Z: 6})
		own := *m
		own.Bodies = append(append([]solid.Body{}, m.Bodies...), solid.Body{Name: "ball", Path: "chassis/parts/ball", Shapes: []solid.Shape{
			{Kind: solid.Capsule, Frame: solid.Frame{At: ball, R: solid.Identity}, Size: solid.Vec{Y: 6, Z: 6}}}})
		ans, err := Assess(&own, Options{})
		if err != nil {
			t.Fatal(err)
		}
		found := false
		for _, k := range ans.Locks.Left.Clearances {
			if k.A != name && k.B != name || k.A != "the ball" && k.B != "the ball" {
				continue
			}
			found = true
			mv := travel.StandOf(m).Movers[solid.Front]
			if !mv.To(mv.Design.Z+k.HeaveMM, k.RollDeg*deg) {
				t.Fatalf("%+v is out of reach", k)
			}
			a, b, thick := at(mv.At())
			want := segment(ball, a, b) - 3 - thick/2
			if k.Touching {
				if want > 0.01 {
					t.Errorf("%s touches the ball by the answer, by hand it is %g mm away", name, want)
				}
			} else if math.Abs(k.GapMM-want) > 1e-6 {
				t.Errorf("%s: %g mm, by hand %g", name, k.GapMM, want)
			}
		}
		if !found {
			t.Errorf("nothing is said of %s and the ball: %+v", name, ans.Locks.Left.Clearances)
		}
	}
}
