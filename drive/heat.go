package drive

import "math"

// Heat of the winding: one thermal resistance to the air, one time constant, copper whose resistance rises with its temperature.
//
//	τ·dT/dt = Rth·(I²·R₂₀·(1 + α(T − 20)) + Pi) − (T − Ta)
//
// linear in T, so each phase with steady current is an exponential, exactly; above I²·R₂₀·α·Rth = 1 it grows without end, as a stalled
// motor does. α of copper 0.00393 per K at 20 °C (IEC 60028). A real motor has a quick winding in a slow can: short bursts warm the winding
// more than this says.

const (
	copper = 0.00393 // per K
	burnt  = 1085.0  // °C, where copper melts (handbooks): stands for anything hotter
)

// heating is the curve T(t) = T₀·e^(−b·t/τ) + a·(1 − e^(−b·t/τ))/b.
func (m *Motor) heating(i, idle float64) (a, b float64) {
	p := i * i * m.R
	return m.ToAir*(p*(1-20*copper)+idle) + m.Ambient, 1 - m.ToAir*p*copper
}

// Warm is the winding's temperature after a time with a steady current and no-load loss, from a temperature, °C, and at
// most the melting point of copper.
func (m *Motor) Warm(from, i, idle, seconds float64) float64 {
	a, b := m.heating(i, idle)
	x := seconds / m.TimeConst
	if math.Abs(b*x) < 1e-12 {
		return min(burnt, from+(a-b*from)*x)
	}
	return min(burnt, from*math.Exp(-b*x)-a*math.Expm1(-b*x)/b)
}

// Holds is the time from cold until the winding is at a temperature, s; +Inf when it never is.
func (m *Motor) Holds(i, idle, limit float64) float64 {
	a, b := m.heating(i, idle)
	if b > 0 && a/b <= limit || a-b*m.Ambient <= 0 {
		return math.Inf(1)
	}
	if math.Abs(b) < 1e-12 {
		return m.TimeConst * (limit - m.Ambient) / a
	}
	return -m.TimeConst / b * math.Log((limit-a/b)/(m.Ambient-a/b))
}
