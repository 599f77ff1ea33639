package guide

import (
	"bytes"
	_ "embed"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"strconv"
	"strings"
	"text/template"

	"lowslung/check"
	"lowslung/finding"
	"lowslung/rig"
	"lowslung/solid"
)

//go:embed guide.rig.yaml.tmpl
var layout string

var document = template.Must(template.New("guide").Funcs(template.FuncMap{
	"n":     func(v float64) string { return digits(v, 1) },
	"g":     func(v float64) string { return digits(v, 1) },
	"share": func(v float64) string { return digits(100*v, 1) },
}).Parse(layout))

// digits writes a number with as many digits as it needs, at most n behind the point.
func digits(v float64, n int) string {
	p := math.Pow(10, float64(n))
	return strconv.FormatFloat(math.Round(v*p)/p+0, 'f', -1, 64)
}

// Shares of the whole weight that are assumed for what was not weighed: two axles, four tyres, eight links, four shocks and
// the skid. From trail trucks in 1/10 taken apart (common practice).
const (
	axleShare  = 0.08
	tyreShare  = 0.05
	linkShare  = 0.004
	shockShare = 0.013
	bellyShare = 0.02
)

// Places that are assumed, mm: chassis eyes from the middle and above the belly, axle eyes from the axle's centre.
const (
	chassisLowerY, chassisUpperY, chassisLowerZ = 28, 30, 8
	axleLowerX, axleLowerZ                      = 10, -5
	axleUpperX, axleUpperY                      = 2, 16
	shockX, shockZ                              = 14, 9
	shockLean                                   = 10 * math.Pi / 180 // forward at the rear, backward at the front
	shockLeanIn                                 = 3 * math.Pi / 180  // so that they keep clear of the tyres
)

// A bar is a link as drawn: from its chassis eye to its axle eye, chassis frame, at the design pose.
type bar struct {
	From, To solid.Vec
	Length   float64
}

// A plan is everything that the document says.
type plan struct {
	Title, Name                                    string
	Count                                          int
	Wheelbase, HalfBase, HalfTrack, AxleZ          float64
	TyreDiameter, TyreWidth, Tube                  float64
	LowerY, UpperZ, AxleUpperZ, ChassisEyes        float64
	RearLower, RearUpper, FrontLower, FrontUpper   bar
	BellyLength, BellyWidth, BellyX                float64
	RailLength, RailX, RailZ, FrameZ, BatteryZ     float64
	RearTop, FrontTop                              solid.Vec
	ShockY, Open, Closed, Set                      float64
	Belly, Frame, Battery, Axle, Tyre, Link, Shock float64 // g
	WeightX, FrontMass, FrontShare                 float64
}

// Write writes the document of a rig called name. The error is Mistakes when an answer cannot be used.
func Write(name string, answers map[string]string) ([]byte, error) {
	v, bad := read(answers)
	if len(bad) > 0 {
		return nil, bad
	}
	p, bad := lay(v)
	if len(bad) > 0 {
		return nil, bad
	}
	if name = strings.TrimSpace(name); name == "" {
		name = "My rig"
	}
	p.Title, p.Name, p.Count = comment(name), rig.Scalar(name), len(v)
	var b bytes.Buffer
	if err := document.Execute(&b, p); err != nil {
		return nil, err
	}
	if err := try(b.Bytes()); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// comment makes a name fit to stand in a comment.
func comment(name string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f || r == '\u0085' || r == '\u2028' || r == '\u2029' || r == '\ufeff' || r == '\ufffd' {
			return ' '
		}
		return r
	}, name)
}

