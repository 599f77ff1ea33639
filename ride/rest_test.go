package ride

import (
	"math"
	"testing"

	"lowslung/balance"
	"lowslung/finding"
	"lowslung/rig"
	"lowslung/solid"
	"lowslung/travel"
)

// Travel stands the rig where ride puts it: both say the same heights, angles and lengths. Ride gets them from ten unknowns and a ground at z = 0, travel from
// each axle's height and roll and a plane that it lays under both.
func TestTravelStandsOnTheSprings(t *testing.T) {
	for _, name := range demos {
		m := Stand(modelOf(t, name))
		if m.Rest == nil {
			t.Fatal(name, "does not stand")
		}
		a, _ := Assess(m, Options{Brief: true})
		s := a.Stance
		st := travel.StandOf(m)
		tr, err := travel.Assess(m, travel.Options{})
		if err != nil {
			t.Fatal(err)
		}
		near(t, name+": belly clearance", *tr.BellyClearanceMM, s.BellyClearanceMM, 1e-9)
		near(t, name+": roll", st.Ground.Roll/deg, s.ChassisRollDeg, 1e-3) // about the body's axes, and about the ground's
		near(t, name+": pitch", st.Ground.Pitch/deg, s.ChassisPitchDeg, 1e-3)
		for i, one := range []struct {
			ax *travel.Axle
			at *StanceAxle
		}{{tr.Axles.Front, &s.Axles.Front}, {tr.Axles.Rear, &s.Axles.Rear}} {
			d := &one.ax.Design
			if d.Source != travel.BySprings {
				t.Errorf("%s: the design pose of axle %d is by %q", name, i, d.Source)
			}
			near(t, name+": pinion angle", d.PinionAngleDeg, one.at.PinionAngleDeg, 1e-9)
			near(t, name+": roll of an axle", d.RollDeg, one.at.RollDeg, 1e-9)
			for k := range one.ax.Poses { // the grid's middle is where it stands
				if p := &one.ax.Poses[k]; p.HeaveMM == 0 && p.RollDeg == 0 {
					for n, sh := range p.Shocks {
						near(t, name+": "+sh.Name+" "+sh.Side, sh.LengthMM, s.Shocks[2*i+n].LengthMM, 1e-9)
					}
					near(t, name+": change of pinion", p.PinionChangeDeg, 0, 1e-9)
				}
			}
			// The tyres, not asked here: what each carries is how far it is pressed in, times its rate.
			w := &m.Axles[i].Wheels[0]
			if w.Rate > 0 && len(w.Curve) == 0 {
				load := []float64{s.CornerLoadsN.FrontLeft, s.CornerLoadsN.FrontRight, s.CornerLoadsN.RearLeft, s.CornerLoadsN.RearRight}[2*i : 2*i+2]
				for k, wh := range m.Axles[i].Wheels[:2] {
					high := st.Ground.Height(st.Movers[i].Design.Place(wh.At))
					near(t, name+": load by the height of a wheel", (w.Radius-high)*w.Rate, load[k], 1e-3)
				}
			}
		}
	}
}

// Tipping rigid from where it stands: balance works it out with the plane that travel lays under the wheels, ride with the feet of its own wheels.
func TestBalanceTipsFromTheStance(t *testing.T) {
	for _, name := range demos {
		m := Stand(modelOf(t, name))
		b, err := balance.Assess(m, balance.Options{})
		if err != nil {
			t.Fatal(err)
		}
		a, _ := Assess(m, Options{Brief: true})
		near(t, name+": left", b.TipSideDeg.Left, a.Tilt.LeftDown.RigidDeg, 0.02)
		near(t, name+": right", b.TipSideDeg.Right, a.Tilt.RightDown.RigidDeg, 0.02)
		near(t, name+": nose up", *b.TipNoseUpDeg, a.Tilt.NoseUp.RigidDeg, 0.02)
		near(t, name+": nose down", *b.TipNoseDownDeg, a.Tilt.NoseDown.RigidDeg, 0.02)
		near(t, name+": lean", *b.GroundRollDeg, a.Stance.ChassisRollDeg, 1e-3)
		if name == "bramble.rig.yaml" && math.Abs(*b.GroundRollDeg) < 0.5 {
			t.Error("this demo leans; without that the test says little")
		}
	}
}

