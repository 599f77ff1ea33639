package shop

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"lowslung/finding"
	"lowslung/form"
	"lowslung/quantity"
	"lowslung/ride"
	"lowslung/solid"
	"lowslung/travel"
)

// Kinds of helpers.
const (
	LengthGauge = "length gauge"
	PinionGauge = "pinion gauge"
	ShockHolder = "shock spacer"
	DrillGuide  = "drill guide"
	BatteryTray = "battery tray"
	RideBlock   = "ride-height block"
)

const (
	usualTolerance = 0.2  // mm that a printed hole comes out too small, an assumption
	mostTolerance  = 1    // mm
	plastic        = 1270 // kg/m³, PETG (data sheets, print)
	usualBed       = 200  // mm, what a small printer's bed takes: common practice
)

// PrintOptions of the helpers.
type PrintOptions struct {
	Tolerance float64   // mm added to the width of everything that something else goes into; 0.2 when 0, none when below 0
	Lengths   []float64 // mm, eye to eye: gauges for these lengths beside those of the build
	Units     quantity.System
}

// ParsePrintOptions reads the options as flags and query parameters carry them; empty text means the usual.
func ParsePrintOptions(tolerance string, lengths []string, units quantity.System) (PrintOptions, error) {
	o := PrintOptions{Units: units}
	if tolerance != "" {
		v, err := quantity.DimLength.Parse(tolerance)
		if err != nil {
			return o, fmt.Errorf("tolerance: %w", err)
		}
		if !(v >= 0 && v <= mostTolerance) {
			return o, fmt.Errorf("tolerance: found %s, expected 0 to %d mm", tolerance, mostTolerance)
		}
		o.Tolerance = v
		if v == 0 {
			o.Tolerance = -1
		}
	}
	if len(lengths) > 20 {
		return o, fmt.Errorf("length: found %d, expected at most 20", len(lengths))
	}
	for _, text := range lengths {
		v, err := quantity.DimLength.Parse(text)
		if err != nil {
			return o, fmt.Errorf("length: %w", err)
		}
		if !(v >= 15 && v <= 1000) {
			return o, fmt.Errorf("length: found %s, expected 15 mm to 1000 mm", text)
		}
		o.Lengths = append(o.Lengths, v)
	}
	return o, nil
}

func (o *PrintOptions) tolerance() float64 {
	switch {
	case o.Tolerance == 0:
		return usualTolerance
	case o.Tolerance < 0:
		return 0
	}
	return o.Tolerance
}

// Prints are the helpers that can be printed for a build.
type Prints struct {
	ToleranceMM float64           `json:"tolerance_mm" doc:"Added to the width of everything that something else goes into: an assumption"`
	Prints      []Print           `json:"prints" nullable:"false" doc:"What can be printed for this build"`
	Cautions    []string          `json:"cautions" nullable:"false" doc:"Before, while and after printing"`
	Findings    []finding.Finding `json:"findings" nullable:"false" doc:"What cannot be made, and which keys are missing for it"`
}

// A Print is one helper.
type Print struct {
	Name      string     `json:"name" doc:"Name of its files"`
	Kind      string     `json:"kind" enum:"length gauge,pinion gauge,shock spacer,drill guide,battery tray,ride-height block" doc:"What it is"`
	Title     string     `json:"title" doc:"What it is, of what"`
	Use       string     `json:"use" doc:"How to use it, in one sentence"`
	For       []string   `json:"for" nullable:"false" doc:"Paths in the document that it follows"`
	SizeMM    [3]float64 `json:"size_mm" nullable:"false" doc:"Length, width and height as it lies on the printer's bed"`
	VolumeMM3 float64    `json:"volume_mm3" doc:"Volume"`
	MassG     float64    `json:"mass_g" doc:"Weight printed solid of PETG, 1270 kg/m³: an estimate, less with less infill"`
	Triangles int        `json:"triangles" doc:"Of its surface, which is closed"`
	Measure   []Measured `json:"measure" nullable:"false" doc:"What to measure on the first print, with a calliper"`
	Assumes   []string   `json:"assumes" nullable:"false" doc:"What was assumed"`

	Mesh *form.Mesh `json:"-"`
}