// lay places everything so that the rig stands as measured.
func lay(v map[string]float64) (plan, Mistakes) {
	var bad Mistakes
	if v["shock_closed"] >= v["shock_open"]-2 {
		bad.add("shock_closed", "found %g mm closed and %g mm open, expected the closed one to be shorter; are they swapped?", v["shock_closed"], v["shock_open"])
	} else if v["shock_set"] < v["shock_closed"] || v["shock_set"] > v["shock_open"] {
		bad.add("shock_set", "found %g mm as the rig stands, expected between closed (%g mm) and open (%g mm)", v["shock_set"], v["shock_closed"], v["shock_open"])
	}
	if v["track"] < 80+v["tyre_diameter"]*0.2 {
		bad.add("track", "found a track of %g mm with tyres of %g mm, expected it wider: from the middle of one tread to the middle of the other", v["track"], v["tyre_diameter"])
	}
	if v["wheelbase"] < 1.3*v["tyre_diameter"] {
		bad.add("wheelbase", "found a wheelbase of %g mm with tyres of %g mm, which would nearly touch; expected at least 1.3 times the tyre", v["wheelbase"], v["tyre_diameter"])
	}
	share := v["front_mass"] / v["mass"]
	if share < 0.3 || share > 0.75 {
		bad.add("front_mass", "found %g g of %g g on the front wheels (%.0f %%), expected 30 to 75 %%; is it the front axle's weight, and did the rig stand level?", v["front_mass"], v["mass"], 100*share)
	}
	p := plan{
		Wheelbase: v["wheelbase"], HalfBase: v["wheelbase"] / 2, HalfTrack: v["track"] / 2, AxleZ: v["tyre_diameter"]/2 - v["ride_height"],
		TyreDiameter: v["tyre_diameter"], TyreWidth: min(0.33*v["tyre_diameter"], 0.4*v["track"]), Tube: v["track"] - min(0.33*v["tyre_diameter"], 0.4*v["track"]),
		LowerY: max(34, 0.23*v["track"]), UpperZ: chassisLowerZ + v["chassis_eyes"], AxleUpperZ: axleLowerZ + v["axle_eyes"], ChassisEyes: v["chassis_eyes"],
		ShockY: max(35, 0.21*v["track"]), Open: v["shock_open"], Closed: v["shock_closed"], Set: v["shock_set"],
		FrontMass: v["front_mass"], FrontShare: share,
	}
	p.bars(v, &bad)
	p.weigh(v, &bad)
	return p, bad
}

// bars finds where the chassis eyes sit so that the links, as long as they are, hold the axles where they stand.
func (p *plan) bars(v map[string]float64, bad *Mistakes) {
	place := func(key string, upper bool, dir float64) bar { // dir +1 is the rear axle, whose links lead forward
		to := solid.Vec{X: -dir * (p.HalfBase - axleLowerX), Y: p.LowerY, Z: p.AxleZ + axleLowerZ}
		from := solid.Vec{Y: chassisLowerY, Z: chassisLowerZ}
		if upper {
			to = solid.Vec{X: -dir * (p.HalfBase - axleUpperX), Y: axleUpperY, Z: p.AxleZ + p.AxleUpperZ}
			from = solid.Vec{Y: chassisUpperY, Z: p.UpperZ}
		}
		b := bar{To: to, Length: v[key]}
		dy, dz := to.Y-from.Y, to.Z-from.Z
		run := b.Length*b.Length - dy*dy - dz*dz
		switch reach := math.Sqrt(max(run, 0)); {
		case run < 0.36*b.Length*b.Length:
			bad.add(key, "found %g mm eye to eye, which would stand too steep: its ends are %.0f mm apart in height. Check it, ride_height, tyre_diameter and the heights between the eyes", b.Length, math.Abs(dz))
		case reach > p.Wheelbase*0.62:
			bad.add(key, "found %g mm eye to eye, which reaches past the middle of a wheelbase of %g mm; expected at most about %.0f mm", b.Length, p.Wheelbase, 0.62*p.Wheelbase)
		default:
			from.X = to.X + dir*reach
		}
		b.From = from
		return b
	}
	p.RearLower, p.RearUpper = place("rear_lower_link", false, 1), place("rear_upper_link", true, 1)
	p.FrontLower, p.FrontUpper = place("front_lower_link", false, -1), place("front_upper_link", true, -1)
	// The skid's plate ends at the lower eyes and lies between the links, so that it is in the way of none.
	first, last := min(p.RearLower.From.X, p.FrontLower.From.X), max(p.RearLower.From.X, p.FrontLower.From.X)
	p.BellyLength, p.BellyX, p.BellyWidth = max(last-first, 20), (first+last)/2, 2*(chassisLowerY-6)
	// The rails end short of the upper links, which they would be in the way of; where front and rear eyes pass each other there
	// is no room for any.
	if back, front := p.RearUpper.From.X+8, p.FrontUpper.From.X-8; front-back > 10 {
		p.RailLength, p.RailX, p.RailZ = front-back, (front+back)/2, p.UpperZ+14
	}
	lean := solid.Vec{X: math.Sin(shockLean), Y: -math.Sin(shockLeanIn), Z: math.Cos(shockLean)}.Unit().Scale(p.Set)
	p.RearTop = solid.Vec{X: -p.HalfBase - shockX, Y: p.ShockY, Z: p.AxleZ + shockZ}.Add(lean)
	p.FrontTop = solid.Vec{X: -p.RearTop.X, Y: p.RearTop.Y, Z: p.RearTop.Z}
}

