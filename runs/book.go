package runs

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"log/slog"
	"os"
	"sync"
)

const kept = 100 // runs kept of a workshop; the oldest that ended are forgotten

// Code says what kind of error it is.
type Code string

// Codes.
const (
	NotFound Code = "not-found"
	Refused  Code = "refused" // not in this state
	Away     Code = "away"    // the database cannot be used
)

// An Error is one that the builder can do something about.
type Error struct {
	Code Code
	Text string
}

func (e *Error) Error() string { return e.Text }

// CodeOf is the code of an Error, empty for any other.
func CodeOf(err error) Code {
	if e := new(Error); errors.As(err, &e) {
		return e.Code
	}
	return ""
}

// Setup is what a book needs.
type Setup struct {
	Path     string   // of the file; it is made when the first run is begun
	Database *Address // where the book is kept in place of the file, to be shared with other workshops and with workers
	Workshop string   // whose runs are seen; in a file, and by a worker, those of all ("")
	// Work does a task and gives the answer as JSON. It ends soon after ctx does, with ctx's error. Nil leaves the runs to other processes.
	Work func(ctx context.Context, t Task) ([]byte, error)
	Tell func(Run) // called with each change, from any goroutine; nil for nobody
	Log  *slog.Logger
}

// A Book holds the runs of a workshop, or of several. Nothing is opened, and no goroutine is there, before it is asked for.
type Book struct {
	Setup
	pace
	name string // of this process

	mu     sync.Mutex // guards what follows
	base   *base
	closed bool
	living context.Context // of all that goes on beside requests
	quit   context.CancelFunc
	beside sync.WaitGroup
	stops  map[int64]context.CancelCauseFunc // of the runs worked on here
	told   map[string]string                 // mark of what was told last, by run

	rest    int        // pulses without anything to do after which the queue ends
	handing sync.Mutex // guards the queue: it is there only while there is something to do, as it polls
	queue   queue
}

// New makes a book.
func New(s Setup) *Book {
	if s.Log == nil {
		s.Log = slog.New(slog.DiscardHandler)
	}
	host, _ := os.Hostname() // several machines may have a process of one number; the random part tells them apart in any case
	return &Book{Setup: s, pace: s.pace(), name: fmt.Sprintf("%s-%d-%s", host, os.Getpid(), rand.Text()[:8]), rest: 10,
		stops: map[int64]context.CancelCauseFunc{}, told: map[string]string{}}
}

// there says whether a book was ever begun.
func (b *Book) there() bool {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.base != nil || b.Database != nil || fileThere(b.Path)
}

// Wake takes up what an earlier process left behind; without a book it does nothing. It is an error when the book cannot be opened.
func (b *Book) Wake(ctx context.Context) error {
	if !b.there() {
		return nil
	}
	return b.Database.explained(b.open(ctx))
}

// open opens the book, once.
func (b *Book) open(ctx context.Context) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.closed {
		return errors.New("the program is ending")
	}
	if b.base != nil {
		return nil
	}
	base, err := b.Setup.base(ctx)
	if err != nil {
		return err
	}
	b.base = base
	b.living, b.quit = context.WithCancel(context.WithoutCancel(ctx))
	living := b.living
	b.beside.Go(func() { b.watch(living) })
	return nil
}

// Close lets go of what is being worked on, which another process, or the next one, takes up from its last checkpoint.
func (b *Book) Close(ctx context.Context) error {
	b.mu.Lock()
	b.closed = true
	base, quit := b.base, b.quit
	b.mu.Unlock()
	if base == nil {
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
	return errors.Join(err, base.close())
}
