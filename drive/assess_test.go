package drive

import (
	"encoding/json"
	"math"
	"reflect"
	"strings"
	"testing"

	"lowslung/solid"
)

var rigs = []string{"bramble", "bramble-portal", "gully"}

// What the pack gives is what arrives and what is lost on the way, at every point: U·I = heat of source, winding, idle, gears + work at the
// wheels; and shaft power times efficiency is the wheels'.
func TestEnergyArrivesOrIsLost(t *testing.T) {
	for _, base := range rigs {
		for _, patch := range []string{
			"", "drive: {front: {overdrive: 1.12}}", "drive: {front: null}", "drive: {rear: null, efficiency: 90 %}",
			"chassis: {parts: {battery: {pack: {max_current: 4}}}}", "drive: {slipper: 60}", "chassis: {parts: {motor: {motor: {max_current: 4}}}}",
		} {
			a := answer(t, base, patch)
			if len(a.Points) < 7 {
				t.Fatalf("%s %s: %d points", base, patch, len(a.Points))
			}
			for _, p := range a.Points {
				w := p.Power
				if sum := w.Source + w.Winding + w.Idle + w.Gears + w.Wheels; math.Abs(sum-w.Pack) > 1e-9*w.Pack {
					t.Errorf("%s %s %s: %.12g W in, %.12g W out", base, patch, p.Name, w.Pack, sum)
				}
				shaft := a.Motor.KtNMMPerA / 1000 * (p.CurrentA - a.Motor.NoLoadA) * p.MotorRPM * 2 * math.Pi / 60
				if math.Abs(shaft-w.Gears-w.Wheels) > 1e-9*max(shaft, 1) {
					t.Errorf("%s %s %s: %.12g W at the shaft, %.12g W behind it", base, patch, p.Name, shaft, w.Gears+w.Wheels)
				}
				if p.PackA > p.CurrentA*(1+1e-12) || p.Throttle > 1 || p.Efficiency < 0 || p.Efficiency >= 1 {
					t.Errorf("%s %s: %+v", base, patch, p)
				}
			}
		}
	}
}

// With one ratio for all wheels, torque at the wheels is motor torque × ratio × efficiency.
func TestTorqueAtTheWheels(t *testing.T) {
	for _, base := range rigs {
		a := answer(t, base, "")
		x := a.Axles.Front
		for _, p := range a.Points {
			want := a.Motor.KtNMMPerA * (p.CurrentA - a.Motor.NoLoadA) * x.TotalRatio * x.Efficiency
			if math.Abs(p.WheelTorqueNMM-want) > 1e-9*want {
				t.Errorf("%s %s: %g N·mm, expected %g", base, p.Name, p.WheelTorqueNMM, want)
			}
		}
		if base == "bramble-portal" { // 54/14 · 36/18 · 27/8 · 20/16, five meshes of 96 %
			close(t, "ratio", x.TotalRatio, 54./14*2*27/8*20/16, 1e-12)
			close(t, "efficiency", x.Efficiency, math.Pow(.96, 5), 1e-12)
		}
	}
}

// A pinion with more teeth never lowers the speed without load and never the current at slip; more grip and weight ask for more.
func TestMoreTeethFasterAndMoreCurrent(t *testing.T) {
	for _, base := range rigs {
		l := lineOf(t, base, "")
		spur := l.gears[0][1]
		last := Pinion{}
		for z := 8; z < 40; z++ {
			p := *l.gears[0][0]
			g := *p.Gear
			g.Teeth = z
			p.Gear = &g
			now := l.withPinion(&p, spur, moduleOf(spur.Gear), Options{})
			if z > 8 && (*now.SpeedMPerS <= *last.SpeedMPerS || *now.SlipCurrentA <= *last.SlipCurrentA || *now.ClimbCurrentA <= *last.ClimbCurrentA || now.CenterDistanceMM <= last.CenterDistanceMM || now.Ratio >= last.Ratio) {
				t.Errorf("%s: %d teeth after %d: %+v after %+v", base, z, z-1, now, last)
			}
			last = now
		}
	}
}

