package rig

import (
	"math"
	"slices"
	"strings"

	"lowslung/quantity"
)

// A Reading is one thing measured on the finished rig.
type Reading struct {
	Of     string            `rig:"of" required:"true" enum:"mass,part mass,wheel load,axle load,raised load,ride height,wheel height,wheelbase,link length,shock length,shaft length,pinion angle,pinion angle to table,tilt angle,spring deflection,no-load current,no-load speed" doc:"What was measured"`
	At     string            `rig:"at" doc:"Where: a wheel (front left), an axle (front), a part, link, shock or shaft by its name, or the side that the tilt board lowers (left, right, nose up, nose down)"`
	Side   string            `rig:"side" enum:"left,right" doc:"Which of mirror twins; the mean of both when left out"`
	Is     Quantity          `rig:"is" required:"true" doc:"The reading, with its unit"`
	Within *Quantity         `rig:"within" doc:"How far it may be off, plus or minus: what 95 of 100 such readings keep; a usual value of its kind when left out"`
	Angle  *quantity.Angle   `rig:"angle" above:"0" doc:"Of a raised load: how far the chassis tips up from level, by the gauge"`
	Block  *quantity.Length  `rig:"block" above:"0" doc:"Of a raised load: height of the blocks under the wheels of the other axle, instead of the angle"`
	Load   *quantity.Mass    `rig:"load" above:"0" doc:"Of a spring deflection: the weight laid on it"`
	Volts  *quantity.Voltage `rig:"volts" above:"0" doc:"Of a no-load reading: voltage at the motor"`
	When   string            `rig:"when" doc:"Day, or on which occasion: free text"`
	How    string            `rig:"how" doc:"With what, and what was special: free text"`
	Build  string            `rig:"build" doc:"Name of the build that stood on the bench; when this document has another, the reading is set aside. A name that goes on after a comma counts as the same build"`
	Aside  bool              `rig:"aside" doc:"Keep the reading, but do not use it"`
	Place  Place             `rig:",place"`
}

// A ReadingKind says what a reading of one kind needs, and how well such a thing is usually measured.
type ReadingKind struct {
	Of     string
	Dim    *quantity.Dimension
	At     string  // what At names: wheel, axle, part, link, shock, shaft, tilt, motor, or "" for nothing
	Sided  bool    // Side may be written
	Within float64 // usual, program units; of Share when that is not 0
	Share  float64 // usual, share of the reading
}

// readingKinds are in the order in which one measures: off the rig first, then standing, then lifted. The usual errors are those of a kitchen
// scale that shows 1 g, a steel rule, calipers and an angle gauge that shows 0.1°: common practice, an assumption.
var readingKinds = []ReadingKind{
	{Of: "part mass", Dim: quantity.DimMass, At: "part", Within: 0.001},
	{Of: "link length", Dim: quantity.DimLength, At: "link", Sided: true, Within: 0.3},
	{Of: "spring deflection", Dim: quantity.DimLength, At: "shock", Within: 0.4},
	{Of: "mass", Dim: quantity.DimMass, Within: 0.003},
	{Of: "wheel load", Dim: quantity.DimMass, At: "wheel", Within: 0.006},
	{Of: "axle load", Dim: quantity.DimMass, At: "axle", Within: 0.005},
	{Of: "ride height", Dim: quantity.DimLength, At: "axle", Within: 1},
	{Of: "wheel height", Dim: quantity.DimLength, At: "wheel", Within: 0.5},
	{Of: "wheelbase", Dim: quantity.DimLength, Sided: true, Within: 1},
	{Of: "shock length", Dim: quantity.DimLength, At: "shock", Sided: true, Within: 0.5},
	{Of: "shaft length", Dim: quantity.DimLength, At: "shaft", Within: 0.7},
	{Of: "pinion angle", Dim: quantity.DimAngle, At: "axle", Within: 0.5 * degree},
	{Of: "pinion angle to table", Dim: quantity.DimAngle, At: "axle", Within: 0.5 * degree},
	{Of: "raised load", Dim: quantity.DimMass, At: "axle", Within: 0.006},
	{Of: "tilt angle", Dim: quantity.DimAngle, At: "tilt", Within: 1 * degree},
	{Of: "no-load current", Dim: quantity.DimCurrent, At: "motor", Share: 0.05},
	{Of: "no-load speed", Dim: quantity.DimSpin, At: "motor", Share: 0.02},
}

const degree = math.Pi / 180

// ReadingKinds lists the kinds in the order in which one measures. The slice must not be changed.
func ReadingKinds() []ReadingKind { return readingKinds }

// KindOf is the kind of a reading.
func (r *Reading) KindOf() (*ReadingKind, bool) {
	for i := range readingKinds {
		if readingKinds[i].Of == r.Of {
			return &readingKinds[i], true
		}
	}
	return nil, false
}

