package shop

import (
	"fmt"
	"strings"

	"lowslung/finding"
	"lowslung/quantity"
	"lowslung/rig"
	"lowslung/solid"
)

// WeighOptions of a part's mesh.
type WeighOptions struct {
	Material string  // one of the list; all of them when empty
	Infill   float64 // share of the volume that is material; 1 when 0
	Scale    float64 // what coordinates are multiplied by; 1 when 0
	File     string  // name, for the lines to write in a document
	Units    quantity.System
}

// ParseWeighOptions reads the options as flags and query parameters carry them; empty text means the usual.
func ParseWeighOptions(material, infill, scale string, units quantity.System) (WeighOptions, error) {
	o := WeighOptions{Material: material, Units: units}
	if material != "" {
		if _, ok := solid.MaterialOf(material); !ok {
			return o, fmt.Errorf("material: found %q, expected one of %s", material, strings.Join(solid.MaterialNames(), ", "))
		}
	}
	if infill != "" {
		v, err := quantity.DimShare.Parse(infill)
		if err != nil {
			return o, fmt.Errorf("infill: %w", err)
		}
		if !(v > 0 && v <= 1) {
			return o, fmt.Errorf("infill: found %s, expected more than 0 and at most 100 %%", infill)
		}
		o.Infill = v
	}
	if scale != "" {
		v, err := quantity.DimNumber.Parse(scale)
		if err != nil {
			return o, fmt.Errorf("scale: %w", err)
		}
		if !(v >= 1e-4 && v <= 1e4) {
			return o, fmt.Errorf("scale: found %s, expected 0.0001 to 10000", scale)
		}
		o.Scale = v
	}
	return o, nil
}

// Weighed is what a part's mesh says of itself.
type Weighed struct {
	SizeMM    [3]float64        `json:"size_mm" nullable:"false" doc:"Of its bounding box, along its own x, y and z"`
	MiddleMM  [3]float64        `json:"middle_mm" nullable:"false" doc:"Middle of that box"`
	Triangles int               `json:"triangles" doc:"How many"`
	Closed    bool              `json:"closed" doc:"Its surface is closed, so that it has an inside and a volume"`
	VolumeMM3 *float64          `json:"volume_mm3" doc:"Volume; null when it is not closed"`
	CenterMM  []float64         `json:"center_of_mass_mm" doc:"Centre of mass at even density, in its own frame; null when it is not closed"`
	Infill    float64           `json:"infill" doc:"Share of the volume that is taken to be material, 0 to 1: an assumption"`
	Weights   []MaterialWeight  `json:"weights" nullable:"false" doc:"Estimates, one for each material"`
	Part      string            `json:"part" doc:"Lines for a document: a part with this mesh"`
	Findings  []finding.Finding `json:"findings" nullable:"false" doc:"What to know of it"`
}

// MaterialWeight is a weight in one material.
type MaterialWeight struct {
	Material string  `json:"material" doc:"Material"`
	Density  float64 `json:"density_kg_per_m3" doc:"Density"`
	MassG    float64 `json:"mass_g" doc:"Density times volume times infill: an estimate"`
}

// Weigh reads an STL or a 3MF of a part. The error says what is wrong with the file.
func Weigh(data []byte, o WeighOptions) (Weighed, error) {
	if o.Infill == 0 {
		o.Infill = 1
	}
	if o.Scale == 0 {
		o.Scale = 1
	}
	out := Weighed{Infill: o.Infill, Weights: []MaterialWeight{}, Findings: []finding.Finding{}}
	m, err := solid.ReadMesh(data, o.Scale)
	if err != nil {
		return out, fmt.Errorf("found %w", err)
	}
	size, mid := m.Bound.Hi.Sub(m.Bound.Lo), m.Bound.Hi.Add(m.Bound.Lo).Scale(0.5)
	out.SizeMM, out.MiddleMM = [3]float64{size.X, size.Y, size.Z}, [3]float64{mid.X, mid.Y, mid.Z}
	out.Triangles, out.Closed = len(m.Triangles), m.Closed
	long := max(size.X, size.Y, size.Z)
	mm := func(v float64) string { return quantity.DimLength.Format(v, o.Units) }
	switch {
	case long < 2:
		out.Findings = append(out.Findings, finding.New(finding.Watch, "shop/mesh-size", "The part is %s long at most: it may have been drawn in inches or metres.", mm(long)).CuredBy("a scale: 25.4 for inches, 1000 for metres"))
	case long > 700:
		out.Findings = append(out.Findings, finding.New(finding.Watch, "shop/mesh-size", "The part is %s long: too large for a rig of this scale.", mm(long)).CuredBy("a scale: 0.001 for micrometres, or the right unit where it was drawn"))
	}
	names := solid.MaterialNames()
	if o.Material != "" {
		names = []string{o.Material}
	}
	if m.Closed && m.Volume > 0 {
		v := m.Volume
		out.VolumeMM3, out.CenterMM = &v, []float64{m.Middle.X, m.Middle.Y, m.Middle.Z}
		for _, n := range names {
			mat, _ := solid.MaterialOf(n)
			out.Weights = append(out.Weights, MaterialWeight{n, mat.Density, mat.Density * v * o.Infill * 1e-6})
		}
	} else {
		out.Findings = append(out.Findings, finding.New(finding.Watch, "shop/open-mesh", "The surface is not closed, so it has no volume and no weight: something is missing, or two bodies touch along a side.").CuredBy("save it as one closed solid"))
	}
	out.Part = partText(&o, m.Closed)
	return out, nil
}

// partText is a part of a document that names the mesh.
func partText(o *WeighOptions, closed bool) string {
	name, file := "my part", o.File
	if file == "" {
		file = "part.3mf"
	}
	shape := fmt.Sprintf("mesh: %s", rig.Scalar(file))
	if o.Scale != 1 {
		shape += fmt.Sprintf(", scale: %g", o.Scale)
	}
	text := fmt.Sprintf("%s:\n  kind: other\n  made: true\n", name)
	if o.Material != "" {
		text += fmt.Sprintf("  material: %s\n", o.Material)
		if closed {
			text += fmt.Sprintf("  infill: %g %%      # its weight is estimated until mass: is written\n", 100*o.Infill)
		}
	}
	return text + fmt.Sprintf("  at: [0, 0, 0]\n  shape: [{%s}]\n", shape)
}
