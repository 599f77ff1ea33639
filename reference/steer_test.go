package reference

import (
	"fmt"
	"math"
	"testing"

	"lowslung/balance"
	"lowslung/solid"
	"lowslung/steer"
	"lowslung/travel"
)

// Steering against SciPy with another set of unknowns (python/steer_twin.py: places of eyes instead of angles), against a published
// spatial mechanism, and against a rig whose drag link does what its transverse rod does.

type steering struct {
	Upper    [2][3]float64  `json:"upper"`
	Lower    [2][3]float64  `json:"lower"`
	Arm      [2][3]float64  `json:"arm"`
	Rod      float64        `json:"rod"`
	Half     float64        `json:"half"`
	DragTo   [3]float64     `json:"drag_to"`
	On       string         `json:"on"`
	Drag     float64        `json:"drag"`
	OnAxle   bool           `json:"on_axle"`
	HornAt   [3]float64     `json:"horn_at"`
	HornAxis [3]float64     `json:"horn_axis"`
	HornEye  [3]float64     `json:"horn_eye"`
	Up       [3]float64     `json:"up"`
	Forward  [3]float64     `json:"forward"`
	Path     []steeringStep `json:"path"`

	Links    *linkTask   `json:"links,omitempty"`
	Origin   [3]float64  `json:"origin"`
	Turn     solid.Mat   `json:"turn"`
	Z        float64     `json:"z"`
	Lock     float64     `json:"lock,omitempty"`
	Radius   float64     `json:"radius"`
	Width    float64     `json:"width"`
	Rear     *[3]float64 `json:"rear,omitempty"`
	RearAxis *[3]float64 `json:"rear_axis,omitempty"`
	Friction float64     `json:"friction"`
	Loads    [2]float64  `json:"loads"`
}

type linkTask struct {
	Chassis [][3]float64 `json:"chassis"`
	Axle    [][3]float64 `json:"axle"`
	Length  []float64    `json:"length"`
}

type steeringStep struct {
	Servo  float64     `json:"servo"`
	Origin *[3]float64 `json:"origin,omitempty"`
	Turn   *solid.Mat  `json:"turn,omitempty"`
	Z      float64     `json:"z"`
	Roll   float64     `json:"roll"`
}

type steered struct {
	Path [][]float64 `json:"path"` // left, right, margin; null where it is not reached
	Rig  struct {
		Left, Right                                      steeredLock
		Scrub, Trail, Track, Inclination, Caster, Torque float64
	} `json:"rig"`
}

type steeredLock struct{ Servo, Inner, Outer, Circle float64 }

func two(v [2]vec) [2][3]float64 { return [2][3]float64{three(v[0]), three(v[1])} }

// taskOf puts a steer block into the twin's words. Lengths that the document leaves out are distances at the middle.
func taskOf(m *solid.Model, st *travel.Stand) steering {
	s := &m.Steer
	t := steering{
		Upper: two(s.Upper), Lower: two(s.Lower), Arm: two(s.Arm), Rod: s.TieRod, Half: m.Axles[solid.Front].HalfTrack, DragTo: three(s.DragTo),
		On: [...]string{"left", "right", "tie rod"}[s.DragOn], Drag: s.Drag, OnAxle: s.Carrier == solid.OnFront,
		HornAt: three(s.HornAt), HornAxis: three(s.HornAxis), HornEye: three(s.HornEye), Up: three(st.Ground.Up), Forward: three(st.Ground.Forward),
	}
	if t.Rod == 0 {
		t.Rod = s.Arm[0].Sub(s.Arm[1]).Norm()
	}
	if t.Drag == 0 {
		far := s.DragTo
		if !t.OnAxle {
			far = st.Movers[solid.Front].Design.Place(far)
		}
		t.Drag = far.Sub(s.HornEye).Norm()
	}
	return t
}