// weigh shares the whole weight out and puts the heavy rest forward or back so that the front wheels carry what they do.
func (p *plan) weigh(v map[string]float64, bad *Mistakes) {
	m := v["mass"]
	p.Battery, p.Axle, p.Tyre, p.Link, p.Shock, p.Belly = v["battery_mass"], axleShare*m, tyreShare*m, linkShare*m, shockShare*m, bellyShare*m
	p.Frame = m - p.Battery - 2*p.Axle - 4*p.Tyre - 8*p.Link - 4*p.Shock - p.Belly
	if p.Frame < 0.1*m {
		bad.add("battery_mass", "found a pack of %g g in a rig of %g g, which leaves %.0f g for frame, motor, electrics and body; expected more to be left", p.Battery, m, p.Frame)
		return
	}
	// Moments about the middle of the wheelbase; axles, tyres and shocks balance each other. A link's weight sits at its middle.
	moment := p.Belly * p.BellyX
	for _, b := range []bar{p.RearLower, p.RearUpper, p.FrontLower, p.FrontUpper} {
		moment += 2 * p.Link * (b.From.X + b.To.X) / 2
	}
	p.WeightX = (m*p.Wheelbase*(p.FrontShare-0.5) - moment) / (p.Frame + p.Battery)
	if math.Abs(p.WeightX) > p.HalfBase {
		bad.add("front_mass", "found %g g of %g g on the front wheels: the frame with all that is on it would have to weigh in beyond an axle (%.0f mm from the middle). Check both weights", v["front_mass"], m, p.WeightX)
	}
	p.FrameZ, p.BatteryZ = p.UpperZ+12, p.UpperZ+45
}

// try loads the document and asks check, as the builder will: it is the last word on whether the answers make sense together.
func try(text []byte) error {
	const name = "guide.rig.yaml"
	b, err := rig.Load(func(file string) ([]byte, error) {
		if file != name {
			return nil, fs.ErrNotExist
		}
		return text, nil
	}, name)
	if err != nil {
		return fmt.Errorf("the guided start wrote a document that does not load: %w", err)
	}
	m, err := solid.Resolve(b)
	if err != nil {
		return fmt.Errorf("the guided start wrote a document that does not resolve: %w", err)
	}
	a, err := check.Assess(m, check.Options{})
	if err != nil {
		return err
	}
	var bad Mistakes
	for _, f := range a.Findings {
		if f.Level == finding.Stop {
			bad.add("", "the answers do not go together: %s", f.Sentence)
		}
	}
	if len(bad) > 0 {
		return bad
	}
	return nil
}

// IsMistakes says whether an error is about the answers, and gives them.
func IsMistakes(err error) (Mistakes, bool) {
	var m Mistakes
	ok := errors.As(err, &m)
	return m, ok
}
