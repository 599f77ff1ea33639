package rig

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

func readItems(t *testing.T, text string, o ItemsOptions) *Items {
	t.Helper()
	it, err := ReadItems("list.csv", []byte(text), o)
	if err != nil {
		t.Fatalf("%v", err)
	}
	return it
}

// loadBin loads a bin document alone.
func loadBin(t *testing.T, file string, text []byte) *Bin {
	t.Helper()
	b, err := Load(files{"a.rig.yaml": "lowslung: 1\nbins: [" + file + "]\n", file: string(text)}.read, "a.rig.yaml")
	if err != nil {
		t.Fatalf("%s does not load:\n%v\n%s", file, err, text)
	}
	return b.Bins[0]
}

// A club's table in German with semicolons, decimal commas, units in headers and a currency sign.
const clubList = `Artikelnummer;Kategorie;Bezeichnung;Abmessung;Gewicht g;Preis (€);Bestand;Lieferant;Zähne;Modul;Bohrung mm;EAN
schr-1;Schraube;"M3 × 12, Innensechskant";M3x12;0,9;0,06;120;Sammelbestellung;;;;4001
lag-1;Kugellager;MR115;5 × 11 × 4 mm;1,5;0,75;24;Sammelbestellung;;;;4002
ritz-1;Ritzel;Ritzel 20 Z Modul 0,5;;5;4,00;2;Tauschtisch;20;0,5;3,17;
stift-1;Stift;Stift 2 × 9,8;2x9,8;0,25;"1.234,50";30;;;;;
;Scheibe;Scheibe M3;M3;0,1;;150;;;;;
`

func TestItemsOfAClub(t *testing.T) {
	it := readItems(t, clubList, ItemsOptions{})
	if it.Len() != 5 || it.Rows != 5 {
		t.Fatalf("%d items of %d rows", it.Len(), it.Rows)
	}
	var how []string
	for _, u := range it.Columns {
		how = append(how, u.Header+"|"+u.Column+"|"+u.Unit+"|"+u.How)
	}
	want := []string{"Artikelnummer|item||word", "Kategorie|kind||word", "Bezeichnung|title||word", "Abmessung|size||word", "Gewicht g|mass|g|word",
		"Preis (€)|price|EUR|word", "Bestand|have||word", "Lieferant|from||word", "Zähne|teeth||word", "Modul|module||word", "Bohrung mm|bore|mm|word", "EAN|||left out"}
	if !slices.Equal(how, want) {
		t.Errorf("columns:\n%s\nexpected\n%s", strings.Join(how, "\n"), strings.Join(want, "\n"))
	}
	for i, check := range []func(id string, p *Part) bool{
		func(id string, p *Part) bool {
			return id == "schr-1" && p.Kind == "screw" && p.Screw.Thread == "M3" && *p.Screw.Length == 12 && near(float64(*p.Mass), 0.9e-3) && *p.Price == 0.06 && p.Money == "EUR" &&
				*p.Have == 120 && p.From == "Sammelbestellung" && len(p.Ports) == 1 && p.Ports[0].Value.Type == "male thread"
		},
		func(id string, p *Part) bool {
			return id == "lag-1" && p.Kind == "bearing" && p.Bearing.Bore == 5 && p.Bearing.Outer == 11 && p.Bearing.Width == 4 && len(p.Ports) == 2
		},
		func(id string, p *Part) bool {
			return id == "ritz-1" && p.Gear.Teeth == 20 && *p.Gear.Module == 0.5 && *p.Gear.Bore == 3.17 && p.Ports[0].Value.Needed
		},
		func(id string, p *Part) bool {
			pin, _ := p.Ports.Get("pin")
			return id == "stift-1" && *pin.Diameter == 2 && *pin.Length == 9.8 && *p.Price == 1234.5 && p.Money == "EUR"
		},
		func(id string, p *Part) bool {
			return id == "scheibe-m3" && p.Kind == "washer" && p.Screw.Thread == "M3" && p.Price == nil && p.Money == "" && p.Ports[0].Value.Type == "clearance hole"
		},
	} {
		if id, p := it.At(i); !check(id, p) {
			t.Errorf("item %d: %s %+v", i, id, p)
		}
	}
}

func near(a, b float64) bool { return a-b < 1e-12 && b-a < 1e-12 }

