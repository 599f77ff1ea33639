package mates

import (
	"fmt"
	"slices"
	"strings"
)

// steps put the build together: what is made first; then a part after what it sits on and after what is inside it (bearings before
// shafts, pins before the gears over them, screws last), by a topological order that takes the earliest in the document when several are
// free; then links, shafts and shocks, axle by axle; the wheels; and the pack is plugged in last of all.
func (w *works) steps(joints []Joint) []Step {
	index := map[string]int{}
	for i := range w.parts {
		index[w.parts[i].name] = i
	}
	after := make([]map[int]bool, len(w.parts)) // after[i][j]: i comes after j
	for i := range after {
		after[i] = map[int]bool{}
	}
	for i := range w.parts {
		if on, ok := index[w.parts[i].part.On]; ok && on != i {
			after[i][on] = true
		}
	}
	byPair := map[[2]int][]Joint{}
	pressed := map[int][]int{} // host → bearings in its seats
	turning := map[int][]int{} // host → what turns in or on it
	var plugged []Joint
	for _, j := range joints {
		a, b := w.port(j.A), w.port(j.B)
		if a == nil || b == nil {
			continue
		}
		if a.Type == "plug" || a.Type == "cells" {
			plugged = append(plugged, j)
			continue
		}
		ia, ib := index[a.Part], index[b.Part]
		if first, second := rank(a.Type), rank(b.Type); first > second || first == second && w.sitsOn(ia, ib) {
			ia, ib, a, b = ib, ia, b, a
		}
		byPair[[2]int{ia, ib}] = append(byPair[[2]int{ia, ib}], j)
		if ia != ib && !reaches(after, ia, ib) {
			after[ib][ia] = true
		}
		switch a.Type {
		case "seat":
			pressed[ia] = append(pressed[ia], ib)
		case "shaft", "journal":
			turning[ia] = append(turning[ia], ib)
		}
	}
	for host := range w.parts {
		for _, b := range pressed[host] {
			for _, t := range turning[host] {
				if b != t && !reaches(after, b, t) {
					after[t][b] = true
				}
			}
		}
	}
	out := append([]Step{}, w.makeSteps()...)
	var wheels []Step
	for _, i := range topological(after) {
		s := w.step(i, byPair)
		if kind := w.parts[i].part.Kind; kind == "tyre" || kind == "wheel" {
			wheels = append(wheels, s)
			continue
		}
		out = append(out, s)
	}
	out = append(out, w.linkSteps()...)
	out = append(out, wheels...)
	out = append(out, w.plugSteps(plugged)...)
	return slices.DeleteFunc(out, func(s Step) bool { return s.Do == "" })
}

// rank says which end of a joint is there first.
func rank(kind string) int {
	return slices.Index([]string{"seat", "shaft", "journal", "female thread", "clearance hole", "pattern", "pin hole", "cells", "gear", "bearing", "bore", "spline", "hex", "plug", "pin", "male thread"}, kind)
}

// sitsOn says that part i sits on part j, directly or through others.
func (w *works) sitsOn(i, j int) bool {
	for range w.parts {
		on := w.parts[i].part.On
		i = slices.IndexFunc(w.parts, func(u used) bool { return u.name == on })
		if on == "" || i < 0 {
			return false
		}
		if i == j {
			return true
		}
	}
	return false
}

// reaches says that i already comes after j, directly or through others.
func reaches(after []map[int]bool, i, j int) bool {
	seen := map[int]bool{}
	var visit func(int) bool
	visit = func(k int) bool {
		if k == j {
			return true
		}
		if seen[k] {
			return false
		}
		seen[k] = true
		for n := range after[k] {
			if visit(n) {
				return true
			}
		}
		return false
	}
	return visit(i)
}

// topological is Kahn's order with the smallest index first.
func topological(after []map[int]bool) []int {
	left := make([]int, len(after))
	for i := range after {
		left[i] = len(after[i])
	}
	done := make([]bool, len(after))
	var out []int
	for len(out) < len(after) {
		next := -1
		for i := range after {
			if !done[i] && left[i] == 0 {
				next = i
				break
			}
		}
		if next < 0 { // a ring: take the first that is left; it is one thing to hold together by hand
			next = slices.Index(done, false)
		}
		done[next] = true
		out = append(out, next)
		for i := range after {
			if after[i][next] {
				left[i]--
			}
		}
	}
	return out
}

