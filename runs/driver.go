package runs

import (
	"context"
	"database/sql"
	"fmt"
	"log/slog"
	"net/url"
	"time"

	"github.com/riverqueue/river"
	"github.com/riverqueue/river/riverdriver/riversqlite"
	"github.com/riverqueue/river/rivermigrate"
	_ "modernc.org/sqlite" // the driver "sqlite"

	"lowslung/store"
)

// All that is particular to SQLite. With riverpgxv5 the transaction type, the address and the schema change, and polling can be turned
// off; the workers and the statements of table.go stay.

// transaction is what the driver of river calls one.
type transaction = *sql.Tx

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

// openFile opens the book and brings its tables up to date.
func openFile(ctx context.Context, path string) (*sql.DB, error) {
	db, err := sql.Open("sqlite", address(path))
	if err != nil {
		return nil, err
	}
	db.SetMaxOpenConns(1) // river's SQLite driver asks for it: writers in one process wait for each other here, not in SQLite
	if _, err := db.ExecContext(ctx, schema); err != nil {
		db.Close()
		return nil, err
	}
	m, err := rivermigrate.New(riversqlite.New(db), &rivermigrate.Config{Logger: slog.New(slog.DiscardHandler)})
	if err == nil {
		_, err = m.Migrate(ctx, rivermigrate.DirectionUp, nil)
	}
	if err != nil {
		db.Close()
		return nil, fmt.Errorf("tables of the queue: %w", err)
	}
	return db, nil
}

func address(path string) string {
	q := url.Values{"_txlock": {"immediate"}, "_pragma": {"busy_timeout(10000)", "journal_mode(wal)", "synchronous(full)", "trusted_schema(0)"}}
	return store.FileURI(path) + "?" + q.Encode()
}

// A queue hands jobs out.
type queue = river.Client[transaction]

const queueName = "search"

// newQueue makes river's client: one job at a time, as a search takes all processors by itself. A job is tried once and has no limit of
// time: what becomes of a run whose process died is settled by the run's own sign of life (Book.revive).
func newQueue(db *sql.DB, w river.Worker[args], log *slog.Logger) (*queue, error) {
	workers := river.NewWorkers()
	if err := river.AddWorkerSafely(workers, w); err != nil {
		return nil, err
	}
	return river.NewClient(riversqlite.New(db), &river.Config{
		Queues:  map[string]river.QueueConfig{queueName: {MaxWorkers: 1}},
		Workers: workers, Logger: log,
		FetchCooldown: 50 * time.Millisecond, FetchPollInterval: 200 * time.Millisecond,
		JobTimeout: -1, MaxAttempts: 1,
		CompletedJobRetentionPeriod: time.Hour, CancelledJobRetentionPeriod: time.Hour, DiscardedJobRetentionPeriod: 24 * time.Hour,
	})
}

// args name the run that a job works on.
type args struct {
	Run int64 `json:"run"`
}

// Kind is river's name for such jobs.
func (args) Kind() string { return "search_run" }

// InsertOpts says which queue they go to.
func (args) InsertOpts() river.InsertOpts { return river.InsertOpts{Queue: queueName, MaxAttempts: 1} }

// worker is river's way to Book.work.
type worker struct {
	river.WorkerDefaults[args]
	work func(ctx context.Context, id int64) error
}

func (w *worker) Work(ctx context.Context, job *river.Job[args]) error {
	return w.work(ctx, job.Args.Run)
}
