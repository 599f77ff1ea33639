package store

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"fmt"
	"hash/crc32"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// everything is a workshop's worth of texts, with bytes that careless handling would change.
func everything() []Text {
	return []Text{
		{patchFile, patchText("120")},
		{binFile, []byte("\xef\xbb\xbf" + strings.ReplaceAll(binText, "\n", "\r\n"))}, // byte order mark, DOS line ends
		{baseFile, baseText()},
		{userFile, []byte(userText + "# ü ° ½ — no newline at the end")},
		{"plain.rig.json", []byte(`{"lowslung": 1, "name": "JSON"}`)},
	}
}

func bodies(texts []Text) map[string]string {
	m := map[string]string{}
	for _, t := range texts {
		m[t.Name] = string(t.Body)
	}
	return m
}

func wantSame(t *testing.T, got, want []Text) {
	t.Helper()
	g, w := bodies(got), bodies(want)
	for name := range w {
		if g[name] != w[name] {
			t.Errorf("%s: found %q, expected %q", name, g[name], w[name])
		}
	}
	if len(g) != len(w) {
		t.Errorf("found %d files, expected %d", len(g), len(w))
	}
}

// Export → import is byte-identical by folder and by zip, and the zip of the second workshop equals that of the first.
func TestExportImport(t *testing.T) {
	s := open(t)
	out, err := s.Import(t.Context(), append(everything(), Text{"README.txt", []byte("hello")}), "imported")
	if err != nil {
		t.Fatal(explain(err))
	}
	if len(out) != 6 || out[5].Result != LeftOut || out[0].Result != Added || out[0].ID == 0 {
		t.Errorf("found %+v", out)
	}
	texts, err := s.Export(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	wantSame(t, texts, everything())

	var first bytes.Buffer
	if err := WriteZip(&first, texts); err != nil {
		t.Fatal(err)
	}
	back, err := ReadZip(first.Bytes())
	if err != nil {
		t.Fatal(explain(err))
	}
	other := open(t)
	if _, err := other.Import(t.Context(), back, "from zip"); err != nil {
		t.Fatal(explain(err))
	}
	again, err := other.Export(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	var second bytes.Buffer
	if err := WriteZip(&second, again); err != nil || !bytes.Equal(first.Bytes(), second.Bytes()) {
		t.Errorf("the zip of the imported workshop differs from the one it came from (%v)", err)
	}

	folder := filepath.Join(t.TempDir(), "out")
	if err := WriteFolder(folder, texts, false); err != nil {
		t.Fatal(explain(err))
	}
	read, err := ReadFolder(folder)
	if err != nil {
		t.Fatal(explain(err))
	}
	wantSame(t, read, everything())
	out, err = s.Import(t.Context(), read, "again")
	if err != nil {
		t.Fatal(explain(err))
	}
	for _, o := range out {
		if o.Result != Same {
			t.Errorf("%s: found %q, expected no change", o.Name, o.Result)
		}
	}
	wantSound(t, other)
	one, err := s.Export(t.Context(), patchFile)
	if err != nil || len(one) != 2 {
		t.Errorf("found %d files, %v; expected the patch and its base", len(one), err)
	}
	document, err := ReadDocument(folder, patchFile)
	if err != nil {
		t.Fatal(explain(err))
	}
	wantSame(t, document, []Text{{patchFile, patchText("120")}, {baseFile, baseText()}})
}

// An import that changes a base and what builds on it together is what saving one by one cannot do.
func TestImportTogether(t *testing.T) {
	s := open(t)
	if _, err := s.Import(t.Context(), everything(), ""); err != nil {
		t.Fatal(explain(err))
	}
	base := Text{baseFile, bytes.Replace(baseText(), []byte("    body:\n"), []byte("    shell:\n"), 1)}
	if _, err := s.Import(t.Context(), []Text{base}, ""); CodeOf(err) != Mistakes {
		t.Errorf("found %v, expected mistakes in what builds on it", err)
	}
	patch := Text{patchFile, bytes.Replace(patchText("120"), []byte("body:"), []byte("shell:"), 1)}
	out, err := s.Import(t.Context(), []Text{base, patch}, "")
	if err != nil || out[0].Result != Changed || out[1].Result != Changed {
		t.Errorf("found %+v, %v", out, err)
	}
	wantSound(t, s)
}

// One bad file and nothing is imported.
func TestImportIsAllOrNothing(t *testing.T) {
	s := open(t)
	for _, c := range []struct {
		bad  Text
		code Code
	}{
		{Text{"x.rig.yaml", []byte("lowslung: 1\nbase: missing.rig.yaml\n")}, Mistakes},
		{Text{"x.rig.yaml", []byte("lowslung: 2\n")}, Mistakes},
		{Text{"x.rig.yaml", []byte("\xff")}, Mistakes},
		{Text{"../x.rig.yaml", []byte("lowslung: 1\n")}, BadName},
		{Text{"..", nil}, BadName},
		{Text{"../../etc/passwd", nil}, BadName},
		{Text{"/x.rig.yaml", []byte("lowslung: 1\n")}, BadName},
		{Text{`..\x.rig.yaml`, []byte("lowslung: 1\n")}, BadName},
		{Text{"Own.rig.yaml", []byte("lowslung: 1\n")}, BadFile},
		{Text{baseFile, []byte("lowslung: 1\n")}, BadFile},
		{Text{"x.rig.yaml", make([]byte, 5<<20)}, TooLarge},
	} {
		_, err := s.Import(t.Context(), append(everything(), c.bad), "")
		if CodeOf(err) != c.code {
			t.Errorf("%s: found %v, expected %s", c.bad.Name, err, c.code)
		}
		if list, _ := s.Documents(t.Context(), ""); len(list) != 0 {
			t.Fatalf("%s: found %d documents after a refused import", c.bad.Name, len(list))
		}
	}
}

func TestZipsThatLie(t *testing.T) {
	bomb := func() []byte {
		var b bytes.Buffer
		z := zip.NewWriter(&b)
		zeros := make([]byte, 4<<20)
		for i := range 100 {
			f, _ := z.Create(fmt.Sprintf("%d.rig.yaml", i))
			f.Write(zeros)
		}
		z.Close()
		return b.Bytes()
	}()
	link := func() []byte {
		var b bytes.Buffer
		z := zip.NewWriter(&b)
		h := &zip.FileHeader{Name: "a.rig.yaml"}
		h.SetMode(os.ModeSymlink | 0o777)
		f, _ := z.CreateHeader(h)
		f.Write([]byte("/etc/passwd"))
		z.Close()
		return b.Bytes()
	}()
	one := func(name string, body []byte) []byte {
		var b bytes.Buffer
		z := zip.NewWriter(&b)
		f, _ := z.Create(name)
		f.Write(body)
		z.Close()
		return b.Bytes()
	}
	// A zip whose directory says another size than its content has.
	liar := func(says uint64) []byte {
		body := bytes.Repeat([]byte("lowslung: 1\n"), 1000)
		var packed, b bytes.Buffer
		w, _ := flate.NewWriter(&packed, flate.BestCompression)
		w.Write(body)
		w.Close()
		z := zip.NewWriter(&b)
		f, err := z.CreateRaw(&zip.FileHeader{Name: "a.rig.yaml", Method: zip.Deflate, CRC32: crc32.ChecksumIEEE(body),
			CompressedSize64: uint64(packed.Len()), UncompressedSize64: says})
		if err != nil {
			t.Fatal(err)
		}
		f.Write(packed.Bytes())
		z.Close()
		return b.Bytes()
	}
	if texts, err := ReadZip(liar(12000)); err != nil || len(texts) != 1 {
		t.Errorf("the honest one: %v", err)
	}
	broken := one("a.rig.yaml", bytes.Repeat([]byte("lowslung: 1\n"), 100))
	broken[40] ^= 0xff
	for name, c := range map[string]struct {
		data []byte
		code Code
	}{
		"no zip":         {[]byte("PK\x03\x04 and nothing"), BadFile},
		"empty":          {nil, BadFile},
		"bomb":           {bomb, TooLarge},
		"link":           {link, BadFile},
		"broken":         {broken, BadFile},
		"says less":      {liar(100), BadFile},
		"says more":      {liar(13000), BadFile},
		"says huge":      {liar(1 << 40), TooLarge},
		"leaves":         {one("../a.rig.yaml", nil), BadName},
		"leaves deep":    {one("a/../../b.rig.yaml", nil), BadName},
		"absolute":       {one("/a.rig.yaml", nil), BadName},
		"backslash":      {one(`..\a.rig.yaml`, nil), BadName},
		"leaves, no rig": {one("../../.profile", nil), BadName},
	} {
		texts, err := ReadZip(c.data)
		if CodeOf(err) != c.code {
			t.Errorf("%s: found %d texts, %v; expected %s", name, len(texts), err, c.code)
		}
	}
}

func TestWriteFolderKeeps(t *testing.T) {
	folder := t.TempDir()
	mine := filepath.Join(folder, baseFile)
	if err := os.WriteFile(mine, []byte("mine"), 0o644); err != nil {
		t.Fatal(err)
	}
	wantCode(t, WriteFolder(folder, everything(), false), Exists, baseFile, "Nothing was written")
	if _, err := os.Stat(filepath.Join(folder, binFile)); err == nil {
		t.Error("found another file written although one was refused")
	}
	if body, _ := os.ReadFile(mine); string(body) != "mine" {
		t.Errorf("found %q, expected the file as it was", body)
	}
	if err := WriteFolder(folder, everything(), true); err != nil {
		t.Error(explain(err))
	}
	// A link that leads out of the folder is not written through.
	outside := t.TempDir()
	if err := os.Symlink(outside, filepath.Join(folder, "away")); err != nil {
		t.Skip("links cannot be made here")
	}
	if err := WriteFolder(folder, []Text{{"away/a.rig.yaml", []byte("x")}}, true); err == nil {
		t.Error("an export was written through a link out of its folder")
	}
	if list, _ := os.ReadDir(outside); len(list) != 0 {
		t.Errorf("found %v outside the folder", list)
	}
}
