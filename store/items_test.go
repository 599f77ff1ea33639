package store

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"lowslung/mates"
	"lowslung/quantity"
	"lowslung/rig"
	"lowslung/solid"
)

const drawerText = `lowslung: 1
name: Drawer
items:
  pack-small: {kind: battery, mass: 120 g, title: Small pack, pack: {cells: 2}}
  bearing-5x11x4: {kind: bearing, title: "Bearing MR115, 5 × 11 × 4", bearing: {bore: 5, outer: 11, width: 4}, have: 3, from: club order, notes: kept dry, ports: {ring: {type: bearing}, bore: {type: bearing}}}
  screw: {kind: screw, title: M3 × 12 socket head, screw: {thread: M3, length: 12, head: socket}, have: 0, price: 0.06, currency: EUR}
  end: {kind: rod end, title: Größe M3 rod end, end: {adds: 11, thread: M3}, have: 1}
`

const shopText = "item,kind,title,thread,length,mass,have\nscrew-m3-12,screw,M3x12 socket,M3,12,0.9,40\nscrew-m2.5-8,screw,\"M2,5x8 button\",M2.5,8,0.4,0\nscrew,screw,Another screw,M4,10,,\n"

func found(t *testing.T, s *Store, q ItemQuery) []string {
	t.Helper()
	list, _, err := s.Items(t.Context(), q)
	if err != nil {
		t.Fatal(explain(err))
	}
	var out []string
	for _, it := range list {
		out = append(out, it.Bin[:1]+" "+it.Name)
	}
	return out
}

func TestItemsAreFound(t *testing.T) {
	s := open(t)
	create(t, s, binFile, []byte(drawerText))
	create(t, s, "shop.bin.csv", []byte(shopText))
	for _, c := range []struct {
		q    ItemQuery
		want []string
	}{
		{ItemQuery{Text: "bear"}, []string{"d bearing-5x11x4"}},
		{ItemQuery{Text: "5x11x4"}, []string{"d bearing-5x11x4"}},
		{ItemQuery{Text: "5 × 11"}, []string{"d bearing-5x11x4"}},
		{ItemQuery{Text: "mr115 DRY"}, []string{"d bearing-5x11x4"}},
		{ItemQuery{Text: "club"}, []string{"d bearing-5x11x4"}},
		{ItemQuery{Text: "m3"}, []string{"d end", "s screw-m3-12", "d screw"}}, // in stock first, then in their order
		{ItemQuery{Text: "m3x12"}, []string{"s screw-m3-12", "d screw"}},
		{ItemQuery{Text: "2,5"}, nil}, // the thread is one word, m2.5
		{ItemQuery{Text: "m2,5"}, []string{"s screw-m2.5-8"}},
		{ItemQuery{Text: "grosse"}, nil},
		{ItemQuery{Text: "größe"}, []string{"d end"}},
		{ItemQuery{Text: "GROSSE M3"}, nil},
		{ItemQuery{Text: "große"}, []string{"d end"}},                                                 // accents do not count
		{ItemQuery{Text: "screw"}, []string{"d screw", "s screw", "s screw-m3-12", "s screw-m2.5-8"}}, // called just so first
		{ItemQuery{Text: "screw", Bins: []string{"shop.bin.csv"}}, []string{"s screw", "s screw-m3-12", "s screw-m2.5-8"}},
		{ItemQuery{Text: "screw", Bins: []string{"no.bin.csv"}}, nil},
		{ItemQuery{Text: "m3", Kind: "rod end"}, []string{"d end"}},
		{ItemQuery{Kind: "battery"}, []string{"d pack-small"}},
		{ItemQuery{Text: "2s"}, []string{"d pack-small"}},
		{ItemQuery{Text: "screw battery"}, nil},
		{ItemQuery{Text: `"*)(^: -+{} NEAR(`}, nil},
		{ItemQuery{Text: `"screw" OR bearing`}, nil}, // no operators, only words
		{ItemQuery{Text: "…"}, nil},
		{ItemQuery{}, []string{"d bearing-5x11x4", "d end", "s screw-m3-12", "d pack-small", "d screw", "s screw-m2.5-8", "s screw"}},
		{ItemQuery{Limit: 2}, []string{"d bearing-5x11x4", "d end"}},
		{ItemQuery{Limit: 2, Offset: 2}, []string{"s screw-m3-12", "d pack-small"}},
		{ItemQuery{Limit: 2, Offset: 6}, []string{"s screw"}},
		{ItemQuery{Limit: 2, Offset: 60}, nil},
		{ItemQuery{Text: "screw", Limit: 1, Offset: 1}, []string{"s screw"}},
		{ItemQuery{Text: "screw", Limit: 2, Offset: 3}, []string{"s screw-m2.5-8"}},
	} {
		if got := found(t, s, c.q); !slices.Equal(got, c.want) {
			t.Errorf("%+v: %v, expected %v", c.q, got, c.want)
		}
	}
	list, more, err := s.Items(t.Context(), ItemQuery{Text: "screw-m3-12", Limit: 1})
	if err != nil || more || len(list) != 1 || list[0].Title != "M3x12 socket" || *list[0].Have != 40 || list[0].Line != "{kind: screw, title: M3x12 socket, screw: {thread: M3, length: 12}, mass: 0.9, have: 40, ports: {thread: {type: male thread}}}" {
		t.Errorf("%+v %v %v", list, more, err)
	}
	if _, more, _ := s.Items(t.Context(), ItemQuery{Limit: 6}); !more {
		t.Error("six of seven, and no more")
	}
}

