package ride

import (
	"math"
	"testing"

	"lowslung/solid"
	"lowslung/travel"
)

func vec(a []float64) solid.Vec { return solid.Vec{X: a[0], Y: a[1], Z: a[2]} }

func mat(t *testing.T, a []float64) (r solid.Mat) {
	t.Helper()
	copy(r[:], a)
	// A rotation: its columns are unit vectors square to each other (and so are its rows).
	for i := range 3 {
		for k := range 3 {
			dot, want := 0.0, 0.0
			for n := range 3 {
				dot += r[3*n+i] * r[3*n+k]
			}
			if i == k {
				want = 1
			}
			near(t, "column times column", dot, want, 1e-6)
		}
	}
	return r
}

// checkPose holds a pose against itself and against what its row says, by plain geometry: eyes as far apart as the shock is long, wheels as far
// off their planes as tyres of that size are, gravity at the board's angle.
func checkPose(t *testing.T, m *solid.Model, p *Pose, board float64) {
	t.Helper()
	if p == nil {
		t.Fatal("no pose in a row")
	}
	turn, at := mat(t, p.Turn), vec(p.OriginMM)
	near(t, "angle of the board, °", math.Acos(max(-1, min(1, vec(p.Up).Z)))/deg, board, 0.03)
	plumbMeetsTheWheels(t, p)
	for i, a := range []*PoseAxle{&p.Front, &p.Rear} {
		own := mat(t, a.Turn)
		for k, w := range []*PoseWheel{&a.Left, &a.Right} {
			left, right := wheelPair(&m.Axles[i])
			wheel := []*solid.Wheel{left, right}[k]
			hub := at.Add(turn.Mul(vec(a.OriginMM).Add(own.Mul(wheel.At))))
			n := vec(w.Normal)
			near(t, "place of touch off its plane, mm", vec(w.TouchMM).Sub(vec(w.GroundMM)).Dot(n), 0, 1e-3)
			// A tyre that leans touches beside its middle, at most half its tread away; along its heading it touches under the hub.
			off := hub.Sub(vec(w.TouchMM))
			high := off.Dot(n)
			axis := turn.Mul(own.Mul(solid.Vec{Y: 1}))
			if aside := off.Along(n, -high).Norm(); aside > m.Axles[i].TyreWidth/2+high*math.Abs(axis.Dot(n)) {
				t.Errorf("axle %d wheel %d touches %.1f mm aside of its hub", i, k, aside)
			}
		}
		for _, s := range a.Shocks {
			near(t, "eye to eye, mm", vec(s.TopMM).Sub(vec(s.BottomMM)).Norm(), s.LengthMM, 1e-3)
		}
	}
}

// plumbMeetsTheWheels: at rest the plumb line through the centre of mass meets the board between the wheels (statics).
func plumbMeetsTheWheels(t *testing.T, p *Pose) {
	t.Helper()
	foot := vec(p.CenterMM).Along(vec(p.Up), -p.CenterMM[2]/p.Up[2])
	lo, hi := vec(p.Front.Left.TouchMM), vec(p.Front.Left.TouchMM)
	for _, w := range []*PoseWheel{&p.Front.Right, &p.Rear.Left, &p.Rear.Right} {
		lo.X, hi.X = min(lo.X, w.TouchMM[0]), max(hi.X, w.TouchMM[0])
		lo.Y, hi.Y = min(lo.Y, w.TouchMM[1]), max(hi.Y, w.TouchMM[1])
	}
	if foot.X < lo.X-1 || foot.X > hi.X+1 || foot.Y < lo.Y-1 || foot.Y > hi.Y+1 {
		t.Errorf("the plumb line meets the board at %v, outside of the wheels from %v to %v", foot, lo, hi)
	}
}

