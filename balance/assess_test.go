package balance

import (
	"math"
	"strings"
	"testing"

	"lowslung/solid"
)

// box is a rig of three weights whose balance is worked out by hand below: wheelbase 300, track 200, tyres 57 mm in radius.
func box() *solid.Model {
	m := &solid.Model{Name: "by hand"}
	m.Axles[solid.Front] = solid.Axle{Present: true, Path: "front", Near: solid.Vec{X: 150}, TyreRadius: 57, HalfTrack: 100, PinionAxis: solid.Vec{X: -1}}
	m.Axles[solid.Rear] = solid.Axle{Present: true, Path: "rear", Near: solid.Vec{X: -150}, TyreRadius: 57, HalfTrack: 100, PinionAxis: solid.Vec{X: 1}}
	m.Bodies = []solid.Body{
		{Name: "lead", Path: "chassis/parts/lead", Mass: 2, HasMass: true, CG: solid.Vec{X: 60, Z: 23}},
		{Name: "axle f", Path: "front/parts/axle f", Carrier: solid.OnFront, Mass: 0.5, HasMass: true},
		{Name: "axle r", Path: "rear/parts/axle r", Carrier: solid.OnRear, Mass: 0.5, HasMass: true},
	}
	return m
}

func wants(t *testing.T, name string, got, want, tol float64) {
	t.Helper()
	if math.Abs(got-want) > tol {
		t.Errorf("%s: got %.6f, by hand %.6f", name, got, want)
	}
}

func TestBalanceByHand(t *testing.T) {
	a, err := Assess(box(), Options{})
	if err != nil {
		t.Fatal(err)
	}
	// x = (2·60 + 0.5·150 − 0.5·150)/3 = 40; z = 2·23/3 = 15.3333 above the axle line, so h = 57 + 15.3333
	h := 57 + 46.0/3
	wants(t, "mass", a.MassKG, 3, 1e-12)
	wants(t, "sprung", a.SprungMassKG, 2, 1e-12)
	wants(t, "x", a.CenterOfMassMM[0], 40, 1e-12)
	wants(t, "height", *a.CenterOfMassHeightMM, h, 1e-12)
	wants(t, "front share", *a.FrontShare, 190.0/300, 1e-12)
	wants(t, "front left", a.CornerLoadsN.FrontLeft, 3*9.80665*190/300/2, 1e-12)
	wants(t, "rear right", a.CornerLoadsN.RearRight, 3*9.80665*110/300/2, 1e-12)
	wants(t, "static stability", *a.StaticStability, 100/h, 1e-12)
	wants(t, "tip left", a.TipSideDeg.Left, math.Atan(100/h)*180/math.Pi, 1e-9)
	wants(t, "nose up", *a.TipNoseUpDeg, math.Atan(190/h)*180/math.Pi, 1e-9)
	wants(t, "nose down", *a.TipNoseDownDeg, math.Atan(110/h)*180/math.Pi, 1e-9)
	// pitch inertia of three points about the centre of mass: Σ m (x² + z²)
	iyy := 2*(20*20+math.Pow(23-46.0/3, 2)) + 0.5*(110*110+math.Pow(46.0/3, 2)) + 0.5*(190*190+math.Pow(46.0/3, 2))
	wants(t, "pitch inertia", a.InertiaKGMM2[1], iyy, 1e-6)
}

func TestTipLineOfUnequalTracks(t *testing.T) {
	m := box()
	m.Axles[solid.Front].HalfTrack = 80
	a, _ := Assess(m, Options{})
	// The line from (0, 100) to (300, 80) passes the centre of mass (190, 0) at distance |300·100 − 20·190|/√(300² + 20²).
	d := (300*100 - 20*190) / math.Hypot(300, 20)
	wants(t, "tip left", a.TipSideDeg.Left, math.Atan(d/(57+46.0/3))*180/math.Pi, 1e-9)
	wants(t, "mirror", a.TipSideDeg.Right, a.TipSideDeg.Left, 1e-12)
}