// What is found always is what the texts of the present bins say: after saves, undo, removal, import, restore and a text that an earlier
// version took.
func TestItemsAreInStep(t *testing.T) {
	folder := t.TempDir()
	s := openAt(t, folder)
	d := create(t, s, binFile, []byte(drawerText))
	inStep := func(what string, want ...string) {
		t.Helper()
		got := found(t, s, ItemQuery{Limit: 100})
		slices.Sort(got)
		slices.Sort(want)
		if !slices.Equal(got, want) {
			t.Errorf("after %s: %v, expected %v", what, got, want)
		}
		wantSound(t, s)
	}
	all := []string{"d bearing-5x11x4", "d end", "d pack-small", "d screw"}
	inStep("the first save", all...)
	d, err := s.Save(t.Context(), d.ID, d.Version(), []byte(strings.Replace(drawerText, "  end: ", "  other end: ", 1)), "")
	if err != nil {
		t.Fatal(explain(err))
	}
	inStep("another name", "d bearing-5x11x4", "d other end", "d pack-small", "d screw")
	if d, err = s.Undo(t.Context(), d.ID, d.Version()); err != nil {
		t.Fatal(explain(err))
	}
	inStep("undo", all...)
	if d, err = s.Redo(t.Context(), d.ID, d.Version()); err != nil {
		t.Fatal(explain(err))
	}
	inStep("redo", "d bearing-5x11x4", "d other end", "d pack-small", "d screw")
	if _, err = s.Save(t.Context(), d.ID, d.Version(), []byte("lowslung: 1\nitems: {a: {mass: x}}\n"), ""); err == nil {
		t.Fatal("a bin with a mistake was saved")
	}
	inStep("a save that was refused", "d bearing-5x11x4", "d other end", "d pack-small", "d screw")
	backup := filepath.Join(t.TempDir(), "b.db")
	if err := s.Backup(t.Context(), backup); err != nil {
		t.Fatal(explain(err))
	}
	if err = s.Remove(t.Context(), d.ID, d.Version()); err != nil {
		t.Fatal(explain(err))
	}
	inStep("removal")
	if _, err := s.Import(t.Context(), []Text{{binFile, []byte(drawerText)}, {"shop.bin.csv", []byte(shopText)}}, ""); err != nil {
		t.Fatal(explain(err))
	}
	inStep("an import", append(slices.Clone(all), "s screw", "s screw-m3-12", "s screw-m2.5-8")...)
	if _, err := Restore(t.Context(), folder, backup); err != nil {
		t.Fatal(explain(err))
	}
	inStep("a restore", "d bearing-5x11x4", "d other end", "d pack-small", "d screw")
	// rows that are wrong in a backup are no reason to refuse it
	if _, err := s.db.Exec("UPDATE item SET line = 'wrong'"); err != nil {
		t.Fatal(err)
	}
	wrong := filepath.Join(t.TempDir(), "wrong.db")
	if err := s.Backup(t.Context(), wrong); err != nil {
		t.Fatal(explain(err))
	}
	if _, err := Restore(t.Context(), folder, wrong); err != nil {
		t.Fatal(explain(err))
	}
	inStep("a restore of wrong rows", "d bearing-5x11x4", "d other end", "d pack-small", "d screw")
}

