package lowslung_test

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// layers lists every package from the ground up. A package imports only what stands above it in this list: there is no
// circle, and nothing reaches back up. ARCHITECTURE.md tells why; the order of questions is the order of the job.
var layers = []string{
	"quantity", "finding", "draw",
	"rig", "channel", "solid", "form",
	"travel", "mates", "balance", "ride", "drive", "rocks", "steer", // steer asks balance for the loads on the front wheels
	"check", "tolerance", "compare", "search", "shop", "bench", "sheet", "export",
	"guide", "examples", "licences", "web", "store", "runs", "server", "cli", "cmd/lowslung",
	"reference", "reference/report",
}

// outside says which packages may import a library that would pull technology into the mechanics.
var outside = map[string][]string{
	"github.com/goccy/go-yaml":      {"rig"},
	"codeberg.org/go-pdf/fpdf":      {"draw"},
	"golang.org/x/image":            {"draw"},
	"modernc.org/sqlite":            {"store", "runs"},
	"github.com/riverqueue/river":   {"runs"},
	"github.com/jackc/pgx":          {"runs"},
	"github.com/pressly/goose":      {"store", "runs"},
	"github.com/danielgtaylor/huma": {"server"},
	"github.com/spf13/cobra":        {"cli"},
	"github.com/jedib0t/go-pretty":  {"cli", "reference/report"},
	"net/http":                      {"server", "cli"},
	"database/sql":                  {"store", "runs"},
	"os":                            {"store", "runs", "server", "cli", "cmd/lowslung", "reference", "reference/report"},
	"log/slog":                      {"store", "runs", "server", "cli"},
	"time":                          {"draw", "store", "runs", "server", "cli", "reference", "reference/report"},
	"gonum.org/v1/gonum":            {"travel", "bench", "reference"},
}

func TestPackagesImportOnlyDownwards(t *testing.T) {
	seen := map[string]bool{}
	err := filepath.WalkDir(".", func(file string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name := d.Name()
		if d.IsDir() && (name == "node_modules" || name == "testdata" || strings.HasPrefix(name, ".") && name != ".") {
			return fs.SkipDir
		}
		if d.IsDir() || !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go") {
			return nil
		}
		pkg := path.Dir(filepath.ToSlash(file))
		rank := slices.Index(layers, pkg)
		if rank < 0 {
			t.Errorf("%s: package %q has no place in the layers; give it one here and in ARCHITECTURE.md", file, pkg)
			return nil
		}
		seen[pkg] = true
		f, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		for _, im := range f.Imports {
			p, _ := strconv.Unquote(im.Path.Value)
			if own, ok := strings.CutPrefix(p, "lowslung/"); ok {
				if at := slices.Index(layers, own); at < 0 || at >= rank {
					t.Errorf("%s imports %s, which does not stand below %s", file, own, pkg)
				}
				continue
			}
			for lib, users := range outside {
				if (p == lib || strings.HasPrefix(p, lib+"/")) && !slices.Contains(users, pkg) && !(lib == "os" && p != "os") {
					t.Errorf("%s imports %s, which belongs to %v only", file, p, users)
				}
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range layers {
		if !seen[l] && l != "reference" {
			t.Logf("no package %s yet", l)
		}
	}
}
