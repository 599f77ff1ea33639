package form

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"io"
	"strconv"
)

// The parts of a 3MF package (3MF Consortium, 3D Manufacturing Format, Core Specification 1.3.0; ECMA-376-2 for the package around it).
const (
	contentTypes = `<?xml version="1.0" encoding="UTF-8"?>
<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/></Types>
`
	relations = `<?xml version="1.0" encoding="UTF-8"?>
<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Target="/3D/3dmodel.model" Id="rel0" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>
`
	modelHead = `<?xml version="1.0" encoding="UTF-8"?>
<model unit="millimeter" xml:lang="en-US" xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02">
`
)

// ThreeMF is the mesh as a 3MF file in millimetres with a title and a sentence on its use. The same mesh and texts give the same bytes.
func (m *Mesh) ThreeMF(title, use string) []byte {
	var x bytes.Buffer
	x.WriteString(modelHead)
	meta := func(name, text string) {
		if text != "" {
			x.WriteString(`<metadata name="` + name + `">`)
			_ = xml.EscapeText(&x, []byte(text)) // a buffer does not fail
			x.WriteString("</metadata>\n")
		}
	}
	meta("Title", title)
	meta("Description", use)
	x.WriteString("<resources><object id=\"1\" type=\"model\"><mesh>\n<vertices>\n")
	number := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	for _, p := range m.Points {
		x.WriteString(`<vertex x="` + number(p.X) + `" y="` + number(p.Y) + `" z="` + number(p.Z) + "\"/>\n")
	}
	x.WriteString("</vertices>\n<triangles>\n")
	for _, t := range m.Triangles {
		x.WriteString(`<triangle v1="` + strconv.Itoa(t[0]) + `" v2="` + strconv.Itoa(t[1]) + `" v3="` + strconv.Itoa(t[2]) + "\"/>\n")
	}
	x.WriteString("</triangles>\n</mesh></object></resources>\n<build><item objectid=\"1\"/></build>\n</model>\n")

	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, part := range []struct {
		name string
		text []byte
	}{{"[Content_Types].xml", []byte(contentTypes)}, {"_rels/.rels", []byte(relations)}, {"3D/3dmodel.model", x.Bytes()}} {
		w, err := z.CreateHeader(&zip.FileHeader{Name: part.name, Method: zip.Deflate}) // no date: the same bytes each time
		if err == nil {
			_, err = io.Copy(w, bytes.NewReader(part.text))
		}
		if err != nil {
			panic(err) // a buffer does not fail
		}
	}
	if err := z.Close(); err != nil {
		panic(err)
	}
	return out.Bytes()
}
