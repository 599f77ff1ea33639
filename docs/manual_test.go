// Package docs_test keeps the manual true: links lead somewhere, transcripts are what the program says, every finding is
// explained, every dependency's licence is listed.
//
// UPDATE_DOCS=1 go test ./docs rewrites transcripts and licence tables in place; read the difference before committing it.
package docs_test

import (
	"encoding/xml"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"lowslung/check"
	"lowslung/cli"
)

// The test binary is the program, too, when it is called lowslung: transcripts run it from the shell.
func TestMain(m *testing.M) {
	if filepath.Base(os.Args[0]) == "lowslung" {
		os.Exit(cli.Run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
	}
	os.Exit(m.Run())
}

var update = os.Getenv("UPDATE_DOCS") != ""

const top = ".." // the checkout

// pages lists every page of the manual, and the pages beside it at the top of the checkout, relative to the checkout.
func pages(t *testing.T) []string {
	t.Helper()
	out, err := filepath.Glob(filepath.Join(top, "*.md"))
	if err != nil || len(out) < 4 {
		t.Fatalf("pages at the top: %v, %v", out, err)
	}
	for i := range out {
		out[i] = filepath.Base(out[i])
	}
	err = filepath.WalkDir(".", func(file string, d fs.DirEntry, err error) error {
		if err == nil && filepath.Ext(file) == ".md" {
			out = append(out, "docs/"+filepath.ToSlash(file))
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func read(t *testing.T, page string) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(top, page))
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

var (
	fence      = regexp.MustCompile("(?ms)^```.*?^```$")
	inlineCode = regexp.MustCompile("`[^`\n]*`")
	link       = regexp.MustCompile(`\]\(([^)\s]+)\)`)
	heading    = regexp.MustCompile(`(?m)^#{1,6} +(.+?) *$`)
	notSlug    = regexp.MustCompile(`[^\p{L}\p{N} _-]`)
)

// prose is a page without its code.
func prose(text string) string {
	return inlineCode.ReplaceAllString(fence.ReplaceAllString(text, ""), "`code`")
}

// slugs are the addresses of a page's headings, as the usual renderers make them.
func slugs(text string) map[string]bool {
	out := map[string]bool{}
	for _, m := range heading.FindAllStringSubmatch(fence.ReplaceAllString(text, ""), -1) {
		words := link.ReplaceAllString(m[1], "]")
		out[strings.ReplaceAll(notSlug.ReplaceAllString(strings.ToLower(words), ""), " ", "-")] = true
	}
	return out
}

func TestLinksLeadSomewhere(t *testing.T) {
	linked := map[string]bool{}
	for _, page := range pages(t) {
		for _, m := range link.FindAllStringSubmatch(prose(read(t, page)), -1) {
			target := m[1]
			if strings.Contains(target, "://") || strings.HasPrefix(target, "mailto:") {
				continue
			}
			file, part, _ := strings.Cut(target, "#")
			to := page
			if file != "" {
				to = filepath.ToSlash(filepath.Join(filepath.Dir(page), file))
			}
			linked[to] = true
			info, err := os.Stat(filepath.Join(top, to))
			switch {
			case err != nil:
				t.Errorf("%s: the link %q leads nowhere", page, target)
			case part != "" && !info.IsDir() && !slugs(read(t, to))[part]:
				t.Errorf("%s: the link %q: %s has no heading of that name", page, target, to)
			}
		}
	}
	for _, page := range pages(t) {
		if !linked[page] && page != "README.md" {
			t.Errorf("no page links to %s", page)
		}
	}
	pictures, _ := filepath.Glob("pictures/*")
	for _, p := range pictures {
		if !linked["docs/"+filepath.ToSlash(p)] {
			t.Errorf("no page shows %s", p)
		}
	}
}

// A drawing must be readable by a machine, and say in words what it shows.
func TestDrawings(t *testing.T) {
	files, err := filepath.Glob("pictures/*.svg")
	if err != nil || len(files) == 0 {
		t.Fatalf("drawings: %v, %v", files, err)
	}
	for _, file := range files {
		f, err := os.Open(file)
		if err != nil {
			t.Fatal(err)
		}
		titled := false
		for d := xml.NewDecoder(f); ; {
			tok, err := d.Token()
			if errors.Is(err, io.EOF) {
				break
			}
			if err != nil {
				t.Errorf("%s: %v", file, err)
				break
			}
			if s, ok := tok.(xml.StartElement); ok && s.Name.Local == "title" {
				titled = true
			}
		}
		f.Close()
		if !titled {
			t.Errorf("%s has no title", file)
		}
	}
}

// Each question has its chapter, and each chapter its question.
func TestEachQuestionHasItsChapter(t *testing.T) {
	want := append(slices.Clone(check.Words), "rocks", "check", "compare", "search", "shop", "bench", "sheet")
	files, err := filepath.Glob("questions/*.md")
	if err != nil {
		t.Fatal(err)
	}
	var have []string
	for _, f := range files {
		have = append(have, strings.TrimSuffix(filepath.Base(f), ".md"))
	}
	slices.Sort(want)
	slices.Sort(have)
	if !slices.Equal(want, have) {
		t.Errorf("chapters %v, questions %v", have, want)
	}
}
