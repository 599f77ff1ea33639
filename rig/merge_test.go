package rig

import (
	"fmt"
	"math/rand/v2"
	"testing"
)

// The example of RFC 7396, appendix A: original, patch, result.
var rfc7396 = [][3]string{
	{`{"a":"b"}`, `{"a":"c"}`, `{"a":"c"}`},
	{`{"a":"b"}`, `{"b":"c"}`, `{"a":"b","b":"c"}`},
	{`{"a":"b"}`, `{"a":null}`, `{}`},
	{`{"a":"b","b":"c"}`, `{"a":null}`, `{"b":"c"}`},
	{`{"a":["b"]}`, `{"a":"c"}`, `{"a":"c"}`},
	{`{"a":"c"}`, `{"a":["b"]}`, `{"a":["b"]}`},
	{`{"a":{"b":"c"}}`, `{"a":{"b":"d","c":null}}`, `{"a":{"b":"d"}}`},
	{`{"a":[{"b":"c"}]}`, `{"a":[1]}`, `{"a":[1]}`},
	{`["a","b"]`, `["c","d"]`, `["c","d"]`},
	{`{"a":"b"}`, `["c"]`, `["c"]`},
	{`{"a":"foo"}`, `null`, `null`},
	{`{"a":"foo"}`, `"bar"`, `"bar"`},
	{`{"e":null}`, `{"a":1}`, `{"e":null,"a":1}`},
	{`[1,2]`, `{"a":"b","c":null}`, `{"a":"b"}`},
	{`{}`, `{"a":{"bb":{"ccc":null}}}`, `{"a":{"bb":{}}}`},
}

func TestMergeTable(t *testing.T) {
	for _, c := range rfc7396 {
		target, patch, want := tree(t, c[0]), tree(t, c[1]), tree(t, c[2])
		before := target.Line()
		if got := Merge(target, patch); !same(got, want) {
			t.Errorf("%s with %s: got %s, want %s", c[0], c[1], got.Line(), c[2])
		}
		if after := target.Line(); after != before {
			t.Errorf("%s with %s: target changed to %s", c[0], c[1], after)
		}
	}
}

func tree(t testing.TB, text string) *Node {
	t.Helper()
	n, err := Parse("text", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return n
}

func TestMergeLaws(t *testing.T) {
	r := seed(t)
	for range 3000 {
		a, b := randomMap(r, 3), randomMap(r, 3)
		ab := Merge(a, b)
		check := func(law string, got, want *Node) {
			t.Helper()
			if !same(got, want) {
				t.Fatalf("%s: target %s, patch %s: got %s, want %s", law, a.Line(), b.Line(), got.Line(), want.Line())
			}
		}
		check("an empty patch changes nothing", Merge(a, &Node{Kind: MapNode}), a)
		check("a patch twice is the patch once", Merge(ab, b), ab)
		check("on nothing as on an empty map", Merge(nil, b), Merge(&Node{Kind: MapNode}, b))
		check("a whole as its own patch", Merge(ab, Merge(nil, ab)), ab)
		var nulls func(n *Node)
		nulls = func(n *Node) {
			for _, k := range n.Keys {
				if k.Value.Kind == NullNode {
					t.Fatalf("null left in %s of patch %s", ab.Line(), b.Line())
				}
				nulls(k.Value)
			}
		}
		nulls(Merge(nil, b))
		seen := map[string]bool{}
		for _, k := range ab.Keys {
			if seen[k.Name] {
				t.Fatalf("key %q twice in %s", k.Name, ab.Line())
			}
			seen[k.Name] = true
		}
	}
}

func randomMap(r *rand.Rand, depth int) *Node {
	n := &Node{Kind: MapNode}
	for _, key := range []string{"a", "b", "c"} {
		v := &Node{Kind: ScalarNode, Text: fmt.Sprint(r.IntN(3))}
		switch p := r.IntN(10); {
		case p < 3:
			continue
		case p < 5 && depth > 0:
			v = randomMap(r, depth-1)
		case p == 5:
			v = &Node{Kind: NullNode, Text: "null"}
		case p == 6:
			v = &Node{Kind: ListNode, List: []*Node{{Kind: ScalarNode, Text: "1"}}}
		}
		n.Keys = append(n.Keys, Key{Name: key, Value: v})
	}
	return n
}

// What a merge keeps, it keeps with the place where it was written.
func TestMergeKeepsPlaces(t *testing.T) {
	base := mustParse(t, []byte("a: 1\nb: {c: 2}\n"))
	patch, _ := Parse("patch", []byte("\nb:\n  d: 3\n"))
	got := Merge(base, patch)
	for path, want := range map[string]Place{"a": {"text", 1, 4}, "c": {"text", 2, 8}, "d": {"patch", 3, 6}} {
		n := got.Get(path)
		if n == nil {
			n = got.At("b", path)
		}
		if n.Place != want {
			t.Errorf("%s: place %v, want %v", path, n.Place, want)
		}
	}
}
