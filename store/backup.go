package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"modernc.org/sqlite"
)

// Backup writes the whole workshop with all its revisions to a new file while others go on working. The file is complete
// or not there: it is written beside, read once over, put on the disk and renamed.
func (s *Store) Backup(ctx context.Context, to string) error {
	to, err := filepath.Abs(to)
	if err != nil {
		return fault(to, err)
	}
	if _, err := os.Lstat(to); err == nil {
		return fail(Exists, "found a file at %s already. Nothing was written; choose a name that is free", to)
	}
	part := to + ".part"
	defer os.Remove(part)
	if err := os.Remove(part); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return folderFault(to, err)
	}
	if _, err := s.db.ExecContext(ctx, "VACUUM INTO ?", part); err != nil {
		return fault(to, err)
	}
	db, err := sql.Open("sqlite", FileURI(part)+"?mode=ro")
	if err != nil {
		return fault(to, err)
	}
	problems, err := integrity(ctx, db)
	db.Close()
	if err != nil {
		return fault(to, err)
	}
	if len(problems) > 0 {
		return fail(Damaged, "the backup did not come out whole (%s). It was not kept; check the workshop with: lowslung workshop verify", problems[0].Text)
	}
	return folderFault(to, settle(part, to))
}

// settle puts a file on the disk and gives it its name.
func settle(part, to string) error {
	f, err := os.OpenFile(part, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	err = f.Sync()
	if e := f.Close(); err == nil {
		err = e
	}
	if err == nil {
		err = os.Rename(part, to)
	}
	if err == nil {
		err = syncFolder(filepath.Dir(to))
	}
	return err
}

// syncFolder puts the names in a folder on the disk. Systems that cannot do that for folders do it by themselves.
func syncFolder(folder string) error {
	d, err := os.Open(folder)
	if err != nil {
		return err
	}
	defer d.Close()
	if err := d.Sync(); err != nil && !errors.Is(err, errors.ErrUnsupported) && !errors.Is(err, fs.ErrInvalid) && !errors.Is(err, fs.ErrPermission) {
		return err
	}
	return nil
}

// Restored says what Restore did.
type Restored struct {
	Workshop string // file that now holds the backup's content
	Kept     string // file that holds what was there before; "" when nothing was
	Report   Report // of the backup, before it was put in place
}

// Restore puts a backup in the place of the workshop in folder. The backup is copied and verified first, and what was there
// is kept in a file beside it, so nothing is lost whatever happens. A server that is running sees the restored workshop.
func Restore(ctx context.Context, folder, from string) (out Restored, err error) {
	if folder, err = filepath.Abs(folder); err != nil {
		return out, fault(folder, err)
	}
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return out, fault(folder, err)
	}
	aside, err := os.MkdirTemp(folder, "restore-")
	if err != nil {
		return out, fault(folder, err)
	}
	defer os.RemoveAll(aside)
	if err := copyBackup(from, filepath.Join(aside, File)); err != nil {
		return out, err
	}
	source, err := Open(ctx, aside, Options{MustExist: true})
	if err != nil {
		return out, said(err, from)
	}
	// What can be made from the texts is, so that it is never a reason to refuse a backup.
	if err = source.Reindex(ctx); err == nil {
		out.Report, err = source.Verify(ctx)
	}
	if e := source.Close(); err == nil {
		err = e
	}
	if err != nil {
		return out, err
	}
	if n := len(out.Report.Problems); n > 0 {
		return out, fail(Damaged, "the backup %s is damaged (%d problems, first: %s). The workshop was left as it is", from, n, out.Report.Problems[0].Text)
	}
	out.Workshop = filepath.Join(folder, File)
	if out.Kept, err = put(ctx, folder, filepath.Join(aside, File)); err != nil {
		return out, err
	}
	return out, nil
}

// said gives an error about the copy the name of what was copied.
func said(err error, from string) error {
	var e *Error
	if !errors.As(err, &e) {
		return err
	}
	text := "the backup " + from + " cannot be used. The workshop was left as it is"
	switch e.Code {
	case NotWorkshop:
		text = "found a file at " + from + " that is no backup of a workshop. The workshop was left as it is"
	case Damaged:
		text = "the backup " + from + " is damaged: the file is no longer as it was written. The workshop was left as it is"
	case TooNew:
		text = "the backup " + from + " was written by a later version of lowslung; use that version. The workshop was left as it is"
	case DiskFull, ReadOnly:
		text = e.Text
	}
	return &Error{Code: e.Code, Text: text, Cause: err}
}

// copyBackup copies a backup; of a plain copy of a workshop that was in use, the log beside it too.
func copyBackup(from, to string) error {
	for _, end := range []string{"", "-wal"} {
		in, err := os.Open(from + end)
		if errors.Is(err, fs.ErrNotExist) {
			if end == "" {
				return &Error{Code: NotFound, Text: "found no file " + from, Cause: err}
			}
			continue
		}
		if err != nil {
			return fault(from, err)
		}
		out, err := os.Create(to + end)
		if err == nil {
			_, err = io.Copy(out, in)
			if e := out.Close(); err == nil {
				err = e
			}
		}
		in.Close()
		if err != nil {
			return folderFault(filepath.Dir(to), err)
		}
	}
	return nil
}

// put brings the content of the file source into the workshop of folder, and says where it kept what was there.
func put(ctx context.Context, folder, source string) (kept string, err error) {
	path := filepath.Join(folder, File)
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		return "", folderFault(folder, settle(source, path))
	}
	stamp := time.Now().UTC().Format("20060102-150405.000000")
	present, err := Open(ctx, folder, Options{MustExist: true})
	if err == nil {
		defer present.Close()
		kept = filepath.Join(folder, "before-restore-"+stamp+".db")
		return kept, fault(path, present.replace(ctx, source, kept))
	}
	switch CodeOf(err) {
	case Damaged, NotWorkshop, TooNew:
	default:
		return "", err
	}
	// What is there cannot be read, so it cannot be in sensible use either: it is moved aside as it is.
	kept = filepath.Join(folder, "before-restore-"+stamp+".unreadable")
	for _, end := range []string{"-wal", "-shm", ""} {
		if err := os.Rename(path+end, kept+end); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return "", folderFault(folder, err)
		}
	}
	return kept, folderFault(folder, settle(source, path))
}

// replace copies all pages of the file source into the open workshop, in one transaction that other processes see whole, and
// keeps what was there in the file kept. No one else can save from before it is kept until it is replaced.
func (s *Store) replace(ctx context.Context, source, kept string) error {
	s.writing.Lock()
	defer s.writing.Unlock()
	conn, err := s.db.Conn(ctx)
	if err != nil {
		return err
	}
	defer conn.Close()
	return conn.Raw(func(c any) error {
		d, ok := c.(interface {
			NewRestore(string) (*sqlite.Backup, error)
		})
		if !ok {
			return fmt.Errorf("found a database driver that cannot restore (%T)", c)
		}
		b, err := d.NewRestore(FileURI(source) + "?mode=ro")
		if err != nil {
			return err
		}
		if err = s.copyPages(b, 0); err == nil { // copies nothing, but takes the write lock
			if err = s.Backup(ctx, kept); err == nil {
				err = s.copyPages(b, -1)
			}
		}
		return errors.Join(err, b.Finish())
	})
}

// copyPages copies pages, and waits while another process holds the file.
func (s *Store) copyPages(b *sqlite.Backup, pages int32) error {
	for tries := 0; ; tries++ {
		_, err := b.Step(pages)
		if CodeOf(fault(s.path, err)) != Busy || tries == 100 {
			return err
		}
		time.Sleep(waiting / 100)
	}
}
