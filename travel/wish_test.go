package travel

import (
	"math"
	"strings"
	"testing"

	"lowslung/solid"
)

// whole is the four-link rear axle with a front axle to measure a wheelbase to, and a shock that fixes its height.
func whole() *solid.Model {
	m := fourLink()
	m.Axles[solid.Front] = solid.Axle{Present: true, Path: "front", Near: solid.Vec{X: 158, Z: 14}, TyreRadius: 57, HalfTrack: 100, PinionAxis: solid.Vec{X: -1}}
	m.Shocks = []solid.Shock{{Name: "rear", Path: "shocks/rear", Axle: solid.Rear, Side: solid.Left, Open: 110, Closed: 70, Set: 92,
		Top: solid.Anchor{Link: -1, At: solid.Vec{X: -120, Y: 38, Z: 96}}, Bottom: solid.Anchor{Link: 0, Along: 100, Rise: 5}}}
	return m
}

func f64(v float64) *float64 { return &v }

func TestWishedLengthsPutBackGiveTheWish(t *testing.T) {
	rng := seedOf(t)
	for range 50 {
		m := whole()
		o := WishOptions{Axle: "rear", Wheelbase: f64(312 + 8*(rng.Float64()-0.5)), Pinion: f64((15*rng.Float64() - 4) * deg)}
		w, err := ForWish(m, o)
		if err != nil {
			t.Fatal(err)
		}
		for i := range m.Links {
			for _, l := range w.Links {
				if l.Link == m.Links[i].Name {
					m.Links[i].Length = l.WantedMM
				}
			}
		}
		a, err := Assess(m, Options{Axle: "rear"})
		if err != nil {
			t.Fatal(err)
		}
		d := a.Axles.Rear.Design
		if d.Source != BySet || math.Abs(*d.WheelbaseMM-*o.Wheelbase) > 1e-6 || math.Abs(d.PinionAngleDeg-*o.Pinion/deg) > 1e-6 {
			t.Fatalf("wished wheelbase %.6f and pinion %.6f°, got %.6f and %.6f°", *o.Wheelbase, *o.Pinion/deg, *d.WheelbaseMM, d.PinionAngleDeg)
		}
	}
}

func TestWishWithOnePairOfLinks(t *testing.T) {
	m := whole()
	w, err := ForWish(m, WishOptions{Axle: "rear", Pinion: f64(9 * deg), Links: []string{"upper"}})
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range w.Links {
		if l.Link == "lower" && l.ChangeMM != 0 {
			t.Errorf("the lower links were to be kept and changed by %g mm", l.ChangeMM)
		}
		if l.Link == "upper" && math.Abs(l.ChangeMM) < 0.5 {
			t.Errorf("the uppers hardly change: %g mm", l.ChangeMM)
		}
	}
	if math.Abs(w.PinionAngleDeg-9) > 1e-9 {
		t.Errorf("pinion angle %g°", w.PinionAngleDeg)
	}
	_, err = ForWish(whole(), WishOptions{Axle: "rear", Pinion: f64(9 * deg), Wheelbase: f64(318), Links: []string{"upper"}})
	if err == nil || !strings.Contains(err.Error(), "cannot be met by changing upper alone") {
		t.Errorf("two wishes with one pair: %v", err)
	}
	_, err = ForWish(whole(), WishOptions{Axle: "rear", Pinion: f64(9 * deg), Links: []string{"uper"}})
	if err == nil || !strings.Contains(err.Error(), `did you mean "upper"?`) {
		t.Errorf("a link that is not there: %v", err)
	}
	if _, err = ForWish(whole(), WishOptions{Axle: "rear"}); err == nil {
		t.Error("no wish was no error")
	}
}

