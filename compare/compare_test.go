package compare

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"lowslung/quantity"
	"lowslung/rig"
	"lowslung/solid"
)

func build(t *testing.T, text string, name string) Build {
	t.Helper()
	b, err := rig.Load(func(n string) ([]byte, error) {
		if n == "it.rig.yaml" {
			return []byte(text), nil
		}
		return os.ReadFile(filepath.Join("../examples", n))
	}, "it.rig.yaml")
	if err != nil {
		t.Fatal(err)
	}
	m, err := solid.Resolve(b)
	if err != nil {
		t.Fatal(err)
	}
	return Build{Name: name, Tree: b.Tree, Model: m}
}

func numberOf(t *testing.T, a *Answer, name string) Number {
	t.Helper()
	for _, n := range a.Numbers {
		if n.Name == name {
			return n
		}
	}
	t.Fatalf("no %s", name)
	return Number{}
}

func TestABuildAgainstItselfHasChangedNothing(t *testing.T) {
	b := build(t, "lowslung: 1\nbase: bramble.rig.yaml\n", "same")
	a, err := Assess([]Build{b, b}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(a.Changes) != 1 || len(a.Changes[0]) != 0 || len(a.Findings) != 0 {
		t.Errorf("changes %v, findings %v", a.Changes, a.Findings)
	}
	for _, n := range a.Numbers {
		if n.Change[0] == nil || *n.Change[0] != 0 || n.Sense[0] != "same" {
			t.Errorf("%s changed by %v, %q", n.Name, n.Change[0], n.Sense[0])
		}
	}
}

func TestOneWeightIsOneChange(t *testing.T) {
	a := build(t, "lowslung: 1\nbase: bramble.rig.yaml\n", "as bought")
	b := build(t, "lowslung: 1\nbase: bramble.rig.yaml\nchassis: {parts: {body: {mass: 436 g}}}\n", "heavy body")
	ans, err := Assess([]Build{a, b}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(ans.Changes[0]) != 1 || ans.Changes[0][0].Path != "chassis/parts/body/mass" || ans.Changes[0][0].After != "436 g" {
		t.Errorf("changes: %+v", ans.Changes[0])
	}
	// The document gives the body 236 g: 200 g more are 200 g more, and high up they tip the rig sooner every way.
	m := numberOf(t, &ans, "mass")
	if d := *m.Change[0]; d < 199.99 || d > 200.01 || m.Unit != "g" {
		t.Errorf("mass changed by %g %s", d, m.Unit)
	}
	if n := numberOf(t, &ans, "tip angle left"); n.Sense[0] != "worse" {
		t.Errorf("tip angle left is %q", n.Sense[0])
	}
	// No gear cares for it. The springs do: 1.96 N on four of them at some 0.18 N/mm at the wheel, tyres of 2 N/mm in series, is 3 mm (handbook statics), and
	// every question sees the rig stand so much lower.
	if n := numberOf(t, &ans, "rear gear ratio"); n.Sense[0] != "same" {
		t.Errorf("rear gear ratio is %q", n.Sense[0])
	}
	for _, name := range []string{"belly clearance", "standing clearance"} {
		if d := *numberOf(t, &ans, name).Change[0]; math.Abs(d+3) > 0.4 {
			t.Errorf("%s changed by %g mm, expected about -3", name, d)
		}
	}
	said := false
	for _, f := range ans.Findings {
		said = said || f.Code == "compare/tips-sooner" && strings.HasPrefix(f.Sentence, "heavy body tips sooner")
	}
	if !said {
		t.Errorf("nothing says that it tips sooner: %+v", ans.Findings)
	}
}

func TestUnitsOfTheComparison(t *testing.T) {
	a := build(t, "lowslung: 1\nbase: bramble.rig.yaml\n", "as bought")
	b := build(t, "lowslung: 1\nbase: bramble.rig.yaml\nchassis: {parts: {body: {mass: 436 g}}}\n", "heavy body")
	ans, err := Assess([]Build{a, b}, Options{Units: quantity.US})
	if err != nil {
		t.Fatal(err)
	}
	// 200 g / 28.349523125 g per oz (NIST SP 811) = 7.0548 oz
	m := numberOf(t, &ans, "mass")
	if d := *m.Change[0]; m.Unit != "oz" || d < 7.0547 || d > 7.0549 {
		t.Errorf("mass changed by %g %s", d, m.Unit)
	}
}

func TestTroubleThatIsNewAndTroubleThatIsCured(t *testing.T) {
	fine := build(t, "lowslung: 1\nbase: bramble.rig.yaml\n", "as bought")
	long := build(t, "lowslung: 1\nbase: bramble.rig.yaml\nlinks: {rear upper: {turns: 12}}\n", "long uppers")
	there, err := Assess([]Build{fine, long}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	back, err := Assess([]Build{long, fine}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	count := func(a *Answer, code string) (n int) {
		for _, f := range a.Findings {
			if f.Code == code {
				n++
			}
		}
		return n
	}
	if n := count(&there, "compare/new-trouble"); n == 0 || n != count(&back, "compare/cured") {
		t.Errorf("%d new troubles on the way there, %d cured on the way back", n, count(&back, "compare/cured"))
	}
}

func TestOneBuildIsNotAComparison(t *testing.T) {
	if _, err := Assess([]Build{{}}, Options{}); err == nil || !strings.Contains(err.Error(), "at least two") {
		t.Errorf("got %v", err)
	}
}
