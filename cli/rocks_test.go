package cli

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestRocksCommand(t *testing.T) {
	status, out, errOut := run(t, "rocks", portal, "--obstacle", "ledge", "--height", "60", "--grip", "0.8")
	if status != 0 || !strings.Contains(out, "assumption") || !strings.Contains(out, "on the ledge of 60 mm") || !strings.Contains(out, "Before you try it") {
		t.Errorf("status %d: %s%s", status, out, errOut)
	}
	_, out, _ = run(t, "rocks", portal, "--obstacle", "ledge", "--height", "2 in", "--units", "us")
	if !strings.Contains(out, "ledge of 2.00 in") || strings.Contains(out, " mm") {
		t.Errorf("US: %s", out)
	}
	_, out, _ = run(t, "rocks", portal, "--obstacle", "climb", "--angle", "30", "--json", "--frames")
	var a struct {
		Run struct {
			Ended  struct{ Outcome string }
			Frames []struct {
				OriginMM []float64 `json:"origin_mm"`
			}
			Course struct{ Planes []any }
		}
		Limits []any
	}
	if err := json.Unmarshal([]byte(out), &a); err != nil || a.Run.Ended.Outcome != "through" || len(a.Run.Frames) < 30 || len(a.Run.Frames[0].OriginMM) != 3 || len(a.Run.Course.Planes) != 2 || a.Limits == nil {
		t.Errorf("%v: %.300s", err, out)
	}
	_, out, _ = run(t, "rocks", portal, "--obstacle", "climb", "--against", bramble)
	for _, want := range []string{"Largest climb that is cleared, by grip", "Bramble, as bought", "0.5", "1.0"} {
		if !strings.Contains(out, want) {
			t.Errorf("against: %q is not in %s", want, out)
		}
	}
	dir := t.TempDir()
	file := filepath.Join(dir, "step.txt")
	if err := os.WriteFile(file, []byte("cell 100 mm\n"+strings.Repeat("0 0 0 0 0\n", 15)), 0o644); err != nil {
		t.Fatal(err)
	}
	if status, out, errOut = run(t, "rocks", portal, "--map", file); status != 0 || !strings.Contains(out, "on the map") {
		t.Errorf("map: status %d: %s%s", status, out, errOut)
	}
	broken := filepath.Join(dir, "broken.txt")
	if err := os.WriteFile(broken, []byte("cell 100 mm\n0 0 0\n0 x 0\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	for want, args := range map[string][]string{
		"broken.txt: map, line 3: found \"x\"": {"--map", broken},
		"found no file":                        {"--map", filepath.Join(dir, "none.txt")},
		"found both map and obstacle":          {"--map", file, "--obstacle", "ledge"},
		"expected one of ledge":                {"--obstacle", "wall"},
		"expected angle":                       {"--obstacle", "climb", "--height", "30"},
		"expected 0.05 to 3":                   {"--grip", "12"},
	} {
		if status, _, errOut := run(t, append([]string{"rocks", portal}, args...)...); status != 2 || !strings.Contains(errOut, want) {
			t.Errorf("%v: status %d, %q, expected %q in it", args, status, errOut, want)
		}
	}
}

// compare has the limits among its numbers when asked for, and a target may name one.
func TestRocksElsewhere(t *testing.T) {
	_, out, _ := run(t, "compare", bramble, portal, "--rocks")
	for _, want := range []string{"highest ledge", "steepest side slope", "highest boulders"} {
		if !strings.Contains(out, want) {
			t.Errorf("compare --rocks: %q is not in it", want)
		}
	}
	if _, out, _ = run(t, "compare", bramble, portal); strings.Contains(out, "highest ledge") {
		t.Error("compare asks rocks without being told to")
	}
	dir := t.TempDir()
	for _, name := range []string{"bramble.rig.yaml", "club-shelf.bin.yaml"} {
		text, err := os.ReadFile(filepath.Join("../examples", name))
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, name), text, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	mine := filepath.Join(dir, "mine.rig.yaml")
	if err := os.WriteFile(mine, []byte("lowslung: 1\nbase: bramble.rig.yaml\nname: Mine\ntargets: {highest ledge: {from: 200}}\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	status, out, _ := run(t, "check", mine)
	if status != 1 || !strings.Contains(out, "Highest ledge is") || !strings.Contains(out, "too small (wanted: at least 200 mm)") || strings.Contains(out, "steepest climb") {
		t.Errorf("status %d: %.600s", status, out)
	}
}