// Twice the weight is twice the torque, and twice the current above the no-load current.
func TestScalesWithWeight(t *testing.T) {
	l, heavy := lineOf(t, "gully", ""), lineOf(t, "gully", "")
	heavy.weight *= 2
	for _, slope := range []float64{0, 0.3, 0.7} {
		for what, f := range map[string]func(*line, float64) pull{"climb": (*line).climb, "slip": (*line).slip} {
			a, b := f(l, slope), f(heavy, slope)
			for e := range a {
				close(t, what, b[e], 2*a[e], 1e-9*a[e])
			}
			close(t, what+" current", heavy.motor.Current(heavy.motorTorque(b))-l.motor.I0, 2*(l.motor.Current(l.motorTorque(a))-l.motor.I0), 1e-9)
		}
	}
}

// Two tyres that grip alike slip together, at weight × friction × cos a, however the load moves on the slope.
func TestGripOfTwoAxlesIsThatOfTheWeight(t *testing.T) {
	l := lineOf(t, "bramble", "")
	for _, slope := range []float64{-0.6, 0, 0.5, 0.9} {
		got, r := l.slip(slope).sum(), l.ends[0].radius
		close(t, "grip", got, l.ends[0].grip*l.weight*math.Cos(slope)*r, 1e-9*got)
	}
	// One driven axle grips with its own load only; on a climb the rear one gains what the front one loses: W·sin a·h/L.
	rear := lineOf(t, "bramble", "drive: {front: null}")
	n := rear.loads(0.5)
	close(t, "rear load", n[1], rear.weight*(math.Cos(.5)*(1-rear.front)+math.Sin(.5)*rear.height/rear.base), 1e-9)
	if s := rear.slip(0.5); s[0] != 0 || math.Abs(s[1]-rear.ends[1].grip*n[1]*rear.ends[1].radius) > 1e-9 {
		t.Errorf("slip of one driven axle: %v", s)
	}
	a := answer(t, "bramble", "drive: {front: null}")
	if a.Axles.Front != nil || a.WindUp != nil || a.find("drive/undriven") == nil {
		t.Errorf("a rig driven at the rear: %+v %+v", a.Axles, a.Findings)
	}
}

func TestOverdriveAndOneWay(t *testing.T) {
	a := answer(t, "bramble", "drive: {front: {overdrive: 1.1}}")
	close(t, "ratios", a.Axles.Rear.TotalRatio/a.Axles.Front.TotalRatio, 1.1, 1e-12)
	close(t, "lead, %", a.WindUp.LeadPct, 10, 1e-9)
	close(t, "slip per metre", a.WindUp.MMPerM, 100, 1e-9)
	if f := a.find("drive/over-drive"); f == nil || !strings.Contains(f.Sentence, "front wheels run 10.0 %") {
		t.Errorf("%+v", f)
	}
	// The road goes with the slower axle.
	close(t, "road speed", *a.point(t, "flat").SpeedMPerS, a.point(t, "flat").MotorRPM/a.Axles.Rear.TotalRatio*2*math.Pi/60*56.2/1000, 1e-9)
	// Most that winds up is what the lighter axle's tyres hold.
	least := min(*a.Axles.Front.SlipWheelTorqueNMM, *a.Axles.Rear.SlipWheelTorqueNMM)
	close(t, "wind-up torque", *a.WindUp.TorqueNMM, least, 1e-9)
	free := answer(t, "bramble", "drive: {front: {overdrive: 1.1}, rear: {diff: one-way}}")
	if !free.WindUp.Frees || *free.WindUp.TorqueNMM != 0 {
		t.Errorf("a one-way rear axle that is overrun winds up: %+v", free.WindUp)
	}
	held := answer(t, "bramble", "drive: {front: {overdrive: 1.1, diff: one-way}}")
	if held.WindUp.Frees {
		t.Error("the leading axle cannot be overrun")
	}
	open := answer(t, "bramble", "drive: {rear: {diff: open}}")
	if *open.Axles.Rear.LiftedTorqueNMM != 0 || *open.Axles.Front.LiftedTorqueNMM <= 0 || open.find("drive/open") == nil {
		t.Error("an open differential with a lifted wheel gives nothing, a locked one all")
	}
}

