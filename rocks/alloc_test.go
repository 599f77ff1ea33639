package rocks

import "testing"

// A step allocates nothing.
func TestStepAllocatesNothing(t *testing.T) {
	w := demoOn(t, "boulders", 60)
	w.drive.off = false
	for range 1500 { // until it drives among them
		w.step()
	}
	if n := testing.AllocsPerRun(500, w.step); n > 0 {
		t.Errorf("a step allocates %g times, expected none", n)
	}
}
