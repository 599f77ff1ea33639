package cli

import (
	"bytes"
	"os"
	"strings"
	"testing"
)

const pointTable = `axle;what;chassis x;chassis y;chassis z;axle x;axle y;axle z;pinion angle;tyre diameter
rear;wheel;;;;-152,5;100;-12;;112
rear;lower;-40;28;8;-142;46;-17;;
rear;upper;-36;25;32;-147;22;18;;
rear;pinion;-26;0;18;-115;0;-8;6;
`

func TestNewFromATableOfPoints(t *testing.T) {
	t.Chdir(t.TempDir())
	if err := os.WriteFile("rear.csv", []byte(pointTable), 0o644); err != nil {
		t.Fatal(err)
	}
	status, out, errOut := run(t, "new", "Measured", "--points", "rear.csv")
	if status != 0 || !strings.Contains(out, "measured.rig.yaml") {
		t.Fatalf("status %d, %s%s", status, out, errOut)
	}
	status, out, errOut = run(t, "check", "measured.rig.yaml")
	if status > 1 || !strings.Contains(out, "6.0°") {
		t.Errorf("check: status %d, expected the pinion angle measured\n%s%s", status, out, errOut)
	}
	var o, e bytes.Buffer
	if status = Run([]string{"new", "Pasted", "--points", "-"}, strings.NewReader(pointTable), &o, &e); status != 0 {
		t.Fatalf("from standard input: status %d, %s", status, &e)
	}
	one, err1 := os.ReadFile("measured.rig.yaml")
	two, err2 := os.ReadFile("pasted.rig.yaml")
	if err1 != nil || err2 != nil {
		t.Fatal(err1, err2)
	}
	after := func(text []byte) string { _, rest, _ := strings.Cut(string(text), "\nchassis:"); return rest }
	if rest := after(one); rest == "" || rest != after(two) {
		t.Errorf("from a file and from standard input differ:\n%s\n%s", one, two)
	}
}

func TestNewFromABadTableWritesNothing(t *testing.T) {
	t.Chdir(t.TempDir())
	for _, c := range []struct{ text, want string }{
		{strings.Replace(pointTable, "rear;lower", "raer;lower", 1), `standard input:3:1: found "raer" in the column "axle", expected front or rear; did you mean "rear"?`},
		{"", "standard input:1:1: found an empty table"},
		{strings.Repeat(" ", 5<<20), "expected at most 4 MiB"},
	} {
		var o, e bytes.Buffer
		if status := Run([]string{"new", "Bad", "--points", "-"}, strings.NewReader(c.text), &o, &e); status != 2 || !strings.Contains(e.String(), c.want) {
			t.Errorf("status %d, said %s, expected %s", status, &e, c.want)
		}
	}
	if status, _, errOut := run(t, "new", "Bad", "--points", "no-such.csv"); status != 2 || !strings.Contains(errOut, "no-such.csv") {
		t.Errorf("a table that is not there: status %d, %s", status, errOut)
	}
	if status, _, errOut := run(t, "new", "Bad", "--points", ""); status != 2 {
		t.Errorf("no name for the table: status %d, %s", status, errOut)
	}
	if _, err := os.Stat("bad.rig.yaml"); err == nil {
		t.Error("a document was written of a bad table")
	}
}
