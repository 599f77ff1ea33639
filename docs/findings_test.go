package docs_test

import (
	"bytes"
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"lowslung/channel"
	"lowslung/check"
	"lowslung/cli"
)

const findingsPage = "docs/how-to/read-the-findings.md"

var (
	findingCode = regexp.MustCompile(`^([a-z]+)/[a-z-]+$`)
	mistakeCode = regexp.MustCompile(`^[a-z][a-z-]+$`)
	explaining  = regexp.MustCompile("(?m)^(### .*|\\| `[a-z]+/[a-z-]+` \\|)")
	quoted      = regexp.MustCompile("`([a-z/-]+)`")
	listed      = regexp.MustCompile("(?m)^\\| `([a-z-]+)` \\|")
)

// codesInTheCode reads every code out of the source: of findings (word/what), and of mistakes in a document.
func codesInTheCode(t *testing.T) (findings, mistakes map[string]bool) {
	t.Helper()
	findings, mistakes = map[string]bool{}, map[string]bool{}
	words := append(slices.Clone(check.Words), "rocks", "check", "compare", "search", "shop", "bench")
	err := filepath.WalkDir(top, func(file string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name := d.Name()
		if d.IsDir() && (name == "node_modules" || name == "cli" || name == "docs" || strings.HasPrefix(name, ".") && name != "..") {
			return fs.SkipDir
		}
		if d.IsDir() || filepath.Ext(name) != ".go" || strings.HasSuffix(name, "_test.go") {
			return nil
		}
		f, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		reads := slices.Contains([]string{"rig", "solid", "channel"}, f.Name.Name) // what reads documents
		joins := f.Name.Name == "mates"
		var above []ast.Node
		ast.Inspect(f, func(n ast.Node) bool {
			if n == nil {
				above = above[:len(above)-1]
				return true
			}
			above = append(above, n)
			switch n := n.(type) {
			case *ast.BasicLit:
				text, err := strconv.Unquote(n.Value)
				if m := findingCode.FindStringSubmatch(text); err == nil && m != nil && slices.Contains(words, m[1]) && isCode(above) {
					findings[text] = true
				}
			case *ast.AssignStmt:
				if joins {
					badFit(findings, n)
				}
			case *ast.CallExpr:
				if id, ok := n.Fun.(*ast.Ident); ok && joins && id.Name == "wrong" {
					addFit(findings, n.Args[0])
				}
				if code, ok := mistake(n); ok && reads {
					mistakes[code] = true
				}
			case *ast.CompositeLit:
				if id, ok := n.Type.(*ast.Ident); ok && joins && id.Name == "verdict" && len(n.Elts) > 1 && isFalse(n.Elts[0]) {
					addFit(findings, n.Elts[1])
				}
				if typ, ok := n.Type.(*ast.SelectorExpr); ok && typ.Sel.Name == "Diagnostic" {
					for _, e := range n.Elts {
						if kv, ok := e.(*ast.KeyValueExpr); ok && kv.Key.(*ast.Ident).Name == "Code" {
							if text, ok := literal(kv.Value); ok {
								mistakes[text] = true
							}
						}
					}
				}
			}
			return true
		})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	// Codes that the source puts together from pieces.
	for _, c := range channel.All() {
		findings[c.Word+"/target"] = true
	}
	join := func(set map[string]bool, piece string, tails ...string) {
		if !set[piece] {
			t.Errorf("the source has no piece %q any more: mend this test", piece)
		}
		delete(set, piece)
		for _, tail := range tails {
			set[piece+tail] = true
		}
	}
	join(findings, "compare/tips-", "sooner", "later")
	join(findings, "travel/stopped-by-", "shaft-bottomed", "shaft-apart", "shaft-joint", "rod-end", "contact")
	join(findings, "travel/beyond-", "shaft-bottomed", "shaft-apart", "shaft-joint", "rod-end")
	join(mistakes, "no-such-", "hole", "output", "port")
	return findings, mistakes
}

// isCode tells a code from a path of the document in a list: it is handed to a call, assigned, or a field of a finding.
func isCode(above []ast.Node) bool {
	for i := len(above) - 2; i >= 0; i-- {
		switch n := above[i].(type) {
		case *ast.BinaryExpr:
			continue
		case *ast.CallExpr:
			if f, ok := n.Fun.(*ast.SelectorExpr); ok && f.Sel.Name == "For" || !slices.Contains(n.Args[:min(2, len(n.Args))], above[i+1].(ast.Expr)) {
				return false // what a finding is about; a code comes among the first two
			}
			_, told := mistake(n) // of a mistake it is the path
			return !told
		case *ast.AssignStmt, *ast.ValueSpec:
			return true
		case *ast.KeyValueExpr:
			key, ok := n.Key.(*ast.Ident)
			return ok && key.Name == "Code"
		default:
			return false
		}
	}
	return false
}

// badFit finds `….OK, ….Fit = false, "words"`.
func badFit(findings map[string]bool, n *ast.AssignStmt) {
	if len(n.Lhs) < 2 || len(n.Rhs) < 2 || !isFalse(n.Rhs[0]) {
		return
	}
	if s, ok := n.Lhs[1].(*ast.SelectorExpr); ok && s.Sel.Name == "Fit" {
		addFit(findings, n.Rhs[1])
	}
}

// addFit makes the code of a joint that does not go together from the words of its fit.
func addFit(findings map[string]bool, e ast.Expr) {
	if text, ok := literal(e); ok {
		findings["mates/"+strings.ReplaceAll(text, " ", "-")] = true
	}
}

func isFalse(e ast.Expr) bool {
	id, ok := e.(*ast.Ident)
	return ok && id.Name == "false"
}

// mistake finds the code in a call that reports a mistake of a document: add, fail or once, with the code as a literal among
// its first arguments, or as the beginning of one.
func mistake(n *ast.CallExpr) (string, bool) {
	name := ""
	switch f := n.Fun.(type) {
	case *ast.SelectorExpr:
		name = f.Sel.Name
	case *ast.Ident:
		name = f.Name
	}
	if name != "add" && name != "fail" && name != "once" || len(n.Args) < 3 {
		return "", false
	}
	for _, a := range n.Args[:2] {
		if b, ok := a.(*ast.BinaryExpr); ok {
			a = b.X
		}
		if text, ok := literal(a); ok && mistakeCode.MatchString(text) {
			return text, true
		}
	}
	return "", false
}

func literal(e ast.Expr) (string, bool) {
	l, ok := e.(*ast.BasicLit)
	if !ok || l.Kind != token.STRING {
		return "", false
	}
	text, err := strconv.Unquote(l.Value)
	return text, err == nil
}

// Every finding and every mistake is explained, and nothing is explained that does not exist.
func TestEveryFindingIsExplained(t *testing.T) {
	findings, mistakes := codesInTheCode(t)
	if len(findings) < 20 || len(mistakes) < 20 {
		t.Fatalf("only %d findings and %d mistakes were found in the source", len(findings), len(mistakes))
	}
	text := read(t, findingsPage)
	same(t, "finding", findings, explained(text))
	same(t, "mistake", mistakes, listed.FindAllStringSubmatch(text, -1))
}

// explained are the codes in the headings of the page, where findings that are alike share one, and in its tables.
func explained(text string) [][]string {
	return quoted.FindAllStringSubmatch(strings.Join(explaining.FindAllString(text, -1), "\n"), -1)
}

func same(t *testing.T, what string, want map[string]bool, have [][]string) {
	t.Helper()
	seen := map[string]bool{}
	for _, m := range have {
		if seen[m[1]] {
			t.Errorf("the %s %s is explained twice", what, m[1])
		}
		seen[m[1]] = true
		if !want[m[1]] {
			t.Errorf("the %s %s is explained, but the code has none of that name", what, m[1])
		}
	}
	for code := range want {
		if !seen[code] {
			t.Errorf("the %s %s is not explained in %s", what, code, findingsPage)
		}
	}
}

// What the examples really say is explained: a code that the source puts together in a new way shows here.
func TestFindingsOfTheExamplesAreExplained(t *testing.T) {
	have := map[string]bool{}
	for _, m := range explained(read(t, findingsPage)) {
		have[m[1]] = true
	}
	rigs, err := filepath.Glob(filepath.Join(top, "examples", "*.rig.yaml"))
	if err != nil || len(rigs) < 2 {
		t.Fatalf("examples: %v, %v", rigs, err)
	}
	seen := 0
	ask := func(args ...string) {
		var out, bad bytes.Buffer
		if status := cli.Run(append(args, "--json"), nil, &out, &bad); status > 1 {
			t.Fatalf("%v: %s", args, &bad)
		}
		var ans struct{ Findings []struct{ Code string } }
		if err := json.Unmarshal(out.Bytes(), &ans); err != nil {
			t.Fatal(err)
		}
		for _, f := range ans.Findings {
			seen++
			if !have[f.Code] {
				t.Errorf("%v: the finding %s is not explained in %s", args, f.Code, findingsPage)
			}
		}
	}
	for _, r := range rigs {
		ask("check", r)
		ask("compare", rigs[0], r)
	}
	if seen == 0 {
		t.Error("the examples have no findings at all")
	}
}