func TestOneTurnIsWhatALongerLinkDoes(t *testing.T) {
	m := whole()
	for i := range m.Links {
		m.Links[i].Pitch = 0.7
	}
	got := Turns(m, []solid.End{solid.Rear}, nil)
	if len(got) != 2 {
		t.Fatalf("%d turns", len(got))
	}
	before, _ := Assess(m, Options{})
	for i := range m.Links {
		if m.Links[i].Name == "upper" {
			m.Links[i].Length += 0.7
		}
	}
	after, _ := Assess(m, Options{})
	for _, turn := range got {
		if turn.Link != "upper" {
			continue
		}
		want := after.Axles.Rear.Design.PinionAngleDeg - before.Axles.Rear.Design.PinionAngleDeg
		if math.Abs(turn.PinionAngleDeg-want) > 1e-9 || turn.PerTurnMM != 0.7 {
			t.Errorf("a turn of %g mm is said to change the pinion angle by %g°, and changes it by %g°", turn.PerTurnMM, turn.PinionAngleDeg, want)
		}
		if want < 0.1 {
			t.Errorf("a longer upper turns the pinion up by only %g°", want) // trade rule: longer rear uppers turn the pinion up
		}
	}
}

func TestLimitsByHand(t *testing.T) {
	// An upright shock on the wheel's own line of motion would close one to one; here every reach is held against a fine scan.
	m := whole()
	m.Shocks[0].Bottom = solid.Anchor{Carrier: solid.OnRear, Link: -1, At: solid.Vec{X: -4, Y: 52, Z: 9}}
	r := m.Shocks[0]
	r.Side, r.Top.At.Y, r.Bottom.At.Y = solid.Right, -38, -52
	m.Shocks = append(m.Shocks, r)
	a, err := Assess(m, Options{Axle: "rear"})
	if err != nil {
		t.Fatal(err)
	}
	l := a.Axles.Rear.Limits
	mv := StandOf(m).Movers[solid.Rear]
	ok := func(left, right float64) bool { // slow and obvious: go there in small steps, look at the shocks
		mv.Jump(mv.Design)
		if !mv.To(mv.Design.Z+(left+right)/2, math.Asin((left-right)/200)) {
			return false
		}
		for i := range m.Shocks {
			if v := mv.strut(&m.Shocks[i]); v < 70 || v > 110 {
				return false
			}
		}
		return true
	}
	if !ok(l.BumpMM, l.BumpMM) || ok(l.BumpMM+0.03, l.BumpMM+0.03) || !ok(-l.DroopMM, -l.DroopMM) || ok(-l.DroopMM-0.03, -l.DroopMM-0.03) {
		t.Errorf("bump %.3f and droop %.3f are not where the shocks stop the axle", l.BumpMM, l.DroopMM)
	}
	for _, b := range l.Boundary {
		size := math.Hypot(b.LeftMM, b.RightMM)
		if f := 1 + 0.03/size; !ok(b.LeftMM, b.RightMM) || ok(b.LeftMM*f, b.RightMM*f) {
			t.Errorf("(%.3f, %.3f) is not on the boundary: %s", b.LeftMM, b.RightMM, b.EndedBy)
		}
	}
	share := 0.0
	for _, s := range l.Stretches {
		share += s.SharePct
	}
	if math.Abs(share-100) > 1e-6 || len(l.Stretches) != 4 {
		t.Errorf("%d stretches make up %.3f %% of the boundary", len(l.Stretches), share)
	}
	// mirror: with left and right changed over, each point is on the boundary too
	for _, b := range l.Boundary {
		f := 1 + 0.03/math.Hypot(b.LeftMM, b.RightMM)
		if back := 2 - f; !ok(b.RightMM*back, b.LeftMM*back) || ok(b.RightMM*f, b.LeftMM*f) {
			t.Errorf("the mirror image of (%.3f, %.3f) is not on the boundary", b.LeftMM, b.RightMM)
		}
	}
}

func BenchmarkLimits(b *testing.B) {
	m := whole()
	mv := StandOf(m).Movers[solid.Rear]
	for b.Loop() {
		limitsOf(m, mv, usualHeave.Values())
	}
}
