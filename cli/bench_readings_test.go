package cli

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const finished = "../examples/bramble-bench.rig.yaml"

func TestBenchCommand(t *testing.T) {
	dir := t.TempDir()
	put := func(name, text string) string {
		file := filepath.Join(dir, name)
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		return file
	}
	good := put("good.csv", "name,of,at,side,is\nbelly front,ride height,front,,66.0\nrod,link length,rear upper,left,128.9 mm\n")
	lost := put("lost.csv", "of,at,is\nlink length,rear upperr,129\n")
	for _, c := range []struct {
		status   int
		out, bad string
		args     []string
	}{
		{0, "Wheelbase on the right does not fit", "", []string{"bench", finished}},
		{0, "66.0 mm", "", []string{"bench", finished, "--readings", good}},
		{0, "length of the link rear upper left", "", []string{"bench", finished, "--readings", good}},
		{2, "", `did you mean "rear upper"?`, []string{"bench", finished, "--readings", lost}},
		{2, "", "cannot be read", []string{"bench", finished, "--readings", filepath.Join(dir, "none.csv")}},
		{2, "", "expected along with --take", []string{"bench", finished, "-o", "x"}},
		{2, "", "one of them", []string{"bench", finished, "--take", "--json"}},
		{2, "", "no correction", []string{"bench", bramble, "--take", "-o", "../examples/none.rig.yaml"}},
		{0, "Nothing that was measured", "", []string{"bench", bramble}},
		{0, "Load on the front left wheel, oz", "", []string{"bench", "sheet", bramble, "--units", "us"}},
		{0, "name,of,at,side,is", "", []string{"bench", "sheet", bramble, "--format", "csv"}},
		{0, "| 1 |", "", []string{"bench", "sheet", bramble, "--format", "md"}},
		{2, "", "expected -o", []string{"bench", "sheet", bramble, "--format", "pdf"}},
		{2, "", "expected text, md", []string{"bench", "sheet", bramble, "--format", "gif"}},
	} {
		status, out, bad := run(t, c.args...)
		if status != c.status || !strings.Contains(out, c.out) || !strings.Contains(bad, c.bad) {
			t.Errorf("lowslung %s: status %d, expected %d; said %q and\n%s", strings.Join(c.args, " "), status, c.status, bad, out)
		}
	}
	file := filepath.Join(dir, "sheet.pdf")
	if status, _, bad := run(t, "bench", "sheet", bramble, "--format", "pdf", "-o", file); status != 0 {
		t.Error(bad)
	} else if text, err := os.ReadFile(file); err != nil || !strings.HasPrefix(string(text), "%PDF-") {
		t.Errorf("%v, %.20q", err, text)
	}
}

// What --take writes is a build of its own that agrees better, and the one measured stays as it is.
func TestBenchTakes(t *testing.T) {
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS("../examples")); err != nil {
		t.Fatal(err)
	}
	from, to := filepath.Join(dir, "bramble-bench.rig.yaml"), filepath.Join(dir, "measured.rig.yaml")
	before, err := os.ReadFile(from)
	if err != nil {
		t.Fatal(err)
	}
	if status, _, bad := run(t, "bench", from, "--take", "-o", to); status != 0 {
		t.Fatal(bad)
	}
	if after, _ := os.ReadFile(from); string(after) != string(before) {
		t.Error("the document that was measured has changed")
	}
	chi := func(file string) (string, float64) {
		_, out, bad := run(t, "bench", file, "--json")
		var a struct {
			Name    string
			Without struct {
				ChiSquare float64 `json:"chi_square"`
			}
		}
		if err := json.Unmarshal([]byte(out), &a); err != nil {
			t.Fatal(err, bad)
		}
		return a.Name, a.Without.ChiSquare
	}
	_, was := chi(from)
	name, is := chi(to)
	if name != "Bramble on the bench, as measured" || !(is < was) {
		t.Errorf("%q: χ² %g, and %g before", name, is, was)
	}
}
