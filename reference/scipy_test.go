package reference

import (
	"fmt"
	"math"
	"testing"

	"lowslung/solid"
	"lowslung/travel"
)

// The pose kernel against SciPy (fsolve, least_squares) with another set of unknowns: see python/axle.py. Both start from the
// pose in which the linkage was drawn and go the same way in the same steps, so that they are in the same assembly mode.

type task struct {
	Chassis [4][3]float64 `json:"chassis"`
	Axle    [4][3]float64 `json:"axle"`
	Length  [4]float64    `json:"length"`
	Origin  [3]float64    `json:"origin"`
	Turn    [9]float64    `json:"turn"`
	Z       float64       `json:"z"`
	Roll    float64       `json:"roll"`
	Steps   int           `json:"steps"`
	Path    [][2]float64  `json:"path"`
	Pinion  [3]float64    `json:"pinion"`
	Radius  float64       `json:"radius"`
	Rates   []int         `json:"rates"`
	Shocks  []strut       `json:"shocks"`
}

type strut struct {
	Top   [3]float64  `json:"top"`
	Foot  *[3]float64 `json:"foot,omitempty"`
	Link  int         `json:"link"`
	Along float64     `json:"along"`
	Rise  float64     `json:"rise"`
}

type solved struct {
	Origin     [3]float64 `json:"origin"`
	Turn       solid.Mat  `json:"turn"`
	Margin     float64    `json:"margin"`
	Steer      float64    `json:"steer"`
	Pinion     float64    `json:"pinion"`
	Shocks     []float64  `json:"shocks"`
	Heave      []float64  `json:"heave"`   // rates of origin, turn and shock lengths
	Rolling    []float64  `json:"rolling"` // likewise
	HeaveOff   []float64  `json:"heave_spread"`
	RollingOff []float64  `json:"rolling_spread"`
	Slope      float64    `json:"slope"`
	RollCentre float64    `json:"roll_centre"`
}

func three(v vec) [3]float64 { return [3]float64{v.X, v.Y, v.Z} }

// A drawn linkage is a model with one axle, where that axle stands, and the question about it.
type drawn struct {
	what  string
	far   bool
	model *solid.Model
	hold  holding
	start travel.Pose
	link  *travel.Linkage
	task  task
}

func (d *dice) drawn(l layout, end solid.End, skew, far bool) drawn {
	out := drawn{far: far, what: fmt.Sprintf("%s %s, skewed %v, far %v", end, l.name, skew, far), model: &solid.Model{}, hold: d.hold(l, end, skew)}
	d.add(out.model, &out.hold, skew)
	at, ax := out.hold.at, &out.model.Axles[end]
	t := &out.task
	var c, a [4]vec
	for i, k := range out.model.Links {
		c[i], a[i] = k.From, k.To
		t.Chassis[i], t.Axle[i], t.Length[i] = three(k.From), three(k.To), k.Length
	}
	out.link = travel.NewLinkage(c, a, t.Length)
	// The angles of the pose from its matrix, whose wheel axis is (−sin ψ cos φ, cos ψ cos φ, sin φ).
	r := at.R
	out.start = travel.Pose{X: at.At.X, Y: at.At.Y, Z: at.At.Z, Steer: math.Atan2(-r[1], r[4]), Roll: math.Asin(r[7]), Spin: math.Atan2(-r[6], r[8])}
	t.Origin, t.Turn, t.Z, t.Roll, t.Steps = three(at.At), at.R, out.start.Z, out.start.Roll, 2
	t.Pinion, t.Radius = three(ax.PinionAxis), ax.TyreRadius
	for _, k := range out.model.Shocks {
		s := strut{Top: three(k.Top.At), Link: k.Bottom.Link, Along: k.Bottom.Along, Rise: k.Bottom.Rise}
		if k.Bottom.Link < 0 {
			foot := three(k.Bottom.At)
			s.Foot = &foot
		}
		t.Shocks = append(t.Shocks, s)
	}
	// A walk over the plane of heave and roll that does not hurry; a far one goes to where the links let go, in smaller steps.
	reach, lean := 14.0, 9.0
	if far {
		reach, lean, t.Steps = 62, 34, 12
	}
	t.Path = append(t.Path, [2]float64{t.Z, t.Roll})
	for i, h := range []float64{0.5, 1, 0, -0.5, -1} {
		for k := range 2 {
			roll := lean * float64(1-2*((i+k)%2))
			t.Path = append(t.Path, [2]float64{t.Z + d.about(h*reach, 3), d.about(roll, 5) * deg})
		}
	}
	t.Rates = []int{0, 1 + d.IntN(len(t.Path)-1)}
	return out
}

// apart is the angle between two rotations, rad: |Aᵀ·B − 1| as a Frobenius norm is 2√2·sin(angle/2).
func apart(a, b solid.Mat) float64 {
	sum := 0.0
	for i := range a {
		sum += (a[i] - b[i]) * (a[i] - b[i])
	}
	return 2 * math.Asin(min(1, math.Sqrt(sum)/(2*math.Sqrt2)))
}

