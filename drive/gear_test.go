package drive

import (
	"math"
	"testing"
)

func close(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if math.Abs(got-want) > tol {
		t.Errorf("%s: %.6g, expected %.6g", what, got, want)
	}
}

const alpha20 = 20 * math.Pi / 180

func TestPublishedGears(t *testing.T) {
	// textbook exercise; ISO 21771 (recomputed)
	close(t, "contact ratio 17/49, m 6", ContactRatio(17, 49, 6, alpha20, 0), 1.632974, 1e-6)
	close(t, "contact ratio 20/20", ContactRatio(20, 20, 1, alpha20, 0), 1.556838, 1e-6)
	// print
	close(t, "undercut at 20°", Undercut(alpha20), 17.097, 5e-4)
	close(t, "undercut at 14.5°", Undercut(14.5*math.Pi/180), 31.903, 5e-4)
	// Shigley table 14-2 (print)
	for z, y := range map[int]float64{12: .245, 17: .303, 20: .322, 26: .346, 50: .409, 400: .480} {
		close(t, "form factor", FormFactor(float64(z)), y, 1e-9)
	}
	if y := FormFactor(40); y <= .384 || y >= .397 {
		t.Errorf("form factor of 40 teeth %.4f is not between those of 38 and 43", y)
	}
	// m 0.8, F 5, z 20, 50 N: 38.8199 MPa static (recomputed from the Lewis equation)
	close(t, "static tooth", Bending(50, 5, .8, FormFactor(20), 0), 38.8199, 1e-4)
	// Shigley 10e example 14-1: P 8, F 1.5 in, N 16, 10 kpsi at 1200 rev/min carry 364.27 lbf [365]; v 628.3 ft/min
	const lbf, inch = 4.4482216152605, 25.4
	v := math.Pi * 2 * inch / 1000 * 1200 / 60 // pitch diameter 2 in
	stress := Bending(364.27*lbf, 1.5*inch, inch/8, FormFactor(16), v)
	close(t, "Shigley 14-1, MPa", stress, 10000*lbf/(inch*inch), 0.15) // metric factor 6.1 for 1200 ft/min: 0.2 % apart
	// centre distances (recomputed): 48 DP 20/87, 32 DP 15/54, m 0.5 20/60
	close(t, "48 DP 20/87", Distance(20, 87, inch/48), 28.310417, 1e-6)
	close(t, "32 DP 15/54", Distance(15, 54, inch/32), 27.384375, 1e-6)
	close(t, "m 0.5 20/60", Distance(20, 60, .5), 20, 1e-12)
	// Shigley ch. 3 (memory): 60 N·mm on a 2 mm wire
	close(t, "torsion", Torsion(60, 2), 38.19719, 1e-5)
}

// A published 48 V motor data sheet: R 0.365 Ω, Kt 123 mN·m/A, I₀ 0.289 A: stall 131.5 A [131], 16.18 N·m [16.1], slope 0.2304 rev/min per
// mN·m [0.231], 6.8 A → 800.9 mN·m [800] (±1 %, print).
func TestPublishedMotor(t *testing.T) {
	m := Motor{Kv: 60 / (2 * math.Pi * 0.123), R: 0.365, I0: 0.289, Volts: 48}
	close(t, "Kt", m.Kt(), 123, 1e-9)
	close(t, "stall current", m.Stall(), 131, 1.31)
	close(t, "stall torque", m.Torque(m.Stall()), 16100, 161)
	close(t, "torque at 6.8 A", m.Torque(6.8), 800, 8)
	slope := (m.Speed(m.Current(0)) - m.Speed(m.Current(1000))) / 1000
	close(t, "slope", slope, 0.231, 0.00231)
	// Kt = 60/(2π·Kv): Kv 1000 → 9.549297, 3500 → 2.72837 N·mm/A
	close(t, "Kt of 1000 rpm/V", (&Motor{Kv: 1000}).Kt(), 9.549297, 1e-6)
	close(t, "Kt of 3500 rpm/V", (&Motor{Kv: 3500}).Kt(), 2.72837, 1e-5)
}

// Energy in equals work out plus heat, at any current: U·I = ω·T + I²·R + ω·Kt·I₀.
func TestMotorEnergyBalance(t *testing.T) {
	m := Motor{Kv: 1500, R: 0.024, Pack: 0.024, I0: 1.3, Volts: 11.1}
	for i := 2.0; i < m.Stall(); i += 7 {
		omega := m.Speed(i) * 2 * math.Pi / 60
		kt := m.Kt() / 1000
		out := omega*m.Torque(i)/1000 + i*i*(m.R+m.Pack) + omega*kt*m.I0
		if in := m.Volts * i; math.Abs(in-out) > 1e-9*in {
			t.Errorf("at %g A: %.9f W in, %.9f W out and lost", i, in, out)
		}
	}
}