func TestItemsAskedColumnsAndUnits(t *testing.T) {
	text := "code,what it is,G,each,size\nA,bolt,0.02,$3.50,M2.5x8\nB,bolt,,£2,M3\n"
	columns := []ColumnUse{mustColumn(t, "code=title"), mustColumn(t, "what it is = kind"), mustColumn(t, "G=mass (oz)"), mustColumn(t, "each=price")}
	it := readItems(t, text, ItemsOptions{Columns: columns, Set: []ItemValue{{"currency", "CAD"}, {"from", "garage"}}})
	_, a := it.At(0)
	if !near(float64(*a.Mass), 0.02*0.45359237/16) || *a.Price != 3.5 || a.Money != "CAD" || a.From != "garage" { // NIST SP 811: 1 oz = 28.349523125 g
		t.Errorf("%+v", a)
	}
	id, b := it.At(1)
	if id != "b" || *b.Price != 2 || b.Money != "GBP" {
		t.Errorf("%s %+v", id, b)
	}
}

func mustColumn(t *testing.T, text string) ColumnUse {
	u, err := ParseColumn(text)
	if err != nil {
		t.Fatal(err)
	}
	return u
}

// Every table under testdata/items must be refused with exactly the text in the .want file beside it, which is written by hand. The
// first line may hold options: "#! --column A=mass --set kind=screw".
func TestBadItemTables(t *testing.T) {
	tables, err := filepath.Glob("testdata/items/*.csv")
	if err != nil || len(tables) < 25 {
		t.Fatalf("%d tables under testdata/items, want at least 25 (%v)", len(tables), err)
	}
	for _, file := range tables {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		want, err := os.ReadFile(strings.TrimSuffix(file, ".csv") + ".want")
		if err != nil {
			t.Error(err)
			continue
		}
		o, rest := tableOptions(t, string(text))
		name := filepath.Base(file)
		if _, err = ReadItems(name, []byte(rest), o); strings.HasSuffix(name, ".bin.csv") {
			_, err = Load(files{"a.rig.yaml": "lowslung: 1\nbins: [" + name + "]\n", name: rest}.read, "a.rig.yaml")
		}
		if err == nil {
			t.Errorf("%s: read, want\n%s", name, want)
			continue
		}
		var list Diagnostics
		if !errors.As(err, &list) {
			t.Errorf("%s: error is no Diagnostics", name)
		}
		if got := err.Error() + "\n"; got != string(want) {
			t.Errorf("%s:\ngot\n%swant\n%s", name, got, want)
		}
	}
}

func tableOptions(t *testing.T, text string) (o ItemsOptions, rest string) {
	line, rest, ok := strings.Cut(text, "\n")
	words, opt := strings.CutPrefix(line, "#! ")
	if !ok || !opt {
		return o, text
	}
	for _, w := range strings.Split(words, " --") {
		flag, value, _ := strings.Cut(strings.TrimPrefix(w, "--"), " ")
		switch flag {
		case "column":
			o.Columns = append(o.Columns, mustColumn(t, value))
		case "set":
			v, err := ParseItemValue(value)
			if err != nil {
				t.Fatal(err)
			}
			o.Set = append(o.Set, v)
		case "most":
			o.Most, _ = strconv.Atoi(value)
		default:
			t.Fatalf("unknown option %q", w)
		}
	}
	return o, rest
}

func TestBadColumnOptions(t *testing.T) {
	for text, want := range map[string]string{
		"Gewicht":  `found the column "Gewicht", expected "header=column", such as "Gewicht=mass", "Preis=price (EUR)" or "EAN=-" to leave one out`,
		"=mass":    `found the column "=mass", expected "header=column", such as "Gewicht=mass", "Preis=price (EUR)" or "EAN=-" to leave one out`,
		"Gewicht=": `found the column "Gewicht=", expected "header=column", such as "Gewicht=mass", "Preis=price (EUR)" or "EAN=-" to leave one out`,
	} {
		if _, err := ParseColumn(text); err == nil || err.Error() != want {
			t.Errorf("%q: %v, expected %s", text, err, want)
		}
	}
	if _, err := ParseItemValue("kind"); err == nil || err.Error() != `found "kind" to be set, expected "column=value", such as "kind=screw" or "currency=EUR"` {
		t.Errorf("%v", err)
	}
}