// A workshop of the first version has no tables of items; they are made when it is opened.
func TestItemsOfAnOlderWorkshop(t *testing.T) {
	folder := t.TempDir()
	s := openAt(t, folder)
	create(t, s, binFile, []byte(drawerText))
	for _, q := range []string{"DROP TABLE item_words", "DROP TABLE item_port", "DROP TABLE item", "DROP TABLE item_index", "DROP TABLE mesh", "DELETE FROM goose_db_version WHERE version_id > 1"} {
		if _, err := s.db.Exec(q); err != nil {
			t.Fatal(err)
		}
	}
	s.Close()
	s = openAt(t, folder)
	if got := found(t, s, ItemQuery{Text: "m3"}); !slices.Equal(got, []string{"d end", "d screw"}) {
		t.Errorf("found %v", got)
	}
	wantSound(t, s)
	// rows of other rules, or of another text, are made anew as well; what is wrong within them is told
	for _, q := range []string{"UPDATE item_index SET made = 0", "UPDATE item_index SET hash = zeroblob(32)", "DELETE FROM item_index"} {
		if _, err := s.db.Exec("UPDATE item SET name = 'wrong' WHERE name = 'end'"); err != nil {
			t.Fatal(err)
		}
		if r, err := s.Verify(t.Context()); err != nil || !strings.Contains(fmt.Sprint(r.Problems), "lowslung bin reindex") {
			t.Errorf("verify says %v, %v", r.Problems, err)
		}
		if _, err := s.db.Exec(q); err != nil {
			t.Fatal(err)
		}
		if err := s.Reindex(t.Context()); err != nil {
			t.Fatal(explain(err))
		}
		wantSound(t, s)
	}
}

