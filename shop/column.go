package shop

import "math"

// Strength of a straight or bent bar on two pins: closed forms of Shigley's Mechanical Engineering Design, 10th edition. Units mm, N, MPa.

// A column is a round rod or tube between two pins.
type column struct {
	D, bore float64 // outer and inner diameter, mm
	L       float64 // between the pins, mm
	E, Sy   float64 // modulus and yield strength, MPa
}

// area is that of the section, mm².
func (b *column) area() float64 { return math.Pi / 4 * (b.D*b.D - b.bore*b.bore) }

// second is the second moment of area, I = π(D⁴ − d⁴)/64, mm⁴ (table A-18).
func (b *column) second() float64 { return math.Pi / 64 * (math.Pow(b.D, 4) - math.Pow(b.bore, 4)) }

// slender is l/k with k = √(I/A), the radius of gyration.
func (b *column) slender() float64 { return b.L / math.Sqrt(b.second()/b.area()) }

// change is the slenderness below which Johnson's parabola holds and above which Euler's hyperbola: √(2π²CE/Sy) (eq. 4-47). c is the end condition:
// 1 on pins.
func (b *column) change(c float64) float64 { return math.Sqrt(2 * math.Pi * math.Pi * c * b.E / b.Sy) }

// buckles is the axial load at which a straight bar gives way, N: Euler P = A·Cπ²E/(l/k)² (eq. 4-44), or Johnson P = A·(Sy − (Sy·l/(2πk))²/(CE))
// (eq. 4-48).
func (b *column) buckles(c float64) (n float64, euler bool) {
	s := b.slender()
	if s > b.change(c) {
		return b.area() * c * math.Pi * math.Pi * b.E / (s * s), true
	}
	v := b.Sy * s / (2 * math.Pi)
	return b.area() * (b.Sy - v*v/(c*b.E)), false
}

// yields is the axial push at which a bar on pins that is bent off its line by e mm at most begins to bend for good, N: the stress P/A + P·e·c/I grows
// with the bow, e/(1 − P/Pe) (Timoshenko & Gere, Theory of Elastic Stability, §1.12; Perry and Robertson's quadratic; from memory). A bow of
// half a sine: an estimate for one bend. Pull bends it the other way; that is not less.
func (b *column) yields(e float64) float64 {
	s := b.slender()
	se := math.Pi * math.Pi * b.E / (s * s)
	eta := e * b.D / 2 * b.area() / b.second()
	half := (b.Sy + se*(1+eta)) / 2
	return b.area() * b.Sy * se / (half + math.Sqrt(half*half-se*b.Sy)) // the smaller root, without cancelling
}

// struck is the stress, MPa, and the deflection, mm, under a load across the middle: M = FL/4, σ = M·c/I, y = FL³/(48EI) (table A-9, case 5).
func (b *column) struck(f float64) (stress, deflection float64) {
	i := b.second()
	return f * b.L / 4 * b.D / 2 / i, f * math.Pow(b.L, 3) / (48 * b.E * i)
}

// stressArea of a metric thread, mm²: π/4·(d − 0.938194·P)² (ISO 898-1, with d₂ and d₃ of ISO 724).
func stressArea(d, pitch float64) float64 {
	v := d - 0.938194*pitch
	return math.Pi / 4 * v * v
}