func TestWhatEndsIt(t *testing.T) {
	for _, c := range []struct{ patch, by string }{
		{"chassis: {parts: {motor: {motor: {max_current: 3}}}}", "motor"},
		{"chassis: {parts: {controller: {controller: {max_current: 3}}}}", "controller"},
		{"chassis: {parts: {battery: {pack: {max_current: 0.1, resistance: 10}}}}", "pack"},
		{"drive: {slipper: 60}", "slipper"},
	} {
		a := answer(t, "bramble", c.patch)
		p := a.point(t, "wheel slip")
		if p.Reached || p.LimitedBy != c.by || a.find("drive/limited") == nil {
			t.Errorf("%s: %+v, expected to be ended by the %s", c.patch, p, c.by)
		}
	}
	// A pack's limit alone takes speed, not torque: the controller gives volts away for amperes.
	a := answer(t, "bramble", "chassis: {parts: {battery: {pack: {max_current: 2}}}}")
	p, full := a.point(t, "wheel slip"), answer(t, "bramble", "")
	if !p.Reached || math.Abs(p.PackA-2) > 1e-9 || p.WheelTorqueNMM != full.Points[3].WheelTorqueNMM || p.MotorRPM >= full.Points[3].MotorRPM {
		t.Errorf("with 2 A out of the pack: %+v", p)
	}
	// A slipper lets through its torque at the spur: 60 N·mm behind 56/12 at 96 %.
	p = answerPoint(t, "drive: {slipper: 60}", "wheel slip")
	close(t, "slipper", p.WheelTorqueNMM, 60*2*30/8*math.Pow(.96, 3), 1e-9)
	// Hot: the winding is at 100 °C within a minute.
	hot := answerPoint(t, "chassis: {parts: {motor: {motor: {thermal_resistance: 60, thermal_time: 20}}}}", "wheel slip")
	if hot.LimitedBy != "motor heat" || !hot.Reached || hot.HoldsS == nil || *hot.HoldsS >= 60 {
		t.Errorf("%+v", hot)
	}
}

func answerPoint(t *testing.T, patch, name string) Point {
	a := answer(t, "bramble", patch)
	return a.point(t, name)
}

// A published step and a vertical face: checks of the ledge.
func TestLedge(t *testing.T) {
	// Halliday, Resnick & Walker ch. 12 (exact): r 0.5, h 0.1, W 100 on the front wheels: torque 30 with nothing pushing.
	l := &line{weight: 200, front: 0.5, base: 1e12, height: 1}
	l.ends[0] = end{driven: true, final: 1, over: 1, radius: 0.5, grip: 10}
	l.ends[1] = end{driven: true, final: 1, over: 1, radius: 0.5, grip: 10}
	p, ok := l.ledge(0.1)
	close(t, "torque on the step", p[0], 30, 1e-9)
	if p[1] != 0 || !ok {
		t.Errorf("%v %v", p, ok)
	}
	// Pulled by the rear axle alone: 75 at the wheel's axle.
	l.ends[0].driven = false
	p, _ = l.ledge(0.1)
	close(t, "push from behind", p[1]/0.5, 75, 1e-9)
	// Both at the limit at a vertical face, L 300, r 57, b 150: μ 0.7246377 (derived; the measure is Thüer, Krebs & Siegwart, IROS 2006).
	for _, c := range []struct {
		grip float64
		up   bool
	}{{0.72463, false}, {0.72465, true}} {
		f := &line{weight: 20, front: 0.5, base: 300, height: 80}
		for e := range f.ends {
			f.ends[e] = end{driven: true, final: 1, over: 1, radius: 57, grip: c.grip}
		}
		if _, up := f.ledge(90); up != c.up {
			t.Errorf("friction %g: up a vertical face %v", c.grip, up)
		}
	}
	// Balance of the wheel about the edge, of the rig about the rear contact, and no tyre beyond its friction, over heights.
	for h := 2.0; h < 57; h += 5 {
		f := &line{weight: 20, front: 0.55, base: 300, height: 80}
		for e := range f.ends {
			f.ends[e] = end{driven: true, final: 1, over: 1, radius: 57, grip: 0.9}
		}
		p, ok := f.ledge(h)
		if !ok {
			continue
		}
		x, push := math.Sqrt(2*57*h-h*h), p[solid.Rear]/57
		v := (20*0.55*300 - push*h) / (300 + x)
		close(t, "front wheel", p[solid.Front], v*x-push*(57-h), 1e-9)
		if along, across := p[solid.Front]/57, (v*(57-h)+push*x)/57; along > 0.9*across*(1+1e-9) || push > 0.9*(20-v)*(1+1e-9) {
			t.Errorf("%g mm: a tyre holds %g on %g, %g on %g", h, along, across, push, 20-v)
		}
	}
}

