package draw

import (
	"fmt"
	"math"
)

// overlap is how much neighbouring pages show of the same, mm: enough to lay one over the other by the marks.
const overlap = 12.0

// mostTiles is the most pages one drawing is cut into; a part of more is no part of a rig of this size.
const mostTiles = 60

// Tile puts a drawing on pages without changing its size: on one, upright or on its side, where it goes on one; otherwise on the fewest, with marks in the
// overlaps, the neighbours' names at the edges and a plan in the corner. Only what is on the drawing counts, not its sheet.
func (s *Sheet) Tile(title string, thing *Drawing) ([]*Drawing, error) {
	b := thing.Bounds()
	if !(b.Min.X <= b.Max.X) {
		return []*Drawing{s.Page(title)}, nil
	}
	type plan struct {
		sheet      Sheet
		cols, rows int
	}
	lay := func(f Format) plan {
		p := plan{sheet: *s}
		p.sheet.Format = f
		r := p.sheet.Room()
		p.cols, p.rows = tiles(b.W(), r.W()), tiles(b.H(), r.H())
		return p
	}
	p := lay(s.Format)
	if q := lay(s.Format.Across()); q.cols*q.rows < p.cols*p.rows {
		p = q
	}
	if n := p.cols * p.rows; n > mostTiles {
		return nil, fmt.Errorf("%s: found a drawing of %.0f × %.0f mm, which would take %d pages of %s; expected at most %d", Clean(title), b.W(), b.H(), n, s.Format.Name, mostTiles)
	}
	r := p.sheet.Room()
	if p.cols*p.rows == 1 {
		d := p.sheet.Page(title)
		d.Put(thing, Placement{At: r.Middle().Minus(b.Middle())}, nil)
		return []*Drawing{d}, nil
	}
	// Even pages, so that no page shows a sliver.
	stepX, stepY := step(b.W(), r.W(), p.cols), step(b.H(), r.H(), p.rows)
	name := func(col, row int) string { return fmt.Sprintf("%c%d", 'A'+row, col+1) }
	var out []*Drawing
	for row := range p.rows { // A is the top row
		for col := range p.cols {
			d := p.sheet.Page(fmt.Sprintf("%s, %s", title, name(col, row)))
			corner := Pt(b.Min.X+float64(col)*stepX, b.Max.Y-float64(row)*stepY-min(r.H(), b.H()))
			win := Box{corner, corner.Plus(Pt(min(r.W(), b.W()), min(r.H(), b.H())))}
			move := r.Middle().Minus(win.Middle())
			clip := Box{win.Min.Plus(move), win.Max.Plus(move)}
			d.Put(thing, Placement{At: move}, &clip)
			d.Layer("tiles", "Marks to join the pages by", Green)
			for _, e := range []struct {
				on             bool
				dx, dy         int
				from, to       Point
				inX, inY, turn float64
			}{
				{col > 0, -1, 0, Pt(clip.Min.X, clip.Min.Y), Pt(clip.Min.X, clip.Max.Y), win.W() - stepX, 0, math.Pi / 2},
				{col < p.cols-1, 1, 0, Pt(clip.Max.X, clip.Min.Y), Pt(clip.Max.X, clip.Max.Y), stepX - win.W(), 0, math.Pi / 2},
				{row > 0, 0, -1, Pt(clip.Min.X, clip.Max.Y), Pt(clip.Max.X, clip.Max.Y), 0, stepY - win.H(), 0},
				{row < p.rows-1, 0, 1, Pt(clip.Min.X, clip.Min.Y), Pt(clip.Max.X, clip.Min.Y), 0, win.H() - stepY, 0},
			} {
				if !e.on {
					continue
				}
				pen := Pen(0.18).Coloured(Green)
				d.Stroke("tiles", Line(e.from, e.to), pen.Dashed(4, 2))
				mid := e.from.Plus(e.to).Times(0.5)
				d.Write("tiles", Text{
					At: mid.Plus(Pt(e.inX/4, e.inY/4)), S: name(col+e.dx, row+e.dy) + " lies over this edge", Size: 2.6, Anchor: Middle, Centre: true, Turn: e.turn, Colour: Green, Back: true,
				})
				for _, t := range []float64{0.08, 0.92} { // crosses half way into the overlap: the same place on both pages
					at := e.from.Plus(e.to.Minus(e.from).Times(t)).Plus(Pt(e.inX/2, e.inY/2))
					d.Stroke("tiles", Line(at.Minus(Pt(3, 0)), at.Plus(Pt(3, 0))), pen)
					d.Stroke("tiles", Line(at.Minus(Pt(0, 3)), at.Plus(Pt(0, 3))), pen)
					d.Stroke("tiles", Circle(at, 1.5), pen)
				}
			}
			d.key(p.cols, p.rows, col, row)
			out = append(out, d)
		}
	}
	return out, nil
}

// tiles is how many pages of a room are needed along one way.
func tiles(long, room float64) int {
	if long <= room {
		return 1
	}
	return int(math.Ceil((long - overlap) / (room - overlap)))
}

func step(long, room float64, n int) float64 {
	if n == 1 {
		return room
	}
	return (long - room) / float64(n-1)
}

// key is the plan of the pages, this one dark, in the title block.
func (d *Drawing) key(cols, rows, col, row int) {
	unit := min(6/float64(rows), 24/float64(cols), 4)
	x0, y0 := d.W-Margin-50-unit*float64(cols), Margin+1.5
	for r := range rows {
		for c := range cols {
			st := Pen(0.13).Filled(White)
			if r == row && c == col {
				st = Pen(0.13).Filled(Green)
			}
			d.Stroke("tiles", Rect(x0+float64(c)*unit, y0+float64(rows-1-r)*unit, unit, unit), st)
		}
	}
}
