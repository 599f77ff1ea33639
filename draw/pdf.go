package draw

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"
)

// A Document is drawings as pages.
type Document struct {
	Title, Subject string
	Pages          []*Drawing
	Unix           int64 // date of making written into the file, s since 1970 UTC; an argument, so that the same input gives the same bytes
	TrueSize       bool  // ask the program that prints for 100 % (/PrintScaling /None)
}

// mostPages is more than anyone prints; a document over it is refused.
const mostPages = 2000

// PDF is the document with its fonts embedded and its text selectable; layers are optional content, pages are bookmarks.
func PDF(doc *Document) ([]byte, error) {
	if len(doc.Pages) == 0 {
		return nil, fmt.Errorf("PDF: found no pages, expected at least one")
	}
	if len(doc.Pages) > mostPages {
		return nil, fmt.Errorf("PDF: found %d pages, expected at most %d: ask for fewer parts, or a larger paper", len(doc.Pages), mostPages)
	}
	f := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: doc.Pages[0].W, Ht: doc.Pages[0].H}})
	w := pdf{Fpdf: f, has: map[Face]bool{}}
	f.SetCatalogSort(true)
	at := time.Unix(doc.Unix, 0).UTC()
	f.SetCreationDate(at)
	f.SetModificationDate(at)
	f.SetTitle(shown(doc.Title), true)
	f.SetSubject(shown(doc.Subject), true)
	f.SetCreator("lowslung", true)
	f.SetProducer("lowslung", true)
	f.SetAutoPageBreak(false, 0)
	f.SetMargins(0, 0, 0)
	f.SetLineJoinStyle("round")
	f.SetLineCapStyle("round")
	for _, p := range doc.Pages {
		w.page(p, len(doc.Pages) > 1)
	}
	var b bytes.Buffer
	if err := f.Output(&b); err != nil {
		return nil, fmt.Errorf("PDF: %w", err)
	}
	if doc.TrueSize {
		return unscaled(b.Bytes())
	}
	return b.Bytes(), nil
}

type pdf struct {
	*fpdf.Fpdf
	has    map[Face]bool // fonts taken in; looked up, never walked
	layers []string
	ids    []int
	h      float64
}

func (w *pdf) page(d *Drawing, bookmark bool) {
	w.AddPageFormat("P", fpdf.SizeType{Wd: d.W, Ht: d.H})
	w.SetLineJoinStyle("round")
	w.SetLineCapStyle("round")
	w.h = d.H
	if bookmark {
		w.Bookmark(shown(d.Name), 0, 0)
	}
	layer := "\x00"
	d.flat(func(i *Item) {
		if i.Layer != layer {
			if layer != "\x00" {
				w.EndLayer()
			}
			layer = i.Layer
			w.BeginLayer(w.layer(d, layer))
		}
		w.item(i)
	})
	if layer != "\x00" {
		w.EndLayer()
	}
}

// layer is the number of a layer, the same on all pages.
func (w *pdf) layer(d *Drawing, name string) int {
	for k, n := range w.layers {
		if n == name {
			return w.ids[k]
		}
	}
	title := name
	for _, l := range d.Layers {
		if l.Name == name && l.Title != "" {
			title = l.Title
		}
	}
	id := w.AddLayer(shown(title), true)
	w.layers, w.ids = append(w.layers, name), append(w.ids, id)
	return id
}

func (w *pdf) item(i *Item) {
	if c := i.Clip; c != nil {
		w.ClipRect(c.Min.X, w.h-c.Max.Y, c.W(), c.H(), false)
		defer w.ClipEnd()
	}
	if link := safeLink(i.Link); strings.HasPrefix(link, "http") {
		b := i.Bounds()
		w.LinkString(b.Min.X, w.h-b.Max.Y, b.W(), b.H(), link)
	}
	if i.Text != nil {
		w.text(i.Text)
		return
	}
	do := ""
	if i.Style.Fill != None {
		r, g, b := i.Style.Fill.rgb()
		w.SetFillColor(int(r), int(g), int(b))
		do = "F"
	}
	if i.Style.Stroke != None {
		r, g, b := i.Style.Stroke.rgb()
		w.SetDrawColor(int(r), int(g), int(b))
		w.SetLineWidth(i.Style.Width)
		w.SetDashPattern(i.Style.Dash, 0)
		do += "D"
	}
	if do == "" || len(i.Path) == 0 {
		return
	}
	w.trace(i.Path)
	w.DrawPath(do)
}

func (w *pdf) trace(p Path) {
	down := false
	for _, s := range p.curves() {
		x, y := s.To.X, w.h-s.To.Y
		switch s.Verb {
		case MoveTo:
			w.MoveTo(x, y)
		case LineTo:
			w.LineTo(x, y)
		case CurveTo:
			if !down {
				w.MoveTo(x, y) // cannot happen to paths made by this package
			}
			w.CurveBezierCubicTo(s.C1.X, w.h-s.C1.Y, s.C2.X, w.h-s.C2.Y, x, y)
		case Close:
			w.ClosePath()
		}
		down = true
	}
}

func (w *pdf) text(t *Text) {
	s := shown(t.S)
	if s == "" {
		return
	}
	if t.Back {
		c := t.corners()
		w.SetFillColor(255, 255, 255)
		w.trace(Polygon(c[:]...))
		w.DrawPath("F")
	}
	face := t.Face.face()
	if !w.has[t.Face] {
		w.AddUTF8FontFromBytes(face.name, "", bytes.Clone(face.ttf)) // a copy: the library writes into it when it takes glyphs out
		w.has[t.Face] = true
	}
	w.SetFont(face.name, "", 10)
	w.SetFontUnitSize(t.Size)
	r, g, b := t.colour().rgb()
	w.SetTextColor(int(r), int(g), int(b))
	o := t.origin()
	if t.Turn != 0 {
		w.TransformBegin()
		w.TransformRotate(t.Turn*180/math.Pi, o.X, w.h-o.Y)
		defer w.TransformEnd()
	}
	w.Text(o.X, w.h-o.Y, s)
}

// unscaled asks the program that prints for no scaling. The library has no word for it, so the wish (ISO 32000-1, table 150) is put at the end of the
// catalogue, which is the last object of the file: only the place of the cross-reference table moves.
func unscaled(file []byte) ([]byte, error) {
	const wish = "/ViewerPreferences <</PrintScaling /None>>\n"
	x := bytes.LastIndex(file, []byte("\nxref\n"))
	end := -1
	if x >= 0 {
		end = bytes.LastIndex(file[:x], []byte(">>\nendobj"))
	}
	start := bytes.LastIndex(file, []byte("startxref\n"))
	if end < 0 || start < x || !bytes.Contains(file[max(0, end-2000):end], []byte("/Type /Catalog")) {
		return nil, fmt.Errorf("PDF: the catalogue is not where the library used to put it")
	}
	var b bytes.Buffer
	b.Write(file[:end])
	b.WriteString(wish)
	b.Write(file[end:start])
	fmt.Fprintf(&b, "startxref\n%d\n%%%%EOF\n", x+1+len(wish))
	return b.Bytes(), nil
}
