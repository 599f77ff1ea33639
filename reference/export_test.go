package reference

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"lowslung/export"
	"lowslung/ride"
	"lowslung/solid"
	"lowslung/travel"
)

func exported(t *testing.T, format string, write func(*solid.Model) ([]byte, error)) (files []string, models []*solid.Model) {
	t.Helper()
	dir := t.TempDir()
	for _, file := range []string{"bramble.rig.yaml", "bramble-portal.rig.yaml", "gully.rig.yaml"} {
		_, m := modelOf(t, fromFolder("../examples"), file)
		data, err := write(m)
		if err != nil {
			t.Fatal(err)
		}
		name := filepath.Join(dir, file+"."+format)
		if err := os.WriteFile(name, data, 0o600); err != nil {
			t.Fatal(err)
		}
		files, models = append(files, name), append(models, m)
	}
	return files, models
}

// The exported glTF by the Khronos validator 2.0.0-dev.3.10 (npm gltf-validator), which must find nothing, and by three's GLTFLoader, whose scene must
// have every part by its name where it is: the wheels on their track, the wheelbase between them, the ground at y = 0.
func TestGLTFReadByOthers(t *testing.T) {
	files, models := exported(t, "glb", export.GLB)
	var answer []struct {
		Errors, Warnings, Infos int
		Messages                []string
		Version                 string
		Nodes                   map[string]struct {
			Lo, Hi    [3]float64
			Triangles int
			Kind      string
		}
	}
	byNode(t, "three", "gltf-validator", "glb.mjs", files, &answer)
	for i, m := range models {
		a := &answer[i]
		if a.Errors+a.Warnings+a.Infos > 0 {
			t.Errorf("%s: the validator %s finds %d errors, %d warnings and %d more: %s", m.Name, a.Version, a.Errors, a.Warnings, a.Infos, strings.Join(a.Messages, "; "))
		}
		sided := func(name string, side solid.Side) string {
			if side == solid.Single {
				return name
			}
			return name + ", " + side.String()
		}
		for k := range m.Bodies {
			b := &m.Bodies[k]
			if n, ok := a.Nodes[sided(b.Name, b.Side)]; len(b.Shapes) > 0 && (!ok || n.Kind != b.Kind) {
				t.Errorf("%s: no %s, %s, in three's scene", m.Name, b.Kind, sided(b.Name, b.Side))
			}
		}
		for k := range m.Links {
			if _, ok := a.Nodes[sided(m.Links[k].Name, m.Links[k].Side)]; !ok {
				t.Errorf("%s: no link %s", m.Name, m.Links[k].Name)
			}
		}
		// Middles of the tyres' boxes, m: x left, z forward.
		mid := func(e solid.End, side solid.Side, axis int) float64 {
			for k := range m.Axles[e].Wheels {
				if w := &m.Axles[e].Wheels[k]; w.Side == side {
					n := a.Nodes[sided(w.Name, side)]
					return (n.Lo[axis] + n.Hi[axis]) / 2 * 1000
				}
			}
			return math.NaN()
		}
		st := travel.StandOf(m)
		want := st.Movers[solid.Front].Design.Origin().Sub(st.Movers[solid.Rear].Design.Origin())
		base := (mid(solid.Front, solid.Left, 2)+mid(solid.Front, solid.Right, 2))/2 - (mid(solid.Rear, solid.Left, 2)+mid(solid.Rear, solid.Right, 2))/2
		if math.Abs(base-math.Hypot(want.X, want.Z)) > 0.1 {
			t.Errorf("%s: %.3f mm between the axles in three's scene, expected %.3f", m.Name, base, math.Hypot(want.X, want.Z))
		}
		for _, e := range []solid.End{solid.Front, solid.Rear} {
			if track := mid(e, solid.Left, 0) - mid(e, solid.Right, 0); math.Abs(track-2*m.Axles[e].HalfTrack) > 0.1 {
				t.Errorf("%s: %v track %.3f mm, expected %.3f", m.Name, e, track, 2*m.Axles[e].HalfTrack)
			}
			// The axle's middle is the loaded radius above y = 0.
			if up := (mid(e, solid.Left, 1) + mid(e, solid.Right, 1)) / 2; math.Abs(up-m.Axles[e].TyreRadius) > 0.1 {
				t.Errorf("%s: %v axle %.3f mm above the ground, expected %.3f", m.Name, e, up, m.Axles[e].TyreRadius)
			}
		}
	}
}

// The exported MJCF loaded as it is by MuJoCo 3.3.8: weight and center of mass as loaded, and where it stands when it has settled, against ride. The
// engine's constraints are soft springs and its tyre springs keep the direction that they have in the design pose, which is worth some 0.01 mm here.
func TestMJCFSettlesWhereRideSaysItDoes(t *testing.T) {
	files, models := exported(t, "xml", func(m *solid.Model) ([]byte, error) {
		data, _ := export.MJCF(m)
		return data, nil
	})
	question := struct {
		Files    []string `json:"files"`
		Still    float64  `json:"still"`
		Slippery bool     `json:"slippery"`
	}{files, 0.01, true}
	var answer struct {
		Version string
		Rigs    []struct {
			Mass, Speed, Time, Gap float64
			Center, Chassis        [3]float64
			Turn                   solid.Mat
			Bodies                 int
		}
	}
	mujoco(t, "settle.mjs", question, &answer)
	for i, m := range models {
		a := &answer.Rigs[i]
		st := travel.StandOf(m)
		mass, at := solid.CenterOfMass(m.Lumps(st.Stance()))
		if math.Abs(a.Mass-mass) > 1e-9*mass || at.Sub(solid.Vec{X: a.Center[0], Y: a.Center[1], Z: a.Center[2]}).Norm() > 1e-3 {
			t.Errorf("%s: MuJoCo loads %.6f kg about %v, expected %.6f about %v", m.Name, a.Mass, a.Center, mass, at)
		}
		if a.Speed > question.Still || a.Gap > 0.02 {
			t.Errorf("%s: not at rest after %.1f s: %.3f mm/s, links open by %.4f mm", m.Name, a.Time, a.Speed, a.Gap)
			continue
		}
		bare := *m
		bare.Bars = nil // anti-roll bars are not in the file, which says so
		ans, err := ride.Assess(&bare, ride.Options{Brief: true})
		if err != nil || ans.Stance == nil {
			t.Fatalf("%s: %v %+v", m.Name, err, ans.Findings)
		}
		s := ans.Stance
		// The belly plane midway between the axles, as they stand.
		mid := solid.Vec{X: (st.Movers[solid.Front].Design.X + st.Movers[solid.Rear].Design.X) / 2}
		clear := a.Chassis[2] + a.Turn.Mul(mid).Z
		pitch, roll := math.Asin(-a.Turn[6])/deg, math.Atan2(a.Turn[7], a.Turn[8])/deg
		what := fmt.Sprintf("%s: MuJoCo %s: belly %.4f mm, pitch %.4f°, roll %.4f° after %.1f s; ride: %.4f mm, %.4f°, %.4f°", m.Name, answer.Version, clear, pitch, roll, a.Time, s.BellyClearanceMM, s.ChassisPitchDeg, s.ChassisRollDeg)
		if math.Abs(clear-s.BellyClearanceMM) > 0.05 || math.Abs(pitch-s.ChassisPitchDeg) > 0.02 || math.Abs(roll-s.ChassisRollDeg) > 0.02 {
			t.Error(what)
		} else {
			t.Log(what)
		}
	}
}
