package reference

import (
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"lowslung/check"
	"lowslung/draw"
	"lowslung/quantity"
	"lowslung/sheet"
)

// The sheet's PDF is read back by poppler (Debian poppler-utils), which knows nothing of us: its paper, its fonts, its text, and the length of the
// wheelbase's dimension line at the scale that the sheet names.

func sheetPDF(t *testing.T, o sheet.Options) (file string, all *check.Answer) {
	t.Helper()
	b, m := modelOf(t, fromFolder("../examples"), demo)
	s, err := sheet.Assess(&sheet.Build{Name: m.Name, Date: "2026-05-02", Tree: b.Tree, Model: m,
		Files: []sheet.File{{Name: demo, Hash: strings.Repeat("0123456789ab", 6)[:64]}}}, o)
	if err != nil {
		t.Fatal(err)
	}
	text, err := s.PDF(1777680000) // 2026-05-02
	if err != nil {
		t.Fatal(err)
	}
	file = filepath.Join(t.TempDir(), "sheet.pdf")
	if err := os.WriteFile(file, text, 0o600); err != nil {
		t.Fatal(err)
	}
	a, err := check.Assess(m, check.Options{Thorough: true, Units: o.Units})
	if err != nil {
		t.Fatal(err)
	}
	return file, &a
}

func TestSheetReadByPoppler(t *testing.T) {
	for _, c := range []struct {
		o    sheet.Options
		size string
	}{
		{sheet.Options{}, "595.28 x 841.89 pts (A4)"},                                      // ISO 216: 210 × 297 mm
		{sheet.Options{Units: quantity.US, Paper: sheet.Letter}, "612 x 792 pts (letter)"}, // 8.5 × 11 in
	} {
		file, a := sheetPDF(t, c.o)
		info := poppler(t, "pdfinfo", file)
		if !strings.Contains(info, c.size) || !regexp.MustCompile(`Title:\s+Bramble on portals`).MatchString(info) || !regexp.MustCompile(`CreationDate:.*May.* 2026`).MatchString(info) {
			t.Errorf("pdfinfo: %s", info)
		}
		for _, row := range strings.Split(strings.TrimSpace(poppler(t, "pdffonts", file)), "\n")[2:] {
			if !regexp.MustCompile(`Identity-H\s+yes`).MatchString(row) {
				t.Errorf("a font is not embedded: %s", row)
			}
		}
		text := strings.ReplaceAll(poppler(t, "pdftotext", "-layout", file, "-"), "−", "-")
		for _, v := range a.Numbers() {
			want := v.Channel.Format(v.Value, c.o.Units)
			row := regexp.MustCompile(`(?m)^\s*` + regexp.QuoteMeta(v.Channel.Name) + `\s+` + strings.ReplaceAll(regexp.QuoteMeta(want), " ", `\s*`) + `(\s|$)`) // poppler drops a narrow space
			if !row.MatchString(text) {
				t.Errorf("pdftotext finds no line %q with %q", v.Channel.Name, want)
			}
		}
		for _, f := range a.Findings {
			first, _, _ := strings.Cut(f.Sentence, ".")
			if words := strings.Fields(first); f.Level == "stop" && !strings.Contains(text, strings.Join(words[:min(6, len(words))], " ")) {
				t.Errorf("pdftotext does not find %q", f.Sentence)
			}
		}
		if !strings.Contains(text, "0123456789ab") || !strings.Contains(text, "2026-05-02") {
			t.Error("the sheet does not say of which text and day it is")
		}
	}
}

func TestSheetDrawnToScale(t *testing.T) {
	file, a := sheetPDF(t, sheet.Options{Sections: []string{"side"}})
	text := poppler(t, "pdftotext", file, "-")
	scale := regexp.MustCompile(`Side view from the left, 1:([0-9.]+)`).FindStringSubmatch(text)
	if scale == nil {
		t.Fatalf("no scale in %q", text)
	}
	over, err := quantity.DimNumber.Parse(scale[1])
	if err != nil {
		t.Fatal(err)
	}
	want := *a.Travel.Axles.Rear.Design.WheelbaseMM / over
	lines, w, _ := readSVG(t, poppler(t, "pdftocairo", "-svg", "-noshrink", "-nocenter", file, "-"))
	if math.Abs(w-draw.A4.W) > calliper {
		t.Errorf("the page is %.2f mm wide", w)
	}
	best := math.Inf(1)
	for _, l := range lines {
		if l.box.H() < 1e-6 {
			best = min(best, math.Abs(l.length-want))
		}
	}
	t.Logf("wheelbase line of %.3f mm came back within %.4f mm", want, best)
	if best > calliper {
		t.Errorf("no level line of %.2f mm; the nearest is off by %.3f", want, best)
	}
}
