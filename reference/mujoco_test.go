package reference

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"lowslung/solid"
	"lowslung/travel"
)

// Poses of demo axles against MuJoCo 3.3.8 (npm mujoco-js 0.0.7, run by Node), a general multibody program: mujoco/pose.mjs builds the
// axle as a free body and every link as a rigid body of its own with a ball joint and a connect constraint, pushes the wheels to their
// heights and lets everything creep to rest. Unknowns, formulation and solver are all other than ours: it has no eq. |p + R·a − c| = L,
// no angles, and no Newton on poses. Both start from near, which is not a pose of the linkage, and find their way from there.
//
// What can be asked: the constraints are soft springs, but nothing loads them (no weight, no springs, no contact), so that at rest they
// are closed exactly, and what is left open tells how far rest is away. The script waits for less than 1e-9 mm open and 1e-9 mm/s. A
// pose answers a gap with up to some ten times as much: these axles' play at the design pose is up to 0.7 mm for 0.1 mm in the links, and
// more towards full reach. 1e-6 mm and 1e-6° leave a factor of a hundred; seen is 5e-9 mm and 2e-9°.
const mujocoTol = 1e-6 // mm, °

// mujoco puts a question to one of the scripts in mujoco/.
func mujoco(t *testing.T, script string, question, answer any) {
	t.Helper()
	byNode(t, "mujoco", "mujoco-js", script, question, answer)
}

// byNode puts a question to a script in dir, which needs an npm package that is installed there.
func byNode(t *testing.T, dir, module, script string, question, answer any) {
	t.Helper()
	for _, name := range []string{script, "package-lock.json"} { // read here as well, so that go test knows what its cached result rests on
		if _, err := os.ReadFile(filepath.Join(dir, name)); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := os.Stat(filepath.Join(dir, "node_modules", module)); errors.Is(err, fs.ErrNotExist) {
		t.Fatalf("%s is not installed; run: sh scripts/setup.sh, or: cd reference/%s && npm ci", module, dir)
	}
	text, err := json.Marshal(question)
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command("node", script)
	cmd.Dir = dir
	var out, complaint bytes.Buffer
	cmd.Stdin, cmd.Stdout, cmd.Stderr = bytes.NewReader(text), &out, &complaint
	if err := cmd.Run(); err != nil {
		if cmd.ProcessState == nil {
			t.Fatalf("node cannot be run (%v); Node 20 is needed, see scripts/setup.sh", err)
		}
		t.Fatalf("%s: %v\n%s", script, err, &complaint)
	}
	if err := json.Unmarshal(out.Bytes(), answer); err != nil {
		t.Fatalf("%s: %v\n%s", script, err, &out)
	}
}

func TestPosesAgainstMuJoCo(t *testing.T) {
	largest, open := tally{}, 0.0
	for _, file := range []string{"bramble.rig.yaml", "gully.rig.yaml"} {
		_, m := modelOf(t, fromFolder("../examples"), file)
		for _, end := range []solid.End{solid.Front, solid.Rear} {
			a := &m.Axles[end]
			question := struct {
				Chassis [][3]float64 `json:"chassis"`
				Axle    [][3]float64 `json:"axle"`
				Length  []float64    `json:"length"`
				Near    [3]float64   `json:"near"`
				Half    float64      `json:"half"`
				Poses   [][2]float64 `json:"poses"`
			}{Near: three(a.Near), Half: a.HalfTrack}
			for _, l := range m.Links {
				if l.Axle == end {
					question.Chassis = append(question.Chassis, three(l.From))
					question.Axle = append(question.Axle, three(l.To))
					question.Length = append(question.Length, l.Length)
				}
			}
			// Up and down, and from side to side at each height: 25 poses in the order of a builder's hand.
			for i, heave := range []float64{0, 12, 24, -12, -24} {
				for k := range 5 {
					roll := float64(k-2) * 7.5 * float64(1-2*(i%2))
					question.Poses = append(question.Poses, [2]float64{a.Near.Z + heave, roll * deg})
				}
			}
			var answer struct {
				Version string
				Poses   []struct {
					Origin     [3]float64
					Turn       solid.Mat
					Gap, Speed float64
					Steps      int
				}
			}
			mujoco(t, "pose.mjs", question, &answer)
			if answer.Version != "3.3.8" || len(answer.Poses) != 25 || len(question.Length) != 4 {
				t.Fatalf("MuJoCo %s answers %d poses of %d links; the lock file asks for the package with 3.3.8", answer.Version, len(answer.Poses), len(question.Length))
			}
			mv := travel.NewMover(m, end)
			for i, to := range question.Poses {
				what := fmt.Sprintf("%s, %s axle, z %.1f mm, roll %.1f°", file, end, to[0], to[1]/deg)
				there := answer.Poses[i]
				open = max(open, there.Gap)
				if !(there.Gap < 1e-8) {
					t.Errorf("%s: MuJoCo is not at rest after %d steps, a constraint is open by %g mm", what, there.Steps, there.Gap)
					continue
				}
				if !mv.To(to[0], to[1]) {
					t.Errorf("%s: not reached here", what)
					continue
				}
				p := mv.At()
				r := there.Turn // rows; its wheel axis is (−sin ψ cos φ, cos ψ cos φ, sin φ), and its third row ends in (−cos φ sin θ, ·, cos φ cos θ)
				largest.hold(t, "x, mm", what, p.X, there.Origin[0], mujocoTol)
				largest.hold(t, "y, mm", what, p.Y, there.Origin[1], mujocoTol)
				largest.hold(t, "z, mm", what, p.Z, there.Origin[2], mujocoTol)
				largest.hold(t, "roll, °", what, p.Roll/deg, math.Asin(r[7])/deg, mujocoTol)
				largest.hold(t, "steer, °", what, p.Steer/deg, math.Atan2(-r[1], r[4])/deg, mujocoTol)
				largest.hold(t, "spin, °", what, p.Spin/deg, math.Atan2(-r[6], r[8])/deg, mujocoTol)
			}
		}
	}
	t.Logf("100 poses, constraints open by at most %.1g mm; largest differences %v", open, largest)
}
