package rig

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// A linkage from measured points: FromPoints reads a table and writes a document. All points were taken on the rig as it stands, in the
// chassis frame; links, shocks and shafts stay the distances that were measured, and what belongs to an axle is turned into that axle's
// frame (ISO 8855 axes; pose angles as in the manual, "How travel is worked out").

const (
	farthest    = 1e4                // mm: no point is that far from the chassis origin; a larger number is a slip
	onMiddle    = 1e-6               // mm: nearer to the centreline than this is on it
	steepest    = 80 * math.Pi / 180 // rad: a pinion shaft beyond it is a slip
	longestName = 40                 // letters
)

// FromPoints turns a table of points measured on the rig as it stands into the text of a rig document that Load reads. The first row
// names the columns, in any order: axle, what, chassis x, chassis y, chassis z, axle x, axle y, axle z, and when there is something to say
// side, length, pinion angle, tyre diameter, tyre width, weight. Cells are separated by commas, semicolons or tabs; with the latter two a
// decimal comma is read. The error is Diagnostics, all mistakes of the table with their places.
//
// file is the table's name in diagnostics and in the document's first comment, name what the builder calls the rig.
func FromPoints(file, name string, text []byte) ([]byte, error) {
	r := &reporter{}
	s, ok := r.readSheet(file, text)
	if !ok {
		return nil, r.list.sorted([]string{file})
	}
	p := &points{sheet: s, name: name}
	for i := range s.rows {
		p.read(&s.rows[i])
	}
	for end := range p.ends {
		p.settle(&p.ends[end])
	}
	if len(r.list) > 0 {
		return nil, r.list.sorted([]string{file})
	}
	out := p.document()
	const made = "points.rig.yaml"
	if _, err := Load(func(string) ([]byte, error) { return out, nil }, made); err != nil {
		return nil, fmt.Errorf("the document made from %s does not load, which is a mistake of this program: %v", quote(file), err)
	}
	return out, nil
}

// points is a table on its way to a document.
type points struct {
	*sheet
	name  string
	order []*span // links and shocks in the order of the rows
	ends  [2]axlePoints
}

var endNames = []string{"front", "rear"}

// axlePoints is what the table says of one axle.
type axlePoints struct {
	name    string // "front" or "rear"; empty when no row is about it
	place   Place  // of the first row about it
	wheels  []wheelPoint
	pinion  *span
	spans   []*span
	misread bool     // a wheel's row was wrong, so that nothing is known of the frame
	tilt    *float64 // pinion angle, rad, as written
	tiltAt  Place

	origin     [3]float64 // axle origin, chassis frame, mm
	turn       [9]float64 // axle frame against chassis frame, row by row
	steer      float64    // rad
	roll       float64    // rad
	half       float64    // half the track, mm
	tyre, wide *float64   // mm
	wideAt     Place
	mass       *float64 // of one wheel, kg
}

// A wheelPoint is a row about a wheel.
type wheelPoint struct {
	at    [3]float64
	side  string // left or right
	place Place
}

// A span is a row with a point on the chassis and one on the axle: a link, a shock, or a drive shaft.
type span struct {
	end     int
	shock   bool
	name    string // as the document will call it
	side    string // as written
	pair    bool
	lone    bool        // of the left and the right one only this was measured
	from    *[3]float64 // on the chassis, chassis frame; nil for a pinion whose gearbox joint was not measured
	to      [3]float64  // on the axle: as measured, in the axle frame once settled
	apart   float64     // distance between the two as measured, mm
	length  *float64    // as written, mm
	mass    *float64    // kg
	place   Place       // of its name
	sidedAt Place
}

// read takes one row in.
func (p *points) read(row *sheetRow) {
	before := len(p.list)
	axle := p.word(row, colAxle, endNames)
	what := strings.Join(strings.Fields(row.cells[colWhat].text), " ")
	if what == "" && !p.lacks[colWhat] {
		p.add("missing-cell", row.cells[colWhat].place, "", `found nothing in the column "what", expected wheel, pinion, shock, or the name of a link`)
	}
	end := slices.Index(endNames, axle)
	if end < 0 || what == "" {
		return
	}
	e := &p.ends[end]
	if e.name == "" {
		e.name, e.place = axle, row.place
	}
	kind, rest := p.kind(row, axle, what)
	switch kind {
	case "wheel":
		p.wheel(row, e)
	case "pinion":
		p.pinion(row, e, end)
	case "shock", "link":
		p.span(row, e, &span{end: end, shock: kind == "shock", name: rest, place: row.cells[colWhat].place})
	}
	if len(p.list) > before && (kind == "wheel" || kind == "") { // it may have been a wheel
		e.misread = true
	}
}