// Kinds of work.
const (
	makes  = "make"
	fits   = "fit"
	makeUp = "make up"
	boltOn = "bolt on"
	slides = "slide in"
	hangs  = "hang"
	plugs  = "plug"
)

func newStep(kind, about string) Step {
	return Step{Kind: kind, About: about, Parts: []string{}, Tools: []string{}, Notes: []string{}, Care: []string{}}
}

func (w *works) step(i int, byPair map[[2]int][]Joint) Step {
	u := &w.parts[i]
	s := newStep(fits, u.path)
	var to []string
	for k := range w.parts {
		for _, j := range byPair[[2]int{k, i}] {
			to = append(to, fmt.Sprintf("%s (%s)", w.parts[k].name, j.Fit))
			s.Parts = append(s.Parts, w.parts[k].name)
			s.Notes = append(s.Notes, w.notes(j)...)
		}
	}
	if len(to) == 0 {
		if u.part.On == "" {
			return Step{}
		}
		to = []string{u.part.On}
		s.Parts = append(s.Parts, u.part.On)
	}
	verb := "Fit"
	if u.part.Kind == "bearing" {
		verb = "Press"
	}
	both := ""
	if u.part.Pair {
		both = ", left and right"
	}
	s.Do = fmt.Sprintf("%s %s to %s%s.", verb, u.name, strings.Join(to, ", "), both)
	s.Tools = tools(u)
	s.Care = append(s.Care, caution(u)...)
	s.Notes = slices.Compact(s.Notes)
	return s
}

// keys are the sizes of the hexagon key by thread and head: ISO 4762 socket head, ISO 7380 button, ISO 10642 countersunk, ISO 4026 set screw.
var keys = map[string]map[string]float64{
	"socket":      {"M2": 1.5, "M2.5": 2, "M3": 2.5, "M4": 3, "M5": 4},
	"button":      {"M2": 1.3, "M2.5": 1.5, "M3": 2, "M4": 2.5, "M5": 3},
	"countersunk": {"M2": 1.3, "M2.5": 1.5, "M3": 2, "M4": 2.5, "M5": 3},
	"set":         {"M2": 0.9, "M2.5": 1.3, "M3": 1.5, "M4": 2, "M5": 2.5},
}

// flats are the widths across flats of a hexagon nut, ISO 4032.
var flats = map[string]float64{"M2": 4, "M2.5": 5, "M3": 5.5, "M4": 7, "M5": 8}

func tools(u *used) []string {
	out := []string{}
	if sc := u.part.Screw; sc != nil {
		if k, ok := keys[sc.Head][sc.Thread]; ok {
			out = append(out, fmt.Sprintf("%g mm hexagon key", k))
		}
		if f, ok := flats[sc.Thread]; ok && (sc.Head == "hex" || u.part.Kind == "nut") {
			out = append(out, fmt.Sprintf("%g mm spanner", f))
		}
	}
	if u.part.Kind == "bearing" {
		out = append(out, "vice with soft jaws")
	}
	return out
}

// notes belong to one joint: common practice.
func (w *works) notes(j Joint) []string {
	a, b := w.port(j.A), w.port(j.B)
	switch {
	case a.Type == "male thread" || b.Type == "male thread":
		f := b
		if a.Type == "female thread" {
			f = a
		}
		switch f.Material {
		case "POM", "PA12", "PETG", "PLA", "carbon":
			return []string{"no thread lock in plastic: it cracks it; stop when it holds"}
		}
		return []string{"one drop of medium thread lock, metal on metal only"}
	case a.Type == "gear" && b.Type == "gear":
		return []string{"turn by hand all the way round: a hair of play everywhere, binding nowhere"}
	case j.Fit == "press fit":
		return []string{"press on the ring that sits in the fit, never through the balls"}
	}
	return nil
}

// caution belongs to one kind of part.
func caution(u *used) []string {
	switch u.part.Kind {
	case "battery":
		return []string{"lithium packs: never charge unattended, keep away from sharp edges and screws, store at half charge in a fireproof place, take punctured or puffed ones to the recycling yard"}
	case "motor":
		return []string{"first run with the wheels off the ground and fingers clear; motors get hot enough to burn"}
	case "servo":
		return []string{"centre the servo before the horn goes on, and keep fingers out of the linkage when it is powered"}
	}
	return nil
}