// tally keeps the largest difference of one kind.
type tally map[string]float64

func (m tally) hold(t *testing.T, kind, what string, got, want, tol float64) {
	t.Helper()
	m[kind] = max(m[kind], math.Abs(got-want))
	within(t, what+", "+kind, got, want, tol)
}

// rateTol is the tolerance of rate i. The twin's rates are extrapolated differences over h and h/2 (0.2 mm, 0.005 rad). Their
// rounding error is that of two poses, 2e-12 mm, over h. Of what is cut off, the h² term shows as the spread between the two
// differences and is taken out. Near full reach, a away from it, poses go as √a and the spread is 0.094·(h/a)² of the rate; what is
// left is 0.0137·(h/a)⁴, which is below a fiftieth of the spread for a > 2.7 h. Rates closer than 7 h are not compared (spreads).
func rateTol(rate, spread []float64, i int, small float64) float64 {
	return small*(1+math.Abs(rate[i])) + spread[i]/50
}

// spreads says that differences over these steps cannot tell the rates.
func (w *solved) spreads() bool {
	for _, one := range [2][2][]float64{{w.Heave, w.HeaveOff}, {w.Rolling, w.RollingOff}} {
		for i, off := range one[1] {
			if off > 0.094/49*(1+math.Abs(one[0][i])) {
				return true
			}
		}
	}
	return false
}

const (
	perHeave = 1e-9 // mm/mm
	perRoll  = 3e-8 // mm/rad: 0.2 mm over 0.005 rad times perHeave
)

func TestPosesAgainstSciPy(t *testing.T) {
	d := chance(t)
	var list []drawn
	all := layouts()
	for i := range 240 {
		list = append(list, d.drawn(all[i%len(all)], solid.End(i/len(all)%2), i/(2*len(all))%2 == 1, i%5 == 4))
	}
	question := struct {
		Linkages []task `json:"linkages"`
	}{}
	for i := range list {
		question.Linkages = append(question.Linkages, list[i].task)
	}
	var answers [][]*solved
	twin(t, "pose_twin.py", question, &answers)

	worst := tally{}
	points, weak, lost, rates := 0, 0, 0, 0
	for i := range list {
		one := &list[i]
		solver := travel.NewSolver(one.link, one.start)
		z, roll := one.task.Z, one.task.Roll
		for k, to := range one.task.Path {
			what := fmt.Sprintf("linkage %d (%s), point %d (z %.3f mm, roll %.3f°)", i, one.what, k, to[0], to[1]/deg)
			st, leapt := travel.Reached, false
			for s := 1; s <= one.task.Steps && st == travel.Reached; s++ {
				f := float64(s) / float64(one.task.Steps)
				before := solver.Pose()
				st = solver.Solve(z+f*(to[0]-z), roll+f*(to[1]-roll))
				leapt = leapt || math.Abs(solver.Pose().Spin-before.Spin) > 0.5 || math.Abs(solver.Pose().Steer-before.Steer) > 0.5
			}
			z, roll = to[0], to[1]
			want := answers[i][k]
			if st != travel.Reached || want == nil {
				lost++
				// Past full reach the bare kernel may leap half a radian and more to where the links close again, which the mover, whose promise it is,
				// does not let pass; SciPy may find that place or none.
				if (st == travel.Reached) != (want != nil) && !(leapt && want == nil) {
					t.Errorf("%s: status %v here, found by SciPy: %v", what, st, want != nil)
				}
				break
			}
			p := solver.Pose()
			if r := one.link.Residual(p); !(r <= 1e-9) {
				t.Errorf("%s: residual %g mm", what, r)
			}
			points++
			if want.Margin < 0.01 { // about to let go: the lengths fix the pose no better than this
				weak++
				continue
			}
			worst.hold(t, "x, mm", what, p.X, want.Origin[0], 1e-6)
			worst.hold(t, "y, mm", what, p.Y, want.Origin[1], 1e-6)
			worst.hold(t, "z, mm", what, p.Z, want.Origin[2], 1e-9)
			worst.hold(t, "turn, °", what, apart(p.Turn(), want.Turn)/deg, 0, 1e-6)
			worst.hold(t, "steer, °", what, p.Steer/deg, want.Steer/deg, 1e-6)
			turn := p.Turn()
			axis := one.model.Axles[one.hold.end].PinionAxis
			worst.hold(t, "pinion, °", what, math.Asin(turn.Mul(axis).Z)/deg, want.Pinion/deg, 1e-6)

			if want.spreads() {
				want.Heave = nil
			}
			sys := one.link.SystemAt(p)
			heave, ok1 := sys.Heave()
			rolling, ok2 := sys.Roll()
			if !ok1 || !ok2 {
				t.Errorf("%s: no rates", what)
				continue
			}
			for n := range one.model.Shocks {
				got := travel.StrutAt(one.model, &one.model.Shocks[n], p, heave, rolling)
				worst.hold(t, "shock length, mm", what, got.Length, want.Shocks[n], 1e-6)
				if want.Heave == nil {
					continue
				}
				worst.hold(t, "shock per heave, mm/mm", what, got.PerHeave, want.Heave[6+n], rateTol(want.Heave, want.HeaveOff, 6+n, perHeave))
				worst.hold(t, "shock per roll, mm/rad", what, got.PerRoll, want.Rolling[6+n], rateTol(want.Rolling, want.RollingOff, 6+n, perRoll))
			}
			if want.Heave == nil {
				continue
			}
			rates++
			compareRates(t, worst, what, p, heave, rolling, want, one.task.Radius)
		}
	}
	if points < 2000 || weak > points/20 || lost > len(list)/5 || rates < 400 {
		t.Errorf("%d points compared, %d of them too weakly held to compare, %d linkages lost on the way, %d rates: the rigs drawn test too little", points, weak, lost, rates)
	}
	t.Logf("%d linkages, %d points, %d weakly held, %d lost, %d rates; largest differences %v", len(list), points, weak, lost, rates, worst)
}

