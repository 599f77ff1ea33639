package drive

import "math"

// A motor line: the direct-current motor with resistance and no-load current behind a pack with inner resistance.
//
//	Kt = 60/(2π·Kv),  T = Kt·(I − I₀),  n = Kv·(u·Ut − I·R),  Ut = U − u·I·Rs
//
// U is the pack's open voltage, Rs the resistance of pack and leads, u the throttle. A controller that chops makes of Ut the mean voltage
// u·Ut and takes only u·I out of the pack (power in = power out, its own loss left out; any text on buck converters). Source of the line:
// any handbook of small motors; the same line a maker's data sheet draws (checked against a published 48 V motor).

// A Motor is the motor with what feeds it.
type Motor struct {
	Kv        float64 // rev/min per V
	R         float64 // winding, cold, Ω
	Pack      float64 // inner resistance of the pack with its leads, Ω
	I0        float64 // no-load current, A
	Volts     float64 // open-circuit voltage of the pack, V
	Limit     float64 // largest motor current that motor and controller allow, A; +Inf when neither says
	By        string  // what sets it: motor, controller, or empty
	PackLimit float64 // largest current out of the pack, A; +Inf when it does not say
	Ambient   float64 // °C
	ToAir     float64 // winding to air, K/W
	TimeConst float64 // s
}

// Kt is the torque constant, N·mm per A.
func (m *Motor) Kt() float64 { return 60 / (2 * math.Pi * m.Kv) * 1000 }

// Torque at a current, N·mm; not below 0.
func (m *Motor) Torque(i float64) float64 { return max(0, m.Kt()*(i-m.I0)) }

// Current for a torque, A.
func (m *Motor) Current(t float64) float64 { return t/m.Kt() + m.I0 }

// Speed at full throttle and a current, rev/min; not below 0.
func (m *Motor) Speed(i float64) float64 { return m.SpeedAt(i, 1) }

// SpeedAt is the speed at throttle u and a motor current, rev/min; not below 0.
func (m *Motor) SpeedAt(i, u float64) float64 { return max(0, m.Kv*(u*(m.Volts-u*i*m.Pack)-i*m.R)) }

// Throttle is the largest share of full throttle at a motor current that the pack's limit allows.
func (m *Motor) Throttle(i float64) float64 {
	if i <= m.PackLimit {
		return 1
	}
	return m.PackLimit / i
}

// Stall is the current at standstill and full throttle without any limit, A.
func (m *Motor) Stall() float64 { return m.Volts / (m.R + m.Pack) }

// PackStall is the largest motor current at standstill that the pack's limit allows: what it gives, P = I·(U − I·Rs), all goes into the
// winding, √(P/R), A.
func (m *Motor) PackStall() float64 {
	i := m.PackLimit
	if m.R == 0 || i*m.Pack >= m.Volts {
		return math.Inf(1)
	}
	return math.Sqrt(i * (m.Volts - i*m.Pack) / m.R)
}

// BestEfficiency is the current at which the motor turns most of what it takes into work: √(I₀·U/R), resistance of the pack included.
func (m *Motor) BestEfficiency() float64 { return math.Sqrt(m.I0 * m.Volts / (m.R + m.Pack)) }

// idle is the no-load loss at a speed, W: ω·Kt·I₀.
func (m *Motor) idle(rpm float64) float64 { return omega(rpm) * m.Kt() / 1000 * m.I0 }

func omega(rpm float64) float64 { return rpm * 2 * math.Pi / 60 }