// Measured is one dimension of a helper.
type Measured struct {
	What   string  `json:"what" doc:"Between what"`
	SizeMM float64 `json:"size_mm" doc:"What it should be"`
}

// STL and ThreeMF are the helper's files.
func (p *Print) STL() []byte     { return p.Mesh.STL(p.Title) }
func (p *Print) ThreeMF() []byte { return p.Mesh.ThreeMF(p.Title, p.Use) }

// printCautions are common practice; printer and filament makers' notes come first.
var printCautions = []string{
	"The nozzle is hot enough to burn to the bone and the bed to blister: let both cool before you reach in.",
	"Print in a room that is aired, and take sanding outdoors: the dust of plastics is for nobody's lungs. Mask on, wet paper.",
	"Break the edges of a fresh print before you run a thumb along them.",
	"Measure the first print with a calliper and set the tolerance to what your printer really does, before you trust a gauge.",
}

// PrintsOf makes the helpers of a build.
func PrintsOf(m *solid.Model, o PrintOptions) (Prints, error) {
	w := &printing{m: m, o: o, tol: o.tolerance(), out: Prints{ToleranceMM: o.tolerance(), Prints: []Print{}, Cautions: printCautions, Findings: []finding.Finding{}}}
	ans, err := ride.Assess(m, ride.Options{Brief: true, Units: o.Units})
	if err != nil {
		return w.out, err
	}
	w.stance = ans.Stance
	w.stand = travel.StandOf(m)
	for _, step := range []func() error{w.lengthGauges, w.pinionGauges, w.shockHolders, w.drillGuides, w.trays, w.blocks} {
		if err := step(); err != nil {
			return w.out, err
		}
	}
	finding.Sort(w.out.Findings)
	return w.out, nil
}

type printing struct {
	m      *solid.Model
	o      PrintOptions
	tol    float64
	stance *ride.Stance // nil when it does not stand on its springs
	stand  *travel.Stand
	out    Prints
}

// mm is a length in the reader's units.
func (w *printing) mm(v float64) string { return quantity.DimLength.Format(v, w.o.Units) }

func (w *printing) deg(v float64) string {
	return quantity.DimAngle.Format(v*math.Pi/180, w.o.Units)
}

// add finishes a helper of layers and lists it under a name of its own.
func (w *printing) add(p Print, layers ...form.Layer) error {
	mesh, err := form.Stack(layers...)
	if err != nil {
		return fmt.Errorf("%s: %w", p.Title, err)
	}
	p.Mesh = mesh
	lo, hi := mesh.Size()
	d := hi.Sub(lo)
	round := func(v, by float64) float64 { return math.Round(v/by) * by }
	p.SizeMM = [3]float64{round(d.X, 1e-3), round(d.Y, 1e-3), round(d.Z, 1e-3)}
	p.VolumeMM3, _ = mesh.Volume()
	p.MassG = p.VolumeMM3 * plastic * 1e-6
	p.Triangles = len(mesh.Triangles)
	if long := max(d.X, d.Y); long > usualBed {
		p.Assumes = append(p.Assumes, fmt.Sprintf("it is %s long: more than many beds, lay it across", w.mm(long)))
	}
	base := p.Name
	for n := 2; slices.ContainsFunc(w.out.Prints, func(q Print) bool { return q.Name == p.Name }); n++ {
		p.Name = fmt.Sprintf("%s-%d", base, n)
	}
	w.out.Prints = append(w.out.Prints, p)
	return nil
}

// cannot notes what is missing for a helper.
func (w *printing) cannot(about, format string, args ...any) {
	w.out.Findings = append(w.out.Findings, finding.New(finding.Note, "shop/no-print", format, args...).For(about))
}

// fileName is words as a file name that every system takes.
func fileName(words ...string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(strings.Join(words, " ")) {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9':
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	if s := strings.Trim(b.String(), "-"); s != "" {
		return s[:min(len(s), 60)]
	}
	return "print"
}
