package store

import (
	"database/sql"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestOpenRefuses(t *testing.T) {
	write := func(t *testing.T, body string) string {
		folder := t.TempDir()
		if err := os.WriteFile(filepath.Join(folder, File), []byte(body), 0o644); err != nil {
			t.Fatal(err)
		}
		return folder
	}
	sqlite := func(t *testing.T, statements ...string) string {
		folder := t.TempDir()
		db, err := sql.Open("sqlite", FileURI(filepath.Join(folder, File)))
		if err != nil {
			t.Fatal(err)
		}
		defer db.Close()
		for _, q := range statements {
			if _, err := db.Exec(q); err != nil {
				t.Fatal(err)
			}
		}
		return folder
	}
	for name, c := range map[string]struct {
		folder func(t *testing.T) string
		code   Code
		words  []string
	}{
		"not SQLite":       {func(t *testing.T) string { return write(t, strings.Repeat("no database ", 100)) }, NotWorkshop, []string{File, "left as it is", "restore"}},
		"another program":  {func(t *testing.T) string { return sqlite(t, "CREATE TABLE recipe (name)") }, NotWorkshop, []string{"no workshop", "--workshop"}},
		"another mark":     {func(t *testing.T) string { return sqlite(t, "PRAGMA application_id = 7") }, NotWorkshop, nil},
		"a file as folder": {func(t *testing.T) string { return filepath.Join(write(t, "x"), File) }, NotWorkshop, []string{"should be a folder"}},
		"below a file":     {func(t *testing.T) string { return filepath.Join(write(t, "x"), File, "deeper") }, NotWorkshop, nil},
		"a folder as file": {func(t *testing.T) string {
			folder := t.TempDir()
			os.Mkdir(filepath.Join(folder, File), 0o755)
			return folder
		}, NotWorkshop, []string{"found a folder"}},
		"from later": {func(t *testing.T) string {
			folder := t.TempDir()
			s := openAt(t, folder)
			if _, err := s.db.Exec("INSERT INTO goose_db_version (version_id, is_applied) VALUES (99, 1)"); err != nil {
				t.Fatal(err)
			}
			return folder
		}, TooNew, []string{"later version", "99"}},
		"cut off": {func(t *testing.T) string {
			folder := t.TempDir()
			s := openAt(t, folder)
			create(t, s, baseFile, baseText())
			s.Close()
			if err := os.Truncate(filepath.Join(folder, File), 5000); err != nil {
				t.Fatal(err)
			}
			return folder
		}, Damaged, []string{"damaged", "restore"}},
	} {
		t.Run(name, func(t *testing.T) {
			folder := c.folder(t)
			before, _ := os.ReadFile(filepath.Join(folder, File))
			s, err := Open(t.Context(), folder, Options{})
			if err == nil {
				s.Close()
			}
			wantCode(t, err, c.code, c.words...)
			if after, _ := os.ReadFile(filepath.Join(folder, File)); string(after) != string(before) {
				t.Error("the file was changed, expected it left as it was")
			}
		})
	}
	_, err := Open(t.Context(), t.TempDir(), Options{MustExist: true})
	wantCode(t, err, NoWorkshop, "found no workshop")
}

func TestReadOnlyFolder(t *testing.T) {
	for name, fill := range map[string]func(string){
		"with a workshop": func(folder string) {
			s, err := Open(t.Context(), folder, Options{})
			if err != nil {
				t.Fatal(explain(err))
			}
			create(t, s, baseFile, baseText())
			s.Close()
		},
		"empty": func(string) {},
	} {
		t.Run(name, func(t *testing.T) {
			folder := readOnly(t, fill)
			s, err := Open(t.Context(), folder, Options{})
			if err == nil {
				s.Close()
			}
			wantCode(t, err, ReadOnly, folder, "--workshop")
		})
	}
}

// Saves into a file system that fills up: the error says so, everything saved before is there, and with room again the
// next save goes through on the same open store.
func TestFullDisk(t *testing.T) {
	folder := t.TempDir()
	small(t, folder, "size=1m")
	fillUp(t, folder, Options{}, func(*Store) {
		if err := os.Remove(filepath.Join(folder, "ballast")); err != nil {
			t.Fatal(err)
		}
	}, func() {
		if err := os.WriteFile(filepath.Join(folder, "ballast"), make([]byte, 300<<10), 0o644); err != nil {
			t.Fatal(err)
		}
	})
}

// A workshop cannot be begun, and a backup not written, where there is no room; neither leaves half a file behind.
func TestNoRoomAtAll(t *testing.T) {
	folder := t.TempDir()
	small(t, folder, "size=64k")
	ballast := filepath.Join(folder, "ballast")
	if err := os.WriteFile(ballast, make([]byte, 60<<10), 0o644); err != nil {
		t.Fatal(err)
	}
	s, err := Open(t.Context(), filepath.Join(folder, "ws"), Options{})
	if err == nil {
		s.Close()
	}
	wantCode(t, err, DiskFull, folder)
	whole := open(t)
	create(t, whole, baseFile, baseText())
	wantCode(t, whole.Backup(t.Context(), filepath.Join(folder, "b.db")), DiskFull, "b.db")
	wantCode(t, WriteFolder(folder, []Text{{baseFile, make([]byte, 100<<10)}}, false), DiskFull)
	if left, _ := filepath.Glob(filepath.Join(folder, "*.*")); len(left) > 0 {
		t.Errorf("found %v left behind", left)
	}
	if err := os.Remove(ballast); err != nil {
		t.Fatal(err)
	}
	if err := WriteFolder(folder, []Text{{baseFile, baseText()}}, false); err != nil {
		t.Error(explain(err))
	}
}

// The same with a limit on the file instead of the disk, which works everywhere.
func TestFullFile(t *testing.T) {
	fillUp(t, t.TempDir(), Options{pages: 120}, func(s *Store) {
		s.db.SetMaxOpenConns(1)
		if _, err := s.db.Exec("PRAGMA max_page_count = 1000"); err != nil {
			t.Fatal(err)
		}
	}, func() {})
}

func fillUp(t *testing.T, folder string, o Options, room func(*Store), ballast func()) {
	ballast()
	s, err := Open(t.Context(), folder, o)
	if err != nil {
		t.Fatal(explain(err))
	}
	defer s.Close()
	d := create(t, s, baseFile, baseText())
	filler := strings.Repeat("# "+strings.Repeat("x", 100)+"\n", 100)
	numbered := func(n int) []byte {
		return []byte(strings.Replace(string(baseText()), "name: Own", "name: n"+string(rune('a'+n%26))+"\n"+filler, 1))
	}
	for n := 0; ; n++ {
		if n == 1000 {
			t.Fatal("saved 1000 revisions and the disk is not full")
		}
		next, err := s.Save(t.Context(), d.ID, d.Version(), append(numbered(n), byte('#'), byte('0'+n%10), '\n'), "")
		if err != nil {
			wantCode(t, err, DiskFull, "is full", "still there", "Free some space")
			break
		}
		d = next
	}
	now, err := s.Document(t.Context(), d.ID)
	if err != nil || now.Version() != d.Version() || string(now.Text) != string(d.Text) {
		t.Errorf("found %s, %v, expected the last revision that was answered, %s", now.Version(), err, d.Version())
	}
	wantSound(t, s)
	room(s)
	if now, err = s.Save(t.Context(), d.ID, d.Version(), baseText(), "room again"); err != nil || now.Revision != d.Revision+1 {
		t.Errorf("found revision %d, %v, expected the save to go through with room again", now.Revision, err)
	}
	if r := wantSound(t, s); r.Revisions != now.Revision {
		t.Errorf("found %d revisions, expected %d", r.Revisions, now.Revision)
	}
}

// A workshop that is copied as files while it is open, log and all, can be restored: nothing is lost by a plain copy.
func TestRestorePlainCopy(t *testing.T) {
	s := open(t)
	d := create(t, s, baseFile, baseText())
	to := t.TempDir()
	for _, end := range []string{"", "-wal"} {
		body, err := os.ReadFile(s.Path() + end)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(to, "copy.db"+end), body, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	folder := t.TempDir()
	if _, err := Restore(t.Context(), folder, filepath.Join(to, "copy.db")); err != nil {
		t.Fatal(explain(err))
	}
	if now, err := openAt(t, folder).Document(t.Context(), d.ID); err != nil || now.Version() != d.Version() {
		t.Errorf("found %v, %v, expected what was in the log too", now.Version(), err)
	}
}
