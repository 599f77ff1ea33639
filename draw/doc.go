// Package draw is one display list for everything that goes on paper, with its back ends: SVG, PDF, DXF and PNG.
//
// In: a Drawing, a flat list of paths, texts and dimensions in mm, each on a named layer; or a Document, which is drawings as pages.
// Out: bytes. Every back end keeps true size: 50 mm in the list are 50 mm on the paper, in the drawing program and in the workshop.
// The same drawing gives the same bytes, whatever the machine and the day: dates come in as arguments.
//
// Coordinates are mm, x to the right, y up, origin at the lower left corner of the sheet. Angles are rad, counter-clockwise. A text's
// Size is its em in mm; digits are about 0.72 of it high.
//
//	d := draw.New("Belly from below", 210, 297)
//	d.Layer("outline", "Outline of the part", draw.Black)
//	d.Stroke("outline", draw.Rect(20, 20, 96, 70), draw.Pen(0.35))
//	d.Stroke("holes", draw.Circle(draw.Pt(60, 50), 1.7), draw.Pen(0.18))
//	d.Write("notes", draw.Text{At: draw.Pt(20, 15), S: "Ø 3.4", Size: 3})
//	d.Measure("dimensions", draw.Dim{A: draw.Pt(20, 20), B: draw.Pt(116, 20), Off: -8})
//	svg := draw.SVG(d)                          // one sheet
//	dxf := draw.DXF(d)                          // R12, millimetres
//	png, err := draw.PNG(d, 150)                // dots per inch
//	pdf, err := draw.PDF(&draw.Document{Title: "Templates", Pages: []*draw.Drawing{d}, Unix: date})
//
// Pages: A4 and Letter are formats; Sheet puts a frame, a title block and the 50 mm rule on a page (page.go); Tile cuts a drawing that is larger
// than the page into pages with overlap marks (tile.go). Chart draws lines over axes into a box of a drawing (chart.go).
//
// Names are foreign text: Clean takes control characters out of them, every back end escapes what its format needs, and Fit and Wrap keep them
// inside a box by the widths of the embedded fonts. Characters that the fonts lack are shown as □ on paper and kept in SVG.
//
// Formats: SVG 1.1 (W3C), PDF 1.7 (ISO 32000-1) by fpdf, DXF R12 (AC1009) and PNG by ourselves on the standard library and x/image.
package draw
