package runs

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
	"github.com/jackc/pgx/v5/pgxpool"
	"github.com/jackc/pgx/v5/stdlib"
	"github.com/pressly/goose/v3"
	"github.com/riverqueue/river"
	"github.com/riverqueue/river/riverdriver/riverpgxv5"
	"github.com/riverqueue/river/rivermigrate"
)

// A book in PostgreSQL, which any number of workshops and workers share: everything stands in a schema of its own, river's tables too.

const (
	pgSchema    = "lowslung_searches"
	pgVersions  = "version"  // table of our migrations
	pgLock      = 0x6c6f7773 // "lows" in ASCII: one process at a time brings the tables up to date
	pgConnects  = 10 * time.Second
	pgUpdating  = time.Minute
	pgUndefined = "42P01" // undefined_table
)

//go:embed schema/*.sql
var pgTables embed.FS

// openPostgres opens a book in a database.
func openPostgres(ctx context.Context, a *Address) (*base, error) {
	ctx, done := context.WithTimeout(ctx, pgUpdating)
	defer done()
	pool, err := pgxpool.NewWithConfig(context.WithoutCancel(ctx), a.config.Copy())
	if err != nil {
		return nil, err
	}
	db := stdlib.OpenDBFromPool(pool)
	shut := func() error {
		err := db.Close()
		pool.Close()
		return err
	}
	if err := pgUpdate(ctx, a, pool, db); err != nil {
		_ = shut()
		return nil, err
	}
	return &base{
		db: db, now: `(extract(epoch from clock_timestamp()) * 1000)::bigint`, close: shut,
		queue: func(w river.Worker[args], log *slog.Logger) (queue, error) {
			c, err := queueConfig(w, slog.New(calm{log.Handler()}))
			if err != nil {
				return nil, err
			}
			c.Schema = pgSchema
			return river.NewClient(riverpgxv5.New(pool), c)
		},
	}, nil
}

// pgUpdate brings the tables up to date, or says that they are a later program's.
func pgUpdate(ctx context.Context, a *Address, pool *pgxpool.Pool, db *sql.DB) error {
	files, err := fs.Sub(pgTables, "schema")
	if err != nil {
		return err
	}
	own, err := goose.NewProvider(goose.DialectPostgres, db, files, goose.WithDisableGlobalRegistry(true), goose.WithLogger(goose.NopLogger()), goose.WithTableName(pgVersions))
	if err != nil {
		return err
	}
	jobs, err := rivermigrate.New(riverpgxv5.New(pool), &rivermigrate.Config{Schema: pgSchema, Logger: slog.New(slog.DiscardHandler)})
	if err != nil {
		return err
	}
	holder, err := pool.Acquire(ctx)
	if err != nil {
		return err
	}
	defer holder.Release()
	if _, err := holder.Exec(ctx, `SELECT pg_advisory_lock($1)`, pgLock); err != nil {
		return err
	}
	defer holder.Exec(context.WithoutCancel(ctx), `SELECT pg_advisory_unlock($1)`, pgLock)
	var there bool
	if err := holder.QueryRow(ctx, `SELECT EXISTS (SELECT 1 FROM pg_namespace WHERE nspname = $1)`, pgSchema).Scan(&there); err != nil {
		return err
	}
	if !there { // asking first, as even IF NOT EXISTS wants the right to create
		if _, err := holder.Exec(ctx, `CREATE SCHEMA `+pgSchema); err != nil {
			return err
		}
	}
	if err := pgNewest(ctx, a, own, jobs, db); err != nil {
		return err
	}
	if _, err := own.Up(ctx); err != nil {
		return err
	}
	_, err = jobs.Migrate(ctx, rivermigrate.DirectionUp, nil)
	return err
}

// pgNewest refuses tables that a later program has brought up to date, before anything is done to them.
func pgNewest(ctx context.Context, a *Address, own *goose.Provider, jobs *rivermigrate.Migrator[pgx.Tx], db *sql.DB) error {
	have, know, err := own.GetVersions(ctx)
	if err != nil {
		return err
	}
	if have <= know {
		know = 0
		for _, m := range jobs.AllVersions() {
			know = max(know, int64(m.Version))
		}
		err = db.QueryRowContext(ctx, `SELECT coalesce(max(version), 0) FROM river_migration`).Scan(&have)
		if e := new(pgconn.PgError); errors.As(err, &e) && e.Code == pgUndefined {
			return nil // not begun yet
		}
		if err != nil || have <= know {
			return err
		}
	}
	return &Error{Refused, fmt.Sprintf("the searches in %s are kept by a later version of lowslung (tables of version %d; this one knows %d). They were left as they are; use that version", a, have, know)}
}
