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
	add("GPL", has("gnu general public license") || has("gnu lesser general public"))
	return out
}

// packages is a table of npm packages by licence, as the lock file gives it: those whose code goes into the page, or those that
// only build and test it.
func packages(t *testing.T, page bool) string {
	t.Helper()
	var lock struct {
		Packages map[string]struct {
			License string
			Dev     bool
		}
	}
	text, err := os.ReadFile(filepath.Join(top, "web", "package-lock.json"))
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, &lock); err != nil {
		t.Fatal(err)
	}
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
