package runs

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"net/url"
	"os"
	"path/filepath"
	"time"

	"github.com/riverqueue/river"
	"github.com/riverqueue/river/riverdriver/riversqlite"
	"github.com/riverqueue/river/rivermigrate"
	_ "modernc.org/sqlite" // the driver "sqlite"

	"lowslung/store"
)

// File is the name of the book in the workshop's folder.
const File = "searches.db"

const schema = `
CREATE TABLE IF NOT EXISTS run (
	id         INTEGER PRIMARY KEY AUTOINCREMENT,
	rig        INTEGER NOT NULL,
	file       TEXT    NOT NULL,
	name       TEXT    NOT NULL,
	revision   INTEGER NOT NULL,
	texts      BLOB    NOT NULL,             -- JSON: file to text
	options    BLOB    NOT NULL,             -- JSON
	state      TEXT    NOT NULL,
	stop       INTEGER NOT NULL DEFAULT 0,   -- 1: asked to stop
	progress   BLOB    NOT NULL DEFAULT '{}',
	checkpoint BLOB,
	answer     BLOB,
	problem    TEXT    NOT NULL DEFAULT '',
	begun      INTEGER NOT NULL,             -- times in ms since 1970, spans in ms
	ended      INTEGER NOT NULL DEFAULT 0,
	spent      INTEGER NOT NULL DEFAULT 0,
	leg        INTEGER NOT NULL DEFAULT 0,   -- when it was begun or continued last
	settled    INTEGER NOT NULL DEFAULT 0,   -- combinations settled by then
	owner      TEXT    NOT NULL DEFAULT '',  -- process that works on it
	alive      INTEGER NOT NULL DEFAULT 0    -- when that was heard of last
)`

// openFile opens a book in a SQLite file, which is made where there is none.
func openFile(ctx context.Context, path string) (*base, error) {
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return nil, err
	}
	db, err := sql.Open("sqlite", uri(path))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	db.SetMaxOpenConns(1) // river's SQLite driver asks for it: writers in one process wait for each other here, not in SQLite
	if err := tables(ctx, db); err != nil {
		db.Close()
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return &base{
		db: db, now: `CAST(round(unixepoch('subsec') * 1000) AS INTEGER)`, close: db.Close,
		queue: func(w river.Worker[args], log *slog.Logger) (queue, error) {
			c, err := queueConfig(w, log)
			if err != nil {
				return nil, err
			}
			c.FetchPollInterval = 200 * time.Millisecond // SQLite tells nobody that a job has come
			return river.NewClient(riversqlite.New(db), c)
		},
	}, nil
}

// tables brings the tables up to date: ours, and river's.
func tables(ctx context.Context, db *sql.DB) error {
	tx, err := db.BeginTx(ctx, nil) // it writes at once (_txlock), so that two processes do not begin the same file
	if err != nil {
		return err
	}
	defer tx.Rollback()
	if _, err := tx.ExecContext(ctx, schema); err != nil {
		return err
	}
	var has bool
	if err := tx.QueryRowContext(ctx, `SELECT EXISTS (SELECT 1 FROM pragma_table_info('run') WHERE name = 'workshop')`).Scan(&has); err != nil {
		return err
	}
	if !has { // a book is the workshop's own here; on PostgreSQL several share one
		if _, err := tx.ExecContext(ctx, `ALTER TABLE run ADD COLUMN workshop TEXT NOT NULL DEFAULT ''`); err != nil {
			return err
		}
	}
	if err := tx.Commit(); err != nil {
		return err
	}
	m, err := rivermigrate.New(riversqlite.New(db), &rivermigrate.Config{Logger: slog.New(slog.DiscardHandler)})
	if err == nil {
		_, err = m.Migrate(ctx, rivermigrate.DirectionUp, nil)
	}
	if err != nil {
		return fmt.Errorf("tables of the queue: %w", err)
	}
	return nil
}

func uri(path string) string {
	q := url.Values{"_txlock": {"immediate"}, "_pragma": {"busy_timeout(10000)", "journal_mode(wal)", "synchronous(full)", "trusted_schema(0)"}}
	return store.FileURI(path) + "?" + q.Encode()
}

// fileThere says whether a book was ever begun in a file.
func fileThere(path string) bool {
	_, err := os.Stat(path)
	return !errors.Is(err, fs.ErrNotExist)
}
