package drive

import (
	"fmt"
	"math"
	"testing"

	"lowslung/rig"
	"lowslung/solid"
)

// crowd is a demo rig whose bin has forty pinions, 8 to 47 teeth.
func crowd(t testing.TB) *solid.Model {
	m := *model(t, "bramble-portal", "")
	spurs, first := *m.Bins[0], rig.Part{}
	if p, ok := spurs.Items.Get("pinion-32-14-b5"); ok {
		first = *p
	}
	bin := rig.Bin{Lowslung: 1}
	for z := 8; z < 48; z++ {
		p := first
		g := *p.Gear
		g.Teeth = z
		p.Gear = &g
		bin.Items = append(bin.Items, rig.Entry[rig.Part]{Name: fmt.Sprintf("pinion-%d", z), Value: p})
	}
	m.Bins = []*rig.Bin{&bin}
	return &m
}

// BenchmarkPinions is the table of forty pinions, each with twelve working points besides.
func BenchmarkPinions(b *testing.B) {
	l := compile(crowd(b))
	l.weigh()
	for b.Loop() {
		list, _ := l.pinions(Options{})
		if len(list) < 40 {
			b.Fatalf("%d pinions", len(list))
		}
		for z := 8; z < 48; z++ {
			p := *l.gears[0][0]
			g := *p.Gear
			g.Teeth = z
			p.Gear = &g
			with := l.try(&p)
			for k := range 12 {
				slope := float64(k) * math.Pi / 48
				if with.point("", with.climb(slope), with.slip(slope)).CurrentA <= 0 {
					b.Fatal("no current")
				}
			}
		}
	}
}

// The whole answer, as check asks it.
func BenchmarkAssess(b *testing.B) {
	m := model(b, "bramble-portal", "")
	for b.Loop() {
		if _, err := Assess(m, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

// Forty pinions are in the table, each once, and the one fitted besides, since it is of another bin.
func TestFortyPinions(t *testing.T) {
	a, err := Assess(crowd(t), Options{})
	if err != nil {
		t.Fatal(err)
	}
	fitted := 0
	for i, p := range a.Pinions {
		if p.Fitted {
			fitted++
		}
		if i > 0 && p.Teeth < a.Pinions[i-1].Teeth {
			t.Errorf("%d teeth after %d", p.Teeth, a.Pinions[i-1].Teeth)
		}
	}
	if len(a.Pinions) != 41 || fitted != 1 {
		t.Errorf("%d pinions, %d fitted", len(a.Pinions), fitted)
	}
}
