package sheet

import (
	"encoding/csv"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"lowslung/channel"
	"lowslung/finding"
)

// Foreign text means nothing but itself, whatever the format. The names below are what each format would take for a mark.
const hostile = `=HYPERLINK("http://x.example")|<script>alert(1)</script> & *bold* [x](http://x.example) _a_ a_b`

func strange() *Sheet {
	v, w := 0.312, 0.3
	return &Sheet{
		Title: hostile, Subtitle: "held against -2+3", held: "-2+3", document: "0123456789ab",
		Facts: []Fact{{"Date", []string{"2026-05-02"}}, {"Document", []string{"a|b.rig.yaml 0123456789ab", "c.bin.yaml"}}},
		Numbers: []Number{
			{Channel: channel.Must("wheelbase"), Value: &v, Other: &w, Sense: "same"},
			{Channel: channel.Must("caster"), Other: &w},
		},
		Sections: []Section{
			{"findings", "What to know first", []Block{
				{Findings: []finding.Finding{
					finding.New(finding.Stop, "a/b", "The part %q is <b>wrong</b> | really.", "1. # x").CuredBy("take `it` off"),
					finding.New(finding.OK, "a/c", "Fine.").CuredBy("not printed"),
				}},
				{Text: "# no heading"}, {List: []string{"[x] no box", "- no list", "+5 mm stays", "1. no number", "~~struck~~ \\ &amp; AT&T"}},
			}},
			{"setup", "Set-up", []Block{{Table: &Table{Title: "Links", Columns: []Column{{Title: "Link | name"}, {Title: "Length", Num: true}, {}},
				Rows: []Row{{Group: true, Cells: []string{"*front*"}}, {Cells: []string{hostile, "-3.0 mm", "line\nbreak"}}, {Sum: true, Cells: []string{"all", "1", ""}}}}}}},
		},
	}
}

// LOWSLUNG_UPDATE=1 writes testdata/strange.md anew; read the difference.
func TestMarkdownGolden(t *testing.T) {
	const file = "testdata/strange.md"
	got := strange().Markdown()
	if os.Getenv("LOWSLUNG_UPDATE") != "" {
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil || string(want) != string(got) {
		t.Errorf("the Markdown is not that of %s (%v); LOWSLUNG_UPDATE=1 go test ./sheet -run Golden writes it:\n%s", file, err, got)
	}
}

// Every row of every table has as many cells as its heading: a pipe in a name makes no further one (GFM 4.10: a pipe with a backslash is text).
func TestMarkdownTables(t *testing.T) {
	bar := regexp.MustCompile(`(^|[^\\])\|`)
	check := func(name, text string) {
		columns := 0
		for _, line := range strings.Split(text, "\n") {
			if !strings.HasPrefix(line, "|") {
				columns = 0
				continue
			}
			n := 0
			for rest := line; ; n++ {
				at := bar.FindStringIndex(rest)
				if at == nil {
					break
				}
				rest = rest[at[1]:]
			}
			if columns == 0 {
				columns = n
			}
			if n != columns {
				t.Errorf("%s: %d bars, expected %d: %s", name, n, columns, line)
			}
		}
	}
	check("strange", string(strange().Markdown()))
	for name, s := range everySheet(t) {
		check(name, string(s.Markdown()))
	}
}

// The HTML is one file: nothing is loaded from anywhere, nothing runs, and names are text.
func TestHTMLIsOneFile(t *testing.T) {
	sheets := everySheet(t)
	sheets["strange"] = strange()
	for name, s := range sheets {
		page, err := s.HTML()
		if err != nil {
			t.Fatal(err)
		}
		text := string(page)
		for _, bad := range []string{"<script", "<link", "<img", "<iframe", "<object", "<base", "@import", "url(", " src=", "href=", "onload", "xmlns", "\x00"} {
			if strings.Contains(text, bad) {
				t.Errorf("%s holds %q", name, bad)
			}
		}
		if i := strings.Index(strings.ReplaceAll(text, "http://x.example", ""), "://"); i >= 0 {
			t.Errorf("%s leads elsewhere: …%.80s", name, text[i:])
		}
		if regexp.MustCompile(`style="`).MatchString(text) {
			t.Errorf("%s has style attributes, which a strict page would not apply", name)
		}
	}
}

func TestCSVReadsBack(t *testing.T) {
	for name, s := range everySheet(t) {
		rows, err := csv.NewReader(strings.NewReader(string(s.CSV()))).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		if len(rows) != len(s.Numbers)+1 || len(rows) < 60 {
			t.Fatalf("%s: %d rows for %d numbers", name, len(rows), len(s.Numbers))
		}
		negative := 0
		for i, r := range rows[1:] {
			n := &s.Numbers[i]
			for k, v := range map[int]*float64{2: n.Value, 4: n.Other} {
				if (v == nil) != (r[k] == "") {
					t.Errorf("%s: %q for %v", r[0], r[k], v)
				}
				if v == nil {
					continue
				}
				f, err := strconv.ParseFloat(r[k], 64)
				u, _ := n.Channel.Dim.Unit(r[3])
				if back := f*u.Factor + u.Offset; err != nil || math.Abs(back-*v) > 1e-9*(1+math.Abs(*v)) {
					t.Errorf("%s: %q is %v, expected %v", r[0], r[k], back, *v)
				}
				if f < 0 {
					negative++
				}
			}
			if r[3] != n.Channel.Dim.Shown(s.Units).Symbol {
				t.Errorf("%s in %q", r[0], r[3])
			}
		}
		if negative == 0 {
			t.Errorf("%s: no negative number, so that the test says nothing of them", name)
		}
	}
}

// A name that begins like a formula does not stay one (OWASP, CSV injection); numbers are left alone.
func TestCSVNamesAreNoFormulas(t *testing.T) {
	rows, err := csv.NewReader(strings.NewReader(string(strange().CSV()))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if build, held := rows[1][8], rows[1][10]; build != "'"+hostile || held != "'-2+3" {
		t.Errorf("build %q, held against %q", build, held)
	}
	for _, s := range []string{"=1", "+1", "-1", "@a", "\ta", "\ra"} {
		if tame(s) != "'"+s {
			t.Errorf("%q stays %q", s, tame(s))
		}
	}
	if tame("Gully") != "Gully" || tame("") != "" {
		t.Error("plain names are changed")
	}
}
