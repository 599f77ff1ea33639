package rig

import (
	"fmt"
	"strings"

	"lowslung/quantity"
)

// A Place is where in which text something was written. Line and Col count from 1; the zero Place is "nowhere".
type Place struct {
	File string
	Line int
	Col  int
}

// String is file:line:col as compilers print it, or the file alone when there is no line.
func (p Place) String() string {
	if p.Line == 0 {
		return p.File
	}
	return fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Col)
}

// A Map keeps named entries in the order they were written. Names are unique.
type Map[T any] []Entry[T]

// An Entry is one named thing of a Map.
type Entry[T any] struct {
	Name  string
	Place Place // of the name
	Value T
}

// Get finds the entry called name; the pointer stays valid as long as the map.
func (m Map[T]) Get(name string) (*T, bool) {
	for i := range m {
		if m[i].Name == name {
			return &m[i].Value, true
		}
	}
	return nil, false
}

// keyed marks every Map for the decoder and the schema.
func (m Map[T]) keyed() {}

// Names lists the names in the order written.
func (m Map[T]) Names() []string {
	out := make([]string, len(m))
	for i := range m {
		out[i] = m[i].Name
	}
	return out
}

// A Vec is a point or an offset, mm: forward, left, up.
type Vec [3]quantity.Length

// A Dir is a direction of any length but zero, without a unit.
type Dir [3]float64

// A Turn is roll, pitch and yaw, rad, applied as Rz(yaw)·Ry(pitch)·Rx(roll).
type Turn [3]quantity.Angle

// A Point is a corner of a plate's outline, mm.
type Point [2]quantity.Length

// A Ref names a hole, an output or a port of a part: "belly/rear lower". A Ref with no "/" names a part.
type Ref struct {
	Text  string
	Place Place
}

// Split takes the reference apart at its last slash, so that a part's own name may hold slashes.
func (r Ref) Split() (part, port string) {
	i := strings.LastIndex(r.Text, "/")
	if i < 0 {
		return r.Text, ""
	}
	return r.Text[:i], r.Text[i+1:]
}

// A Quantity is a number whose dimension is only known once it is used (a target's): kept as written.
type Quantity struct {
	Text  string
	Place Place
}

// In reads the quantity as one of dimension d, in program units.
func (q Quantity) In(d *quantity.Dimension) (float64, error) { return d.Parse(q.Text) }

// A Value is any value of a document, kept as it was written.
type Value struct{ Node *Node }