// steerBlock draws steering at random.
func (d *dice) steerBlock(on solid.DragEnd, carrier solid.Carrier) solid.Steer {
	both := func(v vec) [2]vec { return [2]vec{v, v.Flip()} }
	s := solid.Steer{Present: true, Path: "steer", HasKingpin: true, HasArm: true, HasDrag: true, HasServo: true, HasHorn: true,
		Upper: both(d.near(vec{Y: 77, Z: 13}, 4)), Lower: both(d.near(vec{Y: 80, Z: -13}, 3)), Arm: both(d.near(vec{X: 21, Y: 82, Z: 3}, 4)),
		DragOn: on, DragSet: true, Carrier: carrier, HornTravel: 40 * deg}
	side := 1.0
	switch on {
	case solid.OnLeftKnuckle:
		side, s.DragTo = -1, d.near(vec{X: 22, Y: 84, Z: 12}, 4)
	case solid.OnRightKnuckle:
		s.DragTo = d.near(vec{X: 22, Y: -84, Z: 12}, 4)
	default:
		s.DragTo = d.near(vec{X: 22, Y: -50, Z: 8}, 5)
	}
	s.HornAt = d.near(vec{X: 34, Y: side * 8, Z: 40}, 6)
	s.HornEye = s.HornAt.Add(d.near(vec{X: 2, Z: -22}, 3))
	s.HornAxis = d.near(vec{X: 1}, 0.2).Unit()
	if d.IntN(2) == 0 {
		s.TieRod = s.Arm[0].Sub(s.Arm[1]).Norm() + d.about(0, 1)
	}
	if d.IntN(2) == 0 && on != solid.OnTieRod {
		s.Drag = s.DragTo.Sub(s.HornEye).Norm() + d.about(0, 1)
	}
	return s
}

func TestSteeringAgainstSciPy(t *testing.T) {
	d := chance(t)
	const n = 100
	var models []*solid.Model
	var stands []*travel.Stand
	var poses [][]travel.Pose
	question := struct {
		Linkages []steering `json:"linkages"`
	}{}
	for i := range n {
		m := &solid.Model{Name: "drawn", Steer: d.steerBlock(solid.DragEnd(i%3), solid.Carrier(i/3%2))}
		m.Axles[solid.Front] = solid.Axle{Present: true, Path: "front", TyreRadius: 57, TyreWidth: 42, HalfTrack: 100, PinionAxis: vec{X: -1}}
		st := travel.StandOf(m)
		task := taskOf(m, st)
		list := []travel.Pose{st.Movers[solid.Front].Design}
		task.Path = append(task.Path, steeringStep{})
		for range 6 {
			p := list[0]
			p.X, p.Y, p.Z = p.X+d.about(0, 3), p.Y+d.about(0, 3), p.Z+d.about(0, 10)
			p.Steer, p.Roll, p.Spin = d.about(0, 0.03), d.about(0, 0.15), d.about(0, 0.1)
			list = append(list, p)
			task.Path = append(task.Path, steeringStep{Servo: d.about(0, 32) * deg})
		}
		for k := range list {
			at, turn := three(list[k].Origin()), list[k].Turn()
			task.Path[k].Origin, task.Path[k].Turn = &at, &turn
		}
		models, stands, poses = append(models, m), append(stands, st), append(poses, list)
		question.Linkages = append(question.Linkages, task)
	}
	var answers struct {
		Linkages []steered `json:"linkages"`
	}
	twin(t, "steer_twin.py", question, &answers)
	worst := tally{}
	points, lost, apart := 0, 0, 0
	for i := range n {
		l, bad := steer.Compile(models[i], stands[i], 0)
		if l == nil || len(bad) > 0 {
			t.Errorf("%d: not put together: %v", i, bad)
			continue
		}
		middle, _ := l.At(poses[i][0], 0, steer.State{})
		for k, p := range poses[i] {
			what := fmt.Sprintf("linkage %d, point %d", i, k)
			to := question.Linkages[i].Path[k].Servo
			s, fault := middle, steer.Fits
			for h := 1.0; h <= 10 && fault == steer.Fits; h++ { // the axle first, then the servo, in steps
				q := between(poses[i][0], p, h/10)
				s, fault = l.At(q, 0, s)
			}
			for h := 1.0; h <= 20 && fault == steer.Fits; h++ {
				s, fault = l.At(p, to*h/20, s)
			}
			want := answers.Linkages[i].Path[k]
			if fault != steer.Fits || want == nil {
				lost++
				if (fault == steer.Fits) != (want != nil) && s.Drag > 0.1 && s.Tie > 0.1 {
					// both walk in steps of their own: next to a dead point one may step over it where the other stops
					t.Logf("%s: fault %d here, found by SciPy: %v", what, fault, want != nil)
					apart++
				}
				continue
			}
			if want[2] < 0.03 {
				continue
			}
			points++
			for side, w := range []solid.Side{solid.Left, solid.Right} {
				_, axis := l.Wheel(w, s)
				turn := p.Turn()
				n := turn.Mul(axis)
				got := math.Atan2(-n.X, n.Y) // no ground is known, so the chassis' own plane counts
				worst.hold(t, "steer angle, °", what, got/deg, want[side]/deg, 1e-8)
			}
		}
	}
	if apart > points/200 {
		t.Errorf("%d of %d points are reached by only one of the two", apart, points)
	}
	if points < 5*n || lost > n/2 {
		t.Errorf("%d points compared, %d lost: the linkages drawn test too little", points, lost)
	}
	t.Logf("%d points, %d lost; largest differences %v", points, lost, worst)
}

