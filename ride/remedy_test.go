package ride

import (
	"math"
	"slices"
	"testing"

	"lowslung/solid"
)

// A bar holds the chassis against its axle, so the drive's torque rolls it less; taking one off lets it roll more (statics, whatever the numbers). And what
// is said of a change is what the changed rig itself answers.
func TestRemediesOfTheDrivesTwist(t *testing.T) {
	for _, name := range []string{"bramble-portal.rig.yaml", "gully.rig.yaml"} {
		m := modelOf(t, name)
		a, err := Assess(m, Options{})
		if err != nil || a.Torque == nil {
			t.Fatal(name, err)
		}
		last := a.Torque.Sweep[len(a.Torque.Sweep)-1]
		tried := remedies(m, Options{}.Units)
		if len(a.Torque.Remedies) != len(tried) || len(tried) < 4 {
			t.Fatalf("%s: %d remedies told of %d, expected a bar and an upper link for each axle", name, len(a.Torque.Remedies), len(tried))
		}
		for i, r := range a.Torque.Remedies {
			if r.RollDeg == nil {
				t.Errorf("%s %s: no rest", name, r.Change)
				continue
			}
			bars, was := len(tried[i].model.Bars), len(m.Bars)
			if less := math.Abs(*r.RollDeg) < math.Abs(last.RollDeg); bars != was && less != (bars > was) {
				t.Errorf("%s %s: rolls %.2f° where it rolled %.2f°", name, r.Change, *r.RollDeg, last.RollDeg)
			}
			own, err := Assess(tried[i].model, Options{})
			if err != nil {
				t.Fatal(err)
			}
			at := slices.IndexFunc(own.Torque.Sweep, func(h Holding) bool { return math.Abs(h.SlopeDeg-r.SlopeDeg) < 1e-6 })
			if at < 0 {
				t.Errorf("%s %s: the changed rig itself is not held at %.0f°", name, r.Change, r.SlopeDeg)
				continue
			}
			if end := own.Torque.Sweep[at]; math.Abs(end.RollDeg-*r.RollDeg) > 1e-6 || math.Abs(end.ShiftedN-*r.ShiftedN) > 1e-6 {
				t.Errorf("%s %s: told %.6f N and %.6f°, the changed rig itself %.6f N and %.6f°", name, r.Change, *r.ShiftedN, *r.RollDeg, end.ShiftedN, end.RollDeg)
			}
		}
	}
}

// The upper link is the one whose axle eye is highest, and never the transverse rod.
func TestUpperLink(t *testing.T) {
	for _, c := range []struct {
		name string
		end  solid.End
		want string
	}{{"bramble.rig.yaml", solid.Rear, "rear upper"}, {"bramble.rig.yaml", solid.Front, "front upper"}} {
		if got := upperLink(modelOf(t, c.name), c.end); got != c.want {
			t.Errorf("%s %s: found %q, expected %q", c.name, c.end, got, c.want)
		}
	}
}
