package cli

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// The drawings go into the folder asked for, whole; a mistake in the options leaves nothing behind.
func TestShopDrawingsAreWritten(t *testing.T) {
	const rig = "../examples/bramble-portal.rig.yaml"
	for _, c := range []struct {
		args, begins string
		files        []string
	}{
		{"cut", "%PDF-", []string{"cut.pdf"}},
		{"templates", "%PDF-", []string{"templates.pdf"}},
		{"templates --format svg --paper letter --units us", "<svg", []string{"templates-1.svg", "templates-2.svg"}},
		{"templates --format dxf --part belly --twins both", "999\nlowslung", []string{"belly-left-from-the-left.dxf", "belly-right-from-the-right.dxf", "belly-from-below.dxf"}},
	} {
		dir := filepath.Join(t.TempDir(), "deep", "out")
		code, out, complaint := run(t, append(append([]string{"shop"}, strings.Fields(c.args)...), rig, "-o", dir)...)
		if code != 0 {
			t.Fatalf("%s: exit %d, %s", c.args, code, complaint)
		}
		for _, f := range c.files {
			text, err := os.ReadFile(filepath.Join(dir, f))
			if err != nil || !strings.HasPrefix(strings.TrimLeft(string(text), " "), c.begins) {
				t.Errorf("%s: %s is %.20q, %v", c.args, f, text, err)
			}
			if !strings.Contains(out, f) {
				t.Errorf("%s: %s is not told of", c.args, f)
			}
		}
	}
	for _, bad := range []string{"cut --format gif", "cut --paper a3", "templates --format gif", "templates --part bonnet", "templates --twins left", "templates --units feet"} {
		dir := filepath.Join(t.TempDir(), "out")
		if code, _, complaint := run(t, append(append([]string{"shop"}, strings.Fields(bad)...), rig, "-o", dir)...); code != 2 || !strings.Contains(complaint, "expected") {
			t.Errorf("%s: exit %d, %s", bad, code, complaint)
		}
		if _, err := os.Stat(dir); err == nil {
			t.Errorf("%s: a folder was made", bad)
		}
	}
	_, out, _ := run(t, "shop", "cut", rig, "--format", "csv")
	rows, err := csv.NewReader(strings.NewReader(out)).ReadAll()
	if err != nil || len(rows) != 8 || rows[5][1] != "rear upper" || rows[5][3] != "129" || rows[5][5] != "105" || rows[6][1] != "tie rod" || rows[6][3] != "168" { // 140 + 2·12 + 8 turns of 0.5 mm
		t.Errorf("CSV: %v, %v", rows, err)
	}
}
