package travel

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"lowslung/rig"
	"lowslung/solid"
)

// Against measuring every pair of pieces, with no broad phase and no memory of the last pose.
func TestAtMissesNothing(t *testing.T) {
	r := seedOf(t)
	for _, name := range demos {
		m := demo(t, name)
		st := StandOf(m)
		c := NewClearances(m, st.Stance())
		ws := c.Workspace()
		for range 25 {
			s := randomStance(r, st)
			limit := 12 * r.Float64()
			got := map[int]Gap{}
			for _, g := range c.At(&s, ws, limit) {
				got[g.pair] = g
			}
			fresh := c.Workspace()
			fresh.place(&s)
			for i := range c.pairs {
				p := &c.pairs[i]
				if p.atLock {
					continue
				}
				a, b := &c.things[p.a], &c.things[p.b]
				slow := math.Inf(1)
				axis := int(p.axis)
				for x := a.first; x < a.first+a.count; x++ {
					for y := b.first; y < b.first+b.count; y, axis = y+1, axis+1 {
						if !c.drawn[axis] {
							g := solid.Apart(&fresh.pieces[x], &fresh.pieces[y], math.Inf(1), nil)
							slow = min(slow, g.Distance)
						}
					}
				}
				g, ok := got[i]
				if ok != (slow < limit) && math.Abs(slow-limit) > 1e-6 || ok && math.Abs(g.Distance-slow) > 1e-6 {
					t.Fatalf("%s: %s and %s: %v %+v, one by one %g, limit %g", name, a.Name, b.Name, ok, g, slow, limit)
				}
				if ok && slow > 1e-3 && math.Abs(g.AtA.Sub(g.AtB).Norm()-slow) > 1e-6 {
					t.Fatalf("%s: nearest points %v and %v, distance %g", name, g.AtA, g.AtB, slow)
				}
				if one := c.one(i, &s, ws, math.Inf(1)); math.Abs(one.Distance-slow) > 1e-6 {
					t.Fatalf("%s: alone %+v, one by one %g", name, one, slow)
				}
			}
		}
	}
}

func randomStance(r *rand.Rand, st *Stand) solid.Stance {
	s := *st.Stance()
	for end, mv := range st.Movers {
		mv.Jump(mv.Design)
		mv.To(mv.Design.Z+30*(r.Float64()-0.5), 0.4*(r.Float64()-0.5))
		s[end] = mv.At().Frame()
		mv.Jump(mv.Design)
	}
	return s
}

// The smallest gaps of the answer against a dense grid of the region, 1 mm of wheel travel apart.
func TestSmallestGapsAgainstADenseGrid(t *testing.T) {
	for _, name := range demos {
		m := demo(t, name)
		a, err := Assess(m, Options{})
		if err != nil {
			t.Fatal(err)
		}
		st := StandOf(m)
		c := NewClearances(m, st.Stance())
		dense := map[[2]string]float64{}
		for _, end := range []solid.End{solid.Front, solid.Rear} {
			k := newClearer(newTracer(m, st.Movers[end]), c, st)
			for left := -40.0; left <= 40; left++ {
				for right := -40.0; right <= 40; right++ {
					k.mv.Jump(k.mv.Design)
					if k.blocked(left, right).Kind != noStop {
						continue
					}
					k.stance[end] = k.mv.at.Frame()
					for _, g := range c.among(k.pairs, &k.stance, k.ws, clearShown) {
						if key := [2]string{g.A.Name, g.B.Name}; !g.Joined || g.Distance <= 0 {
							if d, ok := dense[key]; !ok || g.Distance < d {
								dense[key] = g.Distance
							}
						}
					}
				}
			}
		}
		told := map[[2]string]float64{}
		for _, k := range a.Clearances {
			told[[2]string{k.A, k.B}] = k.GapMM
		}
		// 1 mm of wheel travel moves nothing by more than 2 mm; and the grid does not reach the boundary.
		for key, d := range dense {
			if got, ok := told[key]; !ok && d < clearShown-0.05 || ok && got > max(0, d)+0.05 {
				t.Errorf("%s: %v: %g mm on the grid, told %g (%v)", name, key, d, got, ok)
			}
		}
		for key, got := range told {
			if d, ok := dense[key]; ok && got < max(0, d)-1 || !ok && got < clearShown-1 {
				t.Errorf("%s: %v: told %g, on the grid %g (%v)", name, key, got, d, ok)
			}
		}
		if len(told) == 0 {
			t.Errorf("%s: nothing comes near anything", name)
		}
	}
}

