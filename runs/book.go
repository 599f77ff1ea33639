package runs

import (
	"context"
	"crypto/rand"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
	"sync"
	"time"
)

// File is the name of the book in the workshop's folder.
const File = "searches.db"

const (
	silence = 5 * time.Second // a process not heard of for so long is taken to be dead
	pulse   = time.Second     // how often one is heard of
	kept    = 100             // runs kept; the oldest that ended are forgotten
)

// Code says what kind of error it is.
type Code string

// Codes.
const (
	NotFound Code = "not-found"
	Refused  Code = "refused" // not in this state
)

// An Error is one that the builder can do something about.
type Error struct {
	Code Code
	Text string
}

func (e *Error) Error() string { return e.Text }

// Wish is a run to be begun.
type Wish struct {
	Rig      int64
	File     string
	Name     string
	Revision int
	Texts    map[string]string // of the document, its bases and its bins
	Options  Options
}

// Setup is what a book needs.
type Setup struct {
	Path string // of the file; it is made when the first run is begun
	// Work does a task and gives the answer as JSON. It ends soon after ctx does, with ctx's error.
	Work func(ctx context.Context, t Task) ([]byte, error)
	Tell func(Run) // called with each change, from any goroutine; nil for nobody
	Log  *slog.Logger
}

// A Book holds the runs of a workshop. Nothing is opened, and no goroutine is there, before it is asked for.
type Book struct {
	Setup
	name string // of this process

	mu     sync.Mutex // guards what follows
	db     *sql.DB
	closed bool
	living context.Context // of all that goes on beside requests
	quit   context.CancelFunc
	beside sync.WaitGroup
	stops  map[int64]context.CancelCauseFunc // of the runs worked on here

	rest    int        // pulses without anything to do after which the queue ends
	handing sync.Mutex // guards the queue: it is there only while there is something to do, as it polls
	queue   *queue
}

// New makes a book.
func New(s Setup) *Book {
	if s.Log == nil {
		s.Log = slog.New(slog.DiscardHandler)
	}
	return &Book{Setup: s, name: fmt.Sprintf("%d-%s", os.Getpid(), rand.Text()[:8]), rest: 10, stops: map[int64]context.CancelCauseFunc{}}
}

// there says whether a book was ever begun.
func (b *Book) there() bool {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.db != nil {
		return true
	}
	_, err := os.Stat(b.Path)
	return !errors.Is(err, fs.ErrNotExist)
}

// Wake takes up what an earlier process left behind; without a book it does nothing.
func (b *Book) Wake(ctx context.Context) error {
	if !b.there() {
		return nil
	}
	return b.open(ctx)
}

// open opens the book, once.
func (b *Book) open(ctx context.Context) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.closed {
		return errors.New("the program is ending")
	}
	if b.db != nil {
		return nil
	}
	if err := os.MkdirAll(filepath.Dir(b.Path), 0o700); err != nil {
		return err
	}
	db, err := openFile(ctx, b.Path)
	if err != nil {
		return fmt.Errorf("%s: %w", b.Path, err)
	}
	b.db = db
	b.living, b.quit = context.WithCancel(context.WithoutCancel(ctx))
	living := b.living
	b.beside.Go(func() { b.watch(living) })
	return nil
}

// watch looks for orphans until ctx ends, at once for those that wait without a job; and ends the queue when it has had nothing to do for
// a while.
func (b *Book) watch(ctx context.Context) {
	clock := time.NewTicker(pulse)
	defer clock.Stop()
	idle := 0
	for first := true; ; first = false {
		todo, err := b.revive(ctx, first || !b.queued())
		if err != nil && ctx.Err() == nil {
			b.Log.WarnContext(ctx, "runs could not be looked after; trying again", "cause", err)
		}
		if idle++; todo || err != nil {
			idle = 0
		}
		if idle >= b.rest {
			b.unqueue(ctx)
		}
		select {
		case <-ctx.Done():
			return
		case <-clock.C:
		}
	}
}

