package store

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"time"

	"github.com/pressly/goose/v3"
	_ "modernc.org/sqlite" // the driver "sqlite"
)

//go:embed schema/*.sql
var schema embed.FS

// File is the name of the workshop's file in its folder. While it is open, SQLite keeps File-wal and File-shm beside it.
const File = "workshop.db"

// application is what the first migration marks the file with (PRAGMA application_id): "lows" in ASCII.
const application = 0x6c6f7773

// waiting is how long a write waits for another process.
const waiting = 10 * time.Second

// Options of Open.
type Options struct {
	MustExist bool // an error when there is no workshop yet, instead of beginning one
	pages     int  // most pages the file may grow to, 0 for no limit: lets tests fill it up
}

// A Store is an open workshop. Safe for concurrent use.
type Store struct {
	path    string
	db      *sql.DB
	writing sync.Mutex // one write at a time in this process; SQLite holds the others off
	nudge   chan struct{}
	kept    *keep
	begun   bool // the file must be a workshop already, not an empty one
}

// DefaultFolder is where a builder's own workshop lives: $XDG_DATA_HOME/lowslung, or ~/.local/share/lowslung (XDG Base
// Directory Specification 0.8: a relative XDG_DATA_HOME is ignored).
func DefaultFolder() (string, error) {
	if data := os.Getenv("XDG_DATA_HOME"); filepath.IsAbs(data) {
		return filepath.Join(data, "lowslung"), nil
	}
	home, err := os.UserHomeDir()
	if err != nil {
		return "", fail(NoWorkshop, "found neither XDG_DATA_HOME nor a home folder to keep the workshop in; name a folder with --workshop")
	}
	return filepath.Join(home, ".local", "share", "lowslung"), nil
}

// Open opens the workshop in folder and brings its tables up to date; where there is none it begins one.
func Open(ctx context.Context, folder string, o Options) (*Store, error) {
	folder, err := filepath.Abs(folder)
	if err != nil {
		return nil, fault(folder, err)
	}
	s := &Store{path: filepath.Join(folder, File), nudge: make(chan struct{}, 1), kept: newKeep(), begun: o.MustExist}
	if err := s.place(folder, o); err != nil {
		return nil, err
	}
	if err := s.recognise(ctx); err != nil {
		return nil, fault(s.path, err)
	}
	if s.db, err = sql.Open("sqlite", dsn(s.path, o.pages)); err != nil {
		return nil, fault(s.path, err)
	}
	s.db.SetMaxOpenConns(8)
	s.db.SetMaxIdleConns(8)
	if err := s.upgrade(ctx); err != nil {
		s.db.Close()
		return nil, fault(s.path, err)
	}
	if err := s.reindex(ctx); err != nil {
		s.db.Close()
		return nil, fault(s.path, err)
	}
	return s, nil
}

// Path is the workshop's file.
func (s *Store) Path() string { return s.path }

// Close ends all use of the workshop.
func (s *Store) Close() error { return fault(s.path, s.db.Close()) }

// place makes the folder, or says why it cannot be one.
func (s *Store) place(folder string, o Options) error {
	info, err := os.Stat(s.path)
	switch {
	case err == nil && info.IsDir():
		return fail(NotWorkshop, "found a folder at %s, expected the workshop's file; choose another folder with --workshop", s.path)
	case err == nil:
		return nil
	case !errors.Is(err, fs.ErrNotExist) && !isNotFolder(err):
		return fault(s.path, err)
	case o.MustExist:
		return fail(NoWorkshop, "found no workshop in %s (no file %s); begin one with: lowslung --workshop %s, or lowslung workshop import", folder, File, folder)
	}
	if info, err := os.Stat(folder); err == nil && !info.IsDir() || isNotFolder(err) {
		return fail(NotWorkshop, "found a file where %s should be a folder; choose another folder with --workshop", folder)
	}
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return fault(folder, err)
	}
	return nil
}

// isNotFolder says that a step of a path is a file.
func isNotFolder(err error) bool { return errors.Is(err, syscall.ENOTDIR) }

