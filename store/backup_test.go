package store

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"
)

// A backup made while someone saves is a whole workshop of one moment, and restoring it brings that moment back.
func TestBackupWhileSaving(t *testing.T) {
	s := open(t)
	d := create(t, s, baseFile, []byte("lowslung: 1\nname: n0\n"))
	ctx, stop := context.WithCancel(t.Context())
	var wg sync.WaitGroup
	wg.Go(func() {
		for i := 1; ctx.Err() == nil; i++ {
			now, err := s.Document(context.Background(), d.ID)
			if err == nil {
				_, err = s.Save(context.Background(), d.ID, now.Version(), fmt.Appendf(nil, "lowslung: 1\nname: n%d\n", i), "")
			}
			if err != nil {
				t.Error(explain(err))
				return
			}
		}
	})
	folder := t.TempDir()
	for i := range 5 {
		time.Sleep(20 * time.Millisecond)
		if err := s.Backup(t.Context(), filepath.Join(folder, fmt.Sprintf("b%d.db", i))); err != nil {
			t.Fatal(explain(err))
		}
	}
	stop()
	wg.Wait()
	wantCode(t, s.Backup(t.Context(), filepath.Join(folder, "b0.db")), Exists)
	last := 0
	for i := range 5 {
		to := t.TempDir()
		out, err := Restore(t.Context(), to, filepath.Join(folder, fmt.Sprintf("b%d.db", i)))
		if err != nil {
			t.Fatal(explain(err))
		}
		if out.Kept != "" {
			t.Errorf("found %s kept, expected nothing to keep in an empty folder", out.Kept)
		}
		r := openAt(t, to)
		now, err := r.Document(t.Context(), d.ID)
		if err != nil || string(now.Text) != fmt.Sprintf("lowslung: 1\nname: n%d\n", now.Revision-1) {
			t.Errorf("found revision %d with %q, %v", now.Revision, now.Text, err)
		}
		if now.Revision < last {
			t.Errorf("backup %d holds revision %d, the one before %d", i, now.Revision, last)
		}
		last = now.Revision
		wantSound(t, r)
		if list, _ := os.ReadDir(to); len(list) > 3 {
			t.Errorf("found %v left behind", list)
		}
	}
}

// Restore under the feet of a running program: it sees the restored texts, and what was there is kept.
func TestRestoreWhileOpen(t *testing.T) {
	folder := t.TempDir()
	s := openAt(t, folder)
	d := create(t, s, baseFile, []byte("lowslung: 1\nname: early\n"))
	backup := filepath.Join(t.TempDir(), "early.db")
	if err := s.Backup(t.Context(), backup); err != nil {
		t.Fatal(explain(err))
	}
	late, err := s.Save(t.Context(), d.ID, d.Version(), []byte("lowslung: 1\nname: late\n"), "")
	if err != nil {
		t.Fatal(explain(err))
	}
	extra := create(t, s, patchFile[len("builds/"):], []byte("lowslung: 1\nname: extra\n"))
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	events := make(chan Event, 10)
	go s.Watch(ctx, func(e Event) { events <- e })
	time.Sleep(50 * time.Millisecond)

	out, err := Restore(t.Context(), folder, backup)
	if err != nil {
		t.Fatal(explain(err))
	}
	now, err := s.Document(t.Context(), d.ID)
	if err != nil || string(now.Text) != "lowslung: 1\nname: early\n" {
		t.Errorf("found %q, %v, expected the restored text in the open store", now.Text, err)
	}
	if _, err := s.Save(t.Context(), d.ID, late.Version(), []byte("lowslung: 1\n"), ""); CodeOf(err) != Conflict {
		t.Errorf("found %v, expected a conflict: the page still shows the text from before the restore", err)
	}
	for _, want := range []Event{{ID: d.ID, Kind: Rig, Revision: 1, Hash: now.Hash}, {ID: extra.ID, Kind: Rig, Revision: 1, Hash: extra.Hash, Removed: true}} {
		select {
		case e := <-events:
			if e != want {
				t.Errorf("found %+v, expected %+v", e, want)
			}
		case <-time.After(5 * time.Second):
			t.Errorf("heard nothing of %+v", want)
		}
	}
	if _, err := s.Save(t.Context(), d.ID, now.Version(), []byte("lowslung: 1\nname: goes on\n"), ""); err != nil {
		t.Error(explain(err))
	}
	wantSound(t, s)

	// What was there before is whole, with its revisions.
	kept := t.TempDir()
	if _, err := Restore(t.Context(), kept, out.Kept); err != nil {
		t.Fatal(explain(err))
	}
	before := openAt(t, kept)
	if was, err := before.Document(t.Context(), d.ID); err != nil || string(was.Text) != "lowslung: 1\nname: late\n" || was.Revision != 2 {
		t.Errorf("found %+v, %v, expected the text from before the restore", was, err)
	}
}

