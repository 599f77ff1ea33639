package cli

import (
	"crypto/sha256"
	"encoding/hex"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

func TestSheetFormats(t *testing.T) {
	dir := t.TempDir()
	for ending, begins := range map[string]string{"pdf": "%PDF-1.", "html": "<!doctype html>", "md": "# Bramble on portals\n", "csv": "number,question,value,unit,"} {
		file := filepath.Join(dir, "a."+ending)
		if status, out, bad := run(t, "sheet", portal, "--against", bramble, "--date", "2026-05-02", "-o", file); status != 0 || out != "wrote "+file+"\n" {
			t.Fatalf("%s: status %d, %q, %q", ending, status, out, bad)
		}
		text, err := os.ReadFile(file)
		if err != nil || !strings.HasPrefix(string(text), begins) {
			t.Errorf("%s begins with %.20q (%v)", ending, text, err)
		}
		status, out, _ := run(t, "sheet", portal, "--against", bramble, "--date", "2026-05-02", "--format", ending, "-o", "-")
		if status != 0 || ending != "md" && out != string(text) {
			t.Errorf("%s on standard output is another sheet, or status %d", ending, status)
		}
	}
	if left, _ := filepath.Glob(filepath.Join(dir, ".sheet*")); left != nil {
		t.Errorf("left behind: %v", left)
	}
}

// The sheet names what it was made from, so that it can be matched to a revision: SHA-256 of the file itself (FIPS 180-4).
func TestSheetNamesItsRevision(t *testing.T) {
	text, err := os.ReadFile(bramble)
	if err != nil {
		t.Fatal(err)
	}
	sum := sha256.Sum256(text)
	info, err := os.Stat(bramble)
	if err != nil {
		t.Fatal(err)
	}
	_, out, _ := run(t, "sheet", bramble)
	for _, want := range []string{"bramble.rig.yaml " + hex.EncodeToString(sum[:])[:12], "- Date: " + info.ModTime().Format(time.DateOnly)} {
		if !strings.Contains(out, want) {
			t.Errorf("no %q on the sheet:\n%.400s", want, out)
		}
	}
}

func TestSheetShopsAgainstItsOwnBase(t *testing.T) {
	_, out, _ := run(t, "sheet", portal, "--sections", "order")
	if !strings.Contains(out, "| pin-2.5-12 |") || strings.Contains(out, "tyre") {
		t.Errorf("the shopping list:\n%s", out)
	}
	if _, out, _ = run(t, "sheet", bramble, "--sections", "all"); strings.Contains(out, "## To buy") {
		t.Error("a build without a base has a shopping list of everything")
	}
}

func TestSheetMisuse(t *testing.T) {
	dir := t.TempDir()
	kept := filepath.Join(dir, "mine.rig.yaml")
	if err := os.WriteFile(kept, []byte("lowslung: 1\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		args []string
		says string
	}{
		"ending":        {[]string{"-o", "a.txt"}, `the ending of a.txt: found "txt", expected pdf, html, md or csv`},
		"format":        {[]string{"--format", "docx"}, `format: found "docx", expected pdf, html, md or csv`},
		"pdf to screen": {[]string{"--format", "pdf"}, "found no file for the PDF, expected -o sheet.pdf"},
		"paper":         {[]string{"--paper", "a3"}, `found paper "a3", expected a4 or letter`},
		"units":         {[]string{"--units", "imperial"}, `found unit system "imperial", expected metric or us`},
		"section":       {[]string{"--sections", "key,nothing"}, `found the section "nothing"`},
		"date":          {[]string{"--date", "2.5.2026"}, `date: found "2.5.2026", expected a day such as 2026-05-02`},
		"against":       {[]string{"--against", filepath.Join(dir, "gone.rig.yaml")}, "found no file"},
		"document":      {[]string{"--format", "pdf", "-o", kept}, "expected a name that no document has"},
		"bin":           {[]string{"-o", filepath.Join(dir, "a.bin.csv")}, "expected a name that no document has"},
		"no folder":     {[]string{"-o", filepath.Join(dir, "gone", "a.pdf")}, "could not be written"},
	} {
		if status, out, bad := run(t, append([]string{"sheet", bramble}, c.args...)...); status != 2 || out != "" || !strings.Contains(bad, c.says) {
			t.Errorf("%s: status %d, printed %q, said %q, expected %q", name, status, out, bad, c.says)
		}
	}
	if text, _ := os.ReadFile(kept); string(text) != "lowslung: 1\n" {
		t.Errorf("the document was written over: %q", text)
	}
}
