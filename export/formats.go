package export

import (
	"fmt"
	"path"
	"strings"

	"lowslung/rig"
	"lowslung/solid"
)

// A File is one format that a rig can be written in.
type File struct {
	Format string `json:"format" enum:"glb,mjcf,csv,json" doc:"Format"`
	Title  string `json:"title" doc:"What it is"`
	For    string `json:"for" doc:"What to do with it"`
	Ending string `json:"ending" doc:"How its name ends"`
	Type   string `json:"type" doc:"Media type"`
}

// Formats are those that there are.
var Formats = []File{
	{"glb", "glTF 2.0, binary", "look at it in anything that shows 3-D models: metres, y up, parts by name", ".glb", "model/gltf-binary"},
	{"mjcf", "MJCF", "a model for a general physics engine: bodies, weights, links, springs, tyres; metres, z up", ".xml", "application/xml"},
	{"csv", "Table of points", "eyes, wheels and joints in a spreadsheet, mm, in the form that lowslung new --points reads", ".csv", "text/csv; charset=utf-8"},
	{"json", "Document as JSON", "the rig's document, bases merged, for programs; lowslung reads it as a rig", ".json", "application/json"},
}

// FormatOf is the format that a file name ends with.
func FormatOf(name string) (File, error) {
	for _, f := range Formats {
		if strings.EqualFold(path.Ext(name), f.Ending) {
			return f, nil
		}
	}
	var ends []string
	for _, f := range Formats {
		ends = append(ends, f.Ending)
	}
	return File{}, fmt.Errorf("found the file name %q, expected one that ends in %s", name, strings.Join(ends, ", "))
}

// FormatNamed is a format by its name.
func FormatNamed(name string) (File, error) {
	for _, f := range Formats {
		if f.Format == name {
			return f, nil
		}
	}
	return File{}, fmt.Errorf("format: found %q, expected glb, mjcf, csv or json", name)
}

// Write is the rig in a format. left says what of it such a file does not hold.
func Write(f File, b *rig.Build, m *solid.Model) (data []byte, left []string, err error) {
	switch f.Format {
	case "glb":
		data, err = GLB(m)
	case "mjcf":
		data, left = MJCF(m)
	case "csv":
		data, left, err = Points(m)
	default:
		data = Document(b)
		if len(b.Bins) > 0 {
			left = append(left, "the bins that it names, which stay files of their own: keep them beside it")
		}
		if len(b.Meshes) > 0 {
			left = append(left, "the mesh files that its shapes name: keep them beside it")
		}
	}
	return data, left, err
}
