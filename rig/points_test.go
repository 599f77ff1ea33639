package rig

import (
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// Every table under testdata/points must be refused with exactly the text in the .want file beside it. The texts are written by hand:
// they are what a builder reads.
func TestBadTables(t *testing.T) {
	list, err := filepath.Glob("testdata/points/*.csv")
	if err != nil || len(list) < 12 {
		t.Fatalf("%d tables under testdata/points, want at least 12 (%v)", len(list), err)
	}
	for _, file := range list {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		want, err := os.ReadFile(strings.TrimSuffix(file, ".csv") + ".want")
		if err != nil {
			t.Error(err)
			continue
		}
		_, err = FromPoints(filepath.Base(file), "", text)
		if err == nil {
			t.Errorf("%s: taken, want\n%s", file, want)
			continue
		}
		if got := err.Error() + "\n"; got != string(want) {
			t.Errorf("%s:\ngot\n%swant\n%s", file, got, want)
		}
		var found Diagnostics
		if !errors.As(err, &found) {
			t.Errorf("%s: error is no Diagnostics", file)
		}
	}
}

var _ = fmt.Sprint
var _ = math.Abs
var _ = time.Now
