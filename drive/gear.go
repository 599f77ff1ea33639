package drive

import "math"

// Teeth: contact ratio, undercut and bending.

// lewis is the Lewis form factor Y of full-depth 20° teeth: Shigley, Mechanical Engineering Design, 10th ed., table 14-2 (print).
var lewis = []struct{ teeth, y float64 }{
	{12, .245}, {13, .261}, {14, .277}, {15, .290}, {16, .296}, {17, .303}, {18, .309}, {19, .314}, {20, .322}, {21, .328}, {22, .331},
	{24, .337}, {26, .346}, {28, .353}, {30, .359}, {34, .371}, {38, .384}, {43, .397}, {50, .409}, {60, .422}, {75, .435}, {100, .447},
	{150, .460}, {300, .472}, {400, .480},
}

// FormFactor is Y for a number of teeth z, between the table's rows in a straight line over 1/z; below 12 teeth the row of 12 is lowered with
// the teeth, an extrapolation and an estimate.
func FormFactor(z float64) float64 {
	if z <= lewis[0].teeth {
		return lewis[0].y * z / lewis[0].teeth
	}
	for i := 1; i < len(lewis); i++ {
		if a, b := lewis[i-1], lewis[i]; z <= b.teeth {
			t := (1/a.teeth - 1/z) / (1/a.teeth - 1/b.teeth)
			return a.y + t*(b.y-a.y)
		}
	}
	return .485 // rack
}

// Bending is the Lewis bending stress of a tooth, MPa: σ = Kv·W/(F·m·Y) with the velocity factor of cut teeth Kv = (6.1 + v)/6.1, v in m/s
// (Shigley eq. 14-7 and 14-6b); W tangential load in N, F face and m module in mm.
func Bending(w, face, module, y, v float64) float64 { return (6.1 + v) / 6.1 * w / (face * module * y) }

// A Bevel is one gear of a bevel pair whose axes cross square: its teeth run to the point where the axes meet.
type Bevel struct {
	Cone    float64 // outer cone distance R = m/2·√(z₁² + z₂²), mm
	Module  float64 // in the middle of the face, m·(1 − F/2R), mm
	Virtual float64 // teeth of the spur gear it bends like, z/cos δ with tan δ = z₁/z₂: Tredgold's approximation
	Radius  float64 // of the pitch circle in the middle of the face, mm
}

// BevelOf is a bevel gear of z teeth on one of other teeth, module m at the outer end, face width F in mm. Shigley ch. 13-10 and Machinery's
// Handbook, bevel gearing (from memory): back cone and virtual number of teeth; the mean module stands for teeth that taper.
func BevelOf(z, other int, m, face float64) Bevel {
	a, b := float64(z), float64(other)
	r := m / 2 * math.Hypot(a, b)
	mean := m * (1 - face/(2*r))
	return Bevel{Cone: r, Module: mean, Virtual: a * math.Hypot(a, b) / b, Radius: mean * a / 2} // cos δ = z₂/√(z₁² + z₂²)
}

// Bending is the stress in its teeth with torque t, N·mm, at speed v of the pitch line in the middle of the face, m/s: Lewis with the mean
// module and the virtual number of teeth. Straight teeth; an estimate.
func (g *Bevel) Bending(t, face, v float64) float64 {
	return Bending(t/g.Radius, face, g.Module, FormFactor(g.Virtual), v)
}

// ContactRatio of two external gears with standard teeth at a distance between their axes, 0 for the standard one: ISO 21771 (textbook form),
// ε = [√(ra₁² − rb₁²) + √(ra₂² − rb₂²) − a·sin α′]/(π·m·cos α), with the working pressure angle α′.
func ContactRatio(z1, z2 int, module, alpha, distance float64) float64 {
	r1, r2 := module*float64(z1)/2, module*float64(z2)/2
	part := func(r float64) float64 {
		ra, rb := r+module, r*math.Cos(alpha)
		return math.Sqrt(ra*ra - rb*rb)
	}
	if distance == 0 {
		distance = r1 + r2
	}
	return (part(r1) + part(r2) - distance*math.Sin(Working(z1, z2, module, alpha, distance))) / (math.Pi * module * math.Cos(alpha))
}

// Working is the working pressure angle at a distance: cos α′ = m(z₁ + z₂)/2·cos α/a; 0 where the base circles do not let the gears so near.
func Working(z1, z2 int, module, alpha, distance float64) float64 {
	return math.Acos(min(1, Distance(z1, z2, module)*math.Cos(alpha)/distance))
}

// Undercut is the least number of teeth that a rack cuts without undercutting: 2/sin² α.
func Undercut(alpha float64) float64 { s := math.Sin(alpha); return 2 / (s * s) }

// Distance between the axes of two gears in mesh, mm.
func Distance(z1, z2 int, module float64) float64 { return module * float64(z1+z2) / 2 }

// Torsion is the shear stress of a round shaft, MPa: 16T/(πd³), T in N·mm, d in mm.
func Torsion(t, d float64) float64 { return 16 * t / (math.Pi * d * d * d) }

// PinShear is the shear stress of a cross pin through a shaft, cut twice, MPa: T/(d_shaft·π d_pin²/4).
func PinShear(t, shaft, pin float64) float64 { return t / shaft / (math.Pi * pin * pin / 4) }

// Critical is the first critical speed of a plain round shaft on supports at its ends, rad/s: (π/l)²·√(E·I/m′), of a full round
// (π/l)²·√(E·d²/(16ρ)). Shigley eq. 7-22. l and d in mm, E in MPa, density in kg/m³.
func Critical(length, d, e, density float64) float64 {
	k := math.Pi / (length / 1000)
	return k * k * math.Sqrt(e*1e6*d*d*1e-6/(16*density))
}
