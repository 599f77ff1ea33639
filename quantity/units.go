package quantity

import "math"

// Exact conversion factors: the international yard and pound agreement of 1959 (1 in = 25.4 mm, 1 lb = 0.45359237 kg)
// and standard gravity 9.80665 m/s² (3rd CGPM, 1901). NIST SP 811, appendix B, lists all of them.
const (
	inch         = 25.4
	pound        = 0.45359237
	ounce        = pound / 16
	poundForce   = pound * 9.80665
	ounceForce   = poundForce / 16
	kilopond     = 9.80665
	degree       = math.Pi / 180
	fahrenheit   = 5.0 / 9
	psi          = poundForce / (inch * inch) // MPa
	revPerMinute = 2 * math.Pi / 60
)

// Gravity is standard gravity in mm/s².
const Gravity = 9806.65

// Quantities of a document, each in program units.
type (
	Length      float64 // mm
	Mass        float64 // kg
	Angle       float64 // rad
	Force       float64 // N
	Rate        float64 // N/mm, a spring's or a tyre's
	Torque      float64 // N·mm
	Voltage     float64 // V
	Current     float64 // A
	Resistance  float64 // Ω
	Charge      float64 // mAh
	Viscosity   float64 // mm²/s
	Density     float64 // kg/m³
	Modulus     float64 // MPa
	Temperature float64 // °C
	Duration    float64 // s
	Kv          float64 // rev/min per V
	Spin        float64 // rev/min
	Frequency   float64 // Hz
	Share       float64 // 1, "40 %" is 0.4
	Number      float64 // 1
)

// The dimensions, one row each.
var (
	length = Dimension{Name: "length", Bare: "mm", Metric: Shown{"mm", 1}, US: Shown{"in", 3}, Units: []Unit{
		{Symbol: "mm", Factor: 1}, {Symbol: "cm", Factor: 10}, {Symbol: "m", Factor: 1000},
		{Symbol: "in", Also: []string{"inch", `"`}, Factor: inch}, {Symbol: "ft", Factor: 12 * inch}}}
	mass = Dimension{Name: "mass", Bare: "g", Metric: Shown{"g", 0}, US: Shown{"oz", 2}, Units: []Unit{
		{Symbol: "kg", Factor: 1}, {Symbol: "g", Factor: 1e-3}, {Symbol: "oz", Factor: ounce}, {Symbol: "lb", Also: []string{"lbs"}, Factor: pound}}}
	angle = Dimension{Name: "angle", Bare: "°", Metric: Shown{"°", 1}, US: Shown{"°", 1}, Units: []Unit{
		{Symbol: "°", Also: []string{"deg"}, Factor: degree}, {Symbol: "rad", Factor: 1}}}
	force = Dimension{Name: "force", Bare: "N", Metric: Shown{"N", 2}, US: Shown{"lbf", 3}, Units: []Unit{
		{Symbol: "N", Factor: 1}, {Symbol: "lbf", Factor: poundForce}, {Symbol: "ozf", Factor: ounceForce}, {Symbol: "kgf", Factor: kilopond}}}
	rate = Dimension{Name: "spring rate", Bare: "N/mm", Metric: Shown{"N/mm", 3}, US: Shown{"lbf/in", 2}, Units: []Unit{
		{Symbol: "N/mm", Also: []string{"kN/m"}, Factor: 1}, {Symbol: "N/m", Factor: 1e-3},
		{Symbol: "lbf/in", Also: []string{"lb/in"}, Factor: poundForce / inch}, {Symbol: "gf/mm", Factor: kilopond * 1e-3}}}
	torque = Dimension{Name: "torque", Bare: "N·mm", Metric: Shown{"N·mm", 1}, US: Shown{"ozf·in", 2}, Units: []Unit{
		{Symbol: "N·mm", Also: []string{"Nmm", "N mm", "N*mm", "mN·m", "mNm"}, Factor: 1}, {Symbol: "N·m", Also: []string{"Nm", "N m", "N*m"}, Factor: 1000},
		{Symbol: "kgf·cm", Also: []string{"kg·cm", "kgcm", "kgf cm", "kg-cm"}, Factor: kilopond * 10},
		{Symbol: "ozf·in", Also: []string{"oz-in", "oz·in", "ozf in"}, Factor: ounceForce * inch},
		{Symbol: "lbf·in", Also: []string{"lb-in", "lb·in", "lbf in"}, Factor: poundForce * inch}}}
	voltage = Dimension{Name: "voltage", Bare: "V", Metric: Shown{"V", 2}, US: Shown{"V", 2}, Units: []Unit{
		{Symbol: "V", Factor: 1}, {Symbol: "mV", Factor: 1e-3}}}
	current = Dimension{Name: "current", Bare: "A", Metric: Shown{"A", 2}, US: Shown{"A", 2}, Units: []Unit{
		{Symbol: "A", Factor: 1}, {Symbol: "mA", Factor: 1e-3}}}
	resistance = Dimension{Name: "resistance", Bare: "mΩ", Metric: Shown{"mΩ", 1}, US: Shown{"mΩ", 1}, Units: []Unit{
		{Symbol: "Ω", Also: []string{"ohm"}, Factor: 1}, {Symbol: "mΩ", Also: []string{"mohm"}, Factor: 1e-3}}}
	charge = Dimension{Name: "capacity", Bare: "mAh", Metric: Shown{"mAh", 0}, US: Shown{"mAh", 0}, Units: []Unit{
		{Symbol: "mAh", Factor: 1}, {Symbol: "Ah", Factor: 1000}}}
	viscosity = Dimension{Name: "viscosity", Bare: "cSt", Metric: Shown{"cSt", 0}, US: Shown{"cSt", 0}, Units: []Unit{
		{Symbol: "cSt", Also: []string{"mm²/s", "mm2/s"}, Factor: 1}}}
	density = Dimension{Name: "density", Bare: "kg/m³", Metric: Shown{"kg/m³", 0}, US: Shown{"kg/m³", 0}, Units: []Unit{
		{Symbol: "kg/m³", Also: []string{"kg/m3"}, Factor: 1}, {Symbol: "g/cm³", Also: []string{"g/cm3"}, Factor: 1000}}}
	modulus = Dimension{Name: "stress", Bare: "MPa", Metric: Shown{"MPa", 1}, US: Shown{"psi", 0}, Units: []Unit{
		{Symbol: "MPa", Also: []string{"N/mm²", "N/mm2"}, Factor: 1}, {Symbol: "GPa", Factor: 1000}, {Symbol: "psi", Factor: psi}}}
	temperature = Dimension{Name: "temperature", Bare: "°C", Metric: Shown{"°C", 0}, US: Shown{"°F", 0}, Units: []Unit{
		{Symbol: "°C", Also: []string{"C"}, Factor: 1}, {Symbol: "°F", Also: []string{"F"}, Factor: fahrenheit, Offset: -32 * fahrenheit}}}
	duration = Dimension{Name: "time", Bare: "s", Metric: Shown{"s", 1}, US: Shown{"s", 1}, Units: []Unit{
		{Symbol: "s", Factor: 1}, {Symbol: "ms", Factor: 1e-3}, {Symbol: "min", Factor: 60}, {Symbol: "h", Factor: 3600}}}
	kv = Dimension{Name: "motor constant", Bare: "rpm/V", Metric: Shown{"rpm/V", 0}, US: Shown{"rpm/V", 0}, Units: []Unit{
		{Symbol: "rpm/V", Also: []string{"1/(V·min)"}, Factor: 1}, {Symbol: "rad/s/V", Factor: 1 / revPerMinute}}}
	spin = Dimension{Name: "speed of rotation", Bare: "rpm", Metric: Shown{"rpm", 0}, US: Shown{"rpm", 0}, Units: []Unit{
		{Symbol: "rpm", Also: []string{"1/min"}, Factor: 1}, {Symbol: "rad/s", Factor: 1 / revPerMinute}}}
	speed = Dimension{Name: "speed", Bare: "m/s", Metric: Shown{"m/s", 2}, US: Shown{"mph", 1}, Units: []Unit{
		{Symbol: "m/s", Factor: 1}, {Symbol: "km/h", Factor: 1 / 3.6}, {Symbol: "mph", Factor: 0.44704}, {Symbol: "ft/s", Factor: 0.3048}}}
	frequency = Dimension{Name: "frequency", Bare: "Hz", Metric: Shown{"Hz", 2}, US: Shown{"Hz", 2}, Units: []Unit{
		{Symbol: "Hz", Also: []string{"1/s"}, Factor: 1}}}
	share = Dimension{Name: "share", Bare: "", Metric: Shown{"%", 1}, US: Shown{"%", 1}, Units: []Unit{
		{Symbol: "", Factor: 1}, {Symbol: "%", Factor: 0.01}}}
	number = Dimension{Name: "number", Bare: "", Metric: Shown{"", 3}, US: Shown{"", 3}, Units: []Unit{{Symbol: "", Factor: 1}}}
)

