package cli

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"
)

// newManual writes the part of the manual that is made from the code: `make docs` calls it, and a test holds the committed
// pages against it.
func newManual() *cobra.Command {
	return &cobra.Command{
		Use:    "manual DIR",
		Short:  "Write the reference pages of the manual, made from the code, into DIR",
		Args:   cobra.ExactArgs(1),
		Hidden: true,
		RunE: func(c *cobra.Command, args []string) error {
			if err := os.MkdirAll(args[0], 0o755); err != nil {
				return fmt.Errorf("the folder %s could not be made: %w", args[0], err)
			}
			for _, p := range referencePages(c.Root()) {
				file := filepath.Join(args[0], p.file)
				if err := os.WriteFile(file, p.text, 0o644); err != nil {
					return fmt.Errorf("%s could not be written: %w", file, err)
				}
				fmt.Fprintf(c.OutOrStdout(), "wrote %s\n", file)
			}
			return nil
		},
	}
}

// A page is one file of the reference.
type page struct {
	file string
	text []byte
}

func referencePages(root *cobra.Command) []page {
	return []page{
		{"commands.md", commandsPage(root)},
		{"document.md", documentPage()},
		{"items.md", tablePage()},
		{"numbers.md", numbersPage()},
		{"answers.md", answersPage()},
		{"units.md", unitsPage()},
	}
}

// A sheet is a Markdown page in the making.
type sheet struct{ bytes.Buffer }

func newSheet(title, intro string) *sheet {
	s := &sheet{}
	s.WriteString("<!-- Made from the code by `make docs`: change the code, not this page. -->\n\n")
	s.para("# " + title)
	s.para(intro)
	return s
}

func (s *sheet) para(text string) { s.WriteString(text + "\n\n") }

func (s *sheet) head(depth int, text string) {
	s.para(strings.Repeat("#", depth) + " " + text)
}

// table writes a table; cells may hold Markdown, and anything that would end a cell is kept in it.
func (s *sheet) table(head []string, rows [][]string) {
	line := func(cells []string) {
		for _, c := range cells {
			s.WriteString("| " + strings.NewReplacer("|", `\|`, "\n", " ").Replace(c) + " ")
		}
		s.WriteString("|\n")
	}
	line(head)
	s.WriteString(strings.Repeat("| --- ", len(head)) + "|\n")
	for _, r := range rows {
		line(r)
	}
	s.WriteString("\n")
}

// done is the page with one line break at its end.
func (s *sheet) done() []byte { return append(bytes.TrimRight(s.Bytes(), "\n"), '\n') }

func code(s string) string {
	if s == "" {
		return ""
	}
	return "`" + s + "`"
}

// anchor is the address of a heading on its page, as the usual renderers make it.
func anchor(heading string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(heading) {
		switch {
		case r == ' ':
			b.WriteByte('-')
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9', r == '-', r == '_':
			b.WriteRune(r)
		}
	}
	return "#" + b.String()
}
