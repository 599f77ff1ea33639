package shop

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"lowslung/draw"
	"lowslung/finding"
	"lowslung/rig"
	"lowslung/solid"
)

// TemplateOptions of the templates.
type TemplateOptions struct {
	Parts []string // names of parts or links; nil is all
	Twins bool     // mirror twins as drawings of their own; otherwise once, to be turned over
}

// ParseTemplateOptions reads the options as flags and query parameters carry them.
func ParseTemplateOptions(parts []string, twins string) (TemplateOptions, error) {
	o := TemplateOptions{}
	for _, p := range parts {
		if p != "" {
			o.Parts = append(o.Parts, p)
		}
	}
	switch twins {
	case "", "once":
	case "both":
		o.Twins = true
	default:
		return o, fmt.Errorf("twins: found %q, expected once or both", twins)
	}
	return o, nil
}

// Templates are drawings at true size to drill, cut and bend by.
type Templates struct {
	Templates []Template        `json:"templates" nullable:"false" doc:"In the order of the document"`
	Cautions  []string          `json:"cautions" nullable:"false" doc:"Before you drill or cut"`
	Findings  []finding.Finding `json:"findings" nullable:"false" doc:"What cannot be drawn, and which keys are missing for it"`
}

// A Template is one drawing at true size.
type Template struct {
	Name     string         `json:"name" doc:"Name of its files"`
	Kind     string         `json:"kind" enum:"holes,motor mount,bend gauge,spacers" doc:"What it is for"`
	Title    string         `json:"title" doc:"Part and side it is seen from"`
	Of       string         `json:"of" doc:"Name of the part or link"`
	Path     string         `json:"path" doc:"Its path in the document"`
	View     string         `json:"view" doc:"Where it is seen from"`
	Make     int            `json:"make" doc:"How many"`
	Twin     string         `json:"twin" enum:"none,turn over,this" doc:"Of a mirror pair: turn the sheet over for the right one, or this is the right one"`
	WidthMM  float64        `json:"width_mm" doc:"Of what is drawn, without words"`
	HeightMM float64        `json:"height_mm" doc:"Of what is drawn, without words"`
	Holes    []TemplateHole `json:"holes" nullable:"false" doc:"Numbered as on the drawing"`
	Assumes  []string       `json:"assumes" nullable:"false" doc:"What was assumed"`

	lines []templateLine // what is drawn, mm, in the plane of the view
	marks []draw.Dim     // dimensions of its own
	words []string       // arrows to the right and up
}

// A TemplateHole is one hole or centre mark. Places count from the left and the lower edge of the part's outline as drawn, or, where the document
// gives the part no shape there, from the first hole.
type TemplateHole struct {
	Number     int     `json:"number" doc:"On the drawing"`
	Name       string  `json:"name" doc:"As the document has it"`
	Side       string  `json:"side" enum:",left,right" doc:"Of a pair"`
	Bolt       string  `json:"bolt" doc:"Bolt that goes through; empty when not given"`
	DiameterMM float64 `json:"diameter_mm" doc:"To drill; 0: a centre mark only"`
	LengthMM   float64 `json:"length_mm" doc:"Of a slot, between the centres of its ends; 0 for a round hole"`
	AcrossMM   float64 `json:"across_mm" doc:"From the left edge"`
	UpMM       float64 `json:"up_mm" doc:"From the lower edge"`
	Why        string  `json:"why" doc:"Where the diameter comes from"`

	at   draw.Point
	turn float64 // of a slot, rad
}

// A templateLine is one line of a template.
type templateLine struct {
	layer string
	path  draw.Path
	style draw.Style
	note  string
}

// templateCautions are common practice.
var templateCautions = []string{
	"Print at 100 % (actual size), never fitted to the page, and measure both 50 mm rules with a calliper before you drill. Off by more than 0.3 mm: print again, not on with it.",
	"Centre-punch through the paper and measure from mark to mark before the drill touches the part: paper stretches when it gets damp.",
	"Dust of carbon plate and of prints is for nobody's lungs: cut and sand wet, outdoors, mask on. Carbon splinters go through thin gloves.",
	"Edges of a cut plate are sharp: break them before you run a thumb along them. Glasses on at the drill, the plate in a clamp.",
	"Diameters are clearance holes (ISO 273, medium) where a bolt is named: estimates of what you want, not of what the part has. A printed hole comes out small; drill it to size.",
}

// TemplatesOf draws the templates of a build.
func TemplatesOf(b *rig.Build, m *solid.Model, o TemplateOptions) (Templates, error) {
	out := Templates{Templates: []Template{}, Cautions: templateCautions, Findings: []finding.Finding{}}
	w := templating{b: b, m: m, o: o, out: &out}
	for i := range m.Bodies {
		if m.Bodies[i].Side != solid.Right { // a right twin is made by its left one's sheet
			w.body(&m.Bodies[i])
		}
	}
	w.motorMount()
	w.bendGauges()
	w.spacers()
	if err := w.only(); err != nil {
		return out, err
	}
	if len(out.Templates) == 0 {
		out.Findings = append(out.Findings, finding.New(finding.Note, "shop/no-templates", `there is nothing to make a template of: no part has "holes"`))
	}
	names := map[string]int{}
	for i := range out.Templates {
		t := &out.Templates[i]
		t.Name = fileName(t.Title)
		if names[t.Name]++; names[t.Name] > 1 {
			t.Name = fmt.Sprintf("%s-%d", t.Name, names[t.Name])
		}
		t.measure()
	}
	finding.Sort(out.Findings)
	return out, nil
}

// only keeps what was asked for.
func (w *templating) only() error {
	if len(w.o.Parts) == 0 {
		return nil
	}
	var known []string
	for i := range w.out.Templates {
		if of := w.out.Templates[i].Of; !slices.Contains(known, of) {
			known = append(known, of)
		}
	}
	for _, p := range w.o.Parts {
		if !slices.Contains(known, p) {
			return fmt.Errorf("part: found %q, expected one that there is a template of: %s", p, strings.Join(known, ", "))
		}
	}
	w.out.Templates = slices.DeleteFunc(w.out.Templates, func(t Template) bool { return !slices.Contains(w.o.Parts, t.Of) })
	return nil
}

// measure gives a template its size, numbers its holes and counts their places from the edges.
func (t *Template) measure() {
	edge, all := draw.Nothing(), draw.Nothing()
	for _, l := range t.lines {
		b := l.path.Bounds()
		all = all.With(b.Min).With(b.Max)
		if l.layer == "outline" {
			edge = edge.With(b.Min).With(b.Max)
		}
	}
	for i := range t.Holes {
		all = all.With(t.Holes[i].at)
	}
	if edge.Min.X > edge.Max.X && len(t.Holes) > 0 {
		edge.Min = t.Holes[0].at
	}
	if all.Min.X <= all.Max.X {
		t.WidthMM, t.HeightMM = round2(all.W()), round2(all.H())
	}
	for i := range t.Holes {
		h := &t.Holes[i]
		h.Number = i + 1
		h.AcrossMM, h.UpMM = round2(h.at.X-edge.Min.X), round2(h.at.Y-edge.Min.Y)
	}
	if t.Holes == nil {
		t.Holes = []TemplateHole{}
	}
	if t.Assumes == nil {
		t.Assumes = []string{}
	}
}

// round2 is a length to a hundredth of a mm, which is finer than anything here is made.
func round2(v float64) float64 { return math.Round(v*100) / 100 }

type templating struct {
	b   *rig.Build
	m   *solid.Model
	o   TemplateOptions
	out *Templates
}
