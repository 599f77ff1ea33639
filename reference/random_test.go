package reference

import (
	"fmt"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"
	"time"

	"lowslung/rig"
	"lowslung/solid"
)

// chance is a seeded source of random rigs. The seed is printed, and taken from LOWSLUNG_SEED when that is set.
func chance(t testing.TB) *dice {
	t.Helper()
	seed := uint64(time.Now().UnixNano())
	if text := os.Getenv("LOWSLUNG_SEED"); text != "" {
		v, err := strconv.ParseUint(text, 10, 64)
		if err != nil {
			t.Fatalf("LOWSLUNG_SEED: found %q, expected a whole number", text)
		}
		seed = v
	}
	t.Logf("LOWSLUNG_SEED=%d", seed)
	return &dice{rand.New(rand.NewPCG(seed, 1))}
}

type dice struct{ *rand.Rand }

// about is even over v ± w.
func (d *dice) about(v, w float64) float64 { return v + w*(2*d.Float64()-1) }

// near moves a point by up to w each way.
func (d *dice) near(v vec, w float64) vec {
	return vec{X: d.about(v.X, w), Y: d.about(v.Y, w), Z: d.about(v.Z, w)}
}

// A layout is a way to hold an axle with four links, drawn for a rear axle whose origin is the frame's: the chassis is ahead.
type layout struct {
	name  string
	links func(d *dice) []eye
	arms  bool // the shocks stand on the lower links
}

func layouts() []layout {
	lower := func(d *dice) []eye {
		return pair("lower", xyz(d.about(112, 8), d.about(30, 8), d.about(-4, 6)), xyz(d.about(6, 6), d.about(44, 6), d.about(-4, 4)))
	}
	return []layout{
		{"four links", func(d *dice) []eye {
			return append(lower(d), pair("upper", xyz(d.about(114, 8), d.about(30, 6), d.about(24, 6)), xyz(d.about(0, 5), d.about(10, 5), d.about(30, 5)))...)
		}, false},
		{"three links and a transverse rod", func(d *dice) []eye {
			rod := d.about(10, 8)
			side := float64(1 - 2*d.IntN(2))
			return append(lower(d),
				eye{"upper", xyz(d.about(114, 8), d.about(0, 22), d.about(24, 6)), xyz(d.about(0, 5), d.about(0, 22), d.about(30, 5))},
				eye{"transverse", xyz(d.about(rod, 4), side*d.about(-42, 6), d.about(18, 6)), xyz(d.about(rod, 4), side*d.about(42, 6), d.about(14, 6))})
		}, false},
		{"two uppers into one eye", func(d *dice) []eye {
			top := xyz(d.about(0, 5), 0, d.about(32, 5))
			return append(lower(d), pair("upper", xyz(d.about(112, 8), d.about(34, 8), d.about(26, 6)), top)...)
		}, false},
		{"trailing arms", func(d *dice) []eye {
			out := pair("lower", xyz(d.about(135, 10), d.about(42, 6), d.about(2, 6)), xyz(d.about(2, 6), d.about(56, 5), d.about(-3, 4)))
			return append(out, pair("upper", xyz(d.about(100, 8), d.about(34, 8), d.about(30, 6)), xyz(d.about(2, 5), d.about(9, 5), d.about(34, 5)))...)
		}, true},
	}
}

// A holding is one axle on its links: where it stands in the chassis frame, and the eyes there.
type holding struct {
	layout layout
	end    solid.End
	at     solid.Frame // of the axle
	eyes   []eye       // in the chassis frame
}

// hold draws a layout at random. A skewed one has every eye moved by itself and stands a little steered, rolled and nose up.
func (d *dice) hold(l layout, end solid.End, skew bool) holding {
	h := holding{layout: l, end: end, eyes: l.links(d)}
	h.at = solid.Frame{At: vec{X: -d.about(152, 8), Z: d.about(10, 8)}, R: solid.AxleTurn(0, 0, d.about(0, 0.2))}
	if skew {
		h.at.At.Y = d.about(0, 3)
		h.at.R = solid.AxleTurn(d.about(0, 0.05), d.about(0, 0.05), d.about(0, 0.2))
	}
	for i := range h.eyes {
		e := &h.eyes[i]
		if skew && (i == 0 || e.axle != h.eyes[i-1].axle) { // eyes that share a bolt go on sharing it
			e.axle = d.near(e.axle, 4)
		}
		if skew {
			e.chassis = d.near(e.chassis, 4)
		}
		e.chassis, e.axle = e.chassis.Add(h.at.At), e.axle.Add(h.at.At)
		if end == solid.Front {
			e.chassis.X, e.axle.X = -e.chassis.X, -e.axle.X
		}
	}
	if end == solid.Front {
		h.at.At.X = -h.at.At.X
	}
	return h
}

