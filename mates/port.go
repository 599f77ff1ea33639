package mates

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"lowslung/quantity"
	"lowslung/rig"
)

// A port is one place of one part where another part meets it, with every number that decides whether they go together; lengths in mm,
// 0 where not known. Numbers that a part says elsewhere (a gear's teeth, a bearing's size, a pack's cells) are filled in.
type Port struct {
	Part, Name string `json:",omitzero"` // as the document names them
	Path       string `json:",omitzero"` // chassis/parts/pinion
	Type       string `json:",omitzero"`
	Needed     bool   `json:",omitzero"`
	Pair       bool   `json:",omitzero"`

	Diameter, Length, Width, Circle float64    `json:",omitzero"` // of a screw, Width is what it clamps
	Holes                           int        `json:",omitzero"`
	Thread, Plug                    string     `json:",omitzero"`
	Flat, Blind                     bool       `json:",omitzero"`
	From, To                        float64    `json:",omitzero"` // cells
	Bore, Outer, Thick              float64    `json:",omitzero"` // of a bearing, or of what a seat takes
	Teeth                           int        `json:",omitzero"`
	Module, Pressure, Face          float64    `json:",omitzero"` // mm, rad, mm
	Room, Around                    float64    `json:",omitzero"` // space behind a pattern: longest and thickest can that goes in
	Grid, Body, Opening             [2]float64 `json:",omitzero"` // of a pattern in a rectangle: between its holes, what goes through, what lets it through
	Material                        string     `json:",omitzero"`
	Source                          bool       `json:",omitzero"` // the part is a pack: its cells are a number, not a window
	Nut                             bool       `json:",omitzero"` // the part is a nut: it holds as much as its screw when that comes through
	Motor                           bool       `json:",omitzero"` // the part is a motor: a pinion on its shaft needs a grip

	Through []string `json:",omitzero"` // of a screw: the parts it goes through on its way to its thread
	Unsure  string   `json:",omitzero"` // of a screw: one of them whose thickness is not known

	units quantity.System // that sentences about it are in
}

func (p *Port) ref() string { return p.Part + "/" + p.Name }

// portOf fills a port from what the document says of it and of its part.
func portOf(name, path string, part *rig.Part, portName string, w *rig.Port) Port {
	p := Port{
		Part: name, Name: portName, Path: path, Type: w.Type, Needed: w.Needed, Pair: part.Pair,
		Diameter: mm(w.Diameter), Length: mm(w.Length), Width: mm(w.Width), Circle: mm(w.Circle), Holes: w.Holes,
		Room: mm(w.Room), Around: mm(w.Around), Thread: w.Thread, Plug: w.Plug, Flat: w.Flat, Blind: w.Blind, Material: w.Material, Motor: part.Motor != nil, Nut: part.Kind == "nut", Source: part.Pack != nil || part.Kind == "battery",
	}
	p.Thread = rig.TidyThread(p.Thread)
	p.Grid, p.Body, p.Opening = pointOf(w.Grid), pointOf(w.Body), pointOf(w.Opening)
	if p.Material == "" {
		p.Material = part.Material
	}
	if w.From != nil {
		p.From = *w.From
	}
	if w.To != nil {
		p.To = *w.To
	}
	if w.Bearing != "" {
		p.Bore, p.Outer, p.Thick, _ = sizeOf(w.Bearing)
	}
	p.fromPart(part)
	return p
}

func (p *Port) fromPart(part *rig.Part) {
	switch {
	case p.Type == "gear" && part.Gear != nil:
		g := part.Gear
		p.Teeth, p.Module, p.Face, p.Pressure = g.Teeth, moduleOf(g), mm(g.Face), 20*math.Pi/180 // ISO 53 where the document is silent
		if g.Pressure != nil {
			p.Pressure = float64(*g.Pressure)
		}
	case p.Type == "bore" && part.Gear != nil && p.Diameter == 0:
		p.Diameter = mm(part.Gear.Bore)
	case p.Type == "bearing" && part.Bearing != nil:
		p.Bore, p.Outer, p.Thick = float64(part.Bearing.Bore), float64(part.Bearing.Outer), float64(part.Bearing.Width)
	case p.Type == "shaft" && part.Motor != nil:
		if p.Diameter == 0 {
			p.Diameter = mm(part.Motor.Shaft)
		}
		if p.Length == 0 {
			p.Length = mm(part.Motor.ShaftLen)
		}
	case p.Type == "cells" && part.Pack != nil:
		p.From, p.To = float64(part.Pack.Cells), float64(part.Pack.Cells)
	case p.Type == "cells" && part.Controller != nil:
		p.From, p.To = float64(part.Controller.CellsFrom), float64(part.Controller.CellsTo)
	case p.Type == "plug" && p.Plug == "" && part.Pack != nil:
		p.Plug = part.Pack.Plug
	case p.Type == "plug" && p.Plug == "" && part.Controller != nil:
		p.Plug = part.Controller.Plug
	case (p.Type == "male thread" || p.Type == "female thread") && part.Screw != nil:
		if p.Thread == "" {
			p.Thread = rig.TidyThread(part.Screw.Thread)
		}
		if p.Length == 0 {
			p.Length = mm(part.Screw.Length) // of a nut it is the height
		}
	case p.Type == "clearance hole" && part.Screw != nil: // a washer
		if p.Diameter == 0 {
			p.Diameter = clearanceOf(rig.TidyThread(part.Screw.Thread))
		}
		if p.Length == 0 {
			p.Length = mm(part.Screw.Length)
		}
	}
}

func pointOf(p *rig.Point) [2]float64 {
	if p == nil {
		return [2]float64{}
	}
	return [2]float64{float64(p[0]), float64(p[1])}
}

func mm(v *quantity.Length) float64 {
	if v == nil {
		return 0
	}
	return float64(*v)
}

// moduleOf is a gear's module, mm: as written, or 25.4/DP (ISO 54; AGMA diametral pitch).
func moduleOf(g *rig.Gear) float64 {
	if g.Module != nil {
		return float64(*g.Module)
	}
	if g.DP != nil {
		return 25.4 / *g.DP
	}
	return 0
}

// sizeOf reads a bearing size, bore x outer x width: "5x11x4".
func sizeOf(text string) (bore, outer, width float64, err error) {
	f := strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return r == 'x' || r == '×' || r == ' ' })
	var v [3]float64
	if len(f) != 3 {
		return 0, 0, 0, fmt.Errorf("found the bearing size %q, expected bore x outer x width, such as 5x11x4", text)
	}
	for i := range f {
		if v[i], err = strconv.ParseFloat(f[i], 64); err != nil || v[i] <= 0 {
			return 0, 0, 0, fmt.Errorf("found the bearing size %q, expected bore x outer x width, such as 5x11x4", text)
		}
	}
	return v[0], v[1], v[2], nil
}

// threadSize is the nominal diameter of a metric thread, mm; 0 when the text is none.
func threadSize(thread string) float64 {
	size, _, _ := strings.Cut(strings.TrimPrefix(thread, "M"), "x") // M3x0.35 is M3, fine
	v, err := strconv.ParseFloat(size, 64)
	if err != nil || !strings.HasPrefix(thread, "M") || v <= 0 {
		return 0
	}
	return v
}
