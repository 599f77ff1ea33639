package search

import (
	"context"
	"strings"
	"testing"

	"lowslung/rig"
)

// Errors of use say what was found, what was expected, and where.
func TestErrors(t *testing.T) {
	turns := "  vary:\n    turns: {change: links/rear lower/turns, from: 0, to: 4, step: 1}\n"
	for _, c := range []struct{ name, section, want string }{
		{"nothing varies", "  wants: {wheelbase: {from: 300}}\n", `found nothing that may change`},
		{"one value", "  vary:\n    turns: {change: links/rear lower/turns, among: [2]}\n", `found one combination`},
		{"two wants", turns + "  wants: {sprung mass: {from: 3 kg}, mass: {to: 2 kg}}\n", `found two wants that no build meets both of: sprung mass at least 3000 g, and mass at most 2000 g`},
		{"joint", turns + "  wants: {rear shaft joint angle: {from: 30}, rear shaft joint room: {from: 20}}\n", `rear shaft joint angle at least 30.0°, and rear shaft joint room at least 20.0°, since together they are the limit of the joint, 40.0°`},
		{"too large", turns + "    rod: {change: links/rear lower/rod/item, kind: rod}\n  most: 30\n", `found 80 combinations, expected at most 30; take values out of "rod", which has 16`},
		{"too many frames", "  vary:\n    a: {change: chassis/parts/battery/mass, from: 100, to: 200, step: 0.1}\n    b: {change: chassis/parts/receiver/at, among: [[-100, 0, 45], [-101, 0, 45], [-102, 0, 45], [-103, 0, 45], [-104, 0, 45]]}\n",
			"each of which makes a document of its own, expected at most 4096"},
		{"unknown want", turns + "  wants: {rear pinion angel: {from: 3}}\n", `did you mean "rear pinion angle"?`},
		{"unknown preference", turns + "  prefer: {prise: lower}\n", `did you mean "price"?`},
		{"middle of nothing", turns + "  prefer: {rear roll steer: middle}\n", "nothing wants it in a range with two ends"},
		{"wrong unit", turns + "  wants: {wheelbase: {from: 3 kg}}\n", "for wheelbase"},
		{"no item", "  vary:\n    rod: {change: links/rear lower/rod/item, kind: rod, thread: M5}\n", `found no bin item of kind rod for the choice "rod" with the thread M5`},
		{"no hole", "  vary:\n    hole: {change: links/rear lower/from, holes_of: belly, named: middle}\n", `found no hole of "belly" with "middle" in its name`},
		{"no such part", "  vary:\n    hole: {change: links/rear lower/from, holes_of: bely}\n", `did you mean "belly"?`},
		{"no such link", "  vary:\n    turns: {change: links/rear lowr/turns, from: 0, to: 4, step: 1}\n", `but there is no "rear lowr" in "links"; did you mean "rear lower"?`},
		{"twice", turns + "    more: {change: links/rear lower/turns, among: [1, 3]}\n", `found the choices "turns" and "more" for the same place`},
	} {
		b := over(t, "bramble-portal.rig.yaml", c.section)
		_, err := Run(context.Background(), b, Options{Lean: true})
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, expected %q", c.name, err, c.want)
		}
	}
	// A want that contradicts a target of the same number.
	b, err := rig.Load(files(map[string]string{"with.rig.yaml": "lowslung: 1\nbase: bramble-portal.rig.yaml\nsearch: {wants: {wheelbase: {to: 300}}}\n"}), "with.rig.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Run(context.Background(), b, Options{}); err == nil || !strings.Contains(err.Error(), "wheelbase at most 300.0 mm (search/wants), and wheelbase 310.0 mm to 314.0 mm (targets)") {
		t.Errorf("a want against a target: %v", err)
	}
	// A document without the section.
	b, err = rig.Load(files(nil), "gully.rig.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Run(context.Background(), b, Options{}); err == nil || !strings.Contains(err.Error(), "found no search section") {
		t.Errorf("without the section: %v", err)
	}
	// Checkpoints of something else.
	b = over(t, "bramble-portal.rig.yaml", links)
	for _, c := range []struct{ state, want string }{
		{"no JSON", "cannot be read"}, {`{"lowslung_search": 7}`, "version 7"}, {`{"lowslung_search": 1, "hash": "x"}`, "another document"},
	} {
		if _, err := Run(context.Background(), b, Options{Lean: true, Resume: []byte(c.state)}); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("checkpoint %s: %v, expected %q", c.state, err, c.want)
		}
	}
}