func compareRates(t *testing.T, worst tally, what string, p travel.Pose, heave, rolling travel.Rate, want *solved, radius float64) {
	t.Helper()
	for i, v := range []vec{heave.Origin, heave.Omega} {
		for k, x := range three(v) {
			worst.hold(t, []string{"velocity per heave, mm/mm", "turning per heave, rad/mm"}[i], what, x, want.Heave[3*i+k],
				rateTol(want.Heave, want.HeaveOff, 3*i+k, perHeave))
		}
	}
	for i, v := range []vec{rolling.Origin, rolling.Omega} {
		for k, x := range three(v) {
			worst.hold(t, []string{"velocity per roll, mm/rad", "turning per roll, rad/rad"}[i], what, x, want.Rolling[3*i+k],
				rateTol(want.Rolling, want.RollingOff, 3*i+k, perRoll))
		}
	}
	// What the links do with forces, from the balance of forces in the twin, against what the rates of motion say.
	contact := p.Origin().Sub(vec{Z: radius})
	v := heave.At(p, contact)
	worst.hold(t, "side slope by link forces", what, -v.X/v.Z, want.Slope, 1e-9*(1+math.Abs(want.Slope))/want.Margin)
	worst.hold(t, "roll centre by link forces, mm", what, radius+rolling.Origin.Y/rolling.Omega.X, want.RollCentre, 1e-7*(1+math.Abs(want.RollCentre)/100)/want.Margin)
}

// A mover starts from a near that is off, assembles the linkage by itself and goes straight to a point; where it gets there it must
// be in the same assembly mode as the small steps of the twin. A far point may lie behind a place where the links are at full
// reach, which the twin went around: then the straight way ends.
func TestMoverAgainstSciPy(t *testing.T) {
	d := chance(t)
	var list []drawn
	all := layouts()
	for i := range 80 {
		list = append(list, d.drawn(all[i%len(all)], solid.End(i/len(all)%2), i/(2*len(all))%2 == 1, i%5 == 4))
		list[i].task.Rates = []int{}
	}
	question := struct {
		Linkages []task `json:"linkages"`
	}{}
	for i := range list {
		question.Linkages = append(question.Linkages, list[i].task)
	}
	var answers [][]*solved
	twin(t, "pose_twin.py", question, &answers)
	points, blocked := 0, 0
	for i := range list {
		one := &list[i]
		end := one.hold.end
		near := &one.model.Axles[end].Near
		*near = near.Add(d.near(vec{}, 4))
		mv := travel.NewMover(one.model, end)
		if !mv.Solved {
			t.Errorf("linkage %d (%s): not assembled", i, one.what)
			continue
		}
		for _, k := range d.Perm(len(answers[i])) {
			if answers[i][k] == nil || answers[i][k].Margin < 0.02 {
				continue
			}
			to, want := one.task.Path[k], answers[i][k]
			what := fmt.Sprintf("linkage %d (%s), point %d", i, one.what, k)
			points++
			if !mv.To(to[0], to[1]) {
				if blocked++; !one.far {
					t.Errorf("%s: not reached", what)
				}
				continue
			}
			within(t, what+", x", mv.At().X, want.Origin[0], 1e-6)
			within(t, what+", y", mv.At().Y, want.Origin[1], 1e-6)
			within(t, what+", turn, °", apart(mv.At().Turn(), want.Turn)/deg, 0, 1e-6)
		}
	}
	if points < 600 || blocked > points/10 {
		t.Errorf("%d points, %d of them behind a full reach: the rigs drawn test too little", points, blocked)
	}
	t.Logf("%d points, %d behind a full reach", points, blocked)
}