// kind tells what a row is about, and the name that the document gives it.
func (p *points) kind(row *sheetRow, axle, what string) (kind, name string) {
	at := row.cells[colWhat].place
	low := strings.ToLower(what)
	bare := what
	if strings.HasPrefix(low, axle+" ") {
		bare = what[len(axle)+1:]
	} else if other := endNames[1-slices.Index(endNames, axle)]; strings.HasPrefix(low, other+" ") {
		p.add("contradiction", at, "", "found %s in a row of the %s axle, expected the same axle in both cells", quote(what), axle)
		return "", ""
	}
	switch {
	case slices.Contains([]string{"axle", "tyre"}, strings.ToLower(bare)):
		p.add("bad-name", at, "", "found %s as the name of a link, expected another one: a part of the %s axle is called that", quote(what), axle)
		return "", ""
	case strings.Contains(what, "/"):
		p.add("bad-name", at, "", `found the name %s with "/", expected none: "/" stands between a part and its hole`, quote(what))
		return "", ""
	case len([]rune(what)) > longestName:
		p.add("bad-name", at, "", "found a name of %d letters, expected at most %d", len([]rune(what)), longestName)
		return "", ""
	}
	first, rest, _ := strings.Cut(bare, " ")
	kinds := []string{"wheel", "pinion", "shock"}
	if i := slices.Index(kinds, strings.ToLower(first)); i >= 0 && (rest == "" || kinds[i] == "shock") {
		return kinds[i], strings.TrimSpace(axle + " " + rest)
	}
	if near := p.nearest(bare, kinds); near != "" {
		p.add("unknown-word", at, "", "found %s, expected wheel, pinion, shock, or the name of a link; did you mean %s?", quote(what), quote(near))
		return "", ""
	}
	return "link", axle + " " + bare
}

// word reads a cell that must be one of some words.
func (p *points) word(row *sheetRow, k int, words []string) string {
	c := row.cells[k]
	low := strings.ToLower(c.text)
	switch {
	case slices.Contains(words, low):
		return low
	case c.text == "" && p.lacks[k]: // reported
	case c.text == "":
		p.add("missing-cell", c.place, "", "found nothing in the column %s, expected %s", quote(columnNames[k]), oneOf(words))
	default:
		p.add("unknown-word", c.place, "", "found %s in the column %s, expected %s%s", quote(c.text), quote(columnNames[k]), oneOf(words), p.like(low, words))
	}
	return ""
}

// point reads three cells from column k on. A point of which nothing is written is missing when it is needed.
func (p *points) point(row *sheetRow, k int, what string, needed bool) (at [3]float64, ok bool) {
	empty := 0
	ok = true
	for i := range at {
		c := row.cells[k+i]
		if c.text == "" {
			empty++
			continue
		}
		v, good := p.measure(row, k+i)
		if good && !(math.Abs(v) <= farthest) {
			p.add("out-of-range", c.place, "", "found %s for %s, expected at most %d m", quote(c.text), quote(columnNames[k+i]), int(farthest/1000))
			good = false
		}
		at[i], ok = v, ok && good
	}
	if empty == 0 {
		return at, ok
	}
	if empty < 3 || needed {
		for i := range at {
			if c := row.cells[k+i]; c.text == "" && !p.lacks[k+i] {
				p.add("missing-cell", c.place, "", "found nothing in the column %s, expected it for %s", quote(columnNames[k+i]), what)
			}
		}
	}
	return at, false
}

// positive reads a cell that may be empty and must otherwise be more than nothing.
func (p *points) positive(row *sheetRow, k int) *float64 {
	v, ok := p.measure(row, k)
	if !ok {
		return nil
	}
	if !(v > 0) {
		p.add("out-of-range", row.cells[k].place, "", "found %s for %s, expected more than 0", quote(row.cells[k].text), quote(columnNames[k]))
		return nil
	}
	return &v
}

// surplus reports cells that say nothing in a row of this kind.
func (p *points) surplus(row *sheetRow, kind string, columns ...int) {
	for _, k := range columns {
		if c := row.cells[k]; c.text != "" {
			p.add("surplus-cell", c.place, "", "found %s in the column %s, expected nothing there in a row about a %s", quote(c.text), quote(columnNames[k]), kind)
		}
	}
}

// tilted reads the pinion angle of a wheel's or pinion's row.
func (p *points) tilted(row *sheetRow, e *axlePoints) {
	v, ok := p.measure(row, colPinionAngle)
	if !ok {
		return
	}
	c := row.cells[colPinionAngle]
	switch {
	case !(math.Abs(v) <= steepest):
		p.add("out-of-range", c.place, "", "found the pinion angle %s, expected between -80° and 80°", quote(c.text))
	case e.tilt != nil && *e.tilt != v:
		p.add("contradiction", c.place, "", "found the pinion angle %s, and another one in line %d; expected it once for each axle", quote(c.text), e.tiltAt.Line)
	default:
		e.tilt, e.tiltAt = &v, c.place
	}
}