func between(a, b travel.Pose, t float64) travel.Pose {
	m := func(x, y float64) float64 { return x + t*(y-x) }
	return travel.Pose{X: m(a.X, b.X), Y: m(a.Y, b.Y), Z: m(a.Z, b.Z), Steer: m(a.Steer, b.Steer), Roll: m(a.Roll, b.Roll), Spin: m(a.Spin, b.Spin)}
}

// The demo rigs whole: axle poses from their links, wheel angles over servo, heave and roll, locks by Brent's method, turning circle,
// kingpin geometry and torque, all by the twin.
func TestDemoSteeringAgainstSciPy(t *testing.T) {
	names := []string{"bramble", "bramble-portal", "gully"}
	question := struct {
		Linkages []steering `json:"linkages"`
	}{}
	var given []steer.Answer
	const step = 0.05 // mm, and as many mrad·10: for differences
	for _, name := range names {
		_, m := modelOf(t, fromFolder("../examples"), name+".rig.yaml")
		st := travel.StandOf(m)
		a, err := steer.Assess(m, steer.Options{})
		if err != nil {
			t.Fatal(err)
		}
		given = append(given, a)
		task := taskOf(m, st)
		mv, front := st.Movers[solid.Front], &m.Axles[solid.Front]
		task.Links = &linkTask{}
		for _, l := range mv.Links {
			task.Links.Chassis, task.Links.Axle = append(task.Links.Chassis, three(l.From)), append(task.Links.Axle, three(l.To))
			task.Links.Length = append(task.Links.Length, l.Length)
		}
		task.Origin, task.Turn, task.Z = three(mv.Design.Origin()), mv.Design.Turn(), mv.Design.Z
		rear, turn := three(st.Ground.Contact[solid.Rear]), st.Movers[solid.Rear].Design.Turn()
		axis := three(turn.Mul(vec{Y: 1}))
		c, _ := balance.LevelLoads(m, st)
		task.Lock, task.Radius, task.Width = m.Steer.Lock, front.TyreRadius, front.TyreWidth
		task.Rear, task.RearAxis, task.Friction, task.Loads = &rear, &axis, front.Grip, [2]float64{c.FrontLeft, c.FrontRight}
		task.Path = []steeringStep{{Z: task.Z}}
		for _, v := range []steeringStep{{Z: step}, {Z: -step}, {Roll: step / 50}, {Roll: -step / 50}} {
			v.Z += task.Z
			task.Path = append(task.Path, v)
		}
		for _, p := range a.Sweep {
			task.Path = append(task.Path, steeringStep{Servo: p.ServoDeg * deg, Z: task.Z})
		}
		for _, p := range a.Bumps.Poses {
			task.Path = append(task.Path, steeringStep{Z: task.Z + p.HeaveMM, Roll: p.RollDeg * deg})
		}
		question.Linkages = append(question.Linkages, task)
	}
	var answers struct {
		Linkages []steered `json:"linkages"`
	}
	twin(t, "steer_twin.py", question, &answers)
	worst := tally{}
	for i, name := range names {
		a, want := &given[i], &answers.Linkages[i]
		mean := func(k int) float64 { return (want.Path[k][0] + want.Path[k][1]) / 2 }
		for _, p := range want.Path {
			if p == nil {
				t.Fatalf("%s: a point that SciPy does not reach", name)
			}
		}
		worst.hold(t, "bump steer, °/mm", name, a.Bumps.PerHeave, (mean(1)-mean(2))/(2*step)/deg, 1e-6)
		worst.hold(t, "roll steer, °/°", name, a.Bumps.PerRoll, (mean(3)-mean(4))/(2*step/50), 1e-5)
		k := 5
		for _, p := range a.Sweep {
			what := fmt.Sprintf("%s, servo %g°", name, p.ServoDeg)
			worst.hold(t, "left over servo, °", what, p.LeftDeg, want.Path[k][0]/deg, 1e-7)
			worst.hold(t, "right over servo, °", what, p.RightDeg, want.Path[k][1]/deg, 1e-7)
			k++
		}
		for _, p := range a.Bumps.Poses {
			what := fmt.Sprintf("%s, heave %g, roll %g", name, p.HeaveMM, p.RollDeg)
			worst.hold(t, "left over bumps, °", what, p.LeftDeg, want.Path[k][0]/deg, 1e-7)
			worst.hold(t, "right over bumps, °", what, p.RightDeg, want.Path[k][1]/deg, 1e-7)
			k++
		}
		r := &want.Rig
		for _, one := range []struct {
			side string
			have *steer.Lock
			want steeredLock
		}{{"left", &a.Locks.Left, r.Left}, {"right", &a.Locks.Right, r.Right}} {
			what := name + ", lock " + one.side
			worst.hold(t, "servo at lock, °", what, one.have.ServoDeg, one.want.Servo/deg, 1e-6)
			worst.hold(t, "inner, °", what, one.have.InnerDeg, one.want.Inner/deg, 1e-6)
			worst.hold(t, "outer, °", what, one.have.OuterDeg, one.want.Outer/deg, 1e-6)
			worst.hold(t, "turning circle, mm", what, *one.have.TurningCircleMM, one.want.Circle, 1e-4)
		}
		worst.hold(t, "inclination, °", name, a.Kingpin.InclinationDeg, r.Inclination/deg, 1e-9)
		worst.hold(t, "caster, °", name, a.Kingpin.CasterDeg, r.Caster/deg, 1e-9)
		worst.hold(t, "scrub radius, mm", name, *a.Kingpin.ScrubRadiusMM, r.Scrub, 1e-9)
		worst.hold(t, "trail, mm", name, *a.Kingpin.TrailMM, r.Trail, 1e-9)
		worst.hold(t, "kingpin track, mm", name, *a.Kingpin.TrackMM, r.Track, 1e-9)
		// The twin's wheels turn about the vertical, the program's about the kingpin, as much of it as is upright: a leaning pin makes
		// some thousandths of a difference.
		worst.hold(t, "torque at the middle, N·mm", name, a.Servo.MiddleNMM, r.Torque, 1e-3*r.Torque)
	}
	t.Logf("largest differences %v", worst)
}