func TestControlAndBrake(t *testing.T) {
	a := answer(t, "bramble", "")
	close(t, "a hundred steps make the speed", a.Control.StepMPerS*100, *a.Axles.Front.NoLoadSpeedMPerS, 1e-12)
	if a.Control.FirstStep == nil || *a.Control.FirstStep < 1 || *a.Control.LeastMS <= 0 || *a.Control.LeastMS > 2*a.Control.StepMPerS {
		t.Errorf("%+v", a.Control)
	}
	half := answer(t, "bramble", "chassis: {parts: {controller: {controller: {drag_brake: 50 %}}}}")
	close(t, "half the brake, twice the creep", *half.Brake.Creep30, 2**a.Brake.Creep30, 1e-12)
	if a.Brake.Creep45 != nil {
		t.Error("tyres of 0.85 hold no 45°")
	}
	free := answer(t, "bramble", "drive: {front: {diff: one-way}}")
	if !reflect.DeepEqual(free.Brake.FreeAxles, []string{"front"}) {
		t.Errorf("%+v", free.Brake)
	}
	// What falls is what heats: weight down the slope = winding + motor friction + gears + rolling.
	l := lineOf(t, "bramble", "")
	v, s := *a.Brake.Creep30, math.Pi/6
	w := v / (l.ends[0].radius / 1000) * l.total(0)
	i := w / (2 * math.Pi / 60 * l.motor.Kv) / l.motor.R // E = n/Kv through R
	fall := l.weight * (math.Sin(s) - rolling*math.Cos(s)) * v
	close(t, "power of the fall", fall*l.eta(0), i*i*l.motor.R+w*l.motor.Kt()/1000*l.motor.I0, 1e-9)
}

func TestSlotAndAdvice(t *testing.T) {
	a := answer(t, "bramble-portal", "drive: {slot: {from: 26.5, to: 27.4}}")
	for _, p := range a.Pinions {
		if p.Item == "pinion-32-12-b5" && (p.Fits || !strings.Contains(p.Why, "slot begins at 26.50 mm")) {
			t.Errorf("12 teeth ask for 26.19 mm: %+v", p)
		}
	}
	if f := a.find("drive/pinion"); f == nil || !strings.Contains(f.Sentence, "14 teeth") {
		t.Errorf("%+v", f)
	}
	a = answer(t, "bramble-portal", "drive: {slot: {from: 25, to: 26.5}}")
	if f := a.find("drive/pinion"); f == nil || !strings.HasPrefix(f.Sentence, "Fit 12 teeth (pinion-32-12-b5, 1 in the drawer)") || !strings.Contains(f.Sentence, "moves 0.79 mm in") {
		t.Errorf("%+v", f)
	}
	// The target for top speed decides, when there is one: 12 teeth make 2.57 m/s, 14 make 2.99.
	a = answer(t, "bramble-portal", "targets: {top speed: {to: 2.7 m/s}}")
	if f := a.find("drive/pinion"); f == nil || !strings.HasPrefix(f.Sentence, "Fit 12 teeth") {
		t.Errorf("%+v", f)
	}
	a = answer(t, "bramble-portal", "targets: {top speed: {to: 1 m/s}}")
	if f := a.find("drive/no-pinion"); f == nil || !strings.Contains(f.Sentence, "2 do not go on, 2 miss the target") {
		t.Errorf("%+v", f)
	}
	if a.OtherPitch == 0 {
		t.Error("the shelf has pinions of other pitches")
	}
	for _, p := range a.Pinions {
		if strings.HasPrefix(p.Item, "spur") {
			t.Errorf("%s is no pinion", p.Item)
		}
	}
}

