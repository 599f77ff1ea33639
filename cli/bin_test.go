package cli

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const clubTable = `Artikelnummer;Kategorie;Bezeichnung;Abmessung;Gewicht g;Preis (€);Bestand;EAN
schr-1;Schraube;"M3 × 12, Innensechskant";M3x12;0,9;0,06;120;4001
lag-1;Kugellager;MR115;5 × 11 × 4 mm;1,5;0,75;24;4002
`

// benchWith is a workshop folder and a table beside it.
func benchWith(t *testing.T, table string) (run func(in string, args ...string) (status int, out, bad string), file string) {
	t.Helper()
	dir := t.TempDir()
	file = filepath.Join(dir, "Club Liste.csv")
	if err := os.WriteFile(file, []byte(table), 0o600); err != nil {
		t.Fatal(err)
	}
	return func(in string, args ...string) (int, string, string) {
		var out, bad bytes.Buffer
		status := Run(append([]string{"bin"}, append(args, "--workshop", filepath.Join(dir, "w"))...), strings.NewReader(in), &out, &bad)
		return status, out.String(), bad.String()
	}, file
}

func has(t *testing.T, text string, words ...string) {
	t.Helper()
	for _, w := range words {
		if !strings.Contains(text, w) {
			t.Errorf("expected %q in\n%s", w, text)
		}
	}
}

func TestBinImportFindWeigh(t *testing.T) {
	run, file := benchWith(t, clubTable)
	status, out, bad := run("", "import", file, "--look")
	if status != 0 {
		t.Fatal(bad)
	}
	has(t, out, "2 items would be saved in club-liste.bin.yaml", "Gewicht g", "another word for it", "– left out")
	if status, _, bad := run("", "list"); status != 2 || !strings.Contains(bad, "found no workshop") {
		t.Errorf("looking began a workshop: %d %s", status, bad)
	}
	if status, out, bad = run("", "import", file, "--column", "EAN=notes"); status != 0 {
		t.Fatal(bad)
	}
	has(t, out, "saved 2 items in club-liste.bin.yaml, revision 1", "as told")
	status, _, bad = run("", "import", file)
	if status != 2 {
		t.Errorf("the same again: %d", status)
	}
	has(t, bad, `found a bin called "club-liste.bin.yaml" in the workshop already`)
	if status, out, bad = run("", "import", file, "--replace", "--set", "from=club"); status != 0 {
		t.Fatal(bad)
	}
	has(t, out, "revision 2")
	_, out, _ = run("", "find", "m3x1")
	has(t, out, "schr-1", "~0.90", "0.06 EUR", "120", "club", "~ worked out or from a packet, not from a scale")
	_, out, _ = run("", "find", "club", "--kind", "bearing", "--json")
	var list foundList
	if err := json.Unmarshal([]byte(out), &list); err != nil || len(list.Items) != 1 || list.Items[0].ID != "lag-1" || list.More || list.Items[0].Weighed {
		t.Errorf("%v\n%s", err, out)
	}
	_, out, _ = run("", "find", "--limit", "1")
	has(t, out, "there are more")
	_, out, _ = run("", "find", "nothing")
	has(t, out, "found nothing")

	status, out, bad = run("# scale of the club room\nitem\tgrams\nschr-1\t0,93\n\nlag-1 1.44 g\n", "weigh")
	if status != 0 {
		t.Fatal(bad)
	}
	has(t, out, "0.9 g", "0.93 g", "1.5 g", "1.44 g")
	_, out, _ = run("", "find")
	has(t, out, "0.93", "1.44")
	if strings.Contains(out, "~") {
		t.Errorf("weighed items are still marked:\n%s", out)
	}
	status, _, bad = run("schr-1\theavy\nlag-1\nlag-1;0\n", "weigh")
	if want := "standard input:1: found the weight \"heavy\", expected a mass (g when bare; or kg, oz, lb)\n" +
		"standard input:2: found \"lag-1\", expected an item and its weight in grams\n" +
		"standard input:3: found the weight \"0\", expected more than 0 g\nNothing was saved\n"; status != 2 || bad != want {
		t.Errorf("%d\n%s\nexpected\n%s", status, bad, want)
	}
	status, _, bad = run("lag-2\t1\n", "weigh")
	if want := "found no item \"lag-2\" in any bin; did you mean \"lag-1\"?\nNothing was saved\n"; status != 2 || bad != want {
		t.Errorf("%d %q, expected %q", status, bad, want)
	}
	_, out, _ = run("", "list")
	has(t, out, "club-liste.bin.yaml", "2 items weighed")
	if status, out, bad = run("", "reindex"); status != 0 || out != "made the tables of items anew\n" {
		t.Errorf("%d %s %s", status, out, bad)
	}
}

