package shop

import (
	"archive/zip"
	"bytes"
	"fmt"

	"lowslung/draw"
)

// A File is one file of drawings.
type File struct {
	Name string
	Data []byte
}

// Files are the templates in a format: pdf is one file with all pages, svg one for each page, dxf one for each template.
func (t *Templates) Files(format string, p Paper) ([]File, error) {
	if format == "dxf" {
		if n := len(t.Templates); n > mostTemplates {
			return nil, fmt.Errorf("found %d templates, expected at most %d at once: ask for some parts by name", n, mostTemplates)
		}
		var out []File
		for i := range t.Templates {
			k := &t.Templates[i]
			out = append(out, File{k.Name + ".dxf", draw.DXF(k.Drawing(&p, true))})
		}
		return out, nil
	}
	doc, err := t.Document(p)
	if err != nil {
		return nil, err
	}
	return pageFiles("templates", format, doc)
}

// Files are the drawings of the cut list, as the templates'.
func (c *Cut) Files(format string, p Paper) ([]File, error) {
	doc := c.Document(p)
	if format == "dxf" {
		var out []File
		for i, d := range doc.Pages {
			out = append(out, File{fmt.Sprintf("cut-%d.dxf", i+1), draw.DXF(d)})
		}
		return out, nil
	}
	return pageFiles("cut", format, doc)
}

func pageFiles(name, format string, doc *draw.Document) ([]File, error) {
	switch format {
	case "pdf":
		b, err := draw.PDF(doc)
		if err != nil {
			return nil, err
		}
		return []File{{name + ".pdf", b}}, nil
	case "svg":
		var out []File
		for i, d := range doc.Pages {
			out = append(out, File{fmt.Sprintf("%s-%d.svg", name, i+1), draw.SVG(d)})
		}
		return out, nil
	}
	return nil, fmt.Errorf("format: found %q, expected pdf, svg or dxf", format)
}

// Zip packs files, without dates, so that the same files give the same bytes.
func Zip(files []File) ([]byte, error) {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, f := range files {
		w, err := z.CreateHeader(&zip.FileHeader{Name: f.Name, Method: zip.Deflate})
		if err != nil {
			return nil, err
		}
		if _, err := w.Write(f.Data); err != nil {
			return nil, err
		}
	}
	err := z.Close()
	return b.Bytes(), err
}