// Someone saves all the while: each save that was answered is in what was kept, or in the workshop after the restore.
func TestRestoreLosesNoSave(t *testing.T) {
	for range 5 {
		folder := t.TempDir()
		s := openAt(t, folder)
		d := create(t, s, baseFile, []byte("lowslung: 1\nname: early\n"))
		backup := filepath.Join(t.TempDir(), "early.db")
		if err := s.Backup(t.Context(), backup); err != nil {
			t.Fatal(explain(err))
		}
		ctx, stop := context.WithCancel(t.Context())
		answered := map[string]bool{}
		var wg sync.WaitGroup
		wg.Go(func() {
			for i := 0; ctx.Err() == nil; i++ {
				text := fmt.Sprintf("lowslung: 1\nname: n%d\n", i)
				now, err := s.Document(context.Background(), d.ID)
				if err == nil {
					_, err = s.Save(context.Background(), d.ID, now.Version(), []byte(text), "")
				}
				switch CodeOf(err) {
				case "":
					answered[text] = true
				case Conflict: // the restore came in between
				default:
					t.Error(explain(err))
					return
				}
			}
		})
		time.Sleep(10 * time.Millisecond)
		out, err := Restore(t.Context(), folder, backup)
		time.Sleep(5 * time.Millisecond)
		stop()
		wg.Wait()
		if err != nil {
			t.Fatal(explain(err))
		}
		aside := t.TempDir()
		if _, err := Restore(t.Context(), aside, out.Kept); err != nil {
			t.Fatal(explain(err))
		}
		have := map[string]bool{}
		for _, one := range []*Store{s, openAt(t, aside)} {
			wantSound(t, one)
			rows, err := one.db.Query("SELECT body FROM text")
			if err != nil {
				t.Fatal(err)
			}
			for rows.Next() {
				var body []byte
				if err := rows.Scan(&body); err != nil {
					t.Fatal(err)
				}
				have[string(body)] = true
			}
			rows.Close()
		}
		for text := range answered {
			if !have[text] {
				t.Errorf("%q was answered as saved and is in neither file (of %d)", text, len(answered))
			}
		}
		if kept, err := filepath.Glob(filepath.Join(folder, "before-restore-*")); err != nil || len(kept) != 1 {
			t.Errorf("found %v, %v, expected one file kept", kept, err)
		}
	}
}

func TestRestoreRefuses(t *testing.T) {
	folder := t.TempDir()
	s := openAt(t, folder)
	d := create(t, s, baseFile, baseText())
	good := filepath.Join(t.TempDir(), "good.db")
	if err := s.Backup(t.Context(), good); err != nil {
		t.Fatal(explain(err))
	}
	body, err := os.ReadFile(good)
	if err != nil {
		t.Fatal(err)
	}
	write := func(b []byte) string {
		f := filepath.Join(t.TempDir(), "bad.db")
		if err := os.WriteFile(f, b, 0o644); err != nil {
			t.Fatal(err)
		}
		return f
	}
	flipped := append([]byte(nil), body...)
	at := bytes.Index(flipped, []byte("steering servo")) // inside the text
	for i := range 10 {
		flipped[at+i] ^= 0x01
	}
	for name, c := range map[string]struct {
		file string
		code Code
	}{
		"missing":     {filepath.Join(folder, "none.db"), NotFound},
		"text":        {write([]byte("this is no database, but long enough to look at; this is no database, but long enough")), NotWorkshop},
		"empty":       {write(nil), NotWorkshop},
		"cut":         {write(body[:len(body)/2]), Damaged},
		"bits turned": {write(flipped), Damaged},
	} {
		_, err := Restore(t.Context(), folder, c.file)
		if CodeOf(err) != c.code {
			t.Errorf("%s: found %v, expected %s", name, err, c.code)
		}
	}
	if now, err := s.Document(t.Context(), d.ID); err != nil || now.Hash != d.Hash {
		t.Errorf("found %v, %v, expected the workshop as it was", now, err)
	}
	if list, _ := filepath.Glob(filepath.Join(folder, "restore-*")); len(list) > 0 {
		t.Errorf("found %v left behind", list)
	}
	wantSound(t, s)
}

// A damaged workshop is moved aside, never thrown away, and the backup takes its place.
func TestRestoreOverDamage(t *testing.T) {
	folder := t.TempDir()
	s := openAt(t, folder)
	d := create(t, s, baseFile, baseText())
	backup := filepath.Join(t.TempDir(), "b.db")
	if err := s.Backup(t.Context(), backup); err != nil {
		t.Fatal(explain(err))
	}
	s.Close()
	junk := []byte("junk where the workshop was, more than a hundred bytes of it so that it could be taken for a file header: it is not")
	if err := os.WriteFile(filepath.Join(folder, File), junk, 0o644); err != nil {
		t.Fatal(err)
	}
	_, err := Open(t.Context(), folder, Options{})
	wantCode(t, err, NotWorkshop, "left as it is", "restore")
	out, err := Restore(t.Context(), folder, backup)
	if err != nil {
		t.Fatal(explain(err))
	}
	if kept, err := os.ReadFile(out.Kept); err != nil || string(kept) != string(junk) {
		t.Errorf("found %q, %v, expected the damaged file kept", kept, err)
	}
	if now, err := openAt(t, folder).Document(t.Context(), d.ID); err != nil || now.Hash != d.Hash {
		t.Errorf("found %v, %v", now.Hash, err)
	}
}
