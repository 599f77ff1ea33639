package travel

import (
	"encoding/binary"
	"encoding/json"
	"math"
	"testing"

	"lowslung/solid"
)

// FuzzLinkages makes a rear axle of numbers out of bytes, any number of links, and asks: no panic, no hang, nothing in the
// answer that is no number, and every pose said to be reached meets its lengths.
func FuzzLinkages(f *testing.F) {
	seed := func(v ...float64) {
		var b []byte
		for _, x := range v {
			b = binary.LittleEndian.AppendUint64(b, math.Float64bits(x))
		}
		f.Add(uint8(4), b)
	}
	seed(-154, 0, 14, -44, 31, 8, 6, 42, -4, 112, -44, -31, 8, 6, -42, -4, 112, -38, 28, 34, 2, 8, 26, 116, -38, -28, 34, 2, -8, 26, 116)
	seed(-154, 0, 14, -44, 31, 8, 6, 31, -4, 112, -44, -31, 8, 6, -31, -4, 112, -38, 28, 34, 2, 28, 26, 116, -38, -28, 34, 2, -28, 26, 116)
	seed(0, 0, 0, 0, 0, 0, 0, 0, 0, 1, 0, 0, 0, 0, 0, 0, 1)
	seed(-154, 0, 14, 1e9, 31, 8, 6, 42, -4, 1e-9, -44, -31, 8, 1e12, -42, -4, 112)
	f.Fuzz(func(t *testing.T, n uint8, raw []byte) {
		var v []float64
		for len(raw) >= 8 {
			x := math.Float64frombits(binary.LittleEndian.Uint64(raw))
			if !(math.Abs(x) <= 1e5) {
				x = 0 // the document lets no such length through
			}
			v = append(v, x)
			raw = raw[8:]
		}
		at := 0
		next := func() float64 {
			if at >= len(v) {
				return 0
			}
			at++
			return v[at-1]
		}
		vec := func() solid.Vec { return solid.Vec{X: next(), Y: next(), Z: next()} }
		m := &solid.Model{}
		m.Axles[solid.Rear] = solid.Axle{Present: true, Path: "rear", Near: vec(), TyreRadius: 57, HalfTrack: 100, PinionAxis: solid.Vec{X: 1}}
		for range n % 7 {
			l := solid.Link{Name: "l", Axle: solid.Rear, From: vec(), To: vec(), Length: math.Abs(next())}
			if l.Length == 0 {
				l.Length = 1 // the document lets no link without a length through
			}
			m.Links = append(m.Links, l)
		}
		if len(m.Links) > 0 {
			m.Shocks = []solid.Shock{{Name: "s", Axle: solid.Rear, Open: 100, Closed: 70, Set: math.Abs(next()),
				Top: solid.Anchor{Link: -1, At: vec()}, Bottom: solid.Anchor{Link: 0, Along: next(), Rise: next()}}}
		}
		a, err := Assess(m, Options{Axle: "rear", Heave: Span{-20, 20, 10}, Roll: Span{-10, 10, 10}})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := json.Marshal(a); err != nil {
			t.Fatalf("an answer that is no number: %v", err)
		}
		st := StandOf(m)
		if mv := st.Movers[solid.Rear]; mv.four != nil {
			size := 0.0
			for _, l := range m.Links {
				size = max(size, l.Length, l.From.Norm(), l.To.Norm())
			}
			if r := mv.four.Residual(mv.Design); r > 1e-9*max(1, size) {
				t.Fatalf("said to be reached with a residual of %g mm among sizes of %g mm", r, size)
			}
		}
		if _, err := Pull(m, st, PullOptions{Axle: "rear", Left: 10, Right: -10}); err == nil && !st.Movers[solid.Rear].Solved {
			t.Fatal("an axle that nothing holds was pulled")
		}
	})
}
