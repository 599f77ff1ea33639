package sheet

import (
	"testing"

	"lowslung/draw"
)

// compose sets a sheet on pages without writing it.
func compose(s *Sheet) *composer {
	c := newComposer(s)
	c.all()
	return c
}

// No heading stands alone at the foot of a page, nothing hangs over an edge, and no two lines of text lie on each other.
func TestPages(t *testing.T) {
	for name, s := range everySheet(t) {
		c := compose(s)
		if len(c.pages) < 4 {
			t.Errorf("%s has %d pages", name, len(c.pages))
		}
		for n, p := range c.pages {
			all := texts(p)
			lowest := 1e9
			for _, x := range all {
				b := x.Bounds()
				if b.Min.X < 8 || b.Max.X > p.W-8 || b.Min.Y < 5 || b.Max.Y > p.H-8 {
					t.Errorf("%s, page %d: %q lies at %v", name, n+1, x.S, b)
				}
				if x.At.Y > 15 { // the foot is lower
					lowest = min(lowest, x.At.Y)
				}
			}
			for i, x := range all {
				if heading := x.Face == draw.Bold && x.Size > 3.3; heading && x.At.Y < lowest+4 {
					t.Errorf("%s, page %d: nothing stands under the heading %q", name, n+1, x.S)
				}
				if x.Size != cellSize && x.Size != bodySize { // figures have their own test
					continue
				}
				for _, y := range all[:i] {
					if x.Bounds().Grown(-0.25).Meets(y.Bounds()) && y.Size >= bodySize {
						t.Errorf("%s, page %d: %q lies on %q", name, n+1, x.S, y.S)
					}
				}
			}
		}
	}
}
