package reference

import (
	"math"
	"testing"

	"lowslung/drive"
)

// The motor line against SciPy, which follows circuit and shaft in time (python/motor_twin.py): a start from rest must settle on the working
// point that the program takes off the line, and a chopped supply on the mean that it takes for it.

type motorStart struct {
	R      float64 `json:"r"`
	Source float64 `json:"source"`
	K      float64 `json:"k"` // V·s = N·m/A
	U      float64 `json:"u"`
	J      float64 `json:"j"`
	L      float64 `json:"l"`
	I0     float64 `json:"i0"`
	Load   float64 `json:"load"` // N·m
	Duty   float64 `json:"duty"`
	Hertz  float64 `json:"hertz"`
}

type motorRun struct {
	Speed, Current, Time, Pack float64
}

func near(t *testing.T, what string, got, want, share float64) {
	t.Helper()
	if math.Abs(got-want) > share*math.Abs(want) {
		t.Errorf("%s: %.9g, expected %.9g", what, got, want)
	}
}

func TestMotorSettlesOnItsWorkingPoint(t *testing.T) {
	var q struct {
		Starts []motorStart `json:"starts"`
		Chops  []motorStart `json:"chops"`
	}
	var points []drive.Point
	const perRPM = 2 * math.Pi / 60
	var lines []*drive.MotorLine
	for _, file := range []string{"bramble.rig.yaml", "bramble-portal.rig.yaml", "gully.rig.yaml"} {
		_, m := modelOf(t, fromFolder("../examples"), file)
		a, err := drive.Assess(m, drive.Options{})
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range a.Points {
			if p.Throttle < 1 {
				continue
			}
			// Kt in N·m/A is the voltage constant in V·s: the program takes it from Kv, here it is the circuit's.
			x := a.Axles.Front
			c := motorStart{
				R: a.Motor.ResistanceOhm, Source: a.Motor.SourceOhm, K: a.Motor.KtNMMPerA / 1000, U: a.Motor.VoltsV, I0: a.Motor.NoLoadA,
				J: 2e-5, L: 60e-6, Load: p.WheelTorqueNMM / 1000 / (x.TotalRatio * x.Efficiency),
			}
			q.Starts = append(q.Starts, c)
			points, lines = append(points, p), append(lines, a.Motor)
		}
	}
	// A published 48 V motor (data sheet, print): R 0.365 Ω, Kt 123 mN·m/A, J 1340 g·cm²: mechanical time constant 3.233 ms [3.25].
	sheet := motorStart{R: 0.365, K: 0.123, U: 48, J: 1.34e-4, I0: 0}
	q.Starts = append(q.Starts, sheet)
	for _, duty := range []float64{0.1, 0.35, 0.5, 0.8, 1} {
		q.Chops = append(q.Chops, motorStart{R: 0.165, K: 60 / (2 * math.Pi * 1350), U: 11.1, J: 2e-5, L: 120e-6, I0: 1.1, Load: 0.02, Duty: duty, Hertz: 32000})
	}
	var answer struct{ Starts, Chops []motorRun }
	twin(t, "motor_twin.py", q, &answer)
	if len(points) < 15 || len(answer.Starts) != len(q.Starts) || len(answer.Chops) != len(q.Chops) {
		t.Fatalf("%d points, %d starts, %d chops", len(points), len(answer.Starts), len(answer.Chops))
	}
	for i, p := range points {
		near(t, p.Name+": speed", answer.Starts[i].Speed/perRPM, p.MotorRPM, 1e-7)
		near(t, p.Name+": current", answer.Starts[i].Current, p.CurrentA, 1e-7)
		near(t, p.Name+": power out of the pack", answer.Starts[i].Current*lines[i].VoltsV, p.Power.Pack, 1e-7)
	}
	near(t, "time constant, s", answer.Starts[len(points)].Time, 3.233e-3, 2e-4)
	near(t, "speed of the data sheet's motor, rad/s", answer.Starts[len(points)].Speed, 48/0.123, 1e-7)
	for i, c := range q.Chops {
		m := drive.Motor{Kv: 1350, R: c.R, I0: c.I0, Volts: c.U}
		at := m.Current(c.Load * 1000)
		// The ripple of the current leaves the mean alone but for curvature: parts in ten thousand.
		near(t, "chopped: speed", answer.Chops[i].Speed/perRPM, m.SpeedAt(at, c.Duty), 1e-4)
		near(t, "chopped: motor current", answer.Chops[i].Current, at, 1e-4)
		near(t, "chopped: pack current", answer.Chops[i].Pack, c.Duty*at, 2e-3)
	}
}
