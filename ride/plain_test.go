package ride

import (
	"fmt"
	"math"
	"testing"

	"lowslung/solid"
)

// A plain rig, made so that paper can follow it: links so long and level that an axle goes straight up and down and rolls about the height
// of its transverse rod, upright shocks, all weight in the chassis.
type plain struct {
	mass   float64 // g, all of it in the chassis
	high   float64 // z of the centre of mass in the chassis frame, mm; axles are at z = 0 in the design pose
	ahead  float64 // x of it
	aside  float64 // y of it
	half   float64 // half track, mm
	apart  float64 // half distance between the shocks of an axle, mm
	rate   [2]float64
	collar float64
	open   float64 // of the shocks, mm; 120 when 0
	rod    float64 // z of the transverse rods at the axle, mm
	tyre   float64 // radial rate, N/mm
	side   float64 // lateral rate, N/mm
	more   string  // further keys
	shock  string  // further keys of the shocks
}

func usual() plain {
	return plain{mass: 2400, high: 40, half: 100, apart: 60, rate: [2]float64{0.2, 0.2}, tyre: 500, side: 500}
}

// text is the document: tyres of 100 mm, shocks 120 open and 60 closed, 100 long in the design pose, wheelbase 300.
func (p plain) text() string {
	if p.open == 0 {
		p.open = 120
	}
	axle := func(name string, x float64) string {
		return fmt.Sprintf(`
%[1]s:
  near: [%[2]v, 0, 0]
  parts:
    %[1]s axle:
      kind: axle
      holes: {low: {at: [0, 40, 0], pair: true}, top: {at: [0, 0, 40]}, rod: {at: [0, 0, %[3]v]}, shock: {at: [0, %[4]v, 0], pair: true}}
    %[1]s tyre: {kind: tyre, pair: true, at: [0, %[5]v, 0], tyre: {diameter: 100, width: 2, rate: %[6]v, lateral_rate: %[7]v}}
`, name, x, p.rod, p.apart, p.half, p.tyre, p.side)
	}
	link := func(name, eye string) string {
		return fmt.Sprintf("  %[1]s %[2]s: {axle: %[1]s, pair: %[3]v, from: frame/%[1]s %[2]s, to: %[1]s axle/%[2]s, length: 4000}\n", name, eye, eye == "low")
	}
	shock := func(name string, k float64) string {
		return fmt.Sprintf("  %[1]s: {axle: %[1]s, pair: true, top: frame/%[1]s shock, bottom: %[1]s axle/shock, open: %[5]v, closed: 60, set: 100, springs: [{rate: %[2]v}], collar: %[3]v%[4]s}\n", name, k, p.collar, p.shock, p.open)
	}
	holes := func(name string, x, back float64) string {
		return fmt.Sprintf("        %[1]s low: {at: [%[2]v, 40, 0], pair: true}\n        %[1]s top: {at: [%[2]v, 0, 40]}\n        %[1]s rod: {at: [%[3]v, 4000, %[4]v]}\n        %[1]s shock: {at: [%[3]v, %[5]v, 100], pair: true}\n", name, back, x, p.rod, p.apart)
	}
	return fmt.Sprintf(`lowslung: 1
chassis:
  parts:
    frame:
      kind: frame
      mass: %v
      cg: [%v, %v, %v]
      holes:
%s%s%s%slinks:
%s%s%s%s%s%sshocks:
%s%s%s`, p.mass, p.ahead, p.aside, p.high, holes("front", 150, -3850), holes("rear", -150, 3850), axle("front", 150), axle("rear", -150),
		link("front", "low"), link("front", "top"), link("front", "rod"), link("rear", "low"), link("rear", "top"), link("rear", "rod"),
		shock("front", p.rate[0]), shock("rear", p.rate[1]), p.more)
}

func (p plain) machine(t testing.TB) *machine { return machineOf(t, written(t, p.text())) }

func (p plain) standing(t testing.TB) *work {
	t.Helper()
	w := newWork(p.machine(t))
	if out := w.stand(); out != atRest {
		t.Fatalf("no stance: outcome %d, %g N out of balance", out, w.unrest())
	}
	return w
}

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s is %.7g, expected %.7g ± %g", what, got, want, tol)
	}
}

const plainHeight = 50 // of the axles above the ground on rigid tyres, mm

// One mass on four springs: F = k·x with the collar's preload, so each shock is at open − F/k + collar, and the chassis that much above its
// design height. Handbook statics.
func TestMassOnFourSprings(t *testing.T) {
	p := usual()
	f := p.mass / 1000 * newton / 4
	p.collar = f/0.2 - 20 // so that the shocks are 100 mm, as designed
	w := p.standing(t)
	for i := range w.mc.axles {
		for n := range w.mc.axles[i].struts {
			near(t, "length of a shock", w.mo[i].length[n].at, 100, 1e-4)
			near(t, "its force", w.shock(&w.mc.axles[i].struts[n], w.mo[i].length[n].at).ForceN, f, 1e-5)
		}
	}
	for i, l := range w.load {
		near(t, "load of the "+wheelNames[i]+" wheel", l, f, 1e-5)
		near(t, "how far its tyre is pressed in", -w.gap[i], f/500, 1e-6)
	}
	near(t, "height of the belly plane", w.world(solid.Vec{}).Z, plainHeight-f/500, 1e-4)
	// 2 mm less collar: 2 mm lower, on upright shocks; the long links' arcs take 4·10⁻⁷ of it.
	p.collar -= 2
	w = p.standing(t)
	near(t, "height with 2 mm less collar", w.world(solid.Vec{}).Z, plainHeight-f/500-2, 2e-3)
}