// dsn is the driver's name for the file: every connection waits for others, writes ahead, and has each commit on the disk
// before it returns.
func dsn(path string, pages int) string {
	q := url.Values{}
	q.Set("_txlock", "immediate") // a write that finds the file busy waits at its start, where nothing is lost by waiting
	q.Set("_dqs", "0")
	for _, p := range []string{
		fmt.Sprintf("busy_timeout(%d)", waiting.Milliseconds()),
		"journal_mode(wal)", "synchronous(full)", "foreign_keys(1)", "trusted_schema(0)",
	} {
		q.Add("_pragma", p)
	}
	if pages > 0 {
		q.Add("_pragma", fmt.Sprintf("max_page_count(%d)", pages))
	}
	return FileURI(path) + "?" + q.Encode()
}

// FileURI writes a path so that SQLite reads it back as it is, with whatever ? # % it holds.
func FileURI(path string) string {
	path = filepath.ToSlash(path)
	if !strings.HasPrefix(path, "/") { // C:/…
		path = "/" + path
	}
	return "file://" + (&url.URL{Path: path}).EscapedPath()
}

// recognise refuses a file that is no workshop before anything is done that would write to it, such as turning the
// write-ahead log on.
func (s *Store) recognise(ctx context.Context) error {
	if _, err := os.Stat(s.path); err != nil {
		return nil // it is about to be made
	}
	db, err := sql.Open("sqlite", fmt.Sprintf("%s?_pragma=busy_timeout(%d)", FileURI(s.path), waiting.Milliseconds()))
	if err != nil {
		return err
	}
	defer db.Close()
	p, err := migrations(db)
	if err != nil {
		return err
	}
	_, err = s.identify(ctx, db, p)
	return err
}

// upgrade checks what the file is, and applies the migrations it lacks. Two processes may do that at once: one of them
// then fails halfway, finds it done and goes on.
func (s *Store) upgrade(ctx context.Context) error {
	p, err := migrations(s.db)
	if err != nil {
		return err
	}
	for try := 0; ; try++ {
		err = s.upgradeOnce(ctx, p)
		if err == nil || try == 4 || CodeOf(err) != "" || ctx.Err() != nil {
			return err
		}
		if code := CodeOf(fault(s.path, err)); code != Unexpected && code != Busy {
			return err
		}
		time.Sleep(50 * time.Millisecond << try)
	}
}

func migrations(db *sql.DB) (*goose.Provider, error) {
	files, err := fs.Sub(schema, "schema")
	if err != nil {
		return nil, err
	}
	return goose.NewProvider(goose.DialectSQLite3, db, files, goose.WithDisableGlobalRegistry(true), goose.WithLogger(goose.NopLogger()))
}

func (s *Store) upgradeOnce(ctx context.Context, p *goose.Provider) error {
	have, err := s.identify(ctx, s.db, p)
	if err != nil || have {
		return err
	}
	_, err = p.Up(ctx)
	return err
}

// identify says whether the file is a workshop that is up to date; an error when it is something else.
func (s *Store) identify(ctx context.Context, db *sql.DB, p *goose.Provider) (current bool, err error) {
	var id, tables int
	// A workshop that another process is just beginning has the table of migrations but not yet its mark. Both are read in one statement, as they stood at
	// one moment: else that process may put mark and tables in between.
	if err := db.QueryRowContext(ctx, `SELECT (SELECT application_id FROM pragma_application_id),
		(SELECT count(*) FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%' AND name <> 'goose_db_version')`).Scan(&id, &tables); err != nil {
		return false, err
	}
	if id != application && (id != 0 || tables > 0 || s.begun) {
		return false, fail(NotWorkshop, "found a SQLite file at %s that is no workshop. It was left as it is; choose another folder with --workshop", s.path)
	}
	have, want, err := versions(ctx, db, p)
	if err != nil {
		return false, err
	}
	if have > want {
		return false, fail(TooNew, "the workshop %s was written by a later version of lowslung (tables of version %d; this one knows %d). It was left as it is; use that version", s.path, have, want)
	}
	return have == want && id == application, nil
}

// versions reads the version of the file's tables without writing anything, and the one this program has.
func versions(ctx context.Context, db *sql.DB, p *goose.Provider) (have, want int64, err error) {
	for _, m := range p.ListSources() {
		want = max(want, m.Version)
	}
	var there int
	if err := db.QueryRowContext(ctx, "SELECT count(*) FROM sqlite_master WHERE name = 'goose_db_version'").Scan(&there); err != nil || there == 0 {
		return 0, want, err
	}
	err = db.QueryRowContext(ctx, "SELECT coalesce(max(version_id), 0) FROM goose_db_version WHERE is_applied = 1").Scan(&have)
	return have, want, err
}
