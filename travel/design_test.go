package travel

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"lowslung/rig"
	"lowslung/solid"
)

func standOfExample(t *testing.T, name string) (*solid.Model, *Stand) {
	t.Helper()
	b, err := rig.Load(func(file string) ([]byte, error) { return os.ReadFile(filepath.Join("..", "examples", file)) }, name)
	if err != nil {
		t.Fatal(err)
	}
	m, err := solid.Resolve(b)
	if err != nil {
		t.Fatal(err)
	}
	return m, StandOf(m)
}

// Points of the roll axis, fixed to the axle, do not move sideways when it rolls: by central differences of the pose itself.
func TestRollAxisStandsStill(t *testing.T) {
	for _, name := range []string{"bramble.rig.yaml", "bramble-portal.rig.yaml", "gully.rig.yaml"} {
		m, st := standOfExample(t, name)
		for _, end := range []solid.End{solid.Front, solid.Rear} {
			mv := st.Movers[end]
			mv.Jump(mv.Design)
			point, forward, ok := mv.RollAxis()
			if !ok {
				t.Fatalf("%s: the %s axle has no roll axis", name, end)
			}
			if math.Abs(forward.Norm()-1) > 1e-12 || forward.X <= 0 {
				t.Errorf("%s, %s: found direction %v", name, end, forward)
			}
			turn := mv.Design.Turn()
			for _, along := range []float64{-80, 0, 50} {
				fixed := turn.MulT(point.Along(forward, along).Sub(mv.Design.Origin()))
				const h = 1e-4 // rad
				var y [2]float64
				for i, roll := range []float64{h, -h} {
					mv.Jump(mv.Design)
					if !mv.To(mv.Design.Z, mv.Design.Roll+roll) {
						t.Fatal("the axle does not roll")
					}
					y[i] = mv.At().Place(fixed).Y
				}
				if speed := (y[0] - y[1]) / (2 * h); math.Abs(speed) > 1e-4 { // mm per rad
					t.Errorf("%s, %s: %g mm along, the axis moves sideways by %g mm per rad", name, end, along, speed)
				}
			}
			mv.Jump(mv.Design)
			d := AtDesign(m, st, end)
			if d.Rates == nil || d.Rates.RollCenterHeightMM == nil {
				t.Fatal("no rates at the design pose")
			}
			if h := point.Z - mv.Design.Z + m.Axles[end].TyreRadius; math.Abs(h-*d.Rates.RollCenterHeightMM) > 1e-9 {
				t.Errorf("%s, %s: the axis is %g mm up, the roll centre %g mm", name, end, h, *d.Rates.RollCenterHeightMM)
			}
			if lean := math.Atan2(forward.Z, forward.X) / deg; math.Abs(lean-d.Rates.RollAxisDeg) > 1e-9 {
				t.Errorf("%s, %s: the axis leans by %g°, the rates say %g°", name, end, lean, d.Rates.RollAxisDeg)
			}
		}
	}
}

// AtDesign is Pull to nowhere.
func TestAtDesignIsNoPull(t *testing.T) {
	m, st := standOfExample(t, "bramble.rig.yaml")
	for _, end := range []solid.End{solid.Front, solid.Rear} {
		p, err := Pull(m, st, PullOptions{Axle: end.String()})
		if err != nil {
			t.Fatal(err)
		}
		d := AtDesign(m, st, end)
		if p.Pose != d.Pose || len(p.Struts) != len(d.Struts) || p.Struts[0] != d.Struts[0] || d.StoppedBy != "" {
			t.Errorf("found %+v, expected %+v", d.Pose, p.Pose)
		}
	}
}