// Rows with mistakes may be left out; how many and why is told.
func TestItemsLeaveOut(t *testing.T) {
	text := "kind,title,mass\nscrew,good,1\nscrew,bad,one\nscrew,good too,2\n"
	it, err := ReadItems("list.csv", []byte(text), ItemsOptions{LeaveOut: true})
	if err != nil || it.Len() != 2 || it.Bad != 1 || len(it.Mistakes) != 1 {
		t.Fatalf("%v %+v", err, it)
	}
	if want := `list.csv:3:11: found "one" for "mass", expected a mass (g when bare; or kg, oz, lb)`; it.Mistakes[0].String() != want {
		t.Errorf("%s, expected %s", it.Mistakes[0], want)
	}
	if _, err := ReadItems("list.csv", []byte("kind,title,mass\nscrew,bad,one\n"), ItemsOptions{LeaveOut: true}); err == nil {
		t.Error("a table of which no row is good was read")
	}
}

// Each word stands for one column or kind, so that a header never depends on the order in which words are looked through.
func TestColumnWordsAreTold(t *testing.T) {
	cs := newItemColumns(plans{})
	seen := map[string]string{}
	for column, words := range columnWords {
		if cs.named[column] == nil {
			t.Errorf("there is no column %q", column)
		}
		for _, w := range append(slices.Clone(words), column) {
			if seen[w] != "" {
				t.Errorf("%q stands for %s and %s", w, seen[w], column)
			}
			seen[w] = column
			if w != plainWords(w) {
				t.Errorf("%q can never be found: it is compared in lower case, with single spaces", w)
			}
		}
	}
	for w, kind := range kindWords {
		if !slices.Contains(cs.kinds, kind) {
			t.Errorf("%q stands for %q, which is no kind", w, kind)
		}
	}
}

// A column that several kinds have measures the same in all of them.
func TestColumnsOfSeveralKindsAreAlike(t *testing.T) {
	ps := plans{}
	cs := newItemColumns(ps)
	part := ps.of(reflect.TypeFor[Part]())
	for _, k := range kindKeys {
		for _, f := range ps.of(part.field(k.key).typ.Elem()).fields {
			c, ok := columnOf(&f, columnName(f.key))
			if !ok {
				continue
			}
			if have := cs.named[c.name]; have.dim != c.dim || have.cell != c.cell || !slices.Equal(have.enum, c.enum) {
				t.Errorf("%s of a %s is not like %s of other kinds", c.name, k.kind, c.name)
			}
		}
	}
}

// What is written as YAML and as a table of ours loads as the same items, whatever was in the table read.
func sameBothWays(t *testing.T, it *Items) {
	t.Helper()
	yaml, csv := it.YAML("List", "where from"), it.CSV()
	if len(yaml) > MaxBytes || it.Len() > MaxThings {
		return
	}
	a, b := loadBin(t, "list.bin.yaml", yaml), loadBin(t, "list.bin.csv", csv)
	if len(a.Items) != it.Len() || len(b.Items) != it.Len() {
		t.Fatalf("%d items became %d in YAML and %d in the table", it.Len(), len(a.Items), len(b.Items))
	}
	for i := range a.Items {
		id, p := it.At(i)
		for what, e := range map[string]*Entry[Part]{"YAML": &a.Items[i], "the table": &b.Items[i]} {
			if e.Name != id || !reflect.DeepEqual(unplaced(e.Value), unplaced(*p)) {
				t.Fatalf("item %q became %q in %s:\n%+v\n%+v\n%s\n%s", id, e.Name, what, unplaced(*p), unplaced(e.Value), yaml, csv)
			}
		}
	}
}

// unplaced is a part without the places where it was written.
func unplaced(p Part) Part {
	p.Place = Place{}
	ports := make(Map[Port], len(p.Ports))
	for i, e := range p.Ports {
		e.Place, e.Value.Place = Place{}, Place{}
		ports[i] = e
	}
	p.Ports = ports
	if p.Ports == nil || len(ports) == 0 {
		p.Ports = nil
	}
	return p
}

