package search

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
)

// long is a random section with links in many lengths, so that they are judged in boxes.
func long(r *rand.Rand) string {
	var b strings.Builder
	b.WriteString("  vary:\n")
	end := []string{"rear", "front"}[r.IntN(2)]
	fmt.Fprintf(&b, "    lower rod: {change: links/%s lower/rod/item, among: %s}\n", end, []string{"[rod-al6-85, rod-al6-90]", "[rod-st5-85]"}[r.IntN(2)])
	lo := r.Float64() * 6
	fmt.Fprintf(&b, "    lower turns: {change: links/%s lower/turns, from: %.2f, to: %.2f, step: %.2f}\n", end, lo, lo+1.5+2*r.Float64(), 0.04+0.04*r.Float64())
	lo = r.Float64() * 5
	fmt.Fprintf(&b, "    upper turns: {change: links/%s upper/turns, from: %.2f, to: %.2f, step: %.2f}\n", end, lo, lo+1+r.Float64(), 0.04+0.06*r.Float64())
	if r.IntN(2) == 0 {
		fmt.Fprintf(&b, "    end: {change: links/%s lower/ends/1, among: [end-m3-long, end-m3-flat]}\n", end)
	}
	if r.IntN(3) == 0 {
		fmt.Fprintf(&b, "    other: {change: links/%s transverse/turns, among: [1, 2]}\n", "front")
	}
	b.WriteString("  wants:\n")
	return b.String()
}

// Boxes lose nothing: with links in hundreds of lengths the search gives the front and the counts of brute force, and the number that each want
// rejects alone with how near the nearest of them is.
func TestBoxesLoseNothing(t *testing.T) {
	r := seeded(t)
	boxed := 0
	for n := range 16 {
		text := long(r)
		at := func(lo, hi, least, most float64) string {
			a := lo + r.Float64()*(hi-lo)
			if r.IntN(2) == 0 { // so wide that it does not matter
				a, least = a-20, 60
			}
			return fmt.Sprintf("{from: %.3f, to: %.3f}", a, a+least+r.Float64()*(most-least))
		}
		text += "    wheelbase: " + at(300, 312, 1, 8) + "\n    rear pinion angle: " + at(0, 14, 2, 12) + "\n    front pinion angle: " + at(-4, 4, 3, 12) + "\n"
		if r.IntN(2) == 0 {
			text += fmt.Sprintf("    rear rod end room: {from: %.2f}\n    rear shaft room: {from: %.2f}\n    front bump stroke: {from: %.2f}\n", 8*r.Float64(), 6*r.Float64(), 14*r.Float64())
		}
		if r.IntN(2) == 0 {
			text += fmt.Sprintf("    rear pinion angle swing: {to: %.2f}\n    front shaft joint angle: {to: %.2f}\n", 7+6*r.Float64(), 12+10*r.Float64())
		}
		text += "  prefer: " + []string{
			"{rear pinion angle: middle, rear pinion angle swing: lower, price: lower}", "{wheelbase: middle}", "{price: lower, new parts: lower}",
			"{rear shaft room: higher, front pinion angle: lower}", "{rear anti-squat: higher, rear pinion angle: middle}", "{front pinion angle swing: lower, rear rod end room: higher}",
		}[r.IntN(6)] + "\n"
		b := over(t, "bramble-portal.rig.yaml", text)
		cut, brute := runs(t, b, Options{Lean: true, Workers: 2}), runs(t, b, Options{Lean: true, Brute: true})
		same(t, text, cut, brute)
		f, err := cut.s.frame(0)
		if err != nil {
			t.Fatal(err)
		}
		if cut.s.meeting(f).boxesOf() != nil {
			boxed++
			t.Logf("%d: %d of %d judged, %d on the front, %v rejected", n, cut.all.Evaluated, cut.s.size, len(cut.all.front.list), cut.all.Rejected)
		}
		if one := runs(t, b, Options{Lean: true, Workers: 1}); one.all.Evaluated != cut.all.Evaluated {
			t.Errorf("%d judged by one worker, %d by two", one.all.Evaluated, cut.all.Evaluated)
		}
		if t.Failed() {
			return
		}
	}
	if boxed < 8 {
		t.Errorf("only %d of 16 were judged in boxes", boxed)
	}
}
