package drive

import (
	"strings"
	"testing"

	"lowslung/examples"
	"lowslung/finding"
	"lowslung/rig"
	"lowslung/solid"
)

// load is a demo rig with a patch over it, written as a document of its own on that base.
func load(t testing.TB, base, patch string) (*solid.Model, error) {
	t.Helper()
	texts := map[string]string{}
	for _, f := range []string{"bramble.rig.yaml", "bramble-portal.rig.yaml", "gully.rig.yaml", "club-shelf.bin.yaml"} {
		b, err := examples.Files.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		texts[f] = string(b)
	}
	texts["test.rig.yaml"] = "lowslung: 1\nbase: " + base + ".rig.yaml\n" + patch
	b, err := rig.Load(func(name string) ([]byte, error) { return []byte(texts[name]), nil }, "test.rig.yaml")
	if err != nil {
		return nil, err
	}
	return solid.Resolve(b)
}

func model(t testing.TB, base, patch string) *solid.Model {
	t.Helper()
	m, err := load(t, base, patch)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func answer(t testing.TB, base, patch string) Answer {
	t.Helper()
	a, err := Assess(model(t, base, patch), Options{})
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func lineOf(t testing.TB, base, patch string) *line {
	t.Helper()
	l := compile(model(t, base, patch))
	l.weigh()
	return l
}

func (a *Answer) point(t testing.TB, name string) Point {
	t.Helper()
	for _, p := range a.Points {
		if strings.HasPrefix(p.Name, name) {
			return p
		}
	}
	t.Fatalf("no point %q in %v", name, a.Points)
	return Point{}
}

func (a *Answer) find(code string) *finding.Finding {
	for i := range a.Findings {
		if a.Findings[i].Code == code {
			return &a.Findings[i]
		}
	}
	return nil
}