func TestItemsBothWays(t *testing.T) {
	sameBothWays(t, readItems(t, clubList, ItemsOptions{}))
	seed := uint64(time.Now().UnixNano())
	if s := os.Getenv("LOWSLUNG_SEED"); s != "" {
		seed, _ = strconv.ParseUint(s, 10, 64)
	}
	t.Logf("LOWSLUNG_SEED=%d", seed)
	r := rand.New(rand.NewPCG(seed, 5))
	titles := []string{"Plain", "12", "true", "null", "a, b", `a "b"`, "x: y", "- z", "#1", "~", "1e3", "Größe ½″", "[x]", "{x}", "%", "@at", "it's", "0x10", "1_000", "yes", "2026-01-01", "=1+1"}
	pick := func(list ...string) string { return list[r.IntN(len(list))] }
	var b strings.Builder
	b.WriteString("item,kind,title,size,mass,price,have,notes,teeth,module,weighed,hex,cells,plug,voltage\n")
	for i := range 400 {
		row := make([]string, 15)
		row[0], row[1], row[2] = fmt.Sprintf("%s %d", pick(titles...), i), pick("screw", "bearing", "gear", "tyre", "battery", "servo", "other", "spacer"), pick(titles...)
		switch row[1] {
		case "screw":
			row[3] = pick("M3x12", "M2.5 × 8", "m4", "")
		case "bearing":
			row[3] = pick("5x11x4", "3 × 7 × 2.5 mm", "")
		case "tyre":
			row[3], row[11] = pick("119x44", "4.5"), pick("", "12")
		case "gear":
			row[8], row[9] = pick("12", "54"), pick("", "0.5")
		case "battery":
			row[12], row[13] = pick("2", "3"), pick("", "4 mm round")
		case "servo":
			row[14] = pick("7.4", "6 V")
		}
		row[4], row[5], row[6], row[7], row[10] = pick("", "0.5", "1 oz", ".25", "+3"), pick("", "4.20", "£1.5", "EUR 3"), pick("", "0", "12"), pick(titles...), pick("", "yes", "no")
		for k, c := range row {
			if k > 0 {
				b.WriteByte(',')
			}
			b.WriteString(`"` + strings.ReplaceAll(c, `"`, `""`) + `"`)
		}
		b.WriteByte('\n')
	}
	sameBothWays(t, readItems(t, b.String(), ItemsOptions{}))
}

// An item of a table is a default for a part as one of YAML is; a bin in front of it wins; a bad row breaks the bin.
func TestTableAsABin(t *testing.T) {
	f := files{
		"a.rig.yaml":    "lowslung: 1\nbins: [mine.bin.yaml, shop.bin.csv]\nchassis: {parts: {pack: {item: big, mass: 5}, spare: {item: small}, cover screw: {item: bolt}}}\n",
		"mine.bin.yaml": "lowslung: 1\nitems: {small: {kind: battery, title: Mine}}\n",
		"shop.bin.csv":  "item,kind,title,cells,thread,length\nbig,battery,Big pack,3,,\nsmall,battery,Theirs,2,,\nbolt,screw,Bolt,,M3,12\n",
	}
	b, err := Load(f.read, "a.rig.yaml")
	if err != nil {
		t.Fatal(err)
	}
	pack, _ := b.Doc.Chassis.Parts.Get("pack")
	spare, _ := b.Doc.Chassis.Parts.Get("spare")
	screw, _ := b.Doc.Chassis.Parts.Get("cover screw")
	if pack.Title != "Big pack" || pack.Pack.Cells != 3 || !near(float64(*pack.Mass), 5e-3) || spare.Title != "Mine" || *screw.Screw.Length != 12 || screw.Ports[0].Value.Type != "male thread" {
		t.Errorf("%+v\n%+v\n%+v", pack, spare, screw)
	}
	shop, err := new(Memory).LoadBin("shop.bin.csv", []byte(f["shop.bin.csv"]))
	if err != nil {
		t.Fatal(err)
	}
	if line := shop.Line(2); line != "{kind: screw, title: Bolt, screw: {thread: M3, length: 12}, ports: {thread: {type: male thread}}}" {
		t.Errorf("line %s", line)
	}
	f["shop.bin.csv"] += "odd,battery,Odd,three,,\n"
	_, err = Load(f.read, "a.rig.yaml")
	if want := `shop.bin.csv:5:17: found "three" for "cells", expected a whole number`; err == nil || err.Error() != want {
		t.Errorf("%v, expected %s", err, want)
	}
	if _, err2 := new(Memory).LoadBin("shop.bin.csv", []byte(f["shop.bin.csv"])); err2 == nil || err2.Error() != err.Error() {
		t.Errorf("alone: %v, expected %v", err2, err)
	}
	// Remembered, it is read once, and anew when the text is another.
	f["shop.bin.csv"] = "item,kind,title\nbig,other,One\nbolt,other,Two\n"
	var m Memory
	for _, title := range []string{"Two", "Two", "Three"} {
		f["shop.bin.csv"] = strings.ReplaceAll(f["shop.bin.csv"], "Two", title)
		b, err := m.Load(f.read, "a.rig.yaml")
		if err != nil {
			t.Fatal(err)
		}
		if p, ok := b.Item("bolt"); !ok || p.Title != title {
			t.Errorf("%+v, expected %s", p, title)
		}
	}
}