// A drag link that is parallel to the transverse rod and as long, on an axle whose parallel links let it shift but not turn, goes with
// the axle: the wheels do not steer over bumps at all, at any servo angle. One that is half as long steers them.
func TestDragLinkLikeTheTransverseRod(t *testing.T) {
	links := pair("lower", vec{X: 110, Y: 55, Z: 45}, vec{X: 10, Y: 55, Z: 45})
	links = append(links, eye{"upper", vec{X: 95, Y: 8, Z: 90}, vec{X: -5, Y: 8, Z: 90}}, eye{"transverse", vec{X: -12, Y: -42, Z: 85}, vec{X: -12, Y: 42, Z: 75}})
	b := textbook(links, ahead(links, 300))
	m := b.model()
	both := func(v vec) [2]vec { return [2]vec{v, v.Flip()} }
	// The front rod goes from the chassis at y −42 to the axle at y +42, 10 mm lower; the drag link likewise.
	rod := vec{Y: 84, Z: -10}
	far := vec{X: 24, Y: 84, Z: 6}
	near := st0(m).Place(far).Sub(rod)
	for share, still := range map[float64]bool{1: true, 0.5: false} {
		s := solid.Steer{Present: true, Path: "steer", HasKingpin: true, HasArm: true, HasDrag: true, HasServo: true, HasHorn: true, HornTravel: 40 * deg,
			Upper: both(vec{X: -2, Y: 78, Z: 13}), Lower: both(vec{X: 1, Y: 80, Z: -13}), Arm: both(vec{X: 20, Y: 83, Z: 4}),
			DragTo: far, DragOn: solid.OnLeftKnuckle, DragSet: true, HornAxis: vec{X: 1}}
		s.HornEye = near.Add(rod.Scale(1 - share))
		s.HornAt = s.HornEye.Add(vec{Z: 22})
		m.Steer = s
		a, err := steer.Assess(m, steer.Options{Roll: travel.Span{Step: 1}})
		if err != nil {
			t.Fatal(err)
		}
		if len(a.Bumps.Poses) != 11 {
			t.Fatalf("%d poses", len(a.Bumps.Poses))
		}
		moved := 0.0
		for _, p := range a.Bumps.Poses {
			moved = max(moved, math.Abs(p.ChangeDeg))
		}
		if still && (moved > 1e-7 || math.Abs(a.Bumps.PerHeave) > 1e-9) {
			t.Errorf("like the transverse rod: steers %g° over bumps, %g°/mm", moved, a.Bumps.PerHeave)
		}
		if !still && (moved < 1 || math.Abs(a.Bumps.PerHeave) > 0.05) { // still parallel, so nothing at ride height, but on a tighter arc
			t.Errorf("half as long: steers %g° over bumps, %g°/mm", moved, a.Bumps.PerHeave)
		}
	}
}

