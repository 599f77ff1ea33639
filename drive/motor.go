package drive

import "math"

// A motor line: the direct-current motor with resistance and no-load current.
//
//	Kt = 60/(2π·Kv),  T = Kt·(I − I₀),  n = Kv·(U − I·R)
//
// Source: any handbook of small motors; the same line a maker's data sheet draws (checked against a published 48 V motor).

// A Motor is the motor with what feeds it.
type Motor struct {
	Kv                        float64 // rev/min per V
	R                         float64 // winding, Ω
	Pack                      float64 // inner resistance of the pack, Ω
	I0                        float64 // no-load current, A
	Volts                     float64 // open-circuit voltage of the pack, V
	Limit                     float64 // largest current that motor, controller and pack allow, A; +Inf when none says
	By                        string  // what sets it: motor, controller, pack, or empty
	Ambient, ToAir, TimeConst float64 // °C, K/W, s: first-order heat model
}

// Kt is the torque constant, N·mm per A.
func (m *Motor) Kt() float64 { return 60 / (2 * math.Pi * m.Kv) * 1000 }

// Torque at a current, N·mm; not below 0.
func (m *Motor) Torque(i float64) float64 { return max(0, m.Kt()*(i-m.I0)) }

// Current for a torque, A.
func (m *Motor) Current(t float64) float64 { return t/m.Kt() + m.I0 }

// Speed at full throttle and a current, rev/min; not below 0.
func (m *Motor) Speed(i float64) float64 { return max(0, m.Kv*(m.Volts-i*(m.R+m.Pack))) }

// Stall is the current at standstill and full throttle without any limit, A.
func (m *Motor) Stall() float64 { return m.Volts / (m.R + m.Pack) }

// Rise is the winding's temperature rise above the air after a time with a steady current, K: copper loss I²R through one thermal
// resistance, warming with one time constant. The winding's own resistance is taken warm (+20 %).
func (m *Motor) Rise(i, seconds float64) float64 {
	return i * i * m.R * 1.2 * m.ToAir * (1 - math.Exp(-seconds/m.TimeConst))
}

// BestEfficiency is the current at which the motor alone turns most of what it takes into work: √(I₀·U/R).
func (m *Motor) BestEfficiency() float64 { return math.Sqrt(m.I0 * m.Volts / (m.R + m.Pack)) }