// revive gives every orphan a job, and says whether any run is there to be worked on. A second job for the same run does no harm: a run is
// claimed by one of them. Without a queue those that wait count as orphans too.
func (b *Book) revive(ctx context.Context, waiting bool) (todo bool, err error) {
	list, err := b.orphans(ctx, waiting, time.Now())
	if err != nil {
		return false, err
	}
	for _, id := range list {
		if err := b.insert(ctx, id); err != nil {
			return true, err
		}
	}
	err = b.db.QueryRowContext(ctx, `SELECT EXISTS (SELECT 1 FROM run WHERE state IN ($1, $2))`, Waiting, Running).Scan(&todo)
	return todo, err
}

// insert puts a job into the queue, which is begun when it is not there.
func (b *Book) insert(ctx context.Context, id int64) error {
	b.handing.Lock()
	defer b.handing.Unlock()
	if b.queue == nil {
		if b.living.Err() != nil {
			return errors.New("the program is ending")
		}
		q, err := newQueue(b.db, &worker{work: b.work}, b.Log)
		if err != nil {
			return err
		}
		if err := q.Start(b.living); err != nil {
			return err
		}
		b.queue = q
	}
	_, err := b.queue.Insert(ctx, args{Run: id}, nil)
	return err
}

func (b *Book) queued() bool {
	b.handing.Lock()
	defer b.handing.Unlock()
	return b.queue != nil
}

// unqueue ends the queue. A job that came in between waits in its table for the next one.
func (b *Book) unqueue(ctx context.Context) {
	b.handing.Lock()
	defer b.handing.Unlock()
	if b.queue == nil {
		return
	}
	if err := b.queue.Stop(ctx); err != nil && ctx.Err() == nil {
		b.Log.WarnContext(ctx, "the queue did not end properly", "cause", err)
		return
	}
	b.queue = nil
}

// Close lets go of what is being worked on, which another process, or the next one, takes up from its last checkpoint.
func (b *Book) Close(ctx context.Context) error {
	b.mu.Lock()
	b.closed = true
	db, quit := b.db, b.quit
	b.mu.Unlock()
	if db == nil {
		return nil
	}
	b.handing.Lock()
	q := b.queue
	b.queue = nil
	var err error
	if q != nil {
		err = q.StopAndCancel(ctx)
	}
	quit()
	b.handing.Unlock()
	b.beside.Wait()
	return errors.Join(err, db.Close())
}

// Begin begins a run.
func (b *Book) Begin(ctx context.Context, w Wish) (Run, error) {
	if err := b.open(ctx); err != nil {
		return Run{}, err
	}
	id, err := b.add(ctx, w, time.Now())
	if err != nil {
		return Run{}, err
	}
	if err := b.forget(ctx); err != nil {
		return Run{}, err
	}
	return b.hand(ctx, id)
}

// hand gives a waiting run a job.
func (b *Book) hand(ctx context.Context, id int64) (Run, error) {
	if err := b.insert(ctx, id); err != nil {
		return Run{}, err
	}
	return b.told(ctx, id)
}

// told is the run as it is, told to whom it concerns.
func (b *Book) told(ctx context.Context, id int64) (Run, error) {
	r, err := b.one(ctx, text(id))
	if err != nil {
		return Run{}, err
	}
	out := r.run(time.Now())
	if b.Tell != nil {
		b.Tell(out)
	}
	return out, nil
}

// forget deletes the oldest runs that ended beyond those kept.
func (b *Book) forget(ctx context.Context) error {
	_, err := b.db.ExecContext(ctx, `DELETE FROM run WHERE state IN ('done', 'failed', 'stopped') AND id NOT IN (SELECT id FROM run ORDER BY id DESC LIMIT $1)`, kept)
	return err
}

// List gives the runs, newest first; those of one rig when rig is not 0.
func (b *Book) List(ctx context.Context, rig int64) ([]Run, error) {
	out := []Run{}
	if !b.there() {
		return out, nil
	}
	if err := b.open(ctx); err != nil {
		return nil, err
	}
	list, err := b.all(ctx)
	if err != nil {
		return nil, err
	}
	for i := range list {
		if rig == 0 || list[i].rig == rig {
			out = append(out, list[i].run(time.Now()))
		}
	}
	return out, nil
}