// A model without springs stands as before, in every number, and one that was stood before forgets it when it is stood without.
func TestWithoutSpringsNothingChanges(t *testing.T) {
	for _, name := range demos {
		m := modelOf(t, name)
		plain := *m
		plain.Shocks = append([]solid.Shock(nil), m.Shocks...)
		for i := range plain.Shocks {
			plain.Shocks[i].Springs = nil
		}
		before, _ := travel.Assess(&plain, travel.Options{})
		plain.Rest = &solid.Rest{Z: [2]float64{9, 9}, Radius: [2]float64{40, 40}}
		stood := Stand(&plain)
		if stood.Rest != nil {
			t.Fatalf("%s stands on springs that it does not have", name)
		}
		after, _ := travel.Assess(stood, travel.Options{})
		if *before.BellyClearanceMM != *after.BellyClearanceMM || len(before.Findings) != len(after.Findings) {
			t.Errorf("%s: another belly or other findings", name)
		}
		for i, p := range before.Axles.Rear.Poses {
			if q := after.Axles.Rear.Poses[i]; p.PinionAngleDeg != q.PinionAngleDeg || p.XMM != q.XMM {
				t.Fatalf("%s: pose %d is another", name, i)
			}
		}
		if after.Axles.Rear.Design.Source != travel.BySet {
			t.Errorf("%s: by %q", name, after.Axles.Rear.Design.Source)
		}
	}
}

// On springs that paper can follow: each carries a quarter of the weight, so a wheel is m·g/4k_tyre pressed in and its shock as long as open + collar − m·g/4k, and
// the axle sits as much against the chassis.
func TestPlainRigInTravel(t *testing.T) {
	p := usual()
	p.collar, p.tyre = 3, 2
	f := p.mass / 1000 * newton / 4
	m := Stand(written(t, p.text()))
	st := travel.StandOf(m)
	long := 120 + p.collar - f/0.2
	for i, mv := range st.Movers {
		near(t, "height of an axle", mv.Design.Z, 100-long, 1e-4)
		near(t, "above the ground", st.Radius[i], 50-f/2, 1e-4)
	}
	near(t, "belly", st.Ground.Height(solid.Vec{}), 50-f/2-(100-long), 1e-4)
	if set := travel.StandOf(written(t, p.text())); math.Abs(set.Movers[0].Design.Z) > 1e-9 || set.Movers[0].Source != travel.BySet {
		t.Error("before it is stood on its springs it stands by its set lengths")
	}
}

// A rig and its mirror image in travel and balance: what leans left leans right.
func TestStandingInTheMirror(t *testing.T) {
	for _, name := range demos {
		m := modelOf(t, name)
		a, b := travel.StandOf(Stand(m)), travel.StandOf(Stand(mirror(m)))
		near(t, name+": lean", a.Ground.Roll, -b.Ground.Roll, 1e-9)
		near(t, name+": pitch", a.Ground.Pitch, b.Ground.Pitch, 1e-9)
		near(t, name+": height", a.Height, b.Height, 1e-6)
		for i := range a.Movers {
			p, q := a.Movers[i].Design, b.Movers[i].Design
			for k, v := range [][2]float64{{p.X, q.X}, {p.Y, -q.Y}, {p.Z, q.Z}, {p.Steer, -q.Steer}, {p.Roll, -q.Roll}, {p.Spin, q.Spin}} {
				near(t, name+": part of a pose", v[0], v[1], []float64{1e-6, 1e-6, 1e-6, 1e-8, 1e-8, 1e-8}[k])
			}
		}
		ta, _ := travel.Assess(Stand(m), travel.Options{})
		tb, _ := travel.Assess(Stand(mirror(m)), travel.Options{})
		for _, k := range [][2]*travel.Axle{{ta.Axles.Front, tb.Axles.Front}, {ta.Axles.Rear, tb.Axles.Rear}} {
			near(t, name+": bump", k[0].Limits.BumpMM, k[1].Limits.BumpMM, 0.02)
			near(t, name+": droop", k[0].Limits.DroopMM, k[1].Limits.DroopMM, 0.02)
			for n, at := range k[0].Limits.Articulation {
				near(t, name+": left up", at.LeftUpDeg, k[1].Limits.Articulation[n].RightUpDeg, 0.02)
			}
		}
	}
}

// Topped out the axle rests on the end of its shocks: it droops no further, and nothing says that the shock is out of its range.
func TestToppedOutInTravel(t *testing.T) {
	m := Stand(written(t, "lowslung: 1\nbase: bramble.rig.yaml\nshocks: {rear: {collar: 40}}\n"))
	a, err := travel.Assess(m, travel.Options{})
	if err != nil {
		t.Fatal(err)
	}
	l := a.Axles.Rear.Limits
	near(t, "droop", l.DroopMM, 0, 0.011)
	if len(l.PassedAlready) > 0 || l.BumpMM < 25 {
		t.Errorf("beyond already: %v; bumps %v", l.PassedAlready, l.BumpMM)
	}
	for _, f := range a.Findings {
		if f.Code == "travel/shock-out-of-range" {
			t.Error(f.Sentence)
		}
	}
}