// A bin saved by an earlier version that this one does not take has no items, and does not keep the workshop from opening.
func TestItemsOfABinThatDoesNotLoad(t *testing.T) {
	folder := t.TempDir()
	s := openAt(t, folder)
	d := create(t, s, binFile, []byte(drawerText))
	bad := []byte("lowslung: 1\nitems: {a: {mass: x}}\n")
	hash := HashOf(bad)
	for _, q := range []string{"DROP TRIGGER revision_stays", "PRAGMA foreign_keys = 0"} {
		if _, err := s.db.Exec(q); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := s.db.Exec("INSERT INTO text (hash, body) VALUES (?, ?)", hash[:], bad); err != nil {
		t.Fatal(err)
	}
	if _, err := s.db.Exec("UPDATE revision SET hash = ? WHERE document = ?", hash[:], d.ID); err != nil {
		t.Fatal(err)
	}
	s.Close()
	s = openAt(t, folder)
	if got := found(t, s, ItemQuery{}); got != nil {
		t.Errorf("found %v", got)
	}
}

func seeded(t testing.TB) *rand.Rand {
	n := uint64(time.Now().UnixNano())
	if s := os.Getenv("LOWSLUNG_SEED"); s != "" {
		n, _ = strconv.ParseUint(s, 10, 64)
	}
	t.Logf("LOWSLUNG_SEED=%d", n)
	return rand.New(rand.NewPCG(n, 3))
}

// many is a table of ours with so many items: screws, bearings, gears, rods, packs.
func many(n int) []byte {
	var b strings.Builder
	b.WriteString("item,kind,title,thread,length,diameter,teeth,module,bore,outer,width,cells,mass,price,currency,from,have,notes\n")
	r := rand.New(rand.NewPCG(21, 22))
	for i := range n {
		switch i % 5 {
		case 0:
			fmt.Fprintf(&b, "S%05d,screw,\"Socket head screw M3 × %d, box %d\",M3,%d,,,,,,,,0.%d,0.%02d,EUR,shop %d,%d,\n", i, 4+i%40, i, 4+i%40, 1+r.IntN(9), 1+r.IntN(98), i%7, r.IntN(3))
		case 1:
			fmt.Fprintf(&b, "B%05d,bearing,\"Bearing %d × %d × 4, shielded, lot %d\",,,,,,%d,%d,4,,1.%d,0.%02d,EUR,shop %d,%d,kept dry\n", i, 3+i%8, 12+i%8, i, 3+i%8, 12+i%8, r.IntN(9), 1+r.IntN(98), i%7, r.IntN(3))
		case 2:
			fmt.Fprintf(&b, "G%05d,gear,\"Pinion %d teeth module 0.5, lot %d\",,,,%d,0.5,3.17,,,,5,4.%02d,EUR,shop %d,%d,\n", i, 10+i%50, i, 10+i%50, r.IntN(98), i%7, r.IntN(3))
		case 3:
			fmt.Fprintf(&b, "R%05d,rod,\"Rod 6 × %d, aluminium, lot %d\",,%d,6,,,,,,,6.%d,2.%02d,EUR,shop %d,%d,\n", i, 60+i%60, i, 60+i%60, r.IntN(9), r.IntN(98), i%7, r.IntN(3))
		case 4:
			fmt.Fprintf(&b, "P%05d,battery,\"Pack of %d cells, lot %d\",,,,,,,,,%d,1%d,2%d.50,EUR,shop %d,%d,store at half charge\n", i, 2+i%3, i, 2+i%3, 10+r.IntN(80), r.IntN(9), i%7, r.IntN(3))
		}
	}
	return []byte(b.String())
}

// The search against going through every item: words, filters, order, pages.
func TestItemsAgainstAPlainSearch(t *testing.T) {
	s := open(t)
	if _, err := s.PutBin(t.Context(), "a.bin.csv", many(700), "", false, nil); err != nil {
		t.Fatal(explain(err))
	}
	if _, err := s.PutBin(t.Context(), "b.bin.csv", many(300), "", false, nil); err != nil {
		t.Fatal(explain(err))
	}
	type row struct {
		bin, name, kind string
		words           []string
		stock           bool
	}
	var rows []row
	for _, bin := range []string{"a.bin.csv", "b.bin.csv"} {
		n := map[string]int{"a.bin.csv": 700, "b.bin.csv": 300}[bin]
		b, err := new(rig.Memory).LoadBin(bin, many(n))
		if err != nil {
			t.Fatal(err)
		}
		for i := range b.Items {
			p := &b.Items[i].Value
			rows = append(rows, row{bin, b.Items[i].Name, p.Kind, strings.Fields(itemWords(b.Items[i].Name, p)), *p.Have > 0})
		}
	}
	r := seeded(t)
	pick := func(list ...string) string { return list[r.IntN(len(list))] }
	for range 400 {
		q := ItemQuery{Kind: pick("", "", "", "screw", "gear"), Limit: 1 + r.IntN(60), Offset: r.IntN(5) * r.IntN(60)}
		for range r.IntN(4) {
			w := rows[r.IntN(len(rows))].words
			word := []rune(w[r.IntN(len(w))])
			q.Text += " " + string(word[:1+r.IntN(len(word))])
		}
		if r.IntN(3) == 0 {
			q.Text = rows[r.IntN(len(rows))].name
		}
		if r.IntN(3) == 0 {
			q.Bins = []string{pick("a.bin.csv", "b.bin.csv")}
		}
		var want []string
		for group := range 3 {
			for _, x := range rows {
				exact := x.name == strings.TrimSpace(q.Text)
				if g := map[bool]int{true: 1, false: 2}[x.stock]; exact && group != 0 || !exact && group != g ||
					q.Kind != "" && q.Kind != x.kind || len(q.Bins) > 0 && q.Bins[0] != x.bin {
					continue
				}
				every := true
				for _, w := range searchWords(q.Text) {
					every = every && slices.ContainsFunc(x.words, func(have string) bool { return strings.HasPrefix(have, w) })
				}
				if every {
					want = append(want, x.bin[:1]+" "+x.name)
				}
			}
		}
		more := len(want) > q.Offset+q.Limit
		want = want[min(q.Offset, len(want)):min(q.Offset+q.Limit, len(want))]
		list, gotMore, err := s.Items(t.Context(), q)
		if err != nil {
			t.Fatal(explain(err))
		}
		var got []string
		for _, it := range list {
			got = append(got, it.Bin[:1]+" "+it.Name)
		}
		if !slices.Equal(got, want) || more != gotMore {
			t.Fatalf("%+v: %v (more %v), expected %v (more %v)", q, got, gotMore, want, more)
		}
	}
}

// What fits a port, against asking the rules of every item.
func TestFitsAgainstEveryItem(t *testing.T) {
	s := open(t)
	shelf, err := os.ReadFile("../examples/club-shelf.bin.yaml")
	if err != nil {
		t.Fatal(err)
	}
	texts := map[string][]byte{"club-shelf.bin.yaml": shelf, "shop.bin.csv": many(500)}
	for _, bin := range []string{"club-shelf.bin.yaml", "shop.bin.csv"} {
		create(t, s, bin, texts[bin])
	}
	m := modelOf(t, "../examples", "bramble-portal.rig.yaml")
	names := mates.PortNames(m)
	some := 0
	for _, bins := range [][]string{nil, {"shop.bin.csv"}, {"club-shelf.bin.yaml"}} {
		for _, ref := range names {
			p, _ := mates.PortAt(m, ref, quantity.Metric)
			var want []string
			for bin, text := range texts {
				if bins != nil && bins[0] != bin {
					continue
				}
				b, err := new(rig.Memory).LoadBin(bin, text)
				if err != nil {
					t.Fatal(err)
				}
				for i := range b.Items {
					for _, q := range mates.PortsOf("", &b.Items[i].Value) {
						if _, _, ok := mates.Meet(&p, &q); ok {
							want = append(want, bin+" "+b.Items[i].Name)
							break
						}
					}
				}
			}
			var got []string
			stock := true
			err := s.Look(t.Context(), func(v Snapshot) error {
				list, more, err := v.Fits(&p, bins, 2000)
				if more {
					t.Errorf("%s: more than there are", ref)
				}
				for _, f := range list {
					got = append(got, f.Bin+" "+f.Name)
					in := f.Have != nil && *f.Have > 0
					if in && !stock {
						t.Errorf("%s: %s lies in the drawer and comes after what does not", ref, f.Name)
					}
					stock = in
					if f.Why == "" || f.Fit == "" || f.Port == "" {
						t.Errorf("%s: %+v", ref, f)
					}
				}
				if err == nil && len(list) > 1 {
					if few, more, err := v.Fits(&p, bins, 1); err != nil || !more || len(few) != 1 || few[0].Name != list[0].Name {
						t.Errorf("%s: the first of them is %+v (more %v, %v)", ref, few, more, err)
					}
				}
				return err
			})
			if err != nil {
				t.Fatal(explain(err))
			}
			slices.Sort(want)
			slices.Sort(got)
			if !slices.Equal(got, want) {
				t.Errorf("%s: %v, expected %v", ref, got, want)
			}
			some += len(got)
		}
	}
	if some < 100 {
		t.Errorf("only %d items fit anywhere", some)
	}
}

func modelOf(t testing.TB, folder, file string) *solid.Model {
	t.Helper()
	b, err := rig.Load(func(name string) ([]byte, error) { return os.ReadFile(filepath.Join(folder, name)) }, file)
	if err != nil {
		t.Fatal(err)
	}
	m, err := solid.Resolve(b)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func TestWeigh(t *testing.T) {
	s := open(t)
	create(t, s, binFile, []byte(drawerText))
	create(t, s, "shop.bin.csv", []byte(shopText))
	create(t, s, userFile, []byte(userText))
	out, err := s.Weigh(t.Context(), []Weight{{Item: "pack-small", Mass: "118.5"}, {Item: "screw-m3-12", Mass: "1 g"}, {Item: "screw", Bin: binFile, Mass: "0.9"}})
	if err != nil {
		t.Fatal(explain(err))
	}
	if len(out) != 3 || out[0].Was != "120 g" || !out[0].Item.Weighed || *out[0].Item.Mass < 0.11849 || *out[0].Item.Mass > 0.11851 || out[2].Was != "" || !out[1].Item.Weighed {
		t.Errorf("%+v", out)
	}
	list, err := s.Documents(t.Context(), Bin)
	if err != nil || list[0].Why != "2 items weighed" || list[1].Why != "screw-m3-12 weighed" || !list[0].CanUndo {
		t.Errorf("%+v %v", list, err)
	}
	d, _ := s.Document(t.Context(), list[0].ID)
	if want := strings.Replace(strings.Replace(drawerText, "mass: 120 g", "mass: 118.5", 1), "pack: {cells: 2}}", "pack: {cells: 2}, weighed: true}", 1); !strings.HasPrefix(string(d.Text), want[:strings.Index(want, "  screw:")]) {
		t.Errorf("the text became\n%s", d.Text)
	}
	wantSound(t, s)
	// the rig that uses the pack weighs what the scale says
	err = s.Look(t.Context(), func(v Snapshot) error {
		l, err := v.Load(userFile)
		if err == nil && (l.Model.Bodies[0].Mass < 0.11849 || l.Model.Bodies[0].Mass > 0.11851) {
			t.Errorf("the rig's pack weighs %g kg", l.Model.Bodies[0].Mass)
		}
		return err
	})
	if err != nil {
		t.Fatal(explain(err))
	}
	for _, c := range []struct {
		list []Weight
		want []string
	}{
		{[]Weight{{Item: "screw", Mass: "1"}}, []string{`found the item "screw" in drawer.bin.yaml and shop.bin.csv, expected to be told which bin`}},
		{[]Weight{{Item: "pack-smal", Mass: "1"}, {Item: "nothing", Mass: "1"}}, []string{`found no item "pack-smal" in any bin; did you mean "pack-small"?`, `found no item "nothing" in any bin`}},
		{[]Weight{{Item: "end", Bin: "shop.bin.csv", Mass: "1"}}, []string{`found no item "end" in the bin shop.bin.csv`}},
		{[]Weight{{Item: "end", Mass: "1"}, {Item: "end", Mass: "2"}}, []string{`found the item "end" twice in the list, expected it once`}},
		{nil, []string{"found no weights, expected one item and its weight in grams a line"}},
	} {
		_, err := s.Weigh(t.Context(), c.list)
		wantCode(t, err, NotFound, c.want...)
	}
}

func TestPutBin(t *testing.T) {
	s := open(t)
	calls := 0
	d, err := s.PutBin(t.Context(), "a.bin.csv", many(3000), "from a shop", false, func(done, total int) {
		if calls++; done != calls*1000 || total != 3000 {
			t.Errorf("%d of %d", done, total)
		}
	})
	if err != nil || calls != 3 || d.Why != "from a shop" {
		t.Fatalf("%v %d %+v", err, calls, d)
	}
	_, err = s.PutBin(t.Context(), "A.bin.csv", many(10), "", false, nil)
	wantCode(t, err, Exists, `found a bin called "a.bin.csv" in the workshop already`)
	again, err := s.PutBin(t.Context(), "a.bin.csv", many(3000), "", true, nil)
	if err != nil || again.Revision != 1 {
		t.Errorf("the same again: %v %+v", err, again)
	}
	again, err = s.PutBin(t.Context(), "a.bin.csv", many(10), "", true, nil)
	if err != nil || again.Revision != 2 || len(found(t, s, ItemQuery{Limit: 100})) != 10 {
		t.Errorf("replaced: %v %+v", err, again)
	}
	_, err = s.PutBin(t.Context(), "a.rig.yaml", many(10), "", true, nil)
	wantCode(t, err, BadName, "expected one that ends in .bin.yaml or .bin.csv")
	_, err = s.PutBin(t.Context(), "b.bin.yaml", make([]byte, rig.MaxBytes+1), "", true, nil)
	wantCode(t, err, TooLarge, "a table, whose name ends in .bin.csv, holds more")
	_, err = s.PutBin(t.Context(), "b.bin.csv", []byte("item,kind\na,scrw\n"), "", true, nil)
	if e := wantCode(t, err, Mistakes); len(e.Mistakes) != 1 || e.Mistakes[0].Place.File != "b.bin.csv" {
		t.Errorf("%+v", e)
	}
	wantSound(t, s)
}

// 50,000 rows of a shop's list: read, written as a table of ours, saved, and put where they are found.
func BenchmarkItemImport(b *testing.B) {
	text := many(50_000)
	for b.Loop() {
		b.StopTimer()
		s, err := Open(b.Context(), b.TempDir(), Options{})
		if err != nil {
			b.Fatal(err)
		}
		b.StartTimer()
		it, err := rig.ReadItems("list.csv", text, rig.ItemsOptions{})
		if err != nil {
			b.Fatal(err)
		}
		if _, err := s.PutBin(b.Context(), "list.bin.csv", it.CSV(), "", false, nil); err != nil {
			b.Fatal(explain(err))
		}
		b.StopTimer()
		s.Close()
		b.StartTimer()
	}
}

// One weight into a table of 50,000 items: the table read, written, read again, saved, and the row found again.
func BenchmarkItemWeigh(b *testing.B) {
	s := withMany(b)
	for i := 0; b.Loop(); i++ {
		out, err := s.Weigh(b.Context(), []Weight{{Item: "S00000", Mass: strconv.Itoa(i%900 + 1)}})
		if err != nil || !out[0].Item.Weighed {
			b.Fatal(explain(err))
		}
	}
}

func withMany(b *testing.B) *Store {
	b.Helper()
	s, err := Open(b.Context(), b.TempDir(), Options{})
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { s.Close() })
	if _, err := s.PutBin(b.Context(), "list.bin.csv", many(50_000), "", false, nil); err != nil {
		b.Fatal(explain(err))
	}
	return s
}

// One letter after the other into a bin of 50,000 items, every letter and digit alone among them, which find the most. ms/most is the
// slowest of them, each by the median of its rounds: what the letter costs, and not what else the machine was at.
func BenchmarkItemSearch(b *testing.B) {
	s := withMany(b)
	var texts []string
	for _, text := range []string{"socket head m3x12", "bearing 5 × 14 × 4", "pinion 20t", "lot 123", "half charge", "B00001", "nothing of that name", "s h s"} {
		letters := []rune(text)
		for i := range letters {
			texts = append(texts, string(letters[:i+1]))
		}
	}
	for _, r := range "abcdefghijklmnopqrstuvwxyz0123456789" {
		texts = append(texts, string(r))
	}
	times := map[string][]time.Duration{}
	for b.Loop() {
		for range 5 {
			for _, text := range texts {
				started := time.Now()
				if _, _, err := s.Items(b.Context(), ItemQuery{Text: text}); err != nil {
					b.Fatal(err)
				}
				times[text] = append(times[text], time.Since(started))
			}
		}
	}
	var slowest, sum time.Duration
	at := ""
	for text, list := range times {
		slices.Sort(list)
		t := list[len(list)/2]
		if sum += t; t > slowest {
			slowest, at = t, text
		}
	}
	b.Logf("the slowest is %q", at)
	b.ReportMetric(float64(sum.Microseconds())/float64(len(times))/1000, "ms/letter")
	b.ReportMetric(float64(slowest.Microseconds())/1000, "ms/most")
}

// What of a bin of 50,000 items fits, for every port of a demo rig.
func BenchmarkItemFits(b *testing.B) {
	s := withMany(b)
	m := modelOf(b, "../examples", "bramble-portal.rig.yaml")
	var slowest time.Duration
	n := 0
	for b.Loop() {
		for _, ref := range mates.PortNames(m) {
			p, _ := mates.PortAt(m, ref, quantity.Metric)
			started := time.Now()
			if err := s.Look(b.Context(), func(v Snapshot) error { _, _, err := v.Fits(&p, nil, 50); return err }); err != nil {
				b.Fatal(err)
			}
			slowest = max(slowest, time.Since(started))
			n++
		}
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(n)/1000, "ms/port")
	b.ReportMetric(float64(slowest.Microseconds())/1000, "ms/most")
}
