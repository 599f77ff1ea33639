package rig

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"
)

// A table that was read before its change must be what it is when read afresh: every part, place, tree and mistake. The slow twin
// is a memory that remembers nothing.
func TestTableReadAfterAChange(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 1))
	texts := []string{
		"item,kind,title,have,mass\na,screw,A,2,1\nb b,nut,\"B, b\",,2\nc,other,C,1,\n",
		"item,kind,title,have,mass,weighed\na,screw,A,2,1,yes\n\nb b,nut,\"B\nb\",,2,\nc,other,\"C \"\"c\"\"\",1,,no\n", // an empty line, a cell over two
		"item;kind;title;have;mass;weighed\r\na;screw;A;2;1;yes\r\nb b;nut;B;;2;\r\nc;other;C;1;;\r\n",
		"item,kind,title,have,mass,weighed\na,screw,A,2,1,yes\nb b,nut,B,,2,\nc,other,\"C\nc\",1,,",
	}
	for round := range 200 {
		text := []byte(texts[round%len(texts)])
		shared := new(Memory)
		for range 4 {
			var set []ItemSetting
			for range 1 + r.IntN(3) {
				set = append(set, ItemSetting{[]string{"a", "b b", "c"}[r.IntN(3)], []string{"mass", "weighed", "have", "title"}[r.IntN(4)], ""})
				s := &set[len(set)-1]
				switch s.Key {
				case "weighed":
					s.Value = []string{"true", "false"}[r.IntN(2)]
				case "title":
					s.Value = []string{"x", "x, y", "\"", "1"}[r.IntN(4)]
				default:
					s.Value = fmt.Sprint(r.IntN(5) - 1)
				}
			}
			got, err := shared.SetItems("x.bin.csv", text, set)
			want, bad := new(Memory).SetItems("x.bin.csv", text, set)
			if string(got) != string(want) || fmt.Sprint(err) != fmt.Sprint(bad) {
				t.Fatalf("%v: %q %v, afresh %q %v", set, got, err, want, bad)
			}
			if err != nil {
				continue
			}
			text = got
			b, err := shared.LoadBin("x.bin.csv", text)
			fresh, bad := new(Memory).LoadBin("x.bin.csv", text)
			if err != nil || bad != nil {
				t.Fatal(err, bad)
			}
			if !reflect.DeepEqual(b.Bin, fresh.Bin) {
				t.Fatalf("%v on %q: %+v, afresh %+v", set, text, b.Bin, fresh.Bin)
			}
			for i, line := range b.Lines() {
				if line != fresh.Line(i) || !reflect.DeepEqual(b.Tree(b.Items[i].Name), fresh.Tree(b.Items[i].Name)) {
					t.Fatalf("%v on %q: item %d is %s, afresh %s", set, text, i, line, fresh.Line(i))
				}
			}
		}
	}
}

// Mistakes in a line that has not changed: the second of a name that a change has made.
func TestTableBeforeKeepsNamesApart(t *testing.T) {
	before := "item,kind\na,screw\nb,nut\n"
	m := new(Memory)
	was, err := m.LoadBin("x.bin.csv", []byte(before))
	if err != nil {
		t.Fatal(err)
	}
	_, err = m.loadBin("x.bin.csv", []byte("item,kind\nb,screw\nb,nut\n"), beforeChange(was.stock, []byte(before)))
	list, _ := err.(Diagnostics)
	if !slices.ContainsFunc(list, func(d Diagnostic) bool { return d.Code == "name-twice" && d.Place.Line == 3 }) {
		t.Errorf("%v", err)
	}
}
