package solid

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"lowslung/rig"
)

// A document of the time when the tie rod was a length alone means what it meant: that length, and two parts that weigh what they did.
func TestSteeringAsItWasWritten(t *testing.T) {
	b, err := rig.Load(func(name string) ([]byte, error) {
		return os.ReadFile(filepath.Join("..", "rig", "testdata", "kept", name))
	}, "steer-before-rods.rig.yaml")
	if err != nil {
		t.Fatal(err)
	}
	m, err := Resolve(b)
	if err != nil {
		t.Fatal(err)
	}
	if d := m.Steer.TieRod - 6.5*25.4; math.Abs(d) > 1e-9 || m.Steer.Drag != 101 {
		t.Errorf("tie rod %g mm, drag link %g mm", m.Steer.TieRod, m.Steer.Drag)
	}
	if m.Steer.Tie.Said() || m.Steer.Link.Said() || len(b.Doc.Rodded()) != 0 {
		t.Errorf("rods that nobody described: %+v, %+v, %v", m.Steer.Tie, m.Steer.Link, b.Doc.Rodded())
	}
	mass, _ := CenterOfMass(m.Lumps(&Stance{{R: Identity}, {R: Identity}}))
	if want := 0.062 + 0.009 + 0.248 + 0.013; math.Abs(mass-want) > 1e-12 {
		t.Errorf("it weighs %g kg, expected %g", mass, want)
	}
}

const rodShelf = `lowslung: 1
items:
  tube: {kind: rod, rod: {length: 140, diameter: 5, thread: M3}, mass: 6}
  joint: {kind: rod end, end: {adds: 12, out: 3, thread: M3}, mass: 3.5}
`

const steered = `lowslung: 1
name: steered
bins: [shelf.bin.yaml]
chassis: {parts: {servo: {kind: servo, at: [170, 0, 50]}}}
front: {near: [150, 0, -10], parts: {axle: {kind: axle, holes: {low: {at: [0, 0, 0]}}}}}
steer:
  kingpin: {upper: [0, 80, 13], lower: [0, 80, -13]}
  arm: [20, 84, 4]
  tie_rod: {rod: {item: tube}, ends: [joint, joint], turns: 8}
  drag_link: {to: [20, -83, 14], rod: {length: 76}, ends: [joint, joint], mass: 10, diameter: 4}
  servo: servo
  horn: {at: [20, 10, 0], axis: [1, 0, 0], eye: [24, 10, -22]}
`

// Lengths and weights by hand: 140 + 2·12 + 8 turns of 0.5 mm (M3, ISO 261); 6 + 2·3.5 g. The drag link hangs by half on either end; the tie rod is on the axle, half way
// between the arms.
func TestSteeringRods(t *testing.T) {
	load := func(text string) (*Model, error) {
		b, err := rig.Load(func(name string) ([]byte, error) {
			return []byte(map[string]string{"it.rig.yaml": text, "shelf.bin.yaml": rodShelf}[name]), nil
		}, "it.rig.yaml")
		if err != nil {
			return nil, err
		}
		return Resolve(b)
	}
	m, err := load(steered)
	if err != nil {
		t.Fatal(err)
	}
	s := &m.Steer
	if s.TieRod != 140+24+4 || s.Drag != 76+24 || s.Tie.Width != 5 || s.Link.Width != 4 {
		t.Errorf("tie rod %g, drag link %g mm, diameters %g, %g", s.TieRod, s.Drag, s.Tie.Width, s.Link.Width)
	}
	lumps := m.Lumps(&Stance{{At: Vec{X: 150, Z: -10}, R: Identity}, {R: Identity}})
	if len(lumps) != 2 {
		t.Fatalf("%d weights, expected two: %+v", len(lumps), lumps)
	}
	for i, want := range []Lump{
		{Name: "tie rod", Mass: 0.013, At: Vec{X: 170, Z: -6}, Sprung: 0},
		{Name: "drag link", Mass: 0.010, At: Vec{X: (194 + 170) / 2., Y: (10 - 83) / 2., Z: (28 + 4) / 2.}, Sprung: 0.5},
	} {
		if l := &lumps[i]; l.Name != want.Name || math.Abs(l.Mass-want.Mass) > 1e-12 || l.At.Sub(want.At).Norm() > 1e-9 || l.Sprung != want.Sprung {
			t.Errorf("%+v, expected %+v", l, want)
		}
	}
	// With the servo on the axle the drag link is on it too, and no spring carries it.
	on, err := load(strings.Replace(strings.Replace(steered, "servo: {kind: servo, at: [170, 0, 50]}", "", 1), "axle: {kind: axle, holes", "servo: {kind: servo, at: [20, 0, 60]}, axle: {kind: axle, holes", 1))
	if err != nil {
		t.Fatal(err)
	}
	if _, spans := on.Steer.Span(); spans || len(on.Bodies) != 4 || on.Bodies[3].Path != "steer/drag_link" || on.Bodies[3].CG != (Vec{X: (44 + 20) / 2., Y: (10 - 83) / 2., Z: (38 + 14) / 2.}) {
		t.Errorf("spans %v, bodies %+v", spans, on.Bodies)
	}
	for bad, want := range map[string]string{
		"tie_rod: {rod: {item: tube}, turns: 8}":                                    `found "rod" without "ends"`,
		"tie_rod: {rod: {item: tub}, ends: [joint, joint]}":                         `found the rod "tub"`,
		"tie_rod: {rod: {item: tube}, ends: [joint]}":                               "found 1 rod ends, expected two, the left end first",
		"tie_rod: {rod: {item: tube}, ends: [joint, joint], turns: 20}":             "found 20 turns",
		"tie_rod: {rod: {item: tube}, ends: [joint, joint], turns: 8, length: 170}": "found the length 170 mm, but rod, ends and turns make 168 mm",
		"tie_rod: {turns: 3}": `found neither "length" nor "rod" and "ends"`,
		"tie_rod: {rod: {item: tube}, ends: [joint, joint], bolt: {bolt: M3, blind: true}}": `found "blind" without "grip"`,
		"tie_rod: [168]": `found a list of 1 value for "tie_rod"`,
		"tie_rod: -4":    `found "-4" for "length", expected more than 0 mm`,
	} {
		_, err := load(strings.Replace(steered, "tie_rod: {rod: {item: tube}, ends: [joint, joint], turns: 8}", bad, 1))
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, expected %q", bad, err, want)
		}
	}
	for text, want := range map[string]float64{"tie_rod: 166": 166, "tie_rod: {length: 166}": 166, "tie_rod: {diameter: 5}": 0, "tie_rod: {mass: 12}": 0} {
		if m, err := load(strings.Replace(steered, "tie_rod: {rod: {item: tube}, ends: [joint, joint], turns: 8}", text, 1)); err != nil || m.Steer.TieRod != want {
			t.Errorf("%s: %v, %v", text, m, err)
		}
	}
}
