package search

import (
	"context"
	"fmt"
	"os"
	"regexp"
	"strings"
	"testing"

	"lowslung/channel"
	"lowslung/quantity"
	"lowslung/rig"
	"lowslung/solid"
)

// costly is a space whose builds cost something, with a want that only the price fails.
const costly = `  vary:
    upper rod: {change: links/rear upper/rod/item, kind: rod, thread: M3}
    lower rod: {change: links/rear lower/rod/item, kind: rod, thread: M3}
    lower end: {change: links/rear lower/ends/1, kind: rod end, named: end-m3}
  wants:
    wheelbase: {from: 290, to: 330}
    rear pinion angle: {from: -40, to: 40}
    front pinion angle: {from: -40, to: 40}
    price: {to: %s}
  prefer: {rear pinion angle swing: lower, price: lower}
`

// A price has its currency wherever an answer tells it.
func TestPriceHasItsCurrency(t *testing.T) {
	b := bare(t, fmt.Sprintf(costly, "30"))
	var best []Number
	a, err := Run(context.Background(), b, Options{Builds: -1, Progress: func(p Progress) { best = p.Best }})
	if err != nil {
		t.Fatal(err)
	}
	dear := 0
	for i := range a.Builds {
		n := named(a.Builds[i].Numbers, "price")
		if n.Unit != "EUR" || n.Text != fmt.Sprintf("%.2f EUR", n.Value) {
			t.Errorf("build %d: %+v", i+1, n)
		}
		if n.Value > 0 {
			dear++
		}
	}
	if dear == 0 || len(a.Builds) < 2 {
		t.Fatalf("%d builds, %d of them cost something", len(a.Builds), dear)
	}
	if w := wantOf(&a, "price"); w.Unit != "EUR" || w.Wanted != "at most 30.00 EUR" || *w.To != 30 {
		t.Errorf("%+v", w)
	}
	trades := ""
	for i := range a.Builds {
		trades += a.Builds[i].Trade + "\n"
	}
	if !strings.Contains(trades, " EUR more") && !strings.Contains(trades, " EUR less") || strings.Contains(trades, "price") {
		t.Error(trades)
	}
	if n := named(best, "price"); n.Unit != "EUR" || !strings.HasSuffix(n.Text, " EUR") {
		t.Errorf("best so far: %+v", best)
	}

	b = bare(t, fmt.Sprintf(costly, "-1"))
	if a, err = Run(context.Background(), b, Options{}); err != nil {
		t.Fatal(err)
	}
	if l := a.Loosen; l == nil || l.Want != "price" || l.Unit != "EUR" || !strings.Contains(l.Text, " EUR") {
		t.Errorf("%+v", l)
	}
}

// bare is the demo with a search section, and an empty drawer.
func bare(t *testing.T, section string) *rig.Build {
	t.Helper()
	shelf, err := os.ReadFile("../examples/club-shelf.bin.yaml")
	if err != nil {
		t.Fatal(err)
	}
	b, err := rig.Load(files(map[string]string{
		"club-shelf.bin.yaml": regexp.MustCompile(`, have: \d+`).ReplaceAllString(string(shelf), ""),
		"without.rig.yaml":    "lowslung: 1\nbase: bramble-portal.rig.yaml\ntargets: null\nsearch: null\n",
		"with.rig.yaml":       "lowslung: 1\nbase: without.rig.yaml\nsearch:\n" + section,
	}), "with.rig.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func named(list []Number, name string) Number {
	for _, n := range list {
		if n.Name == name {
			return n
		}
	}
	return Number{}
}

func wantOf(a *Answer, name string) Want {
	for _, w := range a.Wants {
		if w.Name == name {
			return w
		}
	}
	return Want{}
}

// The currency is the shelf's; with several there, that of the document's own parts; none when that leaves several, and then a price is a bare
// number.
func TestCurrency(t *testing.T) {
	text, err := os.ReadFile("../examples/club-shelf.bin.yaml")
	if err != nil {
		t.Fatal(err)
	}
	shelf := string(text)
	if n := strings.Count(shelf, "currency: EUR"); n < 10 || strings.Contains(shelf, "currency: USD") {
		t.Fatal("the shelf is not what this test takes it for")
	}
	rods := "" // those in dollars, the rest in euros
	for line := range strings.Lines(shelf) {
		if strings.Contains(line, "{kind: rod,") {
			line = strings.Replace(line, "currency: EUR", "currency: USD", 1)
		}
		rods += line
	}
	for _, one := range []struct{ name, shelf, base, want string }{
		{"one", shelf, "bramble-portal.rig.yaml", "EUR"},
		{"another", strings.ReplaceAll(shelf, "currency: EUR", "currency: USD"), "bramble.rig.yaml", "USD"},
		{"two in the shelf, one in the document", strings.Replace(shelf, "price: 2.10, currency: EUR", "price: 2.10, currency: USD", 1), "bramble-portal.rig.yaml", "EUR"},
		{"two in both", rods, "bramble-portal.rig.yaml", ""},
	} {
		b, err := rig.Load(files(map[string]string{"club-shelf.bin.yaml": one.shelf, "a.rig.yaml": "lowslung: 1\nbase: " + one.base + "\n"}), "a.rig.yaml")
		if err != nil {
			t.Fatal(err)
		}
		m, err := solid.Resolve(b)
		if err != nil {
			t.Fatal(err)
		}
		if got := Currency(b, m); got != one.want {
			t.Errorf("%s: found %q, expected %q", one.name, got, one.want)
		}
	}
	c := channel.Must("price")
	if got := Format(c, 3, "", quantity.US); got != "3.00" {
		t.Error(got)
	}
}
