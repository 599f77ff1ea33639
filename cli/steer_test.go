package cli

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestSteerCommand(t *testing.T) {
	dir := t.TempDir()
	bad := filepath.Join(dir, "bad.rig.yaml")
	text, err := os.ReadFile(bramble)
	if err != nil {
		t.Fatal(err)
	}
	shelf, err := os.ReadFile("../examples/club-shelf.bin.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for name, body := range map[string][]byte{
		"bramble.rig.yaml": text, "club-shelf.bin.yaml": shelf,
		"bad.rig.yaml":   []byte("lowslung: 1\nbase: bramble.rig.yaml\nsteer: {drag_link: {length: 160, rod: null, ends: null, turns: null}}\n"),
		"none.rig.yaml":  []byte("lowslung: 1\nbase: bramble.rig.yaml\nsteer: null\n"),
		"wrong.rig.yaml": []byte("lowslung: 1\nbase: bramble.rig.yaml\nsteer: {drag_link: {on: middle}, horn: {axis: [0, 0, 0]}}\n"),
	} {
		if err := os.WriteFile(filepath.Join(dir, name), body, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range []struct {
		status int
		said   string // part of what is printed, or said on standard error
		args   []string
	}{
		{0, "turning circle", []string{bramble}},
		{1, "The drag link is 160.0 mm eye to eye", []string{bad}},
		{0, "The document has no steer", []string{filepath.Join(dir, "none.rig.yaml")}},
		{2, "tie rod", []string{filepath.Join(dir, "wrong.rig.yaml")}},
		{2, "wrong.rig.yaml:3:", []string{filepath.Join(dir, "wrong.rig.yaml")}},
		{2, "from:to:step", []string{bramble, "--servo", "left"}},
		{2, "between -170 and 170", []string{bramble, "--servo", "-200:200:5"}},
		{2, "expected at most", []string{bramble, "--heave", "-25:25:0.01"}},
	} {
		status, out, errOut := run(t, append([]string{"steer"}, c.args...)...)
		if status != c.status || !strings.Contains(out+errOut, c.said) {
			t.Errorf("lowslung steer %s: status %d, expected %d; said %q, expected %q in it", strings.Join(c.args, " "), status, c.status, errOut, c.said)
		}
	}
	for _, units := range []string{"metric", "us"} {
		_, out, _ := run(t, "steer", bramble, "--units", units)
		for i, line := range strings.Split(out, "\n") {
			if len([]rune(line)) > 125 || strings.HasSuffix(line, " ") {
				t.Errorf("%s, line %d: %q", units, i+1, line)
			}
		}
	}
}

func TestSteerKeysThatProgramsRelyOn(t *testing.T) {
	_, out, _ := run(t, "steer", bramble, "--json", "--servo", "-20:20:10", "--heave", "-10:10:10", "--roll", "-5:5:5")
	var a map[string]any
	if err := json.Unmarshal([]byte(out), &a); err != nil {
		t.Fatal(err)
	}
	if n, m := len(a["sweep"].([]any)), len(a["bumps"].(map[string]any)["poses"].([]any)); n != 5 || m != 9 {
		t.Errorf("%d servo angles, %d poses", n, m)
	}
	lock := a["locks"].(map[string]any)["left"]
	for _, c := range []struct {
		of   any
		keys string
	}{
		{a, "kingpin middle locks sweep missed bumps servo findings"},
		{a["kingpin"], "inclination_deg caster_deg scrub_radius_mm trail_mm track_mm"},
		{lock, "servo_deg set_by inner_deg outer_deg ideal_outer_deg ackermann_error_deg ackermann_pct turning_circle_mm transmission_deg servo_share"},
		{a["sweep"].([]any)[0], "servo_deg left_deg right_deg ackermann_pct turning_circle_mm drag_transmission_deg tie_transmission_deg servo_torque_n_mm past_stop"},
		{a["bumps"], "servo_on bump_steer_deg_per_mm roll_steer_deg_per_deg swing_deg poses stuck"},
		{a["servo"], "friction friction_from kingpins_n_mm needed_n_mm rated_n_mm margin"},
	} {
		for _, k := range strings.Fields(c.keys) {
			if v, ok := c.of.(map[string]any)[k]; !ok || v == nil {
				t.Errorf("found no %s in %v", k, c.of)
			}
		}
	}
}