func TestPoses(t *testing.T) {
	for _, file := range []string{"bramble.rig.yaml", "bramble-portal.rig.yaml", "gully.rig.yaml"} {
		m := modelOf(t, file)
		plain, _ := Assess(m, Options{})
		a, err := Assess(m, Options{Poses: true})
		if err != nil || a.Stance == nil {
			t.Fatal(file, err)
		}
		if plain.Stance.Pose != nil || plain.Tilt.LeftDown.Sweep[0].Pose != nil {
			t.Error(file, "poses that nobody asked for")
		}
		checkPose(t, m, a.Stance.Pose, 0)
		n := 0
		for _, s := range a.Stance.Shocks { // the stance's shocks are the pose's
			for _, e := range []*PoseAxle{&a.Stance.Pose.Front, &a.Stance.Pose.Rear} {
				for _, k := range e.Shocks {
					if k.Name == s.Name && k.Side == s.Side {
						near(t, "length of a shock, mm", k.LengthMM, s.LengthMM, 1e-4)
						n++
					}
				}
			}
		}
		if n != len(a.Stance.Shocks) {
			t.Errorf("%s: found %d shocks in the pose, expected %d", file, n, len(a.Stance.Shocks))
		}
		// Swing and joints are those of the design pose that travel stands the rig in, which is this rest.
		stood := Stand(m)
		tr, err := travel.Assess(stood, travel.Options{})
		if err != nil {
			t.Fatal(err)
		}
		st := travel.StandOf(stood)
		for end, k := range map[solid.End]struct {
			pose *PoseAxle
			ax   *travel.Axle
		}{solid.Front: {&a.Stance.Pose.Front, tr.Axles.Front}, solid.Rear: {&a.Stance.Pose.Rear, tr.Axles.Rear}} {
			if r := k.ax.Design.Rates; r == nil || r.InstantCenterXMM == nil || k.pose.CenterMM == nil {
				t.Errorf("%s: no instant centre", file)
			} else {
				near(t, "instant centre, forward", k.pose.CenterMM[0], *r.InstantCenterXMM, 1e-3*(1+math.Abs(*r.InstantCenterXMM)))
				near(t, "instant centre, up", k.pose.CenterMM[1], *r.InstantCenterZMM, 1e-3*(1+math.Abs(*r.InstantCenterXMM)))
			}
			st.Movers[end].Jump(st.Movers[end].Design)
			point, way, ok := st.Movers[end].RollAxis()
			if !ok || k.pose.RollAxis == nil {
				t.Fatal(file, "no roll axis")
			}
			near(t, "roll axis, a point", vec(k.pose.RollAxis.PointMM).Sub(point).Norm(), 0, 1e-3)
			near(t, "roll axis, direction", vec(k.pose.RollAxis.Direction).Sub(way).Norm(), 0, 1e-5)
			if len(k.pose.Shafts) != 1 {
				t.Fatalf("%s: %d shafts of the %s axle, expected one", file, len(k.pose.Shafts), end)
			}
			for i := range stood.Shafts {
				if s := &stood.Shafts[i]; s.Axle == end {
					want := travel.ShaftAt(s, st.Movers[end].Design)
					near(t, "joint at the gearbox", k.pose.Shafts[0].GearboxJointDeg, want.Joint[0]/deg, 1e-3)
					near(t, "joint at the axle", k.pose.Shafts[0].AxleJointDeg, want.Joint[1]/deg, 1e-3)
					near(t, "room of the worse joint", *k.pose.Shafts[0].JointLeftDeg, (s.Limit-max(want.Joint[0], want.Joint[1]))/deg, 1e-3)
				}
			}
		}
		four := [4]*Tilting{&a.Tilt.LeftDown, &a.Tilt.RightDown, &a.Tilt.NoseUp, &a.Tilt.NoseDown}
		same := [4]*Tilting{&plain.Tilt.LeftDown, &plain.Tilt.RightDown, &plain.Tilt.NoseUp, &plain.Tilt.NoseDown}
		for i, way := range four {
			if way.TipDeg != nil && same[i].TipDeg != nil {
				near(t, "tip angle with and without poses, °", *way.TipDeg, *same[i].TipDeg, 1e-9)
			}
			for k := range way.Sweep {
				row := &way.Sweep[k]
				checkPose(t, m, row.Pose, row.AngleDeg)
				// Down is the side that the way says: against gravity points to the other one.
				if row.AngleDeg > 1 && vec(row.Pose.Up).Dot(ways[i].down) > -0.01 {
					t.Errorf("%s %s: up is %v", file, ways[i].name, row.Pose.Up)
				}
				roll, _, ok := attitudeOf(mat(t, row.Pose.Turn))
				if ok {
					near(t, "roll of the pose, °", roll, row.ChassisRollDeg, 1e-4)
				}
			}
		}
		for k := range a.Ramp.Sweep {
			row := &a.Ramp.Sweep[k]
			checkPose(t, m, row.Pose, 0)
			near(t, "slope under the front left wheel, °", math.Acos(row.Pose.Front.Left.Normal[2])/deg, a.Ramp.SlopeDeg, 1e-4)
			along := vec(row.Pose.Front.Left.TouchMM).Sub(vec(row.Pose.Front.Left.GroundMM)).Norm()
			near(t, "along the ramp, mm", math.Hypot(along, 0), math.Hypot(row.ByMM, row.Pose.Front.Left.TouchMM[1]), 1e-2)
		}
		if n := len(plain.Ramp.Right.Sweep); n > 0 || len(a.Ramp.Right.Sweep) == 0 {
			t.Errorf("%s: found %d rows of the right wheel's ramp without poses and %d with, expected none and some", file, n, len(a.Ramp.Right.Sweep))
		}
		for k := range a.Ramp.Right.Sweep {
			row := &a.Ramp.Right.Sweep[k]
			checkPose(t, m, row.Pose, 0)
			near(t, "slope under the front right wheel, °", math.Acos(row.Pose.Front.Right.Normal[2])/deg, a.Ramp.SlopeDeg, 1e-4)
			near(t, "none under the front left wheel", row.Pose.Front.Left.Normal[2], 1, 1e-9)
		}
		last := a.Ramp.Right.Sweep[len(a.Ramp.Right.Sweep)-1]
		near(t, "end of the right wheel's way, mm", last.ByMM, a.Ramp.Right.AlongMM, 1e-6)
		for k := range a.CrossAxle.FrontLeftUp.Sweep {
			row := &a.CrossAxle.FrontLeftUp.Sweep[k]
			checkPose(t, m, row.Pose, 0)
			near(t, "block under the front left wheel, mm", row.Pose.Front.Left.TouchMM[2], row.ByMM, 1e-3)
			near(t, "block under the rear right wheel, mm", row.Pose.Rear.Right.TouchMM[2], row.ByMM, 1e-3)
			near(t, "no block under the front right wheel, mm", row.Pose.Front.Right.TouchMM[2], 0, 1e-3)
		}
		if a.Torque != nil {
			for k := range a.Torque.Sweep {
				checkPose(t, m, a.Torque.Sweep[k].Pose, a.Torque.Sweep[k].SlopeDeg)
			}
		}
	}
}

// attitudeOf is roll and pitch in degrees, ISO 8855.
func attitudeOf(r solid.Mat) (roll, pitch float64, ok bool) {
	return math.Atan2(r[7], r[8]) / deg, -math.Asin(r[6]) / deg, math.Abs(r[6]) < 0.99
}
