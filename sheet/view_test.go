package sheet

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"lowslung/draw"
	"lowslung/solid"
	"lowslung/travel"
)

// texts of a drawing with their boxes, those of dimensions too.
func texts(d *draw.Drawing) (out []*draw.Text) {
	for i := range d.Items {
		list := []draw.Item{d.Items[i]}
		if d.Items[i].Dim != nil {
			list = d.Items[i].Dim.Parts("")
		}
		for k := range list {
			if list[k].Text != nil && list[k].Text.S != "" {
				out = append(out, list[k].Text)
			}
		}
	}
	return out
}

// No word of a drawing lies on another, and none hangs over the edge.
func TestNoTextOverlaps(t *testing.T) {
	n := 0
	for name, s := range everySheet(t) {
		for _, x := range s.Sections {
			for _, b := range x.Blocks {
				if b.Figure == nil || !strings.HasSuffix(b.Figure.Drawing.Name, " view") { // in plots, marks are as near as their points
					continue
				}
				d := b.Figure.Drawing
				all := texts(d)
				for i, a := range all {
					box := a.Bounds()
					if box.Min.X < -0.01 || box.Min.Y < -0.01 || box.Max.X > d.W+0.01 || box.Max.Y > d.H+0.01 {
						t.Errorf("%s, %s: %q hangs over the edge: %v of %.0f × %.0f", name, b.Figure.Title, a.S, box, d.W, d.H)
					}
					for _, c := range all[:i] {
						n++
						if box.Grown(-0.1).Meets(c.Bounds()) {
							t.Errorf("%s, %s: %q lies on %q", name, b.Figure.Title, a.S, c.S)
						}
					}
				}
			}
		}
	}
	if n < 300 {
		t.Errorf("only %d pairs were looked at", n)
	}
}

// The side view is to scale: its wheelbase dimension is as long on paper as travel says, its tyre as the document says.
func TestSideViewIsToScale(t *testing.T) {
	b := load(t, "bramble.rig.yaml")
	s := made(t, b, Options{})
	ground := travel.StandOf(b.Model).Ground
	long := ground.Contact[solid.Front].Sub(ground.Contact[solid.Rear]).Norm()
	d := s.section(t, "side").Blocks[0].Figure.Drawing
	found := 0
	for _, i := range d.Items {
		if i.Dim != nil && i.Dim.Kind == draw.Across {
			found++
			if got := i.Dim.B.Minus(i.Dim.A).Norm() * 3; math.Abs(got-long) > 0.01 { // 1:3
				t.Errorf("wheelbase %.3f mm, expected %.3f", got, long)
			}
		}
		if i.Note == "front tyre" {
			found++
			// Free diameter 4.7 in (club-shelf.bin.yaml), to the sagitta of 120 directions: 1 − cos(1.5°)
			if got := i.Path.Bounds().W() * 3; math.Abs(got-119.4) > 0.1 {
				t.Errorf("tyre %.3f mm across", got)
			}
		}
	}
	if found != 3 {
		t.Errorf("found %d of wheelbase and two tyres", found)
	}
}

// Outlines against closed forms: a box seen along an edge is its rectangle, along a diagonal of its face √2 as wide; a cylinder is a
// circle from its end and a rectangle from its side.
func TestOutlines(t *testing.T) {
	box := solid.Hull{Core: solid.CoreBox, U: solid.Vec{X: 30}, V: solid.Vec{Y: 20}, W: solid.Vec{Z: 10}}
	can := solid.Hull{Core: solid.CoreCylinder, U: solid.Vec{Y: 1}, Half: 15, Radius: 25}
	at := func(right, up solid.Vec) *view { return &view{right: right, up: up, scale: 1} }
	side := at(solid.Vec{X: -1}, solid.Vec{Z: 1})
	if p := side.outline(&box, false); len(p) != 5 || p.Bounds().W() != 60 || p.Bounds().H() != 20 {
		t.Errorf("box from the side: %v", p)
	}
	h := math.Sqrt2 / 2
	if b := at(solid.Vec{X: h, Y: h}, solid.Vec{Z: 1}).outline(&box, false).Bounds(); math.Abs(b.W()-2*h*50) > 1e-9 {
		t.Errorf("box from a corner: %v", b)
	}
	if b := side.outline(&can, false).Bounds(); math.Abs(b.W()-50) > 0.02 || math.Abs(b.H()-50) > 0.02 {
		t.Errorf("can from its end: %v", b)
	}
	if b := at(solid.Vec{Y: -1}, solid.Vec{Z: 1}).outline(&can, false).Bounds(); math.Abs(b.W()-30) > 1e-9 || math.Abs(b.H()-50) > 0.02 {
		t.Errorf("can from its side: %v", b)
	}
	side.groundKnown, side.ground = true, -20
	if b := side.outline(&can, true).Bounds(); b.Min.Y != -20 || math.Abs(b.Max.Y-25) > 0.02 {
		t.Errorf("can pressed on the ground: %v", b)
	}
}

// Callouts keep their order and do not overlap, and stay between the edges when they fit at all.
func TestCalloutsSpread(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 1))
	for range 2000 {
		var list []callout
		need := 0.0
		for range 1 + r.IntN(7) {
			c := callout{at: draw.Pt(-20+r.Float64()*220, 0), name: "abcdefghijklmnopqrst"[:1+r.IntN(19)]}
			need += c.wide() + calloutGap
			list = append(list, c)
		}
		if need > 180 {
			continue
		}
		slices.SortFunc(list, func(a, b callout) int {
			if a.at.X < b.at.X {
				return -1
			}
			return 1
		})
		xs := spread(list, 0, 180)
		for i, x := range xs {
			if half := list[i].wide() / 2; x-half < -1e-6 || x+half > 180+1e-6 {
				t.Fatalf("%d of %v at %v hangs over", i, list, xs)
			}
			if i > 0 && x-xs[i-1] < (list[i].wide()+list[i-1].wide())/2+calloutGap-1e-6 {
				t.Fatalf("%d and %d of %v at %v are too near", i-1, i, list, xs)
			}
		}
	}
}
