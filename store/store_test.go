package store

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"lowslung/rig"
)

// The documents of these tests: a whole rig, a patch on it, a bin and a rig that uses the bin. Invented.
const (
	baseFile  = "own.rig.yaml"
	patchFile = "builds/own-low.rig.yaml"
	binFile   = "drawer.bin.yaml"
	userFile  = "uses-drawer.rig.yaml"
)

func baseText() []byte { return rig.Starter("Own") }

func patchText(mass string) []byte {
	return []byte("lowslung: 1\nbase: ../own.rig.yaml\nname: Own, lower\nchassis: {parts: {body: null, battery: {mass: " + mass + "}}} # no body, lighter pack\n")
}

const binText = "lowslung: 1\nname: Drawer\nitems:\n  pack-small: {kind: battery, mass: 120 g, title: Small pack}\n"

const userText = "lowslung: 1\nname: Weights only\nbins: [drawer.bin.yaml]\nchassis:\n  parts:\n    pack: {item: pack-small, at: [10, 0, 40]}\n"

func open(t *testing.T) *Store {
	t.Helper()
	return openAt(t, t.TempDir())
}

func openAt(t *testing.T, folder string) *Store {
	t.Helper()
	s, err := Open(t.Context(), folder, Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

func create(t *testing.T, s *Store, file string, text []byte) Document {
	t.Helper()
	d, err := s.Create(t.Context(), file, text, "begun")
	if err != nil {
		t.Fatalf("%s: %v", file, explain(err))
	}
	return d
}

// explain adds the diagnostics to an error's public text.
func explain(err error) string {
	var e *Error
	if errors.As(err, &e) {
		return fmt.Sprintf("%s: %s %v (cause: %v)", e.Code, e.Text, e.Mistakes, e.Cause)
	}
	return err.Error()
}

func wantCode(t *testing.T, err error, code Code, words ...string) *Error {
	t.Helper()
	var e *Error
	if !errors.As(err, &e) || e.Code != code {
		t.Fatalf("found error %v, expected one of code %s", err, code)
	}
	for _, w := range words {
		if !strings.Contains(e.Text, w) {
			t.Errorf("found the message %q, expected %q in it", e.Text, w)
		}
	}
	return e
}

func wantSound(t *testing.T, s *Store) Report {
	t.Helper()
	r, err := s.Verify(context.WithoutCancel(t.Context()))
	if err != nil {
		t.Fatal(explain(err))
	}
	for _, p := range r.Problems {
		t.Errorf("%s, revision %d: %s", p.File, p.Revision, p.Text)
	}
	return r
}

func TestSaveAndHistory(t *testing.T) {
	s := open(t)
	d := create(t, s, baseFile, baseText())
	if d.Revision != 1 || d.CanUndo || d.CanRedo || string(d.Text) != string(baseText()) || d.Hash != HashOf(baseText()) {
		t.Fatalf("found %+v", d)
	}
	second := []byte(strings.Replace(string(baseText()), "mass: 158", "mass: 170", 1))
	e, err := s.Save(t.Context(), d.ID, d.Version(), second, "heavier pack")
	if err != nil {
		t.Fatal(explain(err))
	}
	if e.Revision != 2 || !e.CanUndo || e.Why != "heavier pack" {
		t.Errorf("found %+v", e)
	}
	same, err := s.Save(t.Context(), d.ID, e.Version(), second, "again")
	if err != nil || same.Revision != 2 {
		t.Errorf("saving the same text gave revision %d, %v; expected 2, nothing new", same.Revision, err)
	}
	conflict := wantCode(t, func() error { _, err := s.Save(t.Context(), d.ID, d.Version(), baseText(), "late"); return err }(), Conflict, "in between")
	if conflict.Present == nil || conflict.Present.Revision != 2 || string(conflict.Present.Text) != string(second) {
		t.Errorf("found %+v, expected the present document in the conflict", conflict.Present)
	}
	var list []Revision
	if err := s.Look(t.Context(), func(v Snapshot) error { list, err = v.Revisions(d.ID); return err }); err != nil {
		t.Fatal(err)
	}
	if len(list) != 2 || list[0].Number != 2 || !list[0].Current || list[1].Current {
		t.Errorf("found revisions %+v", list)
	}
	wantSound(t, s)
}

// A sequence of saves, undos and redos against the obvious twin: a slice and a position in it.
func TestUndoRedo(t *testing.T) {
	s := open(t)
	d := create(t, s, userFile, []byte("lowslung: 1\nname: n0\n"))
	chain, at, revisions := []string{"n0"}, 0, 1
	for i, step := range strings.Fields("save save undo undo undo redo redo redo undo save redo undo undo save save undo redo undo undo undo") {
		var err error
		switch before := d; step {
		case "save":
			name := fmt.Sprint("n", i+1)
			d, err = s.Save(t.Context(), d.ID, d.Version(), []byte("lowslung: 1\nname: "+name+"\n"), "to "+name)
			chain, at = append(chain[:at+1:at+1], name), at+1
		case "undo":
			if d, err = s.Undo(t.Context(), d.ID, d.Version()); at == 0 {
				wantCode(t, err, NothingLeft, "nothing to undo")
				d = before
				continue
			}
			at--
		case "redo":
			if d, err = s.Redo(t.Context(), d.ID, d.Version()); at == len(chain)-1 {
				wantCode(t, err, NothingLeft, "nothing to redo")
				d = before
				continue
			}
			at++
		}
		revisions++
		if err != nil {
			t.Fatalf("step %d, %s: %v", i, step, explain(err))
		}
		if want := "lowslung: 1\nname: " + chain[at] + "\n"; string(d.Text) != want || d.Revision != revisions ||
			d.CanUndo != (at > 0) || d.CanRedo != (at < len(chain)-1) {
			t.Fatalf("step %d, %s: found %+v %q, expected %q, revision %d, undo %v, redo %v", i, step, d, d.Text, want, revisions, at > 0, at < len(chain)-1)
		}
	}
	r := wantSound(t, s)
	if r.Revisions != revisions {
		t.Errorf("found %d revisions, expected %d: undo must add, never remove", r.Revisions, revisions)
	}
}

func TestMistakesAreNotSaved(t *testing.T) {
	s := open(t)
	_, err := s.Create(t.Context(), baseFile, []byte("lowslung: 1\nname: x\nchasis: {}\n"), "")
	e := wantCode(t, err, Mistakes, "Nothing was saved")
	if len(e.Mistakes) != 1 || e.Mistakes[0].Place != (rig.Place{File: baseFile, Line: 3, Col: 1}) {
		t.Errorf("found %v, expected one mistake at %s:3:1", e.Mistakes, baseFile)
	}
	_, err = s.Create(t.Context(), binFile, []byte("lowslung: 1\nitems: {a: {mass: 3 mm}}\n"), "")
	if e := wantCode(t, err, Mistakes); len(e.Mistakes) != 1 || e.Mistakes[0].Place.File != binFile || e.Mistakes[0].Place.Line != 2 {
		t.Errorf("found %v, expected one mistake in line 2 of %s", e.Mistakes, binFile)
	}
	if list, err := s.Documents(t.Context(), ""); err != nil || len(list) != 0 {
		t.Errorf("found %v, %v, expected an empty workshop", list, err)
	}
}

// A change of a base or a bin may not break what builds on it, and each revision keeps the texts it was read with.
func TestBasesAndBins(t *testing.T) {
	s := open(t)
	base := create(t, s, baseFile, baseText())
	create(t, s, patchFile, patchText("120"))
	bin := create(t, s, binFile, []byte(binText))
	user := create(t, s, userFile, []byte(userText))

	gone := []byte(strings.Replace(string(baseText()), "    body:\n", "    shell:\n", 1))
	_, err := s.Save(t.Context(), base.ID, base.Version(), gone, "renamed")
	e := wantCode(t, err, Mistakes, patchFile, "Nothing was saved")
	if len(e.Broken) != 1 || e.Broken[0] != patchFile || len(e.Mistakes) == 0 || e.Mistakes[0].Place.File != patchFile {
		t.Errorf("found %+v", e)
	}
	_, err = s.Save(t.Context(), bin.ID, bin.Version(), []byte("lowslung: 1\nname: Drawer\nitems: {}\n"), "emptied")
	wantCode(t, err, Mistakes, userFile)
	wantCode(t, s.Remove(t.Context(), bin.ID, bin.Version()), InUse, userFile)
	wantCode(t, s.Remove(t.Context(), base.ID, base.Version()), InUse, patchFile)

	// The user stops using the item, then the item may go; the old revision still verifies with the old bin.
	if user, err = s.Save(t.Context(), user.ID, user.Version(), []byte("lowslung: 1\nname: Weights only\n"), "no bin"); err != nil {
		t.Fatal(explain(err))
	}
	if bin, err = s.Save(t.Context(), bin.ID, bin.Version(), []byte("lowslung: 1\nname: Drawer\nitems: {}\n"), "emptied"); err != nil {
		t.Fatal(explain(err))
	}
	wantSound(t, s)
	if _, err := s.Undo(t.Context(), user.ID, user.Version()); err == nil {
		t.Error("undo brought a reference back to an item that is gone, expected the mistakes")
	} else {
		wantCode(t, err, Mistakes)
	}
	if err := s.Remove(t.Context(), bin.ID, bin.Version()); err != nil {
		t.Fatal(explain(err))
	}
	if _, err := s.Document(t.Context(), bin.ID); CodeOf(err) != NotFound {
		t.Errorf("found %v, expected %s", err, NotFound)
	}
	back := create(t, s, binFile, []byte(binText))
	if back.ID != bin.ID || back.Revision != 3 || !back.CanUndo {
		t.Errorf("found %+v, expected the removed document's history taken up", back)
	}
	wantSound(t, s)
}

func TestNames(t *testing.T) {
	for _, good := range []string{"a.rig.yaml", "folder/b c.rig.yml", "ähre.bin.json", "x.y.rig.yaml"} {
		if err := CheckName(good); err != nil {
			t.Errorf("%q: %v", good, err)
		}
	}
	for _, bad := range []string{"", "/a.rig.yaml", "../a.rig.yaml", "a/../../b.rig.yaml", `a\b.rig.yaml`, "c:a.rig.yaml", "~/a.rig.yaml",
		"a//b.rig.yaml", "./a.rig.yaml", "a.yaml", "a.txt", ".rig.yaml", "nul.rig.yaml", "LPT1.rig.yaml", "a .rig.yaml/b.rig.yaml ", "a\x00.rig.yaml",
		"a\n.rig.yaml", "a?.rig.yaml", strings.Repeat("a", 300) + ".rig.yaml", "\xff.rig.yaml", "file://x.rig.yaml", ".git/a.rig.yaml", "a\u202e.rig.yaml"} {
		if CodeOf(CheckName(bad)) != BadName {
			t.Errorf("%q was taken as a name", bad)
		}
	}
	s := open(t)
	create(t, s, baseFile, baseText())
	_, err := s.Create(t.Context(), strings.ToUpper(baseFile[:1])+baseFile[1:], baseText(), "")
	wantCode(t, err, Exists, baseFile)
}

// The triggers refuse what the program must never do.
func TestAppendOnly(t *testing.T) {
	s := open(t)
	create(t, s, baseFile, baseText())
	for _, q := range []string{"DELETE FROM revision", "UPDATE revision SET why = 'x'", "UPDATE text SET body = x'00'", "DELETE FROM text", "DELETE FROM document",
		"UPDATE document SET head = 7"} {
		if _, err := s.db.Exec(q); err == nil {
			t.Errorf("%s was allowed", q)
		}
	}
	wantSound(t, s)
}

// Many writers, in this process and over a second store as another process has it: every save that was answered counts.
func TestManyWriters(t *testing.T) {
	folder := t.TempDir()
	stores := []*Store{openAt(t, folder), openAt(t, folder)}
	d := create(t, stores[0], baseFile, []byte("lowslung: 1\nname: n\n"))
	const writers, saves = 6, 10
	var wg sync.WaitGroup
	for w := range writers {
		wg.Go(func() {
			s := stores[w%2]
			for i := 0; i < saves; {
				now, err := s.Document(t.Context(), d.ID)
				if err != nil {
					t.Error(err)
					return
				}
				_, err = s.Save(t.Context(), d.ID, now.Version(), fmt.Appendf(nil, "lowslung: 1\nname: n %d %d\n", w, i), "")
				switch CodeOf(err) {
				case "":
					i++
				case Conflict:
				default:
					t.Error(explain(err))
					return
				}
			}
		})
	}
	wg.Wait()
	if now, err := stores[0].Document(t.Context(), d.ID); err != nil || now.Revision != 1+writers*saves {
		t.Errorf("found revision %d, %v; expected %d", now.Revision, err, 1+writers*saves)
	}
	wantSound(t, stores[1])
}

// Several programs begin the same workshop at the same moment.
func TestOpenTogether(t *testing.T) {
	for range 2 {
		folder := filepath.Join(t.TempDir(), "new")
		var wg sync.WaitGroup
		for i := range 8 {
			wg.Go(func() {
				s, err := Open(t.Context(), folder, Options{})
				if err != nil {
					t.Error(explain(err))
					return
				}
				defer s.Close()
				if _, err := s.Create(t.Context(), fmt.Sprintf("r%d.rig.yaml", i), []byte("lowslung: 1\n"), ""); err != nil {
					t.Error(explain(err))
				}
			})
		}
		wg.Wait()
		s := openAt(t, folder)
		if r := wantSound(t, s); r.Documents != 8 {
			t.Errorf("found %d documents, expected 8", r.Documents)
		}
	}
}

func TestOddFolders(t *testing.T) {
	for _, name := range []string{"a b", "ü?x=1", "50%25 #1", "a;b&c", "'quote\""} {
		folder := filepath.Join(t.TempDir(), name)
		s := openAt(t, folder)
		create(t, s, baseFile, baseText())
		if _, err := os.Stat(filepath.Join(folder, File)); err != nil {
			t.Errorf("%q: %v", name, err)
		}
		if err := s.Backup(t.Context(), filepath.Join(folder, "b?%20#.db")); err != nil {
			t.Errorf("%q: %v", name, explain(err))
		}
		if _, err := os.Stat(filepath.Join(folder, "b?%20#.db")); err != nil {
			t.Errorf("%q: %v", name, err)
		}
	}
}

func TestDefaultFolder(t *testing.T) {
	t.Setenv("XDG_DATA_HOME", "/data")
	if f, err := DefaultFolder(); err != nil || f != "/data/lowslung" {
		t.Errorf("found %s, %v", f, err)
	}
	t.Setenv("HOME", "/home/builder")
	for _, unset := range []string{"", "relative/is/ignored"} {
		t.Setenv("XDG_DATA_HOME", unset)
		if f, err := DefaultFolder(); err != nil || f != "/home/builder/.local/share/lowslung" {
			t.Errorf("found %s, %v", f, err)
		}
	}
}

// A mesh that the workshop does not have is told with what to do.
func TestMeshNotInTheWorkshop(t *testing.T) {
	s := open(t)
	text := []byte("lowslung: 1\nchassis: {parts: {skid: {kind: skid, shape: [{mesh: stl/skid.stl}]}}}\n")
	_, err := s.Create(t.Context(), "meshed.rig.yaml", text, "test")
	var bad *Error
	if !errors.As(err, &bad) || bad.Code != Mistakes || len(bad.Mistakes) != 1 {
		t.Fatalf("found %v, expected one mistake", err)
	}
	for _, want := range []string{`"stl/skid.stl"`, "lowslung workshop import", "expected the mesh"} {
		if !strings.Contains(bad.Mistakes.Error(), want) {
			t.Errorf("%q does not say %q", bad.Mistakes.Error(), want)
		}
	}
}
