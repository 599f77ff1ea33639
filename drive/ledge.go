package drive

import (
	"math"

	"lowslung/solid"
)

// The front wheels at a ledge of height h, both at once, creeping, chassis level. Rigid bodies:
//
//	rear axle pushes with P and carries N; the edge gives the front wheels V upward and −P forward
//	moments about the rear contact:  V·(L + x) + P·h = W·b,   x = √(2rh − h²) for h < r, else x = r and the wheel is met at its height
//	front wheel about its centre:    T_f = V·x − P·(r − h)
//	front tyre holds the edge:       T_f/r ≤ μ_f·(V·(r − h) + P·x)/r          rear tyre: P ≤ μ_r·N,  N = W − V
//
// Of the pushes that keep the front tyre from slipping the least one asks least of the motor, T_f + P·r_r being V·x + P·h with like radii.
// At a vertical face with both at the limit this is μ²(L + r − b) + μr − b = 0 (Thüer, Krebs & Siegwart, IROS 2006, the same measure); with
// P = 0 it is the wheel on a step of Halliday, Resnick & Walker ch. 12.

// ledge is the pull that takes the front wheels up, and whether grip allows it.
func (l *line) ledge(h float64) (pull, bool) {
	f, r := &l.ends[solid.Front], &l.ends[solid.Rear]
	radius := f.radius
	if radius == 0 {
		radius, _ = radii(l.m, int(solid.Front))
	}
	if radius == 0 || h <= 0 {
		return pull{}, false
	}
	x, down := radius, 0.0 // contact ahead of and below the wheel centre
	if h < radius {
		x, down = math.Sqrt(2*radius*h-h*h), radius-h
	}
	meets := radius - down // height of the contact
	W, b, L := l.weight, l.front*l.base, l.base
	muF := 0.0
	if f.driven {
		muF = f.grip
	}
	// T_f ≤ μ_f·(V·down + P·x) as k·V ≤ P·(μ_f·x + down), with V = (W·b − P·meets)/(L + x).
	k := x - muF*down
	push := 0.0
	if k > 0 {
		push = W * b * k / ((L+x)*(muF*x+down) + meets*k)
	}
	v := (W*b - push*meets) / (L + x)
	if push > 0 && (!r.driven || push > r.grip*(W-v)*(1+1e-9)) || math.IsNaN(push) || math.IsInf(push, 0) {
		return pull{}, false
	}
	t := pull{solid.Rear: push * r.radius}
	if f.driven {
		t[solid.Front] = max(0, v*x-push*down)
	}
	return t, true
}
