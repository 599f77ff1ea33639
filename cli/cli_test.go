package cli

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

const portal, bramble = "../examples/bramble-portal.rig.yaml", "../examples/bramble.rig.yaml"

func run(t *testing.T, args ...string) (status int, out, errOut string) {
	t.Helper()
	var o, e bytes.Buffer
	status = Run(args, strings.NewReader(""), &o, &e)
	return status, o.String(), e.String()
}

func TestExitStatus(t *testing.T) {
	dir := t.TempDir()
	broken := filepath.Join(dir, "broken.rig.yaml")
	if err := os.WriteFile(broken, []byte("lowslung: 1\nname: x\nchasis: {}\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		status int
		errOut string // part of what is said on standard error
		args   []string
	}{
		{0, "", []string{"check", bramble}},
		{1, "", []string{"check", portal}},
		{1, "", []string{"travel", portal, "--json"}},
		{0, "", []string{"balance", portal}},
		{1, "", []string{"compare", bramble, portal}},
		{2, `did you mean "chassis"?`, []string{"check", broken}},
		{2, filepath.Base(broken) + ":3:1:", []string{"check", broken}},
		{2, "no-such.rig.yaml", []string{"check", "no-such.rig.yaml"}},
		{2, "found no folder", []string{"check", "no/such/folder/x.rig.yaml"}},
		{2, "expected front or rear", []string{"travel", bramble, "--axle", "middle"}},
		{2, "from:to:step", []string{"travel", bramble, "--heave", "up"}},
		{2, "expected at most", []string{"travel", bramble, "--heave", "-25:25:0.0001"}},
		{2, "expected metric or us", []string{"balance", bramble, "--units", "furlongs"}},
		{2, `did you mean "battery"?`, []string{"balance", bramble, "--move", "batery:1,2,3"}},
		{2, "unknown command", []string{"chek", bramble}},
		{2, "unknown flag", []string{"check", bramble, "--jsn"}},
		{2, "arg(s)", []string{"compare", bramble}},
	} {
		status, _, errOut := run(t, c.args...)
		if status != c.status || !strings.Contains(errOut, c.errOut) {
			t.Errorf("lowslung %s: status %d, expected %d; said %q, expected %q in it", strings.Join(c.args, " "), status, c.status, errOut, c.errOut)
		}
	}
}

func TestJSONKeysThatProgramsRelyOn(t *testing.T) {
	_, out, _ := run(t, "travel", bramble, "--json", "--axle", "rear", "--heave", "-10:10:10", "--roll", "-5:5:5")
	var a struct {
		Axles map[string]struct {
			Poses []map[string]any
			Rates []map[string]any
		}
	}
	if err := json.Unmarshal([]byte(out), &a); err != nil {
		t.Fatal(err)
	}
	if len(a.Axles) != 1 || len(a.Axles["rear"].Poses) != 9 || len(a.Axles["rear"].Rates) != 3 {
		t.Fatalf("%d axles, %d poses, %d rates", len(a.Axles), len(a.Axles["rear"].Poses), len(a.Axles["rear"].Rates))
	}
	pose, rate := a.Axles["rear"].Poses[0], a.Axles["rear"].Rates[0]
	for _, k := range strings.Fields("heave_mm roll_deg x_mm y_mm z_mm steer_deg pinion_angle_deg wheelbase_mm left_wheel_z_mm right_wheel_z_mm shocks") {
		if _, ok := pose[k]; !ok {
			t.Errorf("a pose lacks %s", k)
		}
	}
	shock := pose["shocks"].([]any)[0].(map[string]any)
	for _, k := range strings.Fields("name side length_mm stroke_left_mm lean_side_deg lean_front_deg motion_ratio") {
		if _, ok := shock[k]; !ok {
			t.Errorf("a shock lacks %s", k)
		}
	}
	for _, k := range strings.Fields("side_slope anti_squat_pct instant_center_x_mm instant_center_z_mm roll_center_height_mm roll_axis_deg roll_steer_deg_per_deg play_lateral_mm") {
		if _, ok := rate[k]; !ok {
			t.Errorf("rates lack %s", k)
		}
	}
	_, out, _ = run(t, "balance", bramble, "--json")
	var b map[string]any
	if err := json.Unmarshal([]byte(out), &b); err != nil {
		t.Fatal(err)
	}
	for _, k := range strings.Fields("mass_kg sprung_mass_kg center_of_mass_mm center_of_mass_height_mm front_share corner_loads_n static_stability_factor tip_side_deg tip_nose_up_deg tip_nose_down_deg weightless sensitivity") {
		if _, ok := b[k]; !ok {
			t.Errorf("balance lacks %s", k)
		}
	}
	sides := b["tip_side_deg"].(map[string]any)
	if sides["left"] == nil || sides["right"] == nil {
		t.Errorf("tip_side_deg: %v", sides)
	}
}

func TestOutputForPeopleIsPlainOffATerminal(t *testing.T) {
	_, out, _ := run(t, "check", portal)
	if strings.Contains(out, "\x1b") {
		t.Error("escape codes in output that does not go to a terminal")
	}
	for i, line := range strings.Split(out, "\n") {
		if strings.HasSuffix(line, " ") {
			t.Errorf("line %d ends in blanks: %q", i+1, line)
		}
		if len([]rune(line)) > 120 {
			t.Errorf("line %d is %d letters long", i+1, len([]rune(line)))
		}
	}
	if i, j := strings.Index(out, "\nstop "), strings.Index(out, "\nnote "); i < 0 || j < i {
		t.Error("findings do not come most urgent first")
	}
}

// 1 in = 25.4 mm and 1 oz = 28.349523125 g (NIST SP 811): the same wheelbase and weight in both systems.
func TestUnitsAgree(t *testing.T) {
	_, metric, _ := run(t, "check", bramble)
	_, us, _ := run(t, "check", bramble, "--units", "us")
	value := func(out, name string) string {
		m := regexp.MustCompile(`(?m)^` + name + ` +(\S+ \S+)$`).FindStringSubmatch(out)
		if m == nil {
			t.Fatalf("no %s in the numbers", name)
		}
		return m[1]
	}
	_, out, _ := run(t, "balance", bramble, "--json")
	var b struct {
		Mass float64 `json:"mass_kg"`
	}
	if err := json.Unmarshal([]byte(out), &b); err != nil {
		t.Fatal(err)
	}
	if got, want := value(metric, "mass"), fmt.Sprintf("%.0f g", b.Mass*1000); got != want {
		t.Errorf("mass %s, expected %s", got, want)
	}
	if got, want := value(us, "mass"), fmt.Sprintf("%.2f oz", b.Mass/0.028349523125); got != want {
		t.Errorf("mass %s, expected %s", got, want)
	}
	if strings.Contains(us, " mm") || strings.Contains(us, " g ") {
		t.Error("metric units in an answer in US customary units")
	}
}

func TestNewWritesAStarterThatPassesCheck(t *testing.T) {
	t.Chdir(t.TempDir())
	status, out, errOut := run(t, "new", "Moss creeper")
	if status != 0 || !strings.Contains(out, "moss-creeper.rig.yaml") {
		t.Fatalf("status %d, %s%s", status, out, errOut)
	}
	if status, out, errOut = run(t, "check", "moss-creeper.rig.yaml"); status != 0 {
		t.Errorf("check of the starter: status %d\n%s%s", status, out, errOut)
	}
	if status, _, errOut = run(t, "new", "Moss creeper"); status != 2 || !strings.Contains(errOut, "left as it is") {
		t.Errorf("a second new: status %d, %s", status, errOut)
	}
}

func TestSchemaIsJSON(t *testing.T) {
	for _, args := range [][]string{{"schema"}, {"schema", "--bin"}} {
		_, out, _ := run(t, args...)
		var v map[string]any
		if err := json.Unmarshal([]byte(out), &v); err != nil || v["$schema"] != "https://json-schema.org/draft/2020-12/schema" {
			t.Errorf("%v: %v, $schema %v", args, err, v["$schema"])
		}
	}
}
