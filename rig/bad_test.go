package rig

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Every document under testdata/bad must be refused with exactly the text in the .want file beside it. The texts are
// written by hand: they are what a builder reads.
func TestBadDocuments(t *testing.T) {
	files, err := filepath.Glob("testdata/bad/*.yaml")
	if err != nil || len(files) < 60 {
		t.Fatalf("%d documents under testdata/bad, want at least 60 (%v)", len(files), err)
	}
	for _, file := range files {
		name := filepath.Base(file)
		want, err := os.ReadFile(strings.TrimSuffix(file, ".yaml") + ".want")
		if err != nil {
			t.Error(err)
			continue
		}
		_, err = Load(dir("testdata/bad"), name)
		if err == nil {
			t.Errorf("%s: loads, want\n%s", name, want)
			continue
		}
		if got := err.Error() + "\n"; got != string(want) {
			t.Errorf("%s:\ngot\n%swant\n%s", name, got, want)
		}
		var list Diagnostics
		if !errors.As(err, &list) {
			t.Errorf("%s: error is no Diagnostics", name)
		}
	}
}
