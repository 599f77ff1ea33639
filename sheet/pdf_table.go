package sheet

import (
	"strings"

	"lowslung/draw"
)

// Tables on paper: columns as wide as their cells where all have room, shared out otherwise; the heading again on every page.

type laidTable struct {
	t     *Table
	wide  []float64
	head  [][]string   // lines of each heading
	cells [][][]string // lines of each cell of each row
}

func (c *composer) measure(t *Table) *laidTable {
	l := &laidTable{t: t, wide: make([]float64, len(t.Columns))}
	room := figureWide - colGap*float64(len(t.Columns)-1)
	natural, least := make([]float64, len(t.Columns)), make([]float64, len(t.Columns))
	sum := 0.0
	for k := range t.Columns {
		least[k] = longestWord(t.Columns[k].Title, draw.Bold)
		natural[k] = least[k]
		for i := range t.Rows {
			r := &t.Rows[i]
			if k >= len(r.Cells) || r.Group && k == 0 {
				continue
			}
			text := minus(t.Columns[k], r.Cells[k])
			natural[k] = max(natural[k], draw.Width(text, face(r), cellSize))
			if t.Columns[k].Num {
				least[k] = max(least[k], draw.Width(text, face(r), cellSize))
			}
		}
		least[k] = max(least[k], min(l.longestWord(k), room/4)) // a word is broken only when it is very long
		natural[k] += 0.1                                       // rounding must not break a line
		sum += natural[k]
	}
	if sum <= room {
		l.widen(natural, room-sum)
	} else {
		l.share(natural, least, room)
	}
	for k, col := range t.Columns {
		l.head = append(l.head, draw.Wrap(col.Title, draw.Bold, cellSize, l.wide[k]))
	}
	for i := range t.Rows {
		r := &t.Rows[i]
		row := make([][]string, len(t.Columns))
		for k := range t.Columns {
			if k >= len(r.Cells) {
				continue
			}
			w := l.wide[k]
			if r.Group && k == 0 {
				w = l.span(r)
			}
			row[k] = draw.Wrap(minus(t.Columns[k], r.Cells[k]), face(r), cellSize, w)
		}
		l.cells = append(l.cells, row)
	}
	return l
}

// span is how wide a group's heading may be: up to the next cell that says something.
func (l *laidTable) span(r *Row) float64 {
	w := l.wide[0]
	for k := 1; k < len(l.wide) && (k >= len(r.Cells) || r.Cells[k] == ""); k++ {
		w += colGap + l.wide[k]
	}
	return w
}

// widen gives what is left over to all columns alike, as far as that helps reading across, and the rest to those of text, by their shares.
func (l *laidTable) widen(natural []float64, left float64) {
	const most = 9.0
	each := min(left/float64(len(natural)), most)
	left -= each * float64(len(natural))
	sum := 0.0
	for k, c := range l.t.Columns {
		if !c.Num && k > 0 {
			sum += share(c)
		}
	}
	for k, c := range l.t.Columns {
		l.wide[k] = natural[k] + each
		if !c.Num && k > 0 && sum > 0 {
			l.wide[k] += left * share(c) / sum
		}
	}
}

// share gives each column at least its least, and what is left by shares, to none more than it can use.
func (l *laidTable) share(natural, least []float64, room float64) {
	left := room
	for k := range l.wide {
		l.wide[k] = min(least[k], room/float64(len(l.wide)))
		left -= l.wide[k]
	}
	for range 8 { // what one cannot use goes to the others
		sum := 0.0
		for k, c := range l.t.Columns {
			if l.wide[k] < natural[k] {
				sum += share(c)
			}
		}
		if sum == 0 || left < 0.01 {
			return
		}
		pool := left
		for k, c := range l.t.Columns {
			if l.wide[k] < natural[k] {
				more := min(natural[k]-l.wide[k], pool*share(c)/sum)
				l.wide[k] += more
				left -= more
			}
		}
	}
}

func share(c Column) float64 {
	if c.Share == 0 {
		return 1
	}
	return c.Share
}

func face(r *Row) draw.Face {
	if r.Group || r.Sum {
		return draw.Bold
	}
	return draw.Sans
}

// longestWord of a column's cells, mm.
func (l *laidTable) longestWord(k int) float64 {
	w := 0.0
	for i := range l.t.Rows {
		if r := &l.t.Rows[i]; k < len(r.Cells) && !r.Group {
			w = max(w, longestWord(r.Cells[k], face(r)))
		}
	}
	return w + 0.1
}

func longestWord(s string, f draw.Face) float64 {
	w := 0.0
	for _, word := range strings.Fields(s) {
		w = max(w, draw.Width(word, f, cellSize))
	}
	return w
}

func tallOf(cells [][]string) float64 {
	n := 1
	for _, c := range cells {
		n = max(n, len(c))
	}
	return float64(n)*cellPitch + 2*cellPad
}

// whole is a height up to which a table is not parted.
const whole = 75.0

// opening is the height of title, heading and the first rows, which stay together: all of them, when they are few.
func (l *laidTable) opening() float64 {
	tall := tallOf(l.head)
	if l.t.Title != "" {
		tall += 7
	}
	first := 0.0
	for i, row := range l.cells {
		tall += tallOf(row)
		if i == 2 {
			first = tall
		}
	}
	if tall > whole {
		return first
	}
	return tall
}

func (c *composer) table(t *Table) {
	l := c.measure(t)
	c.need(l.opening())
	if t.Title != "" {
		if !c.fresh {
			c.y -= 2
		}
		c.text(c.left, c.y-3.6, t.Title, 3.4, draw.Bold, draw.Black, draw.Start)
		c.y -= 5
	}
	c.heading(l)
	for i := range t.Rows {
		r := &t.Rows[i]
		tall := tallOf(l.cells[i])
		keep := tall
		if r.Group { // with two of the rows it heads
			for k := i + 1; k < min(i+3, len(t.Rows)); k++ {
				keep += tallOf(l.cells[k])
			}
		}
		if i+1 < len(t.Rows) && t.Rows[i+1].Sum { // no sum alone
			keep += tallOf(l.cells[i+1])
		}
		if c.y-keep < c.bottom {
			c.turn()
			c.heading(l)
		}
		if r.Sum {
			c.rule(c.y, 0.35, draw.Grey)
		}
		c.cells(l, l.cells[i], face(r), draw.Black)
		c.y -= tall
		c.rule(c.y, 0.13, draw.Pale)
	}
	c.y -= 2
}

func (c *composer) heading(l *laidTable) {
	tall := tallOf(l.head)
	c.cells(l, l.head, draw.Bold, draw.Grey)
	c.y -= tall
	c.rule(c.y, 0.3, draw.Grey)
}

// cells sets one row from the present place downwards.
func (c *composer) cells(l *laidTable, row [][]string, f draw.Face, ink draw.Colour) {
	x := c.left
	for k, lines := range row {
		for n, line := range lines {
			y := c.y - cellPad - cellPitch*(float64(n)+0.76)
			if l.t.Columns[k].Num {
				c.text(x+l.wide[k], y, line, cellSize, f, ink, draw.End)
			} else {
				c.text(x, y, line, cellSize, f, ink, draw.Start)
			}
		}
		x += l.wide[k] + colGap
	}
}
