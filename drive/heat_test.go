package drive

import (
	"math"
	"testing"
)

// The exponential against small steps of the equation itself, for currents that settle and one that runs away.
func TestWarmIsTheEquation(t *testing.T) {
	m := &Motor{R: 0.165, ToAir: 4.5, TimeConst: 313, Ambient: 25}
	for _, i := range []float64{0, 3, 8, 18.5, 36.7} {
		temp, h := 40.0, 0.01
		for k := 0; k < 12000; k++ { // midpoint rule
			f := func(temp float64) float64 {
				return (m.ToAir*(i*i*m.R*(1+copper*(temp-20))+6) - (temp - m.Ambient)) / m.TimeConst
			}
			temp += h * f(temp+h/2*f(temp))
		}
		close(t, "after two minutes", m.Warm(40, i, 6, 120), temp, 1e-6*temp)
		if i > 0 {
			if s := m.Holds(i, 6, 100); !math.IsInf(s, 1) {
				close(t, "when it is at 100 °C", m.Warm(m.Ambient, i, 6, s), 100, 1e-9)
			} else if m.Warm(m.Ambient, i, 6, 1e7) > 100+1e-9 {
				t.Errorf("%g A never comes to 100 °C, it says", i)
			}
		}
	}
	if hot := m.Warm(25, 80, 6, 1e5); hot != burnt {
		t.Errorf("a stalled motor comes to %g °C", hot)
	}
	// In two steps as in one.
	close(t, "in two steps", m.Warm(m.Warm(25, 9, 4, 50), 9, 4, 70), m.Warm(25, 9, 4, 120), 1e-9)
	// Settled: Rth·P above the air, without the copper's own rise in resistance 4.5 K/W × 10 W = 45 K.
	close(t, "settled", (&Motor{ToAir: 4.5, TimeConst: 300, Ambient: 25}).Warm(25, 0, 10, 1e6), 70, 1e-9)
}

func TestProfileIsTheDocuments(t *testing.T) {
	a := answer(t, "bramble", "drive: {profile: {sprint: {time: 30, slip: true}, rest: {time: 60, throttle: 10 %}}}")
	if a.Heat[0].Doing != "sprint" || a.Heat[0].Seconds != 30 || a.Heat[1].Doing != "rest" || a.Heat[1].Seconds != 90 {
		t.Errorf("%+v", a.Heat[:2])
	}
	usual := answer(t, "bramble", "")
	if usual.Heat[2].Seconds != 60 || usual.Heat[len(usual.Heat)-1].Seconds != 1200 {
		t.Errorf("%+v", usual.Heat[2])
	}
	// A run that is all wheel slip empties 80 % of the pack at its current.
	slip := answer(t, "bramble", "drive: {profile: {slip: {time: 60, slip: true}}}")
	close(t, "minutes", *slip.RunTimeMin, 0.8*2.2/slip.point(t, "wheel slip").PackA*60, 1e-9)
	// At half throttle the pack gives half the motor's current, and lasts twice as long under the same load.
	whole := answer(t, "bramble", "drive: {profile: {roll: {time: 60}}}")
	half := answer(t, "bramble", "drive: {profile: {roll: {time: 60, throttle: 50 %}}}")
	close(t, "half throttle", *half.RunTimeMin, 2**whole.RunTimeMin, 1e-9)
	// Leads: 14 AWG, 170 mm there and back, at 60 °C: 3.2596 mΩ more than the pack (ASTM B258, print).
	close(t, "leads", slip.Motor.SourceOhm-0.018, 2*0.170*8.286e-3*1.157, 1e-12)
}

// Shaft from mechanics of a published one: Ø5 × 100 steel, E 207 GPa, ρ 7800: 6355.47 rad/s (Shigley 10e eq. 7-22; memory). 16/40 P 2 at C + ¼ in:
// working pressure angle 22.6005° [22.56] (Shigley Ex. 13-1).
func TestPublishedShaftAndMesh(t *testing.T) {
	close(t, "critical speed", Critical(100, 5, 207000, 7800), 6355.47, 0.005)
	const module = 25.4 / 2
	close(t, "pressure angle", Working(16, 40, module, alpha20, Distance(16, 40, module)+25.4/4)*180/math.Pi, 22.6005, 5e-5)
	if near, far := ContactRatio(16, 40, module, alpha20, 0), ContactRatio(16, 40, module, alpha20, Distance(16, 40, module)+1); far >= near {
		t.Error("gears that are pulled apart have fewer teeth in contact")
	}
	// Pin: 60 N·mm at a 5 mm shaft through a 2 mm pin in double shear: 12 N on 3.14159 mm².
	close(t, "pin", PinShear(60, 5, 2), 12/math.Pi, 1e-12)
}