func TestMoveIsTheSameAsWritingItThere(t *testing.T) {
	m := box()
	m.Bodies[0].CG = solid.Vec{X: 60 + 12, Y: 4, Z: 23 - 9}
	want, _ := Assess(m, Options{})
	moved := func(mv Move) (Answer, error) {
		m, err := Moved(box(), []Move{mv})
		if err != nil {
			return Answer{}, err
		}
		return Assess(m, Options{})
	}
	got, err := moved(Move{Part: "lead", By: [3]float64{12, 4, -9}})
	if err != nil {
		t.Fatal(err)
	}
	wants(t, "tip left", got.TipSideDeg.Left, want.TipSideDeg.Left, 1e-12)
	wants(t, "nose down", *got.TipNoseDownDeg, *want.TipNoseDownDeg, 1e-12)
	some, err := moved(Move{Part: "lead", By: [3]float64{0, 0, -30}, Quantity: 0.5})
	if err != nil {
		t.Fatal(err)
	}
	wants(t, "height after half a kilogram went 30 mm down", *some.CenterOfMassHeightMM, 57+46.0/3-5, 1e-12)
	_, err = moved(Move{Part: "laed", By: [3]float64{1}})
	if err == nil || !strings.Contains(err.Error(), `did you mean "lead"?`) {
		t.Errorf("moving a part that is not there: %v", err)
	}
	_, err = moved(Move{Part: "lead", By: [3]float64{1}, Quantity: 5})
	if err == nil || !strings.Contains(err.Error(), "at most its 2000 g") {
		t.Errorf("moving more than there is: %v", err)
	}
}

func TestSensitivityIsWhatChangingTheDocumentDoes(t *testing.T) {
	base, _ := Assess(box(), Options{})
	m := box()
	m.Bodies[0].Mass += 0.010
	heavy, _ := Assess(m, Options{})
	m = box()
	m.Bodies[0].CG.Z -= 5
	low, _ := Assess(m, Options{})
	for _, s := range base.Sensitivity {
		if s.Name != "lead" {
			continue
		}
		wants(t, "+10 g, nose down", s.Add10G.NoseDown, *heavy.TipNoseDownDeg-*base.TipNoseDownDeg, 1e-9)
		wants(t, "+10 g, side", s.Add10G.Left, heavy.TipSideDeg.Left-base.TipSideDeg.Left, 1e-9)
		wants(t, "5 mm lower, side", s.Down5MM.Left, low.TipSideDeg.Left-base.TipSideDeg.Left, 1e-9)
		wants(t, "5 mm lower, nose up", s.Down5MM.NoseUp, *low.TipNoseUpDeg-*base.TipNoseUpDeg, 1e-9)
		return
	}
	t.Error("no row for the lead")
}

// The same rig on a rake: unequal tyres and heights turn the ground under it, not the answer.
func TestTippingDoesNotDependOnRake(t *testing.T) {
	want, _ := Assess(box(), Options{})
	m := box()
	const rake = 0.05
	turn := solid.Turned(0, rake, 0)
	for end := range m.Axles {
		m.Axles[end].Near = turn.Mul(m.Axles[end].Near)
	}
	m.Bodies[0].CG = turn.Mul(m.Bodies[0].CG)
	got, _ := Assess(m, Options{})
	wants(t, "ground pitch", *got.GroundPitchDeg, -rake*180/math.Pi, 1e-9)
	wants(t, "height", *got.CenterOfMassHeightMM, *want.CenterOfMassHeightMM, 1e-9)
	wants(t, "nose up", *got.TipNoseUpDeg, *want.TipNoseUpDeg, 1e-9)
	wants(t, "front share", *got.FrontShare, *want.FrontShare, 1e-12)
	m.Axles[solid.Rear].TyreRadius += 10
	m.Axles[solid.Rear].Near = m.Axles[solid.Rear].Near.Add(solid.Vec{Z: 10})
	lifted, _ := Assess(m, Options{})
	if p := *lifted.GroundPitchDeg; math.Abs(p+rake*180/math.Pi) > 0.1 {
		t.Errorf("larger rear tyres with the axle as much higher turned the ground to %.3f°", p)
	}
}

func TestMissingThingsAreSaid(t *testing.T) {
	m := box()
	m.Bodies = append(m.Bodies, solid.Body{Name: "body", Path: "chassis/parts/body", Guess: 0.21})
	a, _ := Assess(m, Options{})
	if len(a.Weightless) != 1 || a.Weightless[0].EstimateG == nil || math.Abs(*a.Weightless[0].EstimateG-210) > 1e-9 {
		t.Errorf("weightless: %+v", a.Weightless)
	}
	wants(t, "the estimate is in no sum", a.MassKG, 3, 1e-12)
	m = box()
	m.Axles[solid.Front] = solid.Axle{}
	m.Bodies = m.Bodies[:1]
	a, _ = Assess(m, Options{})
	if a.TipSideDeg != nil || a.MassKG != 2 || len(a.Findings) == 0 || a.Findings[0].Code != "balance/no-ground" {
		t.Errorf("one axle: %+v", a.Findings)
	}
	a, _ = Assess(&solid.Model{}, Options{})
	if len(a.Findings) == 0 || a.Findings[0].Code != "balance/no-weights" {
		t.Errorf("nothing at all: %+v", a.Findings)
	}
}