// A rig that is its own mirror image has the same gaps on both sides.
func TestClearancesAreSymmetric(t *testing.T) {
	m := demo(t, "gully")
	st := StandOf(m)
	c := NewClearances(m, st.Stance())
	ws := c.Workspace()
	r := seedOf(t)
	swap := strings.NewReplacer("left", "right", "right", "left")
	key := func(a, b string) string { return min(a, b) + "|" + max(a, b) }
	for range 20 {
		z, roll := 30*(r.Float64()-0.5), 0.4*(r.Float64()-0.5)
		gaps := func(roll float64) map[string]float64 {
			s := *st.Stance()
			mv := st.Movers[solid.Rear]
			mv.Jump(mv.Design)
			mv.To(mv.Design.Z+z, roll)
			s[solid.Rear] = mv.At().Frame()
			out := map[string]float64{}
			for _, g := range c.At(&s, ws, 15) {
				if strings.HasPrefix(g.A.Path, "links/") || strings.HasSuffix(g.A.Path, "tube frame") { // the rest is not symmetric
					out[key(g.A.Name, g.B.Name)] = g.Distance
				}
			}
			return out
		}
		a, b := gaps(roll), gaps(-roll)
		for name, d := range a {
			x, y, _ := strings.Cut(swap.Replace(name), "|")
			if other, ok := b[key(x, y)]; !ok || math.Abs(other-d) > 1e-6 {
				t.Errorf("%s %g, mirrored %g", name, d, other)
			}
		}
		if len(a) < 4 {
			t.Fatalf("%d pairs only", len(a))
		}
	}
}

// A tie rod is a round bar between the arms, without 15 mm at either end, straight ahead and at lock, against its own axle too: its distance from a ball on the axle is that of
// the ball's middle from the line between the arms' eyes, by trigonometry, less both radii. Near its ends, where the brackets are, it is not looked at; nor is what turns with the
// wheels while they are straight ahead.
func TestTieRodAgainstItsOwnAxle(t *testing.T) {
	const arm, half, side = 25.0, 80.0, 2.5 // eye ahead of the kingpin, kingpin from the middle, radius of the rod, mm
	m := &solid.Model{Name: "tied", Doc: &rig.Document{Steer: &rig.Steer{}}}
	m.Axles[solid.Front] = solid.Axle{Present: true}
	m.Steer.Present, m.Steer.HasArm = true, true
	m.Steer.Arm = [2]solid.Vec{{X: arm, Y: half}, {X: arm, Y: -half}}
	rod := solid.Shape{Kind: solid.Capsule, Frame: solid.Frame{At: solid.Vec{X: arm}, R: solid.Mat{0, -1, 0, 1, 0, 0, 0, 0, 1}}, Size: solid.Vec{X: 2 * half, Y: 2 * side, Z: 2 * side}}
	weight := body("weight", solid.OnFront, ballAt(solid.Vec{X: arm - 8, Y: half}, 6))
	weight.Side = solid.Left
	m.Doc.Front = &rig.Axle{Parts: rig.Map[rig.Part]{{Name: "weight", Value: rig.Part{Steered: true}}}}
	m.Bodies = []solid.Body{body("housing", solid.OnFront, ballAt(solid.Vec{X: arm - 12}, 10)), body("knuckle", solid.OnFront, ballAt(solid.Vec{X: arm - 6, Y: half}, 6)),
		body("rod", solid.OnFront, rod), weight}
	s := solid.Stance{{R: solid.Identity}, {R: solid.Identity}}
	c := NewClearances(m, &s)
	ws := c.Workspace()
	list := c.At(&s, ws, 9)
	if len(list) != 1 || list[0].A.Name != "the housing" || list[0].B.Name != "the rod" || math.Abs(list[0].Distance-(12-5-side)) > 1e-9 {
		t.Fatalf("straight ahead: %+v, expected housing and rod alone, 4.5 mm apart", list)
	}
	const a = 0.5 // rad to the left, both knuckles alike: a parallelogram, so that the rod stays square to the car
	turned := func(y float64) solid.Frame {
		r := solid.Turned(0, 0, a)
		return solid.Frame{At: solid.Vec{Y: y}.Sub(r.Mul(solid.Vec{Y: y})), R: r}
	}
	moved := solid.Vec{X: arm*math.Cos(a) - arm, Y: arm * math.Sin(a)}
	ws.Steer(Turned{Knuckle: [2]solid.Frame{turned(half), turned(-half)}, Tie: solid.Frame{At: moved, R: solid.Identity}})
	found := false
	for _, g := range c.At(&s, ws, 9) {
		if g.A.Name == "the housing" && g.B.Name == "the rod" {
			found = true
			if want := 12 + moved.X - 5 - side; math.Abs(g.Distance-want) > 1e-9 {
				t.Errorf("turned: %g mm, by hand %g", g.Distance, want)
			}
		}
	}
	if !found {
		t.Error("turned, nothing is said of the rod and its own axle")
	}
}

