package docs_test

import (
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

const licencesPage = "docs/licences.md"

// What may go into the program and its page; for tools that only build and test, what is equivalent besides.
var (
	allowed  = []string{"MIT", "BSD-2-Clause", "BSD-3-Clause", "Apache-2.0", "MPL-2.0", "OFL-1.1"}
	besides  = []string{"ISC", "0BSD", "CC0-1.0", "BlueOak-1.0.0", "Python-2.0"}
	compiled = []string{"svelte", "clsx", "esm-env"} // built into the page, though npm counts them among the tools
)

// The licences page lists every module that is used, with the licence that its own text shows, and nothing else.
func TestLicences(t *testing.T) {
	text := read(t, licencesPage)
	binary, tests, tools := goModules(t)
	for part, table := range map[string]string{
		"binary": modules(t, binary), "tests": modules(t, tests), "tools": modules(t, tools),
		"page": packages(t, true), "page tools": packages(t, false),
	} {
		from, to := "<!-- from here: "+part+" -->\n", "<!-- to here: "+part+" -->"
		a, b := strings.Index(text, from), strings.Index(text, to)
		if a < 0 || b < a {
			t.Errorf("%s has no part %q", licencesPage, part)
			continue
		}
		if have := text[a+len(from) : b]; have != table {
			if !update {
				t.Errorf("%s, %s: found\n%s\nexpected\n%s\nrun UPDATE_DOCS=1 go test ./docs", licencesPage, part, have, table)
			}
			text = text[:a+len(from)] + table + text[b:]
		}
	}
	carried(t, binary)
	if update {
		if err := os.WriteFile(filepath.Join(top, licencesPage), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// goModules asks the go tool which modules are used, each with the folder of its source: by the program on any of the usual
// systems, by tests alone, and by tools alone.
func goModules(t *testing.T) (binary, tests, tools map[string]string) {
	t.Helper()
	list := func(env string, args ...string) map[string]string {
		args = append([]string{"list", "-e", "-deps", "-f", "{{with .Module}}{{if not .Main}}{{.Path}}\t{{.Dir}}{{end}}{{end}}"}, args...)
		cmd := exec.Command("go", args...)
		cmd.Dir = top
		cmd.Env = append(os.Environ(), "CGO_ENABLED=0", env)
		out, err := cmd.Output()
		if err != nil {
			t.Fatalf("go %v: %v", args, err)
		}
		set := map[string]string{}
		for line := range strings.Lines(string(out)) {
			if path, dir, ok := strings.Cut(strings.TrimSpace(line), "\t"); ok {
				set[path] = dir
			}
		}
		return set
	}
	binary = map[string]string{}
	for _, system := range []string{"linux", "darwin", "windows"} {
		maps.Copy(binary, list("GOOS="+system, "./cmd/lowslung"))
	}
	tests = list("GOOS=linux", "-test", "./...")
	tools = list("GOOS=linux", "-modfile=tools/go.mod", "tool")
	maps.DeleteFunc(tests, func(path, _ string) bool { return binary[path] != "" })
	return binary, tests, tools
}

// modules is a table of Go modules; a module whose licence is not allowed, or cannot be told from its text, fails.
func modules(t *testing.T, set map[string]string) string {
	t.Helper()
	var b strings.Builder
	b.WriteString("\n| module | licence | text |\n| --- | --- | --- |\n")
	for _, path := range slices.Sorted(maps.Keys(set)) {
		file, licences := licenceOf(t, path, set[path])
		for _, l := range licences {
			if !slices.Contains(allowed, l) {
				t.Errorf("%s has the licence %s, which is not allowed", path, l)
			}
		}
		fmt.Fprintf(&b, "| `%s` | %s | [%s](https://pkg.go.dev/%s?tab=licenses) |\n", path, strings.Join(licences, ", "), file, path)
	}
	b.WriteString("\n")
	return b.String()
}

// licenceOf tells a licence from words that stand in no other one of the list.
func licenceOf(t *testing.T, path, dir string) (file string, licences []string) {
	t.Helper()
	files, err := os.ReadDir(dir)
	if err != nil {
		t.Errorf("%s: %v", path, err)
		return "", nil
	}
	for _, f := range files {
		name := strings.ToLower(f.Name())
		if f.IsDir() || !strings.HasPrefix(name, "license") && !strings.HasPrefix(name, "licence") && !strings.HasPrefix(name, "copying") {
			continue
		}
		text, err := os.ReadFile(filepath.Join(dir, f.Name()))
		if err != nil {
			t.Fatal(err)
		}
		if words := tell(string(text)); words != nil && file == "" {
			file, licences = f.Name(), words
		}
	}
	if licences == nil {
		t.Errorf("%s: no licence could be told from the files in %s", path, dir)
	}
	return file, licences
}

func tell(text string) []string {
	s := strings.ToLower(strings.Join(strings.Fields(text), " "))
	has := func(words string) bool { return strings.Contains(s, words) }
	var out []string
	add := func(name string, is bool) {
		if is {
			out = append(out, name)
		}
	}
	add("MIT", has("permission is hereby granted, free of charge, to any person"))
	add("Apache-2.0", has("apache license") && has("version 2.0"))
	add("MPL-2.0", has("mozilla public license"))
	add("ISC", has("permission to use, copy, modify, and/or distribute"))
	if has("redistribution and use in source and binary forms") {
		three := has("neither the name") || has("names of its contributors may") || has("may not be used to endorse")
		add("BSD-3-Clause", three)
		add("BSD-2-Clause", !three)
	}
	// The Mozilla Public License 2.0 names the GNU ones itself, as secondary licences (1.12).
	add("GPL", (has("gnu general public license") || has("gnu lesser general public")) && !has("mozilla public license version 2.0"))
	return out
}

// A lock is what npm has written down of the packages of the page.
type lock struct {
	Packages map[string]struct {
		License string
		Dev     bool
	}
}

func lockFile(t *testing.T) (out lock) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(top, "web", "package-lock.json"))
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, &out); err != nil {
		t.Fatal(err)
	}
	return out
}

// pagePackages are the npm packages whose code goes into the page.
func pagePackages(t *testing.T) []string {
	t.Helper()
	var out []string
	for at, p := range lockFile(t).Packages {
		if _, name, is := strings.Cut(at, "node_modules/"); is && (!p.Dev || slices.Contains(compiled, name)) {
			out = append(out, name)
		}
	}
	return out
}

// packages is a table of npm packages by licence, as the lock file gives it: those whose code goes into the page, or those that
// only build and test it.
func packages(t *testing.T, page bool) string {
	t.Helper()
	lock := lockFile(t)
	by := map[string][]string{}
	for at, p := range lock.Packages {
		i := strings.LastIndex(at, "node_modules/")
		if i < 0 {
			continue
		}
		name := at[i+len("node_modules/"):]
		if (!p.Dev || slices.Contains(compiled, name)) != page {
			continue
		}
		for _, l := range strings.Split(strings.Trim(p.License, "()"), " OR ") {
			if !slices.Contains(allowed, l) && (page || !slices.Contains(besides, l)) {
				t.Errorf("the npm package %s has the licence %q, which is not allowed", name, p.License)
			}
		}
		if !slices.Contains(by[p.License], name) {
			by[p.License] = append(by[p.License], name)
		}
	}
	var b strings.Builder
	b.WriteString("\n| licence | packages |\n| --- | --- |\n")
	for _, l := range slices.Sorted(maps.Keys(by)) {
		slices.Sort(by[l])
		fmt.Fprintf(&b, "| %s | %s |\n", l, strings.Join(by[l], ", "))
	}
	b.WriteString("\n")
	return b.String()
}

// The program carries the texts: its own, that of Go, those of its modules and of what is built into its page.
const (
	carriedTexts = "licences/texts.txt"
	ownHeading   = "The texts of the licences of lowslung and of everything that is built into it.\n"
	pageHeading  = "\n\nIn the page of the workbench.\n"
)

// carried holds the texts that the program carries against those that lie with the modules. The page's are read from web/node_modules;
// where npm has not been run, each package must at least be named.
func carried(t *testing.T, binary map[string]string) {
	t.Helper()
	have := read(t, carriedTexts)
	var b strings.Builder
	b.WriteString(ownHeading)
	underNames(&b, []string{"lowslung"}, read(t, "LICENSE"))
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		t.Fatal(err)
	}
	std, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(root)), "LICENSE"))
	if err != nil {
		t.Fatalf("the licence of Go, which its releases have beside bin and src: %v", err)
	}
	underNames(&b, []string{"the Go standard library"}, string(std))
	alike(t, &b, binary)
	b.WriteString(pageHeading)
	page := map[string]string{}
	for _, name := range pagePackages(t) {
		page[name] = filepath.Join(top, "web", "node_modules", name)
	}
	if _, err := os.Stat(filepath.Join(top, "web", "node_modules")); err == nil {
		alike(t, &b, page)
	} else {
		_, rest, _ := strings.Cut(have, pageHeading)
		for name := range page {
			if !strings.Contains(rest, "\n"+name+"\n") {
				t.Errorf("%s does not name %s, which is built into the page", carriedTexts, name)
			}
		}
		b.WriteString(rest)
	}
	if b.String() == have {
		return
	}
	if !update {
		t.Errorf("%s is not what lies with the modules; run UPDATE_DOCS=1 go test ./docs (after npm ci in web)", carriedTexts)
		return
	}
	if err := os.WriteFile(filepath.Join(top, carriedTexts), []byte(b.String()), 0o644); err != nil {
		t.Fatal(err)
	}
}

