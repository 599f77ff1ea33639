package rocks

import (
	"bufio"
	"fmt"
	"math"
	"strconv"
	"strings"

	"lowslung/quantity"
)

// A Map is a map of heights: a grid of points that the rig drives over along its lines, from the first to the last.
type Map struct {
	CellMM  float64   `json:"cell_mm" doc:"Distance between neighbouring points, both ways"`
	Lines   int       `json:"lines" doc:"Lines, one after the other the way the rig goes"`
	Across  int       `json:"across" doc:"Points of a line, from left to right"`
	Heights []float64 `json:"heights_mm" nullable:"false" doc:"Line by line, from left to right"`
}

const (
	mostLines, mostAcross = 1500, 400
	mostHeight            = 2000.0 // mm up or down
)

// ParseMap reads a map as text: words first, then one line of heights for each step the way the rig goes, from left to right, apart by spaces, commas,
// semicolons or tabs. "cell 20 mm" says how far apart the points are, "heights in" in which unit they are written (mm without), a # begins a remark.
// All lines have as many heights.
func ParseMap(text string) (*Map, error) {
	m := &Map{CellMM: 0}
	unit := "mm"
	in := bufio.NewScanner(strings.NewReader(text))
	in.Buffer(nil, 1<<20)
	n := 0
	for in.Scan() {
		n++
		line, _, _ := strings.Cut(in.Text(), "#")
		words := strings.FieldsFunc(line, func(r rune) bool { return strings.ContainsRune(" \t,;\r\uFEFF", r) })
		if len(words) == 0 {
			continue
		}
		bad := func(format string, args ...any) (*Map, error) {
			return nil, fmt.Errorf("map, line %d: "+format, append([]any{n}, args...)...)
		}
		switch {
		case strings.EqualFold(words[0], "cell"):
			v, err := quantity.DimLength.Parse(strings.Join(words[1:], " "))
			if err != nil {
				return bad("cell: %w", err)
			}
			if !(v >= 2 && v <= 200) {
				return bad("found a cell of %g mm, expected 2 to 200 mm", v)
			}
			m.CellMM = v
			continue
		case strings.EqualFold(words[0], "heights"):
			if _, ok := quantity.DimLength.Unit(strings.Join(words[1:], " ")); !ok {
				return bad("found heights in %q, expected a unit of length: %s", strings.Join(words[1:], " "), strings.Join(quantity.DimLength.Symbols(), ", "))
			}
			unit = strings.Join(words[1:], " ")
			continue
		}
		if m.CellMM == 0 {
			return bad("found heights before the size of a cell, expected a line such as \"cell 20 mm\" first")
		}
		if m.Across == 0 {
			m.Across = len(words)
		}
		if len(words) != m.Across {
			return bad("found %d heights, expected %d as in the line of heights before it", len(words), m.Across)
		}
		if m.Lines++; m.Lines > mostLines || m.Across > mostAcross {
			return bad("found more than %d lines or %d heights in a line, expected a smaller map or larger cells", mostLines, mostAcross)
		}
		for _, word := range words {
			v, err := strconv.ParseFloat(word, 64)
			if err != nil || math.IsNaN(v) {
				return bad("found %q, expected a height such as 12.5", word)
			}
			u, _ := quantity.DimLength.Unit(unit)
			if v *= u.Factor; math.Abs(v) > mostHeight {
				return bad("found a height of %g mm, expected at most %g mm up or down", v, mostHeight)
			}
			m.Heights = append(m.Heights, v)
		}
	}
	if err := in.Err(); err != nil {
		return nil, fmt.Errorf("map, line %d: %w", n+1, err)
	}
	if m.Lines < 2 || m.Across < 2 {
		return nil, fmt.Errorf("map: found %d lines of %d heights, expected at least 2 of 2", m.Lines, m.Across)
	}
	return m, nil
}

// course lays the map: the rig stands on its first lines, and is through when its front tyres come to the last.
func (m *Map) course(r *machine) (course, error) {
	long := float64(m.Lines-1) * m.CellMM
	need := r.base + 4*r.radius
	if long < need {
		return course{}, fmt.Errorf("map: found %.0f mm of it along the way, expected at least %.0f mm: wheelbase and two tyres", long, need)
	}
	if wide := float64(m.Across-1) * m.CellMM; wide < 200 {
		return course{}, fmt.Errorf("map: found %.0f mm of it across the way, expected at least 200 mm", wide)
	}
	f := &field{cell: m.CellMM, nx: m.Lines, ny: m.Across, x: -(r.base + 1.6*r.radius + 1.2*r.radius), y: -float64(m.Across-1) * m.CellMM / 2}
	f.z = make([]float64, len(m.Heights))
	for i := range m.Lines {
		for k := range m.Across {
			z := m.Heights[i*m.Across+k]
			f.z[(m.Across-1-k)*m.Lines+i] = z // written from left to right, and y grows to the left
		}
	}
	f.cover()
	return course{rock: terrain{group{field: f}}, start: 1.6, finish: f.x + long - r.base - 1.2*r.radius}, nil
}
