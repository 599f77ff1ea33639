package docs_test

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// Every block marked "console" in the manual is run, from the first to the last of its page, in a folder that holds a copy of
// the examples and nothing else; what the page shows must be what comes out. A line "…" stands for any number of lines left
// out. A block under a comment <!-- file: NAME --> is written to that file before the commands below it run.

var block = regexp.MustCompile("(?ms)(?:^<!-- file: (\\S+) -->\n)?^```(\\w*)\n(.*?)^```$")

type step struct {
	from, to int    // of the block's inside, in the page
	file     string // to be written, when there is one
	text     string
	cmds     []command
}

type command struct {
	line string
	want []string
	got  []string
}

func steps(page string) []step {
	var out []step
	for _, m := range block.FindAllStringSubmatchIndex(page, -1) {
		s := step{from: m[6], to: m[7], text: page[m[6]:m[7]]}
		switch {
		case m[2] >= 0:
			s.file = page[m[2]:m[3]]
		case page[m[4]:m[5]] == "console":
			for _, line := range strings.Split(strings.TrimSuffix(s.text, "\n"), "\n") {
				if cmd, ok := strings.CutPrefix(line, "$ "); ok {
					s.cmds = append(s.cmds, command{line: cmd})
				} else if n := len(s.cmds); n > 0 {
					s.cmds[n-1].want = append(s.cmds[n-1].want, line)
				}
			}
		default:
			continue
		}
		out = append(out, s)
	}
	return out
}

func TestTranscripts(t *testing.T) {
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	tools := t.TempDir()
	if err := os.Symlink(self, filepath.Join(tools, "lowslung")); err != nil {
		t.Fatal(err)
	}
	ran := 0
	for _, page := range pages(t) {
		text := read(t, page)
		list := steps(text)
		if !slices.ContainsFunc(list, func(s step) bool { return s.cmds != nil }) {
			continue
		}
		ran++
		t.Run(page, func(t *testing.T) {
			t.Parallel()
			run(t, list, tools)
			bad := false
			for _, s := range list {
				for _, c := range s.cmds {
					if !matches(c.want, c.got) {
						bad = true
						if !update {
							t.Errorf("$ %s\nthe page shows:\n%s\nwhat comes out:\n%s", c.line, strings.Join(c.want, "\n"), strings.Join(c.got, "\n"))
						}
					}
				}
			}
			if bad && update {
				rewrite(t, page, text, list)
			}
			if page == "README.md" || strings.HasPrefix(page, "docs/tutorial/") {
				numbers(t, text)
			}
		})
	}
	if ran < 4 {
		t.Errorf("only %d pages with transcripts were found", ran)
	}
}

// run runs a page's commands in one shell, so that cd and variables hold on.
func run(t *testing.T, list []step, tools string) {
	t.Helper()
	dir := t.TempDir()
	if err := os.CopyFS(filepath.Join(dir, "examples"), os.DirFS(filepath.Join(top, "examples"))); err != nil {
		t.Fatal(err)
	}
	const mark = "--8<-- next command"
	var script strings.Builder
	n := 0
	for _, s := range list {
		if s.file != "" {
			fmt.Fprintf(&script, "cat >%s <<'--8<--'\n%s--8<--\n", s.file, s.text)
		}
		for _, c := range s.cmds {
			fmt.Fprintf(&script, "status=$?; echo '%s'; (exit $status)\n%s\n", mark, c.line) // $? stays that of the command before
			n++
		}
	}
	sh := exec.Command("sh", "-c", "exec 2>&1\n"+script.String())
	sh.Dir = dir
	sh.Env = append(os.Environ(), "PATH="+tools+string(os.PathListSeparator)+os.Getenv("PATH"), "HOME="+dir)
	out, err := sh.CombinedOutput()
	parts := strings.Split(string(out), mark+"\n")[1:]
	if len(parts) != n {
		t.Fatalf("%d of %d commands ran: %v\n%s", len(parts), n, err, out)
	}
	for i := range list {
		for k := range list[i].cmds {
			got := strings.TrimSuffix(parts[0], "\n")
			parts = parts[1:]
			if got != "" {
				list[i].cmds[k].got = strings.Split(got, "\n")
			}
		}
	}
}

// matches holds output against what a page shows of it.
func matches(want, got []string) bool {
	at := slices.Index(want, "…")
	if at < 0 {
		return slices.Equal(want, got)
	}
	if len(got) < at || !slices.Equal(want[:at], got[:at]) {
		return false
	}
	for i := at; i <= len(got); i++ {
		if matches(want[at+1:], got[i:]) {
			return true
		}
	}
	return false
}

var digits = regexp.MustCompile(`[-+]?\d+(\.\d+)?`)

// fresh is what a page should show now. Where lines are left out, each stretch that is shown runs again from a line like its first to
// a line like its last, but for their numbers. False when there is no such line any more.
func fresh(want, got []string) ([]string, bool) {
	like := func(a string) func(string) bool {
		norm := func(s string) string { return strings.Join(strings.Fields(digits.ReplaceAllString(s, "0")), " ") }
		return func(b string) bool { return norm(a) == norm(b) }
	}
	var out []string
	for i := 0; len(want) > 0; i++ {
		n := slices.Index(want, "…")
		part, open := want, n >= 0 // open: lines are left out behind this stretch
		if open {
			part, want = want[:n], want[n+1:]
		} else {
			want = nil
		}
		if len(part) > 0 {
			from, to := 0, len(got)
			if i > 0 {
				from = slices.IndexFunc(got, like(part[0]))
			}
			if from >= 0 && open {
				to = from + slices.IndexFunc(got[from:], like(part[len(part)-1])) + 1
			}
			if from < 0 || to <= from {
				return nil, false
			}
			out, got = append(out, got[from:to]...), got[to:]
		}
		if open {
			out = append(out, "…")
		}
	}
	return out, true
}

func rewrite(t *testing.T, page, text string, list []step) {
	t.Helper()
	for i := len(list) - 1; i >= 0; i-- {
		s := list[i]
		if s.cmds == nil {
			continue
		}
		var b strings.Builder
		for _, c := range s.cmds {
			lines, ok := c.got, true
			if slices.Contains(c.want, "…") {
				lines, ok = fresh(c.want, c.got)
			}
			if !ok {
				t.Errorf("%s: the output of %q changed too much; write by hand which lines to show:\n%s", page, c.line, strings.Join(c.got, "\n"))
				lines = c.want
			}
			b.WriteString("$ " + c.line + "\n")
			for _, l := range lines {
				b.WriteString(l + "\n")
			}
		}
		text = text[:s.from] + b.String() + text[s.to:]
	}
	if err := os.WriteFile(filepath.Join(top, page), []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	t.Logf("%s: transcripts written anew", page)
}

var measured = regexp.MustCompile(`\d+\.\d+ ?(mm|°|%|g|N)`)

// numbers holds what the prose of a page repeats from its transcripts against them.
func numbers(t *testing.T, text string) {
	t.Helper()
	shown := strings.Join(fence.FindAllString(text, -1), "\n")
	for _, n := range measured.FindAllString(fence.ReplaceAllString(text, ""), -1) {
		if !strings.Contains(shown, n) {
			t.Errorf("the prose says %s, which no transcript of the page shows", n)
		}
	}
}