func TestBinImportTellsMistakes(t *testing.T) {
	run, file := benchWith(t, strings.Replace(clubTable, "1,5", "much", 1))
	status, out, bad := run("", "import", file)
	if want := file + ":3:38: found \"much\" for \"mass\", expected a mass (g when bare; or kg, oz, lb)\nNothing was saved. Mend the table, say with --column what a column is, or leave bad rows out with --leave-out\n"; status != 2 || bad != want {
		t.Errorf("%d\n%s\nexpected\n%s", status, bad, want)
	}
	has(t, out, "taken as") // what may be wrong is the column
	status, out, bad = run("", "import", file, "--leave-out", "--into", "a.bin.csv")
	if status != 0 {
		t.Fatal(bad)
	}
	has(t, out, "saved 1 items in a.bin.csv")
	has(t, bad, "left out 1 of 2 rows")
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"import", file, "--column", "x"}, `found the column "x", expected "header=column"`},
		{[]string{"import", file, "--set", "x"}, `found "x" to be set, expected "column=value"`},
		{[]string{"import", file, "--leave-out", "--into", "a.csv"}, `found the file name "a.csv"`},
		{[]string{"import", file + "x"}, "found no table to read"},
		{[]string{"weigh", file + "x"}, "found no list of weights to read"},
	} {
		if status, _, bad := run("", c.args...); status != 2 || !strings.Contains(bad, c.want) {
			t.Errorf("%v: %d %s, expected %s", c.args, status, bad, c.want)
		}
	}
	if status, out, bad := run("kind,title\nnut,M3\n", "import", "-"); status != 0 || !strings.Contains(out, "saved 1 items in list.bin.yaml") {
		t.Errorf("from standard input: %s %s", out, bad)
	}
}

// A long list becomes a table by itself.
func TestBinNames(t *testing.T) {
	for _, c := range []struct {
		path  string
		items int
		want  string
	}{
		{"a/Shop List (2).csv", 10, "shop-list-2.bin.yaml"}, {"shop.bin.csv", 10, "shop.bin.yaml"}, {"shop.csv", 2001, "shop.bin.csv"}, {"-", 3, "list.bin.yaml"}, {"Größe.csv", 1, "gr-e.bin.yaml"}, {"…", 1, "list.bin.yaml"},
	} {
		if got := binFor(c.path, c.items); got != c.want {
			t.Errorf("%s with %d items: %s, expected %s", c.path, c.items, got, c.want)
		}
	}
}

func TestBinFits(t *testing.T) {
	var out, bad bytes.Buffer
	if status := Run([]string{"bin", "fits", "../examples/bramble-portal.rig.yaml", "gearbox/output cross hole"}, nil, &out, &bad); status != 0 {
		t.Fatal(bad.String())
	}
	has(t, out.String(), "a pin of 2.5 mm, about 12 mm long", "pin-2.5-12", "slip fit")
	out.Reset()
	if status := Run([]string{"bin", "fits", "../examples/bramble-portal.rig.yaml", "gearbox/output cross hole", "--units", "us"}, nil, &out, &bad); status != 0 {
		t.Fatal(bad.String())
	}
	has(t, out.String(), "a pin of 0.098 in, about 0.472 in long", "a pin of 0.098 in × 0.465 in in a hole of 0.098 in") // 2.5, 12 and 11.8 mm
	out.Reset()
	if status := Run([]string{"bin", "fits", "../examples/bramble-portal.rig.yaml", "gearbox/output seat rear", "--json", "--limit", "1"}, nil, &out, &bad); status != 0 {
		t.Fatal(bad.String())
	}
	var list fittingList
	if err := json.Unmarshal(out.Bytes(), &list); err != nil || list.Items[0].ID != "bearing-5x11x4" || list.Items[0].Port != "ring" || *list.Items[0].Have != 24 {
		t.Errorf("%v %s", err, out.String())
	}
	if status := Run([]string{"bin", "fits", "../examples/bramble-portal.rig.yaml", "gearbox/motor plat"}, nil, &out, &bad); status != 2 || !strings.Contains(bad.String(), `did you mean "gearbox/motor plate"?`) {
		t.Errorf("%d %s", status, bad.String())
	}
}

func TestProgressIsForTerminals(t *testing.T) {
	var out bytes.Buffer
	b := newBar(&out)
	b.tell("reading", 1, 2)
	b.end()
	if out.Len() > 0 {
		t.Errorf("wrote %q to what is no terminal", out.String())
	}
	b = &bar{out: &out}
	b.tell("reading line", 1000, 4000)
	b.end()
	if want := "\rreading line 1000 of 4000 (25 %)\x1b[K\r\x1b[K"; out.String() != want {
		t.Errorf("%q, expected %q", out.String(), want)
	}
}