// add puts the axle, its links and its shocks into a model.
func (d *dice) add(m *solid.Model, h *holding, skew bool) {
	s, axis := 1.0, vec{X: 1}
	if h.end == solid.Front {
		s, axis = -1, vec{X: -1}
	}
	m.Axles[h.end] = solid.Axle{
		Present: true, Path: h.end.String(), Near: h.at.At, TyreRadius: d.about(57, 5), TyreWidth: 42, HalfTrack: d.about(100, 6),
		Pinion: axis.Scale(38), PinionAxis: axis, HasPinion: true, Traction: 0.5,
	}
	into := func(v vec) vec { return h.at.R.MulT(v.Sub(h.at.At)) } // chassis frame to axle frame
	first := len(m.Links)
	for i, e := range h.eyes {
		side := solid.Single
		if i+1 < len(h.eyes) && h.eyes[i+1].name == e.name {
			side = solid.Left
		} else if i > 0 && h.eyes[i-1].name == e.name {
			side = solid.Right
		}
		name := h.end.String() + " " + e.name
		m.Links = append(m.Links, solid.Link{
			Name: name, Path: "links/" + name, Side: side, Axle: h.end, Width: 6, From: e.chassis, To: into(e.axle),
			Length: e.axle.Sub(e.chassis).Norm(), Mass: 0.012, HasMass: true, FromHole: "frame/" + e.name, ToHole: "axle/" + e.name,
		})
	}
	top, foot := xyz(h.at.At.X+s*d.about(14, 8), d.about(46, 4), d.about(88, 6)), xyz(d.about(-2, 5)*s, d.about(50, 4), d.about(9, 4))
	along, rise := d.about(0.75, 0.1), d.about(5, 4)
	for i, side := range []solid.Side{solid.Left, solid.Right} {
		t, f := top, foot
		if side == solid.Right {
			t, f = t.Flip(), f.Flip()
		}
		if skew {
			t, f = d.near(t, 3), d.near(f, 3)
		}
		k := solid.Shock{Name: h.end.String(), Path: "shocks/" + h.end.String(), Side: side, Axle: h.end, Open: 110, Closed: 60, Mass: 0.034, HasMass: true, Width: 16}
		k.Top = solid.Anchor{Carrier: solid.OnChassis, Link: -1, At: t, Hole: "tower/shock"}
		k.Bottom = solid.Anchor{Carrier: solid.CarrierOf(h.end), Link: -1, At: f, Hole: "axle/shock"}
		if h.layout.arms {
			k.Bottom = solid.Anchor{Carrier: solid.OnChassis, Link: first + i, Along: along * m.Links[first+i].Length, Rise: rise, Hole: "arm/shock"}
		}
		m.Shocks = append(m.Shocks, k)
	}
}

// rig draws a whole rig at random: both axles, and weights on chassis and axles.
func (d *dice) rig(front, rear layout, skew bool) *solid.Model {
	m := &solid.Model{Name: fmt.Sprintf("%s, %s", front.name, rear.name), Doc: &rig.Document{}}
	f, r := d.hold(front, solid.Front, skew), d.hold(rear, solid.Rear, skew)
	d.add(m, &f, skew)
	d.add(m, &r, skew)
	y := 0.0
	if skew {
		y = 8
	}
	for i := range 4 {
		name := fmt.Sprintf("block %d", i)
		b := solid.Body{Name: name, Path: "chassis/parts/" + name, Kind: "other", Frame: solid.Frame{R: solid.Identity}, Mass: d.about(0.4, 0.2), HasMass: true}
		b.CG = xyz(d.about(0, 120), d.about(0, y), d.about(45, 40))
		b.Inertia = solid.Sym{d.about(200, 50), d.about(250, 50), d.about(300, 50)}
		if skew {
			b.Inertia[3], b.Inertia[4], b.Inertia[5] = d.about(0, 30), d.about(0, 30), d.about(0, 30)
		}
		m.Bodies = append(m.Bodies, b)
	}
	for end := range solid.End(2) {
		name := end.String() + " housing"
		m.Bodies = append(m.Bodies, solid.Body{
			Name: name, Path: end.String() + "/parts/" + name, Kind: "axle", Carrier: solid.CarrierOf(end), Frame: solid.Frame{R: solid.Identity},
			Mass: d.about(0.5, 0.1), HasMass: true, CG: xyz(d.about(0, 4), d.about(0, y/4), d.about(0, 4)), Inertia: solid.Sym{900, 120, 950},
		})
	}
	return m
}

// rigs draws n rigs of all layouts in turn; every other one is skewed.
func (d *dice) rigs(n int) []*solid.Model {
	all := layouts()
	out := make([]*solid.Model, n)
	for i := range out {
		out[i] = d.rig(all[i%len(all)], all[(i/len(all)+i)%len(all)], i%2 == 1)
	}
	return out
}
