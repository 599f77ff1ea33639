package reference

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"lowslung/draw"
	"lowslung/quantity"
	"lowslung/shop"
)

// The order of work on paper, read back by poppler (Debian's poppler-utils): every sentence, number to check and caution can be selected and copied out
// of the PDF, on both papers, and the pages have the size of the paper.
func TestStepsOnPaperReadByPoppler(t *testing.T) {
	for _, paper := range []draw.Format{draw.A4, draw.Letter} {
		_, m := modelOf(t, fromFolder("../examples"), "bramble-portal.rig.yaml")
		w, err := shop.StepsOf(m, shop.StepOptions{Units: quantity.US})
		if err != nil {
			t.Fatal(err)
		}
		data, err := w.PDF(paper, "", "", 0)
		if err != nil {
			t.Fatal(err)
		}
		name := filepath.Join(t.TempDir(), "steps.pdf")
		if err := os.WriteFile(name, data, 0o600); err != nil {
			t.Fatal(err)
		}
		out, err := exec.Command("pdftotext", "-raw", name, "-").Output()
		if err != nil {
			t.Fatalf("pdftotext: %v (on Debian: apt-get install poppler-utils)", err)
		}
		tight := func(s string) string { return strings.Join(strings.Fields(s), "") }
		all := tight(string(out))
		n := 0
		has := func(s string) {
			n++
			if !strings.Contains(all, tight(s)) {
				t.Errorf("%s: %q cannot be read", paper.Name, s)
			}
		}
		for _, st := range w.Stages {
			has(st.Title)
			for _, s := range st.Steps {
				has(s.Do)
				for _, c := range s.Checks {
					has(c.What)
					has(c.Want)
				}
			}
		}
		info, err := exec.Command("pdfinfo", name).Output()
		if err != nil {
			t.Fatal(err)
		}
		size := map[string]string{"A4": "595.28 x 841.89 pts", "Letter": "612 x 792 pts"}[paper.Name]
		if !strings.Contains(string(info), size) || n < 100 {
			t.Errorf("%s: %d texts, expected pages of %s in\n%s", paper.Name, n, size, info)
		}
	}
}