func TestWeakest(t *testing.T) {
	a := answer(t, "bramble-portal", "shafts: {rear: {torque: 200}}")
	kinds := map[string]Margin{}
	for _, w := range a.Weak {
		if _, seen := kinds[w.What]; !seen && !strings.Contains(w.Part, "stub") {
			kinds[w.What] = w
		}
		if w.Holds > 0 {
			close(t, w.Part, w.Margin, w.Holds/w.Stress, 1e-12)
		}
	}
	for _, what := range []string{"tooth bending", "shaft torsion", "pin shear", "joint torque"} {
		if kinds[what].Margin <= 0 {
			t.Errorf("no %s in %v", what, a.Weak)
		}
	}
	if a.find("drive/breaks") == nil {
		t.Error("a joint made for 200 N·mm breaks")
	}
	// The pin: τ = T/(d·π·d_p²/4), T at the spur, d 5, d_p 2 (Shigley, double shear).
	pin := kinds["pin shear"]
	close(t, "pin", pin.Stress, pin.Torque/5/(math.Pi*4/4), 1e-12)
	close(t, "shear yield of 190 MPa", pin.Holds, 109.69655, 1e-5)
	for _, s := range a.Shafts {
		close(t, "joint", *s.JointTorqueNMM, *s.TorqueNMM/math.Cos(*s.JointDeg*math.Pi/180), 1e-9)
	}
}

// What lacks in a document: an answer all the same, and a sentence that names it. What contradicts itself does not load.
func TestBadInput(t *testing.T) {
	for _, c := range []struct{ patch, code string }{
		{"drive: null", "drive/no-drive"},
		{"drive: {stages: [[pinion, spur], [top gear, idler, output gear, top gear]]}", "drive/loop"},
		{"drive: {stages: [[pinion, spur], [spur, top gear], [top gear, pinion]]}", "drive/loop"},
		{"drive: {stages: []}", "drive/no-stages"},
		{"drive: {stages: [[pinion, spur], [idler, output gear]]}", "drive/gap"},
		{"drive: {stages: [[pinion, top gear], [top gear, idler]]}", "drive/pitch"},
		{"drive: {front: {ring: null}}", "drive/no-final"},
		{"drive: {front: null, rear: null}", "drive/no-path"},
		{"drive: {front: null}", "drive/undriven"},
		{"drive: {motor: null}", "drive/no-motor"},
		{"drive: {battery: null}", "drive/no-pack"},
		{"drive: {efficiency: null}", "drive/efficiency"},
		{"chassis: {parts: {motor: {motor: {max_voltage: 8}}}}", "drive/over-voltage"},
		{"chassis: {parts: {battery: {pack: {resistance: 400}}}}", "drive/sag"},
		{"shafts: {rear: {diameter: 0.05}}", "drive/whirl"},
		{"chassis: {parts: {motor: {motor: {thermal_resistance: 40}}}}", "drive/heat"},
		{"front: {parts: {front tyre: null}}\nmates: {front wheels on their hubs: null}", "drive/no-weight"},
	} {
		m, err := load(t, "bramble", c.patch)
		if err != nil {
			t.Errorf("%s: %v", c.patch, err)
			continue
		}
		a, err := Assess(m, Options{})
		if err != nil {
			t.Errorf("%s: %v", c.patch, err)
			continue
		}
		if a.find(c.code) == nil {
			t.Errorf("%s: found %v, expected %s", c.patch, a.Findings, c.code)
		}
		if _, err := json.Marshal(a); err != nil {
			t.Errorf("%s: %v: a number that is none", c.patch, err)
		}
	}
	for _, c := range []struct{ patch, says string }{
		{"chassis: {parts: {motor: {motor: {kv: -1350}}}}", "kv"},
		{"chassis: {parts: {motor: {motor: {kv: 0}}}}", "kv"},
		{"chassis: {parts: {pinion: {gear: {teeth: 0}}}}", "teeth"},
		{"chassis: {parts: {motor: {motor: {resistance: -3}}}}", "resistance"},
		{"drive: {front: {portal: [16]}}", "portal"},
		{"drive: {slot: {from: 30, to: 20}}", "slot"},
		{"drive: {wire: {gauge: 13, length: 100}}", "gauge"},
		{"drive: {profile: {a: {time: 10, throttle: 140 %}}}", "throttle"},
		{"drive: {profile: {a: {time: 10, slope: 95}}}", "slope"},
		{"drive: {stages: [[pinion]]}", "stage"},
		{"drive: {stages: [[pinion, sprocket]]}", "sprocket"},
	} {
		if _, err := load(t, "bramble", c.patch); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: found %v, expected a mistake that names %q", c.patch, err, c.says)
		}
	}
}