// Values set in a bin leave everything else as it is.
func TestSetItems(t *testing.T) {
	set := []ItemSetting{{"a", "mass", "1.5"}, {"a", "weighed", "true"}, {"b b", "mass", "0.2 oz"}, {"b b", "weighed", "true"}, {"c", "mass", "7"}}
	yaml := lines("lowslung: 1 # mine", "items:", "  a: {kind: screw, mass: 2} # on the shelf", "  b b:", "    kind: nut", "    notes: x # y", "", "  c: {}", "  d: {mass: 4}")
	want := lines("lowslung: 1 # mine", "items:", "  a: {kind: screw, mass: 1.5, weighed: true} # on the shelf", "  b b:", "    kind: nut", "    notes: x # y", "    mass: 0.2 oz", "    weighed: true", "", "  c: {mass: 7}", "  d: {mass: 4}")
	got, err := new(Memory).SetItems("x.bin.yaml", []byte(yaml), set)
	if err != nil || string(got) != want {
		t.Errorf("%v\n%s\nexpected\n%s", err, got, want)
	}
	got, err = new(Memory).SetItems("x.bin.csv", []byte("item,kind,title,have\na,screw,A,2\nb b,nut,\"B, b\",\nc,other,C,1\n"), set)
	if want := "item,kind,title,have,mass,weighed\na,screw,A,2,1.5,yes\nb b,nut,\"B, b\",,0.2 oz,yes\nc,other,C,1,7,\n"; err != nil || string(got) != want {
		t.Errorf("%v\n%s\nexpected\n%s", err, got, want)
	}
	for _, file := range []string{"x.bin.yaml", "x.bin.csv"} {
		text := yaml
		if IsTable(file) {
			text = "item,kind\na,screw\n"
		}
		if out, err := new(Memory).SetItems(file, []byte(text), []ItemSetting{{"a", "mass", "heavy"}}); err == nil && IsTable(file) {
			t.Errorf("%s took a weight that is none: %s", file, out)
		}
	}
	for text, want := range map[string]string{"1,5": "1.5", "0.2 oz": "0.2 oz", " 12 g ": "12 g"} {
		if got, err := Grams(text); err != nil || got != want {
			t.Errorf("%q: %q %v, expected %q", text, got, err, want)
		}
	}
	for text, want := range map[string]string{
		"heavy": `found the weight "heavy", expected a mass (g when bare; or kg, oz, lb)`,
		"0":     `found the weight "0", expected more than 0 g`,
		"3 mm":  `found the weight "3 mm", which is a length, expected a mass (g when bare; or kg, oz, lb)`,
	} {
		if _, err := Grams(text); err == nil || err.Error() != want {
			t.Errorf("%q: %v, expected %s", text, err, want)
		}
	}
}

func TestTooManyItemsForOneDocument(t *testing.T) {
	var b strings.Builder
	b.WriteString("kind,title\n")
	for i := range MaxTableRows + 1 {
		fmt.Fprintf(&b, "other,thing %d\n", i)
	}
	_, err := ReadItems("list.csv", []byte(b.String()), ItemsOptions{})
	if want := "list.csv:100002:1: found more than 100000 rows, expected at most that; take the table apart"; err == nil || err.Error() != want {
		t.Errorf("%v, expected %s", err, want)
	}
	_, err = ReadItems("list.csv", make([]byte, MaxTableBytes+1), ItemsOptions{})
	if want := "list.csv:1:1: found 32.0 MiB of text, expected at most 32 MiB"; err == nil || err.Error() != want {
		t.Errorf("%v, expected %s", err, want)
	}
}