func (p *points) wheel(row *sheetRow, e *axlePoints) {
	w := wheelPoint{place: row.cells[colWhat].place}
	p.surplus(row, "wheel", colChassisX, colChassisY, colChassisZ, colLength)
	at, ok := p.point(row, colAxleX, "the centre of the wheel", true)
	p.tilted(row, e)
	p.once(row, colTyreDiameter, &e.tyre, e)
	if p.once(row, colTyreWidth, &e.wide, e); e.wide != nil && e.wideAt.Line == 0 {
		e.wideAt = row.cells[colTyreWidth].place
	}
	p.once(row, colWeight, &e.mass, e)
	side := ""
	if row.cells[colSide].text != "" {
		if side = p.word(row, colSide, []string{"left", "right"}); side == "" {
			return
		}
	}
	if !ok {
		e.misread = true
		return
	}
	w.at = at
	w.side = "left"
	if at[1] < 0 {
		w.side = "right"
	}
	switch {
	case math.Abs(at[1]) < onMiddle:
		p.add("out-of-range", row.cells[colAxleY].place, "", "found a wheel on the centreline, expected y of its centre: more than 0 on the left")
		return
	case side != "" && side != w.side:
		p.add("contradiction", row.cells[colSide].place, "", "found the %s wheel at y = %s mm, expected y more than 0 on the left, less on the right", side, short(at[1]))
		return
	}
	for _, other := range e.wheels {
		if other.side == w.side {
			p.add("name-twice", w.place, "", "found the %s wheel of the %s axle again, the first is in line %d; expected each wheel once", w.side, e.name, other.place.Line)
			return
		}
	}
	e.wheels = append(e.wheels, w)
}

// once reads a cell that both wheels of an axle may have, and must then agree on.
func (p *points) once(row *sheetRow, k int, into **float64, e *axlePoints) {
	v := p.positive(row, k)
	switch {
	case v == nil:
	case *into != nil && **into != *v:
		p.add("contradiction", row.cells[k].place, "", "found %s for %s, but the other wheel of the %s axle has another; expected the same, or one of them empty", quote(row.cells[k].text), quote(columnNames[k]), e.name)
	default:
		*into = v
	}
}

func (p *points) pinion(row *sheetRow, e *axlePoints, end int) {
	p.surplus(row, "pinion", colSide, colLength, colTyreDiameter, colTyreWidth)
	at := &span{end: end, name: e.name, place: row.cells[colWhat].place, mass: p.positive(row, colWeight)}
	p.tilted(row, e)
	from, measured := p.point(row, colChassisX, "the joint at the gearbox", false)
	if measured {
		at.from = &from
	} else if at.mass != nil {
		p.add("missing-cell", row.cells[colChassisX].place, "", "found the weight of a drive shaft, but not where it begins; expected the joint at the gearbox: chassis x, y and z")
	}
	to, ok := p.point(row, colAxleX, "the joint at the pinion", true)
	if !ok {
		return
	}
	if e.pinion != nil {
		p.add("name-twice", at.place, "", "found a second pinion of the %s axle, the first is in line %d; expected one", e.name, e.pinion.place.Line)
		return
	}
	at.to = to
	e.pinion = at
}

func (p *points) span(row *sheetRow, e *axlePoints, l *span) {
	what := "a link"
	if l.shock {
		what = "a shock"
	}
	p.surplus(row, strings.TrimPrefix(what, "a "), colPinionAngle, colTyreDiameter, colTyreWidth)
	from, ok1 := p.point(row, colChassisX, "the chassis end of "+what, true)
	to, ok2 := p.point(row, colAxleX, "the axle end of "+what, true)
	l.length, l.mass = p.positive(row, colLength), p.positive(row, colWeight)
	l.sidedAt = row.cells[colSide].place
	if row.cells[colSide].text != "" {
		if l.side = p.word(row, colSide, []string{"left", "right", "single", "pair"}); l.side == "" {
			return
		}
	}
	if !ok1 || !ok2 {
		return
	}
	l.from, l.to = &from, to
	l.apart = math.Hypot(math.Hypot(to[0]-from[0], to[1]-from[1]), to[2]-from[2])
	if l.apart < onMiddle && l.length == nil {
		p.add("no-length", l.place, "", "found both ends of %s in one place, expected two", quote(l.name))
		return
	}
	e.spans = append(e.spans, l)
	p.order = append(p.order, l)
}
