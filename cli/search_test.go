package cli

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// searchFolder is a folder with the examples and a small search beside them.
func searchFolder(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	for _, name := range []string{"bramble.rig.yaml", "bramble-portal.rig.yaml", "club-shelf.bin.yaml"} {
		text, err := os.ReadFile("../examples/" + name)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, name), text, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for name, text := range map[string]string{
		"without.rig.yaml": "lowslung: 1\nbase: bramble-portal.rig.yaml\nsearch: null\n",
		"small.rig.yaml":   "lowslung: 1\nbase: without.rig.yaml\nname: Small\nsearch:\n  vary:\n    rear lower turns: {change: links/rear lower/turns, from: 8, to: 12, step: 1}\n    rear upper turns: {change: links/rear upper/turns, from: 3, to: 5, step: 1}\n  prefer: {rear pinion angle: lower, wheelbase: middle}\n",
		"none.rig.yaml":    "lowslung: 1\nbase: small.rig.yaml\nsearch: {wants: {rear pinion angle swing: {to: 1}}}\n",
		"bad.rig.yaml":     "lowslung: 1\nbase: small.rig.yaml\nsearch: {wants: {rear pinion angel: {to: 1}}}\n",
	} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

func TestSearchCommand(t *testing.T) {
	dir := searchFolder(t)
	at := func(name string) string { return filepath.Join(dir, name) }
	for _, c := range []struct {
		status int
		said   string
		args   []string
	}{
		{0, "Worth making", []string{at("small.rig.yaml")}},
		{1, "None of 18 combinations meets everything wanted", []string{at("none.rig.yaml")}},
		{1, "None of 18", []string{at("none.rig.yaml"), "--take", "1"}},
		{2, `did you mean "rear pinion angle"?`, []string{at("bad.rig.yaml")}},
		{2, "bad.rig.yaml:3:", []string{at("bad.rig.yaml")}},
		{2, "found no search section", []string{at("without.rig.yaml")}},
		{2, "found -1, expected the number of a build", []string{at("small.rig.yaml"), "--take", "-1"}},
		{2, "found 0, expected the number of a build", []string{at("small.rig.yaml"), "--take", "0"}},
		{2, "found 0, expected 1 or more", []string{at("small.rig.yaml"), "--workers", "0"}},
		{2, "found 0, expected a number above 0", []string{at("small.rig.yaml"), "--most", "0"}},
		{2, "found 0, expected a number above 0", []string{at("small.rig.yaml"), "--asked", "0"}},
		{2, "found 99, expected 1 to", []string{at("small.rig.yaml"), "--take", "99", "--lean", "-o", at("x.rig.yaml")}},
		{2, "expected along with --take", []string{at("small.rig.yaml"), "-o", at("x.rig.yaml")}},
		{2, "expected one of them", []string{at("small.rig.yaml"), "--take", "1", "--json"}},
		{2, "expected 1 or more", []string{at("small.rig.yaml"), "--workers", "-2"}},
		{2, "expected a number above 0", []string{at("small.rig.yaml"), "--most", "-1"}},
		{2, "expected at most 10", []string{at("small.rig.yaml"), "--most", "10"}},
		{2, "from:to:step", []string{at("small.rig.yaml"), "--heave", "up"}},
		{2, "arg(s)", nil},
	} {
		status, out, errOut := run(t, append([]string{"search"}, c.args...)...)
		if status != c.status || !strings.Contains(out+errOut, c.said) {
			t.Errorf("lowslung search %s: status %d, expected %d; %q is not in\n%s%s", strings.Join(c.args, " "), status, c.status, c.said, out, errOut)
		}
	}
}

// A build that was taken is a document that check finds nothing to stop in, and that is what was promised.
func TestTakenBuildPassesCheck(t *testing.T) {
	dir := searchFolder(t)
	small, cured := filepath.Join(dir, "small.rig.yaml"), filepath.Join(dir, "cured.rig.yaml")
	if status, _, errOut := run(t, "search", small, "--take", "1", "-o", cured); status != 0 {
		t.Fatal(errOut)
	}
	status, out, errOut := run(t, "check", cured)
	if status != 0 {
		t.Errorf("check of the build taken: status %d\n%s%s", status, out, errOut)
	}
	text, err := os.ReadFile(cured)
	if err != nil || !strings.Contains(string(text), "\nbase: small.rig.yaml\n") || !strings.Contains(string(text), "pin-2.5-12") {
		t.Errorf("%v: the document is\n%s", err, text)
	}
	_, out, _ = run(t, "search", small, "--json")
	var a struct {
		Space, Evaluated, Cut int64
		Seconds               *float64
		Builds                []struct {
			Numbers []struct{ Name, Text string }
			Changes []struct{ Path string }
			Patch   string
		}
		Rejected map[string]int64
		Loosen   struct {
			Want  string
			Gains int64
		}
	}
	if err := json.Unmarshal([]byte(out), &a); err != nil {
		t.Fatal(err)
	}
	if a.Space != 18 || a.Evaluated+a.Cut != a.Space || a.Seconds == nil || len(a.Builds) == 0 || len(a.Builds[0].Changes) == 0 || !strings.HasPrefix(a.Builds[0].Patch, "lowslung: 1\nbase: small.rig.yaml\n") {
		t.Errorf("the answer: %+v", a)
	}
	_, checked, _ := run(t, "check", cured)
	for _, n := range a.Builds[0].Numbers {
		if n.Name == "wheelbase" && !strings.Contains(checked, n.Text) {
			t.Errorf("the search has a wheelbase of %s, check of the same build:\n%s", n.Text, checked)
		}
	}
}

// A run that is kept in a file is taken up from it, and takes the file away when it is done; a file of something else is refused.
func TestSearchKeepsItsRun(t *testing.T) {
	dir := searchFolder(t)
	small, kept := filepath.Join(dir, "small.rig.yaml"), filepath.Join(dir, "run.search")
	if status, _, errOut := run(t, "search", small, "--keep", kept, "--lean"); status != 0 {
		t.Fatal(errOut)
	}
	if _, err := os.Stat(kept); !os.IsNotExist(err) {
		t.Errorf("the file of a run that is done: %v", err)
	}
	if err := os.WriteFile(kept, []byte("{}"), 0o644); err != nil {
		t.Fatal(err)
	}
	if status, _, errOut := run(t, "search", small, "--keep", kept, "--lean"); status != 2 || !strings.Contains(errOut, "begin anew without it") {
		t.Errorf("status %d, %s", status, errOut)
	}
}