// Words that readings use for places.
var (
	WheelPlaces = []string{"front left", "front right", "rear left", "rear right"}
	AxlePlaces  = []string{"front", "rear"}
	TiltPlaces  = []string{"left", "right", "nose up", "nose down"}
)

// CheckReadings holds readings that do not stand in the document, such as those of a table, against it, as those of the document have been.
func CheckReadings(b *Build, list Map[Reading]) Diagnostics {
	r := &reporter{}
	w := &world{reporter: r, b: b, tree: &Node{Kind: MapNode}, parts: map[string]*placed{}, links: map[string]int{}}
	w.gather()
	r.list = nil
	each(list, w.reading)
	return r.list
}

// reading checks one reading: that its place leads somewhere, and that its values are of the right kind.
func (w *world) reading(e *Entry[Reading]) {
	r, path := &e.Value, "readings/"+e.Name
	k, ok := r.KindOf()
	if !ok {
		return // missing or no such word, and reported as such
	}
	w.readingPlace(r, k, path)
	if r.Side != "" && !k.Sided {
		w.add("reading-form", r.Place, path+"/side", `found "side" for the %s, expected none`, k.Of)
	}
	for _, one := range []struct {
		key     string
		written bool
		of      []string
	}{
		{"angle", r.Angle != nil, []string{"raised load"}}, {"block", r.Block != nil, []string{"raised load"}},
		{"load", r.Load != nil, []string{"spring deflection"}}, {"volts", r.Volts != nil, []string{"no-load speed", "no-load current"}},
	} {
		if one.written && !slices.Contains(one.of, r.Of) {
			w.add("reading-form", r.Place, path+"/"+one.key, "found %s for the %s, expected it for %s only", quote(one.key), k.Of, oneOf(one.of))
		}
	}
	switch r.Of {
	case "raised load":
		if (r.Angle == nil) == (r.Block == nil) {
			w.add("reading-form", r.Place, path, `found a raised load without its tip, expected either "angle" or "block"`)
		} else if r.Angle != nil && float64(*r.Angle) > 60*degree {
			w.add("out-of-range", r.Place, path+"/angle", `found a tip of more than 60°, expected less: the rig would slip off the scale`)
		}
	case "spring deflection":
		if r.Load == nil {
			w.add("reading-form", r.Place, path, `found a spring deflection without "load", expected the weight that was laid on the spring`)
		}
	case "no-load speed":
		if r.Volts == nil {
			w.add("reading-form", r.Place, path, `found a no-load speed without "volts", expected the voltage at the motor`)
		}
	}
	for _, one := range []struct {
		key string
		q   *Quantity
	}{{"is", &r.Is}, {"within", r.Within}} {
		if one.q == nil || one.q.Text == "" {
			continue
		}
		v, err := one.q.In(k.Dim)
		switch {
		case err != nil:
			if _, _, bad := quantity.Split(one.q.Text); bad == nil { // otherwise reported by the decoder
				w.add("wrong-unit", one.q.Place, path+"/"+one.key, "%s for %s of the %s", err, quote(one.key), k.Of)
			}
		case one.key == "within" && v <= 0:
			w.add("out-of-range", one.q.Place, path+"/within", `found %s for "within", expected more than 0: no reading is exact`, quote(one.q.Text))
		}
	}
}

// readingPlace checks what a reading's at names.
func (w *world) readingPlace(r *Reading, k *ReadingKind, path string) {
	words := func(list []string) {
		if !slices.Contains(list, r.At) {
			w.add("reading-place", r.Place, path+"/at", "found %s for \"at\" of the %s, expected %s", quote(r.At), k.Of, oneOf(list))
		}
	}
	named := func(what string, list []string, optional bool) {
		if slices.Contains(list, r.At) || r.At == "" && optional {
			return
		}
		if r.At == "" {
			w.add("reading-place", r.Place, path, "found no \"at\" for the %s, expected the name of a %s", k.Of, what)
			return
		}
		w.add("reading-place", r.Place, path+"/at", "found %s for \"at\" of the %s, but no %s is called that%s", quote(r.At), k.Of, what, w.suggest(r.At, list))
	}
	doc := w.b.Doc
	switch k.At {
	case "wheel":
		words(WheelPlaces)
	case "axle":
		words(AxlePlaces)
	case "tilt":
		words(TiltPlaces)
	case "part":
		named("part", w.partNames(""), false)
	case "link":
		named("link", doc.Links.Names(), false)
	case "shock":
		named("shock", doc.Shocks.Names(), false)
	case "shaft":
		named("shaft", doc.Shafts.Names(), false)
	case "motor":
		named("motor", w.kindNames("motor"), true)
	default:
		if strings.TrimSpace(r.At) != "" {
			w.add("reading-place", r.Place, path+"/at", "found %s for \"at\" of the %s, expected none", quote(r.At), k.Of)
		}
	}
}