// st0 is the front axle's design pose.
func st0(m *solid.Model) travel.Pose { return travel.StandOf(m).Movers[solid.Front].Design }

// The spatial slider-crank of the IFToMM multibody benchmark library (Haug, Computer-Aided Kinematics and Dynamics of Mechanical
// Systems I, 1989, §12.2; print), turned round: the slider's published place is the near eye, its rod a drag link of 0.30 m, the crank
// a knuckle whose kingpin is the crank's axis, stood upright. The published crank angle must come out.
func TestSpatialSliderCrankAsAKnuckle(t *testing.T) {
	turn := func(v vec) vec { return vec{X: v.Y, Y: v.Z, Z: v.X}.Scale(1000) } // x up; a proper rotation; m to mm
	crank := func(theta float64) vec {
		return turn(vec{Y: 0.1 - 0.08*math.Sin(theta), Z: 0.12 + 0.08*math.Cos(theta)})
	}
	for _, c := range []struct{ theta, slider float64 }{
		{0.5600213536265, 0.2267867}, {1.287191842519, 0.2630368}, {2.421968968383, 0.2901466}, {4.404676961283, 0.2230848},
	} {
		axis := func(x float64) vec { return turn(vec{X: x, Y: 0.1, Z: 0.12}) }
		near := turn(vec{X: c.slider})
		start := c.theta - 0.3 // where the knuckle is drawn, wheels "straight ahead"
		s := solid.Steer{Present: true, Path: "steer", HasKingpin: true, HasArm: true, HasDrag: true, HasServo: true, HasHorn: true,
			Upper: [2]vec{axis(0.02), axis(0.02).Flip()}, Lower: [2]vec{axis(-0.02), axis(-0.02).Flip()},
			DragTo: crank(start), DragOn: solid.OnLeftKnuckle, DragSet: true, Drag: 300, Carrier: solid.OnFront,
			HornEye: near, HornAt: near.Add(vec{X: 20}), HornAxis: vec{Z: 1}}
		arm := axis(0).Add(vec{X: 25})
		s.Arm = [2]vec{arm, arm.Flip()}
		m := &solid.Model{Steer: s}
		m.Axles[solid.Front] = solid.Axle{Present: true, Path: "front", HalfTrack: 140, TyreRadius: 57, PinionAxis: vec{X: -1}}
		l, bad := steer.Compile(m, travel.StandOf(m), 0)
		if l == nil || len(bad) > 0 {
			t.Fatalf("θ %g: %v", c.theta, bad)
		}
		got, fault := l.At(travel.Pose{}, 0, steer.State{})
		if fault != steer.Fits {
			t.Fatalf("θ %g: fault %d", c.theta, fault)
		}
		// The slider is printed to 1e-7 m; what that is worth in θ follows from x² = 0.3² − y² − z².
		sin, cos := math.Sincos(c.theta)
		slope := (0.08*cos*(0.1-0.08*sin) + 0.08*sin*(0.12+0.08*cos)) / c.slider
		within(t, fmt.Sprintf("θ %g", c.theta), start+got.Knuckle[0], c.theta, 6e-8/math.Abs(slope))
	}
}