// All lists every dimension.
func All() []*Dimension {
	return []*Dimension{&length, &mass, &angle, &force, &rate, &torque, &voltage, &current, &resistance, &charge, &viscosity,
		&density, &modulus, &temperature, &duration, &kv, &spin, &speed, &frequency, &share, &number}
}

// Dimension of each quantity type; what the document's decoder and the schema ask.
func (Length) Dimension() *Dimension      { return &length }
func (Mass) Dimension() *Dimension        { return &mass }
func (Angle) Dimension() *Dimension       { return &angle }
func (Force) Dimension() *Dimension       { return &force }
func (Rate) Dimension() *Dimension        { return &rate }
func (Torque) Dimension() *Dimension      { return &torque }
func (Voltage) Dimension() *Dimension     { return &voltage }
func (Current) Dimension() *Dimension     { return &current }
func (Resistance) Dimension() *Dimension  { return &resistance }
func (Charge) Dimension() *Dimension      { return &charge }
func (Viscosity) Dimension() *Dimension   { return &viscosity }
func (Density) Dimension() *Dimension     { return &density }
func (Modulus) Dimension() *Dimension     { return &modulus }
func (Temperature) Dimension() *Dimension { return &temperature }
func (Duration) Dimension() *Dimension    { return &duration }
func (Kv) Dimension() *Dimension          { return &kv }
func (Spin) Dimension() *Dimension        { return &spin }
func (Frequency) Dimension() *Dimension   { return &frequency }
func (Share) Dimension() *Dimension       { return &share }
func (Number) Dimension() *Dimension      { return &number }

// The dimensions by name, for catalogues of result channels.
var (
	DimLength    = &length
	DimMass      = &mass
	DimAngle     = &angle
	DimForce     = &force
	DimRate      = &rate
	DimFrequency = &frequency
	DimShare     = &share
	DimNumber    = &number
	DimTorque    = &torque
	DimDuration  = &duration
	DimSpeed     = &speed
	DimCurrent   = &current
	DimSpin      = &spin
)