// FuzzItems: any text is a table or gives diagnostics with places; what is read is the same in YAML and as a table.
func FuzzItems(f *testing.F) {
	f.Add(clubList, "Gewicht=mass", "kind=screw")
	f.Add("item,kind,title,size,price\na,screw,b,M3x12,\"1,50 €\"\n", "", "")
	f.Add("kind\ttitle\tmass g\nbearing\tx\t0,5\n", "title=notes", "currency=$")
	f.Add("title;kind;Preis in EUR;have\n\"a\nb\";Mutter;1'234.50;12\n", "", "from=x")
	f.Add("item,kind,size\n\"\"\"\",nut,m 2\n", "size=-", "")
	tables, _ := filepath.Glob("testdata/items/*.csv")
	for _, file := range tables {
		if text, err := os.ReadFile(file); err == nil {
			f.Add(string(text), "", "")
		}
	}
	f.Fuzz(func(t *testing.T, text, column, set string) {
		var o ItemsOptions
		if u, err := ParseColumn(column); err == nil {
			o.Columns = []ColumnUse{u}
		}
		if v, err := ParseItemValue(set); err == nil {
			o.Set = []ItemValue{v}
		}
		it, err := ReadItems("list.csv", []byte(text), o)
		if err != nil {
			var list Diagnostics
			if !errors.As(err, &list) || len(list) == 0 || len(list) > 400 {
				t.Fatalf("an error that is no list of mistakes: %v", err)
			}
			lines := strings.Count(strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n"), "\n") + 2
			for _, d := range list {
				if d.Code == "" || d.Text == "" || d.Place.Line < 1 || d.Place.Line > lines || d.Place.Col < 1 {
					t.Fatalf("a mistake without a place: %+v", d)
				}
			}
			return
		}
		sameBothWays(t, it)
	})
}

func BenchmarkReadItems(b *testing.B) {
	text := manyItems(50_000)
	b.SetBytes(int64(len(text)))
	for b.Loop() {
		if it, err := ReadItems("list.csv", text, ItemsOptions{}); err != nil || it.Len() != 50_000 {
			b.Fatal(err)
		}
	}
}

// manyItems is a shop's list of so many rows: screws, bearings, gears, rods and batteries.
func manyItems(n int) []byte {
	var b strings.Builder
	b.WriteString("Part no;Category;Description;Size;Weight g;Price EUR;Stock;Supplier;Teeth;Module;Cells;Remark\n")
	r := rand.New(rand.NewPCG(11, 12))
	for i := range n {
		switch i % 5 {
		case 0:
			fmt.Fprintf(&b, "S%05d;screw;Socket head screw M3 × %d, box %d;M3x%d;0,%d;0,%02d;%d;shop %d;;;;\n", i, 4+i%40, i, 4+i%40, 1+r.IntN(9), 1+r.IntN(98), r.IntN(200), i%7)
		case 1:
			fmt.Fprintf(&b, "B%05d;ball bearing;Bearing %d × %d × 4, shielded, lot %d;%dx%dx4;1,%d;0,%02d;%d;shop %d;;;;kept dry\n", i, 3+i%8, 12+i%8, i, 3+i%8, 12+i%8, r.IntN(9), 1+r.IntN(98), r.IntN(50), i%7)
		case 2:
			fmt.Fprintf(&b, "G%05d;pinion;Pinion %d teeth module 0.5, lot %d;;5;4,%02d;%d;shop %d;%d;0,5;;\n", i, 10+i%50, i, r.IntN(98), r.IntN(5), i%7, 10+i%50)
		case 3:
			fmt.Fprintf(&b, "R%05d;rod;Rod 6 × %d, aluminium, lot %d;6x%d;6,%d;2,%02d;%d;shop %d;;;;\n", i, 60+i%60, i, 60+i%60, r.IntN(9), r.IntN(98), r.IntN(9), i%7)
		case 4:
			fmt.Fprintf(&b, "P%05d;battery;Pack of %d cells, lot %d;;1%d;2%d,50;%d;shop %d;;;%d;store at half charge\n", i, 2+i%3, i, 10+r.IntN(80), r.IntN(9), r.IntN(3), i%7, 2+i%3)
		}
	}
	return []byte(b.String())
}

// A kind that is none is told as such, and not the columns that it does not have.
func TestKindsThatAreNone(t *testing.T) {
	for file, text := range map[string]string{"x.csv": "item,kind,thread\na,scrw,M3\n", "x.bin.csv": "item,kind,thread\na,scrw,M3\n"} {
		var err error
		if strings.Contains(file, "bin") {
			_, err = new(Memory).LoadBin(file, []byte(text))
		} else {
			_, err = ReadItems(file, []byte(text), ItemsOptions{})
		}
		want := file + `:2:3: found "scrw" for "kind", expected `
		if err == nil || !strings.HasPrefix(err.Error(), want) || !strings.HasSuffix(err.Error(), `did you mean "screw"?`) || strings.Contains(err.Error(), "thread") {
			t.Errorf("%v, expected %s", err, want)
		}
	}
}
