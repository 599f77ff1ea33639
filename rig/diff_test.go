package rig

import (
	"reflect"
	"testing"
)

func TestDiff(t *testing.T) {
	a := tree(t, lines("name: x", "parts:", "  a: {mass: 3, cg: [1, 2, 3]}", "  b: {mass: 4 g, kind: 'skid'}", "  c: {mass: 1.0}", "gone: [1, {k: v}]"))
	b := tree(t, lines("name: x", "parts:", "  c: {mass: 1}", "  b: {kind: skid, mass: 5 g}", "  a: {mass: 3, cg: [1, 2, 4]}", "  d: {mass: \"7\", note: \"a: b\"}"))
	want := []Change{
		{"parts/a/cg", "[1, 2, 3]", "[1, 2, 4]"},
		{"parts/b/mass", "4 g", "5 g"},
		{"parts/d", "", `{mass: "7", note: "a: b"}`},
		{"gone", "[1, {k: v}]", ""},
	}
	if got := Diff(a, b); !reflect.DeepEqual(got, want) {
		t.Errorf("got %+v\nwant %+v", got, want)
	}
	if got := Diff(a, a); len(got) != 0 {
		t.Errorf("a document differs from itself: %+v", got)
	}
}

// What changed, applied as a patch, leads from one to the other.
func TestDiffIsComplete(t *testing.T) {
	r := seed(t)
	for range 2000 {
		a, b := Merge(nil, randomMap(r, 3)), Merge(nil, randomMap(r, 3))
		changes := Diff(a, b)
		if same(a, b) != (len(changes) == 0) {
			t.Fatalf("%s and %s: %+v", a.Line(), b.Line(), changes)
		}
	}
}

// A value on one line reads back as the same value.
func TestLine(t *testing.T) {
	for name, text := range examples(t) {
		root := mustParse(t, text)
		again, err := Parse(name, []byte(root.Line()))
		if err != nil {
			t.Errorf("%s: %v", name, err)
		} else if !same(root, again) {
			t.Errorf("%s: the line reads back as something else: %+v", name, Diff(root, again))
		}
	}
	for _, text := range []string{`"true"`, "true", `"12"`, "12", `"null"`, "~", `""`, "-3 mm", "-x", `"- x"`, "{b: \"c, d\"}", "[x#y, \"x #y\"]", `".nan"`, `"a\nb\t\"c\\"`, "½ °", "'<<'", `"@x"`, "|\n  a\n  b\n"} {
		n := tree(t, "v: "+text+"\n")
		again := tree(t, n.Line())
		if !identical(stripped(n), stripped(again)) {
			t.Errorf("%q on one line is %q", text, n.Line())
		}
	}
}

// stripped forgets quotes where they make no difference.
func stripped(n *Node) *Node {
	out := *n
	out.Quoted = n.Quoted && (isNull(n.Text) || isTruth(n.Text) || isNoNumber(n.Text) || isNumber(n.Text))
	if n.Kind == NullNode {
		out.Text = ""
	}
	out.Keys, out.List = nil, nil
	for _, k := range n.Keys {
		k.Value = stripped(k.Value)
		out.Keys = append(out.Keys, k)
	}
	for _, child := range n.List {
		out.List = append(out.List, stripped(child))
	}
	return &out
}

func TestScalarReadsBack(t *testing.T) {
	r := seed(t)
	alphabet := []rune("ab 1.-+:#,[]{}'\"\\&*!|>%@`~?\n\tü½°\u0085\u2028")
	for range 5000 {
		text := make([]rune, r.IntN(6))
		for i := range text {
			text[i] = alphabet[r.IntN(len(alphabet))]
		}
		for _, form := range []string{"v: %s\n", "{v: %s}\n", "v: [%s, x]\n", "%s: v\n"} {
			doc := replaceOnce(form, Scalar(string(text)))
			n, err := Parse("text", []byte(doc))
			if err != nil {
				t.Fatalf("%q: %v", doc, err)
			}
			got := n.Get("v")
			if form[0] == '%' {
				got = &Node{Text: n.Keys[0].Name}
			} else if got.Kind == ListNode {
				got = got.List[0]
			}
			if got.Text != string(text) || got.Kind == NullNode && form[0] != '%' {
				t.Fatalf("%q in %q is read back as %q", string(text), doc, got.Text)
			}
		}
	}
}

func replaceOnce(form, with string) string {
	for i := range form {
		if form[i:i+2] == "%s" {
			return form[:i] + with + form[i+2:]
		}
	}
	return form
}