// Link lengths for a wish come true when the rig stands on them.
func TestWishComesTrueOnTheSprings(t *testing.T) {
	m := Stand(modelOf(t, "bramble-portal.rig.yaml"))
	base, pinion := 312.0, 7*deg
	for _, end := range []string{"rear", "front"} {
		w, err := travel.ForWish(m, travel.WishOptions{Axle: end, Wheelbase: &base, Pinion: &pinion, Settle: Stand})
		if err != nil {
			t.Fatal(err)
		}
		c := *m
		c.Links = append([]solid.Link(nil), m.Links...)
		for i := range c.Links {
			for _, l := range w.Links {
				if c.Links[i].Name == l.Link {
					c.Links[i].Length = l.WantedMM
				}
			}
		}
		a, _ := Assess(&c, Options{Brief: true})
		tr, _ := travel.Assess(Stand(&c), travel.Options{Axle: end})
		ax, ours := tr.Axles.Front, a.Stance.Axles.Front
		if end == "rear" {
			ax, ours = tr.Axles.Rear, a.Stance.Axles.Rear
		}
		near(t, end+" wheelbase", *ax.Design.WheelbaseMM, base, 1e-6)
		near(t, end+" pinion angle", ours.PinionAngleDeg, 7, 1e-7)
	}
}

// What is written and where it stands are held against each other, with what would bring them together.
func TestSetAgainstStance(t *testing.T) {
	m := written(t, "lowslung: 1\nbase: bramble.rig.yaml\nshocks: {front: {set: 90}}\n")
	a, _ := Assess(m, Options{})
	for _, f := range a.Findings {
		if f.Code == "ride/off-set" {
			if f.Level != finding.Note || f.Cure == "" {
				t.Errorf("%+v", f)
			}
			return
		}
	}
	t.Error("nothing says that it stands 4 mm from set")
}

func BenchmarkStand(b *testing.B) {
	m := modelOf(b, "bramble-portal.rig.yaml")
	b.ReportAllocs()
	for b.Loop() {
		if Stand(m).Rest == nil {
			b.Fatal("no rest")
		}
	}
}

// What is moved stands anew: as if the document had been written with the battery there, and not as before. Two ways: by the text, and by balance.Moved. A battery moved to the
// side takes lean with it: with its 182 g of Bramble's 2.7 kg 20 mm further left, the left springs close.
func TestWhatIsMovedStandsAnew(t *testing.T) {
	before := Stand(modelOf(t, "bramble.rig.yaml"))
	moved, err := balance.Moved(before, []balance.Move{{Part: "battery", By: [3]float64{15, 20, -5}}})
	if err != nil {
		t.Fatal(err)
	}
	if moved.Rest != nil || before.Rest == nil {
		t.Fatal("what it stood on before counts still, or is lost")
	}
	m := Stand(moved)
	text := "lowslung: 1\nbase: bramble.rig.yaml\nchassis: {parts: {battery: {at: [-69, 20, 47]}}}\n"
	b, err := rig.Load(func(n string) ([]byte, error) {
		if n == "it.rig.yaml" {
			return []byte(text), nil
		}
		return readExample(n)
	}, "it.rig.yaml")
	if err != nil {
		t.Fatal(err)
	}
	written, err := solid.Resolve(b)
	if err != nil {
		t.Fatal(err)
	}
	w := Stand(written)
	for i := range w.Rest.Z {
		near(t, "height of an axle", m.Rest.Z[i], w.Rest.Z[i], 1e-9)
		near(t, "roll of an axle", m.Rest.Roll[i], w.Rest.Roll[i], 1e-12)
	}
	near(t, "lean", m.Rest.Lean, w.Rest.Lean, 1e-12)
	if was := before.Rest.Lean; math.Asin(was)-math.Asin(m.Rest.Lean) < 0.5*deg {
		t.Errorf("it leaned %.3f°, and with the battery 20 mm further left %.3f°", math.Asin(was)/deg, math.Asin(m.Rest.Lean)/deg)
	}
	// The weight of a link moves with both its halves: statics of the whole are those of its middle.
	one, err := balance.Moved(before, []balance.Move{{Part: "rear lower", By: [3]float64{3, 4, 5}}, {Part: "drag link", By: [3]float64{0, 0, 7}, Quantity: 0.003}})
	if err != nil {
		t.Fatal(err)
	}
	s := travel.StandOf(before).Stance()
	mass, was := solid.CenterOfMass(before.Lumps(s))
	same, is := solid.CenterOfMass(one.Lumps(s))
	near(t, "mass", same, mass, 1e-12)
	near(t, "forward", is.X-was.X, 0.030*3/mass, 1e-9) // both of the pair, 15 g each
	near(t, "left", is.Y-was.Y, 0, 1e-9)               // mirrored
	near(t, "up", is.Z-was.Z, (0.030*5+0.003*7)/mass, 1e-9)
}