// Weight ahead and to one side: loads are those of statics whatever the springs, and each spring gives by its own.
func TestLoadsAreThoseOfStatics(t *testing.T) {
	p := usual()
	p.ahead, p.rate, p.collar = 20, [2]float64{0.35, 0.15}, 10
	w := p.standing(t)
	all := p.mass / 1000 * newton
	var sum, x, y float64
	for i, l := range w.load {
		at := w.touch(i)
		sum, x, y = sum+l, x+l*at.X, y+l*at.Y
	}
	c := w.center()
	near(t, "sum of the loads", sum, all, 1e-6)
	near(t, "their moment fore and aft", x, all*c.X, 1e-4)
	near(t, "their moment sideways", y, all*c.Y, 1e-4)
	near(t, "front load by the chassis' own x", w.load[0]+w.load[1], all*(150+20)/300, 0.3) // the pitch turns the centre of mass about the axles
	for i, k := range p.rate {
		near(t, "force of the "+solid.End(i).String()+" springs by load", (120-w.mo[i].length[0].at+10)*k+(120-w.mo[i].length[1].at+10)*k, w.load[2*i]+w.load[2*i+1], 0.03)
	}
}

// Rates at the stance: upright shocks at the wheels' plane have motion ratio 1, so the wheel rate is the spring's, roll stiffness 2k·s² and for
// tyres 2k_t·(T/2)².
func TestRatesOfThePlainRig(t *testing.T) {
	p := usual()
	f := p.mass / 1000 * newton / 4
	p.collar, p.tyre = f/0.2-20, 2.5
	w := p.standing(t)
	s := w.springings()
	for i := range s {
		near(t, "wheel rate", s[i].wheel, 0.2, 1e-4)
		near(t, "tyre rate", s[i].tyre, 2.5, 1e-9)
		near(t, "sprung mass", s[i].sprung, p.mass/2000, 1e-6)
		springs, tyres := 2*0.2*60*60.0, 2*2.5*100*100.0
		near(t, "roll stiffness of the springs", s[i].roll, springs, 2e-3*springs) // less the shocks' own lean: force times arm
		near(t, "of the tyres", s[i].tyres, tyres, 1e-6*tyres)
		near(t, "of both", s[i].both, s[i].roll*s[i].tyres/(s[i].roll+s[i].tyres), 1e-9)
		k := 2 * 0.2 * 2 * 2.5 / (2*0.2 + 2*2.5)
		near(t, "frequency", s[i].hz, math.Sqrt(k*1000/1.2)/2/math.Pi, 1e-3)
	}
}

// ζ: k 600 N/m, m 0.6 kg, c 15 N·s/m give 0.395285 and 5.032921 Hz: the digits worked out from the textbook's formulas (f = √(k/m)/2π,
// ζ = c/2√(km), Rao, Mechanical Vibrations, ch. 2). The dampers are made to give 7.5 N·s/m each.
func TestFrequencyAndDampingRatio(t *testing.T) {
	p := usual()
	p.mass, p.rate, p.tyre = 1200, [2]float64{0.3, 0.3}, 1e5
	d := solid.Damper{Bore: 12, Rod: 3, Holes: 2, Hole: 1.2, Length: 2.5}
	oil, ok := oilFor(&d, 7.5/1000)
	if !ok {
		t.Fatal("no oil")
	}
	p.shock = fmt.Sprintf(", oil: %v cSt, bore: 12, rod: 3, piston: {holes: 2, diameter: 1.2, thickness: 2.5}", oil)
	s := p.standing(t)
	for i, k := range s.springings() {
		near(t, fmt.Sprintf("damping of axle %d", i), k.damping*1000, 15, 1e-3)
		near(t, fmt.Sprintf("damping ratio of axle %d", i), k.zeta, 0.395285, 2e-5)
		near(t, fmt.Sprintf("frequency of axle %d", i), k.hz, 5.032921, 2e-4)
	}
}