// underNames writes one text under the names that it belongs to.
func underNames(b *strings.Builder, names []string, text string) {
	fmt.Fprintf(b, "\n%s\n%s\n%s\n\n%s\n", strings.Repeat("=", 80), strings.Join(names, "\n"), strings.Repeat("=", 80), strings.TrimSpace(strings.ReplaceAll(text, "\r\n", "\n")))
}

// alike writes the licences and notices in folders by name; those with the same texts share them.
func alike(t *testing.T, b *strings.Builder, folders map[string]string) {
	t.Helper()
	names := map[string][]string{} // by text
	var order []string
	for _, name := range slices.Sorted(maps.Keys(folders)) {
		text := strings.Join(textsIn(t, folders[name]), "\n\n")
		if text == "" {
			t.Errorf("%s: no licence lies in %s", name, folders[name])
		}
		if names[text] == nil {
			order = append(order, text)
		}
		names[text] = append(names[text], name)
	}
	for _, text := range order {
		underNames(b, names[text], text)
	}
}

// textsIn are the licences and notices in a folder, and those of fonts, which lie deeper.
func textsIn(t *testing.T, folder string) []string {
	t.Helper()
	files, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	list := []string{}
	for _, f := range files {
		name := strings.ToLower(f.Name())
		if !f.IsDir() && slices.ContainsFunc([]string{"license", "licence", "copying", "notice"}, func(p string) bool { return strings.HasPrefix(name, p) }) {
			list = append(list, f.Name())
		}
	}
	if _, err := os.Stat(filepath.Join(folder, "font/gofont/ttfs/README")); err == nil {
		list = append(list, "font/gofont/ttfs/README")
	}
	var out []string
	for _, name := range list {
		text, err := os.ReadFile(filepath.Join(folder, name))
		if err != nil {
			t.Fatal(err)
		}
		if s := strings.TrimSpace(string(text)); !slices.Contains(out, s) {
			out = append(out, s)
		}
	}
	return out
}