// Steered wheels: a turn about the kingpin brings the tyre's side to a box on the axle; the gap is a matter of trigonometry.
func TestSteeredWheels(t *testing.T) {
	m := &solid.Model{Name: "steered", Doc: &rig.Document{Steer: &rig.Steer{}}}
	m.Axles[solid.Front] = solid.Axle{Present: true}
	tyre := func(s solid.Side) solid.Body {
		b := body("tyre", solid.OnFront, solid.Shape{Kind: solid.Disc, Frame: solid.Frame{At: solid.Vec{Y: 100 * float64(s)}, R: solid.Identity}, Size: solid.Vec{X: 120, Y: 40, Z: 120}})
		b.Side = s
		return b
	}
	m.Bodies = []solid.Body{tyre(solid.Left), tyre(solid.Right),
		body("bracket", solid.OnFront, boxAt(solid.Vec{X: 40, Y: 60}, 10, 10, 10)), // 15 mm inside the tyre's inner face
		body("rail", solid.OnChassis, boxAt(solid.Vec{X: 300, Y: 40}, 10, 10, 10)),
	}
	s := solid.Stance{{R: solid.Identity}, {R: solid.Identity}}
	c := NewClearances(m, &s)
	ws := c.Workspace()
	if list := c.At(&s, ws, 50); len(list) != 0 {
		t.Errorf("straight ahead a tyre is measured against its own axle: %+v", list[0])
	}
	about := func(y, angle float64) solid.Frame { // a kingpin upright at (0, y)
		r := solid.Turned(0, 0, angle)
		return solid.Frame{At: solid.Vec{Y: y}.Sub(r.Mul(solid.Vec{Y: y})), R: r}
	}
	const angle = 0.15 // rad to the right: the left tyre's front goes inward
	ws.Steer(Turned{Knuckle: [2]solid.Frame{about(80, -angle), about(-80, -angle)}, Tie: solid.Frame{R: solid.Identity}})
	list := c.At(&s, ws, 50)
	if len(list) == 0 || !strings.Contains(list[0].A.Name+list[0].B.Name, "left tyre") {
		t.Fatalf("turned: %+v", list)
	}
	// The inner face's plane: 0 along the wheel's axis from the kingpin, since 100 − 20 = 80. The bracket's corner nearest it is
	// (45, 65): along the wheel's axis (sin a, cos a) from the kingpin.
	want := -(45*math.Sin(angle) + (65-80)*math.Cos(angle))
	if math.Abs(list[0].Distance-want) > 1e-6 {
		t.Errorf("gap %g, expected %g", list[0].Distance, want)
	}
	ws.Straight()
	if list := c.At(&s, ws, 50); len(list) != 0 {
		t.Errorf("straight again: %+v", list)
	}
}

func TestClearancesTakeNoMemory(t *testing.T) {
	m := demo(t, "bramble")
	st := StandOf(m)
	c := NewClearances(m, st.Stance())
	ws := c.Workspace()
	r := rand.New(rand.NewPCG(1, 1))
	var stances [8]solid.Stance
	for i := range stances {
		stances[i] = randomStance(r, st)
	}
	i := 0
	if n := testing.AllocsPerRun(50, func() {
		c.At(&stances[i%8], ws, 5)
		i++
	}); n != 0 {
		t.Errorf("%v allocations", n)
	}
}

// BenchmarkClearPose is one pose of a whole demo rig, both axles moved since the last one: more than 30 bodies with a shape.
func BenchmarkClearPose(b *testing.B) {
	for _, name := range demos {
		b.Run(name, func(b *testing.B) {
			m := demo(b, name)
			st := StandOf(m)
			c := NewClearances(m, st.Stance())
			bodies := 0
			for i := range c.things {
				if c.things[i].cut == 0 {
					bodies++
				}
			}
			if bodies < 30 {
				b.Fatalf("%d bodies", bodies)
			}
			ws := c.Workspace()
			r := rand.New(rand.NewPCG(1, 1))
			var stances [64]solid.Stance
			for i := range stances {
				stances[i] = randomStance(r, st)
			}
			b.ReportMetric(float64(bodies), "bodies")
			b.ReportMetric(float64(c.axes), "pairs")
			for i := 0; b.Loop(); i++ {
				c.At(&stances[i%64], ws, 5)
			}
		})
	}
}

// A rig drawn in hundreds of pieces that are all near each other is still judged in reasonable time.
func TestManyPiecesStayQuick(t *testing.T) {
	var bodies []solid.Body
	for i := range 20 {
		for j := range 20 {
			x, y := 10*float64(i-10), 10*float64(j-10)
			bodies = append(bodies, body("peg", solid.OnRear, boxAt(solid.Vec{X: x, Y: y}, 6, 6, 6)), body("tile", solid.OnChassis, boxAt(solid.Vec{X: x - 154, Y: y, Z: 14 + 12}, 6, 6, 6)))
		}
	}
	started := time.Now()
	a, err := Assess(sprung(bodies...), Options{Axle: "rear"})
	if err != nil || len(a.Clearances) < 400 {
		t.Fatalf("%v, %d pairs", err, len(a.Clearances))
	}
	if d := time.Since(started); d > 20*time.Second {
		t.Errorf("took %v", d)
	} else {
		t.Logf("took %v for %d pairs", d, len(a.Clearances))
	}
}
