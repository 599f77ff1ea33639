package travel

import (
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"lowslung/solid"
)

// Linkages with other lengths, each assembled and settled by itself, move no further than is certified, at the design pose and at every pose of
// the grid; and what is certified is not much further than that, or it would be of no use.
func TestThrongHolds(t *testing.T) {
	seed := rand.Uint64()
	if text := os.Getenv("LOWSLUNG_SEED"); text != "" {
		seed, _ = strconv.ParseUint(text, 10, 64)
	}
	t.Logf("LOWSLUNG_SEED=%d", seed)
	r := rand.New(rand.NewPCG(seed, 3))
	heaves, rolls := Span{-25, 25, 2.5}.Values(), Span{-15, 15, 7.5}.Values()
	for i := range rolls {
		rolls[i] *= deg
	}
	certified, poses, tight, nods := 0, 0, 0.0, 0.0
	for n := range 60 {
		m := demoModel(t, []string{"bramble.rig.yaml", "bramble-portal.rig.yaml", "gully.rig.yaml"}[n%3])
		end := solid.End(n / 3 % 2)
		mv := Assemble(m, end)
		if mv == nil {
			continue
		}
		near := mv.At()
		if !mv.Settle() {
			t.Fatal("does not settle")
		}
		c := &Throng{Groups: [][]int{{0, 1}, {2, 3}}, Half: []float64{0.01 + r.Float64()*0.15, 0.01 + r.Float64()*0.15}}
		if m.Links[0].Path != m.Links[1].Path {
			c.Groups = [][]int{{0}, {1}, {2}, {3}}
			c.Half = []float64{0.03, 0.02, 0.05, 0.01}
		}
		var w Walk
		if !c.Stands(mv, near) {
			continue
		}
		c.Moves(mv, heaves, rolls, &w, nil)
		certified++
		type pose struct {
			there bool
			p     Pose
		}
		at := make([]pose, len(c.Poses))
		collect := func(mv *Mover, into []pose) {
			mv.Over(heaves, rolls, &w, func(i, k int, s *Solver) bool {
				if into[i*len(rolls)+k] = (pose{there: s != nil}); s != nil {
					into[i*len(rolls)+k].p = s.Pose()
				}
				return true
			})
		}
		design := mv.Design
		collect(mv, at)
		axis := m.Axles[end].PinionAxis
		swing := func(list []pose) float64 {
			lo, hi := math.Inf(1), math.Inf(-1)
			for _, one := range list {
				if one.there {
					turn := one.p.Turn()
					v := math.Asin(turn.Mul(axis).Z)
					lo, hi = min(lo, v), max(hi, v)
				}
			}
			return hi - lo
		}
		for range 6 {
			off := make([]float64, len(c.Half))
			other := *m
			other.Links = append([]solid.Link(nil), m.Links...)
			change := make([]float64, 4)
			for g, links := range c.Groups {
				d := c.Half[g] * (2*r.Float64() - 1)
				if r.IntN(3) == 0 {
					d = math.Copysign(c.Half[g], d)
				}
				off[g] = math.Abs(d)
				for _, i := range links {
					change[i] = d
				}
			}
			n := 0
			for i := range other.Links {
				if other.Links[i].Axle == end {
					other.Links[i].Length += change[n]
					n++
				}
			}
			om := Assemble(&other, end)
			if om == nil || !om.Settle() {
				t.Fatal("certified, and does not stand")
			}
			held := func(s *Sway, a, b Pose, what string) {
				poses++
				shift, turn, ahead := s.By(off)
				ta, tb := a.Turn(), b.Turn()
				// The angle of the turn from one to the other: 1 + 2 cos = trace.
				trace := 0.0
				for i := range 9 {
					trace += ta[i] * tb[i]
				}
				angle := math.Acos(math.Max(-1, math.Min(1, (trace-1)/2)))
				moved := a.Origin().Sub(b.Origin()).Norm()
				if moved > shift+1e-9 || angle > turn+1e-7 || math.Abs(a.X-b.X) > ahead+1e-9 {
					t.Errorf("%s: moved %.6f mm, %.6f ahead, turned %.7f; certified %.6f, %.6f, %.7f", what, moved, a.X-b.X, angle, shift, ahead, turn)
				}
				if shift > 1e-3 {
					tight = max(tight, moved/shift)
				}
			}
			held(&c.Design, design, om.Design, "design pose")
			got := make([]pose, len(c.Poses))
			collect(om, got)
			if nod := c.Nod(off); !math.IsInf(nod, 1) {
				changed := math.Abs(swing(got) - swing(at))
				if changed > nod+1e-9 {
					t.Errorf("the pinion angle's swing changed by %.8f rad, certified %.8f", changed, nod)
				}
				if nod > 1e-5 {
					nods = max(nods, changed/nod)
				}
			}
			for i := range at {
				if !c.Poses[i].OK {
					continue
				}
				if !got[i].there {
					t.Errorf("pose %d is certified and not reached", i)
					continue
				}
				held(&c.Poses[i], at[i].p, got[i].p, "grid")
			}
		}
	}
	t.Logf("%d of 60 certified, %d poses, up to %.2f of what is certified, %.2f of the swing", certified, poses, tight, nods)
	if certified < 30 || tight < 0.5 || nods < 0.1 {
		t.Errorf("%d of 60 certified, at most %.2f of the bound used: the bounds say too little", certified, tight)
	}
}