// A rig that leans on lumped roll stiffness tips at (T/2h)/[1 + R(1 − h_r/h)], R the roll in rad per g of side force: Gillespie, Fundamentals of
// Vehicle Dynamics, ch. 9 (from memory); for R = 0.12 and h_r/h = 0.3 the factor is 0.922509. The formula takes small angles and side force on
// level ground; on a board that is nearly so when T/2h is small, so the rig is tall and narrow: 0.15.
func TestTipOnLumpedRollStiffness(t *testing.T) {
	p := usual()
	p.high, p.half, p.tyre, p.side = 450, 75, 5000, 5000 // h = 500, T/2h = 0.15
	p.rod = 0.3*500 - 50                                 // roll centre at 150
	w := p.mass / 1000 * newton
	const r = 0.12
	arm := 0.7 * 500.0
	need := w*arm/r + w*arm // R = W·a/(K − W·a)
	k := need / (4 * 60 * 60)
	p.rate, p.open = [2]float64{k, k}, 100+w/4/k
	b := p.standing(t)
	level := b.save()
	for i := range 2 {
		rigid := b.rigid(&ways[i])
		near(t, "rigid tangent", math.Tan(rigid), 0.15, 1e-5)
		run := b.tilt(&ways[i], &level, stride, mostTilt*deg, nil)
		near(t, "factor "+ways[i].name, math.Tan(run.tip)/math.Tan(rigid), 0.922509, 0.002)
		b.restore(&level)
	}
}

// Blocks under two opposite wheels until another lifts, on paper. Each axle lies across at the slope a; the chassis stays level, so the springs
// twist by a as well, with the moment K·a. It lifts wheels of load N on track T: N·T, and more because the round tread of a wheel that leans by a
// touches (r − ρ)·a aside, so that the axle's whole load 2N has that arm. The block is higher than the slope by what the tyres differ, 2N/k_t:
//
//	a = N·T/(K − 2N(r − ρ)),   h = T·a + 2N/k_t    (small angles; derived)
func TestCrossAxleOnPaper(t *testing.T) {
	p := usual()
	p.rate, p.tyre, p.apart, p.open = [2]float64{0.6, 0.6}, 2.5, 120, 110 // shocks outside the wheels, so that none tops out first
	w := p.standing(t)
	level := w.save()
	n := p.mass / 1000 * newton / 4
	k := 2 * 0.6 * 120 * 120.0
	const track, radius, crown = 200.0, 50.0, 1.0
	slope := n * track / (k - 2*n*(radius-crown))
	for _, d := range [][2]int{{0, 3}, {1, 2}} {
		c := w.cross(d[0], d[1], &level, 0)
		near(t, "height of the blocks", c.high, track*slope+2*n/2.5, 0.03)
		near(t, "twist", math.Abs(c.twist), 2*slope, 2e-4)
	}
}

// A rig without weight on one side of its springs, or none that carries: told, not guessed.
func TestWhatCarriesIsTold(t *testing.T) {
	soft := usual()
	soft.rate = [2]float64{0.01, 0.01}
	a, err := Assess(written(t, soft.text()), Options{Brief: true})
	if err != nil || a.Stance == nil {
		t.Fatalf("%v, %+v", err, a.Findings)
	}
	count := 0
	for _, f := range a.Findings {
		if f.Code == "ride/bottomed" {
			count++
		}
	}
	if count != 4 {
		t.Errorf("found %d shocks bottomed, expected all four: %+v", count, a.Findings)
	}
	for _, s := range a.Stance.Shocks {
		near(t, "a bottomed shock", s.LengthMM, 60, 0.05)
	}
}

// Held by its drive on a slope: the wheels need W·sin β·r about their axes, the shafts that over the ratio, and the chassis, between the shafts'
// torque and its springs' roll stiffness, rolls against the way the shafts turn: T/(K_f + K_r − W·a), a the height of its centre of mass
// above the axles (derived). Shafts that turn anticlockwise lift the right rear wheel, as every driver of a car with a solid rear axle and a
// lengthwise engine knows from hard starts (common knowledge): the chassis then leans to the right.
func TestTwistOfTheDrive(t *testing.T) {
	for _, turns := range []string{"clockwise", "anticlockwise"} {
		p := usual()
		p.collar = p.mass/1000*newton/4/0.2 - 20
		p.rate = [2]float64{0.2, 0.2}
		p.apart = 95
		p.more = "drive: {turns: " + turns + ", front: {ring: 30, pinion: 8}, rear: {ring: 30, pinion: 10}}\n"
		w := p.standing(t)
		level := w.save()
		run := w.twisted(&level, 5*deg, 10*deg, 1)
		h := run.rows[1]
		all := p.mass / 1000 * newton
		force := all * math.Sin(5*deg)
		near(t, "force along the slope", h.force, force, 2e-3)
		front := h.load[0] + h.load[1]
		near(t, "front shaft", h.shaft[0], force*front/(front+h.load[2]+h.load[3])*50/3.75, 0.5)
		near(t, "rear shaft", h.shaft[1], force*(h.load[2]+h.load[3])/(front+h.load[2]+h.load[3])*50/3, 0.5)
		k := 2 * 2 * 0.2 * 95 * 95.0
		want := (h.shaft[0] + h.shaft[1]) / (k - all*40)
		if turns == "clockwise" {
			want = -want // left side down
		}
		near(t, turns+": roll of the chassis", h.roll-h.plain.roll, want, 0.05*math.Abs(want))
		// The rear axle is turned with its shaft, against what the chassis' roll leaves on it.
		left := (h.load[2] - h.load[3]) - (h.plain.load[2] - h.plain.load[3])
		if turns == "anticlockwise" && !(left > 0) {
			t.Errorf("rear left less right: %v N more than without torque, expected the right wheel lighter", left)
		}
	}
}
