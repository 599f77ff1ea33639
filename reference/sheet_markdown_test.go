package reference

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/extension"
	"github.com/yuin/goldmark/renderer/html"

	"lowslung/finding"
	"lowslung/sheet"
)

// Names on a sheet come from whoever wrote the document. A CommonMark reader that knows nothing of us (goldmark, MIT, with the tables, strikes, task boxes and
// bare links of GitHub's dialect) must give every one back as the text that it is: no link, no emphasis, no heading, no further cell.

// nasty are the pieces that mean something to CommonMark 0.31 or its dialects, and plain ones between them.
var nasty = []string{
	"*", "**", "_", "__", "`", "``", "~~", "|", "\\", "\\|", "<", ">", "<b>", "</b>", "<script>", "<!--", "-->", "&", "&amp;", "&#35;", "&copy", "[", "]", "](", "[x]", "[ ]", "![",
	"(", ")", "#", "##", "- ", "+ ", "* ", "1. ", "1) ", "=", "==", "---", ":", "!", "\"", "'", "$", "{", "}", "^", "@", "/", ".", ",", "a", "B", "7", "ä", "é", "mm", " ", " ", "\n", "\t", "…", "→", "€",
}

func nastyText(r *rand.Rand) string {
	var b strings.Builder
	for range 1 + r.IntN(9) {
		b.WriteString(nasty[r.IntN(len(nasty))])
	}
	if s := strings.Join(strings.Fields(b.String()), " "); s != "" {
		return s
	}
	return "x"
}

// rendered reads Markdown and tells the text of each element of a kind, and every kind of element there is.
func rendered(t *testing.T, text []byte) (texts map[string][]string, kinds map[string]bool) {
	t.Helper()
	md := goldmark.New(goldmark.WithExtensions(extension.Table, extension.Strikethrough, extension.TaskList), goldmark.WithRendererOptions(html.WithXHTML(), html.WithUnsafe()))
	var out bytes.Buffer
	if err := md.Convert(text, &out); err != nil {
		t.Fatal(err)
	}
	texts, kinds = map[string][]string{}, map[string]bool{}
	d := xml.NewDecoder(strings.NewReader("<all>" + out.String() + "</all>"))
	d.Entity = xml.HTMLEntity
	type open struct {
		name string
		text strings.Builder
	}
	var stack []*open
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			return texts, kinds
		}
		if err != nil {
			t.Fatalf("%v in what %q became:\n%s", err, text, out.String())
		}
		switch x := tok.(type) {
		case xml.StartElement:
			kinds[x.Name.Local] = true
			stack = append(stack, &open{name: x.Name.Local})
		case xml.CharData:
			for _, o := range stack {
				o.text.Write(x)
			}
		case xml.EndElement:
			o := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			texts[o.name] = append(texts[o.name], strings.Join(strings.Fields(o.text.String()), " "))
		}
	}
}

func TestSheetMarkdownReadByGoldmark(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 1))
	for range 3000 {
		n := func() string { return nastyText(r) }
		title, fact, para, item, said, cure, head, cell, group := n(), n(), n(), n(), n(), n(), n(), n(), n()
		s := &sheet.Sheet{Title: title, Facts: []sheet.Fact{{Name: "Document", Values: []string{fact}}}, Sections: []sheet.Section{{Key: "k", Title: "Set-up", Blocks: []sheet.Block{
			{Text: para}, {List: []string{item}}, {Text: "between"}, {Findings: []finding.Finding{finding.New(finding.Stop, "a/b", "%s", said).CuredBy("%s", cure)}},
			{Table: &sheet.Table{Columns: []sheet.Column{{Title: head}, {Title: "Num", Num: true}}, Rows: []sheet.Row{{Group: true, Cells: []string{group, ""}}, {Cells: []string{cell, "-1 mm"}}}}},
		}}}}
		text := s.Markdown()
		got, kinds := rendered(t, text)
		for k := range kinds {
			if !strings.Contains(" all h1 h2 p ul li strong table thead tbody tr th td ", " "+k+" ") {
				t.Errorf("there is a %s in what this became:\n%s", k, text)
			}
		}
		cured := cure
		if cured[0] >= 'a' && cured[0] <= 'z' {
			cured = strings.ToUpper(cured[:1]) + cured[1:]
		}
		for kind, want := range map[string][]string{
			"h1": {title}, "p": {para, "between"}, "li": {"Document: " + fact, item, "stop " + said + " → " + cured + "."},
			"th": {head, "Num"}, "td": {group, "", cell, "-1 mm"},
		} {
			if strings.Join(got[kind], "\x00") != strings.Join(want, "\x00") {
				t.Errorf("%s: read back as %q, expected %q, from:\n%s", kind, got[kind], want, text)
			}
		}
		if t.Failed() {
			return
		}
	}
}