// find is one run, in a book that is there.
func (b *Book) find(ctx context.Context, id string) (row, error) {
	if !b.there() {
		return row{}, &Error{NotFound, fmt.Sprintf("found no search %q", id)}
	}
	if err := b.open(ctx); err != nil {
		return row{}, err
	}
	return b.one(ctx, id)
}

// Get is one run.
func (b *Book) Get(ctx context.Context, id string) (Run, error) {
	r, err := b.find(ctx, id)
	if err != nil {
		return Run{}, err
	}
	return r.run(time.Now()), nil
}

// Answer is what a run that is done found, as JSON.
func (b *Book) Answer(ctx context.Context, id string) ([]byte, error) {
	r, err := b.find(ctx, id)
	if err != nil {
		return nil, err
	}
	var answer []byte
	err = b.db.QueryRowContext(ctx, `SELECT answer FROM run WHERE id = $1`, r.id).Scan(&answer)
	if err == nil && answer == nil {
		err = &Error{Refused, fmt.Sprintf("search %s has no answer: it is %s", id, r.state)}
	}
	return answer, err
}

// Stop ends work on a run, which can be continued.
func (b *Book) Stop(ctx context.Context, id string) (Run, error) {
	r, err := b.find(ctx, id)
	if err != nil {
		return Run{}, err
	}
	if ok, err := b.move(ctx, r.id, Stopped, time.Now().UnixMilli(), Waiting); err != nil || ok {
		if err != nil {
			return Run{}, err
		}
		return b.told(ctx, r.id)
	}
	if r.state != Running {
		return Run{}, &Error{Refused, fmt.Sprintf("search %s is %s, expected one that goes on", id, r.state)}
	}
	if _, err := b.db.ExecContext(ctx, `UPDATE run SET stop = 1 WHERE id = $1 AND state = $2`, r.id, Running); err != nil {
		return Run{}, err
	}
	b.mu.Lock()
	stop := b.stops[r.id]
	b.mu.Unlock()
	if stop != nil {
		stop(errStopped)
	} // otherwise another process works on it and sees the mark at its next beat
	return b.told(ctx, r.id)
}

// Continue takes up a run that was stopped, or failed, from its last checkpoint.
func (b *Book) Continue(ctx context.Context, id string) (Run, error) {
	r, err := b.find(ctx, id)
	if err != nil {
		return Run{}, err
	}
	ok, err := b.move(ctx, r.id, Waiting, 0, Stopped, Failed)
	if err != nil {
		return Run{}, err
	}
	if !ok {
		return Run{}, &Error{Refused, fmt.Sprintf("search %s is %s, expected one that was stopped", id, r.state)}
	}
	return b.hand(ctx, r.id)
}

// Delete forgets a run that is not being worked on.
func (b *Book) Delete(ctx context.Context, id string) error {
	r, err := b.find(ctx, id)
	if err != nil {
		return err
	}
	res, err := b.db.ExecContext(ctx, `DELETE FROM run WHERE id = $1 AND state <> $2`, r.id, Running)
	if err != nil {
		return err
	}
	if n, err := res.RowsAffected(); err != nil || n == 0 {
		return errors.Join(err, &Error{Refused, fmt.Sprintf("search %s goes on; stop it first", id)})
	}
	return nil
}

// Texts are those that a run was begun with, and the name of the document searched from.
func (b *Book) Texts(ctx context.Context, id string) (file string, texts map[string]string, err error) {
	r, err := b.find(ctx, id)
	if err != nil {
		return "", nil, err
	}
	var blob []byte
	if err = b.db.QueryRowContext(ctx, `SELECT texts FROM run WHERE id = $1`, r.id).Scan(&blob); err == nil {
		err = json.Unmarshal(blob, &texts)
	}
	return r.file, texts, err
}