// Documents at the edge of sense get numbers that are numbers.
func TestNoNumberIsNone(t *testing.T) {
	for _, patch := range []string{
		"chassis: {parts: {battery: {mass: 9 kg, at: [900, 0, 50]}}}",
		"chassis: {parts: {battery: {mass: 9 kg, at: [-900, 0, 50]}}}\ndrive: {rear: null}",
		"chassis: {parts: {battery: {mass: 9 kg, at: [900, 0, 50]}}}\ndrive: {front: null}",
		"chassis: {parts: {motor: {motor: {no_load_current: 0}}}}",
		"chassis: {parts: {motor: {motor: {no_load_current: 30, max_current: 20}}}}",
		"chassis: {parts: {motor: {motor: {kv: 1, resistance: 1}}}}",
		"chassis: {parts: {motor: {motor: {kv: 90000, resistance: 100000}}}}",
		"chassis: {parts: {motor: {motor: {thermal_resistance: 900, thermal_time: 0.001}}}}",
		"chassis: {parts: {battery: {pack: {resistance: 90000, max_current: 0.001}}}}",
		"chassis: {parts: {controller: {controller: {drag_brake: 0 %}}}}",
		"chassis: {parts: {spur: {gear: {teeth: 1}}, pinion: {gear: {teeth: 900}}}}",
		"drive: {slipper: 0.001}", "drive: {efficiency: 100 %}", "drive: {efficiency: 0.1 %}", "drive: {front: {overdrive: 1000}}",
		"drive: {profile: {a: {time: 0.001}}}", "drive: {profile: {a: {time: 100000, slope: -80}, b: {time: 1, throttle: 0.01 %, slope: 60}}}",
		"front: {parts: {front tyre: {tyre: {grip: 0}}}}", "chassis: {parts: {gearbox: {outputs: {front: {at: [120, -5, 0]}}}}}",
	} {
		m, err := load(t, "bramble", patch)
		if err != nil {
			t.Errorf("%s: %v", patch, err)
			continue
		}
		for _, h := range []float64{0, 1e-9, 56.2, 500} {
			a, err := Assess(m, Options{LedgeMM: h})
			if err != nil {
				t.Fatal(err)
			}
			if _, err := json.Marshal(a); err != nil {
				t.Errorf("%s, ledge %g: %v", patch, h, err)
			}
		}
	}
}

func TestTheSameAgain(t *testing.T) {
	m := model(t, "bramble-portal", "")
	a, _ := Assess(m, Options{})
	b, _ := Assess(m, Options{})
	x, _ := json.Marshal(a)
	y, _ := json.Marshal(b)
	if string(x) != string(y) {
		t.Error("two answers of one model differ")
	}
}
